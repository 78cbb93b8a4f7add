#pragma once
// The body of panel_heat.hpp.

#include "kernel/lane_loops.hpp"
#include "kernel/lane_math.hpp"
#include "kernel/panel_heat.hpp"
#include "kernel/units.hpp"

namespace libseal::kernel {
namespace {

/// Balance of a panel by how much warmer than the air it is, d: gain = d (c1 + d (c2 + d (c3 + d c4))).
template <class V>
struct HeatBalance {
    V gain, c1, c2, c3, c4;

    /// A step of fourth order (Householder's third method) from d, where the balance is off by f; with the coefficients
    /// of its expansion there.
    LIBSEAL_LANE static V better(V d, V f, V first, V second, V third) {
        const V square = first * first, bend = f * second;
        return d - f * (square - bend) / fused(first, square - (bend + bend), third * (f * f));
    }
    LIBSEAL_LANE V short_by(V d) const { return fused(d, fused(d, fused(d, fused(d, c4, c3), c2), c1), -gain); }
    LIBSEAL_LANE V slope(V d) const {
        return fused(d, fused(d, fused(d, V(4.0) * c4, V(3.0) * c3), c2 + c2), c1);
    }
    LIBSEAL_LANE V half_bend(V d) const { return fused(d, fused(d, V(6.0) * c4, V(3.0) * c3), c2); }

    /// Two such steps leave less than 1e-6 K where there is no film at all, less than 1e-10 K in any wind; one of Newton's
    /// brings either down to rounding.
    LIBSEAL_LANE V root() const {
        V d = better(V(0.0), -gain, c1, c2, c3);
        d = better(d, short_by(d), slope(d), half_bend(d), fused(d, V(4.0) * c4, c3));
        return d - short_by(d) / slope(d);
    }
};

template <bool Lit>
struct PanelTemperature {
    static constexpr std::size_t In = Lit ? 4 : 3, Out = 1;
    PanelFactors panel;
    template <class V>
    LIBSEAL_LANE void operator()(const V (&in)[In], V (&out)[Out]) const {
        const V air = in[0], square = air * air, c4 = V(panel.faces * panel.radiant), c3 = V(4.0) * (c4 * air);
        V gain = V(panel.radiant * panel.sky_share) * (in[1] - square * square);
        if constexpr (Lit) gain = fused(V(panel.absorptance), in[3], gain);
        const HeatBalance<V> balance{gain, fused(c3, square, V(panel.faces) * in[2]), V(6.0) * (c4 * square), c3, c4};
        out[0] = (air - V(zero_celsius)) + balance.root();
    }
};

void panel_temperature(const PanelColumns& panel, const PanelFactors& factors, double* surface) {
    double* const to[1] = {surface};
    if (panel.irradiance)
        each_row<Lanes>(panel.count, {panel.air, panel.sky_radiant, panel.film, panel.irradiance}, to, PanelTemperature<true>{factors});
    else
        each_row<Lanes>(panel.count, {panel.air, panel.sky_radiant, panel.film}, to, PanelTemperature<false>{factors});
}

/// Emissivity after Walton and Clark & Allen, at most 1: under cloud the fit passes it above a dew point of about 28 degC.
template <class V>
LIBSEAL_LANE V sky_emissivity(V dew_point, V cover) {
    const V clear = fused(V(0.764), logarithm((dew_point + V(zero_celsius)) * V(1.0 / 273)), V(0.787));
    const V cloud = fused(cover, fused(cover, fused(cover, V(0.00028), V(-0.0035)), V(0.0224)), V(1.0));
    return smaller(V(1.0), clear * cloud);
}

struct SkyRadiant {
    static constexpr std::size_t In = 3, Out = 1;
    template <class V>
    LIBSEAL_LANE void operator()(const V (&in)[In], V (&out)[Out]) const {
        const V air = in[0] + V(zero_celsius), square = air * air;
        const V all_known = in[1] + in[2];  // a logarithm of what is not known is a number
        out[0] = either(finite(all_known), sky_emissivity(in[1], in[2]) * (square * square), all_known);
    }
};

void sky_radiant(std::size_t count, const double* air, const double* dew_point, const double* cover, double* radiant) {
    double* const to[1] = {radiant};
    each_row<Lanes>(count, {air, dew_point, cover}, to, SkyRadiant{});
}

}  // namespace
}  // namespace libseal::kernel
