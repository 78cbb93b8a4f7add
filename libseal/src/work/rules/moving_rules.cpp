// Slide-outs and awnings: what must be in, out, off or on while its joints are worked on.

#include <algorithm>
#include <set>

#include "work/rules/draft.hpp"

namespace libseal::detail {
namespace {

/// Steps that need a slide-out in one state, from the first to the last.
struct Stretch {
    double rank = 0;    ///< phase of the job
    std::string state;  ///< "" for any
    int first = -1, last = -1;
};

double phase_of(const std::string& state, bool silicone) {
    const double place = state == "out" ? 0 : state == "partway" ? 1 : state == "in" ? 2 : 2.5;
    return silicone ? 5.5 - place : place;  // the slide-out need not move between other sealants and silicone
}

double test_phase_of(const std::string& state) { return state == "in" ? 6 : state == "partway" ? 7 : 8; }

bool in_any_state(const OrderDraft& draft, const JointWork& work) {
    return std::all_of(work.steps.begin(), work.steps.end(), [&](int i) { return draft.at(i).slide_state.empty(); });
}

/// Work phases: out, partway, in with other sealants, then back with silicone; tests follow with the slide-out in, then out.
std::vector<Stretch> stretches_of(const OrderDraft& draft, const std::string& slide) {
    std::vector<Stretch> stretches;
    for (const JointWork& work : draft.works()) {
        if (work.place.joint->slide != slide || work.of_part || work.cover >= 0 || work.survey >= 0) continue;
        if (in_any_state(draft, work)) {
            // Beads of the opening lie in the way of the box: it is out for them. Others go last, when it moves no more.
            const std::string state = work.place.height_class == 2 ? "out" : "";
            if (work.cure >= 0) stretches.push_back({phase_of(state, work.silicone), state, work.first_bead, work.cure});
            continue;
        }
        Stretch hands;
        for (const int i : work.steps) {
            const Step& step = draft.at(i);
            if (step.slide_state.empty()) continue;
            if (i == work.wash) stretches.push_back({phase_of(step.slide_state, false), step.slide_state, i, i});
            else if (i == work.test) stretches.push_back({test_phase_of(step.slide_state), step.slide_state, i, i});
            else {
                if (hands.first < 0) hands = {phase_of(step.slide_state, work.silicone), step.slide_state, i, i};
                hands.last = i;
            }
        }
        if (hands.first >= 0) stretches.push_back(hands);
    }
    std::stable_sort(stretches.begin(), stretches.end(), [](const Stretch& a, const Stretch& b) { return a.rank < b.rank; });
    return stretches;
}

std::string state_of_slide(const Coach& coach, const std::string& slide) {
    for (const Part& part : coach.parts)
        if (part.id == slide) return part.state;
    return "";
}

int add_move(OrderDraft& draft, const std::string& slide, const std::string& state, int number) {
    const SourcedValue& minutes = draft.catalogue.at("labour/move_slide");
    Step step;
    step.id = "visit/" + slide + "_" + state + (number > 1 ? "_" + std::to_string(number) : "");
    step.kind = "move_slide";
    step.slide = slide;
    step.slide_state = state;
    step.minutes = {minutes.low, minutes.value, minutes.high};
    step.cautions = {"slide_out"};
    step.note = "slide-out " + state + ": power on for the move, nobody in its path; lock it, power off again";
    return draft.add_step(std::move(step));
}

std::set<std::string> slides_of(const OrderDraft& draft) {
    std::set<std::string> slides;
    for (const JointWork& work : draft.works())
        if (!work.place.joint->slide.empty()) slides.insert(work.place.joint->slide);
    return slides;
}

int add_awning_step(OrderDraft& draft, const std::string& part, bool off) {
    const std::string item = off ? "labour/awning_off" : "labour/awning_on";
    const SourcedValue& minutes = draft.catalogue.at(item);
    Step step;
    step.id = "visit/" + part + (off ? "_off" : "_on");
    step.kind = off ? "remove_part" : "fasten";
    step.minutes = {minutes.low, minutes.value, minutes.high};
    step.people = static_cast<int>(draft.catalogue.number(item + "/people"));
    step.cautions = {"awning", "lifting"};
    step.note = off ? "springs pinned first; fabric and arms off, kept dry" : "springs still pinned; run it out and in once";
    return draft.add_step(std::move(step));
}

/// Nothing else of the job asks for it; an awning has wires all the same.
int add_isolating(OrderDraft& draft) {
    const SourcedValue& minutes = draft.catalogue.at("labour/isolate");
    Step step;
    step.id = "visit/isolate";
    step.kind = "isolate";
    step.minutes = {minutes.low, minutes.value, minutes.high};
    step.cautions = {"electricity"};
    step.note = "shore power, generator, battery and solar off; prove dead";
    const int isolate = draft.add_step(std::move(step));
    if (const int look = draft.job("photograph"); look >= 0)
        draft.edge(look, isolate, {"look_before_touching", Strength::hard, "the coach is levelled and looked over first"});
    if (const int check = draft.job("function_check"); check >= 0)
        draft.edge(isolate, check, {"exits_and_vents_last_check", Strength::hard, "the check is the last step"});
    return isolate;
}

/// Is the awning in the way? A bead along its rail is laid with it in place; what comes off takes it along, and the seam below
/// the awning of a slide-out cannot be seen before it is off.
bool needs_awning_off(const OrderDraft& draft, const Part& awning, const JointWork& work, const std::string& slide) {
    const Joint& joint = *work.place.joint;
    if (joint.type == "slide_roof_seam")
        return awning.kind == "slide_awning" && !slide.empty() && joint.slide == slide && (work.cut >= 0 || work.first_bead >= 0);
    const bool holds = joint.part == awning.id || (awning.kind == "awning" && joint.surface == awning.surface &&
                                                   (joint.type == "awning_rail" || joint.type == "awning_bracket"));
    return holds && std::any_of(work.steps.begin(), work.steps.end(), [&](int i) {
        const std::string& kind = draft.at(i).kind;
        return kind == "remove_part" || kind == "bed" || kind == "fasten";
    });
}

/// The slide-out below an awning: the one whose opening it spans.
std::string slide_below(const Coach& coach, const Part& awning) {
    if (!awning.slide.empty()) return awning.slide;
    const double middle = (awning.low.u + awning.high.u) / 2;
    for (const Part& part : coach.parts)
        if (part.kind == "slide_out" && part.surface == awning.surface && part.low.u <= middle && middle <= part.high.u) return part.id;
    return "";
}

/// Moves of each slide-out between the works that need it in different states. The edges that a cure asks for are
/// those of `slide_still_while_curing`.
void move_slides(OrderDraft& draft, const std::string& slide) {
    const std::string rule = "slide_state";
    std::string state = state_of_slide(draft.coach, slide);
    std::map<std::string, int> moves;
    std::vector<int> since;  // ends of what was done since the last move
    int move = -1;
    for (const Stretch& stretch : stretches_of(draft, slide)) {
        if (!stretch.state.empty() && stretch.state != state) {
            const bool unknown = state.empty() && move < 0;
            state = stretch.state;
            if (!unknown) {
                const int before = move;
                move = add_move(draft, slide, state, ++moves[state]);
                const int look = draft.job("photograph");
                if (before >= 0) draft.edge(before, move, {rule, Strength::hard, "one move after the other"});
                else if (look >= 0) draft.edge(look, move, {"look_before_touching", Strength::hard, "looked at before it moves"});
                for (const int end : since) {
                    const bool cure = draft.at(end).kind == "cure";
                    draft.edge(end, move, {cure ? "slide_still_while_curing" : rule, Strength::hard,
                                           cure ? "the slide-out moves only over cured beads" : "done before the slide-out moves " + state});
                }
                since.clear();
            }
        }
        if (move >= 0) draft.edge(move, stretch.first, {rule, Strength::hard, "done with the slide-out " + state});
        since.push_back(stretch.last);
    }
    if (const int check = draft.job("function_check"); move >= 0 && check >= 0)
        draft.edge(move, check, {"exits_and_vents_last_check", Strength::hard, "the check is the last step"});
}

}  // namespace

void slide_state(OrderDraft& draft) {
    for (const std::string& slide : slides_of(draft)) move_slides(draft, slide);
}

void slide_still_while_curing(OrderDraft& draft) {
    // Beads that cure across the travel also come before the check, which runs the slide-out in and out.
    const int check = draft.job("function_check");
    for (const JointWork& work : draft.works())
        if (check >= 0 && work.cure >= 0 && !work.place.joint->slide.empty() && work.steps.back() != work.cure)
            draft.edge(work.cure, check, {"slide_still_while_curing", Strength::hard, "the check moves the slide-out only over cured beads"});
}

void awning_off_and_on(OrderDraft& draft) {
    const std::string rule = "awning_off_and_on";
    int isolate = draft.job("isolate");
    for (const Part& awning : draft.coach.parts) {
        if (awning.kind != "awning" && awning.kind != "slide_awning") continue;
        const std::string slide = awning.kind == "awning" ? "" : slide_below(draft.coach, awning);
        std::vector<const JointWork*> hidden;
        for (const JointWork& work : draft.works())
            if (!work.of_part && needs_awning_off(draft, awning, work, slide))
                hidden.push_back(&work);
        if (hidden.empty()) continue;
        const int off = add_awning_step(draft, awning.id, true), on = add_awning_step(draft, awning.id, false);
        if (const int look = draft.job("photograph"); look >= 0)
            draft.edge(look, off, {"look_before_touching", Strength::hard, "what was there is on record before it changes"});
        if (isolate < 0) isolate = add_isolating(draft);
        draft.edge(isolate, off, {"isolate_before_opening", Strength::hard, "its motor and lights have wires"});
        if (const int check = draft.job("function_check"); check >= 0)
            draft.edge(on, check, {"exits_and_vents_last_check", Strength::hard, "the check is the last step"});
        for (const JointWork* work : hidden) {
            const std::string& id = work->place.joint->id;
            draft.edge(off, work->steps.front(), {rule, Strength::hard, awning.id + " hides or holds on to " + id});
            const bool tested = work->test >= 0;
            draft.edge(work->steps.back(), on, {rule, Strength::hard, tested ? id + " is cured and tested first" : id + " is cured first"});
        }
    }
}

}  // namespace libseal::detail
