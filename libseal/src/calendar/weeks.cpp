// Work drafts to weeks, and the hours of the weeks.

#include <algorithm>
#include <cmath>
#include <limits>

#include "calendar/draft.hpp"

namespace libseal::detail {
namespace {

constexpr double never = std::numeric_limits<double>::infinity();

/// Hours that a visit takes of a week: of the people or, if those are scarcer, its days in a bay as a share of all people's hours.
double hours_of(const VisitDraft& draft, double hours_a_bay_day) {
    const double own = draft.visit.minutes.mode / 60;
    const double days = std::max(1.0, std::ceil(own / std::max(1.0, 2 * hours_a_bay_day)));
    return std::max({own, days * hours_a_bay_day, 1e-3});
}

/// Mean hours of the people for a bay and day.
double hours_a_bay_day(const YearFrame& frame) {
    double hours = 0, days = 0;
    for (Date day = frame.first; day <= frame.last; day = day + 1)
        if (frame.days.works(day)) hours += static_cast<double>(frame.days.at(day).capacity) / 60, days += 1;
    return days > 0 ? hours / days / static_cast<double>(std::max<std::size_t>(1, bays_of(frame.shop).size())) : 0;
}

/// Price of a draft in each week: its cheapest open day; beyond its days a price that rises day by day.
WeekWork week_work(const VisitDraft& draft, const YearFrame& frame, std::size_t weeks, double bay_day) {
    WeekWork work{draft.visit.coach, hours_of(draft, bay_day), 0, std::vector<double>(weeks, never)};
    double least = never, most = 0;
    for (const float price : draft.price)
        if (price < std::numeric_limits<float>::infinity()) least = std::min(least, static_cast<double>(price)), most = std::max(most, static_cast<double>(price));
    if (least == never) return work;
    const Date end = draft.price_from + static_cast<int>(draft.price.size()) - 1;
    const Date monday = monday_of(frame.as_of + 1);
    for (Date day = std::max(draft.price_from, frame.as_of + 1); day <= frame.last; day = day + 1) {
        if (!frame.days.seals(day) || trip_on(draft.dates, day)) continue;
        const std::size_t week = static_cast<std::size_t>((day - monday) / 7);
        const double price = day <= end ? static_cast<double>(draft.price[static_cast<std::size_t>(day - draft.price_from)]) - least
                                        : most - least + frame.set_up + draft.late_rate * (day - end);
        work.cost[week] = std::min(work.cost[week], price);
    }
    return work;
}

}  // namespace

std::vector<Week> weeks_of_year(const YearFrame& frame) {
    std::vector<Week> weeks;
    for (Date monday = monday_of(frame.as_of + 1); monday <= frame.last; monday = monday + 7) {
        Week week;
        week.start = monday;
        for (Date day = std::max(monday, frame.as_of + 1); day < monday + 7; day = day + 1) {
            week.capacity += static_cast<double>(frame.days.at(day).capacity) / 60;
            week.overtime_limit += static_cast<double>(frame.days.at(day).overtime) / 60;
        }
        weeks.push_back(week);
    }
    return weeks;
}

void level_drafts(std::vector<VisitDraft>& drafts, const YearFrame& frame, Calendar& calendar) {
    const std::vector<Week> weeks = weeks_of_year(frame);
    const double fill = frame.options.catalogue.number("visit/week_fill"), bay_day = hours_a_bay_day(frame);
    std::vector<WeekCapacity> capacity;
    for (const Week& week : weeks) capacity.push_back({fill * week.capacity, fill * week.overtime_limit});
    std::vector<WeekWork> works;
    LevellingOptions options;
    for (const VisitDraft& draft : drafts) {
        works.push_back(week_work(draft, frame, weeks.size(), bay_day));
        const bool kept = draft.previous && draft.previous->first > frame.as_of && draft.previous->first <= frame.last && !draft.urgent;
        options.keep.push_back(kept ? (draft.previous->first - weeks.front().start) / 7 : -1);
    }
    options.overtime_cost = static_cast<double>(frame.shop.labour_rate_per_h) * frame.options.overtime_percent / 100;
    options.move_cost = frame.set_up;
    options.seed = frame.options.seed;
    options.watch = frame.options.watch;
    const Levelling level = level_weeks(works, capacity, options);
    for (std::size_t i = 0; i < drafts.size(); ++i) drafts[i].week = level.week[i];
    const double unit = std::pow(10.0, minor_digits(frame.shop.currency));
    calendar.moving_cost = level.cost / unit;
    calendar.bound = level.bound / unit;
    calendar.gap = level.gap;
}

void count_hours(const YearFrame& frame, Calendar& calendar) {
    calendar.weeks = weeks_of_year(frame);
    if (calendar.weeks.empty()) return;
    const Date monday = calendar.weeks.front().start;
    for (const Visit& visit : calendar.visits) {
        if (visit.cancelled) continue;
        for (std::size_t d = 0; d < visit.day_minutes.size(); ++d) {
            const int week = (visit.first + static_cast<int>(d) - monday) / 7;
            if (week >= 0 && static_cast<std::size_t>(week) < calendar.weeks.size())
                calendar.weeks[static_cast<std::size_t>(week)].booked += visit.day_minutes[d] / 60;
        }
    }
    for (Week& week : calendar.weeks) week.overtime = std::max(0.0, week.booked - week.capacity);
}

}  // namespace libseal::detail
