#include "support/catch.hpp"

#include <cmath>
#include <set>
#include <thread>

#include "libseal/ageing/bond_laws.hpp"
#include "libseal/ageing/evaluate.hpp"
#include "libseal/ageing/profile_laws.hpp"
#include "libseal/ageing/rates.hpp"
#include "libseal/climate/typical_year.hpp"
#include "libseal/core/error.hpp"

using namespace libseal;

namespace {

ClockKey key_at(int site, const std::string& family = "self_levelling_lap", Law law = Law::surface, Depth depth = Depth::exposed) {
    return {site, 0, 180, 0.35, 0.9, "open", family, law, depth};
}

bool same(const ClockYear& a, const ClockYear& b) {
    for (std::size_t m = 0; m < 12; ++m)
        if (a.month[m].light != b.month[m].light || a.month[m].heat != b.month[m].heat || a.month[m].moisture != b.month[m].moisture)
            return false;
    return true;
}

/// One clock in Phoenix, and the hours that its surface gets.
struct Place {
    Catalogue catalogue = Catalogue::built_in();
    Station station = find_station("722780");
    Weather weather = typical_year(station);
    SurfaceHours hours = surface_hours(weather, site_hours(weather), {0, 180}, 0.35, 0.9, cover_factors("open"));

    ClockYear clock(const std::string& family, Law law, Depth depth) const {
        ClockStore store(catalogue);
        const int key = store.add_key(key_at(store.add_site(station, 0), family, law, depth));
        store.evaluate(1, {});
        return store.clock(key);
    }
    Column temperature(Depth depth) const {
        return depth == Depth::exposed ? hours.surface_temperature : (0.5 * (hours.surface_temperature + hours.air_temperature)).eval();
    }
    Column humidity(Depth depth) const {
        return depth == Depth::exposed ? hours.surface_humidity : (0.5 * (hours.surface_humidity + hours.air_humidity)).eval();
    }
};

/// Age gathered in the 365 days of a typical year. [yr]
ClockTerms whole_year(const ClockYear& clock) {
    constexpr int days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    ClockTerms sum;
    for (std::size_t m = 0; m < 12; ++m) sum = sum + (days[m] / 365.25) * clock.month[m];
    return sum;
}

constexpr double hour = 1 / (24 * 365.25);  // [yr]

}  // namespace

TEST_CASE("a session works out a key once and changes no bit", "[law][ageing]") {
    const Catalogue catalogue = Catalogue::built_in();
    const Station phoenix = find_station("722780"), south_bend = find_station("725350");
    const auto session = std::make_shared<Session>(catalogue);
    ClockStore first(catalogue, session), second(catalogue, session), alone(catalogue);
    const int a = first.add_key(key_at(first.add_site(phoenix, 0)));
    first.evaluate(1, {});
    CHECK(session->clock_count() == 1);
    const int south = second.add_key(key_at(second.add_site(phoenix, 0))), north = second.add_key(key_at(second.add_site(south_bend, 0)));
    second.evaluate(2, {});
    CHECK(session->clock_count() == 2);
    CHECK(session->site_count() == 2);
    CHECK(&first.clock(a) == &second.clock(south));  // the same clock, not an equal one
    const int b = alone.add_key(key_at(alone.add_site(phoenix, 0))), c = alone.add_key(key_at(alone.add_site(south_bend, 0)));
    alone.evaluate(1, {});
    CHECK(same(second.clock(south), alone.clock(b)));
    CHECK(same(second.clock(north), alone.clock(c)));
    CHECK(second.mean_air_temperature(second.key(south).site) == alone.mean_air_temperature(alone.key(b).site));
}

