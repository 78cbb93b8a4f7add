#pragma once
// The bodies of all kernels, for the one source a set that holds them.

#include "kernel/kernels.hpp"
#include "kernel/life_cells_body.hpp"
#include "kernel/life_rows_body.hpp"
#include "kernel/rainflow_body.hpp"

namespace libseal::kernel {
namespace {

const Kernels& all_kernels() {
    static constexpr Kernels kernels{&life_rows, {&weigh_cells, &sum_blocks, &mean_of_cells}, rainflow_kernels};
    return kernels;
}

}  // namespace
}  // namespace libseal::kernel
