// From findings to looks: which joint or part each speaks of, and which look counts.

#include <algorithm>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "survey/check.hpp"
#include "survey/repaired.hpp"
#include "work/planning.hpp"

namespace libseal::detail {
namespace {

/// Was the layer renewed, or the place repaired, after the look?
bool outdated(const Finding& finding, const Joint& joint, const std::vector<WorkDone>& work_done) {
    for (const WorkDone& work : work_done)
        if (mends(work, finding.sign) && work.coach == finding.coach && work.joint == finding.joint &&
            finding.date <= work.date &&
            (finding.layer.empty() || work.layer.empty() || finding.layer == work.layer ||
             work.action == "rebed"))
            return true;
    for (const Layer& layer : joint.layers)
        if (layer.generation > 1 && finding.date <= layer.installed_from &&
            (finding.layer.empty() || finding.layer == layer.kind))
            return true;
    return false;
}

/// Repaired after the look?
bool outdated(const Finding& finding, const PartWork& work, const std::vector<WorkDone>& work_done) {
    return std::any_of(work_done.begin(), work_done.end(), [&](const WorkDone& done) {
        const bool here = (work.part && done.part == work.part->id) ||
                          (work.joint && done.part.empty() && done.joint == work.joint->id && handles_part(done));
        return done.coach == finding.coach && here && finding.date <= done.date && mends(done, finding.sign);
    });
}

/// The same record once more is no further finding: its share would be touched up, and its reason told, twice.
void add_once(std::vector<Finding>& findings, const Finding& more) {
    if (std::none_of(findings.begin(), findings.end(), [&](const Finding& one) { return same_record(one, more); })) findings.push_back(more);
}

const Part* part_at(const Coach& coach, const std::string& id) {
    for (const Part& part : coach.parts)
        if (part.id == id) return &part;
    return nullptr;
}

const Joint* joint_round(const Coach& coach, const std::string& part) {
    const Joint* longest = nullptr;
    for (const Joint& joint : coach.joints)
        if (joint.part == part && (!longest || joint.length > longest->length)) longest = &joint;
    return longest;
}

void check_part(const Coach& coach, const Finding& finding) {
    if (finding.part.empty() || part_at(coach, finding.part)) return;
    std::vector<std::string> ids;
    for (const Part& one : coach.parts) ids.push_back(one.id);
    const std::string near = nearest_name(finding.part, ids);
    throw_value_error("findings", "a part of coach " + coach.id, "\"" + finding.part + "\"",
                      near.empty() ? "" : "did you mean \"" + near + "\"?");
}

/// To the joint it speaks of; what is work on a part alone to the part.
void take(Seen& seen, const Coach& coach, const Finding& finding, const Catalogue& catalogue) {
    const Joint* joint = finding.joint.empty() ? joint_round(coach, finding.part) : &joint_of(coach, finding.joint);
    const std::string part = finding.part.empty() && joint ? joint->part : finding.part;
    const Part* known = part_at(coach, part);
    check_part(coach, finding);
    if (!joint && !known) throw_value_error("findings", "a joint or a part", "a finding with neither");
    seen.own.push_back(finding);
    Finding& own = seen.own.back();
    own.joint = joint ? joint->id : "";
    if (joint && !is_of_part(finding.sign, catalogue)) {
        seen.of_joint[joint->id].push_back(&own);
        return;
    }
    PartWork& work = seen.of_part[known ? known->id : joint->id];
    work.id = known ? known->id : joint->id;
    work.part = known;
    work.joint = known && joint_round(coach, known->id) ? joint_round(coach, known->id) : joint;
    own.joint = work.joint ? work.joint->id : "";
    own.part = work.part ? work.part->id : "";
    work.findings.push_back(own);
}

/// Damage that has been looked into since, and of which a look after that shows nothing, was none. The bead of that look was sound.
void drop_surveyed(std::vector<Look>& looks, const Joint& joint, const Job& job) {
    const auto later = std::find_if(looks.begin(), looks.end(), [](const Look& look) { return look.grade.inspected; });
    if (later == looks.end() || later->grade.damage >= 1) return;
    const Date from = later->date;
    std::erase_if(looks, [&](const Look& look) {
        if (look.date >= from || look.grade.damage < 1 || look.grade.worst() > 2) return false;
        return std::any_of(job.options.work_done.begin(), job.options.work_done.end(), [&](const WorkDone& work) {
            return work.action == "damage_survey" && !work.declined && work.coach == job.coach.id && work.joint == joint.id && look.date <= work.date &&
                   work.date <= from;
        });
    });
}

}  // namespace

Seen sort_findings(const Coach& coach, const std::vector<Finding>& findings, Date as_of, const Catalogue& catalogue) {
    Seen seen;
    for (const Finding& finding : findings) {
        if (finding.coach != coach.id) continue;
        if (finding.date > as_of)
            throw_value_error("findings", "looks up to " + to_text(as_of),
                              "one of " + to_text(finding.date) + " at " + finding.joint + finding.part);
        take(seen, coach, finding, catalogue);
    }
    return seen;
}

std::vector<Look> looks_at(const Joint& joint, const Job& job, const JointType& type) {
    const PlanOptions& options = job.options;
    std::vector<Look> looks;
    const auto seen = job.seen.of_joint.find(joint.id);
    if (seen == job.seen.of_joint.end()) return looks;
    std::map<Date, std::vector<Finding>, std::greater<>> by_date;
    for (const Finding* finding : seen->second)
        if (!outdated(*finding, joint, options.work_done)) add_once(by_date[finding->date], *finding);
    for (auto& [date, list] : by_date) {
        Look look{date, list, grade_of_joint(list, joint, options.catalogue), {}};
        if (look.grade.inspected)
            look.answer = judge(look.grade, list, type, options.exposed_soon, options.catalogue, job.plan.as_of,
                                options.work_done);
        looks.push_back(std::move(look));
    }
    drop_surveyed(looks, joint, job);
    return looks;
}

const Look* deciding_look(const std::vector<Look>& looks, bool& older) {
    const Look* chosen = nullptr;
    older = false;
    for (const Look& look : looks) {
        if (!look.grade.inspected) continue;
        if (!chosen)
            chosen = &look;
        else if (look.answer.urgency >= Urgency::within_30_days && look.answer.urgency > chosen->answer.urgency)
            chosen = &look, older = true;
    }
    return chosen;
}

std::map<Date, std::vector<Finding>, std::greater<>> looks_at(const PartWork& work, const Job& job) {
    std::map<Date, std::vector<Finding>, std::greater<>> by_date;
    for (const Finding& finding : work.findings)
        if (!outdated(finding, work, job.options.work_done)) add_once(by_date[finding.date], finding);
    return by_date;
}

int beads_in_place(const Joint& joint, const std::string& coach, const std::vector<WorkDone>& work_done) {
    std::vector<const WorkDone*> here;
    for (const WorkDone& work : work_done)
        if (work.coach == coach && work.joint == joint.id && !work.declined) here.push_back(&work);
    std::stable_sort(here.begin(), here.end(), [](const WorkDone* a, const WorkDone* b) { return a->date < b->date; });
    int beads = 1;
    Date over{};
    for (const WorkDone* work : here) {
        // The same record once more is no further bead.
        if (work->action == "reseal_over" && work->date != over) ++beads, over = work->date;
        if (work->action == "cut_out_and_reseal" || work->action == "rebed" || work->action == "refasten_and_seal") beads = 1;
    }
    return beads;
}

}  // namespace libseal::detail
