#pragma once
// Rates of ageing of one surface at one depth, over a half of the hours of its site (exposure/site_slots.hpp).

#include <array>
#include <memory>
#include <optional>
#include <utility>
#include <vector>

#include "ageing/clock_hours.hpp"
#include "exposure/site_slots.hpp"
#include "kernel/rates.hpp"
#include "libseal/ageing/clock.hpp"
#include "libseal/ageing/rates.hpp"

namespace libseal::detail {

/// One of the exponentials that a clock adds up.
struct RateTerm {
    enum class Kind {
        none,      ///< 0
        light,     ///< UV^exponent A(energy, T)
        heat,      ///< A(energy, T)
        moisture,  ///< (RH/50)^exponent A(energy, T)
        flow       ///< 1/a of the law `flow`
    };
    Kind kind = Kind::none;
    double exponent = 0, energy = 0;
    kernel::FlowFactors flow{};

    friend bool operator==(const RateTerm& a, const RateTerm& b) {
        return a.kind == b.kind && a.exponent == b.exponent && a.energy == b.energy && a.flow.c1 == b.flow.c1 && a.flow.c2 == b.flow.c2 &&
               a.flow.reference == b.flow.reference && a.flow.lowest == b.flow.lowest;
    }
};

/// What the three parts of a clock read.
struct RateTerms {
    RateTerm light, heat, moisture;
    friend bool operator==(const RateTerms&, const RateTerms&) = default;
};
/// @param weighted_only  Terms of no weight are none, and cost nothing.
RateTerms rate_terms(const Sealant& family, bool weighted_only);
/// Their values at one temperature [degC] and relative humidity [%], without light.
ClockTerms rates_at(const RateTerms& terms, double temperature, double humidity);

using MonthSums = std::array<double, 12>;

class RateSlots {
public:
    /// @param felt  Columns that stay alive; their temperatures are read again by `flow`.
    /// @param ultraviolet  On the plane [W/m2]; null where no light comes.  @param share  That the cover lets through. [-]
    RateSlots(const HourSlots& order, const kernel::FeltColumns& felt, const double* ultraviolet, double share);

    /// Known hours of each month: all of temperature, humidity and, where light comes, ultraviolet.
    const MonthSums& hours() const { return hours_; }
    /// Sums of a term over the known hours of each month; worked out once, however many clocks ask.
    MonthSums sums(const RateTerm& term);
    /// The term hour by hour, put to the hours of the weather; those that are not known stay as they are.
    void scatter(const RateTerm& term, Column& hours);

private:
    /// Columns of a term.
    struct Columns {
        const double *weight, *x, *q;
        double exponent;
    };
    Columns columns(const RateTerm& term);
    bool is_nothing(const RateTerm& term) const {
        return term.kind == RateTerm::Kind::none || (term.kind == RateTerm::Kind::light && ultraviolet_.size() == 0);
    }

    const HourSlots* order_;
    kernel::FeltColumns felt_;
    AlignedColumn q_, log_humidity_, known_, ultraviolet_;
    AlignedColumn log_ultraviolet_, lit_, flow_;  ///< made when first asked for
    MonthSums hours_{};
    std::vector<std::pair<RateTerm, MonthSums>> known_sums_;
};

/// Sums of one half over the known hours of each month.
struct HalfSums {
    MonthSums hours{};
    MonthSums light{}, heat{}, moisture{};
};
HalfSums half_sums(RateSlots& half, const RateTerms& terms);
/// Means of the known hours of each calendar month. @throws ValueError  if a month has none.
std::array<ClockTerms, 12> month_means(const HalfSums& day, const HalfSums& night);
/// The terms of each of `count` hours.
RateHours rate_hours(RateSlots& day, RateSlots& night, const RateTerms& terms, Eigen::Index count);

/// What a surface is like in one half, and its rates at either depth, made when first asked for.
class SurfaceSlots {
public:
    /// @param site  Stays alive.  @param light  Of the plane by day; null at night.
    SurfaceSlots(const SiteSlots& site, std::shared_ptr<PlaneLight> light, const Plane& plane, double absorptance, double emittance,
                 const CoverFactors& cover);

    /// [degC]
    const AlignedColumn& temperature() const { return temperatures_.surface; }
    RateSlots& at(Depth depth);

private:
    const SiteSlots* site_;
    std::shared_ptr<PlaneLight> light_;
    double share_;  ///< of the light that comes through the cover
    SlotTemperatures temperatures_;
    std::optional<RateSlots> exposed_, sheltered_;
};

}  // namespace libseal::detail
