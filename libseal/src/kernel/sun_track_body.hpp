#pragma once
// The body of sun_track.hpp.

#include "kernel/lane_angles.hpp"
#include "kernel/lane_loops.hpp"
#include "kernel/sun_track.hpp"

namespace libseal::kernel {
namespace {

constexpr double sun_parallax = 6371.01 / 149597890.0;  // radius of the earth over its distance from the sun
constexpr double seconds_a_day = 86400;

/// Ecliptic longitude, obliquity and sidereal angle of longitude 0. [rad]
template <class V>
struct SunElements {
    V ecliptic, obliquity, sidereal;
};

/// PSA with the coefficients of 2020. @param day  Since 1970-01-01 UTC.
template <class V>
LIBSEAL_LANE SunElements<V> psa_elements(V day) {
    const V n = day - V(10957.5);  // since 2000-01-01 12:00
    const V turn = day - nearest_integer(day);
    const SineCosine<V> omega(fused(V(-9.300339267e-4), n, V(2.267127827)));
    const SineCosine<V> anomaly(fused(V(1.720200135e-2), n, V(6.239468336)));
    SunElements<V> sun;
    sun.ecliptic = fused(V(1.720279602e-2), n, V(4.895036035 - 1.544353226e-4));
    sun.ecliptic = fused(anomaly.sine, fused(V(2 * 3.497596876e-4), anomaly.cosine, V(3.338320972e-2)), sun.ecliptic);
    sun.ecliptic = fused(V(-8.689729360e-6), omega.sine, sun.ecliptic);
    sun.obliquity = fused(V(4.418094944e-5), omega.cosine, fused(V(-6.213605399e-9), n, V(4.090904909e-1)));
    sun.sidereal = fused(V(2 * pi), turn, V(15 * degree) * fused(V(6.570984737e-2), n, V(6.697096103)));
    return sun;
}

/// Grena's third algorithm. Terrestrial time runs 70 to about 90 s ahead in 2010 to 2110; 75 s is within 0.001 deg.
template <class V>
LIBSEAL_LANE SunElements<V> grena_elements(V day) {
    const V days = day - V(32872.0);  // since 2060-01-01
    const V terrestrial = days + V(1.1574e-5 * 75);
    const V w = V(0.0172019715) * terrestrial;
    const V once = SineCosine<V>(w - V(0.06172)).sine, twice = SineCosine<V>(fused(V(2.0), w, V(-0.1163))).sine;
    SunElements<V> sun;
    sun.ecliptic = fused(V(3.53e-4), twice, fused(V(3.3366e-2), once, fused(V(1.720279216e-2), terrestrial, V(-1.388803))));
    sun.obliquity = fused(V(-6.19e-9), terrestrial, V(4.089567e-1));
    sun.sidereal = fused(V(6.300388099), days, V(1.7528311));
    return sun;
}

template <SunSeries Series>
struct SunVector {
    static constexpr std::size_t In = 1, Out = 3;
    SunPlace place;
    template <class V>
    LIBSEAL_LANE void operator()(const V (&in)[In], V (&out)[Out]) const {
        const V day = in[0] / V(seconds_a_day);
        SunElements<V> sun;
        if constexpr (Series == SunSeries::psa) sun = psa_elements(day);
        else sun = grena_elements(day);
        // Working with vectors spares the right ascension, the declination and their inverse functions.
        const SineCosine<V> ecliptic(sun.ecliptic), obliquity(sun.obliquity), sidereal(sun.sidereal);
        const V y = obliquity.cosine * ecliptic.sine, z = obliquity.sine * ecliptic.sine;
        const V west = fused(ecliptic.cosine, sidereal.cosine, y * sidereal.sine);
        const V south = fused(ecliptic.cosine, sidereal.sine, -(y * sidereal.cosine));
        const V out_of = fused(west, V(place.cos_longitude), -(south * V(place.sin_longitude)));
        const V back = fused(south, V(place.cos_longitude), west * V(place.sin_longitude));
        const V up = fused(V(place.cos_latitude), out_of, V(place.sin_latitude) * z);
        const V north = fused(V(place.cos_latitude), z, -(V(place.sin_latitude) * out_of));
        // First order in the parallax, which moves the sun down by parallax * sin(zenith): exact to 1e-9.
        const V flat = fused(V(sun_parallax), up, V(1.0));
        out[0] = fused(V(-sun_parallax), fused(-up, up, V(1.0)), up);
        out[1] = -(back * flat);
        out[2] = north * flat;
    }
};

void sun_vector(std::size_t count, const double* instant, const SunPlace& place, SunSeries series, double* up, double* east, double* north) {
    double* const to[3] = {up, east, north};
    if (series == SunSeries::psa) each_row<Pair>(count, {instant}, to, SunVector<SunSeries::psa>{place});
    else each_row<Pair>(count, {instant}, to, SunVector<SunSeries::grena>{place});
}

struct SunAngle {
    static constexpr std::size_t In = 3, Out = 2;
    template <class V>
    LIBSEAL_LANE void operator()(const V (&in)[In], V (&out)[Out]) const {
        const V flat = root(fused(in[1], in[1], in[2] * in[2])), azimuth = V(1 / degree) * angle_of(in[1], in[2]);
        out[0] = V(1 / degree) * angle_of(flat, in[0]);
        out[1] = either(azimuth < V(0.0), azimuth + V(360.0), azimuth);
    }
};

void sun_angles(std::size_t count, const double* up, const double* east, const double* north, double* zenith, double* azimuth) {
    double* const to[2] = {zenith, azimuth};
    each_row<Pair>(count, {up, east, north}, to, SunAngle{});
}

struct AirMass {
    static constexpr std::size_t In = 2, Out = 1;
    template <class V>
    LIBSEAL_LANE void operator()(const V (&in)[In], V (&out)[Out]) const {
        const auto risen = V(0.0) < in[0];
        const V elevation = V(90.0) - in[1];
        // Refraction as in climate/sun.hpp, at 101,325 Pa and 10 degC.
        const SineCosine<V> bent(V(degree) * (elevation + V(10.3) / (elevation + V(5.11))));
        const V refraction = V(101325.0 / 101000 * 1.02 / 60) * bent.cosine / bent.sine;
        const V zenith = either(risen, larger(V(0.0), in[1] - refraction), V(0.0));
        const V mass = V(1.0) / fused(V(0.50572), power(V(96.07995) - zenith, -1.6364), SineCosine<V>(V(degree) * zenith).cosine);
        out[0] = either(risen, mass, V(__builtin_nan("")));
    }
};

void air_mass(std::size_t count, const double* up, const double* zenith, double* mass) {
    double* const to[1] = {mass};
    each_row<Pair>(count, {up, zenith}, to, AirMass{});
}

}  // namespace
}  // namespace libseal::kernel
