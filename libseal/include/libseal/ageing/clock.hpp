#pragma once
// Effective age: how fast light, heat and moisture age a family in one place, against the reference year.

#include <array>
#include <cstdint>
#include <vector>

#include "libseal/catalogue/sealant.hpp"
#include "libseal/exposure/exposure.hpp"

namespace libseal {

/// The three parts of a rate or of an age. At the reference they are the family's weights.
struct ClockTerms {
    double light = 0;     ///< [yr/yr] of a rate, [effective yr] of an age
    double heat = 0;      ///< [yr/yr] of a rate, [effective yr] of an age
    double moisture = 0;  ///< [yr/yr] of a rate, [effective yr] of an age
    /// Sum of the three, in their unit: [yr/yr] of a rate, [effective yr] of an age.
    double total() const { return light + heat + moisture; }
    friend ClockTerms operator+(const ClockTerms& a, const ClockTerms& b) {
        return {a.light + b.light, a.heat + b.heat, a.moisture + b.moisture};
    }
    friend ClockTerms operator-(const ClockTerms& a, const ClockTerms& b) {
        return {a.light - b.light, a.heat - b.heat, a.moisture - b.moisture};
    }
    friend ClockTerms operator*(double factor, const ClockTerms& a) {
        return {factor * a.light, factor * a.heat, factor * a.moisture};
    }
};

/// Which temperature, humidity and light a layer gets from its surface.
enum class Depth {
    exposed,   ///< at the surface: beads, tapes, inserts
    sheltered  ///< under a cap or flange: half-way between surface and air, no light
};

/// Rates of single days of real, dated weather: one entry a day from the first known day to the last.
struct DatedDays {
    Date first{};
    std::vector<ClockTerms> rate;      ///< mean rate of the day [yr/yr]
    std::vector<std::uint8_t> known;   ///< 1 where at least 22 of the day's 24 hours are known; as long as `rate`
    /// Day after the last entry.
    Date end() const { return first + static_cast<int>(rate.size()); }
    /// Rate of a day; null where the typical month stands for it.
    const ClockTerms* rate_on(Date day) const {
        if (day < first || !(day < end())) return nullptr;
        const auto i = static_cast<std::size_t>(day - first);
        return known[i] ? &rate[i] : nullptr;
    }
};

/// Ageing rate through the year. A rate of 1 is the ageing at the reference.
struct ClockYear {
    std::array<ClockTerms, 12> month{};  ///< mean rate of each calendar month [yr/yr]
    DatedDays dated;                     ///< days that are known better than their month
};

/// Raw means of the three terms, not yet against a reference: by calendar month, and by day where the weather is dated.
///
/// Days are days of the site's standard time.
/// light = UV^p A(E_uv, T), heat = A(E_th, T), moisture = (RH/50)^n A(E_hy, T), A(E, T) = exp((E/R)(1/296.15 - 1/T))
///
/// @throws ValueError  if a calendar month has no hour with known values.
/// @source  Form: Meeker, Escobar & Chan 2009; Duan et al. 2015 (cumulative damage). Values: catalogue.
ClockYear raw_clock(const Weather& weather, const SurfaceHours& hours, const Sealant& family, Depth depth);

/// Mean over the year, months weighted by their days.
ClockTerms year_mean(const ClockYear& year);

/// The raw clock divided by the reference means and weighted, so that the reference year ages by one year.
ClockYear scaled_clock(const ClockYear& raw, const ClockTerms& reference, const Sealant& family);

/// Where the reference stands: the weather of the reference station and its finish.
struct ClockReference {
    Weather weather;
    SiteHours site;
    double absorptance = 0.35;  ///< [-]
    double emittance = 0.9;     ///< [-]
};
/// Typical year of the catalogue's reference station.
ClockReference clock_reference(const Catalogue& catalogue);

/// Raw means at the reference on the home surface of a family (roof, or mean of four walls).
ClockTerms reference_terms(const ClockReference& reference, const Sealant& family, Depth depth);

}  // namespace libseal
