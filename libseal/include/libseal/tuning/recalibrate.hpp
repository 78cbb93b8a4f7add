#pragma once
// What inspections say of the catalogue: lives of families, model lines and coaches, and an overlay that a person approves.

#include <cstdint>
#include <limits>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "libseal/ageing/session.hpp"
#include "libseal/climate/place_weather.hpp"
#include "libseal/coach/coach.hpp"
#include "libseal/core/columns.hpp"
#include "libseal/core/progress.hpp"
#include "libseal/survey/finding.hpp"

namespace libseal {

/// Optional inputs of `recalibrate`; the names are the keywords in Python.
struct RecalibrationOptions {
    std::vector<WorkDone> work_done;              ///< each renewal ends a generation of its layer and starts the next
    std::map<std::string, PlaceWeather> weather;  ///< own weather by place name of the stays; "" for all places
    Catalogue catalogue = Catalogue::built_in();  ///< whose lives are tried
    std::map<std::string, double> look_noise;     ///< sd of a look by inspector [grades], 0.1 to 2; others: the catalogue's
    /// Sd of ln(life of a family) before anything is seen [-], 0 to 2. NaN: that which makes the family's range in the catalogue
    /// hold 95 %, ln(high / low) / 4.
    double prior_sd = std::numeric_limits<double>::quiet_NaN();
    int least_layers = 30;      ///< layers with looks that a family needs, >= 1
    int least_coaches = 5;      ///< coaches that they are on, >= 1
    int least_due = 5;          ///< of them found due, >= 0: sound looks alone only say that lives are not shorter
    double largest_sd = 0.15;   ///< sd of ln(life) that is certain enough for a catalogue [-], > 0
    std::shared_ptr<Session> session;  ///< keeps what is worked out for later calls; null: nothing is kept
    std::uint64_t seed = 0;     ///< of the typical years
    int threads = 0;            ///< 0: one per processor; no result depends on it
    Watch watch;
};

/// Lives of families, one row each, by name. Lives are medians until grade 3 by the family's own clock, as `median_life` of the catalogue.
struct FamilyLives {
    std::vector<std::string> family;
    Column old_life;                    ///< of the catalogue [effective yr]
    Column life;                        ///< with what was seen: median of the belief [effective yr]
    Column life_low;                    ///< 95 % lie between [effective yr]
    Column life_high;                   ///< [effective yr]
    Column prior_sd;                    ///< of ln(life) before [-]
    Column log_sd;                      ///< of ln(life) with what was seen [-]
    std::vector<int> layers;            ///< generations of layers with looks
    std::vector<int> coaches;           ///< that they are on
    std::vector<int> due;               ///< layers that were found due
    std::vector<std::string> first_look;  ///< day of the first look, as "2019-05-02"
    std::vector<std::string> last_look;
    Column years_before;                ///< from fitting to due in the calendar, half of them, where these coaches stand: with the old life [yr]
    Column years_after;                 ///< with the new one [yr]
    std::vector<std::string> verdict;   ///< "enough", or what is missing for the catalogue

    Eigen::Index size() const { return life.size(); }
};

/// Lives of a family on a model line or on one coach, one row each. Workmanship shows here: a coach whose layers all age fast.
struct GroupLives {
    std::vector<std::string> family;
    std::vector<std::string> model_line;
    std::vector<std::string> coach;     ///< "" in rows of model lines
    std::vector<int> layers;            ///< with looks
    Column life;                        ///< median of the belief [effective yr]
    Column life_low;                    ///< 95 % lie between [effective yr]
    Column life_high;                   ///< [effective yr]
    Column ratio;                       ///< over the life one step up: of the family for a line, of the line for a coach [-]

    Eigen::Index size() const { return life.size(); }
};

/// How far lives differ between lines, coaches and joints: sd of parts of ln(phi), as the catalogue has them and as the fleet shows them.
struct EffectSpreads {
    double model_line_old = 0;  ///< [-]
    double coach_old = 0;       ///< [-]
    double joint_old = 0;       ///< [-]
    double model_line = 0;      ///< most likely for the fleet, between 0 and 0.5 [-]
    double coach = 0;           ///< [-]
    double joint = 0;           ///< [-]
    double gain = 0;            ///< ln of how much more likely the findings are with them than with the old ones [-], >= 0
};

/// A catalogue held against a fleet's inspections.
struct Recalibration {
    FamilyLives families;
    GroupLives model_lines;
    GroupLives coaches;
    EffectSpreads spreads;
    Catalogue catalogue;        ///< that was tried
};

/// Estimates lives by the shared effects of the forecast, each layer for its own family.
///
/// ln(phi) = family + model line + coach + joint as in the forecast, with a wider prior of the family: its life is what is asked. A
/// layer's looks are weighed as the forecast weighs them (noise, overlooked and workmanship defects, strays, unknown fitting); layers of a
/// family in one joint share its effect. The look of a bead's surface does not count. Spreads are empirical Bayes: they make the normal
/// messages of the joints most likely; they are reported, and the lives stand with those of the catalogue.
///
/// @param findings  Not after `as_of`; later ones are the business of `back_test`.
/// @throws ValueError  as `forecast`, and naming the option.
/// @source  Minka 2001 (expectation propagation); Robbins 1956 (empirical Bayes).
/// @threads pure.
Recalibration recalibrate(const Fleet& fleet, const std::vector<Finding>& findings, Date as_of, const RecalibrationOptions& options = {});

/// The recalibration for a person to judge: per family the old and the new life, its interval, what it rests on and what it does to
/// a typical due date; then what lines and coaches stand out, and the spreads.
std::string recalibration_text(const Recalibration& recalibration);

/// The same as JSON (docs/schemas/recalibration.json), with every row of families, lines and coaches; null for what has no end.
std::string recalibration_json(const Recalibration& recalibration);

/// An overlay of the catalogue (schema `libseal/catalogue/1`) with the new lives: value, 95 % as range, mark `fitted`, and as source
/// what they rest on and who approved.
///
/// @param approved  Families that are taken over. A person names them after reading `recalibration_text`.
/// @param by        Who approved, not empty.
/// @throws ValueError  a family that was not seen or is not "enough", with the reason; nothing approved; nobody.
std::string fitted_overlay(const Recalibration& recalibration, const std::vector<std::string>& approved, const std::string& by);

}  // namespace libseal
