#include "libseal/core/limits.hpp"

#include <filesystem>
#include <functional>

#include "core/json.hpp"
#include "core/record_table.hpp"
#include "libseal/calendar/icalendar.hpp"
#include "libseal/calendar/owner_dates.hpp"
#include "libseal/catalogue/catalogue.hpp"
#include "libseal/climate/read.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/coach/read.hpp"
#include "libseal/core/csv.hpp"
#include "libseal/core/text.hpp"
#include "libseal/schedule/schedule.hpp"
#include "libseal/survey/read.hpp"
#include "libseal/work/holidays.hpp"
#include "support/catch.hpp"
#include "support/problems.hpp"

using namespace libseal;
using libseal_test::problems_of;

namespace {

std::string repeated(const std::string& text, std::size_t count) {
    std::string all;
    all.reserve(text.size() * count);
    for (std::size_t i = 0; i < count; ++i) all += text;
    return all;
}

std::string listed(const std::string& item, std::size_t count) {
    std::string all = repeated(item + ",", count);
    if (!all.empty()) all.pop_back();
    return "[" + all + "]";
}

/// An error that says the limit, what was there, and what to do.
void check_limit(const std::function<void()>& call, const std::string& limit, const std::string& got) {
    const auto problems = problems_of(call);
    REQUIRE_FALSE(problems.empty());
    INFO(to_text(problems[0]));
    CHECK(problems[0].expected.find(limit) != std::string::npos);
    CHECK(problems[0].got.find(got) != std::string::npos);
    CHECK_FALSE(problems[0].hint.empty());
}

void read_json(const std::string& text) { detail::JsonDocument(text, "f.json"); }

std::string shop(const std::string& member) {
    return R"({"schema": "libseal/shop/1", "name": "s", "labour_rate_per_h": 100, "people": [{"id": "p"}], )" + member + "}";
}

}  // namespace

TEST_CASE("JSON is refused beyond its limits, not beneath", "[core][bad_input]") {
    const auto deep = [](std::size_t levels) { return std::string(levels, '[') + std::string(levels, ']'); };
    read_json(deep(limits::json_depth));
    check_limit([&] { read_json(deep(limits::json_depth + 1)); }, "64 levels", "one level more");
    check_limit([&] { read_json(std::string(1'000'000, '[')); }, "64 levels", "one level more");
    const auto text = [](std::size_t octets) { return "[\"" + std::string(octets, 'x') + "\"]"; };
    read_json(text(limits::text_octets));
    check_limit([&] { read_json(text(limits::text_octets + 1)); }, "at most 1048576", "1048577 octets");
    const auto key = [](std::size_t octets) { return "{\"" + std::string(octets, 'k') + "\": 1}"; };
    read_json(key(limits::name_octets));
    check_limit([&] { read_json(key(limits::name_octets + 1)); }, "at most 1000", "1001 octets");
    const auto number = [](std::size_t digits) { return "[0." + std::string(digits - 2, '1') + "]"; };
    read_json(number(limits::number_digits));
    check_limit([&] { read_json(number(limits::number_digits + 1)); }, "at most 1000", "1001 characters");
}

TEST_CASE("a number that no double holds is refused by name, at its place", "[core][bad_input]") {
    for (const std::string number : {"1e999", "-1e400", "1e-400", "123456789e999999999999"}) {
        const auto problems = problems_of([&] { read_json("{\n \"a\": " + number + "}"); });
        REQUIRE(problems.size() == 1);
        CHECK(problems[0].line == 2);
        CHECK(problems[0].column == 7);
        CHECK(problems[0].got == number);
        CHECK(problems[0].expected == "a number that a double holds");
        CHECK_FALSE(problems[0].hint.empty());
    }
}

TEST_CASE("a document of too many values is refused", "[.limits][core][bad_input]") {
    check_limit([&] { read_json(listed("0", limits::json_values)); }, "16000000 values", "more");  // the list is one too
}

