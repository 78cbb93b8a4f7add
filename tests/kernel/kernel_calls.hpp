#pragma once
// Calls of kernels for comparisons of instruction sets: what each writes, one column after the other.

#include <cmath>
#include <cstddef>
#include <utility>
#include <vector>

#include "kernel/kernels.hpp"

namespace libseal_test {

using Numbers = std::vector<double>;

inline Numbers joined(Numbers all, const std::vector<const Numbers*>& more) {
    for (const Numbers* numbers : more) all.insert(all.end(), numbers->begin(), numbers->end());
    return all;
}

/// A plane under an invented sun.
/// @param tilt  [rad]
inline libseal::kernel::PlaneFactors plane_factors(double tilt, bool known) {
    const double c = std::cos(tilt), s = std::sin(tilt);
    return {c, s, known, 0.3 * s, -0.954 * s, (1 + c) / 2, 0.1 * (1 - c)};
}

inline Numbers plane_total(const libseal::kernel::Kernels& k, const libseal::kernel::SkyColumns& sky, const libseal::kernel::PlaneFactors& plane) {
    Numbers total(sky.count);
    k.plane_total(sky, plane, total.data());
    return total;
}

inline Numbers plane_parts(const libseal::kernel::Kernels& k, const libseal::kernel::SkyColumns& sky, const libseal::kernel::PlaneFactors& plane) {
    Numbers parts(3 * sky.count);
    k.plane_parts(sky, plane, parts.data(), parts.data() + sky.count, parts.data() + 2 * sky.count);
    return parts;
}

/// @param light  Null: in the dark.
inline Numbers panel_temperature(const libseal::kernel::Kernels& k, const Numbers& air, const Numbers& radiant, const Numbers& film, const double* light) {
    Numbers surface(air.size());
    k.panel_temperature({air.size(), air.data(), radiant.data(), film.data(), light}, {0.9, 5.1e-8, 0.5, 1}, surface.data());
    return surface;
}

inline Numbers sky_radiant(const libseal::kernel::Kernels& k, const Numbers& celsius, const Numbers& dew, const Numbers& cover) {
    Numbers fourth(celsius.size());
    k.sky_radiant(celsius.size(), celsius.data(), dew.data(), cover.data(), fourth.data());
    return fourth;
}

inline Numbers flow_exponents(const libseal::kernel::Kernels& k, const Numbers& surface, const Numbers& air) {
    Numbers x(surface.size());
    k.flow_exponents(surface.size(), surface.data(), air.data(), {8.61, 200.4, 25, -50}, x.data());
    return x;
}

/// What rates are made of; each call writes some of it, and later ones read that.
struct RateParts {
    explicit RateParts(std::size_t count) : q(count), damp(count), known(count), lit(count), log_lit(count), behind(count) {}
    Numbers q, damp, known, lit, log_lit, behind;

    Numbers rate_inputs(const libseal::kernel::Kernels& k, const libseal::kernel::FeltColumns& felt) {
        k.rate_inputs(felt, {q.data(), damp.data(), known.data()});
        return joined(q, {&damp, &known});
    }
    Numbers light(const libseal::kernel::Kernels& k, const Numbers& ultraviolet) {
        Numbers all = known;
        k.light_inputs(ultraviolet.size(), ultraviolet.data(), 0.7, all.data(), behind.data());
        k.light_logarithms(ultraviolet.size(), behind.data(), all.data(), log_lit.data(), lit.data());
        return joined(std::move(all), {&behind, &log_lit, &lit});
    }
};

}  // namespace libseal_test
