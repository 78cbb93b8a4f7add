// The verifier counts minutes one by one. It shares nothing with the search but the data and the meaning of a gate.

#include "libseal/schedule/verify.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

#include "libseal/core/error.hpp"
#include "libseal/schedule/gates.hpp"
#include "schedule/step_gate.hpp"
#include "schedule/stretch.hpp"

namespace libseal {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

Minute midnight(Minute t) { return t - ((t % 1440) + 1440) % 1440; }

/// The shop minute by minute.
class Clock {
public:
    Clock(const Shop& shop, const ScheduleOptions& options) : shop_(shop), options_(options), weather_(options.weather), bays_(bays_of(shop)) {}

    bool open(Minute t) const {
        const Date day{static_cast<std::int32_t>(midnight(t) / 1440)};
        const auto minute = static_cast<int>(t - midnight(t));
        if (!works_on(shop_, day)) return false;
        return minute >= shop_.open_from && minute < shop_.open_to && !(minute >= shop_.break_from && minute < shop_.break_to);
    }

    bool works(int who, Minute t) const {
        const Person& person = shop_.people[at(who)];
        for (const Overtime& extra : shop_.overtime)
            if (extra.person == person.id && t >= extra.from && t < extra.to) return true;
        const auto minute = static_cast<int>(t - midnight(t));
        if (minute < person.from || minute >= person.to || !open(t)) return false;
        return std::none_of(shop_.absences.begin(), shop_.absences.end(),
                            [&](const Absence& away) { return away.person == person.id && t >= away.from && t < away.to; });
    }

    bool team_works(const std::vector<int>& team, Minute t) const {
        return std::all_of(team.begin(), team.end(), [&](int who) { return works(who, t); });
    }

    /// Days with sealing, and the weather of the step's gate.
    bool allowed(const Step& step, int bay, Minute t) {
        if (step.gate.empty()) return true;
        const Bay& here = bays_[at(bay)];
        if ((step.gate == "bond" || step.gate == "coat") && !seals_on(shop_, Date{static_cast<std::int32_t>(midnight(t) / 1440)}, here)) return false;
        if (const auto own = options_.open_hours.find(step.gate); own != options_.open_hours.end())
            return here.heated || std::any_of(own->second.begin(), own->second.end(), [&](const TimeSpan& span) { return t >= span.from && t < span.to; });
        if (options_.weather.empty()) return true;
        const bool aloft = detail::is_aloft(step.reach);
        const auto key = std::tuple(step.gate, step.family, aloft);
        auto gate = gates_.find(key);
        if (gate == gates_.end()) gate = gates_.emplace(key, detail::step_gate(step.gate, step.family, aloft, options_.catalogue)).first;
        return gate_open(gate->second, weather_, here, t);
    }

    /// Is a wait over that began at `from`?
    bool waited(const Edge& edge, Minute from, Minute to, int bay) const {
        if (edge.clock == LagClock::working) {
            double minutes = 0;
            for (Minute t = from; t < to && minutes < edge.lag; ++t) minutes += open(t) ? 1 : 0;
            return minutes >= edge.lag;
        }
        const Bay& here = bays_[at(bay)];
        if (edge.clock == LagClock::elapsed || here.heated || options_.weather.empty()) return static_cast<double>(to - from) >= edge.lag;
        double cured = 0;
        for (Minute t = from; t < to && cured < edge.lag + 1; ++t) cured += cure_rate_at(weather_, t, shop_.bay_temperature, options_.catalogue);
        return cured >= edge.lag - 1.0;  // rates change on the hour, sums are rounded to the minute
    }

    const std::vector<Bay>& bays() const { return bays_; }

private:
    const Shop& shop_;
    const ScheduleOptions& options_;
    GateWeather weather_;
    std::vector<Bay> bays_;
    std::map<std::tuple<std::string, std::string, bool>, Gate> gates_;
};

class Verifier {
public:
    Verifier(const Schedule& schedule, const std::vector<Booking>& bookings, const Shop& shop, Date start, const ScheduleOptions& options)
        : schedule_(schedule), bookings_(bookings), shop_(shop), options_(options), start_(Minute{start.days} * 1440), clock_(shop, options) {
        for (const RunningStep& step : options.running) running_[{step.coach, step.step}] = &step;
    }

