#pragma once
// How each law of wear reads the hours of a surface.

#include <map>
#include <mutex>
#include <string>
#include <utility>

#include "ageing/rate_slots.hpp"
#include "libseal/ageing/evaluate.hpp"
#include "libseal/ageing/rates.hpp"

namespace libseal::detail {

/// What a family under a law needs to run: its rates, and what they are divided by.
struct LawClock {
    Sealant family;               ///< with the weights, energies and exponents of the law
    ClockTerms reference;         ///< rates that count as 1
    RateTerms terms;              ///< those of no weight are none
};

/// The surfaces on which lives are stated, made ready once for all families. @threads  safe.
class HomeSurfaces {
public:
    explicit HomeSurfaces(const ClockReference& reference);
    /// Raw means of a year on the home surface of a family (roof, or mean of four walls).
    ClockTerms means(const std::string& home, const RateTerms& terms, Depth depth);

private:
    struct Surface {
        SurfaceSlots day, night;
    };
    ClockTerms means_on(const Plane& plane, const RateTerms& terms, Depth depth);

    double absorptance_, emittance_;
    SiteHalves site_;
    std::mutex lock_;
    std::map<std::pair<double, double>, Surface> surfaces_;  ///< by tilt and azimuth
};

/// The law that a family runs on where this one is asked for: a gasket of a product that has no set on record ages as at its surface.
Law law_of_family(const Catalogue& catalogue, const std::string& family, Law law);

/// Rates that count as 1 under a law of the family. @param stands_on  "roof" or "walls", for laws that are stated against the reference station.
ClockTerms law_reference(const Catalogue& catalogue, const std::string& stands_on, Law law, const RateTerms& terms, HomeSurfaces& home);

/// @param home  For laws that are stated against the reference station.
/// @throws ValueError  if the family has no such law.
LawClock law_clock(const Catalogue& catalogue, const std::string& family, Law law, HomeSurfaces& home);

}  // namespace libseal::detail
