#pragma once
// What the parts of `plan_work` hand on to each other: looks, then tasks, then steps, then money.

#include <deque>
#include <map>
#include <string>
#include <vector>

#include "libseal/work/plan.hpp"
#include "work/step_tables.hpp"

namespace libseal::detail {

/// Looks at one joint since its layers were last renewed.
struct Look {
    Date date{};
    std::vector<Finding> findings;
    Grade grade;
    UrgencyAnswer answer;
};

/// A part with what was seen of it alone.
struct PartWork {
    std::string id;               ///< of the part, or of the joint where the coach has no part
    const Part* part = nullptr;
    const Joint* joint = nullptr; ///< that seals it, the longest one
    std::vector<Finding> findings;
};

/// Findings of one coach, each at the joint or part that it speaks of.
struct Seen {
    std::deque<Finding> own;
    std::map<std::string, std::vector<const Finding*>> of_joint;
    std::map<std::string, PartWork> of_part;
};

/// One plan in the making: what it is made from, and what there is of it.
struct Job {
    const Coach& coach;
    const Forecast& forecast;
    const Shop& shop;
    const PlanOptions& options;
    const StepTables& tables = options.catalogue.derived<StepTables>();
    Seen seen{};
    std::map<std::string, std::vector<Eigen::Index>> rows{};  ///< of the forecast, by joint
    WorkPlan plan{};
    bool quick = false;  ///< without alternatives of each task and without order

    Date work_day() const { return options.work_day.days == 0 ? plan.as_of : options.work_day; }
    Date due_before() const { return options.due_before.days == 0 ? plan.as_of + 365 : options.due_before; }
    /// At the work [degC].
    double temperature() const;
};

/// A task before it has steps.
struct Found {
    Task task;
    Choice choice;
    StepSettings settings;
    JointState state;                 ///< that the choice was made from; empty for parts
    const PartWork* of_part = nullptr;
    std::vector<std::string> warnings{};  ///< what must be known before anybody starts at it
};

/// Where one stands at a joint or part, and how that stretches the minutes of steps there.
struct Standing {
    const char* reach = "";
    double factor = 1;
};

// plan.cpp
/// Tasks, steps, minutes, prices and cautions as `plan_work`, without order, edges, alternatives and tools: for calendars of many
/// coaches. Steps that only the order adds (moves of slide-outs) are not in it. The shop is taken as it is, not checked.
WorkPlan quick_plan(const Coach& coach, const std::vector<Finding>& findings, const Forecast& forecast, const Shop& shop, Date as_of,
                    const PlanOptions& options);

/// The work of one coach, found once, of which each visit takes some tasks.
class CoachWork {
public:
    /// As `quick_plan`. All but `findings` must outlive it.
    CoachWork(const Coach& coach, const std::vector<Finding>& findings, const Forecast& forecast, const Shop& shop, Date as_of,
              const PlanOptions& options);
    const WorkPlan& all() const { return all_; }
    /// As a `quick_plan` of some tasks alone, by their indices in `all`, rising, at the prices of another shop.
    WorkPlan part(const std::vector<std::size_t>& tasks, const Shop& shop) const;

private:
    const Coach& coach_;
    const Forecast& forecast_;
    const PlanOptions& options_;
    std::vector<std::string> general_;  ///< warnings that no task brings
    /// Warnings of the tasks that have any: number of the task in `all`, texts; in the order in which tasks are found.
    std::vector<std::pair<std::size_t, std::vector<std::string>>> warnings_;
    WorkPlan all_;
};

// plan_looks.cpp
/// @throws ValueError  a finding after `as_of`, of an unknown joint or part.
Seen sort_findings(const Coach& coach, const std::vector<Finding>& findings, Date as_of, const Catalogue& catalogue);
/// Newest first; looks before a repair of the joint are left out.
std::vector<Look> looks_at(const Joint& joint, const Job& job, const JointType& type);
/// The look that counts: the newest, unless an older one was urgent and nothing has been done since (then `older`).
const Look* deciding_look(const std::vector<Look>& looks, bool& older);
/// Looks at a part alone, newest first.
std::map<Date, std::vector<Finding>, std::greater<>> looks_at(const PartWork& work, const Job& job);
/// Beads on top of each other: one, and one for each bead laid over it since it was last cut out.
int beads_in_place(const Joint& joint, const std::string& coach, const std::vector<WorkDone>& work_done);

// plan_tasks.cpp
/// What is known of a joint: its deciding look, and layers due up to a day.
JointState state_of(const Joint& joint, const Job& job, const Look* look, Date due_before);
/// Work on joints and parts that is seen or due; what needs none goes to the plan's watch list.
std::vector<Found> find_tasks(Job& job);
/// A task for a choice, with length, volume and settings; urgency, due date and notes are the caller's.
Found task_for(const Joint& joint, const Job& job, Choice choice, JointState state);

// early_work.cpp
/// Joints due later that are done now because their part is off or the set-up is there: see docs/work.md.
/// @param found  A new bead that would soon come off again for its bedding becomes a re-bed in it.
std::vector<Found> find_early_work(const Job& job, std::vector<Found>& found);

// plan_steps.cpp
/// Steps of the job and of all tasks, with what each needs.
void add_steps(Job& job, std::vector<Found> found);
/// Steps of the job and of some tasks of another plan that has been made without order.
void add_steps(Job& job, const WorkPlan& from, const std::vector<std::size_t>& tasks);
/// What nobody of the shop may do, or not alone: said, and left to the shop.
void check_crew(Job& job);

// cautions.cpp
/// Ids that apply to a step at a place, in order.
/// @param place  Ids of all that is to be heeded at the place, as a joint type lists them.
std::vector<std::string> cautions_at(const Step& step, const std::vector<std::string>& place);
/// Ids of what is to be heeded at a surface, whatever is worked on there.
std::vector<std::string> cautions_of_place(const std::string& surface, const std::string& slide);

// step_needs.cpp
Standing standing_at(const Step& step, const Job& job);
/// Where one stands, weather, skills, tools, and minutes by the conditions.
/// @param standing  That of another step at the same place.
void equip(Step& step, const Job& job, const Standing& standing);
void equip(Step& step, const Job& job);
/// Equips the steps of a task, which all are at one place.
void equip(std::vector<Step>& steps, const Job& job);

// plan_money.cpp
/// Price of a task's material by volume or length, with waste and markup.
Money material_price(const Task& task, const Job& job);
/// Material, supplies, minutes and prices.
void add_money(Job& job);
/// Of labour, in minor units.
Money labour_cost(double person_minutes, const Shop& shop);
Cost labour_cost(const Minutes& minutes, const Shop& shop);

/// A word of the word list as people read it.
std::string plain_words(std::string word);
/// Words of a catalogue value that lists some, separated by blanks; none for "none".
std::vector<std::string> listed_words(const Catalogue& catalogue, const std::string& id);

}  // namespace libseal::detail
