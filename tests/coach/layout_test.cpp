#include "support/catch.hpp"

#include <cmath>
#include <set>

#include "libseal/catalogue/joint_type.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/core/error.hpp"

using namespace libseal;

namespace {

LayoutOptions dated() {
    LayoutOptions options;
    options.installed_from = options.installed_to = make_date(2021, 5, 1);
    return options;
}

}  // namespace

TEST_CASE("a travel trailer of any size is whole, and its parts do not overlap", "[coach]") {
    const double length = GENERATE(6.0, 7.5, 9.1, 12.0);
    const Coach coach = travel_trailer(length, dated());
    CHECK_NOTHROW(check_coach(coach, Catalogue::built_in()));
    CHECK(coach.joints.size() >= 55);
    CHECK(coach.joints.size() <= 70);
    std::set<std::string> types;
    for (const auto& joint : coach.joints) types.insert(joint.type);
    CHECK(types.size() >= 28);
    for (std::size_t i = 0; i < coach.parts.size(); ++i)
        for (std::size_t k = 0; k < i; ++k) {
            const Part &a = coach.parts[i], &b = coach.parts[k];
            if (a.surface != b.surface || a.slide != b.slide) continue;
            INFO(a.id + " and " + b.id);
            CHECK_FALSE((a.low.u < b.high.u && b.low.u < a.high.u && a.low.v < b.high.v && b.low.v < a.high.v));
        }
}

TEST_CASE("no joint of a trailer closes an edge that must stay open, and never-seal places have no bead", "[coach]") {
    const Catalogue catalogue = Catalogue::built_in();
    const Coach coach = travel_trailer(9.1, dated());
    for (const auto& joint : coach.joints) {
        INFO(joint.id);
        const JointType type = joint_type(catalogue, joint.type);
        if (type.never_seal) {
            CHECK(layer_of(joint, "cap_bead") == nullptr);
            CHECK(joint.bead.profile.empty());
        }
        if (!joint.part.empty() && type.open_edge == "bottom") {
            const Point first = joint.path.front(), last = joint.path.back();
            CHECK((first.u != last.u || first.v != last.v));
        }
    }
}

TEST_CASE("a trailer of 9.1 m has the sealed lengths of a take-off by hand", "[coach]") {
    // Worked by hand from the sizes of parts (computed for this project): two cap transitions 4.88 m, a vent flange of
    // 0.457 m square 1.83 m, skylight 2.74 m, refrigerator vent 1.82 m, antenna 1.10 m, pipe vent pi x 0.15 m.
    const Coach coach = travel_trailer(9.1, dated());
    CHECK(joint_of(coach, "front_cap_to_roof").length + joint_of(coach, "rear_cap_to_roof").length == Approx(4.88));
    CHECK(joint_of(coach, "roof_vent_1").length == Approx(1.828));
    CHECK(joint_of(coach, "skylight").length == Approx(2.74));
    CHECK(joint_of(coach, "refrigerator_roof_vent").length == Approx(1.82));
    CHECK(joint_of(coach, "antenna").length == Approx(1.10));
    CHECK(joint_of(coach, "plumbing_vent_1").length == Approx(0.4712).margin(5e-5));
    CHECK(joint_of(coach, "roof_edge_street").length == Approx(9.1));
    CHECK(joint_of(coach, "corner_front_curb").length == Approx(4.0));
    CHECK(bead_section_mm2({"strip", 0.038, 0.006}) == Approx(228));
    CHECK(bead_section_mm2({"fillet", 0, 0.006}) == Approx(18));
    CHECK(bead_section_mm2({"", 0.038, 0.006}) == 0);
}

TEST_CASE("options of a trailer are heeded, and what does not fit is named", "[bad_input]") {
    LayoutOptions bare = dated();
    bare.roof_vents = bare.windows = bare.slide_outs = bare.marker_lights = 0;
    bare.skylight = bare.air_conditioner = bare.ladder = bare.awning = false;
    const Coach coach = travel_trailer(4.0, bare);
    CHECK_NOTHROW(check_coach(coach, Catalogue::built_in()));
    CHECK(coach.joints.size() < 40);
    CHECK_THROWS_AS(travel_trailer(3.9), ValueError);
    CHECK_THROWS_AS(travel_trailer(std::nan("")), ValueError);
    LayoutOptions crowded = dated();
    crowded.windows = 12;
    CHECK_THROWS_AS(travel_trailer(4.0, crowded), ValueError);
    LayoutOptions year;
    year.model_year = 2021;
    CHECK(travel_trailer(8, year).joints[0].layers[0].installed_from == make_date(2020, 7, 1));
    CHECK(travel_trailer(8, year).joints[0].layers[0].installed_to == make_date(2021, 12, 31));
    // Without a date or a model year nothing is made up: the check says what is missing.
    CHECK_THROWS_AS(check_coach(travel_trailer(8), Catalogue::built_in()), ValueError);
}
