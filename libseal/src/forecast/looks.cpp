#include "forecast/looks.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>
#include <tuple>
#include <utility>

#include "forecast/records.hpp"
#include "libseal/catalogue/joint_type.hpp"
#include "libseal/core/parallel.hpp"
#include "libseal/survey/grade.hpp"

namespace libseal::detail {
namespace {

constexpr int highest_appearance = 2;  // chalk, yellowing and skin cracks alone never say more

bool is_appearance(const std::string& sign) {
    return sign == "yellowing" || sign == "chalking" || sign == "dirt_pick_up" || sign == "skin_cracks";
}

/// The findings of one joint on one day that bear on a layer.
struct DayOfLayer {
    std::vector<Finding> used;
    bool any = false;         ///< one names the layer, or names none where cap and bedding are graded together
    bool only_appearance = true;
    bool measured = false;
};

/// Screws, parts, water and damage say nothing of a layer's wear: water comes in as evidence of its own, below.
bool speaks_of_a_layer(const std::string& sign, const Catalogue& catalogue) {
    const std::string& line = catalogue.word("grade/sign/" + sign + "/line");
    return (line == "cap" || line == "bedding" || line == "look") && catalogue.word("grade/sign/" + sign + "/group") != "water_marks";
}

/// The findings of one joint on one day.
using Day = std::vector<const Finding*>;

DayOfLayer day_of_layer(const Day& all, const std::string& layer, const std::map<std::string, bool>& speaks) {
    const bool graded_together = layer == "cap_bead" || layer == "bedding";
    DayOfLayer day;
    for (const Finding* one : all) {
        const Finding& finding = *one;
        const bool concerns = finding.layer == layer || (finding.layer.empty() && graded_together);
        if ((!graded_together && !concerns) || !speaks.at(finding.sign)) continue;
        day.used.push_back(finding);
        day.used.back().moisture = day.used.back().moisture_dry = std::nan("");  // told by `JointLooks::wet`, not twice
        if (!concerns) continue;
        day.any = true;
        if (!is_appearance(finding.sign) && finding.sign != "clean_look") day.only_appearance = false;
        if (std::isfinite(finding.value)) day.measured = true;
    }
    return day;
}

double noise_of(const DayOfLayer& day, const GradeScale& scale, const std::map<std::string, double>& look_noise) {
    // Of several who looked that day the surest counts, in whatever order they stand.
    double plain = std::numeric_limits<double>::infinity();
    for (const Finding& finding : day.used) {
        const auto own = look_noise.find(finding.inspector);
        plain = std::min(plain, own == look_noise.end() ? scale.look_noise : own->second);
    }
    return day.measured ? std::min(plain, scale.measured_noise) : plain;
}

/// What the findings of a day say of one layer; false if nothing.
bool look_at_layer(const DayOfLayer& day, const std::string& layer, const JointType& type, const Catalogue& catalogue,
                   Look& look) {
    if (day.used.empty()) return false;
    const Grade seen = grade(day.used, type, catalogue);
    const int value = layer == "bedding" ? seen.bedding : seen.cap;
    if (!seen.inspected || value < 0 || (!day.any && layer != "bedding")) return false;
    look.date = day.used.front().date;
    look.lowest = day.only_appearance && day.any ? 0 : value;
    look.highest = day.only_appearance && day.any ? std::max(value, highest_appearance) : value;
    if (value == 0) look.highest = 1;  // a clean look: nothing found, at most first ageing
    return true;
}

/// What the outermost layer looked like that day; false if nobody said.
bool look_at_appearance(const Day& all, const std::string& outermost, const JointType& type, const Catalogue& catalogue, Look& look) {
    std::vector<Finding> used;
    for (const Finding* finding : all)
        if ((finding->layer == outermost || finding->layer.empty()) && (is_appearance(finding->sign) || finding->sign == "clean_look"))
            used.push_back(*finding);
    if (used.empty()) return false;
    const Grade seen = grade(used, type, catalogue);
    if (!seen.inspected || seen.cap < 0) return false;
    look.date = used.front().date;
    look.lowest = look.highest = std::min(seen.cap, highest_appearance);
    if (seen.cap == 0) look.highest = 1;
    return true;
}

bool worked_between(const std::set<Date>& days, Date from, Date to) {
    const auto next = days.lower_bound(from);
    return next != days.end() && *next < to;
}

/// A grade does not fall by itself: looks that say so are both believed less.
bool weigh_contradictions(std::vector<Look>& looks, const std::set<Date>& worked, double weight) {
    constexpr int clear_fall = 2;  // grades; one is within the noise of two looks
    std::vector<bool> doubtful(looks.size(), false);
    bool found = false;
    for (std::size_t a = 0; a < looks.size(); ++a)
        for (std::size_t b = a + 1; b < looks.size(); ++b)
            if (looks[a].lowest - looks[b].highest >= clear_fall && !worked_between(worked, looks[a].date, looks[b].date))
                doubtful[a] = doubtful[b] = found = true;
    for (std::size_t i = 0; i < looks.size(); ++i)
        if (doubtful[i]) looks[i].weight = weight;
    return found;
}

/// Signs of water at one joint, each once between two days of work. Days come in order of time.
class WaterSigns {
public:
    /// @param worked  Days of work on the joint, whatever the layer.
    WaterSigns(std::set<Date> worked, const Catalogue& catalogue) : worked_(std::move(worked)), catalogue_(catalogue) {}

