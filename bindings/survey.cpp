// Findings, grades and work records in Python.

#include "docs/survey.hpp"
#include "libseal/survey/grade.hpp"
#include "libseal/survey/read.hpp"
#include "record.hpp"

namespace libseal::python {
namespace {

std::string word_of(OpenPath open) {
    return open == OpenPath::no ? "no" : open == OpenPath::yes ? "yes" : "unknown";
}

void define_records() {
    Record<Finding>()
        .field(LIBSEAL_FIELD(Finding, coach))
        .field(LIBSEAL_FIELD(Finding, joint))
        .field(LIBSEAL_FIELD(Finding, segment))
        .field(LIBSEAL_FIELD(Finding, layer))
        .field(LIBSEAL_FIELD(Finding, sign))
        .field(LIBSEAL_FIELD(Finding, date))
        .field(LIBSEAL_FIELD(Finding, value))
        .field(LIBSEAL_FIELD(Finding, unit))
        .field(LIBSEAL_FIELD(Finding, size))
        .field(LIBSEAL_FIELD(Finding, share))
        .field(LIBSEAL_FIELD(Finding, reaches_fastener))
        .field(LIBSEAL_FIELD(Finding, bedding_seen))
        .field(LIBSEAL_FIELD(Finding, moisture))
        .field(LIBSEAL_FIELD(Finding, moisture_dry))
        .field(LIBSEAL_FIELD(Finding, inspector))
        .field(LIBSEAL_FIELD(Finding, photo))
        .field(LIBSEAL_FIELD(Finding, note))
        .field(LIBSEAL_FIELD(Finding, reason))
        .finish();
    Record<WorkDone>()
        .field(LIBSEAL_FIELD(WorkDone, coach))
        .field(LIBSEAL_FIELD(WorkDone, joint))
        .field(LIBSEAL_FIELD(WorkDone, layer))
        .field(LIBSEAL_FIELD(WorkDone, date))
        .field(LIBSEAL_FIELD(WorkDone, action))
        .field(LIBSEAL_FIELD(WorkDone, family))
        .field(LIBSEAL_FIELD(WorkDone, minutes))
        .field(LIBSEAL_FIELD(WorkDone, who))
        .field(LIBSEAL_FIELD(WorkDone, declined))
        .finish();
}

void define_grade(py::module_& m) {
    auto type = known<Grade>();
    field(type, LIBSEAL_FIELD(Grade, cap));
    field(type, LIBSEAL_FIELD(Grade, bedding));
    type.def_property_readonly(
        "open_path", [](const Grade& self) { return word_of(self.open_path); },
        "\"yes\", \"no\" or \"unknown\"");
    field(type, LIBSEAL_FIELD(Grade, damage));
    field(type, LIBSEAL_FIELD(Grade, inspected));
    field(type, LIBSEAL_FIELD(Grade, reasons));
    m.def("grade", &grade, "findings"_a, "type"_a, "catalogue"_a, doc::grade);
    m.def(
        "urgency",
        [](const Grade& graded, const JointType& joint, bool exposed_soon, const Catalogue& catalogue) {
            return to_text(urgency(graded, joint, exposed_soon, catalogue));
        },
        "grade"_a, "type"_a, "exposed_soon"_a, "catalogue"_a, doc::urgency);
}

void define_survey_files(py::module_& m) {
    m.def(
        "read_findings", [](const Path& path) { return read_findings(path.string()); }, "path"_a,
        doc::read_findings, Free());
    m.def("read_findings_text", &read_findings_text, "text"_a, "name"_a, doc::read_findings_text, Free());
    m.def("findings_json", &findings_json, "findings"_a, doc::findings_json, Free());
    m.def(
        "read_work_done", [](const Path& path) { return read_work_done(path.string()); }, "path"_a,
        doc::read_work_done, Free());
    m.def("read_work_done_text", &read_work_done_text, "text"_a, "name"_a, doc::read_work_done_text, Free());
}

}  // namespace

void declare_survey(py::module_& m) {
    py::class_<Finding>(m, "Finding", doc::Finding);
    py::class_<WorkDone>(m, "WorkDone", doc::WorkDone);
    py::class_<Grade>(m, "Grade", doc::Grade);
}

void define_survey(py::module_& m) {
    define_records();
    define_grade(m);
    define_survey_files(m);
    m.def("check_findings", &check_findings, "findings"_a, "fleet"_a, "as_of"_a, doc::check_findings);
    m.def("check_work_done", &check_work_done, "work"_a, "fleet"_a, "as_of"_a, doc::check_work_done);
    m.def("with_work_done", &with_work_done, "fleet"_a, "work"_a, "as_of"_a, doc::with_work_done);
    m.def("sign_names", &sign_names, doc::sign_names);
    m.def("action_names", &action_names, doc::action_names);
}

}  // namespace libseal::python
