#include "support/catch.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/life/probability_plot.hpp"
#include "libseal/life/turnbull.hpp"
#include "support/published.hpp"

using namespace libseal;

namespace {

constexpr double later = INFINITY;

LifeData lives(const std::vector<std::pair<double, double>>& rows) {
    LifeData data{Column(static_cast<Eigen::Index>(rows.size())), Column(static_cast<Eigen::Index>(rows.size()))};
    for (std::size_t i = 0; i < rows.size(); ++i) {
        data.lower[static_cast<Eigen::Index>(i)] = rows[i].first;
        data.upper[static_cast<Eigen::Index>(i)] = rows[i].second;
    }
    return data;
}

// Months to cosmetic deterioration, Finkelstein & Wolfe 1985: radiation, then radiation and chemotherapy.
const std::vector<std::pair<double, double>> radiation{
    {45, later}, {6, 10}, {0, 7}, {46, later}, {46, later}, {7, 16}, {17, later}, {7, 14}, {37, 44}, {0, 8}, {4, 11}, {15, later},
    {11, 15}, {22, later}, {46, later}, {46, later}, {25, 37}, {46, later}, {26, 40}, {46, later}, {27, 34}, {36, 44}, {46, later},
    {36, 48}, {37, later}, {40, later}, {17, 25}, {46, later}, {11, 18}, {38, later}, {5, 12}, {37, later}, {0, 5}, {18, later},
    {24, later}, {36, later}, {5, 11}, {19, 35}, {17, 25}, {24, later}, {32, later}, {33, later}, {19, 26}, {37, later}, {34, later},
    {36, later}};
const std::vector<std::pair<double, double>> both{
    {8, 12}, {0, 22}, {24, 31}, {17, 27}, {17, 23}, {24, 30}, {16, 24}, {13, later}, {11, 13}, {16, 20}, {18, 25}, {17, 26}, {32, later},
    {23, later}, {44, 48}, {14, 17}, {0, 5}, {5, 8}, {12, 20}, {11, later}, {33, 40}, {31, later}, {13, 39}, {19, 32}, {34, later},
    {13, later}, {16, 24}, {35, later}, {15, 22}, {11, 17}, {22, 32}, {10, 35}, {30, 34}, {13, later}, {10, 17}, {8, 21}, {4, 9},
    {11, later}, {14, 19}, {4, 8}, {34, later}, {30, 36}, {18, 24}, {16, 60}, {35, 39}, {21, later}, {11, 20}, {48, later}};

struct Mass {
    double left, right, mass, printed;
};
void compare(const IntervalCurve& curve, const std::vector<Mass>& expected) {
    CHECK(curve.converged);
    REQUIRE(curve.mass.size() == static_cast<Eigen::Index>(expected.size()));
    for (std::size_t i = 0; i < expected.size(); ++i) {
        const auto k = static_cast<Eigen::Index>(i);
        CHECK(curve.left[k] == expected[i].left);
        CHECK(curve.right[k] == expected[i].right);
        CHECK(curve.mass[k] == Approx(expected[i].mass).margin(5e-11).epsilon(0));
        CHECK(curve.mass[k] == Approx(expected[i].printed).margin(5e-5).epsilon(0));
    }
}

/// Likeliest masses the slow way: plain EM over all intervals between neighbouring ends.
double slow_log_likelihood(const LifeData& data, const Column& entry) {
    std::vector<double> ends{0};
    for (Eigen::Index i = 0; i < data.lower.size(); ++i) {
        ends.push_back(data.lower[i]);
        ends.push_back(data.upper[i]);
        if (entry.size() > 0) ends.push_back(entry[i]);
    }
    std::sort(ends.begin(), ends.end());
    ends.erase(std::unique(ends.begin(), ends.end()), ends.end());
    if (std::isfinite(ends.back())) ends.push_back(later);
    const auto cells = static_cast<Eigen::Index>(ends.size()) - 1;
    Column mass = Column::Constant(cells, 1.0 / static_cast<double>(cells));
    const auto inside = [&](Eigen::Index j, double low, double high) {
        return ends[static_cast<std::size_t>(j)] >= low && ends[static_cast<std::size_t>(j) + 1] <= high;
    };
    double value = 0;
    for (int step = 0; step < 4000; ++step) {
        Column next = Column::Zero(cells);
        value = 0;
        for (Eigen::Index i = 0; i < data.lower.size(); ++i) {
            const double start = entry.size() > 0 ? entry[i] : 0;
            double own = 0, seen = 0;
            for (Eigen::Index j = 0; j < cells; ++j) {
                if (inside(j, std::max(data.lower[i], start), data.upper[i])) own += mass[j];
                if (inside(j, start, later)) seen += mass[j];
            }
            value += std::log(own / seen);
            for (Eigen::Index j = 0; j < cells; ++j) {
                if (inside(j, std::max(data.lower[i], start), data.upper[i])) next[j] += mass[j] / own;
                if (!inside(j, start, later)) next[j] += mass[j] / seen;
            }
        }
        mass = next / next.sum();
    }
    return value;
}

}  // namespace

