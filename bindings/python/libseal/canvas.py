"""What the drawings share: views of an unfolded coach, room on the sheet, texts beside lines, one light-to-dark ramp."""

from __future__ import annotations

import math
import re
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from html import escape as escape_marks

from . import _libseal as core

SCALE = 86.0  # usual px per metre
ASCENT, CELL = 8.0, 3.0  # height of the digits of a label, squares of the map of lines [px]
LIGHT, DARK = (0xBB, 0xC8, 0xD4), (0x0C, 0x12, 0x1A)  # ends of the one ramp
DISTANCES = (5, 9, 14, 20, 28, 38, 50, 64, 84, 110, 140)  # of a text from what it belongs to [px]
NO_TEXT = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff]")  # what neither XML nor HTML allows
XY = tuple[float, float]
Box = tuple[float, float, float, float]  # left, top, right, bottom


def clean(text: str) -> str:
    """A text with a replacement mark for each letter that neither XML nor HTML allows."""
    return NO_TEXT.sub("\ufffd", text)


def escape(text: str) -> str:
    """A text for an element or an attribute of a drawing."""
    return escape_marks(clean(text))


def ramp_colour(p: float) -> str:
    """Colour of a probability, light to dark."""
    p = min(max(p, 0.0), 1.0)
    return "#" + "".join(f"{round(a + (b - a) * p):02x}" for a, b in zip(LIGHT, DARK))


def ramp_width(p: float) -> float:
    """Line width of a probability. [px]"""
    return 1.3 + 2.9 * min(max(p, 0.0), 1.0)


def words(name: str) -> str:
    return name.replace("_", " ")


def overlap(a: Box, b: Box) -> float:
    return max(0.0, min(a[2], b[2]) - max(a[0], b[0])) * max(0.0, min(a[3], b[3]) - max(a[1], b[1]))


