#include "support/catch.hpp"

#include <cmath>
#include <limits>
#include <map>
#include <random>

#include "libseal/ageing/rainflow.hpp"
#include "libseal/core/error.hpp"
#include "support/published.hpp"

using namespace libseal;

namespace {

Column column(std::initializer_list<double> values) {
    Column result(static_cast<Eigen::Index>(values.size()));
    std::copy(values.begin(), values.end(), result.data());
    return result;
}

std::map<double, double> counts_by_range(const CycleTable& table) {
    std::map<double, double> counts;
    for (Eigen::Index i = 0; i < table.rows(); ++i) counts[table(i, 0)] += table(i, 2);
    return counts;
}

using Pairs = std::vector<std::pair<double, double>>;

Pairs closed_pairs(const RainflowCounter& counter) {
    Pairs pairs;
    for (const auto& cycle : counter.finish())
        if (cycle.count == 1) pairs.emplace_back(cycle.from_value, cycle.to_value);
    return pairs;
}

std::vector<double> residue_values(const RainflowCounter& counter) {
    std::vector<double> values;
    for (const auto& point : counter.residue()) values.push_back(point.value);
    return values;
}

RainflowCounter closed_count(std::initializer_list<double> values) {
    RainflowCounter counter(RainflowRule::closed);
    counter.add(column(values));
    return counter;
}

/// The history of the standard's worked example, points A to I.
Column standard_history() { return column({-2, 1, -3, 5, -1, 3, -4, 4, -2}); }

bool same(const std::vector<Cycle>& a, const std::vector<Cycle>& b) {
    if (a.size() != b.size()) return false;
    for (std::size_t i = 0; i < a.size(); ++i)
        if (a[i].from_value != b[i].from_value || a[i].to_value != b[i].to_value || a[i].count != b[i].count || a[i].first != b[i].first ||
            a[i].last != b[i].last)
            return false;
    return true;
}

/// Small random walks, one in three rounded so that they hold plateaus and equal ranges. Synthetic.
Column random_history(std::mt19937& random, Eigen::Index size) {
    std::normal_distribution<double> step(0, 1);
    const bool rounded = random() % 3 == 0;
    Column series(size);
    double value = 0;
    for (auto& x : series) {
        value = 0.9 * value + step(random);
        x = rounded ? std::round(value) : value;
    }
    return series;
}

}  // namespace

TEST_CASE("the worked history of the standard has the standard's counts", "[published]") {
    // ASTM E1049-85, rainflow example; ranges and counts as the PyPI package `rainflow` quotes them in its tests.
    const auto counts = counts_by_range(rainflow(standard_history()));
    CHECK(counts == std::map<double, double>{{3, 0.5}, {4, 1.5}, {6, 0.5}, {8, 1.0}, {9, 0.5}});
    libseal_test::count_published("ASTM E1049-85", 5);
}

TEST_CASE("cycles come in order of extraction with their means", "[reference]") {
    // Order by hand from the rule of the standard.
    CycleTable expected(7, 3);
    expected << 3, -0.5, 0.5, 4, -1, 0.5, 4, 1, 1, 8, 1, 0.5, 9, 0.5, 0.5, 8, 0, 0.5, 6, 1, 0.5;
    const CycleTable table = rainflow(standard_history());
    REQUIRE(table.rows() == 7);
    CHECK((table == expected).all());
}

TEST_CASE("both end points are kept: zeros put before and after add their own ranges", "[reference]") {
    // The bins that the tests of the PyPI package `rainflow` print are of this longer history.
    const auto counts = counts_by_range(rainflow(column({0, -2, 1, -3, 5, -1, 3, -4, 4, -2, 0})));
    CHECK(counts == std::map<double, double>{{2, 1.0}, {3, 0.5}, {4, 1.5}, {6, 0.5}, {8, 1.0}, {9, 0.5}});
    // By lower edge of the bin; the largest range goes into the last bin.
    const auto binned = [&](double size) {
        std::map<double, double> bins;
        for (const auto& [range, count] : counts)
            bins[(range == 9 ? std::ceil(9 / size) - 1 : std::floor(range / size)) * size] += count;
        return bins;
    };
    CHECK(binned(1) == std::map<double, double>{{2, 1.0}, {3, 0.5}, {4, 1.5}, {6, 0.5}, {8, 1.5}});
    CHECK(binned(2) == std::map<double, double>{{2, 1.5}, {4, 1.5}, {6, 0.5}, {8, 1.5}});
    CHECK(binned(3) == std::map<double, double>{{0, 1.0}, {3, 2.0}, {6, 2.0}});
    CHECK(binned(5) == std::map<double, double>{{0, 3.0}, {5, 2.0}});
    libseal_test::count_published("PyPI rainflow test bins", 14);
}

