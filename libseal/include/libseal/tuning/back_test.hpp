#pragma once
// Would the forecast have been right? Years that are known are forecast from the years before, with several catalogues side by side.

#include <cstdint>
#include <map>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "libseal/climate/place_weather.hpp"
#include "libseal/coach/coach.hpp"
#include "libseal/core/columns.hpp"
#include "libseal/core/progress.hpp"
#include "libseal/survey/finding.hpp"

namespace libseal {

/// Optional inputs of `back_test`; the names are the keywords in Python.
struct BackTestOptions {
    std::vector<WorkDone> work_done;              ///< what was done after `as_of` is not told to the forecast
    std::map<std::string, PlaceWeather> weather;  ///< own weather by place name of the stays; "" for all places
    /// With names; the first is the one that others are held against. Empty: the built-in one alone, as "built_in".
    std::vector<std::pair<std::string, Catalogue>> catalogues;
    std::map<std::string, double> look_noise;     ///< sd of a look by inspector [grades], 0.1 to 2; others: the catalogue's
    int bins = 10;              ///< of chances and of ranks, 2 to 100
    /// true: no layer hears of other joints, only of its own looks. Then the catalogue is tried; else much of what it has wrong is learnt by the
    /// forecast from the fleet's findings, and a long history leaves little between catalogues.
    bool each_alone = false;
    std::uint64_t seed = 0;     ///< of the typical years
    int threads = 0;            ///< 0: one per processor; no result depends on it
    Watch watch;
};

/// How well one catalogue forecast the looks. Smaller is better in both scores; scores and gains are NaN where there was no look.
struct CatalogueScore {
    std::string catalogue;
    double brier = 0;           ///< mean squared difference of the chance that a look finds the layer due and of what it found [-]
    double log_score = 0;       ///< mean of -ln(chance of the grade that was reported) [nat]
    double sharpness = 0;       ///< mean of p (1 - p), p the chance of found due [-]: what a calibrated forecast would have as Brier score
    double expected_due = 0;    ///< looks that find a layer due [looks]: sum of their chances
    double log_gain = 0;        ///< mean log score of the first catalogue less that of this one [nat]
    double log_gain_error = 0;  ///< its standard error, coaches being independent [nat]
    double brier_gain = 0;      ///< the same of the Brier score [-]
    double brier_gain_error = 0;  ///< [-]
    Column bin_chance;          ///< mean chance of found due in each bin of chances [-]; NaN for an empty one
    Column bin_share;           ///< share that was found due [-]; NaN for an empty bin
    std::vector<int> bin_looks; ///< looks in each bin
    Column ranks;               ///< share of the looks whose rank falls in each bin, all equal for a calibrated forecast [-]
};

/// Looks of a known span and what was said of them beforehand. One row a look at a layer, by coach, joint, layer and day.
struct BackTest {
    Date as_of{};
    Date until{};
    std::vector<std::string> coach;
    std::vector<std::string> joint;
    std::vector<std::string> layer;
    std::vector<std::string> family;
    std::vector<std::string> date;        ///< of the look
    std::vector<int> lowest;              ///< grade that was reported, from
    std::vector<int> highest;             ///< to
    std::vector<std::string> catalogues;  ///< names, in order of the columns
    Eigen::ArrayXXd chance_due;           ///< that the look finds the layer due (grade 3 and worse), one column a catalogue [-]
    Eigen::ArrayXXd chance_of_grade;      ///< of the grade that was reported, one column a catalogue [-]
    std::vector<CatalogueScore> scores;   ///< in the same order
    int passed_over = 0;                  ///< looks at layers after they were renewed in the span, or that were fitted after it began

    Eigen::Index size() const { return chance_due.rows(); }
};

/// Forecasts the looks in (as_of, until] from the findings and the work until `as_of`.
///
/// What is forecast is what a look reports: grade with noise, overlooked and workmanship defects, strays. Only what was looked at is
/// judged; a shop that looks where it expects faults is judged there. A catalogue that was fitted must not know the span: fit it as of
/// that day. What a look reported is read with the first catalogue; how far looks err is each one's own. Ranks: from the chance of a
/// better grade to that of a better or equal one, spread evenly between (non-randomised probability integral transform).
///
/// @param findings  Of all years, those after `until` are not used.
/// @throws ValueError  as `forecast`; `until` not after `as_of`; two catalogues of one name.
/// @source  Czado, Gneiting & Held 2009 (ranks of counts); Gneiting & Raftery 2007 (proper scores); Brier 1950.
/// @threads pure.
BackTest back_test(const Fleet& fleet, const std::vector<Finding>& findings, Date as_of, Date until, const BackTestOptions& options = {});

/// The scores for reading, catalogues side by side.
std::string back_test_text(const BackTest& test);

}  // namespace libseal
