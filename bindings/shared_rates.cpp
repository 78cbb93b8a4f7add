// Rates of many units in Python.

#include "docs/life.hpp"
#include "libseal/life/shared_rates.hpp"
#include "lives.hpp"

namespace libseal::python {

void declare_shared_rates(py::module_& m) {
    py::class_<SharedRates>(m, "SharedRates", doc::SharedRates);
    py::class_<SharedRatesPrior>(m, "SharedRatesPrior", doc::SharedRatesPrior);
    py::class_<SharedRatesBelief>(m, "SharedRatesBelief", doc::SharedRatesBelief);
    py::class_<FunnelLimits>(m, "FunnelLimits", doc::FunnelLimits);
    py::class_<RateRatio>(m, "RateRatio", doc::RateRatio);
    py::class_<ExposureNeeded>(m, "ExposureNeeded", doc::ExposureNeeded);
}

namespace {

void define_shrunk(py::module_& m) {
    auto rates = known<SharedRates>();
    field(rates, LIBSEAL_FIELD(SharedRates, shape));
    field(rates, LIBSEAL_FIELD(SharedRates, rate));
    field(rates, LIBSEAL_FIELD(SharedRates, overall));
    field(rates, LIBSEAL_FIELD(SharedRates, log_likelihood));
    field(rates, LIBSEAL_FIELD(SharedRates, log_shape_variance));
    field(rates, LIBSEAL_FIELD(SharedRates, log_covariance));
    field(rates, LIBSEAL_FIELD(SharedRates, log_rate_variance));
    field(rates, LIBSEAL_FIELD(SharedRates, alike));
    field(rates, LIBSEAL_FIELD(SharedRates, mean));
    field(rates, LIBSEAL_FIELD(SharedRates, sd));
    field(rates, LIBSEAL_FIELD(SharedRates, lower));
    field(rates, LIBSEAL_FIELD(SharedRates, upper));
    field(rates, LIBSEAL_FIELD(SharedRates, above));
    m.def(
        "shared_rates",
        [](const Doubles& events, const Doubles& exposure, double confidence) {
            return shared_rates(column_in(events, "events"), column_in(exposure, "exposure"), confidence);
        },
        "events"_a, "exposure"_a, "confidence"_a = 0.95, doc::shared_rates);
    auto prior = known<SharedRatesPrior>();
    prior.def(py::init([](double shape_shape, double shape_rate, double rate_shape, double rate_rate, double known_shape) {
                  return SharedRatesPrior{shape_shape, shape_rate, rate_shape, rate_rate, known_shape};
              }),
              py::kw_only(), "shape_shape"_a = 1.0, "shape_rate"_a = 1.0, "rate_shape"_a = 0.1, "rate_rate"_a = 1.0, "known_shape"_a = 0.0,
              doc::SharedRatesPrior);
    field(prior, LIBSEAL_FIELD(SharedRatesPrior, shape_shape));
    field(prior, LIBSEAL_FIELD(SharedRatesPrior, shape_rate));
    field(prior, LIBSEAL_FIELD(SharedRatesPrior, rate_shape));
    field(prior, LIBSEAL_FIELD(SharedRatesPrior, rate_rate));
    field(prior, LIBSEAL_FIELD(SharedRatesPrior, known_shape));
    auto belief = known<SharedRatesBelief>();
    field(belief, "shape_mean", &SharedRatesBelief::shape_mean, "Mean of the shape.");
    field(belief, "shape_sd", &SharedRatesBelief::shape_sd, "Standard deviation of the shape.");
    field(belief, "rate_mean", &SharedRatesBelief::rate_mean, "Mean of the rate parameter.");
    field(belief, "rate_sd", &SharedRatesBelief::rate_sd, "Standard deviation of the rate parameter.");
    field(belief, LIBSEAL_FIELD(SharedRatesBelief, mean));
    field(belief, LIBSEAL_FIELD(SharedRatesBelief, sd));
    field(belief, LIBSEAL_FIELD(SharedRatesBelief, above));
    m.def(
        "shared_rates_bayes",
        [](const Doubles& events, const Doubles& exposure, const SharedRatesPrior& prior_of) {
            const Column x = column_in(events, "events"), t = column_in(exposure, "exposure");
            const py::gil_scoped_release free;
            return shared_rates_bayes(x, t, prior_of);
        },
        "events"_a, "exposure"_a, py::arg_v("prior", SharedRatesPrior{}, "SharedRatesPrior()"), doc::shared_rates_bayes);
}

void define_outliers(py::module_& m) {
    m.def(
        "benjamini_hochberg", [](const Doubles& p) { return give(benjamini_hochberg(column_in(p, "p"))); }, "p"_a, doc::benjamini_hochberg);
    auto limits = known<FunnelLimits>();
    field(limits, "expected", &FunnelLimits::expected, "Events expected.");
    field(limits, LIBSEAL_FIELD(FunnelLimits, lower));
    field(limits, LIBSEAL_FIELD(FunnelLimits, upper));
    m.def(
        "funnel_limits",
        [](const Doubles& expected, double confidence) { return funnel_limits(column_in(expected, "expected"), confidence); }, "expected"_a,
        "confidence"_a = 0.95, doc::funnel_limits);
    auto ratio = known<RateRatio>();
    field(ratio, LIBSEAL_FIELD(RateRatio, ratio));
    field(ratio, LIBSEAL_FIELD(RateRatio, lower));
    field(ratio, LIBSEAL_FIELD(RateRatio, upper));
    field(ratio, LIBSEAL_FIELD(RateRatio, p_high));
    field(ratio, LIBSEAL_FIELD(RateRatio, p_low));
    field(ratio, LIBSEAL_FIELD(RateRatio, mid_p_high));
    field(ratio, "mid_p_low", &RateRatio::mid_p_low, "Chance of fewer, with half of the chance of just so many.");
    m.def("rate_ratio", &rate_ratio, "events"_a, "expected"_a, "confidence"_a = 0.95, doc::rate_ratio);
    auto needed = known<ExposureNeeded>();
    field(needed, LIBSEAL_FIELD(ExposureNeeded, exposure));
    field(needed, LIBSEAL_FIELD(ExposureNeeded, expected));
    field(needed, LIBSEAL_FIELD(ExposureNeeded, critical));
    m.def("exposure_to_settle", &exposure_to_settle, "expected_rate"_a, "ratio"_a, "alpha"_a = 0.05, "power"_a = 0.8,
          doc::exposure_to_settle);
}

}  // namespace

void define_shared_rates(py::module_& m) {
    define_shrunk(m);
    define_outliers(m);
}

}  // namespace libseal::python
