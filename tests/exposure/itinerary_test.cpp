#include "libseal/exposure/itinerary.hpp"

#include <cmath>
#include <limits>

#include "libseal/core/error.hpp"
#include "libseal/exposure/plane.hpp"
#include "support/catch.hpp"

using namespace libseal;

namespace {

constexpr double any = std::numeric_limits<double>::quiet_NaN();

Stay stay(const std::string& from, const std::string& to, const std::string& place, const std::string& cover = "open") {
    Stay s;
    s.from = parse_date(from);
    s.to = parse_date(to);
    s.place = place;
    s.cover = cover;
    return s;
}

/// Synthetic hours of a year in a zone; only times.
Weather hours_of(int year, double utc_offset, bool typical, int shift_hours = 0) {
    Weather w;
    w.site.utc_offset = utc_offset;
    w.typical = typical;
    const int days = make_date(year + 1, 1, 1) - make_date(year, 1, 1);
    w.time_utc.resize(days * 24);
    for (Eigen::Index i = 0; i < w.time_utc.size(); ++i)
        w.time_utc[i] = make_instant(year, 1, 1) + (i + 1 + shift_hours) * 3600 - static_cast<Instant>(utc_offset * 3600);
    return w;
}

}  // namespace

TEST_CASE("stays are put in order and equal neighbours become one", "[exposure]") {
    const Itinerary out = checked_itinerary({stay("2027-04-01", "2027-11-01", "north"), stay("2026-11-01", "2027-02-01", "south"),
                                             stay("2027-02-01", "2027-04-01", "south")});
    REQUIRE(out.size() == 2);
    CHECK(out[0].place == "south");
    CHECK(to_text(out[0].to) == "2027-04-01");
    CHECK(out[1].place == "north");
    CHECK(checked_itinerary({}).empty());
    CHECK(checked_itinerary({stay("2027-01-01", "2027-02-01", "a"), stay("2027-02-01", "2027-03-01", "a", "covered")}).size() == 2);
}

TEST_CASE("gaps, overlaps, backward stays and unknown covers are all named", "[bad_input][exposure]") {
    CHECK_THROWS_AS(checked_itinerary({stay("2027-01-01", "2027-02-01", "a"), stay("2027-02-02", "2027-03-01", "b")}), ValueError);
    CHECK_THROWS_AS(checked_itinerary({stay("2027-01-01", "2027-02-01", "a"), stay("2027-01-31", "2027-03-01", "b")}), ValueError);
    try {
        Itinerary bad{stay("2027-02-01", "2027-01-01", "a"), stay("2027-02-01", "2027-03-01", "b", "carpot")};
        bad[1].latitude = 91;
        bad[1].longitude = 10;
        checked_itinerary(bad);
        FAIL("must throw");
    } catch (const ValueError& error) {
        REQUIRE(error.problems().size() == 3);
        CHECK(error.problems()[0].field == "itinerary[0].to");
        CHECK(error.problems()[1].hint == "did you mean \"carport\"?");
        CHECK(error.problems()[2].field == "itinerary[1].latitude");
    }
}

TEST_CASE("stays lie within the years 1950 to 2200, or have an open end", "[bad_input][exposure]") {
    const auto field_of = [](const Stay& one) {
        try {
            checked_itinerary({one});
        } catch (const ValueError& error) {
            CHECK(error.problems().front().expected.find("1950 to 2200") != std::string::npos);
            return error.problems().front().field;
        }
        return std::string();
    };
    CHECK(field_of(stay("1949-12-31", "2027-01-01", "a")) == "itinerary[0].from");
    CHECK(field_of(stay("2201-01-01", "9999-12-31", "a")) == "itinerary[0].from");
    CHECK(field_of(stay("2027-01-01", "2999-01-01", "a")) == "itinerary[0].to");
    CHECK(field_of(stay("1950-01-01", "2201-01-01", "a")).empty());
    CHECK(field_of(stay("2027-01-01", "9999-12-31", "a")).empty());
}

TEST_CASE("covers let through less the more they cover", "[law][exposure]") {
    for (const std::string& cover : cover_names()) {
        const CoverFactors f = cover_factors(cover);
        for (const double share : {f.roof, f.wall, f.rain}) CHECK((share >= 0 && share <= 1));
        CHECK(f.open_air == (cover != "indoors"));
    }
    CHECK(cover_factors("open").roof == 1);
    CHECK(cover_factors("carport").roof == 0);
    CHECK(cover_factors("carport").wall == 0.5);   // docs/exposure.md, section 6
    CHECK(cover_factors("carport").rain == 0.35);  // ASHRAE 160: deposition factor of a wall below a steep roof
    CHECK(cover_factors("covered").wall == 0);
    CHECK_THROWS_AS(cover_factors("tent"), ValueError);
}

