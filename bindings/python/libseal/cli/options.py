"""Options that several commands have in common."""

from __future__ import annotations

import datetime
import functools
from collections.abc import Callable
from typing import Any

import click

from .app import guarded
from .output import Output


class Day(click.ParamType):
    """A day as 2026-05-01."""

    name = "date"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> datetime.date:
        if isinstance(value, datetime.date):
            return value
        try:
            return datetime.date.fromisoformat(value)
        except ValueError:
            self.fail(f'expected a day as 2026-05-01, got "{value}"', param, ctx)


DAY = Day()
PATH = click.Path(allow_dash=True)  # checked when it is read, so that the error is in the document of --json

place = click.argument("place", metavar="PLACE", type=PATH)
as_of = click.option("--as-of", type=DAY, metavar="DATE", help="Day to look from, as 2026-05-01; usual: today.")
findings = click.option("--findings", type=PATH, metavar="FILE", help="Findings of inspections (CSV or JSON), - for standard input.")
work_done = click.option("--work-done", type=PATH, metavar="FILE", help="Work that was done since (CSV or JSON).")
owner_dates = click.option("--owner-dates", type=PATH, metavar="FILE", help="Trips and storage of the coaches (CSV or JSON).")
shop = click.option("--shop", type=PATH, metavar="FILE", help="The shop (JSON); usual: shop.json of the folder.")
threads = click.option("--threads", type=click.IntRange(0, 1024), default=0, metavar="N", help="0: one per processor; no result depends on it.")
coaches = click.option("--coach", "coaches", multiple=True, metavar="ID", help="Only this coach; may be repeated.")


class Season(click.ParamType):
    """A month and its price of labour, as 7=120."""

    name = "month=percent"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> tuple[int, float]:
        if isinstance(value, tuple):
            return value
        month, _, percent = value.partition("=")
        try:
            return int(month), float(percent)
        except ValueError:
            self.fail(f'expected a month and a percentage as 7=120, got "{value}"', param, ctx)


YEAR_OPTIONS = (
    place,
    click.option("--year", type=click.IntRange(1970, 2200), metavar="YEAR", help="Usual: the year after --as-of."),
    as_of, shop, findings, work_done,
    click.option("--previous", type=PATH, metavar="FILE", help="The calendar sent before (as `calendar --save` wrote it), so that visits keep their identity."),
    owner_dates,
    click.option("--warranty-days", type=click.IntRange(0), default=0, metavar="N", help="Longest time between looks that a warranty allows."),
    click.option("--season", type=Season(), multiple=True, metavar="MONTH=PERCENT", help="Price of labour in a month, of the shop's rate; may be repeated."),
    click.option("--most-hours", "most_visit_hours", type=click.FloatRange(0), default=0, metavar="HOURS", help="Longest visit; usual: no limit."),
    threads,
)


def of_a_year(function: Callable[..., Any]) -> Callable[..., Any]:
    """What every command takes that makes the calendar of a year; they reach it as keywords of `calendar_of`."""
    for option in reversed(YEAR_OPTIONS):
        function = option(function)
    return function


def command(function: Callable[..., int | None]) -> Callable[..., int]:
    """Gives a command its --json and --quiet, and its output as the first argument."""

    @click.option("--json", "as_json", is_flag=True, help="One JSON document on standard output instead of text.")
    @click.option("--quiet", is_flag=True, help="No notes and no progress on standard error.")
    @functools.wraps(function)
    def run(as_json: bool, quiet: bool, **options: Any) -> int:
        output = Output(click.get_current_context().info_name or "", as_json, quiet)
        return guarded(output, lambda: function(output, **options))

    return run
