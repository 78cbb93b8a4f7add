#include "libseal/calendar/visits.hpp"

#include <cstdint>

namespace libseal {
namespace {

std::uint64_t fnv1a(const std::string& text) {
    std::uint64_t hash = 14695981039346656037ull;
    for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ull;
    return hash;
}

std::string hexadecimal(std::uint64_t value) {
    static const char digits[] = "0123456789abcdef";
    std::string text(16, '0');
    for (int i = 15; i >= 0; --i, value >>= 4) text[static_cast<std::size_t>(i)] = digits[value & 15];
    return text;
}

}  // namespace

std::string visit_uid(const std::string& kind, const std::string& coach, const std::string& joint,
                      int generation) {
    // A separator that no id holds, so that "a" + "bc" is not "ab" + "c".
    const std::string text = kind + '\x1f' + coach + '\x1f' + joint + '\x1f' + std::to_string(generation);
    return hexadecimal(fnv1a(text)) + hexadecimal(fnv1a({text.rbegin(), text.rend()})) + "@libseal";
}

}  // namespace libseal
