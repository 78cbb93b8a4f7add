"""libseal sheet and libseal leak: paper for a walk round a coach, and where the water comes from."""

from __future__ import annotations

import dataclasses
import datetime
import math
import pathlib
from typing import Any

import click

import libseal

from ..files import kept_name
from . import codes, options
from .inputs import chosen, load
from .output import Output

CIRCUMSTANCES = "standing_rain, driving_rain, slide_out, slide_in, cooling_on, cold_morning, washing, after_winter, always"


@dataclasses.dataclass
class Subject:
    """One coach, and what is known of it on a day."""

    coach: libseal.Coach
    day: datetime.date
    findings: list[libseal.Finding]
    work_done: list[libseal.WorkDone]
    stem: str  # of usual file names, in this folder


def subject_of(output: Output, place: str, coach: str | None, as_of: datetime.date | None, findings: str | None, work_done: str | None) -> Subject:
    """The coach, and its findings and work up to the day; those of other coaches and later ones are counted aloud."""
    inputs = load(output, place, as_of=as_of, findings=findings, work_done=work_done, of_any=True)
    coaches = chosen(inputs.fleet, [coach] if coach else [])
    if len(coaches) != 1:
        raise codes.CommandError(codes.USAGE, [codes.problem("one coach", f"{len(coaches)} coaches", hint="--coach ID says which")])
    (one,) = coaches
    day = inputs.as_of
    seen = [f for f in inputs.findings if f.coach == one.id and f.date <= day]
    done = [w for w in inputs.work_done if w.coach == one.id and w.date <= day]
    for left, single, several in ((len(inputs.findings) - len(seen), "finding", "findings"),
                                  (len(inputs.work_done) - len(done), "record of work", "records of work")):
        if left:
            output.note(f"{left} {several} are of other coaches or later than {day}" if left > 1 else f"1 {single} is of another coach or later than {day}")
    libseal.check_findings(seen, libseal.Fleet(coaches=coaches), day)
    libseal.check_work_done(done, libseal.Fleet(coaches=coaches), day)
    return Subject(one, day, seen, done, stem_of(place, one, len(inputs.fleet.coaches)))


def stem_of(place: str, coach: libseal.Coach, coaches: int) -> str:
    """Of the file of the one coach its name, else a name after the coach's: an id may hold any words, and its file stays in this folder."""
    return pathlib.Path(place).stem if coaches == 1 and place != "-" and pathlib.Path(place).is_file() else kept_name(coach.id)


coach_option = click.option("--coach", metavar="ID", help="Which coach of a fleet.")


@click.command(short_help="survey sheet of a coach, to take along")
@options.place
@coach_option
@options.as_of
@options.findings
@options.work_done
@click.option("--out", type=options.PATH, metavar="FILE", help="The sheet (HTML); usual: a name after the coach's, here.")
@options.command
def sheet(output: Output, place: str, coach: str | None, as_of: datetime.date | None, findings: str | None, work_done: str | None, out: str | None) -> None:
    """Survey sheet of a coach, to print and take along.

    PLACE is the file of one coach, or a fleet or folder with --coach.
    """
    one = subject_of(output, place, coach, as_of, findings, work_done)
    forecast = None
    if one.coach.stays:
        forecast = libseal.forecast(one.coach, one.day, 5, findings=one.findings, work_done=one.work_done)
    else:
        output.note("no stays on record, so no forecast")
    target, joints = out or f"{one.stem}_sheet.html", len(one.coach.joints)
    output.result = {"coach": one.coach.id, "as_of": one.day, "joints": joints, "page": target}
    output.write(target, libseal.survey_sheet(one.coach, one.day, forecast, one.findings, work_done=one.work_done), f"{joints} joints")


