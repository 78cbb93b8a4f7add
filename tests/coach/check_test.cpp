// What a fleet or a coach may not be, told by field, whether it was read or made in a program.

#include <cmath>
#include <string>

#include "libseal/coach/layouts.hpp"
#include "libseal/coach/place.hpp"
#include "libseal/coach/read.hpp"
#include "support/catch.hpp"
#include "support/problems.hpp"

using namespace libseal;
using libseal_test::problems_of;
using libseal_test::replaced;

TEST_CASE("coaches of a fleet, and what a table says of them, must agree", "[bad_input]") {
    const auto json = [](const std::string& coaches) {
        return problems_of([&] { read_fleet_text("{\"schema\": \"libseal/fleet/1\", \"coaches\": [\n" + coaches + "]}", "f.json"); });
    };
    const std::string coach = "{\"id\": \"x\", \"layout\": \"travel_trailer\", \"length_m\": 7, \"model_year\": 2020}";
    CHECK(json(coach).empty());
    const auto twice = json(coach + ",\n" + coach);
    REQUIRE(twice.size() == 1);
    CHECK(twice[0].field == "coaches[1].id");
    CHECK(twice[0].line == 3);
    CHECK(twice[0].expected == "an id that no other coach has");
    const auto stay = json(replaced(coach, "2020}", "2020, \"stays\": [7]}"));
    REQUIRE(stay.size() == 1);
    CHECK(stay[0].field == "coaches[0].stays[0]");
    CHECK(stay[0].expected == "an object");
    const auto csv = [](const std::string& row) {
        return problems_of([&] {
            read_fleet_text("id,layout,length_m,installed,installed_to,latitude_deg,longitude_deg\n" + row + "\n", "f.csv");
        });
    };
    CHECK(csv("a,travel_trailer,7,2020-05-01,2020-06-01,41.7,-86.3").empty());
    const auto back = csv("a,travel_trailer,7,2020-05-01,2020-04-30,41.7,-86.3");
    REQUIRE(back.size() == 1);
    CHECK(back[0].line == 2);
    CHECK(back[0].field == "installed_to");
    CHECK(back[0].expected == "no day before installed_from");
    CHECK(back[0].got == "2020-04-30");
    // Half a place is none: neither half is left out in silence.
    for (const char* half : {"41.7,", ",-86.3"}) {
        INFO(half);
        const auto problems = csv("a,travel_trailer,7,2020-05-01,2020-06-01," + std::string(half));
        REQUIRE(problems.size() == 1);
        CHECK(problems[0].line == 2);
        CHECK(problems[0].expected == "both latitude and longitude, or neither");
    }
    const auto unknown = problems_of([] { layout_options("travel_trailor"); });
    REQUIRE(unknown.size() == 1);
    CHECK(unknown[0].field == "layout");
    CHECK(unknown[0].hint == "did you mean \"travel_trailer\"?");
    CHECK(problems_of([] { layout_options("caravan_of_camels"); }).at(0).hint.empty());
}

TEST_CASE("a coach that was made in a program is checked as one that was read", "[bad_input]") {
    LayoutOptions options;
    options.id = "synthetic";
    options.installed_from = options.installed_to = make_date(2020, 5, 1);
    const Coach good = travel_trailer(8, options);
    CHECK_NOTHROW(check_coach(good, Catalogue::built_in()));
    const auto problem_of = [&](auto spoil) {
        Coach coach = good;
        spoil(coach);
        const auto problems = problems_of([&] { check_coach(coach, Catalogue::built_in()); });
        REQUIRE_FALSE(problems.empty());
        return problems[0];
    };
    CHECK(problem_of([](Coach& c) { c.model_year = 1919; }).field.ends_with("model_year"));
    CHECK(problem_of([](Coach& c) { c.model_year = 2201; }).got == "2201");
    const Problem slide = problem_of([](Coach& c) { c.surfaces[0].slide = "slide_1"; });
    CHECK(slide.expected == "no slide-out for a surface of the shell");
    CHECK(slide.got == "\"slide_1\"");
    const Problem far = problem_of([](Coach& c) { c.surfaces[0].high.u = 50.1; });
    CHECK(far.expected == "places within 50 m");
    CHECK(far.got == "50.1 m");
    CHECK(problem_of([](Coach& c) { c.parts[0].low.v = std::nan(""); }).expected == "places within 50 m");
    for (const double spacing : {-0.01, 2.01}) {
        const Problem screws = problem_of([&](Coach& c) { c.joints[0].screw_spacing = spacing; });
        CHECK(screws.field.ends_with("joints[0].screw_spacing_m"));
        CHECK(screws.expected == "0 (no screws) to 2 m");
    }
    const auto with_stay = [&](double latitude, double longitude) {
        return problem_of([&](Coach& c) {
            Stay stay;
            stay.from = make_date(2020, 5, 1);
            stay.to = make_date(9999, 12, 31);
            stay.cover = "open";
            stay.heading = std::nan("");
            stay.latitude = latitude;
            stay.longitude = longitude;
            c.stays = {stay};
        });
    };
    CHECK(with_stay(41.7, std::nan("")).expected == "both latitude and longitude, or neither");
    CHECK(with_stay(90.1, 0).expected == "a number from -90 to 90");
    CHECK(with_stay(0, -180.1).expected == "a number from -180 to 180");
    CHECK(with_stay(0, -180.1).field.ends_with("stays[0].longitude"));
}

