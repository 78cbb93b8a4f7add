"""Where bars and lines of the printed figures lie; their texts are put in by the templates."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from . import _libseal as core
from .canvas import ramp_colour

DUE_GRADE = 2.5  # where grade 3 is entered on the continuous scale
LONGEST, SHORTEST, EARLIEST = 12, 3, 5  # years that an axis of due dates shows after and before today
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")  # strftime would follow the machine's language
WIDE = 200.0  # of a strip of due dates


def condition_bar(low: float, middle: float, high: float) -> dict[str, Any]:
    """A condition between its 10 and 90 % points; 20 px a grade from 6 px on, as in the template."""
    left, right = 6 + 20 * low, 6 + 20 * high
    return {"from": f"{left:.1f}", "wide": f"{max(right - left, 0.8):.1f}", "middle": f"{6 + 20 * middle:.1f}", "colour": ramp_colour(middle / 5)}


@dataclass(frozen=True)
class YearAxis:
    """Days on a strip of due dates."""

    first: datetime.date
    last: datetime.date
    today_date: datetime.date

    def place(self, day: datetime.date) -> float:
        return WIDE * (day - self.first).days / (self.last - self.first).days

    @property
    def today(self) -> str:
        return f"{self.place(self.today_date):.1f}"

    @property
    def ticks(self) -> list[dict[str, str]]:
        """Starts of years; every one has its figure where there is room."""
        years = range(self.first.year + 1, self.last.year + 1)
        step = -(-len(years) // 7)  # at most seven
        return [{"x": f"{self.place(datetime.date(year, 1, 1)):.1f}", "text": str(year) if (i % step == 0 and 10 < self.place(datetime.date(year, 1, 1)) < WIDE - 10) else ""}
                for i, year in enumerate(years)]

    def bar(self, due_10: datetime.date, due_50: datetime.date, due_90: datetime.date, chance: float) -> dict[str, Any]:
        """From the 10 to the 90 % day; what lies outside is cut and has an arrow."""
        left, middle, right = (self.place(day) for day in (due_10, due_50, due_90))
        start, end = min(max(left, 0.0), WIDE - 1), min(max(right, 1.0), WIDE)
        return {"from": f"{start:.1f}", "wide": f"{max(end - start, 1.0):.1f}", "middle": f"{middle:.1f}" if 1 < middle < WIDE - 1 else None,
                "before": left < 0, "after": right > WIDE, "colour": ramp_colour(chance)}


def year_axis(as_of: datetime.date, due_10: Sequence[datetime.date], due_90: Sequence[datetime.date]) -> YearAxis:
    """An axis that holds most of the days, with today on it."""
    latest = sorted(due_90)[int(0.9 * (len(due_90) - 1))] if due_90 else as_of
    earliest = sorted(due_10)[int(0.1 * (len(due_10) - 1))] if due_10 else as_of
    after = min(max((latest - as_of).days / 365.25 + 0.5, SHORTEST), LONGEST)
    before = min(max((as_of - earliest).days / 365.25 + 0.5, 1.0), EARLIEST)
    return YearAxis(as_of - datetime.timedelta(days=round(365.25 * before)), as_of + datetime.timedelta(days=round(365.25 * after)), as_of)


@dataclass(frozen=True)
class WeekLoad:
    """Hours of one week."""

    monday: datetime.date
    booked: float
    capacity: float


def monday_of(day: datetime.date) -> datetime.date:
    return day - datetime.timedelta(days=day.weekday())


def weeks_of(calendar: core.Calendar) -> list[datetime.date]:
    """Mondays of the weeks that touch the calendar's year, and of visits that could not wait for it."""
    kept = [visit for visit in calendar.visits if not visit.cancelled]
    first = monday_of(min([datetime.date(calendar.year, 1, 1), *(v.first for v in kept)]))
    last = monday_of(max([datetime.date(calendar.year, 12, 31), *(v.last for v in kept)]))
    return [first + datetime.timedelta(days=7 * k) for k in range((last - first).days // 7 + 1)]


def load_by_week(calendar: core.Calendar, shop: core.Shop) -> list[WeekLoad]:
    """Hours booked and offered by week: those of the calendar where it has them, else each visit's likely minutes spread
    evenly over its days of work."""
    mondays = weeks_of(calendar)
    known = {week.start: week for week in getattr(calendar, "weeks", ())}
    if known:
        return [WeekLoad(day, known[day].booked, known[day].capacity) if day in known else WeekLoad(day, 0.0, 0.0) for day in mondays]
    first, end = mondays[0], mondays[-1] + datetime.timedelta(days=7)
    clocks = [core.WorkingTime(shop, person, np.datetime64(first), np.datetime64(end)) for person in shop.people]

    def minutes(a: datetime.date, b: datetime.date) -> int:
        return sum(clock.work_between(np.datetime64(a), np.datetime64(b)) for clock in clocks)

    booked: dict[datetime.date, float] = {}
    for visit in calendar.visits:
        days = [visit.first + datetime.timedelta(days=k) for k in range((visit.last - visit.first).days + 1)]
        open_days = [day for day in days if core.works_on(shop, day)] or days
        for day in [] if visit.cancelled else open_days:
            booked[monday_of(day)] = booked.get(monday_of(day), 0.0) + visit.minutes.mode / 60 / len(open_days)
    return [WeekLoad(day, booked.get(day, 0.0), minutes(day, day + datetime.timedelta(days=7)) / 60) for day in mondays]


def nice_step(most: float) -> float:
    """Distance of at most five lines that people can add up in their heads."""
    for step in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000):
        if most / step <= 5:
            return float(step)
    return most / 5


def load_chart(weeks: Sequence[WeekLoad], now: datetime.date | None = None) -> dict[str, Any]:
    """Bars of hours booked, a line of hours offered; the week of `now` is marked."""
    left, base, tall = 34.0, 134.0, 108.0
    pitch = 670.0 / max(len(weeks), 40)
    most = max((max(week.booked, week.capacity) for week in weeks), default=0.0) or 1.0
    right = left + pitch * len(weeks)
    bars, capacity, months = [], [], []
    for k, week in enumerate(weeks):
        x, height = left + pitch * k, tall * week.booked / most
        line = base - tall * week.capacity / most
        capacity.append(f"{'M' if k == 0 else 'L'}{x:.1f} {line:.1f}H{x + pitch:.1f}")
        share = week.booked / week.capacity if week.capacity > 0 else 1.0
        is_now = now is not None and monday_of(now) == week.monday
        bars.append({"x": f"{x + 1.6:.1f}", "y": f"{base - height:.1f}", "tall": height, "colour": ramp_colour(share), "now": is_now,
                     "text": f"{week.booked:.0f}", "text_x": f"{x + pitch / 2 + 3:.1f}", "text_y": f"{base - height - 3:.1f}", "middle": f"{x + pitch / 2:.1f}"})
        if week.monday.day <= 7:
            months.append({"x": f"{x:.1f}", "text_x": f"{x + 3:.1f}", "text": MONTHS[week.monday.month - 1] + (f" {week.monday.year}" if week.monday.month == 1 else "")})
    booked, offered = sum(week.booked for week in weeks), sum(week.capacity for week in weeks)
    fullest = max(weeks, key=lambda week: week.booked, default=None)
    words = f"{booked:.0f} hours booked of {offered:.0f} offered in {len(weeks)} weeks"
    if fullest and fullest.booked > 0:
        words += f"; fullest is the week from {fullest.monday} with {fullest.booked:.0f} of {fullest.capacity:.0f} hours"
    step = nice_step(most)
    return {"width": f"{right + 6:.0f}", "height": "160", "left": left, "right": f"{right:.1f}", "base": base, "bar": f"{pitch - 3.2:.1f}", "bars": bars,
            "capacity": "".join(capacity), "months": months, "words": words + ".",
            "lines": [{"y": base - tall * step * i / most, "text": f"{step * i:.0f} h"} for i in range(1, int(most / step) + 1)],
            "rows": [{"monday": str(w.monday), "booked": f"{w.booked:.1f}", "capacity": f"{w.capacity:.1f}"} for w in weeks],
            "title": "Hours booked by week against capacity",
            "caption": "Bars: hours booked, the darker the fuller the week, with the hours printed on top. Line: hours that the people offer."
                       + (" The triangle marks this week." if now is not None else "") + f" {words}."}
