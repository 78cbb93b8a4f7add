#pragma once
// The body of rates.hpp.

#include "kernel/lane_loops.hpp"
#include "kernel/lane_math.hpp"
#include "kernel/rates.hpp"
#include "kernel/units.hpp"

namespace libseal::kernel {
namespace {

constexpr double reference_humidity = 50, driest = 0.001;  // [%]
constexpr double log_dampest = 0.69314718055994531;        // ln(100/50)
constexpr double log_driest = -10.819778284410283;         // ln(0.001/50)
constexpr double log_10 = 2.3025850929940457;

/// NaN stays NaN.
template <class V>
LIBSEAL_LANE V within(double low, double high, V x) { return larger(V(low), smaller(V(high), x)); }

/// (T - Tref)/(T Tref R) rather than a difference of inverses: no digits are lost near the reference.
template <class V>
LIBSEAL_LANE V q_of(V celsius) {
    const V kelvin = celsius + V(zero_celsius);
    return within(-q_reach, q_reach, (kelvin - V(reference_kelvin)) / (kelvin * V(reference_kelvin * gas_constant)));
}
/// ln of humidity over 1 at a temperature, at most 0.
template <class V>
LIBSEAL_LANE V log_share(V dew_exponent, V celsius) {
    return smaller(V(0.0), dew_exponent - V(magnus_a) * celsius / (celsius + V(magnus_b)));
}

/// Logarithm of a number above 0; what is not known stays so, of which `logarithm` would make a number.
template <class V>
LIBSEAL_LANE V known_logarithm(V x) { return either(finite(x), logarithm(x), x); }

/// Columns of a rate from its temperature, ln(RH/50 %) and weight; what is not known counts nothing.
template <class V>
LIBSEAL_LANE void known_rate(V celsius, V log_humidity, V weight, V (&out)[3]) {
    const V q = q_of(celsius), damp = larger(V(log_driest), log_humidity), nothing(0.0);
    const auto known = finite(q) & finite(damp);
    out[0] = either(known, q, nothing), out[1] = either(known, damp, nothing), out[2] = either(known, weight, nothing);
}

struct AtSurface {
    static constexpr std::size_t In = 3, Out = 3;
    template <class V>
    LIBSEAL_LANE void operator()(const V (&in)[In], V (&out)[Out]) const {
        known_rate(in[0], log_share(in[1], in[0]) + V(log_dampest), in[2], out);
    }
};

/// Half-way between surface and air: mean temperature, mean humidity.
struct HalfWay {
    static constexpr std::size_t In = 4, Out = 3;
    template <class V>
    LIBSEAL_LANE void operator()(const V (&in)[In], V (&out)[Out]) const {
        const V surface = exponential(log_share(in[2], in[0])), air = exponential(log_share(in[2], in[1]));
        known_rate(V(0.5) * (in[0] + in[1]), known_logarithm(surface + air), in[3], out);  // 100 (s + a)/2 over 50
    }
};

struct AtHumidity {
    static constexpr std::size_t In = 3, Out = 3;
    template <class V>
    LIBSEAL_LANE void operator()(const V (&in)[In], V (&out)[Out]) const {
        const V share = larger(V(driest), in[1]) * V(1 / reference_humidity);
        known_rate(in[0], known_logarithm(share), in[2], out);
    }
};

void rate_inputs(const FeltColumns& felt, const RateColumns& rates) {
    double* const to[3] = {rates.q, rates.log_humidity, rates.known};
    if (felt.humidity) each_row<Register>(felt.count, {felt.surface, felt.humidity, felt.weight}, to, AtHumidity{});
    else if (felt.air) each_row<Lanes>(felt.count, {felt.surface, felt.air, felt.dew_exponent, felt.weight}, to, HalfWay{});
    else each_row<Register>(felt.count, {felt.surface, felt.dew_exponent, felt.weight}, to, AtSurface{});
}

struct LightInputs {
    static constexpr std::size_t In = 2, Out = 2;
    double share;
    template <class V>
    LIBSEAL_LANE void operator()(const V (&in)[In], V (&out)[Out]) const {
        const V behind = V(share) * in[0], nothing(0.0);
        const auto known = finite(behind);
        out[0] = either(known, in[1], nothing), out[1] = either(known, behind, nothing) * in[1];
    }
};

void light_inputs(std::size_t count, const double* ultraviolet, double share, double* known, double* behind) {
    double* const to[2] = {known, behind};
    each_row<Register>(count, {ultraviolet, known}, to, LightInputs{share});
}

struct LightLogarithms {
    static constexpr std::size_t In = 2, Out = 2;
    template <class V>
    LIBSEAL_LANE void operator()(const V (&in)[In], V (&out)[Out]) const {
        const auto lit = V(0.0) < in[0];
        out[0] = within(-log_reach, log_reach, logarithm(either(lit, in[0], V(1.0))));
        out[1] = either(lit, in[1], V(0.0));
    }
};

void light_logarithms(std::size_t count, const double* ultraviolet, const double* known, double* logarithm, double* lit) {
    double* const to[2] = {logarithm, lit};
    each_row<Register>(count, {ultraviolet, known}, to, LightLogarithms{});
}

struct FlowExponents {
    static constexpr std::size_t In = 2, Out = 1;
    FlowFactors law;
    template <class V>
    LIBSEAL_LANE void operator()(const V (&in)[In], V (&out)[Out]) const {
        const V celsius = larger(V(law.lowest), V(0.5) * (in[0] + in[1]));
        const V above = celsius - V(law.reference);
        out[0] = within(-log_reach, log_reach, V(log_10 * law.c1) * above / (V(law.c2) + above));
    }
};

void flow_exponents(std::size_t count, const double* surface, const double* air, const FlowFactors& law, double* x) {
    double* const to[1] = {x};
    each_row<Register>(count, {surface, air ? air : surface}, to, FlowExponents{law});
}

static_assert(Lanes::width == lane_count);

enum class Terms { none, x, q, both };

/// What the columns promise spares the exponential its own bounds.
template <Terms T, bool InReachOfAll>
LIBSEAL_LANE Lanes exponential_at(const ExponentialSums& of, std::size_t at) {
    if constexpr (T == Terms::none) return Lanes(1.0);
    Lanes power;
    if constexpr (T == Terms::x) power = Lanes(of.exponent) * Lanes::load(of.x + at);
    if constexpr (T == Terms::q) power = Lanes(of.energy) * Lanes::load(of.q + at);
    if constexpr (T == Terms::both)
        power = fused(Lanes(of.energy), Lanes::load(of.q + at), Lanes(of.exponent) * Lanes::load(of.x + at));
    if constexpr (InReachOfAll) return exponential(power, InReach{});
    return exponential(power);
}

template <Terms T, bool InReachOfAll>
void sums_of(const ExponentialSums& what, double* sums) {
    for (std::size_t block = 0; block < what.blocks; ++block) {
        Lanes sum(0.0);
        for (std::size_t at = what.begin[block]; at < what.begin[block + 1]; at += Lanes::width)
            sum = fused(Lanes::load(what.weight + at), exponential_at<T, InReachOfAll>(what, at), sum);
        sums[block] = sum.sum();
    }
}

template <Terms T>
void sums_by_reach(const ExponentialSums& what, double* sums) {
    const double furthest = __builtin_fabs(what.exponent) * log_reach + __builtin_fabs(what.energy) * q_reach;
    if (furthest < -lowest_exponent) sums_of<T, true>(what, sums);
    else sums_of<T, false>(what, sums);
}

void exponential_sums(const ExponentialSums& what, double* sums) {
    if (what.x && what.q) sums_by_reach<Terms::both>(what, sums);
    else if (what.q) sums_by_reach<Terms::q>(what, sums);
    else if (what.x) sums_by_reach<Terms::x>(what, sums);
    else sums_of<Terms::none, true>(what, sums);
}

struct Exponentials {
    static constexpr std::size_t In = 2, Out = 1;
    double exponent, energy;
    template <class V>
    LIBSEAL_LANE void operator()(const V (&in)[In], V (&out)[Out]) const {
        out[0] = exponential(fused(V(energy), in[1], V(exponent) * in[0]));
    }
};

void exponentials(std::size_t count, const double* x, double exponent, const double* q, double energy, double* out) {
    double* const to[1] = {out};
    each_row<Register>(count, {x ? x : q, q ? q : x}, to, Exponentials{x ? exponent : 0, q ? energy : 0});
}

}  // namespace
}  // namespace libseal::kernel
