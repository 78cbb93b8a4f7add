// Rules of the whole job: what comes first and last, damage, covers, coatings and frost.

#include <algorithm>

#include "libseal/catalogue/sealant.hpp"
#include "libseal/core/text.hpp"
#include "work/rules/draft.hpp"

namespace libseal::detail {
namespace {

/// Hands-on time and waits from the end of one step of a joint to the start of a later one [min].
double time_between(const OrderDraft& draft, const JointWork& work, int from, int to) {
    double sum = 0;
    for (const int i : work.steps) {
        if (i > from && i <= to) sum += draft.at(i).wait;
        if (i > from && i < to) sum += draft.at(i).minutes.mode;
    }
    return sum;
}

bool loses_solvent(const std::string& family) { return family == "self_levelling_lap" || family == "non_sag_lap"; }

}  // namespace

void look_before_touching(OrderDraft& draft) {
    const int look = draft.job("photograph");
    if (look < 0) return;
    for (const JointWork& work : draft.works())
        draft.edge(look, work.steps.front(), {"look_before_touching", Strength::hard, "what was there is on record before it changes"});
    for (const char* kind : {"isolate", "water_test"})
        if (const int step = draft.job(kind); step >= 0)
            draft.edge(look, step, {"look_before_touching", Strength::hard, "the coach is levelled and looked over first"});
}

void isolate_before_opening(OrderDraft& draft) {
    const int isolate = draft.job("isolate");
    static const std::vector<std::string> opening{"remove_part", "strip", "inspect_substrate", "bed", "fasten"};
    for (const JointWork& work : draft.works()) {
        if (isolate < 0 || !work.live) continue;
        const auto first = std::find_if(work.steps.begin(), work.steps.end(), [&](int i) {
            return std::find(opening.begin(), opening.end(), draft.at(i).kind) != opening.end();
        });
        if (first != work.steps.end())
            draft.edge(isolate, *first, {"isolate_before_opening", Strength::hard, "wires or gas behind this part"});
    }
}

void damage_before_sealing(OrderDraft& draft) {
    for (const auto& [name, here] : draft.areas()) {
        std::vector<int> surveys, beads;
        for (const JointWork* work : here) {
            if (work->survey >= 0) surveys.push_back(work->survey);
            if (work->first_bead >= 0) beads.push_back(work->first_bead);
        }
        draft.ahead(surveys, beads, "surveyed " + name,
                    {"damage_before_sealing", Strength::hard, "damage on this surface is understood before it is closed"});
    }
}

void cover_open_paths(OrderDraft& draft) {
    for (const JointWork& work : draft.works())
        for (const JointWork& other : draft.works())
            if (work.cover >= 0 && other.wash >= 0 &&
                (other.place.area == work.place.area || area_over(other.place, work.place)))
                draft.edge(work.cover, other.wash, {"cover_open_paths", Strength::hard, "no wash water into an open path"});
    // What is cut open is closed on the same day, unless its own work takes longer.
    const double open = draft.gate("open_joint_hours") * 60, day = draft.gate("open_joint_work_hours") * 60;
    for (const JointWork& work : draft.works()) {
        if (work.last_cut < 0 || work.first_bead < work.last_cut) continue;
        const double own = time_between(draft, work, work.last_cut, work.first_bead);
        Why why{"cover_open_paths", Strength::firm, "a joint cut open is closed on the same day"};
        why.longest = open;
        if (own <= day) draft.edge(work.last_cut, work.first_bead, why);
        else draft.warn(work.place.joint->id + ": cutting it free and closing it takes more than a day; cover it overnight");
    }
}

void coating_after_cure(OrderDraft& draft) {
    for (const JointWork& coat : draft.works()) {
        if (coat.coat < 0) continue;
        for (const JointWork& work : draft.works()) {
            if (work.place.area != coat.place.area) continue;
            Why why{"coating_after_cure", Strength::firm, "a coating over an uncured bead blisters"};
            why.clock = LagClock::cure;
            const int bead = work.cap >= 0 && work.cap != coat.coat ? work.cap : -1;
            if (bead >= 0 && loses_solvent(work.family)) {
                why.lag = draft.gate("coating_after_lap_days") * 1440;
                draft.edge(bead, coat.coat, why);
            } else if (bead >= 0) {
                draft.edge(work.cure >= 0 ? work.cure : bead, coat.coat, why);
            }
            why.lag = draft.gate("coating_after_tape_days") * 1440;
            if (work.tape >= 0) draft.edge(work.tape, coat.coat, why);
        }
    }
}

void exits_and_vents_last_check(OrderDraft& draft) {
    const std::string rule = "exits_and_vents_last_check";
    const int check = draft.job("function_check"), record = draft.job("record");
    if (check < 0) return;
    for (const JointWork& work : draft.works())
        draft.edge(work.steps.back(), check, {rule, Strength::hard, "exits open and vents are free when all is done"});
    for (const char* kind : {"water_test", "isolate"})
        if (const int step = draft.job(kind); step >= 0) draft.edge(step, check, {rule, Strength::hard, "the check is the last step"});
    if (record >= 0) draft.edge(check, record, {rule, Strength::hard, "the record closes the job"});
}

void cure_before_frost(OrderDraft& draft) {
    const OrderOptions& options = draft.options;
    const int look = draft.job("photograph");
    if (options.first_frost.days == 0 || options.work_day.days == 0 || look < 0) return;
    const double left = (options.first_frost - options.work_day) * 1440.0;
    for (const JointWork& work : draft.works()) {
        if (work.cap < 0) continue;
        const Sealant& data = sealant(draft.catalogue, draft.at(work.cap).family);
        if (data.cure_rate <= 0) continue;
        const Joint& joint = *work.place.joint;
        const double cure = cure_minutes(data.cure_rate, cure_depth_mm(bead_of(joint, joint_type(draft.catalogue, joint.type))),
                                         options.temperature);
        // From the end of the look; its own minutes are less than a day.
        const double latest = left - cure - 1440;
        Why why{"cure_before_frost", Strength::firm, "the bead is cured through before the first frost of " + to_text(options.first_frost)};
        why.longest = latest;
        if (latest >= 0) draft.edge(look, work.cap, why);
        else
            draft.warn(joint.id + ": frost of " + to_text(options.first_frost) + " comes before its bead is cured through, which takes " +
                       number_text(cure / 1440, 1) + " d; work in a heated bay or cover it until spring");
    }
}

}  // namespace libseal::detail
