#pragma once
// Small weather files for the tests of the readers. All of them synthetic.

#include <cstdio>
#include <string>

#include "libseal/core/date.hpp"

namespace libseal_test {

inline std::string epw_head(int records = 1, const std::string& comment = "") {
    return "LOCATION,Nowhere,-,XX,made up,000000,-35.5,149.0,10.0,600.0\nDESIGN "
           "CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\n"
           "GROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVING,No,0,0,0\nCOMMENTS 1,synthetic\nCOMMENTS 2," +
           comment + "\nDATA PERIODS,1," + std::to_string(records) + ",Data,Monday,1/1,12/31\n";
}

/// What follows the minute in a row of an EPW.
inline constexpr const char* epw_values =
    ",?,15.5,9.0,65,94000,0,0,300,0,0,0,0,0,0,0,180,3.2,5,4,10,77777,9,999999999,0,0.1,0,88,0.2,0.4,1.0\n";

/// Rows of one day; with several records an hour minutes run to 60, or from 0 if they mark the start.
inline std::string epw_day(int year, int month, int day, int records = 1, bool starts = false) {
    std::string text;
    for (int r = 0; r < 24 * records; ++r) {
        const int minute = (r % records + (starts ? 0 : 1)) * 60 / records;
        text += std::to_string(year) + "," + std::to_string(month) + "," + std::to_string(day) + "," +
                std::to_string(r / records + 1) + "," + std::to_string(minute) + epw_values;
    }
    return text;
}

/// An EPW of `days` days from 1 January; rows of February may be written with another year.
inline std::string epw(int year, int days, int records = 1, int february_year = 0) {
    std::string text = epw_head(records);
    const libseal::Date start = libseal::make_date(year, 1, 1);
    for (int d = 0; d < days; ++d) {
        const libseal::YearMonthDay day = libseal::year_month_day(start + d);
        text +=
            epw_day(february_year && day.month == 2 ? february_year : day.year, day.month, day.day, records);
    }
    return text;
}

/// A TMY3 of `rows` hours from 1 January 1986, with only the columns that are read.
inline std::string tmy3(int rows) {
    std::string text =
        "000000,\"NOWHERE\",XX,-6.0,41.0,-90.0,200\nDate (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),DNI "
        "(W/m^2),DHI (W/m^2),"
        "OpqCld (tenths),Dry-bulb (C),Dew-point (C),RHum (%),Pressure (mbar),Wdir (degrees),Wspd "
        "(m/s),Lprecip depth (mm)\n";
    for (int r = 0; r < rows; ++r) {
        char stamp[40];
        std::snprintf(stamp, sizeof stamp, "01/%02d/1986,%02d:00", r / 24 + 1, r % 24 + 1);
        text += std::string(stamp) + ",100,10,90,8,-7.8,-11.1,77,990,230,4.1,0\n";
    }
    return text;
}

/// A plain table in the user's own units, south of the equator, across the turn of a year.
inline constexpr const char* own_units = R"(# name: shed roof
# latitude_deg: -33.9
# longitude_deg: 151.2
# elevation_m: 40
# utc_offset_h: 10
time_local,ghi [W/m2],air_temperature (°F),relative_humidity_percent,wind_speed_mph,pressure_hPa,precipitation_in
2024-12-31T23:00,0,68,50,10,1010,0
2024-12-31T24:00,0,50,,0,1011,0.1
2025-01-01 01:00,0,32,100,5,1012,0
)";

/// The three lines about a site that a table needs.
inline constexpr const char* site_lines = "# latitude_deg: 40\n# longitude_deg: -105\n# utc_offset_h: -7\n";

}  // namespace libseal_test
