#include "libseal/ageing/rate_sweep.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "ageing/sweep_tables.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/parallel.hpp"

namespace libseal {
namespace {

constexpr std::size_t points_a_task = 256;

const double* checked_point(const detail::SweepTables& tables, ConstColumn point) {
    const auto count = static_cast<Eigen::Index>(tables.parameters().size());
    if (point.size() != count)
        throw_value_error("point", std::to_string(count) + " values, one a parameter", std::to_string(point.size()));
    tables.check(point.data(), "point");
    return point.data();
}

/// Calls each(row, point, work) for every row of points, by parts.
template <class Each>
void each_point(const detail::SweepTables& tables, ConstSeriesRows points, int threads, const Each& each) {
    const std::size_t count = static_cast<std::size_t>(points.rows()), parameters = tables.parameters().size();
    if (static_cast<std::size_t>(points.cols()) != parameters)
        throw_value_error("points", std::to_string(parameters) + " columns, one a parameter", std::to_string(points.cols()));
    parallel_for((count + points_a_task - 1) / points_a_task, threads, [&](std::size_t part) {
        detail::SweepWork work = tables.work();
        std::vector<double> point(parameters);
        for (std::size_t i = part * points_a_task; i < std::min(count, (part + 1) * points_a_task); ++i) {
            const auto row = static_cast<Eigen::Index>(i);
            for (std::size_t p = 0; p < parameters; ++p) point[p] = points(row, static_cast<Eigen::Index>(p));
            if (!tables.within(point.data())) tables.check(point.data(), "points[" + std::to_string(i) + "]");
            each(row, point.data(), work);
        }
    });
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
    return detail::SweepTables::of_year(tables_->months(checked_point(*tables_, point), work));
}

double RateSweep::life(ConstColumn point) const { return stated_life(tables_->layer()) / rate(point); }

Column RateSweep::rates(ConstSeriesRows points, int threads) const {
    Column rates(points.rows());
    each_point(*tables_, points, threads, [&](Eigen::Index row, const double* point, detail::SweepWork& work) {
        rates[row] = detail::SweepTables::of_year(tables_->months(point, work));
    });
    return rates;
}

SeriesRows RateSweep::month_rates(ConstSeriesRows points, int threads) const {
    SeriesRows rates(points.rows(), 12);
    each_point(*tables_, points, threads, [&](Eigen::Index row, const double* point, detail::SweepWork& work) {
        const auto months = tables_->months(point, work);
        for (std::size_t m = 0; m < 12; ++m) rates(row, static_cast<Eigen::Index>(m)) = months[m].total();
    });
    return rates;
}

SeriesRows RateSweep::slopes(ConstSeriesRows points, int threads) const {
    SeriesRows slopes(points.rows(), points.cols());
    each_point(*tables_, points, threads, [&](Eigen::Index row, const double* point, detail::SweepWork& work) {
        const double rate = tables_->slopes(point, work, &slopes(row, 0));
        slopes.row(row) /= rate;
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
