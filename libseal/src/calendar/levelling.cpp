#include "libseal/calendar/levelling.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "calendar/whole_weeks.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

void check_levelling(const std::vector<WeekCapacity>& weeks, const LevellingOptions& options) {
    const double endless = std::numeric_limits<double>::infinity();
    for (std::size_t w = 0; w < weeks.size(); ++w) {
        const std::string field = "weeks[" + std::to_string(w) + "]";
        if (!(weeks[w].normal >= 0 && weeks[w].normal < endless))
            throw_value_error(field + ".normal", "not below zero", number_text(weeks[w].normal));
        if (!(weeks[w].overtime >= 0 && weeks[w].overtime < endless))
            throw_value_error(field + ".overtime", "not below zero", number_text(weeks[w].overtime));
    }
    if (!(options.overtime_cost >= 0 && options.overtime_cost < endless))
        throw_value_error("overtime_cost", "not below zero", number_text(options.overtime_cost));
    if (!(options.move_cost >= 0 && options.move_cost < endless))
        throw_value_error("move_cost", "not below zero", number_text(options.move_cost));
    if (options.work_limit < 0) throw_value_error("work_limit", "not below zero", std::to_string(options.work_limit));
}

/// The better of two first plans, improved.
detail::WholeWeeks whole_plan(const detail::WeekPrices& prices, const std::vector<WeekCapacity>& weeks, double overtime_cost,
                              const std::vector<double>& hour_prices, double bound, const LevellingOptions& options) {
    detail::WholeWeeks best(prices, weeks, overtime_cost), other(prices, weeks, overtime_cost);
    best.fill(hour_prices);
    best.improve();
    other.fill({});
    other.improve();
    const auto worse = [](const detail::WholeWeeks& a, const detail::WholeWeeks& b) {
        return a.unplaced_hours() != b.unplaced_hours() ? a.unplaced_hours() > b.unplaced_hours() : a.cost() > b.cost();
    };
    // Plans refer to the same prices: only their weeks differ.
    detail::WholeWeeks& chosen = worse(best, other) ? other : best;
    chosen.ruin_and_repair(options.work_limit, bound, options.seed, options.watch);
    return chosen;
}

Levelling described(const detail::WholeWeeks& plan, const std::vector<WeekCapacity>& weeks, const LevellingOptions& options) {
    Levelling result;
    result.week = plan.week();
    result.load = plan.load();
    for (std::size_t w = 0; w < weeks.size(); ++w) {
        result.overtime.push_back(std::max(0.0, result.load[w] - weeks[w].normal));
        result.peak = std::max(result.peak, result.load[w]);
    }
    for (std::size_t i = 0; i < options.keep.size(); ++i)
        if (options.keep[i] >= 0 && options.keep[i] != result.week[i]) ++result.moved;
    return result;
}

}  // namespace

Levelling level_weeks(const std::vector<WeekWork>& works, const std::vector<WeekCapacity>& weeks, const LevellingOptions& options) {
    check_levelling(weeks, options);
    const detail::WeekPrices prices(works, weeks.size(), options);
    const detail::WeekFlow flow(prices, weeks, options.overtime_cost);
    const detail::WholeWeeks plan = whole_plan(prices, weeks, options.overtime_cost, flow.hour_prices(), flow.fits() ? flow.cost() : 0, options);
    Levelling result = described(plan, weeks, options);
    result.cost = plan.cost();
    result.fits = flow.fits();
    result.divided_peak = detail::divided_peak(prices);
    // A bound on all works says nothing about a plan that leaves some out.
    const bool all = plan.unplaced_hours() == 0;
    result.bound = all ? std::min(flow.cost(), result.cost) : 0;
    if (result.cost - result.bound > 1e-9 * result.cost) result.gap = (result.cost - result.bound) / result.cost;
    return result;
}

Levelling lowest_peak(const std::vector<WeekWork>& works, int weeks, const LevellingOptions& options) {
    if (weeks < 0 || weeks > 100000) throw_value_error("weeks", "0 to 100000", std::to_string(weeks));
    std::vector<WeekWork> free = works;
    for (WeekWork& work : free)
        for (double& price : work.cost)
            if (price < std::numeric_limits<double>::infinity()) price = price >= 0 ? 0 : price;
    LevellingOptions quiet = options;
    quiet.keep.clear();
    const detail::WeekPrices prices(free, static_cast<std::size_t>(weeks), quiet);
    double total = 0, longest = 0;
    for (const double hours : prices.hours) total += hours, longest = std::max(longest, hours);
    const double least = detail::divided_peak(prices);
    // Whole works: the largest capacity that was not enough, and the smallest peak of a plan that was found.
    double low = std::max(std::min(least, total), longest) * (1 - 1e-9), high = total;
    const auto try_peak = [&](double peak) {
        const std::vector<WeekCapacity> capacity(static_cast<std::size_t>(weeks), WeekCapacity{peak, 0});
        return described(whole_plan(prices, capacity, 0, {}, 0, quiet), capacity, quiet);
    };
    Levelling best = try_peak(total);
    high = std::min(high, best.peak);
    for (int round = 0; round < 40 && high - low > 1e-6 * high; ++round) {
        const double middle = round == 0 ? low * (1 + 2e-9) : low + (high - low) / 2;
        Levelling found = try_peak(middle);
        if (std::count(found.week.begin(), found.week.end(), -1) > std::count(best.week.begin(), best.week.end(), -1)) {
            low = middle;
            continue;
        }
        high = found.peak;
        best = std::move(found);
    }
    best.divided_peak = least;
    return best;
}

}  // namespace libseal
