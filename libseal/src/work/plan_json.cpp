// Work plans as JSON, schema libseal/work_plan/1.

#include "core/json.hpp"
#include "libseal/work/plan.hpp"
#include "work/billing.hpp"

namespace libseal {
namespace {

using detail::JsonWriter;

using detail::in_units;

void write(JsonWriter& out, const char* key, const Minutes& minutes) {
    out.key(key);
    out.begin_object();
    out.member("low", minutes.low);
    out.member("mode", minutes.mode);
    out.member("high", minutes.high);
    out.end_object();
}

void write(JsonWriter& out, const char* key, const Cost& cost, const std::string& currency) {
    out.key(key);
    out.begin_object();
    out.member("low", in_units(cost.low, currency));
    out.member("mode", in_units(cost.mode, currency));
    out.member("high", in_units(cost.high, currency));
    out.end_object();
}

void write(JsonWriter& out, const ActionOption& option, const std::string& currency) {
    out.begin_object();
    out.member("action", option.action);
    out.member("family", option.family);
    out.member("chosen", option.chosen);
    write(out, "minutes", option.minutes);
    write(out, "cost", option.cost, currency);
    out.member("cure_hours", option.cure_hours);
    out.member("reason", option.reason);
    out.end_object();
}

void write(JsonWriter& out, const Task& task, const std::string& currency) {
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
    write(out, "cost", task.cost, currency);
    out.member("cautions", task.cautions);
    out.member("opportunistic", task.opportunistic);
    if (task.opportunistic) {
        out.key("saving");
        out.begin_object();
        out.member("person_minutes", task.saving.minutes);
        out.member("money", in_units(task.saving.money, currency));
        out.member("lost", in_units(task.saving.lost, currency));
        out.end_object();
        out.member("with_joint", task.with_joint);
    }
    if (!task.follow_up.empty()) {
        out.member("follow_up", task.follow_up);
        if (task.follow_up_from != Date{}) out.member("follow_up_from", to_text(task.follow_up_from));
        out.member("cover_expires", to_text(task.cover_expires));
    }
    out.key("options");
    out.begin_list();
    for (const ActionOption& option : task.options) write(out, option, currency);
    out.end_list();
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
    out.member("gate", step.gate);
    out.member("reach", step.reach);
    out.member("skills", step.skills);
    out.member("tools", step.tools);
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

void write(JsonWriter& out, const Material& material, const std::string& currency) {
    out.begin_object();
    out.member("family", material.family);
    out.member("volume_ml", material.volume_ml);
    out.member("length_m", material.length_m);
    out.member("waste_percent", material.waste_percent);
    out.key(material.volume_ml > 0 ? "ordered_ml" : "ordered_m"), out.value(material.ordered);
    out.key(material.volume_ml > 0 ? "package_ml" : "package_m"), out.value(material.package_size);
    out.member("packages", material.packages);
    out.member("priced", material.priced);
    out.member("cost", in_units(material.cost, currency));
    out.end_object();
}

void write_sums(JsonWriter& out, const WorkPlan& plan) {
    out.key("materials");
    out.begin_list();
    for (const Material& material : plan.materials) write(out, material, plan.currency);
    out.end_list();
    out.key("supplies");
    out.begin_list();
    for (const Supply& supply : plan.supplies) {
        out.begin_object();
        out.member("name", supply.name);
        out.member("amount", supply.amount);
        out.member("unit", supply.unit);
        out.end_object();
    }
    out.end_list();
    write(out, "person_minutes", plan.minutes);
    write(out, "labour", plan.labour, plan.currency);
    out.member("material", in_units(plan.material, plan.currency));
    write(out, "total", plan.total, plan.currency);
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
    for (const Task& task : plan.tasks) write(out, task, plan.currency);
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
