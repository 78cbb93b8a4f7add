#include "libseal/schedule/explain.hpp"

#include <algorithm>
#include <set>

#include "libseal/core/error.hpp"
#include "schedule/causes.hpp"
#include "schedule/of_bookings.hpp"

namespace libseal {

std::vector<Cause> explain(const Schedule& schedule, const std::vector<Booking>& bookings, const Shop& shop, Date start, int booking,
                           int step, const ScheduleOptions& options) {
    int days = 1;
    for (const StepTime& time : schedule.steps) days = std::max(days, day_of(time.end).days - start.days + 1);
    detail::ShopHours hours(shop, start, days + 14, options);
    const detail::Jobs jobs = detail::jobs_of(bookings, hours, start, options);
    if (schedule.steps.size() != jobs.jobs.size())
        throw_value_error("schedule.steps", std::to_string(jobs.jobs.size()) + " steps, those of the bookings", std::to_string(schedule.steps.size()));
    detail::check_steps_of(schedule, bookings, shop);
    detail::check_stays_of(schedule, bookings, shop);
    for (std::size_t j = 0; j < jobs.jobs.size(); ++j)
        if (schedule.steps[j].booking != jobs.jobs[j].booking || schedule.steps[j].step != jobs.jobs[j].step)
            throw_value_error("schedule.steps[" + std::to_string(j) + "]", "the order of the bookings and their plans",
                              std::to_string(schedule.steps[j].booking) + ", " + std::to_string(schedule.steps[j].step));
    const auto guest = static_cast<std::size_t>(booking);
    if (booking < 0 || guest >= jobs.guests.size() || step < 0 || step >= jobs.guests[guest].last - jobs.guests[guest].first)
        throw_value_error("step", "a booking and a step of its plan", std::to_string(booking) + ", " + std::to_string(step));
    const std::vector<Cause> causes = detail::direct_causes(schedule, bookings, jobs, hours);
    std::vector<Cause> chain;
    std::set<int> seen;
    for (int at = jobs.guests[guest].first + step; at >= 0 && seen.insert(at).second;) {
        const Cause& cause = causes[static_cast<std::size_t>(at)];
        chain.push_back(cause);
        at = cause.by_step < 0 ? -1 : jobs.guests[static_cast<std::size_t>(cause.by_booking)].first + cause.by_step;
    }
    return chain;
}

}  // namespace libseal
