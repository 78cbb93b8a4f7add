"""Commands of the package: python -m libseal COMMAND."""

from __future__ import annotations

import argparse
import datetime
import pathlib
import sys
from collections.abc import Sequence
from typing import Any

import libseal

CIRCUMSTANCES = "standing_rain, driving_rain, slide_out, slide_in, cooling_on, cold_morning, washing, after_winter, always"


def write(path: pathlib.Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", newline="\n")


def calibration(arguments: argparse.Namespace) -> int:
    """Prints the calibration table; 1 if a row is outside without a known reason."""
    catalogue = libseal.read_catalogue(arguments.overlay, preset=arguments.preset)
    for problem in catalogue.warnings:
        print(f"warning: {problem}", file=sys.stderr)
    table = libseal.calibration_table(catalogue=catalogue, places=arguments.place or None, threads=arguments.threads)
    if arguments.csv:
        lives = pathlib.Path(arguments.csv)
        write(lives, libseal.calibration_csv(table))
        write(lives.with_name(f"{lives.stem}_checks{lives.suffix}"), libseal.calibration_checks_csv(table))
    else:
        print(libseal.calibration_text(table), end="")
    rows = libseal.unexplained(table)
    for row in rows:
        print(f"not explained: {row}", file=sys.stderr)
    return 1 if rows else 0


def add_calibration(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser("calibration", help="lives by place, surface and family, and what must hold",
                                 description="What the values of a catalogue amount to. Exit code 1 if a row is outside "
                                             "its range without a known reason.")
    parser.add_argument("--preset", default="coach", choices=libseal.Catalogue.preset_names(), help="values to start from")
    parser.add_argument("--overlay", default="", metavar="FILE", help="own values over the preset (JSON)")
    parser.add_argument("--place", action="append", metavar="NAME", help="a station instead of the usual seven places; may be repeated")
    parser.add_argument("--csv", default="", metavar="FILE",
                        help="write the lives to FILE and the checks beside it (..._checks) instead of printing")
    parser.add_argument("--threads", type=int, default=0, metavar="N", help="0: one per processor; no result depends on it")
    parser.set_defaults(run=calibration)


def day_of(text: str) -> datetime.date:
    try:
        return datetime.date.fromisoformat(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f'expected a day as 2026-05-01, got "{text}"') from error


def coach_and_findings(arguments: argparse.Namespace) -> tuple[libseal.Coach, list[libseal.Finding]]:
    """The coach of the file, and its findings up to the day; those of other coaches are counted aloud."""
    coach = libseal.read_coach(arguments.coach)
    if not arguments.findings:
        return coach, []
    findings = libseal.read_findings(arguments.findings)
    own = [f for f in findings if f.coach == coach.id and f.date <= arguments.as_of]
    if len(own) < len(findings):
        print(f"note: {len(findings) - len(own)} findings are of other coaches or later than {arguments.as_of}", file=sys.stderr)
    libseal.check_findings(own, libseal.Fleet(coaches=[coach]), arguments.as_of)
    return coach, own


def forecast_if_known(coach: libseal.Coach, findings: list[libseal.Finding], as_of: datetime.date) -> libseal.Forecast | None:
    """None, and a note, for a coach whose whereabouts are not on record."""
    if not coach.stays:
        print("note: no stays on record, so no forecast", file=sys.stderr)
        return None
    return libseal.forecast(coach, as_of, 5, findings=findings)


def sheet(arguments: argparse.Namespace) -> int:
    """Writes the survey sheet of a coach."""
    coach, findings = coach_and_findings(arguments)
    forecast = forecast_if_known(coach, findings, arguments.as_of)
    text = libseal.survey_sheet(coach, arguments.as_of, forecast, findings)
    target = pathlib.Path(arguments.out or f"{pathlib.Path(arguments.coach).stem}_sheet.html")
    write(target, text)
    print(f"{len(coach.joints)} joints: {target}")
    return 0


class NewStain(argparse.Action):
    """--stain SURFACE,U,V[,SLIDE]: opens a mark that the options after it speak of."""

    def __call__(self, parser: argparse.ArgumentParser, namespace: argparse.Namespace, values: object, option: str | None = None) -> None:
        words = str(values).split(",")
        try:
            at = libseal.Point(u=float(words[1]), v=float(words[2]))
        except (IndexError, ValueError):
            parser.error(f'--stain: expected SURFACE,U,V[,SLIDE] in metres, got "{values}"')
        if len(words) > 4:
            parser.error(f'--stain: expected SURFACE,U,V[,SLIDE], got "{values}"')
        stain = libseal.Stain(surface=words[0], at=at, slide=words[3] if len(words) > 3 else "")
        namespace.stains = [*(namespace.stains or []), stain]


class OfStain(argparse.Action):
    """An option that changes the mark before it."""

    def __call__(self, parser: argparse.ArgumentParser, namespace: argparse.Namespace, values: object, option: str | None = None) -> None:
        if not namespace.stains:
            parser.error(f"{option}: expected after a --stain")
        stain = namespace.stains[-1]
        changes: dict[str, dict[str, Any]] = {"--appears": {"appears": [*stain.appears, str(values)]}, "--stays-dry": {"stays_dry": [*stain.stays_dry, str(values)]},
                                              "--kind": {"kind": str(values)}, "--outside": {"inside": False},
                                              "--dry": {"wet": False}}
        namespace.stains = [*namespace.stains[:-1], stain.replace(**changes[str(option)])]


def leak_text(trace: libseal.LeakTrace) -> str:
    """Ranked joints, other causes and tests as plain tables."""
    lines = [f"{'rank':>4}  {'joint':28} {'source':>7} {'open':>6} {'before':>7}"]
    for rank, c in enumerate(trace.candidates, start=1):
        lines.append(f"{rank:4}  {c.joint:28} {c.probability:7.1%} {c.open:6.1%} {c.before:7.1%}")
        lines += [f"      {'; '.join(step.way for step in c.path[1:])}"] if len(c.path) > 1 else []
    lines += ["", "other causes"] + [f"      {o.name:28} {o.probability:7.1%}  {o.check}" for o in trace.others]
    lines += ["", "tests, lowest first"] + [f"      {t.joint:28} {t.chance_wet:7.1%} wet  {t.minutes:4.0f} min  {t.how}" for t in trace.tests]
    return "\n".join(lines) + "\n"


def leak(arguments: argparse.Namespace) -> int:
    """Prints where water may come in and writes the drawing of its ways."""
    coach, findings = coach_and_findings(arguments)
    forecast = libseal.forecast(coach, arguments.as_of, 5, findings=findings)
    trace = libseal.trace_leak(coach, arguments.stains, findings, forecast, most=arguments.most)
    print(leak_text(trace), end="")
    catalogue = libseal.Catalogue.built_in()
    print("\ncautions", *libseal.sheet.look_cautions(coach, catalogue), libseal.closing_line(catalogue), sep="\n      ")
    target = pathlib.Path(arguments.out or f"{pathlib.Path(arguments.coach).stem}_leak.svg")
    write(target, libseal.draw_coach(coach, forecast, findings=findings, trace=trace, stains=arguments.stains))
    print(f"\ndrawing: {target}")
    return 0


def add_survey(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser("sheet", help="survey sheet of a coach, to print and take along")
    marks = commands.add_parser("leak", help="where does the water come from: ranked joints and a drawing")
    for one, what in ((parser, "the sheet (HTML)"), (marks, "the drawing (SVG)")):
        one.add_argument("coach", metavar="COACH.json", help="file of one coach")
        one.add_argument("--as-of", type=day_of, required=True, metavar="DATE", help="day, as 2026-05-01")
        one.add_argument("--findings", default="", metavar="FILE", help="earlier findings (CSV or JSON)")
        one.add_argument("--out", default="", metavar="FILE", help=f"where {what} goes; usual: a name after the coach's, here")
    parser.set_defaults(run=sheet)
    marks.add_argument("--stain", action=NewStain, required=True, dest="stains", metavar="SURFACE,U,V[,SLIDE]",
                       help="a mark in metres on the unfolded surface: the ceiling is roof, the floor underside; may be repeated")
    for name, metavar, text in (("--appears", "WHEN", f"of the mark before: {CIRCUMSTANCES}"), ("--stays-dry", "WHEN", "of the mark before"),
                                ("--kind", "KIND", "of the mark before: stain, soft_spot, wet_reading, dirt_run")):
        marks.add_argument(name, action=OfStain, dest="stains", metavar=metavar, help=text)
    for name, text in (("--outside", "the mark before is outside"), ("--dry", "the place before was looked at, and is dry")):
        marks.add_argument(name, action=OfStain, dest="stains", nargs=0, help=text)
    marks.add_argument("--most", type=int, default=10, metavar="N", help="candidates to print")
    marks.set_defaults(run=leak)


def main(argv: Sequence[str] | None = None) -> int:
    """Runs one command. Errors of the input give their text and exit code 2."""
    parser = argparse.ArgumentParser(prog="python -m libseal", description="Exterior seals: ageing, forecast, planning.")
    parser.add_argument("--version", action="version", version=libseal.__version__)
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    add_calibration(commands)
    add_survey(commands)
    arguments = parser.parse_args(argv)
    try:
        return int(arguments.run(arguments))
    except (libseal.Error, OSError) as error:
        print(f"error: {error}", file=sys.stderr)
        return 2


if __name__ == "__main__":
    sys.exit(main())
