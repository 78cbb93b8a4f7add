// What any law of ageing must keep, whatever its constants.
#include <cmath>
#include <limits>

#include "libseal/ageing/laws.hpp"
#include "libseal/core/error.hpp"
#include "support/built_in.hpp"
#include "support/catch.hpp"

using namespace libseal;
using libseal_test::catalogue;

TEST_CASE("cracks, set, gaps and squeeze-out never heal, and never start before there is age", "[law]") {
    const SetLaw set = set_law(catalogue(), "epdm_gasket");
    const ShrinkLaw shrink = shrink_law(catalogue(), "pvc_insert");
    const SqueezeLaw squeeze = squeeze_law(catalogue());
    double last_set = 0, last_gap = 0, last_squeeze = 0;
    CHECK(compression_set(set, 0) == 0);
    CHECK(shrinkage_gap(shrink, 2400, 0) == 0);
    CHECK(squeeze_out(squeeze, 20, 0) == 0);
    for (double t = 0.01; t < 1e4; t *= 1.3) {
        CHECK(compression_set(set, t) > last_set);
        CHECK(shrinkage_gap(shrink, 2400, t) >= last_gap);
        CHECK(squeeze_out(squeeze, 20, t) > last_squeeze);
        last_set = compression_set(set, t);
        last_gap = shrinkage_gap(shrink, 2400, t);
        last_squeeze = squeeze_out(squeeze, 20, t);
        CHECK(last_set <= 1);
        CHECK(last_gap <= 2400 * shrink.final_share);
        CHECK(last_squeeze < 1);
    }
    for (const auto& name : crack_law_names(catalogue())) {
        const CrackLaw law = crack_law(catalogue(), name);
        INFO(name);
        CHECK(crack_rating(law, 0, 10) == 0);
        double last = 0;
        for (double t = 0.01; t < 1e4; t *= 1.5) {
            const double here = crack_rating(law, t, 10);
            CHECK(here >= last);
            CHECK(here <= 25);
            CHECK(here <= crack_rating_published(law, t, 10) + 1e-12);
            CHECK(crack_rating(law, t, 20) >= here);
            last = here;
        }
    }
}

TEST_CASE("bond, capability and soundness start whole and never come back", "[law]") {
    const BondLaw bond = bond_law(catalogue());
    const FailureLaw failure{0.05, 1.5, 11.252, 1.9};
    CHECK(bond_share(bond, 0) == 1);
    CHECK(capability_share(0, 6) == 1);
    CHECK(failure_probability(failure, 0, 0) == 0);
    double last_bond = 1, last_capability = 1, last_failed = 0;
    for (double t = 0.01; t < 1e4; t *= 1.3) {
        CHECK(bond_share(bond, t) < last_bond);
        CHECK(capability_share(t, 6) <= last_capability);
        CHECK(failure_probability(failure, t, t) >= last_failed);
        last_bond = bond_share(bond, t);
        last_capability = capability_share(t, 6);
        last_failed = failure_probability(failure, t, t);
        CHECK(last_failed <= 1);
    }
    CHECK(remaining_capability(0.25, 6, 6) == Approx(0.25 / std::exp(1.0)).epsilon(1e-12));
    CHECK(capability_decay_time(catalogue(), 5) == Approx(6).epsilon(1e-12));
}

TEST_CASE("each inverse undoes its law", "[law]") {
    const auto t = GENERATE(0.003, 0.7, 4.0, 31.0);
    const SetLaw set = set_law(catalogue(), "foam_tape");
    CHECK(set_time(set, compression_set(set, t)) == Approx(t).epsilon(1e-9));
    const ShrinkLaw shrink = shrink_law(catalogue(), "pvc_insert");
    CHECK(shrink_time(shrink, shrinkage(shrink, t)) == Approx(t).epsilon(1e-9));
    CHECK(shrink_gap_time(shrink, 2400, shrinkage_gap(shrink, 2400, t)) == Approx(t).epsilon(1e-9));
    const BondLaw bond = bond_law(catalogue(), "adhesive_c");
    CHECK(bond_time(bond, bond_share(bond, t)) == Approx(t).epsilon(1e-9));
    const SqueezeLaw squeeze = squeeze_law(catalogue());
    CHECK(squeeze_time(squeeze, 20, squeeze_out(squeeze, 20, t)) == Approx(t).epsilon(1e-9));
    const CrackLaw crack = crack_law(catalogue(), "polysulfide");
    CHECK(crack_age(crack, crack_rating(crack, t, 12), 12) == Approx(t).epsilon(1e-9));
    CHECK(acceleration_energy(acceleration(64, 10, 10 + t), 10, 10 + t) == Approx(64).epsilon(1e-9));
    CHECK(std::isinf(shrink_time(shrink, shrink.final_share)));
    CHECK(std::isinf(squeeze_time(squeeze, 0, 0.1)));
}

