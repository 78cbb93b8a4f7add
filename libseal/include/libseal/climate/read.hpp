#pragma once
// Weather files: EPW, TMY3 and a plain CSV with a header.

#include <string>
#include <string_view>

#include "libseal/climate/weather.hpp"

namespace libseal {

/// How the reader treats what the file leaves open.
struct ReadWeatherOptions {
    /// "report": gaps stay NaN and are listed. "interpolate": runs of up to `longest_fill` intervals are
    /// filled linearly (irradiance through the clearness of the neighbours, wind direction the short way
    /// around, rain never); longer ones stay NaN. "refuse": a gap is an error; a column that the file has not
    /// at all is none.
    std::string gaps = "report";
    int longest_fill = 6;  ///< [intervals]
    /// "auto", "local" (local standard time) or "utc": in what the hours of an EPW or TMY3 file are. auto:
    /// local, except files of a known source that counts in UTC whatever its header says; a note tells.
    std::string hours = "auto";
};

/// Reads EPW, TMY3 or a plain CSV (told apart by their first lines).
///
/// Years of composed typical years are replaced by 2001; a file of one year, or of years that follow each
/// other, keeps its dates. Intervals without a row have no values. Dew point and relative humidity complete
/// each other.
///
/// A plain CSV has lines `# key: value` of the site (name, latitude_deg, longitude_deg, elevation_m or
/// elevation_ft, utc_offset_h, sun_offset_s, step_s, typical, note), then a header. Its columns are
/// `time_utc` or `time_local` (local standard; ISO 8601, the end of each interval) and those of Weather with
/// a unit: `ghi_w_m2` or `ghi [W/m2]`, `air_temperature_f`, `pressure_inhg`. Site facts may be columns too.
/// An empty field is no value.
///
/// @param path  File.
/// @return      Weather; `gaps` and `notes` say what is missing or odd.
/// @throws FileError   if the file cannot be read.
/// @throws ValueError  with file, line and column of up to 50 problems.
/// @threads     pure.
/// @source      EnergyPlus Auxiliary Programs (EPW data dictionary); Wilcox & Marion 2008, NREL/TP-581-43156
/// (TMY3).
Weather read_weather(const std::string& path, const ReadWeatherOptions& options = {});

/// The same from text in memory; `name` stands for the file in errors.
Weather read_weather_text(std::string_view text, const std::string& name,
                          const ReadWeatherOptions& options = {});

/// Plain CSV that `read_weather` reads back equal, to the last bit of every number.
/// @throws ValueError  if `check_weather` does.
std::string weather_csv(const Weather& weather);

}  // namespace libseal
