#include "libseal/work/shop.hpp"

#include <cmath>
#include <filesystem>
#include <fstream>
#include <functional>
#include <limits>

#include <unistd.h>

#include "libseal/core/error.hpp"
#include "support/catch.hpp"
#include "support/data.hpp"
#include "support/problems.hpp"

using namespace libseal;

namespace {

std::string shop_text(const std::string& more) {
    return "{\n  \"schema\": \"libseal/shop/1\",\n  \"name\": \"Yard\",\n  \"labour_rate_per_h\": 150,\n"
           "  \"people\": [{\"id\": \"a\"}]" +
           more + "\n}\n";
}

Problem first_problem(const std::string& text) {
    try {
        read_shop_text(text, "shop.json");
    } catch (const ValueError& error) {
        return error.problems().front();
    }
    return {};
}

}  // namespace

TEST_CASE("the demo shop reads, and its text reads back equal", "[work]") {
    const Shop shop = read_shop((libseal_test::source_folder() / "examples/data/shop.json").string());
    CHECK(shop.name == "Tarnbrook Coach Yard");
    CHECK(shop.labour_rate_per_h == 15500);
    CHECK(shop.package_price.at("self_levelling_lap") == 1350);
    CHECK(shop.people.size() == 3);
    CHECK(shop.people[0].from == 7 * 60 + 30);
    CHECK(shop.holidays.size() == 14);
    const std::string once = shop_json(shop);
    CHECK(shop_json(read_shop_text(once, "again")) == once);
}

TEST_CASE("a shop works on its weekdays without holidays and seals in its season", "[work]") {
    Shop shop;
    shop.people = {{"a", {}, 480, 1020}};
    shop.holidays = {make_date(2027, 5, 31)};
    shop.sealing_months = {4, 5, 6};
    shop.closed = {{make_date(2027, 5, 10), make_date(2027, 5, 12), "fair"}};
    CHECK(works_on(shop, make_date(2027, 5, 28)));
    CHECK_FALSE(works_on(shop, make_date(2027, 5, 29)));
    CHECK_FALSE(works_on(shop, make_date(2027, 5, 31)));
    CHECK(seals_on(shop, make_date(2027, 5, 9)));
    CHECK_FALSE(seals_on(shop, make_date(2027, 5, 10)));
    CHECK_FALSE(seals_on(shop, make_date(2027, 5, 11)));
    CHECK(seals_on(shop, make_date(2027, 5, 12)));
    CHECK_FALSE(seals_on(shop, make_date(2027, 3, 31)));
    CHECK(no_sealing_reason(shop, make_date(2027, 5, 10)).find("fair") != std::string::npos);
    // One heated bay of the list seals out of season, for itself; closed days hold for all.
    const Bay hall{"hall", true, true}, yard{"yard", false, false};
    const Date march = make_date(2027, 3, 31), fair = make_date(2027, 5, 10), june = make_date(2027, 6, 1);
    shop.bay_list = {yard, yard};
    CHECK_FALSE(seals_on(shop, march));
    shop.bay_list = {yard, hall};
    CHECK(seals_on(shop, march));
    CHECK(seals_on(shop, march, hall));
    CHECK_FALSE(seals_on(shop, march, yard));
    CHECK_FALSE(seals_on(shop, fair));
    CHECK_FALSE(seals_on(shop, fair, hall));
    CHECK((seals_on(shop, june, hall) && seals_on(shop, june, yard)));
    shop.bay_list.clear();
    shop.heated_bay = true;
    CHECK(seals_on(shop, march));
    CHECK(seals_on(shop, march, yard));
    CHECK_FALSE(seals_on(shop, fair, yard));
}

TEST_CASE("money is shown in whole cents", "[work]") {
    CHECK(money_text(123450, "USD") == "1234.50 USD");
    CHECK(money_text(5, "EUR") == "0.05 EUR");
    CHECK(money_text(-105, "EUR") == "-1.05 EUR");
}

