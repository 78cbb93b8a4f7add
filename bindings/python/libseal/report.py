"""The page: one self-contained HTML file with drawings, forecast, visits and cautions. Needs jinja2."""

from __future__ import annotations

import os
import pathlib
import tempfile
from collections.abc import Iterable
from typing import Any

from . import _libseal as core
from .canvas import words
from .drawing import draw_coach, joint_numbers
from .looks import GRADES

__all__ = ["page_text", "write_page"]


def _layer_rows(coach: core.Coach, forecast: core.Forecast) -> list[dict[str, Any]]:
    """One row a layer of the coach, for the table under its drawing."""
    numbers = joint_numbers(coach)
    joints = {joint.id: joint for joint in coach.joints}
    rows = []
    for row in forecast.rows_of(coach.id):
        joint = joints.get(forecast.joint[row])
        condition = float(forecast.condition[row])
        surface = words(joint.surface) + (f" of {words(joint.slide)}" if joint and joint.slide else "") if joint else ""
        rows.append({
            "number": numbers.get(forecast.joint[row], ""),
            "joint": words(forecast.joint[row]),
            "place": surface,
            "layer": words(forecast.layer[row]),
            "family": words(forecast.family[row]),
            "condition": f"{condition:.1f}",
            "grade": GRADES[min(max(round(condition), 0), 5)],
            "due_10": str(forecast.due_10[row]),
            "due_50": str(forecast.due_50[row]),
            "due_90": str(forecast.due_90[row]),
            "inspect_by": str(forecast.inspect_by[row]),
            "due_1_year": f"{100 * float(forecast.due_1_year[row]):.0f}",
            "flag": forecast.flag[row],
        })
    return rows


def _cost_text(cost: core.Cost, currency: str) -> str:
    if cost.low == cost.high:
        return core.money_text(cost.mode, currency)
    return f"{core.money_text(cost.low, currency)} to {core.money_text(cost.high, currency)}"


def _hours_text(minutes: core.Minutes) -> str:
    return f"{minutes.low / 60:.1f} to {minutes.high / 60:.1f} h"


def _visit(visit: core.Visit, currency: str, numbers: dict[str, int]) -> dict[str, Any]:
    tasks = [{"number": numbers.get(t.joint, ""), "joint": words(t.joint), "action": words(t.action),
              "layer": words(t.layer), "family": words(t.family), "due": str(t.due), "urgency": words(t.urgency),
              "reason": t.reason, "late": t.late} for t in visit.tasks]
    days = str(visit.first) + (f" to {visit.last}" if visit.last != visit.first else "")
    return {"days": days, "coach": visit.coach, "label": visit.label or visit.coach, "kind": words(visit.kind),
            "bay": visit.bay + 1, "cancelled": visit.cancelled, "tasks": tasks, "why": visit.why, "flags": visit.flags,
            "cautions": visit.cautions, "hours": _hours_text(visit.minutes), "cost": _cost_text(visit.cost, currency)}


def _distinct(texts: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(texts))


def page_text(fleet: core.Fleet, forecast: core.Forecast, calendar: core.Calendar, shop: core.Shop, *,
              inches: bool = False) -> str:
    """The page as HTML text: per coach the drawing, the table of joints, the year's visits and the cautions."""
    try:
        import jinja2
    except ImportError as error:
        raise ImportError("the page needs jinja2: pip install jinja2") from error
    environment = jinja2.Environment(loader=jinja2.PackageLoader("libseal", "."), autoescape=True, trim_blocks=True,
                                     lstrip_blocks=True, undefined=jinja2.StrictUndefined)
    numbers = {coach.id: joint_numbers(coach) for coach in fleet.coaches}
    visits = [_visit(v, calendar.currency, numbers.get(v.coach, {})) for v in calendar.visits]
    coaches = []
    for coach in fleet.coaches:
        own = [v for v in visits if v["coach"] == coach.id]
        coaches.append({
            "id": coach.id, "label": coach.label or coach.id, "kind": words(coach.kind), "model_line": coach.model_line,
            "model_year": coach.model_year, "length": f"{coach.length:.2f}", "width": f"{coach.width:.2f}",
            "joints": len(coach.joints), "svg": draw_coach(coach, forecast, inches=inches),
            "rows": _layer_rows(coach, forecast), "visits": own,
            "cautions": _distinct(text for visit in own for text in visit["cautions"]),
        })
    unplaced = [{"coach": u.coach, "joint": words(u.joint), "action": words(u.action), "due": str(u.due),
                 "constraint": u.constraint, "relaxation": u.relaxation} for u in calendar.unplaced]
    template = environment.get_template("page.html.j2")
    return template.render(coaches=coaches, visits=visits, unplaced=unplaced, calendar=calendar, shop=shop,
                           as_of=str(forecast.as_of), version=core.__version__)


def write_page(path: str | os.PathLike[str], fleet: core.Fleet, forecast: core.Forecast, calendar: core.Calendar,
               shop: core.Shop, *, inches: bool = False) -> None:
    """Writes `page_text` to a file: all of it or nothing."""
    text = page_text(fleet, forecast, calendar, shop, inches=inches)
    target = pathlib.Path(path)
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=target.name, suffix=".part")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
        os.chmod(name, 0o644)
        os.replace(name, target)
    except BaseException:
        os.unlink(name)
        raise
