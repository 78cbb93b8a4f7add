#pragma once
// Parts of the plain CSV reader: what its headings, its times and its lines about the site mean.

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "climate/read_table.hpp"

namespace libseal::detail {

/// Without blanks and one pair of quotes around.
std::string_view trimmed(std::string_view text);

/// A unit as headings write it: our value is (number + shift) * scale * step^step_power.
struct Unit {
    const char* name;
    double shift;
    double scale;
    int step_power;
};
/// Units of a column, ours first.
std::span<const Unit> units_of(WeatherColumn column);

/// A heading such as "ghi_w_m2", "ghi [W/m2]" or "GHI (W/m²)" as name and unit, both as words of small
/// letters.
struct Heading {
    std::string name;
    std::string unit;
};
Heading split_heading(std::string_view text);

/// Instant of a row as its clock shows it; `ahead` tells what that clock is ahead of UTC, if the text does.
struct Stamp {
    std::int32_t day = 0;     ///< [d since 1970-01-01]
    std::int32_t second = 0;  ///< [s], 24:00 is the end of its day
    bool has_ahead = false;
    std::int32_t ahead = 0;  ///< [s]
};
/// Reads ISO 8601 such as "2024-07-01T13:00", with or without seconds, "Z" or an offset. False if it is not.
bool parse_stamp(std::string_view text, DayCache& days, Stamp& stamp);
/// Moves the clock of a stamp by some seconds; an end of day stays with its day.
void move_stamp(Stamp& stamp, std::int32_t seconds);

/// What the lines above the header, or columns that do not change, say of the place and the series; NaN:
/// nothing.
struct SiteFacts {
    std::string name;
    double latitude = no_value;
    double longitude = no_value;
    double elevation = no_value;
    double utc_offset = no_value;
    double sun_offset = no_value;
    double step = no_value;
    bool typical = false;
};
/// True if this is the name of a fact about the site that may also stand in a column.
bool is_site_column(const std::string& key);
/// Sets the fact, or reports that its text is no number in its range.
void read_fact(SourceText& source, int line, int place, const std::string& key, std::string_view text,
               SiteFacts& facts);
/// Reads a line "# key: value". A line without a colon is for people.
void read_remark(SourceText& source, std::string_view line, int number, SiteFacts& facts, RawWeather& raw);
/// Names that may stand before the colon of such a line.
const std::vector<std::string>& remark_names();

}  // namespace libseal::detail