TEST_CASE("each surface looks where the heading turns it", "[exposure]") {
    CHECK(plane_of("roof", any).tilt == 0);
    CHECK(plane_of("curb_wall", 0).azimuth == 90);
    CHECK(plane_of("street_wall", 0).azimuth == 270);
    CHECK(plane_of("street_wall", 45).azimuth == 315);
    CHECK(plane_of("rear_cap", 270).azimuth == 90);
    CHECK(plane_of("front_cap", -10).azimuth == 350);
    CHECK(plane_of("underside", 10).tilt == 180);
    CHECK(std::isnan(plane_of("curb_wall", any).azimuth));
    CHECK(std::isnan(plane_of("slide_face", 0).azimuth));  // its wall says where
    CHECK_THROWS_AS(plane_of("curbwall", 0), ValueError);
    // A slide's sides look along the coach, its roof and floor up and down; turns beyond the circle are the same direction.
    CHECK(plane_of("slide_front_side", 30).azimuth == 30);
    CHECK(plane_of("slide_rear_side", 30).azimuth == 210);
    CHECK(plane_of("slide_roof", 30).tilt == 0);
    CHECK(plane_of("slide_floor", 30).tilt == 180);
    CHECK(plane_of("front_cap", 750).azimuth == 30);
    CHECK(plane_of("street_wall", -360).azimuth == 270);
    CHECK_THROWS_AS(plane_of("roof", std::numeric_limits<double>::infinity()), ValueError);
}

TEST_CASE("a typical year gives every day of a stay its hours, and leap days those of the 28th", "[law][exposure]") {
    const double offset = GENERATE(-8.0, 0.0, 10.0);
    const Weather w = hours_of(2001, offset, true);
    const Itinerary plan{stay("2027-12-30", "2028-03-02", "here")};
    const auto parts = join_weather(plan, parse_date("2027-12-31"), parse_date("2028-03-02"), [&](const Stay&) -> const Weather& { return w; });
    REQUIRE(parts.size() == 1);
    REQUIRE(parts[0].hours.size() == 24 * 62);
    CHECK(parts[0].hours.front() == 364 * 24);
    CHECK(parts[0].hours[24] == 0);  // New Year's Day
    const std::size_t leap = 24 * 60;  // 31 December, 31 days, 28 days, then 29 February
    for (std::size_t h = 0; h < 24; ++h) CHECK(parts[0].hours[leap + h] == parts[0].hours[leap - 24 + h]);
    CHECK(parts[0].hours.back() == 60 * 24 - 1);  // last hour of 1 March
}

TEST_CASE("a typical year that begins within a local day still has whole days", "[law][exposure]") {
    const Weather w = hours_of(2001, 1, true, 1);  // counted in UTC, one hour behind its zone
    const auto parts = join_weather({stay("2027-01-01", "2027-01-03", "here")}, parse_date("2027-01-01"), parse_date("2027-01-03"),
                                    [&](const Stay&) -> const Weather& { return w; });
    REQUIRE(parts[0].hours.size() == 48);
    CHECK(parts[0].hours[0] == 8759);  // the hour after midnight stands at the end of the file
    CHECK(parts[0].hours[1] == 0);
    CHECK(parts[0].hours[24] == 23);
}

TEST_CASE("dated weather gives the hours of the stay's own days", "[law][exposure]") {
    const Weather north = hours_of(2026, -5, false), south = hours_of(2026, -6, false);
    const Itinerary plan{stay("2026-03-01", "2026-06-01", "south"), stay("2026-06-01", "9999-01-01", "north", "covered")};
    const auto parts = join_weather(plan, parse_date("2026-05-30"), parse_date("2026-06-03"),
                                    [&](const Stay& s) -> const Weather& { return s.place == "north" ? north : south; });
    REQUIRE(parts.size() == 2);
    CHECK(parts[0].weather == &south);
    CHECK(parts[0].hours.size() == 48);
    CHECK(parts[1].hours.size() == 48);
    const Date day = date_of(north.time_utc[parts[1].hours[0]] - 1800 - 5 * 3600);
    CHECK(to_text(day) == "2026-06-01");
    // Beyond its end dated weather has nothing to give.
    const auto late = join_weather(plan, parse_date("2026-12-31"), parse_date("2027-01-05"),
                                   [&](const Stay&) -> const Weather& { return north; });
    CHECK(late.at(0).hours.size() == 24);
}

TEST_CASE("a span that the itinerary does not cover is refused", "[bad_input][exposure]") {
    const Weather w = hours_of(2001, 0, true);
    const auto here = [&](const Stay&) -> const Weather& { return w; };
    const Itinerary plan{stay("2027-01-01", "2027-02-01", "a")};
    CHECK_THROWS_AS(join_weather(plan, parse_date("2026-12-31"), parse_date("2027-01-05"), here), ValueError);
    CHECK_THROWS_AS(join_weather(plan, parse_date("2027-01-20"), parse_date("2027-02-02"), here), ValueError);
    CHECK_THROWS_AS(join_weather({}, parse_date("2027-01-20"), parse_date("2027-02-02"), here), ValueError);
    CHECK_THROWS_AS(join_weather(plan, parse_date("2027-01-20"), parse_date("2027-01-10"), here), ValueError);
    CHECK(join_weather(plan, parse_date("2027-01-20"), parse_date("2027-01-20"), here).empty());
}
