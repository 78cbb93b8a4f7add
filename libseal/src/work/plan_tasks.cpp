// From looks and due dates to tasks.

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "libseal/survey/segments.hpp"
#include "work/planning.hpp"

namespace libseal::detail {
namespace {

/// Last day of what was seen; what has no day of its own waits for the next service at most.
Date due_of(const UrgencyAnswer& answer, Date as_of, const Catalogue& catalogue) {
    const Date service = as_of + static_cast<int>(catalogue.number("urgency/days/next_service"));
    return answer.act_by == Date{} ? service : std::max(answer.act_by, as_of);
}

/// What must be known beside the task: what is isolated, what is shut, what needs a signature.
void note_answer(Found& found, const UrgencyAnswer& answer) {
    const std::string& place = place_of_task(found.task);
    if (answer.isolate)
        found.warnings.push_back(place + ": isolate electrical and fuel equipment here; out of use until a qualified person has checked it");
    if (answer.safety) found.warnings.push_back(place + ": sealed shut; a way out or an exhaust is freed before the coach is used");
    if (answer.needs_signature) found.warnings.push_back(place + ": declined although it is at once; a signed line is needed");
}

/// What the signs ask for: freeing goes before a new part, a new part before new screws.
std::string part_action(const std::vector<Finding>& findings, const Grade& seen, const Catalogue& catalogue) {
    if (seen.damage >= 1) return "damage_survey";
    for (const char* action : {"clean_and_condition", "replace_part", "refasten_and_seal"})
        if (asks_for(findings, action, catalogue)) return action;
    return asks_for(findings, "rebed", catalogue) ? "replace_part" : "monitor";
}

std::string reasons_of(const Grade& seen) {
    std::string text;
    for (const auto& reason : seen.reasons) text += (text.empty() ? "" : "; ") + reason;
    return text;
}

class Finder {
public:
    explicit Finder(Job& job) : job_(job), catalogue_(job.options.catalogue) {}

    std::vector<Found> take() {
        const std::set<std::string> only(job_.options.joints.begin(), job_.options.joints.end()),
            only_parts(job_.options.parts.begin(), job_.options.parts.end());
        const bool all = only.empty() && only_parts.empty();
        for (const auto& id : only) joint_of(job_.coach, id);
        for (const auto& [id, family] : job_.options.families) joint_of(job_.coach, id);
        for (const auto& id : only_parts) check_place(id);
        ProgressReporter reporter(job_.options.watch, "work plan");
        const auto& joints = job_.coach.joints;
        for (std::size_t j = 0; j < joints.size(); ++j) {
            reporter.tick(static_cast<double>(j) / static_cast<double>(joints.size()));
            if (all || only.count(joints[j].id)) consider(joints[j]);
        }
        for (const auto& [id, work] : job_.seen.of_part)
            if (all || only_parts.count(id)) consider(work);
        return std::move(found_);
    }

private:
    /// Work on a part alone goes by the id of the part, or of the joint where the coach has no part.
    void check_place(const std::string& id) const {
        std::vector<std::string> known;
        for (const Part& part : job_.coach.parts) known.push_back(part.id);
        for (const Joint& joint : job_.coach.joints) known.push_back(joint.id);
        if (std::find(known.begin(), known.end(), id) != known.end()) return;
        const std::string near = nearest_name(id, known);
        throw_value_error("parts", "parts of coach " + job_.coach.id, "\"" + id + "\"", near.empty() ? "" : "did you mean \"" + near + "\"?");
    }

    void consider(const PartWork& work) {
        JointType unknown;
        unknown.consequence = static_cast<int>(catalogue_.number("urgency/part_consequence")), unknown.bedding = "unknown";
        const JointType& type = work.joint ? joint_type(catalogue_, work.joint->type) : unknown;
        const auto by_date = looks_at(work, job_);
        for (const auto& [date, list] : by_date) {  // newest first; each sign may be of its own day, the worst decides
            const Grade seen = grade(list, type, catalogue_);
            if (!seen.inspected) continue;
            const std::string action = part_action(list, seen, catalogue_);
            if (action != "monitor") return add_task(work, type, list, seen, action);
        }
        if (!by_date.empty())
            job_.plan.watched.push_back({work.id, "", reasons_of(grade(by_date.begin()->second, type, catalogue_))});
    }

