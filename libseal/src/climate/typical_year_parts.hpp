#pragma once
// Private: the parts of a typical year, each from the station's figures and what was made before it.

#include <array>
#include <vector>

#include "libseal/climate/station.hpp"
#include "libseal/core/columns.hpp"
#include "typical_year_draws.hpp"

namespace libseal::detail {

inline constexpr int kDays = 365;
inline constexpr int kHours = 24 * kDays;
inline constexpr double kPi = 3.14159265358979323846;

/// Hours of a month: [first, first + count), from local midnight of 1 January.
struct MonthSpan {
    int first = 0;
    int count = 0;
    int first_day() const { return first / 24; }
    int days() const { return count / 24; }
};
const std::array<MonthSpan, 12>& month_spans();

/// (rank + 0.5) / n of each value; ties by index.
Column uniform_ranks(ConstColumn values);
/// Normal scores of the ranks: the law is fixed, only the order is random.
Column normal_scores(ConstColumn values);
/// Daily values to hours, straight lines between 14 h of one day and the next, the year closed to a ring.
Column hours_from_days(ConstColumn days);
/// Monthly means to hours: broken line whose monthly means are those given.
Column hours_from_months(const std::array<double, 12>& means);

/// Where the sun stands in the middle of each hour.
struct Geometry {
    Column cos_zenith;        ///< [-]
    Column extraterrestrial;  ///< normal [W/m2]
    Column solar_time;        ///< [h], 12 at noon
    Column half_day;          ///< sunrise to noon [h], 0 to 12
};
Geometry geometry_of(const Site& site, const InstantColumn& time_utc);

struct SunYear {
    Column ghi, dni, dhi;    ///< [W/m2]
    Column rank;             ///< how clear the hour is among those with sun of its month [-], 0 to 1; 0 at night
    Column day_clearness;    ///< of each day, against the clear sky [-]; NaN without sun
    Column day_score;        ///< normal score of day_clearness in its month; 0 without sun
    bool centroid_ignored = false;  ///< the station's centroid cannot be weather: a clock error of its source
};
SunYear make_sun(const Station& station, const Geometry& geometry, const YearDraws& draws);
/// Splits one month's GHI so that DHI and DNI sums are met. [W/m2]
void split_month(const Geometry& geometry, const std::vector<int>& hours, double diffuse_sum, double beam_sum, SunYear& sun);

struct TemperatureYear {
    Column air;      ///< [degC]
    Column anomaly;  ///< day-to-day part [K]
    Column course;   ///< daily course, mean 0 in each month [K]
};
TemperatureYear make_temperature(const Station& station, const Geometry& geometry, const SunYear& sun, const YearDraws& draws);

struct HumidityYear {
    Column dew_point;          ///< [degC]
    Column relative_humidity;  ///< [%]
};
HumidityYear make_humidity(const Station& station, const TemperatureYear& temperature, const YearDraws& draws);

/// [m/s]
Column make_wind(const Station& station, const Geometry& geometry, const SunYear& sun, const YearDraws& draws);
/// [tenths]
Column make_opaque_cover(const Station& station, const SunYear& sun);
/// [mm] in the hour, frozen water melted.
Column make_precipitation(const Station& station, ConstColumn air, ConstColumn humidity, ConstColumn cover,
                          const YearDraws& draws);

/// Spread of daily mean temperature in a month [K], from its extremes.
double daily_spread(const MonthNormals& month);

}  // namespace libseal::detail
