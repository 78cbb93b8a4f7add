#pragma once
// Which cycles a history of strain holds: small ones closed inside large ones, each counted once.

#include <cstddef>
#include <vector>

#include "libseal/core/columns.hpp"

namespace libseal {

/// One counted cycle or half cycle, from one turning point to the next.
struct Cycle {
    double from_value = 0;      ///< value where it starts [unit of the series]
    double to_value = 0;        ///< value where it turns [unit of the series]
    double count = 0;           ///< 1 closed, 0.5 open [-]
    Eigen::Index first = 0;     ///< index of `from_value` in the series; of a plateau its last point
    Eigen::Index last = 0;      ///< index of `to_value` in the series
    /// [unit of the series]
    double range() const { return to_value < from_value ? from_value - to_value : to_value - from_value; }
    /// Half-way between both ends [unit of the series].
    double mean() const { return 0.5 * (from_value + to_value); }
    /// Steps of its half cycle, twice those if it is closed: the way there and the stay, for rests belong to the value
    /// that is rested at. [steps]
    double duration() const { return static_cast<double>(last - first) * 2 * count; }
};

/// A point where the history turns, or one of its two ends.
struct TurningPoint {
    double value = 0;           ///< [unit of the series]
    Eigen::Index index = 0;     ///< place in the series
};

/// When a cycle is taken out of the history.
enum class RainflowRule {
    standard,  ///< ASTM E1049-85: three points; a range that holds the start counts one half and goes at once
    closed     ///< four points: only closed cycles go, everything open stays as residue until the end
};

/// Rows of (range, mean, count).
using CycleTable = Eigen::Array<double, Eigen::Dynamic, 3, Eigen::RowMajor>;

/// Cycles of a series in order of extraction, open ranges as half cycles at the end; both end points of the series count
/// as turning points. Of a plateau (equal neighbours) the last point is taken, so that it neither adds nor hides a turn.
///
/// @param series  [any unit], any length; fewer than two different values give no cycle.
/// @return        One row a cycle: range and mean [unit of the series], count 1 or 0.5 [-].
/// @throws ValueError  naming the first value that is not finite.
/// @threads pure.
/// @source  ASTM E1049-85 (2017), section 5.4.4.
CycleTable rainflow(ConstColumn series);

/// The same cycles with their turning points, for durations and from-to tables. [unit of the series]
/// @param series  [any unit]
/// @throws ValueError  naming the first value that is not finite.
/// @threads pure.
/// @source  ASTM E1049-85 (2017), section 5.4.4.
std::vector<Cycle> rainflow_cycles(ConstColumn series, RainflowRule rule = RainflowRule::standard);

/// Cycles of a history that repeats for ever: every one closes. The history starts at its highest point and comes back to
/// it, and its last value runs into its first. [unit of the series]  @param series  [any unit]
/// @return  Rows of (range, mean, 1).
/// @throws ValueError  naming the first value that is not finite.
/// @threads pure.
/// @source  ASTM E1049-85 (2017), section 5.4.5 (simplified rainflow for repeating histories).
CycleTable rainflow_repeating(ConstColumn series);

/// Range, mean and count of each cycle.
CycleTable table_of(const std::vector<Cycle>& cycles);

/// Counts a history that comes in pieces; the result does not depend on where it was cut.
///
/// @threads  One thread adds; copies are independent.
class RainflowCounter {
public:
    explicit RainflowCounter(RainflowRule rule = RainflowRule::standard) : rule_(rule) {}

    /// Goes on with the next values [unit of the series].  @param chunk  [unit of the series]
    /// @throws ValueError  naming the first value that is not finite; nothing of the chunk is then taken.
    void add(ConstColumn chunk);
    /// Cycles taken out so far, in order of extraction. More values do not change them.
    const std::vector<Cycle>& counted() const { return counted_; }
    /// Turning points in no whole cycle if the history ended here, the latest value last.
    std::vector<TurningPoint> residue() const;
    /// All cycles as if the history ended here, open ranges as half cycles. Adding may go on afterwards.
    std::vector<Cycle> finish() const;
    /// Number of values so far.
    Eigen::Index size() const { return size_; }

private:
    void take(double value);
    static void push(std::vector<TurningPoint>& points, std::vector<Cycle>& cycles, TurningPoint point, RainflowRule rule);

    RainflowRule rule_;
    std::vector<TurningPoint> points_;  // turning points that are sure
    std::vector<Cycle> counted_;
    TurningPoint latest_;               // may yet turn out to lie within a slope
    int direction_ = 0;                 // of the slope that leads to it; 0 before the first change
    Eigen::Index size_ = 0;
};

/// Sum of count * range^exponent. [unit of range ^ exponent]  @param exponent  [-], > 0
/// @source  Miner 1945; Basquin 1910.
double range_moment(const CycleTable& cycles, double exponent);

/// Range that does the same damage in as many cycles: (sum count range^exponent / sum count)^(1/exponent). [unit of the ranges]
/// @param exponent  [-], > 0
/// @throws ValueError  without cycles, or an exponent that is not > 0.
/// @source  Miner 1945; Basquin 1910.
double equivalent_range(const CycleTable& cycles, double exponent);

/// The same mean of amplitudes with their own weights (cycles, or hours).
/// @param amplitudes  [any unit], >= 0.  @param weights  [any unit], >= 0, as many, not all 0.  @param exponent  [-], > 0.
/// @throws ValueError  naming the argument.
/// @source  Miner 1945; Basquin 1910.
double equivalent_amplitude(ConstColumn amplitudes, ConstColumn weights, double exponent);

/// Miner's sum of counts / life, life = reference_life * (amplitude / reference_amplitude)^-slope.
/// Failure is expected at 1; tests of metals found 0.7 to 2.2.
/// @param amplitudes  [unit of reference_amplitude], >= 0; zero does no damage.  @param counts  [cycles], >= 0, as many.
/// @param reference_amplitude  [any unit], > 0.  @param reference_life  To failure at it. [cycles], > 0.  @param slope  [-], > 0.
/// @throws ValueError  naming the argument.
/// @threads pure.
/// @source  Miner 1945; Basquin 1910.
double miner_damage(ConstColumn amplitudes, ConstColumn counts, double reference_amplitude, double reference_life,
                    double slope);

}  // namespace libseal
