"""Results as pandas frames, and weather from one. pandas is needed here only."""

from __future__ import annotations

import importlib
from typing import Any, TypeAlias

import numpy as np

from . import _libseal as core

DataFrame: TypeAlias = Any  # of pandas, which has no types of its own

__all__ = ["calendar_frame", "forecast_frame", "plan_frame", "schedule_frame", "weather_frame", "weather_from_frame"]


def _pandas() -> Any:
    try:
        return importlib.import_module("pandas")
    except ImportError as error:
        raise ImportError("libseal.frames needs pandas: pip install pandas") from error


def weather_frame(weather: core.Weather) -> DataFrame:
    """Value columns of a weather, indexed by the end of each interval in UTC."""
    pandas = _pandas()
    columns = {name: core.weather_column(weather, name) for name in core.weather_column_names()}
    index = pandas.DatetimeIndex(weather.time_utc, tz="UTC", name="time_utc")
    return pandas.DataFrame(columns, index=index)


def weather_from_frame(frame: DataFrame, site: core.Site, *, step: float = 3600.0, sun_offset: float = -1800.0,
                       typical: bool = False) -> core.Weather:
    """Weather from a frame indexed by time (a zone is turned to UTC; without one the times are UTC).

    Columns carry the names of `weather_column_names`; those that are absent are unknown. A column of another name is
    an error, so that a misspelt one is not lost.
    """
    names = core.weather_column_names()
    unknown = [str(name) for name in frame.columns if name not in names]
    if unknown:
        raise ValueError(f"frame: expected columns among {', '.join(names)}, got {', '.join(unknown)}")
    columns = {str(name): frame[name].to_numpy(dtype=float) for name in frame.columns}
    return core.Weather(site, frame.index, step=step, sun_offset=sun_offset, typical=typical, **columns)


_FORECAST_COLUMNS = (
    "coach", "joint", "layer", "family", "age", "effective_age", "condition", "due_10", "due_50", "due_90",
    "inspect_by", "due_now", "due_90_days", "due_1_year", "due_2_years", "due_5_years", "open_now", "open_1_year",
    "appearance", "share_light", "share_heat", "share_moisture", "share_movement", "share_workmanship", "share_shared",
    "movement_factor", "shared_factor", "utilisation", "early_defect", "generation", "flag")


def forecast_frame(forecast: core.Forecast) -> DataFrame:
    """One row a layer, in the order of the forecast; units as in `Forecast`."""
    return _pandas().DataFrame({name: getattr(forecast, name) for name in _FORECAST_COLUMNS})


def plan_frame(plan: core.WorkPlan) -> DataFrame:
    """One row a task. Minutes are person-minutes, cost in whole units of the plan's currency."""
    rows = [
        {
            "joint": task.joint, "part": task.part, "joint_type": task.joint_type, "layer": task.layer, "action": task.action,
            "family": task.family, "due": np.datetime64(task.due, "D"), "urgency": task.urgency,
            "length": task.length, "volume_ml": task.volume_ml, "minutes_low": task.minutes.low,
            "minutes": task.minutes.mode, "minutes_high": task.minutes.high, "cost_low": task.cost.low / 100,
            "cost": task.cost.mode / 100, "cost_high": task.cost.high / 100, "reason": task.reason,
        }
        for task in plan.tasks
    ]
    columns = ["joint", "part", "joint_type", "layer", "action", "family", "due", "urgency", "length", "volume_ml",
               "minutes_low", "minutes", "minutes_high", "cost_low", "cost", "cost_high", "reason"]
    return _pandas().DataFrame(rows, columns=columns)


def schedule_frame(schedule: core.Schedule, plan: core.WorkPlan, shop: core.Shop) -> DataFrame:
    """One row a step, in the order of the plan; times are local."""
    rows = [
        {
            "step": plan.steps[time.step].id, "kind": plan.steps[time.step].kind, "joint": plan.steps[time.step].joint,
            "start": time.start, "end": time.end,
            "people": ", ".join(shop.people[person].id for person in time.people), "critical": time.critical,
            "waited_for": time.waited_for,
        }
        for time in schedule.steps
    ]
    columns = ["step", "kind", "joint", "start", "end", "people", "critical", "waited_for"]
    return _pandas().DataFrame(rows, columns=columns)


def calendar_frame(calendar: core.Calendar) -> DataFrame:
    """One row a task of a visit, one row for a visit without tasks."""
    rows = []
    for visit in calendar.visits:
        head = {
            "first": np.datetime64(visit.first, "D"), "last": np.datetime64(visit.last, "D"), "coach": visit.coach,
            "kind": visit.kind, "bay": visit.bay, "cancelled": visit.cancelled, "uid": visit.uid,
        }
        for task in visit.tasks:
            rows.append({**head, "joint": task.joint, "layer": task.layer, "action": task.action,
                         "family": task.family, "due": np.datetime64(task.due, "D"), "late": task.late,
                         "reason": task.reason})
        if not visit.tasks:
            rows.append({**head, "reason": visit.why})
    columns = ["first", "last", "coach", "kind", "bay", "cancelled", "uid", "joint", "layer", "action", "family",
               "due", "late", "reason"]
    return _pandas().DataFrame(rows, columns=columns)
