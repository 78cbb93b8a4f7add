#include "libseal/work/plan.hpp"

#include <algorithm>
#include <cmath>
#include <deque>
#include <map>
#include <set>
#include <tuple>

#include "libseal/catalogue/sealant.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"

namespace libseal {
namespace {

/// Looks at one joint since its layers were last renewed, newest first.
struct Look {
    Date date{};
    std::vector<Finding> findings;
    Grade grade;
    UrgencyAnswer answer;
};

bool repairs(const WorkDone& work) {
    static const std::vector<std::string> no_repair{"monitor", "clean_and_condition", "temporary_cover",
                                                    "damage_survey"};
    return !work.declined && std::find(no_repair.begin(), no_repair.end(), work.action) == no_repair.end();
}

/// Was the layer renewed, or the place repaired, after the look?
bool outdated(const Finding& finding, const Joint& joint, const std::vector<WorkDone>& work_done) {
    for (const WorkDone& work : work_done)
        if (repairs(work) && work.coach == finding.coach && work.joint == finding.joint &&
            finding.date <= work.date &&
            (finding.layer.empty() || work.layer.empty() || finding.layer == work.layer ||
             work.action == "rebed"))
            return true;
    for (const Layer& layer : joint.layers)
        if (layer.generation > 1 && finding.date <= layer.installed_from &&
            (finding.layer.empty() || finding.layer == layer.kind))
            return true;
    return false;
}

std::vector<Look> looks_at(const Joint& joint, const std::vector<const Finding*>& findings,
                           const JointType& type, const PlanOptions& options, Date as_of) {
    const Catalogue& catalogue = options.catalogue;
    std::map<Date, std::vector<Finding>, std::greater<>> by_date;
    for (const Finding* finding : findings)
        if (!outdated(*finding, joint, options.work_done)) by_date[finding->date].push_back(*finding);
    std::vector<Look> looks;
    for (auto& [date, list] : by_date) {
        Look look{date, list, grade_of_joint(list, joint, catalogue), {}};
        if (look.grade.inspected)
            look.answer = judge(look.grade, list, type, options.exposed_soon, catalogue, as_of, options.work_done);
        looks.push_back(std::move(look));
    }
    return looks;
}

/// A part with what was seen of it alone.
struct PartWork {
    std::string id;               ///< of the part, or of the joint where the coach has no part
    const Part* part = nullptr;
    const Joint* joint = nullptr; ///< that seals it, the longest one
    std::vector<Finding> findings;
};

const Part* part_at(const Coach& coach, const std::string& id) {
    for (const Part& part : coach.parts)
        if (part.id == id) return &part;
    return nullptr;
}

const Joint* joint_round(const Coach& coach, const std::string& part) {
    const Joint* longest = nullptr;
    for (const Joint& joint : coach.joints)
        if (joint.part == part && (!longest || joint.length > longest->length)) longest = &joint;
    return longest;
}

/// Repaired after the look?
bool outdated(const Finding& finding, const PartWork& work, const std::vector<WorkDone>& work_done) {
    return std::any_of(work_done.begin(), work_done.end(), [&](const WorkDone& done) {
        const bool freed = finding.sign == "sealed_shut" && done.action == "clean_and_condition" && !done.declined;
        const bool here = (work.part && done.part == work.part->id) ||
                          (work.joint && done.part.empty() && done.joint == work.joint->id && done.action != "touch_up");
        return done.coach == finding.coach && here && finding.date <= done.date && (repairs(done) || freed);
    });
}

/// The look that counts: the newest, unless an older one was urgent and nothing has been done since.
const Look* deciding_look(const std::vector<Look>& looks, bool& older) {
    const Look* chosen = nullptr;
    older = false;
    for (const Look& look : looks) {
        if (!look.grade.inspected) continue;
        if (!chosen)
            chosen = &look;
        else if (look.answer.urgency >= Urgency::within_30_days && look.answer.urgency > chosen->answer.urgency)
            chosen = &look, older = true;
    }
    return chosen;
}

/// Last day of what was seen; what has no day of its own waits for the next service at most.
Date due_of(const UrgencyAnswer& answer, Date as_of, const Catalogue& catalogue) {
    const Date service = as_of + static_cast<int>(catalogue.number("urgency/days/next_service"));
    return answer.act_by == Date{} ? service : std::max(answer.act_by, as_of);
}

class Planner {
public:
    Planner(const Coach& coach, const std::vector<Finding>& findings, const Forecast& forecast,
            const Shop& shop, Date as_of, const PlanOptions& options)
        : coach_(coach), forecast_(forecast), shop_(shop), options_(options) {
        plan_.coach = coach.id;
        plan_.as_of = as_of;
        plan_.currency = shop.currency;
        for (const Finding& finding : findings)
            if (finding.coach == coach.id) {
                if (finding.date > as_of)
                    throw_value_error("findings", "looks up to " + to_text(as_of),
                                      "one of " + to_text(finding.date) + " at " + finding.joint + finding.part);
                take(finding);
            }
        plan_.warnings = not_inspected(findings, coach.id, as_of);
        for (const Eigen::Index row : forecast.rows_of(coach.id))
            rows_[forecast.joint[static_cast<std::size_t>(row)]].push_back(row);
    }

