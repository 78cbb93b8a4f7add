#include "libseal/schedule/time.hpp"

#include <algorithm>

#include "libseal/core/error.hpp"

namespace libseal {
namespace {

constexpr int days_ahead = 3 * 366;

[[noreturn]] void throw_no_time(const Person& person, Minute t) {
    throw_value_error("shop", "working time of " + person.id + " within three years of " + time_text(t),
                      "none");
}

}  // namespace

std::string time_text(Minute t) {
    const Date day = day_of(t);
    const auto rest = static_cast<int>(t - minute_of(day));
    const std::string hour = std::to_string(rest / 60), minute = std::to_string(rest % 60);
    return to_text(day) + " " + (hour.size() < 2 ? "0" : "") + hour + ":" + (minute.size() < 2 ? "0" : "") +
           minute;
}

namespace {

/// The day's plain shift, absences left out.
std::vector<TimeSpan> shift_spans(const Shop& shop, const Person& person, Date day) {
    std::vector<TimeSpan> spans;
    if (!works_on(shop, day)) return spans;
    const int from = std::max(person.from, shop.open_from), to = std::min(person.to, shop.open_to);
    const int pause_from = std::clamp(shop.break_from, from, std::max(from, to)),
              pause_to = std::clamp(shop.break_to, from, std::max(from, to));
    const auto add = [&](int a, int b) {
        if (a >= b) return;
        std::vector<TimeSpan> left{{minute_of(day, a), minute_of(day, b)}};
        for (const Absence& away : shop.absences) {
            if (away.person != person.id) continue;
            std::vector<TimeSpan> rest;
            for (const TimeSpan& span : left) {
                const TimeSpan before{span.from, std::min(span.to, away.from)}, after{std::max(span.from, away.to), span.to};
                if (before.from < before.to) rest.push_back(before);
                if (after.from < after.to && after.from >= before.to) rest.push_back(after);
            }
            left = std::move(rest);
        }
        spans.insert(spans.end(), left.begin(), left.end());
    };
    if (pause_from == pause_to)
        add(from, to);
    else
        add(from, pause_from), add(pause_to, to);
    return spans;
}

}  // namespace

std::vector<TimeSpan> working_spans(const Shop& shop, const Person& person, Date day) {
    std::vector<TimeSpan> spans = shift_spans(shop, person, day);
    bool more = false;
    for (const Overtime& extra : shop.overtime) {
        const TimeSpan cut{std::max(extra.from, minute_of(day)), std::min(extra.to, minute_of(day + 1))};
        if (extra.person == person.id && cut.from < cut.to) spans.push_back(cut), more = true;
    }
    if (!more) return spans;
    std::sort(spans.begin(), spans.end(), [](const TimeSpan& a, const TimeSpan& b) { return a.from < b.from; });
    std::vector<TimeSpan> merged;
    for (const TimeSpan& span : spans)
        if (!merged.empty() && span.from <= merged.back().to) merged.back().to = std::max(merged.back().to, span.to);
        else merged.push_back(span);
    return merged;
}

Minute next_working(const Shop& shop, const Person& person, Minute t) {
    const Date first = day_of(t);
    for (int d = 0; d < days_ahead; ++d)
        for (const TimeSpan& span : working_spans(shop, person, first + d))
            if (span.to > t) return std::max(span.from, t);
    throw_no_time(person, t);
}

Minute add_work(const Shop& shop, const Person& person, Minute t, std::int64_t work) {
    if (work <= 0) return t;
    const Date first = day_of(t);
    for (int d = 0; d < days_ahead; ++d)
        for (const TimeSpan& span : working_spans(shop, person, first + d)) {
            if (span.to <= t) continue;
            const Minute from = std::max(span.from, t);
            if (span.to - from >= work) return from + work;
            work -= span.to - from;
        }
    throw_no_time(person, t);
}

}  // namespace libseal
