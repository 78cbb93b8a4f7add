"""The survey sheet: paper for a walk round a coach, one row a joint in walking order. HTML for print; needs jinja2."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from typing import Any

from . import _libseal as core
from . import looks
from .canvas import words
from .drawing import draw_coach, joint_numbers
from .paper import drawn, render

__all__ = ["survey_sheet", "walking_order"]

SIDES = {"curb_wall": 0, "rear_cap": 1, "street_wall": 2, "front_cap": 3}  # once round the coach
TRIPS = {"ground": "On the ground", "roof": "On the roof"}
# What matters to somebody who looks and does not cut, mix or glue; in the order of printing.
LOOK_CAUTIONS = ("alone", "fall_from_roof", "roof_load", "ladder", "coach_ladder", "under_coach", "slide_out", "electricity", "gas",
                 "hot_parts", "awning", "exits", "mould")
TALL = 950  # px; a drawing above this gets a page of its own, so that its numbers stay readable
CAUSES = ("light", "heat", "moisture", "movement", "workmanship")


def trip_of(joint: core.Joint) -> str:
    return "roof" if joint.surface in ("roof", "slide_roof") else "ground"


def walking_order(coach: core.Coach) -> list[core.Joint]:
    """Once round the coach (curb wall from the front, rear, street wall, front; the underside with the nearer wall), then
    over the roof from the front or the end far from the ladder, towards it."""
    feet = [core.place_of(coach, j.surface, j.slide, core.middle_of(j)).x for j in coach.joints
            if j.type == "ladder_roof_foot" and j.surface == "roof"]
    ladder = sum(feet) / len(feet) if feet else coach.length

    def key(joint: core.Joint) -> tuple[int, int, float, float, str]:
        at = core.place_of(coach, joint.surface, joint.slide, core.middle_of(joint))
        if trip_of(joint) == "roof":
            return 1, 0, -abs(at.x - ladder), at.y, joint.id
        wall = core.wall_of_slide(coach, joint.slide) if joint.surface.startswith("slide_") else joint.surface
        side = SIDES.get(wall, 0 if at.y >= 0 else 2)
        return 0, side, (at.x, -at.y, -at.x, at.y)[side], -at.z, joint.id

    return sorted(coach.joints, key=key)


def made_of(joint: core.Joint) -> str:
    """Layers with their families, as on record."""
    return "; ".join(f"{words(layer.kind)} {words(layer.family)}" for layer in joint.layers)


def last_words(look: looks.Look | None) -> str:
    """Grades, day and notes of the last look."""
    if look is None:
        return ""
    grade = look.grade
    parts = [f"{name} {value} {looks.GRADES[value]}" for name, value in (("cap", grade.cap), ("bedding", grade.bedding), ("hardware", grade.hardware))
             if value >= 0]
    if grade.damage > 0:
        parts.append(f"damage {grade.damage}")
    notes = [f.note for f in look.findings if f.note]
    text = f"{look.date}: " + (", ".join(parts) or "looked at, no grade") + "".join(f"; {note}" for note in notes)
    return text + (f"; work done since, {look.repaired}" if look.repaired else "")


def likely_failure(coach: core.Coach, joint: str, forecast: core.Forecast | None) -> str:
    """Layer likeliest to be due within a year, with the largest cause."""
    rows = [] if forecast is None else [r for r in forecast.rows_of(coach.id) if forecast.joint[r] == joint]
    if forecast is None or not rows:
        return ""
    row = max(rows, key=lambda r: float(forecast.due_1_year[r]))
    shares = {cause: float(getattr(forecast, f"share_{cause}")[row]) for cause in CAUSES}
    cause = max(shares, key=lambda name: shares[name])
    return f"{words(forecast.layer[row])} due in a year {100 * float(forecast.due_1_year[row]):.0f} %, {cause}"


class Rows:
    """Makes the rows of the sheet."""

    def __init__(self, coach: core.Coach, forecast: core.Forecast | None, found: Sequence[core.Finding], catalogue: core.Catalogue,
                 as_of: datetime.date, work_done: Sequence[core.WorkDone]) -> None:
        self.coach, self.forecast = coach, forecast
        self.numbers = joint_numbers(coach)
        self.joints = {joint.id: joint for joint in coach.joints}
        self.parts = {part.id: part for part in coach.parts}
        self.last = looks.last_looks(looks.looks_of(coach, found, catalogue, as_of, work_done))
        self.missed = looks.unseen(found)
        self.checks: dict[str, list[str]] = {}
        for check in core.meaning(found, coach, catalogue, as_of, work_done):
            texts = self.checks.setdefault(check.joint or check.part, [])
            if check.what not in texts:
                texts.append(check.what)

    def row(self, joint: core.Joint, stop: Any = None, reason: str = "") -> dict[str, Any]:
        missed = self.missed.get(joint.id)
        part = self.parts.get(joint.part)
        where = words(joint.surface) + (f" of {words(joint.slide)}" if joint.slide else "")
        return {
            "number": self.numbers[joint.id], "id": joint.id, "joint": words(joint.id), "where": where, "made_of": made_of(joint),
            "part": part.label if part and part.label and part.label != words(joint.id) else "",
            "last": last_words(self.last.get(joint.id)),
            "missed": f"not inspected on {missed.date}: {missed.reason}" if missed else "",
            "checks": self.checks.get(joint.id, []), "failure": likely_failure(self.coach, joint.id, self.forecast),
            "overdue": bool(stop is not None and stop.overdue), "why": stop.reason if stop is not None else reason,
            "trip": trip_of(joint),
        }

    def trips(self, plan: Any) -> list[dict[str, Any]]:
        """Tables with their titles: the two trips, then what a plan leaves out."""
        if plan is None:
            rows = [self.row(joint) for joint in walking_order(self.coach)]
            left: list[dict[str, Any]] = []
        else:
            rows = [self.row(self.joints[stop.joint], stop) for stop in plan.stops]
            planned = {stop.joint for stop in plan.stops}
            reasons = {item.joint: item.reason for item in getattr(plan, "left_out", ())}
            left = [self.row(joint, reason=reasons.get(joint.id, "")) for joint in walking_order(self.coach) if joint.id not in planned]
        tables = [{"title": title, "rows": [r for r in rows if r["trip"] == trip]} for trip, title in TRIPS.items()]
        return [t for t in [*tables, {"title": "Not on the plan of this walk", "rows": left}] if t["rows"]]

    def part_rows(self) -> list[dict[str, Any]]:
        """Parts without a joint that have a finding or a check."""
        rows = []
        for part in self.coach.parts:
            checks, look, missed = self.checks.get(part.id, []), self.last.get(part.id), self.missed.get(part.id)
            if part.id in self.joints or not (checks or look or missed):
                continue
            rows.append({"part": part.label or words(part.id), "last": last_words(look), "checks": checks,
                         "missed": f"not inspected on {missed.date}: {missed.reason}" if missed else ""})
        return rows


def kept_open_rows(coach: core.Coach, catalogue: core.Catalogue) -> list[dict[str, Any]]:
    """Kinds of places that are never sealed, with reason and where they are."""
    numbers = joint_numbers(coach)
    labels = {part.id: part.label or words(part.id) for part in coach.parts}
    kinds: dict[tuple[str, str], dict[str, Any]] = {}
    for place in core.places_kept_open(coach, catalogue):
        row = kinds.setdefault((place.kind, place.reason), {"kind": words(place.kind), "reason": place.reason, "numbers": [], "parts": []})
        if place.joint in numbers:
            if numbers[place.joint] not in row["numbers"]:
                row["numbers"].append(numbers[place.joint])
        elif labels.get(place.part, words(place.part)) not in row["parts"]:
            row["parts"].append(labels.get(place.part, words(place.part)))
    return list(kinds.values())


def look_cautions(coach: core.Coach, catalogue: core.Catalogue) -> list[str]:
    """Cautions for a walk round this coach, from the types of its joints."""
    ids = {"alone"} | {c for joint in coach.joints for c in core.joint_type(catalogue, joint.type).cautions}
    if any(part.kind == "ladder_foot" for part in coach.parts):
        ids.add("coach_ladder")
    return [caution.text for caution in core.caution_texts([c for c in LOOK_CAUTIONS if c in ids], catalogue)]


def class_words(prefix: str, catalogue: core.Catalogue, scale: float = 1.0) -> list[dict[str, str]]:
    """Classes of a table of the catalogue by their lower ends."""
    rows = []
    for number in range(1, 6):
        for end, text in (("from", "from {} %"), ("over", "over {} %")):
            if catalogue.has(f"{prefix}/{number}/{end}"):
                value = scale * catalogue.number(f"{prefix}/{number}/{end}")
                name = words(catalogue.word(f"{prefix}/{number}/name")) if catalogue.has(f"{prefix}/{number}/name") else str(number)
                rows.append({"name": name, "range": text.format(looks.number_words(round(value, 6)))})
    return rows


def sign_card(catalogue: core.Catalogue) -> list[dict[str, str]]:
    return [{"group": catalogue.word(f"grade/group/{group}/label"),
             "signs": ", ".join(words(sign) for sign in core.signs_of_group(group, catalogue))} for group in core.sign_groups()]


def survey_sheet(coach: core.Coach, as_of: datetime.date, forecast: core.Forecast | None = None,
                 findings: Sequence[core.Finding] | None = None, plan: Any = None, *,
                 work_done: Sequence[core.WorkDone] | None = None, catalogue: core.Catalogue | None = None,
                 units: str = "metric") -> str:
    """The sheet as HTML text for print on A4 or Letter, black on white. What nobody knows is an empty field.

    Rows stand in walking order. `plan` (with `stops`, and `left_out`) gives its own order, marks what is overdue and puts
    what it leaves out at the end. Earlier `findings` up to `as_of` tell last grades and what to look for.
    """
    catalogue = catalogue or core.Catalogue.built_in()
    found = looks.own_findings(coach, findings or (), as_of)
    rows = Rows(coach, forecast, found, catalogue, as_of, work_done or ())
    slides = [{"label": p.label or words(p.id), "state": words(p.state)} for p in coach.parts if p.kind == "slide_out"]
    svg = draw_coach(coach, units=units, scale=50.0)
    size = re.search(r'height="(\d+)"', svg)
    tall = size is not None and int(size[1]) > TALL
    return render(
        "sheet.html.j2", coach=coach, label=coach.label or coach.id, kind=words(coach.kind), as_of=str(as_of), slides=slides,
        svg=drawn(svg), tall=tall, trips=rows.trips(plan), parts=rows.part_rows(),
        kept_open=kept_open_rows(coach, catalogue), cautions=look_cautions(coach, catalogue), closing=core.closing_line(catalogue),
        grades=list(enumerate(looks.GRADES)), shares=class_words("grade/quantity", catalogue, 100.0),
        damp=class_words("moisture/band", catalogue), signs=sign_card(catalogue))
