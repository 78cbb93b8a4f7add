#pragma once
// The hours of one layer, summed for any exponent, energy and finish: what the series of a sweep stand for.

#include <array>
#include <compare>
#include <map>
#include <memory>
#include <vector>

#include "ageing/law_clock.hpp"
#include "ageing/site_weather.hpp"
#include "libseal/ageing/rate_sweep.hpp"

namespace libseal::detail {

/// How a surface takes light and gives off heat.
struct SweptFinish {
    double absorptance = 0, emittance = 0;
    auto operator<=>(const SweptFinish&) const = default;
};

/// Place, plane and law. @threads  Read it from many; each makes surfaces of its own.
class SweptLayer {
public:
    /// @throws ValueError  as `rate_sweep`, naming the option.
    static std::shared_ptr<const SweptLayer> at(const Station& station, const RateSweepOptions& options);
    static std::shared_ptr<const SweptLayer> at(const Weather& weather, const RateSweepOptions& options);

    const SiteHalves& site() const { return part_->slots; }
    const std::shared_ptr<PlaneLight>& light() const { return light_; }
    const RateSweepOptions& options() const { return options_; }
    const Plane& plane() const { return plane_; }
    const CoverFactors& cover() const { return cover_; }
    const Sealant& family() const { return law_->family; }
    const RateTerms& terms() const { return law_->terms; }
    SweptFinish finish() const { return {options_.absorptance, options_.emittance}; }

    /// Rate of a term that counts as 1. Takes a lock where it is a mean of the reference year.
    double reference(const RateTerm& term) const;

private:
    SweptLayer(std::shared_ptr<const WeatherPart> part, const RateSweepOptions& options, const std::shared_ptr<Session>& session);
    /// The session of the options, or a new one.
    static std::shared_ptr<Session> session_of(const RateSweepOptions& options);

    std::shared_ptr<const WeatherPart> part_;
    RateSweepOptions options_;
    Plane plane_;
    CoverFactors cover_;
    std::shared_ptr<PlaneLight> light_;
    std::shared_ptr<const LawClock> law_;
    std::shared_ptr<HomeSurfaces> home_;
};

/// Hours whose surface is as cold as the dew point for some finishes of a range and warmer for others.
struct WetHours {
    struct Hour {
        std::size_t slot = 0;
        bool day = false;
    };
    std::array<std::vector<Hour>, 12> month;
    AlignedColumn day_dry, night_dry;  ///< weights of all slots, 0 of these hours
    std::size_t most = 0;              ///< of one month
};

/// What a wet hour feels at one finish: powers of its moisture are exponent min(x, cap) + energy q.
struct WetFeel {
    double q = 0, x = 0, cap = 0;
};

/// Surfaces of a layer, made when first asked for. One thread.
class SweptSurfaces {
public:
    /// @param layer  Stays alive.
    explicit SweptSurfaces(const SweptLayer& layer) : layer_(&layer) {}

    /// Finds the wet hours between the finishes at the corners of a range; from then on `dry_means` leaves them out.
    void leave_out_wet(const std::vector<SweptFinish>& corners);
    const WetHours& wet() const { return wet_; }
    WetFeel feel(const WetHours::Hour& hour, const SweptFinish& finish);

    /// Known hours of each month. @throws ValueError  if a month has none.
    MonthSums hours();
    /// Means of a term over the known hours of each month.
    MonthSums means(const RateTerm& term, const SweptFinish& finish) { return means_of(term, finish, false); }
    /// Sums over the dry ones of them, by the number of all.
    MonthSums dry_means(const RateTerm& term, const SweptFinish& finish) { return means_of(term, finish, wet_.most > 0); }

private:
    /// One half at one finish.
    struct Half {
        SlotTemperatures temperatures;
        const double* air = nullptr;   ///< that a sheltered layer feels beside the surface; null: exposed
        std::unique_ptr<RateSlots> all, dry;
    };
    Half& day(const SweptFinish& finish);
    Half& night(double emittance);
    Half made(const SiteSlots& site, PlaneLight* light, const SweptFinish& finish, const AlignedColumn& dry) const;
    MonthSums means_of(const RateTerm& term, const SweptFinish& finish, bool dry);

    const SweptLayer* layer_;
    WetHours wet_;
    std::map<SweptFinish, Half> days_;
    std::map<double, Half> nights_;
};

}  // namespace libseal::detail
