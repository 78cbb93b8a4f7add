#include "support/catch.hpp"

#include <algorithm>

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
