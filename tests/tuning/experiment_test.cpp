// Which looks tell most: against dense normal algebra, direct integration and the best of all sets.
#include "support/catch.hpp"

#include <cmath>
#include <set>

#include <Eigen/LU>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/forecast/forecast.hpp"
#include "libseal/tuning/experiment.hpp"
#include "tuning/design.hpp"
#include "tuning/tuning_fleet.hpp"

using namespace libseal;
using namespace libseal::tuning_tests;
using detail::greedy_looks;
using detail::EffectLook;
using detail::PrecisionTree;

namespace {

const EffectSpread spread{0.3, 0.12, 0.16, 0.2};

/// A small fleet of candidates: invented.
struct Cases {
    std::vector<EffectKey> keys;
    std::vector<double> known;       ///< precision before
    std::vector<EffectLook> looks;
    PrecisionTree tree{spread};

    explicit Cases(RandomStream& random, std::size_t joints) {
        for (std::size_t j = 0; j < joints; ++j) {
            const auto coach = random.below(4);
            keys.push_back({"f", coach < 2 ? "a" : "b", std::to_string(coach), std::to_string(j)});
            known.push_back(random.uniform() < 0.5 ? 0 : 5 * random.uniform());
            looks.push_back({tree.add_joint(keys.back(), known.back()), 10 * random.uniform() * random.uniform()});
        }
    }
};

/// Precision of the family by the dense covariance of all joints.
double dense_precision(const Cases& cases, const std::vector<std::size_t>& taken) {
    const auto n = static_cast<Eigen::Index>(cases.keys.size());
    Eigen::MatrixXd given_family(n, n);
    Eigen::VectorXd precision(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        const auto& a = cases.keys[static_cast<std::size_t>(i)];
        precision[i] = cases.known[static_cast<std::size_t>(i)];
        for (Eigen::Index j = 0; j < n; ++j) {
            const auto& b = cases.keys[static_cast<std::size_t>(j)];
            given_family(i, j) = (a.model_line == b.model_line ? std::pow(spread.model_line, 2) : 0) + (a.coach == b.coach ? std::pow(spread.coach, 2) : 0) +
                                 (i == j ? std::pow(spread.joint, 2) : 0);
        }
    }
    for (const std::size_t i : taken) precision[static_cast<Eigen::Index>(i)] += cases.looks[i].precision;
    // Of y = s + noise of these precisions, s = family + rest: 1' (C + P^-1)^-1 1, with P^-1 infinite where nothing is known.
    const Eigen::MatrixXd p = precision.asDiagonal();
    const Eigen::VectorXd one = Eigen::VectorXd::Ones(n);
    const Eigen::MatrixXd inner = Eigen::MatrixXd::Identity(n, n) + p * given_family;
    return 1 / std::pow(spread.family, 2) + one.dot(inner.partialPivLu().solve(p * one));
}

/// The best precision of all sets of `size` looks.
double best_of_all(const Cases& cases, std::size_t size) {
    double best = 0;
    for (unsigned set = 0; set < (1u << cases.looks.size()); ++set) {
        std::vector<std::size_t> taken;
        for (std::size_t i = 0; i < cases.looks.size(); ++i)
            if (set >> i & 1u) taken.push_back(i);
        if (taken.size() == size) best = std::max(best, dense_precision(cases, taken));
    }
    return best;
}

}  // namespace

TEST_CASE("precision of a family is that of the normal distribution", "[tuning]") {
    RandomStream random(3);
    for (int trial = 0; trial < 20; ++trial) {
        Cases cases(random, 7);
        CHECK(cases.tree.family() == Approx(dense_precision(cases, {})).epsilon(1e-10));
        cases.tree.take(cases.looks[2]);
        CHECK(cases.tree.family_with(cases.looks[5]) == Approx(dense_precision(cases, {2, 5})).epsilon(1e-10));
        cases.tree.take(cases.looks[5]);
        CHECK(cases.tree.family() == Approx(dense_precision(cases, {2, 5})).epsilon(1e-10));
    }
}

TEST_CASE("greedy looks are as good as the best set, or nearly", "[tuning]") {
    RandomStream random(5);
    int best = 0, trials = 0;
    for (int trial = 0; trial < 40; ++trial) {
        Cases cases(random, 8);
        const double before = cases.tree.family();
        std::vector<double> precision;
        PrecisionTree tree = cases.tree;
        const auto taken = greedy_looks(tree, cases.looks, 4, precision);
        REQUIRE(taken.size() == 4);
        double last = 1e300;
        for (std::size_t k = 0; k < 4; ++k) {
            const double gain = precision[k] - (k == 0 ? before : precision[k - 1]);
            CHECK(gain <= last * (1 + 1e-12));  // diminishing returns
            last = gain;
            const double of_all = best_of_all(cases, k + 1);
            CHECK(precision[k] - before >= (1 - std::exp(-1.0)) * (of_all - before) - 1e-9);
            best += precision[k] >= of_all * (1 - 1e-12);
            ++trials;
        }
    }
    CHECK(best > 0.9 * trials);
}

