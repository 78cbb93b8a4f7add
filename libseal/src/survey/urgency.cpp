#include "libseal/survey/urgency.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "survey/repaired.hpp"
#include "survey/size_class.hpp"

namespace libseal {
namespace {

constexpr int framing = 4;  // consequence class: framing, deck, slide floor, bed or wiring get wet

std::string plain(std::string name) {
    std::replace(name.begin(), name.end(), '_', ' ');
    return name;
}

bool table_says_exposed(const std::string& cell, bool exposed_soon, const Catalogue& catalogue) {
    return exposed_soon && catalogue.has("urgency/exposed/" + cell);
}

Urgency from_table(const Grade& grade, const JointType& type, bool exposed_soon, const Catalogue& catalogue) {
    const std::string cell = std::to_string(std::clamp(grade.worst(), 0, 5)) + "/" + std::to_string(type.consequence);
    const std::string id = table_says_exposed(cell, exposed_soon, catalogue) ? "urgency/exposed/" + cell : "urgency/" + cell;
    const std::string& word = catalogue.word(id);
    for (const Urgency u : {Urgency::next_inspection, Urgency::next_service, Urgency::within_30_days, Urgency::at_once})
        if (to_text(u) == word) return u;
    throw_value_error(id, "next_inspection, next_service, within_30_days or at_once", "\"" + word + "\"");
}

bool has_equipment(const JointType& type) {
    return std::any_of(type.cautions.begin(), type.cautions.end(),
                       [](const std::string& caution) { return caution == "electricity" || caution == "gas"; });
}

/// First finding that shows water inside: a sign of it, or a wet reading.
std::string water_seen(const Grade& grade, const std::vector<Finding>& findings, const Catalogue& catalogue) {
    for (const auto& f : findings)
        if (detail::is_there(f, catalogue) && catalogue.has("grade/sign/" + f.sign + "/isolates")) return plain(f.sign);
    if (grade.damage < 1) return "";
    for (const auto& f : findings)
        if (!std::isnan(f.moisture)) return "a reading of " + number_text(f.moisture) + " %";
    return "damage";
}

/// One override after the other; the first that calls for more than the table decides.
class Judge {
public:
    Judge(const Grade& grade, const std::vector<Finding>& findings, const JointType& type, const Catalogue& catalogue)
        : grade_(grade), findings_(findings), type_(type), catalogue_(catalogue) {}

    UrgencyAnswer judged(bool exposed_soon) {
        by_table(exposed_soon);
        shut();
        water_at_equipment();
        wet_or_soft();
        open_over_framing();
        return std::move(answer_);
    }

private:
    void by_table(bool exposed_soon) {
        answer_.urgency = from_table(grade_, type_, exposed_soon, catalogue_);
        const int worst = grade_.worst();
        if (worst < 0) {
            for (const auto& f : findings_)
                if (f.sign == "not_inspected") answer_.reasons.push_back("not inspected: " + f.reason);
            return;
        }
        std::string text = "grade " + std::to_string(worst) + ", consequence class " + std::to_string(type_.consequence);
        if (table_says_exposed(std::to_string(worst) + "/" + std::to_string(type_.consequence), exposed_soon, catalogue_))
            text += ", rain or a trip within " + number_text(catalogue_.number("urgency/days/exposed")) + " days";
        answer_.reasons.push_back(text);
    }

    void at_once(const std::string& rule, const std::string& reason) {
        if (answer_.rule == "table") answer_.rule = rule;
        answer_.urgency = Urgency::at_once;
        answer_.reasons.push_back(reason);
    }

    void shut() {
        for (const auto& f : findings_) {
            if (f.sign != "sealed_shut" || !detail::is_there(f, catalogue_)) continue;
            answer_.safety = true;
            return at_once("sealed_shut",
                           "sealed shut: a way out or an exhaust must open; freed before the coach is used again");
        }
    }

    void water_at_equipment() {
        const std::string water = water_seen(grade_, findings_, catalogue_);
        if (water.empty() || !has_equipment(type_)) return;
        answer_.isolate = true;
        at_once("water_at_equipment",
                water + " at electrical or fuel equipment: isolate it, out of use until a qualified person has checked it");
    }