TEST_CASE("tables are refused beyond their limits, not beneath", "[core][bad_input]") {
    const auto columns = [](std::size_t count) { return [=] {
        const std::string text = repeated(",", count - 1) + "\n";
        CsvReader reader(text, "f.csv");
        std::vector<CsvField> record;
        while (reader.next(record)) {}
    }; };
    columns(limits::table_columns)();
    check_limit(columns(limits::table_columns + 1), "at most 1000 values", "more");
    check_limit(columns(1'000'000), "at most 1000 values", "more");
    const auto value = [](std::size_t octets) { return [=] {
        const std::string text = "a\n" + std::string(octets, 'x');
        CsvReader reader(text, "f.csv");
        std::vector<CsvField> record;
        while (reader.next(record)) {}
    }; };
    value(limits::text_octets)();
    check_limit(value(limits::text_octets + 1), "1048576 octets", "1048577");
    // One line of many values, as a reader of records meets it.
    check_limit([] { read_owner_dates_text("coach,from,to\n" + std::string(2'000'000, 'x'), "f.csv"); }, "1048576 octets", "2000000");
}

TEST_CASE("a file without end is read to its limit only", "[.limits][core][bad_input]") {
    try {
        read_text_file("/dev/zero");
        FAIL("a file without end was read");
    } catch (const FileError& error) {
        CHECK(error.problems()[0].expected == "a file of at most 1073741824 octets");
        CHECK(error.problems()[0].hint == "split the file");
    }
}

TEST_CASE("the fiftieth problem ends the reading", "[core][bad_input]") {
    // As many wrong rows, keys and ids as would take hours, were each compared with all names and shown with its lines.
    const std::size_t many = 200'000;
    CHECK(problems_of([&] { read_findings_text("coach,sign,date\n" + repeated("a,b,c\n", many), "f.csv"); }).size() == limits::problems);
    std::string keys = R"({"schema": "libseal/findings/1", "findings": [{)", ids = R"({"schema": "libseal/catalogue/1", "values": {)";
    for (std::size_t i = 0; i < many; ++i) {
        keys += "\"key" + std::to_string(i) + "\": 1,\n";
        ids += "\"sealant/none_" + std::to_string(i) + "/weight_light\": {},\n";
    }
    CHECK(problems_of([&] { read_findings_text(keys + "\"z\": 1}]}", "f.json"); }).size() == limits::problems);
    CHECK(problems_of([&] { Catalogue::built_in().with_overlay(ids + "\"z\": 1}}", "f.json"); }).size() == limits::problems);
    CHECK(problems_of([&] { read_weather_text("time_utc," + repeated("unknown,", many) + "x\n", "f.csv"); }).size() == limits::problems);
    CHECK(problems_of([&] { read_fleet_text(repeated("unknown,", 900) + "x\n", "f.csv"); }).size() == limits::problems);
}

