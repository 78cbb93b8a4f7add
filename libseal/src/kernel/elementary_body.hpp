#pragma once
// The body of elementary.hpp.

#include "kernel/elementary.hpp"
#include "kernel/lane_loops.hpp"
#include "kernel/lane_math.hpp"

namespace libseal::kernel {
namespace {

struct Exponential {
    static constexpr std::size_t In = 1, Out = 1;
    template <class V>
    LIBSEAL_LANE void operator()(const V (&in)[In], V (&out)[Out]) const { out[0] = exponential(in[0]); }
};

struct Logarithm {
    static constexpr std::size_t In = 1, Out = 1;
    template <class V>
    LIBSEAL_LANE void operator()(const V (&in)[In], V (&out)[Out]) const { out[0] = logarithm(in[0]); }
};

template <class Step>
void column_function(std::size_t count, const double* x, double* y) {
    double* const to[1] = {y};
    each_row<Lanes>(count, {x}, to, Step{});
}

constexpr ElementaryKernels elementary_kernels{&column_function<Exponential>, &column_function<Logarithm>};

}  // namespace
}  // namespace libseal::kernel
