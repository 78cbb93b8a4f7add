#include <cmath>
#include <functional>
#include <limits>

#include "libseal/ageing/evaluate.hpp"
#include "libseal/ageing/rates.hpp"
#include "libseal/ageing/bond_laws.hpp"
#include "libseal/climate/moisture.hpp"
#include "libseal/climate/typical_year.hpp"
#include "libseal/climate/ultraviolet.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "support/catch.hpp"

// The clocks of a store work on registers, months and halves of the day (exposure/site_slots.hpp). Here the same physics is
// written down hour by hour, with the functions of the standard library, in long arithmetic where sums are taken.

using namespace libseal;

namespace {

constexpr double pi = 3.14159265358979323846, unknown = std::numeric_limits<double>::quiet_NaN();
constexpr double gas_constant = 8.314462618e-3;

/// Mean of max(0, a + b cos) over a turn.
double mean_positive(double a, double b) {
    if (a >= b) return a;
    if (a <= -b) return 0;
    const double angle = std::acos(-a / b);
    return (a * angle + b * std::sin(angle)) / pi;
}

/// What a plane receives in an hour. [W/m2]
double light_on(const SunHours& sun, const SkyHours& sky, Eigen::Index i, const Plane& plane, double albedo) {
    const double c = std::cos(plane.tilt * pi / 180), s = std::sin(plane.tilt * pi / 180), turn = plane.azimuth * pi / 180;
    const double ground = albedo * sky.horizontal[i] * (1 - c) / 2, even = sky.dome[i] * (1 + c) / 2 + sky.horizon[i] * s;
    if (!std::isnan(plane.azimuth)) {
        const double incidence = c * sun.cos_zenith[i] + s * std::sin(turn) * sun.east[i] + s * std::cos(turn) * sun.north[i];
        const double seen = incidence > 0 ? incidence : 0.0, light = even + seen * sky.circumsolar[i];
        return seen * sky.beam[i] + (light < 0 ? 0.0 : light) + ground;
    }
    const double a = c * sun.cos_zenith[i], b = s * std::hypot(sun.east[i], sun.north[i]);
    const double seen = sun.cos_zenith[i] > 0 ? mean_positive(a, b) : 0.0, around = sky.circumsolar[i];
    const double light = even >= 0 || std::isnan(even) ? even + around * seen : around > 0 ? around * mean_positive(a + even / around, b) : 0.0;
    return seen * sky.beam[i] + light + ground;
}

/// Temperature of a panel. [degC]
double warmth(const Weather& w, double cover, Eigen::Index i, double light, const Plane& plane, double absorptance, double emittance) {
    const double air = w.air_temperature[i] + 273.15, film = std::max(10.0, 5.7 + 3.8 * 0.7 * w.wind_speed[i]);
    if (std::isnan(light) || std::isnan(w.wind_speed[i]) || std::isnan(cover)) return unknown;
    const double sky = sky_emissivity(w.dew_point[i], cover), view = (1 + std::cos(plane.tilt * pi / 180)) / 2;
    const double radiant = emittance * 5.670374419e-8, fourth = air * air * air * air;
    const double gain = absorptance * light + radiant * (view * sky * fourth + (1 - view) * fourth) + film * air;
    double t = air;
    for (int step = 0; step < 5; ++step) {
        const double cube = radiant * t * t * t;
        t = (gain + 3 * cube * t) / (film + 4 * cube);
    }
    return t - 273.15;
}

double arrhenius(double energy, double celsius) { return std::exp(energy / gas_constant * (1 / 296.15 - 1 / (273.15 + celsius))); }

struct Hourly {
    const Weather& weather;
    SunHours sun = sun_hours(weather);
    SkyHours light = sky_hours(weather, sun), ultraviolet = ultraviolet_hours(weather, sun);
    Column cloud = weather.opaque_sky_cover.isNaN().any() ? filled_sky_cover(weather, sun) : weather.opaque_sky_cover;

