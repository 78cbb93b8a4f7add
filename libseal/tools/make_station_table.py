#!/usr/bin/env python3
"""Writes src/climate/station_table.cpp from the two CSV files of station climate.

The files are read from $LIBSEAL_DATA/weather, else ../shared/data/weather beside the checkout. Every figure
becomes a whole number of units of its last printed digit, so that it comes back as the same double that the
printed text would give. Run it again after the files change; the result depends on nothing else.
"""

import csv
import os
from decimal import Decimal
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[2]
MISSING = -32768
WIDTH = 118

# Column of the monthly file, member of MonthNormals, decimals.
MONTHLY = [
    ("t_mean_c", "air_temperature", 2),
    ("t_daily_max_mean_c", "daily_maximum", 2),
    ("t_daily_min_mean_c", "daily_minimum", 2),
    ("t_abs_min_c", "lowest", 1),
    ("t_abs_max_c", "highest", 1),
    ("tdew_mean_c", "dew_point", 2),
    ("rh_mean_pct", "relative_humidity", 1),
    ("wind_mean_m_s", "wind_speed", 2),
    ("ghi_kwh_m2_day", "ghi", 3),
    ("dni_kwh_m2_day", "dni", 3),
    ("dhi_kwh_m2_day", "dhi", 3),
    ("hours_rh_gt80", "humid_hours", 0),
    ("tow_h", "wet_hours", 0),
    ("days_min_lt0_max_gt0", "freeze_thaw_days", 0),
    ("total_cloud_tenths", "cloud", 2),
    ("wind_when_sunny_m_s", "wind_when_sunny", 2),
    ("t_when_sunny_c", "temperature_when_sunny", 2),
]
# Column of the annual file and decimals, in the order of StationRow after the words.
ANNUAL = [
    ("tz_h", 1),
    ("lat_deg", 3),
    ("lon_deg", 3),
    ("elev_m", 1),
    ("present_weather_liquid_rain_hours", 0),
    ("norm9120_prcp_mm", 1),
    ("wind_daytime_cv", 2),
    ("sun_centroid_local_standard_h", 2),
]

HEADER = """\
// Made by tools/make_station_table.py; do not edit.
//
// Climate of {count} stations, computed for this project from
//   NREL TMY3, National Solar Radiation Data Base 1961-2005, typical meteorological years (Wilcox & Marion 2008,
//   NREL/TP-581-43156), with credit to the National Renewable Energy Laboratory;
//   NOAA NCEI U.S. Climate Normals 1991-2020 (annual precipitation), with credit to the National Centers for
//   Environmental Information.
// Whole numbers in units of the last printed digit; station_table.hpp tells the units.

#include "climate/station_table.hpp"

namespace libseal::detail {{

"""


def scaled(text, decimals, low=MISSING + 1, high=32767):
    """The printed number in units of its last digit; it must not lose a digit nor leave its range."""
    if text == "":
        return MISSING
    value = Decimal(text).scaleb(decimals)
    number = int(value)
    if number != value or not low <= number <= high:
        raise SystemExit(f"{text} does not fit {decimals} decimals in {low}..{high}")
    return number


def literal(text):
    if not text.isascii() or not text.isprintable():
        raise SystemExit(f"{text!r} is not plain text")
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def wrapped(numbers):
    lines, line = [], ""
    for number in numbers:
        item = f"{number},"
        if len(line) + len(item) > WIDTH:
            lines.append(line)
            line = ""
        line += item
    return "\n".join(lines + [line])


def main():
    folder = Path(os.environ.get("LIBSEAL_DATA") or CHECKOUT.parent / "shared" / "data") / "weather"
    with open(folder / "us_tmy3_station_annual.csv", newline="", encoding="ascii") as file:
        annual = list(csv.DictReader(file))
    with open(folder / "us_tmy3_station_monthly.csv", newline="", encoding="ascii") as file:
        monthly = list(csv.DictReader(file))
    expected = [(row["usaf"], str(month)) for row in annual for month in range(1, 13)]
    if [(row["usaf"], row["month"]) for row in monthly] != expected:
        raise SystemExit("the monthly file does not hold twelve months of each station in the order of the annual file")

    out = [HEADER.format(count=len(annual))]
    out.append(f"const std::size_t station_rows = {len(annual)};\n\n")
    out.append("const StationRow station_table[] = {\n")
    for row in annual:
        words = [literal(row[key]) for key in ("usaf", "name", "state", "qc_flags")]
        numbers = [str(scaled(row[key], decimals, -(10**6), 10**6)) for key, decimals in ANNUAL]
        out.append("{" + ",".join(words + numbers) + "},\n")
    out.append("};\n\n")
    for key, member, decimals in MONTHLY:
        out.append(f"static const std::int16_t {member}[] = {{\n")
        out.append(wrapped(scaled(row[key], decimals) for row in monthly))
        out.append("};\n")
    out.append("\nconst MonthFigures month_table[] = {\n")
    for _, member, decimals in MONTHLY:
        out.append(f"    {{&MonthNormals::{member}, {member}, {10**decimals}}},\n")
    out.append(f"}};\nconst std::size_t month_table_size = {len(MONTHLY)};\n\n}}  // namespace libseal::detail\n")
    target = CHECKOUT / "libseal" / "src" / "climate" / "station_table.cpp"
    target.write_text("".join(out), encoding="ascii", newline="\n")


if __name__ == "__main__":
    main()
