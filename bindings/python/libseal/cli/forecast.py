"""libseal forecast: when each seal comes due."""

from __future__ import annotations

import csv
import datetime
import io
from typing import Any

import click
import numpy as np

import libseal

from ..cells import unlike_a_formula
from . import options
from .inputs import Inputs, chosen, load
from .output import Output, table

# Columns of the result, with their units, and the field of the forecast that they are.
COLUMNS = {"coach": "coach", "joint": "joint", "layer": "layer", "family": "family", "generation": "generation", "age_yr": "age",
           "effective_age_yr": "effective_age", "condition": "condition", "due_10": "due_10", "due_50": "due_50", "due_90": "due_90",
           "inspect_by": "inspect_by", "due_now": "due_now", "due_90_days": "due_90_days", "due_1_year": "due_1_year",
           "due_2_years": "due_2_years", "due_5_years": "due_5_years", "open_now": "open_now", "open_1_year": "open_1_year",
           "share_light": "share_light", "share_heat": "share_heat", "share_moisture": "share_moisture", "share_movement": "share_movement",
           "share_workmanship": "share_workmanship", "share_shared": "share_shared", "flag": "flag"}


def forecast_of(output: Output, inputs: Inputs, years: float, threads: int, session: libseal.Session | None = None,
                warranty_days: int = 0) -> libseal.Forecast:
    """Of the whole fleet, because coaches teach each other."""
    with output.progress() as progress:
        result = libseal.forecast(inputs.fleet, inputs.as_of, years, findings=inputs.findings, work_done=inputs.work_done,
                                  threads=threads, progress=progress, session=session, warranty_days=warranty_days)
    output.warn(result.warnings)
    return result


def columns_of(forecast: libseal.Forecast, rows: list[int]) -> dict[str, list[Any]]:
    """The rows as plain lists; days as text, None for what is not known."""
    found: dict[str, list[Any]] = {}
    for name, field in COLUMNS.items():
        column = getattr(forecast, field)
        if not isinstance(column, np.ndarray):
            found[name] = [column[r] for r in rows]
        elif column.dtype.kind == "M":
            found[name] = column[rows].astype("datetime64[D]").astype(str).tolist()
        else:
            found[name] = [None if np.isnan(value) else value for value in column[rows].tolist()]
    return found


def csv_text(columns: dict[str, list[Any]]) -> str:
    file = io.StringIO()
    writer = csv.writer(file, lineterminator="\n")
    writer.writerow(columns)
    for row in zip(*columns.values(), strict=True):
        writer.writerow(["" if cell is None else unlike_a_formula(cell) if isinstance(cell, str) else cell for cell in row])
    return file.getvalue()


@click.command(short_help="when each seal comes due")
@options.place
@options.as_of
@click.option("--years", type=click.FloatRange(0, 50, min_open=True), default=5.0, show_default=True, help="Span of interest.")
@options.findings
@options.work_done
@options.coaches
@click.option("--most", type=click.IntRange(1), default=30, show_default=True, metavar="N", help="Rows to print; the others are in --csv and --json.")
@click.option("--csv", "csv_file", type=options.PATH, metavar="FILE", help="All rows as CSV; - for standard output.")
@options.threads
@options.command
def forecast(output: Output, place: str, as_of: datetime.date | None, years: float, findings: str | None, work_done: str | None,
             coaches: tuple[str, ...], most: int, csv_file: str | None, threads: int) -> None:
    """When each seal comes due, and how sure that is.

    PLACE is a folder, a fleet, the file of one coach, or - for standard
    input. Rows come by the day by which 10 % of such layers are due. The
    whole fleet is forecast even if only some coaches are asked for: what is
    seen on one says something of its sisters.
    """
    inputs = load(output, place, as_of=as_of, findings=findings, work_done=work_done)
    wanted = {coach.id for coach in chosen(inputs.fleet, coaches)}
    result = forecast_of(output, inputs, years, threads)
    rows = sorted((r for r in range(len(result)) if result.coach[r] in wanted),
                  key=lambda r: (result.due_10[r], result.coach[r], result.joint[r], r))
    columns = columns_of(result, rows)
    output.result = {"as_of": inputs.as_of, "years": years, "rows": len(rows), "columns": columns}
    if csv_file:
        output.write(csv_file, csv_text(columns), "forecast")
        return
    first = list(zip(*(columns[n] for n in ("coach", "joint", "layer", "due_10", "due_50", "due_1_year")), strict=True))[:most]
    output.say(table([[c, j, y, d10, d50, f"{100 * p:.0f} %"] for c, j, y, d10, d50, p in first],
                     ["coach", "joint", "layer", "10 % due", "50 % due", "in a year"]))
    if len(rows) > most:
        output.say(f"... and {len(rows) - most} more")
