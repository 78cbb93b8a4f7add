#pragma once
// What a year does to roof and walls: ultraviolet dose, dose-weighted temperature and the damage of every family,
// so that a made year can be held against the measured hours of the same station.

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <string>
#include <vector>

#include "libseal/catalogue/sealant.hpp"
#include "libseal/climate/moisture.hpp"
#include "libseal/climate/ultraviolet.hpp"
#include "libseal/exposure/surface_temperature.hpp"

namespace libseal_test {

using libseal::Column;
using libseal::Weather;

struct TestPlane {
    const char* name;
    double tilt, azimuth;
};
inline constexpr std::array<TestPlane, 5> planes{{{"roof", 0, 180}, {"north", 90, 0}, {"east", 90, 90}, {"south", 90, 180}, {"west", 90, 270}}};
inline constexpr std::array<double, 2> absorptances{0.35, 0.80};

/// A clock of three terms, as science has it: weights, energies [kJ/mol], exponents of light and humidity.
struct Clock {
    std::string family, home;
    std::array<double, 3> weight, energy;
    double light_exponent, humidity_exponent;
};

/// Every family of the catalogue, and the looks clock on a roof bead and on a wall bead.
inline std::vector<Clock> clocks_of(const libseal::Catalogue& catalogue) {
    std::vector<Clock> clocks;
    for (const auto& name : libseal::sealant_names(catalogue)) {
        const auto s = libseal::sealant(catalogue, name);
        clocks.push_back({name, s.home, {s.weight_light, s.weight_heat, s.weight_moisture},
                          {s.energy_light, s.energy_heat, s.energy_moisture}, s.light_exponent, s.humidity_exponent});
    }
    const auto looks = [&](const char* key) { return catalogue.number(std::string("model/appearance_") + key); };
    for (const char* home : {"roof", "walls"})
        clocks.push_back({std::string("looks, ") + home, home, {looks("weight_light"), looks("weight_heat"), looks("weight_moisture")},
                          {looks("energy_light"), looks("energy_heat"), looks("energy_moisture")}, looks("light_exponent"),
                          looks("humidity_exponent")});
    return clocks;
}

struct Exposure {
    double dose = 0;              ///< ultraviolet, sum of hours [Wh/m2]
    double dose_temperature = 0;  ///< surface temperature weighted by it [degC]
    std::vector<std::array<double, 3>> terms;  ///< light, heat, moisture of each clock, not yet normalised
};
using YearExposure = std::array<std::array<Exposure, 2>, 5>;  // [plane][absorptance]

inline Exposure exposure_of(const Weather& weather, const Column& ultraviolet, const Column& surface, const std::vector<Clock>& clocks) {
    Exposure e;
    e.dose = ultraviolet.sum();
    e.dose_temperature = (ultraviolet * surface).sum() / e.dose;
    std::map<double, Column> rates;
    const auto rate = [&](double energy) -> const Column& {
        auto& r = rates[energy];
        if (r.size() == 0) r = (energy * 1000 / 8.314462618 * (1 / 296.15 - (surface + 273.15).inverse())).exp();
        return r;
    };
    Column humidity(weather.size());
    for (Eigen::Index i = 0; i < weather.size(); ++i)
        humidity[i] = std::min(100.0, libseal::humidity_from_dew_point(surface[i], weather.dew_point[i])) / 50;
    for (const Clock& c : clocks)
        e.terms.push_back({(ultraviolet.max(0.0).pow(c.light_exponent) * rate(c.energy[0])).mean(), rate(c.energy[1]).mean(),
                           (humidity.pow(c.humidity_exponent) * rate(c.energy[2])).mean()});
    return e;
}

inline YearExposure exposure_of(const Weather& weather, const std::vector<Clock>& clocks) {
    const auto sun = libseal::sun_hours(weather);
    const auto sky = libseal::sky_hours(weather, sun);
    YearExposure year;
    for (std::size_t p = 0; p < planes.size(); ++p) {
        const Column ultraviolet = libseal::ultraviolet(weather, sun, planes[p].tilt, planes[p].azimuth, 0.04);
        const Column irradiance = libseal::plane_total(sun, sky, planes[p].tilt, planes[p].azimuth, 0.2);
        for (std::size_t a = 0; a < absorptances.size(); ++a) {
            const Column surface = libseal::surface_temperature(weather, irradiance, planes[p].tilt, absorptances[a], 0.9, {});
            year[p][a] = exposure_of(weather, ultraviolet, surface, clocks);
        }
    }
    return year;
}

/// Damage of a clock: terms over those of the reference year on the family's home surface at absorptance 0.35.
inline double damage(const Exposure& e, const YearExposure& reference, const Clock& clock, std::size_t index) {
    double sum = 0;
    for (std::size_t t = 0; t < 3; ++t) {
        double home = reference[0][0].terms[index][t];
        if (clock.home != "roof") {
            home = 0;
            for (std::size_t p = 1; p < planes.size(); ++p) home += reference[p][0].terms[index][t] / 4;
        }
        sum += clock.weight[t] * e.terms[index][t] / home;
    }
    return sum;
}

}  // namespace libseal_test