class InOrder(click.Command):
    """Keeps the options as they came one after the other: some speak of the --stain before them."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        values, _, order = self.make_parser(ctx).parse_args(args=list(args))
        lists = {name: iter(value) if isinstance(value, (list, tuple)) else None for name, value in values.items()}
        sequence = []
        for parameter in order:
            name = parameter.name or ""
            source = lists.get(name)
            sequence.append((name, next(source) if source is not None else True))
        ctx.meta["libseal.sequence"] = sequence
        return super().parse_args(ctx, args)


def stain_of(text: str) -> libseal.Stain:
    words = text.split(",")
    try:
        at = libseal.Point(u=float(words[1]), v=float(words[2]))
        if not (math.isfinite(at.u) and math.isfinite(at.v)):
            raise ValueError("no place")
    except (IndexError, ValueError) as error:
        raise click.BadParameter(f'expected SURFACE,U,V[,SLIDE] in metres, got "{text}"', param_hint="--stain") from error
    if len(words) > 4:
        raise click.BadParameter(f'expected SURFACE,U,V[,SLIDE], got "{text}"', param_hint="--stain")
    return libseal.Stain(surface=words[0], at=at, slide=words[3] if len(words) > 3 else "")


def stains_of(sequence: list[tuple[str, Any]]) -> list[libseal.Stain]:
    """Marks with what was said of each."""
    stains: list[libseal.Stain] = []
    for name, value in sequence:
        if name == "stain":
            stains.append(stain_of(str(value)))
            continue
        if name not in ("appears", "stays_dry", "kind", "outside", "dry"):
            continue
        if not stains:
            raise click.BadParameter("expected after a --stain", param_hint=f"--{name.replace('_', '-')}")
        last = stains[-1]
        changes: dict[str, dict[str, Any]] = {"appears": {"appears": [*last.appears, str(value)]}, "stays_dry": {"stays_dry": [*last.stays_dry, str(value)]},
                                              "kind": {"kind": str(value)}, "outside": {"inside": False}, "dry": {"wet": False}}
        stains[-1] = last.replace(**changes[name])
    return stains


def leak_text(trace: libseal.LeakTrace) -> str:
    """Ranked joints, other causes and tests as plain tables."""
    lines = [f"{'rank':>4}  {'joint':28} {'source':>7} {'open':>6} {'before':>7}"]
    for rank, c in enumerate(trace.candidates, start=1):
        lines.append(f"{rank:4}  {c.joint:28} {c.probability:7.1%} {c.open:6.1%} {c.before:7.1%}")
        lines += [f"      {'; '.join(step.way for step in c.path[1:])}"] if len(c.path) > 1 else []
    lines += ["", "other causes"] + [f"      {o.name:28} {o.probability:7.1%}  {o.check}" for o in trace.others]
    lines += ["", "tests, lowest first"] + [f"      {t.joint:28} {t.chance_wet:7.1%} wet  {t.minutes:4.0f} min  {t.how}" for t in trace.tests]
    return "\n".join(lines)


def leak_data(trace: libseal.LeakTrace) -> dict[str, Any]:
    return {"candidates": [{"joint": c.joint, "probability": c.probability, "open": c.open, "before": c.before,
                            "path": [step.way for step in c.path]} for c in trace.candidates],
            "others": [{"name": o.name, "probability": o.probability, "check": o.check} for o in trace.others],
            "tests": [{"joint": t.joint, "chance_wet": t.chance_wet, "minutes": t.minutes, "how": t.how} for t in trace.tests]}


@click.command(cls=InOrder, short_help="where does the water come from")
@options.place
@coach_option
@options.as_of
@options.findings
@options.work_done
@click.option("--stain", multiple=True, required=True, metavar="SURFACE,U,V[,SLIDE]",
              help="A mark in metres on the unfolded surface: the ceiling is roof, the floor underside; may be repeated.")
@click.option("--appears", multiple=True, metavar="WHEN", help=f"Of the mark before: {CIRCUMSTANCES}.")
@click.option("--stays-dry", multiple=True, metavar="WHEN", help="Of the mark before.")
@click.option("--kind", multiple=True, metavar="KIND", help="Of the mark before: stain, soft_spot, wet_reading, dirt_run.")
@click.option("--outside", count=True, help="The mark before is outside.")
@click.option("--dry", count=True, help="The place before was looked at, and is dry.")
@click.option("--most", type=click.IntRange(1), default=10, show_default=True, metavar="N", help="Candidates to print.")
@click.option("--out", type=options.PATH, metavar="FILE", help="The drawing (SVG); usual: a name after the coach's, here.")
@options.command
def leak(output: Output, place: str, coach: str | None, as_of: datetime.date | None, findings: str | None, work_done: str | None, most: int,
         out: str | None, **_: Any) -> None:
    """Where may the water come from: ranked joints, what to test first, and a
    drawing of its ways.

    PLACE is the file of one coach, or a fleet or folder with --coach.
    """
    stains = stains_of(click.get_current_context().meta["libseal.sequence"])
    one = subject_of(output, place, coach, as_of, findings, work_done)
    forecast = libseal.forecast(one.coach, one.day, 5, findings=one.findings, work_done=one.work_done)
    trace = libseal.trace_leak(one.coach, stains, one.findings, forecast, most=most)
    output.result = {"coach": one.coach.id, "as_of": one.day, **leak_data(trace)}
    output.say(leak_text(trace))
    catalogue = libseal.Catalogue.built_in()
    output.say("\n      ".join(["\ncautions", *libseal.sheet.look_cautions(one.coach, catalogue), libseal.closing_line(catalogue)]) + "\n")
    output.write(out or f"{one.stem}_leak.svg",
                 libseal.draw_coach(one.coach, forecast, findings=one.findings, work_done=one.work_done, trace=trace, stains=stains), "drawing")
