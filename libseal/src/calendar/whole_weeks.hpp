#pragma once
// Whole works in weeks: first plan, moves and swaps, ruin and repair.

#include <vector>

#include "calendar/week_flow.hpp"
#include "libseal/core/random.hpp"

namespace libseal::detail {

class WholeWeeks {
public:
    WholeWeeks(const WeekPrices& prices, const std::vector<WeekCapacity>& weeks, double overtime_cost);

    /// Largest first to the cheapest week with room, hours of a week charged at `hour_prices` too.
    void fill(const std::vector<double>& hour_prices);
    /// Moves and swaps until none helps. Swaps of large plans are left to `ruin_and_repair`.
    void improve();
    /// Takes works out of neighbouring weeks and puts them back, `rounds` times; what is worse is undone.
    /// @param bound  No plan costs less: the search ends there.
    void ruin_and_repair(int rounds, double bound, std::uint64_t seed, const Watch& watch);

    const std::vector<int>& week() const { return week_; }
    const std::vector<double>& load() const { return load_; }
    double cost() const;
    double unplaced_hours() const;

private:
    bool has_room(std::size_t work, std::size_t week, double freed = 0) const;
    double overtime(std::size_t week, double load) const;
    double added(std::size_t work, std::size_t week) const;
    double removed(std::size_t work) const;
    void put(std::size_t work, int week);
    int cheapest_week(std::size_t work, const std::vector<double>& hour_prices) const;
    bool move_one(std::size_t work);
    bool swap_one(std::size_t work);
    double swap_gain(std::size_t a, std::size_t b) const;
    std::vector<std::size_t> victims(RandomStream& random) const;
    void redo(RandomStream& random);

    const WeekPrices& prices_;
    const std::vector<WeekCapacity>& capacity_;
    double overtime_cost_;
    std::vector<int> week_;
    std::vector<double> load_;
    std::vector<std::vector<std::size_t>> members_;
};

}  // namespace libseal::detail
