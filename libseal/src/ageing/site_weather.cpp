#include "ageing/site_weather.hpp"

#include <algorithm>
#include <cmath>

namespace libseal::detail {
namespace {

/// Over time: a quarter of an hour counts a quarter of an hour's value.
struct MeanOfKnown {
    double sum = 0;
    double hours = 0;

    void add(const Weather& part) {
        const double each = part.step / 3600;
        for (const double value : part.air_temperature)
            if (std::isfinite(value)) {
                sum += each * value;
                hours += each;
            }
    }
    double value() const { return sum / hours; }
};

}  // namespace

WeatherPart::WeatherPart(const Weather& weather)
    : typical(weather.typical), hours(weather.size()), places(weather), slots(weather, places.month) {}

SiteWeather::SiteWeather(const PlaceWeather* own, const std::function<Weather()>& usual) {
    MeanOfKnown dated, typical;
    const auto add = [&](const Weather& part) {
        parts_.emplace_back(part);
        (part.typical ? typical : dated).add(part);
    };
    if (own)
        for (const Weather& part : own->parts) add(part);
    if (!(own && own->typical()) && usual) add(usual());
    mean_air_temperature_ = typical.hours > 0 ? typical.value() : dated.value();
}

std::size_t SiteWeather::usual_part() const {
    // Intervals of a part may be longer or shorter than an hour: the longest is told by time, not by rows.
    const auto length = [](const WeatherPart& part) { return static_cast<double>(part.hours) * part.places.hours_each * part.places.weight; };
    std::size_t usual = 0;
    for (std::size_t i = 0; i < parts_.size(); ++i) {
        if (parts_[i].typical) return i;
        if (length(parts_[i]) > length(parts_[usual])) usual = i;
    }
    return usual;
}

Column SiteWeather::usual_temperature(const SiteSurface& surface) const {
    const std::size_t usual = usual_part();
    const WeatherPart& part = parts_[usual];
    Column temperature(part.hours);
    part.slots.day.order.scatter(surface.day[usual]->temperature().data(), temperature.data());
    part.slots.night.order.scatter(surface.night[usual]().temperature().data(), temperature.data());
    return temperature;
}

ClockYear SiteWeather::clock(const SiteSurface& surface, const LawClock& law, Depth depth) const {
    ClockYear year;
    bool typical = false, dated = false;
    Date first = make_date(9999, 12, 31), last = make_date(1400, 1, 1);
    for (const WeatherPart& part : parts_) {
        if (part.typical) continue;
        dated = true;
        first = std::min(first, part.places.first);
        last = std::max(last, part.places.last);
    }
    DayGatherer gatherer(first, dated ? last : first);
    for (std::size_t i = 0; i < parts_.size(); ++i) {
        RateSlots& day = surface.day[i]->at(depth);
        if (parts_[i].typical) {
            const auto night = [&] { return half_sums(surface.night[i]().at(depth), law.terms); };
            year.month = month_means(half_sums(day, law.terms), parts_[i].night_sums.get(surface.alike, depth, law.terms, night));
            typical = true;
        } else {
            gatherer.add(parts_[i].places, rate_hours(day, surface.night[i]().at(depth), law.terms, parts_[i].hours));
        }
    }
    if (dated) year.dated = gatherer.days();
    if (!typical) year.month = DayGatherer::month_means(year.dated);
    return scaled_clock(year, law.reference, law.family);
}

SiteSurface SiteSurfaces::at(const Plane& plane, double absorptance, double emittance, const CoverFactors& cover) {
    SiteSurface surface;
    const double azimuth = std::isnan(plane.azimuth) ? -1 : plane.azimuth;  // NaN is no key
    surface.alike = {plane.tilt, emittance, cover.open_air, light_under(cover, plane) <= 0};
    for (std::size_t i = 0; i < planes_.size(); ++i) {
        const SiteHalves& slots = site_->parts()[i].slots;
        std::shared_ptr<PlaneLight>& light = planes_[i][{plane.tilt, azimuth}];
        if (!light) light = std::make_shared<PlaneLight>(slots.day, plane);
        std::shared_ptr<SurfaceSlots>& kept = nights_[i][surface.alike];
        surface.day.push_back(std::make_shared<SurfaceSlots>(slots.day, light, plane, absorptance, emittance, cover));
        surface.night.push_back([&kept, &slots, plane, absorptance, emittance, cover]() -> SurfaceSlots& {
            if (!kept) kept = std::make_shared<SurfaceSlots>(slots.night, nullptr, plane, absorptance, emittance, cover);
            return *kept;
        });
    }
    return surface;
}

}  // namespace libseal::detail