TEST_CASE("a wrong shop is refused with line and field", "[work][bad_input]") {
    struct Case {
        std::string more, field;
        int line;
    };
    const Case c = GENERATE(
        Case{",\n  \"bay\": 2", "bay", 6}, Case{",\n  \"bays\": 0", "bays", 6},
        Case{",\n  \"bays\": 1.5", "bays", 6}, Case{",\n  \"holidays\": [\"2027-02-30\"]", "holidays[0]", 6},
        Case{",\n  \"working_days\": [\"mondey\"]", "working_days[0]", 6},
        Case{",\n  \"working_days\": []", "working_days", 6},
        Case{",\n  \"hours\": {\"from\": \"8\", \"to\": \"17:00\"}", "hours.from", 6},
        Case{",\n  \"hours\": {\"from\": \"17:00\", \"to\": \"08:00\"}", "hours", 6},
        Case{",\n  \"closed\": [{\"from\": \"2027-02-03\",\n  \"to\": \"2027-02-03\"}]", "closed[0].to", 7},
        Case{",\n  \"package_price\": {\"butyl_tape\": -1}", "package_price.butyl_tape", 6},
        Case{",\n  \"package_price\": {\"butyl_tape\": 1.005}", "package_price.butyl_tape", 6},
        Case{",\n  \"sealing_months\": [13]", "sealing_months[0]", 6},
        Case{",\n  \"tax_percent\": \"7\"", "tax_percent", 6},
        Case{",\n  \"currency\": \"usd\"", "currency", 6});
    const Problem problem = first_problem(shop_text(c.more));
    CAPTURE(c.more);
    CHECK(problem.field == c.field);
    CHECK(problem.line == c.line);
    CHECK(problem.file == "shop.json");
}

TEST_CASE("bays, ladders, absences, overtime and holiday rules read, write back equal and name their mistakes",
          "[work][bad_input]") {
    const std::string more =
        ",\n  \"bay_list\": [{\"id\": \"hall\", \"heated\": true}, {\"id\": \"yard\", \"roofed\": false}],\n"
        "  \"ladders\": 3, \"platforms\": 0, \"holiday_rules\": [\"us_federal\"],\n"
        "  \"absences\": [{\"person\": \"a\", \"from\": \"2027-03-05 13:00\", \"to\": \"2027-03-08\", \"reason\": \"course\"}],\n"
        "  \"overtime\": [{\"person\": \"a\", \"from\": \"2027-03-13 08:00\", \"to\": \"2027-03-13 24:00\"}]";
    const Shop shop = read_shop_text(shop_text(more), "shop.json");
    REQUIRE(shop.bay_list.size() == 2);
    CHECK(shop.bay_list[0].heated);
    CHECK(shop.bay_list[0].roofed);
    CHECK_FALSE(shop.bay_list[1].roofed);
    CHECK(shop.ladders == 3);
    CHECK(shop.platforms == 0);
    REQUIRE(shop.absences.size() == 1);
    CHECK(shop.absences[0].from == make_date(2027, 3, 5).days * 1440LL + 780);
    CHECK(shop.absences[0].to == make_date(2027, 3, 8).days * 1440LL);
    CHECK(shop.absences[0].reason == "course");
    REQUIRE(shop.overtime.size() == 1);
    CHECK(shop.overtime[0].to == make_date(2027, 3, 14).days * 1440LL);
    CHECK_FALSE(works_on(shop, make_date(2027, 12, 31)));  // 1 January 2028, a Saturday, observed
    CHECK(works_on(shop, make_date(2027, 12, 30)));
    const std::string once = shop_json(shop);
    CHECK(shop_json(read_shop_text(once, "again")) == once);

    struct Case {
        std::string from, to, field;
        int line;
    };
    const Case c = GENERATE(
        Case{"\"yard\"", "\"hall\"", "bay_list[1].id", 6}, Case{"\"heated\": true", "\"heated\": 1", "bay_list[0].heated", 6},
        Case{"\"heated\": true", "\"heated\": true, \"roofed\": false", "bay_list[0].roofed", 6},
        Case{"\"ladders\": 3", "\"ladders\": -1", "ladders", 7},
        Case{"us_federal", "us_fedral", "holiday_rules[0]", 7},
        Case{"\"person\": \"a\"", "\"person\": \"b\"", "absences[0].person", 8},
        Case{"2027-03-05 13:00", "2027-03-05 25:00", "absences[0].from", 8},
        Case{"\"2027-03-08\"", "\"2027-03-05 12:00\"", "absences[0].to", 8},
        Case{"2027-03-13 24:00", "2027-03-14 01:00", "overtime[0].to", 9});
    std::string text = shop_text(more);
    text.replace(text.find(c.from), c.from.size(), c.to);
    const Problem problem = first_problem(text);
    CAPTURE(c.from, c.to);
    CHECK(problem.field == c.field);
    CHECK(problem.line == c.line);
    CHECK(problem.column > 0);
}

TEST_CASE("a shop in which nobody works is refused", "[work][bad_input]") {
    CHECK(first_problem(
              "{\"schema\": \"libseal/shop/1\", \"name\": \"x\", \"labour_rate_per_h\": 1, \"people\": []}")
              .field == "people");
    Shop shop;
    CHECK_THROWS_AS(check_shop(shop), ValueError);
    shop.people = {{"a", {}, 0, 60}};  // before the shop opens
    CHECK_THROWS_AS(check_shop(shop), ValueError);
    CHECK_THROWS_AS(read_shop("/no/such/shop.json"), FileError);
}

