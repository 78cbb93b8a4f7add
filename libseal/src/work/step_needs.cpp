// What a step needs besides time: a place to stand, weather, skills and tools; and the conditions that stretch its minutes.

#include <algorithm>
#include <cmath>

#include "libseal/coach/place.hpp"
#include "work/planning.hpp"

namespace libseal::detail {
namespace {

bool is_roof(const std::string& surface) { return surface == "roof" || surface == "slide_roof"; }

bool is_wall(const std::string& surface) {
    return surface == "street_wall" || surface == "curb_wall" || surface == "slide_face" || surface == "slide_front_side" ||
           surface == "slide_rear_side";
}

/// Share of a straight line from height a to height b that lies above `limit`.
double share_above(double a, double b, double limit) {
    const double low = std::min(a, b), high = std::max(a, b);
    if (high <= limit) return 0;
    return low >= limit ? 1 : (high - limit) / (high - low);
}

/// Share of a joint's length, or of a part's height, that is above the reach of somebody standing.
double share_aloft(const Step& step, const Job& job) {
    const double limit = job.options.catalogue.number("labour_factor/reach_m");
    std::vector<Point> of_part;
    if (step.joint.empty() || !step.part.empty())
        for (const Part& part : job.coach.parts)
            if (part.id == step.part) of_part = {part.low, part.high};
    const std::vector<Point>& path = of_part.empty() && !step.joint.empty() ? joint_of(job.coach, step.joint).path : of_part;
    const auto height = [&](Point at) { return place_of(job.coach, step.surface, step.slide, at).z; };
    if (path.size() == 1) return height(path[0]) > limit ? 1 : 0;
    double above = 0, all = 0;
    for (std::size_t i = 1; i < path.size(); ++i) {
        const double length = std::hypot(path[i].u - path[i - 1].u, path[i].v - path[i - 1].v);
        above += length * share_above(height(path[i - 1]), height(path[i]), limit);
        all += length;
    }
    return all > 0 ? above / all : 0;
}

/// Minutes by place, temperature and skin.
double labour_factor(const std::string& surface, const Job& job, double from_ladder) {
    const Catalogue& c = job.options.catalogue;
    double factor = 1 + from_ladder * (c.number("labour_factor/roof_from_ladder") - 1);
    if (job.temperature() < c.number("labour_factor/cold/below")) factor *= c.number("labour_factor/cold");
    if (job.temperature() > c.number("labour_factor/hot/above")) factor *= c.number("labour_factor/hot");
    if (job.options.corrugated_skin && is_wall(surface)) factor *= c.number("labour_factor/corrugated");
    return factor;
}

void take_skills(Step& step, const StepTables& tables) {
    for (const auto& id : step.cautions) {
        const CautionSkill* asked = tables.skill(id);
        if (asked && std::find(asked->steps.begin(), asked->steps.end(), step.kind) != asked->steps.end() &&
            std::find(step.skills.begin(), step.skills.end(), asked->skill) == step.skills.end())
            step.skills.push_back(asked->skill);
    }
}

}  // namespace

Standing standing_at(const Step& step, const Job& job) {
    const bool roof = is_roof(step.surface);
    const double aloft = roof || step.surface == "underside" ? 0 : share_aloft(step, job);
    const bool platform = job.shop.platforms > 0;
    return {roof ? (platform ? "roof" : "ladder") : aloft > 0 ? "ladder" : "ground",
            labour_factor(step.surface, job, roof && !platform ? 1 : aloft)};
}

void equip(Step& step, const Job& job, const Standing& standing) {
    if (step.people == 0) return;
    if (step.task >= 0) {
        step.reach = standing.reach;
        for (double* part : {&step.minutes.low, &step.minutes.mode, &step.minutes.high}) *part *= standing.factor;
        // What stands high up may be of a type that is usually reached from the ground.
        if (step.reach == "ladder" && std::find(step.cautions.begin(), step.cautions.end(), "ladder") == step.cautions.end())
            step.cautions.push_back("ladder");
    }
    if (const StepNeeds* needs = job.tables.needs(step.kind)) {
        const std::string& gate = step.reach == "roof" || step.reach == "ladder" ? needs->gate_aloft : needs->gate;
        if (step.gate.empty()) step.gate = gate;
        if (step.tools.empty() && !job.quick) step.tools = needs->tools;
    }
    take_skills(step, job.tables);
}

void equip(Step& step, const Job& job) { equip(step, job, step.people != 0 && step.task >= 0 ? standing_at(step, job) : Standing{}); }

void equip(std::vector<Step>& steps, const Job& job) {
    if (steps.empty()) return;
    const Standing standing = standing_at(steps.front(), job);
    for (Step& step : steps) equip(step, job, standing);
}

}  // namespace libseal::detail
