#include "libseal/work/order.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "libseal/core/error.hpp"
#include "support/catch.hpp"
#include "work/samples.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

std::vector<Step> marks(int count) {
    std::vector<Step> steps(static_cast<std::size_t>(count));
    for (int i = 0; i < count; ++i) {
        steps[static_cast<std::size_t>(i)].id = std::string(1, static_cast<char>('a' + i));
        steps[static_cast<std::size_t>(i)].minutes = {10, 10, 10};
    }
    return steps;
}

Edge edge(int from, int to, double lag = 0, Strength strength = Strength::hard,
          const std::string& rule = "upstream_first") {
    return {from, to, rule, strength, lag, "because"};
}

std::set<std::pair<int, int>> reach(std::size_t n, const std::vector<Edge>& edges) {
    std::set<std::pair<int, int>> pairs;
    for (const Edge& e : edges) pairs.insert({e.from, e.to});
    for (int k = 0; k < static_cast<int>(n); ++k)
        for (int i = 0; i < static_cast<int>(n); ++i)
            if (pairs.count({i, k}))
                for (int j = 0; j < static_cast<int>(n); ++j)
                    if (pairs.count({k, j})) pairs.insert({i, j});
    return pairs;
}

int step_named(const WorkPlan& plan, const std::string& id) {
    for (std::size_t i = 0; i < plan.steps.size(); ++i)
        if (plan.steps[i].id == id) return static_cast<int>(i);
    return -1;
}

}  // namespace

TEST_CASE("a loop of rules is told as its shortest loop, with the edge that breaks it", "[work][bad_input]") {
    const auto steps = marks(6);
    // A long loop a-b-c-d-e-a and a short one b-c-b with a firm edge.
    const std::vector<Edge> edges{
        edge(0, 1), edge(1, 2, 0, Strength::hard, "wet_work_first"), edge(2, 3), edge(3, 4),
        edge(4, 0), edge(2, 1, 0, Strength::firm, "upstream_first"), edge(0, 5)};
    try {
        ordered_steps(steps, edges);
        FAIL("a loop was accepted");
    } catch (const ValueError& error) {
        const Problem& problem = error.problems().at(0);
        CHECK(problem.got.find("b -> c (wet_work_first, hard)") != std::string::npos);
        CHECK(problem.got.find("c -> b (upstream_first, firm)") != std::string::npos);
        CHECK(problem.got.find("d -> e") == std::string::npos);
        CHECK(problem.hint.find("drop the firm edge upstream_first from c to b") != std::string::npos);
    }
}

TEST_CASE("steps come in an order that heeds all edges, the first in the list first", "[work]") {
    const auto order = ordered_steps(marks(4), {edge(3, 0), edge(2, 1)});
    CHECK(order == std::vector<int>{2, 1, 3, 0});
    CHECK(ordered_steps({}, {}).empty());
}

TEST_CASE("the drawn edges lose only what others imply, and never a longer wait", "[work]") {
    const auto steps = marks(3);
    const auto plain = reduced_edges(steps, {edge(0, 1), edge(1, 2), edge(0, 2)});
    CHECK(plain.size() == 2);
    // a -> b -> c takes 10 min at b: a wait of 10 from a to c is implied, a wait of 11 is not.
    CHECK(reduced_edges(steps, {edge(0, 1), edge(1, 2), edge(0, 2, 10)}).size() == 2);
    CHECK(reduced_edges(steps, {edge(0, 1), edge(1, 2), edge(0, 2, 11)}).size() == 3);
}

TEST_CASE("the reduction of any plan reaches what the plan reaches", "[work][law]") {
    const std::uint64_t seed = GENERATE(range(1, 4));
    const Coach coach = sample_trailer(seed);
    PlanOptions options;
    for (std::size_t i = 0; i < coach.joints.size(); i += 4) options.joints.push_back(coach.joints[i].id);
    const WorkPlan plan = plan_work(coach, sample_findings(coach, seed, 30), sample_forecast(coach, seed),
                                    sample_shop(), sample_day(), options);
    CHECK(reach(plan.steps.size(), plan.edges) == reach(plan.steps.size(), plan.drawn_edges));
}

TEST_CASE("a firm edge may be dropped with a reason, a hard one never", "[work]") {
    const auto steps = marks(3);
    const std::vector<Edge> edges{edge(0, 1, 0, Strength::firm), edge(1, 2)};
    CHECK(without_dropped(edges, steps, {{"upstream_first", "a", "b", "rain is coming"}}).size() == 1);
    CHECK_THROWS_AS(without_dropped(edges, steps, {{"upstream_first", "a", "b", ""}}), ValueError);
    CHECK_THROWS_AS(without_dropped(edges, steps, {{"upstream_first", "b", "c", "why not"}}), ValueError);
    CHECK_THROWS_AS(without_dropped(edges, steps, {{"upstream_first", "", "", "all of them"}}), ValueError);
    CHECK_THROWS_AS(without_dropped(edges, steps, {{"upstream_frist", "a", "b", "x"}}), ValueError);
}

