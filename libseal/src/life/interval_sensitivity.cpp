#include "libseal/life/interval_sensitivity.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"
#include "libseal/core/text.hpp"
#include "life/least_detection.hpp"

namespace libseal {
namespace {

constexpr double unknown = std::numeric_limits<double>::quiet_NaN();

/// All inputs of an interval in a row: the numbers of the life first.
struct Inputs {
    LifeLaw life;
    std::vector<std::string> names;
    std::vector<double> values;
    std::size_t of_life = 0;  ///< how many belong to the life
};

/// Values that an input may have.
struct Range {
    double low = 0;
    double high = INFINITY;
};

struct Best {
    double interval = 0;
    double cost = 0;
};

Inputs with_life(const LifeLaw& life, const char* prefix) {
    Inputs result{life, {}, {}, 0};
    for (const auto& name : life.parameter_names()) {
        result.names.push_back(std::string(prefix) + "/" + name);
        result.values.push_back(life.parameter(name));
    }
    result.of_life = result.values.size();
    return result;
}

Inputs changed(const Inputs& inputs, std::size_t which, double value) {
    Inputs result = inputs;
    result.values[which] = value;
    if (which < inputs.of_life) result.life = inputs.life.with_parameter(inputs.life.parameter_names()[which], value);
    return result;
}

/// @param best  Interval and cost for inputs.  @param cost  Of an interval that may be infinite.
/// @param range  Least and largest value of an input, as far as it is bounded.
template <class BestOf, class CostOf, class RangeOf>
IntervalSensitivity rows(const Inputs& inputs, double wrong, BestOf&& best, CostOf&& cost, RangeOf&& range) {
    if (!(wrong > 1) || !std::isfinite(wrong)) throw_value_error("wrong", "a finite factor > 1", number_text(wrong));
    const Best now = best(inputs);
    if (std::isinf(now.interval))
        throw_value_error("life", "inputs with a finite best interval", "none", "without one there is nothing to tune");
    const auto count = static_cast<Eigen::Index>(inputs.values.size());
    IntervalSensitivity result{inputs.names, Column(count), Column(count), Column(count), Column(count), Column(count)};
    const double step = 1e-4;
    for (Eigen::Index i = 0; i < count; ++i) {
        const auto k = static_cast<std::size_t>(i);
        const double value = inputs.values[k];
        result.value[i] = value;
        result.interval_change[i] = result.cost_change[i] = result.loss_if_low[i] = result.loss_if_high[i] = 0;
        if (value == 0) continue;  // a share of nothing
        // Numbers that are no life, as a beginning after the end: that cell cannot be told, the others can.
        const auto best_at = [&](double changed_value) -> std::optional<Best> {
            try {
                return best(changed(inputs, k, changed_value));
            } catch (const ValueError&) {
                return std::nullopt;
            }
        };
        const Range within = range(k);
        const double high = std::min(value * std::exp(step), within.high), low = std::max(value * std::exp(-step), within.low);
        const std::optional<Best> up = best_at(high), down = best_at(low);
        const double width = std::log(high / low);
        const bool slopes = up && down, finite = slopes && std::isfinite(up->interval) && std::isfinite(down->interval);
        result.interval_change[i] = finite ? std::log(up->interval / down->interval) / width : unknown;
        result.cost_change[i] = slopes ? std::log(up->cost / down->cost) / width : unknown;
        const auto loss = [&](double thought) {
            const std::optional<Best> other = best_at(thought);
            return other ? std::max(0.0, cost(inputs, other->interval) / now.cost - 1) : unknown;
        };
        result.loss_if_low[i] = loss(std::max(value / wrong, within.low));
        result.loss_if_high[i] = loss(std::min(value * wrong, within.high));
    }
    return result;
}

}  // namespace

IntervalSensitivity replacement_sensitivity(const LifeLaw& life, double planned_cost, double failure_cost, double wrong) {
    Inputs inputs = with_life(life, "life");
    const std::size_t at = inputs.of_life;
    for (const char* name : {"planned_cost", "failure_cost"}) inputs.names.emplace_back(name);
    inputs.values.insert(inputs.values.end(), {planned_cost, failure_cost});
    return rows(
        inputs, wrong,
        [at](const Inputs& in) {
            const auto best = best_replacement_age(in.life, in.values[at], in.values[at + 1]);
            return Best{best.age, best.cost_rate};
        },
        [at](const Inputs& in, double age) {
            return replacement_cost_curve(in.life, in.values[at], in.values[at + 1], Column::Constant(1, age))[0];
        },
        [](std::size_t) { return Range{}; });
}

IntervalSensitivity inspection_sensitivity(double defect_rate, const LifeLaw& delay, double detection, double inspection_cost,
                                           double repair_cost, double failure_cost, double wrong) {
    Inputs inputs = with_life(delay, "delay");
    const std::size_t at = inputs.of_life;
    for (const char* name : {"defect_rate", "detection", "inspection_cost", "repair_cost", "failure_cost"}) inputs.names.emplace_back(name);
    inputs.values.insert(inputs.values.end(), {defect_rate, detection, inspection_cost, repair_cost, failure_cost});
    return rows(
        inputs, wrong,
        [at](const Inputs& in) {
            const auto* v = &in.values[at];
            const auto best = best_inspection_interval(v[0], in.life, v[1], v[2], v[3], v[4]);
            return Best{best.interval, best.cost_rate};
        },
        [at](const Inputs& in, double interval) {
            const auto* v = &in.values[at];
            if (std::isinf(interval)) return v[0] * v[4];
            return inspection_cost_curve(v[0], in.life, v[1], v[2], v[3], v[4], Column::Constant(1, interval))[0];
        },
        [at](std::size_t k) { return k == at + 1 ? Range{detail::least_detection, 1} : Range{}; });
}

Column break_even(const std::function<double(double)>& first, const std::function<double(double)>& second, double low, double high,
                  int steps) {
    if (!first || !second) throw_value_error("first", "two functions", "none");
    require_finite(low, "low");
    require_finite(high, "high");
    if (high <= low) throw_value_error("high", "a value above low = " + number_text(low), number_text(high));
    require_between(steps, 1, 1000000, "steps");
    const auto gap = [&](double x) {
        return require_finite(first(x), "first(" + number_text(x) + ")") - require_finite(second(x), "second(" + number_text(x) + ")");
    };
    std::vector<double> found;
    double left = low, at_left = gap(low);
    if (at_left == 0) found.push_back(low);
    for (int i = 1; i <= steps; ++i) {
        const double right = i == steps ? high : low + (high - low) * i / steps, at_right = gap(right);
        if (at_right == 0) found.push_back(right);
        const bool rising = at_left < 0 && at_right > 0, falling = at_left > 0 && at_right < 0;  // a product could vanish
        if (rising || falling) {
            double a = left, b = right;
            for (int k = 0; k < 200; ++k) {
                const double middle = 0.5 * (a + b);
                if (middle <= a || middle >= b) break;
                ((gap(middle) < 0) == rising ? a : b) = middle;
            }
            found.push_back(0.5 * (a + b));
        }
        left = right;
        at_left = at_right;
    }
    return Eigen::Map<const Column>(found.data(), static_cast<Eigen::Index>(found.size()));
}

}  // namespace libseal
