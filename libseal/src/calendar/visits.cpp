#include "libseal/calendar/visits.hpp"

#include <algorithm>
#include <cstdint>
#include <numeric>

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

Grouping group_windows(const std::vector<Window>& windows, const std::function<bool(Date)>& allowed) {
    Grouping result;
    result.day_of.assign(windows.size(), -1);
    std::vector<std::size_t> order(windows.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return windows[a].latest < windows[b].latest; });
    // With forbidden days, the last allowed day of a window is what counts as its end: it rises with
    // `latest`, so the order stands.
    for (const std::size_t i : order) {
        const Window& window = windows[i];
        if (!result.days.empty() && result.days.back() >= window.earliest &&
            result.days.back() <= window.latest) {
            result.day_of[i] = static_cast<int>(result.days.size()) - 1;
            continue;
        }
        for (Date day = window.latest; day >= window.earliest; day = day - 1)
            if (!allowed || allowed(day)) {
                result.days.push_back(day);
                result.day_of[i] = static_cast<int>(result.days.size()) - 1;
                break;
            }
    }
    return result;
}

std::string visit_uid(const std::string& kind, const std::string& coach, const std::string& joint,
                      int generation) {
    // A separator that no id holds, so that "a" + "bc" is not "ab" + "c".
    const std::string text = kind + '\x1f' + coach + '\x1f' + joint + '\x1f' + std::to_string(generation);
    return hexadecimal(fnv1a(text)) + hexadecimal(fnv1a({text.rbegin(), text.rend()})) + "@libseal";
}

}  // namespace libseal
