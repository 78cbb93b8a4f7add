#pragma once
// The order of a job in the making: what the rules look at and where they put their edges.

#include <deque>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "libseal/work/rules.hpp"
#include "work/areas.hpp"

namespace libseal::detail {

/// The steps of one task, by index; -1 for what it does not have.
struct JointWork {
    JointPlace place;
    std::vector<int> steps;
    int wash = -1, cut = -1, last_cut = -1, prime = -1, fasten = -1, seal_fasteners = -1, bed = -1, cap = -1, unmask = -1;
    int first_bead = -1, last_bead = -1, cure = -1, test = -1, cover = -1, survey = -1, tape = -1, coat = -1;
    std::string family;     ///< of its last bead
    bool silicone = false;
    bool of_part = false;   ///< work on a part alone
    bool live = false;      ///< wires or gas behind it
};

/// Two works of which the first drains over the second.
struct Stream {
    const JointWork* upper = nullptr;
    const JointWork* lower = nullptr;
};

/// Why one step waits for another.
struct Why {
    std::string rule;
    Strength strength = Strength::hard;
    std::string reason;
    double lag = 0;
    LagClock clock = LagClock::elapsed;
    double longest = std::numeric_limits<double>::infinity();
};

class OrderDraft {
public:
    OrderDraft(std::vector<Step>& steps, const Coach& coach, const Catalogue& catalogue, const OrderOptions& options,
               const std::vector<Edge>& given);

    const Coach& coach;
    const Catalogue& catalogue;
    const OrderOptions& options;

    const std::vector<JointWork>& works() const { return works_; }
    /// Works by the area that they lie in.
    std::map<std::string, std::vector<const JointWork*>> areas() const;
    const Step& at(int step) const { return steps_[static_cast<std::size_t>(step)]; }
    /// Step of the whole job, -1 for none.
    int job(const std::string& kind) const;
    double gate(const std::string& name) const;

    /// Hard edges are added at once, others when all hard ones are there.
    void edge(int from, int to, const Why& why);
    /// All of `before` ahead of all of `after`: m + n edges through a mark instead of m times n.
    void ahead(const std::vector<int>& before, const std::vector<int>& after, const std::string& name, const Why& why);
    /// A mark in time that stands between many steps and many others.
    int mark(const std::string& name);
    /// What drains over what, by the drainage graph of the coach or, on one upright surface, by height and overlap.
    const std::vector<Stream>& streams();
    /// A step of the whole job that the coach needs besides. Number of the step.
    int add_step(Step step);
    void warn(const std::string& text) { warnings_.push_back(text); }

    /// Adds the edges that waited, firm before soft, without those that would close a loop.
    void settle();
    /// Place of each step in an order that heeds all edges so far; of steps that may come next the lower rank comes.
    std::vector<int> places(const std::vector<int>& rank) const;
    StepOrder take();

private:
    struct Group {
        std::vector<int> before, after;
        std::string name;
        Why why;
    };
    const Joint& place_of_step(const Step& step);
    void note(JointWork& work, const Step& step, int i);
    void put(int from, int to, const Why& why);
    void put_all(const Group& group);
    void put_waiting(const Group& group);
    std::vector<char> reached_from(int step) const;

    std::vector<Step>& steps_;
    std::vector<JointWork> works_;
    std::deque<Joint> stand_ins_;
    std::map<std::string, int> job_;
    std::vector<Edge> edges_;
    std::vector<std::vector<int>> after_;  ///< what follows each step by the edges so far
    std::vector<Group> waiting_;
    std::vector<Edge> gave_way_;
    std::optional<std::vector<Stream>> streams_;
    std::vector<std::string> warnings_;
};

using RuleFunction = void (*)(OrderDraft&);

// joint_rules.cpp
void wash_before_cutting(OrderDraft& draft);
void strip_clean_prime_apply_cure_test(OrderDraft& draft);
void fasten_before_seal(OrderDraft& draft);
void bed_before_cap(OrderDraft& draft);
void insert_after_fasteners(OrderDraft& draft);
void unmask_before_skin(OrderDraft& draft);
void one_family_per_joint(OrderDraft& draft);
// job_rules.cpp
void look_before_touching(OrderDraft& draft);
void isolate_before_opening(OrderDraft& draft);
void damage_before_sealing(OrderDraft& draft);
void cover_open_paths(OrderDraft& draft);
void coating_after_cure(OrderDraft& draft);
void exits_and_vents_last_check(OrderDraft& draft);
void cure_before_frost(OrderDraft& draft);
// water_rules.cpp
std::vector<Stream> streams_of(const OrderDraft& draft);
void upstream_first(OrderDraft& draft);
void roof_edge_before_wall(OrderDraft& draft);
void no_water_on_uncured(OrderDraft& draft);
void wet_work_first(OrderDraft& draft);
void test_low_to_high(OrderDraft& draft);
// moving_rules.cpp
void slide_state(OrderDraft& draft);
void slide_still_while_curing(OrderDraft& draft);
void awning_off_and_on(OrderDraft& draft);
// bead_rules.cpp
void silicone_last(OrderDraft& draft);
void no_walking_on_fresh_beads(OrderDraft& draft);
void batch_same_place(OrderDraft& draft);
void follow_the_shade(OrderDraft& draft);

}  // namespace libseal::detail
