#pragma once
// The body of sky_light.hpp.

#include "kernel/lane_angles.hpp"
#include "kernel/lane_loops.hpp"
#include "kernel/sky_light.hpp"

namespace libseal::kernel {
namespace {

struct SkyLight {
    static constexpr std::size_t In = 6, Out = 4;
    template <class V>
    LIBSEAL_LANE void operator()(const V (&in)[In], V (&out)[Out]) const {
        const V dni = in[0], dhi = in[1], up = in[2], nothing(0.0), one(1.0);
        const V z = V(degree) * in[3], cube = V(perez::zenith_weight) * (z * z * z);
        const V clearness = larger(((dhi + dni) / dhi + cube) / (one + cube), nothing);  // what is not known goes into the first bin
        const V brightness = dhi * in[4] / in[5];
        V f[6];
        for (std::size_t k = 0; k < 6; ++k) f[k] = V(perez::coefficients[0][k]);
        for (std::size_t bin = 1; bin < 8; ++bin) {
            const auto below = clearness < V(perez::bin_from[bin]);
            for (std::size_t k = 0; k < 6; ++k) f[k] = either(below, f[k], V(perez::coefficients[bin][k]));
        }
        const auto risen = nothing < up, lit = risen & (nothing < dhi);
        const V around = either(lit, larger(fused(f[2], z, fused(f[1], brightness, f[0])), nothing), nothing);
        const V low = either(lit, fused(f[5], z, fused(f[4], brightness, f[3])), nothing);
        out[0] = either(risen, dni, either(finite(dni), nothing, dni));
        out[1] = dhi * around / larger(up, V(cos_85));
        out[2] = dhi * (one - around);
        out[3] = dhi * low;
    }
};

void sky_light(const IrradianceColumns& irradiance, const SkyLightColumns& sky) {
    double* const to[4] = {sky.beam, sky.circumsolar, sky.dome, sky.horizon};
    each_row<Register>(irradiance.count, {irradiance.dni, irradiance.dhi, irradiance.up, irradiance.zenith, irradiance.air_mass, irradiance.extraterrestrial},
                       to, SkyLight{});
}

}  // namespace
}  // namespace libseal::kernel
