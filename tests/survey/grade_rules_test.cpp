#include "support/catch.hpp"

#include <cmath>

#include "libseal/core/error.hpp"
#include "libseal/survey/urgency.hpp"

using namespace libseal;

namespace {

struct Sign {
    const char* sign;
    double value = std::nan("");
    const char* unit = "";
    double share = std::nan("");
    const char* size = "";
    const char* segment = "";
};

Finding finding(const Sign& s) {
    Finding f;
    f.coach = "c";
    f.joint = "j";
    f.sign = s.sign;
    f.value = s.value;
    f.unit = s.unit;
    f.share = s.share;
    f.size = s.size;
    f.segment = s.segment;
    f.date = make_date(2026, 4, 1);
    return f;
}

Grade graded(std::vector<Finding> findings, const char* type = "roof_vent_flange") {
    const Catalogue catalogue = Catalogue::built_in();
    return grade(findings, joint_type(catalogue, type), catalogue);
}

JointType type_of(const char* name) { return joint_type(Catalogue::built_in(), name); }

}  // namespace

// The cases below are the worked ones of the project's own scale (judgement): they test the rules, not the world.

TEST_CASE("a short edge lift is milder than a long one, and one that reaches a deck screw is an open path", "[survey]") {
    CHECK(graded({finding({"edge_lift", 3, "mm", 0.015})}).cap == 2);
    CHECK(graded({finding({"edge_lift", 3, "mm", 0.20})}).cap == 3);
    Finding reached = finding({"edge_lift", 3, "mm", 0.05});
    reached.reaches_fastener = true;
    reached.bedding_seen = "sound";
    const Grade g = graded({reached});
    CHECK(g.cap == 5);
    CHECK(g.open_path == OpenPath::yes);
    const Grade wall = graded({reached}, "window_frame");  // no framing or wiring behind
    CHECK(wall.cap == 4);
    CHECK(wall.open_path == OpenPath::unknown);
}

TEST_CASE("a cap that is through is judged by the bedding behind it", "[survey]") {
    Finding through = finding({"deep_crack", 100, "percent", 0.15});
    through.bedding_seen = "sound";
    CHECK(graded({through}).cap == 4);
    CHECK(graded({through}).open_path == OpenPath::no);
    through.bedding_seen = "not_seen";
    CHECK(graded({through}).cap == 4);
    CHECK(graded({through}).open_path == OpenPath::unknown);
    through.moisture = 26;
    CHECK(graded({through}).cap == 5);
    CHECK(graded({through}).open_path == OpenPath::yes);
    Finding gap = finding({"gap", 1.0, "mm", 0.10});
    gap.bedding_seen = "absent";
    CHECK(graded({gap}).cap == 5);
    CHECK(graded({gap}).bedding == 5);
    CHECK(graded({gap}).open_path == OpenPath::yes);
}

TEST_CASE("inserts and screws have rows of their own that no share of length shifts", "[survey]") {
    const Grade insert = graded({finding({"insert_short", 30, "mm", 0.01})}, "corner_moulding");
    CHECK(insert.cap == 4);
    CHECK(insert.open_path == OpenPath::no);
    const Grade screws = graded({finding({"fastener_loose", 15, "percent"})}, "roof_edge_moulding");
    CHECK(screws.hardware == 4);
    CHECK(screws.open_path == OpenPath::no);
    CHECK(graded({finding({"insert_out_of_track"})}, "corner_moulding").cap == 5);
}

TEST_CASE("what was looked for and not found is no wear, whatever share was written beside it", "[survey]") {
    for (const char* sign : {"deep_crack", "chalking", "edge_lift"})
        for (const double share : {0.005, 0.3, 0.9}) {
            INFO(sign << " " << share);
            CHECK(graded({finding({sign, std::nan(""), "", share, "none"})}).cap == 0);
        }
}

TEST_CASE("values on the edge of a class follow the printed sign", "[survey]") {
    const auto size = [](const char* sign, double value, const char* unit) { return graded({finding({sign, value, unit, 0.2})}).cap; };
    CHECK(size("skin_cracks", 0.1, "mm") == 3);
    CHECK(size("skin_cracks", 0.5, "mm") == 3);
    CHECK(size("deep_crack", 25, "percent") == 3);
    CHECK(size("deep_crack", 50, "percent") == 4);
    CHECK(size("gap", 0.1, "mm") == 1);
    CHECK(size("gap", 0.25, "mm") == 2);
    CHECK(size("worn_thin", 3, "mm") == 3);
    CHECK(size("worn_thin", 6, "mm") == 0);
    CHECK(size("edge_lift", 4, "mm") == 3);
    CHECK(graded({finding({"insert_short", 25, "mm"})}, "corner_moulding").cap == 3);
    CHECK(graded({finding({"fastener_loose", 25, "percent"})}, "corner_moulding").hardware == 4);
}