    WorkPlan take() {
        const std::set<std::string> only(options_.joints.begin(), options_.joints.end()),
            only_parts(options_.parts.begin(), options_.parts.end());
        const bool all = only.empty() && only_parts.empty();
        for (const auto& id : only) joint_of(coach_, id);
        for (const auto& [id, family] : options_.families) joint_of(coach_, id);
        ProgressReporter reporter(options_.watch, "work plan");
        for (std::size_t j = 0; j < coach_.joints.size(); ++j) {
            reporter.tick(static_cast<double>(j) / static_cast<double>(coach_.joints.size()));
            if (all || only.count(coach_.joints[j].id)) consider(coach_.joints[j]);
        }
        for (const auto& [id, work] : parts_)
            if (all || only_parts.count(id)) consider(work);
        std::stable_sort(found_.begin(), found_.end(), [](const Found& a, const Found& b) {
            if (a.task.urgency != b.task.urgency) return a.task.urgency > b.task.urgency;
            if (a.task.due != b.task.due) return a.task.due < b.task.due;
            return std::tie(a.task.joint, a.task.part) < std::tie(b.task.joint, b.task.part);
        });
        if (!found_.empty()) {
            job_start();
            for (const Found& found : found_) add_steps(found);
            job_end();
            order();
            money();
            cautions();
        }
        plan_.closing = closing_line(options_.catalogue);
        return std::move(plan_);
    }

private:
    struct Found {
        Task task;
        Choice choice;
        StepSettings settings;
        const PartWork* of_part = nullptr;
    };

    /// To the joint it speaks of; what is work on a part alone to the part.
    void take(const Finding& finding) {
        const Joint* joint = finding.joint.empty() ? joint_round(coach_, finding.part) : &joint_of(coach_, finding.joint);
        const std::string part = finding.part.empty() && joint ? joint->part : finding.part;
        const Part* known = part_at(coach_, part);
        if (!finding.part.empty() && !known) {
            std::vector<std::string> ids;
            for (const Part& one : coach_.parts) ids.push_back(one.id);
            const std::string near = nearest_name(finding.part, ids);
            throw_value_error("findings", "a part of coach " + coach_.id, "\"" + finding.part + "\"",
                              near.empty() ? "" : "did you mean \"" + near + "\"?");
        }
        if (!joint && !known) throw_value_error("findings", "a joint or a part", "a finding with neither");
        own_.push_back(finding);
        own_.back().joint = joint ? joint->id : "";
        const std::string sign = "grade/sign/" + finding.sign + "/";
        if (joint && !options_.catalogue.has(sign + "of_part")) {
            findings_[joint->id].push_back(&own_.back());
            return;
        }
        PartWork& work = parts_[known ? known->id : joint->id];
        work.id = known ? known->id : joint->id;
        work.part = known;
        work.joint = known && joint_round(coach_, known->id) ? joint_round(coach_, known->id) : joint;
        own_.back().joint = work.joint ? work.joint->id : "";
        own_.back().part = work.part ? work.part->id : "";
        work.findings.push_back(own_.back());
    }