TEST_CASE("a constant climate gives the product of speed and time, and halves of it add up", "[law]") {
    const auto steps = GENERATE(1, 10, 365);
    const Column warm = Column::Constant(steps, 47.0), damp = Column::Constant(steps, 83.0);
    const double step = 2.0 / steps;
    CHECK(equivalent_time(75, warm, step)[steps - 1] == Approx(2 * acceleration(75, 25, 47)).epsilon(1e-12));
    const BondLaw bond = bond_law(catalogue());
    CHECK(bond_equivalent_time(bond, warm, damp, step)[steps - 1] == Approx(2 * bond_speed(bond, 47, 83)).epsilon(1e-12));
    // One hot and one cold year in either order do the same.
    const Column there = (Column(2) << 60, 5).finished(), back = (Column(2) << 5, 60).finished();
    CHECK(equivalent_time(75, there, 1)[1] == Approx(equivalent_time(75, back, 1)[1]).epsilon(1e-14));
}

TEST_CASE("half the clamp stress for twice the time squeezes out the same", "[law]") {
    const SqueezeLaw law = squeeze_law(catalogue());
    CHECK(squeeze_out(law, 40, 3) == Approx(squeeze_out(law, 20, 6)).epsilon(1e-14));
    CHECK(squeeze_out(law, 20, 1e-6) == Approx(law.rate * 20 * 1e-6).epsilon(1e-6));  // proportional to stress at first
    CHECK(squeeze_out(law, 20, 10) == Approx(0.2).margin(0.001));  // what its judgement says
}

TEST_CASE("looks move the scale of the crack law by n/(n + 2) and leave its exponents", "[law]") {
    const CrackLaw law = crack_law(catalogue(), "polyurethane");
    const Column ages = (Column(2) << 2, 4).finished(), amplitudes = (Column(2) << 10, 10).finished();
    Column seen(2);
    for (Eigen::Index i = 0; i < 2; ++i) seen[i] = 4 * crack_rating_published(law, ages[i], amplitudes[i]);
    const CrackLaw moved = crack_law_after_looks(law, ages, amplitudes, seen);
    CHECK(moved.a == Approx(law.a * 2).epsilon(1e-12));  // half of the way to four times, on a log scale
    CHECK(moved.b == law.b);
    CHECK(crack_law_after_looks(law, Column(), Column(), Column()).a == law.a);
    CHECK(crack_rating_published(law, 3, 10, 2) == Approx(2 * crack_rating_published(law, 3, 10)).epsilon(1e-14));
    const CrackLaw other = crack_law(catalogue(), "two_part_polysulfide");
    CHECK(crack_rating_published(other, 3, 10, 2) == crack_rating_published(other, 3, 10));
}

