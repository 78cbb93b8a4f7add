// Days for drafts: bays, people, working days.

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <utility>

#include "calendar/draft.hpp"

namespace libseal::detail {
namespace {

constexpr double never = std::numeric_limits<double>::infinity();
/// People who work on one coach at a time, where steps are not scheduled one by one. Judgement of this project.
constexpr Minute crew = 2;
/// A cure up to this long passes overnight [h].
constexpr double overnight_hours = 15;

/// A draft on certain days.
struct Placement {
    DayLoad stay;
    int bay = -1;
    std::string problem;
};

/// Work from `day` on, step by step; nothing if the first step cannot begin on that day.
Placement scheduled_from(const VisitDraft& draft, const YearFrame& frame, Date day, int work_limit) {
    ScheduleOptions options;
    options.work_limit = work_limit;
    options.seed = frame.options.seed;
    const Schedule result = schedule(*draft.plan, frame.shop, day, options);
    Placement placement;
    if (result.steps.empty()) {
        placement.problem = result.obstacles.empty()
                                ? result.stopped
                                : result.obstacles.front() + (result.relaxations.empty() ? "" : "|" + result.relaxations.front());
        return placement;
    }
    placement.stay.first = day_of(result.begin);
    const Date last = std::max(result.days.back(), day_of(std::max(result.begin, result.end - 1)));
    placement.stay.minutes.assign(static_cast<std::size_t>(last - placement.stay.first) + 1, 0);
    placement.stay.needs_heat = frame.days.needs_heat(placement.stay.first);
    for (const StepTime& time : result.steps)
        for (const TimeSpan& piece : time.pieces) {
            placement.stay.minutes[static_cast<std::size_t>(day_of(piece.from) - placement.stay.first)] +=
                (piece.to - piece.from) * static_cast<Minute>(time.people.size());
            const std::string& gate = draft.plan->steps[static_cast<std::size_t>(time.step)].gate;
            if ((gate == "bond" || gate == "coat") && frame.days.needs_heat(day_of(piece.from))) placement.stay.needs_heat = true;
        }
    return placement;
}

/// Minutes laid on working days one after the other, `people` of them at most at a time.
DayLoad laid_from(Minute minutes, Date day, Minute people, const YearFrame& frame) {
    DayLoad stay;
    stay.first = day;
    const auto staff = static_cast<Minute>(frame.shop.people.size());
    for (Date at = day; minutes > 0 && at <= day + 366; at = at + 1) {
        const ShopDay& offer = frame.days.at(at);
        const Minute here = std::min(offer.longest * std::min(people, staff), offer.capacity + offer.overtime);
        stay.minutes.push_back(std::min(minutes, here));
        minutes -= stay.minutes.back();
    }
    return stay;
}

Placement estimated_from(const VisitDraft& draft, const YearFrame& frame, Date day) {
    Placement placement;
    placement.stay = laid_from(static_cast<Minute>(std::ceil(draft.visit.minutes.mode)), day, crew, frame);
    for (Date at = day; at <= placement.stay.last(); at = at + 1)
        if (frame.days.needs_heat(at)) placement.stay.needs_heat = true;
    if (draft.hold_hours > overnight_hours) {
        // The last step, a water test, waits for the cure and for a working day.
        Date end = placement.stay.last() + static_cast<int>(std::ceil((draft.hold_hours - overnight_hours) / 24));
        while (end <= frame.days.last() && !frame.days.works(end)) end = end + 1;
        placement.stay.minutes.resize(static_cast<std::size_t>(end - placement.stay.first) + 1, 0);
    }
    return placement;
}

Placement placed_from(const VisitDraft& draft, const YearFrame& frame, Date day, int work_limit) {
    if (draft.visit.kind == "inspection") {
        Placement placement;  // one person looks
        placement.stay = laid_from(static_cast<Minute>(std::ceil(draft.visit.minutes.mode)), day, 1, frame);
        return placement;
    }
    return draft.plan ? scheduled_from(draft, frame, day, work_limit) : estimated_from(draft, frame, day);
}

bool open_on(const VisitDraft& draft, const YearFrame& frame, Date day) {
    if (!(draft.visit.kind == "inspection" ? frame.days.works(day) : frame.days.seals(day))) return false;
    return !trip_on(draft.dates, day);
}

double price_on(const VisitDraft& draft, Date day) {
    const int d = day - draft.price_from;
    return d < 0 || d >= static_cast<int>(draft.price.size()) ? never : static_cast<double>(draft.price[static_cast<std::size_t>(d)]);
}

/// Days in the order in which they are tried: the one given out before, the levelled week, all that have a price, later ones. What
/// is far down the order is worked out only if nothing before it was taken.
class Candidates {
public:
    Candidates(const VisitDraft& draft, const YearFrame& frame)
        : draft_(draft), frame_(frame), monday_(draft.week < 0 ? Date{-1000000} : monday_of(frame.as_of + 1) + 7 * draft.week),
          seen_(static_cast<std::size_t>(std::max(0, frame.last - frame.as_of)), 0) {}

