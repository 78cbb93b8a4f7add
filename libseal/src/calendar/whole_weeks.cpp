#include "calendar/whole_weeks.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace libseal::detail {
namespace {

constexpr double never = std::numeric_limits<double>::infinity();
/// Of a change that counts as an improvement, so that rounding does not run in circles.
constexpr double least_gain = 1e-9;
/// Works up to which all pairs are looked at for swaps.
constexpr std::size_t most_for_swaps = 600;

}  // namespace

WholeWeeks::WholeWeeks(const WeekPrices& prices, const std::vector<WeekCapacity>& weeks, double overtime_cost)
    : prices_(prices), capacity_(weeks), overtime_cost_(overtime_cost), week_(prices.works, -1), load_(weeks.size(), 0.0),
      members_(weeks.size()) {}

bool WholeWeeks::has_room(std::size_t i, std::size_t w, double freed) const {
    const double most = capacity_[w].normal + capacity_[w].overtime;
    return load_[w] - freed + prices_.hours[i] <= most + 1e-9 * std::max(1.0, most);
}

double WholeWeeks::overtime(std::size_t w, double load) const { return overtime_cost_ * std::max(0.0, load - capacity_[w].normal); }

double WholeWeeks::added(std::size_t i, std::size_t w) const {
    return prices_.at(i, w) + overtime(w, load_[w] + prices_.hours[i]) - overtime(w, load_[w]);
}

double WholeWeeks::removed(std::size_t i) const {
    const auto w = static_cast<std::size_t>(week_[i]);
    return prices_.at(i, w) + overtime(w, load_[w]) - overtime(w, load_[w] - prices_.hours[i]);
}

void WholeWeeks::put(std::size_t i, int week) {
    if (week_[i] >= 0) {
        const auto from = static_cast<std::size_t>(week_[i]);
        members_[from].erase(std::find(members_[from].begin(), members_[from].end(), i));
        // Summed anew, so that the order of changes leaves no trace in the last bits.
        load_[from] = 0;
        for (const std::size_t j : members_[from]) load_[from] += prices_.hours[j];
    }
    week_[i] = week;
    if (week < 0) return;
    const auto to = static_cast<std::size_t>(week);
    members_[to].push_back(i);
    load_[to] += prices_.hours[i];
}

int WholeWeeks::cheapest_week(std::size_t i, const std::vector<double>& hour_prices) const {
    int best = -1;
    double least = never;
    for (std::size_t w = 0; w < load_.size(); ++w) {
        if (prices_.at(i, w) == never || !has_room(i, w)) continue;
        const double price = added(i, w) + (hour_prices.empty() ? 0 : std::min(hour_prices[w], 1e12) * prices_.hours[i]);
        if (price < least) least = price, best = static_cast<int>(w);
    }
    return best;
}

void WholeWeeks::fill(const std::vector<double>& hour_prices) {
    std::vector<std::size_t> order(prices_.works);
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return prices_.hours[a] > prices_.hours[b]; });
    for (const std::size_t i : order) put(i, cheapest_week(i, hour_prices));
}

bool WholeWeeks::move_one(std::size_t i) {
    const double back = week_[i] < 0 ? never : removed(i);
    int best = -1;
    double gain = least_gain * (1 + (back == never ? 0 : std::abs(back)));
    for (std::size_t w = 0; w < load_.size(); ++w) {
        if (static_cast<int>(w) == week_[i] || prices_.at(i, w) == never || !has_room(i, w)) continue;
        if (back - added(i, w) > gain) gain = back - added(i, w), best = static_cast<int>(w);
    }
    if (best < 0) {
        if (week_[i] >= 0) return false;
        best = cheapest_week(i, {});
        if (best < 0) return false;
    }
    put(i, best);
    return true;
}

/// What two works of different weeks save by changing places; below zero if they may not.
double WholeWeeks::swap_gain(std::size_t a, std::size_t b) const {
    const auto u = static_cast<std::size_t>(week_[a]), v = static_cast<std::size_t>(week_[b]);
    if (u == v || prices_.at(a, v) == never || prices_.at(b, u) == never) return -1;
    if (!has_room(a, v, prices_.hours[b]) || !has_room(b, u, prices_.hours[a])) return -1;
    const double shift = prices_.hours[b] - prices_.hours[a];
    return prices_.at(a, u) + prices_.at(b, v) - prices_.at(a, v) - prices_.at(b, u) + overtime(u, load_[u]) -
           overtime(u, load_[u] + shift) + overtime(v, load_[v]) - overtime(v, load_[v] - shift);
}

