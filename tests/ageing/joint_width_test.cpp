#include "support/catch.hpp"

#include <limits>

#include "libseal/ageing/joint_width.hpp"
#include "libseal/coach/joint.hpp"
#include "libseal/core/error.hpp"
#include "support/published.hpp"

using namespace libseal;

namespace {

constexpr double per_c = 1e-6;

}  // namespace

TEST_CASE("a brick joint has the width of the published worked example", "[published]") {
    // Ochshorn, Cornell ARCH 262/562, fall 2005, assignment 3: inches, degF; brick 3.6e-6 /degF, 16 ft, 50 % sealant.
    const double summer = free_movement(3.6e-6, 192, 60), winter = free_movement(3.6e-6, 192, 75);
    const double moisture = 2 * 0.0002 * 192;
    // Printed .359 and .229; the author rounds each movement to .001 in and doubles, hence +-.004.
    CHECK(joint_width(summer, 0.50, moisture, 0.125) == Approx(0.359).margin(0.004));
    CHECK(joint_width(winter, 0.50, 0, 0.125) == Approx(0.229).margin(0.004));
    libseal_test::count_published("Ochshorn 2005", 2);
    CHECK(joint_width(summer, 0.50, moisture, 0.125) == Approx(0.361544).epsilon(1e-9));
    CHECK(joint_width(winter, 0.50, 0, 0.125) == Approx(0.22868).epsilon(1e-9));
}

TEST_CASE("joints of other years of the same course", "[reference]") {
    // Inputs of Cornell ARCH 262 2001, 2002 and 2004; widths by hand from the same equation.
    CHECK(joint_width(free_movement(3.6e-6, 300, 100), 0.25, 0.0002 * 300, 0.125) == Approx(0.797).epsilon(1e-9));
    CHECK(joint_width(free_movement(3.6e-6, 240, 95), 0.50, 0.125 + 0.0002 * 240, 0.125) == Approx(0.63516).epsilon(1e-9));
    CHECK(joint_width(free_movement(3.6e-6, 144, 90), 0.50, 0.125 + 0.0002 * 144, 0.1875) == Approx(0.588412).epsilon(1e-9));
}

TEST_CASE("aluminium grows as the handbook example says", "[published]") {
    // scgma.com: 240 in of aluminium, 0.000023 per degree, 80 degrees: 0.44 in, printed with two digits.
    CHECK(free_movement(23e-6, 240, 80) == Approx(0.44).margin(0.005));
    CHECK(free_movement(23e-6, 240, 80) == Approx(0.4416).epsilon(1e-9));
    libseal_test::count_published("sealant trade page", 1);
}

TEST_CASE("two parts move by the difference of what they grow", "[reference]") {
    // Arithmetic with handbook coefficients; movements in mm.
    CHECK(differential_movement(23.6 * per_c, 27.5 * per_c, 2400, 80) == Approx(0.7488).epsilon(1e-9));
    CHECK(differential_movement(75 * per_c, 23.6 * per_c, 1200, 60) == Approx(3.7008).epsilon(1e-9));
    CHECK(differential_movement(23.6 * per_c, 6.1 * per_c, 6000, 70) == Approx(7.35).epsilon(1e-9));
    CHECK(differential_movement(80 * per_c, 23.6 * per_c, 500, -70) == Approx(1.974).epsilon(1e-9));
    // Each at its own temperature, over its own length.
    CHECK(differential_movement(23.6 * per_c, 1000, 40, 28 * per_c, 1000, 10) == Approx(0.664).epsilon(1e-9));
    CHECK(differential_movement(23.6 * per_c, 1000, 40, 23.6 * per_c, 1000, 40) == 0);
}

TEST_CASE("sliding strains by the longer diagonal", "[reference]") {
    // Method: trade page on shear joints (Pythagoras); digits by arithmetic. Width 6 mm.
    CHECK(shear_strain(6, 2) == Approx(0.0540925534).epsilon(1e-9));
    CHECK(shear_strain(6, 3) == Approx(0.1180339887).epsilon(1e-9));
    CHECK(shear_strain(6, -6) == Approx(0.4142135624).epsilon(1e-9));
    CHECK(combined_strain(6, 1, 3) == Approx(0.2692955176).epsilon(1e-9));
    CHECK(fillet_strain(6, 1, 3) == combined_strain(6, 1, 3));
    CHECK(shear_allowance(0.25) == Approx(0.75).epsilon(1e-9));
    CHECK(shear_allowance(0.5) == Approx(1.1180339887).epsilon(1e-9));
    CHECK(shear_allowance(1.0) == Approx(1.7320508076).epsilon(1e-9));
}

TEST_CASE("the laws of strain agree with each other", "[law]") {
    for (const double x : {1e-9, 1e-4, 0.02, 0.3, 2.0}) {
        CHECK(shear_strain(2, 2 * shear_allowance(x)) == Approx(x).epsilon(1e-9));
        CHECK(combined_strain(1, 0, x) == Approx(shear_strain(1, x)).epsilon(1e-12));
        CHECK(combined_strain(1, x, 0) == Approx(butt_strain(1, x)).epsilon(1e-12));
        CHECK(combined_strain(1, x, x) > butt_strain(1, x));
    }
    CHECK(combined_strain(1, -0.5, 0) == Approx(-0.5));
}

