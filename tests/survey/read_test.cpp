#include "support/catch.hpp"

#include <cmath>
#include <limits>

#include "libseal/coach/layouts.hpp"
#include "libseal/survey/grade.hpp"
#include "libseal/survey/read.hpp"
#include "support/problems.hpp"
#include "support/trailers.hpp"

using namespace libseal;
using libseal_test::line_of;
using libseal_test::problems_of;
using libseal_test::replaced;

namespace {

// Synthetic records.
const std::string findings_csv =
    "coach,joint,segment,layer,sign,date,value,unit,size,share_percent,reaches_fastener,bedding_seen,moisture_percent,moisture_dry_percent,inspector,reason\n"
    "t1,skylight,corner_front_street,cap_bead,corner_loose,2026-04-13,3,mm,,5,no,not_seen,,,A. B.,\n"
    "t1,window_2,,,clean_look,2026-04-13,,,,,,,21,12,A. B.,\n"
    "t1,roof_vent_1,,,not_inspected,2026-04-13,,,,,,,,,A. B.,snow on the roof\n";

const std::string work_csv =
    "coach,joint,layer,date,action,family,minutes,who,declined\n"
    "t1,skylight,cap_bead,2025-05-02,cut_out_and_reseal,silyl_modified,85,A. B.,\n"
    "t1,skylight,bedding,2025-05-02,rebed,,40,A. B.,no\n"
    "t1,roof_vent_1,cap_bead,2025-05-02,cut_out_and_reseal,self_levelling_lap,,,yes\n"
    "t1,roof_vent_2,cap_bead,2025-05-02,clean_and_condition,,10,,\n"
    "t1,skylight,cap_bead,2026-08-01,reseal_over,silyl_modified,,,\n";

Fleet one_trailer() { return fleet_of(libseal_test::trailer_of(9.1, make_date(2020, 5, 1))); }

/// Field of the first problem, with the name that its hint offers.
template <class Call>
std::string first_field(const Call& call) {
    const auto problems = problems_of(call);
    if (problems.empty()) return "nothing wrong";
    const std::string& hint = problems[0].hint;
    const auto from = hint.find('"');
    const bool named = hint.rfind("did you mean", 0) == 0;
    return problems[0].field + (named ? ": " + hint.substr(from + 1, hint.rfind('"') - from - 1) : "");
}

}  // namespace

TEST_CASE("findings read the same from a table and from JSON", "[survey]") {
    const auto findings = read_findings_text(findings_csv, "f.csv");
    REQUIRE(findings.size() == 3);
    CHECK(findings[0].value == 3);
    CHECK(findings[0].unit == "mm");
    CHECK(findings[0].share == 0.05);
    CHECK(findings[0].bedding_seen == "not_seen");
    CHECK(findings[1].moisture == 21);
    CHECK(std::isnan(findings[1].value));
    CHECK(findings[2].reason == "snow on the roof");
    const std::string json = findings_json(findings);
    CHECK(findings_json(read_findings_text(json, "f.json")) == json);
    CHECK_NOTHROW(check_findings(findings, one_trailer(), make_date(2026, 4, 13)));
}

