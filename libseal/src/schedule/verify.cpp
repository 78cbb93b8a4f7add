// The verifier counts minutes one by one. It shares nothing with the generator but the data.

#include "libseal/schedule/verify.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace libseal {
namespace {

class Verifier {
public:
    Verifier(const Schedule& schedule, const WorkPlan& plan, const Shop& shop, Date start)
        : schedule_(schedule), plan_(plan), shop_(shop), start_(Minute{start.days} * 1440) {}

    std::vector<std::string> take() {
        if (schedule_.steps.size() != plan_.steps.size()) {
            wrong_.push_back(std::to_string(schedule_.steps.size()) + " times for " +
                             std::to_string(plan_.steps.size()) + " steps");
            return wrong_;
        }
        for (std::size_t i = 0; i < plan_.steps.size(); ++i) {
            if (schedule_.steps[i].step != static_cast<int>(i)) {
                wrong_.push_back("times are not in the order of the steps");
                return wrong_;
            }
            check_step(plan_.steps[i], schedule_.steps[i]);
        }
        check_edges();
        check_people();
        return wrong_;
    }

private:
    bool works(const Person& person, Minute t) const {
        const Minute day = t >= 0 ? t / 1440 : (t - 1439) / 1440;
        const Date date{static_cast<std::int32_t>(day)};
        const auto minute = static_cast<int>(t - day * 1440);
        const std::int64_t since_thursday = ((day % 7) + 7) % 7;  // 1970-01-01 was a Thursday
        const auto week = static_cast<std::size_t>((since_thursday + 3) % 7);
        if (!shop_.working_days[week]) return false;
        if (std::find(shop_.holidays.begin(), shop_.holidays.end(), date) != shop_.holidays.end())
            return false;
        if (minute < shop_.open_from || minute >= shop_.open_to || minute < person.from ||
            minute >= person.to)
            return false;
        return !(minute >= shop_.break_from && minute < shop_.break_to);
    }

    bool team_works(const StepTime& time, bool sealing, Minute t) const {
        if (sealing && !may_seal(Date{static_cast<std::int32_t>(t / 1440)})) return false;
        return std::all_of(time.people.begin(), time.people.end(),
                           [&](int p) { return works(shop_.people[static_cast<std::size_t>(p)], t); });
    }

    bool may_seal(Date day) const {
        for (const ClosedSpan& span : shop_.closed)
            if (!(day < span.from) && day < span.to) return false;
        const int month = year_month_day(day).month;
        return shop_.heated_bay ||
               std::count(shop_.sealing_months.begin(), shop_.sealing_months.end(), month) > 0;
    }

    void check_step(const Step& step, const StepTime& time) {
        const auto need = static_cast<Minute>(std::ceil(step.minutes.mode - 1e-9));
        if (time.start < start_) wrong_.push_back(step.id + " starts before the first day");
        if (time.end < time.start) wrong_.push_back(step.id + " ends before it starts");
        if (step.people == 0 || need == 0) {
            if (!time.pieces.empty() || time.end != time.start)
                wrong_.push_back(step.id + " is a mark in time but takes some");
            return;
        }
        std::set<int> team(time.people.begin(), time.people.end());
        if (static_cast<int>(team.size()) != step.people || team.size() != time.people.size())
            wrong_.push_back(step.id + " has " + std::to_string(team.size()) + " people, not " +
                             std::to_string(step.people));
        if (!team.empty() && (*team.begin() < 0 || *team.rbegin() >= static_cast<int>(shop_.people.size()))) {
            wrong_.push_back(step.id + " has somebody who does not work here");
            return;
        }
        if (time.pieces.empty() || time.pieces.front().from != time.start ||
            time.pieces.back().to != time.end) {
            wrong_.push_back(step.id + " starts or ends outside its pieces");
            return;
        }
        check_pieces(step, time, need);
    }

    void check_pieces(const Step& step, const StepTime& time, Minute need) {
        Minute work = 0, last = time.start;
        for (const TimeSpan& piece : time.pieces) {
            if (piece.from < last || piece.to <= piece.from)
                wrong_.push_back(step.id + " has pieces out of order");
            for (Minute t = last; t < piece.from; ++t)
                if (team_works(time, !step.gate.empty(), t)) {
                    wrong_.push_back(step.id + " pauses in working time at " + time_text(t));
                    break;
                }
            for (Minute t = piece.from; t < piece.to; ++t)
                if (!team_works(time, !step.gate.empty(), t)) {
                    wrong_.push_back(step.id + " is outside working or sealing time at " + time_text(t));
                    break;
                }
            work += piece.to - piece.from;
            last = piece.to;
        }
        if (work != need)
            wrong_.push_back(step.id + " has " + std::to_string(work) + " of its " + std::to_string(need) +
                             " minutes");
        if (step.unbroken && time.pieces.size() > 1) check_unbroken(step, time, need);
    }

    /// A broken bead is right only if no stretch (or else no day) could have held it.
    void check_unbroken(const Step& step, const StepTime& time, Minute need) {
        Minute run = 0, longest = 0, day_sum = 0, longest_day = 0;
        const Minute from = time.start / 1440 * 1440;
        for (Minute t = from; t < from + 14 * 1440; ++t) {
            if (t % 1440 == 0) day_sum = 0;
            const bool on = team_works(time, !step.gate.empty(), t);
            run = on ? run + 1 : 0;
            day_sum += on ? 1 : 0;
            longest = std::max(longest, run);
            longest_day = std::max(longest_day, day_sum);
        }
        if (need <= longest) wrong_.push_back(step.id + " is broken though it fits into one stretch");
        if (need <= longest_day && time.start / 1440 != (time.end - 1) / 1440)
            wrong_.push_back(step.id + " is spread over days though it fits into one");
    }

    void check_edges() {
        for (const Edge& edge : plan_.edges) {
            const StepTime& from = schedule_.steps[static_cast<std::size_t>(edge.from)];
            const StepTime& to = schedule_.steps[static_cast<std::size_t>(edge.to)];
            if (static_cast<double>(to.start - from.end) < edge.lag)
                wrong_.push_back(plan_.steps[static_cast<std::size_t>(edge.to)].id + " is too early after " +
                                 plan_.steps[static_cast<std::size_t>(edge.from)].id + " (" + edge.rule +
                                 ")");
        }
    }

    void check_people() {
        std::map<int, std::vector<TimeSpan>> work;
        for (const StepTime& time : schedule_.steps)
            for (const int person : time.people)
                work[person].insert(work[person].end(), time.pieces.begin(), time.pieces.end());
        for (auto& [person, spans] : work) {
            std::sort(spans.begin(), spans.end(),
                      [](const TimeSpan& a, const TimeSpan& b) { return a.from < b.from; });
            for (std::size_t i = 1; i < spans.size(); ++i)
                if (spans[i].from < spans[i - 1].to) {
                    wrong_.push_back("person " + std::to_string(person) + " does two things at " +
                                     time_text(spans[i].from));
                    break;
                }
        }
    }

    const Schedule& schedule_;
    const WorkPlan& plan_;
    const Shop& shop_;
    Minute start_;
    std::vector<std::string> wrong_;
};

}  // namespace

std::vector<std::string> verify(const Schedule& schedule, const WorkPlan& plan, const Shop& shop,
                                Date start) {
    return Verifier(schedule, plan, shop, start).take();
}

}  // namespace libseal