TEST_CASE("errors are readable text of bounded length, whatever was there", "[core][bad_input]") {
    const std::string bytes = "\xff\xc3\xed\xa0\x80 caf\xc3\xa9", cut = std::string(59, 'x') + "\xc3\xa9" + std::string(60, 'y');
    for (const std::string& one : {bytes, cut, std::string("a\0b", 3), std::string(100'000, 'z')}) {
        const auto problems = problems_of([&] { read_owner_dates_text("coach,from,to\nt1," + one + ",2027-01-01\n", "f.csv"); });
        REQUIRE_FALSE(problems.empty());
        for (const Problem& problem : problems) {
            CHECK(is_utf8(to_text(problem)));
            CHECK(to_text(problem).find('\0') == std::string::npos);
            CHECK(to_text(problem).size() < 4000);
        }
    }
    Problem own;
    own.field = std::string(5000, 'f');
    own.got = "\xff";
    const ValueError error(own);
    CHECK(error.problems()[0].field.size() == 1003);
    CHECK(error.problems()[0].got == "\uFFFD");
}

TEST_CASE("a coach with too much of anything is refused before it is looked at", "[coach][bad_input]") {
    LayoutOptions options = layout_options("travel_trailer");
    options.installed_from = options.installed_to = make_date(2020, 5, 1);
    const Coach sound = travel_trailer(8, options);
    const Catalogue catalogue = Catalogue::built_in();
    const auto refused = [&](const std::string& limit, const std::string& got, const auto& change) {
        Coach coach = sound;
        change(coach);
        check_limit([&] { check_coach(coach, catalogue); }, limit, got);
    };
    refused("at most 5000", "5001", [](Coach& c) { c.joints.resize(limits::coach_joints + 1, c.joints.front()); });
    refused("at most 5000", "5001", [](Coach& c) { c.parts.resize(limits::coach_parts + 1, c.parts.front()); });
    refused("at most 500", "501", [](Coach& c) { c.surfaces.resize(limits::coach_surfaces + 1, c.surfaces.front()); });
    refused("at most 10000", "10001", [](Coach& c) { c.stays.resize(limits::coach_stays + 1); });
    refused("at most 1000", "1001", [](Coach& c) { c.joints[3].path.resize(limits::joint_points + 1); });
    refused("at most 1000", "1001", [](Coach& c) { c.surfaces[1].outline.resize(limits::joint_points + 1); });
    refused("1000 octets", "1001", [](Coach& c) { c.joints[0].id = std::string(limits::name_octets + 1, 'j'); });
    refused("1000 octets", "1001", [](Coach& c) { c.id = std::string(limits::name_octets + 1, 'c'); });
    Coach wrong = sound;
    for (auto& joint : wrong.joints) joint.type = "none such", joint.surface = "nowhere";
    CHECK(problems_of([&] { check_coach(wrong, catalogue); }).size() == limits::problems);
}

TEST_CASE("a fleet names files of coaches only, not pipes or devices", "[coach][bad_input]") {
    const auto problems = problems_of([] { read_fleet_text(R"({"schema": "libseal/fleet/1", "coaches": [{"file": "/dev/zero", "id": "a"}]})", "f.json"); });
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].got == "/dev/zero: a folder, a pipe or a device");
}

TEST_CASE("a shop with too much of anything is refused", "[work][bad_input]") {
    const auto refused = [](const std::string& text, const std::string& limit, const std::string& got) {
        check_limit([&] { read_shop_text(text, "f.json"); }, limit, got);
    };
    refused(shop("\"holidays\": " + listed("\"2027-01-01\"", limits::shop_days + 1)), "at most 10000 items", "10001");
    refused(shop("\"closed\": " + listed("{}", limits::shop_days + 1)), "at most 10000 items", "10001");
    refused(shop("\"absences\": " + listed("{}", limits::shop_days + 1)), "at most 10000 items", "10001");
    refused(shop("\"overtime\": " + listed("{}", limits::shop_days + 1)), "at most 10000 items", "10001");
    refused(shop("\"bay_list\": " + listed("{}", limits::shop_bays + 1)), "at most 1000 items", "1001");
    refused(shop("\"holiday_rules\": " + listed("\"us_federal\"", limits::holiday_rules + 1)), "at most 200 items", "201");
    refused(R"({"schema": "libseal/shop/1", "name": "s", "labour_rate_per_h": 1, "people": )" + listed("{}", limits::shop_people + 1) + "}", "at most 1000 items",
            "1001");
    check_limit([] { read_holiday_rules_text(R"({"schema": "libseal/holidays/1", "name": "h", "rules": )" + listed("{}", limits::holiday_rules + 1) + "}", "f.json"); },
                "at most 200 items", "201");
}

TEST_CASE("business days of thousands of years are counted", "[work]") {
    const HolidayRules& rules = holiday_rules("us_federal");
    const Date first = make_date(1584, 1, 1), last = make_date(9998, 1, 1);
    const int weekdays = business_days(first, last, {});
    CHECK(weekdays == Approx((last - first) * 5.0 / 7).margin(5));
    CHECK(business_days(first, last, rules) < weekdays);
}

TEST_CASE("weather of too many rows or gaps is refused", "[.limits][climate][bad_input]") {
    const std::string head = "# utc_offset_h: 0\ntime_utc,ghi_w_m2\n";
    check_limit([&] { read_weather_text(head + repeated("2024-01-01T00:00,1\n", limits::weather_rows + 1), "f.csv"); }, "at most 6000000 rows", "more");
}