TEST_CASE("a repeating history closes all its cycles wherever it starts", "[reference]") {
    // ASTM E1049-85, simplified method; the figure's counts from memory, recomputed by hand.
    const std::map<double, double> expected{{3, 1}, {4, 1}, {7, 1}, {9, 1}};
    CHECK(counts_by_range(rainflow_repeating(column({5, -1, 3, -4, 4, -2, 1, -3, 5}))) == expected);
    const Column period = column({5, -1, 3, -4, 4, -2, 1, -3});
    for (Eigen::Index start = 0; start < period.size(); ++start) {
        Column turned(period.size());
        for (Eigen::Index i = 0; i < period.size(); ++i) turned[i] = period[(start + i) % period.size()];
        CHECK(counts_by_range(rainflow_repeating(turned)) == expected);
    }
    CHECK(rainflow_repeating(column({2, 2, 2})).rows() == 0);
    CHECK(rainflow_repeating(column({1})).rows() == 0);
}

TEST_CASE("many periods of a repeating history tend to its own count", "[law]") {
    std::mt19937 random(5);
    const Column period = random_history(random, 60);
    Column many(period.size() * 50);
    for (Eigen::Index i = 0; i < many.size(); ++i) many[i] = period[i % period.size()];
    const double each = range_moment(rainflow_repeating(period), 3), all = range_moment(rainflow(many), 3);
    // Up to one swing at each end is cut off, of 50.
    CHECK(std::abs(all / 50 - each) < 0.05 * each);
    CHECK(all <= 50 * each * (1 + 1e-12));
}

TEST_CASE("closed cycles and residue of four published histories", "[published]") {
    // Haibach, Betriebsfestigkeit, figure 3.3-30.
    const auto haibach = closed_count({2, 5, 3, 6, 2, 3, 1, 6, 1, 4, 2, 3, 1, 4, 2, 5, 3, 4, 2});
    CHECK(closed_pairs(haibach) == Pairs{{5, 3}, {2, 3}, {1, 6}, {2, 3}, {1, 4}, {4, 2}, {3, 4}});
    CHECK(residue_values(haibach) == std::vector<double>{2, 6, 1, 5, 2});
    libseal_test::count_published("Haibach figure 3.3-30", 12);
    // The same history by the standard, counted by hand from the closed cycles and halves of the residue.
    CHECK(counts_by_range(rainflow(column({2, 5, 3, 6, 2, 3, 1, 6, 1, 4, 2, 3, 1, 4, 2, 5, 3, 4, 2}))) ==
          std::map<double, double>{{1, 3.0}, {2, 2.0}, {3, 1.5}, {4, 1.0}, {5, 1.5}});

    // Made-up histories in the tests of the open-source libraries pylife (the first two) and fatpack (the last).
    const auto second = closed_count({3, 6, 1, 4, 3, 5, 1, 4, 3, 4, 1, 4, 3, 5, 3, 4});
    CHECK(closed_pairs(second) == Pairs{{4, 3}, {1, 5}, {4, 3}, {1, 4}, {4, 3}});
    CHECK(residue_values(second) == std::vector<double>{3, 6, 1, 5, 3, 4});
    const auto third = closed_count({4, 3, 6, 4, 5, 2, 5, 3});
    CHECK(closed_pairs(third) == Pairs{{4, 5}});
    CHECK(residue_values(third) == std::vector<double>{4, 3, 6, 2, 5, 3});
    const auto fourth = closed_count({4, 7, 2, 10, 5, 9, 3, 4, 2, 12, 5, 11, 1, 4, 3, 10, 6, 12, 4, 8, 1, 9, 4, 6});
    CHECK(closed_pairs(fourth) == Pairs{{5, 9}, {3, 4}, {10, 2}, {5, 11}, {4, 3}, {10, 6}, {4, 8}, {1, 12}});
    CHECK(residue_values(fourth) == std::vector<double>{4, 7, 2, 12, 1, 9, 4, 6});
    libseal_test::count_published("pylife test histories", 18);
    libseal_test::count_published("fatpack test history", 16);
}

TEST_CASE("a residue put after itself closes its cycles", "[published]") {
    // Lee, Barkey & Kang, Metal Fatigue Analysis Handbook, as quoted in the tests of pylife.
    const auto once = closed_count({2, -1, 3, -5, 1, -3, 4, -4, 2});
    CHECK(closed_pairs(once) == Pairs{{1, -3}});
    CHECK(residue_values(once) == std::vector<double>{2, -1, 3, -5, 4, -4, 2});
    const auto twice = closed_count({2, -1, 3, -5, 4, -4, 2, 2, -1, 3, -5, 4, -4, 2});
    CHECK(closed_pairs(twice) == Pairs{{2, -1}, {-4, 3}, {4, -5}});
    CHECK(residue_values(twice) == std::vector<double>{2, -1, 3, -5, 4, -4, 2});
    CHECK(counts_by_range(rainflow(column({2, -1, 3, -5, 1, -3, 4, -4, 2}))) == counts_by_range(rainflow(standard_history())));
    libseal_test::count_published("Lee Barkey Kang", 18);
}

