#pragma once
// Bytes of unknown origin in messages.

#include <cstddef>
#include <string>
#include <string_view>

namespace libseal {

/// The same text with U+FFFD for each octet that belongs to no UTF-8 character.
std::string readable_text(std::string_view text);

/// What a message may hold of a text: readable, without NUL, whole characters of at most `longest` octets, "..." for the rest.
std::string shown_text(std::string_view text, std::size_t longest);

}  // namespace libseal
