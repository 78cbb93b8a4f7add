#include "support/catch.hpp"

#include "libseal/core/error.hpp"
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

/// Every month another rate, and some days of their own.
ClockYear uneven() {
    ClockYear year;
    for (std::size_t m = 0; m < 12; ++m) year.month[m] = {0.1 + 0.13 * static_cast<double>(m), 0.07, 0.31};
    year.dated.first = parse_date("2020-07-14");
    for (int d = 0; d < 400; ++d) {
        year.dated.rate.push_back({0.4 + 0.001 * d, 0.2, 0.1 + 0.01 * (d % 7)});
        year.dated.known.push_back(d % 5 != 0);
    }
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

TEST_CASE("a stay that goes on in the same place on the same clock changes no day, also behind dated days", "[law]") {
    // The dated days of the clock end on 2021-08-18, the stay is cut within that month.
    const ClockYear year = uneven();
    const Date from = parse_date("2019-03-05"), to = parse_date("2040-01-01");
    const AgeTrack whole(months_of_itinerary({stay("2020-01-01", "9999-12-31", "a")}, from, to), {&year});
    for (const char* cut : {"2021-08-18", "2021-08-25", "2021-09-01", "2021-08-05"}) {
        INFO(cut);
        const AgeTrack parts(months_of_itinerary({stay("2020-01-01", cut, "a"), stay(cut, "9999-12-31", "a")}, from, to), {&year, &year});
        for (Date day = from; day < to; day = day + 17) REQUIRE(parts.total_at(day.days) == Approx(whole.total_at(day.days)).epsilon(1e-12).margin(1e-12));
        for (const double age : {0.1, 1.0, 2.5, 30.0}) CHECK(parts.day_of_age(age, from) == whole.day_of_age(age, from));
    }
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

TEST_CASE("dated days replace the typical ones, and others in between do not", "[forecast]") {
    ClockYear year = steady(1.0);
    year.dated.first = parse_date("2021-07-01");
    year.dated.rate.assign(31, {1.5, 0.9, 0.6});  // July 2021 at three times the rate
    year.dated.known.assign(31, 1);
    year.dated.known[9] = year.dated.known[10] = 0;  // but nothing is known of the 10th and 11th
    const Itinerary one = {stay("2020-01-01", "9999-12-31", "a")};
    const AgeTrack track(months_of_itinerary(one, parse_date("2020-01-01"), parse_date("2025-01-01")), {&year});
    const auto age = [&](const char* from, const char* to) { return track.age_between(parse_date(from), parse_date(to)); };
    CHECK(age("2021-07-01", "2021-08-01") == Approx((3 * 29 + 2) / 365.25));
    CHECK(age("2021-07-10", "2021-07-12") == Approx(2 / 365.25));
    CHECK(age("2021-07-12", "2021-07-13") == Approx(3 / 365.25));
    CHECK(age("2021-06-01", "2021-07-01") == Approx(30 / 365.25));
    CHECK(age("2022-07-01", "2022-08-01") == Approx(31 / 365.25));
}

TEST_CASE("a stay cut into equal neighbours changes no bit of an age", "[law]") {
    const ClockYear year = uneven();
    const Itinerary one = {stay("2020-01-01", "9999-12-31", "a")};
    const Itinerary cut = {stay("2020-01-01", "2020-07-20", "a"), stay("2020-07-20", "2021-03-17", "a"), stay("2021-03-17", "9999-12-31", "a")};
    const Date from = parse_date("2020-01-01"), to = parse_date("2030-01-01");
    const AgeTrack whole(months_of_itinerary(one, from, to), {&year});
    const AgeTrack pieces(months_of_itinerary(cut, from, to), {&year, &year, &year});
    for (Date day = parse_date("2019-06-01"); day < parse_date("2032-01-01"); day = day + 11)
        REQUIRE(whole.at(day).total() == pieces.at(day).total());
}

TEST_CASE("steady years in closed form are the months one after the other", "[law]") {
    // Two clocks of equal months, each stay another one: such a track is summed month by month. It crosses 2000 and 2100.
    ClockYear year;
    for (std::size_t m = 0; m < 12; ++m) year.month[m] = {0.2 + 0.11 * static_cast<double>(m), m == 1 ? 1.7 : 0.3, 0.05};
    const ClockYear same = year;
    Itinerary one = {stay("1995-03-08", "9999-12-31", "a")}, many;
    for (int y = 1995; y < 2120; ++y) {
        Stay part = stay("1995-01-01", "1995-01-02", "a");
        part.from = make_date(y, 3, 8);
        part.to = make_date(y + 1, 3, 8);
        many.push_back(part);
    }
    const Date from = parse_date("1995-03-08"), to = parse_date("2110-11-25");
    std::vector<const ClockYear*> clocks;
    for (std::size_t i = 0; i < many.size(); ++i) clocks.push_back(i % 2 == 0 ? &year : &same);
    const AgeTrack closed(months_of_itinerary(one, from, to), {&year}), summed(months_of_itinerary(many, from, to), clocks);
    for (Date day = parse_date("1990-01-01"); day < parse_date("2130-01-01"); day = day + 1) {
        REQUIRE(closed.at(day).total() == Approx(summed.at(day).total()).epsilon(1e-12).margin(1e-12));
        REQUIRE(closed.at(day).heat == Approx(summed.at(day).heat).epsilon(1e-12).margin(1e-12));
        REQUIRE(closed.at(day.days + 0.3).light == Approx(summed.at(day.days + 0.3).light).epsilon(1e-12).margin(1e-12));
    }
    for (double age = 0.001; age < 120; age = 1.07 * age + 0.001) {
        REQUIRE(closed.instant_of_age(age, from.days + 400) == Approx(summed.instant_of_age(age, from.days + 400)).epsilon(1e-11));
        const Date day = closed.day_of_age(age, from);
        REQUIRE(closed.age_between(from, day) >= age);
        REQUIRE(closed.age_between(from, day - 1) < age);
    }
}

TEST_CASE("each stay ages by its own factor", "[law]") {
    const ClockYear year = steady(1.0);
    const Itinerary two = {stay("2020-01-01", "2021-01-01", "a"), stay("2021-01-01", "9999-12-31", "b")};
    const Date from = parse_date("2020-01-01"), middle = parse_date("2021-01-01"), to = parse_date("2022-01-01");
    const auto months = months_of_itinerary(two, from, to);
    const AgeTrack plain(months, {&year, &year}), ones(months, {&year, &year}, {1, 1}), moved(months, {&year, &year}, {1.5, 0.25});
    CHECK(ones.at(to).total() == plain.at(to).total());
    CHECK(moved.age_between(from, middle) == Approx(1.5 * plain.age_between(from, middle)));
    CHECK(moved.age_between(middle, to) == Approx(0.25 * plain.age_between(middle, to)));
    CHECK_THROWS_AS(AgeTrack(months, {&year, &year}, {1.0}), ValueError);
    CHECK_THROWS_AS(AgeTrack(months, {&year, &year}, {1.0, -1.0}), ValueError);
    CHECK_THROWS_AS(AgeTrack(months, {&year}), ValueError);
    CHECK_THROWS_AS(AgeTrack({}, {&year}), ValueError);
}

TEST_CASE("the day of an age undoes the age of a day", "[law]") {
    const ClockYear year = uneven();
    const Itinerary round = {stay("2020-05-01", "2020-11-10", "north"), stay("2020-11-10", "2021-05-01", "south")};
    const ClockYear south = steady(0.3);
    const AgeTrack track(months_of_itinerary(round, parse_date("2019-01-01"), parse_date("2060-01-01")), {&year, &south});
    for (const char* from : {"2015-03-03", "2019-01-01", "2020-02-29", "2024-08-17"}) {
        const Date installed = parse_date(from);
        for (const double age : {1e-6, 0.01, 0.5, 1.0, 7.25, 40.0, 90.0}) {
            const Date day = track.day_of_age(age, installed);
            CHECK(track.age_between(installed, day) >= age);
            CHECK(track.age_between(installed, day - 1) < age);
            const double instant = track.instant_of_age(age, installed.days);
            CHECK(instant <= day.days);
            CHECK(instant > day.days - 1 - 1e-9);
            // A millionth of a day before and after lie on both sides.
            CHECK(track.age_between(installed.days, instant - 1e-6) < age);
            CHECK(track.age_between(installed.days, instant + 1e-6) > age);
        }
        CHECK(track.day_of_age(0, installed) == installed);
        CHECK(track.day_of_age(-1, installed) == installed);
        CHECK(track.day_of_age(1e9, installed) == add_years(installed, 1000));
    }
    // Where nothing ages, an age is never reached; it is reached on the first day after a standstill, not in it.
    const ClockYear still = steady(0.0);
    const AgeTrack never(months_of_itinerary(round, parse_date("2019-01-01"), parse_date("2021-01-01")), {&still, &still});
    CHECK(never.day_of_age(0.1, parse_date("2019-05-05")) == add_years(parse_date("2019-05-05"), 1000));
    const AgeTrack summers(months_of_itinerary(round, parse_date("2020-05-01"), parse_date("2022-05-01")), {&year, &still});
    const Date start = parse_date("2020-05-01"), autumn = parse_date("2020-11-10");
    CHECK(summers.day_of_age(summers.age_between(start, autumn), start) == autumn);
    CHECK(summers.day_of_age(summers.age_between(start, autumn) + 1e-7, start) == parse_date("2021-05-02"));
}

TEST_CASE("a layer whose clock changes has both ages one after the other", "[law]") {
    const ClockYear slow = steady(0.5), fast = steady(2.0);
    const Itinerary one = {stay("2020-01-01", "9999-12-31", "a")};
    const auto months = months_of_itinerary(one, parse_date("2020-01-01"), parse_date("2040-01-01"));
    const AgeTrack before(months, {&slow}), after(months, {&fast});
    const Date installed = parse_date("2021-01-01"), change = parse_date("2023-01-01"), day = parse_date("2024-01-01");
    const auto age = [&](Date at, Date until) { return switched_age(before, after, installed, at, until).total(); };
    CHECK(age(change, day) == Approx(0.5 * 730 / 365.25 + 2 * 365 / 365.25));
    CHECK(age(parse_date("2019-01-01"), day) == Approx(2 * 1095 / 365.25));  // failed before the bedding was laid
    CHECK(age(parse_date("2030-01-01"), day) == Approx(0.5 * 1095 / 365.25));
    CHECK(age(change, installed) == 0);
    CHECK(age(change, change) == Approx(before.age_between(installed, change)));
}
