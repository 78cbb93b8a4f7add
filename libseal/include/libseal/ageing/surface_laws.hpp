#pragma once
// What the weather does to the face of a bead: cracks, and how its colour is put in one number.

#include <string>

#include "libseal/catalogue/catalogue.hpp"
#include "libseal/core/columns.hpp"

namespace libseal {

/// Crack rating = site * a t^b (1 + c e^d), t in years, e the movement amplitude in percent of the joint width.
///
/// @source  Enomoto, Ito & Tanaka, ASTM STP 1514 (2010), eight commercial products on sites in Japan, one per chemistry;
///          a few years of exposure, amplitudes to 30 %. Units are inferred, not printed. Mark: published.
struct CrackLaw {
    double a = 0;              ///< [1/yr^b], >= 0; 0: never cracks
    double b = 1;              ///< [-], > 0
    double c = 0;              ///< [1/%^d], >= 0
    double d = 1;              ///< [-], > 0
    bool site_matters = false; ///< the site was seen to matter for one-part polyurethane alone
};

/// The law of a published product ("one_part_polyurethane") or of a sealant family, which names the product that stands
/// for it in "sealant/FAMILY/crack_law"; a family with "none" there has a = 0.
/// @throws ValueError  unknown name, with the nearest one.
CrackLaw crack_law(const Catalogue& catalogue, const std::string& name);
/// Published products with a crack law, in order of the catalogue.
std::vector<std::string> crack_law_names(const Catalogue& catalogue);

/// How much faster a moving bead cracks than a still one: 1 + c e^d. [-], >= 1
/// @param amplitude  [%], 0 to 100; the tests cover 2 to 30.
double crack_multiplier(const CrackLaw& law, double amplitude);

/// The published law as it stands. It has no upper end: use it for the few years that were tested.
/// @param age        [yr], >= 0
/// @param amplitude  [%], 0 to 100
/// @param site       Site against the central one. [-], > 0; without effect unless `law.site_matters`.
/// @return  [-], >= 0
double crack_rating_published(const CrackLaw& law, double age, double amplitude, double site = 1);

/// The same law with the end of the scale built in: 25 (1 - exp(-published/25)). Equal to it while small, never above 25.
/// It rates the surface and says nothing of leaks; a predicted 6 asks for a look, it schedules no work.
/// @param age  [yr], >= 0  @param amplitude  [%], 0 to 100  @param site  [-], > 0
/// @return  [-], 0 to 25, never falling with age or amplitude
/// @source  Saturating form: judgement of this project. Mark: judgement.
double crack_rating(const CrackLaw& law, double age, double amplitude, double site = 1);

/// Age at which `crack_rating` reaches `rating`: its inverse. [yr]; infinite for a law with a = 0.
/// @param rating  [-], 0 to below 25  @param amplitude  [%], 0 to 100  @param site  [-], > 0
double crack_age(const CrackLaw& law, double rating, double amplitude, double site = 1);

/// The law with its scale moved towards looks of one bead: ln a goes n/(n + 2) of the way to the mean of
/// ln(rating / (t^b (1 + c e^d))). Exponents stay: field data cannot tell them apart. A rating of 0 counts as half a step.
/// @param ages  [yr], > 0  @param amplitudes  [%]  @param ratings  [-], 0 to 25  @throws ValueError  lengths differ, or a = 0.
/// @source  Shrinkage weight n/(n + 2): judgement of this project. Mark: judgement.
CrackLaw crack_law_after_looks(const CrackLaw& law, ConstColumn ages, ConstColumn amplitudes, ConstColumn ratings);

/// Rating of a look: quantity times size, half steps allowed. [-], 0 to 25  @param quantity, size  [-], 0 to 5
/// @source  ISO 4628-1 and -4 scales, product as in Enomoto, Ito & Tanaka 2010. Mark: standard.
double crack_rating_of_look(double quantity, double size);

/// Yellowness index 100 (Cx X - Cz Z)/Y. [-], 0 for a perfect white
/// @param x,y,z  Tristimulus values on the scale Y = 100 for white. [-], >= 0, y > 0
/// @param observer  Light and eye for which it was measured: "c_2", "d65_2" or "d65_10" (angle in degrees).
/// @source  ASTM E313, coefficients of its table. Mark: standard.
double yellowness_index(double x, double y, double z, const std::string& observer = "d65_2");

}  // namespace libseal
