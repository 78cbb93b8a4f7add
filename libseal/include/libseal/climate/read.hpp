#pragma once
// Weather files: EPW, TMY3 and a plain CSV with a header.

#include <string>
#include <string_view>

#include "libseal/climate/weather.hpp"

namespace libseal {

/// How the reader treats what the file leaves open.
struct ReadWeatherOptions {
    /// "report": gaps stay NaN and are listed. "interpolate": runs of up to `longest_fill` intervals are filled
    /// linearly (irradiance through the clearness of the neighbours); longer ones stay NaN. "refuse": a gap is an error.
    std::string gaps = "report";
    int longest_fill = 6;  ///< [intervals]
    /// "auto", "local" (local standard time) or "utc": in what the file's hours are. auto: local, except
    /// files of a known source that counts in UTC whatever its header says; a note tells.
    std::string hours = "auto";
};

/// Reads EPW, TMY3 or a plain CSV (told apart by their first lines).
///
/// @param path  File. Years of composed typical years are replaced by 2001.
/// @param cache  Folder in which files that were read are kept as they lie in memory, ten times as fast to take in as text; made if
///               it is not there, safe to delete at any time. A changed file, another version or a damaged entry is read anew. "":
///               nothing is kept.
/// @return      Weather; `gaps` and `notes` say what is missing or odd.
/// @throws FileError   if the file cannot be read.
/// @throws ValueError  with file, line and column of up to 50 problems.
/// @threads     pure.
/// @source      EnergyPlus Auxiliary Programs (EPW data dictionary); Wilcox & Marion 2008, NREL/TP-581-43156 (TMY3).
Weather read_weather(const std::string& path, const ReadWeatherOptions& options = {}, const std::string& cache = "");

/// The same from text in memory; `name` stands for the file in errors.
Weather read_weather_text(std::string_view text, const std::string& name, const ReadWeatherOptions& options = {});

/// Plain CSV with the header that `read_weather` understands.
std::string weather_csv(const Weather& weather);

}  // namespace libseal
