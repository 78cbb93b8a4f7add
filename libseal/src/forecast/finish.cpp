#include <algorithm>
#include <cmath>

#include "forecast/states.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

constexpr double surprising_look = 0.01;  // [-]

std::string flag_of(const ForecastBasis& basis, const LayerRow& row, const LayerState& state, const JointLooks* looks) {
    const FleetClocks& clocks = basis.clocks;
    const Coach& coach = clocks.fleet.coaches[row.coach];
    std::string flag = clocks.coach_flag[row.coach];
    const auto say = [&](const std::string& text) { flag += (flag.empty() ? "" : "; ") + text; };
    if (row.dark_and_hot)
        for (std::size_t s = 0; s < coach.stays.size(); ++s)
            if (clocks.warm_key(row.keys[s], basis.model.warm_year)) {
                say("dark finish in a hot place: outside what the lives were set on");
                break;
            }
    if (row.usual_movement >= 0) {
        const double most = clocks.store.movement(row.movement_keys[stay_of(basis, row)]).amplitude;
        if (most > row.movement_law.high) say("moves more than any test of its family: held at " + number_text(100 * row.movement_law.high) + " %");
    }
    if (looks && looks->contradicts) say("looks contradict each other: a grade fell without work in between");
    if (state.least_chance < surprising_look) say("a look was far from what the model expected");
    return flag;
}

/// Shares of what makes the layer due by its median date; they sum to 1.
void fill_causes(const JointBelief& joint, std::size_t l, Eigen::Index i, Forecast& result) {
    const LayerState& state = joint.layer(l);
    const Date until = std::max(Date{result.due_50[i]}, state.installed.back() + 1);
    const ClockTerms sum = joint.mean_age(l, until);
    const double early = result.early_defect[i];
    // A workmanship defect competes with wear, which has done its half by the median date.
    const double workmanship = early / (early + 0.5);
    // What would not have happened without the faster-than-usual effect of family, line, coach and joint.
    const double factor = std::exp(joint.effect_mean());
    const double shared = (1 - workmanship) * std::max(0.0, 1 - 1 / factor);
    // The same of the movement beyond the usual one of such a joint.
    const Date from = state.installed.front();
    const double usual = state.usual_track->age_between(from, until);
    const double moved = usual > 0 ? state.track->age_between(from, until) / usual : 1.0;
    const double movement = (1 - workmanship - shared) * std::max(0.0, 1 - 1 / moved);
    const double weather = 1 - workmanship - shared - movement;
    result.shared_factor[i] = factor;
    result.movement_factor[i] = moved;
    result.share_movement[i] = movement;
    result.share_workmanship[i] = workmanship;
    result.share_shared[i] = shared;
    result.share_light[i] = weather * sum.light / sum.total();
    result.share_heat[i] = weather * sum.heat / sum.total();
    result.share_moisture[i] = weather * sum.moisture / sum.total();
}

void fill_row(const ForecastBasis& basis, const JointBelief& joint, std::size_t l, Eigen::Index i, Forecast& result) {
    const LayerState& state = joint.layer(l);
    const Date as_of = basis.as_of;
    double age = 0;
    for (const Date from : state.installed) age += years_between(from, as_of) / static_cast<double>(state.installed.size());
    result.age[i] = age;
    result.effective_age[i] = joint.mean_age(l, as_of).total();
    result.condition[i] = joint.expected_grade(l, as_of);
    result.due_now[i] = joint.due(l, as_of);
    result.due_90_days[i] = joint.due(l, as_of + 90);
    result.due_1_year[i] = joint.due(l, add_months(as_of, 12));
    result.due_2_years[i] = joint.due(l, add_months(as_of, 24));
    result.due_5_years[i] = joint.due(l, add_months(as_of, 60));
    result.due_10[i] = joint.day_of(l, 0.1).days;
    result.due_50[i] = joint.day_of(l, 0.5).days;
    result.due_90[i] = joint.day_of(l, 0.9).days;
    const Utilisation use = utilisation_of(basis, state, result.effective_age[i]);
    result.utilisation[i] = use.now;
    result.inspect_by[i] = std::max(as_of, look_wanted(basis, joint, l, use.full_age)).days;
    result.early_defect[i] = state.early_odds / (1 + state.early_odds);
    fill_causes(joint, l, i, result);
}

}  // namespace

Date look_wanted(const ForecastBasis& basis, const JointBelief& joint, std::size_t l, double full_age) {
    const LayerState& state = joint.layer(l);
    Date last_known = state.layer->installed_to;
    for (const Look& look : state.looks) last_known = std::max(last_known, look.date);
    const int longest = basis.options.warranty_days > 0 ? std::min(basis.options.warranty_days, basis.model.inspection_days)
                                                        : basis.model.inspection_days;
    Date next = std::min(last_known + longest, joint.day_of(l, basis.model.target));
    if (std::isfinite(full_age)) {
        const Date full = state.track->day_of_age(full_age, state.installed.front());
        if (full > last_known) next = std::min(next, full);
    }
    return next;
}

bool FleetClocks::warm_key(int key, double warm_year) const {
    return store.mean_air_temperature(store.key(key).site) >= warm_year;
}

void finish_coach(const ForecastBasis& basis, std::size_t c, Forecast& result) {
    const Coach& coach = basis.standing.coaches[c];
    basis.each_joint(c, [&](const JointBelief& belief, std::size_t first) {
        const Joint& joint = coach.joints[basis.clocks.layers[first].joint];
        const JointLooks* looks = basis.looks_of(coach, joint);
        const double open_now = belief.open(basis.as_of), open_later = belief.open(add_months(basis.as_of, 12));
        const double appearance = belief.appearance(basis.as_of);
        for (std::size_t l = 0; l < belief.size(); ++l) {
            const std::size_t r = first + l;
            const auto i = static_cast<Eigen::Index>(r);
            const Layer& layer = *belief.layer(l).layer;
            result.coach[r] = coach.id;
            result.joint[r] = joint.id;
            result.layer[r] = layer.kind;
            result.family[r] = layer.family;
            result.generation[r] = layer.generation;
            fill_row(basis, belief, l, i, result);
            result.open_now[i] = open_now;
            result.open_1_year[i] = open_later;
            result.appearance[i] = &layer == outermost_layer(joint) ? appearance : std::nan("");
            result.flag[r] = flag_of(basis, basis.clocks.layers[r], belief.layer(l), looks);
        }
    });
}

}  // namespace libseal::detail
