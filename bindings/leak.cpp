// Cause networks and leak tracing in Python.

#include "docs/leak.hpp"
#include "libseal/leak/network.hpp"
#include "libseal/leak/trace.hpp"
#include "record.hpp"

namespace libseal::python {
namespace {

void define_network(py::module_& m) {
    known<CauseNetwork>()
        .def(py::init<>())
        .def("root", &CauseNetwork::root, "probability"_a, doc::CauseNetwork_root)
        .def("table", &CauseNetwork::table, "parents"_a, "probability"_a, doc::CauseNetwork_table)
        .def("noisy_or", &CauseNetwork::noisy_or, "parents"_a, "passes"_a, "leak"_a = 0.0, doc::CauseNetwork_noisy_or)
        .def("__len__", &CauseNetwork::size);
    Record<CauseEvidence>().field(LIBSEAL_FIELD(CauseEvidence, node)).field(LIBSEAL_FIELD(CauseEvidence, value)).finish();
    auto answer = known<CauseAnswer>();
    field(answer, LIBSEAL_FIELD(CauseAnswer, evidence));
    field(answer, LIBSEAL_FIELD(CauseAnswer, probability));
    m.def("infer", &infer, "network"_a, "seen"_a, doc::infer, Free());
}

void define_questions() {
    Record<Stain>()
        .field(LIBSEAL_FIELD(Stain, surface))
        .field(LIBSEAL_FIELD(Stain, slide))
        .field(LIBSEAL_FIELD(Stain, at))
        .field(LIBSEAL_FIELD(Stain, inside))
        .field(LIBSEAL_FIELD(Stain, kind))
        .field(LIBSEAL_FIELD(Stain, wet))
        .field(LIBSEAL_FIELD(Stain, appears))
        .field(LIBSEAL_FIELD(Stain, stays_dry))
        .field(LIBSEAL_FIELD(Stain, note))
        .finish();
    Record<LeakTest>().field(LIBSEAL_FIELD(LeakTest, joint)).field(LIBSEAL_FIELD(LeakTest, wet)).finish();
}

void define_answers() {
    auto step = known<WaterStep>();
    field(step, LIBSEAL_FIELD(WaterStep, place));
    field(step, LIBSEAL_FIELD(WaterStep, way));
    auto candidate = known<LeakCandidate>();
    field(candidate, LIBSEAL_FIELD(LeakCandidate, joint));
    field(candidate, LIBSEAL_FIELD(LeakCandidate, probability));
    field(candidate, LIBSEAL_FIELD(LeakCandidate, open));
    field(candidate, LIBSEAL_FIELD(LeakCandidate, before));
    field(candidate, LIBSEAL_FIELD(LeakCandidate, path));
    field(candidate, LIBSEAL_FIELD(LeakCandidate, reasons));
    candidate.def("__repr__", [](const LeakCandidate& self) {
        return "LeakCandidate(" + self.joint + ", " + std::to_string(self.probability) + ")";
    });
    auto other = known<OtherCause>();
    field(other, LIBSEAL_FIELD(OtherCause, name));
    field(other, LIBSEAL_FIELD(OtherCause, probability));
    field(other, LIBSEAL_FIELD(OtherCause, check));
    auto test = known<TestStep>();
    field(test, LIBSEAL_FIELD(TestStep, joint));
    field(test, LIBSEAL_FIELD(TestStep, chance_wet));
    field(test, LIBSEAL_FIELD(TestStep, minutes));
    field(test, LIBSEAL_FIELD(TestStep, how));
    auto trace = known<LeakTrace>();
    field(trace, LIBSEAL_FIELD(LeakTrace, candidates));
    field(trace, LIBSEAL_FIELD(LeakTrace, others));
    field(trace, LIBSEAL_FIELD(LeakTrace, tests));
    field(trace, LIBSEAL_FIELD(LeakTrace, evidence));
}

TraceOptions options_of(const std::optional<std::vector<LeakTest>>& tests, const Catalogue* catalogue, std::size_t most) {
    TraceOptions options;
    if (tests) options.tests = *tests;
    if (catalogue) options.catalogue = *catalogue;
    options.most = most;
    return options;
}

template <class Stains>
LeakTrace traced(const Coach& coach, const Stains& stain, const std::optional<std::vector<Finding>>& findings, const Forecast& forecast,
                 const std::optional<std::vector<LeakTest>>& tests, const Catalogue* catalogue, std::size_t most) {
    return trace_leak(coach, stain, findings.value_or(std::vector<Finding>{}), forecast, options_of(tests, catalogue, most));
}

void define_tracing(py::module_& m) {
    const TraceOptions usual;
    known<LeakTracer>()
        .def(py::init([](const Coach& coach, const Catalogue* catalogue) {
                 return catalogue ? LeakTracer(coach, *catalogue) : LeakTracer(coach);
             }),
             "coach"_a, "catalogue"_a = py::none())
        .def(
            "trace",
            [](const LeakTracer& self, const std::vector<Stain>& stain, const std::optional<std::vector<Finding>>& findings,
               const Forecast& forecast, const std::optional<std::vector<LeakTest>>& tests, std::size_t most) {
                return self.trace(stain, findings.value_or(std::vector<Finding>{}), forecast, options_of(tests, nullptr, most));
            },
            "stain"_a, "findings"_a, "forecast"_a, py::kw_only(), "tests"_a = py::none(), "most"_a = usual.most, doc::LeakTracer_trace, Free())
        .def("drainage", &LeakTracer::drainage, py::return_value_policy::reference_internal);
    const auto define = [&](auto function, const char* text) {
        m.def("trace_leak", function, "coach"_a, "stain"_a, "findings"_a, "forecast"_a, py::kw_only(), "tests"_a = py::none(),
              "catalogue"_a = py::none(), "most"_a = usual.most, text, Free());
    };
    define(&traced<std::vector<Stain>>, doc::trace_leak);
    define(&traced<Stain>, "");
}

}  // namespace

void declare_leak(py::module_& m) {
    py::class_<CauseNetwork>(m, "CauseNetwork", doc::CauseNetwork);
    py::class_<CauseEvidence>(m, "CauseEvidence", doc::CauseEvidence);
    py::class_<CauseAnswer>(m, "CauseAnswer", doc::CauseAnswer);
    py::class_<Stain>(m, "Stain", doc::Stain);
    py::class_<LeakTest>(m, "LeakTest", doc::LeakTest);
    py::class_<WaterStep>(m, "WaterStep", doc::WaterStep);
    py::class_<LeakCandidate>(m, "LeakCandidate", doc::LeakCandidate);
    py::class_<OtherCause>(m, "OtherCause", doc::OtherCause);
    py::class_<TestStep>(m, "TestStep", doc::TestStep);
    py::class_<LeakTrace>(m, "LeakTrace", doc::LeakTrace);
    py::class_<LeakTracer>(m, "LeakTracer", doc::LeakTracer);
}

void define_leak(py::module_& m) {
    define_network(m);
    define_questions();
    define_answers();
    define_tracing(m);
}

}  // namespace libseal::python