TEST_CASE("the likeliest steps of interval-censored lives are the published ones", "[published][reference]") {
    // Masses to 10 digits: EM to 1e-15 for this project; to 4 digits: Fay & Shaw 2010.
    const IntervalCurve rad = turnbull(lives(radiation));
    compare(rad, {{4, 5, .0463467740, .0463}, {6, 7, .0333633709, .0334}, {7, 8, .0886673681, .0887}, {11, 12, .0707529218, .0708},
                  {24, 25, .0926458366, .0926}, {33, 34, .0817857649, .0818}, {38, 40, .1208798274, .1209}, {46, 48, .4655581364, .4656}});
    CHECK(rad.log_likelihood == Approx(-58.060021954).margin(5e-10).epsilon(0));
    const IntervalCurve chemo = turnbull(lives(both));
    compare(chemo, {{4, 5, .0432826277, .0433}, {5, 8, .0432826277, .0433}, {11, 12, .0692055834, .0692}, {16, 17, .1453977153, .1454},
                    {18, 19, .1410948977, .1411}, {19, 20, .1157459257, .1157}, {24, 25, .0998653107, .0999}, {30, 31, .0708813765, .0709},
                    {35, 36, .1608311074, .1608}, {44, 48, .0552064139, .0552}, {48, 60, .0552064139, .0552}});
    CHECK(chemo.log_likelihood == Approx(-65.636964908).margin(5e-10).epsilon(0));
    libseal_test::count_published("Fay & Shaw 2010, J. Stat. Softw. 36(2)", 19);
    auto all = radiation;
    all.insert(all.end(), both.begin(), both.end());
    // Plain EM of 20000 steps, masses summing to 1, computed for this project with NumPy; the -136.963803774 of another run of EM
    // is 1e-7 above what any distribution can reach.
    CHECK(turnbull(lives(all)).log_likelihood == Approx(-136.9638038739).margin(5e-11).epsilon(0));
    CHECK(turnbull(lives(all)).log_likelihood == Approx(-136.963803774).margin(2e-7).epsilon(0));
    CHECK(rad.gap < 1e-10);
    CHECK(rad.failed_least(7.5) == Approx(.0463467740 + .0333633709).margin(1e-10));
    CHECK(rad.failed_most(7.5) == Approx(.0463467740 + .0333633709 + .0886673681).margin(1.5e-10));
}

