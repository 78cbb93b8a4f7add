#include "libseal/work/cautions.hpp"
#include "libseal/work/steps.hpp"
#include "work/planning.hpp"

namespace libseal {
namespace {

/// Shares of the minutes of a new part by step; the catalogue has their sum. Judgement of this project.
constexpr double share_off = 0.4, share_on = 0.6;
/// Of freeing an opening: cutting, then cleaning. Judgement of this project.
constexpr double share_cut = 0.7, share_clean = 0.3;

class PartBuilder {
public:
    PartBuilder(const Part* part, const Joint* joint, const Catalogue& catalogue, int task)
        : part_(part), joint_(joint), catalogue_(catalogue), task_(task) {}

    void add(const std::string& kind, const std::string& item, double share, const std::string& note) {
        const SourcedValue& value = catalogue_.at("labour/" + item);
        Step step;
        step.id = "part/" + (part_ ? part_->id : joint_->id) + "/" + kind;
        step.kind = kind;
        step.task = task_;
        step.joint = joint_ ? joint_->id : "";
        step.part = part_ ? part_->id : joint_->id;
        step.surface = part_ ? part_->surface : joint_->surface;
        step.slide = part_ ? part_->slide : joint_->slide;
        step.minutes = {value.low * share, value.value * share, value.high * share};
        step.note = note;
        step.cautions = cautions(step);
        steps_.push_back(std::move(step));
    }

    std::vector<Step> take() { return std::move(steps_); }

private:
    /// Those of the joint that seals the part; without one, those of where one stands, of any tool there and of what may lie behind.
    std::vector<std::string> cautions(const Step& step) const {
        if (joint_) return cautions_for(step, *joint_, catalogue_);
        std::vector<std::string> place = detail::cautions_of_place(step.surface, step.slide);
        if (step.surface == "roof" || step.surface == "slide_roof") place.push_back("ladder");
        place.insert(place.end(), {"blades", "solvents", "electricity", "gas"});
        return detail::cautions_at(step, place);
    }

    const Part* part_;
    const Joint* joint_;
    const Catalogue& catalogue_;
    int task_;
    std::vector<Step> steps_;
};

}  // namespace

std::vector<Step> part_steps(const std::string& action, const Part* part, const Joint* joint, const Catalogue& catalogue,
                             int task) {
    PartBuilder b(part, joint, catalogue, task);
    if (action == "refasten_and_seal") {
        b.add("fasten", "part_refasten", 1,
              "by hand; a hole that no longer holds is plugged or takes the next size; it must move freely");
    } else if (action == "replace_part") {
        b.add("remove_part", "part_replace", share_off, "keep what fits as the pattern for the new one");
        b.add("fasten", "part_replace", share_on, "evenly, by hand; plastic cracks at screws drawn too tight");
    } else if (action == "clean_and_condition") {
        b.add("strip", "part_free", share_cut, "cut it free without harm to seal and sash; nothing is sealed here again");
        b.add("wipe", "part_free", share_clean, "clean, conditioner on the seal; open it fully twice");
    } else if (action == "damage_survey") {
        b.add("inspect_substrate", "survey_fixed", 1,
              "readings against a dry spot of the same coach; open no further than agreed");
    }
    return b.take();
}

}  // namespace libseal
