#pragma once
// The steps that all weather formats share: rows in, a regular series out.

#include <array>
#include <cstdint>
#include <limits>
#include <string>
#include <vector>

#include "climate/columns.hpp"
#include "climate/read_source.hpp"
#include "libseal/climate/read.hpp"

namespace libseal::detail {

inline constexpr double no_value = std::numeric_limits<double>::quiet_NaN();

/// Where a column stands in the rows of a file, and how its numbers become ours: (number + shift) * scale.
struct FieldPlan {
    int field = 0;  ///< counted from 0
    WeatherColumn column = ghi_column;
    std::string heading;  ///< as errors call it
    double shift = 0;
    double scale = 1;
    double missing_from = std::numeric_limits<double>::infinity();    ///< this and above: no value
    double missing_below = -std::numeric_limits<double>::infinity();  ///< this and below: no value
    int step_power = 0;  ///< the number counts times step^this: amounts per interval -1, rates where we want amounts +1
};

/// composed: months picked from several years, all moved to 2001; dated: as written; from_rows: composed if the rows jump between years.
enum class YearKind { from_rows, composed, dated };

/// What a file said, row by row. Each reader minds `ReadWeatherOptions::hours` itself, by `clock_offset`.
struct RawWeather {
    Site site;
    std::vector<std::int32_t> day;     ///< of the row as written [d since 1970-01-01]
    std::vector<std::int32_t> second;  ///< end of the interval within that day, up to 86400 [s]
    std::vector<int> line;
    std::array<std::vector<double>, weather_column_count> values;  ///< in the units of `weather_columns`; empty where the file has no such column
    YearKind years = YearKind::from_rows;
    bool typical = false;       ///< the file says so itself
    double step = 0;            ///< [s]; 0: from the rows
    double clock_offset = 0;    ///< what the file's clock is ahead of UTC [h]; 0 if the caller says that its hours are in UTC
    double sun_offset = no_value;  ///< [s]; NaN: the middle of the interval
    std::array<int, weather_column_count> cut{};  ///< how many values were set to a limit
    std::vector<std::string> notes;

    std::size_t size() const { return day.size(); }
    void reserve(std::size_t rows, const std::vector<FieldPlan>& plan);
};

/// Number of fields that a plan looks at.
std::size_t fields_wanted(const std::vector<FieldPlan>& plan);
/// Reads the planned fields of a row and appends one value to each of their columns. False (after reporting) if the row is short.
bool read_values(SourceText& source, const RowFields& row, int line, const std::vector<FieldPlan>& plan, RawWeather& raw);

/// Turns calendar numbers into days, remembering the last: rows of one day come together.
class DayCache {
public:
    /// False if there is no such day.
    bool find(int year, int month, int day, std::int32_t& days);

private:
    int year_ = 0, month_ = 0, day_ = 0;
    std::int32_t days_ = 0;
};

RawWeather read_epw(SourceText& source, const ReadWeatherOptions& options);
RawWeather read_tmy3(SourceText& source, const ReadWeatherOptions& options);
RawWeather read_csv(SourceText& source);

/// As errors name the formats that are read, by what tells them apart.
inline constexpr const char* formats_read =
    "EPW (first line LOCATION,...), TMY3 (second line Date (MM/DD/YYYY),...) or a CSV with headings such as time_utc,ghi_w_m2,air_temperature_c";

inline constexpr const char* tmy3_rain_note =
    "precipitation depths of TMY3 files are far above the climate's: use the hours with rain, and scale their sum to "
    "the annual normal";

/// Value of a column that is outside its usual range: set to the limit if it is hardly so (and counted), false if far.
bool cut_to_range(RawWeather& raw, WeatherColumn column, double& value);
/// The same of any value.
inline bool fit_range(RawWeather& raw, WeatherColumn column, double& value) {
    const ColumnInfo& info = weather_columns[column];
    return (value >= info.floor && value <= info.ceiling) || cut_to_range(raw, column, value);
}
/// Reports a value outside its range.
void report_range(SourceText& source, int line, int place, const std::string& heading, WeatherColumn column,
                  double value, std::string_view written);

/// Length of an interval: the most frequent difference of times. [s]; 0 if there are fewer than two rows.
double find_step(const RawWeather& raw);

/// Orders the rows in time and puts them on a regular grid; intervals without a row have no values.
Weather arrange(SourceText& source, RawWeather& raw);

/// Dew point and relative humidity from each other where only one is there.
void complete_humidity(Weather& weather);
/// Fills runs without values of up to `longest` intervals.
void interpolate_gaps(Weather& weather, Eigen::Index longest);
/// Runs without values in one column, in order.
std::vector<Gap> open_gaps(const Weather& weather, const ColumnInfo& info);
/// Lists, fills or refuses what has no value.
void treat_gaps(SourceText& source, const ReadWeatherOptions& options, Weather& weather);

}  // namespace libseal::detail