TEST_CASE("a session knows sites by station and seed, and own weather by its values", "[ageing]") {
    const Catalogue catalogue = Catalogue::built_in();
    const auto session = std::make_shared<Session>(catalogue);
    ClockStore store(catalogue, session);
    const Station station = find_station("725350");
    const int usual = store.add_site(station, 0);
    CHECK(store.add_site(find_station(station.site.latitude, station.site.longitude), 0) == usual);
    CHECK(store.add_site(station, 1) != usual);
    Station warmer = station;
    warmer.months[6].air_temperature += 1;
    CHECK(store.add_site(warmer, 0) != usual);
    const Weather year = typical_year(station);
    const auto own = [&](const Weather& weather) { return std::make_shared<const PlaceWeather>(weather); };
    const int first = store.add_site(own(year), std::nullopt, 0);
    CHECK(store.add_site(own(year), std::nullopt, 7) == first);  // no seed has a part in it
    Weather other = year;
    other.dew_point[4000] += 1e-9;
    CHECK(store.add_site(own(other), std::nullopt, 0) != first);
    CHECK(store.add_site(std::make_shared<const PlaceWeather>(std::vector<Weather>{year, year}), std::nullopt, 0) != first);
    CHECK(session->site_count() == 6);
}

TEST_CASE("own weather that differs in anything that a clock reads is another site, in its name and notes it is not", "[law][ageing]") {
    const Catalogue catalogue = Catalogue::built_in();
    const auto session = std::make_shared<Session>(catalogue);
    ClockStore store(catalogue, session);
    const Weather year = typical_year(find_station("725350"));
    const auto site_of = [&](const Weather& weather) {
        return store.add_site(std::make_shared<const PlaceWeather>(weather), std::nullopt, 0);
    };
    std::set<int> sites{site_of(year)};
    const auto alter = [&](auto&& change) {
        Weather other = year;
        change(other);
        return site_of(other);
    };
    std::size_t changes = 1;
    const auto is_new = [&](auto&& change) {
        CHECK(sites.insert(alter(change)).second);
        CHECK(sites.size() == ++changes);
    };
    is_new([](Weather& w) { w.typical = false; });
    is_new([](Weather& w) { w.step = 1800; });
    is_new([](Weather& w) { w.sun_offset = 0; });
    is_new([](Weather& w) { w.site.latitude += 1; });
    is_new([](Weather& w) { w.site.longitude += 1; });
    is_new([](Weather& w) { w.site.elevation += 1; });
    is_new([](Weather& w) { w.site.utc_offset += 1; });
    is_new([](Weather& w) { w.time_utc += 86400; });
    for (const std::string& name : weather_column_names()) is_new([&](Weather& w) { weather_column(w, name)[17] += 0.25; });
    // Unknown is a value of its own, and equal to itself.
    const auto unknown = [](Weather& w) { w.wind_speed[17] = std::nan(""); };
    is_new(unknown);
    CHECK(sites.contains(alter(unknown)));
    CHECK(sites.contains(alter([](Weather& w) {
        w.site.name = "elsewhere";
        w.notes.emplace_back("read twice");
    })));
    // With a station for the other years it is another site, and one for each station.
    const auto with_station = [&](const Station& station) {
        return store.add_site(std::make_shared<const PlaceWeather>(year), station, 0);
    };
    const Station station = find_station("725350");
    const int whole = with_station(station);
    CHECK_FALSE(sites.contains(whole));
    CHECK(with_station(station) == whole);
    Station renamed = station;
    renamed.state = "XX";
    CHECK(with_station(renamed) != whole);
    renamed = station;
    renamed.site.name = "XX";
    CHECK(with_station(renamed) != whole);
}

TEST_CASE("a session of other values is refused in words, equal values are not", "[bad_input][ageing]") {
    const std::string overlay =
        R"({"schema": "libseal/catalogue/1", "values": {"model/reference_absorptance": {"value": 0.4, "source": "test", "mark": "judgement"}}})";
    const Catalogue shop = Catalogue::built_in().with_overlay(overlay, "shop.json");
    try {
        ClockStore(shop, std::make_shared<Session>());
        FAIL("must throw");
    } catch (const ValueError& error) {
        CHECK(error.problems().front().field == "session");
        CHECK(error.problems().front().got == "one of another catalogue");
    }
    CHECK_NOTHROW(ClockStore(shop, std::make_shared<Session>(Catalogue::built_in().with_overlay(overlay, "again.json"))));
    // How long a family lives is read by no clock.
    const Catalogue longer = Catalogue::built_in().with_overlay(
        R"({"schema": "libseal/catalogue/1", "values": {"sealant/non_sag_lap/median_life": {"value": 7, "source": "test", "mark": "judgement"}}})", "longer.json");
    CHECK_NOTHROW(ClockStore(longer, std::make_shared<Session>()));
    CHECK_THROWS_AS(ClockStore(longer, std::make_shared<Session>(shop)), ValueError);
}

