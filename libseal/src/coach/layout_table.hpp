#pragma once
// Options of the layouts by name, for makers and readers alike: usual values and ranges stand once.

#include <string>
#include <vector>

#include "libseal/coach/layouts.hpp"

namespace libseal::detail {

template <class T>
struct NamedOption {
    const char* name;
    T LayoutOptions::*field;
};

const std::vector<NamedOption<double>>& length_options();  ///< [m]
const std::vector<NamedOption<int>>& count_options();
const std::vector<NamedOption<bool>>& switch_options();
/// Names in the catalogue: substrates, finishes.
const std::vector<NamedOption<std::string>>& material_options();

/// Range of an option of a layout, or of its "length".
OptionRange option_range(const std::string& layout, const std::string& option);

/// The coach of a layout by its name. @throws ValueError  as the layout, or if there is no such layout.
Coach layout_coach(const std::string& layout, double length, const LayoutOptions& options);

/// @throws ValueError  naming the first option out of its range.
void check_options(const std::string& layout, double length, const LayoutOptions& options);

}  // namespace libseal::detail
