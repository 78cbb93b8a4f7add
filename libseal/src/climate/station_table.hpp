#pragma once
// The built-in stations in the compact form of the generated source.

#include <cstddef>
#include <cstdint>

#include "libseal/climate/station.hpp"

namespace libseal::detail {

inline constexpr int missing_figure = -32768;

struct StationRow {
    const char* id;
    const char* name;
    const char* state;
    const char* quality_flags;
    std::int32_t utc_offset;       ///< [0.1 h]
    std::int32_t latitude;         ///< [0.001 deg]
    std::int32_t longitude;        ///< [0.001 deg]
    std::int32_t elevation;        ///< [0.1 m]
    std::int32_t rain_hours;       ///< [h/yr]
    std::int32_t precipitation;    ///< [0.1 mm/yr]
    std::int32_t wind_daytime_cv;  ///< [0.01]
    std::int32_t sun_centroid;     ///< [0.01 h]
};

/// One figure of all months of all stations: value = figure / per_unit.
struct MonthFigures {
    double MonthNormals::*member;
    const std::int16_t* figures;  ///< month m of station s at 12 s + m
    double per_unit;
};

extern const std::size_t station_rows;
extern const StationRow station_table[];
extern const MonthFigures month_table[];
extern const std::size_t month_table_size;

}  // namespace libseal::detail