TEST_CASE("laws refuse what cannot be, by name, value and range", "[bad_input]") {
    const double nan = std::nan("");
    CHECK_THROWS_WITH(acceleration(-1, 20, 30), "energy: expected a number from 0 to 300, got -1");
    CHECK_THROWS_WITH(acceleration(50, -300, 30), "t_from: expected a number from -90 to 350, got -300");
    CHECK_THROWS_AS(acceleration(50, 20, nan), ValueError);
    CHECK_THROWS_AS(acceleration_energy(2, 20, 20), ValueError);
    CHECK_THROWS_AS(acceleration_energy(0.5, 20, 30), ValueError);
    CHECK_THROWS_AS(acceleration_energy(0, 20, 30), ValueError);
    CHECK_THROWS_WITH(equivalent_time(50, (Column(3) << 20, 900, 20).finished(), 1),
                      "temperature[1]: expected a number from -90 to 350, got 900");
    CHECK_THROWS_WITH(hydrolysis_life(24.9, 92, 60, 101), "humidity: expected a number from 0 to 100, got 101");
    CHECK_THROWS_AS(wlf_shift(wlf_law(catalogue()), -120), ValueError);
    WlfLaw wlf = wlf_law(catalogue());  // T0 - c2 is a pole: at the lowest temperature, -50 degC, a tenth of c2 is kept clear of it
    wlf.reference = -50 + 0.9 * wlf.c2;
    CHECK(std::isfinite(wlf_shift(wlf, -50)));
    wlf.reference = -50 + 0.905 * wlf.c2;
    CHECK_THROWS_AS(wlf_shift(wlf, 20), ValueError);
    const CrackLaw crack = crack_law(catalogue(), "polyurethane");
    CHECK_THROWS_WITH(crack_rating(crack, -1, 10), "age: expected a finite number >= 0, got -1");
    CHECK_THROWS_WITH(crack_rating(crack, 1, 130), "amplitude: expected a number from 0 to 100, got 130");
    CHECK_THROWS_AS(crack_rating(crack, 1, 10, 0), ValueError);
    CHECK_THROWS_AS(crack_rating({-1, 1, 0, 1, false}, 1, 10), ValueError);
    CHECK_THROWS_WITH(crack_age(crack, 25, 10), "rating: expected a rating below 25, got 25");
    CHECK_THROWS_WITH(crack_law(catalogue(), "polyurethan"),
                      Catch::Matchers::StartsWith("name: expected a product with a crack law or a sealant family"));
    CHECK_THROWS_WITH(crack_rating_of_look(6, 1), "quantity: expected a number from 0 to 5, got 6");
    CHECK_THROWS_WITH(yellowness_index(95, 0, 105, "c_2"), "y: expected a finite number > 0, got 0");
    CHECK_THROWS_WITH(yellowness_index(95, 100, 105, "a_2"),
                      "observer: expected one of c_2, d65_2, d65_10, got \"a_2\"");
    CHECK_THROWS_WITH(remaining_capability(0, 1, 6), "capability: expected a finite number > 0, got 0");
    CHECK_THROWS_AS(capability_share(1, 0), ValueError);
    const BondLaw bond = bond_law(catalogue());
    CHECK_THROWS_AS(bond_share(bond, -1), ValueError);
    CHECK_THROWS_AS(bond_time(bond, 0), ValueError);
    CHECK_THROWS_AS(bond_speed(bond, 20, 120), ValueError);
    CHECK_THROWS_WITH(bond_equivalent_time(bond, Column::Zero(3), Column::Zero(2), 1),
                      "humidity: expected 3 values, as many as temperature, got 2");
    CHECK_THROWS_AS(bond_law(catalogue(), "adhesive_z"), ValueError);
    CHECK_THROWS_AS(modulus_ratio(modulus_law(catalogue()), -1, 0), ValueError);
    const SetLaw set = set_law(catalogue(), "epdm_gasket");
    CHECK_THROWS_AS(compression_set(set, -1), ValueError);
    CHECK_THROWS_WITH(set_time(set, 1), "set: expected a number from 0 to below 1, got 1");
    CHECK_THROWS_WITH(set_law(catalogue(), "polyurethane"),
                      "family: expected a family with a compression set, got \"polyurethane\"");
    CHECK_THROWS_AS(shrink_law(catalogue(), "polyurethane"), ValueError);
    CHECK_THROWS_AS(shrinkage_gap(shrink_law(catalogue(), "pvc_insert"), 0, 1), ValueError);
    CHECK_THROWS_AS(shrink_gap_time(shrink_law(catalogue(), "pvc_insert"), 100, 101), ValueError);
    CHECK_THROWS_AS(squeeze_out(squeeze_law(catalogue()), -1, 1), ValueError);
    CHECK_THROWS_WITH(life_by_factors(20, (Column(2) << 1, 0).finished()),
                      "factors[1]: expected a finite number > 0, got 0");
    CHECK_THROWS_AS(life_by_adjustments(20, (Column(2) << -60, -40).finished()), ValueError);
    CHECK_THROWS_AS(chamber_hours_per_year(0), ValueError);
    CHECK_THROWS_AS(defect_spacing(0, 1), ValueError);
    CHECK_THROWS_AS(failure_probability({1.5, 1, 1, 1}, 1, 1), ValueError);
    CHECK_THROWS_AS(failure_probability({0.1, 1, 1, 1}, -1, 1), ValueError);
}
