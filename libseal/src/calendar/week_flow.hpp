#pragma once
// Divisible work in weeks: the cheapest flow, and the smallest peak.

#include <queue>
#include <vector>

#include "libseal/calendar/levelling.hpp"

namespace libseal::detail {

/// Prices of works in weeks as a matrix; infinite where a work may not be.
struct WeekPrices {
    WeekPrices(const std::vector<WeekWork>& works, std::size_t weeks, const LevellingOptions& options);
    double at(std::size_t work, std::size_t week) const { return price[work * weeks + week]; }

    std::size_t works = 0, weeks = 0;
    std::vector<double> hours;
    std::vector<double> price;  ///< of all of a work, row by row
};

/// Cheapest division of all works over the weeks, work by work along shortest paths.
///
/// A path leads from a new work over weeks to one with room: week v hands on to week w by taking hours of the work there that
/// is cheapest to move. So the graph has only the weeks as nodes, whatever the number of works.
class WeekFlow {
public:
    WeekFlow(const WeekPrices& prices, const std::vector<WeekCapacity>& weeks, double overtime_cost);
    double cost() const;
    bool fits() const { return fits_; }
    /// What one more hour in a week would cost beyond its own price; infinite where all is full.
    std::vector<double> hour_prices() const;

private:
    struct Offer {
        double price;      ///< of moving one hour
        std::size_t work;
        bool operator>(const Offer& other) const { return price != other.price ? price > other.price : work > other.work; }
    };
    using Offers = std::priority_queue<Offer, std::vector<Offer>, std::greater<>>;

    double rate(std::size_t work, std::size_t week) const { return prices_.at(work, week) / prices_.hours[work]; }
    double& flow(std::size_t work, std::size_t week) { return flow_[work * weeks_ + week]; }
    /// Takes out what has left `from` by now, and notes the best offers to all weeks.
    void refresh(std::size_t from);
    double room_price(std::size_t week) const;
    bool push(std::size_t work, double& left);
    void move(std::size_t work, std::size_t to, double hours);

    const WeekPrices& prices_;
    const std::vector<WeekCapacity>& capacity_;
    double overtime_cost_;
    std::size_t weeks_;
    std::vector<double> flow_, load_;
    std::vector<Offers> offers_;        ///< week x week
    std::vector<double> best_;          ///< price of the best offer, week x week; infinite where nothing can move
    bool fits_ = true;
};

/// Smallest equal capacity of the weeks in which all divisible work can be done [h]; infinite if a work may be nowhere.
double divided_peak(const WeekPrices& prices);

}  // namespace libseal::detail
