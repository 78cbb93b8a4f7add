#pragma once
// Weather that a step needs outdoors, hour by hour, and waits that the weather decides.

#include <limits>
#include <memory>
#include <string>
#include <vector>

#include "libseal/catalogue/catalogue.hpp"
#include "libseal/climate/weather.hpp"
#include "libseal/schedule/time.hpp"

namespace libseal {

/// What the weather must be. A limit that is not there is infinite, or 0 for hours.
struct Gate {
    double lowest_temperature = -std::numeric_limits<double>::infinity();  ///< of the air [degC]
    double highest_temperature = std::numeric_limits<double>::infinity();  ///< [degC]
    double dew_margin = -std::numeric_limits<double>::infinity();          ///< air temperature above the dew point, at least [K]
    double highest_humidity = std::numeric_limits<double>::infinity();     ///< [%]
    double highest_wind = std::numeric_limits<double>::infinity();         ///< [m/s] at station height
    double dry_before = -1;      ///< hours without rain up to now [h]; negative: rain does not matter
    double dry_after = 0;        ///< hours without rain from now on [h], if rain matters
    double no_dew_after = 0;     ///< hours from now on in which the air stays above its dew point [h]
    bool daylight = false;       ///< upper limb of the sun above the horizon
};

/// Names of Step.gate: "wash", "bond", "coat", "climb", "test".
const std::vector<std::string>& gate_names();

/// The gate of a step.
///
/// "bond" is for bedding and beads: the family's range of temperature, dry before and after, above the dew point now and for
/// the hours before dew would spoil it. "coat" adds the humidity of coatings. "climb" is work on a roof or
/// ladder: no rain, no ice, little wind, daylight. "wash" and "test" need water that does not freeze, and little wind.
/// @param family  sealant family for "bond" and "coat"; "" for the usual range.
/// @throws ValueError  unknown gate (nearest name).
/// @source  catalogue "gate/..." and "sealant/FAMILY/...", each value with its source.
Gate gate_for(const std::string& gate, const std::string& family, const Catalogue& catalogue);

/// Several weather series as one in the shop's local standard time: dated ones first, the first that covers an hour counts;
/// a typical year stands behind them for every year, its 28 February also for the 29th.
class GateWeather {
public:
    explicit GateWeather(const std::vector<Weather>& series);

    /// One interval.
    struct Hour {
        double temperature = 0;  ///< [degC]; NaN where the hour is known but for it: then it closes nothing
        double dew_point = 0;    ///< [degC]
        double humidity = 0;     ///< [%]
        double wind = 0;         ///< [m/s]
        double rain = 0;         ///< [mm]
        bool known = false;      ///< false where no series covers it: then every gate is open but for daylight
    };
    Hour at(Minute t) const;
    /// First minute after t at which the weather may change.
    Minute next_change(Minute t) const;
    bool empty() const { return series_.empty(); }
    /// Is the upper limb of the sun up at the first series' site? True without any.
    bool sun_is_up(Minute t) const;
    /// Stretches of daylight of a local day, in order; two where the sun sets after midnight and rises again, none in polar night.
    std::vector<TimeSpan> daylight_spans(Date day) const;
    /// First and last minute of daylight of a local day, `to` not counted; empty span in polar night.
    TimeSpan daylight(Date day) const;

private:
    struct Series;
    std::vector<std::shared_ptr<const Series>> series_;
};

/// May it go on at this minute? A roofed bay takes away rain, dew, humidity, wind and daylight, a heated one everything.
bool gate_open(const Gate& gate, const GateWeather& weather, const Bay& bay, Minute t);
/// All stretches of [begin, end) in which it may, in order, touching ones in one.
std::vector<TimeSpan> open_spans(const Gate& gate, const GateWeather& weather, const Bay& bay, Minute begin, Minute end);
/// What keeps it closed at this minute, in words with figures; "" if it is open.
std::string why_closed(const Gate& gate, const GateWeather& weather, const Bay& bay, Minute t);

/// Minutes of cure at the bay's temperature that one minute of this weather is worth: 1.75 times per 10 K, none below -12 degC. [min/min]
/// @param bay_temperature  [degC]
/// @source  catalogue "gate/cure_factor_per_10k", "gate/cure_stops_below".
double cure_rate_at(const GateWeather& weather, Minute t, double bay_temperature, const Catalogue& catalogue);

/// When has a bead cured that was finished at some time? A later finish is never ready earlier.
class CureClock {
public:
    /// @param bay  a heated one cures by the clock.  @param bay_temperature  [degC]
    CureClock(const GateWeather& weather, const Bay& bay, double bay_temperature, const Catalogue& catalogue, Minute from, Minute to);
    /// First minute by which `lag` minutes of cure at the bay's temperature have passed since `finish`. [min]
    /// @param lag  [min]
    Minute ready(Minute finish, double lag) const;

private:
    std::vector<Minute> at_;    ///< changes of the weather
    std::vector<double> done_;  ///< cure up to there
    std::vector<double> rate_;  ///< from there on
};

/// Opening hours as a clock.
class WorkingClock {
public:
    WorkingClock(const Shop& shop, Minute from, Minute to);
    /// First minute by which the shop has been open for `lag` minutes since `finish`; beyond its horizon by the day. [min]
    /// @param lag  [min]
    Minute ready(Minute finish, double lag) const;

private:
    std::vector<TimeSpan> open_;
    std::vector<Minute> before_;  ///< open minutes before each span
};

}  // namespace libseal