TEST_CASE("work done gives its layer a new generation, declined or later work does not", "[survey]") {
    const auto work = read_work_done_text(work_csv, "w.csv");
    REQUIRE(work.size() == 5);
    CHECK(work[2].declined);
    const Fleet before = one_trailer(), fleet = with_work_done(before, work, make_date(2026, 1, 1));
    const Joint& skylight = joint_of(fleet.coaches[0], "skylight");
    CHECK(layer_of(skylight, "cap_bead")->generation == 2);
    CHECK(layer_of(skylight, "cap_bead")->family == "silyl_modified");
    CHECK(layer_of(skylight, "cap_bead")->installed_from == make_date(2025, 5, 2));
    CHECK(layer_of(skylight, "cap_bead")->installed_to == make_date(2025, 5, 2));
    CHECK(layer_of(skylight, "bedding")->generation == 2);
    CHECK(layer_of(skylight, "bedding")->family == "butyl_tape");
    CHECK(layer_of(joint_of(fleet.coaches[0], "roof_vent_1"), "cap_bead")->generation == 1);
    CHECK(layer_of(joint_of(fleet.coaches[0], "roof_vent_2"), "cap_bead")->generation == 1);
    CHECK(layer_of(joint_of(with_work_done(before, work, make_date(2026, 12, 1)).coaches[0], "skylight"), "cap_bead")->generation == 3);
    // Done once: the same records over the result change nothing.
    const Fleet again = with_work_done(fleet, work, make_date(2026, 1, 1));
    CHECK(layer_of(joint_of(again.coaches[0], "skylight"), "cap_bead")->generation == 2);
    auto shuffled = work;
    std::swap(shuffled.front(), shuffled.back());
    CHECK(layer_of(joint_of(with_work_done(before, shuffled, make_date(2026, 12, 1)).coaches[0], "skylight"), "cap_bead")
              ->installed_from == make_date(2026, 8, 1));
}

TEST_CASE("two records of one renewal make one generation, with the later word on its family", "[survey]") {
    const Layer first{"cap_bead", "non_sag_lap", make_date(2020, 5, 1), make_date(2020, 5, 1), 1};
    const auto done = [](const char* family, Date day) { return WorkDone{"t1", "skylight", "cap_bead", day, "cut_out_and_reseal", family, 10, "", false, ""}; };
    const Date day = make_date(2024, 5, 2);
    const LayerHistory history = layer_history(first, "t1", "skylight", {done("polyurethane", day), done("silyl_modified", day), done("non_sag_lap", day + 400)}, day + 500);
    REQUIRE(history.generations.size() == 3);
    CHECK(history.generations[1].generation == 2);
    CHECK(history.generations[1].family == "silyl_modified");
    CHECK(history.generations[1].installed_from == day);
    CHECK(history.generations[2].generation == 3);
    CHECK(history.ended == std::vector<Date>{day, day + 400});
}

TEST_CASE("each fault in a table of findings is named with its line and field", "[bad_input]") {
    struct Case {
        const char* what;
        const char* by;
        const char* field;
    };
    const std::vector<Case> cases = {
        {"corner_loose", "corner_lose", "rows[0].sign"},          {"2026-04-13,3", "13.04.2026,3", "rows[0].date"},
        {"2026-04-13,3", "2026-02-30,3", "rows[0].date"},         {",3,mm", ",three,mm", "rows[0].value"},
        {",3,mm", ",3,inch", "rows[0].unit"},                     {",3,mm", ",3,", "rows[0].unit"},
        {",3,mm", ",,mm", "rows[0].value"},                       {",3,mm", ",-3,mm", "rows[0].value"},
        {",,5,no", ",,500,no", "rows[0].share_percent"},
        {",no,not_seen", ",maybe,not_seen", "rows[0].reaches_fastener"}, {"not_seen", "hidden", "rows[0].bedding_seen"},
        {"cap_bead", "capbead", "rows[0].layer"},                 {",21,12", ",221,12", "rows[1].moisture_percent"},
        {"snow on the roof", "", "rows[2].reason"},               {"t1,window_2", ",window_2", "rows[1].coach"},
        {"t1,window_2", "t1,", "rows[1].joint"},
    };
    for (const auto& one : cases) {
        const std::string bad = replaced(findings_csv, one.what, one.by);
        INFO(one.by);
        REQUIRE_FALSE(bad.empty());
        const auto problems = problems_of([&] { read_findings_text(bad, "f.csv"); });
        REQUIRE_FALSE(problems.empty());
        const std::string field = one.field;  // "rows[1].date": the line says the row
        CHECK(problems[0].field == field.substr(8));
        CHECK(problems[0].line == field[5] - '0' + 2);
    }
    const auto missing = problems_of([] { read_findings_text("coach,joint,sign\n", "f.csv"); });
    REQUIRE(missing.size() == 1);
    CHECK(missing[0].expected == "a column \"date\"");
}

