// Written apart from the code that makes schedules: it looks minute by minute, not by search.
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
        : schedule_(schedule), plan_(plan), shop_(shop), start_(minute_of(start)) {}

    std::vector<std::string> faults() {
        if (schedule_.outcome == Outcome::infeasible || schedule_.outcome == Outcome::none_found) {
            if (!schedule_.steps.empty()) say("steps in a schedule that says it has none");
            return std::move(faults_);
        }
        each_step_once();
        if (!faults_.empty()) return std::move(faults_);
        for (std::size_t s = 0; s < plan_.steps.size(); ++s) step(s);
        for (const Edge& edge : plan_.edges) heeds(edge);
        nobody_twice();
        Minute end = start_;
        for (const StepTime& time : schedule_.steps) end = std::max(end, time.end);
        if (!schedule_.steps.empty() && schedule_.end != end) say("the end is not that of the last step");
        if (schedule_.end < schedule_.lower_bound) say("it ends before its lower bound");
        return std::move(faults_);
    }

private:
    void say(const std::string& text) { faults_.push_back(text); }
    const std::string& name(std::size_t s) const { return plan_.steps[s].id; }

    void each_step_once() {
        if (schedule_.steps.size() != plan_.steps.size()) {
            say("the plan has " + std::to_string(plan_.steps.size()) + " steps, the schedule " + std::to_string(schedule_.steps.size()));
            return;
        }
        for (std::size_t s = 0; s < schedule_.steps.size(); ++s)
            if (schedule_.steps[s].step != static_cast<int>(s)) say("step " + std::to_string(s) + " is not in its place");
    }

    bool at_work(int person, Minute from, Minute to) const {
        const Person& p = shop_.people[static_cast<std::size_t>(person)];
        const Date day = day_of(from);
        const Minute midnight = minute_of(day);
        const Minute a = from - midnight, b = to - midnight;
        const bool in_shift = a >= std::max(shop_.open_from, p.from) && b <= std::min(shop_.open_to, p.to);
        const bool in_break = shop_.break_from < shop_.break_to && a < shop_.break_to && b > shop_.break_from;
        return works_on(shop_, day) && in_shift && !in_break;
    }

    void step(std::size_t s) {
        const Step& wanted = plan_.steps[s];
        const StepTime& time = schedule_.steps[s];
        if (time.start < start_) say(name(s) + " starts before the first day");
        if (time.end < time.start) say(name(s) + " ends before it starts");
        const auto work = static_cast<std::int64_t>(std::ceil(wanted.minutes.mode));
        if (wanted.people == 0 || work == 0) {
            if (!time.pieces.empty()) say(name(s) + " is a mark in time and has working time");
            return;
        }
        std::int64_t done = 0;
        for (std::size_t i = 0; i < time.pieces.size(); ++i) {
            const TimeSpan& piece = time.pieces[i];
            done += piece.to - piece.from;
            if (piece.to <= piece.from) say(name(s) + " has an empty piece");
            if (i > 0 && piece.from < time.pieces[i - 1].to) say(name(s) + " has pieces out of order");
            for (const int p : time.people)
                if (p < 0 || p >= static_cast<int>(shop_.people.size())) say(name(s) + " has a person whom the shop does not have");
                else if (!at_work(p, piece.from, piece.to)) say(name(s) + " is outside the shift of " + shop_.people[static_cast<std::size_t>(p)].id);
        }
        if (done != work) say(name(s) + " has " + std::to_string(done) + " of " + std::to_string(work) + " minutes");
        if (time.pieces.empty() || time.pieces.front().from != time.start || time.pieces.back().to != time.end) say(name(s) + " does not begin and end with its pieces");
        if (static_cast<int>(std::set<int>(time.people.begin(), time.people.end()).size()) != wanted.people)
            say(name(s) + " needs " + std::to_string(wanted.people) + " people");
        if (wanted.unbroken && time.pieces.size() > 1 && work <= longest_stretch(time.people)) say(name(s) + " is broken and need not be");
    }

    /// Longest unbroken stretch that these people share on any day of a fortnight of the schedule.
    std::int64_t longest_stretch(const std::vector<int>& people) const {
        std::int64_t longest = 0;
        for (int d = 0; d < 14; ++d) {
            std::int64_t run = 0;
            const Minute midnight = minute_of(day_of(start_) + d);
            for (Minute m = midnight; m < midnight + 1440; ++m) {
                const bool all = std::all_of(people.begin(), people.end(), [&](int p) { return at_work(p, m, m + 1); });
                run = all ? run + 1 : 0;
                longest = std::max(longest, run);
            }
        }
        return longest;
    }

    void heeds(const Edge& edge) {
        const StepTime& from = schedule_.steps[static_cast<std::size_t>(edge.from)];
        const StepTime& to = schedule_.steps[static_cast<std::size_t>(edge.to)];
        if (static_cast<double>(to.start - from.end) < edge.lag - 1e-9)
            say(name(static_cast<std::size_t>(edge.to)) + " starts " + std::to_string(to.start - from.end) + " min after " +
                name(static_cast<std::size_t>(edge.from)) + ", which asks for " + std::to_string(edge.lag) + " (" + edge.rule + ")");
    }

    void nobody_twice() {
        std::map<int, std::vector<std::pair<TimeSpan, std::size_t>>> work;
        for (std::size_t s = 0; s < schedule_.steps.size(); ++s)
            for (const int p : schedule_.steps[s].people)
                for (const TimeSpan& piece : schedule_.steps[s].pieces) work[p].push_back({piece, s});
        for (auto& [person, pieces] : work) {
            std::sort(pieces.begin(), pieces.end(), [](const auto& a, const auto& b) { return a.first.from < b.first.from; });
            for (std::size_t i = 1; i < pieces.size(); ++i)
                if (pieces[i].first.from < pieces[i - 1].first.to)
                    say(shop_.people[static_cast<std::size_t>(person)].id + " is at " + name(pieces[i - 1].second) + " and " + name(pieces[i].second) + " at once");
        }
    }

    const Schedule& schedule_;
    const WorkPlan& plan_;
    const Shop& shop_;
    Minute start_;
    std::vector<std::string> faults_;
};

}  // namespace

std::vector<std::string> verify(const Schedule& schedule, const WorkPlan& plan, const Shop& shop, Date start) {
    return Verifier(schedule, plan, shop, start).faults();
}

}  // namespace libseal
