#include "libseal/work/steps.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/catalogue/sealant.hpp"
#include "libseal/coach/keep_open.hpp"
#include "libseal/core/text.hpp"
#include "libseal/work/cautions.hpp"

namespace libseal {
namespace {

/// Shares of a re-bed's minutes by step; the catalogue has their sum. Judgement of this project.
constexpr double share_off = 0.25, share_strip = 0.25, share_tape = 0.30, share_on = 0.20;
/// Length of one touch-up spot [m]. Judgement of this project.
constexpr double spot_length = 0.3;

Minutes operator*(const Minutes& m, double factor) {
    return {m.low * factor, m.mode * factor, m.high * factor};
}
Minutes operator+(const Minutes& a, const Minutes& b) {
    return {a.low + b.low, a.mode + b.mode, a.high + b.high};
}

bool is_silicone(const std::string& family) { return family.find("silicone") != std::string::npos; }

/// Builds the steps of one joint, one after the other.
class Builder {
public:
    Builder(const Choice& choice, const Joint& joint, const Catalogue& catalogue, int task,
            const StepSettings& settings)
        : choice_(choice),
          joint_(joint),
          catalogue_(catalogue),
          task_(task),
          settings_(settings),
          type_(joint_type(catalogue, joint.type)),
          bead_(bead_of(joint, type_)),
          length_(joint.length * settings.touched) {
        steps_.reserve(14);
    }

    std::vector<Step> take() { return std::move(steps_); }

    Minutes labour(const std::string& item, double quantity) const {
        const SourcedValue& value = catalogue_.at("labour/" + item);
        return Minutes{value.low, value.value, value.high} * quantity;
    }

    Step& add(const std::string& kind, Minutes minutes, int people = 1) {
        Step step;
        step.id = joint_.id + "/" + kind;
        step.kind = kind;
        step.task = task_;
        step.joint = joint_.id;
        step.surface = joint_.surface;
        step.slide = joint_.slide;
        step.slide_state = slide_state();
        step.minutes = minutes;
        step.people = people;
        step.cautions = cautions_for(step, joint_, catalogue_);
        steps_.push_back(std::move(step));
        return steps_.back();
    }

    void wash() { add("wash", labour("wash", length_)).note = "mild detergent, rinsed, dried by cloth"; }
    void mask() { add("mask", labour("mask", length_)); }
    void wipe() {
        add("wipe", labour("wipe", length_)).note = "two cloths: wet one, then dry before it evaporates";
    }
    void inspect() { add("inspect_substrate", labour("inspect_substrate", length_)); }

    void strip() {
        const bool lap = bead_.profile == "strip";
        add("strip", labour(lap ? "strip_roof_lap" : "cut_out_wall_bead", length_) * strip_factor());
    }

    /// Many screws under a strip of sealant and many beads over each other take longer.
    double strip_factor() const {
        const double close = catalogue_.number("labour_factor/screws_under_sealant/spacing_mm") / 1000;
        double factor = 1;
        if (bead_.profile == "strip" && joint_.screw_spacing > 0 && joint_.screw_spacing <= close)
            factor *= catalogue_.number("labour_factor/screws_under_sealant");
        if (settings_.beads >= catalogue_.number("labour_factor/many_layers/from"))
            factor *= catalogue_.number("labour_factor/many_layers");
        return factor;
    }

    void residue() {
        const Layer* cap = layer_of(joint_, "cap_bead");
        const bool silicone = choice_.residue && cap && is_silicone(cap->family);
        const double factor = silicone ? catalogue_.number("labour_factor/silicone_residue") : 1.0;
        Step& step = add("remove_residue", labour("remove_residue", length_ * factor));
        if (choice_.residue)
            step.note = "nothing holds on silicone film: abrade and prove that water wets the surface";
    }

    void prime() {
        if (choice_.family.empty()) return;
        const bool test = std::any_of(
            joint_.substrates.begin(), joint_.substrates.end(), [&](const std::string& substrate) {
                return compatibility(catalogue_, choice_.family, substrate) == "test";
            });
        if (!test) return;
        add("prime", labour("prime", length_)).note = "primer or adhesion test as the sealant maker says";
        flash_ = catalogue_.number("gate/flash_minutes");
    }

    /// Minutes of taking a part off and putting it back on new bedding.
    Minutes rebed_minutes() const {
        const std::string item = rebed_item();
        const bool by_length = item.size() > 2 && item.compare(item.size() - 2, 2, "_m") == 0;
        return labour("rebed_" + item, by_length ? joint_.length : 1.0);
    }
    int rebed_people() const {
        const std::string id = "labour/rebed_" + rebed_item() + "/people";
        return catalogue_.has(id) ? static_cast<int>(catalogue_.number(id)) : 1;
    }

