#include "schedule/shop_hours.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "libseal/schedule/gates.hpp"
#include "schedule/spans.hpp"
#include "schedule/step_gate.hpp"

namespace libseal::detail {
namespace {

constexpr std::size_t most_teams = 200;

std::size_t at(int i) { return static_cast<std::size_t>(i); }

bool holds(const Shop& shop, const std::vector<int>& team, const std::vector<std::string>& skills) {
    return std::all_of(skills.begin(), skills.end(), [&](const std::string& skill) {
        return std::any_of(team.begin(), team.end(), [&](int p) {
            const auto& own = shop.people[at(p)].skills;
            return std::find(own.begin(), own.end(), skill) != own.end();
        });
    });
}

void choose(const Shop& shop, int count, int from, const std::vector<std::string>& skills, std::vector<int>& team,
            std::vector<std::vector<int>>& teams) {
    if (teams.size() >= most_teams) return;
    if (static_cast<int>(team.size()) == count) {
        if (holds(shop, team, skills)) teams.push_back(team);
        return;
    }
    for (int i = from; i < static_cast<int>(shop.people.size()); ++i) {
        team.push_back(i);
        choose(shop, count, i + 1, skills, team, teams);
        team.pop_back();
    }
}

/// Waits may have begun before the first day, with what the running plan says is done; older ones than a year are over.
Minute first_wait(Date start, const ScheduleOptions& options) {
    Minute from = minute_of(start);
    for (const RunningStep& step : options.running)
        if (step.state != StepState::planned) from = std::min(from, step.end);
    return std::max(from, minute_of(start - 366));
}

}  // namespace

struct ShopHours::Clocks {
    GateWeather weather;
    std::map<int, CureClock> cure;  ///< by kind of bay
    WorkingClock working;
};

ShopHours::ShopHours(const Shop& shop, Date start, int days, const ScheduleOptions& options)
    : shop_(shop), start_(start), days_(days), options_(options), gates_{{"", "", false}} {
    shifts_.resize(shop.people.size());
    clocks_.reset(new Clocks{GateWeather(options.weather), {}, WorkingClock(shop, first_wait(start, options), to())});
    std::vector<std::pair<Minute, int>> changes;
    for (std::size_t p = 0; p < shop.people.size(); ++p)
        for (const TimeSpan& span : shift(static_cast<int>(p)))
            changes.push_back({span.from, 1}), changes.push_back({span.to, -1});
    std::sort(changes.begin(), changes.end());
    Minute done = 0;
    int staff = 0;
    change_at_.push_back(from()), done_by_.push_back(0), staff_.push_back(0);
    for (const auto& [t, change] : changes) {
        done += staff * (t - change_at_.back());
        staff += change;
        change_at_.push_back(t), done_by_.push_back(done), staff_.push_back(staff);
    }
}

ShopHours::~ShopHours() = default;

const std::vector<TimeSpan>& ShopHours::shift(int person) {
    auto& spans = shifts_[at(person)];
    if (!spans.empty()) return spans;
    for (int d = 0; d < days_; ++d)
        for (const TimeSpan& span : working_spans(shop_, shop_.people[at(person)], start_ + d)) spans.push_back(span);
    return spans = merged(spans);  // one who works through midnight does not stop there
}

const std::vector<int>& ShopHours::teams(int count, const std::vector<std::string>& skills) {
    const auto [entry, fresh] = choices_.try_emplace({count, skills});
    if (!fresh) return entry->second;
    std::vector<int> team;
    std::vector<std::vector<int>> teams;
    choose(shop_, count, 0, skills, team, teams);
    // Who can do less goes first, so that those with rare skills stay free.
    const auto spare = [&](const std::vector<int>& who) {
        std::size_t sum = 0;
        for (const int p : who) sum += shop_.people[at(p)].skills.size();
        return sum;
    };
    std::stable_sort(teams.begin(), teams.end(), [&](const auto& a, const auto& b) { return spare(a) < spare(b); });
    for (const auto& who : teams) {
        const auto [number, unknown] = team_number_.try_emplace(who, static_cast<int>(teams_.size()));
        if (unknown) teams_.push_back(who);
        entry->second.push_back(number->second);
    }
    return entry->second;
}

int ShopHours::gate(const std::string& name, const std::string& family, bool aloft) {
    if (name.empty()) return 0;
    const std::tuple<std::string, std::string, bool> key{name, family, aloft};
    const auto found = std::find(gates_.begin(), gates_.end(), key);
    if (found != gates_.end()) return static_cast<int>(found - gates_.begin());
    gates_.push_back(key);
    return static_cast<int>(gates_.size()) - 1;
}

int ShopHours::kind(const BayKind& bay) {
    const auto found = std::find(kinds_.begin(), kinds_.end(), bay);
    if (found != kinds_.end()) return static_cast<int>(found - kinds_.begin());
    kinds_.push_back(bay);
    return static_cast<int>(kinds_.size()) - 1;
}

/// Sealing days of the shop and open weather of a gate.
const std::vector<TimeSpan>& ShopHours::open(int gate, int kind) {
    const auto [entry, fresh] = open_.try_emplace({gate, kind});
    std::vector<TimeSpan>& spans = entry->second;
    if (!fresh) return spans;
    const auto& [name, family, aloft] = gates_[at(gate)];
    const BayKind& bay = kinds_[at(kind)];
    const Bay place{"", bay.roofed, bay.heated};
    spans = {{from(), to()}};
    if (name == "bond" || name == "coat") {
        spans.clear();
        for (int d = 0; d < days_; ++d)
            if (seals_on(shop_, start_ + d, place)) spans.push_back({minute_of(start_ + d), minute_of(start_ + (d + 1))});
    }
    const auto own = options_.open_hours.find(name);
    if (own != options_.open_hours.end()) {
        if (!bay.heated) spans = common(merged(spans), own->second);
    } else if (!options_.weather.empty()) {
        spans = common(merged(spans),
                       open_spans(step_gate(name, family, aloft, options_.catalogue), clocks_->weather, place, from(), to()));
    }
    return spans = merged(spans);
}

const Windows& ShopHours::windows(int team, int gate, int kind) {
    if (windows_.size() <= at(team)) windows_.resize(teams_.size());
    auto& of_team = windows_[at(team)];
    if (of_team.size() <= at(gate)) of_team.resize(gates_.size());
    auto& of_gate = of_team[at(gate)];
    if (of_gate.size() <= at(kind)) of_gate.resize(kinds_.size());
    auto& entry = of_gate[at(kind)];
    if (entry) return *entry;
    entry = std::make_unique<Windows>();
    const auto& who = teams_[at(team)];
    std::vector<TimeSpan> spans = shift(who.front());
    for (std::size_t i = 1; i < who.size(); ++i) spans = common(spans, shift(who[i]));
    Minute day_sum = 0;
    Date day{};
    for (const TimeSpan& span : spans) {
        entry->longest = std::max(entry->longest, span.to - span.from);
        for (Minute t = span.from, next = t; t < span.to; t = next) {
            next = std::min(span.to, minute_of(day_of(t) + 1));
            if (day_of(t) != day) day = day_of(t), day_sum = 0;
            day_sum += next - t;
            entry->longest_day = std::max(entry->longest_day, day_sum);
        }
    }
    entry->spans = gate == 0 ? std::move(spans) : common(spans, open(gate, kind));
    entry->base = from();
    std::uint32_t next = 0;
    for (int d = 0; d <= days_; ++d) {
        while (next < entry->spans.size() && entry->spans[next].to <= minute_of(start_ + d)) ++next;
        entry->of_day.push_back(next);
    }
    return *entry;
}

Minute ShopHours::ready(Minute from, Minute lag, LagClock clock, int kind) {
    if (clock == LagClock::working) return clocks_->working.ready(from, static_cast<double>(lag));
    const BayKind& bay = kinds_[at(kind)];
    if (clock == LagClock::elapsed || lag == 0 || !cures_by_weather(kind)) return from + lag;
    auto entry = clocks_->cure.find(kind);
    if (entry == clocks_->cure.end())
        entry = clocks_->cure
                    .emplace(kind, CureClock(clocks_->weather, Bay{"", bay.roofed, bay.heated}, shop_.bay_temperature,
                                             options_.catalogue, first_wait(start_, options_), to()))
                    .first;
    return entry->second.ready(from, static_cast<double>(lag));
}

Minute ShopHours::staffed(Minute to) const {
    const auto after = std::upper_bound(change_at_.begin(), change_at_.end(), to);
    if (after == change_at_.begin()) return 0;
    const auto i = static_cast<std::size_t>(after - change_at_.begin()) - 1;
    return done_by_[i] + staff_[i] * (to - change_at_[i]);
}

Minute ShopHours::staffed_by(Minute from, Minute work) const {
    if (work <= 0) return from;
    const Minute goal = staffed(from) + work;
    const auto after = std::lower_bound(done_by_.begin(), done_by_.end(), goal);
    if (after == done_by_.end()) return to();
    const auto i = static_cast<std::size_t>(after - done_by_.begin()) - 1;
    return change_at_[i] + (goal - done_by_[i] + staff_[i] - 1) / std::max(1, staff_[i]);
}

}  // namespace libseal::detail
