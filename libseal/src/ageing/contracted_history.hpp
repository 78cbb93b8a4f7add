#pragma once
// Rainflow without a table: how many cycles close and how large, and the points where what stays open turns.

#include <cstddef>
#include <memory>
#include <vector>

#include "libseal/core/columns.hpp"

namespace libseal::detail {

/// A history with all its closed cycles taken out; the cycles are those of `rainflow_cycles`. Its memory serves the next one.
class ContractedHistory {
public:
    /// @return  False if some value is not finite: nothing is then counted.
    bool count(ConstColumn series);
    /// As if the history repeated for ever. Its open ranges then come in equal pairs, each pair one cycle.
    bool count_repeating(ConstColumn series);

    std::size_t closed() const { return closed_; }
    /// Ends of the open ranges, in order: of each half cycle from the one to the next. None without a turn.
    std::size_t point_count() const { return point_count_; }
    double point(std::size_t i) const { return points_[i]; }
    /// Where the points stand in the series that was counted last, which must be the same; not for one that repeats.
    std::vector<std::size_t> places(ConstColumn series) const;
    /// Sum of count * range^exponent. Same bits on every processor.
    double moment(double exponent) const;

private:
    void make_room(std::size_t size);
    void contract(std::size_t size);
    void measure_open();
    double power_sum(const double* ranges, std::size_t size, double exponent) const;

    std::unique_ptr<double[]> memory_;
    double* points_ = nullptr;
    double* ranges_ = nullptr;  // closed ones, then open ones
    std::size_t room_ = 0, closed_ = 0, point_count_ = 0;
    double largest_ = 0;
};

}  // namespace libseal::detail
