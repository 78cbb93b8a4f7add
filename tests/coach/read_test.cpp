#include "support/catch.hpp"

#include <cmath>
#include <filesystem>

#include "coach/layout_table.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/coach/read.hpp"
#include "libseal/core/text.hpp"
#include "support/problems.hpp"

using namespace libseal;
using libseal_test::line_of;
using libseal_test::problems_of;
using libseal_test::replaced;

namespace {

// Synthetic: a coach of one roof, one wall and three joints.
const std::string small = R"({
  "schema": "libseal/coach/1",
  "id": "van 1",
  "kind": "van",
  "model_year": 2020,
  "length_m": 5.4,
  "width_m": 2.0,
  "floor_height_m": 0.6,
  "roof_height": "8 ft",
  "surfaces": [
    {"name": "roof", "low_m": [0, -1], "high_m": [5.4, 1], "substrate": "steel", "finish": "white_paint"},
    {"name": "curb_wall", "low_m": [0, 0.6], "high_m": [5.4, 2.4384], "substrate": "steel", "finish": "white_paint"}
  ],
  "parts": [
    {"id": "vent", "kind": "roof_vent", "surface": "roof", "low_m": [2, -0.2], "high_m": [2.4, 0.2]}
  ],
  "joints": [
    {"id": "vent_flange", "type": "roof_vent_flange", "part": "vent", "surface": "roof",
      "path_m": [[2, -0.2], [2.4, -0.2], [2.4, 0.2], [2, 0.2], [2, -0.2]],
      "bead": {"profile": "strip", "width": "1.5 in", "thickness_mm": 6},
      "screw_spacing_mm": 70,
      "substrates": ["abs", "steel"],
      "layers": [
        {"kind": "cap_bead", "family": "non_sag_lap", "installed": "2021-05-01"},
        {"kind": "bedding", "family": "butyl_tape", "installed": {"from": "2020-03-01", "to": "2020-09-30"}}
      ]},
    {"id": "window", "type": "window_frame", "surface": "curb_wall",
      "path_m": [[1, 1.2], [1, 1.9], [2, 1.9], [2, 1.2]],
      "bead": {"profile": "fillet", "thickness_mm": 5},
      "substrates": ["painted_aluminium", "steel"],
      "layers": [
        {"kind": "cap_bead", "family": "polyurethane", "installed": 2020, "generation": 2}
      ]},
    {"id": "door_seal", "type": "slide_bulb_seal", "surface": "curb_wall",
      "path_m": [[3, 0.7], [3, 2.2]], "length_m": 3.5,
      "substrates": ["steel"],
      "layers": [{"kind": "bulb_seal", "family": "epdm_gasket", "installed": 2020}]}
  ],
  "stays": [
    {"from": "2020-06-01", "to": "2024-01-01", "place": "yard", "station": "725350", "heading_deg": 180},
    {"from": "2024-01-01", "place": "south", "latitude_deg": -33.9, "longitude_deg": 151.2, "cover": "carport"}
  ]
})";

const std::string layout = R"({
  "schema": "libseal/coach/1",
  "layout": "travel_trailer",
  "id": "t1",
  "length": "24 ft",
  "model_year": 2019,
  "windows": 4,
  "wall_finish": "beige_gelcoat",
  "changes": {
    "skylight": {"layers": [{"kind": "cap_bead", "family": "silyl_modified", "installed": "2023-04-02", "generation": 2}]},
    "antenna": {"absent": true},
    "roof_edge_street": {"bead": {"profile": "fillet", "thickness_mm": 9}, "screw_spacing": "6 in"}
  },
  "stays": [{"from": "2019-05-01", "station": "725350"}]
})";

}  // namespace

