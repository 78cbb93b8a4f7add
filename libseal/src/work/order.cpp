// The sequence rules. Each function is one rule or one group of them, named as in the word list.

#include "libseal/work/order.hpp"

#include <algorithm>
#include <deque>
#include <map>
#include <set>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "work/areas.hpp"

namespace libseal {
namespace {

using detail::JointPlace;

/// The steps of one task, by index.
struct JointWork {
    JointPlace place;
    std::vector<int> steps;
    int wash = -1, first_bead = -1, last_bead = -1, cure = -1, test = -1, cover = -1, survey = -1;
    bool silicone = false;
    bool of_part = false;  ///< work on a part alone
    bool live = false;  ///< wires or gas behind it
};

bool contains(const std::vector<std::string>& list, const char* name) {
    return std::find(list.begin(), list.end(), name) != list.end();
}

/// A word of the word list as people read it.
std::string plain(std::string word) {
    std::replace(word.begin(), word.end(), '_', ' ');
    return word;
}

class Rules {
public:
    Rules(std::vector<Step>& steps, const Coach& coach, const Catalogue& catalogue)
        : steps_(steps), coach_(coach) {
        std::map<int, std::size_t> index;
        for (std::size_t i = 0; i < steps.size(); ++i) {
            const Step& step = steps[i];
            if (step.task < 0) {
                job_[step.kind] = static_cast<int>(i);
                continue;
            }
            const auto [at, fresh] = index.emplace(step.task, work_.size());
            if (fresh) {
                work_.push_back({});
                work_.back().of_part = !step.part.empty();
                work_.back().place = detail::place_of(coach, place_of_step(step));
                if (!step.joint.empty()) {
                    const JointType type = joint_type(catalogue, joint_of(coach, step.joint).type);
                    work_.back().live = contains(type.cautions, "electricity") || contains(type.cautions, "gas");
                }
            }
            note(work_[at->second], step, static_cast<int>(i));
        }
        dry_ = catalogue.number("gate/drying_hours_cloth") * 60;
    }

    std::vector<Edge> take() {
        inside_joints();
        parts_before_beads();
        around_the_job();
        damage_and_covers();
        wet_work_first();
        upstream_first();
        silicone_last();
        no_walking_on_fresh_beads();
        slides();
        tests();
        return std::move(edges_);
    }

private:
    /// The step's joint; for a part that no joint seals, something that lies where the part does.
    const Joint& place_of_step(const Step& step) {
        if (!step.joint.empty()) return joint_of(coach_, step.joint);
        Joint stand_in;
        stand_in.id = step.part;
        for (const Part& part : coach_.parts)
            if (part.id == step.part) {
                stand_in.surface = part.surface;
                stand_in.slide = part.slide;
                stand_in.path = {part.low, part.high};
            }
        stand_ins_.push_back(std::move(stand_in));
        return stand_ins_.back();
    }

    static void note(JointWork& work, const Step& step, int i) {
        work.steps.push_back(i);
        const bool bead =
            step.kind == "bed" || step.kind == "cap" || (step.kind == "roll_tape" && work.wash >= 0);
        if (step.kind == "wash") work.wash = i;
        if (bead && work.first_bead < 0) work.first_bead = i;
        if (bead) work.last_bead = i;
        if (step.kind == "cure") work.cure = i;
        if (step.kind == "water_test") work.test = i;
        if (step.kind == "roll_tape" && work.wash < 0) work.cover = i;
        if (step.kind == "inspect_substrate" && work.steps.size() == 1) work.survey = i;
        if (step.kind == "cap" && step.family.find("silicone") != std::string::npos) work.silicone = true;
    }

    const Step& at(int i) const { return steps_[static_cast<std::size_t>(i)]; }

    void edge(int from, int to, const std::string& rule, Strength strength, double lag,
              const std::string& reason) {
        edges_.push_back({from, to, rule, strength, lag, reason});
    }

    /// A mark in time that stands between many steps and many others.
    int mark(const std::string& name) {
        Step step;
        step.id = "stage/" + name;
        step.kind = "stage";
        step.people = 0;
        steps_.push_back(step);
        return static_cast<int>(steps_.size()) - 1;
    }

    /// All of `before` ahead of all of `after`: m + n edges through a mark instead of m times n.
    void ahead(const std::vector<int>& before, const std::vector<int>& after, const std::string& name,
               const std::string& rule, Strength strength, double lag, const std::string& reason) {
        if (before.empty() || after.empty()) return;
        if (before.size() * after.size() <= before.size() + after.size()) {
            for (const int from : before)
                for (const int to : after) edge(from, to, rule, strength, lag, reason);
            return;
        }
        const int stage = mark(name);
        for (const int from : before) edge(from, stage, rule, strength, 0, reason);
        for (const int to : after) edge(stage, to, rule, strength, lag, reason);
    }

