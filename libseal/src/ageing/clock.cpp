#include "libseal/ageing/clock.hpp"

#include "ageing/clock_hours.hpp"
#include "libseal/climate/station.hpp"
#include "libseal/climate/typical_year.hpp"

namespace libseal {

ClockYear raw_clock(const Weather& weather, const SurfaceHours& hours, const Sealant& family, Depth depth) {
    const detail::RateHours rates = detail::rate_hours(detail::RateInputs(hours, depth), family);
    const detail::HourPlaces places(weather);
    ClockYear year;
    year.month = detail::month_means(places, rates);
    if (!weather.typical) {
        detail::DayGatherer gatherer(places.first, places.last);
        gatherer.add(places, rates);
        year.dated = gatherer.days();
    }
    return year;
}

ClockTerms year_mean(const ClockYear& year) {
    static constexpr std::array<double, 12> days = {31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    ClockTerms sum;
    for (std::size_t m = 0; m < 12; ++m) {
        sum.light += year.month[m].light * days[m] / 365.25;
        sum.heat += year.month[m].heat * days[m] / 365.25;
        sum.moisture += year.month[m].moisture * days[m] / 365.25;
    }
    return sum;
}

ClockYear scaled_clock(const ClockYear& raw, const ClockTerms& reference, const Sealant& family) {
    const auto part = [](double weight, double value, double mean) { return weight > 0 ? weight * value / mean : 0; };
    const auto scaled = [&](const ClockTerms& t) {
        return ClockTerms{part(family.weight_light, t.light, reference.light),
                          part(family.weight_heat, t.heat, reference.heat),
                          part(family.weight_moisture, t.moisture, reference.moisture)};
    };
    ClockYear year;
    for (std::size_t m = 0; m < 12; ++m) year.month[m] = scaled(raw.month[m]);
    year.dated = raw.dated;
    for (ClockTerms& day : year.dated.rate) day = scaled(day);
    return year;
}

ClockReference clock_reference(const Catalogue& catalogue) {
    ClockReference reference;
    reference.weather = typical_year(find_station(catalogue.word("model/reference_station")), 0);
    reference.site = site_hours(reference.weather);
    reference.absorptance = catalogue.number("model/reference_absorptance");
    return reference;
}

ClockTerms reference_terms(const ClockReference& reference, const Sealant& family, Depth depth) {
    const auto terms_on = [&](const Plane& plane) {
        const SurfaceHours hours = surface_hours(reference.weather, reference.site, plane, reference.absorptance,
                                                 reference.emittance, CoverFactors{});
        return year_mean(raw_clock(reference.weather, hours, family, depth));
    };
    if (family.home == "roof") return terms_on({0, 180});
    ClockTerms mean;
    for (const double azimuth : {0.0, 90.0, 180.0, 270.0}) {
        const ClockTerms wall = terms_on({90, azimuth});
        mean.light += wall.light / 4;
        mean.heat += wall.heat / 4;
        mean.moisture += wall.moisture / 4;
    }
    return mean;
}

}  // namespace libseal
