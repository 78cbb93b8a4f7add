"""The week sheet of a shop: what comes in, into which bay, whose coach, tasks in order with minutes and weather."""

from __future__ import annotations

import datetime
import os
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from . import _libseal as core
from . import charts
from .canvas import words
from .drawing import joint_numbers
from .paper import days_text, distinct, hours_range, minutes_range, render, write_text
from .problems import Problem, failure
from .units import Units, label_of, units_of

__all__ = ["week_sheet", "write_week_sheet"]

LAST_DAY = datetime.date(9999, 12, 26)  # the last Sunday that a date can be


def monday_of_week(calendar: core.Calendar, week: datetime.date | int) -> datetime.date:
    """Monday of the week of a day, or of a week by its number (ISO 8601) in the calendar's year."""
    if isinstance(week, datetime.datetime):
        week = week.date()
    if isinstance(week, datetime.date):
        if week > LAST_DAY:
            raise failure(core.ValueError, Problem(f"a day up to {LAST_DAY}", str(week), field="week"))
        return charts.monday_of(week)
    try:
        return datetime.date.fromisocalendar(calendar.year, week, 1)
    except ValueError as error:
        raise ValueError(f"week: expected a day, or a week of {calendar.year} by its number, got {week}") from error


@dataclass
class Bench:
    """What every visit of a sheet is made with."""

    calendar: core.Calendar
    shop: core.Shop
    forecast: core.Forecast | None
    findings: Sequence[core.Finding]
    work_done: Sequence[core.WorkDone]
    catalogue: core.Catalogue
    units: Units
    show_owners: bool

    def plan(self, visit: core.Visit, coach: core.Coach | None) -> core.WorkPlan | None:
        """The plan of a visit, made again from the forecast; None without one."""
        if self.forecast is None or coach is None or not visit.tasks or not self.forecast.rows_of(coach.id):
            return None
        joints = {joint.id for joint in coach.joints}
        last = datetime.date(self.calendar.year, 12, 31)
        findings = [f for f in self.findings if f.coach == coach.id and f.date <= self.forecast.as_of]
        return core.plan_work(coach, findings, self.forecast, self.shop, self.forecast.as_of, catalogue=self.catalogue, due_before=max(last, self.forecast.as_of),
                              work_day=max(visit.first, self.forecast.as_of), joints=[t.joint for t in visit.tasks if t.joint in joints],
                              parts=[t.joint for t in visit.tasks if t.joint not in joints],
                              work_done=[w for w in self.work_done if w.coach == coach.id], opportunistic_days=0)

    def gate_words(self, gate: str) -> str:
        return self.units.prose(self.catalogue.word(f"gate/{gate}/words"))

    def tasks(self, visit: core.Visit, coach: core.Coach | None) -> tuple[list[dict[str, Any]], list[str], bool]:
        """Rows of the tasks, weather that they need in words, and whether they stand in the order of the work."""
        numbers = joint_numbers(coach) if coach else {}
        joints = {joint.id: joint for joint in coach.joints} if coach else {}
        plan = self.plan(visit, coach)
        known = {task.joint or task.part: task for task in plan.tasks} if plan else {}
        begins = {step: i for i, step in enumerate(plan.order)} if plan else {}
        used: dict[str, str] = {}
        rows = []
        for place, task in enumerate(visit.tasks):
            planned, joint = known.get(task.joint), joints.get(task.joint)
            steps = [plan.steps[s] for s in planned.steps] if plan and planned else []
            gates = distinct(step.gate for step in steps if step.gate)
            used.update((gate, self.gate_words(gate)) for gate in gates)
            rows.append({
                "begin": min((begins.get(s, 0) for s in planned.steps), default=0) if planned else len(begins) + place,
                "number": numbers.get(task.joint, ""), "joint": words(task.joint),
                "where": words(joint.surface) + (f" of {words(joint.slide)}" if joint.slide else "") if joint else "",
                "action": words(task.action), "layer": words(task.layer), "family": words(task.family), "urgency": words(task.urgency), "due": str(task.due),
                "late": task.late, "moved": self.units.prose(task.moved), "best": str(task.best_date) if task.moved else "", "minutes": minutes_range(planned.minutes) if planned else "",
                "gates": ", ".join(gates)})
        return sorted(rows, key=lambda row: row["begin"]), [f"{words(name)}: {text}" for name, text in used.items()], plan is not None

    def visit(self, visit: core.Visit, coach: core.Coach | None, monday: datetime.date, number: int) -> dict[str, Any]:
        rows, gates, ordered = self.tasks(visit, coach)
        moved = shared_reasons(rows)
        bays = core.bays_of(self.shop)
        bay = bays[visit.bay] if 0 <= visit.bay < len(bays) else None
        sunday = monday + datetime.timedelta(days=6)
        label = label_of(coach, self.units) if coach else visit.label
        return {"id": number, "days": days_text(visit.first, visit.last), "comes": str(visit.first), "leaves": str(visit.last), "coach": visit.coach,
                "label": "" if label == visit.coach else label, "owner": (coach.owner if coach else visit.owner) if self.show_owners else "", "kind": words(visit.kind),
                "bay": bay.id if bay and bay.id else f"bay {visit.bay + 1}", "roof": ("heated" if bay.heated else "roofed" if bay.roofed else "in the open") if bay else "",
                "indoors": bool(bay and bay.heated), "goes_on": visit.last > sunday, "began": visit.first < monday, "hours": hours_range(visit.minutes) if visit.tasks else "",
                "tasks": rows, "moved": moved, "ordered": ordered, "gates": gates, "why": self.units.prose(visit.why), "flags": [self.units.prose(flag) for flag in visit.flags],
                "length": self.units.length(coach.length) if coach else "", "cautions": [self.units.prose(text) for text in visit.cautions]}


