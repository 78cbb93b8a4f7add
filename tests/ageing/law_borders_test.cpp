// Laws of ageing and movement at the borders of what they take: nothing yet, never, and the colder side.

#include "support/catch.hpp"

#include <cmath>
#include <limits>
#include <vector>

#include "ageing/swings.hpp"
#include "libseal/ageing/dose.hpp"
#include "libseal/ageing/laws.hpp"
#include "libseal/ageing/movement.hpp"
#include "libseal/ageing/rainflow.hpp"
#include "libseal/catalogue/joint_type.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/core/error.hpp"

using namespace libseal;

namespace {

constexpr double never = std::numeric_limits<double>::infinity();

Column column(const std::vector<double>& v) { return Eigen::Map<const Column>(v.data(), static_cast<Eigen::Index>(v.size())); }

}  // namespace

TEST_CASE("what nothing drives never comes, and nothing takes no time", "[law]") {
    const SqueezeLaw squeeze = squeeze_law(Catalogue::built_in());
    CHECK(squeeze_time(squeeze, 0, 0.1) == never);
    CHECK(squeeze_time(squeeze, 0, 0) == 0);
    CHECK(squeeze_time(squeeze, 3, 0) == 0);
    const CrackLaw silicone{};  // a family that does not crack
    CHECK(crack_age(silicone, 6, 10) == never);
    CHECK(crack_age(silicone, 0, 10) == 0);
    const ShrinkLaw shrink{0.02, 0.1, 60};
    CHECK(shrink_time(shrink, 0) == 0);
    CHECK(shrink_time(shrink, 0.02) == never);
    CHECK(shrink_time(shrink, 1) == never);
    // A joint that does not move multiplies no cracks, even where the exponent would make one of nothing: 0^0 = 1.
    CHECK(crack_multiplier({1, 1, 2, 0, false}, 0) == 1);
    CHECK(crack_multiplier({1, 1, 2, 0, false}, 1) == 3);
    // 1 of age at rate 1 with q = 0.5: an even mixture of 1 - 1/e and 1 - 1/e.
    CHECK(failure_probability({0.5, 1, 1, 1}, 1, 1) == Approx(1 - std::exp(-1.0)).epsilon(1e-14));
}

TEST_CASE("dry air stops what damp drives and nothing else", "[law]") {
    // A life in damp heat: without an exponent the air does not matter, with one perfectly dry air never ends it.
    CHECK(hydrolysis_life(10, 80, 60, 0, 0) == hydrolysis_life(10, 80, 60, 90, 0));
    CHECK(hydrolysis_life(10, 80, 60, 0, 2) == never);
    // Half the humidity with exponent 2 lasts four times as long.
    CHECK(hydrolysis_life(10, 80, 60, 40, 2) == Approx(4 * hydrolysis_life(10, 80, 60, 80, 2)).epsilon(1e-12));
    BondLaw bond = bond_law(Catalogue::built_in());
    bond.humidity_exponent = 1;
    CHECK(bond_speed(bond, 25, 0) == 0);
    bond.humidity_exponent = 0;
    CHECK(bond_speed(bond, 25, 0) == bond_speed(bond, 25, 100));
}

TEST_CASE("an energy is told from either side of its reference", "[law][bad_input]") {
    for (const double energy : {0.0, 35.0, 90.0}) {
        CHECK(acceleration_energy(acceleration(energy, 40, 10), 40, 10) == Approx(energy).margin(1e-12));
        CHECK(acceleration_energy(acceleration(energy, 10, 40), 10, 40) == Approx(energy).margin(1e-12));
    }
    CHECK_THROWS_WITH(acceleration_energy(2, 40, 10), "factor: expected a factor <= 1 towards the colder end, got 2");
    CHECK_THROWS_WITH(acceleration_energy(0.5, 10, 40), "factor: expected a factor >= 1 towards the warmer end, got 0.5");
}

TEST_CASE("a reading before any dose takes part in the fit, and no reading has no error", "[law][bad_input]") {
    // Synthetic: readings made by the curve that is wanted back.
    const DamageCurve made{5, 2, 1.5};
    const Column dose = column({0, 0.5, 1, 2, 3, 5, 9});
    const Column read = dose.unaryExpr([&](double d) { return damage(made, d); });
    CHECK(read[0] == 0);
    const DamageFit fit = fit_damage(dose, read, {3, 3, 1});
    CHECK(fit.converged);
    CHECK(fit.curve.limit == Approx(5).epsilon(1e-6));
    CHECK(fit.curve.scale == Approx(2).epsilon(1e-6));
    CHECK(fit.curve.shape == Approx(1.5).epsilon(1e-6));
    CHECK_THROWS_WITH(damage_error(made, Column(0), Column(0)), "dose: expected at least one reading, got none");
    Column endless = dose;
    endless[6] = never;
    CHECK_THROWS_WITH(damage_error(made, endless, read), Catch::Matchers::StartsWith("dose[6]: expected a finite number >= 0, got"));
    CHECK_THROWS_WITH(fit_damage(Column::Zero(4), Column::Ones(4), made), "dose: expected a reading with dose > 0, got only 0");
}

TEST_CASE("what is held at one point does not move, what rests does not swing", "[law]") {
    const Column swing = column({0, 1, -1, 1, 0});
    const StrainSummary held = detail::Swings(swing).strain("strip", 0, 2);
    CHECK(held.amplitude == 0);
    CHECK(held.largest == 0);
    CHECK(held.cycles == 0);
    // The same by its joint: parts of no length.
    const JointMovement point{"strip", 0.01, {20e-6, 0, 0.3, 0.9}, {5e-6, 0, 0.3, 0.9}, 0};
    const StrainSummary none = strain_summary(point, 20 * swing, 10 * swing, 20, Corner::side, 2);
    CHECK(none.amplitude == 0);
    CHECK(none.cycles == 0);
    // A year at one temperature: strained from the set position, without an amplitude.
    const StrainSummary rest = strain_summary("butt", Column::Constant(8760, -0.2), 0.3);
    CHECK(rest.amplitude == 0);
    CHECK(rest.cycles == 0);
    CHECK(rest.largest == Approx(0.2));
    CHECK(range_moment(rainflow(Column::Constant(5, 1.0)), 3) == 0);
    CHECK_THROWS_AS(strain_summary("butt", column({0, never, 1}), 0.3), ValueError);
}

TEST_CASE("limits of amplitude are a range, and a bead without a width bears nothing", "[bad_input]") {
    CHECK_THROWS_AS(movement_factor(1, 1, 1, 0.1, 0.1, 0.02, never), ValueError);
    CHECK(movement_factor(1, 1, 1, 0.1, 0.3, 0.2, 0.2) == 1);  // one amplitude only is covered: both are taken as that
    // By hand: (1 + 0.5 * 20)/(1 + 0.5 * 10) with b = 1, d = 1.
    CHECK(movement_factor(1, 0.5, 1, 0.2, 0.1, 0.02, 0.3) == Approx(11.0 / 6).epsilon(1e-13));
    const Catalogue catalogue = Catalogue::built_in();
    const Coach coach = travel_trailer(7.5);
    for (const Joint& joint : coach.joints) {
        if (joint.bead.profile.empty()) continue;
        Joint flat = joint;
        (flat.bead.profile == "strip" ? flat.bead.width : flat.bead.thickness) = 0;
        MovementOptions cap;
        cap.layer = "cap_bead";
        CHECK_THROWS_WITH(movement_of_joint(coach, flat, catalogue, cap), Catch::Matchers::Contains("a layer with a width"));
        return;
    }
    FAIL("the coach has a bead");
}
