#include "support/catch.hpp"

#include <cmath>
#include <limits>

#include "libseal/ageing/evaluate.hpp"
#include "libseal/climate/typical_year.hpp"
#include "libseal/core/error.hpp"
#include "libseal/forecast/track.hpp"

using namespace libseal;

namespace {

constexpr double unknown = std::numeric_limits<double>::quiet_NaN();

const Weather& south_bend() {
    static const Weather weather = typical_year(find_station("725350"));
    return weather;
}

/// Hours [from, to) of local days of a weather, as dated weather. Synthetic.
Weather days_of(const Weather& source, Date from, Date to) {
    Weather out;
    out.site = source.site;
    out.step = source.step;
    out.sun_offset = source.sun_offset;
    std::vector<Eigen::Index> rows;
    const double shift = source.site.utc_offset * 3600 - source.step / 2;
    for (Eigen::Index i = 0; i < source.size(); ++i) {
        const Date day = date_of(static_cast<Instant>(std::floor(static_cast<double>(source.time_utc[i]) + shift)));
        if (from <= day && day < to) rows.push_back(i);
    }
    const auto count = static_cast<Eigen::Index>(rows.size());
    out.time_utc.resize(count);
    for (Eigen::Index k = 0; k < count; ++k) out.time_utc[k] = source.time_utc[rows[static_cast<std::size_t>(k)]];
    for (const std::string& name : weather_column_names()) {
        Column& column = weather_column(out, name);
        column.resize(count);
        for (Eigen::Index k = 0; k < count; ++k)
            column[k] = weather_column(source, name)[rows[static_cast<std::size_t>(k)]];
    }
    return out;
}

/// The same hours in another year: moved by whole days.
Weather moved(Weather weather, int days) {
    weather.time_utc += static_cast<Instant>(days) * 86400;
    return weather;
}

Weather dated(Weather weather) {
    weather.typical = false;
    return weather;
}

ClockKey roof(int site) { return {site, 0, 180, 0.35, 0.9, "open", "self_levelling_lap", Law::surface, Depth::exposed}; }

/// Clock of a lap sealant on an open roof with this weather in South Bend.
ClockYear clock_with(const PlaceWeather& weather, bool with_station = true) {
    check_place_weather(weather, "weather");
    ClockStore store(Catalogue::built_in());
    std::optional<Station> station;
    if (with_station && !weather.typical()) station = find_station("725350");
    const int key = store.add_key(roof(store.add_site(std::make_shared<const PlaceWeather>(weather), station, 0)));
    store.evaluate(1, {});
    return store.clock(key);
}

AgeTrack track_of(const ClockYear& clock, const char* from, const char* to) {
    Stay stay;
    stay.from = parse_date(from);
    stay.to = make_date(9999, 12, 31);
    return AgeTrack(months_of_itinerary({stay}, parse_date(from), parse_date(to)), {&clock});
}

/// Hour by hour, without months or days: the ageing of a lap sealant on an open roof over all hours of a weather. [yr]
double hourly_sum(const Weather& weather) {
    const Catalogue catalogue = Catalogue::built_in();
    const Sealant lap = sealant(catalogue, "self_levelling_lap");
    const ClockTerms reference = reference_terms(clock_reference(catalogue), lap, Depth::exposed);
    const SurfaceHours hours = surface_hours(weather, site_hours(weather), {0, 180}, 0.35, 0.9, cover_factors("open"));
    const auto speed = [](double energy, double celsius) {
        return std::exp(energy / 8.314462618e-3 * (1 / 296.15 - 1 / (celsius + 273.15)));
    };
    double sum = 0;
    for (Eigen::Index i = 0; i < weather.size(); ++i) {
        const double t = hours.surface_temperature[i];
        sum += lap.weight_light / reference.light * std::pow(hours.ultraviolet[i], lap.light_exponent) * speed(lap.energy_light, t);
        sum += lap.weight_heat / reference.heat * speed(lap.energy_heat, t);
        sum += lap.weight_moisture / reference.moisture * std::pow(hours.surface_humidity[i] / 50, lap.humidity_exponent) *
               speed(lap.energy_moisture, t);
    }
    return sum * weather.step / (86400 * 365.25);
}

}  // namespace

