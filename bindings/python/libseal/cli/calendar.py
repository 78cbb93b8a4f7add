"""libseal calendar: the year's visits of a fleet, for the shop and for each owner."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

import click

import libseal

from . import options
from .inputs import Inputs, load, read_text, shown
from .output import Output, table
from .owners import write_owner_calendars


def year_inputs(output: Output, place: str, rules: dict[str, Any]) -> Inputs:
    """Takes out of the rules of a year what names files, and reads it."""
    names = {name: rules.pop(name) for name in ("as_of", "findings", "work_done", "owner_dates", "shop")}
    return load(output, place, **names, need_shop=True)


def calendar_of(output: Output, inputs: Inputs, *, year: int | None, previous: str | None, season: Sequence[tuple[int, float]],
                forecast: libseal.Forecast | None = None, **rules: Any) -> libseal.Calendar:
    """The calendar by the options of `options.of_a_year` and other rules of `year_calendar`; of a forecast that is there already."""
    assert inputs.shop is not None
    before = libseal.read_calendar_text(read_text(previous), shown(previous)) if previous else None
    with output.progress() as progress:
        return libseal.year_calendar(inputs.fleet, year or inputs.as_of.year + 1, inputs.shop, inputs.as_of if forecast is None else forecast, findings=inputs.findings,
                                     work_done=inputs.work_done, owner_dates=inputs.owner_dates, previous=before, season_percent=dict(season),
                                     progress=progress, **rules)


def show(output: Output, calendar: libseal.Calendar) -> None:
    rows = [[str(v.first), v.coach, v.kind + (" cancelled" if v.cancelled else ""), str(v.bay + 1), f"{v.minutes.mode / 60:.1f} h",
             str(len(v.tasks)), v.why] for v in calendar.visits]
    output.say(table(rows, ["day", "coach", "kind", "bay", "work", "tasks", "why"]))
    for u in calendar.unplaced:
        output.say(f"no place: {u.coach} {u.joint} {u.action}, due {u.due}: {u.constraint}; {u.relaxation}")
    for change in calendar.changes:
        output.say(f"changed: {change}")
    output.say(calendar.closing)


@click.command(short_help="the year's visits, also as one file per owner")
@options.of_a_year
@click.option("--owners", type=click.Path(), metavar="FOLDER", help="Write one .ics per owner into this folder.")
@click.option("--ics", type=options.PATH, metavar="FILE", help="The whole calendar for a calendar program; - for standard output.")
@click.option("--csv", "csv_file", type=options.PATH, metavar="FILE", help="The same as a table; - for standard output.")
@click.option("--save", type=options.PATH, metavar="FILE", help="The same as JSON, for --previous next time; - for standard output.")
@click.option("--show-owners", is_flag=True, help="Names of owners in the calendar of the shop.")
@click.option("--work-limit", type=click.IntRange(1), default=40, show_default=True, metavar="N", help="Schedules to generate a visit.")
@options.command
def calendar(output: Output, place: str, owners: str | None, ics: str | None, csv_file: str | None, save: str | None, **rules: Any) -> None:
    """The year's visits of a fleet, levelled over the days of the shop.

    PLACE is a folder, a fleet, the file of one coach, or - for standard
    input. From a folder of CSV files to one calendar per owner:

    \b
      libseal calendar FOLDER --owners OUT
    """
    inputs = year_inputs(output, place, rules)
    found = calendar_of(output, inputs, **rules)
    output.result = {"calendar": json.loads(found.json_text()), "owners": None}
    for target, text, what in ((ics, found.ics_text, "calendar"), (csv_file, found.csv_text, "table of visits"), (save, found.json_text, "calendar to go on from")):
        if target:
            output.write(target, text(), what)
    if owners:
        written = write_owner_calendars(owners, found, inputs.fleet)
        output.result["owners"] = {owner: str(path) for owner, path in written.items()}
        output.files += [{"path": str(path), "what": "calendar of an owner"} for path in written.values()]
        output.say(f"{len(written)} calendars of owners: {owners}")
    if not (owners or ics or csv_file or save):
        show(output, found)
