#include "forecast/looks.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

#include "libseal/catalogue/joint_type.hpp"
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

DayOfLayer day_of_layer(const std::vector<Finding>& all, const std::string& layer, const Catalogue& catalogue) {
    const bool graded_together = layer == "cap_bead" || layer == "bedding";
    DayOfLayer day;
    for (auto finding : all) {
        if (!speaks_of_a_layer(finding.sign, catalogue)) continue;
        finding.moisture = finding.moisture_dry = std::nan("");  // told by `JointLooks::wet`, not twice
        const bool concerns = finding.layer == layer || (finding.layer.empty() && graded_together);
        if (!graded_together && !concerns) continue;
        day.used.push_back(finding);
        if (!concerns) continue;
        day.any = true;
        if (!is_appearance(finding.sign) && finding.sign != "clean_look") day.only_appearance = false;
        if (std::isfinite(finding.value)) day.measured = true;
    }
    return day;
}

double noise_of(const DayOfLayer& day, const GradeScale& scale, const std::map<std::string, double>& look_noise) {
    const auto own = look_noise.find(day.used.front().inspector);
    const double plain = own == look_noise.end() ? scale.look_noise : own->second;
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
bool look_at_appearance(const std::vector<Finding>& all, const std::string& outermost, const JointType& type,
                        const Catalogue& catalogue, Look& look) {
    std::vector<Finding> used;
    for (const auto& finding : all)
        if ((finding.layer == outermost || finding.layer.empty()) &&
            (is_appearance(finding.sign) || finding.sign == "clean_look"))
            used.push_back(finding);
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

/// Days of work on a joint, whatever the layer.
using JointWorkDays = std::map<std::pair<std::string, std::string>, std::set<Date>>;

JointWorkDays days_of_joint_work(const std::vector<WorkDone>& work) {
    JointWorkDays days;
    for (const auto& record : work)
        if (!record.declined) days[{record.coach, record.joint}].insert(record.date);
    return days;
}

/// Signs of water seen that day, each once between two days of work. Days come in order of time.
class WaterSigns {
public:
    WaterSigns(const std::vector<WorkDone>& work, const Catalogue& catalogue)
        : worked_(days_of_joint_work(work)), catalogue_(catalogue) {}

    void add(const std::vector<Finding>& day, std::vector<WaterLook>& water) {
        for (const auto& finding : day) {
            const std::string id = "meaning/water/" + finding.sign + "/seen_if_";
            if (!catalogue_.has(id + "open")) continue;
            const bool there = finding.size != "none";  // looked for and not there says something too
            const auto [last, fresh] = last_.try_emplace({finding.coach, finding.joint, finding.sign, there}, finding.date);
            if (!fresh && !worked_between(worked_[{finding.coach, finding.joint}], last->second, finding.date)) continue;
            last->second = finding.date;
            const double open = catalogue_.number(id + "open"), closed = catalogue_.number(id + "closed");
            water.push_back({finding.date, there ? open : 1 - open, there ? closed : 1 - closed});
        }
    }

private:
    JointWorkDays worked_;
    const Catalogue& catalogue_;
    std::map<std::tuple<std::string, std::string, std::string, bool>, Date> last_;
};

using WorkDays = std::map<std::tuple<std::string, std::string, std::string>, std::set<Date>>;

WorkDays days_of_work(const std::vector<WorkDone>& work) {
    WorkDays days;
    for (const auto& record : work)
        if (!record.declined) days[{record.coach, record.joint, record.layer}].insert(record.date);
    return days;
}

}  // namespace

const Layer* outermost_layer(const Joint& joint) {
    for (const char* kind : {"cover_tape", "cap_bead", "wiper_seal", "bulb_seal", "insert", "gasket", "bedding"})
        if (const Layer* layer = layer_of(joint, kind)) return layer;
    return nullptr;
}

FleetLooks looks_of_fleet(const std::vector<Finding>& findings, const Fleet& fleet, const Catalogue& catalogue,
                          const GradeScale& scale, const std::map<std::string, double>& look_noise,
                          const std::vector<WorkDone>& work) {
    std::map<std::tuple<std::string, std::string, Date>, std::vector<Finding>> days;
    for (const auto& finding : findings)
        if (!finding.joint.empty()) days[{finding.coach, finding.joint, finding.date}].push_back(finding);
    FleetLooks fleet_looks;
    WaterSigns water(work, catalogue);
    for (const auto& [key, seen] : days) {
        const auto& [coach, joint_id, date] = key;
        const Joint& joint = joint_of(coach_of(fleet, coach), joint_id);
        const JointType type = joint_type(catalogue, joint.type);
        JointLooks& looks = fleet_looks[{coach, joint_id}];
        for (const auto& layer : joint.layers) {
            Look look;
            const DayOfLayer day = day_of_layer(seen, layer.kind, catalogue);
            if (!look_at_layer(day, layer.kind, type, catalogue, look)) continue;
            look.noise = noise_of(day, scale, look_noise);
            looks.layers[layer.kind].push_back(look);
        }
        Look appearance;
        const Layer* outermost = outermost_layer(joint);
        if (outermost && look_at_appearance(seen, outermost->kind, type, catalogue, appearance))
            looks.appearance.push_back(appearance);
        for (const auto& finding : seen)
            if (std::isfinite(finding.moisture) && std::isfinite(finding.moisture_dry))
                looks.wet.push_back({date, finding.moisture - finding.moisture_dry});
        std::stable_sort(looks.wet.begin(), looks.wet.end(), [](const WetLook& a, const WetLook& b) {
            return std::pair(a.date, a.difference) < std::pair(b.date, b.difference);
        });
        water.add(seen, looks.water);
    }
    // A day on which nothing was said of sealant or water leaves no trace, to the last bit.
    std::erase_if(fleet_looks, [](const auto& entry) {
        const JointLooks& looks = entry.second;
        return looks.layers.empty() && looks.appearance.empty() && looks.wet.empty() && looks.water.empty();
    });
    const WorkDays worked = days_of_work(work);
    const double weight = catalogue.number("model/contradiction_weight");
    for (auto& [key, looks] : fleet_looks)
        for (auto& [kind, list] : looks.layers) {
            const auto own = worked.find({key.first, key.second, kind});
            const std::set<Date> none;
            if (weigh_contradictions(list, own == worked.end() ? none : own->second, weight)) looks.contradicts = true;
        }
    return fleet_looks;
}

}  // namespace libseal::detail
