#include "libseal/work/critical_path.hpp"

#include <map>

#include "libseal/core/error.hpp"
#include "support/catch.hpp"
#include "support/published.hpp"
#include "work/samples.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

Edge link(int from, int to, double lag = 0) { return {from, to, "upstream_first", Strength::hard, lag, "as published"}; }

/// An activity between two events, with the times that were published for it.
struct Arc {
    int from, to;
    double duration, early_start, early_finish, late_start, late_finish, slack;
};

/// Activities on arcs: one follows another where it leaves the event that the other reaches.
std::vector<Edge> links_of(const std::vector<Arc>& arcs) {
    std::vector<Edge> links;
    for (std::size_t i = 0; i < arcs.size(); ++i)
        for (std::size_t j = 0; j < arcs.size(); ++j)
            if (arcs[i].to == arcs[j].from) links.push_back(link(static_cast<int>(i), static_cast<int>(j)));
    return links;
}

std::vector<double> durations_of(const std::vector<Arc>& arcs) {
    std::vector<double> durations;
    for (const Arc& arc : arcs) durations.push_back(arc.duration);
    return durations;
}

/// Milwaukee Paper: activities A to H.
const std::vector<Edge> paper_links{link(0, 2), link(0, 3), link(1, 3), link(2, 4), link(2, 5),
                                    link(3, 6), link(4, 6), link(5, 7), link(6, 7)};

}  // namespace

TEST_CASE("times and slack of a textbook network of thirteen arcs", "[work][published]") {
    // Taylor, Introduction to Management Science, chapter 8, solutions. Whole numbers: exact.
    const std::vector<Arc> arcs{{1, 2, 8, 0, 8, 1, 9, 1},       {1, 3, 10, 0, 10, 0, 10, 0},    {1, 4, 9, 0, 9, 6, 15, 6},
                                {2, 5, 6, 8, 14, 9, 15, 1},     {2, 6, 4, 8, 12, 16, 20, 8},    {3, 5, 5, 10, 15, 10, 15, 0},
                                {4, 5, 0, 9, 9, 15, 15, 6},     {4, 7, 7, 9, 16, 20, 27, 11},   {5, 7, 12, 15, 27, 15, 27, 0},
                                {5, 8, 15, 15, 30, 16, 31, 1},  {6, 9, 18, 12, 30, 20, 38, 8},  {7, 8, 4, 27, 31, 27, 31, 0},
                                {8, 9, 7, 31, 38, 31, 38, 0}};
    const NetworkTimes times = critical_path(durations_of(arcs), links_of(arcs));
    CHECK(times.length == 38);
    for (std::size_t i = 0; i < arcs.size(); ++i) {
        CAPTURE(arcs[i].from, arcs[i].to);
        CHECK(times.early_start[i] == arcs[i].early_start);
        CHECK(times.early_finish[i] == arcs[i].early_finish);
        CHECK(times.late_start[i] == arcs[i].late_start);
        CHECK(times.late_finish[i] == arcs[i].late_finish);
        CHECK(times.total_float[i] == arcs[i].slack);
    }
    CHECK(times.critical == std::vector<int>{1, 5, 8, 11, 12});  // 1-3-5-7-8-9
    count_published("Taylor, Introduction to Management Science", 67);
}

TEST_CASE("slack of a textbook network of seven arcs", "[work][published]") {
    // Taylor, Introduction to Management Science, chapter 8, solutions: slack and length.
    const std::vector<Arc> arcs{{1, 2, 7, 0, 0, 0, 0, 2}, {1, 3, 10, 0, 0, 0, 0, 0}, {2, 4, 6, 0, 0, 0, 0, 2}, {3, 4, 5, 0, 0, 0, 0, 0},
                                {3, 5, 4, 0, 0, 0, 0, 4}, {4, 5, 3, 0, 0, 0, 0, 0},  {5, 6, 2, 0, 0, 0, 0, 0}};
    const NetworkTimes times = critical_path(durations_of(arcs), links_of(arcs));
    CHECK(times.length == 20);
    for (std::size_t i = 0; i < arcs.size(); ++i) CHECK(times.total_float[i] == arcs[i].slack);
    count_published("Taylor, Introduction to Management Science", 8);
}

TEST_CASE("times and floats of an eight-task network of lecture slides", "[work][published]") {
    // Lecture slides on project scheduling (slideplayer 3283910); free floats are computed here from the printed times.
    const std::vector<double> durations{4, 3, 5, 2, 5, 6, 4, 3};
    const NetworkTimes times = critical_path(durations, {link(0, 1), link(0, 2), link(0, 3), link(1, 4), link(2, 4), link(2, 5), link(3, 5),
                                                         link(4, 6), link(5, 6), link(6, 7)});
    CHECK(times.early_start == std::vector<double>{0, 4, 4, 4, 9, 9, 15, 19});
    CHECK(times.early_finish == std::vector<double>{4, 7, 9, 6, 14, 15, 19, 22});
    CHECK(times.late_start == std::vector<double>{0, 7, 4, 7, 10, 9, 15, 19});
    CHECK(times.late_finish == std::vector<double>{4, 10, 9, 9, 15, 15, 19, 22});
    CHECK(times.total_float == std::vector<double>{0, 3, 0, 3, 1, 0, 0, 0});
    CHECK(times.free_float == std::vector<double>{0, 2, 0, 3, 1, 0, 0, 0});
    CHECK(times.critical == std::vector<int>{0, 2, 5, 6, 7});
    CHECK(times.length == 22);
    count_published("Lecture slides, eight-task network", 42);
}

