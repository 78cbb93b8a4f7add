// Values without another source were computed for this project in closed form.
#include "libseal/life/detection.hpp"

#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/life/weibull.hpp"
#include "support/catch.hpp"
#include "support/published.hpp"

using namespace libseal;

namespace {

Column column(std::initializer_list<double> values) {
    return Eigen::Map<const Column>(values.begin(), static_cast<Eigen::Index>(values.size()));
}

const Column& cuts() {
    static const Column four = column({.2, .45, .7, .9});
    return four;
}

/// Failed shares of a Weibull life of scale 8 and shape 2.5 at years 2, 4, 6.
Column failed() {
    const Weibull life{8, 2.5};
    return column({1 - life.survival(2), 1 - life.survival(4), 1 - life.survival(6)});
}

}  // namespace

TEST_CASE("a look grades a state with the noise of an ordered probit", "[reference]") {
    struct Case {
        double latent;
        Column wanted;
    };
    for (const Case& c : {Case{.1, column({.797671619, .200559413, .001768682, 2.866e-7})},
                          Case{.5, column({.006209665, .332251454, .613748528, .047361292, .000429060})},
                          Case{.8, column({2.866e-7, .001768682, .200559412, .595343238, .202328381})}}) {
        INFO("latent " << c.latent);
        const Column got = grade_probabilities(c.latent, cuts(), .12);
        REQUIRE(got.size() == 5);
        CHECK(got.sum() == Approx(1).epsilon(1e-14));
        for (Eigen::Index i = 0; i < c.wanted.size(); ++i)
            // The smallest is printed cut off, not rounded.
            CHECK(got[i] == Approx(c.wanted[i]).epsilon(0).margin(c.wanted[i] < 1e-6 ? 1e-10 : 1e-9));
    }
    // Grades 2 then 3 of five, counted here from 0; before them evenly between 0 and 1.2.
    const LatentBelief belief = latent_after_grades({1, 2}, cuts(), .12, 0, 1.2);
    CHECK(belief.mean == Approx(.4500006530).epsilon(0).margin(1e-9));
    CHECK(belief.sd == Approx(.0980830139).epsilon(0).margin(1e-9));
}

TEST_CASE("noise of one grade in ten is what bridge inspectors showed", "[published]") {
    // FHWA-RD-01-020: 49 inspectors, scale 0 to 9: 68 % of ratings within one of the mean, 95 % within two. Half a unit of
    // the last printed digit.
    const Column wide = column({4, 5, 6});  // between grades, around a state of 5
    const Column got = grade_probabilities(5, wide, 1);
    CHECK(got[1] + got[2] == Approx(.68).margin(.005));
    CHECK(grade_probabilities(5, column({3, 7}), 1)[1] == Approx(.95).margin(.005));
    libseal_test::count_published("FHWA-RD-01-020", 2);
}

TEST_CASE("larger defects are found more often, by both curves", "[reference]") {
    const double size[] = {1, 2, 4, 6, 10};
    const double log_odds[] = {.2, .5, .8, .9, .9615384615};
    const double lognormal[] = {.2093815472, .5, .7906184528, .9, .9697710322};
    for (std::size_t i = 0; i < 5; ++i) {
        CHECK(detection_log_odds(size[i], 2, 6) == Approx(log_odds[i]).epsilon(1e-10));
        CHECK(detection_lognormal(size[i], 2, 6) == Approx(lognormal[i]).epsilon(1e-9));
    }
    CHECK(detection_log_odds(0, 2, 6) == 0);
    CHECK(detection_lognormal(0, 2, 6) == 0);
    double last = -1;
    for (double a = 0; a < 50; a += 0.5) {
        CHECK(detection_lognormal(a, 2, 6) >= last);
        last = detection_lognormal(a, 2, 6);
    }
}