TEST_CASE("greedy without short cuts takes the same looks", "[tuning]") {
    RandomStream random(8);
    for (int trial = 0; trial < 10; ++trial) {
        Cases cases(random, 30);
        PrecisionTree quick = cases.tree, slow = cases.tree;
        std::vector<double> precision;
        const auto taken = greedy_looks(quick, cases.looks, 12, precision);
        std::vector<bool> used(30, false);
        for (const std::size_t index : taken) {
            std::size_t best = 30;
            for (std::size_t i = 0; i < 30; ++i)
                if (!used[i] && (best == 30 || slow.family_with(cases.looks[i]) > slow.family_with(cases.looks[best]))) best = i;
            CHECK(slow.family_with(cases.looks[index]) == Approx(slow.family_with(cases.looks[best])).epsilon(1e-12));
            used[index] = true;
            slow.take(cases.looks[index]);
        }
    }
}

namespace {

/// Chance of a grade given s, by the midpoint rule over quantiles of the threshold.
double grade_chance(int grade, double s, double age, double scale, const Catalogue& catalogue) {
    constexpr int points = 20000;
    const LifeSpread life = life_spread(catalogue);
    const GradeScale grades = grade_scale(catalogue);
    Look look;
    look.lowest = look.highest = grade;
    double sum = 0;
    for (int i = 0; i < points; ++i) {
        const double threshold = std::pow(-std::log((i + 0.5) / points), 1 / life.shape);
        sum += look_chance(look, grades, grade_of_worn_share(grades, age / (scale * threshold * std::exp(-s))));
    }
    return sum / points;
}

}  // namespace

TEST_CASE("the information of a look is that of its grades", "[tuning]") {
    const Catalogue catalogue = Catalogue::built_in();
    const Coach coach = small_coach("c", "line", "725350", make_date(2018, 5, 1), make_date(2018, 5, 1), 0, 1);
    const Date day = make_date(2022, 5, 1);
    const LookExperiment e = look_experiment(fleet_of(coach), {}, "non_sag_lap", day);
    REQUIRE(e.size() == 1);
    CHECK(e.candidates == 1);
    const Forecast f = forecast(coach, day, 1);
    CHECK(e.effective_age[0] == Approx(f.effective_age[f.row("c", coach.joints[0].id, "cap_bead")]).epsilon(1e-9));
    const double scale = 5.5 / std::exp(life_prior(life_spread(catalogue)).median_log);
    const double sd = std::sqrt(std::pow(std::log(7.0 / 2.0) / 4, 2) + std::pow(0.12, 2) + std::pow(0.16, 2) + std::pow(0.2, 2));
    double expected = 0, weight = 0;
    for (int k = -8; k <= 8; ++k) {
        const double s = 0.4 * k * sd, h = 0.01, w = std::exp(-0.5 * std::pow(0.4 * k, 2));
        double information = 0;
        for (int g = 0; g < 6; ++g) {
            const double slope = (grade_chance(g, s + h, e.effective_age[0], scale, catalogue) - grade_chance(g, s - h, e.effective_age[0], scale, catalogue)) / (2 * h);
            information += slope * slope / grade_chance(g, s, e.effective_age[0], scale, catalogue);
        }
        expected += w * information;
        weight += w;
    }
    CHECK(e.information[0] == Approx(expected / weight).epsilon(0.03));  // slopes over the grid of s: second order in a tenth
}

TEST_CASE("looks are spread over coaches and stop where enough is known", "[tuning]") {
    Fleet fleet;
    for (int c = 0; c < 8; ++c)
        fleet.coaches.push_back(small_coach("c" + std::to_string(c), c < 4 ? "a" : "b", "725350", make_date(2018, 5, 1), make_date(2018, 5, 1), 2, 2));
    ExperimentOptions options;
    options.width = 0.9;
    const Date day = make_date(2022, 5, 1);
    const LookExperiment e = look_experiment(fleet, {}, "self_levelling_lap", day, options);
    REQUIRE(e.size() == 16);  // two vents each
    std::set<std::string> coaches(e.coach.begin(), e.coach.begin() + 8);
    CHECK(coaches.size() == 8);  // a second look at a coach tells less than a first one
    for (Eigen::Index i = 1; i < e.size(); ++i) {
        CHECK(e.log_sd[i] < e.log_sd[i - 1]);
        CHECK(e.bits[i] <= e.bits[i - 1] * (1 + 1e-9) + 1e-12);
    }
    CHECK(e.log_sd[15] == Approx(e.log_sd_all));
    CHECK(e.log_sd_before == Approx(std::log(7.0 / 2.0) / 4));
    CHECK(e.width_before == Approx(2 * std::sinh(1.959963985 * e.log_sd_before)));
    REQUIRE(e.enough > 0);
    CHECK(e.width[e.enough - 1] <= 0.9);
    CHECK((e.enough == 1 ? e.width_before : e.width[e.enough - 2]) > 0.9);
    options.width = 0.01;
    CHECK(look_experiment(fleet, {}, "self_levelling_lap", day, options).enough == -1);  // lines differ: no number of looks is enough
    options.most = 3;
    CHECK(look_experiment(fleet, {}, "self_levelling_lap", day, options).size() == 3);
    CHECK(look_experiment(fleet, {}, "butyl_tape", day).candidates == 0);  // beddings under caps
    CHECK_THROWS_AS(look_experiment(fleet, {}, "self_leveling_lap", day), ValueError);
    options.width = 0;
    CHECK_THROWS_AS(look_experiment(fleet, {}, "self_levelling_lap", day, options), ValueError);
}

