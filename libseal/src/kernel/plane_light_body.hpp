#pragma once
// The body of plane_light.hpp.

#include "kernel/lane_loops.hpp"
#include "kernel/lane_math.hpp"
#include "kernel/plane_light.hpp"

namespace libseal::kernel {
namespace {

template <class V>
struct LightParts {
    V beam, sky, ground;
};

/// Mean over a full turn of max(0, a + b cos(angle)), b >= 0.
template <class V>
LIBSEAL_LANE V mean_positive(V a, V b) {
    const V inside = smaller(V(1.0), larger(V(-1.0), -a / b));
    const V partly = fused(a, arc_cosine(inside), root(larger(V(0.0), (b - a) * (b + a)))) * V(1 / pi);
    return either(a < b, either(-b < a, partly, V(0.0)), a);
}

/// At a known azimuth.
struct OneWay {
    PlaneFactors plane;
    template <class V>
    LIBSEAL_LANE LightParts<V> operator()(const V (&in)[8]) const {
        const V incidence =
            fused(V(plane.cos_tilt), in[0], fused(V(plane.east), in[1], V(plane.north) * in[2]));
        const V seen = larger(incidence, V(0.0));
        const V even = fused(V(plane.dome), in[5], V(plane.sin_tilt) * in[6]);
        return {seen * in[3], larger(V(0.0), fused(seen, in[4], even)), V(plane.ground) * in[7]};
    }
};

/// Mean over all azimuths. Where darkness near the horizon outdoes the dome, the sky counts as far as it is above 0.
struct AllWays {
    PlaneFactors plane;
    template <class V>
    LIBSEAL_LANE LightParts<V> operator()(const V (&in)[8]) const {
        const V nothing(0.0), flat = root(fused(in[1], in[1], in[2] * in[2]));
        const V a = V(plane.cos_tilt) * in[0], b = V(plane.sin_tilt) * flat;
        const V seen = either(nothing < in[0], mean_positive(a, b), nothing);  // at night nothing asks for it
        const V around = in[4], base = fused(V(plane.dome), in[5], V(plane.sin_tilt) * in[6]);
        V sky = fused(around, seen, base);
        const auto dark = base < nothing;
        if (any(dark)) {
            const V lifted = around * mean_positive(a + base / around, b);
            sky = either(dark, either(nothing < around, lifted, nothing), sky);
        }
        return {seen * in[3], sky, V(plane.ground) * in[7]};
    }
};

template <class Ways>
struct PlaneTotal {
    static constexpr std::size_t In = 8, Out = 1;
    Ways ways;
    template <class V>
    LIBSEAL_LANE void operator()(const V (&in)[In], V (&out)[Out]) const {
        const LightParts<V> parts = ways(in);
        out[0] = parts.beam + parts.sky + parts.ground;
    }
};

template <class Ways>
struct PlaneParts {
    static constexpr std::size_t In = 8, Out = 3;
    Ways ways;
    template <class V>
    LIBSEAL_LANE void operator()(const V (&in)[In], V (&out)[Out]) const {
        const LightParts<V> parts = ways(in);
        out[0] = parts.beam, out[1] = parts.sky, out[2] = parts.ground;
    }
};

template <template <class> class Wanted, std::size_t Out>
LIBSEAL_LANE void plane_rows(const SkyColumns& sky, const PlaneFactors& plane, double* const (&to)[Out]) {
    const double* const from[8] = {sky.up, sky.east, sky.north, sky.beam, sky.circumsolar, sky.dome, sky.horizon, sky.horizontal};
    if (plane.known) each_row<Register>(sky.count, from, to, Wanted<OneWay>{{plane}});
    else each_row<Lanes>(sky.count, from, to, Wanted<AllWays>{{plane}});
}

void plane_total(const SkyColumns& sky, const PlaneFactors& plane, double* total) { plane_rows<PlaneTotal, 1>(sky, plane, {total}); }

void plane_parts(const SkyColumns& sky, const PlaneFactors& plane, double* beam, double* light, double* ground) {
    plane_rows<PlaneParts, 3>(sky, plane, {beam, light, ground});
}

}  // namespace
}  // namespace libseal::kernel
