#pragma once
// Registers of numbers that carry their first and second derivatives along two variables: automatic differentiation, forward.

#include "kernel/lane_math.hpp"

namespace libseal::kernel {
namespace {

struct LaneDual {
    Register value, a, b, aa, ab, bb;

    LaneDual() = default;
    LIBSEAL_LANE LaneDual(Register v) : value(v), a(0.0), b(0.0), aa(0.0), ab(0.0), bb(0.0) {}
    LIBSEAL_LANE LaneDual(Register v, Register da, Register db, Register daa, Register dab, Register dbb)
        : value(v), a(da), b(db), aa(daa), ab(dab), bb(dbb) {}
};

LIBSEAL_LANE LaneDual operator+(const LaneDual& x, const LaneDual& y) {
    return {x.value + y.value, x.a + y.a, x.b + y.b, x.aa + y.aa, x.ab + y.ab, x.bb + y.bb};
}
LIBSEAL_LANE LaneDual operator-(const LaneDual& x, const LaneDual& y) {
    return {x.value - y.value, x.a - y.a, x.b - y.b, x.aa - y.aa, x.ab - y.ab, x.bb - y.bb};
}
LIBSEAL_LANE LaneDual operator-(const LaneDual& x) { return {-x.value, -x.a, -x.b, -x.aa, -x.ab, -x.bb}; }
LIBSEAL_LANE LaneDual operator*(const LaneDual& x, const LaneDual& y) {
    const auto twice = [](Register v) { return v + v; };
    return {x.value * y.value,
            fused(x.value, y.a, x.a * y.value),
            fused(x.value, y.b, x.b * y.value),
            fused(x.value, y.aa, fused(twice(x.a), y.a, x.aa * y.value)),
            fused(x.value, y.ab, fused(x.a, y.b, fused(x.b, y.a, x.ab * y.value))),
            fused(x.value, y.bb, fused(twice(x.b), y.b, x.bb * y.value))};
}
LIBSEAL_LANE LaneDual operator*(Register x, const LaneDual& y) {
    return {x * y.value, x * y.a, x * y.b, x * y.aa, x * y.ab, x * y.bb};
}

/// f(x) by the chain rule, from the value and the two derivatives of f there.
LIBSEAL_LANE LaneDual chained(const LaneDual& x, Register f, Register first, Register second) {
    const Register to_a = second * x.a;
    return {f, first * x.a, first * x.b, fused(first, x.aa, to_a * x.a), fused(first, x.ab, to_a * x.b),
            fused(first, x.bb, second * x.b * x.b)};
}

LIBSEAL_LANE LaneDual exp_of(const LaneDual& x) {
    const Register e = exponential(x.value);
    return chained(x, e, e, e);
}
LIBSEAL_LANE LaneDual expm1_of(const LaneDual& x) {
    const Register e = exponential_less_one(x.value), slope = e + Register(1.0);
    return chained(x, e, slope, slope);
}
/// ln(1 - e^-x), x > 0
LIBSEAL_LANE LaneDual log1mexp(const LaneDual& x) {
    const ExponentialParts<Register> parts(-x.value);
    const Register one(1.0), e = fused(parts.power, parts.excess, parts.power);
    const Register q = -fused(parts.power, parts.excess, parts.power - one);  // 1 - e, with all its digits where it is small
    // Where e is small the digits that q lost count.
    const Register lost = either(q < Register(0.5), Register(0.0), (one - q) - e);
    const Register per = one / q, first = e * per;
    return chained(x, fused(lost, per, logarithm(q)), first, -(first * (one + first)));
}
/// ln(1 + e^x)
LIBSEAL_LANE LaneDual softplus(const LaneDual& x) {
    const Register one(1.0), e = exponential(-size_of(x.value)), per = one / (one + e);
    const Register first = either(Register(0.0) < x.value, per, e * per);
    return chained(x, larger(x.value, Register(0.0)) + logarithm_of_one_plus(e), first, e * per * per);
}

}  // namespace
}  // namespace libseal::kernel
