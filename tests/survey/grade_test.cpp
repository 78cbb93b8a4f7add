#include "support/built_in.hpp"
#include "support/catch.hpp"

#include "libseal/core/error.hpp"
#include "libseal/survey/urgency.hpp"

using namespace libseal;
using libseal_test::catalogue;

namespace {

Finding sign(const std::string& name, double value, const std::string& unit, double share_percent) {
    Finding f;
    f.coach = "c";
    f.joint = "j";
    f.sign = name;
    f.layer = "cap_bead";
    f.date = make_date(2026, 5, 1);
    f.value = value;
    f.unit = unit;
    f.share = share_percent / 100;
    return f;
}

Finding words(const std::string& name, const std::string& size, double share_percent) {
    Finding f = sign(name, std::numeric_limits<double>::quiet_NaN(), "", share_percent);
    f.size = size;
    return f;
}

Grade graded(const std::vector<Finding>& findings, const char* type = "roof_vent_flange") {
    return grade(findings, joint_type(catalogue(), type), catalogue());
}

constexpr double none = std::numeric_limits<double>::quiet_NaN();

}  // namespace

// The eleven worked cases of the survey notes (our proposal, computed by hand there); grade_rules_test.cpp has the rules one by one.
TEST_CASE("worked grade 1: heavy yellowing and chalk everywhere is grade 2", "[survey]") {
    const Grade g = graded({words("yellowing", "severe", 100), words("chalking", "severe", 100)});
    CHECK(g.cap == 2);
    CHECK(g.open_path == OpenPath::no);
}
TEST_CASE("worked grade 2: hairline cracks over a small share are grade 2", "[survey]") {
    const Grade g = graded({sign("skin_cracks", 0.05, "mm", 8), sign("skin_cracks", 20, "percent", 8)});
    CHECK(g.cap == 2);
    CHECK(g.open_path == OpenPath::no);
}
TEST_CASE("worked grade 3: cracks of 0.3 mm to 40 % depth over 20 % are grade 3", "[survey]") {
    const Grade g = graded({sign("deep_crack", 0.3, "mm", 20), sign("deep_crack", 40, "percent", 20)});
    CHECK(g.cap == 3);
}
TEST_CASE("worked grade 4: the same over 70 % is grade 4 without an open path", "[survey]") {
    const Grade g = graded({sign("deep_crack", 0.3, "mm", 70), sign("deep_crack", 40, "percent", 70)});
    CHECK(g.cap == 4);
    CHECK(g.open_path == OpenPath::no);
}
TEST_CASE("worked grade 5: an edge lifted 3 mm over a tiny share is grade 2", "[survey]") {
    CHECK(graded({sign("edge_lift", 3, "mm", 1.5)}).cap == 2);
}
TEST_CASE("worked grade 6: an edge lifted to a deck screw is an open path; a through crack over sound bedding is not", "[survey]") {
    Finding lift = sign("edge_lift", 3, "mm", 5);
    lift.reaches_fastener = true;
    lift.bedding_seen = "sound";
    CHECK(graded({lift}).cap == 5);
    CHECK(graded({lift}).open_path == OpenPath::yes);
    Finding crack = sign("deep_crack", 100, "percent", 15);
    crack.bedding_seen = "sound";
    CHECK(graded({crack}).cap == 4);
    CHECK(graded({crack}).open_path == OpenPath::no);
}
TEST_CASE("worked grade 7: a gap over absent bedding is grade 5 and open", "[survey]") {
    Finding gap = sign("gap", 1.0, "mm", 10);
    gap.bedding_seen = "absent";
    const Grade g = graded({gap});
    CHECK(g.cap == 5);
    CHECK(g.open_path == OpenPath::yes);
}
TEST_CASE("worked grade 8: an insert 30 mm short is grade 4", "[survey]") {
    Finding insert = sign("insert_short", 30, "mm", none);
    insert.layer = "insert";
    CHECK(graded({insert}, "roof_edge_moulding").cap == 4);
    CHECK(graded({insert}, "roof_edge_moulding").open_path == OpenPath::no);
}
TEST_CASE("worked grade 9: 15 % of screws loose is grade 4", "[survey]") {
    CHECK(graded({sign("fastener_loose", 15, "percent", none)}).hardware == 4);
    CHECK(graded({sign("fastener_loose", 15, "percent", none)}).worst() == 4);
    CHECK(graded({sign("fastener_loose", 15, "percent", none)}).cap == -1);  // nothing was said of the bead
    CHECK(graded({sign("fastener_loose", 15, "percent", none)}).open_path == OpenPath::no);
}
TEST_CASE("worked grade 10: a perfect bead over a soft, wet wall is damage and must be looked into at once", "[survey]") {
    Finding soft = words("soft_substrate", "clear", none);
    soft.layer = "";
    soft.moisture = 28;
    const Grade g = graded({words("clean_look", "", none), soft}, "window_frame");
    CHECK(g.cap == 0);
    CHECK(g.damage == 2);
    CHECK(g.open_path == OpenPath::unknown);
    CHECK(urgency(g, joint_type(catalogue(), "window_frame"), false, catalogue()) == Urgency::at_once);
}

TEST_CASE("an open cap follows its bedding", "[survey]") {
    Finding gap = sign("gap", 2.0, "mm", 10);
    CHECK(graded({gap}).cap == 4);
    CHECK(graded({gap}).open_path == OpenPath::unknown);
    gap.moisture = 30;
    gap.moisture_dry = 12;
    CHECK(graded({gap}).cap == 5);
    CHECK(graded({gap}).open_path == OpenPath::yes);
}

TEST_CASE("a measure that a sign does not have is refused", "[bad_input]") {
    CHECK_THROWS_AS(graded({sign("yellowing", 3, "mm", 10)}), ValueError);
    std::vector<Finding> two{sign("gap", 1, "mm", 1), sign("gap", 1, "mm", 1)};
    two[1].joint = "other";
    CHECK_THROWS_AS(graded(two), ValueError);
}
