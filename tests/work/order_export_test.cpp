#include "libseal/work/order_export.hpp"

#include <algorithm>

#include "core/json.hpp"
#include "libseal/work/critical_path.hpp"
#include "support/catch.hpp"
#include "work/samples.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

std::size_t count(const std::string& text, const std::string& part) {
    std::size_t n = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + part.size())) ++n;
    return n;
}

WorkPlan sample_plan() {
    const Coach coach = sample_trailer(5);
    return plan_work(coach, sample_findings(coach, 5, 20), sample_forecast(coach, 5), sample_shop(), sample_day());
}

}  // namespace

TEST_CASE("the order as a Graphviz graph has all steps and drawn edges, and escapes what it prints", "[work]") {
    WorkPlan plan = sample_plan();
    const std::string dot = order_dot(plan);
    CHECK(count(dot, " -> ") == plan.drawn_edges.size());
    CHECK(count(dot, "tooltip=") + count(dot, "shape=point") == plan.steps.size() + plan.drawn_edges.size());
    CHECK(count(dot, "{") == count(dot, "}"));
    CHECK(dot.find("style=dashed") != std::string::npos);
    CHECK(dot.find("penwidth=3") != std::string::npos);
    CHECK(order_dot(plan) == dot);
    plan.steps[0].id = "a\"b\\c\nd";
    CHECK(order_dot(plan).find("\"a\\\"b\\\\c d\"") != std::string::npos);
}

TEST_CASE("the order as JSON can be read back: edges, floats, rules, critical path", "[work]") {
    const WorkPlan plan = sample_plan();
    const detail::JsonDocument document(order_json(plan), "order.json");
    detail::Problems problems;
    const auto root = detail::JsonView::root(document, problems);
    CHECK(root.check_schema("libseal/order/1"));
    const auto edges = root.required("edges").items();
    REQUIRE(edges.size() == plan.edges.size());
    std::size_t drawn = 0;
    for (std::size_t i = 0; i < edges.size(); ++i) {
        CHECK(edges[i].required("from").text() == plan.steps[static_cast<std::size_t>(plan.edges[i].from)].id);
        CHECK(edges[i].required("reason").text() == plan.edges[i].reason);
        CHECK(edges[i].required("lag_min").number(0, 1e9, -1) == plan.edges[i].lag);
        CHECK(edges[i].required("clock").text() == to_text(plan.edges[i].clock));
        drawn += edges[i].required("drawn").boolean(false);
    }
    CHECK(drawn >= plan.drawn_edges.size());
    const NetworkTimes times = critical_path(plan);
    const auto steps = root.required("steps").items();
    REQUIRE(steps.size() == plan.steps.size());
    for (std::size_t i = 0; i < steps.size(); ++i)
        CHECK(steps[i].required("total_float_min").number(-1, 1e9, -1) == times.total_float[i]);
    CHECK(root.required("critical").items().size() == times.critical.size());
    CHECK(root.required("rules").items().size() == sequence_rules().size());
    CHECK(problems.empty());
}
