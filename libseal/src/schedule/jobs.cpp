#include "schedule/jobs.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "schedule/step_gate.hpp"

namespace libseal::detail {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

Minute whole(double minutes) { return static_cast<Minute>(std::ceil(minutes - 1e-9)); }

/// Skills that somebody of the shop has; what nobody has is not asked of the team but warned of in the plan.
std::vector<std::string> skills_of(const Step& step, const Shop& shop) {
    std::vector<std::string> skills;
    for (const std::string& skill : step.skills)
        if (std::any_of(shop.people.begin(), shop.people.end(), [&](const Person& person) {
                return std::find(person.skills.begin(), person.skills.end(), skill) != person.skills.end();
            }))
            skills.push_back(skill);
    std::sort(skills.begin(), skills.end());
    skills.erase(std::unique(skills.begin(), skills.end()), skills.end());
    return skills;
}

class Builder {
public:
    Builder(const std::vector<Booking>& bookings, ShopHours& hours, Date start, const ScheduleOptions& options)
        : bookings_(bookings), hours_(hours), options_(options) {
        jobs_.start = minute_of(start);
        jobs_.now = std::max(options.now, jobs_.start);
        for (const Bay& bay : bays_of(hours.shop())) {
            jobs_.bay_kind.push_back(hours.kind({bay.roofed, bay.heated}));
            jobs_.shelter.push_back(bay.heated ? 2 : bay.roofed ? 1 : 0);
            bays_.push_back(bay.id);
        }
        jobs_.reaches[0] = hours.shop().ladders;
        jobs_.reaches[1] = hours.shop().platforms;
    }

    Jobs take() {
        for (std::size_t b = 0; b < bookings_.size(); ++b) add(static_cast<int>(b));
        link();
        take_running();
        for (const auto& [key, urgent] : urgent_) {
            for (const int job : urgent.jobs) jobs_.jobs[at(job)].task = static_cast<int>(jobs_.urgent.size());
            jobs_.urgent.push_back(urgent);
        }
        tails();
        return std::move(jobs_);
    }

private:
    void add(int b) {
        const Booking& booking = bookings_[at(b)];
        const std::string field = "bookings[" + std::to_string(b) + "]";
        if (booking.bay < -1 || booking.bay >= static_cast<int>(bays_.size()))
            throw_value_error(field + ".bay", "-1 or a bay from 0 to " + std::to_string(bays_.size() - 1),
                              std::to_string(booking.bay));
        if (!coaches_.insert(booking.plan.coach).second)
            throw_value_error(field + ".plan.coach", "each coach once", "\"" + booking.plan.coach + "\" again");
        Guest guest;
        guest.arrival = std::max(booking.arrival, jobs_.start);
        guest.promised = booking.promised;
        guest.latest = booking.latest;
        guest.bay = booking.bay;
        guest.first = static_cast<int>(jobs_.jobs.size());
        const auto& steps = booking.plan.steps;
        for (std::size_t s = 0; s < steps.size(); ++s) jobs_.jobs.push_back(job_of(b, static_cast<int>(s), guest));
        guest.last = static_cast<int>(jobs_.jobs.size());
        const auto order = ordered_steps(steps, booking.plan.edges);
        for (const int s : order) jobs_.order.push_back(guest.first + s);
        jobs_.guests.push_back(guest);
    }

    BookedStep job_of(int b, int s, const Guest& guest) {
        const Step& step = bookings_[at(b)].plan.steps[at(s)];
        BookedStep job;
        job.booking = b;
        job.step = s;
        job.work = step.people > 0 ? whole(step.minutes.mode) : 0;
        job.unbroken = step.unbroken;
        job.release = std::max(guest.arrival, jobs_.now);
        job.side = step.surface;
        if (job.work > 0) {
            job.gate = hours_.gate(step.gate, step.family, is_aloft(step.reach));
            job.teams = &hours_.teams(step.people, skills_of(step, hours_.shop()));
            job.reach = step.reach == "ladder" ? 0 : step.reach == "roof" ? 1 : -1;
        }
        const auto& tasks = bookings_[at(b)].plan.tasks;
        if (step.task >= 0 && at(step.task) < tasks.size() && tasks[at(step.task)].urgency >= Urgency::within_30_days) {
            Urgent& urgent = urgent_[{b, step.task}];
            urgent.due = minute_of(tasks[at(step.task)].due + 1);
            urgent.jobs.push_back(static_cast<int>(jobs_.jobs.size()));
        }
        return job;
    }

    void link() {
        jobs_.before.resize(jobs_.jobs.size());
        jobs_.after.resize(jobs_.jobs.size());
        for (std::size_t b = 0; b < bookings_.size(); ++b)
            for (const Edge& edge : bookings_[b].plan.edges) {
                const int first = jobs_.guests[b].first;
                Wait wait{first + edge.from, whole(edge.lag), -1, edge.clock};
                if (std::isfinite(edge.longest)) {
                    wait.longest = static_cast<Minute>(std::floor(edge.longest + 1e-9));
                    jobs_.longest_waits = true;
                }
                jobs_.before[at(first + edge.to)].push_back(wait);
                wait.other = first + edge.to;
                jobs_.after[at(first + edge.from)].push_back(wait);
            }
    }

    void tails() {
        for (auto j = jobs_.order.rbegin(); j != jobs_.order.rend(); ++j) {
            Minute most = 0;
            for (const Wait& wait : jobs_.after[at(*j)]) most = std::max(most, wait.lag + jobs_.jobs[at(wait.other)].tail);
            jobs_.jobs[at(*j)].tail = most + jobs_.jobs[at(*j)].work;
        }
    }

