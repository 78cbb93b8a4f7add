"""Findings on the drawing: a numbered mark at the place of each, its shape by group of signs, its line by urgency."""

from __future__ import annotations

import datetime
import math
from collections import Counter
from collections.abc import Mapping, Sequence

from . import _libseal as core
from . import looks
from .canvas import Room, View, XY, escape, leader, middle, paper, point_along, small_text, table, view_of, words

RADIUS = 8.5  # px
# Outline by group of signs: kind, corners, turn of the first corner from the top.
SHAPES: dict[str, tuple[str, int, float]] = {
    "surface_ageing": ("circle", 0, 0), "cracks_and_voids": ("polygon", 3, 0), "loss_of_bond": ("polygon", 4, 0),
    "wear_and_absence": ("polygon", 4, 0.125), "bedding": ("polygon", 6, 0), "inserts_and_seals": ("polygon", 5, 0),
    "fasteners_and_rails": ("polygon", 8, 0.0625), "parts": ("bar", 0, 0), "water_marks": ("drop", 0, 0),
    "structure": ("cross", 0, 0), "material": ("polygon", 3, 0.5), "look": ("ring", 0, 0),
}
LETTERS = {"at_once": "A", "within_30_days": "M", "next_service": "S", "next_inspection": "I"}
LINES = {"at_once": (2.8, ""), "within_30_days": (1.8, ""), "next_service": (1.0, ""), "next_inspection": (1.0, "2 1.6"),
         "": (0.8, "4 2")}  # width and dashes; "": no answer
LETTER_WORDS = (("at_once", "at once"), ("within_30_days", "within 30 days (a month)"), ("next_service", "next service"),
                ("next_inspection", "next inspection"))


def group_of_sign(sign: str, catalogue: core.Catalogue) -> str:
    return next((g for g in core.sign_groups() if sign in core.signs_of_group(g, catalogue)), "look")


def outline(group: str, x: float, y: float) -> str:
    """Start of the SVG element of a mark's outline; attributes may follow."""
    kind, corners, turn = SHAPES.get(group, ("circle", 0, 0.0))
    r = RADIUS
    if kind == "circle":
        return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{r - 1:.1f}"'
    if kind == "ring":
        return f'<ellipse cx="{x:.1f}" cy="{y:.1f}" rx="{r + 1:.1f}" ry="{r - 3:.1f}"'
    if kind == "bar":
        return f'<rect x="{x - r:.1f}" y="{y - 5.5:.1f}" width="{2 * r:.1f}" height="11"'
    if kind == "drop":
        return (f'<path d="M{x:.1f} {y - r - 1:.1f}C{x + 3:.1f} {y - 5:.1f} {x + r - 1:.1f} {y - 2:.1f} {x + r - 1:.1f} {y + 1.5:.1f}'
                f'A{r - 1:.1f} {r - 1:.1f} 0 1 1 {x - r + 1:.1f} {y + 1.5:.1f}C{x - r + 1:.1f} {y - 2:.1f} {x - 3:.1f} {y - 5:.1f} '
                f'{x:.1f} {y - r - 1:.1f}Z"')
    if kind == "cross":
        a, b = r, 5.0
        points = [(-b, -a), (b, -a), (b, -b), (a, -b), (a, b), (b, b), (b, a), (-b, a), (-b, b), (-a, b), (-a, -b), (-b, -b)]
    else:
        wide = r * (1.4 if corners == 3 else 1.15 if corners == 4 else 1.0)
        points = [(wide * math.sin(2 * math.pi * (turn + i / corners)), -wide * math.cos(2 * math.pi * (turn + i / corners)))
                  for i in range(corners)]
    return '<polygon points="' + " ".join(f"{x + a:.1f},{y + b:.1f}" for a, b in points) + '"'


def styled(group: str, urgency: str, x: float, y: float) -> str:
    width, dashes = LINES[urgency]
    pattern = f' stroke-dasharray="{dashes}"' if dashes else ""
    return f'{outline(group, x, y)} class="outline" stroke-width="{width}"{pattern}/>'


def spot_of(coach: core.Coach, finding: core.Finding, paths: Mapping[str, list[XY]], views: Sequence[View]) -> tuple[View, XY] | None:
    """View and point of a finding: the middle of its segment, half-way along its joint, or the middle of its part."""
    joint = next((j for j in coach.joints if j.id == finding.joint), None)
    part = next((p for p in coach.parts if p.id == finding.part), None)
    if joint is not None:
        view = view_of(views, joint.surface, joint.slide)
        if view is None:
            return None
        segment = next((s for s in core.segments_of(joint) if s.name == finding.segment), None)
        return view, view.at(segment.middle.u, segment.middle.v) if segment else point_along(paths[joint.id], 0.5)
    if part is not None:
        view = view_of(views, part.surface, part.slide)
        return None if view is None else (view, view.at(*middle(part.low, part.high)))
    return None