    void inside_joints() {
        for (const JointWork& work : work_)
            for (std::size_t k = 1; k < work.steps.size(); ++k) {
                const Step& from = at(work.steps[k - 1]);
                const Step& to = at(work.steps[k]);
                std::string rule = "strip_clean_prime_apply_cure_test",
                            reason = plain(from.kind) + " before " + plain(to.kind);
                Strength strength = Strength::hard;
                if (from.kind == "wash") {
                    rule = "wash_before_cutting";
                    reason = "dirt is not dragged into the joint";
                    strength = Strength::firm;
                } else if (from.kind == "seal_fasteners" && to.kind == "bed") {
                    rule = "insert_after_fasteners";
                    reason = "the insert covers sealed screws";
                } else if (to.kind == "cap" && (from.kind == "fasten" || from.kind == "seal_fasteners")) {
                    rule = "fasten_before_seal";
                    reason = "a part that still moves tears its bead";
                } else if (to.kind == "cap" && from.kind == "bed") {
                    rule = "bed_before_cap";
                    reason = "the bedding is the seal, the bead protects it";
                } else if (to.kind == "cure") {
                    reason = to.note;
                }
                edge(work.steps[k - 1], work.steps[k], rule, strength, to.wait, reason);
            }
    }

    /// What is still to be screwed on or cut free at a part comes before the bead beside it.
    void parts_before_beads() {
        for (const JointWork& part : work_)
            for (const JointWork& bead : work_)
                if (part.of_part && !bead.of_part && bead.first_bead >= 0 && part.place.joint == bead.place.joint)
                    edge(part.steps.back(), bead.first_bead, "fasten_before_seal", Strength::firm, 0,
                         "nothing is handled beside a fresh bead");
    }

    void around_the_job() {
        const auto job = [&](const char* kind) { return job_.count(kind) ? job_.at(kind) : -1; };
        const int look = job("photograph"), isolate = job("isolate"), check = job("function_check"),
                  record = job("record"), hose = job("water_test");
        for (const JointWork& work : work_) {
            if (look >= 0)
                edge(look, work.steps.front(), "look_before_touching", Strength::hard, 0,
                     "what was there is on record before it changes");
            if (check >= 0)
                edge(work.steps.back(), check, "exits_and_vents_last_check", Strength::hard, 0,
                     "exits open and vents are free when all is done");
            if (isolate >= 0 && work.live)
                for (const int i : work.steps)
                    if (contains(opening_, at(i).kind.c_str())) {
                        edge(isolate, i, "isolate_before_opening", Strength::hard, 0,
                             "wires or gas behind this part");
                        break;
                    }
            if (hose >= 0 && work.test >= 0)
                edge(hose, work.test, "strip_clean_prime_apply_cure_test", Strength::hard, 0,
                     "hose and gauge set up");
        }
        if (look >= 0 && isolate >= 0)
            edge(look, isolate, "look_before_touching", Strength::hard, 0,
                 "the coach is levelled and looked over first");
        if (look >= 0 && hose >= 0)
            edge(look, hose, "look_before_touching", Strength::hard, 0,
                 "the coach is levelled and looked over first");
        if (check >= 0 && record >= 0)
            edge(check, record, "exits_and_vents_last_check", Strength::hard, 0, "the record closes the job");
        if (hose >= 0 && check >= 0)
            edge(hose, check, "exits_and_vents_last_check", Strength::hard, 0, "the check is the last step");
        if (isolate >= 0 && check >= 0)
            edge(isolate, check, "exits_and_vents_last_check", Strength::hard, 0,
                 "the check is the last step");
    }

    void damage_and_covers() {
        for (const JointWork& work : work_)
            for (const JointWork& other : work_) {
                const bool near = other.place.area == work.place.area;
                if (work.survey >= 0 && near && other.first_bead >= 0)
                    edge(work.survey, other.first_bead, "damage_before_sealing", Strength::hard, 0,
                         "damage on this surface is understood before it is closed");
                if (work.cover >= 0 && other.wash >= 0 &&
                    (near || detail::area_over(other.place, work.place)))
                    edge(work.cover, other.wash, "cover_open_paths", Strength::hard, 0,
                         "no wash water into an open path");
            }
    }

