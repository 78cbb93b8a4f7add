#include "libseal/ageing/rate_sweep.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "ageing/sweep_tables.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/parallel.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

constexpr std::size_t points_a_task = 1024;

const double* checked_point(const detail::SweepTables& tables, ConstColumn point) {
    const auto count = static_cast<Eigen::Index>(tables.parameters().size());
    if (point.size() != count)
        throw_value_error("point", std::to_string(count) + " values, one a parameter", std::to_string(point.size()));
    tables.check(point.data(), "point");
    return point.data();
}

/// Calls each(first row, rows, points, block) for sixteen rows of points after the other, points in lanes; what is too many repeats the last one.
template <class Each>
void each_block(const detail::SweepTables& tables, ConstSeriesRows points, int threads, const Each& each) {
    const std::size_t count = static_cast<std::size_t>(points.rows()), parameters = tables.parameters().size();
    if (static_cast<std::size_t>(points.cols()) != parameters)
        throw_value_error("points", std::to_string(parameters) + " columns, one a parameter", std::to_string(points.cols()));
    constexpr std::size_t at_once = detail::points_at_once;
    parallel_for((count + points_a_task - 1) / points_a_task, threads, [&](std::size_t part) {
        const auto block = tables.block();
        std::vector<double> point(parameters), lanes(parameters * at_once);
        const std::size_t end = std::min(count, (part + 1) * points_a_task);
        for (std::size_t first = part * points_a_task; first < end; first += at_once) {
            for (std::size_t i = 0; i < at_once; ++i) {
                const std::size_t row = std::min(first + i, end - 1);
                for (std::size_t p = 0; p < parameters; ++p)
                    lanes[p * at_once + i] = point[p] = points(static_cast<Eigen::Index>(row), static_cast<Eigen::Index>(p));
                if (!tables.within(point.data())) tables.check(point.data(), "points[" + std::to_string(row) + "]");
            }
            each(static_cast<Eigen::Index>(first), static_cast<Eigen::Index>(std::min(at_once, end - first)), lanes.data(), *block);
        }
    });
}

/// Lanes of columns as rows of a table from `first` on.
void to_rows(const double* columns, Eigen::Index first, Eigen::Index rows, SeriesRows& table) {
    for (Eigen::Index i = 0; i < rows; ++i)
        for (Eigen::Index c = 0; c < table.cols(); ++c) table(first + i, c) = columns[static_cast<std::size_t>(c) * detail::points_at_once + static_cast<std::size_t>(i)];
}

/// Stated life of a family under a law: NaN where the law counts real time.
double stated_life(const detail::SweptLayer& layer) {
    switch (layer.options().law) {
        case Law::surface:
        case Law::set:
        case Law::shrinkage: return layer.family().median_life;
        case Law::appearance: return layer.family().appearance_life;
        case Law::bond:
        case Law::set_time:
        case Law::shrink_time:
        case Law::flow: break;
    }
    return std::numeric_limits<double>::quiet_NaN();
}

}  // namespace

const std::vector<SweptParameter>& RateSweep::parameters() const { return tables_->parameters(); }
const SweepError& RateSweep::error() const { return tables_->error(); }

Column RateSweep::base() const {
    Column base(static_cast<Eigen::Index>(parameters().size()));
    for (Eigen::Index p = 0; p < base.size(); ++p) base[p] = parameters()[static_cast<std::size_t>(p)].value;
    return base;
}

