"""libseal report: pages to print or open in a browser."""

from __future__ import annotations

import datetime
import pathlib

import click

import libseal

from . import options
from .calendar import calendar_of
from .forecast import forecast_of
from .inputs import Inputs, load
from .output import Output


def page_of(inputs: Inputs, forecast: libseal.Forecast, calendar: libseal.Calendar, inches: bool) -> str:
    """The one place that knows which call of libseal.report makes the page."""
    assert inputs.shop is not None
    return libseal.page_text(inputs.fleet, forecast, calendar, inputs.shop, units="us" if inches else "metric")


@click.command(short_help="pages to print or open in a browser")
@options.place
@click.option("--year", type=click.IntRange(1970, 2200), metavar="YEAR", help="Usual: the year after --as-of.")
@options.as_of
@options.shop
@options.findings
@options.work_done
@click.option("--previous", type=options.PATH, metavar="FILE", help="The calendar sent before.")
@click.option("--inches", is_flag=True, help="Lengths in feet and inches.")
@click.option("--out", type=options.PATH, default="report.html", show_default=True, metavar="FILE", help="The page; - for standard output.")
@options.threads
@options.command
def report(output: Output, place: str, year: int | None, as_of: datetime.date | None, shop: str | None, findings: str | None,
           work_done: str | None, previous: str | None, inches: bool, out: str, threads: int) -> None:
    """One page with the year by week, coaches by due date, visits and cautions.

    PLACE is a folder, a fleet, the file of one coach, or - for standard
    input. Needs jinja2.
    """
    inputs = load(output, place, as_of=as_of, findings=findings, work_done=work_done, shop=shop, need_shop=True)
    forecast = forecast_of(output, inputs, 5, threads)
    calendar = calendar_of(output, inputs, year or inputs.as_of.year + 1, previous, False, 40, threads)
    output.write(out, page_of(inputs, forecast, calendar, inches), "report")
    output.result = {"as_of": inputs.as_of, "year": calendar.year, "coaches": len(inputs.fleet.coaches),
                     "page": out if out == "-" else str(pathlib.Path(out))}