    void add_task(const PartWork& work, const JointType& type, const std::vector<Finding>& findings, const Grade& seen,
                  const std::string& action) {
        Found found;
        found.of_part = &work;
        found.choice.action = action;
        Task& task = found.task;
        task.coach = job_.coach.id;
        task.joint = work.joint ? work.joint->id : "";
        task.part = work.id;
        task.joint_type = type.name;
        task.action = action;
        task.reason = reasons_of(seen);
        task.observed = true;
        const UrgencyAnswer answer = judge(seen, findings, type, job_.options.exposed_soon, catalogue_, job_.plan.as_of,
                                           job_.options.work_done);
        task.urgency = std::max(answer.urgency, Urgency::next_service);
        task.due = due_of(answer, job_.plan.as_of, catalogue_);
        note_answer(found, answer);
        found_.push_back(std::move(found));
    }

    void consider(const Joint& joint) {
        const std::vector<Look> looks = looks_at(joint, job_, joint_type(catalogue_, joint.type));
        bool older = false;
        const Look* look = deciding_look(looks, older);
        JointState state = state_of(joint, job_, look, job_.due_before());
        Choice choice = choose_action(state, catalogue_);
        if (older)
            choice.reason +=
                "; seen on " + to_text(look->date) + ", not in the later look, and nothing done since";
        if (const WorkDone* done = cleaned_since(joint, look, choice)) {
            choice.action = "monitor";
            choice.reason += "; cleaned and conditioned on " + to_text(done->date);
        }
        if (choice.action == "monitor") {
            if (!look && !looks.empty())
                choice.reason = "not inspected: " + looks.front().findings.front().reason;
            job_.plan.watched.push_back({joint.id, choice.layer, choice.reason});
            return;
        }
        Found found = task_for(joint, job_, std::move(choice), std::move(state));
        judge_task(found, look);
        found_.push_back(std::move(found));
    }

    /// Cleaning mends nothing, but it is not asked for twice before somebody has looked again. Null if it was not done.
    const WorkDone* cleaned_since(const Joint& joint, const Look* look, const Choice& choice) const {
        if (!look || choice.action != "clean_and_condition" || look->grade.open_path == OpenPath::yes) return nullptr;
        return last_done(joint, *look, choice.action);
    }

    /// The newest record of an action at a joint since a look, null without one.
    const WorkDone* last_done(const Joint& joint, const Look& look, const std::string& action) const {
        const WorkDone* last = nullptr;
        for (const WorkDone& work : job_.options.work_done)
            if (work.action == action && !work.declined && work.coach == job_.coach.id && work.joint == joint.id && work.part.empty() &&
                look.date <= work.date && work.date <= job_.plan.as_of && (!last || last->date < work.date))
                last = &work;
        return last;
    }

    /// Last day of the cover that is on, day 0 without one that holds.
    Date covered_until(const Joint& joint, const Look* look) const {
        const WorkDone* cover = look ? last_done(joint, *look, "temporary_cover") : nullptr;
        if (!cover) return {};
        const Date until = cover->date + static_cast<int>(catalogue_.number("action/temporary_cover/days"));
        return until < job_.plan.as_of ? Date{} : until;
    }