TEST_CASE("a dated year equal to the typical one gives the same track", "[law][ageing]") {
    const ClockYear typical = clock_with(south_bend());
    const ClockYear same = clock_with(PlaceWeather({dated(south_bend()), south_bend()}));
    REQUIRE(same.dated.rate.size() == 365);
    CHECK(to_text(same.dated.first) == "2001-01-01");
    const AgeTrack months = track_of(typical, "2000-01-01", "2004-01-01"), days = track_of(same, "2000-01-01", "2004-01-01");
    for (const char* day : {"2001-01-01", "2001-02-01", "2001-07-01", "2002-01-01", "2003-06-01"})
        CHECK(days.at(parse_date(day)).total() == Approx(months.at(parse_date(day)).total()).epsilon(1e-12));
    // In another year the sun stands a little elsewhere at the same hour.
    const ClockYear later = clock_with(PlaceWeather({moved(dated(south_bend()), 24 * 365 + 6), south_bend()}));
    CHECK(to_text(later.dated.first) == "2025-01-01");
    const AgeTrack then = track_of(later, "2025-01-01", "2027-01-01");
    const AgeTrack usual = track_of(typical, "2025-01-01", "2027-01-01");
    CHECK(then.at(parse_date("2026-01-01")).total() == Approx(usual.at(parse_date("2026-01-01")).total()).epsilon(2e-3));
}

TEST_CASE("a hot dated fortnight ages by what its hours say, and typical days follow", "[law][ageing]") {
    Weather hot = moved(days_of(south_bend(), parse_date("2001-07-01"), parse_date("2001-07-15")), 24 * 365 + 6);
    hot.air_temperature += 12;
    hot.dew_point += 9;
    const ClockYear usual = clock_with(south_bend()), with = clock_with(hot);
    for (std::size_t m = 0; m < 12; ++m) CHECK(with.month[m].total() == usual.month[m].total());
    const AgeTrack plain = track_of(usual, "2025-01-01", "2035-01-01"), track = track_of(with, "2025-01-01", "2035-01-01");
    const Date begin = parse_date("2025-07-01"), end = parse_date("2025-07-15");
    CHECK(track.age_between(begin, end) == Approx(hourly_sum(hot)).epsilon(1e-9));
    CHECK(track.age_between(begin, end) > 1.2 * plain.age_between(begin, end));
    CHECK(track.age_between(parse_date("2025-01-01"), begin) == Approx(plain.age_between(parse_date("2025-01-01"), begin)));
    CHECK(track.age_between(end, parse_date("2030-01-01")) == Approx(plain.age_between(end, parse_date("2030-01-01"))));
}

TEST_CASE("measured hours come before forecast ones, hour by hour, and share a day", "[law][ageing]") {
    const Weather june = days_of(south_bend(), parse_date("2001-06-01"), parse_date("2001-06-21"));
    Weather measured = june, ahead = june;
    const Eigen::Index cut = 9 * 24 + 14;  // the measured series ends at 14 h on 10 June
    ahead.air_temperature += 8;            // the forecast is warmer, also where it overlaps
    measured.air_temperature.tail(measured.size() - cut).setConstant(unknown);
    measured.dew_point.tail(measured.size() - cut).setConstant(unknown);
    Weather joined = ahead;
    joined.air_temperature.head(cut) = june.air_temperature.head(cut);
    const ClockYear both = clock_with(PlaceWeather({measured, ahead}));
    const ClockYear one = clock_with(joined), forecast = clock_with(ahead), first = clock_with(measured);
    REQUIRE(both.dated.rate.size() == 20);
    for (std::size_t d = 0; d < 20; ++d) {
        CHECK(both.dated.known[d]);
        CHECK(both.dated.rate[d].total() == Approx(one.dated.rate[d].total()).epsilon(1e-12));
    }
    CHECK(both.dated.rate[8].total() == first.dated.rate[8].total());
    CHECK(both.dated.rate[10].total() == forecast.dated.rate[10].total());
    CHECK(first.dated.rate.size() == 9);  // 14 hours are no day
    CHECK(clock_with(PlaceWeather({ahead, measured})).dated.rate[3].total() == forecast.dated.rate[3].total());
}

