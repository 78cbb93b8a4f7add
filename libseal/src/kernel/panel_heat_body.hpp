#pragma once
// The body of panel_heat.hpp.

#include "kernel/lane_loops.hpp"
#include "kernel/lane_math.hpp"
#include "kernel/panel_heat.hpp"
#include "kernel/units.hpp"

namespace libseal::kernel {
namespace {

/// Root of  f = film t + radiant t^4 - gain  from a start within 100 K.
/// Two steps of fourth order (Householder's third method) leave less than 1e-6 K where there is no film at all, less than
/// 1e-10 K in any wind; a step of Newton's brings either down to rounding.
LIBSEAL_LANE Register heat_balance(Register gain, Register film, Register radiant, Register t) {
    const Register four(4.0);
    for (int step = 0; step < 2; ++step) {
        const Register square = radiant * (t * t), cube = square * t;
        const Register f = fused(t, film + cube, -gain), slope = fused(four, cube, film);
        const Register bend = Register(6.0) * square * f, slope2 = slope * slope;  // f f''/2
        const Register down = fused(slope, slope2 - (bend + bend), four * radiant * t * (f * f));
        t = t - f * (slope2 - bend) / down;
    }
    const Register cube = radiant * (t * t) * t;
    return fused(Register(3.0) * cube, t, gain) / fused(four, cube, film);
}

template <bool Lit>
struct PanelTemperature {
    static constexpr std::size_t In = Lit ? 4 : 3, Out = 1;
    PanelFactors panel;
    LIBSEAL_LANE void operator()(const Register (&in)[In], Register (&out)[Out]) const {
        const Register air = in[0], square = air * air, film = Register(panel.faces) * in[2];
        Register gain = fused(Register(panel.radiant * panel.sky_share), in[1],
                              fused(Register(panel.radiant * (panel.faces - panel.sky_share)), square * square, film * air));
        if constexpr (Lit) gain = fused(Register(panel.absorptance), in[3], gain);
        out[0] = heat_balance(gain, film, Register(panel.faces * panel.radiant), air) - Register(zero_celsius);
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