TEST_CASE("a coach written out joint by joint is read with its units", "[coach]") {
    const Coach coach = read_coach_text(small, "van.json");
    CHECK(coach.roof_height == Approx(2.4384));
    const Joint& vent = joint_of(coach, "vent_flange");
    CHECK(vent.length == Approx(1.6));
    CHECK(vent.bead.width == Approx(0.0381));
    CHECK(vent.screw_spacing == Approx(0.07));
    CHECK(layer_of(vent, "bedding")->installed_to == make_date(2020, 9, 30));
    const Layer& cap = joint_of(coach, "window").layers[0];
    CHECK(cap.installed_from == make_date(2019, 7, 1));  // a model year is an interval
    CHECK(cap.installed_to == make_date(2020, 12, 31));
    CHECK(cap.generation == 2);
    CHECK(coach.stays[1].to == make_date(9999, 12, 31));
    CHECK(coach.stays[1].latitude == -33.9);
    CHECK(std::isnan(coach.stays[1].heading));
}

TEST_CASE("what a joint does not name is usual for its type", "[coach]") {
    std::string text = replaced(small, R"(      "layers": [
        {"kind": "cap_bead", "family": "non_sag_lap", "installed": "2021-05-01"},
        {"kind": "bedding", "family": "butyl_tape", "installed": {"from": "2020-03-01", "to": "2020-09-30"}}
      ]})", R"(      "installed": "2022-02-02"})");
    text = replaced(text, R"(      "bead": {"profile": "strip", "width": "1.5 in", "thickness_mm": 6},
)", "");
    const Joint vent = joint_of(read_coach_text(text, "van.json"), "vent_flange");
    REQUIRE(vent.layers.size() == 2);
    CHECK(vent.layers[0].family == "self_levelling_lap");
    CHECK(vent.layers[1].installed_to == make_date(2022, 2, 2));
    CHECK(vent.bead.width == Approx(0.038));
}

TEST_CASE("a layout is made, then changed joint by joint", "[coach]") {
    const Coach coach = read_coach_text(layout, "t1.json");
    CHECK(coach.length == Approx(7.3152));
    CHECK(layer_of(joint_of(coach, "skylight"), "cap_bead")->family == "silyl_modified");
    CHECK(layer_of(joint_of(coach, "skylight"), "bedding")->generation == 1);
    CHECK_THROWS_AS(joint_of(coach, "antenna"), ValueError);
    CHECK(joint_of(coach, "roof_edge_street").screw_spacing == Approx(0.1524));
    CHECK(surface_of(coach, "curb_wall", "").finish == "beige_gelcoat");
    CHECK(surface_of(coach, "slide_face", "slide_1").finish == "beige_gelcoat");
    CHECK_THROWS_AS(surface_of(coach, "slide_face", ""), ValueError);
}

TEST_CASE("what is written reads back equal, to the byte", "[law]") {
    for (const auto& text : {small, layout}) {
        const Coach coach = read_coach_text(text, "x.json");
        const std::string once = coach_json(coach);
        const Coach again = read_coach_text(once, "again.json");
        CHECK(coach_json(again) == once);
        CHECK(again.joints.size() == coach.joints.size());
        for (std::size_t i = 0; i < coach.joints.size(); ++i) {
            CHECK(again.joints[i].length == coach.joints[i].length);
            CHECK(again.joints[i].bead.width == coach.joints[i].bead.width);
            CHECK(again.joints[i].layers.size() == coach.joints[i].layers.size());
            CHECK(again.joints[i].path.back().v == coach.joints[i].path.back().v);
        }
        const std::string fleet = fleet_json(fleet_of(coach));
        CHECK(fleet_json(read_fleet_text(fleet, "f.json")) == fleet);
    }
}