TEST_CASE("what was looked at before, and what is new, tells less", "[tuning]") {
    Fleet fleet;
    fleet.coaches.push_back(small_coach("old", "a", "725350", make_date(2018, 5, 1), make_date(2018, 5, 1)));
    fleet.coaches.push_back(small_coach("new", "a", "725350", make_date(2022, 3, 1), make_date(2022, 3, 1)));
    fleet.coaches.push_back(small_coach("seen", "a", "725350", make_date(2018, 5, 1), make_date(2018, 5, 1)));
    const Coach& seen = fleet.coaches[2];
    const std::vector<Finding> findings = {finding_of_grade(seen, joint_of_type(seen, "roof_vent_flange"), make_date(2022, 4, 1), 3)};
    const LookExperiment e = look_experiment(fleet, findings, "self_levelling_lap", make_date(2022, 5, 1));
    REQUIRE(e.size() == 3);
    CHECK(e.coach == std::vector<std::string>{"old", "seen", "new"});
    CHECK(e.information[2] < 0.1 * e.information[0]);
    CHECK(e.log_sd_before < std::log(7.0 / 2.0) / 4);
}

TEST_CASE("a look tells of what lies outermost alone: a cover tape hides the cap, a cap its bedding", "[tuning]") {
    const Date fitted = make_date(2018, 5, 1), day = make_date(2022, 5, 1);
    const auto candidates = [&](const Coach& coach, const std::string& family) { return look_experiment(fleet_of(coach), {}, family, day).candidates; };
    const Coach plain = small_coach("c", "a", "725350", fitted, fitted, 2, 0);
    const std::string cap = plain.joints[0].layers[0].family, bedding = layer_of(plain.joints[0], "bedding")->family;
    REQUIRE(plain.joints.size() == 2);
    REQUIRE(cap != bedding);
    CHECK(candidates(plain, cap) == 2);
    CHECK(candidates(plain, bedding) == 0);
    Coach bare = plain, taped = plain;
    std::erase_if(bare.joints[0].layers, [](const Layer& layer) { return layer.kind == "cap_bead"; });
    CHECK(candidates(bare, cap) == 1);
    CHECK(candidates(bare, bedding) == 1);
    taped.joints[0].layers.push_back({"cover_tape", bedding, fitted, fitted, 1});
    CHECK(candidates(taped, cap) == 1);
    CHECK(candidates(taped, bedding) == 1);  // of the tape; that family's bedding below stays hidden
}

TEST_CASE("experiments that cannot be meant are refused, and what is known well enough needs no look", "[tuning][bad_input]") {
    const Fleet fleet = fleet_of(small_coach("c", "a", "725350", make_date(2018, 5, 1), make_date(2018, 5, 1)));
    const auto field = [&](auto change) {
        ExperimentOptions options;
        change(options);
        try {
            look_experiment(fleet, {}, "self_levelling_lap", make_date(2022, 5, 1), options);
        } catch (const ValueError& error) {
            return error.problems()[0].field;
        }
        return std::string();
    };
    CHECK(field([](ExperimentOptions& o) { o.most = 0; }) == "most");
    CHECK(field([](ExperimentOptions& o) { o.prior_sd = 2.1; }) == "prior_sd");
    CHECK(field([](ExperimentOptions& o) { o.prior_sd = -0.1; }) == "prior_sd");
    CHECK(field([](ExperimentOptions& o) { o.prior_sd = 0.2; }).empty());
    ExperimentOptions options;
    options.prior_sd = 0.1;
    options.width = 0.5;  // 2 sinh(1.96 x 0.1) = 0.394 is less
    const LookExperiment known = look_experiment(fleet, {}, "self_levelling_lap", make_date(2022, 5, 1), options);
    CHECK(known.log_sd_before == Approx(0.1));
    CHECK(known.enough == 0);
}