@dataclass
class Room:
    """What lies on the sheet already, so that the next text finds a free place."""

    boxes: list[Box] = field(default_factory=list)
    lines: set[tuple[int, int]] = field(default_factory=set)  # squares of CELL px that joints run through

    def crossed(self, box: Box) -> int:
        """Squares of a box that a line runs through."""
        return sum((i, j) in self.lines for i in range(int(box[0] // CELL), int(box[2] // CELL) + 1)
                   for j in range(int(box[1] // CELL), int(box[3] // CELL) + 1))

    def place(self, anchors: Sequence[XY], width: float, height: float, within: Box | None = None,
              least: float = 0.0) -> tuple[Box, XY]:
        """Box of a text near one of the points, clear of lines and other texts, and the point; the box is taken.

        Points come in order of preference. Within: leaving this box costs. Least: distance from the point. [px]
        """
        best: tuple[float, Box, XY] | None = None
        for rank, anchor in enumerate(anchors):
            reach = DISTANCES[-1] + width + height
            near = [b for b in self.boxes if b[0] < anchor[0] + reach and b[2] > anchor[0] - reach
                    and b[1] < anchor[1] + reach and b[3] > anchor[1] - reach]
            for distance in (d for d in DISTANCES if d >= least):
                if best and best[0] <= distance:
                    break
                for step in range(16 if distance > 30 else 8):
                    turn = step * math.pi / (8 if distance > 30 else 4)
                    x = anchor[0] + distance * math.cos(turn) - width * (1 - math.cos(turn)) / 2
                    y = anchor[1] + distance * math.sin(turn) - height * (1 - math.sin(turn)) / 2
                    box = (x, y, x + width, y + height)
                    cost = distance + rank + 60 * sum(overlap(box, other) for other in near)
                    if within:
                        cost += 0.2 * (width * height - overlap(box, within))
                    if best is None or cost < best[0]:
                        cost += 4 * self.crossed(box)
                        if best is None or cost < best[0]:
                            best = (cost, box, anchor)
        if best is None:
            raise ValueError("anchors: expected at least one point, got none")
        self.boxes.append(best[1])
        return best[1], best[2]


@dataclass
class View:
    """A part of the drawing: surfaces that share one plane, and where that plane lies on the sheet."""

    title: str
    surfaces: list[core.Surface]
    scale: float = SCALE  # px per metre
    flip_u: bool = False  # seen from outside, the front or the curb side is on the right
    x: float = 0.0
    y: float = 0.0
    body: list[str] = field(default_factory=list)  # elements drawn so far

    def bounds(self) -> Box:
        return (min(s.low.u for s in self.surfaces), min(s.low.v for s in self.surfaces),
                max(s.high.u for s in self.surfaces), max(s.high.v for s in self.surfaces))

    def size(self) -> XY:
        u0, v0, u1, v1 = self.bounds()
        return (u1 - u0) * self.scale, (v1 - v0) * self.scale

    def box(self) -> Box:
        width, height = self.size()
        return self.x, self.y, self.x + width, self.y + height

    def at(self, u: float, v: float) -> XY:
        u0, _, u1, v1 = self.bounds()
        across = (u1 - u) if self.flip_u else (u - u0)
        return self.x + across * self.scale, self.y + (v1 - v) * self.scale

    def ground(self) -> float:
        """How far the ground lies below a side wall. [px]"""
        return self.bounds()[1] * self.scale if self.title.startswith("Street") else 0.0

    def holds(self, surface: str, slide: str) -> bool:
        return any(s.name == surface and s.slide == slide for s in self.surfaces)


def view_of(views: Iterable[View], surface: str, slide: str) -> View | None:
    return next((view for view in views if view.holds(surface, slide)), None)


def middle(low: core.Point, high: core.Point) -> tuple[float, float]:
    return (low.u + high.u) / 2, (low.v + high.v) / 2


def point_along(path: Sequence[XY], share: float) -> XY:
    lengths = [math.hypot(q[0] - p[0], q[1] - p[1]) for p, q in zip(path, path[1:])]
    rest = share * sum(lengths)
    for (p, q), length in zip(zip(path, path[1:]), lengths):
        if rest <= length and length > 0:
            return p[0] + (q[0] - p[0]) * rest / length, p[1] + (q[1] - p[1]) * rest / length
        rest -= length
    return path[-1]


def cells_of(path: Sequence[XY]) -> Iterator[tuple[int, int]]:
    """Squares of CELL px that a line touches, near enough."""
    for p, q in zip(path, path[1:]):
        steps = max(1, math.ceil(math.hypot(q[0] - p[0], q[1] - p[1]) / (CELL / 2)))
        for i in range(steps + 1):
            yield int((p[0] + (q[0] - p[0]) * i / steps) // CELL), int((p[1] + (q[1] - p[1]) * i / steps) // CELL)


def leader(anchor: XY, box: Box, always: bool = False) -> str:
    """Thin line from a point to the box of its text, if that had to go further away."""
    near = (min(max(anchor[0], box[0]), box[2]), min(max(anchor[1], box[1]), box[3]))
    if not always and math.hypot(near[0] - anchor[0], near[1] - anchor[1]) <= 7:
        return ""
    return f'<line class="leader" x1="{anchor[0]:.1f}" y1="{anchor[1]:.1f}" x2="{near[0]:.1f}" y2="{near[1]:.1f}"/>'


def paper(box: Box) -> str:
    """White ground under a text."""
    return (f'<rect class="paper" x="{box[0]:.1f}" y="{box[1]:.1f}" width="{box[2] - box[0]:.1f}" '
            f'height="{box[3] - box[1]:.1f}"/>')


def small_text(x: float, y: float, text: str, kind: str = "small", anchor: str = "start") -> str:
    where = "" if anchor == "start" else f' text-anchor="{anchor}"'
    return f'<text class="{kind}" x="{x:.1f}" y="{y:.1f}"{where}>{escape(text)}</text>'


def table(x: float, y: float, width: float, title: str, heads: Sequence[str], shares: Sequence[float],
          rows: Sequence[Sequence[str]]) -> tuple[str, float]:
    """A table of words, wrapped to its columns, each `shares` of the width wide: SVG and the y under it."""
    lefts = [x + width * sum(shares[:i]) for i in range(len(shares))]
    letters = [max(3, int(width * share / 4.9) - 1) for share in shares]  # 9 px letters are 4.5 px wide on average
    out = [small_text(x, y, title, "title")]
    y += 15
    for left, head in zip(lefts, heads):
        out.append(small_text(left, y, head, "head"))
    out.append(f'<line class="leader" x1="{x:.1f}" y1="{y + 3:.1f}" x2="{x + width:.1f}" y2="{y + 3:.1f}"/>')
    y += 3
    for row in rows:
        cells = [textwrap.wrap(text, n) or [""] for text, n in zip(row, letters)]
        y += 2
        texts = [small_text(left, y + 10 + 11 * k, line) for left, lines in zip(lefts, cells) for k, line in enumerate(lines)]
        out.append('<g class="row">' + "".join(texts) + "</g>")
        y += 11 * max(len(lines) for lines in cells)
    return "<g>" + "".join(out) + "</g>", y + 8
