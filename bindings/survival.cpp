// Survival without a family, tests between groups and probability plots in Python.

#include "docs/life.hpp"
#include "libseal/life/probability_plot.hpp"
#include "libseal/life/survival.hpp"
#include "libseal/life/turnbull.hpp"
#include "lives.hpp"

namespace libseal::python {
namespace {

void define_steps(py::module_& m) {
    auto curve = known<SurvivalCurve>();
    field(curve, LIBSEAL_FIELD(SurvivalCurve, time));
    field(curve, LIBSEAL_FIELD(SurvivalCurve, at_risk));
    field(curve, LIBSEAL_FIELD(SurvivalCurve, failed));
    field(curve, LIBSEAL_FIELD(SurvivalCurve, survival));
    field(curve, LIBSEAL_FIELD(SurvivalCurve, se));
    field(curve, LIBSEAL_FIELD(SurvivalCurve, lower));
    field(curve, LIBSEAL_FIELD(SurvivalCurve, upper));
    curve.def("survival_at", py::vectorize(&SurvivalCurve::survival_at), "t"_a, doc::SurvivalCurve_survival_at)
        .def("quantile", py::vectorize(&SurvivalCurve::quantile), "p"_a, doc::SurvivalCurve_quantile)
        .def("mean_until", py::vectorize(&SurvivalCurve::mean_until), "t"_a, doc::SurvivalCurve_mean_until);
    m.def(
        "kaplan_meier",
        [](const Doubles& time, const Doubles& failed, const OptionalDoubles& entry, double confidence, const std::string& limits) {
            return kaplan_meier(column_in(time, "time"), truths_in(failed, "failed"),
                                {column_or_none(entry, "entry"), confidence, limits});
        },
        "time"_a, "failed"_a, py::kw_only(), "entry"_a = py::none(), "confidence"_a = 0.95, "limits"_a = "log_log", doc::kaplan_meier);
    m.def(
        "life_table",
        [](const Doubles& edges, double at_start, const Doubles& failed, const Doubles& withdrawn, double withdrawn_share,
           double confidence, const std::string& limits) {
            return life_table(column_in(edges, "edges"), at_start, column_in(failed, "failed"), column_in(withdrawn, "withdrawn"),
                              {withdrawn_share, confidence, limits});
        },
        "edges"_a, "at_start"_a, "failed"_a, "withdrawn"_a, py::kw_only(), "withdrawn_share"_a = 0.5, "confidence"_a = 0.95,
        "limits"_a = "logit", doc::life_table);
}

void define_interval_steps(py::module_& m) {
    auto curve = known<IntervalCurve>();
    field(curve, LIBSEAL_FIELD(IntervalCurve, left));
    field(curve, LIBSEAL_FIELD(IntervalCurve, right));
    field(curve, LIBSEAL_FIELD(IntervalCurve, mass));
    field(curve, LIBSEAL_FIELD(IntervalCurve, failed));
    field(curve, LIBSEAL_FIELD(IntervalCurve, se));
    field(curve, "log_likelihood", &IntervalCurve::log_likelihood, "Of all lives.");
    field(curve, LIBSEAL_FIELD(IntervalCurve, gap));
    field(curve, LIBSEAL_FIELD(IntervalCurve, iterations));
    field(curve, LIBSEAL_FIELD(IntervalCurve, converged));
    curve.def("failed_least", py::vectorize(&IntervalCurve::failed_least), "t"_a, doc::IntervalCurve_failed_least)
        .def("failed_most", py::vectorize(&IntervalCurve::failed_most), "t"_a, doc::IntervalCurve_failed_most);
    m.def(
        "turnbull",
        [](const LifeData& lives, const OptionalDoubles& entry, const OptionalDoubles& exit, double tolerance, int most_iterations) {
            const TurnbullOptions options{column_or_none(entry, "entry"), column_or_none(exit, "exit"), tolerance, most_iterations};
            const py::gil_scoped_release free;
            return turnbull(lives, options);
        },
        "lives"_a, py::kw_only(), "entry"_a = py::none(), "exit"_a = py::none(), "tolerance"_a = 1e-10, "most_iterations"_a = 20000,
        doc::turnbull);
    auto status = known<CurrentStatus>();
    field(status, LIBSEAL_FIELD(CurrentStatus, time));
    field(status, LIBSEAL_FIELD(CurrentStatus, count));
    field(status, LIBSEAL_FIELD(CurrentStatus, failed));
    m.def(
        "current_status",
        [](const Doubles& time, const Doubles& failed) { return current_status(column_in(time, "time"), truths_in(failed, "failed")); },
        "time"_a, "failed"_a, doc::current_status);
}

void define_group_tests(py::module_& m) {
    auto test = known<GroupTest>();
    field(test, LIBSEAL_FIELD(GroupTest, group));
    field(test, LIBSEAL_FIELD(GroupTest, count));
    field(test, LIBSEAL_FIELD(GroupTest, observed));
    field(test, LIBSEAL_FIELD(GroupTest, expected));
    field(test, LIBSEAL_FIELD(GroupTest, score));
    field(test, "chi_square", &GroupTest::chi_square, "Statistic of the test.");
    field(test, LIBSEAL_FIELD(GroupTest, degrees));
    field(test, LIBSEAL_FIELD(GroupTest, z));
    field(test, "p_value", &GroupTest::p_value, "Chance of so large a statistic if all live alike.");
    m.def(
        "log_rank",
        [](const Doubles& time, const Doubles& failed, const std::vector<int>& group, const OptionalDoubles& entry, double rho) {
            return log_rank(column_in(time, "time"), truths_in(failed, "failed"), group, {column_or_none(entry, "entry"), rho});
        },
        "time"_a, "failed"_a, "group"_a, py::kw_only(), "entry"_a = py::none(), "rho"_a = 0.0, doc::log_rank);
    m.def("score_test", &score_test, "lives"_a, "group"_a, "scores"_a = "sun", doc::score_test, Free());
}

void define_probability_plots(py::module_& m) {
    auto points = known<PlotPositions>();
    field(points, LIBSEAL_FIELD(PlotPositions, time));
    field(points, LIBSEAL_FIELD(PlotPositions, failed));
    field(points, LIBSEAL_FIELD(PlotPositions, x));
    field(points, LIBSEAL_FIELD(PlotPositions, y));
    m.def("plot_positions", py::overload_cast<const SurvivalCurve&, const std::string&>(&plot_positions), "curve"_a, "family"_a,
          doc::plot_positions);
    m.def("plot_positions", py::overload_cast<const IntervalCurve&, const std::string&>(&plot_positions), "curve"_a, "family"_a,
          doc::plot_positions);
    m.def(
        "axis_of_time",
        [](const std::string& family, const Doubles& time) {
            return py::vectorize([&](double one) { return axis_of_time(family, one); })(time);
        },
        "family"_a, "time"_a, doc::axis_of_time);
    m.def(
        "axis_of_share",
        [](const std::string& family, const Doubles& p) {
            return py::vectorize([&](double one) { return axis_of_share(family, one); })(p);
        },
        "family"_a, "p"_a, doc::axis_of_share);
}

}  // namespace

void declare_survival(py::module_& m) {
    py::class_<SurvivalCurve>(m, "SurvivalCurve", doc::SurvivalCurve);
    py::class_<IntervalCurve>(m, "IntervalCurve", doc::IntervalCurve);
    py::class_<CurrentStatus>(m, "CurrentStatus", doc::CurrentStatus);
    py::class_<GroupTest>(m, "GroupTest", doc::GroupTest);
    py::class_<PlotPositions>(m, "PlotPositions", doc::PlotPositions);
}

void define_survival(py::module_& m) {
    define_steps(m);
    define_interval_steps(m);
    define_group_tests(m);
    define_probability_plots(m);
}

}  // namespace libseal::python