def draw_marks(coach: core.Coach, found: Sequence[core.Finding], seen: Mapping[tuple[str, datetime.date], looks.Look],
               paths: Mapping[str, list[XY]], views: Sequence[View], room: Room, catalogue: core.Catalogue) -> None:
    """Marks of all findings, numbered from 1; those of one place are fanned out."""
    for number, finding in enumerate(found, start=1):
        spot = spot_of(coach, finding, paths, views)
        if spot is None:
            continue
        view, anchor = spot
        place = looks.place_of_finding(finding)
        look = seen[place, finding.date]
        urgency = look.answer.urgency if look.answer and not look.repaired else ""
        letter = LETTERS.get(urgency, "")
        width = 2 * RADIUS + 3 + (8 if letter else 0)
        box, _ = room.place([anchor], width, 2 * RADIUS + 3, view.box(), least=9)
        x, y = box[0] + RADIUS + 1.5, (box[1] + box[3]) / 2
        tip = f"{number} {looks.place_words(coach, place, {})}: {looks.sign_words(finding)}, {finding.date}"
        group = group_of_sign(finding.sign, catalogue)
        out = [f'<circle class="spot" cx="{anchor[0]:.1f}" cy="{anchor[1]:.1f}" r="1.7"/>', leader(anchor, box, always=True), paper(box),
               styled(group, urgency, x, y), small_text(x, y + 3.2, str(number), "finding", "middle")]
        if letter:
            out.append(small_text(x + RADIUS + 2, y + 3.2, letter, "letter"))
        view.body.append(f'<g class="mark" data-finding="{number}" data-place="{escape(place)}" data-group="{group}"><title>{escape(tip)}</title>'
                         + "".join(out) + "</g>")


def key(coach: core.Coach, found: Sequence[core.Finding], seen: Mapping[tuple[str, datetime.date], looks.Look],
        numbers: Mapping[str, int], x: float, y: float, width: float) -> tuple[str, float]:
    """What each mark says, in words."""
    rows = []
    for number, finding in enumerate(found, start=1):
        look = seen[looks.place_of_finding(finding), finding.date]
        where = looks.place_words(coach, look.place, numbers)
        if finding.joint and finding.part:
            where += f", {words(finding.part)}"
        if finding.segment:
            where += f", {'run ' if finding.segment.isdigit() else ''}{words(finding.segment)}"
        letter = LETTERS[look.answer.urgency] + " " if look.answer and not look.repaired else ""
        rows.append([str(number), where, looks.sign_words(finding), str(finding.date), looks.grade_words(look.grade),
                     letter + looks.urgency_words(look)])
    body, y = table(x, y, width, "Findings", ("No.", "Joint or part", "Sign, as noted", "Seen on", "Grade of that look", "Urgency"),
                    (0.04, 0.19, 0.29, 0.09, 0.16, 0.23), rows)
    return f'<g class="key">{body}</g>', y


def legend(found: Sequence[core.Finding], seen: Mapping[tuple[str, datetime.date], looks.Look], catalogue: core.Catalogue,
           x: float, y: float, width: float) -> tuple[str, float]:
    """Shapes by group and lines by urgency, those that are on the drawing."""
    present = {group_of_sign(f.sign, catalogue) for f in found}
    used = {look.answer.urgency for look in seen.values() if look.answer and not look.repaired}
    items = [(styled(g, "next_service", 0, 0), "", catalogue.word(f"grade/group/{g}/label")) for g in core.sign_groups() if g in present]
    items += [(styled("surface_ageing", u, 0, 0), LETTERS[u], text) for u, text in LETTER_WORDS if u in used]
    if any(look.answer is None or look.repaired for look in seen.values()):
        items.append((styled("surface_ageing", "", 0, 0), "", "not looked at, or work done since"))
    out = [small_text(x, y, "Marks: shape by what was seen, line and letter by urgency", "title")]
    left, row = x, y + 17
    for shape, letter, text in items:
        wide = 38 + 5.0 * len(text)
        if left > x and left + wide > x + width:
            left, row = x, row + 23
        out.append(f'<g transform="translate({left + 10:.1f} {row:.1f})">{shape}</g>')
        out.append(small_text(left + 21, row + 3.2, letter, "letter") if letter else "")
        out.append(small_text(left + (32 if letter else 23), row + 3.2, text))
        left += wide
    return '<g class="legend">' + "".join(out) + "</g>", row + 28


def draw_kept_open(places: Sequence[core.KeepOpen], views: Sequence[View]) -> int:
    """Small open triangles where nobody may seal; says how many."""
    drawn = 0
    for place in places:
        view = view_of(views, place.surface, place.slide)
        if view is None:
            continue
        x, y = point_along([view.at(p.u, p.v) for p in place.path], 0.5)
        view.body.append(f'<polygon class="open" data-place="{escape(place.id)}" points="{x:.1f},{y - 4:.1f} {x + 3.8:.1f},{y + 2.6:.1f} '
                         f'{x - 3.8:.1f},{y + 2.6:.1f}"><title>{escape(words(place.kind))}, never sealed: {escape(place.reason)}</title></polygon>')
        drawn += 1
    return drawn


def open_legend(places: Sequence[core.KeepOpen], drawn: int, x: float, y: float, width: float) -> tuple[str, float]:
    kinds = Counter((place.kind, place.reason) for place in places)
    rows = [[str(count), words(kind), reason] for (kind, reason), count in kinds.items()]
    body, y = table(x, y, width, f"Open triangle: place kept open, never sealed ({drawn} drawn)", ("Count", "What", "Why"),
                    (0.06, 0.22, 0.72), rows)
    return f'<g class="legend">{body}</g>', y
