// Visits by days: worked examples, and all small cases against all choices of days.

#include <cmath>
#include <limits>

#include "calendar/shop_days.hpp"
#include "libseal/calendar/visits.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "support/catch.hpp"
#include "support/published.hpp"
#include "work/samples.hpp"

using namespace libseal;

namespace {

constexpr double never = std::numeric_limits<double>::infinity();

/// Slopes before and after the best day, infinite outside the window.
VisitWork sloped(int best, double early, double late, int from, int to, int days) {
    VisitWork work;
    for (int d = 0; d < days; ++d)
        work.penalty.push_back(d < from || d > to ? never : d < best ? early * (best - d) : late * (d - best));
    return work;
}

VisitWork windowed(int from, int to, int days) { return sloped(from, 0, 0, from, to, days); }

/// Least cost over all sets of days.
double enumerated(const std::vector<VisitWork>& works, const std::vector<double>& set_up) {
    double best = never;
    for (unsigned set = 0; set < (1u << set_up.size()); ++set) {
        double total = 0;
        for (std::size_t d = 0; d < set_up.size(); ++d)
            if (set & (1u << d)) total += set_up[d];
        for (const VisitWork& work : works) {
            double least = never;
            for (std::size_t d = 0; d < set_up.size(); ++d)
                if (set & (1u << d)) least = std::min(least, work.penalty[d]);
            total += least;
        }
        best = std::min(best, total);
    }
    return best;
}

/// Least cost where only works that follow each other by best day share a visit.
double by_consecutive_groups(const std::vector<VisitWork>& works, const std::vector<double>& set_up) {
    std::vector<double> cost(works.size() + 1, never);
    cost[0] = 0;
    for (std::size_t to = 1; to <= works.size(); ++to)
        for (std::size_t from = 0; from < to; ++from)
            for (std::size_t d = 0; d < set_up.size(); ++d) {
                double group = cost[from] + set_up[d];
                for (std::size_t i = from; i < to; ++i) group += works[i].penalty[d];
                cost[to] = std::min(cost[to], group);
            }
    return cost.back();
}

double price_of(const VisitPlan& plan, const std::vector<VisitWork>& works, const std::vector<double>& set_up) {
    double total = 0;
    for (const int day : plan.days) total += set_up[static_cast<std::size_t>(day)];
    for (std::size_t i = 0; i < works.size(); ++i)
        if (plan.visit_of[i] >= 0)
            total += works[i].penalty[static_cast<std::size_t>(plan.days[static_cast<std::size_t>(plan.visit_of[i])])];
    return total;
}

/// Random works with one valley each and holes only in the days of visits. Synthetic.
struct Case {
    std::vector<VisitWork> works;
    std::vector<double> set_up;
};

Case random_case(std::uint64_t seed, int days, std::size_t most_works) {
    RandomStream random(seed, 4);
    Case one;
    for (int d = 0; d < days; ++d)
        one.set_up.push_back(random.below(5) == 0 ? never : std::round(10 * random.uniform()) + (d % 3));
    for (std::uint64_t i = 0, n = 1 + random.below(most_works); i < n; ++i) {
        const int best = static_cast<int>(random.below(static_cast<std::uint64_t>(days)));
        VisitWork work = sloped(best, std::round(6 * random.uniform()) / 2, std::round(8 * random.uniform()) / 2,
                                best - static_cast<int>(random.below(6)), best + static_cast<int>(random.below(5)), days);
        work.hours = 1 + static_cast<double>(random.below(4));
        bool possible = false;
        for (int d = 0; d < days; ++d)
            possible = possible || (work.penalty[static_cast<std::size_t>(d)] < never && one.set_up[static_cast<std::size_t>(d)] < never);
        if (possible) one.works.push_back(std::move(work));
    }
    return one;
}

}  // namespace

TEST_CASE("visit days find the grouping that consecutive groups miss", "[calendar][published]") {
    // Own four-work example against the grouping program of Wildeman, Dekker & Smit 1997: best day, early slope, late
    // slope, window; computed by enumeration.
    const std::vector<VisitWork> works{sloped(3, 2, 1, 0, 3, 12), sloped(4, 5, 0.5, 2, 7, 12), sloped(5, 2, 5, 0, 6, 12),
                                       sloped(10, 0.5, 0.5, 6, 11, 12)};
    const std::vector<double> set_up(12, 9.0);
    const VisitPlan plan = best_visits(works, set_up);
    CHECK(plan.cost == 25);
    CHECK(plan.exact);
    CHECK(plan.best_day == std::vector<int>{3, 4, 5, 10});
    CHECK(by_consecutive_groups(works, set_up) == 26);
    CHECK(enumerated(works, set_up) == 25);
    libseal_test::count_published("Wildeman, Dekker & Smit 1997, counter-example by enumeration", 2);
}

