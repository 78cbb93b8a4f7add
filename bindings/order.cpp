// Sequence rules, orders and critical paths in Python.

#include <optional>

#include "docs/work.hpp"
#include "libseal/core/error.hpp"
#include "libseal/work/critical_path.hpp"
#include "libseal/work/order_export.hpp"
#include "record.hpp"

namespace libseal::python {
namespace {

Strength strength_of(const std::string& text) {
    for (const Strength strength : {Strength::hard, Strength::firm, Strength::soft})
        if (to_text(strength) == text) return strength;
    throw_value_error("strength", "hard, firm or soft", "\"" + text + "\"");
}

LagClock clock_of(const std::string& text) {
    for (const LagClock clock : {LagClock::elapsed, LagClock::working, LagClock::cure})
        if (to_text(clock) == text) return clock;
    throw_value_error("clock", "elapsed, working or cure", "\"" + text + "\"");
}

Edge make_edge(int from, int to, std::string rule, const std::string& strength, double lag, std::string reason, const std::string& clock,
               double longest) {
    return {from, to, std::move(rule), strength_of(strength), lag, std::move(reason), clock_of(clock), longest};
}

/// The steps with what the rules add, and the order.
std::pair<StepOrder, std::vector<Step>> step_order_of(std::vector<Step> steps, const Coach& coach, const Catalogue& catalogue,
                                                      const std::vector<Edge>& given, std::optional<double> heading, bool settle_beddings,
                                                      std::optional<Date> work_day, std::optional<Date> first_frost, double temperature) {
    OrderOptions options;
    if (heading) options.heading = *heading;
    options.settle_beddings = settle_beddings;
    if (work_day) options.work_day = *work_day;
    if (first_frost) options.first_frost = *first_frost;
    options.temperature = temperature;
    StepOrder order = step_order(steps, coach, catalogue, given, options);
    return {std::move(order), std::move(steps)};
}

void define_records() {
    const Edge d;
    known<Edge>().def(py::init(&make_edge), "from_"_a, "to"_a, "rule"_a = "", "strength"_a = to_text(d.strength), "lag"_a = d.lag,
                      "reason"_a = "", "clock"_a = to_text(d.clock), "longest"_a = d.longest,
                      "Makes one from its fields; times in minutes, or in the unit of a network of one's own.");
    Record<OrderOptions>()
        .field(LIBSEAL_FIELD(OrderOptions, heading))
        .field(LIBSEAL_FIELD(OrderOptions, settle_beddings))
        .field(LIBSEAL_FIELD(OrderOptions, work_day))
        .field(LIBSEAL_FIELD(OrderOptions, first_frost))
        .field(LIBSEAL_FIELD(OrderOptions, temperature))
        .finish();
    auto rule = known<SequenceRule>();
    field(rule, LIBSEAL_FIELD(SequenceRule, name));
    rule.def_property_readonly("strength", [](const SequenceRule& self) { return to_text(self.strength); }, "\"hard\", \"firm\" or \"soft\"");
    field(rule, LIBSEAL_FIELD(SequenceRule, meaning));
    field(rule, LIBSEAL_FIELD(SequenceRule, source));
    field(rule, LIBSEAL_FIELD(SequenceRule, mark));
    rule.def("__repr__", [](const SequenceRule& self) { return "SequenceRule(" + self.name + ", " + to_text(self.strength) + ")"; });
    auto order = known<StepOrder>();
    field(order, LIBSEAL_FIELD(StepOrder, edges));
    field(order, LIBSEAL_FIELD(StepOrder, gave_way));
    field(order, LIBSEAL_FIELD(StepOrder, warnings));
    field(order, LIBSEAL_FIELD(StepOrder, notes));
    auto loop = known<OrderLoop>();
    field(loop, LIBSEAL_FIELD(OrderLoop, steps));
    field(loop, LIBSEAL_FIELD(OrderLoop, edges));
    field(loop, LIBSEAL_FIELD(OrderLoop, remedy));
    auto times = known<NetworkTimes>();
    field(times, LIBSEAL_FIELD(NetworkTimes, early_start));
    field(times, LIBSEAL_FIELD(NetworkTimes, early_finish));
    field(times, LIBSEAL_FIELD(NetworkTimes, late_start));
    field(times, LIBSEAL_FIELD(NetworkTimes, late_finish));
    field(times, LIBSEAL_FIELD(NetworkTimes, total_float));
    field(times, LIBSEAL_FIELD(NetworkTimes, free_float));
    field(times, LIBSEAL_FIELD(NetworkTimes, critical));
    field(times, LIBSEAL_FIELD(NetworkTimes, length));
    auto estimate = known<LengthEstimate>();
    field(estimate, LIBSEAL_FIELD(LengthEstimate, mean));
    field(estimate, LIBSEAL_FIELD(LengthEstimate, variance));
    field(estimate, LIBSEAL_FIELD(LengthEstimate, critical));
    estimate.def("chance_within", &LengthEstimate::chance_within, "limit"_a, doc::LengthEstimate_chance_within);
}

}  // namespace

void declare_order(py::module_& m) {
    py::class_<SequenceRule>(m, "SequenceRule", doc::SequenceRule);
    py::class_<OrderOptions>(m, "OrderOptions", doc::OrderOptions);
    py::class_<StepOrder>(m, "StepOrder", doc::StepOrder);
    py::class_<OrderLoop>(m, "OrderLoop", doc::OrderLoop);
    py::class_<NetworkTimes>(m, "NetworkTimes", doc::NetworkTimes);
    py::class_<LengthEstimate>(m, "LengthEstimate", doc::LengthEstimate);
}

void define_order(py::module_& m) {
    define_records();
    const OrderOptions d;
    m.def("sequence_rules", &sequence_rules, doc::sequence_rules);
    m.def("sequence_rule", &sequence_rule, "name"_a, doc::sequence_rule);
    m.def("step_order", &step_order_of, "steps"_a, "coach"_a, "catalogue"_a, "given"_a = std::vector<Edge>{}, py::kw_only(), "heading"_a = py::none(),
          "settle_beddings"_a = d.settle_beddings, "work_day"_a = py::none(), "first_frost"_a = py::none(), "temperature"_a = d.temperature,
          doc::step_order);
    m.def("order_loops", &order_loops, "steps"_a, "edges"_a, doc::order_loops);
    m.def("ordered_steps", &ordered_steps, "steps"_a, "edges"_a, doc::ordered_steps);
    m.def("reduced_edges", &reduced_edges, "steps"_a, "edges"_a, doc::reduced_edges);
    m.def("without_dropped", &without_dropped, "edges"_a, "steps"_a, "dropped"_a, doc::without_dropped);
    m.def("critical_path", py::overload_cast<const std::vector<double>&, const std::vector<Edge>&>(&critical_path), "durations"_a, "edges"_a,
          doc::critical_path);
    m.def("critical_path", py::overload_cast<const WorkPlan&>(&critical_path), "plan"_a, doc::critical_path);
    m.def("length_estimate", &length_estimate, "durations"_a, "edges"_a, doc::length_estimate);
    m.def("order_dot", &order_dot, "plan"_a, doc::order_dot);
    m.def("order_json", &order_json, "plan"_a, doc::order_json);
}

}  // namespace libseal::python
