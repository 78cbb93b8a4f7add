// Work in weeks: the worked example, and random cases against enumeration.

#include "libseal/calendar/levelling.hpp"

#include <cmath>
#include <limits>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "support/catch.hpp"
#include "support/published.hpp"

using namespace libseal;

namespace {

constexpr double never = std::numeric_limits<double>::infinity();

/// Early 1, late 4 per hour and week.
WeekWork coach(const std::string& id, int due, double hours, int first, int last) {
    WeekWork work{id, hours, first - 1, {}};
    for (int week = first; week <= last; ++week) work.cost.push_back(hours * (week < due ? due - week : 4.0 * (week - due)));
    return work;
}

std::vector<WeekWork> seven_coaches() {
    return {coach("A", 2, 24, 1, 3), coach("B", 2, 30, 1, 3), coach("C", 2, 18, 2, 4), coach("D", 3, 36, 2, 4),
            coach("E", 3, 20, 1, 4), coach("F", 4, 30, 3, 5), coach("G", 5, 16, 4, 5)};
}

/// Least cost (or, with `peak`, the smallest peak) of whole works over all plans within capacity; infinite if there is none.
double enumerated(const std::vector<WeekWork>& works, const std::vector<WeekCapacity>& weeks, double overtime_cost, bool peak,
                  std::vector<double> load = {}, std::size_t i = 0, double cost = 0) {
    load.resize(weeks.size());
    if (i == works.size()) {
        double top = 0;
        for (std::size_t w = 0; w < weeks.size(); ++w) {
            if (!peak && load[w] > weeks[w].normal + weeks[w].overtime + 1e-9) return never;
            cost += overtime_cost * std::max(0.0, load[w] - weeks[w].normal);
            top = std::max(top, load[w]);
        }
        return peak ? top : cost;
    }
    double best = never;
    for (std::size_t k = 0; k < works[i].cost.size(); ++k) {
        if (works[i].cost[k] == never) continue;
        const std::size_t w = static_cast<std::size_t>(works[i].first) + k;
        load[w] += works[i].hours;
        best = std::min(best, enumerated(works, weeks, overtime_cost, peak, load, i + 1, cost + works[i].cost[k]));
        load[w] -= works[i].hours;
    }
    return best;
}

std::vector<WeekWork> random_works(std::uint64_t seed, std::size_t n, int weeks) {
    RandomStream random(seed, 6);
    std::vector<WeekWork> works;
    for (std::size_t i = 0; i < n; ++i) {
        const int first = static_cast<int>(random.below(static_cast<std::uint64_t>(weeks)));
        const int last = std::min(weeks - 1, first + static_cast<int>(random.below(3)));
        WeekWork work{"w" + std::to_string(i), 2 + static_cast<double>(random.below(20)), first, {}};
        for (int w = first; w <= last; ++w) work.cost.push_back(std::round(40 * random.uniform()));
        if (work.cost.size() > 2 && random.below(4) == 0) work.cost[1] = never;
        works.push_back(std::move(work));
    }
    return works;
}

}  // namespace

TEST_CASE("seven coaches in five weeks cost and peak as in the worked example", "[calendar][published]") {
    // Worked example: flow by two programs, whole coaches by enumeration of all 1 944 plans.
    const std::vector<WeekWork> works = seven_coaches();
    const std::vector<WeekCapacity> weeks(5, WeekCapacity{40, 8});
    LevellingOptions options;
    options.overtime_cost = 6;
    const Levelling level = level_weeks(works, weeks, options);
    CHECK(level.bound == Approx(80).epsilon(1e-12));
    CHECK(level.cost == 136);
    CHECK(level.week == std::vector<int>{0, 1, 1, 2, 0, 3, 4});
    CHECK(level.gap == Approx(56.0 / 136));
    CHECK(enumerated(works, weeks, 6, false) == 136);
    const Levelling flat = lowest_peak(works, 5);
    CHECK(flat.peak == 42);
    // Whole hours: 35; to the minute it is the mean of the weeks, 174 h / 5.
    CHECK(std::ceil(flat.divided_peak - 1e-3) == 35);
    CHECK(flat.divided_peak == Approx(174.0 / 5).epsilon(1e-6));
    CHECK(enumerated(works, weeks, 6, true) == 42);
    std::vector<double> due_week(5, 0.0);
    for (const WeekWork& work : works)
        for (std::size_t k = 0; k < work.cost.size(); ++k)
            if (work.cost[k] == 0) due_week[static_cast<std::size_t>(work.first) + k] += work.hours;
    CHECK(due_week == std::vector<double>{0, 72, 56, 30, 16});
    libseal_test::count_published("Fleet levelling, worked example", 9);
}