    void judge_task(Found& found, const Look* look) {
        Task& task = found.task;
        const JointState& state = found.state;
        const Date as_of = job_.plan.as_of;
        task.observed = look != nullptr && (look->grade.worst() >= 1 || look->grade.damage >= 1 ||
                                            look->answer.urgency == Urgency::at_once);
        task.urgency = look ? look->answer.urgency : Urgency::next_inspection;
        task.due = task.observed ? due_of(look->answer, as_of, catalogue_) : state.due_date;
        if (!state.due.empty()) {
            task.due = std::min(task.due, std::max(state.due_date, as_of));
            if (state.due_date <= as_of) task.urgency = std::max(task.urgency, Urgency::next_service);
        }
        task.cover_now = state.grade.open_path == OpenPath::yes && task.action != "temporary_cover";
        if (task.cover_now) task.cover_expires = covered_until(*state.joint, look);
        if (look) note_answer(found, look->answer);
    }

    Job& job_;
    const Catalogue& catalogue_;
    std::vector<Found> found_;
};

/// Shares of segments as shares of the whole joint.
std::vector<Finding> of_whole(std::vector<Finding> findings, const Joint& joint) {
    for (Finding& finding : findings)
        if (!finding.segment.empty() && joint.length > 0)
            for (const JointSegment& segment : segments_of(joint))
                if (segment.name == finding.segment) finding.share *= std::min(1.0, segment.length / joint.length);
    return findings;
}

}  // namespace

double Job::temperature() const {
    return std::isnan(options.temperature) ? shop.bay_temperature : options.temperature;
}

JointState state_of(const Joint& joint, const Job& job, const Look* look, Date due_before) {
    JointState state;
    state.joint = &joint;
    state.surface = &surface_of(job.coach, joint.surface, joint.surface.compare(0, 6, "slide_") == 0 ? joint.slide : "");
    state.no_sealing = no_sealing_reason(job.shop, job.work_day());
    state.sealing_allowed = state.no_sealing.empty();
    state.beads = beads_in_place(joint, job.coach.id, job.options.work_done);
    state.roof_slope = job.options.roof_slope;
    if (const auto at = job.options.families.find(joint.id); at != job.options.families.end())
        state.wanted_family = at->second;
    if (look) state.grade = look->grade, state.findings = look->findings;
    const auto rows = job.rows.find(joint.id);
    if (rows == job.rows.end()) return state;
    for (const Eigen::Index row : rows->second) {
        const Date due{job.forecast.due_50(row)};
        if (due > due_before) continue;
        if (state.due.empty() || due < state.due_date) state.due_date = due;
        state.due.push_back(job.forecast.layer[static_cast<std::size_t>(row)]);
    }
    return state;
}

Found task_for(const Joint& joint, const Job& job, Choice choice, JointState state) {
    Found found;
    Task& task = found.task;
    task.coach = job.coach.id;
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
    task.follow_up = choice.follow_up;
    found.settings.temperature = job.temperature();
    found.settings.longest_cure_wait = job.options.longest_cure_wait;
    found.settings.touched = choice.action == "touch_up" ? touched_share(of_whole(state.findings, joint)) : 1.0;
    found.settings.beads = state.beads;
    found.settings.roof_slope = state.roof_slope;
    found.state = std::move(state);
    task.length = joint.length * found.settings.touched;
    if (!choice.family.empty())
        task.volume_ml = bead_volume_ml(bead_of(joint, joint_type(job.options.catalogue, joint.type)), task.length);
    found.choice = std::move(choice);
    return found;
}

std::vector<Found> find_tasks(Job& job) { return Finder(job).take(); }

std::string plain_words(std::string word) {
    std::replace(word.begin(), word.end(), '_', ' ');
    return word;
}

std::vector<std::string> listed_words(const Catalogue& catalogue, const std::string& id) {
    std::vector<std::string> words;
    if (!catalogue.has(id)) return words;
    const std::string& text = catalogue.word(id);
    if (text == "none") return words;
    std::size_t at = 0;
    while (at < text.size()) {
        const std::size_t end = std::min(text.find(' ', at), text.size());
        if (end > at) words.push_back(text.substr(at, end - at));
        at = end + 1;
    }
    return words;
}

}  // namespace libseal::detail
