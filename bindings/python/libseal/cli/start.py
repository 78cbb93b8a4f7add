"""libseal start: a folder with small example inputs, to be replaced by one's own."""

from __future__ import annotations

import pathlib
import shlex

import click

from . import codes, options
from ..files import write_whole
from .output import Output

FLEET = """id,layout,length_m,label,owner,model_line,model_year,installed,installed_to,station,stay_from,cover,heading_deg,finish
EX-1,travel_trailer,7.3,invented example,Owner One,Line A,2022,2022-03-20,,south bend,2022-04-10,open,160,
EX-2,travel_trailer,7.3,invented example,Owner Two,Line A,2021,2021-03-01,2021-05-31,722780,2021-06-01,open,180,beige_gelcoat
EX-3,camper_van,6.0,invented example,Owner One,Line B,2024,2024-06-15,,miami intl,2024-07-01,carport,,
"""

FINDINGS = """coach,joint,segment,layer,sign,date,value,unit,size,share_percent,inspector,note
EX-1,front_cap_to_roof,,cap_bead,yellowing,2025-05-12,,,clear,100,A,invented example
EX-1,roof_vent_1,,cap_bead,skin_cracks,2025-05-12,0.05,mm,,15,A,invented example
EX-2,front_cap_to_roof,,cap_bead,deep_crack,2025-05-19,0.3,mm,,25,A,invented example
EX-2,roof_vent_1,,cap_bead,edge_lift,2025-05-19,3,mm,,12,A,invented example
EX-2,window_1,,cap_bead,clean_look,2025-05-19,,,,,A,invented example
"""

SHOP = """{
  "schema": "libseal/shop/1",
  "name": "Example yard (invented)",
  "place": "South Bend IN",
  "currency": "USD",
  "labour_rate_per_h": 150.00,
  "tax_percent": 7,
  "people": [
    { "id": "bench 1", "skills": ["sealing", "roof"], "from": "07:30", "to": "16:00" },
    { "id": "bench 2", "skills": ["sealing", "electricity"], "from": "08:30", "to": "17:00" }
  ],
  "bays": 2,
  "working_days": ["monday", "tuesday", "wednesday", "thursday", "friday"],
  "hours": { "from": "07:30", "to": "17:00", "break_from": "12:00", "break_to": "12:30" },
  "holiday_rules": ["us_federal"],
  "sealing_months": [4, 5, 6, 7, 8, 9, 10],
  "heated_bay": true,
  "bay_temperature_c": 18
}
"""

README = """# Seals of a fleet

Everything in this folder is invented. Replace it row by row by what you have; then

    libseal check .
    libseal forecast .
    libseal calendar . --owners calendars
    libseal report .

| file | one row, or one entry, is |
|---|---|
| fleet.csv | a coach: layout, length, when its seals were fitted, where it stands since when |
| findings.csv | a sign on a joint that somebody saw on one day; "clean_look" says that it was looked at and is fine |
| shop.json | the shop: people, bays, days, prices |
| work_done.csv | not there yet: work on a layer, which makes it new (coach, joint, layer, date, action, family) |
| owner_dates.csv | not there yet: a trip on which a coach is away, or storage near the shop (coach, from, to, kind; `to` is the day after the last) |

The word between commas may be left out where it is not known. A station is a name or number of the built-in climate table;
latitude_deg and longitude_deg do as well. `libseal check .` tells what is wrong, with file, line, column and a hint.
"""

FILES = {"fleet.csv": FLEET, "findings.csv": FINDINGS, "shop.json": SHOP, "README.md": README}


@click.command(short_help="make a folder with example inputs to change")
@click.argument("folder", type=click.Path())
@click.option("--as-json", "fleet_json", is_flag=True, help="The fleet joint by joint (fleet.json) instead of one row a coach.")
@options.command
def start(output: Output, folder: str, fleet_json: bool) -> None:
    """Makes a folder with small example inputs: a fleet, findings, a shop.

    Every row is marked as invented. Files that are there already are never
    overwritten: then nothing is written at all.
    """
    target = pathlib.Path(folder)
    files = dict(FILES)
    if fleet_json:
        import libseal

        files["fleet.json"] = libseal.fleet_json(libseal.read_fleet_text(files.pop("fleet.csv"), "fleet.csv"))
        files["README.md"] = README.replace("| fleet.csv | a coach:", "| fleet.json | a coach, joint by joint:")
    there = [name for name in files if (target / name).exists()]
    if there:
        raise codes.CommandError(codes.FILE_PROBLEM, [codes.problem("no such file yet", "one that is there", file=str(target / name),
                                                                    hint="name another folder") for name in there])
    target.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        write_whole(target / name, text)
        output.files.append({"path": str(target / name), "what": name})
        output.say(str(target / name))
    output.result = {"folder": str(target)}
    output.say(f"next: libseal check {shlex.quote(folder)}")
