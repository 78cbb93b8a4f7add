#pragma once
// Forecasts of very many layers as columns of numbers, without coaches: for data frames, sweeps and whole markets.

#include <limits>
#include <memory>
#include <string>
#include <vector>

#include "libseal/ageing/session.hpp"
#include "libseal/climate/station.hpp"
#include "libseal/core/columns.hpp"
#include "libseal/core/progress.hpp"
#include "libseal/forecast/forecast.hpp"

namespace libseal {

/// Where a layer stands, how its surface takes the sun and what it is: layers alike in all of it age alike.
struct LayerKey {
    int station = 0;             ///< index into `LayerColumns::stations`
    double tilt = 0;             ///< of the surface [deg], 0 (up) to 180
    double azimuth = std::numeric_limits<double>::quiet_NaN();  ///< of its normal [deg from north over east]; NaN: any heading
    double absorptance = 0.35;   ///< solar [-], 0 to 1
    double emittance = 0.9;      ///< [-], 0 to 1
    std::string cover = "open";  ///< open, carport, covered or indoors
    std::string family = "self_levelling_lap";  ///< of sealant
    std::string layer = "cap_bead";        ///< kind of layer
};

using IndexColumn = Eigen::Array<std::int32_t, Eigen::Dynamic, 1>;

/// Layers as columns of equal length, with looks as columns of their own.
struct LayerColumns {
    std::vector<Station> stations;  ///< whose typical years hold
    std::vector<LayerKey> keys;     ///< may repeat; each distinct one is worked out once, if rows have it
    IndexColumn key;                ///< of each layer, index into `keys`
    DateColumn installed;           ///< days since 1970-01-01, at most `as_of`
    Column movement_factor;         ///< ageing against that of the usual movement [-], > 0; empty: 1
    Column length;                  ///< of the joint [m], >= 0, for workmanship defects; empty: none are thought of
    IndexColumn look_row;           ///< layer that a look was at, rising
    DateColumn look_date;           ///< days since 1970-01-01, rising within a layer, at most `as_of`
    IndexColumn look_grade;         ///< condition grade seen [-], 0 to 5
    IndexColumn look_measured;      ///< 1 if the look measured; empty: none did
};

/// Optional inputs of `forecast_layers`; the names are the keywords in Python.
struct LayerOptions {
    Catalogue catalogue = Catalogue::built_in();
    std::shared_ptr<Session> session;  ///< keeps clocks for later calls; null: nothing is kept
    std::uint64_t seed = 0;            ///< of the typical years
    int threads = 0;                   ///< 0: one per processor; no result depends on it
    Watch watch;
};

/// One row a layer; the columns mean what they mean in `Forecast`.
struct LayerForecast {
    Date as_of{};
    Column age;            ///< [yr]
    Column effective_age;  ///< [yr]
    Column condition;      ///< expected grade [-], within 1e-4 of that of `forecast`
    Column due_now;        ///< [-]
    Column due_90_days;    ///< [-]
    Column due_1_year;     ///< [-]
    Column due_2_years;    ///< [-]
    Column due_5_years;    ///< [-]
    DateColumn due_10;
    DateColumn due_50;
    DateColumn due_90;

    Eigen::Index size() const { return age.size(); }
};

/// Forecasts each layer on its own: its ageing, its looks, the spread of lives and shared effects of its catalogue.
///
/// What `forecast` gives for a coach with this one layer. What joints of one coach, line or family teach each other, and a
/// bedding that a failed cap exposes, need coaches: `forecast`. Give rows in parts of about a million to bound memory: with a
/// session and the same keys the parts share their clocks. A station of which a clock is missing then has all its keys worked
/// out, also those that no row of the part has.
///
/// @return  Same bits for any number of threads and for rows in any parts.
/// @throws ValueError  naming column and row.
/// @source  Equations: docs/ageing.md. Mark: as `forecast`.
/// @threads pure; releases the interpreter in Python.
LayerForecast forecast_layers(const LayerColumns& layers, Date as_of, const LayerOptions& options = {});

}  // namespace libseal
