#pragma once
// The body of plane_light.hpp.

#include "kernel/lane_loops.hpp"
#include "kernel/lane_math.hpp"
#include "kernel/plane_light.hpp"

namespace libseal::kernel {
namespace {

struct LightParts {
    Register beam, sky, ground;
};

/// Mean over a full turn of max(0, a + b cos(angle)), b >= 0.
LIBSEAL_LANE Register mean_positive(Register a, Register b) {
    const Register inside = smaller(Register(1.0), larger(Register(-1.0), -a / b));
    const Register partly = fused(a, arc_cosine(inside), root(larger(Register(0.0), (b - a) * (b + a)))) * Register(1 / pi);
    return either(a < b, either(-b < a, partly, Register(0.0)), a);
}

/// At a known azimuth.
struct OneWay {
    PlaneFactors plane;
    LIBSEAL_LANE LightParts operator()(const Register (&in)[8]) const {
        const Register incidence =
            fused(Register(plane.cos_tilt), in[0], fused(Register(plane.east), in[1], Register(plane.north) * in[2]));
        const Register seen = larger(incidence, Register(0.0));
        const Register even = fused(Register(plane.dome), in[5], Register(plane.sin_tilt) * in[6]);
        return {seen * in[3], larger(Register(0.0), fused(seen, in[4], even)), Register(plane.ground) * in[7]};
    }
};

/// Mean over all azimuths. Where darkness near the horizon outdoes the dome, the sky counts as far as it is above 0.
struct AllWays {
    PlaneFactors plane;
    LIBSEAL_LANE LightParts operator()(const Register (&in)[8]) const {
        const Register nothing(0.0), flat = root(fused(in[1], in[1], in[2] * in[2]));
        const Register a = Register(plane.cos_tilt) * in[0], b = Register(plane.sin_tilt) * flat;
        const Register seen = either(nothing < in[0], mean_positive(a, b), nothing);  // at night nothing asks for it
        const Register around = in[4], base = fused(Register(plane.dome), in[5], Register(plane.sin_tilt) * in[6]);
        Register sky = fused(around, seen, base);
        const Mask dark = base < nothing;
        if (any(dark)) {
            const Register lifted = around * mean_positive(a + base / around, b);
            sky = either(dark, either(nothing < around, lifted, nothing), sky);
        }
        return {seen * in[3], sky, Register(plane.ground) * in[7]};
    }
};

template <class Ways>
struct PlaneTotal {
    static constexpr std::size_t In = 8, Out = 1;
    Ways ways;
    LIBSEAL_LANE void operator()(const Register (&in)[In], Register (&out)[Out]) const {
        const LightParts parts = ways(in);
        out[0] = parts.beam + parts.sky + parts.ground;
    }
};

template <class Ways>
struct PlaneParts {
    static constexpr std::size_t In = 8, Out = 3;
    Ways ways;
    LIBSEAL_LANE void operator()(const Register (&in)[In], Register (&out)[Out]) const {
        const LightParts parts = ways(in);
        out[0] = parts.beam, out[1] = parts.sky, out[2] = parts.ground;
    }
};

template <template <class> class Wanted, std::size_t Out>
LIBSEAL_LANE void plane_rows(const SkyColumns& sky, const PlaneFactors& plane, double* const (&to)[Out]) {
    const double* const from[8] = {sky.up, sky.east, sky.north, sky.beam, sky.circumsolar, sky.dome, sky.horizon, sky.horizontal};
    if (plane.known) each_row(sky.count, from, to, Wanted<OneWay>{{plane}});
    else each_row(sky.count, from, to, Wanted<AllWays>{{plane}});
}

void plane_total(const SkyColumns& sky, const PlaneFactors& plane, double* total) { plane_rows<PlaneTotal, 1>(sky, plane, {total}); }

void plane_parts(const SkyColumns& sky, const PlaneFactors& plane, double* beam, double* light, double* ground) {
    plane_rows<PlaneParts, 3>(sky, plane, {beam, light, ground});
}

}  // namespace
}  // namespace libseal::kernel
