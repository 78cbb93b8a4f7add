#pragma once
// The body of panel_heat.hpp.

#include "kernel/lane_loops.hpp"
#include "kernel/lane_math.hpp"
#include "kernel/panel_heat.hpp"
#include "kernel/units.hpp"

namespace libseal::kernel {
namespace {

/// Balance of a panel by how much warmer than the air it is, d: gain = d (c1 + d (c2 + d (c3 + d c4))).
struct HeatBalance {
    Register gain, c1, c2, c3, c4;

    /// A step of fourth order (Householder's third method) from d, where the balance is off by f; with the coefficients
    /// of its expansion there.
    LIBSEAL_LANE static Register better(Register d, Register f, Register first, Register second, Register third) {
        const Register square = first * first, bend = f * second;
        return d - f * (square - bend) / fused(first, square - (bend + bend), third * (f * f));
    }
    LIBSEAL_LANE Register short_by(Register d) const { return fused(d, fused(d, fused(d, fused(d, c4, c3), c2), c1), -gain); }
    LIBSEAL_LANE Register slope(Register d) const {
        return fused(d, fused(d, fused(d, Register(4.0) * c4, Register(3.0) * c3), c2 + c2), c1);
    }
    LIBSEAL_LANE Register half_bend(Register d) const { return fused(d, fused(d, Register(6.0) * c4, Register(3.0) * c3), c2); }

    /// Two such steps leave less than 1e-6 K where there is no film at all, less than 1e-10 K in any wind; one of Newton's
    /// brings either down to rounding.
    LIBSEAL_LANE Register root() const {
        Register d = better(Register(0.0), -gain, c1, c2, c3);
        d = better(d, short_by(d), slope(d), half_bend(d), fused(d, Register(4.0) * c4, c3));
        return d - short_by(d) / slope(d);
    }
};

template <bool Lit>
struct PanelTemperature {
    static constexpr std::size_t In = Lit ? 4 : 3, Out = 1;
    PanelFactors panel;
    LIBSEAL_LANE void operator()(const Register (&in)[In], Register (&out)[Out]) const {
        const Register air = in[0], square = air * air, c4 = Register(panel.faces * panel.radiant), c3 = Register(4.0) * (c4 * air);
        Register gain = Register(panel.radiant * panel.sky_share) * (in[1] - square * square);
        if constexpr (Lit) gain = fused(Register(panel.absorptance), in[3], gain);
        const HeatBalance balance{gain, fused(c3, square, Register(panel.faces) * in[2]), Register(6.0) * (c4 * square), c3, c4};
        out[0] = (air - Register(zero_celsius)) + balance.root();
    }
};

void panel_temperature(const PanelColumns& panel, const PanelFactors& factors, double* surface) {
    double* const to[1] = {surface};
    if (panel.irradiance)
        each_row(panel.count, {panel.air, panel.sky_radiant, panel.film, panel.irradiance}, to, PanelTemperature<true>{factors});
    else
        each_row(panel.count, {panel.air, panel.sky_radiant, panel.film}, to, PanelTemperature<false>{factors});
}

/// Emissivity after Walton and Clark & Allen, at most 1: under cloud the fit passes it above a dew point of about 28 degC.
LIBSEAL_LANE Register sky_emissivity(Register dew_point, Register cover) {
    const Register clear = fused(Register(0.764), logarithm((dew_point + Register(zero_celsius)) * Register(1.0 / 273)), Register(0.787));
    const Register cloud = fused(cover, fused(cover, fused(cover, Register(0.00028), Register(-0.0035)), Register(0.0224)), Register(1.0));
    return smaller(Register(1.0), clear * cloud);
}

struct SkyRadiant {
    static constexpr std::size_t In = 3, Out = 1;
    LIBSEAL_LANE void operator()(const Register (&in)[In], Register (&out)[Out]) const {
        const Register air = in[0] + Register(zero_celsius), square = air * air;
        const Register all_known = in[1] + in[2];  // a logarithm of what is not known is a number
        out[0] = either(finite(all_known), sky_emissivity(in[1], in[2]) * (square * square), all_known);
    }
};

void sky_radiant(std::size_t count, const double* air, const double* dew_point, const double* cover, double* radiant) {
    double* const to[1] = {radiant};
    each_row(count, {air, dew_point, cover}, to, SkyRadiant{});
}

}  // namespace
}  // namespace libseal::kernel
