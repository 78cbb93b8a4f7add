#include <cmath>

#include "core/json.hpp"
#include "core/record_table.hpp"
#include "libseal/core/text.hpp"
#include "libseal/survey/read.hpp"
#include "survey/check.hpp"

namespace libseal {
namespace {

const std::vector<std::string>& finding_fields() {
    static const std::vector<std::string> names = {
        "coach", "joint", "part", "segment", "layer", "sign", "date", "value", "unit", "size", "share_percent", "reaches_fastener",
        "bedding_seen", "moisture_percent", "moisture_dry_percent", "inspector", "photo", "note", "reason"};
    return names;
}

/// Checks beyond one finding: keys that repeat, and the fleet if there is one.
class Whole {
public:
    explicit Whole(const detail::RecordCheck* fleet) : fleet_(fleet) {}
    void check(const Finding& finding, const detail::Note& note) {
        if (!detail::check_whole(finding, note)) return;
        same_key_.check(finding, note);
        if (fleet_) fleet_->check(finding, note);
    }

private:
    const detail::RecordCheck* fleet_;
    detail::SameKey same_key_;
};

std::vector<Finding> findings_from_table(std::string_view text, const std::string& name, const detail::RecordCheck* fleet) {
    detail::RecordTable row(text, name, finding_fields(), {"coach", "sign", "date"});
    std::vector<Finding> findings;
    Whole whole(fleet);
    while (row.next()) {
        const std::size_t before = row.problem_count();
        for (const char* column : {"coach", "sign", "date"}) row.need(column);
        Finding f;
        f.coach = row.text("coach");
        f.joint = row.text("joint");
        f.part = row.text("part");
        f.segment = row.text("segment");
        f.layer = row.word("layer", layer_names());
        f.sign = row.word("sign", sign_names());
        f.date = row.date("date");
        f.value = row.number("value", 0, detail::largest_value);
        f.unit = row.word("unit", detail::unit_names());
        f.size = row.word("size", detail::size_names());
        f.share = row.number("share_percent", 0, 100) / 100;
        f.reaches_fastener = row.yes_no("reaches_fastener", false);
        f.bedding_seen = row.word("bedding_seen", detail::bedding_seen_names());
        f.moisture = row.number("moisture_percent", 0, detail::largest_moisture);
        f.moisture_dry = row.number("moisture_dry_percent", 0, detail::largest_moisture);
        f.inspector = row.text("inspector");
        f.photo = row.text("photo");
        f.note = row.text("note");
        f.reason = row.text("reason");
        // What it means is only looked at once it could be read.
        if (row.problem_count() == before)
            whole.check(f, [&](const std::string& field, const std::string& expected, const std::string& got, const std::string& hint) {
                row.fail(field, expected, got, hint);
            });
        findings.push_back(std::move(f));
    }
    row.throw_if_any();
    return findings;
}

Finding finding_from(const detail::JsonView& item, Whole& whole) {
    const std::size_t before = item.problem_count();
    constexpr double none = std::numeric_limits<double>::quiet_NaN();
    item.check_keys(finding_fields());
    Finding f;
    f.coach = item.required("coach").text();
    f.joint = item.member("joint").text();
    f.part = item.member("part").text();
    f.segment = item.member("segment").text();
    f.layer = item.member("layer").word(layer_names());
    f.sign = item.required("sign").word(sign_names());
    f.date = item.required("date").date(Date{});
    f.value = item.member("value").number(0, detail::largest_value, none);
    f.unit = item.member("unit").word(detail::unit_names());
    f.size = item.member("size").word(detail::size_names());
    f.share = item.member("share_percent").number(0, 100, none) / 100;
    f.reaches_fastener = item.member("reaches_fastener").boolean(false);
    f.bedding_seen = item.member("bedding_seen").word(detail::bedding_seen_names());
    f.moisture = item.member("moisture_percent").number(0, detail::largest_moisture, none);
    f.moisture_dry = item.member("moisture_dry_percent").number(0, detail::largest_moisture, none);
    f.inspector = item.member("inspector").text();
    f.photo = item.member("photo").text();
    f.note = item.member("note").text();
    f.reason = item.member("reason").text();
    if (item.problem_count() > before) return f;
    whole.check(f, [&](const std::string& field, const std::string& expected, const std::string& got, const std::string& hint) {
        const auto member = item.member(field);
        member.present() ? member.fail(expected, got, hint) : item.fail_as(member.path(), expected, got, hint);
    });
    return f;
}

void write_finding(detail::JsonWriter& writer, const Finding& f) {
    const auto text = [&](const char* key, const std::string& value) {
        if (value.empty()) return;
        writer.key(key);
        writer.value(value);
    };
    const auto number = [&](const char* key, double value) {
        if (std::isnan(value)) return;
        writer.key(key);
        writer.value(value);
    };
    writer.begin_object();
    text("coach", f.coach);
    text("joint", f.joint);
    text("part", f.part);
    text("segment", f.segment);
    text("layer", f.layer);
    text("sign", f.sign);
    text("date", to_text(f.date));
    number("value", f.value);
    text("unit", f.unit);
    text("size", f.size);
    number("share_percent", std::round(f.share * 1e12) / 1e10);
    if (f.reaches_fastener) {
        writer.key("reaches_fastener");
        writer.value(true);
    }
    text("bedding_seen", f.bedding_seen);
    number("moisture_percent", f.moisture);
    number("moisture_dry_percent", f.moisture_dry);
    text("inspector", f.inspector);
    text("photo", f.photo);
    text("note", f.note);
    text("reason", f.reason);
    writer.end_object();
}

}  // namespace

namespace {

std::vector<Finding> findings_from(std::string_view text, const std::string& name, const detail::RecordCheck* fleet) {
    if (!detail::looks_like_json(text)) return findings_from_table(text, name, fleet);
    const detail::JsonDocument document(std::string(text), name);
    detail::Problems problems;
    const auto root = detail::JsonView::root(document, problems);
    root.check_schema("libseal/findings/1");
    root.check_keys({"schema", "findings"});
    std::vector<Finding> findings;
    Whole whole(fleet);
    for (const auto& item : root.required("findings").items(limits::table_rows)) {
        if (item.node().kind == detail::JsonNode::Kind::object) findings.push_back(finding_from(item, whole));
        else item.fail("an object", item.shown());
    }
    problems.throw_if_any();
    return findings;
}

}  // namespace

std::vector<Finding> read_findings_text(std::string_view text, const std::string& name) {
    return findings_from(text, name, nullptr);
}

std::vector<Finding> read_findings_text(std::string_view text, const std::string& name, const Fleet& fleet, Date as_of) {
    const detail::RecordCheck check(fleet, as_of);
    return findings_from(text, name, &check);
}

std::vector<Finding> read_findings(const std::string& path) { return read_findings_text(read_text_file(path), path); }

std::vector<Finding> read_findings(const std::string& path, const Fleet& fleet, Date as_of) {
    return read_findings_text(read_text_file(path), path, fleet, as_of);
}

std::string findings_json(const std::vector<Finding>& findings) {
    detail::JsonWriter writer;
    writer.begin_object();
    writer.key("schema");
    writer.value("libseal/findings/1");
    writer.key("findings");
    writer.begin_list();
    for (const auto& finding : findings) write_finding(writer, finding);
    writer.end_list();
    writer.end_object();
    return writer.take();
}

namespace {

const std::vector<std::string>& work_fields() {
    static const std::vector<std::string> names = {"coach",  "joint",   "layer", "date",    "action",
                                                   "family", "minutes", "who",   "declined", "part"};
    return names;
}

std::vector<WorkDone> work_from_table(std::string_view text, const std::string& name) {
    const auto families = Catalogue::built_in().names("sealant");
    detail::RecordTable row(text, name, work_fields(), {"coach", "date", "action"});
    std::vector<WorkDone> work;
    while (row.next()) {
        for (const char* column : {"coach", "date", "action"}) row.need(column);
        if (row.text("part").empty() || !row.text("joint").empty())
            for (const char* column : {"joint", "layer"}) row.need(column);
        work.push_back({row.text("coach"), row.text("joint"), row.word("layer", layer_names()), row.date("date"),
                        row.word("action", action_names()), row.word("family", families), row.number("minutes", 0, detail::longest_work),
                        row.text("who"), row.yes_no("declined", false), row.text("part")});
    }
    row.throw_if_any();
    return work;
}

}  // namespace

std::vector<WorkDone> read_work_done_text(std::string_view text, const std::string& name) {
    if (!detail::looks_like_json(text)) return work_from_table(text, name);
    const detail::JsonDocument document(std::string(text), name);
    detail::Problems problems;
    const auto root = detail::JsonView::root(document, problems);
    root.check_schema("libseal/work_done/1");
    root.check_keys({"schema", "work_done"});
    const auto families = Catalogue::built_in().names("sealant");
    std::vector<WorkDone> work;
    for (const auto& item : root.required("work_done").items(limits::table_rows)) {
        if (item.node().kind != detail::JsonNode::Kind::object) {
            item.fail("an object", item.shown());
            continue;
        }
        item.check_keys(work_fields());
        const bool of_joint = !item.member("part").present() || item.member("joint").present();
        work.push_back({item.required("coach").text(), (of_joint ? item.required("joint") : item.member("joint")).text(),
                        (of_joint ? item.required("layer") : item.member("layer")).word(layer_names()), item.required("date").date(Date{}),
                        item.required("action").word(action_names()), item.member("family").word(families),
                        item.member("minutes").number(0, detail::longest_work, std::numeric_limits<double>::quiet_NaN()),
                        item.member("who").text(), item.member("declined").boolean(false), item.member("part").text()});
    }
    problems.throw_if_any();
    return work;
}

std::vector<WorkDone> read_work_done(const std::string& path) { return read_work_done_text(read_text_file(path), path); }

}  // namespace libseal