TEST_CASE("a day counts with 22 known hours", "[ageing]") {
    Weather week = days_of(south_bend(), parse_date("2001-06-01"), parse_date("2001-06-08"));
    week.dew_point.segment(2 * 24, 2).setConstant(unknown);
    week.dew_point.segment(4 * 24, 3).setConstant(unknown);
    const ClockYear clock = clock_with(week);
    CHECK(clock.dated.known == std::vector<std::uint8_t>{1, 1, 1, 1, 0, 1, 1});
    CHECK(clock.dated.rate_on(parse_date("2001-06-05")) == nullptr);
    CHECK(clock.dated.rate_on(parse_date("2001-06-06")) != nullptr);
    CHECK(clock.dated.rate_on(parse_date("2001-06-08")) == nullptr);
    CHECK(clock.dated.rate_on(parse_date("2001-05-31")) == nullptr);
}

TEST_CASE("29 February is a day of its own in dated weather and as long as the others in typical", "[law][ageing]") {
    const ClockYear usual = clock_with(south_bend());
    Weather leap = days_of(south_bend(), parse_date("2001-02-28"), parse_date("2001-03-01"));
    leap = moved(leap, 23 * 365 + 5 + 1);  // 29 February 2024
    leap.air_temperature += 15;
    const ClockYear with = clock_with(leap);
    CHECK(to_text(with.dated.first) == "2024-02-29");
    REQUIRE(with.dated.rate.size() == 1);
    const AgeTrack plain = track_of(usual, "2024-01-01", "2026-01-01"), track = track_of(with, "2024-01-01", "2026-01-01");
    const Date day = parse_date("2024-02-29");
    CHECK(plain.age_between(day, day + 1) == Approx(usual.month[1].total() / 365.25));
    CHECK(track.age_between(day, day + 1) == Approx(hourly_sum(leap)).epsilon(1e-9));
    CHECK(track.age_between(day + 1, day + 40) == Approx(plain.age_between(day + 1, day + 40)));
}

TEST_CASE("days are days of the site's standard time", "[law][ageing]") {
    // Two days whose second is hot, cut at local midnight: the zone decides which hours are whose.
    Weather two = days_of(south_bend(), parse_date("2001-06-01"), parse_date("2001-06-03"));
    REQUIRE(two.site.utc_offset == -5);
    REQUIRE(to_text_utc(two.time_utc[0]) == "2001-06-01T06:00:00Z");
    two.air_temperature.tail(24) += 10;
    const ClockYear local = clock_with(two);
    REQUIRE(local.dated.rate.size() == 2);
    CHECK(to_text(local.dated.first) == "2001-06-01");
    const Weather second = days_of(two, parse_date("2001-06-02"), parse_date("2001-06-03"));
    CHECK(local.dated.rate[1].total() / 365.25 == Approx(hourly_sum(second)).epsilon(1e-9));
    Weather far = two;
    far.site.utc_offset = 5.5;  // the same instants counted in another zone: 13.5, 24 and 10.5 hours
    const ClockYear elsewhere = clock_with(far);
    REQUIRE(elsewhere.dated.rate.size() == 1);
    CHECK(to_text(elsewhere.dated.first) == "2001-06-02");
}

