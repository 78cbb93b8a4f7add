#pragma once
// The body of ultraviolet_light.hpp.

#include "kernel/lane_angles.hpp"
#include "kernel/lane_loops.hpp"
#include "kernel/sky_light.hpp"
#include "kernel/ultraviolet_light.hpp"

namespace libseal::kernel {
namespace {

struct UltravioletLight {
    static constexpr std::size_t In = 6, Out = 4;
    double grazing;
    template <class V>
    LIBSEAL_LANE void operator()(const V (&in)[In], V (&out)[Out]) const {
        using namespace ultraviolet_law;
        const V ghi = in[0], dni = in[1], up = in[2], nothing(0.0), one(1.0);
        const auto lit = nothing < ghi, known = finite(ghi), risen = nothing < up;
        const V log_mass = logarithm(either(risen, in[4], V(grazing)));
        const V clear_share = V(at_mass_1) * exponential(V(mass_power) * log_mass);

        // In the hours of sunrise and sunset the clear-sky model says nothing; their light is small.
        const V height = larger(V(cos_89), SineCosine<V>(V(degree) * in[3]).cosine);
        const V clear = V(haurwitz::scale) * height * exponential(V(-haurwitz::loss) / height);
        const V index = either(one < clear, ghi / clear, one);
        const V cloud = larger(V(1e-300), one - smaller(one, larger(nothing, index)));
        const V global = clear_share * fused(V(cloud_gain), power(cloud, cloud_power), one) * ghi;

        const V mass = either(risen, in[4], V(grazing));
        const V extinction = exponential(fused(V(beam_linear), mass, V(beam_bent) * exponential(V(beam_power) * log_mass)));
        const V beam = either(risen, smaller(global / up, clear_share * extinction * dni), nothing);
        const V diffuse = global - beam * larger(up, nothing);
        const V around = smaller(beam / (V(share_above) * in[5]), one);
        const V parts[Out] = {beam, diffuse * around / larger(up, V(cos_89)), diffuse * (one - around), global};
        for (std::size_t k = 0; k < Out; ++k) out[k] = either(lit, parts[k], either(known, nothing, parts[k]));
    }
};

void ultraviolet_light(const DaylightColumns& daylight, const UltravioletColumns& ultraviolet) {
    double* const to[4] = {ultraviolet.beam, ultraviolet.circumsolar, ultraviolet.dome, ultraviolet.horizontal};
    each_row<Pair>(daylight.count, {daylight.ghi, daylight.dni, daylight.up, daylight.zenith, daylight.air_mass, daylight.extraterrestrial},
                       to, UltravioletLight{daylight.grazing});
}

}  // namespace
}  // namespace libseal::kernel
