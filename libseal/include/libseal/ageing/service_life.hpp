#pragma once
// Life by factors, as standards and handbooks state it, and what the library says beside it.

#include "libseal/core/columns.hpp"

namespace libseal {

/// Reference life times all factors, plus added years.
/// @param reference_life  [yr], > 0
/// @param factors         [-], each > 0; usual 0.7 to 1.3 (workmanship, design, climate, exposure, care)
/// @param added_years     For example by a top coat. [yr]
/// @return  [yr]
/// @source  ISO 15686-8 form ESL = RSL A B C D E F G (from memory); Japanese formula for roofs and sealants the same with a
///          summand. Mark: standard.
double life_by_factors(double reference_life, ConstColumn factors, double added_years = 0);

/// Reference life with percentages that add up: life (1 + sum/100).
/// @param reference_life  [yr], > 0
/// @param adjustments  [%]; their sum above -100
/// @return  [yr]
/// @source  Facade material manual of Singapore. Mark: published. Not equal to multiplying (13.0 against 13.8 years).
double life_by_adjustments(double reference_life, ConstColumn adjustments);

/// Hours in a weathering chamber that do as much as a year outdoors: 8760 / acceleration. [h]
/// @param acceleration  Chamber against outdoors, by time. [-], > 0
/// @source  ASTM STP 1545 (2012), table 9: the factor differs two- to threefold between chemistries. Mark: published.
double chamber_hours_per_year(double acceleration);

/// Mean distance between defects. [m]; infinite without defects  @param length  [m], > 0  @param defects  [-], >= 0
/// @source  Definition: length over number.
double defect_spacing(double length, double defects);

/// Chance of at least one early defect on a length: 1 - exp(-q L). [-]
/// @param defects_per_m  [1/m], >= 0; good work 0.005, poor 0.04  @param length  [m], >= 0
/// @source  Defects at an even rate along the length (Poisson process).
double early_defect_share(double defects_per_m, double length);

/// Early failures of workmanship, then wear-out.
struct FailureLaw {
    double early_share = 0;   ///< share that carries an early defect. [-], 0 to 1
    double early_time = 1.5;  ///< [yr], > 0
    double scale = 1;         ///< characteristic effective life. [yr], > 0
    double shape = 1.9;       ///< [-], > 0
};
/// p = q (1 - e^{-t/early_time}) + (1 - q)(1 - exp(-(age factor/scale)^shape))
///
/// @param time    Since the work. [yr], >= 0
/// @param age     Effective age. [yr], >= 0
/// @param factor  Product of what hastens or delays. [-], > 0
/// @return  Probability that the segment has failed. [-], 0 to 1, never falling with time or age
/// @source  Bathtub of a Japanese government programme 1980-84 (early in years 1 to 3, wear-out from 7); shape: UK survey
///          1990. Mark: judgement, on published surveys.
double failure_probability(const FailureLaw& law, double time, double age, double factor = 1);

/// Characteristic life of a Weibull life with this median: median / (ln 2)^(1/shape). [yr]
/// @param median  [yr]  @param shape  [-]
/// @source  Weibull distribution, solved for its scale.
double scale_of_median(double median, double shape);

}  // namespace libseal
