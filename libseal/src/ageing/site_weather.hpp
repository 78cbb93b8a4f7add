#pragma once
// The weathers of one site made ready, so that all its clocks share sun, sky and calendar.

#include <compare>
#include <deque>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <utility>
#include <vector>

#include "ageing/law_clock.hpp"
#include "libseal/climate/place_weather.hpp"

namespace libseal::detail {

/// Nights of a site that are alike for all surfaces that look up alike.
struct NightKey {
    double tilt, emittance;
    bool open_air, shut;  ///< shut: no light comes in, so that a surface is as warm as the air
    auto operator<=>(const NightKey&) const = default;
};

/// Sums of nights that were asked for before. @threads  safe.
class NightSums {
public:
    template <class Make>
    HalfSums get(const NightKey& key, Depth depth, const RateTerms& terms, const Make& make) {
        const std::pair<NightKey, Depth> place{key, depth};
        {
            const std::lock_guard held(lock_);
            for (const auto& [known, sums] : sums_[place])
                if (known == terms) return sums;
        }
        const HalfSums made = make();
        const std::lock_guard held(lock_);
        std::vector<std::pair<RateTerms, HalfSums>>& all = sums_[place];
        if (all.size() < most_terms) all.emplace_back(terms, made);
        return made;
    }

private:
    static constexpr std::size_t most_terms = 32;  // a catalogue has fewer
    std::mutex lock_;
    std::map<std::pair<NightKey, Depth>, std::vector<std::pair<RateTerms, HalfSums>>> sums_;
};

/// One part of the weather of a site, in the order of its work.
struct WeatherPart {
    explicit WeatherPart(const Weather& weather);
    bool typical;
    Eigen::Index hours;  ///< rows, of whatever step
    HourPlaces places;
    SiteHalves slots;
    mutable NightSums night_sums;
};

/// What a surface is like, one entry a part of the weather. Nights are worked out when something asks for their hours; they
/// belong to the SiteSurfaces that made this.
struct SiteSurface {
    std::vector<std::shared_ptr<SurfaceSlots>> day;
    std::vector<std::function<SurfaceSlots&()>> night;
    NightKey alike;
};

class SiteWeather {
public:
    /// @param own  Own weather of the place, may be null; must outlive this.
    /// @param typical  Gives the year that stands for what `own` does not know; if it is empty the own months do.
    SiteWeather(const PlaceWeather* own, const std::function<Weather()>& typical);

    /// Of the typical year; of all known hours where there is none. [degC]
    double mean_air_temperature() const { return mean_air_temperature_; }
    const std::deque<WeatherPart>& parts() const { return parts_; }
    /// Surface temperature in the part that stands for a usual year, the typical one, else the longest. [degC]
    Column usual_temperature(const SiteSurface& surface) const;
    /// Clock from the hours of all parts. @throws ValueError  if a calendar month has no known hour.
    ClockYear clock(const SiteSurface& surface, const LawClock& law, Depth depth) const;

private:
    std::size_t usual_part() const;

    std::deque<WeatherPart> parts_;
    double mean_air_temperature_ = 0;
};

/// The surfaces of one site as they are asked for: planes share their light, and what looks up alike shares its nights.
/// One thread.
class SiteSurfaces {
public:
    /// @param site  Stays alive.
    explicit SiteSurfaces(const SiteWeather& site) : site_(&site), planes_(site.parts().size()), nights_(site.parts().size()) {}
    SiteSurface at(const Plane& plane, double absorptance, double emittance, const CoverFactors& cover);

private:
    const SiteWeather* site_;
    std::vector<std::map<std::pair<double, double>, std::shared_ptr<PlaneLight>>> planes_;  ///< by tilt and azimuth
    std::vector<std::map<NightKey, std::shared_ptr<SurfaceSlots>>> nights_;
};

}  // namespace libseal::detail