    /// What the signs ask for: freeing goes before a new part, a new part before new screws.
    std::string part_action(const std::vector<Finding>& findings, const Grade& seen) const {
        if (seen.damage >= 1) return "damage_survey";
        for (const char* action : {"clean_and_condition", "replace_part", "refasten_and_seal"})
            if (asks_for(findings, action, options_.catalogue)) return action;
        return asks_for(findings, "rebed", options_.catalogue) ? "replace_part" : "monitor";
    }

    void consider(const PartWork& work) {
        JointType type;
        if (work.joint) type = joint_type(options_.catalogue, work.joint->type);
        else type.consequence = static_cast<int>(options_.catalogue.number("urgency/part_consequence")), type.bedding = "unknown";
        std::map<Date, std::vector<Finding>, std::greater<>> by_date;
        for (const Finding& finding : work.findings)
            if (!outdated(finding, work, options_.work_done)) by_date[finding.date].push_back(finding);
        for (const auto& [date, list] : by_date) {  // newest first; each sign may be of its own day, the worst decides
            const Grade seen = grade(list, type, options_.catalogue);
            if (!seen.inspected) continue;
            const std::string action = part_action(list, seen);
            if (action != "monitor") return add_task(work, type, list, seen, action);
        }
        if (!by_date.empty()) plan_.watched.push_back({work.id, "", reasons_of(grade(by_date.begin()->second, type, options_.catalogue))});
    }

    static std::string reasons_of(const Grade& seen) {
        std::string text;
        for (const auto& reason : seen.reasons) text += (text.empty() ? "" : "; ") + reason;
        return text;
    }

    void add_task(const PartWork& work, const JointType& type, const std::vector<Finding>& findings, const Grade& seen,
                  const std::string& action) {
        Found found;
        found.of_part = &work;
        found.choice.action = action;
        Task& task = found.task;
        task.coach = coach_.id;
        task.joint = work.joint ? work.joint->id : "";
        task.part = work.id;
        task.joint_type = type.name;
        task.action = action;
        task.reason = reasons_of(seen);
        task.observed = true;
        const UrgencyAnswer answer = judge(seen, findings, type, options_.exposed_soon, options_.catalogue, plan_.as_of, options_.work_done);
        task.urgency = std::max(answer.urgency, Urgency::next_service);
        task.due = due_of(answer, plan_.as_of, options_.catalogue);
        note_answer(task, answer);
        found_.push_back(std::move(found));
    }

    /// What must be known beside the task: what is isolated, what is shut, what needs a signature.
    void note_answer(const Task& task, const UrgencyAnswer& answer) {
        const std::string& place = place_of_task(task);
        if (answer.isolate)
            plan_.warnings.push_back(place + ": isolate electrical and fuel equipment here; out of use until a qualified person has checked it");
        if (answer.safety) plan_.warnings.push_back(place + ": sealed shut; a way out or an exhaust is freed before the coach is used");
        if (answer.needs_signature) plan_.warnings.push_back(place + ": declined although it is at once; a signed line is needed");
    }

    Date work_day() const { return options_.work_day.days == 0 ? plan_.as_of : options_.work_day; }
    Date due_before() const {
        return options_.due_before.days == 0 ? plan_.as_of + 365 : options_.due_before;
    }

