// The steady cycle of visits.

#include <algorithm>
#include <cmath>
#include <limits>

#include "libseal/calendar/visits.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

void check_cycle(double set_up, const std::vector<double>& cost, const std::vector<double>& loss, int most) {
    const double endless = std::numeric_limits<double>::infinity();
    if (!(set_up >= 0 && set_up < endless)) throw_value_error("set_up", "not below zero", number_text(set_up));
    if (cost.empty()) throw_value_error("cost", "at least one work", "none");
    if (cost.size() != loss.size())
        throw_value_error("loss", std::to_string(cost.size()) + " values", std::to_string(loss.size()));
    if (most < 1 || most > 100) throw_value_error("most", "1 to 100", std::to_string(most));
    double all = set_up;
    for (std::size_t i = 0; i < cost.size(); ++i) {
        if (!(cost[i] >= 0 && cost[i] < endless))
            throw_value_error("cost[" + std::to_string(i) + "]", "not below zero", number_text(cost[i]));
        if (!(loss[i] > 0 && loss[i] < endless))
            throw_value_error("loss[" + std::to_string(i) + "]", "above zero", number_text(loss[i]));
        all += cost[i];
    }
    if (!(all > 0)) throw_value_error("set_up", "above zero where no work costs anything", number_text(set_up));
}

}  // namespace

VisitCycle best_cycle(double set_up, const std::vector<double>& cost, const std::vector<double>& loss, int most) {
    check_cycle(set_up, cost, loss, most);
    const std::size_t n = cost.size();
    // For an interval T the best multiple is the smallest k with k (k + 1) >= 2 cost / (loss T^2): it changes at these T.
    struct Change {
        double interval;
        std::size_t work;
        int every;
    };
    std::vector<Change> steps;
    for (std::size_t i = 0; i < n; ++i)
        for (int k = 1; k < most; ++k) steps.push_back({std::sqrt(2 * cost[i] / (loss[i] * k * (k + 1))), i, k + 1});
    std::stable_sort(steps.begin(), steps.end(), [](const Change& a, const Change& b) { return a.interval > b.interval; });
    VisitCycle best;
    best.cost_rate = std::numeric_limits<double>::infinity();
    std::vector<int> every(n, 1);
    for (std::size_t s = 0; s <= steps.size(); ++s) {
        double fixed = set_up, rate = 0;
        for (std::size_t i = 0; i < n; ++i) fixed += cost[i] / every[i], rate += every[i] * loss[i];
        const double total = std::sqrt(2 * fixed * rate);
        if (total < best.cost_rate) best = {std::sqrt(2 * fixed / rate), every, total};
        if (s < steps.size()) every[steps[s].work] = steps[s].every;
    }
    return best;
}

}  // namespace libseal