TEST_CASE("score tests of interval-censored lives are the published ones", "[published][reference]") {
    auto all = radiation;
    all.insert(all.end(), both.begin(), both.end());
    std::vector<int> group(radiation.size(), 0);
    group.resize(all.size(), 1);
    const GroupTest sun = score_test(lives(all), group, "sun"), finkelstein = score_test(lives(all), group, "finkelstein");
    // Fay & Shaw 2010 print -2.6684, p .007622 and -2.6839, p .007277.
    CHECK(sun.z == Approx(-2.6684).margin(5e-5).epsilon(0));
    CHECK(sun.p_value == Approx(.007622).margin(5e-7).epsilon(0));
    CHECK(finkelstein.z == Approx(-2.6839).margin(5e-5).epsilon(0));
    CHECK(finkelstein.p_value == Approx(.007277).margin(5e-7).epsilon(0));
    libseal_test::count_published("Fay & Shaw 2010, J. Stat. Softw. 36(2)", 4);
    CHECK(sun.z == Approx(-2.66838715).margin(5e-9).epsilon(0));
    CHECK(sun.p_value == Approx(.00762164).margin(5e-9).epsilon(0));
    CHECK(finkelstein.z == Approx(-2.68389610).margin(5e-9).epsilon(0));
    CHECK(finkelstein.p_value == Approx(.00727697).margin(5e-9).epsilon(0));
    CHECK(sun.chi_square == Approx(sun.z * sun.z).epsilon(1e-9));
    CHECK(sun.score.sum() == Approx(0).margin(1e-9));
}

TEST_CASE("lives looked at on common days have the multinomial steps", "[reference]") {
    // Part cracking, Nelson 1982, p. 415: months of looking and how many were found cracked.
    const std::vector<double> ends{6.12, 19.92, 29.64, 35.40, 39.72, 45.24, 52.32, 63.48}, found{5, 16, 12, 18, 18, 2, 6, 17};
    std::vector<std::pair<double, double>> rows(73, {63.48, later});
    for (std::size_t k = 0; k < ends.size(); ++k)
        for (int i = 0; i < found[k]; ++i) rows.emplace_back(k > 0 ? ends[k - 1] : 0.0, ends[k]);
    const IntervalCurve curve = turnbull(lives(rows));
    const std::vector<double> failed{.02994012, .12574850, .19760479, .30538922, .41317365, .42514970, .46107784, .56287425};
    const std::vector<double> error{.01318766, .02565732, .03081305, .03564014, .03810333, .03825517, .03857375, .03838404};
    REQUIRE(curve.mass.size() == 9);
    double counted = 0;
    for (int i = 0; i < 8; ++i) {
        const auto k = static_cast<std::size_t>(i);
        counted += found[k];
        CHECK(curve.failed[i] == Approx(failed[k]).margin(5e-9).epsilon(0));
        CHECK(curve.failed[i] == Approx(counted / 167).epsilon(1e-11));
        CHECK(curve.se[i] == Approx(error[k]).margin(5e-9).epsilon(0));
    }
    CHECK(curve.log_likelihood == Approx(-294.9190772).margin(5e-8).epsilon(0));
    CHECK(plot_positions(curve, "weibull").x.size() == 8);
}

TEST_CASE("exact lives give the product-limit estimate", "[law]") {
    RandomStream random(3);
    for (int round = 0; round < 20; ++round) {
        const int n = 2 + static_cast<int>(random.below(60));
        Column time(n), entry(n);
        std::vector<bool> failed;
        std::vector<std::pair<double, double>> rows;
        for (int i = 0; i < n; ++i) {
            entry[i] = round % 2 == 0 ? 0 : std::floor(3 * random.uniform());
            time[i] = entry[i] + 1 + std::floor(10 * random.uniform());
            failed.push_back(random.uniform() < 0.7);
            rows.emplace_back(time[i], failed.back() ? time[i] : later);
        }
        const SurvivalCurve steps = kaplan_meier(time, failed, {entry, 0.95, "plain"});
        TurnbullOptions options;
        if (round % 2 == 1) options.entry = entry;
        const IntervalCurve curve = turnbull(lives(rows), options);
        CHECK(curve.converged);
        if (round % 2 == 0)
            for (Eigen::Index i = 0; i < steps.time.size(); ++i)
                CHECK(1 - curve.failed_least(steps.time[i]) == Approx(steps.survival[i]).margin(1e-8));
    }
}

