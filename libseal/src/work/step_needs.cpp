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
    std::vector<Point> path;
    if (!step.joint.empty() && step.part.empty()) {
        path = joint_of(job.coach, step.joint).path;
    } else {
        for (const Part& part : job.coach.parts)
            if (part.id == step.part) path = {part.low, part.high};
        if (path.empty() && !step.joint.empty()) path = joint_of(job.coach, step.joint).path;
    }
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
double labour_factor(const Step& step, const Job& job, double from_ladder) {
    const Catalogue& c = job.options.catalogue;
    double factor = 1 + from_ladder * (c.number("labour_factor/roof_from_ladder") - 1);
    if (job.temperature() < c.number("labour_factor/cold/below")) factor *= c.number("labour_factor/cold");
    if (job.temperature() > c.number("labour_factor/hot/above")) factor *= c.number("labour_factor/hot");
    if (job.options.corrugated_skin && is_wall(step.surface)) factor *= c.number("labour_factor/corrugated");
    return factor;
}

void take_skills(Step& step, const Catalogue& catalogue) {
    for (const auto& id : step.cautions) {
        const std::string base = "caution/" + id + "/skill";
        if (!catalogue.has(base) || catalogue.word(base) == "none") continue;
        const auto kinds = listed_words(catalogue, base + "_steps");
        const std::string& skill = catalogue.word(base);
        if (std::find(kinds.begin(), kinds.end(), step.kind) != kinds.end() &&
            std::find(step.skills.begin(), step.skills.end(), skill) == step.skills.end())
            step.skills.push_back(skill);
    }
}

}  // namespace

void equip(Step& step, const Job& job) {
    if (step.people == 0) return;
    const Catalogue& c = job.options.catalogue;
    if (step.task >= 0) {
        const bool roof = is_roof(step.surface);
        const double aloft = roof || step.surface == "underside" ? 0 : share_aloft(step, job);
        const bool platform = job.shop.platforms > 0;
        step.reach = roof ? (platform ? "roof" : "ladder") : aloft > 0 ? "ladder" : "ground";
        const double factor = labour_factor(step, job, roof && !platform ? 1 : aloft);
        for (double* part : {&step.minutes.low, &step.minutes.mode, &step.minutes.high}) *part *= factor;
    }
    const std::string base = "step/" + step.kind + "/";
    const std::string gate = base + (step.reach == "roof" || step.reach == "ladder" ? "gate_aloft" : "gate");
    if (step.gate.empty() && c.has(gate) && c.word(gate) != "none") step.gate = c.word(gate);
    if (step.tools.empty()) step.tools = listed_words(c, base + "tools");
    take_skills(step, c);
}

}  // namespace libseal::detail
