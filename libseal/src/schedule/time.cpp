#include "libseal/schedule/time.hpp"

#include <algorithm>
#include <cstdio>

#include "libseal/core/error.hpp"

namespace libseal {
namespace {

constexpr int longest_wait_days = 3 * 366;

}  // namespace

std::string time_text(Minute t) {
    const Date day = day_of(t);
    const int minute = static_cast<int>(t - minute_of(day));
    char text[16];
    std::snprintf(text, sizeof text, " %02d:%02d", minute / 60 % 24, minute % 60);
    return to_text(day) + text;
}

std::vector<TimeSpan> working_spans(const Shop& shop, const Person& person, Date day) {
    if (!works_on(shop, day)) return {};
    const int from = std::max(shop.open_from, person.from), to = std::min(shop.open_to, person.to);
    std::vector<TimeSpan> spans;
    const auto add = [&](int a, int b) {
        if (b > a) spans.push_back({minute_of(day, a), minute_of(day, b)});
    };
    if (shop.break_from >= shop.break_to) {
        add(from, to);
    } else {
        add(from, std::min(to, shop.break_from));
        add(std::max(from, shop.break_to), to);
    }
    return spans;
}

Minute next_working(const Shop& shop, const Person& person, Minute t) {
    Date day = day_of(t);
    for (int tries = 0; tries < longest_wait_days; ++tries, day = day + 1)
        for (const TimeSpan& span : working_spans(shop, person, day))
            if (span.to > t) return std::max(t, span.from);
    throw_value_error("shop", "somebody at work within three years after " + time_text(t), "nobody",
                      "check working days, shifts and holidays");
}

Minute add_work(const Shop& shop, const Person& person, Minute t, std::int64_t work) {
    Minute at = next_working(shop, person, t);
    while (true) {
        for (const TimeSpan& span : working_spans(shop, person, day_of(at))) {
            if (span.to <= at) continue;
            at = std::max(at, span.from);
            if (work <= span.to - at) return at + work;
            work -= span.to - at;
            at = span.to;
        }
        at = next_working(shop, person, minute_of(day_of(at) + 1));
    }
}

}  // namespace libseal
