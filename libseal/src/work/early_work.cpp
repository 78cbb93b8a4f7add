// Work that is due later and done now, because that saves more than it wastes.

#include <algorithm>
#include <cmath>

#include "libseal/core/text.hpp"
#include "work/planning.hpp"

namespace libseal::detail {
namespace {

/// Person-minutes and price of a task if it were done now, before steps of the whole job.
struct Effort {
    double minutes = 0, remove = 0, wash = 0;
    Money price = 0;
};

struct Candidate {
    Found found;
    Effort effort;
    double remaining = 0;            ///< share of life that is thrown away [-]
    const Found* same_part = nullptr;///< takes the part off
    const Found* beside = nullptr;   ///< on the same surface
};

class EarlyWork {
public:
    EarlyWork(const Job& job, std::vector<Found>& found)
        : job_(job), found_(found), limit_(job.due_before() + job.options.opportunistic_days) {}

    std::vector<Found> take() {
        for (Found& one : found_) go_deeper(one);
        std::vector<Candidate> candidates = all_candidates();
        std::vector<Found> early;
        for (Candidate& one : candidates)
            if (pays(one, candidates.size())) early.push_back(std::move(one.found));
        return early;
    }

private:
    Effort effort_of(const Found& found) const {
        Effort effort;
        std::vector<Step> steps = steps_for(found.choice, *found.state.joint, job_.options.catalogue, 0, found.settings);
        equip(steps, job_);
        for (const Step& step : steps) {
            const double minutes = step.minutes.mode * step.people;
            effort.minutes += minutes;
            if (step.kind == "remove_part") effort.remove += minutes;
        }
        effort.price = labour_cost(effort.minutes, job_.shop) + material_price(found.task, job_);
        return effort;
    }

    /// Largest share of life left on the day of the work, of the renewed layers that are due within the span. What else is renewed
    /// with them would be thrown away then too.
    double remaining(const Joint& joint, const std::vector<std::string>& renewed) const {
        double share = 0;
        const auto rows = job_.rows.find(joint.id);
        if (rows == job_.rows.end()) return 1;
        for (const Eigen::Index row : rows->second) {
            const std::string& kind = job_.forecast.layer[static_cast<std::size_t>(row)];
            const Layer* layer = layer_of(joint, kind);
            if (!layer || std::find(renewed.begin(), renewed.end(), kind) == renewed.end()) continue;
            const double installed = (layer->installed_from.days + layer->installed_to.days) / 2.0;
            const double due = job_.forecast.due_50(row), life = due - installed;
            if (due > limit_.days) continue;
            share = std::max(share, life > 0 ? std::clamp((due - job_.work_day().days) / life, 0.0, 1.0) : 1.0);
        }
        return share;
    }

    /// A later visit's set-up and clearing away [person-min].
    double set_up() const {
        const Catalogue& c = job_.options.catalogue;
        const double own = job_.shop.visit_setup_minutes;
        return (std::isnan(own) ? c.number("labour/job_set_up") : own) + c.number("labour/job_tear_down");
    }

    bool worth(Task& task, double minutes, Money saved, double share, Money price) const {
        task.saving.minutes = minutes;
        task.saving.money = saved;
        task.saving.lost = static_cast<Money>(std::llround(share * static_cast<double>(price)));
        return saved > 0 && static_cast<double>(saved) >
                                job_.options.catalogue.number("early_work/least_gain") *
                                    static_cast<double>(task.saving.lost);
    }

    std::string balance(const Task& task) const {
        return "; saves " + number_text(std::round(task.saving.minutes), 0) + " person-minutes, " +
               money_text(task.saving.money, job_.shop.currency) + ", for " +
               money_text(task.saving.lost, job_.shop.currency) + " worth of life left";
    }

