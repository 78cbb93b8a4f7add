// How good a schedule is.

#include <algorithm>
#include <string>
#include <utility>

#include "schedule/generate.hpp"

namespace libseal::detail {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

}  // namespace

ScheduleScore score_of(const Jobs& jobs, const ShopHours& hours, const ShopDraft& draft, Minute broken) {
    ScheduleScore score;
    score.broken = broken;
    for (const Urgent& urgent : jobs.urgent) {
        Minute end = 0;
        for (const int job : urgent.jobs) end = std::max(end, draft.jobs[at(job)].end);
        if (end > urgent.due) score.urgent += (end - urgent.due + 1439) / 1440;
    }
    for (std::size_t g = 0; g < jobs.guests.size(); ++g) {
        const Guest& guest = jobs.guests[g];
        if (guest.promised > 0) score.late += std::max<Minute>(0, draft.end[g] - guest.promised);
        if (guest.latest > 0) score.broken += std::max<Minute>(0, draft.end[g] - guest.latest);
        score.stay += draft.end[g] - guest.arrival;
    }
    for (std::size_t j = 0; j < jobs.jobs.size(); ++j) {
        const BookedStep& job = jobs.jobs[j];
        if (!job.known || job.state != StepState::planned || job.work == 0) continue;
        const Placed& place = draft.jobs[j];
        if (place.start != job.start || hours.people(place.team) != job.people) ++score.moved;
    }
    // Changes of place: of ladder work between the sides of a coach, of people between coaches.
    std::vector<std::pair<Minute, int>> ladder;
    std::vector<std::vector<std::pair<Minute, int>>> walks(hours.shop().people.size());
    for (std::size_t j = 0; j < jobs.jobs.size(); ++j) {
        const Placed& place = draft.jobs[j];
        if (place.team < 0) continue;
        if (jobs.jobs[j].reach >= 0) ladder.push_back({place.start, static_cast<int>(j)});
        for (const int person : hours.people(place.team)) walks[at(person)].push_back({place.start, jobs.jobs[j].booking});
    }
    std::sort(ladder.begin(), ladder.end());
    std::vector<const std::string*> side(jobs.guests.size(), nullptr);
    for (const auto& [start, j] : ladder) {
        const BookedStep& job = jobs.jobs[at(j)];
        if (side[at(job.booking)] && *side[at(job.booking)] != job.side) ++score.changes;
        side[at(job.booking)] = &job.side;
    }
    for (auto& walk : walks) {
        std::sort(walk.begin(), walk.end());
        for (std::size_t i = 1; i < walk.size(); ++i) score.changes += walk[i].second != walk[i - 1].second ? 1 : 0;
    }
    return score;
}

}  // namespace libseal::detail