def shared_reasons(rows: list[dict[str, Any]]) -> list[str]:
    """Why tasks are not done on their own best day, where several say the same: said once, not in each row."""
    places: dict[str, list[dict[str, Any]]] = {}
    for row in rows:
        if row["moved"]:
            places.setdefault(row["moved"].partition(": ")[2], []).append(row)
    told = []
    for reason, own in places.items():
        if len(own) < 2:
            continue
        days = {row["best"] for row in own}
        for row in own:
            row["moved"] = f"best {row['best']}" if len(days) > 1 else ""
        numbered = all(row["number"] for row in own)
        which = "all tasks" if len(own) == len(rows) else "No. " + ", ".join(map(str, sorted(row["number"] for row in own))) if numbered else f"{len(own)} tasks"
        best = f" ({days.pop()})" if len(days) == 1 else ""
        told.append(f"Not on their best day{best}, {which}: {reason}.")
    return told


def week_sheet(calendar: core.Calendar, fleet: core.Fleet, shop: core.Shop, week: datetime.date | int, *,
               forecast: core.Forecast | None = None, findings: Sequence[core.Finding] | None = None,
               work_done: Sequence[core.WorkDone] | None = None, units: str = "metric", show_owners: bool = True,
               catalogue: core.Catalogue | None = None) -> str:
    """The sheet of one week as HTML text for print on Letter and A4, with the hours booked in the whole year.

    `week`: a day in it, or its number (ISO 8601) in the calendar's year. With the `forecast` that the calendar was made from
    (and its `findings` and `work_done`) tasks stand in the order of the work with their minutes and weather; without it in
    the order of the calendar. `show_owners=False` for a sheet that hangs where everybody reads it.
    """
    monday = monday_of_week(calendar, week)
    sunday = monday + datetime.timedelta(days=6)
    bench = Bench(calendar, shop, forecast, findings or (), work_done or (), catalogue or core.Catalogue.built_in(), units_of(units), show_owners)
    coaches = {coach.id: coach for coach in fleet.coaches}
    inside = sorted((v for v in calendar.visits if not v.cancelled and v.first <= sunday and v.last >= monday), key=lambda v: (v.first, v.bay, v.coach))
    visits = [bench.visit(v, coaches.get(v.coach), monday, i) for i, v in enumerate(inside, start=1)]
    cancelled = [v.coach for v in calendar.visits if v.cancelled and v.first <= sunday and v.last >= monday]
    loads = charts.load_by_week(calendar, shop)
    this = next((load for load in loads if load.monday == monday), None)
    year, number, _ = monday.isocalendar()
    return render("week.html.j2", visits=visits, cancelled=cancelled, shop=shop, monday=str(monday), sunday=str(sunday), year=year, number=number,
                  as_of=str(calendar.as_of), load=charts.load_chart(loads, monday), this=this, calendar_year=calendar.year,
                  closing=calendar.closing or core.closing_line(bench.catalogue), cautions=distinct(text for visit in visits for text in visit["cautions"]))


def write_week_sheet(path: str | os.PathLike[str], calendar: core.Calendar, fleet: core.Fleet, shop: core.Shop, week: datetime.date | int, *,
                     forecast: core.Forecast | None = None, findings: Sequence[core.Finding] | None = None,
                     work_done: Sequence[core.WorkDone] | None = None, units: str = "metric", show_owners: bool = True,
                     catalogue: core.Catalogue | None = None) -> None:
    """Writes `week_sheet` to a file: all of it or nothing. Raises FileError with the path and the system's reason."""
    write_text(path, week_sheet(calendar, fleet, shop, week, forecast=forecast, findings=findings, work_done=work_done, units=units,
                                show_owners=show_owners, catalogue=catalogue))