TEST_CASE("a fleet comes from JSON with files beside it, or from a table", "[coach]") {
    const auto folder = std::filesystem::temp_directory_path() / "libseal_fleet_test";
    std::filesystem::create_directories(folder);
    write_text_file((folder / "van.json").string(), small);
    write_text_file((folder / "fleet.json").string(), R"({"schema": "libseal/fleet/1", "coaches": [
      {"file": "van.json", "id": "a", "owner": "X. Y."},
      {"file": "van.json", "id": "b", "installed": {"from": "2022-01-01", "to": "2022-03-01"}, "stays": []},
      {"layout": "travel_trailer", "id": "c", "length_m": 8, "model_year": 2022}]})");
    const Fleet fleet = read_fleet((folder / "fleet.json").string());
    REQUIRE(fleet.coaches.size() == 3);
    CHECK(coach_of(fleet, "a").owner == "X. Y.");
    CHECK(coach_of(fleet, "b").joints[0].layers[0].installed_to == make_date(2022, 3, 1));
    CHECK(coach_of(fleet, "b").stays.empty());
    CHECK(coach_of(fleet, "c").kind == "travel_trailer");
    std::filesystem::remove_all(folder);

    const Fleet table = read_fleet_text(
        "id,layout,length_m,model_line,model_year,station,finish,cover,skylight\n"
        "t1,travel_trailer,7.5,Line A,2021,725350,beige_gelcoat,carport,no\n\n"
        "t2,travel_trailer,9.1,\"Line B, long\",2022,,,,\n",
        "fleet.csv");
    REQUIRE(table.coaches.size() == 2);
    CHECK(table.coaches[0].stays[0].cover == "carport");
    CHECK(table.coaches[0].stays[0].from == make_date(2020, 7, 1));
    CHECK(table.coaches[1].model_line == "Line B, long");
    CHECK(table.coaches[1].stays.empty());
    CHECK_THROWS_AS(joint_of(table.coaches[0], "skylight"), ValueError);
}

