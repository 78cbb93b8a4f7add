#include "support/catch.hpp"

#include "core/json.hpp"

using namespace libseal;
using namespace libseal::detail;

namespace {
const char* const text = R"({
  "schema": "libseal/thing/1",
  "beads": [
    {"width": "quarter inch", "leg_mm": 5, "nmae": "a\"b"}
  ]
})";
}

TEST_CASE("an error of meaning names line, column and field path", "[core]") {
    const JsonDocument document(text, "coach.json");
    Problems problems;
    const auto root = JsonView::root(document, problems);
    CHECK(root.check_schema("libseal/thing/1"));
    for (const auto& bead : root.member("beads").items()) {
        bead.check_keys({"width", "leg_mm", "name"});
        CHECK(bead.length_member_m("leg", 0, 1, 0, true) == Approx(0.005));
        bead.member("width").length_m(0, 1, 0);
    }
    try {
        problems.throw_if_any();
        FAIL("expected a ValueError");
    } catch (const ValueError& error) {
        REQUIRE(error.problems().size() == 2);
        CHECK(error.problems()[0].line == 4);
        CHECK(error.problems()[0].column == 44);
        CHECK(error.problems()[0].field == "beads[0].nmae");
        CHECK(error.problems()[0].hint == "did you mean \"name\"?");
        CHECK(error.problems()[1].column == 15);
        CHECK(error.problems()[1].got == "\"quarter inch\"");
        CHECK(std::string(error.what()).find("coach.json:4:15: beads[0].width") != std::string::npos);
    }
}

TEST_CASE("the place of every kind of value is its first byte", "[core]") {
    const JsonDocument document("{\"a\": [true, null, -1.5e3, \"x\\\\\", {}, []]}", "t");
    const auto& items = document.root().members[0].value.items;
    const std::size_t expected[] = {7, 13, 19, 27, 34, 38};
    REQUIRE(items.size() == 6);
    for (std::size_t i = 0; i < 6; ++i) CHECK(items[i].offset == expected[i]);
    CHECK(items[2].number == -1500);
    CHECK(items[3].text == "x\\");
}

TEST_CASE("what is no JSON is refused with its place", "[core]") {
    CHECK_THROWS_AS(JsonDocument("{\"a\": }", "t"), ValueError);
    CHECK_THROWS_AS(JsonDocument("{\"a\": 1, \"a\": 2}", "t"), ValueError);
    CHECK_THROWS_AS(JsonDocument(std::string(100000, '['), "t"), ValueError);
    CHECK_THROWS_AS(JsonDocument("", "t"), ValueError);
    CHECK_THROWS_AS(JsonDocument("[1e999]", "t"), ValueError);
}

TEST_CASE("written JSON reads back", "[law]") {
    JsonWriter writer;
    writer.begin_object();
    writer.key("text");
    writer.value("line\nquote\" back\\ \x01");
    writer.key("number");
    writer.value(0.1);
    writer.key("list");
    writer.begin_list();
    writer.value(1);
    writer.null();
    writer.end_list();
    writer.key("nothing");
    writer.begin_object();
    writer.end_object();
    writer.end_object();
    const JsonDocument document(writer.take(), "t");
    CHECK(document.root().members[0].value.text == "line\nquote\" back\\ \x01");
    CHECK(document.root().members[1].value.number == 0.1);
    CHECK(document.root().members[2].value.items.size() == 2);
}