TEST_CASE("each setting of a shop that cannot be is refused by itself, its bounds are allowed", "[work][bad_input]") {
    Shop good;
    good.people = {{"a", {}, 480, 1020}, {"b", {}, 480, 1020}};
    good.bay_list = {{"hall"}, {"lot"}};
    REQUIRE_NOTHROW(check_shop(good));
    const double nan = std::numeric_limits<double>::quiet_NaN();
    struct Case {
        const char *field, *expected;
        std::function<void(Shop&)> change;
    };
    const std::vector<Case> cases{
        {"people[1].id", "an id of its own", [](Shop& s) { s.people[1].id = "a"; }},
        {"people[0].id", "an id of its own", [](Shop& s) { s.people[0].id = ""; }},
        {"people[0]", "a shift inside one day", [](Shop& s) { s.people[0].from = -1; }},
        {"people[0]", "a shift inside one day", [](Shop& s) { s.people[0].to = 1441; }},
        {"people[0]", "a shift inside one day", [](Shop& s) { s.people[0].to = 480; }},
        {"people[1]", "a shift that meets the opening hours", [](Shop& s) { s.people[1].from = 1020, s.people[1].to = 1080; }},
        {"labour_rate_per_h", "not below zero", [](Shop& s) { s.labour_rate_per_h = -1; }},
        {"minimum_charge", "not below zero", [](Shop& s) { s.minimum_charge = -1; }},
        {"tax_percent", "0 to 100", [](Shop& s) { s.tax_percent = -0.1; }},
        {"tax_percent", "0 to 100", [](Shop& s) { s.tax_percent = 100.1; }},
        {"tax_percent", "0 to 100", [=](Shop& s) { s.tax_percent = nan; }},
        {"waste_percent", "0 to 100", [](Shop& s) { s.waste_percent = -0.1; }},
        {"waste_percent", "0 to 100", [](Shop& s) { s.waste_percent = 100.1; }},
        {"visit_setup_minutes", "0 to 1440", [](Shop& s) { s.visit_setup_minutes = -1; }},
        {"visit_setup_minutes", "0 to 1440", [](Shop& s) { s.visit_setup_minutes = 1441; }},
        {"bay_temperature_c", "-40 to 60", [](Shop& s) { s.bay_temperature = -40.1; }},
        {"bay_temperature_c", "-40 to 60", [](Shop& s) { s.bay_temperature = 60.1; }},
        {"bay_temperature_c", "-40 to 60", [=](Shop& s) { s.bay_temperature = nan; }},
        {"package_price.butyl_tape", "not below zero", [](Shop& s) { s.package_price["butyl_tape"] = -1; }},
        {"bay_list[1].id", "an id of its own", [](Shop& s) { s.bay_list[1].id = "hall"; }},
        {"bay_list[0].id", "an id of its own", [](Shop& s) { s.bay_list[0].id = ""; }},
        {"ladders", "0 to 1000", [](Shop& s) { s.ladders = -1; }},
        {"ladders", "0 to 1000", [](Shop& s) { s.ladders = 1001; }},
        {"platforms", "0 to 1000", [](Shop& s) { s.platforms = -1; }},
        {"platforms", "0 to 1000", [](Shop& s) { s.platforms = 1001; }},
        {"holiday_rules[1]", "a name of holiday_rules", [](Shop& s) { s.holiday_rules = {"us_federal", "of nowhere"}; }},
        {"absences[0].person", "somebody of the shop", [](Shop& s) { s.absences = {{"c", 0, 60}}; }},
        {"absences[1]", "a beginning before the end", [](Shop& s) { s.absences = {{"a", 0, 60}, {"a", 60, 60}}; }},
        {"overtime[0].person", "somebody of the shop", [](Shop& s) { s.overtime = {{"c", 1100, 1160}}; }},
        {"overtime[0]", "a beginning before the end", [](Shop& s) { s.overtime = {{"a", 1160, 1100}}; }},
        {"overtime[0]", "within one day", [](Shop& s) { s.overtime = {{"a", 1400, 1441}}; }},
        {"overtime[0]", "within one day", [](Shop& s) { s.overtime = {{"a", -1, 1}}; }},  // over the midnight before 1970
        {"bays", "1 to 1000", [](Shop& s) { s.bays = 0; }},
        {"bays", "1 to 1000", [](Shop& s) { s.bays = 1001; }},
        {"working_days", "at least one day", [](Shop& s) { s.working_days.fill(false); }},
        {"hours", "opening before closing, inside one day", [](Shop& s) { s.open_from = -1; }},
        {"hours", "opening before closing, inside one day", [](Shop& s) { s.open_to = 1441; }},
        {"hours", "a break that begins before it ends", [](Shop& s) { s.break_from = s.break_to + 1; }},
        {"hours", "a break that begins before it ends", [](Shop& s) { s.break_from = -1; }},
        {"hours", "a break that begins before it ends", [](Shop& s) { s.break_to = 1441; }},
        {"closed[0]", "a first day before the day after the last", [](Shop& s) { s.closed = {{make_date(2027, 5, 10), make_date(2027, 5, 10), "fair"}}; }},
        {"sealing_months", "1 to 12", [](Shop& s) { s.sealing_months = {4, 13}; }},
        {"sealing_months", "1 to 12", [](Shop& s) { s.sealing_months = {0}; }},
    };
    for (const Case& c : cases) {
        Shop shop = good;
        c.change(shop);
        const auto problems = libseal_test::problems_of([&] { check_shop(shop); });
        INFO(c.field << ": " << c.expected);
        REQUIRE(problems.size() == 1);
        CHECK(problems[0].field == c.field);
        CHECK(problems[0].expected == c.expected);
    }
    // Opening after closing leaves nobody a shift either.
    Shop turned = good;
    std::swap(turned.open_from, turned.open_to);
    CHECK(libseal_test::problems_of([&] { check_shop(turned); }).size() == 3);
    // At the bounds.
    Shop edge = good;
    edge.people[0].from = edge.open_from = edge.break_from = edge.break_to = 0;
    edge.people[0].to = edge.open_to = 1440;
    edge.labour_rate_per_h = edge.minimum_charge = 0;
    edge.tax_percent = edge.waste_percent = 100;
    edge.visit_setup_minutes = 1440;
    edge.bay_temperature = -40;
    edge.ladders = 0;
    edge.platforms = edge.bays = 1000;
    edge.overtime = {{"a", -1440, 0}};
    edge.sealing_months = {};
    CHECK_NOTHROW(check_shop(edge));
    // At most fifty problems are told.
    Shop many = good;
    many.absences.assign(60, {"c", 0, 60});
    CHECK(libseal_test::problems_of([&] { check_shop(many); }).size() == 50);
}