TEST_CASE("stores in several threads share a session", "[law][ageing]") {
    const Catalogue catalogue = Catalogue::built_in();
    const auto session = std::make_shared<Session>(catalogue);
    const char* ids[] = {"722780", "725350", "722020"};
    std::vector<ClockYear> years(6);
    std::vector<std::thread> threads;
    for (std::size_t t = 0; t < 6; ++t)
        threads.emplace_back([&, t] {
            ClockStore store(catalogue, session);
            const int key = store.add_key(key_at(store.add_site(find_station(ids[t % 3]), 0)));
            store.evaluate(1, {});
            years[t] = store.clock(key);
        });
    for (std::thread& thread : threads) thread.join();
    CHECK(session->clock_count() == 3);
    for (std::size_t t = 0; t < 3; ++t) CHECK(same(years[t], years[t + 3]));
    CHECK_FALSE(same(years[0], years[1]));
}

TEST_CASE("a stop in one call leaves a session whole", "[ageing]") {
    const Catalogue catalogue = Catalogue::built_in();
    const auto session = std::make_shared<Session>(catalogue);
    Watch stopped;
    stopped.stop.stop();
    ClockStore first(catalogue, session), second(catalogue, session);
    const Station station = find_station("725350");
    first.add_key(key_at(first.add_site(station, 0)));
    CHECK_THROWS_AS(first.evaluate(1, stopped), Cancelled);
    const int key = second.add_key(key_at(second.add_site(station, 0)));
    second.evaluate(1, {});
    CHECK(second.clock(key).month[6].total() > 0);
}

TEST_CASE("clocks of equivalent time agree with the laws that eat them, hour by hour", "[law][ageing]") {
    const Place phoenix;
    for (const Depth depth : {Depth::exposed, Depth::sheltered}) {
        const Column temperature = phoenix.temperature(depth), humidity = phoenix.humidity(depth);
        const Eigen::Index last = temperature.size() - 1;
        const ClockTerms set = whole_year(phoenix.clock("epdm_gasket", Law::set_time, depth));
        CHECK(set.total() == Approx(equivalent_time(set_law(phoenix.catalogue, "epdm_gasket").energy, temperature, hour)[last]).epsilon(1e-9));
        CHECK(set.total() == set.heat);
        const ClockTerms shrink = whole_year(phoenix.clock("pvc_insert", Law::shrink_time, depth));
        CHECK(shrink.total() == Approx(equivalent_time(shrink_law(phoenix.catalogue, "pvc_insert").energy, temperature, hour)[last]).epsilon(1e-9));
        const ClockTerms bond = whole_year(phoenix.clock("non_sag_lap", Law::bond, depth));
        CHECK(bond.total() == Approx(bond_equivalent_time(bond_law(phoenix.catalogue), temperature, humidity, hour)[last]).epsilon(1e-9));
        CHECK(bond.total() == bond.moisture);
        const ClockTerms flow = whole_year(phoenix.clock("butyl_tape", Law::flow, depth));
        CHECK(flow.total() == Approx(wlf_equivalent_time(wlf_law(phoenix.catalogue), temperature, hour)[last]).epsilon(1e-9));
        CHECK(flow.total() == flow.heat);
    }
    CHECK_THROWS_AS(phoenix.clock("butyl_tape", Law::set_time, Depth::exposed), ValueError);
    CHECK_THROWS_AS(phoenix.clock("epdm_gasket", Law::shrink_time, Depth::exposed), ValueError);
}

