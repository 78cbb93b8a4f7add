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

TEST_CASE("sections of all profiles are those that makers print", "[work][published]") {
    const Catalogue c = Catalogue::built_in();
    const auto section = [&](const char* profile, double a, double b = 0) { return profile_section_mm2(profile, a, b, c); };
    // Sealant makers' calculators: triangle 10 x 5 mm takes 25 mL/m, half round of 10 mm 39.3 mL/m.
    CHECK(section("fillet", 10, 5) == Approx(25).margin(1e-12).epsilon(0));
    CHECK(section("half_round", 10) == Approx(39.3).margin(0.05).epsilon(0));
    CHECK(section("full_round", 10) == Approx(78.5).margin(0.05).epsilon(0));
    CHECK(section("rectangle", 6.35, 6.35) == Approx(40.3).margin(0.05).epsilon(0));
    CHECK(section("strip", 38, 6) == Approx(228).margin(1e-12).epsilon(0));
    CHECK(section("hour_glass", 10, 10) == Approx(85).margin(1e-9).epsilon(0));
    // Maker's sheet: a 300 mL cartridge gives about 12 ft (3.7 m) of 10 mm round bead; computed 3.82, within 3 in a hundred.
    CHECK(yield_m(300, section("full_round", 10)) == Approx(3.82).margin(0.005).epsilon(0));
    CHECK(std::abs(yield_m(300, section("full_round", 10)) / 3.7 - 1) < 0.033);
    // 10.1 and 10.3 US fl oz.
    CHECK(10.1 * 29.5735295625 == Approx(298.7).margin(0.05).epsilon(0));
    CHECK(10.3 * 29.5735295625 == Approx(304.6).margin(0.05).epsilon(0));
    CHECK(c.number("take_off/cartridge_ml") == Approx(298.7).margin(0.05).epsilon(0));
    libseal_test::count_published("Sealant makers' calculators and data sheets, mL per metre", 5);
    CHECK_THROWS_AS(section("round", 10), ValueError);
    CHECK_THROWS_AS(section("fillet", -1, 5), ValueError);
}

TEST_CASE("yields of a 300 mL cartridge, with and without waste", "[work]") {
    // Table of this project's notes (computed): mm2, metres, metres after a tenth of waste.
    const double rows[][3] = {{40.3225, 7.44, 6.76}, {60.484, 4.96, 4.51}, {80.645, 3.72, 3.38}, {120.97, 2.48, 2.25}, {12.5, 24.0, 21.8},
                              {18.0, 16.7, 15.2},    {32.0, 9.38, 8.52},   {150, 2.00, 1.82},    {228, 1.32, 1.20}};
    for (const auto& row : rows) {
        const double digit = row[1] >= 10 ? 0.05 : 0.0051;
        CHECK(yield_m(300, row[0]) == Approx(row[1]).margin(digit).epsilon(0));
        CHECK(yield_m(300, row[0], 10) == Approx(row[2]).margin(digit).epsilon(0));
    }
}

TEST_CASE("a printed yield that volume does not bear out is refused, row by row", "[work][published]") {
    const Catalogue c = Catalogue::built_in();
    // The web chart's rows for a 10.1 oz cartridge [in x in, ft]; a maker's rule gives the second number.
    const double rows[][4] = {{0.25, 0.25, 50, 24.3}, {0.375, 0.25, 33, 16.2}, {0.5, 0.25, 25, 12.2}, {0.75, 0.5, 9, 4.05}};
    for (const auto& row : rows) {
        const double section = row[0] * row[1] * 645.16;
        CHECK_THROWS_AS(check_yield(row[2] * foot, cartridge_ml, section, c), ValueError);
        CHECK_NOTHROW(check_yield(row[3] * foot, cartridge_ml, section, c));
        CHECK(yield_m(cartridge_ml, section) / foot == Approx(row[3]).margin(row[3] > 10 ? 0.08 : 0.02).epsilon(0));
    }
    libseal_test::count_published("Sealant maker's rule against a web chart", 4);
}

