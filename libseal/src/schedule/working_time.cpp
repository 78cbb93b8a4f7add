#include "libseal/schedule/working_time.hpp"

#include <algorithm>

#include "libseal/core/error.hpp"
#include "schedule/stretch.hpp"

namespace libseal {
namespace {

void append(std::vector<TimeSpan>& list, const TimeSpan& span) {
    if (!list.empty() && list.back().to == span.from)
        list.back().to = span.to;
    else
        list.push_back(span);
}

[[noreturn]] void throw_too_little(const char* side, Minute t, std::int64_t work, std::int64_t there) {
    throw_value_error("work", std::to_string(work) + " min of working time " + side + " " + time_text(t),
                      std::to_string(there) + " min");
}

void check_work(std::int64_t work) {
    if (work < 0) throw_value_error("work", "not below zero", std::to_string(work) + " min");
}

}  // namespace

WorkingTime::WorkingTime(const std::vector<TimeSpan>& spans) {
    for (const TimeSpan& span : spans) {
        if (span.from >= span.to || (!spans_.empty() && span.from < spans_.back().to))
            throw_value_error("spans", "stretches in order, apart, none empty",
                              time_text(span.from) + " to " + time_text(span.to));
        append(spans_, span);
    }
    fill_sums();
}

WorkingTime::WorkingTime(const Shop& shop, const Person& person, Minute from, Minute to) {
    if (from > to) throw_value_error("to", "at or after from", std::to_string(from) + " to " + std::to_string(to) + " min");
    detail::check_stretch(from, to, 1);
    for (Date day = day_of(from); minute_of(day) < to; day = day + 1)
        for (const TimeSpan& span : working_spans(shop, person, day)) {
            const TimeSpan cut{std::max(span.from, from), std::min(span.to, to)};
            if (cut.from < cut.to) append(spans_, cut);
        }
    fill_sums();
}

void WorkingTime::fill_sums() {
    sums_.assign(1, 0);
    for (const TimeSpan& span : spans_) sums_.push_back(sums_.back() + span.to - span.from);
}

std::int64_t WorkingTime::before(Minute t) const {
    const auto past = std::upper_bound(spans_.begin(), spans_.end(), t,
                                       [](Minute m, const TimeSpan& span) { return m < span.to; });
    const std::int64_t sum = sums_[static_cast<std::size_t>(past - spans_.begin())];
    return past == spans_.end() ? sum : sum + std::max<Minute>(0, t - past->from);
}

std::int64_t WorkingTime::work_between(Minute a, Minute b) const { return b <= a ? 0 : before(b) - before(a); }

Minute WorkingTime::next(Minute t) const {
    const auto span = std::upper_bound(spans_.begin(), spans_.end(), t,
                                       [](Minute m, const TimeSpan& s) { return m < s.to; });
    if (span == spans_.end()) throw_too_little("after", t, 1, 0);
    return std::max(t, span->from);
}

Minute WorkingTime::add_work(Minute t, std::int64_t work) const {
    check_work(work);
    if (work == 0) return t;
    const std::int64_t goal = before(t) + work;
    if (goal > sums_.back()) throw_too_little("after", t, work, sums_.back() - before(t));
    // The stretch in which the sum first reaches the goal: its end is as good as any later beginning, and earlier.
    const std::size_t i = std::lower_bound(sums_.begin(), sums_.end(), goal) - sums_.begin() - 1;
    return spans_[i].from + (goal - sums_[i]);
}

Minute WorkingTime::subtract_work(Minute t, std::int64_t work) const {
    check_work(work);
    if (work == 0) return t;
    const std::int64_t goal = before(t) - work;
    if (goal < 0) throw_too_little("before", t, work, before(t));
    const std::size_t i = std::upper_bound(sums_.begin(), sums_.end(), goal) - sums_.begin() - 1;
    return spans_[i].from + (goal - sums_[i]);
}

}  // namespace libseal
