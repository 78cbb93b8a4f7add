#include "libseal/work/shop.hpp"

#include <cmath>

#include "libseal/core/error.hpp"
#include "support/catch.hpp"
#include "support/data.hpp"

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
    shop.heated_bay = true;
    CHECK(seals_on(shop, make_date(2027, 3, 31)));
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
