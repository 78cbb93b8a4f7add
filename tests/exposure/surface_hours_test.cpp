#include "libseal/exposure/exposure.hpp"

#include <cmath>
#include <limits>

#include "libseal/climate/moisture.hpp"
#include "support/catch.hpp"

using namespace libseal;

namespace {

constexpr double any = std::numeric_limits<double>::quiet_NaN();

/// Synthetic: a summer day of even damp air in which two hours are not known.
Weather day() {
    Weather w;
    w.site.latitude = 35;
    w.time_utc.resize(24);
    for (Eigen::Index i = 0; i < 24; ++i) w.time_utc[i] = make_instant(2001, 7, 1) + (i + 1) * 3600;
    const SunHours sun = sun_hours(w);
    w.ghi = w.dhi = w.dni = Column::Zero(24);
    for (Eigen::Index i = 0; i < 24; ++i) {
        w.ghi[i] = haurwitz_clear(sun.zenith[i]);
        w.dhi[i] = 0.2 * w.ghi[i];
        w.dni[i] = sun.cos_zenith[i] > 0 ? 0.8 * w.ghi[i] / sun.cos_zenith[i] : 0;
    }
    w.air_temperature = Column::LinSpaced(24, -7, 16);
    w.dew_point = w.air_temperature - 3;
    w.dew_point[20] = w.air_temperature[20] + 1;
    w.wind_speed = Column::Constant(24, 2);
    w.opaque_sky_cover = Column::Constant(24, 3);
    w.air_temperature[6] = any;
    w.air_temperature[23] = any;
    return w;
}

}  // namespace

TEST_CASE("behind a cover without light a surface has the temperature and the damp of its air, indoors without frost", "[law][exposure]") {
    const Weather w = day();
    const SiteHours site = site_hours(w);
    const double tilt = GENERATE(0.0, 90.0);
    const SurfaceHours shed = surface_hours(w, site, {tilt, 180}, 0.8, 0.9, cover_factors("covered")),
                       hall = surface_hours(w, site, {tilt, 180}, 0.8, 0.9, cover_factors("indoors"));
    for (Eigen::Index i = 0; i < 24; ++i) {
        INFO("hour " << i);
        CHECK(shed.ultraviolet[i] == 0);
        CHECK(hall.ultraviolet[i] == 0);
        if (i == 6 || i == 23) {  // what is not known is no 5 degC either
            CHECK(std::isnan(shed.surface_temperature[i]));
            CHECK(std::isnan(hall.surface_temperature[i]));
            CHECK(std::isnan(hall.surface_humidity[i]));
            continue;
        }
        const double air = w.air_temperature[i], indoors = air < 5 ? 5 : air;
        CHECK(shed.surface_temperature[i] == air);
        CHECK(hall.surface_temperature[i] == indoors);
        CHECK(shed.surface_humidity[i] == Approx(i == 20 ? 100 : humidity_from_dew_point(air, w.dew_point[i])));
        CHECK(hall.surface_humidity[i] == Approx(i == 20 ? 100 : humidity_from_dew_point(indoors, w.dew_point[i])));
    }
}

TEST_CASE("under a carport a roof has no light and a wall half of it", "[law][exposure]") {
    const Weather w = day();
    const SiteHours site = site_hours(w);
    const CoverFactors open = cover_factors("open"), carport = cover_factors("carport");
    const SurfaceHours roof = surface_hours(w, site, {0, 0}, 0.8, 0.9, carport), wall = surface_hours(w, site, {90, 180}, 0.8, 0.9, carport),
                       wall_open = surface_hours(w, site, {90, 180}, 0.8, 0.9, open), dim = surface_hours(w, site, {90, 180}, 0.4, 0.9, open);
    CHECK((roof.ultraviolet == 0).all());
    CHECK((wall_open.ultraviolet > 0).count() > 10);
    CHECK((wall.ultraviolet - 0.5 * wall_open.ultraviolet).abs().maxCoeff() < 1e-12);
    for (Eigen::Index i = 0; i < 24; ++i) {
        if (i == 6 || i == 23) continue;
        CHECK(roof.surface_temperature[i] == w.air_temperature[i]);
        CHECK(wall.surface_temperature[i] == Approx(dim.surface_temperature[i]));  // half the light on the same finish: half absorbed
    }
}