TEST_CASE("a gasket under either of its two clocks has the same relative speed", "[law][ageing]") {
    const Place phoenix;
    const ClockYear stated = phoenix.clock("epdm_gasket", Law::set, Depth::sheltered);
    const ClockYear real = phoenix.clock("epdm_gasket", Law::set_time, Depth::sheltered);
    const double ratio = stated.month[0].total() / real.month[0].total();
    for (std::size_t m = 1; m < 12; ++m) CHECK(stated.month[m].total() / real.month[m].total() == Approx(ratio).epsilon(1e-12));
}

TEST_CASE("looks age by one year in a year at the reference", "[law][ageing]") {
    const Catalogue catalogue = Catalogue::built_in();
    ClockStore store(catalogue);
    const int site = store.add_site(find_station(catalogue.word("model/reference_station")), 0);
    ClockKey roof = key_at(site, "self_levelling_lap", Law::appearance);
    roof.absorptance = catalogue.number("model/reference_absorptance");
    const int on_roof = store.add_key(roof);
    std::vector<int> walls;
    for (const double azimuth : {0.0, 90.0, 180.0, 270.0}) {
        ClockKey wall = roof;
        wall.family = "non_sag_lap";
        wall.tilt = 90;
        wall.azimuth = azimuth;
        walls.push_back(store.add_key(wall));
    }
    store.evaluate(1, {});
    const ClockTerms roof_year = year_mean(store.clock(on_roof));
    CHECK(roof_year.total() == Approx(1).epsilon(1e-12));
    CHECK(roof_year.light == Approx(catalogue.number("model/appearance_weight_light")).epsilon(1e-12));
    double mean = 0;
    for (const int key : walls) mean += year_mean(store.clock(key)).total() / 4;
    CHECK(mean == Approx(1).epsilon(1e-12));
}

TEST_CASE("a movement key gives the strain of its own hours, once", "[law][ageing]") {
    const Place phoenix;
    MovementKey key;
    key.tilt = 0;
    key.azimuth = 180;
    key.cover = "open";
    key.movement = {"lap", 0.003, {23.6e-6, 2.0, 0.35, 0.9}, {28e-6, 2.0, 0.8, 0.9}, 1.5};
    key.corner = Corner::corner;
    key.exponent = 0.4;
    const auto session = std::make_shared<Session>(phoenix.catalogue);
    ClockStore store(phoenix.catalogue, session);
    key.site = store.add_site(phoenix.station, 0);
    const int clock = store.add_key(key_at(key.site));  // sees the sky of adherend a
    const int moved = store.add_movement(key);
    CHECK(store.add_movement(key) == moved);
    MovementKey shaded = key;
    shaded.cover = "covered";
    const int still = store.add_movement(shaded);
    store.evaluate(1, {});
    const SiteHours site = site_hours(phoenix.weather);
    const Column a = phoenix.hours.surface_temperature;
    const Column b = surface_hours(phoenix.weather, site, {0, 180}, 0.8, 0.9, cover_factors("open")).surface_temperature;
    const StrainSummary expected = strain_summary(key.movement, a, b, 0.5 * (a + b).mean(), key.corner, key.exponent);
    CHECK(store.movement(moved).amplitude == Approx(expected.amplitude).epsilon(1e-12));
    CHECK(store.movement(moved).largest == Approx(expected.largest).epsilon(1e-12));
    CHECK(store.movement(moved).amplitude > store.movement(still).amplitude);
    ClockStore plain(phoenix.catalogue);
    key.site = plain.add_site(phoenix.station, 0);
    const int alone = plain.add_key(key_at(key.site));
    plain.evaluate(1, {});
    CHECK(same(plain.clock(alone), store.clock(clock)));
    CHECK(session->movement_count() == 2);
    ClockStore again(phoenix.catalogue, session);
    key.site = again.add_site(phoenix.station, 0);
    const int known = again.add_movement(key);
    again.evaluate(1, {});
    CHECK(again.movement(known).amplitude == store.movement(moved).amplitude);
    CHECK(session->movement_count() == 2);
    CHECK(again.mean_air_temperature(key.site) == Approx(phoenix.weather.air_temperature.mean()).epsilon(1e-12));
}