    ScheduleEvaluation take() {
        if (!index()) return std::move(result_);
        for (std::size_t b = 0; b < bookings_.size(); ++b) {
            check_stay(static_cast<int>(b));
            for (std::size_t s = 0; s < bookings_[b].plan.steps.size(); ++s)
                if (const StepTime* time = time_of(static_cast<int>(b), static_cast<int>(s))) check_step(bookings_[b].plan.steps[s], *time);
            check_edges(static_cast<int>(b));
        }
        check_bays();
        check_people();
        check_ladders();
        score();
        return std::move(result_);
    }

private:
    void wrong(const char* kind, int booking, int step, double amount, const char* unit, const std::string& text) {
        result_.violations.push_back({booking, step, kind, amount, unit, name(booking, step) + text});
    }
    std::string name(int booking, int step) const {
        if (booking < 0) return "";
        const WorkPlan& plan = bookings_[at(booking)].plan;
        const std::string coach = bookings_.size() > 1 ? plan.coach + " " : "";
        return step < 0 ? "coach " + plan.coach + " " : coach + plan.steps[at(step)].id + " ";
    }

    const StepTime* time_of(int booking, int step) const {
        const auto found = times_.find({booking, step});
        return found == times_.end() ? nullptr : found->second;
    }

    bool index() {
        for (const StepTime& time : schedule_.steps) {
            if (time.booking < 0 || at(time.booking) >= bookings_.size() || time.step < 0 ||
                at(time.step) >= bookings_[at(time.booking)].plan.steps.size()) {
                wrong("missing", -1, -1, 1, "1", "a time for a step that no plan has");
                return false;
            }
            if (!times_.emplace(std::pair(time.booking, time.step), &time).second) wrong("missing", time.booking, time.step, 1, "1", "is there twice");
        }
        for (std::size_t i = 1; i < schedule_.steps.size(); ++i)
            if (std::pair(schedule_.steps[i].booking, schedule_.steps[i].step) < std::pair(schedule_.steps[i - 1].booking, schedule_.steps[i - 1].step))
                wrong("missing", schedule_.steps[i].booking, schedule_.steps[i].step, 1, "1", "is not in the order of the plan");
        if (schedule_.stays.size() != bookings_.size()) {
            wrong("missing", -1, -1, std::abs(static_cast<double>(schedule_.stays.size()) - static_cast<double>(bookings_.size())), "1", "stays do not match the bookings");
            return false;
        }
        for (std::size_t b = 0; b < bookings_.size(); ++b) {
            if (schedule_.stays[b].booking != static_cast<int>(b)) {
                wrong("missing", -1, -1, 1, "1", "stays are not in the order of the bookings");
                return false;
            }
            if (schedule_.stays[b].bay < 0 || at(schedule_.stays[b].bay) >= clock_.bays().size()) {
                wrong("bay", static_cast<int>(b), -1, 1, "1", "stands in a bay that the shop does not have");
                return false;
            }
            for (std::size_t s = 0; s < bookings_[b].plan.steps.size(); ++s)
                if (!time_of(static_cast<int>(b), static_cast<int>(s))) wrong("missing", static_cast<int>(b), static_cast<int>(s), 1, "1", "has no time");
        }
        return true;
    }

    int bay_of(int booking) const { return schedule_.stays[at(booking)].bay; }

    const RunningStep* running(int booking, int step) const {
        const WorkPlan& plan = bookings_[at(booking)].plan;
        const auto found = running_.find({plan.coach, plan.steps[at(step)].id});
        return found == running_.end() ? nullptr : found->second;
    }

    void check_stay(int b) {
        const BayStay& stay = schedule_.stays[at(b)];
        const Booking& booking = bookings_[at(b)];
        if (booking.bay >= 0 && stay.bay != booking.bay) wrong("bay", b, -1, 1, "1", "stands in another bay than it must");
        if (booking.latest > 0 && stay.end > booking.latest)
            wrong("latest", b, -1, static_cast<double>(stay.end - booking.latest), "min", "is done " + std::to_string(stay.end - booking.latest) + " min after its latest end");
    }

