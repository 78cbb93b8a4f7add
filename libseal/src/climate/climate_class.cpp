#include <algorithm>

#include "climate/lengths.hpp"
#include "libseal/climate/moisture.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace {

/// The twelve months as the rules ask for them. Half years: April to September and October to March.
struct Seasons {
    double mean, sum, hottest, coldest, driest;
    double dry_summer, dry_winter, wet_summer, wet_winter, summer_sum;
    int mild_months = 0;  ///< of 10 degC or more

    Seasons(const Column& t, const Column& p)
        : mean(t.mean()), sum(p.sum()), hottest(t.maxCoeff()), coldest(t.minCoeff()), driest(p.minCoeff()) {
        const double april = t.segment(3, 6).sum();
        const bool april_is_summer = april >= t.sum() - april;
        const auto extremes = [&](bool april_half, double& dry, double& wet) {
            double sum_of_half = 0;
            dry = p.maxCoeff(), wet = 0;
            for (Eigen::Index m = 0; m < 12; ++m) {
                if ((m >= 3 && m < 9) != april_half) continue;
                dry = std::min(dry, p[m]);
                wet = std::max(wet, p[m]);
                sum_of_half += p[m];
            }
            return sum_of_half;
        };
        summer_sum = extremes(april_is_summer, dry_summer, wet_summer);
        extremes(!april_is_summer, dry_winter, wet_winter);
        for (Eigen::Index m = 0; m < 12; ++m) mild_months += t[m] >= 10;
    }

    /// Ten times this is the yearly rain below which a place is arid [mm].
    double arid_limit() const {
        const double winter_sum = sum - summer_sum;
        if (winter_sum >= 0.7 * sum) return 2 * mean;
        if (summer_sum >= 0.7 * sum) return 2 * mean + 28;
        return 2 * mean + 14;
    }
};

char rain_letter(const Seasons& s) {
    if (s.dry_summer < 40 && s.dry_summer < s.wet_winter / 3) return 's';
    if (s.dry_winter < s.wet_summer / 10) return 'w';
    return 'f';
}

char heat_letter(const Seasons& s, char group) {
    if (s.hottest >= 22) return 'a';
    if (s.mild_months >= 4) return 'b';
    return group == 'D' && s.coldest < -38 ? 'd' : 'c';
}

}  // namespace

std::string climate_class(const Column& monthly_temperature, const Column& monthly_precipitation, double cold_limit) {
    detail::require_length(monthly_temperature.size(), 12, "monthly_temperature");
    detail::require_length(monthly_precipitation.size(), 12, "monthly_precipitation");
    for (Eigen::Index m = 0; m < 12; ++m) {
        require_finite(monthly_temperature[m], "monthly_temperature");
        require_not_negative(monthly_precipitation[m], "monthly_precipitation");
    }
    require_finite(cold_limit, "cold_limit");
    const Seasons s(monthly_temperature, monthly_precipitation);
    if (s.hottest < 10) return s.hottest > 0 ? "ET" : "EF";
    if (s.sum < 10 * s.arid_limit())
        return std::string("B") + (s.sum < 5 * s.arid_limit() ? 'W' : 'S') + (s.mean >= 18 ? 'h' : 'k');
    if (s.coldest >= 18) return s.driest >= 60 ? "Af" : s.driest >= 100 - s.sum / 25 ? "Am" : "Aw";
    const char group = s.coldest > cold_limit ? 'C' : 'D';
    return std::string{group, rain_letter(s), heat_letter(s, group)};
}

}  // namespace libseal
