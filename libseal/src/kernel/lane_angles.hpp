#pragma once
// Sines, cosines and angles on registers and lanes (V below), the same bits everywhere.
// Coefficients: minimax polynomials worked out for this library (exchange algorithm in 60 digits).

#include "kernel/lane_math.hpp"

namespace libseal::kernel {
namespace {

constexpr double degree = pi / 180;

/// The integer nearest to x, for x up to 1e15 in size.
template <class V>
LIBSEAL_LANE V nearest_integer(V x) {
    constexpr double integers = 6755399441055744.0;  // numbers of this size have no binary places
    return (x + V(integers)) - V(integers);
}

/// Sine and cosine of one angle up to 1e9 in size [rad], within 1.5 units of the last place; beside a whole number n of quarter
/// turns, where one of them is hardly above 0, within n times 1.5e-33.
template <class V>
struct SineCosine {
    V sine, cosine;

    LIBSEAL_LANE explicit SineCosine(V angle) {
        constexpr double quarter_high = 1.5707963267948966, quarter_low = 6.123233995736766e-17;
        const V quarters = nearest_integer(angle * V(1 / quarter_high));
        const V r = fused(quarters, V(-quarter_low), fused(quarters, V(-quarter_high), angle)), z = r * r;
        V p = V(1.5896747245074548e-10);
        p = fused(p, z, V(-2.5050757308183107e-08));
        p = fused(p, z, V(2.755731368695383e-06));
        p = fused(p, z, V(-0.00019841269829794087));
        p = fused(p, z, V(0.008333333333322398));
        p = fused(p, z, V(-0.16666666666666632));
        const V across = fused(r * z, p, r);
        V q = V(-1.135961459480162e-11);
        q = fused(q, z, V(2.087572265425266e-09));
        q = fused(q, z, V(-2.755731434795378e-07));
        q = fused(q, z, V(2.4801587289467673e-05));
        q = fused(q, z, V(-0.00138888888888741));
        q = fused(q, z, V(0.0416666666666666));
        // 1 - z/2 with what its rounding loses.
        const V half = V(0.5) * z, whole = V(1.0) - half;
        const V along = whole + fused(z * z, q, (V(1.0) - whole) - half);

        const V turn = quarters - V(4.0) * nearest_integer(V(0.25) * quarters), size = size_of(turn);  // -2 to 2
        const auto crossed = (V(0.5) < size) & (size < V(1.5));
        const V one(1.0), minus(-1.0);
        sine = either(crossed, along, across) * either(turn < V(-0.5), minus, either(V(1.5) < turn, minus, one));
        cosine = either(crossed, across, along) * either(turn < V(-1.5), minus, either(V(0.5) < turn, minus, one));
    }
};

/// Angle of the vector (x, y) from the x axis, -pi to pi [rad]; 0 for no vector. Within 3 units of the last place.
template <class V>
LIBSEAL_LANE V angle_of(V y, V x) {
    const V along = size_of(x), across = size_of(y);
    const auto above = along < across;  // 45 degrees
    const V large = larger(larger(along, across), V(1e-300)), small = smaller(along, across);
    constexpr double tan_22_5 = 0.41421356237309503;
    const auto wide = V(tan_22_5) * large < small;
    const V s = either(wide, small - large, small) / either(wide, small + large, large), z = s * s;
    V p = V(0.021272066097706138);
    p = fused(p, z, V(-0.0436017234000218));
    p = fused(p, z, V(0.05692941376026335));
    p = fused(p, z, V(-0.06641204157766428));
    p = fused(p, z, V(0.07690078596216515));
    p = fused(p, z, V(-0.0909078319870151));
    p = fused(p, z, V(0.1111110668981362));
    p = fused(p, z, V(-0.1428571419620468));
    p = fused(p, z, V(0.1999999999910099));
    p = fused(p, z, V(-0.33333333333330206));
    V angle = fused(s * z, p, s);
    angle = either(wide, V(pi / 4) + angle, angle);
    angle = either(above, V(pi / 2) - angle, angle);
    angle = either(x < V(0.0), V(pi) - angle, angle);
    return either(y < V(0.0), -angle, angle);
}

/// x^p for x in the range of normal doubles above 0.
template <class V>
LIBSEAL_LANE V power(V x, double exponent) { return exponential(V(exponent) * logarithm(x)); }

}  // namespace
}  // namespace libseal::kernel
