#include "support/catch.hpp"

#include <cmath>
#include <vector>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/life/shared_rates.hpp"
#include "support/published.hpp"

using namespace libseal;

namespace {

Column column(const std::vector<double>& v) { return Eigen::Map<const Column>(v.data(), static_cast<Eigen::Index>(v.size())); }

// Failures and 1000 hours of ten pumps, Gaver & O'Muircheartaigh 1987.
const Column failures = column({5, 1, 5, 14, 3, 19, 1, 1, 4, 22});
const Column hours = column({94.3, 15.7, 62.9, 126, 5.24, 31.4, 1.05, 1.05, 2.1, 10.5});

/// Events of a Poisson distribution, by inversion.
double poisson(RandomStream& random, double mean) {
    double p = std::exp(-mean), sum = p;
    const double u = random.uniform();
    int k = 0;
    while (sum < u && k < 1000) sum += p *= mean / ++k;
    return k;
}

}  // namespace

TEST_CASE("shrunk rates of the pumps are those of two other programs", "[reference]") {
    // R and SciPy, computed for this project; half a unit of the last digit, but for the rate: their searches stop at 1e-7 of
    // it, the zero of the two score equations is 1.26165328.
    const SharedRates rates = shared_rates(failures, hours);
    CHECK(rates.shape == Approx(.8229651).margin(5e-8).epsilon(0));
    CHECK(rates.rate == Approx(1.2616534).epsilon(2e-7));
    CHECK(rates.rate == Approx(1.26165328).margin(5e-9).epsilon(0));
    CHECK(rates.log_likelihood == Approx(-32.2578363).margin(5e-8).epsilon(0));
    CHECK(rates.log_shape_variance == Approx(.186316).margin(5e-7).epsilon(0));
    CHECK(rates.log_covariance == Approx(.205928).margin(5e-7).epsilon(0));
    CHECK(rates.log_rate_variance == Approx(.393902).margin(5e-7).epsilon(0));
    const std::vector<double> mean{.0609341187, .1074756741, .0907545991, .1164762891, .5879989163, .6069186061, .7885979629, .7885979629,
                                   1.4347003143, 1.9404555155};
    const std::vector<double> sd{.0252516, .0796015, .0376094, .0302531, .3007297, .1363158, .5840721, .5840721, .6532872, .4061792};
    for (int i = 0; i < 10; ++i) {
        // The reference stops at 7 digits of shape and rate; its means hold to 2e-8.
        CHECK(rates.mean[i] == Approx(mean[static_cast<std::size_t>(i)]).epsilon(5e-8));
        CHECK(rates.sd[i] == Approx(sd[static_cast<std::size_t>(i)]).margin(5e-8).epsilon(0));
    }
    CHECK(rates.lower[9] == Approx(1.2276631807).epsilon(5e-8));
    CHECK(rates.upper[9] == Approx(2.8137902489).epsilon(5e-8));
    CHECK(rates.above[8] == Approx(.9146490027).epsilon(5e-8));
    CHECK(rates.above[9] == Approx(.9999927644).margin(5e-10).epsilon(0));
    CHECK_FALSE(rates.alike);
}

