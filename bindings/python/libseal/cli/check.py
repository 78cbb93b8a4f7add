"""libseal check: everything that is wrong, in one go."""

from __future__ import annotations

import csv
import datetime
import pathlib
from typing import Any

import click

import libseal

from . import codes, options
from .inputs import Inputs, load, shown
from .output import Output, table


def row_of_coach(file: str, number: int, column: str) -> dict[str, Any]:
    """Line and column of a coach's value in a fleet's CSV file; nothing for other files, or standard input."""
    if file == "-" or file.lower().endswith(".json"):
        return {}
    with pathlib.Path(file).open(encoding="utf-8-sig", newline="") as text:
        rows = csv.reader(text)
        head = next(rows, [])
        if "id" not in head:  # JSON, whatever its name
            return {}
        full = [(rows.line_num, row) for row in rows if row]
    line, row = full[number]
    if column not in head:
        return {"line": line}
    at = head.index(column)
    return {"line": line, "column": 1 + sum(len(cell.encode()) + 1 for cell in row[:at])}  # exact where nothing is quoted


def stations(inputs: Inputs) -> list[dict[str, Any]]:
    """Stations that the climate table does not have, or has twice."""
    wrong: dict[str, Any] = {}
    problems = []
    for number, coach in enumerate(inputs.fleet.coaches):
        for stay in coach.stays:
            if stay.station and stay.station not in wrong:
                try:
                    libseal.find_station(stay.station)
                    wrong[stay.station] = None
                except libseal.Error as error:
                    wrong[stay.station] = error.problems[0]
            if stay.station and wrong[stay.station] is not None:
                told = codes.problem_of(wrong[stay.station])
                name = inputs.files.get("fleet", "")
                problems.append({**told, "file": shown(name), "field": f"{coach.id}.station", **row_of_coach(name, number, "station")})
                break
    return problems


def doubts(inputs: Inputs) -> list[dict[str, object]]:
    """Coaches that can be read but not forecast."""
    return [codes.problem("a stay: where the coach stands, from when on", "none", field=coach.id,
                          hint="columns station (or latitude_deg, longitude_deg) and stay_from, or stays in JSON")
            for coach in inputs.fleet.coaches if coach.joints and not coach.stays]


@click.command(short_help="read all inputs and tell everything that is wrong")
@options.place
@options.as_of
@options.findings
@options.work_done
@options.owner_dates
@options.shop
@options.command
def check(output: Output, place: str, as_of: datetime.date | None, findings: str | None, work_done: str | None, owner_dates: str | None,
          shop: str | None) -> int:
    """Reads all inputs and tells everything that is wrong with them.

    PLACE is a folder (fleet.csv or fleet.json, shop.json, findings.csv,
    work_done.csv, owner_dates.csv), a fleet, the file of one coach, or - for standard input.
    Each problem has file, line, column, field, what was expected, what was
    there, and a hint. Exit code 0 if nothing is wrong, 1 if something is.
    """
    inputs = load(output, place, as_of=as_of, findings=findings, work_done=work_done, owner_dates=owner_dates, shop=shop)
    found = [*doubts(inputs), *stations(inputs)]
    counts = {"coaches": len(inputs.fleet.coaches), "joints": sum(len(c.joints) for c in inputs.fleet.coaches),
              "findings": len(inputs.findings), "work_done": len(inputs.work_done), "owner_dates": len(inputs.owner_dates), "shop": int(inputs.shop is not None)}
    output.result = {"as_of": inputs.as_of, "files": inputs.files, "counts": counts}
    output.say(table([[key, str(counts.get(key.replace("fleet", "coaches"), "")), name] for key, name in inputs.files.items()],
                     ["what", "number", "file"]))
    if inputs.shop is not None:
        libseal.check_shop(inputs.shop)
    output.blame(found)
    if not found:
        output.say("nothing is wrong")
    return codes.BAD_INPUT if found else codes.OK
