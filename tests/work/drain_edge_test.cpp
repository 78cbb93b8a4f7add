#include <algorithm>
#include <set>

#include "libseal/catalogue/joint_type.hpp"
#include "libseal/work/plan.hpp"
#include "support/catch.hpp"
#include "work/areas.hpp"
#include "work/samples.hpp"

using namespace libseal;
using namespace libseal_test;

namespace {

/// Note of the step that caps a joint, "" without one.
std::string note_of_cap(const WorkPlan& plan, const std::string& joint) {
    for (const Step& step : plan.steps)
        if (step.joint == joint && step.kind == "cap") return step.note;
    return "";
}

WorkPlan plan_with_cracks(const Coach& coach) {
    std::vector<Finding> findings;
    for (const Joint& joint : coach.joints)
        if (layer_of(joint, "cap_bead")) findings.push_back(finding_at(coach, joint.id, "deep_crack", "severe", 0.4));
    return plan_work(coach, findings, sample_forecast(coach, 3), sample_shop(), sample_day());
}

}  // namespace

TEST_CASE("who caps a joint is told which edge of that joint stays open", "[work]") {
    Coach coach = sample_trailer(4);
    const auto window = std::find_if(coach.joints.begin(), coach.joints.end(), [](const Joint& j) { return j.type == "window_frame"; });
    REQUIRE(window != coach.joints.end());
    CHECK(note_of_cap(plan_with_cracks(coach), window->id).find("leave the bottom open") != std::string::npos);
    window->open_edge = "none";  // this one does not drain at its bottom
    const std::string note = note_of_cap(plan_with_cracks(coach), window->id);
    CHECK_FALSE(note.empty());
    CHECK(note.find("leave the") == std::string::npos);
}

TEST_CASE("every joint of every layout can be put in a plan, and what is never sealed gets no bead", "[work]") {
    const Catalogue catalogue = Catalogue::built_in();
    const auto built = make_date(2020, 5, 1);
    for (const std::string layout : {"fifth_wheel", "motorhome", "camper_van", "truck_camper"}) {
        LayoutOptions options = layout_options(layout);
        options.installed_from = options.installed_to = built;
        const bool small = layout == "camper_van" || layout == "truck_camper";
        const Coach coach = layout == "fifth_wheel"  ? fifth_wheel(10, options)
                            : layout == "motorhome"  ? motorhome(9, options)
                            : layout == "camper_van" ? camper_van(6, options)
                                                     : truck_camper(5, options);
        INFO(layout);
        const WorkPlan plan = plan_with_cracks(coach);
        std::set<std::string> capped;
        for (const Step& step : plan.steps)
            if (step.kind == "cap") capped.insert(step.joint);
        CHECK(capped.size() > (small ? 15u : 50u));
        for (const Joint& joint : coach.joints)
            if (joint_type(catalogue, joint.type).never_seal) CHECK_FALSE(capped.contains(joint.id));
    }
}

TEST_CASE("on a wall water runs over what lies below, also where joints meet within two centimetres", "[work]") {
    const auto piece = [](double u_low, double u_high, double z_low, double z_high) {
        detail::JointPlace place;
        place.area = "curb_wall";
        place.height_class = 2;
        place.u_low = u_low, place.u_high = u_high, place.z_low = z_low, place.z_high = z_high;
        return place;
    };
    const detail::JointPlace upper = piece(0, 1, 2, 2);
    CHECK(detail::runs_over(upper, piece(0.5, 2, 1, 1)));
    CHECK_FALSE(detail::runs_over(piece(0.5, 2, 1, 1), upper));
    CHECK(detail::runs_over(upper, piece(1 + 0.02, 2, 1, 1)));
    CHECK_FALSE(detail::runs_over(upper, piece(1.03, 2, 1, 1)));
    CHECK(detail::runs_over(upper, piece(0, 1, 1, 2 + 0.02)));   // a post that ends at the upper joint
    CHECK_FALSE(detail::runs_over(upper, piece(0, 1, 1, 2.03)));
    CHECK_FALSE(detail::runs_over(upper, piece(0, 1, 1.99, 1.99)));  // as good as level
    detail::JointPlace elsewhere = piece(0, 1, 1, 1);
    elsewhere.area = "street_wall";
    CHECK_FALSE(detail::runs_over(upper, elsewhere));
    elsewhere = upper;
    elsewhere.height_class = 0;
    elsewhere.z_low = elsewhere.z_high = 3;
    CHECK_FALSE(detail::runs_over(elsewhere, upper));  // a roof drains by its area, not by this
}

TEST_CASE("level surfaces of a slide-out lie at its face, and without a face at the roof and the floor of the coach", "[work]") {
    LayoutOptions options;
    options.slide_outs = 1;
    options.installed_from = options.installed_to = make_date(2020, 5, 1);
    Coach coach = travel_trailer(9, options);
    const Surface face = surface_of(coach, "slide_face", "slide_1");
    Joint joint;
    joint.slide = "slide_1";
    joint.path = {{1, 0.1}, {2, 0.4}};
    const auto height_on = [&](const char* surface) {
        joint.surface = surface;
        const detail::JointPlace place = detail::place_of(coach, joint);
        CHECK(place.z_low == place.z_high);
        CHECK(place.area == std::string(surface) + " of slide_1");
        return place.z_low;
    };
    CHECK(height_on("slide_roof") == face.high.v);
    CHECK(height_on("slide_floor") == face.low.v);
    std::erase_if(coach.surfaces, [](const Surface& surface) { return surface.name == "slide_face"; });
    CHECK(height_on("slide_roof") == coach.roof_height);
    CHECK(height_on("slide_floor") == coach.floor_height);
}
