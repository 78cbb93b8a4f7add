#pragma once
// How each law of wear reads the hours of a surface.

#include <optional>
#include <string>

#include "ageing/clock_hours.hpp"
#include "libseal/ageing/evaluate.hpp"
#include "libseal/ageing/rates.hpp"

namespace libseal::detail {

/// What a family under a law needs to run: its rates, and what they are divided by.
struct LawClock {
    Sealant family;               ///< with the weights, energies and exponents of the law
    ClockTerms reference;         ///< rates that count as 1
    std::optional<WlfLaw> wlf;    ///< of flow, which has no single energy
    /// Terms of no weight are 0.
    RateHours rates(const RateInputs& inputs) const;
};

/// @param home  For laws that are stated against the reference station.
/// @throws ValueError  if the family has no such law.
LawClock law_clock(const Catalogue& catalogue, const std::string& family, Law law, const ClockReference& home);

}  // namespace libseal::detail