TEST_CASE("the likeliest steps are as likely as a slow search finds", "[law]") {
    // Synthetic: mixed lives, with and without late entry; plain EM over all cells is the second opinion.
    RandomStream random(5);
    for (int round = 0; round < 12; ++round) {
        const int n = 5 + static_cast<int>(random.below(25));
        std::vector<std::pair<double, double>> rows;
        Column entry(n);
        for (int i = 0; i < n; ++i) {
            const double first = std::floor(8 * random.uniform()), second = first + 1 + std::floor(6 * random.uniform());
            entry[i] = std::floor(std::min(first, 4.0) * random.uniform());
            rows.emplace_back(first, random.uniform() < 0.3 ? later : second);
        }
        const LifeData data = lives(rows);
        const IntervalCurve plain = turnbull(data);
        CHECK(plain.converged);
        CHECK(plain.mass.sum() == Approx(1).epsilon(1e-12));
        CHECK(plain.log_likelihood >= slow_log_likelihood(data, Column(0)) - 1e-7);
        TurnbullOptions options;
        options.entry = entry;
        const IntervalCurve late = turnbull(data, options);
        CHECK(late.log_likelihood >= slow_log_likelihood(data, entry) - 1e-6);
        CHECK(late.converged);
    }
}

TEST_CASE("intervals that were emptied too soon come back where the optimum wants them", "[law]") {
    // Synthetic: the draws, of some thousand, in which one does.
    struct Draw { std::uint64_t seed; double grid; bool late; };
    for (const auto& [seed, grid, late] : {Draw{103, 0.01, true}, Draw{131, 0.01, true}, Draw{159, 0.01, true}, Draw{241, 1, true}, Draw{395, 0.01, true},
                                           Draw{554, 0.01, false}, Draw{899, 0.01, true}, Draw{1855, 0.01, true}}) {
        RandomStream random(seed, 77);
        const int n = 5 + static_cast<int>(random.below(40));
        std::vector<std::pair<double, double>> rows;
        Column entry(n);
        for (int i = 0; i < n; ++i) {
            const double first = std::floor(8 * random.uniform() / grid) * grid, second = first + grid + std::floor(6 * random.uniform() / grid) * grid;
            entry[i] = std::floor(std::min(first, 6.0) * random.uniform() / grid) * grid;
            rows.emplace_back(first, random.uniform() < 0.3 ? later : second);
        }
        INFO("draw " << seed);
        TurnbullOptions options;
        if (late) options.entry = entry;
        const IntervalCurve curve = turnbull(lives(rows), options);
        CHECK(curve.converged);
        CHECK(curve.gap <= options.tolerance);
        CHECK(curve.mass.sum() == Approx(1).epsilon(1e-12));
        CHECK((curve.mass > 0).all());
        CHECK(curve.log_likelihood >= slow_log_likelihood(lives(rows), options.entry) - 1e-6);
    }
}