TEST_CASE("full Bayes rates of the pumps are those of quadrature and of published sampling", "[published][reference]") {
    const SharedRatesBelief belief = shared_rates_bayes(failures, hours);
    const std::vector<double> mean{.0598182775, .1018263767, .0892417457, .1157883695, .6013383922, .6093876129, .8925357141, .8925357141,
                                   1.5863113668, 1.9898348132};
    // That quadrature holds to 3e-7: sums over grids of 160000 and 640000 nodes agree to 11 digits on what follows it.
    for (int i = 0; i < 10; ++i) CHECK(belief.mean[i] == Approx(mean[static_cast<std::size_t>(i)]).epsilon(3e-7));
    CHECK(belief.mean[0] == Approx(.0598182728426).epsilon(1e-9));
    CHECK(belief.mean[1] == Approx(.101826350847).epsilon(1e-9));
    CHECK(belief.mean[8] == Approx(1.58631169257).epsilon(1e-9));
    CHECK(belief.mean[9] == Approx(1.98983491426).epsilon(1e-9));
    CHECK(belief.shape_mean == Approx(.69716864246).epsilon(1e-9));
    CHECK(belief.shape_sd == Approx(.270775380305).epsilon(1e-8));
    CHECK(belief.shape_mean == Approx(.69717).margin(5e-6).epsilon(0));
    CHECK(belief.shape_sd == Approx(.27077).margin(1e-5).epsilon(0));
    CHECK(belief.rate_mean == Approx(.92681).margin(5e-6).epsilon(0));
    CHECK(belief.rate_sd == Approx(.54282).margin(5e-6).epsilon(0));
    // Means as sampling programs print them for this example. No error is printed with them: 3 %, for the rate parameter 5 %.
    const std::vector<double> sampled{.0597, .0998, .0890, .1162, .604, .609, .894, .884, 1.562, 1.988};
    for (int i = 0; i < 10; ++i) CHECK(belief.mean[i] == Approx(sampled[static_cast<std::size_t>(i)]).epsilon(0.03));
    CHECK(belief.shape_mean == Approx(.679).epsilon(0.03));
    CHECK(belief.rate_mean == Approx(.894).epsilon(0.05));
    libseal_test::count_published("pump failures by Gibbs sampling (George, Makov & Smith 1993 model)", 12);
    // Shape known, vague belief about the rate: Gelfand & Smith 1990.
    SharedRatesPrior prior;
    prior.known_shape = 1.802;
    prior.rate_shape = 0.01;
    const SharedRatesBelief known = shared_rates_bayes(failures, hours, prior);
    CHECK(known.rate_mean == Approx(2.473049072).margin(5e-10).epsilon(0));
    const std::vector<double> other{.0702919686, .1544168273, .1040613057, .1230023413, .6277105317, .6143855502, .8273023500, .8273023500,
                                    1.2985298501, 1.8401203830};
    for (int i = 0; i < 10; ++i) CHECK(known.mean[i] == Approx(other[static_cast<std::size_t>(i)]).margin(5e-10).epsilon(0));
    CHECK(known.shape_mean == Approx(1.802));
    CHECK(known.shape_sd == 0);
}

TEST_CASE("a belief that the shape may be next to nothing keeps all of its mass", "[law]") {
    // Nothing seen at exposures 1 and 2: shape a given rate b has the density a^(s - 1) e^(-a (1 + ln(1 + 1/b) + ln(1 + 2/b))) of a gamma
    // distribution, so its mean over b is one integral, here over v = ln b.
    SharedRatesPrior prior;
    prior.shape_shape = 0.1;
    double mass = 0, mean = 0;
    for (double v = -600; v < 10; v += 0.02) {
        const double rate = prior.shape_rate + std::log1p(std::exp(-v)) + std::log1p(2 * std::exp(-v));
        const double weight = std::exp(prior.rate_shape * v - prior.rate_rate * std::exp(v)) * std::pow(rate, -prior.shape_shape);
        mass += weight;
        mean += weight * prior.shape_shape / rate;
    }
    CHECK(shared_rates_bayes(column({0, 0}), column({1, 2}), prior).shape_mean == Approx(mean / mass).epsilon(1e-6));
    // Counts in units that are hardly any number keep their rates: exposures 10^200 times as long have rates so much smaller.
    const Column events = column({10, 20, 3, 4}), exposure = Column::Ones(4);
    const SharedRates plain = shared_rates(events, exposure), far = shared_rates(events, exposure * 1e200);
    CHECK(far.shape == Approx(plain.shape).epsilon(1e-8));
    for (int i = 0; i < 4; ++i) {
        CHECK(far.mean[i] * 1e200 == Approx(plain.mean[i]).epsilon(1e-8));
        CHECK(far.above[i] == Approx(plain.above[i]).epsilon(1e-7));
    }
}

TEST_CASE("units that spread no more than chance are all alike", "[law]") {
    const SharedRates rates = shared_rates(column({5, 5, 5, 5}), column({1, 1, 1, 1}));
    CHECK(rates.alike);
    CHECK(rates.overall == 5);
    CHECK((rates.mean == 5).all());
    CHECK((rates.sd == 0).all());
    CHECK(std::isfinite(rates.log_likelihood));
}

