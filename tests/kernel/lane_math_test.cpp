#include "kernel/lane_math.hpp"

#include <cmath>
#include <limits>

#include "libseal/core/random.hpp"
#include "support/catch.hpp"

// The functions of the baseline; that all instruction sets give its bits is told by instruction_sets_test.cpp.

using namespace libseal::kernel;

namespace {

constexpr int draws = 200000;

double first(Register value) {
    double lanes[Register::width];
    value.store(lanes);
    return lanes[0];
}

/// Distance from the truth in units of the last place of the rounded truth.
double units_off(double got, long double truth) {
    const double near = static_cast<double>(truth);
    const double unit = std::nextafter(std::fabs(near), std::numeric_limits<double>::infinity()) - std::fabs(near);
    return static_cast<double>(std::fabs(static_cast<long double>(got) - truth) / static_cast<long double>(unit));
}

/// Largest distance of a function from the truth over draws of x.
template <class Draw, class Got, class Truth>
double worst(Draw draw, Got got, Truth truth) {
    libseal::RandomStream random(11);
    double most = 0;
    for (int i = 0; i < draws; ++i) {
        const double x = draw(random.uniform());
        most = std::max(most, units_off(first(got(Register(x))), truth(static_cast<long double>(x))));
    }
    return most;
}

}  // namespace

TEST_CASE("exponentials of registers are within 1.1 units of the last place", "[kernel][law]") {
    const auto truth = [](long double x) { return std::exp(x); };
    const auto got = [](Register x) { return exponential(x); };
    const auto in_reach = [](Register x) { return exponential(x, InReach{}); };
    for (const double reach : {1e-12, 1e-3, 0.5, 10.0, 700.0}) {
        const auto draw = [&](double u) { return reach * (2 * u - 1); };
        INFO("reach " << reach);
        CHECK(worst(draw, got, truth) < 1.1);
        CHECK(worst(draw, in_reach, truth) < 1.1);
        CHECK(worst(draw, [](Register x) { return exponential_less_one(x); }, [](long double x) { return std::expm1(x); }) < 2.2);
    }
    CHECK(first(exponential(Register(0.0))) == 1);
    CHECK(first(exponential(Register(-1e9))) == first(exponential(Register(lowest_exponent))));
    CHECK(first(exponential(Register(1e9))) == first(exponential(Register(highest_exponent))));
    CHECK(std::isnan(first(exponential(Register(std::numeric_limits<double>::quiet_NaN())))));
}

TEST_CASE("logarithms of registers are within a unit of the last place", "[kernel][law]") {
    const auto truth = [](long double x) { return std::log(x); };
    const auto got = [](Register x) { return logarithm(x); };
    CHECK(worst([](double u) { return std::exp(700 * (2 * u - 1)); }, got, truth) < 1);
    CHECK(worst([](double u) { return 0.5 + 1.5 * u; }, got, truth) < 1);
    CHECK(worst([](double u) { return 1 + 1e-6 * (u - 0.5); }, got, truth) < 1);
    CHECK(worst([](double u) { return -0.999 + 2 * u; }, [](Register x) { return logarithm_of_one_plus(x); },
                [](long double x) { return std::log1p(x); }) < 2);
    CHECK(first(logarithm(Register(1.0))) == 0);
}

TEST_CASE("angles of cosines are within two units of the last place", "[kernel][law]") {
    const auto truth = [](long double x) { return std::acos(x); };
    const auto got = [](Register x) { return arc_cosine(x); };
    CHECK(worst([](double u) { return 2 * u - 1; }, got, truth) < 2);
    CHECK(worst([](double u) { return 1 - 1e-9 * u; }, got, truth) < 2);
    CHECK(worst([](double u) { return -1 + 1e-9 * u; }, got, truth) < 2);
    CHECK(worst([](double u) { return 1e-9 * (u - 0.5); }, got, truth) < 2);
    CHECK(first(arc_cosine(Register(1.0))) == 0);
    CHECK(first(arc_cosine(Register(-1.0))) == pi);
    CHECK(first(arc_cosine(Register(0.0))) == pi / 2);
}
