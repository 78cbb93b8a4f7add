"""libseal tune: what past inspections teach."""

from __future__ import annotations

import dataclasses
import datetime
import math
from collections.abc import Sequence
from typing import Any

import click

import libseal

from .. import columns
from . import codes, options
from .forecast import csv_text
from .inputs import Inputs, load
from .output import Output

Spec = Sequence[tuple[str, str, str]]


def plain_columns(spec: Spec, source: Any) -> dict[str, list[Any]]:
    """Columns of a table as plain lists, None for what is not known or has no end."""
    return {name: [None if isinstance(value, float) and not math.isfinite(value) else value
                   for value in (column.tolist() if hasattr(column, "tolist") else list(column))]
            for name, column in ((name, getattr(source, field)) for name, field, _ in spec)}


def until(inputs: Inputs, day: datetime.date) -> Inputs:
    """What was known on a day."""
    return dataclasses.replace(inputs, as_of=day, findings=[f for f in inputs.findings if f.date <= day],
                               work_done=[w for w in inputs.work_done if w.date <= day])


def recalibration_of(output: Output, inputs: Inputs, threads: int, session: libseal.Session) -> libseal.Recalibration:
    with output.progress() as progress:
        return libseal.recalibrate(inputs.fleet, inputs.findings, inputs.as_of, work_done=inputs.work_done, threads=threads, session=session,
                                   progress=progress)


def overlay_of(recalibration: libseal.Recalibration, approved: Sequence[str], by: str | None) -> str:
    """The text of the overlay, "" if nothing is approved."""
    if not approved:
        return ""
    if not by:
        raise codes.CommandError(codes.USAGE, [codes.problem("--by NAME with --approve", "nobody", hint="who read the review and takes the lives over")])
    return libseal.fitted_overlay(recalibration, approved=list(approved), by=by)


def tested(output: Output, inputs: Inputs, day: datetime.date, approved: Sequence[str], threads: int,
           session: libseal.Session) -> libseal.BackTest:
    """The looks after a day, forecast from what was known then: by the built-in lives and by those that were fitted until then."""
    known = until(inputs, day)
    fitted = recalibration_of(output, known, threads, session)
    enough = [name for name, verdict in zip(fitted.families.family, fitted.families.verdict, strict=True) if verdict == "enough"]
    families = [name for name in approved or enough if name in enough]
    catalogues = {"built_in": libseal.Catalogue.built_in()}
    if families:
        overlay = libseal.fitted_overlay(fitted, approved=families, by="back test")
        catalogues["fitted"] = catalogues["built_in"].with_overlay(overlay, "fitted")
    else:
        output.note(f"no family had enough looks by {day}: the built-in lives alone are tested")
    with output.progress() as progress:
        return libseal.back_test(inputs.fleet, inputs.findings, day, inputs.as_of, work_done=inputs.work_done, catalogues=catalogues,
                                 each_alone=True, threads=threads, progress=progress)


@click.command(short_help="learn lives and weak designs from past inspections")
@options.place
@options.as_of
@options.findings
@options.work_done
@click.option("--review", type=options.PATH, metavar="FILE", help="The review of the lives as JSON, every row of it; - for standard output.")
@click.option("--lives", type=options.PATH, metavar="FILE", help="Censored lives as CSV, for any program of survival data; - for standard output.")
@click.option("--approve", "approved", multiple=True, metavar="FAMILY", help="Take over the life of this family; may be repeated.")
@click.option("--by", metavar="NAME", help="Who approves; it stands in the overlay.")
@click.option("--overlay", type=options.PATH, metavar="FILE", help="The overlay of the catalogue with what is approved; - for standard output.")
@click.option("--test-from", type=options.DAY, metavar="DATE", help="Also forecast the looks after this day from those before, old and new lives side by side.")
@click.option("--alpha", type=click.FloatRange(0, 1, min_open=True, max_open=True), default=0.05, show_default=True, metavar="SHARE",
              help="Share of the designs called weak that may be called so wrongly.")
@click.option("--by-year", is_flag=True, help="Each model year is a design of its own.")
@options.threads
@options.command
def tune(output: Output, place: str, as_of: datetime.date | None, findings: str | None, work_done: str | None, review: str | None,
         lives: str | None, approved: tuple[str, ...], by: str | None, overlay: str | None, test_from: datetime.date | None, alpha: float,
         by_year: bool, threads: int) -> None:
    """What past inspections say of lives and of designs.

    PLACE is a folder, a fleet, the file of one coach, or - for standard
    input. Prints the review of the lives: read it, then run again with
    --approve and --by for the overlay of the catalogue.
    """
    inputs = load(output, place, as_of=as_of, findings=findings, work_done=work_done)
    if bool(approved) != bool(overlay):
        raise codes.CommandError(codes.USAGE, [codes.problem("--overlay FILE with --approve", "no file") if approved else codes.problem(
            "--approve FAMILY with --overlay", "no family", hint="the review, printed without both, says which have enough looks")])
    session = libseal.Session()  # sites and clocks are worked out once for all steps
    records = libseal.life_records(inputs.fleet, inputs.findings, inputs.as_of, work_done=inputs.work_done, threads=threads, session=session)
    if len(records) == 0:
        raise codes.CommandError(codes.BAD_INPUT, [codes.problem("findings of layers that were looked at", "none", hint="--findings FILE")])
    recalibration = recalibration_of(output, inputs, threads, session)
    text = overlay_of(recalibration, approved, by)
    any_due = any(math.isfinite(upper) for upper in records.upper.tolist())
    spots = libseal.weak_spots(records, alpha, by_year=by_year, fleet=inputs.fleet) if any_due else None
    test = tested(output, inputs, test_from, approved, threads, session) if test_from else None
    output.result = {
        "as_of": inputs.as_of, "families": plain_columns(columns.FAMILY_LIVES, recalibration.families),
        "model_lines": plain_columns(columns.GROUP_LIVES, recalibration.model_lines), "lives": len(records),
        "designs": plain_columns(columns.WEAK_SPOTS, spots) if spots else None,
        "sisters": [{"design": d, "coach": c, "joints": j, "never_seen": n} for d, c, j, n in
                    zip(spots.sisters.design, spots.sisters.coach, spots.sisters.joints, spots.sisters.never_seen, strict=True)] if spots else [],
        "back_test": [{"catalogue": s.catalogue, "brier": s.brier, "log_score": s.log_score, "sharpness": s.sharpness, "log_gain": s.log_gain,
                       "log_gain_error": s.log_gain_error} for s in test.scores] if test else None,
        "approved": list(approved)}
    if review:
        output.write(review, libseal.recalibration_json(recalibration), "review of the lives")
    if lives:
        output.write(lives, csv_text(plain_columns(columns.LIFE_RECORDS, records)), "censored lives")
    if overlay:
        output.write(overlay, text, "overlay of the catalogue")
    if "-" in (review, lives, overlay):
        return
    output.say(libseal.recalibration_text(recalibration))
    output.say(libseal.weak_spots_text(spots) if spots else "No layer was found due: no design can stand out.")
    if test:
        output.say(libseal.back_test_text(test))
