#pragma once
// Every default of the library: a value with unit, range, source and mark, and a shop's own values over it.

#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "libseal/core/sourced.hpp"

namespace libseal {

/// Sourced values by id, for example "sealant/self_levelling_lap/weight_light". Immutable once made; copies share.
///
/// @threads  Read it from as many threads as you like.
class Catalogue {
public:
    /// The defaults inside the library.
    static Catalogue built_in();

    /// This catalogue with the values of an overlay on top: same schema, `libseal/catalogue/1`.
    /// An overlay names value, source and mark; unit and range stay unless given, the unit may not change.
    /// Never-seal places cannot be opened by an overlay.
    /// @param text  JSON.  @param name  Stands for the file in errors.
    /// @throws ValueError  with line and column; unknown ids are errors with the nearest known one.
    Catalogue with_overlay(std::string_view text, const std::string& name) const;

    /// Whether both hold the same values under the same ids, wherever they are from.
    bool operator==(const Catalogue& other) const;

    /// Is there such an id?
    bool has(std::string_view id) const;
    /// Is there an id that starts with `prefix`?
    bool has_prefix(std::string_view prefix) const;
    /// @throws ValueError  if there is no such id, with the nearest known one.
    const SourcedValue& at(std::string_view id) const;
    /// Number under an id. @throws ValueError  if absent or a word.
    double number(std::string_view id) const;
    /// Word under an id. @throws ValueError  if absent or a number.
    const std::string& word(std::string_view id) const;
    /// All ids that start with `prefix`, in order.
    std::vector<std::string> ids(std::string_view prefix = "") const;
    /// Distinct names at the second level under a first one: names("sealant") lists the sealant families.
    std::vector<std::string> names(std::string_view first) const;

private:
    using Values = std::map<std::string, SourcedValue, std::less<>>;
    std::shared_ptr<const Values> values_ = std::make_shared<const Values>();
};

/// Built-in catalogue with the overlay file at `path` over it ("" for none).
Catalogue read_catalogue(const std::string& path);

}  // namespace libseal