TEST_CASE("each fault in JSON findings and in work records is named", "[bad_input]") {
    const std::string json = "{\"schema\": \"libseal/findings/1\",\n\"findings\": [\n{\"coach\": \"a\", \"joint\": \"b\", \"sign\": \"gap\", \"date\": \"2026-04-13\"}\n]}";
    const auto first = [&](const std::string& what, const std::string& by) {
        const std::string bad = replaced(json, what, by);
        REQUIRE_FALSE(bad.empty());
        const auto problems = problems_of([&] { read_findings_text(bad, "f.json"); });
        REQUIRE_FALSE(problems.empty());
        CHECK(problems[0].line == line_of(bad, by));
        return problems[0].field;
    };
    CHECK(first("\"gap\"", "\"gpa\"") == "findings[0].sign");
    CHECK(first("\"joint\": \"b\"", "\"joint\": 7") == "findings[0].joint");
    CHECK(first("\"date\"", "\"day\"") == "findings[0].day");
    CHECK(first("findings/1", "findings/9") == "schema");
    CHECK(first("\"gap\"", "\"gap\", \"value\": \"3\"") == "findings[0].value");
    CHECK(first("\"gap\"", "\"gap\", \"reaches_fastener\": \"yes\"") == "findings[0].reaches_fastener");
    for (const char* none : {"3", "null", "[]"}) {
        const auto record = problems_of([&] { read_findings_text("{\"schema\": \"libseal/findings/1\", \"findings\": [" + std::string(none) + "]}", "f.json"); });
        REQUIRE(record.size() == 1);
        CHECK(record[0].field == "findings[0]");
        CHECK(record[0].expected == "an object");
        const auto done = problems_of([&] { read_work_done_text("{\"schema\": \"libseal/work_done/1\", \"work_done\": [" + std::string(none) + "]}", "w.json"); });
        REQUIRE(done.size() == 1);
        CHECK(done[0].field == "work_done[0]");
        CHECK(done[0].expected == "an object");
    }
    const auto work = [](const std::string& what, const std::string& by) {
        const auto problems = problems_of([&] { read_work_done_text(replaced(work_csv, what, by), "w.csv"); });
        REQUIRE_FALSE(problems.empty());
        return problems[0].field;
    };
    CHECK(work("cut_out_and_reseal", "cut_out") == "action");
    CHECK(work("silyl_modified", "silly") == "family");
    CHECK(work(",85,", ",-85,") == "minutes");
    CHECK(work("t1,skylight,bedding", "t1,skylight,") == "layer");
}

TEST_CASE("records of what is not there are refused by their index", "[bad_input]") {
    const Fleet fleet = one_trailer();
    auto findings = read_findings_text(findings_csv, "f.csv");
    findings[0].joint = "skylihgt";
    findings[1].coach = "t2";
    findings[2].layer = "wiper_seal";
    const auto problems = problems_of([&] { check_findings(findings, fleet, make_date(2026, 4, 12)); });
    REQUIRE(problems.size() == 6);  // three things that are not there, and three days after the day of the look
    CHECK(problems[0].field == "findings[0].joint");
    CHECK(problems[0].hint == "did you mean \"skylight\"?");
    CHECK(problems[1].field == "findings[0].date");
    CHECK(problems[2].field == "findings[1].coach");
    CHECK(problems[4].field == "findings[2].layer");
    auto work = read_work_done_text(work_csv, "w.csv");
    work[0].layer = "gasket";
    CHECK(problems_of([&] { check_work_done(work, fleet, make_date(2026, 12, 1)); })[0].field == "work_done[0].layer");
}

