// The shop, the year, the inputs sorted by coach: what every part of a calendar looks at.

#include <cmath>
#include <limits>

#include "calendar/draft.hpp"
#include "work/planning.hpp"

namespace libseal::detail {
namespace {

/// The shop with every day open to sealing: what is to be done does not depend on when.
Shop always_sealing(const Shop& shop) {
    Shop open = shop;
    open.closed.clear();
    open.heated_bay = true;
    return open;
}

}  // namespace

YearFrame::YearFrame(const Shop& place, const CalendarOptions& chosen, int of_year, Date day)
    : shop(place),
      options(chosen),
      year(of_year),
      as_of(day),
      first(std::max(day + 1, make_date(of_year, 1, 1))),
      last(make_date(of_year, 12, 31)),
      days(place, day + 1, make_date(of_year, 12, 31) + 62),
      open(always_sealing(place)) {
    for (const Finding& finding : chosen.findings) findings[finding.coach].push_back(finding);
    for (const WorkDone& work : chosen.work_done) work_done[work.coach].push_back(work);
    for (const OwnerDates& dates : chosen.owner_dates) owner_dates[dates.coach].push_back(&dates);
    if (chosen.previous)
        for (const Visit& visit : chosen.previous->visits)
            if (!visit.cancelled && visit.last >= day) previous[visit.coach].push_back(&visit);
    for (int month = 1; month <= 12 && !chosen.season_percent.empty(); ++month) {
        open_by_month.push_back(open);
        Money& rate = open_by_month.back().labour_rate_per_h;
        rate = static_cast<Money>(std::llround(static_cast<double>(rate) * season(make_date(of_year, month, 1))));
    }
    const Catalogue& c = chosen.catalogue;
    const double own = place.visit_setup_minutes;
    const double minutes = (std::isnan(own) ? c.number("labour/job_set_up") : own) + c.number("labour/job_tear_down");
    set_up = static_cast<double>(labour_cost(minutes, place) + place.billing.trip_base);
    const double an_hour = static_cast<double>(place.labour_rate_per_h);
    for (std::size_t k = 1; k <= 4; ++k)
        risk_a_day[k] = c.number("visit/path_per_year") * c.number("visit/damage_hours_" + std::to_string(k)) * an_hour / 365.25;
}

CoachDates YearFrame::dates_of(const std::string& coach) const {
    const auto own = owner_dates.find(coach);
    return own == owner_dates.end() ? nullptr : &own->second;
}

const OwnerDates* trip_on(CoachDates dates, Date day) {
    if (dates)
        for (const OwnerDates* one : *dates)
            if (one->kind == "trip" && one->from <= day && day < one->to) return one;
    return nullptr;
}

double YearFrame::season(Date day) const {
    if (options.season_percent.empty()) return 1;
    const auto found = options.season_percent.find(year_month_day(day).month);
    return found == options.season_percent.end() ? 1 : found->second / 100;
}

const Shop& YearFrame::open_on(Date day) const {
    return open_by_month.empty() ? open : open_by_month[static_cast<std::size_t>(year_month_day(day).month - 1)];
}

double YearFrame::set_up_on(CoachDates dates, Date day) const {
    if (!days.seals(day) || trip_on(dates, day)) return std::numeric_limits<double>::infinity();
    double price = set_up * season(day);
    if (dates)
        for (const OwnerDates* one : *dates)
            if (one->kind == "storage" && one->from <= day && day < one->to) price *= one->set_up_percent / 100;
    return price;
}

}  // namespace libseal::detail
