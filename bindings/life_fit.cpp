// Lives from records in Python.

#include "life_fit.hpp"

#include <optional>

#include "bind.hpp"
#include "docs/life.hpp"
#include "libseal/core/text.hpp"
#include "libseal/life/fit.hpp"

namespace libseal::python {
namespace {

/// A dict in its own order whose signature says what it holds; pybind11 has one of these from 2.12 on only.
struct ValuesByName : py::dict {};

}  // namespace
}  // namespace libseal::python

template <>
struct pybind11::detail::handle_type_name<libseal::python::ValuesByName> {
    static constexpr auto name = const_name("dict[str, float]");
};

namespace libseal::python {
namespace {

using Given = std::optional<Doubles>;

Column column_or_none(const Given& values, const char* argument) {
    return values ? Column(column_in(*values, argument)) : Column();
}

/// A row per record; one covariate may come as a plain list.
Eigen::ArrayXXd table_in(const Given& values) {
    if (!values) return {};
    if (values->ndim() == 1) return column_in(*values, "covariates");
    if (values->ndim() != 2)
        throw_value_error("covariates", "a row per record and a column per covariate", std::to_string(values->ndim()) + " dimensions");
    using Rows = Eigen::Array<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
    return Eigen::Map<const Rows>(values->data(), values->shape(0), values->shape(1));
}

/// Labels of any kind, told apart by their text.
std::vector<std::string> labels_in(const py::object& groups) {
    std::vector<std::string> labels;
    if (groups.is_none()) return labels;
    for (const py::handle label : groups) labels.push_back(py::str(label));
    return labels;
}

LifeFit fit(const Doubles& lower, const Doubles& upper, const Given& covariates, const Given& entry, const std::string& distribution,
            const std::optional<std::vector<std::string>>& names, const Given& weights, const py::object& groups,
            const std::optional<std::vector<Doubles>>& visits, double detection, bool estimate_detection, int nodes, int threads,
            const py::object& progress, const StopToken* stop) {
    FitOptions options;
    options.covariates = table_in(covariates);
    options.entry = column_or_none(entry, "entry");
    options.distribution = distribution;
    options.names = names.value_or(std::vector<std::string>{});
    options.weights = column_or_none(weights, "weights");
    options.groups = labels_in(groups);
    if (visits)
        for (const Doubles& looks : *visits) options.visits.emplace_back(column_in(looks, "visits"));
    options.detection = detection;
    options.estimate_detection = estimate_detection;
    options.nodes = nodes;
    options.threads = threads;
    options.watch = watch_of(progress, stop);
    const auto low = column_in(lower, "lower"), high = column_in(upper, "upper");
    const py::gil_scoped_release free;
    return fit_life(low, high, options);
}

/// A curve of the life at numbers or arrays, for one set of covariates.
template <class Curve>
py::object over(const Doubles& values, const Given& covariates, const Curve& curve) {
    const Column x = column_or_none(covariates, "covariates");
    return py::vectorize([&](double value) { return curve(value, x); })(values);
}

/// Rows and columns as in C++.
py::array_t<double> given_table(const Eigen::ArrayXXd& table) {
    py::array_t<double> copy({table.rows(), table.cols()});
    for (Eigen::Index i = 0; i < table.rows(); ++i)
        for (Eigen::Index j = 0; j < table.cols(); ++j) copy.mutable_at(i, j) = table(i, j);
    return copy;
}

std::string text_of(const LifeFit& self) {
    if (!self.converged()) return "LifeFit(" + self.cause() + ": " + self.sentence() + ")";
    std::string text = "LifeFit(" + self.distribution();
    for (const auto& [name, value] : self.parameters()) text += ", " + name + "=" + number_text(value);
    return text + ")";
}

std::string text_of(const FitLimit& limit) { return number_text(limit.value) + (limit.state == "found" ? "" : " " + limit.state); }

void define_limits() {
    auto limit = known<FitLimit>();
    field(limit, LIBSEAL_FIELD(FitLimit, value));
    field(limit, LIBSEAL_FIELD(FitLimit, state));
    limit.def("__repr__", [](const FitLimit& self) { return "FitLimit(" + text_of(self) + ")"; });
    auto limits = known<FitLimits>();
    field(limits, "low", &FitLimits::low, "The lower end.");
    field(limits, LIBSEAL_FIELD(FitLimits, estimate));
    field(limits, "high", &FitLimits::high, "The upper end.");
    limits.def("__repr__", [](const FitLimits& self) {
        return "FitLimits(" + text_of(self.low) + ", " + number_text(self.estimate) + ", " + text_of(self.high) + ")";
    });
    auto ratio = known<LikelihoodRatio>();
    field(ratio, LIBSEAL_FIELD(LikelihoodRatio, statistic));
    field(ratio, LIBSEAL_FIELD(LikelihoodRatio, freedom));
    field(ratio, LIBSEAL_FIELD(LikelihoodRatio, p));
}

void define_questions(py::class_<LifeFit>& type) {
    const auto curve = [&](const char* name, const char* argument, double (LifeFit::*member)(double, ConstColumn) const, const char* text) {
        type.def(
            name,
            [member](const LifeFit& self, const Doubles& values, const Given& covariates) {
                return over(values, covariates, [&](double value, const Column& x) { return (self.*member)(value, x); });
            },
            py::arg(argument), "covariates"_a = py::none(), text);
    };
    curve("survival", "t", &LifeFit::survival, doc::LifeFit_survival);
    curve("density", "t", &LifeFit::density, doc::LifeFit_density);
    curve("hazard", "t", &LifeFit::hazard, doc::LifeFit_hazard);
    curve("quantile", "p", &LifeFit::quantile, doc::LifeFit_quantile);
    curve("survival_over_groups", "t", &LifeFit::survival_over_groups, doc::LifeFit_survival_over_groups);
    type.def(
        "limits",
        [](const LifeFit& self, const std::string& name, double confidence, const std::string& method, const py::object& progress, const StopToken* stop) {
            const Watch watch = watch_of(progress, stop);
            const py::gil_scoped_release free;
            return self.limits(name, confidence, method, watch);
        },
        "name"_a, "confidence"_a = 0.95, "method"_a = "profile", "progress"_a = py::none(), "stop"_a = py::none(), doc::LifeFit_limits);
    type.def(
        "quantile_limits",
        [](const LifeFit& self, double p, const Given& covariates, double confidence, const std::string& method, const py::object& progress,
           const StopToken* stop) {
            const Column x = column_or_none(covariates, "covariates");
            const Watch watch = watch_of(progress, stop);
            const py::gil_scoped_release free;
            return self.quantile_limits(p, x, confidence, method, watch);
        },
        "p"_a, "covariates"_a = py::none(), "confidence"_a = 0.95, "method"_a = "profile", "progress"_a = py::none(), "stop"_a = py::none(),
        doc::LifeFit_quantile_limits);
}

void define_fit(py::module_& m) {
    auto type = known<LifeFit>();
    const auto figure = [&](const char* name, auto member, const char* text) { type.def_property_readonly(name, member, text); };
    figure("converged", &LifeFit::converged, doc::LifeFit_converged);
    figure("cause", &LifeFit::cause, doc::LifeFit_cause);
    figure("sentence", &LifeFit::sentence, doc::LifeFit_sentence);
    figure("notes", &LifeFit::notes, doc::LifeFit_notes);
    figure("distribution", &LifeFit::distribution, doc::LifeFit_distribution);
    figure("records", &LifeFit::records, doc::LifeFit_records);
    figure("failures", &LifeFit::failures, doc::LifeFit_failures);
    figure(
        "parameters",
        [](const LifeFit& self) {
            ValuesByName values;
            for (const auto& [name, value] : self.parameters()) values[py::str(name)] = value;
            return values;
        },
        doc::LifeFit_parameters);
    figure("coordinates", &LifeFit::coordinates, doc::LifeFit_coordinates);
    figure("estimate", [](const LifeFit& self) { return give(self.estimate()); }, doc::LifeFit_estimate);
    figure("covariance", [](const LifeFit& self) { return given_table(self.covariance()); }, doc::LifeFit_covariance);
    figure(
        "covariance_location_scale", [](const LifeFit& self) { return given_table(self.covariance_location_scale()); },
        doc::LifeFit_covariance_location_scale);
    figure("log_likelihood", &LifeFit::log_likelihood, doc::LifeFit_log_likelihood);
    figure("aic", &LifeFit::aic, doc::LifeFit_aic);
    figure("gradient", &LifeFit::gradient, doc::LifeFit_gradient);
    define_questions(type);
    type.def("__repr__", [](const LifeFit& self) { return text_of(self); });
    m.def("fit_life", &fit, "lower"_a, "upper"_a, "covariates"_a = py::none(), "entry"_a = py::none(), "distribution"_a = "weibull",
          "names"_a = py::none(), "weights"_a = py::none(), "groups"_a = py::none(), "visits"_a = py::none(), "detection"_a = 1.0,
          "estimate_detection"_a = false, "nodes"_a = 24, "threads"_a = 0, "progress"_a = py::none(), "stop"_a = py::none(), doc::fit_life);
    m.def("likelihood_ratio_test", &likelihood_ratio_test, "narrow"_a, "wide"_a, doc::likelihood_ratio_test);
}

}  // namespace

void declare_life_fit(py::module_& m) {
    py::class_<FitLimit>(m, "FitLimit", doc::FitLimit);
    py::class_<FitLimits>(m, "FitLimits", doc::FitLimits);
    py::class_<LikelihoodRatio>(m, "LikelihoodRatio", doc::LikelihoodRatio);
    py::class_<LifeFit>(m, "LifeFit", doc::LifeFit);
}

void define_life_fit(py::module_& m) {
    define_limits();
    define_fit(m);
}

}  // namespace libseal::python
