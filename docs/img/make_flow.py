#!/usr/bin/env python3
"""Draws flow.svg, the picture of docs/concepts.md: what is worked out from what. Run it again after a change; the output is committed."""

import html
import pathlib

HERE = pathlib.Path(__file__).parent
WIDTH, HEIGHT = 760, 690
LEFT, STAGE, SIDE, SIDE_WIDTH = 30, 270, 410, 230
TOP, STEP, BOX = 20, 82, 52

# The stages, top to bottom, each with what it says in a few words.
STAGES = [("weather", "hours of a year at a place"), ("exposure", "what reaches each surface"), ("ageing", "effective years of each layer"),
          ("forecast", "chance of being due, by day"), ("tasks", "what is to be done, and why"), ("order", "what must come before what"),
          ("schedule", "who does it when, in which bay"), ("calendar", "visits of the year, by owner")]
# What joins on the way: name, words, the stages that it goes to; its place is beside the first.
INPUTS = [("coach", "surfaces, joints, layers, stays", [1]), ("catalogue", "values with range and source", [2]),
          ("findings, work done", "what was seen and renewed", [3]), ("shop", "people, bays, hours, prices", [4, 6])]
TITLE = "From weather to calendar and back"
DESCRIPTION = ("Eight stages from top to bottom: weather, exposure, ageing, forecast, tasks, order, schedule, calendar. From the right the coach joins at the "
               "exposure, the catalogue at the ageing, findings and work done at the forecast, the shop at the tasks and the schedule. A line from the "
               "calendar leads back up: inspections give new findings, and what they teach goes into the catalogue.")


def box(x: float, y: float, width: float, name: str, words: str, dashed: bool = False) -> str:
    line = ' stroke-dasharray="6 4"' if dashed else ""
    return (f'<rect x="{x}" y="{y}" width="{width}" height="{BOX}" rx="4" fill="#ffffff" stroke="#000000" stroke-width="1.5"{line}/>'
            f'<text x="{x + 12}" y="{y + 22}" font-size="16" font-weight="bold">{html.escape(name)}</text>'
            f'<text x="{x + 12}" y="{y + 42}" font-size="13">{html.escape(words)}</text>')


def arrow(*points: tuple[float, float], dashed: bool = False) -> str:
    path = "M" + " L".join(f"{x} {y}" for x, y in points)
    return f'<path d="{path}" fill="none" stroke="#000000" stroke-width="1.5"{" stroke-dasharray=" + chr(34) + "6 4" + chr(34) if dashed else ""} marker-end="url(#tip)"/>'


def row(stage: int) -> float:
    return TOP + stage * STEP


def picture() -> str:
    parts = [f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-labelledby="title desc" '
             'font-family="sans-serif" fill="#000000">',
             f'<title id="title">{TITLE}</title>', f'<desc id="desc">{DESCRIPTION}</desc>',
             '<defs><marker id="tip" viewBox="0 0 10 10" refX="9" refY="5" markerWidth="8" markerHeight="8" orient="auto"><path d="M0 0 L10 5 L0 10 z"/></marker></defs>',
             f'<rect width="{WIDTH}" height="{HEIGHT}" fill="#ffffff"/>']
    for number, (name, words) in enumerate(STAGES):
        parts.append(box(LEFT, row(number), STAGE, f"{number + 1}  {name}", words))
        if number:
            parts.append(arrow((LEFT + STAGE / 2, row(number - 1) + BOX), (LEFT + STAGE / 2, row(number))))
    for name, words, goals in INPUTS:
        y = row(goals[0])
        parts += [box(SIDE, y, SIDE_WIDTH, name, words, dashed=True), arrow((SIDE, y + BOX / 2), (LEFT + STAGE, y + BOX / 2))]
        parts += [arrow((SIDE + 30, y + BOX), (SIDE + 30, row(goal) + BOX / 2), (LEFT + STAGE, row(goal) + BOX / 2)) for goal in goals[1:]]
    # The way back: visits become findings, and findings become values of the catalogue.
    low, right = row(7) + BOX / 2, WIDTH - 40
    parts += [arrow((LEFT + STAGE, low), (right, low), (right, row(3) + BOX / 2), (SIDE + SIDE_WIDTH, row(3) + BOX / 2), dashed=True),
              arrow((SIDE + SIDE_WIDTH / 2, row(3)), (SIDE + SIDE_WIDTH / 2, row(2) + BOX), dashed=True),
              f'<text x="{SIDE + 40}" y="{low - 8}" font-size="13">visits: looks and work done</text>',
              f'<text x="{SIDE + SIDE_WIDTH / 2 + 10}" y="{row(3) - 10}" font-size="13">what inspections teach</text>', "</svg>"]
    return "\n".join(parts) + "\n"


if __name__ == "__main__":
    (HERE / "flow.svg").write_text(picture(), encoding="utf-8", newline="\n")
