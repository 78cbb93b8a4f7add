#pragma once
// Things of a catalogue by their names, read once: see Catalogue::derived.

#include <functional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "libseal/catalogue/catalogue.hpp"

namespace libseal::detail {

/// Lets a map be asked with any kind of text.
struct TextHash {
    using is_transparent = void;
    std::size_t operator()(std::string_view text) const { return std::hash<std::string_view>{}(text); }
};
template <class Value>
using ByName = std::unordered_map<std::string, Value, TextHash, std::equal_to<>>;

/// What `read` makes of each name. What it refuses is left out: whoever asks for that meets its error.
template <class Read>
auto read_by_name(const std::vector<std::string>& names, const Read& read) {
    ByName<decltype(read(names.front()))> values;
    for (const std::string& name : names) {
        try {
            values.emplace(name, read(name));
        } catch (const ValueError&) {
            continue;
        }
    }
    return values;
}

/// Value of a name that `read_by_name` took, else the error of `read`.
template <class Value, class Read>
const Value& value_of(const ByName<Value>& values, std::string_view name, const Read& read) {
    const auto found = values.find(name);
    if (found != values.end()) return found->second;
    read();
    throw_value_error("name", "a name of the catalogue", "\"" + std::string(name) + "\"");
}

}  // namespace libseal::detail