TEST_CASE("a history in two pieces counts as in one", "[published]") {
    // Chunks of 4 and 7 as in the tests of pylife.
    const Column whole = column({0, 1, 0, 1, -1, 1, 0, 1, -1, 1, 0});
    RainflowCounter counter(RainflowRule::closed);
    counter.add(whole.head(4));
    counter.add(whole.tail(7));
    CHECK(closed_pairs(counter) == Pairs{{1, 0}, {1, 0}, {-1, 1}});
    CHECK(residue_values(counter) == std::vector<double>{0, 1, -1, 1, 0});
    libseal_test::count_published("pylife test histories", 8);
}

TEST_CASE("sums over the standard's cycles", "[reference]") {
    // Arithmetic on the standard's counts.
    const CycleTable table = rainflow(standard_history());
    CHECK(range_moment(table, 1) == 23);
    CHECK(range_moment(table, 2) == 151);
    CHECK(range_moment(table, 3) == 1094);
    CHECK(range_moment(table, 4) == 8449);
    CHECK(range_moment(table, 5) == 67838);
    CHECK(equivalent_range(table, 3) == Approx(6.491112113).epsilon(1e-9));
    CHECK(equivalent_range(table, 5) == Approx(7.012657185).epsilon(1e-9));
}

TEST_CASE("open ranges of the closed count, taken as halves, make the standard's counts", "[law]") {
    std::mt19937 random(1);
    for (int k = 0; k < 300; ++k) {
        const Column series = random_history(random, 1 + random() % 120);
        const CycleTable standard = rainflow(series), closed = table_of(rainflow_cycles(series, RainflowRule::closed));
        for (const double m : {1.0, 2.0, 4.0}) CHECK(range_moment(closed, m) == Approx(range_moment(standard, m)).epsilon(1e-12));
        REQUIRE((closed.rows() > 0) == (standard.rows() > 0));
        if (closed.rows() > 0) CHECK(closed.col(2).sum() == standard.col(2).sum());
    }
}

TEST_CASE("where a history is cut does not matter", "[law]") {
    std::mt19937 random(2);
    for (int k = 0; k < 200; ++k) {
        const RainflowRule rule = k % 2 ? RainflowRule::closed : RainflowRule::standard;
        const Column series = random_history(random, 200);
        RainflowCounter whole(rule), pieces(rule);
        whole.add(series);
        for (Eigen::Index at = 0; at < series.size();) {
            const Eigen::Index size = std::min<Eigen::Index>(random() % 40, series.size() - at);
            pieces.add(series.segment(at, size));
            // A look in between changes nothing.
            (void)pieces.finish();
            at += size;
        }
        CHECK(same(pieces.finish(), whole.finish()));
        CHECK(same(pieces.counted(), whole.counted()));
        CHECK(residue_values(pieces) == residue_values(whole));
        CHECK(pieces.size() == series.size());
    }
}

TEST_CASE("plateaus neither add nor hide a turn", "[law]") {
    std::mt19937 random(3);
    for (int k = 0; k < 100; ++k) {
        const Column series = random_history(random, 80);
        std::vector<double> stretched;
        for (const double value : series) stretched.insert(stretched.end(), 1 + random() % 4, value);
        const CycleTable plain = rainflow(series);
        const CycleTable with = rainflow(Eigen::Map<const Column>(stretched.data(), static_cast<Eigen::Index>(stretched.size())));
        REQUIRE(with.rows() == plain.rows());
        CHECK((with == plain).all());
    }
    CHECK(rainflow(column({})).rows() == 0);
    CHECK(rainflow(column({3})).rows() == 0);
    CHECK(rainflow(column({3, 3, 3})).rows() == 0);
    CHECK(rainflow(column({3, 3, 4, 4})).rows() == 1);
}

TEST_CASE("turning a history upside down keeps ranges and turns means", "[law]") {
    std::mt19937 random(4);
    const Column series = random_history(random, 500);
    const CycleTable up = rainflow(series), down = rainflow(-series);
    REQUIRE(up.rows() == down.rows());
    CHECK((up.col(0) == down.col(0)).all());
    CHECK((up.col(1) == -down.col(1)).all());
}

