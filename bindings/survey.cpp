// Findings, grades and work records in Python.

#include <optional>

#include "docs/survey.hpp"
#include "libseal/survey/meaning.hpp"
#include "libseal/survey/read.hpp"
#include "libseal/survey/segments.hpp"
#include "libseal/survey/urgency.hpp"
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
        .field(LIBSEAL_FIELD(Finding, part))
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
        .field(LIBSEAL_FIELD(WorkDone, part))
        .finish();
}

void define_grade(py::module_& m) {
    auto type = known<Grade>();
    field(type, LIBSEAL_FIELD(Grade, cap));
    field(type, LIBSEAL_FIELD(Grade, bedding));
    field(type, LIBSEAL_FIELD(Grade, hardware));
    field(type, LIBSEAL_FIELD(Grade, mean));
    type.def("worst", &Grade::worst, doc::Grade_worst);
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
    m.def("grade_of_joint", &grade_of_joint, "findings"_a, "joint"_a, "catalogue"_a, doc::grade_of_joint);
    m.def("not_inspected", &not_inspected, "findings"_a, "coach"_a, "as_of"_a, doc::not_inspected);
    auto band = known<MoistureBand>();
    field(band, LIBSEAL_FIELD(MoistureBand, name));
    field(band, LIBSEAL_FIELD(MoistureBand, meaning));
    m.def("moisture_band", &moisture_band, "reading"_a, "catalogue"_a, doc::moisture_band);
    auto segment = known<JointSegment>();
    field(segment, LIBSEAL_FIELD(JointSegment, name));
    field(segment, LIBSEAL_FIELD(JointSegment, length));
    field(segment, LIBSEAL_FIELD(JointSegment, middle));
    m.def("segments_of", &segments_of, "joint"_a, doc::segments_of);
}

/// Day 0 stands for "none".
std::optional<Date> day_or_none(Date day) { return day == Date{} ? std::nullopt : std::optional<Date>(day); }

void define_urgency(py::module_& m) {
    auto answer = known<UrgencyAnswer>();
    answer.def_property_readonly(
        "urgency", [](const UrgencyAnswer& self) { return to_text(self.urgency); }, doc::UrgencyAnswer_urgency);
    field(answer, LIBSEAL_FIELD(UrgencyAnswer, rule));
    field(answer, LIBSEAL_FIELD(UrgencyAnswer, reasons));
    answer.def_property_readonly(
        "act_by", [](const UrgencyAnswer& self) { return day_or_none(self.act_by); },
        "Last day; None: at the next inspection.");
    answer.def_property_readonly(
        "cover_expires", [](const UrgencyAnswer& self) { return day_or_none(self.cover_expires); },
        "Last day of a temporary cover that is on, or would go on now; None without one.");
    field(answer, LIBSEAL_FIELD(UrgencyAnswer, isolate));
    field(answer, LIBSEAL_FIELD(UrgencyAnswer, safety));
    field(answer, LIBSEAL_FIELD(UrgencyAnswer, investigate));
    field(answer, LIBSEAL_FIELD(UrgencyAnswer, needs_signature));
    m.def(
        "judge",
        [](const Grade& graded, const std::vector<Finding>& findings, const JointType& type, bool exposed_soon,
           const Catalogue& catalogue, Date as_of, const std::optional<std::vector<WorkDone>>& work_done) {
            return judge(graded, findings, type, exposed_soon, catalogue, as_of,
                         work_done.value_or(std::vector<WorkDone>()));
        },
        "grade"_a, "findings"_a, "type"_a, "exposed_soon"_a, "catalogue"_a, "as_of"_a, "work_done"_a = py::none(),
        doc::judge);
}

void define_meaning(py::module_& m) {
    auto check = known<Check>();
    field(check, LIBSEAL_FIELD(Check, joint));
    field(check, LIBSEAL_FIELD(Check, part));
    field(check, LIBSEAL_FIELD(Check, what));
    field(check, LIBSEAL_FIELD(Check, why));
    field(check, LIBSEAL_FIELD(Check, rule));
    field(check, LIBSEAL_FIELD(Check, likelihood));
    m.def(
        "meaning",
        [](const std::vector<Finding>& findings, const Coach& coach, const Catalogue& catalogue, Date as_of,
           const std::optional<std::vector<WorkDone>>& work_done) {
            return meaning(findings, coach, catalogue, as_of, work_done.value_or(std::vector<WorkDone>()));
        },
        "findings"_a, "coach"_a, "catalogue"_a, "as_of"_a, "work_done"_a = py::none(), doc::meaning);
    m.def("meaning_rules", &meaning_rules, doc::meaning_rules);
    m.def("signs_of_rule", &signs_of_rule, "rule"_a, doc::signs_of_rule);
    m.def("sign_groups", &sign_groups, doc::sign_groups);
    m.def("signs_of_group", &signs_of_group, "group"_a, "catalogue"_a, doc::signs_of_group);
}

void define_survey_files(py::module_& m) {
    m.def(
        "read_findings", [](const Path& path) { return read_findings(path.string()); }, "path"_a,
        doc::read_findings, Free());
    m.def(
        "read_findings",
        [](const Path& path, const Fleet& fleet, Date as_of) { return read_findings(path.string(), fleet, as_of); },
        "path"_a, "fleet"_a, "as_of"_a, "The same, checked against the coaches it is about.", Free());
    m.def(
        "read_findings_text",
        [](const std::string& text, const std::string& name) { return read_findings_text(text, name); }, "text"_a,
        "name"_a, doc::read_findings_text, Free());
    m.def(
        "read_findings_text",
        [](const std::string& text, const std::string& name, const Fleet& fleet, Date as_of) {
            return read_findings_text(text, name, fleet, as_of);
        },
        "text"_a, "name"_a, "fleet"_a, "as_of"_a, "The same, checked against the coaches it is about.", Free());
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
    py::class_<MoistureBand>(m, "MoistureBand", doc::MoistureBand);
    py::class_<JointSegment>(m, "JointSegment", doc::JointSegment);
    py::class_<UrgencyAnswer>(m, "UrgencyAnswer", doc::UrgencyAnswer);
    py::class_<Check>(m, "Check", doc::Check);
}

void define_survey(py::module_& m) {
    define_records();
    define_grade(m);
    define_urgency(m);
    define_meaning(m);
    define_survey_files(m);
    m.def("check_findings", &check_findings, "findings"_a, "fleet"_a, "as_of"_a, doc::check_findings);
    m.def("check_work_done", &check_work_done, "work"_a, "fleet"_a, "as_of"_a, doc::check_work_done);
    m.def("with_work_done", &with_work_done, "fleet"_a, "work"_a, "as_of"_a, doc::with_work_done);
    m.def("sign_names", &sign_names, doc::sign_names);
    m.def("action_names", &action_names, doc::action_names);
}

}  // namespace libseal::python