TEST_CASE("one look at each life gives pooled neighbours", "[law]") {
    RandomStream random(9);
    for (int round = 0; round < 20; ++round) {
        const int n = 1 + static_cast<int>(random.below(80));
        Column time(n);
        std::vector<bool> failed;
        std::vector<std::pair<double, double>> rows;
        for (int i = 0; i < n; ++i) {
            time[i] = 1 + std::floor(12 * random.uniform());
            failed.push_back(random.uniform() < time[i] / 14);
            rows.push_back(failed.back() ? std::pair{0.0, time[i]} : std::pair{time[i], later});
        }
        const CurrentStatus pooled = current_status(time, failed);
        const IntervalCurve curve = turnbull(lives(rows));
        CHECK(curve.converged);
        for (Eigen::Index i = 0; i < pooled.time.size(); ++i) {
            if (i > 0) CHECK(pooled.failed[i] >= pooled.failed[i - 1]);
            // Inside an interval with mass the data leave the value open.
            CHECK(pooled.failed[i] >= curve.failed_least(pooled.time[i]) - 1e-7);
            CHECK(pooled.failed[i] <= curve.failed_most(pooled.time[i]) + 1e-7);
        }
        double likelihood = 0;
        for (int i = 0; i < n; ++i) {
            const auto at = std::lower_bound(pooled.time.data(), pooled.time.data() + pooled.time.size(), time[i]) - pooled.time.data();
            likelihood += std::log(failed[static_cast<std::size_t>(i)] ? pooled.failed[at] : 1 - pooled.failed[at]);
        }
        CHECK(curve.log_likelihood == Approx(likelihood).margin(1e-8));
    }
}

TEST_CASE("large data are done with too", "[law]") {
    // Synthetic: 3000 lives looked at on days of their own.
    RandomStream random(21);
    std::vector<std::pair<double, double>> rows;
    for (int i = 0; i < 3000; ++i) {
        const double life = 8 * std::pow(-std::log(random.uniform()), 1 / 2.5);
        double last = 0;
        for (int visit = 0; visit < 10; ++visit) {
            const double next = last + 0.5 + 1.5 * random.uniform();
            if (next > life) {
                rows.emplace_back(last, next);
                break;
            }
            last = next;
            if (visit == 9) rows.emplace_back(last, later);
        }
    }
    const IntervalCurve curve = turnbull(lives(rows));
    CHECK(curve.converged);
    for (const double t : {2.0, 5.0, 8.0, 11.0}) {
        const double truth = 1 - std::exp(-std::pow(t / 8, 2.5));
        CHECK(0.5 * (curve.failed_least(t) + curve.failed_most(t)) == Approx(truth).margin(0.04));
    }
}

TEST_CASE("interval-censored estimates refuse what is no life, by row", "[bad_input]") {
    const double nan = std::nan("");
    for (const std::vector<std::pair<double, double>>& bad :
         std::vector<std::vector<std::pair<double, double>>>{{}, {{nan, 1}}, {{1, nan}}, {{-1, 1}}, {{2, 1}}, {{0, 0}}, {{later, later}}}) {
        CHECK_THROWS_AS(turnbull(lives(bad)), ValueError);
        CHECK_THROWS_AS(score_test(lives(bad), std::vector<int>(bad.size(), 1)), ValueError);
    }
    CHECK_THROWS_AS(turnbull(lives({{1, 2}}), {Column::Constant(1, 2), {}}), ValueError);
    CHECK_THROWS_AS(turnbull(lives({{1, 2}}), {Column::Constant(2, 0), {}}), ValueError);
    CHECK_THROWS_AS(turnbull(lives({{1, 2}}), {{}, Column::Constant(1, 1)}), ValueError);
    CHECK_THROWS_AS(turnbull(lives({{1, 2}}), {{}, {}, 0}), ValueError);
    CHECK_THROWS_AS(score_test(lives({{1, 2}, {2, 3}}), {1, 1}), ValueError);
    CHECK_THROWS_AS(score_test(lives({{1, 2}, {2, 3}}), {1, 2}, "logrank"), ValueError);
    CHECK_THROWS_AS(current_status(Column::Constant(1, 0), {true}), ValueError);
    // All sound, one life, all the same.
    const IntervalCurve sound = turnbull(lives({{1, later}, {3, later}}));
    CHECK(sound.converged);
    CHECK(sound.failed_least(100) == 0);
    CHECK(sound.log_likelihood == 0);
    CHECK(turnbull(lives({{2, 2}})).mass[0] == 1);
    CHECK(score_test(lives({{1, later}, {3, later}}), {0, 1}).p_value == 1);
}
