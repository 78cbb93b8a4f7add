// From tasks to the steps of the whole job.

#include <algorithm>
#include <cmath>

#include "work/planning.hpp"

namespace libseal::detail {
namespace {

/// Room that is made for the steps of a task; more are no fault.
constexpr std::size_t steps_a_task = 14;

Minutes labour(const Job& job, const std::string& item, double quantity) {
    const SourcedValue& value = job.options.catalogue.at("labour/" + item);
    return {value.low * quantity, value.value * quantity, value.high * quantity};
}

void job_step(Job& job, const std::string& kind, const Minutes& minutes, const std::string& note,
              std::vector<std::string> cautions = {"alone"}) {
    Step step;
    step.id = "visit/" + kind;
    step.kind = kind;
    step.minutes = minutes;
    step.note = note;
    step.cautions = std::move(cautions);
    equip(step, job);
    job.plan.steps.push_back(std::move(step));
}

/// A part without a joint says nothing of what is behind it: whoever takes it off must reckon with all.
bool may_hide(const Task& task, const char* danger, const Catalogue& catalogue) {
    if (task.joint_type.empty()) return task.action == "replace_part";
    const auto& cautions = joint_type(catalogue, task.joint_type).cautions;
    return std::find(cautions.begin(), cautions.end(), danger) != cautions.end();
}

/// What is behind a joint that must be off before it is opened.
std::vector<std::string> live_behind(const Job& job, const std::vector<const Task*>& tasks) {
    std::vector<std::string> live;
    for (const char* danger : {"electricity", "gas"})
        for (const Task* task : tasks) {
            if (!may_hide(*task, danger, job.options.catalogue)) continue;
            live.push_back(danger);
            break;
        }
    return live;
}

void job_start(Job& job, const std::vector<const Task*>& tasks) {
    Minutes look = labour(job, "job_set_up", 1);
    const double own = job.shop.visit_setup_minutes;
    if (!std::isnan(own)) look = {own, own, own};
    const Minutes photos = labour(job, "photo_and_record", static_cast<double>(tasks.size()));
    job_step(job, "photograph", {look.low + photos.low, look.mode + photos.mode, look.high + photos.high},
             "level the coach, ladders and platform, note the weather, look at and photograph every "
             "joint of the order");
    if (const auto live = live_behind(job, tasks); !live.empty())
        job_step(job, "isolate", labour(job, "isolate", 1),
                 "shore power, generator, battery, solar and gas off; prove dead", live);
}

void add(Minutes& sum, const Step& step) {
    sum.low += step.minutes.low * step.people;
    sum.mode += step.minutes.mode * step.people;
    sum.high += step.minutes.high * step.people;
}

/// What may be done at a joint, with minutes and price of each.
std::vector<ActionOption> options_of(const Job& job, const Found& found) {
    std::vector<ActionOption> options;
    std::vector<Choice> choices = possible_actions(found.state, job.options.catalogue);
    std::erase_if(choices, [&](const Choice& c) { return c.action == found.choice.action; });
    choices.insert(choices.begin(), found.choice);
    for (const Choice& choice : choices) {
        Found one = task_for(*found.state.joint, job, choice, found.state);
        one.settings.part_is_off = found.settings.part_is_off;
        ActionOption option;
        option.action = choice.action;
        option.family = choice.family;
        option.chosen = options.empty();
        option.reason = option.chosen ? found.task.reason : choice.reason;
        std::vector<Step> steps = steps_for(choice, *found.state.joint, job.options.catalogue, 0, one.settings);
        equip(steps, job);
        for (const Step& step : steps) {
            add(option.minutes, step);
            if (step.kind == "cure") option.cure_hours = step.wait / 60;
        }
        option.cost = labour_cost(option.minutes, job.shop);
        const Money material = material_price(one.task, job);
        for (Money* part : {&option.cost.low, &option.cost.mode, &option.cost.high}) *part += material;
        options.push_back(std::move(option));
    }
    return options;
}

/// A temporary cover is never the last action: until when it holds, and from when the lasting one can be done.
void follow_up(Job& job, Task& task) {
    if (task.action != "temporary_cover") return;
    const Date from = job.work_day();
    task.cover_expires = from + static_cast<int>(job.options.catalogue.number("action/temporary_cover/days"));
    for (Date day = from; day < from + 366; day = day + 1)
        if (seals_on(job.shop, day) && works_on(job.shop, day)) {
            task.follow_up_from = day;
            break;
        }
    std::string text = place_of_task(task) + ": the temporary cover ends on " + to_text(task.cover_expires) + ", " +
                       plain_words(task.follow_up) + " follows";
    if (task.follow_up_from == Date{}) text += "; no day for it within a year at this shop";
    else text += " from " + to_text(task.follow_up_from) + " on";
    if (task.follow_up_from == Date{} || task.follow_up_from > task.cover_expires) text += "; look at the cover and renew it until then";
    job.plan.notes.push_back(text);
}

void add_task_steps(Job& job, Found found) {
    const Catalogue& catalogue = job.options.catalogue;
    const int index = static_cast<int>(job.plan.tasks.size());
    const PartWork* part = found.of_part;
    if (!part && !job.quick) found.task.options = options_of(job, found);
    follow_up(job, found.task);
    Task& task = found.task;
    std::vector<Step> steps = part ? part_steps(task.action, part->part, part->joint, catalogue, index)
                                   : steps_for(found.choice, joint_of(job.coach, task.joint), catalogue, index, found.settings);
    equip(steps, job);
    for (Step& step : steps) {
        task.steps.push_back(static_cast<int>(job.plan.steps.size()));
        add(task.minutes, step);
        for (const auto& id : step.cautions)
            if (std::find(task.cautions.begin(), task.cautions.end(), id) == task.cautions.end())
                task.cautions.push_back(id);
        job.plan.steps.push_back(std::move(step));
    }
    job.plan.tasks.push_back(std::move(task));
}

/// A task of another plan with its steps, as they are there.
void add_task_of(Job& job, const WorkPlan& from, std::size_t number) {
    const int index = static_cast<int>(job.plan.tasks.size());
    job.plan.tasks.push_back(from.tasks[number]);
    follow_up(job, job.plan.tasks.back());
    for (int& i : job.plan.tasks.back().steps) {
        job.plan.steps.push_back(from.steps[static_cast<std::size_t>(i)]);
        job.plan.steps.back().task = index;
        i = static_cast<int>(job.plan.steps.size()) - 1;
    }
}

void job_end(Job& job, std::size_t tasks) {
    if (std::any_of(job.plan.steps.begin(), job.plan.steps.end(),
                    [](const Step& s) { return s.kind == "water_test"; }))
        job_step(job, "water_test", labour(job, "hose_test_set_up", 1),
                 "hose, nozzle and gauge; fixed joints only, never a pressure washer");
    job_step(job, "function_check", labour(job, "function_check", static_cast<double>(tasks)),
             "exits open fully, vents and drains free, slide-outs, lights and doors work", {"exits", "gas"});
    job_step(job, "record", labour(job, "job_tear_down", 1),
             "photographs after, batch and weather, tear-down and waste");
}

bool is_held(const std::string& skill, const Shop& shop) {
    return std::any_of(shop.people.begin(), shop.people.end(), [&](const Person& person) {
        return std::find(person.skills.begin(), person.skills.end(), skill) != person.skills.end();
    });
}

}  // namespace

void check_crew(Job& job) {
    std::map<std::string, int> licensed;
    int pairs = 0;
    for (const Step& step : job.plan.steps) {
        if (step.people > static_cast<int>(job.shop.people.size())) ++pairs;
        for (const std::string& skill : step.skills)
            if (const auto known = licensed.find(skill); known != licensed.end()) ++known->second;
            else if (!is_held(skill, job.shop)) licensed[skill] = 1;
    }
    for (const auto& [skill, count] : licensed)
        job.plan.warnings.push_back("licensed person: " + skill + " is nobody's skill at this shop; " + std::to_string(count) +
                                    (count == 1 ? " step needs" : " steps need") + " somebody qualified to do or to check it");
    if (pairs > 0)
        job.plan.warnings.push_back("second person: " + std::to_string(pairs) +
                                    (pairs == 1 ? " step needs two" : " steps need two") + ", the shop has one");
    if (job.quick) return;  // parts of the plan count again
    for (Step& step : job.plan.steps) std::erase_if(step.skills, [&](const std::string& skill) { return licensed.count(skill) > 0; });
}

void add_steps(Job& job, std::vector<Found> found) {
    std::vector<const Task*> tasks;
    for (const Found& one : found) tasks.push_back(&one.task);
    job.plan.tasks.reserve(found.size());
    job.plan.steps.reserve(steps_a_task * found.size());
    job_start(job, tasks);
    for (Found& one : found) add_task_steps(job, std::move(one));
    job_end(job, found.size());
}

void add_steps(Job& job, const WorkPlan& from, const std::vector<std::size_t>& numbers) {
    std::vector<const Task*> tasks;
    for (const std::size_t i : numbers) tasks.push_back(&from.tasks[i]);
    job.plan.tasks.reserve(numbers.size());
    job.plan.steps.reserve(steps_a_task * numbers.size());
    job_start(job, tasks);
    for (const std::size_t i : numbers) add_task_of(job, from, i);
    job_end(job, numbers.size());
}

}  // namespace libseal::detail