    /// Calls `take(day)` until it returns true. @return  Whether it did.
    template <class Take>
    bool each(const Take& take) {
        const auto tried = [&](Date day) { return fresh(day) && take(day); };
        if (draft_.previous && draft_.preferred == draft_.previous->first && tried(draft_.preferred)) return true;
        if (draft_.visit.kind == "inspection") {
            for (Date day = draft_.preferred; day >= draft_.visit.window.earliest; day = day - 1)
                if (tried(day)) return true;
        } else {
            for (const bool outside : {false, true})
                for (const Date day : priced(outside))
                    if (tried(day)) return true;
            for (Date day = std::max(monday_, frame_.as_of + 1); draft_.week >= 0 && day <= monday_ + 6; day = day + 1)
                if (tried(day)) return true;
        }
        for (Date day = draft_.visit.window.earliest; day <= frame_.last; day = day + 1)
            if (tried(day)) return true;
        return false;
    }

private:
    /// Open, and not yet tried?
    bool fresh(Date day) {
        if (day <= frame_.as_of || !open_on(draft_, frame_, day)) return false;
        const auto i = static_cast<std::size_t>(day - frame_.as_of - 1);
        if (i >= seen_.size()) seen_.resize(i + 1, 0);
        return std::exchange(seen_[i], char{1}) == 0;
    }

    /// Days with a price in the levelled week or outside it: cheapest first, or first what is urgent.
    std::vector<Date> priced(bool outside) const {
        std::vector<std::pair<double, int>> days;
        for (std::size_t d = 0; d < draft_.price.size(); ++d) {
            const Date day = draft_.price_from + static_cast<int>(d);
            const double price = price_on(draft_, day);
            if (price < never && (day < monday_ || day > monday_ + 6) == outside) days.emplace_back(draft_.urgent ? 0 : price, draft_.urgent ? day.days : -day.days);
        }
        std::sort(days.begin(), days.end());
        std::vector<Date> sorted;
        for (const auto& [price, day] : days) sorted.push_back({draft_.urgent ? day : -day});
        return sorted;
    }

