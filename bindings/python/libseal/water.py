"""The way of the water on the drawing: marks, likeliest joints, lines with arrows through the places between.

The views show the coach from outside, so that only what runs over the outside is a whole line; what is behind the skin or
indoors is dashed.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from . import _libseal as core
from .canvas import Room, View, XY, cells_of, escape, leader, paper, small_text, table, view_of, words

WIDTHS = (2.2, 1.6, 1.1)  # of the lines by rank [px]
OUTSIDE = ("joint", "surface")  # kinds of places that lie on the outside


def hidden(place: core.WaterPlace) -> bool:
    """Is it behind the skin or indoors?"""
    return place.kind not in OUTSIDE


def letter_name(number: int) -> str:
    """A to Z, AA, AB, ..."""
    name = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        name = chr(65 + rest) + name
    return name


class WaterDrawing:
    """Draws ways into the bodies of views; connectors between views are shared by ways that cross at the same place."""

    def __init__(self, views: Sequence[View], room: Room) -> None:
        self.views, self.room = views, room
        self.letters: dict[tuple[str, str], str] = {}
        self.ends: dict[tuple[str, str, int], XY] = {}  # connector of a crossing, at its first and second end

    def spot(self, place: core.WaterPlace, rank: int) -> tuple[View, XY] | None:
        """Where a place is drawn: ways of several ranks lie side by side."""
        view = view_of(self.views, place.surface, place.slide)
        if view is None:
            return None
        x, y = view.at(place.at.u, place.at.v)
        return view, (x + 3.5 * (rank - 1), y + 3.5 * (rank - 1))

    def line(self, view: View, a: XY, b: XY, rank: int, ends: tuple[core.WaterPlace, core.WaterPlace]) -> None:
        behind = hidden(ends[0]) or hidden(ends[1])
        names = f'data-rank="{rank}" data-from="{escape(ends[0].id)}" data-to="{escape(ends[1].id)}" data-hidden="{"yes" if behind else "no"}"'
        length = math.hypot(b[0] - a[0], b[1] - a[1])
        if length < 3:  # straight through, away from the reader
            view.body.append(f'<circle class="through" {names} cx="{b[0]:.1f}" cy="{b[1]:.1f}" r="{3 + rank:.1f}"/>')
            return
        dashes = ' stroke-dasharray="5 3"' if behind else ""
        self.room.lines.update(cells_of([a, b]))
        tx, ty = (b[0] - a[0]) / length, (b[1] - a[1]) / length
        size = min(7.0, length / 2)
        tip = (a[0] + tx * (length * 0.6 + size / 2), a[1] + ty * (length * 0.6 + size / 2))
        wings = [(tip[0] - size * tx + s * 0.42 * size * ty, tip[1] - size * ty - s * 0.42 * size * tx) for s in (1, -1)]
        view.body.append(f'<g class="water" {names}><line x1="{a[0]:.1f}" y1="{a[1]:.1f}" x2="{b[0]:.1f}" y2="{b[1]:.1f}" '
                         f'stroke-width="{WIDTHS[min(rank, 3) - 1]}"{dashes}/><polygon points="'
                         + " ".join(f"{x:.1f},{y:.1f}" for x, y in (tip, *wings)) + '"/></g>')

    def connector(self, crossing: tuple[str, str], end: int, view: View, near: XY) -> XY:
        """Middle of the lettered ring at one end of a crossing, drawn at the first call."""
        known = self.ends.get((*crossing, end))
        if known:
            return known
        letter = self.letters.setdefault(crossing, letter_name(len(self.letters)))
        box, _ = self.room.place([near], 15 if len(letter) == 1 else 20, 15, view.box(), least=14)
        x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
        view.body.append(f'<g class="connector" data-letter="{letter}" data-end="{end}">{paper(box)}<circle cx="{x:.1f}" cy="{y:.1f}" r="6.5"/>'
                         + small_text(x, y + 3.2, letter, "letter", "middle") + "</g>")
        self.ends[(*crossing, end)] = (x, y)
        return x, y

    def step(self, a: core.WaterPlace, b: core.WaterPlace, rank: int) -> str:
        """Draws one step; gives the letter if it changes the view."""
        start, stop = self.spot(a, rank), self.spot(b, rank)
        if start is None or stop is None:
            return ""
        if start[0] is stop[0]:
            self.line(start[0], start[1], stop[1], rank, (a, b))
            return ""
        first = self.connector((a.id, b.id), 0, start[0], start[1])
        second = self.connector((a.id, b.id), 1, stop[0], stop[1])
        self.line(start[0], start[1], first, rank, (a, b))
        self.line(stop[0], second, stop[1], rank, (a, b))
        return self.letters[a.id, b.id]

    def way(self, candidate: core.LeakCandidate, rank: int) -> str:
        """Draws the way of a candidate with its rank and probability; gives it in words."""
        said = []
        for before, step in zip(candidate.path, candidate.path[1:]):
            letter = self.step(before.place, step.place, rank)
            said.append(step.way + (f" ({letter}-{letter})" if letter else ""))
        if not candidate.path:
            return "no way found"
        start, stop = self.spot(candidate.path[0].place, rank), self.spot(candidate.path[-1].place, rank)
        if start:
            text = f"{rank}: {100 * candidate.probability:.0f} %"
            box, anchor = self.room.place([start[1]], 6.2 * len(text) + 2, 12, start[0].box())
            start[0].body.append(f'<g class="rank" data-rank="{rank}" data-joint="{escape(candidate.joint)}">{leader(anchor, box)}{paper(box)}'
                                 f'<circle class="spot" cx="{anchor[0]:.1f}" cy="{anchor[1]:.1f}" r="2.4"/>'
                                 + small_text(box[0] + 1, box[3] - 2.5, text, "ranked") + "</g>")
        if stop:
            x, y = stop[1]
            self.room.boxes.append((x - 4, y - 4, x + 4, y + 4))
            stop[0].body.append(f'<rect class="shows" data-rank="{rank}" x="{x - 3.5:.1f}" y="{y - 3.5:.1f}" width="7" height="7"/>')
        return "; ".join(said)

    def stain(self, stain: core.Stain, number: int) -> None:
        """A cross in a circle where the mark was seen, a circle alone where it was dry."""
        view = view_of(self.views, stain.surface, stain.slide)
        if view is None:
            return
        x, y = view.at(stain.at.u, stain.at.v)
        self.room.boxes.append((x - 8, y - 8, x + 8, y + 8))
        cross = "".join(f'<line x1="{x - s * 5:.1f}" y1="{y - 5:.1f}" x2="{x + s * 5:.1f}" y2="{y + 5:.1f}"/>' for s in (1, -1)) if stain.wet else ""
        view.body.append(f'<g class="stain" data-stain="{number}"><circle cx="{x:.1f}" cy="{y:.1f}" r="7"/>{cross}</g>')

    def stain_label(self, stain: core.Stain, number: int) -> None:
        """Kind and number beside a mark, when all ways are drawn."""
        view = view_of(self.views, stain.surface, stain.slide)
        if view is None:
            return
        x, y = view.at(stain.at.u, stain.at.v)
        text = (f"{words(stain.kind)} {number}" if stain.wet else f"dry {number}") + (", inside" if stain.inside else "")
        box, _ = self.room.place([(x, y)], 5.1 * len(text) + 2, 11, view.box(), least=9)
        view.body.append(leader((x, y), box) + paper(box) + small_text(box[0] + 1, box[3] - 2.5, text))


def surfaces_of(trace: core.LeakTrace | None, stains: Sequence[core.Stain], most: int) -> set[tuple[str, str]]:
    """Surfaces that the drawing needs for ways and marks."""
    used = {(stain.surface, stain.slide) for stain in stains}
    for candidate in trace.candidates[:most] if trace else []:
        used.update((step.place.surface, step.place.slide) for step in candidate.path)
    return used


def draw_water(trace: core.LeakTrace | None, stains: Sequence[core.Stain], most: int, views: Sequence[View], room: Room) -> list[str]:
    """Ways of the likeliest candidates and the marks; gives the ways in words."""
    drawing = WaterDrawing(views, room)
    for number, stain in enumerate(stains, start=1):
        drawing.stain(stain, number)
    said = [drawing.way(candidate, rank) for rank, candidate in enumerate(trace.candidates[:most] if trace else [], start=1)]
    for number, stain in enumerate(stains, start=1):
        drawing.stain_label(stain, number)
    return said


def stain_words(stain: core.Stain) -> str:
    """A mark with its place and when it appears."""
    where = words(stain.surface) + (f" of {words(stain.slide)}" if stain.slide else "")
    side = "inside, " if stain.inside else "outside, "
    text = f"{words(stain.kind) if stain.wet else 'dry'}: {side}{where}, {stain.at.u:.2f} m, {stain.at.v:.2f} m"
    if stain.appears:
        text += "; appears: " + ", ".join(words(name) for name in stain.appears)
    if stain.stays_dry:
        text += "; stays dry: " + ", ".join(words(name) for name in stain.stays_dry)
    return text + (f"; {stain.note}" if stain.note else "")


def key(trace: core.LeakTrace | None, stains: Sequence[core.Stain], ways: Sequence[str], numbers: Mapping[str, int],
        x: float, y: float, width: float) -> tuple[str, float]:
    """Marks, candidates with their ways, other causes with how to tell."""
    out = []
    if stains:
        body, y = table(x, y, width, "Water marks", ("No.", "What and where"), (0.06, 0.94),
                        [[str(i), stain_words(stain)] for i, stain in enumerate(stains, start=1)])
        out.append(body)
    if trace and ways:
        rows = [[str(rank), f"{numbers.get(c.joint, '')} {words(c.joint)}", f"{100 * c.probability:.0f} %",
                 f"{100 * c.open:.0f} % ({100 * c.before:.0f} %)", way]
                for rank, (c, way) in enumerate(zip(trace.candidates, ways), start=1)]
        body, y = table(x, y + 10, width, "Where the water may come in",
                        ("Rank", "Joint", "Probability", "Open (before)", "Way of the water"), (0.06, 0.2, 0.1, 0.13, 0.51), rows)
        out.append(body)
        out.append(small_text(x, y + 4, "Whole line: over the outside. Dashed: behind the skin or indoors."))
        out.append(small_text(x, y + 15, "Equal letters: the way goes on in another view. Small square: where it shows."))
        body, y = table(x, y + 36, width, "What else makes such marks", ("Cause", "Probability", "How to tell"), (0.2, 0.12, 0.68),
                        [[words(o.name), f"{100 * o.probability:.0f} %", o.check] for o in trace.others])
        out.append(body)
    return '<g class="key">' + "".join(out) + "</g>", y