TEST_CASE("visits that miss one defect in five find it as computed", "[reference]") {
    const Column found = first_found(failed(), .8);
    CHECK(found[0] == Approx(.0246134124).epsilon(1e-8));  // printed to ten decimals
    CHECK(found[1] == Approx(.1099357616).epsilon(1e-9));
    CHECK(found[2] == Approx(.2008555008).epsilon(1e-9));
    CHECK(found[3] == Approx(.6645953252).epsilon(1e-9));
    CHECK(found.sum() == Approx(1).epsilon(1e-14));
    const LookHistory clean = look_history(failed(), {false, false, false}, .8);
    CHECK(clean.likelihood == Approx(found[3]).epsilon(1e-14));
    CHECK(clean.defect == Approx(.0755555648).epsilon(1e-9));
    const LookHistory alarm = look_history(failed(), {false, false, true}, .8, .1);
    CHECK(alarm.likelihood == Approx(.2145351504).epsilon(1e-9));
    CHECK(alarm.defect == Approx(.7680338287).epsilon(1e-9));
}

TEST_CASE("all histories of looks together are certain, and a perfect look is believed", "[law]") {
    double sum = 0;
    for (int history = 0; history < 8; ++history)
        sum += look_history(failed(), {(history & 1) != 0, (history & 2) != 0, (history & 4) != 0}, .7, .2).likelihood;
    CHECK(sum == Approx(1).epsilon(1e-14));
    CHECK(look_history(failed(), {false, false, true}, 1, 0).defect == 1);
    CHECK(look_history(failed(), {false, false, false}, 1, 0).defect == 0);
    CHECK(look_history(Column(), {}, .7).likelihood == 1);
    CHECK(first_found(Column(), .7)[0] == 1);
}

TEST_CASE("clean looks and alarms move the odds of a defect", "[published]") {
    CHECK(defect_after_clean(.2, .7) == Approx(.0697674419).epsilon(1e-9));
    CHECK(defect_after_clean(.2, .7, 2) == Approx(.0220048900).epsilon(0).margin(5e-11));
    // Faber (lecture notes on risk and safety, 2.1): prior .01 read there, detection .8 and false alarm .1 from memory.
    CHECK(defect_after_alarm(.01, .8, .1) == Approx(.0747663551).epsilon(1e-9));
    // MIL-HDBK-1823 rule as quoted by statisticalengineering.com: 29 of 29, because .9^29 = 0.047 < 0.05.
    CHECK(std::pow(.9, 29) == Approx(.047).margin(.0005));
    CHECK(demonstrated_detection(29, 29) == Approx(.9018553723).epsilon(1e-9));
    CHECK(demonstrated_detection(28, 28) < .9);
    CHECK(std::pow(.9, 29) == Approx(.0471012870).epsilon(1e-9));
    CHECK(demonstrated_detection(45, 46) == Approx(.9009756832).epsilon(1e-9));
    CHECK(demonstrated_detection(59, 61) == Approx(.9003651198).epsilon(1e-9));
    CHECK(demonstrated_detection(0, 5) == 0);
    libseal_test::count_published("Rule of 29 of 29 (MIL-HDBK-1823)", 1);
}

TEST_CASE("looks refuse what cannot be, by name", "[bad_input]") {
    CHECK_THROWS_WITH(grade_probabilities(0, column({1, 1}), 1), "cuts[1]: expected a cut above the one before, got 1");
    CHECK_THROWS_AS(grade_probabilities(0, cuts(), 0), ValueError);
    CHECK_THROWS_WITH(latent_after_grades({5}, cuts(), 1, 0, 1), "grades[0]: expected a number from 0 to 4, got 5");
    CHECK_THROWS_AS(latent_after_grades({1}, cuts(), 1, 1, 0), ValueError);
    CHECK_THROWS_WITH(latent_after_grades({1}, cuts(), 1, 1, 1), "high: expected a state above low, got 1");
    CHECK_THROWS_WITH(detection_log_odds(1, 6, 2), "a90: expected a size above a50, got 2");
    CHECK_THROWS_WITH(first_found(column({.2, .1}), .8), "failed[1]: expected a probability not below the one before, got 0.1");
    CHECK_THROWS_AS(first_found(column({.2}), 1.1), ValueError);
    CHECK_THROWS_AS(look_history(column({.2}), {true, true}, .8), ValueError);
    CHECK_THROWS_AS(look_history(column({0}), {true}, .8, 0), ValueError);
    CHECK_THROWS_AS(defect_after_clean(1, 1), ValueError);
    CHECK_THROWS_AS(demonstrated_detection(30, 29), ValueError);
}
