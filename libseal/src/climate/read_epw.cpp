// EPW: eight header lines, then rows of 35 numbers. Source: EnergyPlus Auxiliary Programs, EPW data dictionary.

#include <algorithm>
#include <cmath>

#include "climate/read_limits.hpp"
#include "climate/read_table.hpp"
#include "libseal/core/text.hpp"

namespace libseal::detail {
namespace {

/// Fields in the order of the rows; from `missing` on there is no value (data dictionary).
struct EpwField {
    int field;
    WeatherColumn column;
    const char* heading;
    double missing;
};
constexpr EpwField fields[] = {
    {6, air_temperature_column, "dry bulb temperature", 99.9},
    {7, dew_point_column, "dew point temperature", 99.9},
    {8, relative_humidity_column, "relative humidity", 999},
    {9, pressure_column, "atmospheric station pressure", 999999},
    {13, ghi_column, "global horizontal radiation", 9999},
    {14, dni_column, "direct normal radiation", 9999},
    {15, dhi_column, "diffuse horizontal radiation", 9999},
    {20, wind_direction_column, "wind direction", 999},
    {21, wind_speed_column, "wind speed", 999},
    {23, opaque_sky_cover_column, "opaque sky cover", 99},
    {33, precipitation_column, "liquid precipitation depth", 999},
};
constexpr std::size_t most_fields = 35;

struct EpwHeader {
    std::string source;              ///< what LOCATION names as origin
    int records_per_hour = 1;
    double irradiance_offset = no_value;  ///< of the instant of the irradiance from the stamp [h]
};

void read_location(SourceText& source, std::string_view line, int number, EpwHeader& header, Site& site) {
    RowFields field(source.text, 10);
    field.split(line);
    if (field.size() < 10) {
        source.report(number, 1, "LOCATION", "10 fields: city, state, country, source, number, latitude, longitude, "
                      "hours from UTC, elevation", std::to_string(field.size()));
        return;
    }
    site.name = field[1];
    header.source = field[4];
    const auto read = [&](std::size_t i, const char* name, double low, double high, double& value) {
        double found = 0;
        if (try_parse_number(field[i], found) && found >= low && found <= high)
            value = found;
        else
            source.report(number, field.column(i), name, "a number from " + number_text(low) + " to " + number_text(high),
                          quoted(field[i]));
    };
    read(6, "latitude", -90, 90, site.latitude);
    read(7, "longitude", -180, 180, site.longitude);
    read(8, "hours from UTC", -15, 15, site.utc_offset);
    read(9, "elevation", -1000, 9000, site.elevation);
}

void read_periods(SourceText& source, std::string_view line, int number, EpwHeader& header) {
    constexpr std::size_t place = 2;
    RowFields field(source.text, place + 1);
    field.split(line);
    double records = 0;
    const bool there = field.size() > place && field.number(place, records) == FieldKind::number;
    if (there && records >= 1 && records <= 60 && std::fmod(60, records) == 0)
        header.records_per_hour = static_cast<int>(records);
    else
        source.report(number, there ? field.column(place) : 1, "DATA PERIODS", "records per hour that divide 60",
                      there ? quoted(field[place]) : "none");
}

/// Comment of PVGIS files: at which instant the irradiance holds.
void read_comment(SourceText& source, std::string_view line, int number, EpwHeader& header) {
    constexpr std::string_view mark = "Irradiance Time Offset (h):";
    const std::size_t at = line.find(mark);
    if (at == std::string_view::npos) return;
    const std::string_view text = line.substr(at + mark.size());
    double offset = 0;
    if (try_parse_number(text, offset) && std::abs(offset) <= 2)
        header.irradiance_offset = offset;
    else
        source.report(number, static_cast<int>(at + mark.size()) + 1, "Irradiance Time Offset", "hours from -2 to 2",
                      quoted(text));
}

/// Reads lines up to DATA PERIODS.
EpwHeader read_header(SourceText& source, LineCursor& lines, Site& site) {
    EpwHeader header;
    std::string_view line;
    while (lines.next(line)) {
        if (line.starts_with("LOCATION")) read_location(source, line, lines.number(), header, site);
        if (line.starts_with("COMMENTS")) read_comment(source, line, lines.number(), header);
        if (line.starts_with("DATA PERIODS")) {
            read_periods(source, line, lines.number(), header);
            return header;
        }
        if (!line.empty() && line.front() >= '0' && line.front() <= '9') break;
    }
    source.report(lines.number(), 1, "header", "a line DATA PERIODS before the first row", quoted(line));
    return header;
}

/// Reads the stamp of a row. The dictionary counts hours 1 to 24 and minutes 1 to 60, both at the end; files
/// with one record an hour write minute 0 as well, and some with several stamp the start.
class StampReader {
public:
    explicit StampReader(int records_per_hour) : records_(records_per_hour) {}