TEST_CASE("each fault of a coach's file is named with its line and field", "[bad_input]") {
    struct Case {
        const char* what;
        const char* by;
        const char* field;
        const char* hint;  // part of it, "" for none asked
    };
    const std::vector<Case> cases = {
        {"\"kind\": \"van\"", "\"kind\": \"vann\"", "kind", "van"},
        {"\"id\": \"van 1\"", "\"id\": \"\"", "id", ""},
        {"\"model_year\": 2020,", "\"model_yaer\": 2020,", "model_yaer", "model_year"},
        {"\"model_year\": 2020,", "\"model_year\": 2020.5,", "model_year", ""},
        {"\"length_m\": 5.4", "\"length\": 5.4", "length", "mm"},
        {"\"length_m\": 5.4", "\"length_m\": 540", "length_m", ""},
        {"\"length_m\": 5.4", "\"length_m\": \"5.4\"", "length_m", ""},
        {"\"8 ft\"", "\"8 foot\"", "roof_height", "mm"},
        {"\"8 ft\"", "\"1 ft\"", "roof_height", ""},
        {"\"substrate\": \"steel\"", "\"substrate\": \"stel\"", "surfaces[0].substrate", "steel"},
        {"\"finish\": \"white_paint\"", "\"finish\": \"white_pant\"", "surfaces[0].finish", "white_paint"},
        {"\"name\": \"roof\"", "\"name\": \"rooof\"", "surfaces[0].name", "roof"},
        {"[5.4, 1], \"sub", "[0, 1], \"sub", "surfaces[0].high_m", ""},
        {"\"low_m\": [0, -1]", "\"low_m\": [0]", "surfaces[0].low_m", ""},
        {"\"low_m\": [0, -1]", "\"low_m\": [0, \"-1\"]", "surfaces[0].low_m[1]", ""},
        {"\"high_m\": [2.4, 0.2]", "\"high_m\": [2.4, 1.2]", "parts[0].high_m", ""},
        {"\"type\": \"roof_vent_flange\"", "\"type\": \"roof_vent_flang\"", "joints[0].type", "roof_vent_flange"},
        {"\"part\": \"vent\"", "\"part\": \"vnet\"", "joints[0].part", "vent"},
        {"\"surface\": \"curb_wall\",\n      \"path_m\": [[1", "\"surface\": \"curb_wal\",\n      \"path_m\": [[1", "joints[1].surface", "curb_wall"},
        {"[2.4, 0.2], [2, 0.2]", "[2.4, 2.2], [2, 0.2]", "joints[0].path_m[2]", ""},
        {"[[3, 0.7], [3, 2.2]]", "[[3, 0.7]]", "joints[2].path_m", ""},
        {"\"length_m\": 3.5", "\"length_m\": 0", "joints[2].length_m", ""},
        {"\"length_m\": 3.5", "\"length_m\": -2", "joints[2].length_m", ""},
        {"\"width\": \"1.5 in\"", "\"width\": 1.5", "joints[0].bead.width", "mm"},
        {"\"thickness_mm\": 6", "\"thickness_mm\": 600", "joints[0].bead.thickness_mm", ""},
        {"\"profile\": \"strip\"", "\"profile\": \"stripe\"", "joints[0].bead.profile", "strip"},
        {"\"screw_spacing_mm\": 70", "\"screw_spacing_mm\": 70, \"screw_spacing_in\": 3", "joints[0]", ""},
        {"[\"abs\", \"steel\"]", "[]", "joints[0].substrates", ""},
        {"[\"abs\", \"steel\"]", "\"abs\"", "joints[0].substrates", ""},
        {"[\"abs\", \"steel\"]", "[\"abs\", \"steell\"]", "joints[0].substrates[1]", "steel"},
        {"\"kind\": \"cap_bead\"", "\"kind\": \"cap\"", "joints[0].layers[0].kind", ""},
        {"\"family\": \"butyl_tape\"", "\"family\": \"butyl\"", "joints[0].layers[1].family", ""},
        {"\"2021-05-01\"", "\"2021-02-30\"", "joints[0].layers[0].installed", ""},
        {"\"2021-05-01\"", "true", "joints[0].layers[0].installed", ""},
        {"\"to\": \"2020-09-30\"", "\"to\": \"2019-09-30\"", "joints[0].layers[1].installed", ""},
        {", \"to\": \"2020-09-30\"", "", "joints[0].layers[1].installed.to", ""},
        {"\"kind\": \"bedding\", \"family\"", "\"kind\": \"bedding\", \"famly\"", "joints[0].layers[1].famly", "family"},
        {"\"generation\": 2", "\"generation\": 0", "joints[1].layers[0].generation", ""},
        {"\"kind\": \"bedding\"", "\"kind\": \"cap_bead\"", "joints[0].layers[1].kind", ""},
        {"{\"kind\": \"bulb_seal\"", "{\"kind\": \"cap_bead\"", "joints[2].layers[0].kind", "moving seal"},
        {"\"id\": \"window\"", "\"id\": \"vent_flange\"", "joints[1].id", ""},
        {"\"to\": \"2024-01-01\"", "\"to\": \"2023-01-01\"", "stays", ""},
        {"\"cover\": \"carport\"", "\"cover\": \"car_port\"", "stays[1].cover", "carport"},
        {"\"latitude_deg\": -33.9", "\"latitude_deg\": -133.9", "stays[1].latitude_deg", ""},
        {"\"heading_deg\"", "\"heading\"", "stays[0].heading", ""},
    };
    for (const auto& one : cases) {
        const std::string bad = replaced(small, one.what, one.by);
        INFO(one.by);
        REQUIRE_FALSE(bad.empty());
        const auto problems = problems_of([&] { read_coach_text(bad, "van.json"); });
        REQUIRE_FALSE(problems.empty());
        CHECK(problems[0].field == one.field);
        CHECK(problems[0].hint.find(one.hint) != std::string::npos);
        CHECK(problems[0].file == "van.json");
        // The fault stands where the text was changed; of a joint said twice over and of a broken chain of stays, at the whole.
        const std::string field = one.field;
        const char* place = field == "joints[0]" ? "{\"id\": \"vent_flange\"" : field == "stays" ? "\"stays\"" : one.what;
        CHECK(problems[0].line == line_of(small, place));
    }
}

TEST_CASE("faults of a layout and its changes are named", "[bad_input]") {
    const auto first = [](const std::string& what, const std::string& by) {
        const std::string bad = replaced(layout, what, by);
        REQUIRE_FALSE(bad.empty());
        const auto problems = problems_of([&] { read_coach_text(bad, "t1.json"); });
        REQUIRE_FALSE(problems.empty());
        CHECK(problems[0].line == line_of(bad, by));
        return problems[0];
    };
    CHECK(first("\"antenna\"", "\"antena\"").hint == "did you mean \"antenna\"?");
    CHECK(first("\"layout\": \"travel_trailer\"", "\"layout\": \"traveltrailer\"").field == "layout");
    CHECK(first("\"windows\": 4", "\"windows\": 40").field == "windows");
    CHECK(first("\"silyl_modified\"", "\"silyl\"").field.starts_with("changes.skylight.layers"));
    CHECK(first("beige_gelcoat", "beige").field == "wall_finish");
    const auto undated = problems_of([&] { read_coach_text(replaced(layout, "  \"model_year\": 2019,\n", ""), "t1.json"); });
    REQUIRE(undated.size() == 1);  // not one of each layer
    CHECK(undated[0].hint.find("other layers have none either") != std::string::npos);
    CHECK(undated[0].expected == "a date, a span or a model year");
}