TEST_CASE("whole coaches are within one percent of the best of all plans, and never below the bound", "[calendar][law]") {
    int best = 0, cases = 0;
    for (std::uint64_t seed = 1; seed <= 150; ++seed) {
        const std::vector<WeekWork> works = random_works(seed, 8, 6);
        const std::vector<WeekCapacity> weeks(6, WeekCapacity{static_cast<double>(16 + seed % 10), 6});
        LevellingOptions options;
        options.overtime_cost = static_cast<double>(1 + seed % 4);
        options.seed = seed;
        const double least = enumerated(works, weeks, options.overtime_cost, false);
        const Levelling level = level_weeks(works, weeks, options);
        CAPTURE(seed);
        CHECK(level.load.size() == 6);
        std::vector<double> load(6, 0.0);
        for (std::size_t i = 0; i < works.size(); ++i)
            if (level.week[i] >= 0) load[static_cast<std::size_t>(level.week[i])] += works[i].hours;
        for (std::size_t w = 0; w < 6; ++w) {
            CHECK(load[w] == Approx(level.load[w]).margin(1e-9));
            CHECK(load[w] <= weeks[w].normal + weeks[w].overtime + 1e-9);
        }
        if (least == never) continue;
        ++cases;
        const bool all = std::count(level.week.begin(), level.week.end(), -1) == 0;
        CHECK(all);
        CHECK(level.bound <= least + 1e-6);
        CHECK(level.cost <= 1.01 * least + 1e-9);
        best += level.cost <= least + 1e-9 ? 1 : 0;
    }
    CHECK(cases > 50);
    CHECK(best >= cases * 95 / 100);
}

TEST_CASE("the bound is the price of the cheapest division", "[calendar][law]") {
    // Two works, one week that both want: an hour moved on frees the week for the work that is dear to move.
    const std::vector<WeekWork> works{{"a", 10, 0, {0, 10}}, {"b", 10, 0, {0, 50, 20}}, {"c", 4, 1, {0, 40}}};
    // Weeks of 10, 12 and 2 h: whole works do not fit, divided they do.
    const Levelling tight = level_weeks(works, {{10, 0}, {12, 0}, {2, 0}});
    CHECK(tight.fits);
    CHECK(tight.bound == 0);
    // With room for 20 h in the second week a goes on as a whole, at 1 an hour.
    const Levelling roomy = level_weeks(works, {{10, 0}, {12, 8}, {10, 0}});
    CHECK(roomy.bound == Approx(10).epsilon(1e-12));
    CHECK(roomy.cost == Approx(10).epsilon(1e-12));
}

TEST_CASE("the smallest peak is that of all plans", "[calendar][law]") {
    for (std::uint64_t seed = 1; seed <= 25; ++seed) {
        const std::vector<WeekWork> works = random_works(seed, 8, 5);
        const double least = enumerated(works, std::vector<WeekCapacity>(5), 0, true);
        const Levelling flat = lowest_peak(works, 5);
        CAPTURE(seed);
        CHECK(flat.peak == Approx(least).epsilon(1e-6));
        CHECK(flat.divided_peak <= least * (1 + 1e-6));
    }
}

TEST_CASE("a kept plan moves only where that is worth its price", "[calendar][law]") {
    const std::vector<WeekWork> works = random_works(3, 12, 6);
    const std::vector<WeekCapacity> weeks(6, WeekCapacity{40, 20});
    LevellingOptions options;
    options.overtime_cost = 3;
    const Levelling first = level_weeks(works, weeks, options);
    options.keep = first.week;
    options.move_cost = 5;
    const Levelling again = level_weeks(works, weeks, options);
    CHECK(again.week == first.week);
    CHECK(again.moved == 0);
    // One more coach: what moves pays for it.
    std::vector<WeekWork> more = works;
    more.push_back({"late arrival", 30, 1, {0, 50, 100}});
    options.keep.push_back(-1);
    options.move_cost = 1e6;
    const Levelling still = level_weeks(more, weeks, options);
    for (std::size_t i = 0; i < works.size(); ++i) CHECK(still.week[i] == first.week[i]);
}

TEST_CASE("what has no room is told, and bad weeks are refused", "[calendar][bad_input]") {
    const std::vector<WeekCapacity> weeks(2, WeekCapacity{5, 0});
    const Levelling level = level_weeks({{"a", 4, 0, {1, 1}}, {"b", 4, 0, {1, 1}}, {"c", 4, 0, {1, 1}}}, weeks);
    CHECK(std::count(level.week.begin(), level.week.end(), -1) == 1);
    CHECK_FALSE(level.fits);
    CHECK(level.bound == 0);
    CHECK_THROWS_AS(level_weeks({{"a", 0, 0, {1}}}, weeks), ValueError);
    CHECK_THROWS_AS(level_weeks({{"a", 1, 1, {1, 1}}}, weeks), ValueError);
    CHECK_THROWS_AS(level_weeks({{"a", 1, 0, {std::nan("")}}}, weeks), ValueError);
    const std::vector<WeekWork> one{{"a", 1, 0, {1, 1}}};
    for (const double wrong : {-1.0, std::nan(""), std::numeric_limits<double>::infinity()}) {
        CHECK_THROWS_AS(level_weeks(one, {WeekCapacity{wrong, 0}, WeekCapacity{5, 0}}), ValueError);
        CHECK_THROWS_AS(level_weeks(one, {WeekCapacity{5, 0}, WeekCapacity{5, wrong}}), ValueError);
        LevellingOptions options;
        options.overtime_cost = wrong;
        CHECK_THROWS_AS(level_weeks(one, weeks, options), ValueError);
        options = {};
        options.move_cost = wrong;
        CHECK_THROWS_AS(level_weeks(one, weeks, options), ValueError);
    }
    LevellingOptions options;
    options.keep = {0, 1};
    CHECK_THROWS_AS(level_weeks(one, weeks, options), ValueError);
    options.keep = {0};
    CHECK(level_weeks(one, weeks, options).week[0] == 0);
    CHECK(level_weeks({}, weeks).cost == 0);
    CHECK(lowest_peak({}, 3).peak == 0);
}