    bool read(SourceText& source, const RowFields& row, int line, RawWeather& raw) {
        static constexpr const char* names[] = {"year", "month", "day", "hour", "minute"};
        static constexpr int low[] = {1400, 1, 1, 1, 0}, high[] = {9999, 12, 31, 24, 60};
        int value[5];
        // Most rows begin with the words of the row before: a date that was read and found good.
        const bool known = !date_.empty() && row.row().starts_with(date_);
        for (std::size_t i = known ? 3 : 0; i < 5; ++i) {
            double number = 0;
            const bool good = i < row.size() && row.number(i, number) == FieldKind::number && number >= low[i] &&
                              number <= high[i] && number == static_cast<int>(number);
            if (!good) {
                const std::size_t at = std::min(i, row.size() - 1);
                source.report(line, row.column(at), names[i],
                              "a whole number from " + std::to_string(low[i]) + " to " + std::to_string(high[i]), quoted(row[at]));
                return false;
            }
            value[i] = static_cast<int>(number);
        }
        if (!known) {
            date_ = {};
            if (!days_.find(value[0], value[1], value[2], day_)) {
                source.report(line, 1, "date", "a day of the calendar",
                              std::to_string(value[0]) + "-" + std::to_string(value[1]) + "-" + std::to_string(value[2]));
                return false;
            }
            date_ = row.row().substr(0, static_cast<std::size_t>(row.column(3)) - 1);
        }
        if (raw.size() == 0) stamps_start_ = records_ > 1 && value[4] == 0;
        raw.day.push_back(day_);
        raw.second.push_back((value[3] - 1) * 3600 + 60 * end_minute(value[4]));
        raw.line.push_back(line);
        return true;
    }
    bool stamps_start() const { return stamps_start_; }

private:
    int end_minute(int minute) const {
        if (records_ == 1) return 60;
        if (stamps_start_) return minute + 60 / records_;
        return minute == 0 ? 60 : minute;
    }
    int records_;
    bool stamps_start_ = false;
    DayCache days_;
    std::string_view date_;  ///< year, month and day of the last good row as written, up to the hour
    std::int32_t day_ = 0;   ///< that day
};

std::vector<FieldPlan> plan_of(SourceText& source, std::string_view first_row) {
    RowFields row(source.text, most_fields);
    row.split(first_row);
    std::vector<FieldPlan> plan;
    for (const EpwField& from : fields) {
        if (from.column == precipitation_column && row.size() <= static_cast<std::size_t>(from.field)) continue;  // older files end before it
        FieldPlan item;
        item.field = from.field;
        item.column = from.column;
        item.heading = from.heading;
        item.missing_from = from.missing;
        plan.push_back(item);
    }
    return plan;
}

void add_notes(const EpwHeader& header, bool stamps_start, bool utc, RawWeather& raw) {
    if (header.source.find("TMY3") != std::string::npos) raw.notes.emplace_back(tmy3_rain_note);
    if (!std::isnan(header.irradiance_offset))
        raw.notes.push_back("irradiance holds for an instant " + number_text(header.irradiance_offset) +
                            " h from the stamp of each row, not for the interval");
    if (utc)
        raw.notes.push_back("hours are counted in UTC, as this source does, although the header says UTC" +
                            std::string(raw.site.utc_offset < 0 ? "" : "+") + number_text(raw.site.utc_offset));
    if (stamps_start) raw.notes.emplace_back("rows are stamped at the start of their interval; times were moved to its end");
    if (header.records_per_hour > 1)
        raw.notes.emplace_back("irradiance of records shorter than an hour is taken as mean power in W/m2");
}

}  // namespace

RawWeather read_epw(SourceText& source, const ReadWeatherOptions& options) {
    RawWeather raw;
    LineCursor lines(source.text);
    const EpwHeader header = read_header(source, lines, raw.site);
    source.problems.throw_if_any();

    const bool utc_source = !std::isnan(header.irradiance_offset);
    const bool utc = options.hours == "utc" || (options.hours == "auto" && utc_source);
    raw.clock_offset = utc ? 0 : raw.site.utc_offset;
    raw.step = 3600.0 / header.records_per_hour;
    if (utc_source) raw.sun_offset = header.irradiance_offset * 3600;

    StampReader stamps(header.records_per_hour);
    std::vector<FieldPlan> plan;
    RowFields row(source.text, most_fields);
    std::string_view line;
    while (!source.full() && lines.next(line)) {
        if (line.empty()) continue;
        check_room(source, raw, lines.number());
        if (plan.empty()) {
            plan = plan_of(source, line);
            raw.reserve(static_cast<std::size_t>(8784 * header.records_per_hour), plan);
        }
        row.split(line);
        if (stamps.read(source, row, lines.number(), raw)) read_values(source, row, lines.number(), plan, raw);
    }
    source.problems.throw_if_any();
    add_notes(header, stamps.stamps_start(), utc && options.hours == "auto", raw);
    return raw;
}

}  // namespace libseal::detail