TEST_CASE("steps of a quarter of an hour and of three hours make the same days", "[law][ageing]") {
    const Weather day = days_of(south_bend(), parse_date("2001-06-01"), parse_date("2001-06-04"));
    const auto with_step = [&](double step) {
        Weather out = day;
        out.step = step;
        out.sun_offset = -step / 2;
        const auto count = static_cast<Eigen::Index>(static_cast<double>(day.size()) * 3600 / step);
        out.time_utc.resize(count);
        for (const std::string& name : weather_column_names()) {
            // Constant values, so that only the counting of hours can differ; no light, whose angle differs.
            const double value = name == "air_temperature" ? 30 : name == "dew_point" ? 20 : name == "opaque_sky_cover" ? 5 : name == "wind_speed" ? 2 : name == "pressure" ? 99000 : 0;
            weather_column(out, name) = Column::Constant(count, value);
        }
        for (Eigen::Index i = 0; i < count; ++i)
            out.time_utc[i] = day.time_utc[0] - 3600 + static_cast<Instant>(static_cast<double>(i + 1) * step);
        return clock_with(out);
    };
    const ClockYear hours = with_step(3600);
    REQUIRE(hours.dated.rate.size() == 3);
    for (const double step : {900.0, 1800.0, 10800.0}) {
        const ClockYear other = with_step(step);
        REQUIRE(other.dated.rate.size() == 3);
        for (std::size_t d = 0; d < 3; ++d)
            CHECK(other.dated.rate[d].total() == Approx(hours.dated.rate[d].total()).epsilon(1e-12));
    }
}

TEST_CASE("without a typical year joints move as in the part that lasts longest, whatever its steps", "[law][ageing]") {
    // Synthetic: a year of hours, and 100 days of quarters of an hour in which nothing changes; these have more rows.
    const Weather year = dated(south_bend());
    Weather still = year;
    still.step = 900;
    still.sun_offset = -450;
    const Eigen::Index count = 100 * 96;
    REQUIRE(count > year.size());
    still.time_utc.resize(count);
    for (Eigen::Index i = 0; i < count; ++i) still.time_utc[i] = year.time_utc[0] - 3600 + static_cast<Instant>(i + 1) * 900;
    for (const std::string& name : weather_column_names()) {
        const double value = name == "air_temperature" ? 30 : name == "dew_point" ? 20 : name == "opaque_sky_cover" ? 5 : name == "wind_speed" ? 2 : name == "pressure" ? 99000 : 0;
        weather_column(still, name) = Column::Constant(count, value);
    }
    const auto strain_in = [](const PlaceWeather& weather) {
        ClockStore store(Catalogue::built_in());
        MovementKey key;
        key.site = store.add_site(std::make_shared<const PlaceWeather>(weather), std::nullopt, 0);
        key.tilt = 90;
        key.azimuth = 180;
        key.cover = "open";
        key.movement = {"butt", 0.006, {70e-6, 0.5, 0.9, 0.9}, {12e-6, 0.5, 0.3, 0.9}, 0};
        key.exponent = 1;
        const int place = store.add_movement(key);
        store.evaluate(1, {});
        return std::pair{store.movement(place), store.mean_air_temperature(key.site)};
    };
    PlaceWeather alone(year), before(still), after(year);
    before.parts.push_back(year);
    after.parts.push_back(still);
    const auto [own, mean] = strain_in(alone);
    CHECK(own.amplitude > 0);
    for (const PlaceWeather& both : {before, after}) {
        const auto [strain, warmth] = strain_in(both);
        CHECK(strain.amplitude == own.amplitude);
        CHECK(strain.largest == own.largest);
        CHECK(strain.cycles == own.cycles);
        // 365 days of the year's mean and 100 of 30 degC, by time and not by rows.
        CHECK(warmth == Approx((365 * mean + 100 * 30) / 465).epsilon(1e-12));
    }
}

TEST_CASE("without a station the own months stand for other years", "[ageing]") {
    const ClockYear own = clock_with(dated(south_bend()), false), usual = clock_with(south_bend());
    for (std::size_t m = 0; m < 12; ++m) CHECK(own.month[m].total() == Approx(usual.month[m].total()).epsilon(1e-12));
    CHECK(PlaceWeather(dated(south_bend())).knows_every_month());
    const Weather june = days_of(south_bend(), parse_date("2001-06-01"), parse_date("2001-07-01"));
    CHECK_FALSE(PlaceWeather(june).knows_every_month());
    CHECK_FALSE(PlaceWeather(south_bend()).knows_every_month());  // a typical year is no dated one
    CHECK_THROWS_AS(clock_with(june, false), ValueError);
}

