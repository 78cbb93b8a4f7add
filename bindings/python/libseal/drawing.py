"""A coach unfolded as a dimensioned line drawing: roof plan, four elevations, slide-outs. SVG, no other package needed.

A joint line is the darker and the wider the likelier it is due within a year; the number and the percentage are printed
beside it, so that the drawing reads in black and white.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from html import escape

from . import _libseal as core

__all__ = ["draw_coach", "due_within_year", "joint_numbers"]

SCALE = 86.0  # px per metre
MARGIN, GAP, TITLE = 44.0, 54.0, 22.0  # px
ASCENT, CELL = 8.0, 3.0  # height of the digits of a label, squares of the map of lines [px]
LIGHT, DARK = (0xBB, 0xC8, 0xD4), (0x0C, 0x12, 0x1A)  # ends of the one ramp
XY = tuple[float, float]


def joint_numbers(coach: core.Coach) -> dict[str, int]:
    """Number of each joint by its id, from 1 in the order of the coach."""
    return {joint.id: i + 1 for i, joint in enumerate(coach.joints)}


def due_within_year(coach: core.Coach, forecast: core.Forecast) -> dict[str, float]:
    """Probability that some layer of a joint is due within a year of the forecast: the highest of its layers."""
    chance: dict[str, float] = {}
    for row in forecast.rows_of(coach.id):
        joint = forecast.joint[row]
        chance[joint] = max(chance.get(joint, 0.0), float(forecast.due_1_year[row]))
    return chance


def ramp_colour(p: float) -> str:
    """Colour of a probability, light to dark."""
    p = min(max(p, 0.0), 1.0)
    return "#" + "".join(f"{round(a + (b - a) * p):02x}" for a, b in zip(LIGHT, DARK))


def ramp_width(p: float) -> float:
    """Line width of a probability. [px]"""
    return 1.3 + 2.9 * min(max(p, 0.0), 1.0)


@dataclass
class View:
    """A part of the drawing: surfaces that share one plane, and where that plane lies on the sheet."""

    title: str
    surfaces: list[core.Surface]
    flip_u: bool = False  # seen from outside, the front or the curb side is on the right
    x: float = 0.0
    y: float = 0.0
    labels: list[tuple[float, float, float, float]] = field(default_factory=list)  # boxes of texts placed so far
    lines: set[tuple[int, int]] = field(default_factory=set)  # squares of CELL px that joints run through

    def bounds(self) -> tuple[float, float, float, float]:
        return (min(s.low.u for s in self.surfaces), min(s.low.v for s in self.surfaces),
                max(s.high.u for s in self.surfaces), max(s.high.v for s in self.surfaces))

    def size(self) -> XY:
        u0, v0, u1, v1 = self.bounds()
        return (u1 - u0) * SCALE, (v1 - v0) * SCALE

    def at(self, u: float, v: float) -> XY:
        u0, _, u1, v1 = self.bounds()
        across = (u1 - u) if self.flip_u else (u - u0)
        return self.x + across * SCALE, self.y + (v1 - v) * SCALE

    def ground(self) -> float:
        """How far the ground lies below a side wall. [px]"""
        return self.bounds()[1] * SCALE if self.title.startswith("Street") else 0.0

    def holds(self, surface: str, slide: str) -> bool:
        return any(s.name == surface and s.slide == slide for s in self.surfaces)


def shell_views(coach: core.Coach) -> dict[str, View]:
    """Roof with slide roofs, and the walls with slide faces, each seen from outside."""
    titles = {"roof": "Roof, front at the left, curb side up", "street_wall": "Street wall, front at the left",
              "curb_wall": "Curb wall, front at the right",
              "front_cap": "Front", "rear_cap": "Rear"}
    joined = {"roof": "slide_roof", "street_wall": "slide_face", "curb_wall": "slide_face"}
    wall_of = {p.id: p.surface for p in coach.parts if p.kind == "slide_out"}
    views = {}
    for name, title in titles.items():
        surfaces = [s for s in coach.surfaces if s.name == name and not s.slide]
        if not surfaces:
            continue
        for s in coach.surfaces:
            on_this = name == "roof" or wall_of.get(s.slide, "street_wall") == name
            if s.slide and s.name == joined.get(name) and on_this:
                surfaces.append(s)
        views[name] = View(title, surfaces, flip_u=name in ("curb_wall", "front_cap"))
    return views


def other_views(coach: core.Coach, views: dict[str, View]) -> list[View]:
    """Slide sides, floors and the underside, where joints run on them."""
    used = {(j.surface, j.slide) for j in coach.joints}
    others = []
    for s in coach.surfaces:
        if (s.name, s.slide) in used and not any(v.holds(s.name, s.slide) for v in views.values()):
            title = words(s.name).capitalize() + (f", {words(s.slide)}" if s.slide else "")
            others.append(View(title, [s]))
    return others


def words(name: str) -> str:
    return name.replace("_", " ")


def lay_out(views: dict[str, View], others: list[View]) -> tuple[list[View], float, float]:
    """Places the views: roof and side walls one below the other, ends and details in rows under them.

    Gives the views and width and height of the sheet.
    """
    left = MARGIN + 20
    long = [views[n] for n in ("roof", "street_wall", "curb_wall") if n in views]
    short = [views[n] for n in ("front_cap", "rear_cap") if n in views] + others
    y, right = MARGIN + TITLE, left + 620.0
    for view in long:
        view.x, view.y = left, y
        below = max(GAP, view.ground() + 14)
        y += view.size()[1] + below + TITLE
        right = max(right, left + view.size()[0])
    x, tallest = left, 0.0
    for view in short:
        width, tall = view.size()
        if x > left and x + width > right:
            x, y, tallest = left, y + tallest + GAP + TITLE, 0.0
        view.x, view.y = x, y
        x += width + GAP
        tallest = max(tallest, tall)
        right = max(right, view.x + width)
    return [*long, *short], right + MARGIN, y + (tallest + GAP if short else 0.0)


def length_text(metres: float, inches: bool) -> str:
    return f"{metres:.2f} m" + (f" ({metres / 0.0254:.1f} in)" if inches else "")


def dimension(a: XY, b: XY, text: str, offset: float) -> str:
    """A dimension line with arrows and text between two points, `offset` px to the left of the way from a to b."""
    length = math.hypot(b[0] - a[0], b[1] - a[1])
    tx, ty = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    nx, ny = ty, -tx
    p = (a[0] + nx * offset, a[1] + ny * offset)
    q = (b[0] + nx * offset, b[1] + ny * offset)
    far = offset + 4
    parts = [f'<line x1="{e[0]:.1f}" y1="{e[1]:.1f}" x2="{e[0] + nx * far:.1f}" y2="{e[1] + ny * far:.1f}"/>' for e in (a, b)]
    parts.append(f'<line x1="{p[0]:.1f}" y1="{p[1]:.1f}" x2="{q[0]:.1f}" y2="{q[1]:.1f}"/>')
    for e, way in ((p, 1), (q, -1)):
        tips = [(e[0] + way * 7 * tx + s * 2.5 * nx, e[1] + way * 7 * ty + s * 2.5 * ny) for s in (1, -1)]
        parts.append('<polygon points="' + " ".join(f"{x:.1f},{y:.1f}" for x, y in (e, *tips)) + '"/>')
    upright = abs(tx) < 0.5
    x = (p[0] + q[0]) / 2 + (nx * 4 if nx < 0 else nx * 12)  # the text stands on the outer side of its line
    y = (p[1] + q[1]) / 2 + (ny * 12 if ny > 0 else ny * 4)
    turn = f' transform="rotate(-90 {x:.1f} {y:.1f})"' if upright else ""
    parts.append(f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="middle"{turn}>{escape(text)}</text>')
    return '<g class="dimension">' + "".join(parts) + "</g>"


def dimensions(coach: core.Coach, views: dict[str, View], inches: bool) -> list[str]:
    """Length and height over all at the street wall, width at the roof, shell width and height at the front."""
    out = []
    half = coach.width / 2
    if "street_wall" in views:
        at = views["street_wall"].at
        ground = at(0, 0)[1]
        floor_left, floor_right = at(0, coach.floor_height), at(coach.length, coach.floor_height)
        out.append(f'<line class="ground" x1="{floor_left[0] - 30:.1f}" y1="{ground:.1f}" x2="{floor_right[0] + 12:.1f}" y2="{ground:.1f}"/>')
        out.append(dimension(floor_right, floor_left, length_text(coach.length, inches), 18))
        out.append(dimension(at(0, 0), at(0, coach.roof_height), length_text(coach.roof_height, inches), 18))
    if "roof" in views:
        at = views["roof"].at
        out.append(dimension(at(0, -half), at(0, half), length_text(coach.width, inches), 18))
    if "front_cap" in views:
        at = views["front_cap"].at
        curb, street = at(half, coach.floor_height), at(-half, coach.floor_height)
        out.append(dimension(street, curb, length_text(coach.width, inches), 18))
        out.append(dimension(curb, at(half, coach.roof_height), length_text(coach.roof_height - coach.floor_height, inches), 18))
    return out


def set_apart(path: list[XY], k: int) -> list[XY]:
    """The k-th of several joints on one path, moved inwards (a frame) or sideways (a line) so that each is seen."""
    if k == 0:
        return path
    cx = (min(x for x, _ in path) + max(x for x, _ in path)) / 2
    cy = (min(y for _, y in path) + max(y for _, y in path)) / 2
    flat_x = all(abs(x - cx) < 1 for x, _ in path)
    flat_y = all(abs(y - cy) < 1 for _, y in path)
    if flat_x or flat_y:
        return [(x + (4 * k if flat_x else 0), y + (4 * k if flat_y else 0)) for x, y in path]
    return [(x - math.copysign(4 * k, x - cx), y - math.copysign(4 * k, y - cy)) for x, y in path]


def overlap(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> float:
    return max(0.0, min(a[2], b[2]) - max(a[0], b[0])) * max(0.0, min(a[3], b[3]) - max(a[1], b[1]))


def point_along(path: list[XY], share: float) -> XY:
    lengths = [math.hypot(q[0] - p[0], q[1] - p[1]) for p, q in zip(path, path[1:])]
    rest = share * sum(lengths)
    for (p, q), length in zip(zip(path, path[1:]), lengths):
        if rest <= length and length > 0:
            return p[0] + (q[0] - p[0]) * rest / length, p[1] + (q[1] - p[1]) * rest / length
        rest -= length
    return path[-1]


def cells_of(path: list[XY]) -> Iterator[tuple[int, int]]:
    """Squares of CELL px that a line touches, near enough."""
    for p, q in zip(path, path[1:]):
        steps = max(1, math.ceil(math.hypot(q[0] - p[0], q[1] - p[1]) / (CELL / 2)))
        for i in range(steps + 1):
            yield int((p[0] + (q[0] - p[0]) * i / steps) // CELL), int((p[1] + (q[1] - p[1]) * i / steps) // CELL)


def place_label(path: list[XY], width: float, view: View) -> tuple[XY, XY]:
    """Left end of the text's base line and the point it belongs to: near the path, clear of lines and other labels."""
    best: tuple[float, XY, XY] | None = None
    for share in (0.5, 0.3, 0.7, 0.12, 0.88):
        anchor = point_along(path, share)
        for distance in (5, 9, 14, 20, 28, 38, 50, 64):
            for step in range(8):
                across, down = math.cos(step * math.pi / 4), math.sin(step * math.pi / 4)
                x = anchor[0] + distance * across - width * (1 - across) / 2
                y = anchor[1] + distance * down + ASCENT * (1 + down) / 2
                cost = 60 * sum(overlap(label_box(x, y, width), other) for other in view.labels) + distance + 3 * abs(share - 0.5)
                if best and cost >= best[0]:
                    continue
                cost += 4 * sum((i, j) in view.lines for i in range(int(x // CELL), int((x + width) // CELL) + 1)
                                for j in range(int((y - ASCENT) // CELL), int(y // CELL) + 1))
                if best is None or cost < best[0]:
                    best = (cost, (x, y), anchor)
    assert best is not None
    return best[1], best[2]


def label_box(x: float, y: float, width: float) -> tuple[float, float, float, float]:
    return x - 1, y - ASCENT - 0.5, x + width + 1, y + 1.5


def joint_paths(view: View, joints: list[core.Joint]) -> list[list[XY]]:
    """Where each joint is drawn; joints on the same path lie side by side."""
    paths = []
    doubles: dict[tuple[XY, ...], int] = {}
    for joint in joints:
        path = [view.at(p.u, p.v) for p in joint.path]
        key = tuple(sorted({(round(x), round(y)) for x, y in path}))
        paths.append(set_apart(path, doubles.get(key, 0)))
        doubles[key] = doubles.get(key, 0) + 1
    return paths


def line_text(path: list[XY], tip: str, chance: float) -> str:
    points = " ".join(f"{x:.1f},{y:.1f}" for x, y in path)
    return (f'<polyline class="joint" points="{points}" stroke="{ramp_colour(chance)}" stroke-width="{ramp_width(chance):.2f}">'
            f"<title>{escape(tip)}</title></polyline>")


def label_text(view: View, path: list[XY], number: int, share: str) -> str:
    """Number and percentage beside a joint, on white, with a leader if it had to go further away."""
    width = 6.4 * len(str(number)) + (2 + 5.2 * len(share) if share else 0)
    (x, y), anchor = place_label(path, width, view)
    box = label_box(x, y, width)
    view.labels.append(box)
    near = (min(max(anchor[0], box[0]), box[2]), min(max(anchor[1], box[1]), box[3]))
    leader = ""
    if math.hypot(near[0] - anchor[0], near[1] - anchor[1]) > 7:
        leader = f'<line class="leader" x1="{anchor[0]:.1f}" y1="{anchor[1]:.1f}" x2="{near[0]:.1f}" y2="{near[1]:.1f}"/>'
    small = f'<tspan class="share" dx="2">{share}</tspan>' if share else ""
    return (f'{leader}<rect class="paper" x="{box[0]:.1f}" y="{box[1]:.1f}" width="{box[2] - box[0]:.1f}" '
            f'height="{box[3] - box[1]:.1f}"/><text class="number" x="{x:.1f}" y="{y:.1f}">{number}{small}</text>')


def rectangle(view: View, kind: str, low: core.Point, high: core.Point, tip: str = "") -> str:
    (x0, y0), (x1, y1) = view.at(low.u, high.v), view.at(high.u, low.v)
    title = f"<title>{escape(tip)}</title>" if tip else ""
    return (f'<rect class="{kind}" x="{min(x0, x1):.1f}" y="{y0:.1f}" width="{abs(x1 - x0):.1f}" '
            f'height="{y1 - y0:.1f}">{title}</rect>')


def outline(view: View, surface: core.Surface) -> str:
    """A rectangle, or the corners of a stepped wall."""
    if not surface.outline:
        return rectangle(view, "surface", surface.low, surface.high)
    corners = " ".join(f"{x:.1f},{y:.1f}" for x, y in (view.at(p.u, p.v) for p in surface.outline))
    return f'<polygon class="surface" points="{corners}"/>'


def draw_view(view: View, coach: core.Coach, numbers: dict[str, int], chance: dict[str, float] | None) -> str:
    out = [f'<text class="title" x="{view.x:.1f}" y="{view.y - 17:.1f}">{escape(view.title)}</text>']
    out += [outline(view, s) for s in view.surfaces]
    out += [rectangle(view, "part", p.low, p.high, p.label or words(p.kind)) for p in coach.parts
            if view.holds(p.surface, p.slide)]
    joints = [j for j in coach.joints if view.holds(j.surface, j.slide)]
    paths = joint_paths(view, joints)
    view.lines.update(cell for path in paths for cell in cells_of(path))
    labels = []
    for joint, path in zip(joints, paths):
        p = 0.0 if chance is None else chance.get(joint.id, 0.0)
        share = "" if chance is None else f"{100 * p:.0f} %"
        tip = f"{numbers[joint.id]} {words(joint.id)}" + (f": {share} due within a year" if share else "")
        out.append(line_text(path, tip, p))
        labels.append(label_text(view, path, numbers[joint.id], share))
    return "<g>" + "".join([*out, *labels]) + "</g>"


def legend(x: float, y: float) -> str:
    """The ramp in six steps, each with its value."""
    title = "Number of the joint, probability of being due within a year"
    out = [f'<text class="title" x="{x:.1f}" y="{y:.1f}">{title}</text>']
    for i in range(6):
        p, left = i / 5, x + 84 * i
        out.append(f'<line x1="{left:.1f}" y1="{y + 13:.1f}" x2="{left + 32:.1f}" y2="{y + 13:.1f}" stroke="{ramp_colour(p)}" '
                   f'stroke-width="{ramp_width(p):.2f}"/><text class="number" x="{left + 37:.1f}" y="{y + 17:.1f}">{100 * p:.0f} %</text>')
    return "<g>" + "".join(out) + "</g>"


STYLE = (
    "text{font-family:Helvetica,Arial,sans-serif;fill:#111}.title{font-size:12px;font-weight:bold}"
    ".number{font-size:10.5px;font-weight:bold}.share{font-weight:normal;font-size:8.5px}.paper{fill:#fff;fill-opacity:.85}"
    ".surface{fill:none;stroke:#444;stroke-width:.9}.part{fill:none;stroke:#888;stroke-width:.6;stroke-dasharray:3 2}"
    ".joint{fill:none;stroke-linejoin:round}.leader{stroke:#666;stroke-width:.5}"
    ".ground{stroke:#444;stroke-width:.6;stroke-dasharray:7 3 2 3}.dimension line{stroke:#222;stroke-width:.5}"
    ".dimension polygon{fill:#222}.dimension text{font-size:10.5px}"
)


def draw_coach(coach: core.Coach, forecast: core.Forecast | None = None, *, inches: bool = False) -> str:
    """The coach as SVG text. Without a forecast all joint lines are alike and carry their number only.

    `inches` prints inches after the metres.
    """
    views = shell_views(coach)
    placed, width, height = lay_out(views, other_views(coach, views))
    numbers = joint_numbers(coach)
    chance = None if forecast is None else due_within_year(coach, forecast)
    body = [draw_view(view, coach, numbers, chance) for view in placed]
    body += dimensions(coach, views, inches)
    if chance is not None:
        body.append(legend(MARGIN + 20, height))
        height += 30
    height += 12
    name = "drawing-" + re.sub(r"[^A-Za-z0-9]+", "-", coach.id)
    what = f"Unfolded drawing of {coach.label or coach.id}: {len(coach.joints)} numbered joints on roof, walls and slide-outs"
    return (f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {height:.0f}" width="{width:.0f}" '
            f'height="{height:.0f}" role="img" aria-labelledby="{name}"><title id="{name}">{escape(what)}</title>'
            f"<style>{STYLE}</style>" + "".join(body) + "</svg>")
