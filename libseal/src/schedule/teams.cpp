#include "schedule/teams.hpp"

#include <algorithm>

namespace libseal::detail {
namespace {

constexpr int horizon_days = 3 * 366;
constexpr std::size_t most_teams = 200;

std::vector<TimeSpan> common(const std::vector<TimeSpan>& a, const std::vector<TimeSpan>& b) {
    std::vector<TimeSpan> both;
    for (const TimeSpan& x : a)
        for (const TimeSpan& y : b)
            if (std::max(x.from, y.from) < std::min(x.to, y.to))
                both.push_back({std::max(x.from, y.from), std::min(x.to, y.to)});
    return both;
}

void choose(int people, int count, int from, std::vector<int>& team, std::vector<std::vector<int>>& teams) {
    if (teams.size() >= most_teams) return;
    if (static_cast<int>(team.size()) == count) {
        teams.push_back(team);
        return;
    }
    for (int i = from; i < people; ++i) {
        team.push_back(i);
        choose(people, count, i + 1, team, teams);
        team.pop_back();
    }
}

}  // namespace

const std::vector<std::vector<int>>& Teams::of(int count) {
    const auto [at, fresh] = teams_.try_emplace(count);
    if (fresh) {
        std::vector<int> team;
        choose(static_cast<int>(shop_.people.size()), count, 0, team, at->second);
    }
    return at->second;
}

Teams::Entry& Teams::entry(const std::vector<int>& team, bool sealing) {
    const auto [at, fresh] = entries_.try_emplace({team, sealing});
    Entry& entry = at->second;
    if (!fresh) return entry;
    for (int d = 0; d < horizon_days; ++d) {
        const Date day = start_ + d;
        if (sealing && !seals_on(shop_, day)) continue;
        std::vector<TimeSpan> spans =
            working_spans(shop_, shop_.people[static_cast<std::size_t>(team.front())], day);
        for (std::size_t i = 1; i < team.size(); ++i)
            spans = common(spans, working_spans(shop_, shop_.people[static_cast<std::size_t>(team[i])], day));
        Minute sum = 0;
        for (const TimeSpan& span : spans) {
            entry.longest = std::max(entry.longest, span.to - span.from);
            sum += span.to - span.from;
            entry.windows.push_back(span);
        }
        entry.longest_day = std::max(entry.longest_day, sum);
    }
    return entry;
}

const std::vector<TimeSpan>& Teams::windows(const std::vector<int>& team, bool sealing) {
    return entry(team, sealing).windows;
}
Minute Teams::longest(const std::vector<int>& team, bool sealing) { return entry(team, sealing).longest; }
Minute Teams::longest_day(const std::vector<int>& team, bool sealing) {
    return entry(team, sealing).longest_day;
}

}  // namespace libseal::detail
