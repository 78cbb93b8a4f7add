#pragma once
// Gaskets take a set, plasticised inserts shorten, bedding tape flows out from under its clamp.

#include <string>

#include "libseal/catalogue/catalogue.hpp"

namespace libseal {

/// Compression set of a gasket: CS = 1 - exp(-rate t^exponent), t at 25 degC (`equivalent_time` with `energy`).
///
/// @source  Form: three lives of EPDM at 25 degC by Xie, Chen & Zhang 2024 lie on it. Mark: see the catalogue.
struct SetLaw {
    double rate = 0;      ///< [1/yr^exponent], > 0
    double exponent = 1;  ///< [-], > 0
    double energy = 0;    ///< [kJ/mol]
};
/// "sealant/FAMILY/set_..." of a catalogue. @throws ValueError  family without such a law.
SetLaw set_law(const Catalogue& catalogue, const std::string& family);
/// Share of the compression that does not come back. [-], 0 to 1, never falling
/// @param time  At 25 degC. [yr], >= 0
double compression_set(const SetLaw& law, double time);
/// Time at 25 degC until a set is reached: undoes `compression_set`. [yr]  @param set  [-], 0 to below 1
double set_time(const SetLaw& law, double set);

/// Loss of plasticiser from an insert: share of length lost = final (1 - exp(-rate t)), t at 25 degC.
///
/// @source  First order, evaporation at the surface: thin PVC films at 95 to 160 degC. Final shrinkage 5 %: gasket maker's
///          practice figure. Mark: see the catalogue.
struct ShrinkLaw {
    double final_share = 0;  ///< [-], above 0 to below 1
    double rate = 0;         ///< [1/yr], > 0
    double energy = 0;       ///< [kJ/mol]
};
/// "sealant/FAMILY/shrink_..." of a catalogue. @throws ValueError  family without such a law.
ShrinkLaw shrink_law(const Catalogue& catalogue, const std::string& family);
/// Share of the length that is lost. [-], never falling, below `final_share`  @param time  At 25 degC. [yr], >= 0
double shrinkage(const ShrinkLaw& law, double time);
/// Gap that opens in all, at both ends together. [mm]  @param length  Of the insert when new. [mm], > 0
/// @param time  At 25 degC. [yr], >= 0
double shrinkage_gap(const ShrinkLaw& law, double length, double time);
/// Time at 25 degC until a share of the length is lost; infinite from `final_share` on. [yr]  @param share  [-], 0 to 1
double shrink_time(const ShrinkLaw& law, double share);
/// Time at 25 degC until the gap in all is `gap`. [yr]  @param gap  [mm], 0 to length  @param length  [mm], > 0
double shrink_gap_time(const ShrinkLaw& law, double length, double gap);

/// Squeezing of a tape between two flat parts under a constant clamp stress: the rate is proportional to stress and to the
/// cube of the thickness left, so 1 - share = (1 + 2 rate stress t)^(-1/2).
///
/// @source  Newtonian squeeze film in plane strain (from memory); behaves as a liquid over long times: Polymers 2024, 16, 22.
///          The rate is judgement of this project, for a 3 mm tape 25 mm wide. Mark: judgement.
struct SqueezeLaw {
    double rate = 0;  ///< share of the thickness per stress and time, for fresh tape at 25 degC. [1/(kPa yr)], > 0
};
/// "law/squeeze_rate" of a catalogue.
SqueezeLaw squeeze_law(const Catalogue& catalogue);
/// Share of the thickness that has been squeezed out. [-], 0 to below 1, never falling
/// @param stress  Mean clamp stress on the tape. [kPa], >= 0
/// @param time    Flow age at 25 degC: `wlf_equivalent_time`, or `equivalent_time` with about 70 kJ/mol. [yr], >= 0
double squeeze_out(const SqueezeLaw& law, double stress, double time);
/// Flow age until a share is squeezed out: undoes `squeeze_out`; infinite without stress. [yr]  @param share  [-], 0 to below 1
/// @param stress  [kPa], >= 0
double squeeze_time(const SqueezeLaw& law, double stress, double share);

}  // namespace libseal
