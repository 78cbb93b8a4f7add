#include "libseal/work/order_export.hpp"

#include <cmath>
#include <map>
#include <set>
#include <tuple>

#include "core/json.hpp"
#include "libseal/core/text.hpp"
#include "libseal/work/critical_path.hpp"
#include "work/planning.hpp"

namespace libseal {
namespace {

using detail::JsonWriter;
using detail::plain_words;

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// In quotes; control characters become blanks.
std::string quoted(const std::string& text) {
    std::string out = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\') out += '\\';
        out += static_cast<unsigned char>(c) < 0x20 || c == 0x7f ? ' ' : c;
    }
    return out + "\"";
}

/// The same for labels of several lines.
std::string quoted_lines(const std::string& first, const std::string& second) {
    std::string out = quoted(first);
    if (second.empty()) return out;
    out.pop_back();
    return out + "\\n" + quoted(second).substr(1);
}

std::string wait_text(const Edge& edge) {
    const auto time = [](double minutes) {
        return minutes < 90 ? number_text(minutes, 0) + " min" : minutes < 2880 ? number_text(minutes / 60, 1) + " h" : number_text(minutes / 1440, 1) + " d";
    };
    std::string text;
    if (edge.lag > 0) text = "after " + time(edge.lag) + (edge.clock == LagClock::elapsed ? "" : " " + to_text(edge.clock));
    if (std::isfinite(edge.longest)) text += (text.empty() ? "within " : ", within ") + time(edge.longest);
    return text;
}

/// Edges between two steps of the longest chain.
std::set<std::pair<int, int>> critical_pairs(const NetworkTimes& times) {
    std::set<std::pair<int, int>> pairs;
    for (std::size_t i = 1; i < times.critical.size(); ++i) pairs.insert({times.critical[i - 1], times.critical[i]});
    return pairs;
}

std::string dot_step(const Step& step) {
    if (step.kind == "stage") return quoted(step.id) + " [shape=point, xlabel=" + quoted(step.id.substr(step.id.find('/') + 1)) + "];\n";
    const std::string minutes = step.people > 0 ? number_text(step.minutes.mode, 0) + " min" : "";
    return quoted(step.id) + " [label=" + quoted_lines(step.id, minutes) + ", tooltip=" + quoted(step.note) + "];\n";
}

void write_steps(JsonWriter& out, const WorkPlan& plan, const NetworkTimes& times) {
    out.key("steps");
    out.begin_list();
    for (std::size_t i = 0; i < plan.steps.size(); ++i) {
        const Step& step = plan.steps[i];
        out.begin_object();
        out.member("id", step.id);
        out.member("kind", step.kind);
        out.member("joint", step.joint);
        out.member("part", step.part);
        out.member("surface", step.surface);
        out.member("slide", step.slide);
        out.member("slide_state", step.slide_state);
        out.member("low_min", step.minutes.low);
        out.member("mode_min", step.minutes.mode);
        out.member("high_min", step.minutes.high);
        out.member("people", step.people);
        out.member("early_start_min", times.early_start[i]);
        out.member("late_start_min", times.late_start[i]);
        out.member("total_float_min", times.total_float[i]);
        out.member("free_float_min", times.free_float[i]);
        out.end_object();
    }
    out.end_list();
}

using Ends = std::tuple<int, int, std::string, double>;
Ends ends_of(const Edge& edge) { return {edge.from, edge.to, edge.rule, edge.lag}; }

void write_edges(JsonWriter& out, const WorkPlan& plan) {
    std::set<Ends> drawn;
    for (const Edge& edge : plan.drawn_edges) drawn.insert(ends_of(edge));
    out.list("edges", plan.edges, [&](const Edge& edge) {
        out.begin_object();
        out.member("from", plan.steps[at(edge.from)].id);
        out.member("to", plan.steps[at(edge.to)].id);
        out.member("rule", edge.rule);
        out.member("strength", to_text(edge.strength));
        out.member("reason", edge.reason);
        out.member("lag_min", edge.lag);
        out.member("clock", to_text(edge.clock));
        out.key("longest_min");
        if (std::isfinite(edge.longest)) out.value(edge.longest);
        else out.null();
        out.member("drawn", drawn.count(ends_of(edge)) > 0);
        out.end_object();
    });
}

void write_rules(JsonWriter& out, const WorkPlan& plan) {
    std::map<std::string, int> uses;
    for (const Edge& edge : plan.edges) ++uses[edge.rule];
    out.list("rules", sequence_rules(), [&](const SequenceRule& rule) {
        out.begin_object();
        out.member("name", rule.name);
        out.member("strength", to_text(rule.strength));
        out.member("meaning", rule.meaning);
        out.member("source", rule.source);
        out.member("edges", uses.count(rule.name) ? uses.at(rule.name) : 0);
        out.end_object();
    });
}

void write_ids(JsonWriter& out, const char* key, const std::vector<int>& numbers, const WorkPlan& plan) {
    out.list(key, numbers, [&](int step) { out.value(plan.steps[at(step)].id); });
}

}  // namespace

std::string order_dot(const WorkPlan& plan) {
    const NetworkTimes times = critical_path(plan);
    const auto critical = critical_pairs(times);
    std::map<std::string, std::string> groups;
    for (const Step& step : plan.steps) {
        const std::string group = step.kind == "stage" || step.surface.empty() ? "" : step.surface + (step.slide.empty() ? "" : " of " + step.slide);
        groups[group] += (group.empty() ? "  " : "    ") + dot_step(step);
    }
    std::string out = "digraph " + quoted("order of " + plan.coach) + " {\n  rankdir=LR;\n  node [shape=box];\n";
    int number = 0;
    for (const auto& [group, text] : groups) {
        if (group.empty()) out += text;
        else out += "  subgraph cluster_" + std::to_string(++number) + " {\n    label=" + quoted(plain_words(group)) + ";\n" + text + "  }\n";
    }
    for (const Edge& edge : plan.drawn_edges) {
        const char* style = edge.strength == Strength::hard ? "solid" : edge.strength == Strength::firm ? "dashed" : "dotted";
        out += "  " + quoted(plan.steps[at(edge.from)].id) + " -> " + quoted(plan.steps[at(edge.to)].id) + " [style=" + style + ", label=" +
               quoted_lines(plain_words(edge.rule), wait_text(edge)) + ", tooltip=" + quoted(edge.reason) +
               (critical.count({edge.from, edge.to}) ? ", penwidth=3" : "") + "];\n";
    }
    return out + "}\n";
}

std::string order_json(const WorkPlan& plan) {
    const NetworkTimes times = critical_path(plan);
    JsonWriter out;
    out.begin_object();
    out.member("schema", "libseal/order/1");
    out.member("coach", plan.coach);
    out.member("as_of", to_text(plan.as_of));
    write_steps(out, plan, times);
    write_edges(out, plan);
    write_rules(out, plan);
    write_ids(out, "order", plan.order, plan);
    write_ids(out, "critical", times.critical, plan);
    out.member("critical_min", times.length);
    out.end_object();
    return out.take();
}

}  // namespace libseal