TEST_CASE("the worst segment counts, and bedding seen elsewhere says nothing about it", "[survey]") {
    Finding through = finding({"deep_crack", 100, "percent", 0.15, "", "2"});
    Finding elsewhere = finding({"clean_look", NAN, "", NAN, "", "4"});
    elsewhere.bedding_seen = "sound";
    CHECK(graded({through, elsewhere}).open_path == OpenPath::unknown);
    elsewhere.segment = "";
    CHECK(graded({through, elsewhere}).open_path == OpenPath::no);
    CHECK(graded({through, elsewhere}).bedding == 1);
}

TEST_CASE("a hard bead makes its cracks one grade worse", "[survey]") {
    const Finding crack = finding({"skin_cracks", 0.05, "mm", 0.2});
    CHECK(graded({crack}).cap == 2);
    CHECK(graded({crack, finding({"hardened"})}).cap == 3);
}

TEST_CASE("not inspected is not clean", "[survey]") {
    Finding none = finding({"not_inspected"});
    none.reason = "snow";
    const Grade g = graded({none});
    CHECK_FALSE(g.inspected);
    CHECK(g.cap == -1);
    CHECK(g.reasons == std::vector<std::string>{"not inspected: snow"});
    CHECK(urgency(g, type_of("roof_vent_flange"), true, Catalogue::built_in()) == Urgency::next_inspection);
    const Grade bedding_only = graded({finding({"bedding_shrunk", 0.4, "mm", 0.2})});
    CHECK(bedding_only.cap == -1);
    CHECK(bedding_only.bedding == 4);
}

TEST_CASE("more damage or more of it never gives a better grade", "[law]") {
    for (const char* sign : {"skin_cracks", "edge_lift", "gap", "void"}) {
        int before = 0;
        for (double value = 0; value < 12; value += 0.05) {
            const int now = graded({finding({sign, value, "mm", 0.2})}).cap;
            CHECK(now >= (before == 5 ? 4 : before));  // at the top the bedding rule speaks: exactly 4 while it is unseen
            before = now;
        }
        for (double value : {0.2, 1.0, 3.0}) {
            int last = 0;
            for (double share = 0.01; share <= 1; share += 0.01) {
                const int now = graded({finding({sign, value, "mm", share})}).cap;
                CHECK(now >= (last == 5 ? 4 : last));
                last = now;
            }
        }
    }
}

TEST_CASE("urgency grows with grade and with what gets wet", "[survey]") {
    const auto at = [](int cap, int consequence, OpenPath path, bool exposed) {
        Grade g;
        g.inspected = true;
        g.cap = cap;
        g.open_path = path;
        JointType type;
        type.consequence = consequence;
        return to_text(urgency(g, type, exposed, Catalogue::built_in()));
    };
    const auto no = OpenPath::no;
    CHECK(at(1, 4, no, true) == "next_inspection");
    CHECK(at(2, 3, no, false) == "next_service");
    CHECK(at(3, 3, no, false) == "next_service");
    CHECK(at(3, 4, no, false) == "within_30_days");
    CHECK(at(4, 4, no, false) == "within_30_days");
    CHECK(at(4, 4, no, true) == "at_once");
    CHECK(at(4, 1, no, true) == "next_service");
    CHECK(at(5, 2, no, false) == "within_30_days");
    CHECK(at(5, 3, no, false) == "at_once");
    CHECK(at(4, 4, OpenPath::unknown, false) == "at_once");  // treated as open over deck and wiring
    CHECK(at(4, 3, OpenPath::unknown, false) == "within_30_days");
    for (int k = 1; k <= 4; ++k)
        for (int g = 1; g <= 5; ++g) {
            Grade low, high;
            low.inspected = high.inspected = true;
            low.cap = g - 1;
            high.cap = g;
            JointType type;
            type.consequence = k;
            CHECK(urgency(low, type, false, Catalogue::built_in()) <= urgency(high, type, false, Catalogue::built_in()));
        }
}

TEST_CASE("a measure that no row of the sign has is refused, and so is an unknown sign", "[bad_input]") {
    CHECK_THROWS_AS(graded({finding({"yellowing", 3, "mm"})}), ValueError);
    CHECK_THROWS_AS(graded({finding({"gap", 3, "percent"})}), ValueError);
    CHECK_THROWS_AS(graded({finding({"gap", 3, ""})}), ValueError);
    CHECK_THROWS_AS(graded({finding({"yelowing"})}), ValueError);
}

TEST_CASE("every sign of the word list is known to the grade rules", "[survey]") {
    const Catalogue catalogue = Catalogue::built_in();
    CHECK(catalogue.names("grade/sign").size() == sign_names().size());
    for (const auto& sign : sign_names()) {
        INFO(sign);
        CHECK(catalogue.has("grade/sign/" + sign + "/line"));
        Finding f = finding({sign.c_str()});
        f.reason = "x";
        CHECK_NOTHROW(graded({f}));
    }
    for (const auto& action : action_names()) CHECK(catalogue.has("action/" + action + "/steps"));
}
