#include "schedule/causes.hpp"

#include <algorithm>
#include <cmath>

namespace libseal {
namespace detail {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

class Causes {
public:
    Causes(const Schedule& schedule, const std::vector<Booking>& bookings, const Jobs& jobs, ShopHours& hours)
        : schedule_(schedule), bookings_(bookings), jobs_(jobs), hours_(hours) {
        by_person_.resize(hours.shop().people.size());
        for (std::size_t j = 0; j < schedule.steps.size(); ++j) {
            for (const int person : schedule.steps[j].people) by_person_[at(person)].push_back(static_cast<int>(j));
            if (jobs.jobs[j].reach >= 0 && !schedule.steps[j].pieces.empty()) by_reach_[jobs.jobs[j].reach].push_back(static_cast<int>(j));
        }
    }

    Cause of(int number) const {
        const BookedStep& job = jobs_.jobs[at(number)];
        const StepTime& time = schedule_.steps[at(number)];
        Cause cause{job.booking, job.step, "arrival", -1, -1, time.start, time.start, ""};
        if (job.state != StepState::planned) {
            cause.kind = "running";
            cause.text = job.state == StepState::done ? "done already" : "started already";
            return cause;
        }
        cause.from = by_order(number, cause);
        if (time.start > cause.from && job.work > 0) by_others(number, cause);
        return cause;
    }

private:
    const Step& step_of(int number) const {
        return bookings_[at(jobs_.jobs[at(number)].booking)].plan.steps[at(jobs_.jobs[at(number)].step)];
    }
    std::string name(int number, int seen_from) const {
        const int booking = jobs_.jobs[at(number)].booking;
        return (booking != seen_from ? bookings_[at(booking)].plan.coach + " " : "") + step_of(number).id;
    }
    void held_by(Cause& cause, int number) const {
        cause.by_booking = jobs_.jobs[at(number)].booking;
        cause.by_step = jobs_.jobs[at(number)].step;
    }

    /// Arrival, the day the schedule starts, the bay, or the step before with its wait.
    Minute by_order(int number, Cause& cause) const {
        const BookedStep& job = jobs_.jobs[at(number)];
        const Guest& guest = jobs_.guests[at(job.booking)];
        const BayStay& stay = schedule_.stays[at(job.booking)];
        Minute ready = job.release;
        cause.kind = "arrival";
        cause.text = job.release > guest.arrival ? "now" : guest.arrival > jobs_.start ? "the coach arrives" : "the first day";
        for (const BayStay& other : schedule_.stays) {
            if (job.work == 0 || other.booking == stay.booking || other.bay != stay.bay || other.end > stay.begin || other.end <= ready) continue;
            if (other.begin == other.end) continue;  // marks in time alone hold no bay
            ready = other.end;
            cause.kind = "bay";
            cause.text = "the bay is free: after coach " + other.coach;
            held_by(cause, last_of(other));
        }
        const int kind = jobs_.bay_kind[at(stay.bay)];
        const auto& edges = bookings_[at(job.booking)].plan.edges;
        for (const Edge& edge : edges) {
            if (edge.to != job.step) continue;
            const int from = guest.first + edge.from;
            const Minute can = hours_.ready(schedule_.steps[at(from)].end, static_cast<Minute>(std::ceil(edge.lag - 1e-9)), edge.clock, kind);
            if (can < ready || (can == ready && cause.kind == "order")) continue;
            ready = can;
            cause.kind = "order";
            held_by(cause, from);
            cause.text = step_of(from).id + " (" + edge.rule + ": " + edge.reason + ")";
        }
        return ready;
    }

    int last_of(const BayStay& stay) const {
        const Guest& guest = jobs_.guests[at(stay.booking)];
        int last = guest.first;
        for (int j = guest.first; j < guest.last; ++j)
            if (schedule_.steps[at(j)].end >= schedule_.steps[at(last)].end) last = j;
        return last;
    }

    /// Somebody busy, a ladder taken, or hours and weather.
    void by_others(int number, Cause& cause) const {
        const BookedStep& job = jobs_.jobs[at(number)];
        const StepTime& time = schedule_.steps[at(number)];
        int holder = -1;
        const char* kind = "people";
        const auto look = [&](const std::vector<int>& list, const char* what) {
            for (const int other : list)
                if (other != number && schedule_.steps[at(other)].end <= time.start && schedule_.steps[at(other)].end > cause.from &&
                    (holder < 0 || schedule_.steps[at(other)].end > schedule_.steps[at(holder)].end))
                    holder = other, kind = what;
        };
        for (const int person : time.people) look(by_person_[at(person)], "people");
        if (job.reach >= 0) look(by_reach_[job.reach], "ladder");
        if (holder >= 0) {
            cause.kind = kind;
            held_by(cause, holder);
            cause.text = std::string(cause.kind == "people" ? "somebody free" : "a ladder or platform free") + ": after " + name(holder, job.booking);
            return;
        }
        const bool gated = job.gate > 0 && !open_without_gate(number);
        cause.text += std::string(cause.text.empty() ? "" : ", then ") +
                      (gated ? "weather and days that allow it, long enough" : "the next working time long enough");
        cause.kind = gated ? "weather" : "hours";
    }

    /// Would plain shifts have let it start no earlier either?
    bool open_without_gate(int number) const {
        const BookedStep& job = jobs_.jobs[at(number)];
        const StepTime& time = schedule_.steps[at(number)];
        const int kind = jobs_.bay_kind[at(schedule_.stays[at(job.booking)].bay)];
        for (const int team : *job.teams)
            if (hours_.people(team) == time.people) {
                const Minute ready = by_order_only(number);
                for (const TimeSpan& span : hours_.windows(team, 0, kind).spans)
                    if (span.to > ready) return std::max(span.from, ready) >= time.start;
            }
        return true;
    }
    Minute by_order_only(int number) const {
        Cause scratch;
        return by_order(number, scratch);
    }

    const Schedule& schedule_;
    const std::vector<Booking>& bookings_;
    const Jobs& jobs_;
    ShopHours& hours_;
    std::vector<std::vector<int>> by_person_;
    std::vector<int> by_reach_[2];
};

}  // namespace

std::vector<Cause> direct_causes(const Schedule& schedule, const std::vector<Booking>& bookings, const Jobs& jobs, ShopHours& hours) {
    const Causes causes(schedule, bookings, jobs, hours);
    std::vector<Cause> all;
    for (std::size_t j = 0; j < schedule.steps.size(); ++j) all.push_back(causes.of(static_cast<int>(j)));
    return all;
}

}  // namespace detail
}  // namespace libseal
