#include "support/catch.hpp"

#include <algorithm>

#include "libseal/climate/typical_year.hpp"
#include "libseal/coach/layouts.hpp"
#include "libseal/core/error.hpp"
#include "libseal/forecast/what_if.hpp"

using namespace libseal;

namespace {

const Date as_of = make_date(2026, 11, 25);

Coach trailer() {
    LayoutOptions options;
    options.id = "t1";
    options.installed_from = make_date(2021, 1, 1);
    options.installed_to = make_date(2022, 1, 1);
    Coach coach = travel_trailer(8.0, options);
    coach.joints.resize(4);
    Stay stay;
    stay.from = make_date(2015, 1, 1);
    stay.to = make_date(9999, 12, 31);
    stay.station = "725350";
    coach.stays = {stay};
    return coach;
}

}  // namespace

TEST_CASE("an assumption changed for one call stands beside the old one", "[law]") {
    const Coach coach = trailer();
    const std::string family = coach.joints[0].layers[0].family;
    const Comparison longer = what_if(coach, as_of, 5, {{"sealant/" + family + "/median_life", "20"}});
    const Forecast plain = forecast(coach, as_of, 5);
    REQUIRE(longer.before.size() == plain.size());
    for (Eigen::Index i = 0; i < plain.size(); ++i) {
        CHECK(longer.before.due_50[i] == plain.due_50[i]);
        CHECK(longer.days[i] == longer.after.due_50[i] - longer.before.due_50[i]);
        if (plain.family[static_cast<std::size_t>(i)] == family && plain.layer[static_cast<std::size_t>(i)] == "cap_bead") CHECK(longer.days[i] > 365);
    }
    CHECK((what_if(coach, as_of, 5, {{"coach/t1/cover", "covered"}}).days > 0).any());
    CHECK((what_if(coach, as_of, 5, {{"coach/*/station", "722780"}}).days < 0).all());
    CHECK((what_if(coach, as_of, 5, {{"coach/*/finish/*", "black_membrane"}}).days <= 0).all());
    CHECK((what_if(coach, as_of, 5, {{"joint/t1/" + coach.joints[1].id + "/cap_bead/installed", "2021-01-01"}}).days <= 0).all());
    CHECK((what_if(coach, as_of, 5, {}).days == 0).all());
}

TEST_CASE("what is changed for one call is a coach or catalogue that was so from the start", "[law]") {
    const Coach coach = trailer();
    const Joint& joint = coach.joints[1];
    ForecastOptions options;
    Weather warm = typical_year(find_station("725350"));
    warm.air_temperature += 5;
    options.weather["south yard"] = warm;
    const auto as_changed = [&](const Change& change, auto build, bool moves = true) {
        INFO(change.target);
        Coach other = coach;
        build(other);
        const Comparison comparison = what_if(coach, as_of, 5, {change}, options);
        const Forecast own = forecast(other, as_of, 5, options);
        CHECK((comparison.after.due_50 == own.due_50).all());
        CHECK((comparison.after.due_10 == own.due_10).all());
        CHECK((comparison.days != 0).any() == moves);
    };
    as_changed({"coach/t1/place", "south yard"}, [](Coach& other) { other.stays[0].place = "south yard"; });
    as_changed({"coach/t1/heading", "120"}, [](Coach& other) { other.stays[0].heading = 120; }, false);  // joints of the roof, which lies level
    as_changed({"joint/t1/" + joint.id + "/screw_spacing_mm", "600"}, [](Coach& other) { other.joints[1].screw_spacing = 0.6; });
    as_changed({"joint/t1/" + joint.id + "/cap_bead/family", "polyurethane"}, [](Coach& other) {
        for (Layer& layer : other.joints[1].layers)
            if (layer.kind == "cap_bead") layer.family = "polyurethane";
    });
    // A word of the catalogue: where the lives of the catalogue hold. In a hotter place they are longer everywhere else.
    CHECK((what_if(coach, as_of, 5, {{"model/reference_station", "722780"}}).days > 0).all());
}

