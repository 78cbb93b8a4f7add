#include "ageing/swept_layer.hpp"

#include <cmath>

#include "ageing/session_memory.hpp"
#include "kernel/units.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/require.hpp"

namespace libseal::detail {
namespace {

constexpr std::size_t most_surfaces = 48;     // kept at once, of some 1 MB each
constexpr double log_two = 0.69314718055994531;  // ln(100 %/50 %): wet

void check(const RateSweepOptions& options) {
    require_between(options.tilt, 0, 180, "tilt");
    if (!std::isnan(options.azimuth)) require_finite(options.azimuth, "azimuth");
    require_between(options.absorptance, 0, 1, "absorptance");
    require_between(options.emittance, 0, 1, "emittance");
    require_between(options.tolerance, 1e-12, 0.1, "tolerance");
    if (options.check_points < 0) throw_value_error("check_points", "0 or more", std::to_string(options.check_points));
}

/// ln of the humidity of air over 1 at a temperature, above 0 where it is wet.
double log_humidity(double dew_exponent, double celsius) { return dew_exponent - kernel::magnus_a * celsius / (celsius + kernel::magnus_b); }

double q_at(double celsius) {
    const double kelvin = celsius + kernel::zero_celsius;
    return (kelvin - kernel::reference_kelvin) / (kelvin * kernel::reference_kelvin * kernel::gas_constant);
}

}  // namespace

SweptLayer::SweptLayer(std::shared_ptr<const WeatherPart> part, const RateSweepOptions& options, const std::shared_ptr<Session>& session)
    : part_(std::move(part)),
      options_(options),
      plane_{options.tilt, options.azimuth},
      cover_(cover_factors(options.cover)),
      light_(std::make_shared<PlaneLight>(part_->slots.day, plane_)) {
    Session::Memory& memory = *session->memory_;
    law_ = memory.law_clock(options.family, options.law);
    const std::lock_guard held(memory.lock);
    home_ = memory.home;
    options_.session = nullptr;
    light_->total(), light_->ultraviolet();  // worked out now, so that threads only read
}

std::shared_ptr<Session> SweptLayer::session_of(const RateSweepOptions& options) {
    check(options);
    if (!options.session) return std::make_shared<Session>(options.catalogue);
    if (!(options.session->catalogue() == options.catalogue))
        throw_value_error("session", "a session of the same catalogue", "one of another", "make a Session with this catalogue");
    return options.session;
}

std::shared_ptr<const SweptLayer> SweptLayer::at(const Station& station, const RateSweepOptions& options) {
    const auto session = session_of(options);
    const auto site = session->memory_->weather(session->memory_->site_number(nullptr, station, options.seed));
    const std::shared_ptr<const WeatherPart> part(site, &site->parts().front());
    return std::shared_ptr<const SweptLayer>(new SweptLayer(part, options, session));
}

std::shared_ptr<const SweptLayer> SweptLayer::at(const Weather& weather, const RateSweepOptions& options) {
    const auto session = session_of(options);
    return std::shared_ptr<const SweptLayer>(new SweptLayer(std::make_shared<const WeatherPart>(weather), options, session));
}

double SweptLayer::reference(const RateTerm& term) const {
    RateTerms terms;
    if (term.kind == RateTerm::Kind::light) terms.light = term;
    else if (term.kind == RateTerm::Kind::moisture) terms.moisture = term;
    else terms.heat = term;
    const ClockTerms rates = law_reference(options_.catalogue, law_->family.home, law_of_family(options_.catalogue, options_.family, options_.law), terms, *home_);
    return term.kind == RateTerm::Kind::light ? rates.light : term.kind == RateTerm::Kind::moisture ? rates.moisture : rates.heat;
}

SweptSurfaces::Half SweptSurfaces::made(const SiteSlots& site, PlaneLight* light, const SweptFinish& finish, const AlignedColumn& dry) const {
    const bool under = layer_->options().depth == Depth::sheltered;
    const double share = light_under(layer_->cover(), layer_->plane());
    Half half;
    half.temperatures = slot_temperatures(site, light, layer_->plane(), finish.absorptance, finish.emittance, layer_->cover());
    if (under) half.air = half.temperatures.air(site);
    const double* ultraviolet = !under && light && share > 0 ? light->ultraviolet().data() : nullptr;
    kernel::FeltColumns felt{site.order.size(), half.temperatures.surface.data(), half.air, site.dew_exponent.data(), nullptr, site.order.weight.data()};
    half.all = std::make_unique<RateSlots>(site.order, felt, ultraviolet, share);
    if (wet_.most > 0) {
        felt.weight = dry.data();
        half.dry = std::make_unique<RateSlots>(site.order, felt, ultraviolet, share);
    }
    return half;
}

SweptSurfaces::Half& SweptSurfaces::day(const SweptFinish& finish) {
    if (const auto found = days_.find(finish); found != days_.end()) return found->second;
    if (days_.size() >= most_surfaces) days_.clear();
    return days_.emplace(finish, made(layer_->site().day, layer_->light().get(), finish, wet_.day_dry)).first->second;
}

SweptSurfaces::Half& SweptSurfaces::night(double emittance) {
    if (const auto found = nights_.find(emittance); found != nights_.end()) return found->second;
    if (nights_.size() >= most_surfaces) nights_.clear();
    return nights_.emplace(emittance, made(layer_->site().night, nullptr, {layer_->options().absorptance, emittance}, wet_.night_dry)).first->second;
}

void SweptSurfaces::leave_out_wet(const std::vector<SweptFinish>& corners) {
    WetHours found;
    const bool lit = layer_->options().depth == Depth::exposed && light_under(layer_->cover(), layer_->plane()) > 0;
    for (const bool by_day : {true, false}) {
        const SiteSlots& site = by_day ? layer_->site().day : layer_->site().night;
        const HourSlots& order = site.order;
        AlignedColumn& dry = by_day ? found.day_dry : found.night_dry;
        dry = AlignedColumn(order.size());
        for (std::size_t i = 0; i < order.size(); ++i) dry[i] = order.weight[i];
        for (std::size_t m = 0; m < 12; ++m)
            for (std::size_t i = order.begin[m]; i < order.begin[m + 1]; ++i) {
                bool wet = false, warm = false;
                for (const SweptFinish& corner : corners) {
                    const Half& half = by_day ? day(corner) : night(corner.emittance);
                    const double above = log_humidity(site.dew_exponent[i], half.temperatures.surface[i]);
                    wet |= above > 0, warm |= above < 0;
                }
                const bool known = order.weight[i] > 0 && !(lit && by_day && !std::isfinite(layer_->light()->ultraviolet()[i]));
                if (!(wet && warm && known)) continue;
                found.month[m].push_back({i, by_day});
                dry[i] = 0;
            }
    }
    for (const auto& hours : found.month) found.most = std::max(found.most, hours.size());
    wet_ = std::move(found);
    days_.clear(), nights_.clear();
}

WetFeel SweptSurfaces::feel(const WetHours::Hour& hour, const SweptFinish& finish) {
    const SiteSlots& site = hour.day ? layer_->site().day : layer_->site().night;
    const Half& half = hour.day ? day(finish) : night(finish.emittance);
    const double surface = half.temperatures.surface[hour.slot], dew = site.dew_exponent[hour.slot];
    const double above = log_humidity(dew, surface);
    if (!half.air) return {q_at(surface), above + log_two, log_two};
    // Half-way to the air: mean temperature, mean humidity.
    const double air = half.air[hour.slot], humid = std::exp(std::min(0.0, log_humidity(dew, air)));
    return {q_at(0.5 * (surface + air)), std::log(std::exp(above) + humid), std::log(1 + humid)};
}

MonthSums SweptSurfaces::hours() {
    MonthSums hours = day(layer_->finish()).all->hours();
    const MonthSums& dark = night(layer_->finish().emittance).all->hours();
    for (std::size_t m = 0; m < 12; ++m) {
        hours[m] += dark[m];
        if (hours[m] == 0) throw_month(m);
    }
    return hours;
}

MonthSums SweptSurfaces::means_of(const RateTerm& term, const SweptFinish& finish, bool dry) {
    Half &by_day = day(finish), &by_night = night(finish.emittance);
    MonthSums sums = (dry ? by_day.dry : by_day.all)->sums(term);
    const MonthSums dark = (dry ? by_night.dry : by_night.all)->sums(term);
    const MonthSums &lit_hours = by_day.all->hours(), &dark_hours = by_night.all->hours();
    for (std::size_t m = 0; m < 12; ++m) {
        const double hours = lit_hours[m] + dark_hours[m];
        if (hours == 0) throw_month(m);
        sums[m] = (sums[m] + dark[m]) / hours;
    }
    return sums;
}

}  // namespace libseal::detail
