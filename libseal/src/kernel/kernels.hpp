#pragma once
// Loops over many numbers, built once for each instruction set from one source; a call goes to the best that runs here.
// All give the same bits (see lanes.hpp).

#include <string>
#include <vector>

#include "kernel/elementary.hpp"
#include "kernel/life_cells.hpp"
#include "kernel/life_rows.hpp"
#include "kernel/panel_heat.hpp"
#include "kernel/plane_light.hpp"
#include "kernel/rainflow.hpp"
#include "kernel/rates.hpp"
#include "kernel/sky_light.hpp"
#include "kernel/sun_track.hpp"
#include "kernel/sweep_rows.hpp"
#include "kernel/ultraviolet_light.hpp"

namespace libseal::kernel {

enum class InstructionSet { portable, avx2, avx512 };
std::string name_of(InstructionSet set);

/// One table a set.
struct Kernels {
    ElementaryKernels elementary = {};
    LifeRowsKernel life_rows = nullptr;
    LifeCellKernels life_cells = {};
    RainflowKernels rainflow = {};
    SunVectorKernel sun_vector = nullptr;
    SunAnglesKernel sun_angles = nullptr;
    AirMassKernel air_mass = nullptr;
    SkyLightKernel sky_light = nullptr;
    UltravioletLightKernel ultraviolet_light = nullptr;
    PlaneTotalKernel plane_total = nullptr;
    PlanePartsKernel plane_parts = nullptr;
    PanelTemperatureKernel panel_temperature = nullptr;
    SkyRadiantKernel sky_radiant = nullptr;
    RateInputsKernel rate_inputs = nullptr;
    LightInputsKernel light_inputs = nullptr;
    LightLogarithmsKernel light_logarithms = nullptr;
    FlowExponentsKernel flow_exponents = nullptr;
    ExponentialSumsKernel exponential_sums = nullptr;
    ExponentialsKernel exponentials = nullptr;
    SweepRowsKernel sweep_rows = nullptr;
    PointProductsKernel point_products = nullptr;
    PointColumnsKernel point_columns = nullptr;
    WetSumsKernel wet_sums = nullptr;
    WetPointSumsKernel wet_point_sums = nullptr;
    WetPointSlopesKernel wet_point_slopes = nullptr;
};

/// Sets that this build has and this processor runs, the best last; the portable one is always there.
std::vector<InstructionSet> sets_that_run();
/// @param set  One of `sets_that_run`.
const Kernels& kernels_of(InstructionSet set);
/// The best one that runs, or, if it runs, the one that the environment variable LIBSEAL_INSTRUCTION_SET names.
InstructionSet chosen_set();
const Kernels& kernels();

}  // namespace libseal::kernel
