#include "climate/irradiance_parts.hpp"

#include <algorithm>
#include <cmath>

#include "climate/lengths.hpp"

namespace libseal::detail {
namespace {

constexpr double low_sun = 0.05233595624294384;  // cos 87 deg: below, beam cannot be told from global

}  // namespace

IrradianceParts irradiance_parts(const Weather& weather, const SunHours& sun) {
    const Eigen::Index n = weather.size();
    require_length(weather.ghi.size(), n, "weather.ghi");
    require_length(weather.dni.size(), n, "weather.dni");
    require_length(weather.dhi.size(), n, "weather.dhi");
    require_length(sun.cos_zenith.size(), n, "sun.cos_zenith");
    IrradianceParts parts{weather.ghi, weather.dni, weather.dhi};
    if (!parts.ghi.hasNaN() && !parts.dni.hasNaN() && !parts.dhi.hasNaN()) return parts;
    for (Eigen::Index i = 0; i < n; ++i) {
        double &ghi = parts.ghi[i], &dni = parts.dni[i], &dhi = parts.dhi[i];
        const bool no_beam = std::isnan(dni), no_diffuse = std::isnan(dhi), no_global = std::isnan(ghi);
        const double cos_zenith = sun.cos_zenith[i];
        if (no_global && !no_beam && !no_diffuse) {
            ghi = dhi + dni * std::max(cos_zenith, 0.0);
        } else if (!no_global && no_beam && !no_diffuse) {
            dni = cos_zenith > low_sun ? std::max(0.0, ghi - dhi) / cos_zenith : 0.0;
        } else if (!no_global && !no_beam && no_diffuse) {
            dhi = std::clamp(ghi - dni * std::max(cos_zenith, 0.0), 0.0, std::max(0.0, ghi));
        } else if (!no_global && no_beam && no_diffuse) {
            const Split split = erbs_split(ghi, sun.zenith[i], sun.extraterrestrial[i]);
            dni = split.dni;
            dhi = split.dhi;
        }
    }
    return parts;
}

}  // namespace libseal::detail