TEST_CASE("faults of fleets are named, and up to fifty at once", "[bad_input]") {
    const auto csv = [](const std::string& rows) {
        return problems_of([&] { read_fleet_text("id,layout,length_m,model_year,station\n" + rows, "f.csv"); });
    };
    CHECK(csv("a,travel_trailer,seven,2020,\n")[0].field == "length_m");
    CHECK(csv("a,travel_trailer,7,2020,\na,travel_trailer,7,2020,\n")[0].line == 3);
    CHECK(csv("a,travel_trailer,7,2020\n")[0].expected == "5 values in the row");
    CHECK(csv("a,travl_trailer,7,2020,\n")[0].hint == "did you mean \"travel_trailer\"?");
    CHECK(csv("a,travel_trailer,7,,\n")[0].field == "installed");
    CHECK(csv("a,travel_trailer,,2020,\n")[0].field == "length_m");
    std::string many;
    for (int i = 0; i < 200; ++i) many += "c" + std::to_string(i) + ",travel_trailer,99,2020,\n";
    CHECK(csv(many).size() == 50);
    CHECK(problems_of([] { read_fleet_text("id,layout,lenght_m\n", "f.csv"); })[0].hint == "did you mean \"length_m\"?");
    CHECK(problems_of([] { read_fleet_text("", "f.csv"); }).size() == 1);
    const auto json = [](const std::string& coaches) {
        return problems_of([&] { read_fleet_text("{\"schema\": \"libseal/fleet/1\", \"coaches\": " + coaches + "}", "f.json"); });
    };
    CHECK(json("[{\"file\": \"none.json\"}]")[0].field == "coaches[0].file");
    CHECK(json("[3]")[0].field == "coaches[0]");
    CHECK(json("{}")[0].field == "coaches");
    CHECK(json("[{\"id\": \"x\", \"layout\": \"travel_trailer\", \"length_m\": 7, \"model_year\": 2020, \"stays\": [{}]}]")[0].field ==
          "coaches[0].stays[0].from");
}

TEST_CASE("each layout is read with the same keys and its own ranges", "[coach]") {
    const auto text = [](const std::string& name, const std::string& length, const std::string& more) {
        return "{\"schema\": \"libseal/coach/1\", \"layout\": \"" + name + "\", \"id\": \"c\", \"length_m\": " + length +
               ", \"model_year\": 2020" + more + "}";
    };
    for (const auto& name : layout_names()) {
        INFO(name);
        LayoutOptions options = layout_options(name);
        options.id = "c";
        options.model_year = 2020;
        options.roof_vents = 1;
        options.awning = false;
        const double length = name == "camper_van" || name == "truck_camper" ? 5.0 : 9.0;
        const std::string made = coach_json(detail::layout_coach(name, length, options));
        CHECK(coach_json(read_coach_text(text(name, number_text(length), ", \"roof_vents\": 1, \"awning\": false"), "c.json")) == made);
        const Fleet fleet = read_fleet_text("id,layout,length_m,model_year,roof_vents,awning\nc," + name + "," + number_text(length) +
                                                ",2020,1,no\n",
                                            "f.csv");
        CHECK(coach_json(fleet.coaches.at(0)) == made);
    }
    const Coach camper = read_coach_text(text("truck_camper", "5", ", \"overhang_length\": \"5 ft\""), "c.json");
    CHECK(surface_of(camper, "curb_wall", "").outline[1].u == Approx(1.524));
}