TEST_CASE("a plan without its firm edge says why, and the rest of the edges stay", "[work]") {
    const Coach coach = sample_trailer(3);
    const auto plan_of = [&](const PlanOptions& options) {
        return plan_work(coach, {finding_at(coach, "window_1", "edge_lift", "severe", 0.5)}, quiet_forecast(coach), sample_shop(), sample_day(), options);
    };
    const WorkPlan whole = plan_of({});
    const auto count = [](const WorkPlan& plan, const std::string& rule) {
        return std::count_if(plan.edges.begin(), plan.edges.end(), [&](const Edge& e) { return e.rule == rule; });
    };
    REQUIRE(count(whole, "wash_before_cutting") == 1);
    PlanOptions options;
    options.dropped = {{"wash_before_cutting", "", "", "washed by the owner"}};
    const WorkPlan less = plan_of(options);
    CHECK(count(less, "wash_before_cutting") == 0);
    CHECK(less.edges.size() + 1 == whole.edges.size());
    CHECK(std::count(less.notes.begin(), less.notes.end(), "dropped wash_before_cutting: washed by the owner") == 1);
}

TEST_CASE("the edges of steps alone are those that a plan of them has", "[work][law]") {
    const Coach coach = sample_trailer(3);
    const WorkPlan plan = plan_work(coach, {finding_at(coach, "window_1", "edge_lift", "severe", 0.5)}, quiet_forecast(coach), sample_shop(), sample_day());
    // Without the marks that the order put behind them.
    std::vector<Step> steps;
    for (const Step& step : plan.steps)
        if (step.kind != "stage") steps.push_back(step);
    const std::vector<Edge> edges = edges_for(steps, coach, Catalogue::built_in());
    REQUIRE(steps.size() == plan.steps.size());
    REQUIRE(edges.size() == plan.edges.size());
    for (std::size_t i = 0; i < edges.size(); ++i) {
        const Edge &a = edges[i], &b = plan.edges[i];
        CHECK(steps[static_cast<std::size_t>(a.from)].id == plan.steps[static_cast<std::size_t>(b.from)].id);
        CHECK(steps[static_cast<std::size_t>(a.to)].id == plan.steps[static_cast<std::size_t>(b.to)].id);
        CHECK((a.rule == b.rule && a.strength == b.strength && a.lag == b.lag && a.longest == b.longest));
    }
    CHECK(ordered_steps(steps, edges) == plan.order);
}

TEST_CASE("spans and slopes that no plan can have are refused by name", "[work][bad_input]") {
    const Coach coach = sample_trailer(3);
    const auto field_of = [&](const PlanOptions& options) -> std::string {
        try {
            plan_work(coach, {}, quiet_forecast(coach), sample_shop(), sample_day(), options);
        } catch (const ValueError& error) {
            return error.problems().at(0).field;
        }
        return "";
    };
    PlanOptions options;
    for (const int days : {-1, 3661}) {
        options.opportunistic_days = days;
        CHECK(field_of(options) == "opportunistic_days");
    }
    options.opportunistic_days = 3660;
    CHECK(field_of(options).empty());
    for (const double slope : {-0.1, 90.1, std::nan("")}) {
        options.roof_slope = slope;
        CHECK(field_of(options) == "roof_slope");
    }
    options.roof_slope = 90;
    CHECK(field_of(options).empty());
}

TEST_CASE("roof before walls, beads after wash and fasteners, tests after cure, on any coach",
          "[work][law]") {
    const std::uint64_t seed = GENERATE(range(1, 7));
    const Coach coach = sample_trailer(seed);
    const WorkPlan plan = plan_work(coach, sample_findings(coach, seed, 25), sample_forecast(coach, seed),
                                    sample_shop(), sample_day());
    const auto before = reach(plan.steps.size(), plan.edges);
    std::vector<int> roof, walls, washes;
    for (std::size_t i = 0; i < plan.steps.size(); ++i) {
        const Step& step = plan.steps[i];
        if (step.kind == "cap" && step.surface == "roof") roof.push_back(static_cast<int>(i));
        if (step.kind == "cap" && step.surface.find("wall") != std::string::npos)
            walls.push_back(static_cast<int>(i));
        if (step.kind == "wash" && step.surface == "roof") washes.push_back(static_cast<int>(i));
    }
    REQUIRE((!roof.empty() && !walls.empty()));
    for (const int r : roof)
        for (const int w : walls) CHECK(before.count({r, w}));
    for (const int wash : washes)
        for (const int w : walls) CHECK(before.count({wash, w}));
    for (const Task& task : plan.tasks) {
        std::map<std::string, int> own;
        for (const int i : task.steps) own[plan.steps[static_cast<std::size_t>(i)].kind] = i;
        if (!own.count("cap")) continue;
        CAPTURE(task.joint, task.action);
        for (const char* kind : {"wash", "strip", "wipe", "bed", "fasten", "seal_fasteners", "prime"})
            if (own.count(kind)) CHECK(before.count({own[kind], own["cap"]}));
        if (own.count("water_test")) CHECK(before.count({own["cure"], own["water_test"]}));
        CHECK(before.count({step_named(plan, "visit/photograph"), own["wash"]}));
        CHECK(before.count({own["cap"], step_named(plan, "visit/function_check")}));
    }
}