    /// Washes of an area, and of those that drain over it, before its beads.
    void wet_work_first() {
        std::map<std::string, std::vector<const JointWork*>> areas;
        for (const JointWork& work : work_) areas[work.place.area].push_back(&work);
        for (const auto& [name, here] : areas) {
            std::vector<int> washes, beads;
            for (const JointWork* work : here)
                if (work->first_bead >= 0) beads.push_back(work->first_bead);
            std::set<int> seen;
            for (const JointWork& work : work_)
                if (work.wash >= 0 &&
                    (work.place.area == name || detail::area_over(work.place, here.front()->place)))
                    washes.push_back(work.wash);
            ahead(washes, beads, "washed " + name, "wet_work_first", Strength::hard, dry_,
                  "no wash water over or beside a fresh bead, and time to dry");
        }
    }

    /// Silicone goes last by a hard rule; a firm one must not ask for the opposite.
    static bool order_allowed(const JointWork& from, const JointWork& to) {
        return !from.silicone || to.silicone;
    }

    void upstream_first() {
        for (const bool silicone : {false, true})
            for (const int level : {0, 1, 2}) {
                std::map<std::string, std::pair<std::vector<int>, std::vector<int>>> groups;
                for (const JointWork& from : work_) {
                    if (from.place.height_class != level || from.last_bead < 0 || from.silicone != silicone)
                        continue;
                    groups[level == 1 ? from.place.joint->slide : ""].first.push_back(from.last_bead);
                }
                for (auto& [slide, group] : groups) {
                    for (const JointWork& to : work_) {
                        if (to.first_bead < 0 || (silicone && !to.silicone)) continue;
                        const bool below = level == 2 ? to.place.height_class == 3
                                           : level == 1
                                               ? to.place.height_class > 1 && to.place.joint->slide == slide
                                               : to.place.height_class > 0;
                        if (below) group.second.push_back(to.first_bead);
                    }
                    static const char* names[] = {"roof sealed", "slide roof sealed", "walls sealed"};
                    ahead(group.first, group.second,
                          names[level] + (slide.empty() ? "" : " " + slide) +
                              (silicone ? " with silicone" : ""),
                          "upstream_first", Strength::firm, 0,
                          level == 2 ? "walls before what lies below them" : "roof before walls");
                }
            }
        top_before_bottom();
    }

    void top_before_bottom() {
        const auto over = [&](const JointWork& a, const JointWork& b) {
            return a.last_bead >= 0 && b.first_bead >= 0 && order_allowed(a, b) &&
                   detail::runs_over(a.place, b.place);
        };
        for (const JointWork& upper : work_)
            for (const JointWork& lower : work_) {
                if (!over(upper, lower)) continue;
                // Only the next one down; the rest follows from it.
                const bool between = std::any_of(work_.begin(), work_.end(), [&](const JointWork& middle) {
                    return over(upper, middle) && over(middle, lower);
                });
                if (between) continue;
                const bool edge_rule =
                    upper.place.joint->type == "roof_edge_moulding" || upper.place.joint->type == "drip_rail";
                edge(upper.last_bead, lower.first_bead,
                     edge_rule ? "roof_edge_before_wall" : "upstream_first", Strength::firm, 0,
                     upper.place.joint->id + " drains over " + lower.place.joint->id);
            }
    }

    void silicone_last() {
        std::vector<int> others, silicones;
        for (const JointWork& work : work_) {
            if (work.last_bead < 0) continue;
            if (work.silicone)
                silicones.push_back(work.last_bead);
            else
                others.push_back(work.last_bead);
        }
        ahead(others, silicones, "other beads done", "silicone_last", Strength::hard, 0,
              "traces of silicone spoil every other bond");
    }

    void no_walking_on_fresh_beads() {
        for (const bool silicone : {false, true}) {
            std::vector<const JointWork*> roof;
            for (const JointWork& work : work_)
                if (work.place.height_class == 0 && work.last_bead >= 0 && work.silicone == silicone)
                    roof.push_back(&work);
            std::sort(roof.begin(), roof.end(), [&](const JointWork* a, const JointWork* b) {
                const double da = detail::way_to_ladder(coach_, a->place),
                             db = detail::way_to_ladder(coach_, b->place);
                return da != db ? da > db : a->place.joint->id < b->place.joint->id;
            });
            for (std::size_t i = 1; i < roof.size(); ++i)
                edge(roof[i - 1]->last_bead, roof[i]->last_bead, "no_walking_on_fresh_beads", Strength::hard,
                     0, "from the far end of the roof towards the ladder");
        }
    }

