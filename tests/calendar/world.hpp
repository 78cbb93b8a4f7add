#pragma once
// A synthetic fleet with its forecast and findings, and what calendars of it are asked.

#include <map>
#include <set>
#include <string>
#include <vector>

#include "libseal/calendar/check.hpp"
#include "libseal/calendar/year.hpp"
#include "work/samples.hpp"

namespace libseal_test {

using namespace libseal;

struct World {
    Fleet fleet;
    Forecast forecast;
    CalendarOptions options;
};

/// Some synthetic coaches with findings; everything drawn from the seed.
inline World world(std::uint64_t seed, int coaches = 3) {
    World w;
    w.forecast.as_of = sample_day();
    w.forecast.years = 2;
    for (int i = 0; i < coaches; ++i) {
        const std::uint64_t own = seed * 100 + static_cast<std::uint64_t>(i);
        w.fleet.coaches.push_back(sample_trailer(own, "coach_" + std::to_string(i)));
        w.fleet.coaches.back().owner = "Owner " + std::to_string(i);
        add_forecast(w.forecast, w.fleet.coaches.back(), own);
        for (const Finding& f : sample_findings(w.fleet.coaches.back(), own, 4))
            w.options.findings.push_back(f);
    }
    w.options.work_limit = 1;
    return w;
}

inline Calendar calendar_of(const World& w, const Shop& shop = sample_shop()) {
    return year_calendar(w.fleet, 2027, shop, w.forecast, w.options);
}

inline std::map<std::string, std::set<std::string>> tasks_by_coach(const Calendar& calendar) {
    std::map<std::string, std::set<std::string>> result;
    for (const Visit& visit : calendar.visits)
        if (!visit.cancelled)
            for (const VisitTask& task : visit.tasks) result[visit.coach].insert(task.joint);
    return result;
}

/// What the checker says, one line each.
inline std::string faults(const Calendar& calendar, const Shop& shop, const std::vector<OwnerDates>& owner_dates = {}) {
    std::string text;
    for (const std::string& fault : check_calendar(calendar, shop, owner_dates)) text += fault + "\n";
    return text;
}

}  // namespace libseal_test