    const VisitDraft& draft_;
    const YearFrame& frame_;
    Date monday_;
    std::vector<char> seen_;  ///< from the day after as_of on
};

void flag_late(Visit& visit, const VisitDraft& draft, const YearFrame& frame) {
    if (visit.kind == "inspection") {
        if (visit.last > visit.window.latest) visit.flags.push_back("late: no bay or nobody free before " + to_text(visit.first));
        return;
    }
    int late = 0;
    const VisitTask* worst = nullptr;
    for (VisitTask& task : visit.tasks) {
        task.late = visit.last > task.due;
        late += task.late ? 1 : 0;
        if (task.late && (!worst || task.due < worst->due)) worst = &task;
    }
    if (!worst) return;
    const std::string closed = no_sealing_reason(frame.shop, worst->due);
    const OwnerDates* trip = trip_on(draft.dates, worst->due);
    visit.flags.push_back(std::to_string(late) + " of " + std::to_string(visit.tasks.size()) + " tasks late: " +
                          (worst->due <= frame.as_of                 ? "already due on " + to_text(frame.as_of)
                           : !closed.empty()                         ? closed
                           : trip                                    ? "the coach is away until " + to_text(trip->to - 1)
                           : visit.first > visit.window.latest ? "no bay or nobody free earlier"
                           : worst->urgency == "at_once" || worst->urgency == "within_30_days" ? "due before the work can end"
                                                                     : "waiting costs less than one more visit"));
}

Visit visit_of(VisitDraft& draft, const YearFrame& frame, const Placement& placement) {
    Visit visit = std::move(draft.visit);
    visit.first = placement.stay.first;
    visit.last = placement.stay.last();
    visit.bay = placement.bay;
    // Schedules round each step up to whole minutes: the days share what the work is expected to take.
    const auto whole = static_cast<double>(std::accumulate(placement.stay.minutes.begin(), placement.stay.minutes.end(), Minute{0}));
    for (const Minute minutes : placement.stay.minutes)
        visit.day_minutes.push_back(whole > 0 ? visit.minutes.mode * static_cast<double>(minutes) / whole : 0);
    flag_late(visit, draft, frame);
    if (visit.kind == "work" && visit.first < make_date(frame.year, 1, 1)) visit.flags.push_back("before the year: it cannot wait");
    for (VisitTask& task : visit.tasks) task.moved = why_moved(task, draft, visit, frame);
    return visit;
}

void note_unplaced(const VisitDraft& draft, const std::string& problem, const YearFrame& frame, Calendar& calendar) {
    const auto bar = problem.find('|');
    const Visit& visit = draft.visit;
    const std::string constraint = problem.empty() ? "no bay and people are free from " + to_text(visit.window.earliest) + " to " +
                                                         to_text(frame.last)
                                                   : problem.substr(0, bar);
    const std::string relaxation = bar == std::string::npos ? "one more bay or person, or an open day more" : problem.substr(bar + 1);
    if (visit.kind == "inspection")
        calendar.unplaced.push_back({visit.coach, "", "inspection", visit.window.latest, constraint, relaxation});
    for (const VisitTask& task : visit.tasks)
        calendar.unplaced.push_back({visit.coach, task.joint, task.action, task.due, constraint, relaxation});
}

/// Does the coach stay over a day on which its owner is away with it?
bool meets_trip(const VisitDraft& draft, const DayLoad& stay) {
    for (Date day = stay.first; day <= stay.last(); day = day + 1)
        if (trip_on(draft.dates, day)) return true;
    return false;
}

}  // namespace

Occupancy::Occupancy(const YearFrame& frame)
    : frame_(frame),
      bays_(bays_of(frame.shop)),
      taken_(static_cast<std::size_t>(frame.days.last() - frame.days.first()) + 1, std::vector<char>(bays_.size(), 0)),
      booked_(taken_.size(), 0) {}

bool Occupancy::any_bay(Date day) const {
    const int i = day - frame_.days.first();
    if (i < 0 || static_cast<std::size_t>(i) >= taken_.size()) return false;
    const auto& bays = taken_[static_cast<std::size_t>(i)];
    const ShopDay& offer = frame_.days.at(day);
    return booked_[static_cast<std::size_t>(i)] < offer.capacity + offer.overtime && std::find(bays.begin(), bays.end(), 0) != bays.end();
}

int Occupancy::free_bay(const DayLoad& stay) const {
    if (stay.minutes.empty() || stay.first < frame_.days.first() || stay.last() > frame_.days.last()) return -1;
    const auto from = static_cast<std::size_t>(stay.first - frame_.days.first());
    for (std::size_t d = 0; d < stay.minutes.size(); ++d) {
        const ShopDay& offer = frame_.days.at(stay.first + static_cast<int>(d));
        if (stay.minutes[d] > 0 && booked_[from + d] + stay.minutes[d] > offer.capacity + offer.overtime) return -1;
    }
    for (std::size_t bay = 0; bay < bays_.size(); ++bay) {
        bool free = !stay.needs_heat || bays_[bay].heated;
        for (std::size_t d = 0; d < stay.minutes.size() && free; ++d) free = !taken_[from + d][bay];
        if (free) return static_cast<int>(bay);
    }
    return -1;
}

bool Occupancy::coach_is_free(const std::string& coach, const DayLoad& stay) const {
    const auto own = stays_.find(coach);
    return own == stays_.end() || std::none_of(own->second.begin(), own->second.end(), [&](const auto& other) {
               return other.first <= stay.last() && stay.first <= other.second;
           });
}

void Occupancy::take(const std::string& coach, int bay, const DayLoad& stay) {
    stays_[coach].emplace_back(stay.first, stay.last());
    const auto from = static_cast<std::size_t>(stay.first - frame_.days.first());
    for (std::size_t d = 0; d < stay.minutes.size(); ++d) {
        taken_[from + d][static_cast<std::size_t>(bay)] = 1;
        booked_[from + d] += stay.minutes[d];
    }
}

bool place_draft(VisitDraft& draft, const YearFrame& frame, Occupancy& occupancy, Calendar& calendar) {
    std::string problem;
    Placement chosen;
    const auto take = [&](Date day) {
        // A day whose bays are all taken needs no schedule.
        if (!occupancy.any_bay(day)) return false;
        Placement placement = placed_from(draft, frame, day, 1);
        problem = placement.problem;
        if (!problem.empty()) return true;  // what the shop cannot do at all it cannot do on another day
        if (placement.stay.last() > frame.last + 31 || meets_trip(draft, placement.stay)) return false;
        if (!occupancy.coach_is_free(draft.visit.coach, placement.stay)) return false;
        placement.bay = occupancy.free_bay(placement.stay);
        if (placement.bay < 0) return false;
        if (draft.plan && frame.options.work_limit > 1) {
            Placement better = placed_from(draft, frame, day, frame.options.work_limit);
            better.bay = better.problem.empty() ? occupancy.free_bay(better.stay) : -1;
            if (better.bay >= 0 && better.stay.last() <= placement.stay.last()) placement = better;
        }
        chosen = std::move(placement);
        return true;
    };
    if (!Candidates(draft, frame).each(take) || !problem.empty()) {
        note_unplaced(draft, problem, frame, calendar);
        return false;
    }
    occupancy.take(draft.visit.coach, chosen.bay, chosen.stay);
    calendar.visits.push_back(visit_of(draft, frame, chosen));
    return true;
}

}  // namespace libseal::detail
