"""Commands of the package: python -m libseal COMMAND."""

from __future__ import annotations

import argparse
import pathlib
import sys
from collections.abc import Sequence

import libseal


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


def main(argv: Sequence[str] | None = None) -> int:
    """Runs one command. Errors of the input give their text and exit code 2."""
    parser = argparse.ArgumentParser(prog="python -m libseal", description="Exterior seals: ageing, forecast, planning.")
    parser.add_argument("--version", action="version", version=libseal.__version__)
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    add_calibration(commands)
    arguments = parser.parse_args(argv)
    try:
        return int(arguments.run(arguments))
    except (libseal.Error, OSError) as error:
        print(f"error: {error}", file=sys.stderr)
        return 2


if __name__ == "__main__":
    sys.exit(main())
