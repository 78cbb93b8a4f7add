#include "support/catch.hpp"

#include "libseal/forecast/track.hpp"

using namespace libseal;

namespace {

Stay stay(const char* from, const char* to, const char* place) {
    Stay s;
    s.from = parse_date(from);
    s.to = parse_date(to);
    s.place = place;
    return s;
}

ClockYear steady(double rate) {
    ClockYear year;
    for (auto& month : year.month) month = {0.5 * rate, 0.3 * rate, 0.2 * rate};
    return year;
}

}  // namespace

TEST_CASE("months of an itinerary cover the span once, in order", "[forecast]") {
    const Itinerary round = {stay("2024-05-01", "2024-11-10", "north"), stay("2024-11-10", "2025-05-01", "south")};
    const auto months = months_of_itinerary(round, parse_date("2023-02-10"), parse_date("2030-01-01"));
    CHECK(months.front().from == parse_date("2023-02-10"));
    CHECK(months.back().to == parse_date("2030-01-01"));
    for (std::size_t i = 1; i < months.size(); ++i) REQUIRE(months[i].from == months[i - 1].to);
    const auto stay_on = [&](const char* day) {
        for (const auto& part : months)
            if (part.from <= parse_date(day) && parse_date(day) < part.to) return part.stay;
        return -1;
    };
    CHECK(stay_on("2023-03-01") == 0);   // before the first stay
    CHECK(stay_on("2024-11-09") == 0);
    CHECK(stay_on("2024-11-10") == 1);
    CHECK(stay_on("2025-05-01") == 0);   // the round goes on
    CHECK(stay_on("2027-11-09") == 0);
    CHECK(stay_on("2027-11-10") == 1);
    CHECK(stay_on("2029-12-31") == 1);
}

TEST_CASE("one year at the reference rate is one year of age, whatever the cuts", "[law]") {
    const ClockYear year = steady(1.0), fast = steady(2.0);
    const Itinerary one = {stay("2020-01-01", "9999-12-31", "a")};
    const Itinerary cut = {stay("2020-01-01", "2021-03-17", "a"), stay("2021-03-17", "9999-12-31", "a")};
    const Date from = parse_date("2020-01-01"), to = parse_date("2030-01-01");
    const AgeTrack whole(months_of_itinerary(one, from, to), {&year});
    const AgeTrack pieces(months_of_itinerary(cut, from, to), {&year, &year});
    const AgeTrack twice(months_of_itinerary(one, from, to), {&fast});
    for (const char* day : {"2020-06-15", "2021-03-17", "2025-12-31", "2029-12-31", "2045-07-01"}) {
        const double years = years_between(from, parse_date(day));
        CHECK(whole.age_between(from, parse_date(day)) == Approx(years).epsilon(1e-10));
        CHECK(pieces.age_between(from, parse_date(day)) == Approx(years).epsilon(1e-10));
        CHECK(twice.age_between(from, parse_date(day)) == Approx(2 * years).epsilon(1e-10));
    }
    CHECK(whole.at(parse_date("2019-01-01")).total() < 0);
}

TEST_CASE("dated months replace the typical ones", "[forecast]") {
    ClockYear year = steady(1.0);
    year.dated[2021 * 12 + 6] = {1.5, 0.9, 0.6};  // July 2021 at three times the rate
    const Itinerary one = {stay("2020-01-01", "9999-12-31", "a")};
    const AgeTrack track(months_of_itinerary(one, parse_date("2020-01-01"), parse_date("2025-01-01")), {&year});
    CHECK(track.age_between(parse_date("2021-07-01"), parse_date("2021-08-01")) == Approx(3 * 31 / 365.25));
    CHECK(track.age_between(parse_date("2022-07-01"), parse_date("2022-08-01")) == Approx(31 / 365.25));
}