    void add(const Day& day, std::vector<WaterLook>& water) {
        for (const Finding* finding : day) {
            const std::string id = "meaning/water/" + finding->sign + "/seen_if_";
            if (!catalogue_.has(id + "open")) continue;
            const bool there = finding->size != "none";  // looked for and not there says something too
            const auto [last, fresh] = last_.try_emplace({finding->sign, there}, finding->date);
            if (!fresh && !worked_between(worked_, last->second, finding->date)) continue;
            last->second = finding->date;
            const double open = catalogue_.number(id + "open"), closed = catalogue_.number(id + "closed");
            water.push_back({finding->date, there ? open : 1 - open, there ? closed : 1 - closed});
        }
    }

private:
    std::set<Date> worked_;
    const Catalogue& catalogue_;
    std::map<std::pair<std::string, bool>, Date> last_;
};

/// Days of work on the layers of one joint; "" for any layer.
std::map<std::string, std::set<Date>> days_of_work(const std::vector<const WorkDone*>& work, const std::string& joint) {
    std::map<std::string, std::set<Date>> days;
    for (const WorkDone* record : work) {
        if (record->declined || record->joint != joint) continue;
        days[""].insert(record->date);
        if (!record->layer.empty()) days[record->layer].insert(record->date);
    }
    return days;
}

/// What all joints of a fleet are looked at with.
struct Eye {
    const Catalogue& catalogue;
    const GradeScale& scale;
    const std::map<std::string, double>& look_noise;
    std::map<std::string, bool> speaks;  ///< of a layer, by sign
};

/// Adds what one day says of a joint.
void look_at_day(const Day& seen, const Joint& joint, const JointType& type, const Eye& eye, JointLooks& looks) {
    for (const auto& layer : joint.layers) {
        Look look;
        const DayOfLayer day = day_of_layer(seen, layer.kind, eye.speaks);
        if (!look_at_layer(day, layer.kind, type, eye.catalogue, look)) continue;
        look.noise = noise_of(day, eye.scale, eye.look_noise);
        looks.layers[layer.kind].push_back(look);
    }
    Look appearance;
    const Layer* outermost = outermost_layer(joint);
    if (outermost && look_at_appearance(seen, outermost->kind, type, eye.catalogue, appearance)) looks.appearance.push_back(appearance);
    for (const Finding* finding : seen)
        if (std::isfinite(finding->moisture) && std::isfinite(finding->moisture_dry))
            looks.wet.push_back({finding->date, finding->moisture - finding->moisture_dry});
}

/// All looks at one joint. @param findings  Of it alone, in order of date.
JointLooks looks_of_joint(const Day& findings, const Joint& joint, const std::vector<const WorkDone*>& work, const Eye& eye) {
    const JointType type = joint_type(eye.catalogue, joint.type);
    auto worked = days_of_work(work, joint.id);
    // What was seen before a layer was fitted was another one, whether the work is on record or not.
    for (const Layer& layer : joint.layers) {
        worked[layer.kind].insert(layer.installed_from);
        worked[""].insert(layer.installed_from);
    }
    WaterSigns water(worked[""], eye.catalogue);
    JointLooks looks;
    for (auto first = findings.begin(); first != findings.end();) {
        const auto end = std::find_if(first, findings.end(), [&](const Finding* one) { return one->date != (*first)->date; });
        const Day day(first, end);
        look_at_day(day, joint, type, eye, looks);
        water.add(day, looks.water);
        first = end;
    }
    std::stable_sort(looks.wet.begin(), looks.wet.end(), [](const WetLook& a, const WetLook& b) {
        return std::pair(a.date, a.difference) < std::pair(b.date, b.difference);
    });
    std::stable_sort(looks.water.begin(), looks.water.end(), [](const WaterLook& a, const WaterLook& b) {
        return std::tie(a.date, a.if_open, a.if_closed) < std::tie(b.date, b.if_open, b.if_closed);
    });
    const double weight = eye.catalogue.number("model/contradiction_weight");
    for (auto& [kind, list] : looks.layers)
        if (weigh_contradictions(list, worked[kind], weight)) looks.contradicts = true;
    return looks;
}

bool says_nothing(const JointLooks& looks) {
    return looks.layers.empty() && looks.appearance.empty() && looks.wet.empty() && looks.water.empty();
}

/// Looks at the joints of one coach that leave a trace: a day on which nothing was said of sealant or water leaves none, to the last bit.
std::vector<std::pair<std::string, JointLooks>> looks_of_coach(const Coach& coach, Day findings, const std::vector<const WorkDone*>& work, const Eye& eye) {
    std::erase_if(findings, [](const Finding* finding) { return finding->joint.empty(); });
    std::stable_sort(findings.begin(), findings.end(),
                     [](const Finding* a, const Finding* b) { return std::tie(a->joint, a->date) < std::tie(b->joint, b->date); });
    std::vector<std::pair<std::string, JointLooks>> all;
    for (auto first = findings.begin(); first != findings.end();) {
        const std::string& id = (*first)->joint;
        const auto end = std::find_if(first, findings.end(), [&](const Finding* one) { return one->joint != id; });
        JointLooks looks = looks_of_joint(Day(first, end), joint_of(coach, id), work, eye);
        if (!says_nothing(looks)) all.emplace_back(id, std::move(looks));
        first = end;
    }
    return all;
}

}  // namespace

const Layer* outermost_layer(const Joint& joint) {
    for (const char* kind : {"cover_tape", "cap_bead", "wiper_seal", "bulb_seal", "insert", "gasket", "bedding"})
        if (const Layer* layer = layer_of(joint, kind)) return layer;
    return nullptr;
}

FleetLooks looks_of_fleet(const std::vector<Finding>& findings, const Fleet& fleet, const Catalogue& catalogue, const GradeScale& scale,
                          const std::map<std::string, double>& look_noise, const std::vector<WorkDone>& work, int threads) {
    Eye eye{catalogue, scale, look_noise, {}};
    for (const auto& finding : findings)
        if (!finding.joint.empty() && eye.speaks.count(finding.sign) == 0) eye.speaks.emplace(finding.sign, speaks_of_a_layer(finding.sign, catalogue));
    const auto seen = by_coach(fleet, findings);
    const auto done = by_coach(fleet, work);
    std::vector<std::vector<std::pair<std::string, JointLooks>>> looks(fleet.coaches.size());
    parallel_for(looks.size(), threads, [&](std::size_t c) { looks[c] = looks_of_coach(fleet.coaches[c], seen[c], done[c], eye); });
    FleetLooks fleet_looks;
    for (std::size_t c = 0; c < looks.size(); ++c)
        for (auto& [joint, own] : looks[c]) fleet_looks.try_emplace({fleet.coaches[c].id, joint}, std::move(own));
    return fleet_looks;
}

}  // namespace libseal::detail
