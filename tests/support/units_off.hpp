#pragma once
// How far functions of registers are from the truth, in units of the last place.

#include <algorithm>
#include <cmath>
#include <limits>

#include "libseal/core/random.hpp"

namespace libseal_tests {

/// Value of the first lane. @tparam V  A register of the kernels.
template <class V>
double first_lane(V value) {
    double lanes[V::width];
    value.store(lanes);
    return lanes[0];
}

/// Distance from the truth in units of the last place of the rounded truth.
inline double units_off(double got, long double truth) {
    const double near = static_cast<double>(truth);
    const double unit = std::nextafter(std::fabs(near), std::numeric_limits<double>::infinity()) - std::fabs(near);
    return static_cast<double>(std::fabs(static_cast<long double>(got) - truth) / static_cast<long double>(unit));
}

/// Largest distance of a function of registers from the truth over 200,000 draws of x.
template <class Draw, class Got, class Truth>
double worst_units(Draw draw, Got got, Truth truth) {
    libseal::RandomStream random(11);
    double most = 0;
    for (int i = 0; i < 200000; ++i) {
        const double x = draw(random.uniform());
        most = std::max(most, units_off(first_lane(got(x)), truth(static_cast<long double>(x))));
    }
    return most;
}

}  // namespace libseal_tests
