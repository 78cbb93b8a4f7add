#pragma once
// How much the readers take of a file: beyond it they refuse and name the limit, so that no file costs memory or time without end.

#include <cstddef>

namespace libseal::limits {

// Every text.
inline constexpr std::size_t file_octets = std::size_t{1} << 30;    ///< of a file, or of a text in memory [octet]
inline constexpr std::size_t text_octets = std::size_t{1} << 20;    ///< of one text of JSON or one value of a table [octet]
inline constexpr std::size_t name_octets = 1000;                    ///< of a key, or of the id of a coach, part or joint [octet]
inline constexpr std::size_t number_digits = 1000;                  ///< of a number as written, all its characters [-]
inline constexpr std::size_t problems = 50;                         ///< that an error tells of [-]

// JSON: a value takes about 150 octets of memory.
inline constexpr std::size_t json_depth = 64;                       ///< lists and objects within each other [-]
inline constexpr std::size_t json_values = 16'000'000;              ///< of a document [-]

// Tables.
inline constexpr std::size_t table_columns = 1000;                  ///< values of a record [-]
inline constexpr std::size_t table_rows = 5'000'000;                ///< of findings, work done, owners' dates [-]

// Weather.
inline constexpr std::size_t weather_rows = 6'000'000;              ///< eleven years of minutes [-]
inline constexpr std::size_t weather_gaps = 1'000'000;              ///< runs without values, over all columns [-]

// Coaches: a coach takes 50 to 100 thousand octets of memory.
inline constexpr std::size_t coaches = 100'000;                     ///< of a fleet in a file [-]
inline constexpr std::size_t coach_surfaces = 500;                  ///< [-]
inline constexpr std::size_t coach_parts = 5000;                    ///< [-]
inline constexpr std::size_t coach_joints = 5000;                   ///< [-]
inline constexpr std::size_t joint_points = 1000;                   ///< of the path of a joint, or of the outline of a surface [-]
inline constexpr std::size_t coach_stays = 10'000;                  ///< [-]

// Shops and schedules.
inline constexpr std::size_t shop_people = 1000;                    ///< [-]
inline constexpr std::size_t shop_bays = 1000;                      ///< [-]
inline constexpr std::size_t shop_days = 10'000;                    ///< holidays, closed spans, absences, overtime, each [-]
inline constexpr std::size_t holiday_rules = 200;                   ///< of a file, or names of a shop [-]
inline constexpr int schedule_days = 3660;                          ///< from the first step of a schedule to its last [d]
inline constexpr int piece_days = 31;                               ///< of one piece of working time in a schedule [d]

// iCalendar texts that are checked.
inline constexpr std::size_t icalendar_octets = std::size_t{1} << 28;  ///< [octet]
inline constexpr std::size_t icalendar_lines = 10'000'000;          ///< content lines, unfolded [-]
inline constexpr std::size_t icalendar_depth = 16;                  ///< components within each other [-]

}  // namespace libseal::limits