    void wet_or_soft() {
        if (grade_.damage < 1) return;
        answer_.investigate = true;
        at_once("wet_or_soft", "wet or soft: looked into at once, whatever the bead looks like");
    }

    void open_over_framing() {
        // Not knowing counts as open where framing, deck or wiring get wet.
        if (grade_.open_path == OpenPath::no || type_.consequence < framing) return;
        at_once("open_over_framing", grade_.open_path == OpenPath::yes
                                         ? "an open path over framing, deck or wiring"
                                         : "perhaps an open path over framing, deck or wiring");
    }

    const Grade& grade_;
    const std::vector<Finding>& findings_;
    const JointType& type_;
    const Catalogue& catalogue_;
    UrgencyAnswer answer_;
};

bool same_place(const WorkDone& work, const Finding& finding, const Catalogue& catalogue) {
    // What is about a part alone may stand at the joint that seals it; the record of it names the part.
    const bool of_part = finding.joint.empty() || detail::is_of_part(finding.sign, catalogue);
    const bool at_part = of_part && !finding.part.empty() && work.part == finding.part;
    const bool at_joint = !finding.joint.empty() && work.joint == finding.joint && (work.part.empty() || work.part == finding.part);
    return work.coach == finding.coach && (at_part || at_joint) && work.date >= finding.date;
}

/// The cover that is on, or would go on today over a way in; and what the owner declined.
void add_records(UrgencyAnswer& answer, const Grade& grade, const std::vector<Finding>& findings,
                 const std::vector<WorkDone>& work_done, const Catalogue& catalogue, Date as_of) {
    const auto days = static_cast<int>(catalogue.number("action/temporary_cover/days"));
    const WorkDone *cover = nullptr, *declined = nullptr;
    for (const auto& work : work_done) {
        if (findings.empty() || !same_place(work, findings.front(), catalogue) || work.date > as_of) continue;
        if (work.declined && (!declined || work.date > declined->date)) declined = &work;
        if (!work.declined && work.action == "temporary_cover" && (!cover || work.date > cover->date)) cover = &work;
    }
    if (cover) {
        answer.cover_expires = cover->date + days;
        answer.act_by = answer.act_by == Date{} ? answer.cover_expires : std::min(answer.act_by, answer.cover_expires);
        answer.reasons.push_back(
            (answer.cover_expires < as_of ? "the temporary cover held until " : "the temporary cover holds until ") +
            to_text(answer.cover_expires) + ": it is no repair");
    } else if (answer.urgency == Urgency::at_once && grade.open_path != OpenPath::no) {
        answer.cover_expires = as_of + days;
    }
    if (declined && answer.urgency == Urgency::at_once) {
        answer.needs_signature = true;
        answer.reasons.push_back(plain(declined->action) + " was declined on " + to_text(declined->date) +
                                 " although it is at once: a signed line is needed");
    }
}

}  // namespace

std::string to_text(Urgency urgency) {
    switch (urgency) {
        case Urgency::next_inspection:
            return "next_inspection";
        case Urgency::next_service:
            return "next_service";
        case Urgency::within_30_days:
            return "within_30_days";
        case Urgency::at_once:
            return "at_once";
    }
    return "next_inspection";
}

Urgency urgency(const Grade& grade, const JointType& type, bool exposed_soon, const Catalogue& catalogue) {
    return Judge(grade, {}, type, catalogue).judged(exposed_soon).urgency;
}

UrgencyAnswer judge(const Grade& grade, const std::vector<Finding>& findings, const JointType& type, bool exposed_soon,
                    const Catalogue& catalogue, Date as_of, const std::vector<WorkDone>& work_done) {
    UrgencyAnswer answer = Judge(grade, findings, type, catalogue).judged(exposed_soon);
    if (answer.urgency != Urgency::next_inspection)
        answer.act_by = as_of + static_cast<int>(catalogue.number("urgency/days/" + to_text(answer.urgency)));
    add_records(answer, grade, findings, work_done, catalogue, as_of);
    return answer;
}

}  // namespace libseal