    void bed(const std::string& family, Minutes minutes, const std::string& note) {
        Step& step = add("bed", minutes);
        step.family = family;
        step.unbroken = true;
        step.gate = "bond";
        step.cautions = cautions_for(step, joint_, catalogue_);
        step.note = note;
        take_flash(step);
    }

    void screws(double renewed, const std::string& kind) {
        if (joint_.screw_spacing <= 0) return;
        const double count = std::floor(joint_.length / joint_.screw_spacing + 1e-9) + 1;
        add(kind, labour("check_screw", count) + labour("replace_screw", std::ceil(count * renewed - 1e-9))).note =
            "sealant on threads and heads; a hole that no longer holds is plugged or takes the next size";
    }

    void cap() {
        if (choice_.family.empty()) return;
        const Sealant& data = sealant(catalogue_, choice_.family);
        const bool spots = choice_.action == "touch_up";
        const Minutes minutes =
            spots ? labour("touch_up_spot", std::max(1.0, std::ceil(length_ / spot_length - 1e-9)))
                  : labour(bead_.profile == "strip" ? "gun_strip" : "gun_and_tool", length_);
        Step& step = add("cap", minutes);
        step.family = choice_.family;
        step.unbroken = true;
        step.gate = "bond";
        step.cautions = cautions_for(step, joint_, catalogue_);
        step.note =
            "tool it and pull the masking before a skin forms (" + number_text(data.skin_hours) + " h)";
        if (data.levels_itself && self_levelling(settings_.roof_slope, catalogue_) == "dammed")
            step.note += "; on this slope dam it, or lay it in two thin passes";
        const std::string edge = open_edge_of(joint_, catalogue_);
        if (edge == "bottom" || edge == "ends") step.note += "; leave the " + edge + " open to drain";
        take_flash(step);
        cure(data);
    }

    /// The wait after the bead, and the test if the bead is cured through by then.
    void cure(const Sealant& data) {
        if (data.cure_rate <= 0) return;
        const double through = cure_minutes(data.cure_rate, cure_depth_mm(bead_), settings_.temperature);
        const bool waits = through <= settings_.longest_cure_wait * 60;
        const bool roof = joint_.surface == "roof" || joint_.surface == "slide_roof";
        const double road = catalogue_.number(roof ? "gate/road_hours_roof" : "gate/road_hours_wall");
        const double rain_and_road = std::max(data.first_water_hours, road) * 60;
        Step& step = add("cure", {}, 0);
        step.wait = waits ? std::max(through, data.first_water_hours * 60) : rain_and_road;
        if (!waits) {
            step.note = "rain and road allowed; cured through after " +
                        number_text(std::ceil(through / 1440), 0) +
                        " d, then test with water at the next inspection";
            return;
        }
        step.note = "cured through";
        add("water_test", labour("hose_test", length_),
            static_cast<int>(catalogue_.number("labour/hose_test/people")))
            .note = "one outside, one inside";
    }

private:
    std::string rebed_item() const {
        const std::string id = "joint_type/" + joint_.type + "/rebed_item";
        return catalogue_.has(id) ? catalogue_.word(id) : "moulding_m";
    }
    std::string slide_state() const {
        if (joint_.slide.empty()) return "";
        if (joint_.surface == "slide_face") return "in";
        return joint_.surface == "slide_roof" || joint_.surface.find("_side") != std::string::npos ? "out"
                                                                                                   : "";
    }
    void take_flash(Step& step) {
        step.wait = flash_;
        flash_ = 0;
    }

