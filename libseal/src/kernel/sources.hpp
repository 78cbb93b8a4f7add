#pragma once
// The bodies of all kernels, for the one source a set that holds them.

#include "kernel/elementary_body.hpp"
#include "kernel/kernels.hpp"
#include "kernel/life_cells_body.hpp"
#include "kernel/life_rows_body.hpp"
#include "kernel/panel_heat_body.hpp"
#include "kernel/plane_light_body.hpp"
#include "kernel/rainflow_body.hpp"
#include "kernel/rates_body.hpp"
#include "kernel/sky_light_body.hpp"
#include "kernel/sun_track_body.hpp"
#include "kernel/sweep_rows_body.hpp"
#include "kernel/ultraviolet_light_body.hpp"

namespace libseal::kernel {
namespace {

const Kernels& all_kernels() {
    static constexpr Kernels kernels{
        .elementary = elementary_kernels,
        .life_rows = &life_rows,
        .life_cells = {&weigh_cells, &weigh_power, &mean_of_cells},
        .rainflow = rainflow_kernels,
        .sun_vector = &sun_vector,
        .sun_angles = &sun_angles,
        .air_mass = &air_mass,
        .sky_light = &sky_light,
        .ultraviolet_light = &ultraviolet_light,
        .plane_total = &plane_total,
        .plane_parts = &plane_parts,
        .panel_temperature = &panel_temperature,
        .sky_radiant = &sky_radiant,
        .rate_inputs = &rate_inputs,
        .light_inputs = &light_inputs,
        .light_logarithms = &light_logarithms,
        .flow_exponents = &flow_exponents,
        .exponential_sums = &exponential_sums,
        .exponentials = &exponentials,
        .sweep_rows = &sweep_rows,
        .point_products = &point_products,
        .point_columns = &point_columns,
        .wet_sums = &wet_sums,
        .wet_point_sums = &wet_point_sums,
        .wet_point_slopes = &wet_point_slopes,
    };
    return kernels;
}

}  // namespace
}  // namespace libseal::kernel
