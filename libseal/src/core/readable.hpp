#pragma once
// Bytes of unknown origin in messages.

#include <string>
#include <string_view>

namespace libseal {

/// The same text with U+FFFD for each octet that belongs to no UTF-8 character.
std::string readable_text(std::string_view text);

}  // namespace libseal
