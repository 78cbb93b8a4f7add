#include "ageing/site_weather.hpp"

#include <algorithm>
#include <cmath>

#include "libseal/climate/typical_year.hpp"

namespace libseal::detail {

SiteWeather::SiteWeather(const PlaceWeather* own, const std::optional<Station>& station, std::uint64_t seed, const WeatherStore& store) {
    if (own)
        for (const Weather& part : own->parts) parts_.emplace_back(part);
    if (own && own->typical()) return;
    if (!station) return;
    made_ = std::make_unique<const Weather>(store.get(name_of_typical_year(*station, seed), [&] { return typical_year(*station, seed); }));
    parts_.emplace_back(*made_);
}

double SiteWeather::mean_air_temperature() const {
    double sum[2] = {0, 0};  // dated, typical
    Eigen::Index known[2] = {0, 0};
    for (const Part& part : parts_)
        for (const double t : part.weather->air_temperature)
            if (std::isfinite(t)) {
                sum[part.weather->typical] += t;
                ++known[part.weather->typical];
            }
    const int which = known[1] > 0 ? 1 : 0;
    return sum[which] / static_cast<double>(known[which]);
}

const RateInputs& ReadyHours::at(Depth depth) {
    std::optional<RateInputs>& inputs = depth == Depth::sheltered ? sheltered_ : exposed_;
    if (!inputs) inputs.emplace(hours_, depth);
    return *inputs;
}

std::vector<ReadyHours> SiteWeather::hours(const Plane& plane, double absorptance, double emittance,
                                           const CoverFactors& cover) const {
    std::vector<ReadyHours> result;
    result.reserve(parts_.size());
    for (const Part& part : parts_)
        result.emplace_back(surface_hours(*part.weather, part.site, plane, absorptance, emittance, cover));
    return result;
}

std::size_t SiteWeather::usual_part() const {
    std::size_t usual = 0;
    for (std::size_t i = 0; i < parts_.size(); ++i) {
        if (parts_[i].weather->typical) return i;
        if (parts_[i].weather->size() > parts_[usual].weather->size()) usual = i;
    }
    return usual;
}

Column SiteWeather::usual_temperature(const Plane& plane, double absorptance, double emittance, const CoverFactors& cover) const {
    const Part& part = parts_[usual_part()];
    return surface_temperature_hours(*part.weather, part.site, plane, absorptance, emittance, cover);
}

ClockYear SiteWeather::clock(std::vector<ReadyHours>& hours, const LawClock& law, Depth depth) const {
    ClockYear year;
    bool typical = false, dated = false;
    Date first = make_date(9999, 12, 31), last = make_date(1400, 1, 1);
    for (const Part& part : parts_) {
        if (part.weather->typical) continue;
        dated = true;
        first = std::min(first, part.places.first);
        last = std::max(last, part.places.last);
    }
    DayGatherer gatherer(first, dated ? last : first);
    for (std::size_t i = 0; i < parts_.size(); ++i) {
        const RateHours rates = law.rates(hours[i].at(depth));
        if (parts_[i].weather->typical) {
            year.month = month_means(parts_[i].places, rates);
            typical = true;
        } else {
            gatherer.add(parts_[i].places, rates);
        }
    }
    if (dated) year.dated = gatherer.days();
    if (!typical) year.month = DayGatherer::month_means(year.dated);
    return scaled_clock(year, law.reference, law.family);
}

}  // namespace libseal::detail