    void slides() {
        for (const JointWork& out : work_) {
            if (out.cure < 0 || at(out.cure).slide_state != "out") continue;
            for (const JointWork& in : work_)
                if (in.place.joint->slide == out.place.joint->slide && in.first_bead >= 0 &&
                    at(in.first_bead).slide_state == "in")
                    edge(out.cure, in.first_bead, "slide_still_while_curing", Strength::hard, 0,
                         "the slide-out moves in only over cured beads");
        }
    }

    void tests() {
        std::map<std::string, std::vector<const JointWork*>> areas;
        for (const JointWork& work : work_) areas[work.place.area].push_back(&work);
        for (const auto& [name, here] : areas) {
            std::vector<int> tests, cures, lower_tests;
            for (const JointWork* work : here)
                if (work->test >= 0) tests.push_back(work->test);
            for (const JointWork& work : work_) {
                const bool below = detail::area_over(here.front()->place, work.place);
                if (work.cure >= 0 && (below || work.place.area == name)) cures.push_back(work.cure);
                if (work.test >= 0 && below) lower_tests.push_back(work.test);
            }
            ahead(cures, tests, "cured " + name, "no_water_on_uncured", Strength::hard, 0,
                  "the test runs over these beads too");
            ahead(lower_tests, tests, "tested below " + name, "test_low_to_high", Strength::firm, 0,
                  "from low to high the first wet joint is the answer");
        }
    }

    std::vector<Step>& steps_;
    const Coach& coach_;
    std::vector<JointWork> work_;
    std::deque<Joint> stand_ins_;
    std::map<std::string, int> job_;
    std::vector<Edge> edges_;
    double dry_ = 60;
    const std::vector<std::string> opening_{"remove_part", "strip", "inspect_substrate", "bed", "fasten"};
};

}  // namespace

std::string to_text(Strength strength) {
    return strength == Strength::hard ? "hard" : strength == Strength::firm ? "firm" : "soft";
}

std::string to_text(LagClock clock) {
    return clock == LagClock::elapsed ? "elapsed" : clock == LagClock::working ? "working" : "cure";
}

const std::vector<std::string>& rule_names() {
    static const std::vector<std::string> names{"look_before_touching",
                                                "isolate_before_opening",
                                                "damage_before_sealing",
                                                "cover_open_paths",
                                                "wash_before_cutting",
                                                "strip_clean_prime_apply_cure_test",
                                                "fasten_before_seal",
                                                "bed_before_cap",
                                                "insert_after_fasteners",
                                                "upstream_first",
                                                "roof_edge_before_wall",
                                                "no_water_on_uncured",
                                                "wet_work_first",
                                                "silicone_last",
                                                "one_family_per_joint",
                                                "slide_state",
                                                "slide_still_while_curing",
                                                "awning_off_and_on",
                                                "unmask_before_skin",
                                                "batch_same_place",
                                                "follow_the_shade",
                                                "no_walking_on_fresh_beads",
                                                "coating_after_cure",
                                                "test_low_to_high",
                                                "exits_and_vents_last_check",
                                                "cure_before_frost"};
    return names;
}

std::vector<Edge> edges_for(std::vector<Step>& steps, const Coach& coach, const Catalogue& catalogue) {
    return Rules(steps, coach, catalogue).take();
}

std::vector<Edge> without_dropped(std::vector<Edge> edges, const std::vector<Step>& steps,
                                  const std::vector<DroppedEdge>& dropped) {
    for (std::size_t i = 0; i < dropped.size(); ++i) {
        const DroppedEdge& drop = dropped[i];
        const std::string field = "dropped[" + std::to_string(i) + "]";
        if (drop.reason.empty()) throw_value_error(field + ".reason", "why this edge is dropped", "nothing");
        const auto matches = [&](const Edge& edge) {
            return edge.rule == drop.rule &&
                   (drop.from.empty() || steps[static_cast<std::size_t>(edge.from)].id == drop.from) &&
                   (drop.to.empty() || steps[static_cast<std::size_t>(edge.to)].id == drop.to);
        };
        const auto first = std::find_if(edges.begin(), edges.end(), matches);
        if (first == edges.end()) {
            const std::string near = nearest_name(drop.rule, rule_names());
            throw_value_error(field, "an edge of the plan",
                              drop.rule + " from \"" + drop.from + "\" to \"" + drop.to + "\"",
                              near.empty() || near == drop.rule ? "" : "did you mean " + near + "?");
        }
        for (const Edge& edge : edges)
            if (matches(edge) && edge.strength == Strength::hard)
                throw_value_error(field, "a firm or soft edge", "the hard rule " + drop.rule,
                                  "hard rules are never dropped");
        edges.erase(std::remove_if(edges.begin(), edges.end(), matches), edges.end());
    }
    return edges;
}

}  // namespace libseal