TEST_CASE("hard windows alone need the fewest days, the last ones possible", "[calendar][published]") {
    // Interval stabbing, worked example: a[1,4] b[2,6] c[5,8] d[7,9] e[10,12] f[3,5] need the days 4, 8, 12.
    const std::vector<VisitWork> works{windowed(1, 4, 13), windowed(2, 6, 13),   windowed(5, 8, 13),
                                       windowed(7, 9, 13), windowed(10, 12, 13), windowed(3, 5, 13)};
    const VisitPlan plan = best_visits(works, std::vector<double>(13, 1.0));
    CHECK(plan.days == std::vector<int>{4, 8, 12});
    CHECK(plan.visit_of[3] == 1);
    CHECK(plan.cost == 3);
    libseal_test::count_published("Interval stabbing, worked example", 3);
}

TEST_CASE("quadratic penalties group as all 203 partitions do", "[calendar][published]") {
    // Best days A10 B14 C15 D27 E30 F45, weights 1, .5, 2, .25, 1, .5, set-up 40: {A,B,C} on 13.429, {D,E} on 29.4, {F}; 138.6571
    // over all partitions. A group's best day is its weighted mean: the means of all groups are the days.
    const double best[] = {10, 14, 15, 27, 30, 45}, weight[] = {1, 0.5, 2, 0.25, 1, 0.5};
    std::vector<double> days;
    for (unsigned set = 1; set < 64; ++set) {
        double sum = 0, all = 0;
        for (int i = 0; i < 6; ++i)
            if (set & (1u << i)) sum += weight[i] * best[i], all += weight[i];
        days.push_back(sum / all);
    }
    std::sort(days.begin(), days.end());
    std::vector<VisitWork> works(6);
    for (int i = 0; i < 6; ++i)
        for (const double day : days) works[static_cast<std::size_t>(i)].penalty.push_back(weight[i] * (day - best[i]) * (day - best[i]));
    const VisitPlan plan = best_visits(works, std::vector<double>(days.size(), 40.0));
    CHECK(plan.cost == Approx(138.6571).margin(0.00005));
    REQUIRE(plan.days.size() == 3);
    CHECK(days[static_cast<std::size_t>(plan.days[0])] == Approx(13.429).margin(0.0005));
    CHECK(days[static_cast<std::size_t>(plan.days[1])] == Approx(29.4).margin(0.05));
    CHECK(plan.visit_of == std::vector<int>{0, 0, 0, 1, 1, 2});
    libseal_test::count_published("Quadratic grouping, worked example", 3);
}

TEST_CASE("the steady cycle of six works is that of the replenishment problem", "[calendar][published]") {
    // Goyal 1974, data as commonly quoted (from memory): demand, order cost, holding 1, set-up 200. Enumeration over k <= 8:
    // k = (1,1,1,2,2,4), T = 0.18932, 4 164.97; six cycles of their own cost 6 554.52.
    const std::vector<double> demand{10000, 5000, 3000, 1000, 600, 200}, cost{45, 46, 47, 44, 45, 47};
    const VisitCycle cycle = best_cycle(200, cost, demand);
    CHECK(cycle.every == std::vector<int>{1, 1, 1, 2, 2, 4});
    CHECK(cycle.interval == Approx(0.18932).margin(0.000005));
    CHECK(cycle.cost_rate == Approx(4164.97).margin(0.005));
    double alone = 0;
    for (std::size_t i = 0; i < 6; ++i) alone += best_cycle(200, {cost[i]}, {demand[i]}).cost_rate;
    CHECK(alone == Approx(6554.52).margin(0.005));
    double least = never;  // all 8^6 choices
    for (int code = 0; code < 262144; ++code) {
        double fixed = 200, rate = 0;
        for (int i = 0, rest = code; i < 6; ++i, rest /= 8) {
            fixed += cost[static_cast<std::size_t>(i)] / (1 + rest % 8);
            rate += (1 + rest % 8) * demand[static_cast<std::size_t>(i)];
        }
        least = std::min(least, std::sqrt(2 * fixed * rate));
    }
    CHECK(cycle.cost_rate == Approx(least).epsilon(1e-12));
    libseal_test::count_published("Goyal 1974", 4);
}

TEST_CASE("visits cost as little as the best of all sets of days, on all small cases", "[calendar][law]") {
    for (std::uint64_t seed = 1; seed <= 600; ++seed) {
        const Case one = random_case(seed, 10, 6);
        const VisitPlan plan = best_visits(one.works, one.set_up);
        CAPTURE(seed);
        if (one.works.empty()) {
            CHECK(plan.days.empty());
            continue;
        }
        CHECK(plan.exact);
        CHECK(plan.cost == Approx(enumerated(one.works, one.set_up)).epsilon(1e-12));
        CHECK(plan.cost == Approx(price_of(plan, one.works, one.set_up)).epsilon(1e-12));
        CHECK(plan.bound == Approx(plan.cost).epsilon(1e-9));
        for (const int visit : plan.visit_of) CHECK(visit >= 0);
    }
}