    void check_step(const Step& step, const StepTime& time) {
        const int b = time.booking, s = time.step;
        const BayStay& stay = schedule_.stays[at(b)];
        if (const RunningStep* was = running(b, s); was && was->state != StepState::planned) {
            const Minute end = was->state == StepState::started ? std::max(was->end, options_.now) : was->end;
            if (time.start != was->start || time.end != end)
                wrong("running", b, s, static_cast<double>(std::max(std::abs(time.start - was->start), std::abs(time.end - end))), "min", "has begun and was moved");
            return;
        }
        const Minute first = std::max({start_, bookings_[at(b)].arrival, options_.now});
        if (time.start < first) wrong("arrival", b, s, static_cast<double>(first - time.start), "min", "starts before it may, at " + time_text(time.start));
        if (time.end < time.start) wrong("work", b, s, static_cast<double>(time.start - time.end), "min", "ends before it starts");
        if (time.end > stay.end || (!time.pieces.empty() && time.start < stay.begin))
            wrong("bay", b, s, static_cast<double>(std::max(time.end - stay.end, stay.begin - time.start)), "min", "lies outside its coach's stay");
        const auto need = static_cast<Minute>(std::ceil(step.minutes.mode - 1e-9));
        if (step.people == 0 || need == 0) {
            if (!time.pieces.empty() || time.end != time.start)
                wrong("work", b, s, static_cast<double>(time.end - time.start), "min", "is a mark in time but takes some");
            return;
        }
        const std::set<int> team(time.people.begin(), time.people.end());
        if (static_cast<int>(team.size()) != step.people || team.size() != time.people.size())
            wrong("people", b, s, step.people - static_cast<double>(team.size()), "people",
                  "has " + std::to_string(team.size()) + " people, not " + std::to_string(step.people));
        if (!team.empty() && (*team.begin() < 0 || *team.rbegin() >= static_cast<int>(shop_.people.size())))
            return wrong("people", b, s, 1, "people", "has somebody who does not work here");
        check_skills(step, time);
        if (time.pieces.empty() || time.pieces.front().from != time.start || time.pieces.back().to != time.end)
            return wrong("work", b, s, static_cast<double>(need), "min", "starts or ends outside its pieces");
        const bool outside = std::any_of(time.pieces.begin(), time.pieces.end(), [&](const TimeSpan& piece) { return piece.from < time.start || piece.to > time.end; });
        if (outside || time.end - time.start > detail::minutes_of_century)  // minutes are not counted without end
            return wrong("work", b, s, static_cast<double>(need), "min", outside ? "has pieces outside of its time" : "takes over 100 years");
        check_pieces(step, time, need);
    }

    void check_skills(const Step& step, const StepTime& time) {
        const auto has = [&](const Person& person, const std::string& skill) {
            return std::find(person.skills.begin(), person.skills.end(), skill) != person.skills.end();
        };
        for (const std::string& skill : step.skills) {
            const bool somebody = std::any_of(shop_.people.begin(), shop_.people.end(), [&](const Person& p) { return has(p, skill); });
            const bool here = std::any_of(time.people.begin(), time.people.end(), [&](int p) { return has(shop_.people[at(p)], skill); });
            if (somebody && !here) wrong("skills", time.booking, time.step, 1, "people", "has nobody with the skill " + skill);
        }
    }

    void check_pieces(const Step& step, const StepTime& time, Minute need) {
        const int b = time.booking, s = time.step, bay = bay_of(b);
        Minute work = 0, last = time.start, idle = 0, off = 0, closed = 0;
        for (const TimeSpan& piece : time.pieces) {
            if (piece.from < last || piece.to <= piece.from) wrong("work", b, s, 1, "pieces", "has pieces out of order");
            for (Minute t = last; t < piece.from; ++t) idle += clock_.team_works(time.people, t) && clock_.allowed(step, bay, t) ? 1 : 0;
            for (Minute t = piece.from; t < piece.to; ++t) {
                if (!clock_.team_works(time.people, t)) ++off;
                else if (!clock_.allowed(step, bay, t)) ++closed;
            }
            work += piece.to - piece.from;
            last = piece.to;
        }
        if (idle > 0) wrong("work", b, s, static_cast<double>(idle), "min", "pauses for " + std::to_string(idle) + " min of working time");
        if (off > 0) wrong("hours", b, s, static_cast<double>(off), "min", "is outside the shifts of its people for " + std::to_string(off) + " min");
        if (closed > 0) wrong("weather", b, s, static_cast<double>(closed), "min", "is in weather or on days that do not allow it for " + std::to_string(closed) + " min");
        if (work != need)
            wrong("work", b, s, static_cast<double>(need - work), "min", "has " + std::to_string(work) + " of its " + std::to_string(need) + " minutes");
        if (step.unbroken && time.pieces.size() > 1) check_unbroken(time, need);
    }

