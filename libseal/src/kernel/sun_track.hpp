#pragma once
// Where the sun stands at many instants.

#include <cstddef>

namespace libseal::kernel {

/// A place on earth, its sines and cosines taken once.
struct SunPlace {
    double sin_latitude = 0, cos_latitude = 1, sin_longitude = 0, cos_longitude = 1;
};

/// Which of the two algorithms holds. @source Blanco et al. 2020 (PSA); Grena 2012, no. 3.
enum class SunSeries { psa, grena };

/// Upward, eastward and northward part of the unit vector to the sun at instants [s since 1970 UTC].
using SunVectorKernel = void (*)(std::size_t count, const double* instant, const SunPlace& place, SunSeries series, double* up,
                                 double* east, double* north);

/// Zenith and azimuth (clockwise from north, 0 to 360) of such vectors [deg].
using SunAnglesKernel = void (*)(std::size_t count, const double* up, const double* east, const double* north, double* zenith, double* azimuth);

/// Relative optical air mass by zenith, refracted [deg]; NaN where `up` says that the sun is not above the horizon.
/// @source Kasten & Young 1989.
using AirMassKernel = void (*)(std::size_t count, const double* up, const double* zenith, double* air_mass);

}  // namespace libseal::kernel
