// Work orders as JSON, schema libseal/work_order/1.

#include "core/json.hpp"
#include "libseal/work/work_order.hpp"

namespace libseal {
namespace {

using detail::JsonWriter;

/// "2026-11-25T08:30", local.
std::string time_text(std::int64_t minute) {
    const std::int64_t day = minute >= 0 ? minute / 1440 : -((1439 - minute) / 1440), rest = minute - day * 1440;
    const auto two = [](std::int64_t n) { return (n < 10 ? "0" : "") + std::to_string(n); };
    return to_text(Date{static_cast<std::int32_t>(day)}) + "T" + two(rest / 60) + ":" + two(rest % 60);
}

void write(JsonWriter& out, const char* key, const Minutes& minutes) {
    out.key(key);
    out.begin_object();
    out.member("low", minutes.low);
    out.member("mode", minutes.mode);
    out.member("high", minutes.high);
    out.end_object();
}

void write(JsonWriter& out, const WorkOrderLine& line) {
    out.begin_object();
    out.member("number", line.number);
    out.member("id", line.id);
    out.member("kind", line.kind);
    out.member("place", line.place);
    out.member("surface", line.surface);
    out.member("slide_state", line.slide_state);
    write(out, "minutes", line.minutes);
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

void write_stock(JsonWriter& out, const WorkOrder& order) {
    out.key("materials");
    out.begin_list();
    for (const Material& m : order.materials) {
        out.begin_object();
        out.member("family", m.family);
        out.member(m.volume_ml > 0 ? "volume_ml" : "length_m", m.volume_ml > 0 ? m.volume_ml : m.length_m);
        out.member("ordered", m.ordered);
        out.member("package_size", m.package_size);
        out.member("packages", m.packages);
        out.end_object();
    }
    out.end_list();
    out.key("supplies");
    out.begin_list();
    for (const Supply& s : order.supplies) {
        out.begin_object();
        out.member("name", s.name);
        out.member("amount", s.amount);
        out.member("unit", s.unit);
        out.end_object();
    }
    out.end_list();
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
    out.key("lines");
    out.begin_list();
    for (const WorkOrderLine& line : order.lines) write(out, line);
    out.end_list();
    write_stock(out, order);
    out.member("tools", order.tools);
    write(out, "person_minutes", order.minutes);
    out.member("gates", order.gates);
    out.member("tests", order.tests);
    out.key("cautions");
    out.begin_list();
    for (const Caution& caution : order.cautions) {
        out.begin_object();
        out.member("id", caution.id);
        out.member("text", caution.text);
        out.end_object();
    }
    out.end_list();
    out.member("warnings", order.warnings);
    out.member("notes", order.notes);
    out.member("closing", order.closing);
    out.end_object();
    return out.take();
}

}  // namespace libseal
