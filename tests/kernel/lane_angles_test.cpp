#include "kernel/lane_angles.hpp"

#include <cmath>

#include "support/catch.hpp"
#include "support/units_off.hpp"

// The functions of the baseline; that all instruction sets give its bits is told by instruction_sets_test.cpp.

using namespace libseal::kernel;
using libseal_tests::first_lane;
using libseal_tests::units_off;
using libseal_tests::worst_units;

TEST_CASE("sines and cosines of registers are within 1.5 units of the last place", "[kernel][law]") {
    const auto sine = [](Register x) { return SineCosine<Register>(x).sine; };
    const auto cosine = [](Register x) { return SineCosine<Register>(x).cosine; };
    for (const double reach : {1e-9, 0.7, 10.0, 1e4, 1e6}) {
        INFO("reach " << reach);
        const auto draw = [&](double u) { return reach * (2 * u - 1); };
        CHECK(worst_units(draw, sine, [](long double x) { return std::sin(x); }) < 1.5);
        CHECK(worst_units(draw, cosine, [](long double x) { return std::cos(x); }) < 1.5);
    }
    CHECK(first_lane(sine(Register(0.0))) == 0);
    CHECK(first_lane(cosine(Register(0.0))) == 1);
    CHECK(std::isnan(first_lane(sine(Register(std::nan(""))))));
}

TEST_CASE("sines beside whole quarter turns lose no more than a quarter turn has digits", "[kernel][law]") {
    for (int quarters = 1; quarters < 4000; quarters += 7) {
        const double near = quarters * 1.5707963267948966;  // the double nearest to it, not the angle itself
        const SineCosine<Register> got{Register(near)};
        const double limit = quarters * 1.5e-33;  // of what two doubles leave of pi/2, twice
        INFO(quarters << " quarter turns");
        const auto check = [&](double value, long double truth) {
            CHECK(std::fabs(static_cast<long double>(value) - truth) < limit + 1.5 * 2.3e-16 * std::fabs(static_cast<double>(truth)));
        };
        check(first_lane(got.sine), std::sin(static_cast<long double>(near)));
        check(first_lane(got.cosine), std::cos(static_cast<long double>(near)));
    }
}

TEST_CASE("angles of vectors are within three units of the last place in all directions", "[kernel][law]") {
    constexpr long double turn = 6.283185307179586476925286766559L;
    for (const double length : {1e-200, 1.0, 1e100}) {
        INFO("length " << length);
        double worst = 0;
        for (int i = 0; i < 20011; ++i) {
            const long double a = turn * (i - 10005) / 20011;
            const double x = static_cast<double>(length * std::cos(a)), y = static_cast<double>(length * std::sin(a));
            const long double truth = std::atan2(static_cast<long double>(y), static_cast<long double>(x));
            worst = std::max(worst, units_off(first_lane(angle_of(Register(y), Register(x))), truth));
        }
        CHECK(worst < 3);
    }
    CHECK(first_lane(angle_of(Register(0.0), Register(1.0))) == 0);
    CHECK(first_lane(angle_of(Register(1.0), Register(0.0))) == pi / 2);
    CHECK(first_lane(angle_of(Register(-1.0), Register(0.0))) == -pi / 2);
    CHECK(first_lane(angle_of(Register(0.0), Register(-1.0))) == pi);
    CHECK(first_lane(angle_of(Register(0.0), Register(0.0))) == 0);
}

TEST_CASE("powers of registers lose no more than their exponent is large", "[kernel][law]") {
    // The logarithm is rounded once: exponent * ln x of that relative error in the power.
    for (const double exponent : {-1.6364, -0.243, 0.75, 1.285, 20.0}) {
        INFO("exponent " << exponent);
        const double limit = 2 + 2 * std::fabs(exponent) * std::log(1e3);
        CHECK(worst_units([](double u) { return std::pow(10, 6 * u - 3); }, [&](Register x) { return power(x, exponent); },
                          [&](long double x) { return std::pow(x, static_cast<long double>(exponent)); }) < limit);
    }
}
