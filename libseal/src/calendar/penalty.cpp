#include "calendar/penalty.hpp"

#include <algorithm>

namespace libseal::detail {

std::vector<double> chance_due(const Forecast& forecast, Eigen::Index row, Date from, Date to) {
    struct Knot {
        double day, chance;
    };
    std::vector<Knot> knots;
    const auto known = [&](const auto& column) { return column.size() > row; };
    const auto horizon = [&](const Column& column, double days) {
        if (known(column)) knots.push_back({forecast.as_of.days + days, column(row)});
    };
    horizon(forecast.due_now, 0);
    horizon(forecast.due_90_days, 90);
    horizon(forecast.due_1_year, 365.25);
    horizon(forecast.due_2_years, 2 * 365.25);
    if (known(forecast.due_10)) knots.push_back({static_cast<double>(forecast.due_10(row)), 0.1});
    if (known(forecast.due_50)) knots.push_back({static_cast<double>(forecast.due_50(row)), 0.5});
    if (known(forecast.due_90)) knots.push_back({static_cast<double>(forecast.due_90(row)), 0.9});
    std::stable_sort(knots.begin(), knots.end(), [](const Knot& a, const Knot& b) { return a.day < b.day; });
    for (std::size_t k = 1; k < knots.size(); ++k) knots[k].chance = std::max(knots[k].chance, knots[k - 1].chance);
    std::vector<double> chance;
    std::size_t next = 0;
    for (Date day = from; day <= to; day = day + 1) {
        while (next < knots.size() && knots[next].day <= day.days) ++next;
        if (knots.size() <= 1)
            chance.push_back(next > 0 ? 1 : 0);
        else if (next == 0)
            chance.push_back(knots[0].day > forecast.as_of.days ? 0 : knots[0].chance);
        else if (next == knots.size())
            chance.push_back(knots.back().chance);
        else {
            const Knot &a = knots[next - 1], &b = knots[next];
            chance.push_back(a.chance + (b.chance - a.chance) * (day.days - a.day) / (b.day - a.day));
        }
    }
    return chance;
}

std::vector<double> day_penalty(const std::vector<double>& chance, double worth, double risk) {
    std::vector<double> penalty(chance.size(), 0.0);
    for (std::size_t d = 1; d < chance.size(); ++d)
        penalty[d] = penalty[d - 1] + risk * chance[d - 1] - worth * (1 - chance[d - 1]);
    if (penalty.empty()) return penalty;
    const double least = *std::min_element(penalty.begin(), penalty.end());
    for (double& one : penalty) one -= least;
    return penalty;
}

}  // namespace libseal::detail
