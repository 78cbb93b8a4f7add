#include "libseal/work/work_order.hpp"

#include <algorithm>
#include <set>

#include "libseal/core/error.hpp"
#include "libseal/core/text.hpp"
#include "work/planning.hpp"

namespace libseal {
namespace {

Date day_of(std::int64_t minute) {
    return {static_cast<std::int32_t>(minute >= 0 ? minute / 1440 : -((1439 - minute) / 1440))};
}

void add_once(std::vector<std::string>& list, const std::string& text) {
    if (!text.empty() && std::find(list.begin(), list.end(), text) == list.end()) list.push_back(text);
}

const StepSlot* slot_of(const std::vector<StepSlot>& slots, int step) {
    const auto at = std::find_if(slots.begin(), slots.end(), [&](const StepSlot& slot) { return slot.step == step; });
    return at == slots.end() ? nullptr : &*at;
}

void check_slots(const WorkPlan& plan, const std::vector<StepSlot>& slots) {
    std::set<int> taken;
    for (std::size_t i = 0; i < slots.size(); ++i) {
        const StepSlot& slot = slots[i];
        const std::string field = "slots[" + std::to_string(i) + "]";
        if (slot.step < 0 || slot.step >= static_cast<int>(plan.steps.size()))
            throw_value_error(field + ".step", "a step of the plan, 0 to " + std::to_string(static_cast<int>(plan.steps.size()) - 1),
                              std::to_string(slot.step));
        if (!taken.insert(slot.step).second)
            throw_value_error(field + ".step", "each step once", plan.steps[static_cast<std::size_t>(slot.step)].id + " again");
        if (slot.end < slot.start)
            throw_value_error(field + ".end", "not before its start", std::to_string(slot.end) + " before " + std::to_string(slot.start));
    }
    for (std::size_t i = 0; i < plan.steps.size(); ++i)
        if (plan.steps[i].people > 0 && !taken.count(static_cast<int>(i)))
            throw_value_error("slots", "a slot for each step that people do", "none for " + plan.steps[i].id);
}

class Writer {
public:
    Writer(const WorkPlan& plan, const Shop& shop, const std::vector<StepSlot>* slots, const Catalogue& catalogue)
        : plan_(plan), slots_(slots), catalogue_(catalogue) {
        order_.coach = plan.coach;
        order_.shop = shop.name;
        order_.currency = plan.currency;
        order_.as_of = plan.as_of;
        order_.timed = slots != nullptr && !slots->empty();
        order_.materials = plan.materials;
        order_.supplies = plan.supplies;
        order_.minutes = plan.minutes;
        order_.warnings = plan.warnings;
        order_.notes = plan.notes;
        order_.closing = plan.closing;
    }

    WorkOrder take() {
        for (const int step : in_order()) add_line(step);
        std::vector<std::string> cautions;
        for (const WorkOrderLine& line : order_.lines) {
            for (const auto& id : line.cautions) add_once(cautions, id);
            for (const auto& tool : line.tools) add_once(order_.tools, tool);
            if (!line.gate.empty()) add_once(order_.gates, detail::plain_words(gate_names_.at(line.id)) + ": " + line.gate);
            if (line.kind == "water_test" && !line.place.empty())
                add_once(order_.tests, "water test, " + detail::plain_words(line.place) + (line.note.empty() ? "" : ": " + line.note));
            if (line.kind == "function_check") add_once(order_.tests, "function check: " + line.note);
            if (line.kind == "cure" && line.note.find("next inspection") != std::string::npos)
                add_once(order_.tests, detail::plain_words(line.place) + ": " + line.note);
        }
        order_.cautions = caution_texts(cautions, catalogue_);
        days();
        return std::move(order_);
    }

private:
    /// Steps of the plan in its order, by start where there are times; marks in time are not shown.
    std::vector<int> in_order() const {
        std::vector<int> steps;
        for (const int i : plan_.order)
            if (at(i).kind != "stage") steps.push_back(i);
        if (!order_.timed) return steps;
        // A wait stands where the step before it in the plan ends.
        std::vector<std::pair<std::int64_t, int>> keyed;
        std::int64_t last = 0;
        std::set<std::string> seen;
        for (const int i : steps) {
            const StepSlot* slot = slot_of(*slots_, i);
            if (slot) last = slot->start;
            else if (at(i).task >= 0) last = end_of_task_before(i, steps, last);
            keyed.emplace_back(last, i);
        }
        std::stable_sort(keyed.begin(), keyed.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
        for (std::size_t k = 0; k < keyed.size(); ++k) steps[k] = keyed[k].second;
        return steps;
    }

    std::int64_t end_of_task_before(int step, const std::vector<int>& steps, std::int64_t otherwise) const {
        std::int64_t end = otherwise;
        for (const int i : steps) {
            if (i == step) break;
            const StepSlot* slot = slot_of(*slots_, i);
            if (slot && at(i).task == at(step).task) end = slot->end;
        }
        return end;
    }

    const Step& at(int i) const { return plan_.steps[static_cast<std::size_t>(i)]; }

    void add_line(int index) {
        const Step& step = at(index);
        WorkOrderLine line;
        line.number = static_cast<int>(order_.lines.size()) + 1;
        line.id = step.id;
        line.kind = step.kind;
        line.surface = step.surface;
        line.slide_state = step.slide_state;
        line.minutes = step.minutes;
        line.people = step.people;
        line.wait = step.wait;
        line.family = step.family;
        if (step.task >= 0) {
            const Task& task = plan_.tasks[static_cast<std::size_t>(step.task)];
            line.place = place_of_task(task);
            line.length_m = task.length;
            if (step.kind == "cap") line.volume_ml = task.volume_ml;
        }
        if (!step.gate.empty()) {
            line.gate = catalogue_.word("gate/" + step.gate + "/words");
            gate_names_[line.id] = step.gate;
        }
        line.reach = step.reach;
        line.skills = step.skills;
        line.tools = step.tools;
        line.cautions = step.cautions;
        line.note = step.note;
        if (const StepSlot* slot = order_.timed ? slot_of(*slots_, index) : nullptr) {
            line.start = slot->start;
            line.end = slot->end;
            line.who = slot->people;
            line.bay = slot->bay;
        }
        order_.lines.push_back(std::move(line));
    }

    void days() {
        if (!order_.timed) return;
        std::int64_t first = slots_->front().start, last = slots_->front().end;
        for (const StepSlot& slot : *slots_) first = std::min(first, slot.start), last = std::max(last, slot.end);
        order_.first = day_of(first);
        order_.last = day_of(last > first ? last - 1 : last);
    }

    const WorkPlan& plan_;
    const std::vector<StepSlot>* slots_;
    const Catalogue& catalogue_;
    WorkOrder order_;
    std::map<std::string, std::string> gate_names_;
};

}  // namespace

WorkOrder work_order(const WorkPlan& plan, const Shop& shop, const Catalogue& catalogue) {
    return Writer(plan, shop, nullptr, catalogue).take();
}

WorkOrder work_order(const WorkPlan& plan, const Shop& shop, const std::vector<StepSlot>& slots, const Catalogue& catalogue) {
    check_slots(plan, slots);
    return Writer(plan, shop, &slots, catalogue).take();
}

}  // namespace libseal
