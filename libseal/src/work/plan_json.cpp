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
    out.member("low", minutes.low);
    out.member("mode", minutes.mode);
    out.member("high", minutes.high);
    out.end_object();
}

void write(JsonWriter& out, const char* key, const Cost& cost) {
    out.key(key);
    out.begin_object();
    out.member("low", amount(cost.low));
    out.member("mode", amount(cost.mode));
    out.member("high", amount(cost.high));
    out.end_object();
}

void write(JsonWriter& out, const Task& task) {
    out.begin_object();
    out.member("joint", task.joint);
    out.member("part", task.part);
    out.member("joint_type", task.joint_type);
    out.member("layer", task.layer);
    out.member("generation", task.generation);
    out.member("action", task.action);
    out.member("renewed", task.renewed);
    out.member("family", task.family);
    out.member("bedding", task.bedding);
    out.member("reason", task.reason);
    out.member("refused", task.refused);
    out.member("due", to_text(task.due));
    out.member("urgency", to_text(task.urgency));
    out.member("observed", task.observed);
    out.member("cover_now", task.cover_now);
    out.member("length_m", task.length);
    out.member("volume_ml", task.volume_ml);
    write(out, "minutes", task.minutes);
    write(out, "cost", task.cost);
    out.member("cautions", task.cautions);
    out.end_object();
}

void write(JsonWriter& out, const Step& step) {
    out.begin_object();
    out.member("id", step.id);
    out.member("kind", step.kind);
    out.member("joint", step.joint);
    out.member("part", step.part);
    write(out, "minutes", step.minutes);
    out.member("people", step.people);
    out.member("wait_min", step.wait);
    out.member("unbroken", step.unbroken);
    out.member("family", step.family);
    out.member("cautions", step.cautions);
    out.member("note", step.note);
    out.end_object();
}

void write(JsonWriter& out, const char* key, const std::vector<Edge>& edges, const std::vector<Step>& steps) {
    out.key(key);
    out.begin_list();
    for (const Edge& edge : edges) {
        out.begin_object();
        out.member("from", steps[static_cast<std::size_t>(edge.from)].id);
        out.member("to", steps[static_cast<std::size_t>(edge.to)].id);
        out.member("rule", edge.rule);
        out.member("strength", to_text(edge.strength));
        out.member("lag_min", edge.lag);
        out.member("reason", edge.reason);
        out.end_object();
    }
    out.end_list();
}

void write(JsonWriter& out, const Material& material) {
    out.begin_object();
    out.member("family", material.family);
    out.member("volume_ml", material.volume_ml);
    out.member("length_m", material.length_m);
    out.member("waste_percent", material.waste_percent);
    out.key(material.volume_ml > 0 ? "package_ml" : "package_m"), out.value(material.package_size);
    out.member("packages", material.packages);
    out.member("priced", material.priced);
    out.member("cost", amount(material.cost));
    out.end_object();
}

void write_sums(JsonWriter& out, const WorkPlan& plan) {
    out.key("materials");
    out.begin_list();
    for (const Material& material : plan.materials) write(out, material);
    out.end_list();
    write(out, "person_minutes", plan.minutes);
    write(out, "labour", plan.labour);
    out.member("material", amount(plan.material));
    write(out, "total", plan.total);
    out.key("cautions");
    out.begin_list();
    for (const Caution& caution : plan.cautions) {
        out.begin_object();
        out.member("id", caution.id);
        out.member("text", caution.text);
        out.end_object();
    }
    out.end_list();
    out.member("warnings", plan.warnings);
    out.member("notes", plan.notes);
    out.member("closing", plan.closing);
}

}  // namespace

std::string work_plan_json(const WorkPlan& plan) {
    JsonWriter out;
    out.begin_object();
    out.member("schema", "libseal/work_plan/1");
    out.member("coach", plan.coach);
    out.member("as_of", to_text(plan.as_of));
    out.member("currency", plan.currency);
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
        out.member("joint", watched.joint);
        out.member("layer", watched.layer);
        out.member("reason", watched.reason);
        out.end_object();
    }
    out.end_list();
    write_sums(out, plan);
    out.end_object();
    return out.take();
}

}  // namespace libseal
