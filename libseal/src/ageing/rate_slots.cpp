#include "ageing/rate_slots.hpp"

#include <limits>

#include "kernel/kernels.hpp"
#include "libseal/core/error.hpp"

namespace libseal::detail {
namespace {

using Kind = RateTerm::Kind;

constexpr std::size_t most_known_sums = 64;  // as many families; a sweep asks for more, each once

MonthSums sums_over(const HourSlots& order, const double* weight, const double* x, double exponent, const double* q, double energy) {
    MonthSums sums{};
    kernel::kernels().exponential_sums({weight, x, q, exponent, energy, order.begin.data(), sums.size()}, sums.data());
    return sums;
}

}  // namespace

RateTerms rate_terms(const Sealant& family, bool weighted_only) {
    const auto term = [&](double weight, Kind kind, double exponent, double energy) {
        return weighted_only && !(weight > 0) ? RateTerm{} : RateTerm{kind, exponent, energy, {}};
    };
    return {term(family.weight_light, Kind::light, family.light_exponent, family.energy_light),
            term(family.weight_heat, Kind::heat, 0, family.energy_heat),
            term(family.weight_moisture, Kind::moisture, family.humidity_exponent, family.energy_moisture)};
}

ClockTerms rates_at(const RateTerms& terms, double temperature, double humidity) {
    const HourSlots order({0}, {0}, 0);
    const std::vector<double> warm(order.size(), temperature), damp(order.size(), humidity);
    RateSlots rates(order, {order.size(), warm.data(), nullptr, nullptr, damp.data(), order.weight.data()}, nullptr, 0);
    return {0, rates.sums(terms.heat)[0], rates.sums(terms.moisture)[0]};
}

RateSlots::RateSlots(const HourSlots& order, const kernel::FeltColumns& felt, const double* ultraviolet, double share)
    : order_(&order), felt_(felt), q_(order.size()), log_humidity_(order.size()), known_(order.size()) {
    kernel::kernels().rate_inputs(felt, {q_.data(), log_humidity_.data(), known_.data()});
    if (ultraviolet) {
        ultraviolet_ = AlignedColumn(order.size());
        kernel::kernels().light_inputs(order.size(), ultraviolet, share, known_.data(), ultraviolet_.data());
    }
    hours_ = sums_over(order, known_.data(), nullptr, 0, nullptr, 0);
}

RateSlots::Columns RateSlots::columns(const RateTerm& term) {
    const std::size_t count = order_->size();
    switch (term.kind) {
        case Kind::heat: return {known_.data(), nullptr, q_.data(), 0};
        case Kind::moisture: return {known_.data(), log_humidity_.data(), q_.data(), term.exponent};
        case Kind::light:
            if (term.exponent == 1) return {ultraviolet_.data(), nullptr, q_.data(), 0};
            if (lit_.size() == 0) {
                log_ultraviolet_ = AlignedColumn(count), lit_ = AlignedColumn(count);
                kernel::kernels().light_logarithms(count, ultraviolet_.data(), known_.data(), log_ultraviolet_.data(), lit_.data());
            }
            return {lit_.data(), log_ultraviolet_.data(), q_.data(), term.exponent};
        case Kind::flow:
            if (flow_.size() == 0) flow_ = AlignedColumn(count);
            kernel::kernels().flow_exponents(count, felt_.surface, felt_.air, term.flow, flow_.data());
            return {known_.data(), flow_.data(), nullptr, 1};
        case Kind::none: break;
    }
    return {known_.data(), nullptr, nullptr, 0};
}

MonthSums RateSlots::sums(const RateTerm& term) {
    if (is_nothing(term)) return {};
    for (const auto& [known, sums] : known_sums_)
        if (known == term) return sums;
    const Columns c = columns(term);
    const MonthSums sums = sums_over(*order_, c.weight, c.x, c.exponent, c.q, term.energy);
    if (known_sums_.size() < most_known_sums) known_sums_.emplace_back(term, sums);
    return sums;
}

void RateSlots::scatter(const RateTerm& term, Column& hours) {
    const std::size_t count = order_->size();
    AlignedColumn values(count);
    const bool nothing = is_nothing(term);
    const Columns c = columns(nothing ? RateTerm{} : term);
    if (!nothing) kernel::kernels().exponentials(count, c.x, c.exponent, c.q, term.energy, values.data());
    for (std::size_t i = 0; i < count; ++i)
        if (known_[i] > 0) hours[order_->hour[i]] = nothing ? 0 : c.weight[i] * values[i];
}

HalfSums half_sums(RateSlots& half, const RateTerms& terms) {
    return {half.hours(), half.sums(terms.light), half.sums(terms.heat), half.sums(terms.moisture)};
}

std::array<ClockTerms, 12> month_means(const HalfSums& day, const HalfSums& night) {
    std::array<ClockTerms, 12> months;
    for (std::size_t m = 0; m < 12; ++m) {
        const double hours = day.hours[m] + night.hours[m];
        if (hours == 0) throw_month(m);
        months[m] = {(day.light[m] + night.light[m]) / hours, (day.heat[m] + night.heat[m]) / hours, (day.moisture[m] + night.moisture[m]) / hours};
    }
    return months;
}

RateHours rate_hours(RateSlots& day, RateSlots& night, const RateTerms& terms, Eigen::Index count) {
    const Column unknown = Column::Constant(count, std::numeric_limits<double>::quiet_NaN());
    RateHours hours{unknown, unknown, unknown};
    for (RateSlots* half : {&day, &night}) {
        half->scatter(terms.light, hours.light);
        half->scatter(terms.heat, hours.heat);
        half->scatter(terms.moisture, hours.moisture);
    }
    return hours;
}

SurfaceSlots::SurfaceSlots(const SiteSlots& site, std::shared_ptr<PlaneLight> light, const Plane& plane, double absorptance,
                           double emittance, const CoverFactors& cover)
    : site_(&site),
      light_(std::move(light)),
      share_(light_under(cover, plane)),
      temperatures_(slot_temperatures(site, light_.get(), plane, absorptance, emittance, cover)) {}

RateSlots& SurfaceSlots::at(Depth depth) {
    const bool under = depth == Depth::sheltered;
    std::optional<RateSlots>& rates = under ? sheltered_ : exposed_;
    if (rates) return *rates;
    const double* surface = temperatures_.surface.data();
    const kernel::FeltColumns felt{site_->order.size(), surface, under ? temperatures_.air(*site_) : nullptr, site_->dew_exponent.data(),
                                   nullptr, site_->order.weight.data()};
    rates.emplace(site_->order, felt, !under && light_ && share_ > 0 ? light_->ultraviolet().data() : nullptr, share_);
    return *rates;
}

}  // namespace libseal::detail