TEST_CASE("records that no reader has seen are held to the words and numbers of the files", "[bad_input]") {
    const Fleet fleet = one_trailer();
    const Date day = make_date(2026, 12, 1);
    const double infinite = std::numeric_limits<double>::infinity();
    const auto wrong_finding = [&](const auto& change) {
        auto findings = read_findings_text(findings_csv, "f.csv");
        change(findings[0]);
        return first_field([&] { check_findings(findings, fleet, day); });
    };
    CHECK(wrong_finding([](Finding&) {}) == "nothing wrong");
    CHECK(wrong_finding([](Finding& f) { f.sign = "gapp"; }) == "findings[0].sign: gap");
    CHECK(wrong_finding([](Finding& f) { f.sign = ""; }) == "findings[0].sign");
    CHECK(wrong_finding([](Finding& f) { f.unit = "cm"; }) == "findings[0].unit: mm");
    CHECK(wrong_finding([](Finding& f) { f.unit = ""; }) == "findings[0].unit");
    CHECK(wrong_finding([](Finding& f) { f.size = "huge"; }) == "findings[0].size");
    CHECK(wrong_finding([](Finding& f) { f.bedding_seen = "maybe"; }) == "findings[0].bedding_seen");
    CHECK(wrong_finding([](Finding& f) { f.value = -0.1; }) == "findings[0].value");
    CHECK(wrong_finding([&](Finding& f) { f.value = infinite; }) == "findings[0].value");
    CHECK(wrong_finding([](Finding& f) { f.share = 60; }) == "findings[0].share");  // percent where a share is asked for
    CHECK(wrong_finding([](Finding& f) { f.moisture = -3; }) == "findings[0].moisture");
    CHECK(wrong_finding([](Finding& f) { f.moisture_dry = 201; }) == "findings[0].moisture_dry");
    CHECK(wrong_finding([](Finding& f) { f.sign = "not_inspected"; f.reason = ""; }) == "findings[0].reason");
    CHECK(wrong_finding([](Finding& f) { f.joint = f.part = f.segment = f.layer = ""; }) == "findings[0].joint");
    const auto wrong_work = [&](const auto& change) {
        auto work = read_work_done_text(work_csv, "w.csv");
        change(work[0]);
        return first_field([&] { check_work_done(work, fleet, day); });
    };
    CHECK(wrong_work([](WorkDone&) {}) == "nothing wrong");
    CHECK(wrong_work([](WorkDone& w) { w.action = "reseal_ovr"; }) == "work_done[0].action: reseal_over");
    CHECK(wrong_work([](WorkDone& w) { w.minutes = -1; }) == "work_done[0].minutes");
    CHECK(wrong_work([](WorkDone& w) { w.layer = ""; }) == "work_done[0].layer");
    Finding unknown;
    unknown.sign = "gapp";
    const auto problems = problems_of([&] { grade({unknown}, joint_type(Catalogue::built_in(), "window_frame"), Catalogue::built_in()); });
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].field == "sign");
    CHECK(problems[0].hint == "did you mean \"gap\"?");
}

TEST_CASE("the same look told twice is one look, with any other word it is two that contradict each other", "[bad_input]") {
    const auto told_again = [&](const auto& change) {
        const auto looks = read_findings_text(findings_csv, "f.csv");
        Finding second = looks[0];
        change(second);
        return problems_of([&] { read_findings_text(findings_json({looks[0], second}), "f.json"); }).size();
    };
    CHECK(told_again([](Finding&) {}) == 0);
    CHECK(told_again([](Finding& f) { f.value += 1; }) == 1);
    CHECK(told_again([](Finding& f) { f.size = "severe"; }) == 1);
    CHECK(told_again([](Finding& f) { f.share = 0.06; }) == 1);
    CHECK(told_again([](Finding& f) { f.reaches_fastener = !f.reaches_fastener; }) == 1);
    CHECK(told_again([](Finding& f) { f.bedding_seen = "sound"; }) == 1);
    CHECK(told_again([](Finding& f) { f.moisture = 20; }) == 1);
    CHECK(told_again([](Finding& f) { f.moisture_dry = 9; }) == 1);
    CHECK(told_again([](Finding& f) { f.sign = "missing"; }) == 0);  // another sign is another finding
}