TEST_CASE("shrunk rates come nearer to the truth than raw ones", "[law]") {
    // Synthetic: rates from a gamma distribution of mean 0.5 made of three exponentials, counts from them.
    RandomStream random(17);
    double shrunk = 0, raw = 0, shape = 0;
    for (int round = 0; round < 20; ++round) {
        const int n = 60;
        Column events(n), exposure(n), truth(n);
        for (int i = 0; i < n; ++i) {
            truth[i] = -(std::log(random.uniform()) + std::log(random.uniform()) + std::log(random.uniform())) / 6;
            exposure[i] = 1 + 9 * random.uniform();
            events[i] = poisson(random, truth[i] * exposure[i]);
        }
        const SharedRates rates = shared_rates(events, exposure);
        shrunk += (rates.mean - truth).square().sum();
        raw += (events / exposure - truth).square().sum();
        shape += std::log(rates.shape) / 20;
        CHECK((rates.lower <= rates.mean).all());
        CHECK((rates.mean <= rates.upper).all());
        // The belief with the doubt about shape and rate counted in agrees where units are many.
        if (round == 0) CHECK((shared_rates_bayes(events, exposure).mean / rates.mean - 1).abs().maxCoeff() < 0.25);
    }
    CHECK(shrunk < 0.8 * raw);
    CHECK(std::exp(shape) == Approx(3).epsilon(0.35));
}

TEST_CASE("the unit of exposure changes no belief about rates, however odd the unit", "[law]") {
    const Column events = column({5, 1, 0, 14}), exposure = column({9, 16, 2, 126});
    SharedRatesPrior prior;
    prior.rate_shape = 1;
    const SharedRatesBelief plain = shared_rates_bayes(events, exposure, prior);
    for (const double unit : {1e-30, 8766.0, 1e30}) {
        INFO(unit);
        prior.rate_rate = 1 / unit;
        const SharedRatesBelief other = shared_rates_bayes(events, exposure * unit, prior);
        CHECK(other.shape_mean == Approx(plain.shape_mean).epsilon(1e-8));
        CHECK(other.rate_mean / unit == Approx(plain.rate_mean).epsilon(1e-8));
        CHECK(((other.mean * unit / plain.mean - 1).abs() < 1e-8).all());
        CHECK(((other.above - plain.above).abs() < 1e-8).all());
    }
}

TEST_CASE("adjusted p values are those of the 1995 paper's example", "[published][reference]") {
    const Column p = column({.0001, .0004, .0019, .0095, .0201, .0278, .0298, .0344, .0459, .3240, .4262, .5719, .6528, .7590, 1.0});
    const Column adjusted = benjamini_hochberg(p);
    CHECK((adjusted <= 0.05).count() == 4);
    libseal_test::count_published("Benjamini & Hochberg 1995, JRSS B 57:289", 1);
    const std::vector<double> r{.0015, .003, .0095, .035625, .0603, .0638571429, .0638571429, .0645, .0765, .486, .5811818182, .714875,
                                .7532307692, .8132142857, 1};
    for (int i = 0; i < 15; ++i) CHECK(adjusted[i] == Approx(r[static_cast<std::size_t>(i)]).margin(5e-11).epsilon(0));
    const Column five = benjamini_hochberg(column({.008, .03, .123, .6, .2}));
    const std::vector<double> expected{.04, .075, .205, .6, .25};
    for (int i = 0; i < 5; ++i) CHECK(five[i] == Approx(expected[static_cast<std::size_t>(i)]).epsilon(1e-12));
    CHECK(benjamini_hochberg(Column(0)).size() == 0);
}

TEST_CASE("funnel limits and ratios are exact Poisson ones", "[reference]") {
    const Column expected = column({5, 10, 20, 50});
    const FunnelLimits wide = funnel_limits(expected, 0.998), usual = funnel_limits(expected);
    const std::vector<double> low{.1084131591, .3775187948, .5602500519, .7224344700}, high{1.8753117175, 1.6159950673, 1.4372884335, 1.2766098338};
    const std::vector<double> lowest{0, .1220529316, .3584593554, .5824563298}, highest{2.5542707563, 2.0662000836, 1.7356764287, 1.4550281703};
    for (int i = 0; i < 4; ++i) {
        const auto k = static_cast<std::size_t>(i);
        CHECK(usual.lower[i] == Approx(low[k]).margin(5e-11).epsilon(0));
        CHECK(usual.upper[i] == Approx(high[k]).margin(5e-11).epsilon(0));
        CHECK(wide.lower[i] == Approx(lowest[k]).margin(5e-11).epsilon(0));
        CHECK(wide.upper[i] == Approx(highest[k]).margin(5e-11).epsilon(0));
    }
    const RateRatio ratio = rate_ratio(10, 5);
    CHECK(ratio.ratio == 2);
    CHECK(ratio.lower == Approx(.9590777392).margin(5e-11).epsilon(0));
    CHECK(ratio.upper == Approx(3.6780712084).margin(5e-11).epsilon(0));
    CHECK(ratio.p_high == Approx(.0318280573).margin(5e-11).epsilon(0));
    CHECK(ratio.mid_p_high == Approx(.0227616630).margin(5e-11).epsilon(0));
    CHECK(ratio.mid_p_high + ratio.mid_p_low == Approx(1).epsilon(1e-12));
    const RateRatio none = rate_ratio(0, 3);
    CHECK(none.lower == 0);
    CHECK(none.upper == Approx(-std::log(0.025) / 3).epsilon(1e-10));
    CHECK(none.p_low == Approx(std::exp(-3.0)).epsilon(1e-12));
    CHECK(none.p_high == 1);
}