TEST_CASE("a finish of all coaches is changed on those that have the surface", "[forecast]") {
    Fleet fleet = fleet_of(trailer());
    fleet.coaches.push_back(trailer());
    fleet.coaches[1].id = "t2";
    std::erase_if(fleet.coaches[1].surfaces, [](const Surface& surface) { return surface.name == "curb_wall"; });
    fleet.coaches[1].parts.clear();
    std::erase_if(fleet.coaches[1].joints, [](const Joint& joint) { return joint.surface == "curb_wall"; });
    for (Coach& coach : fleet.coaches) coach.joints.resize(2);  // of the roof
    REQUIRE(fleet.coaches[0].joints[0].surface == "roof");
    const Comparison roof = what_if(fleet, as_of, 5, {{"coach/*/finish/roof", "black_plastic"}});
    CHECK((roof.days < 0).all());  // darker is hotter
    CHECK((what_if(fleet, as_of, 5, {{"coach/*/finish/curb_wall", "black_plastic"}}).days == 0).all());
    CHECK_THROWS_AS(what_if(fleet, as_of, 5, {{"coach/t2/finish/curb_wall", "black_plastic"}}), ValueError);
    CHECK_THROWS_AS(what_if(fleet, as_of, 5, {{"coach/*/finish/ceiling", "black_plastic"}}), ValueError);
}

TEST_CASE("what cannot be changed is refused by name", "[bad_input]") {
    const Coach coach = trailer();
    const auto refused = [&](const char* target, const char* value) {
        try {
            what_if(coach, as_of, 5, {{target, value}});
        } catch (const ValueError& error) {
            return std::string(error.what());
        }
        return std::string();
    };
    CHECK(refused("sealant/poliurethane/median_life", "5").find("polyurethane") != std::string::npos);
    CHECK(refused("sealant/polyurethane/median_life", "five").find("a number") != std::string::npos);
    CHECK(refused("coach/t2/cover", "open").find("coach/t2/cover") != std::string::npos);
    CHECK(refused("coach/t1/coverr", "open").find("cover") != std::string::npos);
    CHECK(refused("coach/t1/cover", "tent").find("tent") != std::string::npos);
    CHECK(refused("joint/t1/nowhere/length_m", "2") != "");
    CHECK(refused("joint/t1/*/length_m", "-2") != "");
    CHECK(refused("joint/t1/*/lenght_m", "2").find("did you mean \"length_m\"?") != std::string::npos);
    CHECK(refused("joint/t1/*/cap_bead/color", "red").find("a field among screw_spacing_mm, length_m, LAYER/family, LAYER/installed") != std::string::npos);
    // A layer that no joint has is no silent success.
    CHECK(refused("joint/t1/*/cap_beed/family", "polyurethane").find("a layer that it has") != std::string::npos);
    CHECK(refused("joint/t1/*/wiper_seal/installed", "2021-01-01").find("a layer that it has") != std::string::npos);
    CHECK(refused("coach/t1/heading", "north").find("a number") != std::string::npos);
}

TEST_CASE("the assumption that moves the date most is named, with its days", "[forecast]") {
    Coach coach = trailer();
    coach.joints.resize(1);
    const Sensitivity moves = sensitivity(coach, as_of, 5);
    REQUIRE(moves.assumption.size() > 10);
    for (Eigen::Index i = 0; i < moves.most_days.size(); ++i) {
        const auto largest = std::max(moves.days_low.col(i).abs().maxCoeff(), moves.days_high.col(i).abs().maxCoeff());
        CHECK(moves.most_days[i] == largest);
        const auto place = std::find(moves.assumption.begin(), moves.assumption.end(), moves.most[static_cast<std::size_t>(i)]) - moves.assumption.begin();
        REQUIRE(static_cast<std::size_t>(place) < moves.assumption.size());
    }
    // A shorter life and an earlier fitting bring the date nearer.
    for (std::size_t a = 0; a < moves.assumption.size(); ++a) {
        const auto row = static_cast<Eigen::Index>(a);
        if (moves.assumption[a].find("median_life") != std::string::npos || moves.assumption[a].find("installed") != std::string::npos) {
            CHECK((moves.days_low.row(row) <= 0).all());
            CHECK((moves.days_high.row(row) >= 0).all());
        }
    }
}
