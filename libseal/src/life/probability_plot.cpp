#include "libseal/life/probability_plot.hpp"

#include <cmath>
#include <vector>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace {

PlotPositions placed(const std::vector<double>& time, const std::vector<double>& failed, const std::string& family) {
    const auto n = static_cast<Eigen::Index>(time.size());
    PlotPositions result{Eigen::Map<const Column>(time.data(), n), Eigen::Map<const Column>(failed.data(), n), Column(n), Column(n)};
    for (Eigen::Index i = 0; i < n; ++i) {
        result.x[i] = axis_of_time(family, result.time[i]);
        result.y[i] = axis_of_share(family, result.failed[i]);
    }
    return result;
}

/// @throws ValueError  unknown family.
void check_family(const std::string& family) {
    if (family != "weibull" && family != "lognormal" && family != "loglogistic" && family != "exponential")
        throw_value_error("family", "weibull, lognormal, loglogistic or exponential", '"' + family + '"');
}

}  // namespace

double axis_of_time(const std::string& family, double time) {
    check_family(family);
    require_positive(time, "time");
    return family == "exponential" ? time : std::log(time);
}

double axis_of_share(const std::string& family, double p) {
    check_family(family);
    require_inside(p, 0, 1, "p");
    if (family == "weibull") return std::log(-std::log1p(-p));
    if (family == "lognormal") return normal_quantile(p);
    if (family == "loglogistic") return std::log(p / (1 - p));
    return -std::log1p(-p);
}

PlotPositions plot_positions(const SurvivalCurve& curve, const std::string& family) {
    check_family(family);
    std::vector<double> time, failed;
    double before = 1;
    for (Eigen::Index i = 0; i < curve.time.size(); ++i) {
        const double middle = 1 - 0.5 * (before + curve.survival[i]);
        before = curve.survival[i];
        if (!(curve.time[i] > 0 && middle > 0 && middle < 1)) continue;
        time.push_back(curve.time[i]);
        failed.push_back(middle);
    }
    return placed(time, failed, family);
}

PlotPositions plot_positions(const IntervalCurve& curve, const std::string& family) {
    check_family(family);
    std::vector<double> time, failed;
    double before = 0;
    for (Eigen::Index i = 0; i < curve.right.size(); ++i) {
        const double share = curve.left[i] == curve.right[i] ? 0.5 * (before + curve.failed[i]) : curve.failed[i];
        before = curve.failed[i];
        if (!(std::isfinite(curve.right[i]) && share > 0 && share < 1)) continue;
        time.push_back(curve.right[i]);
        failed.push_back(share);
    }
    return placed(time, failed, family);
}

}  // namespace libseal
