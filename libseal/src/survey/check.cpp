#include "survey/check.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/core/text.hpp"
#include "libseal/survey/segments.hpp"

namespace libseal::detail {
namespace {

std::string quoted(const std::string& text) { return "\"" + text + "\""; }

std::string did_you_mean(const std::string& name, const std::vector<std::string>& known) {
    const std::string near = nearest_name(name, known);
    return near.empty() ? "" : "did you mean \"" + near + "\"?";
}

std::string listed(const std::vector<std::string>& names) {
    std::string text;
    for (const auto& name : names) text += (text.empty() ? "" : ", ") + name;
    return text;
}

template <class Map>
std::vector<std::string> keys_of(const Map& map) {
    std::vector<std::string> keys;
    for (const auto& [key, value] : map) keys.push_back(key);
    return keys;
}

void word(const std::string& got, const std::vector<std::string>& known, const char* field, const std::string& expected, const Note& note) {
    if (std::find(known.begin(), known.end(), got) == known.end()) note(field, expected, quoted(got), did_you_mean(got, known));
}

/// NaN where nothing was noted.
void number(double got, double most, const char* field, const Note& note) {
    if (!std::isnan(got) && !(got >= 0 && got <= most)) note(field, "a number from 0 to " + number_text(most), number_text(got), "");
}

bool equal(double a, double b) { return a == b || (std::isnan(a) && std::isnan(b)); }

bool same_words(const Finding& a, const Finding& b) {
    return equal(a.value, b.value) && a.size == b.size && equal(a.share, b.share) &&
           a.reaches_fastener == b.reaches_fastener && a.bedding_seen == b.bedding_seen && equal(a.moisture, b.moisture) &&
           equal(a.moisture_dry, b.moisture_dry);
}

}  // namespace

bool same_record(const Finding& a, const Finding& b) {
    return a.sign == b.sign && a.date == b.date && a.coach == b.coach && a.joint == b.joint && a.part == b.part && a.segment == b.segment &&
           a.layer == b.layer && a.unit == b.unit && a.reason == b.reason && same_words(a, b);
}

const std::vector<std::string>& unit_names() {
    static const std::vector<std::string> names = {"mm", "percent"};
    return names;
}

const std::vector<std::string>& size_names() {
    static const std::vector<std::string> names = {"none", "slight", "clear", "severe"};
    return names;
}

const std::vector<std::string>& bedding_seen_names() {
    static const std::vector<std::string> names = {"sound", "poor", "absent", "not_seen"};
    return names;
}

bool check_whole(const Finding& finding, const Note& note) {
    bool good = true;
    const Note fail = [&](const std::string& field, const std::string& expected, const std::string& got, const std::string& hint) {
        note(field, expected, got, hint);
        good = false;
    };
    if (finding.joint.empty() && finding.part.empty()) fail("joint", "a joint or a part", "neither", "");
    if (finding.joint.empty() && !finding.segment.empty()) fail("segment", "no segment without a joint", quoted(finding.segment), "");
    if (finding.joint.empty() && !finding.layer.empty()) fail("layer", "no layer without a joint", quoted(finding.layer), "");
    if (finding.sign == "not_inspected" && finding.reason.empty())
        fail("reason", "why it was not inspected", "nothing", "for example \"snow\", \"too high\", \"locked\"");
    if (!std::isnan(finding.value) && finding.unit.empty()) fail("unit", "the unit of the value: mm or percent", "nothing", "");
    if (std::isnan(finding.value) && !finding.unit.empty()) fail("value", "a value in " + finding.unit, "nothing", "");
    return good;
}

void check_content(const Finding& finding, const Note& note) {
    word(finding.sign, sign_names(), "sign", "a sign of the word list", note);
    if (!finding.unit.empty()) word(finding.unit, unit_names(), "unit", listed(unit_names()), note);
    if (!finding.size.empty()) word(finding.size, size_names(), "size", listed(size_names()), note);
    if (!finding.bedding_seen.empty()) word(finding.bedding_seen, bedding_seen_names(), "bedding_seen", listed(bedding_seen_names()), note);
    number(finding.value, largest_value, "value", note);
    number(finding.share, 1, "share", note);
    number(finding.moisture, largest_moisture, "moisture", note);
    number(finding.moisture_dry, largest_moisture, "moisture_dry", note);
    check_whole(finding, note);
}

void check_content(const WorkDone& work, const Note& note) {
    word(work.action, action_names(), "action", "an action of the word list", note);
    number(work.minutes, longest_work, "minutes", note);
    if (!work.joint.empty() && work.layer.empty()) note("layer", "the layer of joint " + work.joint + " that was worked on", "nothing", "");
}

RecordCheck::RecordCheck(const Fleet& fleet, Date as_of) : as_of_(as_of) {
    for (const auto& coach : fleet.coaches) {
        coach_ids_.push_back(coach.id);
        coaches_[coach.id].coach = &coach;
    }
}

const RecordCheck::Known* RecordCheck::coach(const std::string& id, const Note& note) const {
    if (const auto found = coaches_.find(id); found != coaches_.end()) {
        Known& known = found->second;
        if (!known.listed) {  // most coaches of a large fleet have no record
            for (const auto& joint : known.coach->joints) known.joints[joint.id] = &joint;
            for (const auto& part : known.coach->parts) known.parts[part.id] = &part;
            known.listed = true;
        }
        return &known;
    }
    note("coach", "a coach of the fleet", quoted(id), did_you_mean(id, coach_ids_));
    return nullptr;
}

const Joint* RecordCheck::joint(const Known& known, const std::string& id, const std::string& coach, const Note& note) {
    const auto found = known.joints.find(id);
    if (found != known.joints.end()) return found->second;
    note("joint", "a joint of coach " + coach, quoted(id), did_you_mean(id, keys_of(known.joints)));
    return nullptr;
}

void RecordCheck::part(const Known& known, const std::string& id, const std::string& coach, const Note& note) {
    if (!known.parts.contains(id))
        note("part", "a part of coach " + coach, quoted(id), did_you_mean(id, keys_of(known.parts)));
}

void RecordCheck::layer(const Joint& joint, const std::string& kind, const Note& note) {
    if (kind.empty() || layer_of(joint, kind)) return;
    std::vector<std::string> kinds;
    for (const auto& own : joint.layers) kinds.push_back(own.kind);
    note("layer", "a layer of joint " + joint.id + ": " + listed(kinds), quoted(kind), did_you_mean(kind, kinds));
}

void RecordCheck::segment(const Joint& joint, const std::string& name, const Note& note) {
    if (name.empty()) return;
    std::vector<std::string> names;
    for (const auto& segment : segments_of(joint)) names.push_back(segment.name);
    if (std::find(names.begin(), names.end(), name) != names.end()) return;
    note("segment", "a segment of joint " + joint.id + ": " + listed(names), quoted(name), did_you_mean(name, names));
}

void RecordCheck::date(Date day, const Note& note) const {
    if (day > as_of_) note("date", "a day not after " + to_text(as_of_), quoted(to_text(day)), "");
}

void RecordCheck::check(const Finding& finding, const Note& note) const {
    place(finding, note);
    date(finding.date, note);
}

void RecordCheck::place(const Finding& finding, const Note& note) const {
    const Known* known = coach(finding.coach, note);
    if (!known) return;
    if (!finding.part.empty()) part(*known, finding.part, finding.coach, note);
    if (finding.joint.empty()) return;
    const Joint* at = joint(*known, finding.joint, finding.coach, note);
    if (!at) return;
    layer(*at, finding.layer, note);
    segment(*at, finding.segment, note);
    if (!finding.part.empty() && known->parts.contains(finding.part) && !at->part.empty() && at->part != finding.part)
        note("part", "the part that joint " + at->id + " seals: " + at->part, quoted(finding.part),
             "leave out the joint or the part");
}

void RecordCheck::check(const WorkDone& work, const Note& note) const {
    place(work, note);
    date(work.date, note);
}

void RecordCheck::place(const WorkDone& work, const Note& note) const {
    const Known* known = coach(work.coach, note);
    if (!known) return;
    if (!work.part.empty()) part(*known, work.part, work.coach, note);
    if (work.joint.empty() && !work.part.empty()) return;
    if (const Joint* at = joint(*known, work.joint, work.coach, note)) layer(*at, work.layer, note);
}

void SameKey::check(const Finding& f, const Note& note) {
    const auto [at, fresh] =
        seen_.try_emplace({f.coach, f.joint, f.part, f.segment, f.layer, f.sign, to_text(f.date), f.unit}, f);
    if (!fresh && !same_words(at->second, f))
        note("sign", "one finding per coach, joint, part, segment, layer, sign and day",
             quoted(f.sign) + " again, with other values", "name the segment, or keep the one that holds");
}

}  // namespace libseal::detail