TEST_CASE("a fault of a row stands in the column that says it", "[bad_input]") {
    const auto csv = [](const std::string& row) {
        const auto problems = problems_of([&] {
            read_fleet_text("id,layout,length_m,model_year,installed_to,station,latitude_deg,longitude_deg,stay_from\n" + row + "\n", "f.csv");
        });
        return problems.size() == 1 ? problems[0].field : std::to_string(problems.size());
    };
    CHECK(csv("a,travel_trailer,7,2020,,725350,,,2020-05-01") == "0");
    CHECK(csv("a,travel_trailer,7,2020,,725350,,,1949-12-31") == "stay_from");
    CHECK(csv("a,travel_trailer,7,2020,,,41.7,,2020-05-01") == "latitude_deg");
    CHECK(csv(std::string(1001, 'a') + ",travel_trailer,7,2020,,725350,,,2020-05-01") == "id");
    // Until when, without since when: neither a day nor a model year says where the span begins.
    CHECK(csv("a,travel_trailer,7,,2015-05-01,725350,,,2020-05-01") == "installed_to");
    CHECK(csv("a,travel_trailer,7,2020,2020-03-01,725350,,,2020-05-01") == "0");
    CHECK(csv("a,travel_trailer,7,2020,2019-06-30,725350,,,2020-05-01") == "installed_to");  // coaches of 2020 are built from July 2019
}

TEST_CASE("a span that ends before it begins, or begins nowhere, makes no coach", "[bad_input]") {
    const auto refused = [](int model_year, Date from, Date to) {
        LayoutOptions options;
        options.model_year = model_year;
        options.installed_from = from;
        options.installed_to = to;
        const auto problems = problems_of([&] { travel_trailer(8, options); });
        return problems.empty() ? std::string() : problems[0].expected;
    };
    const Date june = make_date(2019, 6, 30), july = make_date(2019, 7, 1);
    CHECK(refused(0, {}, june) == "none without installed_from or a model year");
    CHECK(refused(2020, {}, june) == "no day before those of the model year");
    CHECK(refused(2020, {}, july) == "");
    CHECK(refused(2020, june, july) == "");  // a day of one's own goes before the model year
    CHECK(refused(2020, july, june) == "no day before installed_from");
    LayoutOptions options;
    options.model_year = 2020;
    options.installed_to = july;
    const Layer layer = travel_trailer(8, options).joints[0].layers[0];
    CHECK(layer.installed_from == july);
    CHECK(layer.installed_to == july);
    // Only the first day is known to be the day: the span is that day.
    options = {};
    options.installed_from = june;
    CHECK(travel_trailer(8, options).joints[0].layers[0].installed_to == june);
}

TEST_CASE("a layer that a change adds has the dates of the coach, unless it names its own", "[coach]") {
    const auto made = [](const std::string& cover) {
        return read_coach_text("{\"schema\": \"libseal/coach/1\", \"layout\": \"travel_trailer\", \"id\": \"t\", \"length_m\": 8, \"model_year\": 2020, \"changes\": "
                               "{\"roof_edge_curb\": {\"layers\": [{\"kind\": \"cap_bead\", \"installed\": \"2023-04-02\"}, "
                               "{\"kind\": \"cover_tape\", \"family\": \"butyl_tape\"" + cover + "}]}}}", "t.json");
    };
    const Coach plain = made(""), dated = made(", \"installed\": \"2024-05-06\"");
    const Layer* tape = layer_of(joint_of(plain, "roof_edge_curb"), "cover_tape");
    REQUIRE(tape != nullptr);
    CHECK(tape->installed_from == make_date(2019, 7, 1));
    CHECK(tape->installed_to == make_date(2020, 12, 31));
    CHECK(tape->generation == 1);
    CHECK(layer_of(joint_of(plain, "roof_edge_curb"), "cap_bead")->installed_to == make_date(2023, 4, 2));
    CHECK(layer_of(joint_of(dated, "roof_edge_curb"), "cover_tape")->installed_from == make_date(2024, 5, 6));
}

TEST_CASE("a slide-out moves through a side wall: one at an end is refused, not taken for one of the street side", "[coach][bad_input]") {
    LayoutOptions options;
    options.model_year = 2020;
    const Coach good = travel_trailer(8, options);
    REQUIRE(wall_of_slide(good, "slide_1") == "street_wall");
    for (const char* wall : {"street_wall", "curb_wall", "rear_cap", "front_cap", "roof"}) {
        Coach coach = good;
        std::size_t k = 0;
        while (coach.parts[k].kind != "slide_out") ++k;
        coach.parts[k].surface = wall;
        if (coach.parts[k].surface.ends_with("_cap") || coach.parts[k].surface == "roof") {
            const Surface& on = surface_of(coach, wall, "");  // somewhere on it
            coach.parts[k].low = {on.low.u + 0.4, on.low.v + 0.4};
            coach.parts[k].high = {on.low.u + 1.2, on.low.v + 1.2};
        }
        const auto problems = problems_of([&] { check_coach(coach, Catalogue::built_in()); });
        INFO(wall);
        if (coach.parts[k].surface.ends_with("_wall")) {
            CHECK(problems.empty());
            continue;
        }
        REQUIRE(problems.size() == 1);
        CHECK(problems[0].field.ends_with("parts[" + std::to_string(k) + "].surface"));
        CHECK(problems[0].expected == "street_wall or curb_wall: a slide-out moves through a side wall");
        CHECK(problems[0].got == "\"" + std::string(wall) + "\"");
    }
}