    /// Raw terms of one hour; NaN if one is.
    ClockTerms terms(Eigen::Index i, const ClockKey& key, const Sealant& family, const std::function<double(double)>& heat) const {
        const CoverFactors cover = cover_factors(key.cover);
        const Plane plane{key.tilt, key.azimuth < 0 ? unknown : key.azimuth};
        const double share = key.tilt < 45 ? cover.roof : cover.wall;
        const double outside = weather.air_temperature[i], air = cover.open_air || !(outside < 5) ? outside : 5;
        const double lit = share * light_on(sun, light, i, plane, 0.2);
        const double surface = share > 0 ? warmth(weather, cloud[i], i, lit, plane, key.absorptance, key.emittance) : air;
        const auto damp = [&](double t) {
            const double humidity = humidity_from_dew_point(t, weather.dew_point[i]);
            return humidity > 100 ? 100 : humidity;
        };
        const bool under = key.depth == Depth::sheltered;
        const double t = under ? (surface + air) / 2 : surface;
        const double stated = under ? (damp(surface) + damp(air)) / 2 : damp(surface), humidity = stated < 0.001 ? 0.001 : stated;
        const double uv = under || share <= 0 ? 0 : share * light_on(sun, ultraviolet, i, plane, 0.04);
        if (!std::isfinite(t + humidity + uv)) return {unknown, unknown, unknown};
        return {uv > 0 ? std::pow(uv, family.light_exponent) * arrhenius(family.energy_light, t) : 0, heat ? heat(t) : arrhenius(family.energy_heat, t),
                std::pow(humidity / 50, family.humidity_exponent) * arrhenius(family.energy_moisture, t)};
    }

    /// Means over the known hours of a calendar month of the typical year, not against a reference.
    ClockTerms month(int m, const ClockKey& key, const Sealant& family, const std::function<double(double)>& heat) const {
        long double light_sum = 0, heat_sum = 0, moisture_sum = 0, hours = 0;
        for (Eigen::Index i = 0; i < weather.size(); ++i) {
            const auto middle = static_cast<Instant>(static_cast<double>(weather.time_utc[i]) + weather.site.utc_offset * 3600 - 1800);
            if (year_month_day(date_of(middle)).month != m + 1) continue;
            const ClockTerms here = terms(i, key, family, heat);
            if (std::isnan(here.heat)) continue;
            light_sum += here.light, heat_sum += here.heat, moisture_sum += here.moisture, hours += 1;
        }
        const auto mean = [&](long double sum) { return static_cast<double>(sum / hours); };
        return {mean(light_sum), mean(heat_sum), mean(moisture_sum)};
    }
};

/// Equal within rounding; what has no weight is 0.
void check_close(double got, double weight, double raw, double reference) {
    CHECK(got == Approx(weight > 0 ? weight * raw / reference : 0).epsilon(1e-12).margin(0));
}

/// Means of the reference year on the home surface of a family, exposed.
ClockTerms reference_of(const Catalogue& catalogue, const Sealant& family) {
    const ClockReference reference = clock_reference(catalogue);
    const Hourly hourly{reference.weather};
    std::vector<ClockKey> surfaces;
    if (family.home == "roof") surfaces.push_back({0, 0, 180, reference.absorptance, 0.9, "open", family.name, Law::surface, Depth::exposed});
    else
        for (const double azimuth : {0.0, 90.0, 180.0, 270.0})
            surfaces.push_back({0, 90, azimuth, reference.absorptance, 0.9, "open", family.name, Law::surface, Depth::exposed});
    ClockTerms mean;
    for (const ClockKey& key : surfaces) {
        ClockYear year;
        for (int m = 0; m < 12; ++m) year.month[static_cast<std::size_t>(m)] = hourly.month(m, key, family, {});
        mean = mean + (1.0 / static_cast<double>(surfaces.size())) * year_mean(year);
    }
    return mean;
}

/// The clock of a key from a store against the hours written down.
void check_against_hours(const Catalogue& catalogue, const std::shared_ptr<const PlaceWeather>& own, ClockKey key) {
    ClockStore store(catalogue);
    key.site = store.add_site(own, std::nullopt, 0);
    const int number = store.add_key(key);
    store.evaluate(1, {});
    const Hourly hourly{own->parts.front()};
    const Sealant family = family_under_law(catalogue, key.family, key.law);
    std::function<double(double)> heat;
    if (key.law == Law::flow) {
        const WlfLaw law = wlf_law(catalogue);
        heat = [law](double t) { return 1 / wlf_shift(law, std::max(t, -50.0)); };
    }
    const ClockTerms reference = key.law == Law::flow ? ClockTerms{1, 1, 1} : reference_of(catalogue, family);
    for (const int m : {0, 3, 6, 11}) {
        INFO(key.family << " month " << m + 1);
        const ClockTerms raw = hourly.month(m, key, family, heat), got = store.clock(number).month[static_cast<std::size_t>(m)];
        check_close(got.light, family.weight_light, raw.light, reference.light);
        check_close(got.heat, family.weight_heat, raw.heat, reference.heat);
        check_close(got.moisture, family.weight_moisture, raw.moisture, reference.moisture);
    }
}

std::shared_ptr<const PlaceWeather> year_of(const char* station) {
    return std::make_shared<const PlaceWeather>(typical_year(find_station(station)));
}

Catalogue with_bent_light() {
    return Catalogue::built_in().with_overlay(
        R"({"schema": "libseal/catalogue/1", "values": {"sealant/polyurethane/light_exponent": {"value": 0.7, "source": "test", "mark": "judgement"}}})",
        "bent.json");
}

}  // namespace

