#include "libseal/core/sourced.hpp"

#include <array>
#include <cstddef>

namespace libseal {
namespace {
constexpr std::array<std::string_view, 8> names = {"measured",        "standard",    "published", "computed",
                                                   "common_practice", "from_memory", "judgement", "fitted"};
}

std::string_view to_text(Mark mark) { return names[static_cast<std::size_t>(mark)]; }

bool try_parse_mark(std::string_view text, Mark& mark) {
    for (std::size_t i = 0; i < names.size(); ++i)
        if (names[i] == text) {
            mark = static_cast<Mark>(i);
            return true;
        }
    return false;
}

}  // namespace libseal
