#include "libseal/calendar/check.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "libseal/core/text.hpp"
#include "libseal/schedule/time.hpp"

namespace libseal {
namespace {

class CalendarCheck {
public:
    CalendarCheck(const Calendar& calendar, const Shop& shop, const std::vector<OwnerDates>& owner_dates)
        : calendar_(calendar), shop_(shop), owner_dates_(owner_dates) {}

    std::vector<std::string> faults() {
        std::set<std::string> uids;
        for (const Visit& visit : calendar_.visits) {
            if (!uids.insert(visit.uid).second) fault(visit, "has the uid of another visit");
            if (visit.cancelled) continue;
            days(visit);
            lateness(visit);
            for (std::size_t d = 0; d < visit.day_minutes.size(); ++d) booked_[visit.first + static_cast<int>(d)] += visit.day_minutes[d];
        }
        overlaps();
        people();
        weeks();
        return std::move(faults_);
    }

private:
    void fault(const Visit& visit, const std::string& text) {
        faults_.push_back(visit.kind + " of " + visit.coach + " on " + to_text(visit.first) + " " + text);
    }

    void days(const Visit& visit) {
        if (visit.last < visit.first) fault(visit, "ends before it begins");
        if (visit.first <= calendar_.as_of) fault(visit, "is not after the day of the calendar");
        if (visit.first > make_date(calendar_.year, 12, 31)) fault(visit, "is after the year");
        if (!works_on(shop_, visit.first)) fault(visit, "begins on a day off");
        const auto bays = bays_of(shop_);
        if (visit.bay < 0 || visit.bay >= static_cast<int>(bays.size())) fault(visit, "stands in a bay that is not there");
        else if (visit.kind == "work" && !seals_on(shop_, visit.first, bays[static_cast<std::size_t>(visit.bay)])) fault(visit, "begins on a day without sealing");
        if (static_cast<int>(visit.day_minutes.size()) != visit.last - visit.first + 1) fault(visit, "has no minutes for each of its days");
        double sum = 0;
        for (const double minutes : visit.day_minutes) {
            if (!(minutes >= 0)) fault(visit, "has minutes below zero");
            sum += minutes;
        }
        // Steps are rounded to whole minutes.
        if (std::abs(sum - visit.minutes.mode) > 0.1 * visit.minutes.mode + 30)
            fault(visit, "books " + number_text(sum, 0) + " of " + number_text(visit.minutes.mode, 0) + " person-minutes");
        for (const OwnerDates& dates : owner_dates_)
            if (dates.kind == "trip" && dates.coach == visit.coach && visit.first < dates.to && dates.from <= visit.last)
                fault(visit, "meets the trip from " + to_text(dates.from));
    }

    void lateness(const Visit& visit) {
        bool any = visit.kind == "inspection" && visit.last > visit.window.latest;
        for (const VisitTask& task : visit.tasks) {
            any = any || visit.last > task.due;
            if (task.late != (visit.last > task.due)) fault(visit, "does not mark " + task.joint + " as it is, late or not");
            if (task.best_date != Date{} && (task.best_date < visit.first || task.best_date > visit.last) && task.moved.empty())
                fault(visit, "does not say why " + task.joint + " is not done on its best day");
        }
        if (any && std::none_of(visit.flags.begin(), visit.flags.end(), [](const std::string& f) { return f.find("late") != std::string::npos; }))
            fault(visit, "does not say that it is late");
    }

    /// Sorted by begin, a stay that begins before the longest end so far meets an earlier one.
    template <class Key>
    void apart(const std::string& what, Key key) {
        std::map<decltype(key(calendar_.visits.front())), std::vector<const Visit*>> groups;
        for (const Visit& visit : calendar_.visits)
            if (!visit.cancelled) groups[key(visit)].push_back(&visit);
        for (auto& [id, list] : groups) {
            std::stable_sort(list.begin(), list.end(), [](const Visit* a, const Visit* b) { return a->first < b->first; });
            const Visit* longest = nullptr;
            for (const Visit* visit : list) {
                if (longest && visit->first <= longest->last) fault(*visit, what + longest->coach + " from " + to_text(longest->first));
                if (!longest || visit->last > longest->last) longest = visit;
            }
        }
    }

    void overlaps() {
        if (calendar_.visits.empty()) return;
        apart("stands in one bay with ", [](const Visit& visit) { return visit.bay; });
        apart("meets the other visit of ", [](const Visit& visit) { return visit.coach; });
    }

    void people() {
        for (const auto& [day, minutes] : booked_) {
            Minute offered = 0;
            for (const Person& person : shop_.people)
                for (const TimeSpan& span : working_spans(shop_, person, day)) offered += span.to - span.from;
            if (minutes > static_cast<double>(offered) + 1e-6)
                faults_.push_back(to_text(day) + ": " + number_text(minutes, 0) + " person-minutes booked, " + std::to_string(offered) + " there");
        }
    }

    void weeks() {
        for (const Week& week : calendar_.weeks) {
            double booked = 0;
            for (int d = 0; d < 7; ++d)
                if (const auto at = booked_.find(week.start + d); at != booked_.end()) booked += at->second / 60;
            const std::string name = "week of " + to_text(week.start);
            if (weekday(week.start) != 0) faults_.push_back(name + ": does not begin on a Monday");
            if (std::abs(booked - week.booked) > 1e-6 * std::max(1.0, booked)) faults_.push_back(name + ": the hours do not add up");
            if (std::abs(week.overtime - std::max(0.0, week.booked - week.capacity)) > 1e-9) faults_.push_back(name + ": overtime is not what is beyond the capacity");
            if (week.overtime > week.overtime_limit + 1e-6) faults_.push_back(name + ": more overtime than the shop offers");
        }
        if (calendar_.bound > calendar_.moving_cost * (1 + 1e-9)) faults_.push_back("the bound is above the cost");
        const double gap = calendar_.moving_cost > 0 ? (calendar_.moving_cost - calendar_.bound) / calendar_.moving_cost : 0;
        if (std::abs(gap - calendar_.gap) > 1e-6) faults_.push_back("the gap is not that of cost and bound");
    }

    const Calendar& calendar_;
    const Shop& shop_;
    const std::vector<OwnerDates>& owner_dates_;
    std::map<Date, double> booked_;
    std::vector<std::string> faults_;
};

}  // namespace

std::vector<std::string> check_calendar(const Calendar& calendar, const Shop& shop, const std::vector<OwnerDates>& owner_dates) {
    return CalendarCheck(calendar, shop, owner_dates).faults();
}

}  // namespace libseal