TEST_CASE("penalties with several valleys are bounded, and the plan is a plan", "[calendar][law]") {
    int least_found = 0, cases = 0;
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        Case one = random_case(seed, 9, 5);
        RandomStream random(seed, 5);
        for (VisitWork& work : one.works)
            for (double& price : work.penalty)
                if (price < never) price = std::round(8 * random.uniform());
        const VisitPlan plan = best_visits(one.works, one.set_up);
        const double least = one.works.empty() ? 0 : enumerated(one.works, one.set_up);
        CAPTURE(seed);
        CHECK(plan.bound <= least + 1e-9);
        CHECK(plan.cost >= least - 1e-9);
        CHECK(plan.cost == Approx(price_of(plan, one.works, one.set_up)).margin(1e-9));
        if (plan.exact) CHECK(plan.cost == Approx(least).margin(1e-9));
        least_found += plan.cost <= least + 1e-9 ? 1 : 0;
        ++cases;
    }
    CHECK(least_found >= cases * 9 / 10);
}

TEST_CASE("no visit is longer than the limit unless a single work is", "[calendar][law]") {
    for (std::uint64_t seed = 1; seed <= 300; ++seed) {
        const Case one = random_case(seed, 12, 8);
        VisitOptions options;
        options.most_hours = 4;
        const VisitPlan free = best_visits(one.works, one.set_up), plan = best_visits(one.works, one.set_up, options);
        CAPTURE(seed);
        CHECK(plan.bound <= free.cost + 1e-9);
        std::vector<double> hours(plan.days.size(), 0.0);
        std::vector<int> count(plan.days.size(), 0);
        bool all = true;
        for (std::size_t i = 0; i < one.works.size(); ++i) {
            all = all && plan.visit_of[i] >= 0;
            if (plan.visit_of[i] < 0) continue;
            const auto v = static_cast<std::size_t>(plan.visit_of[i]);
            hours[v] += one.works[i].hours, ++count[v];
            CHECK(one.works[i].penalty[static_cast<std::size_t>(plan.days[v])] < never);
        }
        for (std::size_t v = 0; v < hours.size(); ++v) CHECK((hours[v] <= 4 || count[v] == 1));
        if (all) CHECK(plan.cost >= free.cost - 1e-9);
    }
}

TEST_CASE("visits refuse what makes no sense", "[calendar][bad_input]") {
    CHECK_THROWS_AS(best_visits({windowed(0, 1, 3)}, {1, 1}), ValueError);
    CHECK_THROWS_AS(best_visits({windowed(0, 1, 2)}, {1, -1}), ValueError);
    VisitWork odd = windowed(0, 1, 2);
    odd.penalty[0] = std::nan("");
    CHECK_THROWS_AS(best_visits({odd}, {1, 1}), ValueError);
    CHECK_THROWS_AS(best_cycle(1, {1}, {1, 2}), ValueError);
    CHECK_THROWS_AS(best_cycle(1, {1}, {0}), ValueError);
    CHECK_THROWS_AS(best_cycle(0, {0}, {1}), ValueError);
    CHECK_THROWS_AS(best_cycle(1, {1, -1}, {1, 1}), ValueError);
    CHECK_THROWS_AS(best_cycle(1, {1, never}, {1, 1}), ValueError);
    for (const double hours : {-1.0, never}) {
        VisitWork long_one = windowed(0, 1, 2);
        long_one.hours = hours;
        CHECK_THROWS_AS(best_visits({long_one}, {1, 1}), ValueError);
    }
    CHECK(best_visits({}, {1, 1}).days.empty());
    CHECK(best_visits({windowed(0, 1, 2)}, {never, never}).visit_of == std::vector<int>{-1});
}

TEST_CASE("the days of a shop count shifts, absences and hours beyond the shift", "[calendar]") {
    // Worked by hand. Three people from 8 to 17 with an hour of break; one is away for a Tuesday, one works two hours longer on Wednesday.
    Shop shop = libseal_test::sample_shop(3, 1);
    const Date monday = make_date(2027, 3, 1);
    shop.absences = {{"p1", minute_of(monday + 1), minute_of(monday + 2), "away"}};
    shop.overtime = {{"p2", minute_of(monday + 2, 1020), minute_of(monday + 2, 1140)}};
    const detail::ShopDays days(shop, monday, monday + 6);
    const Minute shift = days.at(monday).longest;
    CHECK(shift > 0);
    CHECK(days.at(monday).capacity == 3 * shift);
    CHECK(days.at(monday + 1).capacity == 2 * shift);
    CHECK(days.at(monday + 2).capacity == 3 * shift);
    CHECK(days.at(monday + 2).overtime == 120);
    CHECK(days.at(monday + 2).longest == shift + 120);
    CHECK(days.at(monday).overtime == 0);
    CHECK_FALSE(days.works(monday + 6));
    // With one person alone, who has hours of their own.
    shop.people = {shop.people[2]};
    shop.absences.clear();
    const detail::ShopDays alone(shop, monday, monday + 6);
    CHECK(alone.at(monday).longest == shift);
    CHECK(alone.at(monday + 2).longest == shift + 120);
}