TEST_CASE("a break needs both ends, in order; without one the shop works through", "[work][bad_input]") {
    const auto with_hours = [](const std::string& more) { return shop_text(",\n  \"hours\": {\"from\": \"08:00\", \"to\": \"17:00\"" + more + "}"); };
    for (const std::string one : {"break_from", "break_to"}) {
        const Problem problem = first_problem(with_hours(", \"" + one + "\": \"12:00\""));
        CHECK(problem.field == "hours");
        CHECK(problem.line == 6);
        CHECK(problem.expected == "both break_from and break_to");
    }
    const Problem turned = first_problem(with_hours(", \"break_from\": \"12:30\", \"break_to\": \"12:00\""));
    CHECK(turned.field == "hours.break_to");
    CHECK(turned.line == 6);
    CHECK(turned.got.find("12:00") != std::string::npos);
    const Shop pause = read_shop_text(with_hours(", \"break_from\": \"12:00\", \"break_to\": \"12:45\""), "shop.json");
    CHECK(pause.break_from == 720);
    CHECK(pause.break_to == 765);
    const Shop through = read_shop_text(with_hours(""), "shop.json");
    CHECK(through.break_from == through.break_to);
}

TEST_CASE("a catalogue named in a shop's file is looked for beside that file", "[work]") {
    namespace fs = std::filesystem;
    const fs::path folder = fs::temp_directory_path() / ("libseal_shop_" + std::to_string(::getpid()));
    fs::create_directories(folder / "shops");
    const auto catalogue_of = [&](const std::string& named) {
        const fs::path file = folder / "shops" / "shop.json";
        std::ofstream(file) << shop_text(named.empty() ? "" : ",\n  \"catalogue\": \"" + named + "\"");
        return read_shop(file.string()).catalogue;
    };
    CHECK(catalogue_of("own.json") == (folder / "shops" / "own.json").string());
    CHECK(catalogue_of("../own.json") == (folder / "own.json").string());
    CHECK(catalogue_of("/somewhere/own.json") == "/somewhere/own.json");
    CHECK(catalogue_of("") == "");
    // In text without a place it stays as it is written.
    CHECK(read_shop_text(shop_text(",\n  \"catalogue\": \"../own.json\""), "shop.json").catalogue == "../own.json");
    fs::remove_all(folder);
}
