// Life distributions, quadrature, beliefs and detection in Python.

#include "bind.hpp"
#include "docs/life.hpp"
#include "libseal/core/text.hpp"
#include "libseal/life/detection.hpp"
#include "libseal/life/lognormal.hpp"
#include "libseal/life/quadrature.hpp"
#include "libseal/life/update.hpp"
#include "libseal/life/weibull.hpp"

namespace libseal::python {
namespace {

void define_weibull(py::module_& m) {
    known<Weibull>()
        .def(py::init<double, double>(), "scale"_a, "shape"_a, doc::Weibull_Weibull)
        .def_property_readonly("scale", &Weibull::scale, "Characteristic life. [yr]")
        .def_property_readonly("shape", &Weibull::shape, "Shape. [-]")
        .def("survival", py::vectorize(&Weibull::survival), "t"_a, doc::Weibull_survival)
        .def("density", py::vectorize(&Weibull::density), "t"_a, doc::Weibull_density)
        .def("hazard", py::vectorize(&Weibull::hazard), "t"_a, doc::Weibull_hazard)
        .def("quantile", py::vectorize(&Weibull::quantile), "p"_a, doc::Weibull_quantile)
        .def("mean", &Weibull::mean, doc::Weibull_mean)
        .def("variance", &Weibull::variance, doc::Weibull_variance)
        .def("survival_given_alive", py::vectorize(&Weibull::survival_given_alive), "t"_a, "alive"_a,
             doc::Weibull_survival_given_alive)
        .def("quantile_given_alive", py::vectorize(&Weibull::quantile_given_alive), "p"_a, "alive"_a,
             doc::Weibull_quantile_given_alive)
        .def("mean_residual", py::vectorize(&Weibull::mean_residual), "alive"_a, doc::Weibull_mean_residual)
        .def("__repr__", [](const Weibull& self) {
            return "Weibull(scale=" + number_text(self.scale()) + ", shape=" + number_text(self.shape()) +
                   ")";
        });
    m.def("weibull_through", &weibull_through, "t1"_a, "p1"_a, "t2"_a, "p2"_a, doc::weibull_through);
    auto covariance = known<WeibullCovariance>();
    field(covariance, LIBSEAL_FIELD(WeibullCovariance, log_scale));
    field(covariance, LIBSEAL_FIELD(WeibullCovariance, shape));
    field(covariance, LIBSEAL_FIELD(WeibullCovariance, both));
    m.def("complete_sample_covariance", &complete_sample_covariance, "count"_a, "shape"_a,
          doc::complete_sample_covariance);
}

void define_lognormal() {
    known<Lognormal>()
        .def(py::init<double, double>(), "median"_a, "sigma"_a, doc::Lognormal_Lognormal)
        .def_property_readonly("median", &Lognormal::median, "Reached by half of the layers. [yr]")
        .def_property_readonly("sigma", &Lognormal::sigma, "Standard deviation of ln t. [-]")
        .def("survival", py::vectorize(&Lognormal::survival), "t"_a, doc::Lognormal_survival)
        .def("density", py::vectorize(&Lognormal::density), "t"_a, doc::Lognormal_density)
        .def("hazard", py::vectorize(&Lognormal::hazard), "t"_a, doc::Lognormal_hazard)
        .def("quantile", py::vectorize(&Lognormal::quantile), "p"_a, doc::Lognormal_quantile)
        .def("mean", &Lognormal::mean, doc::Lognormal_mean)
        .def("__repr__", [](const Lognormal& self) {
            return "Lognormal(median=" + number_text(self.median()) + ", sigma=" + number_text(self.sigma()) + ")";
        });
}

void define_quadrature(py::module_& m) {
    auto rule = known<Quadrature>();
    field(rule, LIBSEAL_FIELD(Quadrature, node));
    field(rule, LIBSEAL_FIELD(Quadrature, weight));
    m.def("gauss_hermite", &gauss_hermite, "n"_a, doc::gauss_hermite);
    m.def("gauss_legendre", &gauss_legendre, "n"_a, doc::gauss_legendre);
    m.def("normal_gauss", &normal_gauss, "n"_a, doc::normal_gauss);
    m.def("normal_trapezoid", &normal_trapezoid, "n"_a = 131, "half_width"_a = 6.5, doc::normal_trapezoid);
    m.def("survival_under_effect", py::vectorize(py::overload_cast<double, double>(&survival_under_effect)), "c"_a, "s"_a,
          doc::survival_under_effect);
    m.def("survival_under_effect", py::overload_cast<double, double, const Quadrature&>(&survival_under_effect), "c"_a,
          "s"_a, "rule"_a, doc::survival_under_effect);
    m.def("frailty_survival",
          py::vectorize([](Weibull& life, double sd, double t) { return frailty_survival(life, sd, t); }), "life"_a, "sd"_a,
          "t"_a, doc::frailty_survival);
}

void define_beliefs(py::module_& m) {
    auto share = known<BetaBelief>();
    share.def(py::init<double, double>(), "a"_a = 1.0, "b"_a = 1.0, doc::BetaBelief);
    field(share, LIBSEAL_FIELD(BetaBelief, a));
    field(share, LIBSEAL_FIELD(BetaBelief, b));
    share.def("mean", &BetaBelief::mean, "Mean share.")
        .def("sd", &BetaBelief::sd, "Standard deviation of the share.")
        .def("quantile", py::vectorize(&BetaBelief::quantile), "p"_a, doc::BetaBelief_quantile)
        .def("after", &BetaBelief::after, "successes"_a, "trials"_a, doc::BetaBelief_after);
    auto rate = known<GammaBelief>();
    rate.def(py::init<double, double>(), "shape"_a = 1.0, "rate"_a = 1.0, doc::GammaBelief);
    field(rate, LIBSEAL_FIELD(GammaBelief, shape));
    field(rate, LIBSEAL_FIELD(GammaBelief, rate));
    rate.def("mean", &GammaBelief::mean, "Mean rate.")
        .def("sd", &GammaBelief::sd, "Standard deviation of the rate.")
        .def("quantile", py::vectorize(&GammaBelief::quantile), "p"_a, doc::GammaBelief_quantile)
        .def("after", &GammaBelief::after, "events"_a, "exposure"_a, doc::GammaBelief_after);
    auto level = known<NormalBelief>();
    level.def(py::init<double, double>(), "mean"_a = 0.0, "sd"_a = 1.0, doc::NormalBelief);
    field(level, "mean", &NormalBelief::mean, "Mean level.");
    field(level, LIBSEAL_FIELD(NormalBelief, sd));
    level.def("quantile", py::vectorize(&NormalBelief::quantile), "p"_a, doc::NormalBelief_quantile)
        .def(
            "after",
            [](const NormalBelief& self, const Doubles& values, double error) {
                return self.after(column_in(values, "values"), error);
            },
            "values"_a, "error"_a, doc::NormalBelief_after);
    m.def(
        "update_states",
        [](const Doubles& prior, const Doubles& likelihood, int times) {
            return give(update_states(column_in(prior, "prior"), column_in(likelihood, "likelihood"), times));
        },
        "prior"_a, "likelihood"_a, "times"_a = 1, doc::update_states);
}

void define_posteriors(py::module_& m) {
    auto data = known<LifeData>();
    data.def(py::init([](const Doubles& lower, const Doubles& upper) {
                 return LifeData{column_in(lower, "lower"), column_in(upper, "upper")};
             }),
             "lower"_a, "upper"_a, doc::LifeData);
    field(data, "lower", &LifeData::lower, "Sound at least until then. [yr]");
    field(data, "upper", &LifeData::upper, "Failed by then. [yr]");
    auto prior = known<LognormalPrior>();
    prior.def(py::init<double, double>(), "median"_a = 1.0, "log_sd"_a = 1.0, doc::LognormalPrior);
    field(prior, LIBSEAL_FIELD(LognormalPrior, median));
    field(prior, LIBSEAL_FIELD(LognormalPrior, log_sd));
    auto scale = known<ScalePosterior>();
    field(scale, LIBSEAL_FIELD(ScalePosterior, evidence));
    field(scale, LIBSEAL_FIELD(ScalePosterior, mean));
    field(scale, LIBSEAL_FIELD(ScalePosterior, sd));
    field(scale, LIBSEAL_FIELD(ScalePosterior, log_mean));
    field(scale, LIBSEAL_FIELD(ScalePosterior, log_sd));
    field(scale, LIBSEAL_FIELD(ScalePosterior, edge));
    field(scale, LIBSEAL_FIELD(ScalePosterior, below));
    field(scale, LIBSEAL_FIELD(ScalePosterior, slope));
    scale.def("quantile", py::vectorize(&ScalePosterior::quantile), "p"_a, doc::ScalePosterior_quantile);
    m.def("scale_posterior", &scale_posterior, "data"_a, "shape"_a, "scale"_a, doc::scale_posterior, Free());
    auto life = known<LifePosterior>();
    field(life, "evidence", &LifePosterior::evidence, "Probability (density) of the data before they were seen.");
    field(life, LIBSEAL_FIELD(LifePosterior, scale_mean));
    field(life, LIBSEAL_FIELD(LifePosterior, shape_mean));
    field(life, LIBSEAL_FIELD(LifePosterior, log_scale_mean));
    field(life, LIBSEAL_FIELD(LifePosterior, log_shape_mean));
    field(life, LIBSEAL_FIELD(LifePosterior, log_scale_sd));
    field(life, LIBSEAL_FIELD(LifePosterior, log_shape_sd));
    field(life, LIBSEAL_FIELD(LifePosterior, log_covariance));
    m.def("life_posterior", &life_posterior, "data"_a, "scale"_a, "shape"_a, doc::life_posterior, Free());
}

void define_detection(py::module_& m) {
    auto latent = known<LatentBelief>();
    field(latent, "mean", &LatentBelief::mean, "Mean state.");
    field(latent, "sd", &LatentBelief::sd, "Standard deviation of the state.");
    auto history = known<LookHistory>();
    field(history, LIBSEAL_FIELD(LookHistory, likelihood));
    field(history, LIBSEAL_FIELD(LookHistory, defect));
    m.def(
        "grade_probabilities",
        [](double state, const Doubles& cuts, double sd) {
            return give(grade_probabilities(state, column_in(cuts, "cuts"), sd));
        },
        "latent"_a, "cuts"_a, "sd"_a, doc::grade_probabilities);
    m.def(
        "latent_after_grades",
        [](const std::vector<int>& grades, const Doubles& cuts, double sd, double low, double high) {
            return latent_after_grades(grades, column_in(cuts, "cuts"), sd, low, high);
        },
        "grades"_a, "cuts"_a, "sd"_a, "low"_a, "high"_a, doc::latent_after_grades);
    m.def("detection_log_odds", py::vectorize(&detection_log_odds), "size"_a, "a50"_a, "a90"_a, doc::detection_log_odds);
    m.def("detection_lognormal", py::vectorize(&detection_lognormal), "size"_a, "a50"_a, "a90"_a,
          doc::detection_lognormal);
    m.def(
        "first_found",
        [](const Doubles& failed, double detection) { return give(first_found(column_in(failed, "failed"), detection)); },
        "failed"_a, "detection"_a, doc::first_found);
    m.def(
        "look_history",
        [](const Doubles& failed, const std::vector<bool>& alarms, double detection, double false_alarm) {
            return look_history(column_in(failed, "failed"), alarms, detection, false_alarm);
        },
        "failed"_a, "alarms"_a, "detection"_a, "false_alarm"_a = 0.0, doc::look_history);
    m.def("defect_after_clean", py::vectorize(&defect_after_clean), "prior"_a, "detection"_a, "visits"_a = 1,
          doc::defect_after_clean);
    m.def("defect_after_alarm", py::vectorize(&defect_after_alarm), "prior"_a, "detection"_a, "false_alarm"_a,
          doc::defect_after_alarm);
    m.def("demonstrated_detection", &demonstrated_detection, "found"_a, "tried"_a, "confidence"_a = 0.95,
          doc::demonstrated_detection);
}

}  // namespace

void declare_life(py::module_& m) {
    py::class_<Weibull>(m, "Weibull", doc::Weibull);
    py::class_<Lognormal>(m, "Lognormal", doc::Lognormal);
    py::class_<WeibullCovariance>(m, "WeibullCovariance", doc::WeibullCovariance);
    py::class_<Quadrature>(m, "Quadrature", doc::Quadrature);
    py::class_<BetaBelief>(m, "BetaBelief", doc::BetaBelief);
    py::class_<GammaBelief>(m, "GammaBelief", doc::GammaBelief);
    py::class_<NormalBelief>(m, "NormalBelief", doc::NormalBelief);
    py::class_<LifeData>(m, "LifeData", doc::LifeData);
    py::class_<LognormalPrior>(m, "LognormalPrior", doc::LognormalPrior);
    py::class_<ScalePosterior>(m, "ScalePosterior", doc::ScalePosterior);
    py::class_<LifePosterior>(m, "LifePosterior", doc::LifePosterior);
    py::class_<LatentBelief>(m, "LatentBelief", doc::LatentBelief);
    py::class_<LookHistory>(m, "LookHistory", doc::LookHistory);
}

void define_life(py::module_& m) {
    define_weibull(m);
    define_lognormal();
    define_quadrature(m);
    define_beliefs(m);
    define_posteriors(m);
    define_detection(m);
}

}  // namespace libseal::python