    const Choice& choice_;
    const Joint& joint_;
    const Catalogue& catalogue_;
    int task_;
    const StepSettings& settings_;
    const JointType& type_;
    Bead bead_;
    double length_;
    double flash_ = 0;
    std::vector<Step> steps_;
};

void surface_work(Builder& b, const Choice& choice) {
    b.wash();
    if (choice.action != "touch_up") b.mask();
    if (choice.action == "cut_out_and_reseal") {
        b.strip();
        b.residue();
        b.inspect();
    }
    b.wipe();
    b.prime();
    b.cap();
}

void rebed(Builder& b, const Choice& choice, const StepSettings& settings) {
    const Minutes all = b.rebed_minutes();
    b.wash();
    b.mask();
    if (!settings.part_is_off) b.add("remove_part", all * share_off, b.rebed_people());
    b.add("strip", all * (share_strip * b.strip_factor()));
    b.residue();
    b.inspect();
    b.wipe();
    b.prime();
    b.bed(choice.bedding, all * share_tape, "tape on the part, not on the coach; never stretched");
    b.add("fasten", all * share_on, b.rebed_people()).note = "evenly, by hand; trim what squeezes out";
    b.screws(settings.loose_screws, "seal_fasteners");
    b.cap();
}

void refasten(Builder& b, const Choice& choice, const StepSettings& settings) {
    b.wash();
    if (choice.family.empty()) {  // no bead here: the screws alone
        b.inspect();
        b.screws(settings.loose_screws, "fasten");
        return;
    }
    b.strip();
    b.residue();
    b.inspect();
    b.wipe();
    b.screws(settings.loose_screws, "fasten");
    b.prime();
    b.cap();
}

/// A new insert, gasket, seal or part; the bead too if it goes with it.
void replace(Builder& b, const Choice& choice, const Joint& joint, const StepSettings& settings) {
    const bool insert = choice.layer == "insert";
    const bool bead = !choice.family.empty();
    const Minutes all = insert
                            ? b.labour("remove_insert", joint.length) + b.labour("fit_insert", joint.length)
                            : b.rebed_minutes();
    // The new part sits in what its bead is made of now, not in what the old one was made of.
    const Layer* layer = layer_of(joint, choice.layer);
    const std::string seat = !choice.bedding.empty() ? choice.bedding : !layer ? "" : layer->kind == "cap_bead" ? choice.family : layer->family;
    b.wash();
    if (insert || !settings.part_is_off)
        b.add("remove_part", insert ? b.labour("remove_insert", joint.length) : all * share_off, insert ? 1 : b.rebed_people());
    if (bead) {
        b.strip();
        b.residue();
    }
    b.inspect();
    b.wipe();
    if (insert) b.screws(settings.loose_screws, "seal_fasteners");
    b.prime();
    b.bed(seat,
          insert ? b.labour("fit_insert", joint.length) : all * (share_strip + share_tape),
          insert ? "new insert laid in relaxed, never stretched; ends last" : "new part seated");
    if (!insert) b.add("fasten", all * share_on, b.rebed_people());
    b.cap();
}

void cover_with_tape(Builder& b, const Joint& joint) {
    b.wash();
    b.mask();
    b.strip();
    b.residue();
    b.inspect();
    b.wipe();
    Step& step = b.add("roll_tape", b.labour("cover_tape", joint.length));
    step.note = "roll it down; 50 mm past each end";
    step.gate = "bond";
    step.family = "seam_tape";
}

}  // namespace

std::vector<Step> steps_for(const Choice& choice, const Joint& joint, const Catalogue& catalogue, int task,
                            const StepSettings& settings) {
    Builder b(choice, joint, catalogue, task, settings);
    const std::string& action = choice.action;
    if (action == "touch_up" || action == "reseal_over" || action == "cut_out_and_reseal")
        surface_work(b, choice);
    if (action == "rebed") rebed(b, choice, settings);
    if (action == "refasten_and_seal") refasten(b, choice, settings);
    if (action == "replace_part") replace(b, choice, joint, settings);
    if (action == "cover_with_tape") cover_with_tape(b, joint);
    if (action == "clean_and_condition") {
        b.wash();
        b.add("wipe", b.labour("slide_seal_condition", joint.length)).note =
            "conditioner on seals, none on beads";
    }
    if (action == "temporary_cover") {
        b.add("dry", b.labour("wipe", joint.length));
        const SourcedValue& days = catalogue.at("action/temporary_cover/days");
        b.add("roll_tape", b.labour("cover_tape", joint.length)).note =
            "holds " + number_text(days.value) + " days at most; drains and vents stay free";
    }
    if (action == "damage_survey")
        b.add("inspect_substrate", b.labour("survey_fixed", 1) + b.labour("inspect_substrate", joint.length))
            .note = "readings against a dry spot of the same coach; open no further than agreed";
    return b.take();
}

double touched_share(const std::vector<Finding>& findings) {
    double sum = 0;
    for (const auto& finding : findings) {
        if (finding.sign == "clean_look" || finding.sign == "not_inspected" || finding.size == "none" || finding.value == 0) continue;
        sum += std::isnan(finding.share) ? 1 : finding.share;
    }
    return sum > 0 ? std::clamp(sum, 0.02, 1.0) : 1.0;
}

const std::vector<std::string>& step_names() {
    static const std::vector<std::string> names{
        "photograph",     "isolate",           "wash",         "dry",  "mask",   "remove_part", "strip",
        "remove_residue", "inspect_substrate", "repair_holes", "wipe", "abrade", "prime",       "bed",
        "fasten",         "seal_fasteners",    "cap",          "tool", "unmask", "roll_tape",   "cure",
        "water_test",     "function_check",    "record",       "move_slide", "coat"};
    return names;
}

}  // namespace libseal