    void consider(const Joint& joint) {
        const JointType type = joint_type(options_.catalogue, joint.type);
        JointState state;
        state.joint = &joint;
        state.surface =
            &surface_of(coach_, joint.surface, joint.surface.compare(0, 6, "slide_") == 0 ? joint.slide : "");
        state.sealing_allowed = seals_on(shop_, work_day());
        state.no_sealing = no_sealing_reason(shop_, work_day());
        if (const auto at = options_.families.find(joint.id); at != options_.families.end())
            state.wanted_family = at->second;
        const auto seen = findings_.find(joint.id);
        const std::vector<Look> looks =
            seen == findings_.end() ? std::vector<Look>{} : looks_at(joint, seen->second, type, options_, plan_.as_of);
        bool older = false;
        const Look* look = deciding_look(looks, older);
        if (look) state.grade = look->grade, state.findings = look->findings;
        take_forecast(joint, state);
        Choice choice = choose_action(state, options_.catalogue);
        if (older)
            choice.reason +=
                "; seen on " + to_text(look->date) + ", not in the later look, and nothing done since";
        if (choice.action == "monitor") {
            if (!look && !looks.empty())
                choice.reason = "not inspected: " + looks.front().findings.front().reason;
            plan_.watched.push_back({joint.id, choice.layer, choice.reason});
            return;
        }
        add_task(joint, state, look, choice);
    }

    void take_forecast(const Joint& joint, JointState& state) {
        const auto rows = rows_.find(joint.id);
        if (rows == rows_.end()) return;
        for (const Eigen::Index row : rows->second) {
            const Date due{forecast_.due_50(row)};
            if (due > due_before()) continue;
            if (state.due.empty() || due < state.due_date) state.due_date = due;
            state.due.push_back(forecast_.layer[static_cast<std::size_t>(row)]);
        }
    }

    void add_task(const Joint& joint, const JointState& state, const Look* look, const Choice& choice) {
        Found found;
        Task& task = found.task;
        task.coach = coach_.id;
        task.joint = joint.id;
        task.joint_type = joint.type;
        task.layer = choice.layer;
        if (const Layer* layer = layer_of(joint, choice.layer)) task.generation = layer->generation;
        task.action = choice.action;
        task.renewed = choice.renewed;
        task.family = choice.family;
        task.bedding = choice.bedding;
        task.reason = choice.reason;
        task.refused = choice.refused;
        task.observed =
            look != nullptr && (look->grade.worst() >= 1 || look->grade.damage >= 1 || look->answer.urgency == Urgency::at_once);
        task.urgency = look ? look->answer.urgency : Urgency::next_inspection;
        task.due = task.observed ? due_of(look->answer, plan_.as_of, options_.catalogue) : state.due_date;
        if (!state.due.empty()) {
            task.due = std::min(task.due, std::max(state.due_date, plan_.as_of));
            if (state.due_date <= plan_.as_of) task.urgency = std::max(task.urgency, Urgency::next_service);
        }
        task.cover_now = state.grade.open_path == OpenPath::yes && choice.action != "temporary_cover";
        if (look) note_answer(task, look->answer);
        found.settings.temperature = shop_.bay_temperature;
        found.settings.longest_cure_wait = options_.longest_cure_wait;
        found.settings.touched = choice.action == "touch_up" ? touched_share(state.findings) : 1.0;
        task.length = joint.length * found.settings.touched;
        if (!choice.family.empty()) {
            const JointType type = joint_type(options_.catalogue, joint.type);
            task.volume_ml = bead_volume_ml(bead_of(joint, type), task.length);
        }
        found.choice = choice;
        found_.push_back(std::move(found));
    }

    Minutes labour(const std::string& item, double quantity) const {
        const SourcedValue& value = options_.catalogue.at("labour/" + item);
        return {value.low * quantity, value.value * quantity, value.high * quantity};
    }

    void job_step(const std::string& kind, const Minutes& minutes, const std::string& note) {
        Step step;
        step.id = "visit/" + kind;
        step.kind = kind;
        step.minutes = minutes;
        step.note = note;
        step.cautions = {"alone"};
        plan_.steps.push_back(std::move(step));
    }