    /// A broken bead is right only if no shift (or else no day) of the next two weeks could have held it.
    void check_unbroken(const StepTime& time, Minute need) {
        Minute run = 0, longest = 0, day_sum = 0, longest_day = 0;
        const Minute from = midnight(time.start);
        for (Minute t = from; t < from + 14 * 1440; ++t) {
            if (t % 1440 == 0) day_sum = 0;
            const bool on = clock_.team_works(time.people, t);
            run = on ? run + 1 : 0;
            day_sum += on ? 1 : 0;
            longest = std::max(longest, run);
            longest_day = std::max(longest_day, day_sum);
        }
        const auto pieces = static_cast<double>(time.pieces.size() - 1);
        if (need <= longest) wrong("unbroken", time.booking, time.step, pieces, "pieces", "is broken though it fits into one stretch");
        if (need <= longest_day && midnight(time.start) != midnight(time.end - 1))
            wrong("unbroken", time.booking, time.step, pieces, "pieces", "is spread over days though it fits into one");
    }

    void check_edges(int b) {
        for (const Edge& edge : bookings_[at(b)].plan.edges) {
            const StepTime *from = time_of(b, edge.from), *to = time_of(b, edge.to);
            if (!from || !to) continue;
            const RunningStep* was = running(b, edge.to);
            if (was && was->state != StepState::planned) continue;  // what has begun cannot be ordered any more
            const std::string before = bookings_[at(b)].plan.steps[at(edge.from)].id;
            if (to->start < from->end || !clock_.waited(edge, from->end, to->start, bay_of(b)))
                wrong("order", b, edge.to, static_cast<double>(from->end - to->start) + edge.lag, "min", "is too early after " + before + " (" + edge.rule + ")");
            const double over = static_cast<double>(to->start - from->end) - edge.longest;
            const RunningStep* first = running(b, edge.from);
            if (over > 0 && !(first && first->state != StepState::planned)) {
                wrong("longest_wait", b, edge.to, over, "min", "is too late after " + before + " (" + edge.rule + ")");
                result_.score.broken += static_cast<Minute>(std::ceil(over));
            }
        }
    }

    void check_bays() {
        std::map<int, std::vector<const BayStay*>> by_bay;
        for (const BayStay& stay : schedule_.stays)
            if (stay.begin < stay.end) by_bay[stay.bay].push_back(&stay);  // marks in time alone hold no bay
        for (auto& [bay, stays] : by_bay) {
            std::sort(stays.begin(), stays.end(), [](const BayStay* a, const BayStay* b) { return std::pair(a->begin, a->end) < std::pair(b->begin, b->end); });
            for (std::size_t i = 1; i < stays.size(); ++i)
                if (stays[i]->begin < stays[i - 1]->end)
                    wrong("bay", stays[i]->booking, -1, static_cast<double>(stays[i - 1]->end - stays[i]->begin), "min",
                          "stands in the bay of coach " + stays[i - 1]->coach);
        }
    }

    bool begun(const StepTime& time) const {
        const RunningStep* was = running(time.booking, time.step);
        return was && was->state != StepState::planned;
    }

    /// What has begun is as it was: only work that could still be given to others is at fault.
    void check_people() {
        std::map<int, std::vector<std::pair<TimeSpan, const StepTime*>>> work;
        for (const StepTime& time : schedule_.steps)
            for (const int person : time.people)
                for (const TimeSpan& piece : time.pieces) work[person].push_back({piece, &time});
        for (auto& [person, spans] : work) {
            std::sort(spans.begin(), spans.end(), [](const auto& a, const auto& b) { return a.first.from < b.first.from; });
            std::size_t last = 0;  // of those before, the one that ends last
            for (std::size_t i = 1; i < spans.size(); ++i) {
                const StepTime& own = begun(*spans[i].second) ? *spans[last].second : *spans[i].second;
                if (spans[i].first.from < spans[last].first.to && !begun(own))
                    wrong("people", own.booking, own.step, static_cast<double>(std::min(spans[last].first.to, spans[i].first.to) - spans[i].first.from), "min",
                          "person " + std::to_string(person) + " does two things at " + time_text(spans[i].first.from));
                if (spans[i].first.to > spans[last].first.to) last = i;
            }
        }
    }

