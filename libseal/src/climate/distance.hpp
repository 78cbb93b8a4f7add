#pragma once
// How far two places on earth are apart.

namespace libseal::detail {

/// Beyond this two places may have different weather. [km]
constexpr double far_km = 200.0;

/// Great-circle distance by the haversine, which keeps short distances exact. Angles in degrees. [km]
double distance_km(double latitude_a, double longitude_a, double latitude_b, double longitude_b);

}  // namespace libseal::detail