    /// A new bead now would come off again when the bedding is due: re-bed at once, if that is cheaper.
    void go_deeper(Found& found) {
        if (found.of_part || (found.choice.action != "reseal_over" && found.choice.action != "cut_out_and_reseal")) return;
        const Joint& joint = *found.state.joint;
        JointState state = found.state;
        const JointState later = state_of(joint, job_, nullptr, limit_);
        state.due = later.due;
        if (state.due_date == Date{}) state.due_date = later.due_date;
        if (std::find(later.due.begin(), later.due.end(), "bedding") == later.due.end()) return;
        const Choice deeper = choose_action(state, job_.options.catalogue);
        if (deeper.action != "rebed") return;
        Found rebed = task_for(joint, job_, deeper, state);
        const Effort now = effort_of(found), instead = effort_of(rebed);
        if (!worth(rebed.task, now.minutes, now.price, remaining(joint, {"bedding"}), instead.price - now.price)) return;
        rebed.task.reason = found.task.reason + "; the bedding is due within " + std::to_string(job_.options.opportunistic_days) +
                            " days of what is done now, and its renewal takes the bead off again: done at once" + balance(rebed.task);
        rebed.task.opportunistic = true;
        rebed.task.urgency = found.task.urgency;
        rebed.task.due = found.task.due;
        rebed.task.observed = found.task.observed;
        rebed.task.cover_now = found.task.cover_now;
        rebed.task.cover_expires = found.task.cover_expires;
        found = std::move(rebed);
    }

    std::vector<Candidate> all_candidates() const {
        std::vector<Candidate> candidates;
        for (const Joint& joint : job_.coach.joints) {
            if (std::any_of(found_.begin(), found_.end(), [&](const Found& f) { return f.task.joint == joint.id; })) continue;
            const std::vector<Look> looks = looks_at(joint, job_, joint_type(job_.options.catalogue, joint.type));
            bool older = false;
            const JointState state = state_of(joint, job_, deciding_look(looks, older), limit_);
            if (state.due.empty() || !state.sealing_allowed) continue;
            const Choice choice = choose_action(state, job_.options.catalogue);
            if (choice.renewed.empty()) continue;
            Candidate one;
            one.found = task_for(joint, job_, choice, state);
            one.found.task.due = state.due_date;
            one.remaining = remaining(joint, choice.renewed);
            for (const Found& f : found_) {
                if (f.of_part || !f.state.joint) continue;
                const Joint& other = *f.state.joint;
                const bool off = f.choice.action == "rebed" || (f.choice.action == "replace_part" && f.choice.layer != "insert");
                if (off && !joint.part.empty() && joint.part == other.part && joint.part != joint.slide) one.same_part = &f;
                if (other.surface == joint.surface && other.slide == joint.slide) one.beside = &f;
            }
            if (one.same_part || one.beside) candidates.push_back(std::move(one));
        }
        for (Candidate& one : candidates) one.effort = effort_of(one.found);
        return candidates;
    }

    /// @param together  Joints that a later visit would do in one go; its set-up is shared by them.
    bool pays(Candidate& one, std::size_t together) const {
        Task& task = one.found.task;
        double minutes = set_up() / static_cast<double>(together);
        if (one.same_part) minutes += one.effort.remove;
        if (!worth(task, minutes, labour_cost(minutes, job_.shop), one.remaining, one.effort.price)) return false;
        const std::string why = one.same_part ? "its part is off for " + one.same_part->task.joint
                                              : "ladders stand and the " + plain_words(task_surface(one)) + " is washed for " + one.beside->task.joint;
        task.reason += (task.reason.empty() ? "" : "; ") + ("not before " + to_text(job_.due_before()) + ", done now because " + why) + balance(task);
        task.opportunistic = true;
        if (one.same_part) one.found.settings.part_is_off = true, task.with_joint = one.same_part->task.joint;
        return true;
    }

    static const std::string& task_surface(const Candidate& one) { return one.found.state.joint->surface; }

    const Job& job_;
    std::vector<Found>& found_;
    Date limit_;
};

}  // namespace

std::vector<Found> find_early_work(const Job& job, std::vector<Found>& found) {
    const PlanOptions& options = job.options;
    if (options.opportunistic_days == 0 || found.empty() || !options.joints.empty() || !options.parts.empty()) return {};
    return EarlyWork(job, found).take();
}

}  // namespace libseal::detail
