#include "libseal/work/take_off.hpp"

#include <cmath>

#include "libseal/core/error.hpp"
#include "support/catch.hpp"
#include "support/published.hpp"

using namespace libseal;

namespace {

constexpr double gallon_ml = 3785.411784;  // 231 in3, exact
constexpr double cartridge_ml = 298.7;     // 10.1 US fl oz
constexpr double inch = 0.0254, foot = 0.3048;

/// Feet of bead from a volume.
double yield_ft(double volume_ml, const Bead& bead) { return volume_ml / bead_volume_ml(bead, 1.0) / foot; }

Bead strip(double width_in, double thickness_in) { return {"strip", width_in * inch, thickness_in * inch}; }
Bead fillet(double leg_in) { return {"fillet", 0, leg_in * inch}; }

}  // namespace

TEST_CASE("a gallon of sealant gives the feet of joint that a sealant maker prints", "[work][published]") {
    // Sealant maker's coverage sheet: feet per US gallon. Half a foot, the last digit.
    CHECK(yield_ft(gallon_ml, strip(0.25, 0.25)) == Approx(308).margin(0.5));
    CHECK(yield_ft(gallon_ml, strip(0.375, 0.25)) == Approx(205).margin(0.5));
    CHECK(yield_ft(gallon_ml, strip(0.5, 0.25)) == Approx(154).margin(0.5));
    CHECK(yield_ft(gallon_ml, fillet(0.25)) == Approx(616).margin(0.5));
    CHECK(yield_ft(gallon_ml, fillet(0.5)) == Approx(154).margin(0.5));
    CHECK(yield_ft(gallon_ml, fillet(0.75)) == Approx(68).margin(0.5));
    libseal_test::count_published("Sealant maker's coverage sheet, feet per gallon", 6);
}

TEST_CASE("a cartridge gives 24 ft of quarter-inch joint, not the 50 ft of a wrong chart",
          "[work][published]") {
    // Sealant maker's rule: yield in feet = 18 / (12 x area in square inches).
    const double feet = yield_ft(cartridge_ml, strip(0.25, 0.25));
    CHECK(feet == Approx(24).margin(0.5));
    // A chart on the web prints 50 to 55 ft for the same; computation must not agree with it.
    CHECK(feet < 50 / 1.9);
    libseal_test::count_published("Sealant maker's rule, feet per 10.1 oz cartridge", 1);
}

TEST_CASE("the printed take-off of a 9.1 m coach is met in volume and tubes", "[work]") {
    // Worked take-off in this project's notes (computed for the project, so it tests the arithmetic): lengths
    // by item, mL/m by bead.
    const Bead lap{"strip", 0.038, 0.006}, edge{"fillet", 0, 0.006}, wall{"fillet", 0, 0.005};
    double level = 0, upright = 0;
    for (const double metres : {4.88, 5.49, 2.74, 0.94, 1.82, 1.10, 0.50})
        level += bead_volume_ml(lap, metres);
    upright += bead_volume_ml(edge, 18.2);
    for (const double metres : {18.4, 9.4, 8.2, 3.7, 6.7, 7.7, 18.2}) upright += bead_volume_ml(wall, metres);
    // The printed totals are sums of items rounded to a millilitre: seven and eight items, half a millilitre
    // each.
    CHECK(level == Approx(3983).margin(3.5));
    CHECK(upright == Approx(1231).margin(4));
    CHECK(packages_for(level, 300, 10) == 15);
    CHECK(packages_for(level, 300, 15) == 16);
    CHECK(packages_for(upright, 300, 10) == 5);
    CHECK(packages_for(upright, 300, 15) == 5);
}

TEST_CASE("a bead of 6 mm cures through in the days of the square-root law", "[work]") {
    // 6 mm in 4.0 d at k = 3.0 and 6.2 d at k = 2.4 (model of the notes; k from a maker's 3 mm in 24 h
    // and 6.35 mm in 7 d).
    CHECK(cure_minutes(3.0, 6, 23) / 1440 == Approx(4.0).margin(0.05));
    CHECK(cure_minutes(2.4, 6, 23) / 1440 == Approx(6.2).margin(0.06));  // 6.25, printed as 6.2
    CHECK(cure_minutes(2.4, 6.35, 23) / 1440 == Approx(7.0).margin(0.05));
    CHECK(cure_minutes(3.0, 6, 13) / cure_minutes(3.0, 6, 23) == Approx(1.75));
    CHECK(cure_depth_mm({"fillet", 0, 0.005}) == Approx(5 / std::sqrt(2.0)));
    CHECK(cure_depth_mm({"strip", 0.038, 0.006}) == Approx(6));
    CHECK(cure_depth_mm({"", 0, 0.006}) == 0);
}

TEST_CASE("packages are whole, and no more than needed", "[work][law]") {
    const double amount = GENERATE(0.001, 1.0, 272.72, 272.73, 300.0, 3983.0);
    const double waste = GENERATE(0.0, 10.0, 15.0);
    const int n = packages_for(amount, 300, waste);
    CHECK(n * 300 >= amount * (1 + waste / 100) - 1e-6);
    CHECK((n - 1) * 300 < amount * (1 + waste / 100));
    CHECK(packages_for(0, 300, waste) == 0);
    CHECK(packages_for(3000, 300, 0) == 10);
}

TEST_CASE("amounts that make no sense are refused", "[work][bad_input]") {
    CHECK_THROWS_AS(packages_for(-1, 300, 10), ValueError);
    CHECK_THROWS_AS(packages_for(1, 0, 10), ValueError);
    CHECK_THROWS_AS(packages_for(std::nan(""), 300, 10), ValueError);
    CHECK_THROWS_AS(bead_volume_ml({"fillet", 0, 0.005}, -1), ValueError);
    CHECK_THROWS_AS(cure_minutes(0, 5, 20), ValueError);
    CHECK_THROWS_AS(cure_minutes(3, 5, -20), ValueError);
}