    void check_ladders() {
        for (const auto& [reach, sets] : {std::pair<std::string, int>{"ladder", shop_.ladders}, {"roof", shop_.platforms}}) {
            std::map<Minute, int> all, planned;  // changes of what is used
            for (const StepTime& time : schedule_.steps)
                if (bookings_[at(time.booking)].plan.steps[at(time.step)].reach == reach)
                    for (const TimeSpan& piece : time.pieces) {
                        ++all[piece.from], --all[piece.to];
                        if (!begun(time)) ++planned[piece.from], --planned[piece.to];
                    }
            int used = 0, of_planned = 0;
            for (const auto& [t, by] : all) {
                used += by;
                const auto own = planned.find(t);
                if (own != planned.end()) of_planned += own->second;
                if (used > sets && by > 0 && of_planned > 0)
                    wrong("ladder", -1, -1, used - sets, "1", std::to_string(used) + " sets for work with reach \"" + reach + "\" at " + time_text(t) + ", the shop has " + std::to_string(sets));
            }
        }
    }

    void score() {
        std::map<std::pair<int, int>, Minute> urgent;
        for (const StepTime& time : schedule_.steps) {
            const WorkPlan& plan = bookings_[at(time.booking)].plan;
            const int task = plan.steps[at(time.step)].task;
            if (task >= 0 && at(task) < plan.tasks.size() && plan.tasks[at(task)].urgency >= Urgency::within_30_days)
                urgent[{time.booking, task}] = std::max(urgent[{time.booking, task}], time.end);
            const RunningStep* was = running(time.booking, time.step);
            if (!was || was->state != StepState::planned || time.pieces.empty()) continue;
            std::vector<std::string> people;
            for (const int person : time.people) people.push_back(person >= 0 && at(person) < shop_.people.size() ? shop_.people[at(person)].id : "");
            result_.score.moved += time.start != was->start || people != was->people ? 1 : 0;
        }
        for (const auto& [key, end] : urgent) {
            const Minute due = Minute{bookings_[at(key.first)].plan.tasks[at(key.second)].due.days + 1} * 1440;
            if (end > due) result_.score.urgent += (end - due + 1439) / 1440;
        }
        for (const BayStay& stay : schedule_.stays) {
            const Booking& booking = bookings_[at(stay.booking)];
            if (booking.promised > 0) result_.score.late += std::max<Minute>(0, stay.end - booking.promised);
            if (booking.latest > 0) result_.score.broken += std::max<Minute>(0, stay.end - booking.latest);
            if (!booking.plan.steps.empty()) result_.score.stay += stay.end - std::max(booking.arrival, start_);
        }
        result_.score.changes = schedule_.score.changes;  // a tie breaker of the search, not a claim
    }

    const Schedule& schedule_;
    const std::vector<Booking>& bookings_;
    const Shop& shop_;
    const ScheduleOptions& options_;
    Minute start_;
    Clock clock_;
    std::map<std::pair<int, int>, const StepTime*> times_;
    std::map<std::pair<std::string, std::string>, const RunningStep*> running_;
    ScheduleEvaluation result_;
};

}  // namespace

ScheduleEvaluation evaluate_schedule(const Schedule& schedule, const std::vector<Booking>& bookings, const Shop& shop, Date start,
                                     const ScheduleOptions& options) {
    return Verifier(schedule, bookings, shop, start, options).take();
}

std::vector<std::string> verify(const Schedule& schedule, const std::vector<Booking>& bookings, const Shop& shop, Date start,
                                const ScheduleOptions& options) {
    const ScheduleEvaluation found = evaluate_schedule(schedule, bookings, shop, start, options);
    std::vector<std::string> words;
    for (const Violation& violation : found.violations) words.push_back(violation.text);
    if (words.empty() && found.score != schedule.score) words.push_back("the score that the schedule states is not its own");
    return words;
}

std::vector<std::string> verify(const Schedule& schedule, const WorkPlan& plan, const Shop& shop, Date start, const ScheduleOptions& options) {
    return verify(schedule, std::vector<Booking>{{plan}}, shop, start, options);
}

}  // namespace libseal
