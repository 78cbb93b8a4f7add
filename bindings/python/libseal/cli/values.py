"""libseal calibration: what the values of a catalogue amount to."""

from __future__ import annotations

import pathlib

import click

import libseal

from . import codes, options
from .output import Output


@click.command(short_help="lives by place, surface and family")
@click.option("--preset", type=click.Choice(libseal.Catalogue.preset_names()), default="coach", show_default=True, help="Values to start from.")
@click.option("--overlay", type=click.Path(), metavar="FILE", help="Own values over the preset (JSON).")
@click.option("--place", "places", multiple=True, metavar="NAME", help="A station instead of the usual seven places; may be repeated.")
@click.option("--csv", "csv_file", type=options.PATH, metavar="FILE",
              help="Write the lives to FILE and the checks beside it (..._checks); - for the lives alone on standard output.")
@options.threads
@options.command
def calibration(output: Output, preset: str, overlay: str | None, places: tuple[str, ...], csv_file: str | None, threads: int) -> int:
    """Lives by place, surface and family, and what must hold.

    Exit code 1 if a row is outside its range without a known reason.
    """
    catalogue = libseal.read_catalogue(overlay or "", preset=preset)
    output.warn(catalogue.warnings)
    table = libseal.calibration_table(catalogue=catalogue, places=list(places) or None, threads=threads)
    if csv_file:
        lives = pathlib.Path(csv_file)
        output.write(csv_file, libseal.calibration_csv(table), "lives")
    if csv_file and csv_file != "-":
        output.write(str(lives.with_name(f"{lives.stem}_checks{lives.suffix}")), libseal.calibration_checks_csv(table), "checks")
    if not csv_file:
        output.say(libseal.calibration_text(table).rstrip("\n"))
    rows = libseal.unexplained(table)
    output.result = {"lives": {n: getattr(table.lives, n) for n in ("family", "layer", "place", "surface", "median")},
                     "checks": {n: getattr(table.checks, n) for n in ("rule", "subject", "value", "low", "high", "unit", "source", "verdict")},
                     "unexplained": rows}
    output.blame([codes.problem("", f"not explained: {row}") for row in rows])
    return codes.BAD_INPUT if rows else codes.OK
