"""libseal report: pages to print or open in a browser."""

from __future__ import annotations

import datetime
import pathlib
import types

import click

import libseal

from . import options
from .calendar import calendar_of
from .forecast import forecast_of
from .inputs import Inputs, load
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


def write_owner_pages(output: Output, folder: str, inputs: Inputs, forecast: libseal.Forecast, calendar: libseal.Calendar, inches: bool) -> list[str]:
    """A packet for every owner."""
    assert inputs.shop is not None
    with output.progress() as show:
        libseal.write_packets(folder, inputs.fleet, forecast, calendar, inputs.shop, findings=inputs.findings, work_done=inputs.work_done,
                              by="owner", units=units_of(inches),
                              progress=None if show is None else lambda done, of: show(types.SimpleNamespace(stage="packets", fraction=done / of)))
    return sorted(str(path) for path in pathlib.Path(folder).glob("*.html"))


@click.command(short_help="pages to print or open in a browser")
@options.place
@click.option("--year", type=click.IntRange(1970, 2200), metavar="YEAR", help="Usual: the year after --as-of.")
@options.as_of
@options.shop
@options.findings
@options.work_done
@click.option("--previous", type=options.PATH, metavar="FILE", help="The calendar sent before.")
@click.option("--inches", is_flag=True, help="Lengths in feet and inches.")
@click.option("--week", type=options.DAY, metavar="DATE", help="The work sheet of the week of this day instead.")
@click.option("--packets", type=click.Path(), metavar="FOLDER", help="Also a packet for every owner, into this folder.")
@click.option("--out", type=options.PATH, default="report.html", show_default=True, metavar="FILE", help="The page; - for standard output.")
@options.threads
@options.command
def report(output: Output, place: str, year: int | None, as_of: datetime.date | None, shop: str | None, findings: str | None,
           work_done: str | None, previous: str | None, inches: bool, week: datetime.date | None, packets: str | None, out: str, threads: int) -> None:
    """One page with the year by week, coaches by due date, visits and cautions.

    PLACE is a folder, a fleet, the file of one coach, or - for standard
    input. Needs jinja2.
    """
    inputs = load(output, place, as_of=as_of, findings=findings, work_done=work_done, shop=shop, need_shop=True)
    forecast = forecast_of(output, inputs, 5, threads)
    calendar = calendar_of(output, inputs, year or inputs.as_of.year + 1, previous, False, 40, threads)
    output.write(out, page_of(inputs, forecast, calendar, inches, week), "report" if week is None else "week sheet")
    written = write_owner_pages(output, packets, inputs, forecast, calendar, inches) if packets else []
    output.files += [{"path": path, "what": "packet of an owner"} for path in written]
    output.result = {"as_of": inputs.as_of, "year": calendar.year, "coaches": len(inputs.fleet.coaches),
                     "page": out if out == "-" else str(pathlib.Path(out))}
