// Work plans as JSON, schema libseal/work_plan/1.

#include "libseal/work/plan.hpp"
#include "work/json_parts.hpp"

namespace libseal {
namespace {

using detail::in_units;
using detail::JsonWriter;
using detail::write_cautions;
using detail::write_range;
using detail::write_supplies;

void write(JsonWriter& out, const ActionOption& option, const std::string& currency) {
    out.begin_object();
    out.member("action", option.action);
    out.member("family", option.family);
    out.member("chosen", option.chosen);
    write_range(out, "minutes", option.minutes);
    write_range(out, "cost", option.cost, currency);
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
    write_range(out, "minutes", task.minutes);
    write_range(out, "cost", task.cost, currency);
    out.member("cautions", task.cautions);
    out.member("opportunistic", task.opportunistic);
    if (task.opportunistic) {
        out.object("saving", [&] {
            out.member("person_minutes", task.saving.minutes);
            out.member("money", in_units(task.saving.money, currency));
            out.member("lost", in_units(task.saving.lost, currency));
        });
        out.member("with_joint", task.with_joint);
    }
    if (!task.follow_up.empty()) {
        out.member("follow_up", task.follow_up);
        if (task.follow_up_from != Date{}) out.member("follow_up_from", to_text(task.follow_up_from));
        out.member("cover_expires", to_text(task.cover_expires));
    }
    out.list("options", task.options, [&](const ActionOption& option) { write(out, option, currency); });
    out.end_object();
}

void write(JsonWriter& out, const Step& step) {
    out.begin_object();
    out.member("id", step.id);
    out.member("kind", step.kind);
    out.member("joint", step.joint);
    out.member("part", step.part);
    write_range(out, "minutes", step.minutes);
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
    out.list(key, edges, [&](const Edge& edge) {
        out.begin_object();
        out.member("from", steps[static_cast<std::size_t>(edge.from)].id);
        out.member("to", steps[static_cast<std::size_t>(edge.to)].id);
        out.member("rule", edge.rule);
        out.member("strength", to_text(edge.strength));
        out.member("lag_min", edge.lag);
        out.member("reason", edge.reason);
        out.end_object();
    });
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
    out.list("materials", plan.materials, [&](const Material& material) { write(out, material, plan.currency); });
    write_supplies(out, plan.supplies);
    write_range(out, "person_minutes", plan.minutes);
    write_range(out, "labour", plan.labour, plan.currency);
    out.member("material", in_units(plan.material, plan.currency));
    write_range(out, "total", plan.total, plan.currency);
    write_cautions(out, plan.cautions);
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
    out.list("tasks", plan.tasks, [&](const Task& task) { write(out, task, plan.currency); });
    out.list("steps", plan.steps, [&](const Step& step) { write(out, step); });
    write(out, "edges", plan.edges, plan.steps);
    write(out, "drawn_edges", plan.drawn_edges, plan.steps);
    out.list("order", plan.order, [&](int step) { out.value(plan.steps[static_cast<std::size_t>(step)].id); });
    out.list("watched", plan.watched, [&](const Watched& watched) {
        out.begin_object();
        out.member("joint", watched.joint);
        out.member("layer", watched.layer);
        out.member("reason", watched.reason);
        out.end_object();
    });
    write_sums(out, plan);
    out.end_object();
    return out.take();
}

}  // namespace libseal