TEST_CASE("a cycle knows where in the series it lies", "[ageing]") {
    const Column series = column({0, 0, 1, 2, 2, 1, 1, 3, 0});
    const auto cycles = rainflow_cycles(series);
    // 2 -> 1 closes within the climb to 3.
    REQUIRE(cycles.size() == 3);
    CHECK(cycles[0].from_value == 2);
    CHECK(cycles[0].first == 4);
    CHECK(cycles[0].last == 6);
    CHECK(cycles[0].duration() == 4);
    CHECK(cycles[1].first == 1);
    CHECK(cycles[1].last == 7);
    CHECK(cycles[1].duration() == 6);
    for (const auto& cycle : cycles) {
        CHECK(series[cycle.first] == cycle.from_value);
        CHECK(series[cycle.last] == cycle.to_value);
    }
}

TEST_CASE("Miner's sum of a two-level test", "[published]") {
    // A public worked example with Basquin's law N = 0.5 (stress / 1000 MPa)^-10; digits by arithmetic.
    CHECK(miner_damage(column({250, 200}), column({5000, 10000}), 1000, 0.5, 10) == Approx(0.01158474316).epsilon(1e-9));
    libseal_test::count_published("Basquin two-level example", 1);
}

TEST_CASE("Miner's sum and equivalent amplitude of a made-up year of a joint", "[reference]") {
    // Arithmetic: N = 1e4 (e / 0.25)^-4.
    const Column amplitude = column({0.05, 0.10, 0.20}), count = column({300, 60, 5});
    CHECK(miner_damage(amplitude, count, 0.25, 1e4, 4) == Approx(4.064e-4).epsilon(1e-9));
    CHECK(equivalent_amplitude(amplitude, count, 4) == Approx(0.08120919722).epsilon(1e-9));
    // The equivalent amplitude does the same damage in as many cycles.
    CHECK(miner_damage(column({equivalent_amplitude(amplitude, count, 4)}), column({365}), 0.25, 1e4, 4) == Approx(4.064e-4));
    CHECK(equivalent_amplitude(column({0, 0}), column({1, 2}), 0.3) == 0);
    CHECK(equivalent_amplitude(column({1e-200, 2e-200}), column({1, 1}), 5) > 1e-200);
}

TEST_CASE("what cannot be counted is refused with its place", "[bad_input]") {
    const double nan = std::numeric_limits<double>::quiet_NaN(), infinite = std::numeric_limits<double>::infinity();
    try {
        (void)rainflow(column({1, 2, nan}));
        FAIL("accepted");
    } catch (const ValueError& error) {
        CHECK(error.problems().front().field == "series[2]");
    }
    CHECK_THROWS_AS(rainflow(column({infinite})), ValueError);
    CHECK_THROWS_WITH(rainflow_repeating(column({1, nan})), Catch::Matchers::StartsWith("series[1]: expected a finite number"));
    CHECK(rainflow(Column()).rows() == 0);  // nothing has no cycles
    CHECK(rainflow_repeating(Column()).rows() == 0);
    RainflowCounter counter;
    counter.add(column({1, 2, 1}));
    const auto before = counter.finish();
    CHECK_THROWS_AS(counter.add(column({5, nan})), ValueError);
    CHECK(same(counter.finish(), before));
    CHECK_THROWS_AS(equivalent_range(rainflow(column({1})), 3), ValueError);
    CHECK_THROWS_AS(equivalent_range(rainflow(standard_history()), 0), ValueError);
    CHECK_THROWS_AS(range_moment(rainflow(standard_history()), nan), ValueError);
    CHECK_THROWS_AS(equivalent_amplitude(column({1}), column({1, 2}), 1), ValueError);
    CHECK_THROWS_AS(equivalent_amplitude(column({-1}), column({1}), 1), ValueError);
    CHECK_THROWS_AS(miner_damage(column({1}), column({-1}), 1, 1, 1), ValueError);
    CHECK_THROWS_AS(miner_damage(column({1}), column({1}), 0, 1, 1), ValueError);
    CHECK_THROWS_AS(miner_damage(column({1}), column({1}), 1, 1, nan), ValueError);
}

TEST_CASE("rainflow decides between ranges without rounding", "[ageing]") {
    // 1e16 - 1 and 1e16 - 0 round to the same number: the second range is the shorter one all the same.
    Column series(4);
    series << 0, 1e16, 1, 2e16;
    const auto cycles = rainflow_cycles(series);
    REQUIRE(cycles.size() == 2);
    CHECK(cycles[0].count == 1);
    CHECK(cycles[0].from_value == 1e16);
    CHECK(cycles[0].to_value == 1);
    CHECK(cycles[1].count == 0.5);
    // And ranges beyond the largest double.
    series << -1.7e308, 1.7e308, -1.6e308, 1.6e308;
    CHECK(rainflow_cycles(series).size() == 3);
    CHECK(rainflow_cycles(series)[0].count == 0.5);
}
