// Inspection plans in Python.

#include "libseal/forecast/next_look.hpp"

#include <optional>

#include "docs/forecast.hpp"
#include "record.hpp"

namespace libseal::python {

void declare_inspection(py::module_& m) {
    py::class_<InspectionStop>(m, "InspectionStop", doc::InspectionStop);
    py::class_<JointLeftOut>(m, "JointLeftOut", doc::JointLeftOut);
    py::class_<InspectionPlan>(m, "InspectionPlan", doc::InspectionPlan);
}

void define_inspection(py::module_& m) {
    Record<InspectionStop>()
        .field(LIBSEAL_FIELD(InspectionStop, joint))
        .field(LIBSEAL_FIELD(InspectionStop, number))
        .field(LIBSEAL_FIELD(InspectionStop, trip))
        .field(LIBSEAL_FIELD(InspectionStop, minutes))
        .field(LIBSEAL_FIELD(InspectionStop, bits))
        .field(LIBSEAL_FIELD(InspectionStop, due))
        .field(LIBSEAL_FIELD(InspectionStop, overdue))
        .field(LIBSEAL_FIELD(InspectionStop, reason))
        .field(LIBSEAL_FIELD(InspectionStop, cautions))
        .finish();
    Record<JointLeftOut>()
        .field(LIBSEAL_FIELD(JointLeftOut, joint))
        .field(LIBSEAL_FIELD(JointLeftOut, minutes))
        .field(LIBSEAL_FIELD(JointLeftOut, bits))
        .field(LIBSEAL_FIELD(JointLeftOut, bits_per_minute))
        .field(LIBSEAL_FIELD(JointLeftOut, reason))
        .finish();
    Record<InspectionPlan>()
        .field(LIBSEAL_FIELD(InspectionPlan, coach))
        .field(LIBSEAL_FIELD(InspectionPlan, day))
        .field(LIBSEAL_FIELD(InspectionPlan, horizon))
        .field(LIBSEAL_FIELD(InspectionPlan, stops))
        .field(LIBSEAL_FIELD(InspectionPlan, left_out))
        .field(LIBSEAL_FIELD(InspectionPlan, minutes))
        .field(LIBSEAL_FIELD(InspectionPlan, fixed_minutes))
        .field(LIBSEAL_FIELD(InspectionPlan, roof_set_up_minutes))
        .field(LIBSEAL_FIELD(InspectionPlan, bits))
        .field(LIBSEAL_FIELD(InspectionPlan, ground_walk))
        .field(LIBSEAL_FIELD(InspectionPlan, roof_walk))
        .finish();
    const InspectionOptions d;
    m.def(
        "inspection_plan",
        [](const Coach& coach, const Forecast& forecast, std::optional<Date> day, double horizon, double budget,
           double least_bits_per_minute, bool weigh_consequence, const std::string& inspector) {
            const py::gil_scoped_release free;
            return inspection_plan(coach, forecast, {day, horizon, budget, least_bits_per_minute, weigh_consequence, inspector});
        },
        "coach"_a, "forecast"_a, py::kw_only(), "day"_a = py::none(), "horizon"_a = d.horizon, "budget"_a = d.budget,
        "least_bits_per_minute"_a = d.least_bits_per_minute, "weigh_consequence"_a = d.weigh_consequence,
        "inspector"_a = d.inspector, doc::inspection_plan);
}

}  // namespace libseal::python
