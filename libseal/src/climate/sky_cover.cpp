#include <algorithm>
#include <cmath>
#include <limits>

#include "climate/irradiance_parts.hpp"
#include "climate/lengths.hpp"
#include "libseal/climate/sky.hpp"

namespace libseal {

Column filled_sky_cover(const Weather& weather, const SunHours& sun) {
    const Eigen::Index n = weather.size();
    detail::require_length(weather.opaque_sky_cover.size(), n, "weather.opaque_sky_cover");
    Column cover = weather.opaque_sky_cover;
    if (!cover.isNaN().any()) return cover;
    const Column ghi = detail::irradiance_parts(weather, sun).ghi;
    double last = std::numeric_limits<double>::quiet_NaN(), first = last;
    for (Eigen::Index i = 0; i < n; ++i) {
        const double clear = haurwitz_clear(sun.zenith[i]);
        if (!std::isnan(cover[i])) {
            last = cover[i];
        } else if (clear > 50 && !std::isnan(ghi[i])) {
            // Kasten and Czeplak: global / clear global = 1 - 0.75 (oktas / 8)^3.4.
            const double dimmed = std::clamp((1 - ghi[i] / clear) / 0.75, 0.0, 1.0);
            last = cover[i] = 10 * std::pow(dimmed, 1 / 3.4);
        } else {
            cover[i] = last;
        }
        if (std::isnan(first)) first = last;
    }
    for (Eigen::Index i = 0; i < n && std::isnan(cover[i]); ++i) cover[i] = first;
    return cover;
}

}  // namespace libseal
