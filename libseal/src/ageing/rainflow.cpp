#include "libseal/ageing/rainflow.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

void require_series(ConstColumn series, Eigen::Index offset, const char* name) {
    for (Eigen::Index i = 0; i < series.size(); ++i)
        if (!std::isfinite(series[i]))
            throw_value_error(std::string(name) + "[" + std::to_string(offset + i) + "]", "a finite number",
                              number_text(series[i]), "fill or cut gaps before counting");
}

void require_weights(ConstColumn amplitudes, ConstColumn weights, const char* name) {
    if (amplitudes.size() != weights.size())
        throw_value_error(name, std::to_string(amplitudes.size()) + " values, as many as amplitudes",
                          std::to_string(weights.size()));
    for (Eigen::Index i = 0; i < weights.size(); ++i) {
        const std::string place = "[" + std::to_string(i) + "]";
        require_not_negative(amplitudes[i], "amplitudes" + place);
        require_not_negative(weights[i], name + place);
    }
}

/// Is the range from `meet` to `a` shorter than that from `meet` to `b`? Both lie on one side of it, so that no rounding and no
/// overflow of a difference decides.
bool shorter(const TurningPoint& meet, const TurningPoint& a, const TurningPoint& b) {
    return b.value > meet.value ? a.value < b.value : a.value > b.value;
}

Cycle cycle_of(const TurningPoint& from, const TurningPoint& to, double count) {
    return {from.value, to.value, count, from.index, to.index};
}

}  // namespace

void RainflowCounter::push(std::vector<TurningPoint>& points, std::vector<Cycle>& cycles, TurningPoint point,
                           RainflowRule rule) {
    points.push_back(point);
    while (points.size() >= 3) {
        const auto end = points.end();
        if (shorter(end[-2], end[-1], end[-3])) return;  // the latest range than the one before
        if (points.size() == 3) {
            if (rule == RainflowRule::closed) return;
            cycles.push_back(cycle_of(points[0], points[1], 0.5));
            points.erase(points.begin());
            continue;
        }
        if (rule == RainflowRule::closed && shorter(end[-3], end[-4], end[-2])) return;
        cycles.push_back(cycle_of(end[-3], end[-2], 1));
        end[-3] = end[-1];
        points.resize(points.size() - 2);
    }
}

void RainflowCounter::take(double value) {
    const Eigen::Index index = size_++;
    if (index == 0) {
        latest_ = {value, index};
        return;
    }
    if (value == latest_.value) {  // a plateau
        latest_.index = index;
        return;
    }
    const int direction = value > latest_.value ? 1 : -1;
    if (direction != direction_) push(points_, counted_, latest_, rule_);
    direction_ = direction;
    latest_ = {value, index};
}

void RainflowCounter::add(ConstColumn chunk) {
    require_series(chunk, size_, "series");
    for (Eigen::Index i = 0; i < chunk.size(); ++i) take(chunk[i]);
}

std::vector<TurningPoint> RainflowCounter::residue() const {
    std::vector<TurningPoint> points = points_;
    std::vector<Cycle> closing;
    if (size_ > 0) push(points, closing, latest_, rule_);
    return points;
}

std::vector<Cycle> RainflowCounter::finish() const {
    std::vector<Cycle> cycles = counted_;
    if (direction_ == 0) return cycles;
    std::vector<TurningPoint> points = points_;
    push(points, cycles, latest_, rule_);
    for (std::size_t i = 1; i < points.size(); ++i) cycles.push_back(cycle_of(points[i - 1], points[i], 0.5));
    return cycles;
}

std::vector<Cycle> rainflow_cycles(ConstColumn series, RainflowRule rule) {
    RainflowCounter counter(rule);
    counter.add(series);
    return counter.finish();
}

CycleTable table_of(const std::vector<Cycle>& cycles) {
    CycleTable table(static_cast<Eigen::Index>(cycles.size()), 3);
    for (std::size_t i = 0; i < cycles.size(); ++i)
        table.row(static_cast<Eigen::Index>(i)) << cycles[i].range(), cycles[i].mean(), cycles[i].count;
    return table;
}

CycleTable rainflow(ConstColumn series) { return table_of(rainflow_cycles(series)); }

CycleTable rainflow_repeating(ConstColumn series) {
    require_series(series, 0, "series");
    if (series.size() < 2) return CycleTable(0, 3);
    Eigen::Index top = 0;
    series.maxCoeff(&top);
    Column turned(series.size() + 1);
    for (Eigen::Index i = 0; i <= series.size(); ++i) turned[i] = series[(top + i) % series.size()];
    RainflowCounter counter(RainflowRule::closed);
    counter.add(turned);
    // From the top down and back to the top: the one range left is a whole cycle.
    std::vector<Cycle> cycles = counter.finish();
    if (cycles.empty()) return CycleTable(0, 3);
    cycles.pop_back();
    cycles.back().count = 1;
    return table_of(cycles);
}

double range_moment(const CycleTable& cycles, double exponent) {
    require_positive(exponent, "exponent");
    if (cycles.rows() == 0) return 0;  // without cells there is no column to point at
    return (cycles.col(2) * cycles.col(0).pow(exponent)).sum();
}

double equivalent_range(const CycleTable& cycles, double exponent) {
    if (cycles.rows() == 0) return equivalent_amplitude(Column(), Column(), exponent);
    return equivalent_amplitude(cycles.col(0), cycles.col(2), exponent);
}

double equivalent_amplitude(ConstColumn amplitudes, ConstColumn weights, double exponent) {
    require_positive(exponent, "exponent");
    require_weights(amplitudes, weights, "weights");
    const double total = weights.sum();
    if (!(total > 0)) throw_value_error("weights", "at least one above 0", number_text(total));
    const double largest = amplitudes.size() > 0 ? amplitudes.maxCoeff() : 0;
    if (!(largest > 0)) return 0;
    // Relative to the largest, so that no power overflows.
    return largest * std::pow((weights * (amplitudes / largest).pow(exponent)).sum() / total, 1 / exponent);
}

double miner_damage(ConstColumn amplitudes, ConstColumn counts, double reference_amplitude, double reference_life,
                    double slope) {
    require_weights(amplitudes, counts, "counts");
    require_positive(reference_amplitude, "reference_amplitude");
    require_positive(reference_life, "reference_life");
    require_positive(slope, "slope");
    double damage = 0;
    for (Eigen::Index i = 0; i < counts.size(); ++i)
        damage += counts[i] * std::pow(amplitudes[i] / reference_amplitude, slope) / reference_life;
    return damage;
}

}  // namespace libseal
