"""The page of a fleet on a few sheets: the year by week, visits, coaches by due date, cautions. Packets hold the rest."""

from __future__ import annotations

import datetime
import os
from typing import Any

from . import _libseal as core
from . import charts
from .canvas import words
from .drawing import joint_numbers
from .paper import chance, distinct, hours_range, money, render, write_text
from .rows import ForecastRows
from .units import Units, label_of, units_of

__all__ = ["page_text", "write_page"]


MOST_FLAGS = 2  # of a visit on this page


def why_short(visit: core.Visit, units: Units) -> str:
    """What is due first; for an inspection the library's own sentence."""
    if not visit.tasks:
        return units.prose(visit.why)
    first = min(visit.tasks, key=lambda task: (task.due, task.joint))
    return f"first due {words(first.joint)} by {first.due}, {words(first.urgency)}"


def visit_row(visit: core.Visit, currency: str, units: Units) -> dict[str, Any]:
    return {"first": str(visit.first), "last": str(visit.last) if visit.last != visit.first else "", "coach": visit.coach, "kind": words(visit.kind),
            "bay": visit.bay + 1, "cancelled": visit.cancelled, "tasks": len(visit.tasks), "why": why_short(visit, units),
            "flags": [units.prose(flag) for flag in visit.flags[:MOST_FLAGS]], "more": max(0, len(visit.flags) - MOST_FLAGS), "hours": hours_range(visit.minutes) if visit.tasks else "",
            "cost": money(visit.cost, currency) if visit.tasks else None}


def coach_row(coach: core.Coach, forecast: ForecastRows, visits: list[core.Visit], units: Units) -> dict[str, Any]:
    """A coach by its joint that is due first. Joints with water: expected number, a sum of probabilities."""
    rows = forecast.rows_of(coach.id)
    next_visit = next((v for v in visits if not v.cancelled and v.last >= forecast.as_of), None)
    row: dict[str, Any] = {"id": coach.id, "label": label_of(coach, units) if coach.label not in ("", coach.id) else "", "joints": len(coach.joints), "first": None,
                           "visit": str(next_visit.first) if next_visit else "none", "visit_kind": words(next_visit.kind) if next_visit else ""}
    if not rows:
        return {**row, "due": datetime.date.max}
    first = min(rows, key=lambda r: (forecast.due_50[r], r))
    open_now, open_year = (forecast.by_joint(column, coach.id) for column in (forecast.open_now, forecast.open_1_year))
    year = forecast.as_of + datetime.timedelta(days=365)
    days = (forecast.due_10[first], forecast.due_50[first], forecast.due_90[first])
    soon = {forecast.joint[r] for r in rows if forecast.due_50[r] <= year}
    return {**row, "due": days[1], "days": days, "first": f"{joint_numbers(coach)[forecast.joint[first]]} {words(forecast.joint[first])}",
            "due_10": str(days[0]), "due_50": str(days[1]), "due_90": str(days[2]), "year": chance(forecast.due_1_year[first]), "soon": len(soon),
            "chance": forecast.due_1_year[first], "open_now": f"{sum(open_now.values()):.1f}", "open_year": f"{sum(open_year.values()):.1f}"}


def visits_by_coach(calendar: core.Calendar) -> dict[str, list[core.Visit]]:
    out: dict[str, list[core.Visit]] = {}
    for visit in calendar.visits:
        out.setdefault(visit.coach, []).append(visit)
    return out


def page_text(fleet: core.Fleet, forecast: core.Forecast, calendar: core.Calendar, shop: core.Shop, *, units: str = "metric") -> str:
    """The page as HTML text: the year by week, the visits, the coaches by due date, what found no place, changes, cautions.

    Owners' names are not on it; drawings, joints and options of each coach are in `owner_packet`.
    """
    measures = units_of(units)
    rows, of_coach = ForecastRows(forecast), visits_by_coach(calendar)
    coaches = sorted((coach_row(coach, rows, of_coach.get(coach.id, []), measures) for coach in fleet.coaches), key=lambda row: (row["due"], row["id"]))
    known = [row for row in coaches if row["first"]]
    axis = charts.year_axis(forecast.as_of, [row["days"][0] for row in known], [row["days"][2] for row in known])
    for row in known:
        due_10, due_50, due_90 = row["days"]
        row["bar"] = axis.bar(due_10, due_50, due_90, row["chance"])
    unplaced = [{"coach": u.coach, "joint": words(u.joint), "action": words(u.action), "due": str(u.due),
                 "constraint": measures.prose(u.constraint), "relaxation": measures.prose(u.relaxation)} for u in calendar.unplaced]
    visits = [visit_row(v, calendar.currency, measures) for v in calendar.visits]
    return render("page.html.j2", coaches=coaches, axis=axis, visits=visits, kept=sum(not v.cancelled for v in calendar.visits), unplaced=unplaced,
                  calendar=calendar, shop=shop, as_of=str(forecast.as_of), load=charts.load_chart(charts.load_by_week(calendar, shop)),
                  cautions=[measures.prose(t) for t in distinct(t for v in calendar.visits if not v.cancelled for t in v.cautions)])


def write_page(path: str | os.PathLike[str], fleet: core.Fleet, forecast: core.Forecast, calendar: core.Calendar,
               shop: core.Shop, *, units: str = "metric") -> None:
    """Writes `page_text` to a file: all of it or nothing. Raises FileError with the path and the system's reason."""
    write_text(path, page_text(fleet, forecast, calendar, shop, units=units))
