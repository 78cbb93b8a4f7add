"""A coach unfolded as a dimensioned line drawing: roof plan, four elevations, slide-outs. SVG, no other package needed.

A joint line is the darker and the wider the likelier it is due within a year; the number and the percentage are printed
beside it, so that the drawing reads in black and white.
"""

from __future__ import annotations

import datetime
import json
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from . import _libseal as core
from . import looks, marks, water
from .canvas import (ASCENT, CELL, SCALE, XY, Room, View, cells_of, escape, leader, paper, point_along, ramp_colour, ramp_width,
                     small_text, words)
from .units import Units, label_of, units_of

__all__ = ["DrawingBook", "draw_coach", "due_within_year", "joint_numbers"]

MARGIN, GAP, NARROW_GAP, TITLE = 44.0, 54.0, 40.0, 22.0  # px
PLAIN = 0.6  # on the ramp: joints without a forecast


def joint_numbers(coach: core.Coach) -> dict[str, int]:
    """Number of each joint by its id, from 1 in the order of the coach."""
    return {joint.id: i + 1 for i, joint in enumerate(coach.joints)}


def due_within_year(coach: core.Coach, forecast: core.Forecast) -> dict[str, float]:
    """Probability that some layer of a joint is due within a year of the forecast: the highest of its layers."""
    chance: dict[str, float] = {}
    joints, due = forecast.joint, forecast.due_1_year  # each look at a column makes a new list
    for row in forecast.rows_of(coach.id):
        chance[joints[row]] = max(chance.get(joints[row], 0.0), float(due[row]))
    return chance


def shell_views(coach: core.Coach, scale: float = SCALE) -> dict[str, View]:
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
        views[name] = View(title, surfaces, scale, flip_u=name in ("curb_wall", "front_cap"))
    return views


def other_views(coach: core.Coach, views: dict[str, View], needed: set[tuple[str, str]] | None = None,
                scale: float = SCALE) -> list[View]:
    """Slide sides, floors and the underside, where joints run on them or something else has to be shown."""
    used = {(j.surface, j.slide) for j in coach.joints} | (needed or set())
    others = []
    for s in coach.surfaces:
        if (s.name, s.slide) in used and not any(v.holds(s.name, s.slide) for v in views.values()):
            title = words(s.name).capitalize() + (f", {words(s.slide)}" if s.slide else "")
            if s.name == "underside":
                title += ", seen from above: front at the left, curb side up"
            others.append(View(title, [s], scale))
    return others


def lay_out(views: dict[str, View], others: list[View], beside: bool = False) -> tuple[list[View], float, float]:
    """Places the views: roof and side walls one below the other, ends and details in rows under them, or the ends beside them.

    Gives the views and width and height of the sheet.
    """
    left, gap = MARGIN + 20, NARROW_GAP if beside else GAP
    long = [views[n] for n in ("roof", "street_wall", "curb_wall") if n in views]
    short = [views[n] for n in ("front_cap", "rear_cap") if n in views] + others
    y, right = MARGIN + TITLE, left + (0.0 if beside else 620.0)
    for view in long:
        view.x, view.y = left, y
        below = max(gap, view.ground() + 14)
        y += view.size()[1] + below + TITLE
        right = max(right, left + view.size()[0])
    if beside:
        right, y = ends_beside(views, long, right, y)
        short = others
    x, tallest = left, 0.0
    for view in short:
        width, tall = view.size()
        if x > left and x + width > right:
            x, y, tallest = left, y + tallest + gap + TITLE, 0.0
        view.x, view.y = x, y
        x += width + GAP
        tallest = max(tallest, tall)
        right = max(right, view.x + width)
    ends = [views[n] for n in ("front_cap", "rear_cap") if beside and n in views]
    return [*long, *ends, *short], right + MARGIN, y + (tallest + gap if short else 0.0)


def ends_beside(views: dict[str, View], long: list[View], right: float, under: float) -> tuple[float, float]:
    """Front and rear right of the street and the curb wall; gives the right and the lower edge of all."""
    x, edge, y = right + GAP, right, MARGIN + TITLE
    for name, wall in (("front_cap", "street_wall"), ("rear_cap", "curb_wall")):
        if name in views:
            view = views[name]
            view.x, view.y = x, max(y, views[wall].y if wall in views else y)
            y = view.y + view.size()[1] + NARROW_GAP + TITLE
            edge = max(edge, x + view.size()[0])
    return edge, max(under, y)