    bool needs_isolation(const Found& found) const {
        if (found.task.joint_type.empty()) return false;
        for (const auto& id : joint_type(options_.catalogue, found.task.joint_type).cautions)
            if (id == "electricity" || id == "gas") return true;
        return false;
    }

    void job_start() {
        Minutes look = labour("job_set_up", 1);
        if (!std::isnan(shop_.visit_setup_minutes))
            look = {shop_.visit_setup_minutes, shop_.visit_setup_minutes, shop_.visit_setup_minutes};
        const Minutes photos = labour("photo_and_record", static_cast<double>(found_.size()));
        job_step("photograph", {look.low + photos.low, look.mode + photos.mode, look.high + photos.high},
                 "level the coach, ladders and platform, note the weather, look at and photograph every "
                 "joint of the order");
        if (std::any_of(found_.begin(), found_.end(), [&](const Found& f) { return needs_isolation(f); })) {
            job_step("isolate", labour("isolate", 1),
                     "shore power, generator, battery, solar and gas off; prove dead");
            plan_.steps.back().cautions = {"electricity", "gas"};
        }
    }

    void add_steps(const Found& found) {
        const int index = static_cast<int>(plan_.tasks.size());
        Task task = found.task;
        const PartWork* part = found.of_part;
        for (Step& step :
             part ? part_steps(task.action, part->part, part->joint, options_.catalogue, index)
                  : steps_for(found.choice, joint_of(coach_, task.joint), options_.catalogue, index, found.settings)) {
            task.steps.push_back(static_cast<int>(plan_.steps.size()));
            task.minutes.low += step.minutes.low * step.people;
            task.minutes.mode += step.minutes.mode * step.people;
            task.minutes.high += step.minutes.high * step.people;
            for (const auto& id : step.cautions)
                if (std::find(task.cautions.begin(), task.cautions.end(), id) == task.cautions.end())
                    task.cautions.push_back(id);
            plan_.steps.push_back(std::move(step));
        }
        plan_.tasks.push_back(std::move(task));
    }

    void job_end() {
        if (std::any_of(plan_.steps.begin(), plan_.steps.end(),
                        [](const Step& s) { return s.kind == "water_test"; }))
            job_step("water_test", labour("hose_test_set_up", 1),
                     "hose, nozzle and gauge; fixed joints only, never a pressure washer");
        job_step("function_check", labour("function_check", static_cast<double>(found_.size())),
                 "exits open fully, vents and drains free, slide-outs, lights and doors work");
        plan_.steps.back().cautions = {"exits", "gas"};
        job_step("record", labour("job_tear_down", 1),
                 "photographs after, batch and weather, tear-down and waste");
    }

    void order() {
        plan_.edges = without_dropped(edges_for(plan_.steps, coach_, options_.catalogue), plan_.steps,
                                      options_.dropped);
        plan_.order = ordered_steps(plan_.steps, plan_.edges);
        plan_.drawn_edges = reduced_edges(plan_.steps, plan_.edges);
        for (const DroppedEdge& drop : options_.dropped)
            plan_.notes.push_back("dropped " + drop.rule + ": " + drop.reason);
    }

    Money labour_cost(double person_minutes) const {
        return static_cast<Money>(
            std::llround(person_minutes * static_cast<double>(shop_.labour_rate_per_h) / 60));
    }

    Cost labour_cost(const Minutes& m) const {
        return {labour_cost(m.low), labour_cost(m.mode), labour_cost(m.high)};
    }

    void add_material(std::map<std::string, Material>& all, const std::string& family, double volume,
                      double length) const {
        Material& material = all[family];
        material.family = family;
        material.volume_ml += volume;
        material.length_m += length;
    }

