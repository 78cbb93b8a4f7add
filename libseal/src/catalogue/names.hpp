#pragma once
// Errors about names that a catalogue does not know.

#include <string>

#include "libseal/catalogue/catalogue.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {

/// @throws ValueError  with the nearest known name, unless `name` is one of names(first).
inline void require_name(const Catalogue& catalogue, const char* first, const std::string& name, const char* what) {
    // One look-up decides; the list is made only for the error.
    const std::string probe = std::string(first) + "/" + name + "/";
    if (!name.empty() && name.find('/') == std::string::npos && catalogue.has_prefix(probe)) return;
    const auto known = catalogue.names(first);
    const std::string near = nearest_name(name, known);
    std::string list;
    for (const auto& k : known) list += (list.empty() ? "" : ", ") + k;
    throw_value_error(what, "one of " + list, "\"" + name + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
}

}  // namespace libseal::detail