TEST_CASE("a deep bead stretches more at its face than a shallow one", "[published]") {
    // Handbook of Adhesives and Sealants, p. 119: about 550 % and 160 % at 100 % extension; ratios 8 and 2 inferred; 1 %.
    CHECK(bead_surface_strain(8, 1) == Approx(5.50).epsilon(0.01));
    CHECK(bead_surface_strain(2, 1) == Approx(1.60).epsilon(0.01));
    libseal_test::count_published("Handbook of Adhesives and Sealants", 2);
    // Digits from an independent integration of the parabola's arc.
    CHECK(bead_surface_strain(8, 1) == Approx(5.4980591724).epsilon(1e-9));
    CHECK(bead_surface_strain(2, 1) == Approx(1.5992844493).epsilon(1e-9));
    CHECK(bead_surface_strain(1, 0) == 0);
    CHECK(bead_surface_strain(1, 1e-12) == Approx(0).margin(1e-11));
    CHECK(bead_surface_strain(0.5, 0.25) > 0.25);
}

TEST_CASE("a cartridge fills a square bead half as far as a fillet", "[published]") {
    // Volume formula of a trade page; 10.1 fl oz of 1.80469 cubic inches, 1/4 in beads, feet.
    const double inch = 0.0254, cubic_inches = 10.1 * 1.80469;
    const double square = bead_section_mm2({"strip", 0.25 * inch, 0.25 * inch}) / (25.4 * 25.4);
    const double fillet = bead_section_mm2({"fillet", 0, 0.25 * inch}) / (25.4 * 25.4);
    CHECK(cubic_inches / square / 12 == Approx(24.3031587).epsilon(1e-6));
    CHECK(cubic_inches / fillet / 12 == Approx(48.6063173).epsilon(1e-6));
    libseal_test::count_published("cartridge volume formula", 2);
}

TEST_CASE("the two ways to state what a sealant bears are not mixed", "[published]") {
    // engineeringcivil.com: 4 mm of movement and a factor of 30 % give 13.3 mm.
    CHECK(minimum_width(4, 0.30) == Approx(13.3).margin(0.05));
    CHECK(minimum_width(4, 0.30) == Approx(13.3333333).epsilon(1e-8));
    libseal_test::count_published("total movement factor example", 1);
    // The same joint, seen from the middle of its travel: width 13.33 + 2, amplitude 2.
    const double capability = capability_of_total_factor(0.30);
    CHECK(joint_width(2, capability) == Approx(13.3333333 + 2).epsilon(1e-8));
    CHECK(total_factor_of_capability(capability) == Approx(0.30).epsilon(1e-12));
    CHECK(joint_width(4, 0.30) == minimum_width(4, 0.30));
    CHECK(capability != Approx(0.30));
}

TEST_CASE("widths and strains refuse what makes no sense", "[bad_input]") {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    for (const double capability : {0.0, -0.1, 25.0, nan}) CHECK_THROWS_AS(joint_width(1, capability), ValueError);
    try {
        (void)joint_width(1, 25);
        FAIL("accepted");
    } catch (const ValueError& error) {
        CHECK(error.problems().front().field == "capability");
        CHECK(error.problems().front().hint == "write 0.25 for +-25 %");
    }
    CHECK_THROWS_AS(joint_width(-1, 0.25), ValueError);
    CHECK_THROWS_AS(joint_width(1, 0.25, -1), ValueError);
    CHECK_THROWS_AS(joint_width(1, 0.25, 0, nan), ValueError);
    CHECK_THROWS_AS(free_movement(nan, 1, 1), ValueError);
    CHECK_THROWS_AS(free_movement(1, -1, 1), ValueError);
    CHECK_THROWS_AS(differential_movement(1, 1, -1, 1), ValueError);
    CHECK_THROWS_AS(differential_movement(1, 1, 1, 1, -1, 1), ValueError);
    CHECK_THROWS_AS(butt_strain(0, 1), ValueError);
    CHECK_THROWS_AS(shear_strain(-1, 1), ValueError);
    CHECK_THROWS_AS(combined_strain(1, -1, 0), ValueError);
    CHECK_THROWS_AS(shear_allowance(-0.1), ValueError);
    CHECK_THROWS_AS(fillet_strain(0, 1), ValueError);
    CHECK_THROWS_AS(bead_surface_strain(0, 1), ValueError);
    CHECK_THROWS_AS(bead_surface_strain(1, -1), ValueError);
    CHECK_THROWS_AS(minimum_width(1, 0), ValueError);
    CHECK_THROWS_AS(capability_of_total_factor(0), ValueError);
    CHECK_THROWS_AS(total_factor_of_capability(1), ValueError);
}