TEST_CASE("Milwaukee Paper: times, slack, variance and the chance of sixteen weeks", "[work][published]") {
    // Heizer & Render, Operations Management (from memory). Times with the plain durations.
    const NetworkTimes times = critical_path({2, 3, 2, 4, 4, 3, 5, 2}, paper_links);
    CHECK(times.length == 15);
    CHECK(times.early_start == std::vector<double>{0, 0, 2, 3, 4, 4, 8, 13});
    CHECK(times.early_finish == std::vector<double>{2, 3, 4, 7, 8, 7, 13, 15});
    CHECK(times.late_start == std::vector<double>{0, 1, 2, 4, 4, 10, 8, 13});
    CHECK(times.late_finish == std::vector<double>{2, 4, 4, 8, 8, 13, 13, 15});
    CHECK(times.total_float == std::vector<double>{0, 1, 0, 1, 0, 6, 0, 0});
    CHECK(times.free_float == std::vector<double>{0, 0, 0, 1, 0, 6, 0, 0});
    CHECK(times.critical == std::vector<int>{0, 2, 4, 6, 7});
    const LengthEstimate estimate = length_estimate(
        {{1, 2, 3}, {2, 3, 4}, {1, 2, 3}, {2, 4, 6}, {1, 4, 7}, {1, 2, 9}, {3, 4, 11}, {1, 2, 3}}, paper_links);
    CHECK(estimate.mean == Approx(15).margin(1e-12).epsilon(0));
    CHECK(estimate.variance == Approx(28.0 / 9).margin(1e-12).epsilon(0));
    // The book has 0.7157 because it rounds z to 0.57; 0.7146 is what its numbers give.
    CHECK(estimate.chance_within(16) == Approx(0.7146).margin(5e-5).epsilon(0));
    CHECK(estimate.critical == times.critical);
    count_published("Heizer & Render, Milwaukee Paper", 20);
}

TEST_CASE("no activity can slip by more than its float, and by all of it", "[work][law]") {
    RandomStream random(GENERATE(range(1, 21)), 7);
    const int n = static_cast<int>(2 + random.below(15));
    std::vector<double> durations;
    for (int i = 0; i < n; ++i) durations.push_back(static_cast<double>(random.below(9)));
    std::vector<Edge> links;
    for (int i = 0; i < n; ++i)
        for (int j = i + 1; j < n; ++j)
            if (random.below(4) == 0) links.push_back(link(i, j, static_cast<double>(random.below(5))));
    const NetworkTimes times = critical_path(durations, links);
    for (int i = 0; i < n; ++i) {
        const auto k = static_cast<std::size_t>(i);
        auto slower = durations;
        slower[k] += times.total_float[k];
        CHECK(critical_path(slower, links).length == times.length);
        slower[k] += 1;
        CHECK(critical_path(slower, links).length == times.length + 1);
        slower[k] = durations[k] + times.free_float[k];
        CHECK(critical_path(slower, links).early_start == times.early_start);
    }
    double chain = 0;
    for (std::size_t c = 0; c < times.critical.size(); ++c) {
        CHECK(times.total_float[static_cast<std::size_t>(times.critical[c])] == 0);
        chain += durations[static_cast<std::size_t>(times.critical[c])];
    }
    CHECK(chain <= times.length);
}

TEST_CASE("a network that is none is refused", "[work][bad_input]") {
    CHECK_THROWS_AS(critical_path({1, -1}, {}), ValueError);
    CHECK_THROWS_AS(critical_path({1, 1}, {link(0, 2)}), ValueError);
    CHECK_THROWS_AS(critical_path({1, 1}, {link(0, 1, -1)}), ValueError);
    CHECK_THROWS_AS(critical_path({1, 1}, {link(0, 1), link(1, 0)}), ValueError);
    CHECK_THROWS_AS(length_estimate({{2, 1, 3}}, {}), ValueError);
    CHECK(critical_path(std::vector<double>{}, {}).length == 0);
    CHECK(length_estimate({{3, 3, 3}}, {}).chance_within(3) == 1);
}

TEST_CASE("no plan is shorter than its critical path", "[work][law]") {
    const Coach coach = sample_trailer(3);
    const WorkPlan plan = plan_work(coach, sample_findings(coach, 3, 20), sample_forecast(coach, 3), sample_shop(), sample_day());
    const NetworkTimes times = critical_path(plan);
    REQUIRE(times.critical.size() > 2);
    CHECK(plan.steps[static_cast<std::size_t>(times.critical.back())].kind == "record");
    for (const Edge& edge : plan.edges)
        CHECK(times.early_start[static_cast<std::size_t>(edge.to)] >= times.early_finish[static_cast<std::size_t>(edge.from)] + edge.lag);
}
