"""Columns of a forecast as plain lists, read once: each look at a column of the compiled forecast makes a new list."""

from __future__ import annotations

import datetime
from typing import Any

from . import _libseal as core

__all__ = ["ForecastRows"]


def days(column: Any) -> list[datetime.date]:
    out: list[datetime.date] = column.astype("datetime64[D]").astype(object).tolist()
    return out


class ForecastRows:
    """What papers print of a forecast, and the rows of each coach."""

    def __init__(self, forecast: core.Forecast) -> None:
        self.forecast = forecast
        self.as_of = forecast.as_of
        self.joint, self.layer, self.family, self.flag = forecast.joint, forecast.layer, forecast.family, forecast.flag
        self.due_10, self.due_50, self.due_90 = days(forecast.due_10), days(forecast.due_50), days(forecast.due_90)
        self.inspect_by = days(forecast.inspect_by)
        self.due_1_year, self.open_now, self.open_1_year = forecast.due_1_year.tolist(), forecast.open_now.tolist(), forecast.open_1_year.tolist()
        self.rows: dict[str, list[int]] = {}
        for row, coach in enumerate(forecast.coach):
            self.rows.setdefault(coach, []).append(row)

    def rows_of(self, coach: str) -> list[int]:
        return self.rows.get(coach, [])

    def by_joint(self, column: list[float], coach: str) -> dict[str, float]:
        """Highest value of the layers of each joint."""
        out: dict[str, float] = {}
        for row in self.rows_of(coach):
            out[self.joint[row]] = max(out.get(self.joint[row], 0.0), column[row])
        return out
