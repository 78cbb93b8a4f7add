#pragma once
// When does each layer of each joint come due, and how sure is that?

#include <cstdint>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "libseal/ageing/session.hpp"
#include "libseal/climate/place_weather.hpp"
#include "libseal/coach/coach.hpp"
#include "libseal/core/columns.hpp"
#include "libseal/core/error.hpp"
#include "libseal/core/progress.hpp"
#include "libseal/forecast/curves.hpp"
#include "libseal/survey/finding.hpp"

namespace libseal {

namespace detail {
struct ForecastBasis;
}
class SharedEffects;

using DateColumn = Eigen::Array<std::int32_t, Eigen::Dynamic, 1>;  ///< days since 1970-01-01

/// Optional inputs of `forecast`; the names are the keywords in Python.
struct ForecastOptions {
    std::vector<Finding> findings;            ///< looks at the joints; later ones than `as_of` are errors
    std::vector<WorkDone> work_done;          ///< each starts a new generation of its layer
    std::map<std::string, PlaceWeather> weather;  ///< own weather by place name of the stays; "" for all places
    Catalogue catalogue = Catalogue::built_in();
    std::map<std::string, double> look_noise; ///< sd of a look by inspector [grades], 0.1 to 2; others: the catalogue's
    std::shared_ptr<const SharedEffects> shared;  ///< what a fleet has taught; null: learnt from these findings alone
    int warranty_days = 0;                    ///< longest time between looks that a warranty allows [d]; 0: none
    std::shared_ptr<Session> session;         ///< keeps what is worked out for later calls; null: nothing is kept
    std::uint64_t seed = 0;                   ///< of the typical years
    int threads = 0;                          ///< 0: one per processor; no result depends on it
    Watch watch;
};

/// Forecast of all layers as columns, one row a layer, in order of coach, joint and layer as given.
///
/// A layer is due when it first reaches condition grade 3 (local defects, no path yet).
/// Dates beyond the span asked for are real extrapolations of the same climate, never cut.
struct Forecast {
    Date as_of{};
    double years = 0;                ///< span asked for [yr]
    std::vector<std::string> coach;
    std::vector<std::string> joint;
    std::vector<std::string> layer;
    std::vector<std::string> family;
    Column age;                      ///< calendar age at as_of, middle of the installation interval [yr]
    Column effective_age;            ///< years at the reference that the layer has aged by as_of [yr]
    Column condition;                ///< expected condition grade at as_of [-], 0 to 5
    DateColumn due_10;               ///< day by which 10 % are due
    DateColumn due_50;
    DateColumn due_90;
    DateColumn inspect_by;           ///< next look: due_10 or the inspection interval, whichever is first
    Column due_now;                  ///< probability of being due by as_of [-]
    Column due_90_days;              ///< ... within 90 days of as_of [-]
    Column due_1_year;               ///< [-]
    Column due_2_years;              ///< [-]
    Column due_5_years;              ///< [-]
    Column open_now;                 ///< probability that water has a way into the joint at as_of [-], equal on its layers
    Column open_1_year;              ///< ... within a year [-]
    Column appearance;               ///< expected grade of the appearance [-], 0 to 2, of the outermost layer; else NaN
    Column share_light;              ///< part of what makes the layer due by due_50 [-]; the six shares sum to 1
    Column share_heat;               ///< [-]
    Column share_moisture;           ///< [-]
    Column share_movement;           ///< beyond the usual movement of such a joint [-]
    Column share_workmanship;        ///< chance that a workmanship defect is first [-]
    Column share_shared;             ///< family, model line, coach and joint ageing faster than usual [-]
    Column movement_factor;          ///< ageing against that of the usual movement, mean over time [-]
    Column shared_factor;            ///< exp of the mean of ln(phi): above 1 this joint ages faster than usual [-]
    Column utilisation;              ///< largest movement over the capability that is left at as_of [-]; NaN if none
    Column early_defect;             ///< probability of a workmanship defect not yet seen [-]: "check workmanship"
    std::vector<int> generation;     ///< of the layer that stands
    std::vector<std::string> flag;   ///< "" or what makes the row doubtful, in words
    std::vector<Problem> warnings;   ///< what is doubtful about the inputs although it could be used, with its place
    std::shared_ptr<const detail::ForecastBasis> basis;  ///< what later questions rest on; shared, never changed

    Eigen::Index size() const { return age.size(); }
    /// Row of a layer, -1 if there is none.
    Eigen::Index row(const std::string& coach_id, const std::string& joint_id, const std::string& layer_kind) const;
    /// Rows of a coach, in order.
    std::vector<Eigen::Index> rows_of(const std::string& coach_id) const;
    /// Curves over the years asked for, computed now. @param rows  Empty: all layers.
    /// @throws ValueError  for a row that is not there.
    ForecastCurves monthly(const std::vector<Eigen::Index>& rows) const;
    /// Laws of ageing on the day of the forecast, one value a row. @param rows  Empty: all layers.
    LayerStates states(const std::vector<Eigen::Index>& rows) const;
    /// Belief behind a row. @throws ValueError  for a row that is not there.
    LayerPosterior posterior(Eigen::Index row_number) const;
    /// Beliefs of all rows as JSON, schema libseal/posteriors/1: quantiles, mean and sd of the logarithm of life.
    std::string posteriors_json() const;
    /// What the looks of this fleet teach about families, model lines and coaches.
    const SharedEffects& shared_effects() const;
};

/// Ages, looks and forecasts every layer of a fleet.
///
/// @param fleet  Coaches with stays that cover the life of their layers (before the first stay the first one is taken).
/// @param as_of  Day of the forecast, at most 9899-12-31.
/// @param years  Span of interest [yr], > 0, at most 50.
/// @return       One row a layer; same bits for any number of threads. Without joints it has no rows.
/// @throws ValueError  naming coach, joint and field.
/// @source  Equations: docs/ageing.md. Lives and weights: catalogue, mostly judgement inside published ranges.
/// @threads pure.
Forecast forecast(const Fleet& fleet, Date as_of, double years, const ForecastOptions& options = {});
Forecast forecast(const Coach& coach, Date as_of, double years, const ForecastOptions& options = {});

}  // namespace libseal
