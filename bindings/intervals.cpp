// Replacement and inspection intervals in Python.

#include "docs/life.hpp"
#include "libseal/core/text.hpp"
#include "libseal/life/condition_policy.hpp"
#include "libseal/life/interval_sensitivity.hpp"
#include "libseal/life/intervals.hpp"
#include "lives.hpp"

namespace libseal::python {
namespace {

using Formula = std::function<double(double)>;

void define_law() {
    known<LifeLaw>()
        .def(py::init([](const AnyLife& survival) { return survival.law; }), "survival"_a, doc::LifeLaw)
        .def(py::init<Formula, Formula>(), "survival"_a, "density"_a, doc::LifeLaw_LifeLaw)
        .def_static("exponential", &LifeLaw::exponential, "mean"_a, doc::LifeLaw_exponential)
        .def_static("uniform", &LifeLaw::uniform, "low"_a, "high"_a, doc::LifeLaw_uniform)
        .def_static(
            "table",
            [](const Doubles& age, const Doubles& survival) { return LifeLaw::table(column_in(age, "age"), column_in(survival, "survival")); },
            "age"_a, "survival"_a, doc::LifeLaw_table)
        .def("survival", py::vectorize(&LifeLaw::survival), "t"_a, doc::LifeLaw_survival)
        .def("density", py::vectorize(&LifeLaw::density), "t"_a, doc::LifeLaw_density)
        .def("hazard", py::vectorize(&LifeLaw::hazard), "t"_a, doc::LifeLaw_hazard)
        .def("area", py::vectorize(&LifeLaw::area), "t"_a, doc::LifeLaw_area)
        .def("mean", &LifeLaw::mean, doc::LifeLaw_mean)
        .def("quantile", py::vectorize(&LifeLaw::quantile), "p"_a, doc::LifeLaw_quantile)
        .def("horizon", &LifeLaw::horizon, doc::LifeLaw_horizon)
        .def("smooth", &LifeLaw::smooth, doc::LifeLaw_smooth)
        .def("parameter_names", &LifeLaw::parameter_names, doc::LifeLaw_parameter_names)
        .def("parameter", &LifeLaw::parameter, "name"_a, "Number that the life is made of, by its name.")
        .def("with_parameter", &LifeLaw::with_parameter, "name"_a, "value"_a, doc::LifeLaw_with_parameter);
}

void define_replacement(py::module_& m) {
    auto age = known<ReplacementAge>();
    field(age, LIBSEAL_FIELD(ReplacementAge, age));
    field(age, LIBSEAL_FIELD(ReplacementAge, cost_rate));
    field(age, LIBSEAL_FIELD(ReplacementAge, run_to_failure));
    field(age, LIBSEAL_FIELD(ReplacementAge, finite));
    age.def("__repr__", [](const ReplacementAge& self) {
        return "ReplacementAge(age=" + number_text(self.age) + ", cost_rate=" + number_text(self.cost_rate) +
               ", run_to_failure=" + number_text(self.run_to_failure) + ")";
    });
    auto block = known<BlockInterval>();
    field(block, LIBSEAL_FIELD(BlockInterval, interval));
    field(block, LIBSEAL_FIELD(BlockInterval, cost_rate));
    field(block, LIBSEAL_FIELD(BlockInterval, run_to_failure));
    field(block, LIBSEAL_FIELD(BlockInterval, finite));
    m.def(
        "best_replacement_age",
        [](const AnyLife& life, double planned_cost, double failure_cost) { return best_replacement_age(life, planned_cost, failure_cost); },
        "life"_a, "planned_cost"_a, "failure_cost"_a, doc::best_replacement_age);
    m.def(
        "replacement_cost_curve",
        [](const AnyLife& life, double planned_cost, double failure_cost, const Doubles& ages) {
            return give(replacement_cost_curve(life, planned_cost, failure_cost, column_in(ages, "ages")));
        },
        "life"_a, "planned_cost"_a, "failure_cost"_a, "ages"_a, doc::replacement_cost_curve);
    m.def(
        "renewal_function",
        [](const AnyLife& life, const Doubles& times) { return give(renewal_function(life, column_in(times, "times"))); }, "life"_a,
        "times"_a, doc::renewal_function);
    m.def(
        "best_block_interval",
        [](const AnyLife& life, double planned_cost, double failure_cost) { return best_block_interval(life, planned_cost, failure_cost); },
        "life"_a, "planned_cost"_a, "failure_cost"_a, doc::best_block_interval);
    m.def(
        "block_cost_curve",
        [](const AnyLife& life, double planned_cost, double failure_cost, const Doubles& intervals) {
            return give(block_cost_curve(life, planned_cost, failure_cost, column_in(intervals, "intervals")));
        },
        "life"_a, "planned_cost"_a, "failure_cost"_a, "intervals"_a, doc::block_cost_curve);
    m.def(
        "best_renewal_interval",
        [](const AnyLife& life, double planned_cost, double repair_cost) { return best_renewal_interval(life, planned_cost, repair_cost); },
        "life"_a, "planned_cost"_a, "repair_cost"_a, doc::best_renewal_interval);
}

void define_looks(py::module_& m) {
    auto look = known<InspectionInterval>();
    field(look, LIBSEAL_FIELD(InspectionInterval, interval));
    field(look, LIBSEAL_FIELD(InspectionInterval, cost_rate));
    look.def_readonly("none", &InspectionInterval::none, doc::InspectionInterval_none);
    field(look, LIBSEAL_FIELD(InspectionInterval, failure_share));
    field(look, LIBSEAL_FIELD(InspectionInterval, finite));
    look.def("__repr__", [](const InspectionInterval& self) {
        return "InspectionInterval(interval=" + number_text(self.interval) + ", cost_rate=" + number_text(self.cost_rate) +
               ", none=" + number_text(self.none) + ")";
    });
    auto hidden = known<HiddenFailureInterval>();
    field(hidden, LIBSEAL_FIELD(HiddenFailureInterval, interval));
    field(hidden, LIBSEAL_FIELD(HiddenFailureInterval, cost));
    field(hidden, LIBSEAL_FIELD(HiddenFailureInterval, rule));
    field(hidden, LIBSEAL_FIELD(HiddenFailureInterval, unavailable));
    m.def(
        "best_inspection_interval",
        [](double defect_rate, const AnyLife& delay, double detection, double inspection_cost, double repair_cost, double failure_cost) {
            return best_inspection_interval(defect_rate, delay, detection, inspection_cost, repair_cost, failure_cost);
        },
        "defect_rate"_a, "delay"_a, "detection"_a, "inspection_cost"_a, "repair_cost"_a, "failure_cost"_a, doc::best_inspection_interval);
    m.def(
        "inspection_cost_curve",
        [](double defect_rate, const AnyLife& delay, double detection, double inspection_cost, double repair_cost, double failure_cost,
           const Doubles& intervals) {
            return give(inspection_cost_curve(defect_rate, delay, detection, inspection_cost, repair_cost, failure_cost,
                                              column_in(intervals, "intervals")));
        },
        "defect_rate"_a, "delay"_a, "detection"_a, "inspection_cost"_a, "repair_cost"_a, "failure_cost"_a, "intervals"_a,
        doc::inspection_cost_curve);
    m.def(
        "best_inspection_downtime",
        [](double defect_rate, const AnyLife& delay, double detection, double failure_downtime, double inspection_downtime) {
            return best_inspection_downtime(defect_rate, delay, detection, failure_downtime, inspection_downtime);
        },
        "defect_rate"_a, "delay"_a, "detection"_a, "failure_downtime"_a, "inspection_downtime"_a, doc::best_inspection_downtime);
    m.def(
        "defect_failure_share",
        [](const AnyLife& delay, double detection, const Doubles& intervals) {
            return give(defect_failure_share(delay, detection, column_in(intervals, "intervals")));
        },
        "delay"_a, "detection"_a, "intervals"_a, doc::defect_failure_share);
    m.def(
        "best_hidden_failure_interval",
        [](const AnyLife& life, double inspection_cost, double failed_cost) {
            return best_hidden_failure_interval(life, inspection_cost, failed_cost);
        },
        "life"_a, "inspection_cost"_a, "failed_cost"_a, doc::best_hidden_failure_interval);
    m.def(
        "hidden_failure_cost_curve",
        [](const AnyLife& life, double inspection_cost, double failed_cost, const Doubles& intervals) {
            return give(hidden_failure_cost_curve(life, inspection_cost, failed_cost, column_in(intervals, "intervals")));
        },
        "life"_a, "inspection_cost"_a, "failed_cost"_a, "intervals"_a, doc::hidden_failure_cost_curve);
    m.def("found_within", py::vectorize(&found_within), "detection"_a, "visits"_a, doc::found_within);
    m.def("visits_for_target", py::vectorize(&visits_for_target), "detection"_a, "target"_a, doc::visits_for_target);
    m.def("visit_interval", py::vectorize(&visit_interval), "pf_interval"_a, "detection"_a, "target"_a, doc::visit_interval);
}

/// A table of numbers, rows and columns as in Python.
Eigen::ArrayXXd table_in(const Doubles& values, const char* argument) {
    if (values.ndim() != 2) throw_value_error(argument, "a two-dimensional array", std::to_string(values.ndim()) + " dimensions");
    using ByRows = Eigen::Array<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
    return Eigen::Map<const ByRows>(values.data(), values.shape(0), values.shape(1));
}

void define_conditions(py::module_& m) {
    auto policy = known<ConditionPolicy>();
    field(policy, LIBSEAL_FIELD(ConditionPolicy, renew));
    field(policy, LIBSEAL_FIELD(ConditionPolicy, threshold));
    field(policy, LIBSEAL_FIELD(ConditionPolicy, cost_rate));
    field(policy, LIBSEAL_FIELD(ConditionPolicy, share));
    field(policy, LIBSEAL_FIELD(ConditionPolicy, relative));
    m.def(
        "best_condition_policy",
        [](const Doubles& transition, const Doubles& running_cost, const Doubles& renewal_cost) {
            return best_condition_policy(table_in(transition, "transition"), column_in(running_cost, "running_cost"),
                                         column_in(renewal_cost, "renewal_cost"));
        },
        "transition"_a, "running_cost"_a, "renewal_cost"_a, doc::best_condition_policy);
    m.def(
        "condition_policy",
        [](const Doubles& transition, const Doubles& running_cost, const Doubles& renewal_cost, const Doubles& renew) {
            return condition_policy(table_in(transition, "transition"), column_in(running_cost, "running_cost"),
                                    column_in(renewal_cost, "renewal_cost"), truths_in(renew, "renew"));
        },
        "transition"_a, "running_cost"_a, "renewal_cost"_a, "renew"_a, doc::condition_policy);
}

void define_sensitivity(py::module_& m) {
    auto table = known<IntervalSensitivity>();
    field(table, LIBSEAL_FIELD(IntervalSensitivity, input));
    field(table, LIBSEAL_FIELD(IntervalSensitivity, value));
    field(table, LIBSEAL_FIELD(IntervalSensitivity, interval_change));
    field(table, LIBSEAL_FIELD(IntervalSensitivity, cost_change));
    field(table, LIBSEAL_FIELD(IntervalSensitivity, loss_if_low));
    field(table, LIBSEAL_FIELD(IntervalSensitivity, loss_if_high));
    m.def(
        "replacement_sensitivity",
        [](const AnyLife& life, double planned_cost, double failure_cost, double wrong) {
            return replacement_sensitivity(life, planned_cost, failure_cost, wrong);
        },
        "life"_a, "planned_cost"_a, "failure_cost"_a, "wrong"_a = 1.5, doc::replacement_sensitivity);
    m.def(
        "inspection_sensitivity",
        [](double defect_rate, const AnyLife& delay, double detection, double inspection_cost, double repair_cost, double failure_cost,
           double wrong) {
            return inspection_sensitivity(defect_rate, delay, detection, inspection_cost, repair_cost, failure_cost, wrong);
        },
        "defect_rate"_a, "delay"_a, "detection"_a, "inspection_cost"_a, "repair_cost"_a, "failure_cost"_a, "wrong"_a = 1.5,
        doc::inspection_sensitivity);
    m.def(
        "break_even",
        [](const Formula& first, const Formula& second, double low, double high, int steps) {
            return give(break_even(first, second, low, high, steps));
        },
        "first"_a, "second"_a, "low"_a, "high"_a, "steps"_a = 200, doc::break_even);
}

}  // namespace

void declare_intervals(py::module_& m) {
    py::class_<LifeLaw>(m, "LifeLaw", doc::LifeLaw);
    py::class_<ReplacementAge>(m, "ReplacementAge", doc::ReplacementAge);
    py::class_<BlockInterval>(m, "BlockInterval", doc::BlockInterval);
    py::class_<InspectionInterval>(m, "InspectionInterval", doc::InspectionInterval);
    py::class_<HiddenFailureInterval>(m, "HiddenFailureInterval", doc::HiddenFailureInterval);
    py::class_<ConditionPolicy>(m, "ConditionPolicy", doc::ConditionPolicy);
    py::class_<IntervalSensitivity>(m, "IntervalSensitivity", doc::IntervalSensitivity);
}

void define_intervals(py::module_& m) {
    define_law();
    define_replacement(m);
    define_looks(m);
    define_conditions(m);
    define_sensitivity(m);
}

}  // namespace libseal::python
