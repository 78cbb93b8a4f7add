#include "core/json.hpp"
#include "libseal/schedule/schedule.hpp"

namespace libseal {

std::string schedule_json(const Schedule& schedule, const WorkPlan& plan, const Shop& shop) {
    detail::JsonWriter writer;
    const auto text = [&](const char* key, const std::string& value) {
        writer.key(key);
        writer.value(value);
    };
    const auto texts = [&](const char* key, const std::vector<std::string>& list) {
        writer.key(key);
        writer.begin_list();
        for (const auto& item : list) writer.value(item);
        writer.end_list();
    };
    writer.begin_object();
    text("schema", "libseal/schedule/1");
    text("coach", plan.coach);
    text("outcome", to_text(schedule.outcome));
    text("stopped", schedule.stopped);
    if (!schedule.steps.empty()) {
        text("begin", time_text(schedule.begin));
        text("end", time_text(schedule.end));
        text("lower_bound", time_text(schedule.lower_bound));
    }
    writer.key("tried");
    writer.value(schedule.tried);
    writer.key("steps");
    writer.begin_list();
    for (const StepTime& time : schedule.steps) {
        writer.begin_object();
        text("step", plan.steps[static_cast<std::size_t>(time.step)].id);
        text("start", time_text(time.start));
        text("end", time_text(time.end));
        std::vector<std::string> people;
        for (const int p : time.people) people.push_back(shop.people[static_cast<std::size_t>(p)].id);
        texts("people", people);
        text("waited_for", time.waited_for);
        writer.key("critical");
        writer.value(time.critical);
        writer.end_object();
    }
    writer.end_list();
    texts("obstacles", schedule.obstacles);
    texts("relaxations", schedule.relaxations);
    writer.end_object();
    return writer.take();
}

}  // namespace libseal
