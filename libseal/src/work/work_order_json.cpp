// Work orders as JSON, schema libseal/work_order/1.

#include "libseal/work/work_order.hpp"
#include "work/json_parts.hpp"

namespace libseal {
namespace {

using detail::JsonWriter;
using detail::write_cautions;
using detail::write_range;
using detail::write_supplies;

/// "2026-11-25T08:30", local.
std::string time_text(std::int64_t minute) {
    const std::int64_t day = minute >= 0 ? minute / 1440 : -((1439 - minute) / 1440), rest = minute - day * 1440;
    const auto two = [](std::int64_t n) { return (n < 10 ? "0" : "") + std::to_string(n); };
    return to_text(Date{static_cast<std::int32_t>(day)}) + "T" + two(rest / 60) + ":" + two(rest % 60);
}

void write(JsonWriter& out, const WorkOrderLine& line) {
    out.begin_object();
    out.member("number", line.number);
    out.member("id", line.id);
    out.member("kind", line.kind);
    out.member("place", line.place);
    out.member("surface", line.surface);
    out.member("slide_state", line.slide_state);
    write_range(out, "minutes", line.minutes);
    out.member("people", line.people);
    out.member("wait_min", line.wait);
    out.member("family", line.family);
    out.member("volume_ml", line.volume_ml);
    out.member("length_m", line.length_m);
    out.member("gate", line.gate);
    out.member("reach", line.reach);
    out.member("skills", line.skills);
    out.member("tools", line.tools);
    out.member("cautions", line.cautions);
    out.member("note", line.note);
    if (line.end > 0) {
        out.member("start", time_text(line.start));
        out.member("end", time_text(line.end));
        out.member("who", line.who);
        out.member("bay", line.bay);
    }
    out.end_object();
}

void write(JsonWriter& out, const Material& m) {
    out.begin_object();
    out.member("family", m.family);
    out.member(m.volume_ml > 0 ? "volume_ml" : "length_m", m.volume_ml > 0 ? m.volume_ml : m.length_m);
    out.member("ordered", m.ordered);
    out.member("package_size", m.package_size);
    out.member("packages", m.packages);
    out.end_object();
}

}  // namespace

std::string work_order_json(const WorkOrder& order) {
    JsonWriter out;
    out.begin_object();
    out.member("schema", "libseal/work_order/1");
    out.member("coach", order.coach);
    out.member("shop", order.shop);
    out.member("as_of", to_text(order.as_of));
    if (order.timed) {
        out.member("first", to_text(order.first));
        out.member("last", to_text(order.last));
    }
    out.list("lines", order.lines, [&](const WorkOrderLine& line) { write(out, line); });
    out.list("materials", order.materials, [&](const Material& material) { write(out, material); });
    write_supplies(out, order.supplies);
    out.member("tools", order.tools);
    write_range(out, "person_minutes", order.minutes);
    out.member("gates", order.gates);
    out.member("tests", order.tests);
    write_cautions(out, order.cautions);
    out.member("warnings", order.warnings);
    out.member("notes", order.notes);
    out.member("closing", order.closing);
    out.end_object();
    return out.take();
}

}  // namespace libseal
