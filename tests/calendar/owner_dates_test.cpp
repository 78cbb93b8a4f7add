// Trips and storage from files.

#include "libseal/calendar/owner_dates.hpp"

#include "libseal/core/error.hpp"
#include "support/catch.hpp"

using namespace libseal;

namespace {

Problem first_problem(const std::string& text) {
    try {
        read_owner_dates_text(text, "dates");
    } catch (const ValueError& error) {
        return error.problems().front();
    }
    return {};
}

}  // namespace

TEST_CASE("trips and storage are read from a table and from a document alike", "[calendar]") {
    const auto table = read_owner_dates_text(
        "coach,from,to,kind,set_up_percent,reason\nT1,2027-03-01,2027-06-01,,,\"tour, long\"\nT2,2027-11-01,2028-03-01,storage,40,\n", "dates.csv");
    const auto document = read_owner_dates_text(
        R"({"schema":"libseal/owner_dates/1","owner_dates":[)"
        R"({"coach":"T1","from":"2027-03-01","to":"2027-06-01","reason":"tour, long"},)"
        R"({"coach":"T2","from":"2027-11-01","to":"2028-03-01","kind":"storage","set_up_percent":40}]})",
        "dates.json");
    REQUIRE(table.size() == 2);
    REQUIRE(document.size() == 2);
    for (std::size_t i = 0; i < 2; ++i) {
        CHECK(table[i].coach == document[i].coach);
        CHECK(table[i].from == document[i].from);
        CHECK(table[i].to == document[i].to);
        CHECK(table[i].kind == document[i].kind);
        CHECK(table[i].set_up_percent == document[i].set_up_percent);
        CHECK(table[i].reason == document[i].reason);
    }
    CHECK(table[0].kind == "trip");
    CHECK(table[0].set_up_percent == 100);
    CHECK(table[1].kind == "storage");
}

TEST_CASE("bad dates of owners are refused with line and field", "[calendar][bad_input]") {
    const Problem turned = first_problem("coach,from,to\nT1,2027-03-01,2027-04-01\nT1,2027-06-01,2027-06-01\n");
    CHECK(turned.line == 3);
    CHECK(turned.field == "to");
    CHECK(first_problem("coach,from,to,kind\nT1,2027-03-01,2027-04-01,holiday\n").field == "kind");
    CHECK(first_problem("coach,from,to,set_up_percent\nT1,2027-03-01,2027-04-01,-1\n").field == "set_up_percent");
    CHECK(first_problem("coach,from\nT1,2027-03-01\n").expected.find("to") != std::string::npos);
    CHECK(first_problem(R"({"schema":"libseal/owner_dates/1","owner_dates":[{"coach":"T1","from":"2027-06-01","to":"2027-05-01"}]})").line == 1);
    CHECK_THROWS_AS(read_owner_dates("no/such/file.csv"), FileError);
}

TEST_CASE("dates of owners are checked against the fleet", "[calendar][bad_input]") {
    Fleet fleet;
    fleet.coaches.resize(2);
    fleet.coaches[0].id = "T1";
    fleet.coaches[1].id = "T2";
    const Date from = make_date(2027, 3, 1), to = make_date(2027, 6, 1);
    CHECK_NOTHROW(check_owner_dates({{"T1", from, to, "trip", 100, ""}, {"T2", from, to, "storage", 0, ""}}, fleet));
    std::vector<Problem> problems;
    try {
        check_owner_dates({{"T3", from, to, "trip", 100, ""}, {"T1", to, from, "picnic", 1001, ""}}, fleet);
    } catch (const ValueError& error) {
        problems = error.problems();
    }
    REQUIRE(problems.size() == 4);
    CHECK(problems[0].field == "owner_dates[0].coach");
    CHECK(problems[0].got == "\"T3\"");
    CHECK(problems[0].hint.find("T1") != std::string::npos);
    CHECK(problems[1].field == "owner_dates[1]");
    CHECK(problems[2].field == "owner_dates[1].kind");
    CHECK(problems[3].field == "owner_dates[1].set_up_percent");
}
