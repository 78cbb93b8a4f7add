// The building preset against surveys of building joints, and the known reasons for what is not met.

#include <algorithm>
#include <cmath>

#include "forecast/calibration_parts.hpp"
#include "libseal/core/text.hpp"
#include "libseal/forecast/belief.hpp"

namespace libseal::detail {
namespace {

constexpr const char* rule = "building_survey";

/// Middle of the year of age with the least failures in it, workmanship defects of a joint of 10 m included.
double quietest_year(const Catalogue& catalogue, double median) {
    const LifeSpread spread = life_spread(catalogue);
    const double defects = 1 - std::exp(-spread.early_defects_per_m * 10);
    const auto sound = [&](double t) {
        return (1 - defects * -std::expm1(-t / spread.early_time)) * (1 - marginal_due(catalogue, median, t));
    };
    double best = 0, least = 1;
    for (double t = 0; t < 20; t += 0.25) {
        const double rate = 1 - sound(t + 1) / sound(t);
        if (rate >= least) continue;
        least = rate;
        best = t + 0.5;
    }
    return best;
}

struct Miss {
    const char* rule;
    const char* subject;  ///< words that must stand in the subject; "" any
    const char* place;    ///< and these
    const char* reason;
};

const char* const low_sun = "the sun stays low: a wall faces it, the roof does not";
const char* const damp =
    "bond loss by damp leads in silicone, light and dry heat count little: a damp warm place ages it faster than a desert";
const char* const little_light = "light counts little in silicone, so roof and wall age it nearly alike where the sun is weak";
const char* const no_light =
    "its light term is gone under a cover, and what heat and moisture leave is slow where the air is cool or dry; "
    "no stored bead has been followed long enough to say otherwise";
const char* const families =
    "the survey does not say which families it saw; equal shares with a long-lived silicone fail later than it found, "
    "the joint of unknown family carries the survey instead";

const std::vector<Miss> misses = {
    {"place_order", "silicone", "Phoenix", damp},
    {"ultraviolet_roof_to_south_wall", "", "Fairbanks",
     "beyond 50 degrees of latitude the check does not apply: the low sun shines on the wall"},
    {"ultraviolet_roof_to_south_wall", "", "Golden",
     "the published ratio is of erythemal, this is of all ultraviolet, whose longer waves come more "
     "from the low sun that a south wall faces; clear winters"},
    {"ultraviolet_roof_to_south_wall", "", "Minneapolis",
     "the published ratio is of erythemal, this is of all ultraviolet, whose longer waves come "
     "more from the low sun that a south wall faces; farther north than the published site"},
    {"clock_roof_to_south_wall", "silicone", "", little_light},
    {"clock_roof_to_south_wall", "", "Fairbanks", low_sun},
    {"cover_lengthens", "polyurethane", "", no_light},
    {"cover_lengthens", "polysulfide", "", no_light},
    {"silicone_lasts_longest", "", "covered",
     "under a cover the other beads lose light, their first cause, and silicone does not lose damp, its first cause; "
     "the rule is meant for the open"},
    {"corner_goes_first", "front_cap_to_roof", "ageing",
     "screws hold the strip: its strain is below the 2 % from which the tests reach, so side and corner age alike"},
    {rule, "25 years", "", "by then most joints have failed once and been sealed again; the finding is of houses as they stand"},
    {rule, "equal shares", "", families},
};

}  // namespace

std::string known_miss(const std::string& of_rule, const std::string& subject) {
    const auto holds = [&](const char* words) { return subject.find(words) != std::string::npos; };
    const auto found = std::find_if(misses.begin(), misses.end(), [&](const Miss& miss) {
        return of_rule == miss.rule && holds(miss.subject) && holds(miss.place);
    });
    return found == misses.end() ? "" : found->reason;
}

void add_survey_checks(CheckRows& rows) {
    const Catalogue building = Catalogue::preset("building");
    const double median = building.number("sealant/unknown/median_life");
    const auto failed = [&](double t) { return marginal_due(building, median, t); };
    rows.add(building, rule, "joint of unknown family, failed within 10 years", failed(10), "calibration/survey_failed_10");
    rows.add(building, rule, "joint of unknown family, failed within 20 years", failed(20), "calibration/survey_failed_20");
    rows.add(building, rule, "joint of unknown family, half failed", median, "calibration/survey_half_failed");
    rows.add(building, rule, "year with the least failures, joint of 10 m with workmanship defects",
             quietest_year(building, median), "calibration/survey_quietest_year");
    // Torn or missing is grade 5: the worn share that this grade starts at stretches the time.
    const double open_share = building.number("model/cut_grade_5");
    rows.add(building, rule, "share of joints open or missing at 10 years, never resealed", failed(10 / open_share),
             "calibration/survey_houses_open");
    rows.add(building, rule, "share of joints open or missing at 25 years, never resealed", failed(25 / open_share),
             "calibration/survey_houses_open");
    double ten = 0, twenty = 0;
    const std::vector<std::string> mixture = {"neutral_cure_silicone", "polyurethane", "silyl_modified", "polysulfide"};
    for (const auto& family : mixture) {
        const double life = building.number("sealant/" + family + "/median_life");
        ten += marginal_due(building, life, 10) / static_cast<double>(mixture.size());
        twenty += marginal_due(building, life, 20) / static_cast<double>(mixture.size());
    }
    rows.add(building, rule, "equal shares of silicone, polyurethane, silyl-modified, polysulfide, failed within 10 years", ten,
             "calibration/survey_failed_10");
    rows.add(building, rule, "equal shares of silicone, polyurethane, silyl-modified, polysulfide, failed within 20 years",
             twenty, "calibration/survey_failed_20");
}

}  // namespace libseal::detail
