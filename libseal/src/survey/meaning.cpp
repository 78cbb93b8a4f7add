#include "libseal/survey/meaning.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "libseal/survey/read.hpp"
#include "survey/meaning_case.hpp"
#include "survey/repaired.hpp"
#include "survey/size_class.hpp"

namespace libseal {
namespace detail {
namespace {

std::string plain(std::string name) {
    std::replace(name.begin(), name.end(), '_', ' ');
    return name;
}

/// The part that a finding speaks of; that of its joint where none is named.
std::string part_of(const Finding& finding, const Coach& coach) {
    if (!finding.part.empty()) return finding.part;
    for (const auto& joint : coach.joints)
        if (joint.id == finding.joint) return joint.part;
    return "";
}

bool repaired_since(const Finding& finding, const Coach& coach, const Catalogue& catalogue, const std::vector<WorkDone>& work_done, Date as_of) {
    const bool of_part = is_of_part(finding.sign, catalogue);
    return std::any_of(work_done.begin(), work_done.end(), [&](const WorkDone& work) {
        if (work.coach != finding.coach || work.date < finding.date || work.date > as_of || !mends(work, finding.sign)) return false;
        const bool at_part = (finding.joint.empty() || of_part) && !work.part.empty() && work.part == part_of(finding, coach);
        const bool at_joint = !finding.joint.empty() && work.joint == finding.joint && (!of_part || handles_part(work));
        const bool layer =
            finding.layer.empty() || work.layer.empty() || finding.layer == work.layer || work.action == "rebed";
        return (at_part || at_joint) && layer;
    });
}

auto key_of(const Finding& f) { return std::tie(f.joint, f.part, f.date, f.segment, f.layer, f.sign, f.unit); }

std::string place_of(const Finding& f) {
    std::string text = f.joint.empty() ? f.part : f.joint;
    if (!f.segment.empty()) text += ", " + plain(f.segment);
    return text;
}

std::string sentence(const Finding& f, const std::string& because) {
    std::string text = plain(f.sign);
    text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
    text += " at " + place_of(f) + " on " + to_text(f.date);
    return text + (because.empty() ? "." : ": " + because + ".");
}

}  // namespace

Survey::Survey(const std::vector<Finding>& all, const Coach& of, const Catalogue& values, Date day,
               const std::vector<WorkDone>& work)
    : coach(of), catalogue(values), work_done(work), as_of(day) {
    for (const auto& finding : all) {
        if (finding.coach != of.id || finding.date > day) continue;
        if (finding.sign != "not_inspected") note_look(finding);
        if (is_there(finding, values) && !repaired_since(finding, of, values, work, day)) findings.push_back(finding);
    }
    std::stable_sort(findings.begin(), findings.end(),
                     [](const Finding& a, const Finding& b) { return key_of(a) < key_of(b); });
}

std::vector<std::string> Survey::upstream(const std::string& joint) const {
    const auto has = [&](const char* name) {
        return std::any_of(coach.surfaces.begin(), coach.surfaces.end(), [&](const Surface& s) { return s.name == name && s.slide.empty(); });
    };
    if (!(has("street_wall") && has("curb_wall") && has("front_cap") && has("rear_cap") && has("roof") && has("underside"))) return {};
    if (!drainage_) drainage_ = drainage(coach, catalogue);
    return upstream_joints(*drainage_, joint);
}

bool Survey::seen(const std::string& joint, const std::string& sign) const {
    return std::any_of(findings.begin(), findings.end(),
                       [&](const Finding& f) { return f.joint == joint && f.sign == sign; });
}

void Survey::note_look(const Finding& finding) {
    Date& last = last_look_.try_emplace({finding.joint, finding.joint.empty() ? finding.part : ""}, finding.date).first->second;
    last = std::max(last, finding.date);
}

bool Survey::looked_at_since(const std::string& joint, const std::string& part, Date day) const {
    const auto last = last_look_.find({joint, joint.empty() ? part : ""});
    return last != last_look_.end() && last->second > day;
}

const Layer* Survey::layer_on(const Joint& joint, const std::string& kind, Date day, Layer& kept) const {
    const Layer* first = layer_of(joint, kind);
    if (!first) return nullptr;
    kept = layer_history(*first, coach.id, joint.id, work_done, day).generations.back();
    return &kept;
}

void Case::check(const std::string& what, const std::string& because) const {
    checks.push_back({finding.joint, finding.part.empty() && joint ? joint->part : finding.part, what,
                      sentence(finding, because), rule, value("likelihood")});
}

void Case::check_at(const Joint& other, const std::string& what, const std::string& because) const {
    checks.push_back({other.id, other.part, what, sentence(finding, because), rule, value("likelihood")});
}

}  // namespace detail

namespace {

/// By joint in the order of the coach, parts after them; the most likely first; the same check once.
void put_in_order(std::vector<Check>& checks, const Coach& coach) {
    std::map<std::string, std::size_t> place;
    for (std::size_t j = 0; j < coach.joints.size(); ++j) place[coach.joints[j].id] = j;
    const auto key = [&](const Check& c) {
        return std::tuple(c.joint.empty() ? place.size() : place[c.joint], c.joint.empty() ? c.part : "", -c.likelihood);
    };
    std::stable_sort(checks.begin(), checks.end(), [&](const Check& a, const Check& b) { return key(a) < key(b); });
    std::set<std::tuple<std::string, std::string, std::string, std::string>> said;
    std::erase_if(checks, [&](const Check& c) { return !said.insert({c.rule, c.joint, c.part, c.what}).second; });
}

}  // namespace

const std::vector<std::string>& meaning_rules() {
    static const std::vector<std::string> names = [] {
        std::vector<std::string> list;
        for (const auto& rule : detail::meaning_rule_table()) list.emplace_back(rule.name);
        return list;
    }();
    return names;
}

std::vector<std::string> signs_of_rule(const std::string& name) {
    for (const auto& rule : detail::meaning_rule_table())
        if (rule.name == name) return {rule.signs.begin(), rule.signs.end()};
    const std::string near = nearest_name(name, meaning_rules());
    throw_value_error("rule", "a rule of meaning", "\"" + name + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
}

std::vector<Check> meaning(const std::vector<Finding>& findings, const Coach& coach, const Catalogue& catalogue, Date as_of,
                           const std::vector<WorkDone>& work_done) {
    const detail::Survey survey(findings, coach, catalogue, as_of, work_done);
    check_findings(survey.findings, fleet_of(coach), as_of);
    std::vector<Check> checks;
    for (const auto& finding : survey.findings)
        for (const auto& rule : detail::meaning_rule_table()) {
            if (std::find(rule.signs.begin(), rule.signs.end(), finding.sign) == rule.signs.end()) continue;
            const Joint* joint = finding.joint.empty() ? nullptr : &joint_of(coach, finding.joint);
            rule.apply({survey, finding, joint, rule.name, checks});
        }
    put_in_order(checks, coach);
    return checks;
}

}  // namespace libseal
