"""libseal tune: said plainly, not there yet."""

from __future__ import annotations

import click

from . import codes, options
from .output import Output


@click.command(short_help="learn from past inspections (not there yet)")
@click.argument("place", metavar="[PLACE]", required=False, type=options.PATH)
@options.command
def tune(output: Output, place: str | None) -> int:
    """Learning lives from past inspections is not there yet.

    The command says so and ends with exit code 4. Findings do sharpen every
    forecast already: see --findings of the other commands.
    """
    output.blame([codes.problem("", "learning from past inspections is not there yet",
                                hint="findings sharpen forecasts already: libseal forecast --findings FILE")])
    return codes.NOT_YET
