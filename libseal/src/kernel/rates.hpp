#pragma once
// Rates of ageing, hour by hour: what they read, and their sums over blocks of hours.
//
// Every rate is an exponential  e^(exponent x + energy q)  with q = (T - Tref)/(T Tref R): of heat without x, of moisture with
// x the logarithm of humidity, of light with that of the ultraviolet or with the ultraviolet as a weight.

#include <cstddef>

namespace libseal::kernel {

constexpr std::size_t lane_count = 16;              ///< blocks begin at its multiples
constexpr double q_reach = 1, log_reach = 50;       ///< |q| [mol/kJ] and |x| stay within: what is far out counts as that

/// Warmth and damp that a material feels, one value an hour.
struct FeltColumns {
    std::size_t count = 0;
    const double* surface = nullptr;       ///< temperature [degC]
    const double* air = nullptr;           ///< [degC]; null: the material is at the surface, else half-way between both
    const double* dew_exponent = nullptr;  ///< Magnus exponent of the dew point, ln of a pressure but for a constant
    const double* humidity = nullptr;      ///< relative, at the material [%]: in place of air and dew_exponent
    const double* weight = nullptr;        ///< 1; 0 of hours that do not count
};
struct RateColumns {
    double* q = nullptr;             ///< [mol/kJ], 0 where it is not known
    double* log_humidity = nullptr;  ///< ln(RH/50 %), RH from 0.001 to 100 %; 0 where it is not known
    double* known = nullptr;         ///< the weight where both are known, else 0
};
using RateInputsKernel = void (*)(const FeltColumns& felt, const RateColumns& rates);

/// Ultraviolet [W/m2] behind a cover that lets a share of it through, times known, which is put to 0 where it is not known.
using LightInputsKernel = void (*)(std::size_t count, const double* ultraviolet, double share, double* known, double* behind);
/// Its logarithm where it is above 0; lit is known there, and 0 elsewhere.
using LightLogarithmsKernel = void (*)(std::size_t count, const double* ultraviolet, const double* known, double* logarithm, double* lit);

/// Exponent of the law of Williams, Landel & Ferry, ln 10 c1 (T - T0)/(c2 + T - T0), T not below `lowest`. [degC]
struct FlowFactors {
    double c1 = 0, c2 = 0, reference = 0, lowest = 0;
};
/// @param air  Null at the surface; else T is half-way between both.
using FlowExponentsKernel = void (*)(std::size_t count, const double* surface, const double* air, const FlowFactors& law, double* x);

/// sum of weight e^(exponent x + energy q) in each block.
struct ExponentialSums {
    const double* weight = nullptr;
    const double* x = nullptr;   ///< null: 0
    const double* q = nullptr;   ///< null with x: the sum of the weights alone
    double exponent = 0, energy = 0;
    const std::size_t* begin = nullptr;  ///< of each block, a multiple of `lane_count`; one more than blocks
    std::size_t blocks = 0;
};
using ExponentialSumsKernel = void (*)(const ExponentialSums& what, double* sums);
/// The exponentials themselves. x or q may be null: 0.
using ExponentialsKernel = void (*)(std::size_t count, const double* x, double exponent, const double* q, double energy, double* out);

}  // namespace libseal::kernel