TEST_CASE("the least exposure that settles has the level and the power, and less has not", "[law]") {
    for (const double ratio : {3.0, 2.0, 1.5, 0.5, 0.2})
        for (const double power : {0.8, 0.95}) {
            const ExposureNeeded need = exposure_to_settle(0.2, ratio, 0.05, power);
            CHECK(need.exposure == Approx(need.expected / 0.2));
            const auto reaches = [&](double mean, double rate) {  // chance that the test speaks
                return ratio > 1 ? rate_ratio(need.critical, mean * rate).p_high : rate_ratio(need.critical, mean * rate).p_low;
            };
            CHECK(reaches(need.expected, 1) <= 0.05 + 1e-9);
            CHECK(reaches(need.expected, ratio) >= power - 1e-9);
            // With a little less no border keeps both.
            const double less = 0.995 * need.expected;
            bool found = false;
            for (int r = 0; r <= need.critical + 200; ++r) {
                const bool level = ratio > 1 ? rate_ratio(r, less).p_high <= 0.05 : rate_ratio(r, less).p_low <= 0.05;
                const bool tells = ratio > 1 ? rate_ratio(r, less * ratio).p_high >= power : rate_ratio(r, less * ratio).p_low >= power;
                found = found || (level && tells);
            }
            CHECK_FALSE(found);
        }
}

TEST_CASE("rates refuse what is no count, by row", "[bad_input]") {
    const double nan = std::nan("");
    CHECK_THROWS_AS(shared_rates(Column(0), Column(0)), ValueError);
    CHECK_THROWS_AS(shared_rates(column({1}), column({1})), ValueError);
    CHECK_THROWS_AS(shared_rates(column({1, nan}), column({1, 1})), ValueError);
    CHECK_THROWS_AS(shared_rates(column({1, -1}), column({1, 1})), ValueError);
    CHECK_THROWS_AS(shared_rates(column({1, 2}), column({1, 0})), ValueError);
    CHECK_THROWS_AS(shared_rates(column({1, 2}), column({1, INFINITY})), ValueError);
    CHECK_THROWS_AS(shared_rates(column({1, 2}), column({1})), ValueError);
    CHECK_THROWS_AS(shared_rates(column({0, 0}), column({1, 1})), ValueError);
    CHECK_THROWS_AS(shared_rates(column({1, 2}), column({1, 1}), 1), ValueError);
    CHECK_THROWS_AS(benjamini_hochberg(column({nan})), ValueError);
    CHECK_THROWS_AS(benjamini_hochberg(column({1.1})), ValueError);
    CHECK_THROWS_AS(funnel_limits(column({0})), ValueError);
    CHECK_THROWS_AS(funnel_limits(column({nan})), ValueError);
    CHECK_THROWS_AS(rate_ratio(1.5, 1), ValueError);
    CHECK_THROWS_AS(rate_ratio(1, INFINITY), ValueError);
    CHECK_THROWS_AS(exposure_to_settle(1, 1), ValueError);
    CHECK_THROWS_AS(exposure_to_settle(1, 1.00001), ValueError);
    CHECK_THROWS_AS(exposure_to_settle(0, 2), ValueError);
    CHECK_THROWS_AS(exposure_to_settle(1, 2, .05, .01), ValueError);
    // No event at all can be believed, extremes stay numbers.
    const SharedRatesBelief none = shared_rates_bayes(column({0, 0}), column({1, 1e6}));
    CHECK(none.mean.isFinite().all());
    CHECK(none.above.isFinite().all());
    const SharedRates steep = shared_rates(column({0, 0, 0, 100000}), column({1, 1, 1, 1}));
    CHECK(steep.mean.isFinite().all());
    CHECK(steep.above.isFinite().all());
}
