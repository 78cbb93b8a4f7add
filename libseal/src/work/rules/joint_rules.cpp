// Rules inside one joint, and between the joint and what it meets.

#include <algorithm>
#include <cmath>

#include "libseal/catalogue/sealant.hpp"
#include "libseal/core/text.hpp"
#include "work/planning.hpp"
#include "work/rules/draft.hpp"

namespace libseal::detail {
namespace {

/// Closer than this, the ends of two joints meet [m]; a smaller turn than this is no corner [deg]. Judgement of this project.
constexpr double meeting = 0.06, least_corner = 30;

bool lays_insert(const Step& step) { return step.kind == "bed" && step.family == "pvc_insert"; }

/// The rule that asks for one step after the other inside a joint.
std::string rule_between(const JointWork& work, const Step& from, const Step& to) {
    if (from.kind == "wash" && work.cut >= 0) return "wash_before_cutting";
    if (from.kind == "seal_fasteners" && lays_insert(to)) return "insert_after_fasteners";
    if (to.kind == "cap" && (from.kind == "fasten" || from.kind == "seal_fasteners")) return "fasten_before_seal";
    if (to.kind == "cap" && from.kind == "bed") return "bed_before_cap";
    if (to.kind == "unmask" && from.kind == "cap") return "unmask_before_skin";
    return "strip_clean_prime_apply_cure_test";
}

/// Calls `add` for each pair of neighbours inside a joint that the rule speaks of.
template <class Add>
void between_neighbours(OrderDraft& draft, const std::string& rule, const Add& add) {
    for (const JointWork& work : draft.works())
        for (std::size_t k = 1; k < work.steps.size(); ++k) {
            const Step &from = draft.at(work.steps[k - 1]), &to = draft.at(work.steps[k]);
            if (rule_between(work, from, to) == rule) add(work, work.steps[k - 1], work.steps[k]);
        }
}

bool neighbours(const JointWork& work, int from, int to) {
    const auto found = std::find(work.steps.begin(), work.steps.end(), from);
    return found != work.steps.end() && found + 1 != work.steps.end() && *(found + 1) == to;
}

double skin_minutes(const OrderDraft& draft, const std::string& family) {
    return family.empty() ? 0 : sealant(draft.catalogue, family).skin_hours * 60;
}

/// Angle between two directions at a meeting point [deg]; 0 straight on.
double turn(Point end, Point before, Point start, Point after) {
    const double ax = end.u - before.u, ay = end.v - before.v, bx = after.u - start.u, by = after.v - start.v;
    const double lengths = std::hypot(ax, ay) * std::hypot(bx, by);
    return lengths > 0 ? std::acos(std::clamp((ax * bx + ay * by) / lengths, -1.0, 1.0)) * 180 / 3.14159265358979323846 : 180;
}

/// Do two joints run on into each other without a corner?
bool run_on(const Joint& a, const Joint& b) {
    if (a.surface != b.surface || a.slide != b.slide || a.path.size() < 2 || b.path.size() < 2) return false;
    std::vector<Point> one = a.path, other = b.path;
    for (int i = 0; i < 2; ++i, std::reverse(one.begin(), one.end()))
        for (int k = 0; k < 2; ++k, std::reverse(other.begin(), other.end())) {
            const Point end = one.back(), start = other.front();
            if (std::hypot(end.u - start.u, end.v - start.v) <= meeting &&
                turn(end, one[one.size() - 2], start, other[1]) < least_corner)
                return true;
        }
    return false;
}

std::string cap_family(const Joint& joint) {
    const Layer* cap = layer_of(joint, "cap_bead");
    return cap ? cap->family : "";
}

/// A new bead over a part of the joint only: neither stripped nor masked from end to end.
bool in_spots(const OrderDraft& draft, const JointWork& work) {
    return std::none_of(work.steps.begin(), work.steps.end(), [&](int i) {
        const std::string& kind = draft.at(i).kind;
        return kind == "strip" || kind == "mask" || kind == "remove_part";
    });
}

}  // namespace

void wash_before_cutting(OrderDraft& draft) {
    between_neighbours(draft, "wash_before_cutting", [&](const JointWork&, int from, int to) {
        draft.edge(from, to, {"wash_before_cutting", Strength::firm, "dirt is not dragged into the joint", draft.at(to).wait});
    });
}

void strip_clean_prime_apply_cure_test(OrderDraft& draft) {
    const std::string rule = "strip_clean_prime_apply_cure_test";
    between_neighbours(draft, rule, [&](const JointWork&, int from, int to) {
        const Step &first = draft.at(from), &next = draft.at(to);
        Why why{rule, Strength::hard, plain_words(first.kind) + " before " + plain_words(next.kind), next.wait};
        if (next.kind == "cure") {
            why.clock = LagClock::cure;
            why.reason = next.note;
        }
        if (first.kind == "prime") {
            why.longest = std::max(draft.gate("primer_open_hours") * 60, next.wait);
            why.reason = "the primer is covered while it is open";
        }
        draft.edge(from, to, why);
    });
    const int hose = draft.job("water_test");
    for (const JointWork& work : draft.works())
        if (hose >= 0 && work.test >= 0) draft.edge(hose, work.test, {rule, Strength::hard, "hose and gauge set up"});
}

void fasten_before_seal(OrderDraft& draft) {
    const std::string rule = "fasten_before_seal";
    between_neighbours(draft, rule, [&](const JointWork&, int from, int to) {
        draft.edge(from, to, {rule, Strength::hard, "a part that still moves tears its bead", draft.at(to).wait});
    });
    for (const JointWork& work : draft.works())
        for (const int screws : {work.fasten, work.seal_fasteners})
            if (screws >= 0 && work.cap > screws && !neighbours(work, screws, work.cap))
                draft.edge(screws, work.cap, {rule, Strength::hard, "a part that still moves tears its bead"});
    // What is still to be screwed on or cut free at a part comes before the bead beside it.
    for (const JointWork& part : draft.works())
        for (const JointWork& bead : draft.works())
            if (part.of_part && !bead.of_part && bead.first_bead >= 0 && part.place.joint == bead.place.joint)
                draft.edge(part.steps.back(), bead.first_bead, {rule, Strength::firm, "nothing is handled beside a fresh bead"});
}

void bed_before_cap(OrderDraft& draft) {
    const std::string rule = "bed_before_cap";
    for (const JointWork& work : draft.works()) {
        if (work.bed < 0 || work.cap < 0) continue;
        draft.edge(work.bed, work.cap, {rule, Strength::hard, "the bedding is the seal, the bead protects it",
                                        neighbours(work, work.bed, work.cap) ? draft.at(work.cap).wait : 0});
        const int snug = std::max(work.fasten, work.bed);
        if (draft.options.settle_beddings && !lays_insert(draft.at(work.bed)))
            draft.edge(snug, work.cap, {rule, Strength::firm, "tape creeps under its screws: snug them again and trim before the bead",
                                        draft.gate("bedding_settle_days") * 1440});
    }
}

void insert_after_fasteners(OrderDraft& draft) {
    for (const JointWork& work : draft.works()) {
        if (work.bed < 0 || work.seal_fasteners < 0 || work.seal_fasteners > work.bed || !lays_insert(draft.at(work.bed))) continue;
        const std::string family = work.cap >= 0 ? draft.at(work.cap).family : cap_family(*work.place.joint);
        draft.edge(work.seal_fasteners, work.bed, {"insert_after_fasteners", Strength::hard,
                                                   "the insert covers screws whose sealant has a skin",
                                                   std::max(skin_minutes(draft, family), draft.at(work.bed).wait)});
    }
}

void unmask_before_skin(OrderDraft& draft) {
    for (const JointWork& work : draft.works()) {
        if (work.cap < 0 || work.unmask < 0) continue;
        const double skin = skin_minutes(draft, draft.at(work.cap).family);
        draft.edge(work.cap, work.unmask, {"unmask_before_skin", Strength::hard, "masking tears a bead that has a skin",
                                           std::min(draft.at(work.unmask).wait, skin), LagClock::elapsed, skin});
    }
}

void one_family_per_joint(OrderDraft& draft) {
    std::map<std::string, std::string> laid;
    for (const JointWork& work : draft.works()) {
        if (work.cap < 0) continue;
        const std::string& id = work.place.joint->id;
        const std::string &family = draft.at(work.cap).family, old = cap_family(*work.place.joint);
        const auto [at, fresh] = laid.emplace(id, family);
        if (!fresh && at->second != family)
            draft.warn(id + ": " + plain_words(at->second) + " and " + plain_words(family) + " on one joint; keep to one family");
        if (in_spots(draft, work) && !old.empty() && old != family)
            draft.warn(id + ": spots of " + plain_words(family) + " in a bead of " + plain_words(old) +
                       "; change the family only at a corner, with the overlap tested");
    }
    for (const auto& [id, family] : laid) {
        const Joint& joint = joint_of(draft.coach, id);
        for (const Joint& other : draft.coach.joints) {
            const auto its = laid.find(other.id);
            if (other.id == id || (its != laid.end() && other.id < id) || !run_on(joint, other)) continue;
            const std::string beside = its != laid.end() ? its->second : cap_family(other);
            if (!beside.empty() && beside != "unknown" && beside != family)
                draft.warn(id + " (" + plain_words(family) + ") runs on into " + other.id + " (" + plain_words(beside) +
                           ") without a corner; change the family only at a corner, with the overlap tested");
        }
    }
}

}  // namespace libseal::detail
