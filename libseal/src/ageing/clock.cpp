#include "libseal/ageing/clock.hpp"

#include "ageing/clock_hours.hpp"
#include "ageing/law_clock.hpp"
#include "climate/lengths.hpp"
#include "libseal/climate/station.hpp"
#include "libseal/climate/typical_year.hpp"

namespace libseal {
namespace {

/// Slots of a half, and what a family at a depth reads of them in hours that are stated.
struct StatedHalf {
    StatedHalf(detail::HourSlots half, const SurfaceHours& hours, Depth depth)
        : order(std::move(half)),
          temperature(order.gathered(at_depth(hours.surface_temperature, hours.air_temperature, depth))),
          humidity(order.gathered(at_depth(hours.surface_humidity, hours.air_humidity, depth))),
          ultraviolet(order.gathered(hours.ultraviolet)),
          rates(order, {order.size(), temperature.data(), nullptr, nullptr, humidity.data(), order.weight.data()},
                depth == Depth::sheltered ? nullptr : ultraviolet.data(), 1) {}
    static Column at_depth(const Column& surface, const Column& air, Depth depth) {
        return depth == Depth::sheltered ? (0.5 * (surface + air)).eval() : surface;
    }

    detail::HourSlots order;
    detail::AlignedColumn temperature, humidity, ultraviolet;
    detail::RateSlots rates;
};

void check_lengths(const SurfaceHours& hours, Eigen::Index size) {
    detail::require_length(hours.ultraviolet.size(), size, "hours.ultraviolet");
    detail::require_length(hours.surface_temperature.size(), size, "hours.surface_temperature");
    detail::require_length(hours.surface_humidity.size(), size, "hours.surface_humidity");
    detail::require_length(hours.air_temperature.size(), size, "hours.air_temperature");
    detail::require_length(hours.air_humidity.size(), size, "hours.air_humidity");
}

}  // namespace

ClockYear raw_clock(const Weather& weather, const SurfaceHours& hours, const Sealant& family, Depth depth) {
    check_lengths(hours, weather.size());
    const detail::HourPlaces places(weather);
    std::vector<std::uint8_t> lit(places.month.size());
    for (std::size_t i = 0; i < lit.size(); ++i) lit[i] = hours.ultraviolet[static_cast<Eigen::Index>(i)] != 0;
    StatedHalf day({places.month, lit, 1}, hours, depth), night({places.month, lit, 0}, hours, depth);
    const detail::RateTerms terms = detail::rate_terms(family, false);
    ClockYear year;
    year.month = month_means(half_sums(day.rates, terms), half_sums(night.rates, terms));
    if (!weather.typical) {
        detail::DayGatherer gatherer(places.first, places.last);
        gatherer.add(places, rate_hours(day.rates, night.rates, terms, weather.size()));
        year.dated = gatherer.days();
    }
    return year;
}

ClockTerms year_mean(const ClockYear& year) {
    const auto& days = detail::month_days;
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
    return detail::HomeSurfaces(reference).means(family.home, detail::rate_terms(family, false), depth);
}

}  // namespace libseal
