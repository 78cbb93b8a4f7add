#include "calendar/forecast_rows.hpp"

namespace libseal::detail {

ForecastRows::ForecastRows(const Forecast& forecast) : forecast_(forecast) {
    for (Eigen::Index i = 0; i < forecast.size(); ++i) rows_[forecast.coach[static_cast<std::size_t>(i)]].push_back(i);
}

Forecast ForecastRows::of(const std::string& coach) const {
    Forecast own;
    own.as_of = forecast_.as_of;
    own.years = forecast_.years;
    const auto found = rows_.find(coach);
    if (found == rows_.end()) return own;
    const std::vector<Eigen::Index>& rows = found->second;
    const auto columns = [&](auto Forecast::*member) {
        // A forecast put together by hand may lack columns.
        if ((forecast_.*member).size() != forecast_.size()) return;
        (own.*member).resize(static_cast<Eigen::Index>(rows.size()));
        for (std::size_t k = 0; k < rows.size(); ++k) (own.*member)(static_cast<Eigen::Index>(k)) = (forecast_.*member)(rows[k]);
    };
    for (auto member : {&Forecast::age, &Forecast::due_now, &Forecast::due_90_days, &Forecast::due_1_year, &Forecast::due_2_years})
        columns(member);
    for (auto member : {&Forecast::due_10, &Forecast::due_50, &Forecast::due_90, &Forecast::inspect_by}) columns(member);
    for (const Eigen::Index row : rows) {
        const auto r = static_cast<std::size_t>(row);
        own.coach.push_back(coach);
        own.joint.push_back(forecast_.joint[r]);
        own.layer.push_back(forecast_.layer[r]);
    }
    return own;
}

}  // namespace libseal::detail
