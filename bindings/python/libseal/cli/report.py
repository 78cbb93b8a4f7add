"""libseal report: pages to print or open in a browser."""

from __future__ import annotations

import datetime
import pathlib
import types
from typing import Any

import click

import libseal

from . import options
from .calendar import calendar_of, year_inputs
from .forecast import forecast_of
from .inputs import Inputs
from .output import Output


def units_of(inches: bool) -> str:
    return "us" if inches else "metric"


def page_of(inputs: Inputs, forecast: libseal.Forecast, calendar: libseal.Calendar, inches: bool, week: datetime.date | None) -> str:
    """The one place that knows which call of the library makes which page."""
    assert inputs.shop is not None
    if week is not None:
        return libseal.week_sheet(calendar, inputs.fleet, inputs.shop, week, forecast=forecast, findings=inputs.findings,
                                  work_done=inputs.work_done, units=units_of(inches))
    return libseal.page_text(inputs.fleet, forecast, calendar, inputs.shop, units=units_of(inches))


def write_owner_pages(output: Output, folder: str, inputs: Inputs, forecast: libseal.Forecast, calendar: libseal.Calendar,
                      inches: bool) -> list[libseal.Written]:
    """A packet for every owner."""
    assert inputs.shop is not None
    with output.progress() as show:
        return libseal.write_packets(folder, inputs.fleet, forecast, calendar, inputs.shop, findings=inputs.findings, work_done=inputs.work_done,
                              by="owner", units=units_of(inches),
                              progress=None if show is None else lambda done, of: show(types.SimpleNamespace(stage="packets", fraction=done / of)))


@click.command(short_help="pages to print or open in a browser")
@options.of_a_year
@click.option("--inches", is_flag=True, help="Lengths in feet and inches.")
@click.option("--week", type=options.DAY, metavar="DATE", help="The work sheet of the week of this day instead.")
@click.option("--packets", type=click.Path(), metavar="FOLDER", help="Also a packet for every owner, into this folder.")
@click.option("--out", type=options.PATH, default="report.html", show_default=True, metavar="FILE", help="The page; - for standard output.")
@options.command
def report(output: Output, place: str, inches: bool, week: datetime.date | None, packets: str | None, out: str, **rules: Any) -> None:
    """One page with the year by week, coaches by due date, visits and cautions.

    PLACE is a folder, a fleet, the file of one coach, or - for standard
    input. Needs jinja2.
    """
    inputs = year_inputs(output, place, rules)
    forecast = forecast_of(output, inputs, 5, rules["threads"], warranty_days=rules["warranty_days"])
    calendar = calendar_of(output, inputs, forecast=forecast, **rules)
    output.write(out, page_of(inputs, forecast, calendar, inches, week), "report" if week is None else "week sheet")
    written = write_owner_pages(output, packets, inputs, forecast, calendar, inches) if packets else []
    output.files += [{"path": str(one.path), "what": "packet of an owner"} for one in written]
    output.result = {"as_of": inputs.as_of, "year": calendar.year, "coaches": len(inputs.fleet.coaches),
                     "page": out if out == "-" else str(pathlib.Path(out))}