bool WholeWeeks::swap_one(std::size_t a) {
    if (week_[a] < 0) return false;
    std::size_t best = prices_.works;
    double gain = least_gain * (1 + std::abs(removed(a)));
    for (std::size_t b = 0; b < prices_.works; ++b) {
        if (week_[b] < 0) continue;
        const double here = swap_gain(a, b);
        if (here > gain) gain = here, best = b;
    }
    if (best == prices_.works) return false;
    const int to = week_[best], from = week_[a];
    put(best, -1);
    put(a, to);
    put(best, from);
    return true;
}

void WholeWeeks::improve() {
    for (bool better = true; better;) {
        better = false;
        for (std::size_t i = 0; i < prices_.works; ++i) better = move_one(i) || better;
        if (prices_.works <= most_for_swaps)
            for (std::size_t i = 0; i < prices_.works; ++i) better = swap_one(i) || better;
    }
}

/// Some works of up to three weeks in a row, and of those without a week.
std::vector<std::size_t> WholeWeeks::victims(RandomStream& random) const {
    std::vector<std::size_t> pool;
    const std::size_t anchor = random.below(load_.size()), reach = 1 + random.below(3);
    for (std::size_t w = anchor; w < std::min(anchor + reach, load_.size()); ++w) pool.insert(pool.end(), members_[w].begin(), members_[w].end());
    for (std::size_t i = 0; i < prices_.works; ++i)
        if (week_[i] < 0) {
            pool.push_back(i);
            // Room is made where the work may go.
            for (std::size_t w = 0; w < load_.size(); ++w)
                if (prices_.at(i, w) < never && random.below(2) == 0 && !members_[w].empty())
                    pool.push_back(members_[w][random.below(members_[w].size())]);
            break;
        }
    for (std::size_t k = pool.size(); k > 1; --k) std::swap(pool[k - 1], pool[random.below(k)]);
    std::vector<std::size_t> chosen;
    const std::size_t most = 2 + random.below(8);
    for (const std::size_t i : pool)
        if (chosen.size() < most && std::find(chosen.begin(), chosen.end(), i) == chosen.end()) chosen.push_back(i);
    return chosen;
}

void WholeWeeks::ruin_and_repair(int rounds, double bound, std::uint64_t seed, const Watch& watch) {
    if (prices_.works < 2 || load_.empty()) return;
    RandomStream random(seed, 17);
    ProgressReporter reporter(watch, "levelling");
    for (int round = 0; round < rounds; ++round) {
        reporter.tick(static_cast<double>(round) / rounds);
        if (unplaced_hours() == 0 && cost() <= bound * (1 + 1e-12)) return;
        redo(random);
    }
    improve();
}

/// One round: out, in, and back if that is worse.
void WholeWeeks::redo(RandomStream& random) {
    const std::vector<std::size_t> chosen = victims(random);
    std::vector<int> before;
    for (const std::size_t i : chosen) before.push_back(week_[i]);
    const double cost_before = cost(), left_before = unplaced_hours();
    for (const std::size_t i : chosen) put(i, -1);
    std::vector<std::size_t> order = chosen;
    if (random.below(2) == 0)
        std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return prices_.hours[a] > prices_.hours[b]; });
    std::vector<double> noise(load_.size());
    for (double& one : noise) one = random.below(4) == 0 ? random.uniform() * (1 + overtime_cost_) : 0;
    for (const std::size_t i : order) put(i, cheapest_week(i, noise));
    for (const std::size_t i : order) move_one(i);
    const double left = unplaced_hours();
    if (left < left_before - least_gain || (left <= left_before + least_gain && cost() <= cost_before)) return;
    for (const std::size_t i : chosen) put(i, -1);
    for (std::size_t k = 0; k < chosen.size(); ++k) put(chosen[k], before[k]);
}

double WholeWeeks::cost() const {
    double total = 0;
    for (std::size_t i = 0; i < prices_.works; ++i)
        if (week_[i] >= 0) total += prices_.at(i, static_cast<std::size_t>(week_[i]));
    for (std::size_t w = 0; w < load_.size(); ++w) total += overtime(w, load_[w]);
    return total;
}

double WholeWeeks::unplaced_hours() const {
    double total = 0;
    for (std::size_t i = 0; i < prices_.works; ++i)
        if (week_[i] < 0) total += prices_.hours[i];
    return total;
}

}  // namespace libseal::detail
