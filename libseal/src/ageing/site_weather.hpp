#pragma once
// The weathers of one site made ready, so that all its clocks share sun, sky and calendar.

#include <deque>
#include <memory>
#include <optional>
#include <vector>

#include "ageing/law_clock.hpp"
#include "climate/weather_store.hpp"
#include "libseal/climate/place_weather.hpp"
#include "libseal/climate/station.hpp"

namespace libseal::detail {

/// What a surface receives, and what the rates at either depth read of it: made when first asked for.
class ReadyHours {
public:
    explicit ReadyHours(SurfaceHours hours) : hours_(std::move(hours)) {}
    const SurfaceHours& surface() const { return hours_; }
    const RateInputs& at(Depth depth);

private:
    SurfaceHours hours_;
    std::optional<RateInputs> exposed_, sheltered_;
};

class SiteWeather {
public:
    /// @param own  Own weather of the place, may be null; must outlive this.
    /// @param station  Whose typical year stands for what `own` does not know; without it the own months do.
    /// @param store  Where typical years are kept.
    SiteWeather(const PlaceWeather* own, const std::optional<Station>& station, std::uint64_t seed, const WeatherStore& store);

    /// Of the typical year; of all known hours where there is none. [degC]
    double mean_air_temperature() const;
    /// What a plane receives, one entry a part of the weather.
    std::vector<ReadyHours> hours(const Plane& plane, double absorptance, double emittance, const CoverFactors& cover) const;
    /// The part that stands for a usual year: the typical one, else the longest.
    std::size_t usual_part() const;
    /// Surface temperature in the usual part alone. [degC]
    Column usual_temperature(const Plane& plane, double absorptance, double emittance, const CoverFactors& cover) const;
    /// Clock from the hours of all parts. @throws ValueError  if a calendar month has no known hour.
    ClockYear clock(std::vector<ReadyHours>& hours, const LawClock& law, Depth depth) const;

private:
    struct Part {
        explicit Part(const Weather& own) : weather(&own), site(site_hours(own)), places(own) {}
        const Weather* weather;
        SiteHours site;
        HourPlaces places;
    };
    std::unique_ptr<const Weather> made_;  ///< typical year of the station
    std::deque<Part> parts_;
};

}  // namespace libseal::detail