    int place_in(const std::vector<std::string>& names, const std::string& name, const std::string& field) const {
        const auto found = std::find(names.begin(), names.end(), name);
        if (found == names.end()) {
            const std::string near = nearest_name(name, names);
            throw_value_error(field, "a name of the shop", "\"" + name + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
        }
        return static_cast<int>(found - names.begin());
    }

    void take_running() {
        std::map<std::pair<std::string, std::string>, int> known;
        for (std::size_t j = 0; j < jobs_.jobs.size(); ++j) {
            const WorkPlan& plan = bookings_[at(jobs_.jobs[j].booking)].plan;
            known[{plan.coach, plan.steps[at(jobs_.jobs[j].step)].id}] = static_cast<int>(j);
        }
        std::vector<std::string> people;
        for (const Person& person : hours_.shop().people) people.push_back(person.id);
        for (std::size_t i = 0; i < options_.running.size(); ++i) {
            const RunningStep& step = options_.running[i];
            const std::string field = "running[" + std::to_string(i) + "]";
            const auto found = known.find({step.coach, step.step});
            if (found == known.end()) {
                // A coach that left, or work that was taken off the plan: nothing of it is left to place.
                continue;
            }
            BookedStep& job = jobs_.jobs[at(found->second)];
            if (step.end < step.start) throw_value_error(field + ".end", "not before its start", time_text(step.end));
            if (job.known) throw_value_error(field, "each step once", step.coach + " " + step.step + " again");
            jobs_.running = job.known = true;
            job.state = step.state;
            job.start = step.start;
            job.end = step.end;
            for (const auto& id : step.people) job.people.push_back(place_in(people, id, field + ".people"));
            Guest& guest = jobs_.guests[at(job.booking)];
            if (step.state == StepState::planned) continue;
            if (step.state == StepState::started && job.end < jobs_.now) job.end = jobs_.now;
            const int bay = step.bay.empty() ? guest.bay : place_in(bays_, step.bay, field + ".bay");
            if (const int must = bookings_[at(job.booking)].bay; must >= 0 && bay != must)
                throw_value_error(field + ".bay", "\"" + bays_[at(must)] + "\", in which the booking must stand", "\"" + step.bay + "\"");
            guest.bay = bay;
            guest.begun = guest.here ? std::min(guest.begun, step.start) : step.start;
            guest.here = true;
        }
    }

    const std::vector<Booking>& bookings_;
    ShopHours& hours_;
    const ScheduleOptions& options_;
    Jobs jobs_;
    std::vector<std::string> bays_;
    std::set<std::string> coaches_;
    std::map<std::pair<int, int>, Urgent> urgent_;
};

}  // namespace

Jobs jobs_of(const std::vector<Booking>& bookings, ShopHours& hours, Date start, const ScheduleOptions& options) {
    return Builder(bookings, hours, start, options).take();
}

Obstacles find_obstacles(const Jobs& jobs, const std::vector<Booking>& bookings, ShopHours& hours) {
    Obstacles found;
    int most = 0, tests = 0;
    const auto people = static_cast<int>(hours.shop().people.size());
    const auto note = [&](const std::string& words) {
        if (found.words.size() < 20) found.words.push_back(words);
    };
    std::set<int> reaches;
    for (const BookedStep& job : jobs.jobs) {
        if (job.work == 0 || job.state != StepState::planned) continue;
        const Step& step = bookings[at(job.booking)].plan.steps[at(job.step)];
        const std::string name = (bookings.size() > 1 ? bookings[at(job.booking)].plan.coach + " " : "") + step.id;
        if (job.reach >= 0 && jobs.reaches[job.reach] < 1) {
            note(name + " needs a " + (job.reach == 0 ? "ladder" : "platform") + " set; the shop has none");
            reaches.insert(job.reach);
            ++found.steps;
            continue;
        }
        const bool meet = std::any_of(job.teams->begin(), job.teams->end(), [&](int team) {
            return std::any_of(jobs.bay_kind.begin(), jobs.bay_kind.end(),
                               [&](int kind) { return !hours.windows(team, job.gate, kind).spans.empty(); });
        });
        if (meet) continue;
        ++found.steps;
        tests += step.kind == "water_test" ? 1 : 0;
        most = std::max(most, step.people);
        std::string skills;
        for (const auto& skill : step.skills) skills += (skills.empty() ? "" : " and ") + skill;
        const bool alone = step.people == 1;
        note(name + " needs " + (alone ? "a person" : std::to_string(step.people) + " people at once") +
             (step.people > people ? "; the shop has " + std::to_string(people)
              : job.teams->empty() ? " with " + skills + "; the shop has no such " + (alone ? "person" : "team")
                                   : (alone ? "; nobody who can do it has working time" : "; no such team has common working time") +
                                         std::string(step.gate.empty() ? "" : " on a day with sealing or in weather for it")));
    }
    if (found.steps == 0) return found;
    for (const int reach : reaches) found.ways.push_back(reach == 0 ? "a ladder set" : "a platform set");
    const int missing = most - people;
    if (missing > 0)
        found.ways.push_back(std::to_string(missing) + " more " + (missing == 1 ? "person" : "people") + " for the " +
                             std::to_string(found.steps) + " steps that need " + std::to_string(most));
    else if (most > 0)
        found.ways.push_back(most == 1 ? "working time on days that allow these steps" : "shifts or sealing days that " + std::to_string(most) + " people share");
    if (tests == found.steps) found.ways.push_back("water tests left to the next inspection (longest_cure_wait 0)");
    return found;
}

}  // namespace libseal::detail