TEST_CASE("what a layout cannot have is refused where it stands", "[bad_input]") {
    const auto fault = [](const std::string& name, const std::string& length, const std::string& key, const std::string& value) {
        const std::string text = "{\"schema\": \"libseal/coach/1\", \"layout\": \"" + name +
                                 "\", \"id\": \"c\",\n\"length_m\": " + length + ", \"model_year\": 2020,\n\"" + key + "\": " + value + "}";
        const auto problems = problems_of([&] { read_coach_text(text, "c.json"); });
        REQUIRE(problems.size() == 1);
        return problems[0];
    };
    CHECK(fault("camper_van", "5", "slide_outs", "1").expected == "0: a camper_van has none");
    CHECK(fault("camper_van", "5", "slide_outs", "1").line == 3);
    CHECK(fault("travel_trailer", "8", "overhang_length_m", "1").line == 3);
    CHECK(fault("fifth_wheel", "10", "overcab", "true").field == "overcab");
    CHECK(fault("fifth_wheel", "5", "windows", "6").line == 2);  // its shortest is 7 m
    CHECK(fault("truck_camper", "5", "windows", "7").field == "windows");
    CHECK(fault("fifth_wheel", "7", "windows", "14").got == "no room for window_4");
    const auto csv = [](const std::string& rows) {
        return problems_of([&] { read_fleet_text("id,layout,length_m,model_year,slide_outs,overcab\n" + rows, "f.csv"); });
    };
    CHECK(csv("a,camper_van,5,2020,1,\n")[0].field == "slide_outs");
    CHECK(csv("a,camper_van,5,2020,,yes\n")[0].expected == "no: a camper_van has none");
    CHECK(csv("a,camper_van,9,2020,,\n")[0].field == "length_m");
}

TEST_CASE("a stepped wall holds what lies on it, and what lies in its step is refused", "[bad_input]") {
    const std::string wall = R"({"schema": "libseal/coach/1", "id": "t", "kind": "fifth_wheel", "length_m": 6, "width_m": 2, "floor_height_m": 1,
"roof_height_m": 3, "surfaces": [{"name": "curb_wall", "low_m": [0, 1], "high_m": [6, 3], "substrate": "steel", "finish": "white_paint",
"outline_m": [[0, 2], [2, 2], [2, 1], [6, 1], [6, 3], [0, 3]]}],
"parts": [{"id": "s", "kind": "slide_out", "surface": "curb_wall", "low_m": [3, 1.5], "high_m": [5, 2.5], "state": "partway"}],
"joints": [{"id": "seam", "type": "wall_seam_moulding", "surface": "curb_wall", "installed": 2020, "substrates": ["steel"],
"path_m": [[0.5, 2.5], [6, 2.5]]}]})";
    const Coach coach = read_coach_text(wall, "w.json");
    CHECK(coach.surfaces[0].outline.size() == 6);
    CHECK(coach.parts[0].state == "partway");
    CHECK(coach_json(read_coach_text(coach_json(coach), "x")) == coach_json(coach));
    const auto fault = [&](const std::string& what, const std::string& by) {
        const std::string text = replaced(wall, what, by);
        REQUIRE_FALSE(text.empty());
        const auto problems = problems_of([&] { read_coach_text(text, "w.json"); });
        REQUIRE_FALSE(problems.empty());
        CHECK(problems[0].line == line_of(wall, what));
        return problems[0].field;
    };
    CHECK(fault("[[0.5, 2.5]", "[[0.5, 1.5]") == "joints[0].path_m[0]");  // in the step
    CHECK(fault("\"low_m\": [3, 1.5]", "\"low_m\": [1, 1.5]") == "parts[0].low_m");
    CHECK(fault("\"partway\"", "\"half\"") == "parts[0].state");
    CHECK(fault("\"slide_out\"", "\"window\"") == "parts[0].state");  // only a slide-out has one
    CHECK(fault("[2, 2], [2, 1]", "[2, 2], [2, 0.5]") == "surfaces[0].outline_m[2]");
    CHECK(fault("[[0, 2], [2, 2], [2, 1], [6, 1], [6, 3], [0, 3]]", "[[0, 2], [2, 2]]") == "surfaces[0].outline_m");
    // Without an area nothing lies on it either; the wall is named first.
    CHECK(fault("[[0, 2], [2, 2], [2, 1], [6, 1], [6, 3], [0, 3]]", "[[0, 2], [2, 2], [4, 2]]") == "surfaces[0].outline_m");
}
