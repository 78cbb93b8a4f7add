#include "libseal/forecast/forecast.hpp"

#include "forecast/basis.hpp"
#include "forecast/dates.hpp"
#include "forecast/doubts.hpp"
#include "forecast/input_checks.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/parallel.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace {

void size_columns(Forecast& result, Eigen::Index rows, detail::Columns wanted) {
    for (auto* column : {&result.age, &result.effective_age, &result.due_now, &result.due_90_days, &result.due_1_year, &result.due_2_years})
        *column = Column::Zero(rows);
    for (auto* column : {&result.due_10, &result.due_50, &result.due_90, &result.inspect_by})
        *column = DateColumn::Zero(rows);
    const auto count = static_cast<std::size_t>(rows);
    for (auto* column : {&result.coach, &result.joint, &result.layer}) column->resize(count);
    if (wanted == detail::Columns::dates) return;
    for (auto* column : {&result.condition, &result.due_5_years, &result.share_light, &result.share_heat, &result.share_moisture,
                         &result.share_movement, &result.share_workmanship, &result.share_shared, &result.movement_factor,
                         &result.shared_factor, &result.early_defect, &result.open_now, &result.open_1_year, &result.appearance,
                         &result.utilisation})
        *column = Column::Zero(rows);
    for (auto* column : {&result.family, &result.flag}) column->resize(count);
    result.generation.assign(count, 1);
}

}  // namespace

Eigen::Index Forecast::row(const std::string& coach_id, const std::string& joint_id, const std::string& layer_kind) const {
    for (Eigen::Index i = 0; i < size(); ++i) {
        const auto r = static_cast<std::size_t>(i);
        if (joint[r] == joint_id && coach[r] == coach_id && layer[r] == layer_kind) return i;
    }
    return -1;
}

std::vector<Eigen::Index> Forecast::rows_of(const std::string& coach_id) const {
    std::vector<Eigen::Index> rows;
    for (Eigen::Index i = 0; i < size(); ++i)
        if (coach[static_cast<std::size_t>(i)] == coach_id) rows.push_back(i);
    return rows;
}

Forecast forecast(const Fleet& fleet, Date as_of, double years, const ForecastOptions& options) {
    return detail::forecast_of(fleet, as_of, years, options, detail::Columns::all);
}

Forecast detail::forecast_of(Fleet fleet, Date as_of, double years, const ForecastOptions& options, Columns wanted) {
    require_above(years, 0, 50, "years");
    if (options.warranty_days < 0) throw_value_error("warranty_days", "0 or more days", std::to_string(options.warranty_days));
    check_fleet_inputs(fleet, options.findings, as_of, options);

    Forecast result;
    result.as_of = as_of;
    result.years = years;
    if (wanted == Columns::all) result.warnings = detail::doubts_of(fleet, as_of, options);
    // Collect what is distinct and evaluate it once, combine what joints teach each other, finish coach by coach.
    const auto basis = std::make_shared<const detail::ForecastBasis>(std::move(fleet), as_of, options);
    result.basis = basis;
    size_columns(result, static_cast<Eigen::Index>(basis->clocks.layers.size()), wanted);
    ProgressReporter reporter(options.watch, "forecast");
    const std::size_t coaches = basis->standing.coaches.size();
    parallel_for(
        coaches, options.threads, [&](std::size_t c) { detail::finish_coach(*basis, c, result, wanted); },
        [&](std::size_t done) { reporter.tick(static_cast<double>(done) / static_cast<double>(coaches)); });
    return result;
}

Forecast forecast(const Coach& coach, Date as_of, double years, const ForecastOptions& options) {
    return forecast(fleet_of(coach), as_of, years, options);
}

}  // namespace libseal