    void take_off() {
        std::map<std::string, Material> all;
        for (const Task& task : plan_.tasks) {
            if (!task.family.empty()) add_material(all, task.family, task.volume_ml, task.length);
            if (!task.bedding.empty()) add_material(all, task.bedding, 0, task.length);
            for (const auto& kind : task.renewed) {
                const Layer* layer = layer_of(joint_of(coach_, task.joint), kind);
                if (layer && kind != "cap_bead" && kind != "bedding")
                    add_material(all, layer->family, 0, task.length);
            }
            if (task.action == "temporary_cover") add_material(all, "seam_tape", 0, task.length);
        }
        const Catalogue& c = options_.catalogue;
        for (auto& [family, material] : all) {
            const bool bead = material.volume_ml > 0;
            const double own =
                std::isnan(shop_.waste_percent) ? c.number("take_off/waste_long") * 100 : shop_.waste_percent;
            material.waste_percent = bead ? own : c.number("take_off/tape_waste") * 100;
            material.package_size = bead ? sealant(c, family).package_ml : c.number("take_off/butyl_roll_m");
            material.packages = packages_for(bead ? material.volume_ml : material.length_m,
                                             material.package_size, material.waste_percent);
            const auto price = shop_.package_price.find(family);
            material.priced = price != shop_.package_price.end();
            if (material.priced)
                material.cost = price->second * material.packages;
            else
                plan_.notes.push_back("the shop has no price for " + family + ": its " +
                                      std::to_string(material.packages) + " packages are not in the sum");
            plan_.material += material.cost;
            plan_.materials.push_back(material);
        }
    }

    /// A task's part of the packages of its families, by volume or length.
    Money material_share(const Task& task) const {
        double share = 0;
        for (const Material& m : plan_.materials) {
            if (m.family == task.family && m.volume_ml > 0)
                share += static_cast<double>(m.cost) * task.volume_ml / m.volume_ml;
            else if (m.family == task.bedding && m.length_m > 0)
                share += static_cast<double>(m.cost) * task.length / m.length_m;
        }
        return static_cast<Money>(std::llround(share));
    }

    void money() {
        take_off();
        for (const Step& step : plan_.steps) {
            plan_.minutes.low += step.minutes.low * step.people;
            plan_.minutes.mode += step.minutes.mode * step.people;
            plan_.minutes.high += step.minutes.high * step.people;
        }
        for (Task& task : plan_.tasks) {
            task.cost = labour_cost(task.minutes);
            const Money share = material_share(task);
            for (Money* part : {&task.cost.low, &task.cost.mode, &task.cost.high}) *part += share;
        }
        plan_.labour = labour_cost(plan_.minutes);
        const auto total = [&](Money labour_part) {
            const Money before = std::max(labour_part + plan_.material, shop_.minimum_charge);
            return before +
                   static_cast<Money>(std::llround(static_cast<double>(before) * shop_.tax_percent / 100));
        };
        plan_.total = {total(plan_.labour.low), total(plan_.labour.mode), total(plan_.labour.high)};
    }

    void cautions() {
        std::vector<std::string> ids;
        for (const Step& step : plan_.steps)
            for (const auto& id : step.cautions)
                if (std::find(ids.begin(), ids.end(), id) == ids.end()) ids.push_back(id);
        plan_.cautions = caution_texts(ids, options_.catalogue);
        for (const Task& task : plan_.tasks)
            if (task.cover_now)
                plan_.notes.push_back(task.joint + " is open: cover it today, whatever the day of the work");
    }

    const Coach& coach_;
    const Forecast& forecast_;
    const Shop& shop_;
    const PlanOptions& options_;
    WorkPlan plan_;
    std::deque<Finding> own_;  ///< findings of this coach, each at its joint
    std::map<std::string, std::vector<const Finding*>> findings_;
    std::map<std::string, PartWork> parts_;
    std::map<std::string, std::vector<Eigen::Index>> rows_;
    std::vector<Found> found_;
};

}  // namespace

const std::string& place_of_task(const Task& task) { return task.part.empty() ? task.joint : task.part; }

WorkPlan plan_work(const Coach& coach, const std::vector<Finding>& findings, const Forecast& forecast,
                   const Shop& shop, Date as_of, const PlanOptions& options) {
    check_shop(shop);
    return Planner(coach, findings, forecast, shop, as_of, options).take();
}

}  // namespace libseal