def dimension(a: XY, b: XY, text: str, offset: float, room: Room) -> str:
    """A dimension line with arrows and text between two points, `offset` px to the left of the way from a to b.

    Its text takes its place in the room.
    """
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
    half = 3.0 * len(text)
    room.lines.update(cells_of([p, q]))
    room.boxes.append((x - 10, y - half, x + 3, y + half) if upright else (x - half, y - 10, x + half, y + 3))
    turn = f' transform="rotate(-90 {x:.1f} {y:.1f})"' if upright else ""
    parts.append(f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="middle"{turn}>{escape(text)}</text>')
    return '<g class="dimension">' + "".join(parts) + "</g>"


def dimensions(coach: core.Coach, views: dict[str, View], units: Units, room: Room) -> list[str]:
    """Length and height over all at the street wall, width at the roof, shell width and height at the front."""
    out = []
    half = coach.width / 2
    if "street_wall" in views:
        at = views["street_wall"].at
        ground = at(0, 0)[1]
        floor_left, floor_right = at(0, coach.floor_height), at(coach.length, coach.floor_height)
        out.append(f'<line class="ground" x1="{floor_left[0] - 30:.1f}" y1="{ground:.1f}" x2="{floor_right[0] + 12:.1f}" y2="{ground:.1f}"/>')
        deep = 18 if views["street_wall"].ground() > 40 else 8  # above the line of the ground
        out.append(dimension(floor_right, floor_left, units.length(coach.length), deep, room))
        out.append(dimension(at(0, 0), at(0, coach.roof_height), units.length(coach.roof_height), 18, room))
    if "roof" in views:
        at = views["roof"].at
        out.append(dimension(at(0, -half), at(0, half), units.length(coach.width), 18, room))
    if "front_cap" in views:
        at = views["front_cap"].at
        curb, street = at(half, coach.floor_height), at(-half, coach.floor_height)
        out.append(dimension(street, curb, units.length(coach.width), 18, room))
        out.append(dimension(curb, at(half, coach.roof_height), units.length(coach.roof_height - coach.floor_height), 18, room))
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


def line_text(path: list[XY], joint: Shown) -> str:
    points = " ".join(f"{x:.1f},{y:.1f}" for x, y in path)
    return (f'<polyline class="joint" points="{points}" stroke="{joint.colour}" stroke-width="{joint.width}"{joint.dashes}>'
            f"<title>{joint.tip}</title></polyline>")


def label_text(room: Room, path: list[XY], number: int, share: str, letters: int) -> str:
    """Number and percentage beside a joint, on white, with a leader if it had to go further away.

    The percentage has room for so many letters.
    """
    width = 6.4 * len(str(number)) + (2 + 5.8 * letters if letters else 0)
    anchors = [point_along(path, share) for share in (0.5, 0.3, 0.7, 0.12, 0.88)]
    box, anchor = room.place(anchors, width + 2, ASCENT + 2)
    small = f'<tspan class="share" dx="2">{share}</tspan>' if share else ""
    return f'{leader(anchor, box)}{paper(box)}<text class="number" x="{box[0] + 1:.1f}" y="{box[3] - 1.5:.1f}">{number}{small}</text>'


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


@dataclass(frozen=True)
class Shown:
    """How a joint looks; texts are escaped."""

    colour: str
    width: str
    dashes: str
    tip: str
    share: str


def shown(number: int, joint: str, chance: float | None, missed: core.Finding | None) -> Shown:
    """A joint by its probability; dashed if nobody could look at it."""
    p = PLAIN if chance is None else chance
    tip = f"{number} {words(joint)}" + ("" if chance is None else f": {100 * p:.0f} % due within a year")
    return Shown(ramp_colour(p), f"{ramp_width(p):.2f}", ' stroke-dasharray="7 4"' if missed else "",
                 escape(tip + (f"; not inspected: {missed.reason}" if missed else "")), "" if chance is None else f"{100 * p:.0f} %")


def sheet_name(coach: core.Coach, units: Units) -> tuple[str, str]:
    """Id and title of a drawing, escaped."""
    name = "drawing-" + re.sub(r"[^A-Za-z0-9]+", "-", coach.id)
    return name, escape(f"Unfolded drawing of {label_of(coach, units)}: {len(coach.joints)} numbered joints on roof, walls and slide-outs")


class Drawing:
    """One drawing in the making: views, what lies on the sheet, what is written under the views.

    Shown: how each joint looks, by its id. Letters: room for that many beside the number of each joint.
    """

    def __init__(self, coach: core.Coach, shown_as: Mapping[str, Shown], letters: Mapping[str, int],
                 needed: set[tuple[str, str]], units: Units, scale: float, beside: bool = False) -> None:
        self.coach, self.shown, self.letters = coach, shown_as, letters
        self.numbers = joint_numbers(coach)
        self.shell = shell_views(coach, scale)
        self.views, self.width, self.height = lay_out(self.shell, other_views(coach, self.shell, needed, scale), beside)
        self.room = Room()
        self.paths: dict[str, list[XY]] = {}
        self.below: list[str] = []
        for view in self.views:
            joints = [j for j in coach.joints if view.holds(j.surface, j.slide)]
            self.paths.update(zip((j.id for j in joints), joint_paths(view, joints)))
        self.measures = dimensions(coach, self.shell, units, self.room)
        self.room.lines.update(cell for path in self.paths.values() for cell in cells_of(path))

    def lines(self) -> None:
        """Titles, outlines, parts, joints and the states of slide-outs."""
        for view in self.views:
            self.room.boxes.append((view.x, view.y - 28, view.x + 6.6 * len(view.title), view.y - 14))
            view.body.append(small_text(view.x, view.y - 17, view.title, "title"))
            view.body += [outline(view, s) for s in view.surfaces]
            for part in self.coach.parts:
                if view.holds(part.surface, part.slide):
                    view.body.append(rectangle(view, "part", part.low, part.high, part.label or words(part.kind)))
            view.body += [line_text(self.paths[j.id], self.shown[j.id]) for j in self.coach.joints if view.holds(j.surface, j.slide)]
        for view in self.views:
            for part in self.coach.parts:
                if part.kind == "slide_out" and part.state and view.holds("slide_face", part.id):
                    self.state(view, part)

    def state(self, view: View, slide: core.Part) -> None:
        """Is the slide-out drawn out or in?"""
        text = f"{slide.label or words(slide.id)}: {words(slide.state)}"
        face = core.surface_of(self.coach, "slide_face", slide.id)
        anchor = view.at((face.low.u + face.high.u) / 2, face.low.v + 0.7 * (face.high.v - face.low.v))
        box, _ = self.room.place([anchor], 5.2 * len(text) + 2, 11)
        view.body.append(paper(box) + small_text(box[0] + 1, box[3] - 2.5, text, "state"))

    def labels(self) -> None:
        """Numbers of the joints, with the percentage of a forecast."""
        for view in self.views:
            for joint in self.coach.joints:
                if view.holds(joint.surface, joint.slide):
                    view.body.append(label_text(self.room, self.paths[joint.id], self.numbers[joint.id], self.shown[joint.id].share,
                                                self.letters[joint.id]))

    def under(self, block: tuple[str, float]) -> None:
        """Appends a block of words; its second entry is the y under it."""
        self.below.append(block[0])
        self.height = block[1] + 8

    def text(self, name: str, what: str) -> str:
        body = []
        for view in self.views:
            names = " ".join(f"{s.slide}:{s.name}" if s.slide else s.name for s in view.surfaces)
            body.append(f'<g class="view" data-surfaces="{escape(names)}">{"".join(view.body)}</g>')
        body += self.measures
        return (f'<svg xmlns="http://www.w3.org/2000/svg" class="coach-drawing" viewBox="0 0 {self.width:.0f} {self.height + 12:.0f}" '
                f'width="{self.width:.0f}" height="{self.height + 12:.0f}" role="img" aria-labelledby="{name}"><title id="{name}">{what}</title>'
                f"<style>{STYLE}</style>" + "".join(body) + "".join(self.below) + "</svg>")


def legend(x: float, y: float) -> tuple[str, float]:
    """The ramp in six steps, each with its value, and the y under it."""
    title = "Number of the joint, probability of being due within a year"
    out = [f'<text class="title" x="{x:.1f}" y="{y:.1f}">{title}</text>']
    for i in range(6):
        p, left = i / 5, x + 84 * i
        out.append(f'<line x1="{left:.1f}" y1="{y + 13:.1f}" x2="{left + 32:.1f}" y2="{y + 13:.1f}" stroke="{ramp_colour(p)}" '
                   f'stroke-width="{ramp_width(p):.2f}"/><text class="number" x="{left + 37:.1f}" y="{y + 17:.1f}">{100 * p:.0f} %</text>')
    return "<g>" + "".join(out) + "</g>", y + 30


# Selectors begin with the class of the drawing: in a page they are to touch nothing else.
STYLE = re.sub(r"(^|\}(?=.)|,(?=\.))", r"\1.coach-drawing ", (
    "text{font-family:Helvetica,Arial,sans-serif;fill:#0c121a}.title{font-size:12px;font-weight:bold}"
    ".number{font-size:10.5px;font-weight:bold}.share{font-weight:normal;font-size:9.5px}.paper{fill:#fff;fill-opacity:.85}"
    ".surface{fill:none;stroke:#444;stroke-width:.9}.part{fill:none;stroke:#888;stroke-width:.6;stroke-dasharray:3 2}"
    ".joint{fill:none;stroke-linejoin:round}.leader{stroke:#666;stroke-width:.5}"
    ".ground{stroke:#444;stroke-width:.6;stroke-dasharray:7 3 2 3}.dimension line{stroke:#222;stroke-width:.5}"
    ".dimension polygon{fill:#222}.dimension text{font-size:10.5px}.small,.state{font-size:9px}.head{font-size:9px;font-style:italic}"
    ".state{font-style:italic}.finding{font-size:8.5px;font-weight:bold}.letter{font-size:9.5px;font-weight:bold}"
    ".outline{fill:#fff;stroke:#0c121a}.spot{fill:#0c121a}.open{fill:#fff;stroke:#0c121a;stroke-width:.8}"
    ".water line{stroke:#0c121a}.water polygon{fill:#0c121a}.through,.shows,.connector circle,.stain circle{fill:none;stroke:#0c121a;stroke-width:1}"
    ".through{stroke-dasharray:2 1.5}.stain line{stroke:#0c121a;stroke-width:1.6}.stain circle{stroke-width:1.6}.ranked{font-size:10.5px;font-weight:bold}"))


def draw_coach(coach: core.Coach, forecast: core.Forecast | None = None, *, units: str = "metric",
               findings: Sequence[core.Finding] | None = None, work_done: Sequence[core.WorkDone] | None = None,
               as_of: datetime.date | None = None, urgency: Mapping[str, core.UrgencyAnswer] | None = None,
               exposed_soon: bool = False, trace: core.LeakTrace | None = None, stains: Sequence[core.Stain] | None = None,
               ways: int = 3, kept_open: bool = False, scale: float = SCALE, catalogue: core.Catalogue | None = None) -> str:
    """The coach as SVG text. Without a forecast all joint lines are alike and carry their number only.

    `units` are "metric" or "us". `findings` of the coach up to `as_of` (default: the day of the forecast, else
    that of the last finding) become numbered marks with a key; grades are those of each look, urgency is that of `judge`
    (with `exposed_soon`) unless `urgency` has an answer for the joint or part. `trace` draws the ways of its first `ways`
    candidates, `stains` the marks that it was asked about; `kept_open` marks the places that are never sealed.
    `scale` in px per metre: the smaller, the larger the texts are against the coach.
    """
    if not 0 < scale < math.inf:
        raise ValueError(f"scale: expected px per metre above zero, got {scale:g}")
    catalogue = catalogue or core.Catalogue.built_in()
    if as_of is None and forecast is not None:
        as_of = forecast.as_of
    found = looks.own_findings(coach, findings or (), as_of)
    day = as_of or max((f.date for f in found), default=datetime.date.min)
    seen = looks.looks_of(coach, found, catalogue, day, work_done or (), exposed_soon, urgency)
    parts = {part.id: part for part in coach.parts}
    needed = {(parts[f.part].surface, parts[f.part].slide) for f in found if f.part in parts and not f.joint}
    needed |= water.surfaces_of(trace, stains or (), ways)
    places = core.places_kept_open(coach, catalogue) if kept_open else []
    needed |= {(place.surface, place.slide) for place in places}

    chance = None if forecast is None else due_within_year(coach, forecast)
    missed = looks.unseen(found)
    shown_as = {joint: shown(number, joint, None if chance is None else chance.get(joint, 0.0), missed.get(joint))
                for joint, number in joint_numbers(coach).items()}
    drawing = Drawing(coach, shown_as, {joint: len(look.share) for joint, look in shown_as.items()}, needed, units_of(units), scale)
    drawing.lines()
    drawn = marks.draw_kept_open(places, drawing.views)
    said = water.draw_water(trace, stains or (), ways, drawing.views, drawing.room)
    marks.draw_marks(coach, found, seen, drawing.paths, drawing.views, drawing.room, catalogue)
    drawing.labels()

    left, wide = MARGIN + 20, drawing.width - 2 * MARGIN - 20
    if forecast is not None:
        drawing.under(legend(left, drawing.height))
    if found:
        drawing.under(marks.legend(found, seen, catalogue, left, drawing.height, wide))
        drawing.under(marks.key(coach, found, seen, drawing.numbers, left, drawing.height, wide))
    if trace or stains:
        drawing.under(water.key(trace, stains or (), said, drawing.numbers, left, drawing.height, wide))
    if places:
        drawing.under(marks.open_legend(places, drawn, left, drawing.height, wide))
    return drawing.text(*sheet_name(coach, units_of(units)))


FIELDS = ("colour", "width", "dashes", "tip", "share")


def shape_of(coach: core.Coach) -> str:
    """What the place of lines and texts rests on: equal for coaches that are drawn alike."""
    # Words of people may hold what no JSON can: they go first.
    shell = json.loads(core.coach_json(coach.replace(label="", owner="", model_line="")))
    for name in ("id", "label", "owner", "model_line", "model_year", "stays"):
        shell.pop(name, None)
    for joint in shell.get("joints", []):
        for name in ("layers", "bead", "substrates", "type", "open_edge"):
            joint.pop(name, None)
    return json.dumps(shell, sort_keys=True)


class DrawingBook:
    """Drawings of many coaches with their forecast. Coaches of one shape share the sheet: who is where is found once a shape."""

    def __init__(self, units: str = "metric", widest: float = 440.0) -> None:
        self.units, self.widest = units_of(units), widest
        self.patterns: dict[str, list[str]] = {}

    def draw(self, coach: core.Coach, chance: Mapping[str, float], missed: Mapping[str, core.Finding], name: str) -> str:
        """The coach as SVG text with numbers and the percentage of each joint, its views at most `widest` px wide.

        Name: id of the title.
        """
        shape = shape_of(coach)
        if shape not in self.patterns:
            self.patterns[shape] = self.pattern(coach)
        known = {"name": name, "what": sheet_name(coach, self.units)[1]}
        for joint, number in joint_numbers(coach).items():
            look = shown(number, joint, chance.get(joint, 0.0), missed.get(joint))
            known.update((f"{field}{number}", getattr(look, field)) for field in FIELDS)
        parts = self.patterns[shape]
        return "".join(part if i % 2 == 0 else known[part] for i, part in enumerate(parts))

    def pattern(self, coach: core.Coach) -> list[str]:
        """The drawing in pieces: every other one is the name of what differs from coach to coach."""
        numbers = joint_numbers(coach)
        gaps = {joint: Shown(*(f"\0{field}{number}\0" for field in FIELDS)) for joint, number in numbers.items()}
        scale = min(SCALE, self.widest / coach.length)
        drawing = Drawing(coach, gaps, {joint: len("100 %") for joint in numbers}, set(), self.units, scale, beside=True)
        drawing.lines()
        drawing.labels()
        drawing.under(legend(MARGIN + 20, drawing.height))
        return drawing.text("\0name\0", "\0what\0").split("\0")