TEST_CASE("own weather that does not hold together is refused by field and value", "[bad_input][ageing]") {
    const Weather june = days_of(south_bend(), parse_date("2001-06-01"), parse_date("2001-06-10"));
    const auto refused = [](const PlaceWeather& weather, const std::string& field, const std::string& got) {
        try {
            check_place_weather(weather, "weather[\"home\"]");
        } catch (const ValueError& error) {
            const Problem& problem = error.problems().front();
            INFO(error.what());
            CHECK(problem.field == field);
            CHECK(problem.got.find(got) != std::string::npos);
            CHECK_FALSE(problem.expected.empty());
            return true;
        }
        return false;
    };
    CHECK(refused({}, "weather[\"home\"]", "none"));
    CHECK(refused(Weather(), "weather[\"home\"].time_utc", "none"));
    CHECK(refused(PlaceWeather({south_bend(), south_bend()}), "weather[\"home\"][1]", "second"));
    Weather empty = june;
    empty.dew_point.setConstant(unknown);
    CHECK(refused(empty, "weather[\"home\"]", "none"));
    CHECK(refused(PlaceWeather({june, empty}), "weather[\"home\"][1]", "none"));
    CHECK(refused(moved(june, -60 * 365), "weather[\"home\"].time_utc[0]", "1941"));
    CHECK(refused(moved(june, 250 * 365), "weather[\"home\"].time_utc[0]", "2251"));
    Weather zone = june;
    zone.site.utc_offset = 0;
    CHECK(refused(PlaceWeather({june, zone}), "weather[\"home\"][1].site.utc_offset", "0 h"));
    Weather away = june;
    away.site.latitude = 33.4;
    CHECK(refused(PlaceWeather({june, away}), "weather[\"home\"][1].site", "km away"));
    Weather step = june;
    step.step = 5400;
    for (Eigen::Index i = 0; i < step.size(); ++i) step.time_utc[i] = june.time_utc[0] + 5400 * i;
    CHECK(refused(step, "weather[\"home\"].step", "5400"));
}

TEST_CASE("values in an unlikely unit are refused with what they look like", "[bad_input][ageing]") {
    const auto hint_of = [](const Weather& weather) {
        try {
            check_place_weather(weather, "weather");
        } catch (const ValueError& error) {
            CHECK_FALSE(error.problems().front().expected.empty());
            return error.problems().front().field + ": " + error.problems().front().hint;
        }
        return std::string();
    };
    Weather bad = south_bend();
    CHECK(hint_of(bad).empty());
    bad.air_temperature += 273.15;
    CHECK(hint_of(bad) == "weather.air_temperature[0]: this looks like kelvin: take 273.15 away");
    bad = south_bend();
    bad.air_temperature = bad.air_temperature * 1.8 + 32;
    CHECK(hint_of(bad).find("Fahrenheit") != std::string::npos);
    bad = south_bend();
    bad.pressure /= 100;
    CHECK(hint_of(bad) == "weather.pressure[0]: this looks like hPa: multiply by 100");
    bad = south_bend();
    bad.opaque_sky_cover *= 10;
    CHECK(hint_of(bad).find("percent") != std::string::npos);
    bad = south_bend();
    bad.relative_humidity /= 100;
    CHECK(hint_of(bad) == "weather.relative_humidity: this looks like a share: multiply by 100");
    bad = south_bend();
    bad.ghi /= 1000;
    CHECK(hint_of(bad) == "weather.ghi: this looks like kW/m2: multiply by 1000");
    bad.ghi = south_bend().ghi * (2 / south_bend().ghi.maxCoeff());  // 2 kW/m2 is the largest that is taken for kW
    CHECK(hint_of(bad) == "weather.ghi: this looks like kW/m2: multiply by 1000");
    bad = south_bend();
    std::swap(bad.dew_point, bad.air_temperature);
    CHECK(hint_of(bad).find("mixed up") != std::string::npos);
    for (const double celsius : {-90.1, 70.1}) {
        bad = south_bend();
        bad.air_temperature[17] = celsius;
        CHECK(hint_of(bad).find("weather.air_temperature[17]") == 0);
    }
}