Column RateSweep::point(const std::map<std::string, double>& values) const {
    Column point = base();
    for (const auto& [name, value] : values) {
        std::vector<std::string> names;
        for (const SweptParameter& parameter : parameters()) names.push_back(parameter.name);
        const auto found = std::find(names.begin(), names.end(), name);
        if (found == names.end()) {
            const std::string near = nearest_name(name, names);
            throw_value_error("values", "parameters of the sweep", "\"" + name + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
        }
        point[found - names.begin()] = value;
    }
    tables_->check(point.data(), "values");
    return point;
}

ClockYear RateSweep::clock(ConstColumn point) const {
    ClockYear year;
    detail::SweepWork work = tables_->work();
    year.month = tables_->months(checked_point(*tables_, point), work);
    return year;
}

ClockYear RateSweep::exact_clock(ConstColumn point) const {
    ClockYear year;
    year.month = tables_->exact_months(checked_point(*tables_, point));
    return year;
}

double RateSweep::rate(ConstColumn point) const {
    detail::SweepWork work = tables_->work();
    return tables_->rate(checked_point(*tables_, point), work);
}

double RateSweep::life(ConstColumn point) const { return stated_life(tables_->layer()) / rate(point); }

Column RateSweep::rates(ConstSeriesRows points, int threads) const {
    Column rates(points.rows());
    each_block(*tables_, points, threads, [&](Eigen::Index first, Eigen::Index rows, const double* lanes, detail::SweepBlock& block) {
        double years[detail::points_at_once];
        tables_->rates(lanes, block, years);
        for (Eigen::Index i = 0; i < rows; ++i) rates[first + i] = years[i];
    });
    return rates;
}

SeriesRows RateSweep::month_rates(ConstSeriesRows points, int threads) const {
    SeriesRows rates(points.rows(), 12);
    each_block(*tables_, points, threads, [&](Eigen::Index first, Eigen::Index rows, const double* lanes, detail::SweepBlock& block) {
        double months[12 * detail::points_at_once];
        tables_->month_rates(lanes, block, months);
        to_rows(months, first, rows, rates);
    });
    return rates;
}

SeriesRows RateSweep::slopes(ConstSeriesRows points, int threads) const {
    SeriesRows slopes(points.rows(), points.cols());
    each_block(*tables_, points, threads, [&](Eigen::Index first, Eigen::Index rows, const double* lanes, detail::SweepBlock& block) {
        std::vector<double> by_parameter(tables_->parameters().size() * detail::points_at_once);
        tables_->slopes(lanes, block, by_parameter.data());
        to_rows(by_parameter.data(), first, rows, slopes);
    });
    return slopes;
}

RateSensitivities RateSweep::sensitivities(ConstColumn point) const {
    checked_point(*tables_, point);
    const auto count = static_cast<Eigen::Index>(parameters().size());
    SeriesRows points(2 * count + 1, count);
    points.rowwise() = Eigen::ArrayXd(point).transpose();
    for (Eigen::Index p = 0; p < count; ++p) {
        points(2 * p, p) = parameters()[static_cast<std::size_t>(p)].low;
        points(2 * p + 1, p) = parameters()[static_cast<std::size_t>(p)].high;
    }
    const Column rate = rates(points, 1);
    const SeriesRows slope = slopes(points.bottomRows(1), 1);
    const auto swing = [&](Eigen::Index p) { return std::fabs(std::log(rate[2 * p + 1] / rate[2 * p])); };
    std::vector<Eigen::Index> order(static_cast<std::size_t>(count));
    std::iota(order.begin(), order.end(), Eigen::Index{0});
    std::stable_sort(order.begin(), order.end(), [&](Eigen::Index a, Eigen::Index b) { return swing(a) > swing(b); });
    RateSensitivities result;
    const double life = stated_life(tables_->layer());
    result.rate = rate[2 * count];
    result.life = life / result.rate;
    for (Column* column : {&result.value, &result.low, &result.high, &result.slope, &result.rate_low, &result.rate_high, &result.life_low,
                           &result.life_high, &result.swing})
        column->resize(count);
    for (Eigen::Index i = 0; i < count; ++i) {
        const Eigen::Index p = order[static_cast<std::size_t>(i)];
        const SweptParameter& parameter = parameters()[static_cast<std::size_t>(p)];
        result.parameter.push_back(parameter.name);
        result.unit.push_back(parameter.unit);
        result.value[i] = point[p], result.low[i] = parameter.low, result.high[i] = parameter.high;
        result.slope[i] = slope(0, p), result.swing[i] = swing(p);
        result.rate_low[i] = rate[2 * p], result.rate_high[i] = rate[2 * p + 1];
        result.life_low[i] = life / result.rate_low[i], result.life_high[i] = life / result.rate_high[i];
    }
    return result;
}

RateSweep rate_sweep(const Station& station, const std::vector<SweepRange>& ranges, const RateSweepOptions& options) {
    return RateSweep(std::make_shared<const detail::SweepTables>(detail::SweptLayer::at(station, options), ranges));
}

RateSweep rate_sweep(const Weather& weather, const std::vector<SweepRange>& ranges, const RateSweepOptions& options) {
    return RateSweep(std::make_shared<const detail::SweepTables>(detail::SweptLayer::at(weather, options), ranges));
}

}  // namespace libseal
