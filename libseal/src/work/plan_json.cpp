// Work plans as JSON, schema libseal/work_plan/1.

#include "core/json.hpp"
#include "libseal/work/plan.hpp"

namespace libseal {
namespace {

using detail::JsonWriter;

double amount(Money cents) { return static_cast<double>(cents) / 100; }

void write(JsonWriter& out, const char* key, const Minutes& minutes) {
    out.key(key);
    out.begin_object();
    out.key("low"), out.value(minutes.low);
    out.key("mode"), out.value(minutes.mode);
    out.key("high"), out.value(minutes.high);
    out.end_object();
}

void write(JsonWriter& out, const char* key, const Cost& cost) {
    out.key(key);
    out.begin_object();
    out.key("low"), out.value(amount(cost.low));
    out.key("mode"), out.value(amount(cost.mode));
    out.key("high"), out.value(amount(cost.high));
    out.end_object();
}

void write(JsonWriter& out, const char* key, const std::vector<std::string>& list) {
    out.key(key);
    out.begin_list();
    for (const auto& item : list) out.value(item);
    out.end_list();
}

void write(JsonWriter& out, const Task& task) {
    out.begin_object();
    out.key("joint"), out.value(task.joint);
    out.key("joint_type"), out.value(task.joint_type);
    out.key("layer"), out.value(task.layer);
    out.key("generation"), out.value(task.generation);
    out.key("action"), out.value(task.action);
    write(out, "renewed", task.renewed);
    out.key("family"), out.value(task.family);
    out.key("bedding"), out.value(task.bedding);
    out.key("reason"), out.value(task.reason);
    out.key("refused"), out.value(task.refused);
    out.key("due"), out.value(to_text(task.due));
    out.key("urgency"), out.value(to_text(task.urgency));
    out.key("observed"), out.value(task.observed);
    out.key("cover_now"), out.value(task.cover_now);
    out.key("length_m"), out.value(task.length);
    out.key("volume_ml"), out.value(task.volume_ml);
    write(out, "minutes", task.minutes);
    write(out, "cost", task.cost);
    write(out, "cautions", task.cautions);
    out.end_object();
}

void write(JsonWriter& out, const Step& step) {
    out.begin_object();
    out.key("id"), out.value(step.id);
    out.key("kind"), out.value(step.kind);
    out.key("joint"), out.value(step.joint);
    write(out, "minutes", step.minutes);
    out.key("people"), out.value(step.people);
    out.key("wait_min"), out.value(step.wait);
    out.key("unbroken"), out.value(step.unbroken);
    out.key("family"), out.value(step.family);
    write(out, "cautions", step.cautions);
    out.key("note"), out.value(step.note);
    out.end_object();
}

void write(JsonWriter& out, const char* key, const std::vector<Edge>& edges, const std::vector<Step>& steps) {
    out.key(key);
    out.begin_list();
    for (const Edge& edge : edges) {
        out.begin_object();
        out.key("from"), out.value(steps[static_cast<std::size_t>(edge.from)].id);
        out.key("to"), out.value(steps[static_cast<std::size_t>(edge.to)].id);
        out.key("rule"), out.value(edge.rule);
        out.key("strength"), out.value(to_text(edge.strength));
        out.key("lag_min"), out.value(edge.lag);
        out.key("reason"), out.value(edge.reason);
        out.end_object();
    }
    out.end_list();
}

void write(JsonWriter& out, const Material& material) {
    out.begin_object();
    out.key("family"), out.value(material.family);
    out.key("volume_ml"), out.value(material.volume_ml);
    out.key("length_m"), out.value(material.length_m);
    out.key("waste_percent"), out.value(material.waste_percent);
    out.key(material.volume_ml > 0 ? "package_ml" : "package_m"), out.value(material.package_size);
    out.key("packages"), out.value(material.packages);
    out.key("priced"), out.value(material.priced);
    out.key("cost"), out.value(amount(material.cost));
    out.end_object();
}

void write_sums(JsonWriter& out, const WorkPlan& plan) {
    out.key("materials");
    out.begin_list();
    for (const Material& material : plan.materials) write(out, material);
    out.end_list();
    write(out, "person_minutes", plan.minutes);
    write(out, "labour", plan.labour);
    out.key("material"), out.value(amount(plan.material));
    write(out, "total", plan.total);
    out.key("cautions");
    out.begin_list();
    for (const Caution& caution : plan.cautions) {
        out.begin_object();
        out.key("id"), out.value(caution.id);
        out.key("text"), out.value(caution.text);
        out.end_object();
    }
    out.end_list();
    write(out, "notes", plan.notes);
    out.key("closing"), out.value(plan.closing);
}

}  // namespace

std::string work_plan_json(const WorkPlan& plan) {
    JsonWriter out;
    out.begin_object();
    out.key("schema"), out.value("libseal/work_plan/1");
    out.key("coach"), out.value(plan.coach);
    out.key("as_of"), out.value(to_text(plan.as_of));
    out.key("currency"), out.value(plan.currency);
    out.key("tasks");
    out.begin_list();
    for (const Task& task : plan.tasks) write(out, task);
    out.end_list();
    out.key("steps");
    out.begin_list();
    for (const Step& step : plan.steps) write(out, step);
    out.end_list();
    write(out, "edges", plan.edges, plan.steps);
    write(out, "drawn_edges", plan.drawn_edges, plan.steps);
    out.key("order");
    out.begin_list();
    for (const int step : plan.order) out.value(plan.steps[static_cast<std::size_t>(step)].id);
    out.end_list();
    out.key("watched");
    out.begin_list();
    for (const Watched& watched : plan.watched) {
        out.begin_object();
        out.key("joint"), out.value(watched.joint);
        out.key("layer"), out.value(watched.layer);
        out.key("reason"), out.value(watched.reason);
        out.end_object();
    }
    out.end_list();
    write_sums(out, plan);
    out.end_object();
    return out.take();
}

}  // namespace libseal