TEST_CASE("a schedule stretches over years, not over ages", "[schedule][bad_input]") {
    WorkPlan plan;
    plan.coach = "t1";
    Step step;
    step.id = step.kind = "s0";
    step.minutes = {60, 60, 60};
    plan.steps.push_back(step);
    plan.order = ordered_steps(plan.steps, {});
    Shop shop;
    shop.people.push_back({"p0", {}, 480, 1020});
    const std::string score = R"({"urgent_days_late": 0, "minutes_late": 0, "steps_moved": 0, "minutes_of_stay": 0, "changes": 0})";
    const auto text = [&](const std::string& from, const std::string& to) {
        return R"({"schema": "libseal/schedule/1", "outcome": "feasible", "begin": "2027-03-01", "end": "2027-03-02", "lower_bound": "2027-03-02", "score": )" + score +
               ", \"bound\": " + score + R"(, "stays": [], "steps": [{"coach": "t1", "step": "s0", "start": ")" + from + R"(", "end": ")" + to +
               R"(", "people": ["p0"], "pieces": [")" + from + " to " + to + R"("]}]})";
    };
    const std::vector<Booking> bookings{{plan}};
    CHECK(read_schedule_text(text("2027-03-01 08:00", "2027-03-31 08:00"), "f.json", bookings, shop).days.size() == 31);
    check_limit([&] { read_schedule_text(text("1400-01-01 00:00", "9999-12-31 23:59"), "f.json", bookings, shop); }, "at most 31 days", "1400-01-01");
    // The end of the last day has no name: nothing could be written of it.
    check_limit([&] { read_schedule_text(text("2027-03-01 08:00", "9999-12-31 24:00"), "f.json", bookings, shop); }, "a time such as", "9999-12-31 24:00");
    std::string far = text("1400-01-01 00:00", "9999-12-31 00:00");
    far.replace(far.find("[\"1400"), far.find("\"]}]}") + 2 - far.find("[\"1400"), "[]");
    check_limit([&] { read_schedule_text(far, "f.json", bookings, shop); }, "within 3660 days", "9999-12-31");
}

TEST_CASE("calendars nested without end, and rules and durations of any length, are judged at once", "[calendar][bad_input]") {
    const auto first_of = [](const std::vector<Problem>& problems, const std::string& expected) {
        for (const Problem& problem : problems)
            if (problem.expected.find(expected) != std::string::npos) return problem.got;
        return std::string("no such problem");
    };
    const std::string nested = repeated("BEGIN:VEVENT\r\n", 200'000) + repeated("END:VTODO\r\n", 200'000);
    CHECK(first_of(check_icalendar(nested), "at most 16 components") == "one more");
    // Each looks for its own parts among all others.
    CHECK_FALSE(check_icalendar(repeated("BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n", 100'000)).empty());
    CHECK_FALSE(check_icalendar("BEGIN:VCALENDAR\r\n" + repeated("BEGIN:VTIMEZONE\r\nEND:VTIMEZONE\r\n", 100'000) + "END:VCALENDAR\r\n").empty());
    // Sums of units that would leave 64 bits.
    const std::string event = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:a\r\nBEGIN:VEVENT\r\nUID:u\r\nDTSTAMP:20260101T000000Z\r\nDTSTART:20260101T000000Z\r\n";
    const std::string end = "END:VEVENT\r\nEND:VCALENDAR\r\n";
    CHECK(first_of(check_icalendar(event + "DURATION:P" + repeated("999999999W", 20'000) + "\r\n" + end), "a duration") != "no such problem");
    CHECK_FALSE(check_icalendar(event + "RRULE:FREQ=DAILY;BYSECOND=" + repeated("0,", 1'000'000) + "0\r\n" + end).empty());
    CHECK(check_icalendar(event + "SUMMARY:" + repeated("a\r\n ", 500'000) + "\r\n" + end).empty());  // allowed, if odd
}