TEST_CASE("the take-off of a 9.1 m coach is met item by item", "[work]") {
    // Worked take-off of the notes: metres, mL/m, mL.
    const double items[][3] = {{4.88, 228, 1113}, {5.49, 228, 1252}, {2.74, 228, 625}, {0.94, 228, 214}, {1.82, 228, 415}, {1.10, 228, 251},
                               {0.50, 228, 114},  {18.2, 18, 328},   {18.4, 12.5, 230}, {9.4, 12.5, 118}, {8.2, 12.5, 103}, {3.7, 12.5, 46},
                               {6.7, 12.5, 84},   {7.7, 12.5, 96},   {18.2, 12.5, 228}};
    const Bead beads[] = {{"strip", 0.038, 0.006}, {"fillet", 0, 0.006}, {"fillet", 0, 0.005}};
    double level = 0, upright = 0;
    for (const auto& item : items) {
        const Bead& bead = beads[item[1] > 200 ? 0 : item[1] > 15 ? 1 : 2];
        // The notes round lengths to a centimetre (228 mL/m: 1.1 mL) before they multiply.
        CHECK(bead_volume_ml(bead, item[0]) == Approx(item[2]).margin(0.5 + 0.005 * item[1]).epsilon(0));
        (item[1] > 200 ? level : upright) += item[2];
    }
    CHECK(level == Approx(3983).margin(1.01).epsilon(0));  // its items add up to 3984
    CHECK(upright == Approx(1231).margin(2.01).epsilon(0));  // and to 1233
}

TEST_CASE("a bead that loses solvent is laid twice as thick as it shall stay", "[work]") {
    // Lap sealant data sheet: 37 to 45 % of its weight goes; the notes compute 40 to 55 % of the volume left.
    const Sealant lap = sealant(Catalogue::built_in(), "self_levelling_lap");
    CHECK(lap.cured_share >= 0.40);
    CHECK(lap.cured_share <= 0.55);
    CHECK(wet_amount(3, lap) >= 6);
    CHECK(cured_amount(wet_amount(3, lap), lap) == Approx(3).margin(1e-12).epsilon(0));
}

TEST_CASE("tape, inserts, screws and covers are ordered with their overlaps and spares", "[work]") {
    const Catalogue c = Catalogue::built_in();
    // Five vents of 18 in take a 30 ft roll without overlap (printed by a maker of vents).
    CHECK(5 * 4 * 18 * inch == Approx(30 * foot).margin(1e-12).epsilon(0));
    CHECK(tape_length(1.83, c) == Approx((1.83 + 0.025) * 1.075).margin(1e-12).epsilon(0));
    CHECK(insert_length(9.0, c) == Approx(9.0 * 1.015 + 0.03).margin(1e-12).epsilon(0));
    CHECK(cover_tape_length(2.0, 15.2, c) == Approx(2.1).margin(1e-12).epsilon(0));
    CHECK(cover_tape_length(15.1, 15.2, c) == Approx(15.2).margin(1e-12).epsilon(0));
    CHECK(cover_tape_length(20, 15.2, c) == Approx(20.15).margin(1e-12).epsilon(0));
    CHECK(cover_tape_length(40, 15.2, c) == Approx(40.2).margin(1e-12).epsilon(0));
    CHECK(screws_to_order(1.0, 0.125, c) == 10);  // nine and a tenth
    CHECK(screws_to_order(9.1, 0.125, c) == 81);  // 73 and a tenth
    for (const double none : {tape_length(0, c), insert_length(0, c), cover_tape_length(0, 15, c), static_cast<double>(screws_to_order(0, 0.1, c))})
        CHECK(none == 0);
    CHECK_THROWS_AS(screws_to_order(1, 0, c), ValueError);
    CHECK_THROWS_AS(cover_tape_length(1, 0.04, c), ValueError);
}

TEST_CASE("cure takes the days that makers print", "[work][published]") {
    const Catalogue c = Catalogue::built_in();
    // Polyurethane roof grade: about 7 days for a bead 6.35 mm thick.
    CHECK(cure_minutes(sealant(c, "polyurethane").cure_rate, 6.35, 23) / 1440 == Approx(7).margin(0.5).epsilon(0));
    // Crack sealant: more than 3 mm in 24 h, so k of at least 3.0; hybrids and silicone have it here.
    CHECK(cure_minutes(3.0, 3.0, 23) / 1440 == Approx(1).margin(1e-9).epsilon(0));
    CHECK(cure_minutes(sealant(c, "silyl_modified").cure_rate, 3.0, 23) <= 1440);
    // Hybrid at -10 degC: 3.5 mm in 7 days by one maker, k 1.32; the temperature factor gives 1.19 from 3.0, a tenth less and so later.
    const double cold = cure_minutes(3.0, 3.5, -10) / 1440;
    CHECK(cold == Approx(7).margin(2).epsilon(0));
    // A third of the normal rate at -7 degC by one guide: the model gives .19; it errs on the late side there.
    CHECK(cure_minutes(3.0, 3, 23) / cure_minutes(3.0, 3, -7) < 1.0 / 3);
    // Below -12 degC it stops.
    CHECK_THROWS_AS(cure_minutes(3.0, 3, -12.1), ValueError);
    libseal_test::count_published("Sealant makers' cure times", 3);
}
