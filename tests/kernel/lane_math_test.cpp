#include "kernel/lane_math.hpp"

#include <cmath>
#include <limits>

#include "support/catch.hpp"
#include "support/units_off.hpp"

// The functions of the baseline; that all instruction sets give its bits is told by instruction_sets_test.cpp.

using namespace libseal::kernel;

using libseal_tests::first_lane;
using libseal_tests::worst_units;

TEST_CASE("exponentials of registers are within 1.1 units of the last place", "[kernel][law]") {
    const auto truth = [](long double x) { return std::exp(x); };
    const auto got = [](Register x) { return exponential(x); };
    const auto in_reach = [](Register x) { return exponential(x, InReach{}); };
    for (const double reach : {1e-12, 1e-3, 0.5, 10.0, 700.0}) {
        const auto draw = [&](double u) { return reach * (2 * u - 1); };
        INFO("reach " << reach);
        CHECK(worst_units(draw, got, truth) < 1.1);
        CHECK(worst_units(draw, in_reach, truth) < 1.1);
        CHECK(worst_units(draw, [](Register x) { return exponential_less_one(x); }, [](long double x) { return std::expm1(x); }) < 2.2);
    }
    CHECK(first_lane(exponential(Register(0.0))) == 1);
    CHECK(first_lane(exponential(Register(-1e9))) == first_lane(exponential(Register(lowest_exponent))));
    CHECK(first_lane(exponential(Register(1e9))) == first_lane(exponential(Register(highest_exponent))));
    CHECK(std::isnan(first_lane(exponential(Register(std::numeric_limits<double>::quiet_NaN())))));
}

TEST_CASE("logarithms of registers are within a unit of the last place", "[kernel][law]") {
    const auto truth = [](long double x) { return std::log(x); };
    const auto got = [](Register x) { return logarithm(x); };
    CHECK(worst_units([](double u) { return std::exp(700 * (2 * u - 1)); }, got, truth) < 1);
    CHECK(worst_units([](double u) { return 0.5 + 1.5 * u; }, got, truth) < 1);
    CHECK(worst_units([](double u) { return 1 + 1e-6 * (u - 0.5); }, got, truth) < 1);
    CHECK(worst_units([](double u) { return -0.999 + 2 * u; }, [](Register x) { return logarithm_of_one_plus(x); },
                [](long double x) { return std::log1p(x); }) < 2);
    CHECK(first_lane(logarithm(Register(1.0))) == 0);
}

TEST_CASE("angles of cosines are within two units of the last place", "[kernel][law]") {
    const auto truth = [](long double x) { return std::acos(x); };
    const auto got = [](Register x) { return arc_cosine(x); };
    CHECK(worst_units([](double u) { return 2 * u - 1; }, got, truth) < 2);
    CHECK(worst_units([](double u) { return 1 - 1e-9 * u; }, got, truth) < 2);
    CHECK(worst_units([](double u) { return -1 + 1e-9 * u; }, got, truth) < 2);
    CHECK(worst_units([](double u) { return 1e-9 * (u - 0.5); }, got, truth) < 2);
    CHECK(first_lane(arc_cosine(Register(1.0))) == 0);
    CHECK(first_lane(arc_cosine(Register(-1.0))) == pi);
    CHECK(first_lane(arc_cosine(Register(0.0))) == pi / 2);
}