TEST_CASE("clocks are those of the hours written down one by one", "[law][ageing]") {
    const Catalogue catalogue = with_bent_light();
    const auto phoenix = year_of("722780"), south_bend = year_of("725350");
    for (const auto& own : {phoenix, south_bend}) {
        check_against_hours(catalogue, own, {0, 0, 180, 0.35, 0.9, "open", "self_levelling_lap", Law::surface, Depth::exposed});
        check_against_hours(catalogue, own, {0, 90, 225, 0.80, 0.9, "open", "polyurethane", Law::surface, Depth::exposed});
        check_against_hours(catalogue, own, {0, 90, -1, 0.50, 0.6, "carport", "silyl_modified", Law::surface, Depth::exposed});
        check_against_hours(catalogue, own, {0, 90, 90, 0.50, 0.9, "open", "butyl_tape", Law::surface, Depth::sheltered});
        check_against_hours(catalogue, own, {0, 90, 0, 0.50, 0.9, "indoors", "non_sag_lap", Law::surface, Depth::sheltered});
        check_against_hours(catalogue, own, {0, 60, -1, 0.90, 0.9, "open", "butyl_tape", Law::flow, Depth::exposed});
    }
}

TEST_CASE("an hour of which something is not known counts in no term", "[law][ageing]") {
    const Catalogue catalogue = Catalogue::built_in();
    Weather gaps = typical_year(find_station("722020"));
    RandomStream random(3);
    for (Eigen::Index i = 0; i < gaps.size(); ++i) {
        if (random.below(9) == 0) gaps.wind_speed[i] = unknown;
        if (random.below(9) == 0) gaps.dew_point[i] = unknown;
        if (random.below(9) == 0) gaps.ghi[i] = gaps.dni[i] = gaps.dhi[i] = unknown;
        if (random.below(9) == 0) gaps.air_temperature[i] = unknown;
    }
    const auto own = std::make_shared<const PlaceWeather>(gaps);
    for (const char* cover : {"open", "indoors", "covered"})
        for (const Depth depth : {Depth::exposed, Depth::sheltered})
            check_against_hours(catalogue, own, {0, 90, 135, 0.6, 0.9, cover, "polyurethane", Law::surface, depth});
}

TEST_CASE("a clock does not depend on what else is asked for in the same call", "[law][ageing]") {
    const Catalogue catalogue = Catalogue::built_in();
    const Station station = find_station("722780");
    const auto key = [](double azimuth, double absorptance, const char* family, Depth depth) {
        return ClockKey{0, 90, azimuth, absorptance, 0.9, "open", family, Law::surface, depth};
    };
    const std::vector<ClockKey> keys{key(180, 0.35, "polyurethane", Depth::exposed), key(180, 0.8, "butyl_tape", Depth::sheltered),
                                     key(90, 0.35, "polyurethane", Depth::exposed), key(-1, 0.35, "silyl_modified", Depth::exposed)};
    ClockStore together(catalogue);
    together.add_site(station, 0);
    for (const ClockKey& each : keys) together.add_key(each);
    together.evaluate(2, {});
    for (std::size_t k = 0; k < keys.size(); ++k) {
        ClockStore alone(catalogue);
        alone.add_site(station, 0);
        alone.add_key(keys[k]);
        alone.evaluate(1, {});
        for (std::size_t m = 0; m < 12; ++m) {
            const ClockTerms &a = together.clock(static_cast<int>(k)).month[m], &b = alone.clock(0).month[m];
            CHECK((a.light == b.light && a.heat == b.heat && a.moisture == b.moisture));
        }
    }
}
