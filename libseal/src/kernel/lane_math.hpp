#pragma once
// Exponentials and logarithms on registers and lanes (V below): polynomials and powers of two, the same bits everywhere.
// Coefficients: minimax polynomials worked out for this library (exchange algorithm in 60 digits).

#include "kernel/lanes.hpp"

namespace libseal::kernel {
namespace {

constexpr double log2_e = 1.4426950408889634;
constexpr double ln2_high = 0.69314718055994529, ln2_low = 2.3190468138462996e-17;
constexpr double lowest_exponent = -708, highest_exponent = 709;  // beyond, the power of two leaves the range of doubles

struct InReach {};  ///< tag: the caller knows that x is in the range of `exponential`

/// e^x = 2^n (1 + r + r^2 p): what exponentials are made of.
template <class V>
struct ExponentialParts {
    V power;   ///< 2^n
    V r;       ///< -ln 2 / 2 to ln 2 / 2
    V excess;  ///< e^r - 1

    /// @param x  Outside -708 to 709 as at these ends; NaN stays NaN.
    LIBSEAL_LANE explicit ExponentialParts(V x)
        : ExponentialParts(larger(V(lowest_exponent), smaller(V(highest_exponent), x)), InReach()) {}
    LIBSEAL_LANE ExponentialParts(V x, InReach) {
        // Low bits of a number of this size are integers; 1023 is the exponent of 1.
        constexpr double integers = 6755399441055744.0 + 1023;
        const V shifted = fused(x, V(log2_e), V(integers)), n = shifted - V(integers);
        power = shifted_bits(shifted);
        r = fused(n, V(-ln2_low), fused(n, V(-ln2_high), x));
        V p = V(2.5000061183251388e-08);
        p = fused(p, r, V(2.763024847316803e-07));
        p = fused(p, r, V(2.7557586375678646e-06));
        p = fused(p, r, V(2.480149309863533e-05));
        p = fused(p, r, V(0.00019841269506575744));
        p = fused(p, r, V(0.001388888894363038));
        p = fused(p, r, V(0.008333333333494463));
        p = fused(p, r, V(0.041666666666530155));
        p = fused(p, r, V(0.16666666666666413));
        p = fused(p, r, V(0.5000000000000011));
        excess = fused(p, r * r, r);
    }
};

/// e^x within 1.1 units of the last place for x in [-708, 709]; beyond as at the ends.
template <class V>
LIBSEAL_LANE V exponential(V x) {
    const ExponentialParts<V> parts(x);
    return fused(parts.power, parts.excess, parts.power);
}

/// The same for x in [-708, 709] alone.
template <class V>
LIBSEAL_LANE V exponential(V x, InReach) {
    const ExponentialParts<V> parts(x, InReach{});
    return fused(parts.power, parts.excess, parts.power);
}

/// e^x - 1 without loss of digits near 0.
template <class V>
LIBSEAL_LANE V exponential_less_one(V x) {
    const ExponentialParts<V> parts(x);
    return fused(parts.power, parts.excess, parts.power - V(1.0));
}

/// Logarithm of x in the range of normal doubles above 0: 2.2e-308 and more.
template <class V>
LIBSEAL_LANE V logarithm(V x) {
    // x = 2^e m with m in [sqrt(1/2), sqrt(2)).
    constexpr std::uint64_t one = 0x3ff0000000000000ULL, root_half = 0x3fe6a09e667f3bcdULL;
    V e, m;
    split_bits(x, one - root_half, e, m, root_half);
    e = e - V(4503599627370496.0 + 1023);
    const V f = m - V(1.0), s = f / (f + V(2.0)), z = s * s;
    V p = V(0.14797507995492262);
    p = fused(p, z, V(0.15313903215707608));
    p = fused(p, z, V(0.18183569741119684));
    p = fused(p, z, V(0.22222198475958857));
    p = fused(p, z, V(0.28571428743262967));
    p = fused(p, z, V(0.3999999999941109));
    p = fused(p, z, V(0.6666666666666735));
    // ln(1 + f) = f - s (f - z p): nothing cancels for small f.
    return fused(e, V(ln2_high), f - fused(s, fused(-z, p, f), e * V(-ln2_low)));
}

/// ln(1 + x) without loss of digits near 0, x > -1.
template <class V>
LIBSEAL_LANE V logarithm_of_one_plus(V x) {
    const V u = x + V(1.0), lost = x - (u - V(1.0));
    return logarithm(u) + lost / u;
}

constexpr double pi = 3.14159265358979323846;

/// Angle of a cosine in [-1, 1]. [rad]
template <class V>
LIBSEAL_LANE V arc_cosine(V x) {
    // asin s = s + s z p(z), z = s^2 up to 1/4: of the size of x itself, or of the half angle of acos.
    const V size = size_of(x), half = (V(1.0) - size) * V(0.5);
    const auto steep = size < V(0.5), negative = x < V(0.0);
    const V z = either(steep, x * x, half), s = either(steep, size, root(half));
    V p = V(0.028169218060881414);
    p = fused(p, z, V(-0.010749050339697808));
    p = fused(p, z, V(0.01603551434914882));
    p = fused(p, z, V(0.0078029494773533175));
    p = fused(p, z, V(0.011875494382636922));
    p = fused(p, z, V(0.013929652902326633));
    p = fused(p, z, V(0.017355259955786323));
    p = fused(p, z, V(0.02237204763174451));
    p = fused(p, z, V(0.03038194736709848));
    p = fused(p, z, V(0.044642857103423646));
    p = fused(p, z, V(0.07500000000020764));
    p = fused(p, z, V(0.1666666666666665));
    const V angle = fused(s * z, p, s);
    const V near_right = V(pi / 2) - either(negative, -angle, angle);
    const V near_end = angle + angle;
    return either(steep, near_right, either(negative, V(pi) - near_end, near_end));
}

}  // namespace
}  // namespace libseal::kernel
