#include "forecast/look_choice.hpp"

#include <algorithm>
#include <cstddef>

namespace libseal::detail {
namespace {

constexpr int most_steps = 200000;  // beyond, the best found so far stands

struct Item {
    std::size_t candidate;
    double profit;   ///< value less the worth of its minutes, > 0
    double minutes;
};

/// Most profit within a room of minutes. The first way down takes by profit per minute whatever fits.
class Knapsack {
public:
    Knapsack(std::vector<Item> items, double room) : items_(std::move(items)), taken_(items_.size()), best_(items_.size()) {
        std::stable_sort(items_.begin(), items_.end(),
                         [](const Item& a, const Item& b) { return a.profit * b.minutes > b.profit * a.minutes; });
        if (room >= 0) go_down(0, room, 0);
    }
    double profit() const { return most_; }
    /// Candidates in the best choice.
    std::vector<std::size_t> chosen() const {
        std::vector<std::size_t> result;
        for (std::size_t i = 0; i < items_.size(); ++i)
            if (best_[i]) result.push_back(items_[i].candidate);
        return result;
    }

private:
    /// No choice among the items from `i` on brings more than this: the last one is taken in part.
    double bound(std::size_t i, double room) const {
        double sum = 0;
        for (; i < items_.size(); ++i) {
            if (items_[i].minutes > room) return sum + items_[i].profit * room / items_[i].minutes;
            sum += items_[i].profit;
            room -= items_[i].minutes;
        }
        return sum;
    }

    void go_down(std::size_t i, double room, double profit) {
        if (profit > most_) {
            most_ = profit;
            best_ = taken_;
        }
        if (i == items_.size() || ++steps_ > most_steps || profit + bound(i, room) <= most_ * (1 + 1e-12)) return;
        if (items_[i].minutes <= room) {
            taken_[i] = true;
            go_down(i + 1, room - items_[i].minutes, profit + items_[i].profit);
            taken_[i] = false;
        }
        go_down(i + 1, room, profit);
    }

    std::vector<Item> items_;
    std::vector<bool> taken_, best_;
    double most_ = 0;
    int steps_ = 0;
};

Knapsack best_within(const std::vector<LookCandidate>& candidates, const LookCosts& costs, bool with_roof, double room) {
    std::vector<Item> items;
    for (std::size_t c = 0; c < candidates.size(); ++c) {
        const LookCandidate& one = candidates[c];
        const double profit = one.value - costs.least_rate * one.minutes;
        if (!one.always && profit > 0 && (with_roof || !one.roof)) items.push_back({c, profit, one.minutes});
    }
    return {std::move(items), room};
}

}  // namespace

std::vector<bool> choose_looks(const std::vector<LookCandidate>& candidates, const LookCosts& costs) {
    std::vector<bool> chosen(candidates.size(), false);
    double spent = 0;
    bool any = false, up = false;
    for (std::size_t c = 0; c < candidates.size(); ++c) {
        if (!candidates[c].always) continue;
        chosen[c] = any = true;
        up = up || candidates[c].roof;
        spent += candidates[c].minutes;
    }
    // What is paid anyway is no reason against a look; what is paid for the further looks alone is.
    if (any) spent += costs.fixed;
    if (up) spent += costs.roof_set_up;
    const double room = costs.budget - spent;
    double most = 0;
    std::vector<std::size_t> added;
    for (const bool with_roof : {false, true}) {
        const double extra = (any ? 0.0 : costs.fixed) + (with_roof && !up ? costs.roof_set_up : 0.0);
        const Knapsack best = best_within(candidates, costs, with_roof, room - extra);
        const double net = best.profit() - costs.least_rate * extra;
        if (net <= most) continue;
        most = net;
        added = best.chosen();
    }
    for (const std::size_t c : added) chosen[c] = true;
    return chosen;
}

}  // namespace libseal::detail
