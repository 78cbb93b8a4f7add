"""A forecast as columns alone: what is left of it in a table, or when it was made in pieces elsewhere."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

# Column of a table (with its unit), field of the forecast, kind.
FORECAST = (
    ("coach", "coach", "text"), ("joint", "joint", "text"), ("layer", "layer", "text"), ("family", "family", "text"), ("age_yr", "age", "number"),
    ("effective_age_yr", "effective_age", "number"), ("condition", "condition", "number"), ("due_10", "due_10", "day"), ("due_50", "due_50", "day"),
    ("due_90", "due_90", "day"), ("inspect_by", "inspect_by", "day"), ("due_now", "due_now", "number"), ("due_90_days", "due_90_days", "number"),
    ("due_1_year", "due_1_year", "number"), ("due_2_years", "due_2_years", "number"), ("due_5_years", "due_5_years", "number"),
    ("open_now", "open_now", "number"), ("open_1_year", "open_1_year", "number"), ("appearance", "appearance", "number"),
    ("share_light", "share_light", "number"), ("share_heat", "share_heat", "number"), ("share_moisture", "share_moisture", "number"),
    ("share_movement", "share_movement", "number"), ("share_workmanship", "share_workmanship", "number"), ("share_shared", "share_shared", "number"),
    ("movement_factor", "movement_factor", "number"), ("shared_factor", "shared_factor", "number"), ("utilisation", "utilisation", "number"),
    ("early_defect", "early_defect", "number"), ("generation", "generation", "whole"), ("flag", "flag", "text"))

# The same of what past inspections teach.
LIFE_RECORDS = (
    ("coach", "coach", "text"), ("joint", "joint", "text"), ("layer", "layer", "text"), ("generation", "generation", "whole"), ("family", "family", "text"),
    ("joint_type", "joint_type", "text"), ("model_line", "model_line", "text"), ("model_year", "model_year", "whole"), ("place", "place", "text"),
    ("surface", "surface", "text"), ("lower_yr", "lower", "number"), ("upper_yr", "upper", "number"), ("entry_yr", "entry", "number"),
    ("lower_calendar_yr", "lower_years", "number"), ("upper_calendar_yr", "upper_years", "number"), ("entry_calendar_yr", "entry_years", "number"),
    ("event", "event", "text"), ("workmanship", "workmanship", "number"), ("looks", "looks", "whole"), ("flag", "flag", "text"))
FAMILY_LIVES = (
    ("family", "family", "text"), ("old_life_yr", "old_life", "number"), ("life_yr", "life", "number"), ("life_low_yr", "life_low", "number"),
    ("life_high_yr", "life_high", "number"), ("prior_sd", "prior_sd", "number"), ("log_sd", "log_sd", "number"), ("layers", "layers", "whole"),
    ("coaches", "coaches", "whole"), ("due", "due", "whole"), ("first_look", "first_look", "text"), ("last_look", "last_look", "text"),
    ("before_calendar_yr", "years_before", "number"), ("after_calendar_yr", "years_after", "number"), ("verdict", "verdict", "text"))
GROUP_LIVES = (
    ("family", "family", "text"), ("model_line", "model_line", "text"), ("coach", "coach", "text"), ("layers", "layers", "whole"),
    ("life_yr", "life", "number"), ("life_low_yr", "life_low", "number"), ("life_high_yr", "life_high", "number"), ("ratio", "ratio", "number"))
LOOKS_KNOWN = (
    ("coach", "coach", "text"), ("joint", "joint", "text"), ("layer", "layer", "text"), ("family", "family", "text"), ("date", "date", "text"),
    ("lowest", "lowest", "whole"), ("highest", "highest", "whole"))
EXPERIMENT = (
    ("coach", "coach", "text"), ("joint", "joint", "text"), ("layer", "layer", "text"), ("effective_age_yr", "effective_age", "number"),
    ("information", "information", "number"), ("log_sd", "log_sd", "number"), ("width", "width", "number"), ("bits", "bits", "number"))
# Of an interval table: what a row is, and what it comes to under each policy.
INTERVAL_ROWS = (
    ("station", "station", "text"), ("climate", "climate", "text"), ("joint_type", "joint_type", "text"), ("family", "family", "text"),
    ("layer", "layer", "text"), ("surface", "surface", "text"), ("consequence", "consequence", "whole"), ("rate", "rate", "number"),
    ("life_yr", "life", "number"), ("open_life_yr", "open_life", "number"), ("reseal_cost", "reseal_cost", "number"), ("look_cost", "look_cost", "number"),
    ("failure_cost", "failure_cost", "number"), ("formula_age_yr", "formula_age", "number"), ("formula_age_cost_per_yr", "formula_age_cost", "number"),
    ("formula_interval_d", "formula_interval", "number"), ("formula_interval_cost_per_yr", "formula_interval_cost", "number"),
    ("best_interval_d", "best_interval", "number"), ("best", "best", "text"))
INTERVAL_POLICIES = (
    ("cost_per_yr", "cost"), ("cost_error", "cost_error"), ("failures_per_1000_yr", "failures"), ("failures_error", "failures_error"),
    ("found", "found"), ("looks_per_yr", "looks"), ("reseals_per_yr", "reseals"), ("saving_per_yr", "saving"), ("saving_error", "saving_error"),
    ("more_failures_per_1000_yr", "more_failures"), ("more_failures_error", "more_failures_error"))

WEAK_SPOTS = (
    ("model_line", "model_line", "text"), ("model_year", "model_year", "whole"), ("joint_type", "joint_type", "text"), ("layers", "layers", "whole"),
    ("coaches", "coaches", "whole"), ("due", "due", "whole"), ("expected", "expected", "number"), ("ratio", "ratio", "number"),
    ("ratio_low", "ratio_low", "number"), ("ratio_high", "ratio_high", "number"), ("shrunk", "shrunk", "number"),
    ("shrunk_low", "shrunk_low", "number"), ("shrunk_high", "shrunk_high", "number"), ("above", "above", "number"), ("p", "p", "number"),
    ("adjusted", "adjusted", "number"), ("funnel_low", "funnel_low", "number"), ("funnel_high", "funnel_high", "number"),
    ("more_layers", "more_layers", "number"), ("weak", "weak", "whole"), ("workmanship", "workmanship", "whole"), ("verdict", "verdict", "text"))

RATE_SENSITIVITIES = (
    ("parameter", "parameter", "text"), ("unit", "unit", "text"), ("value", "value", "number"), ("low", "low", "number"), ("high", "high", "number"),
    ("slope", "slope", "number"), ("rate_low", "rate_low", "number"), ("rate_high", "rate_high", "number"), ("life_low_yr", "life_low", "number"),
    ("life_high_yr", "life_high", "number"), ("swing", "swing", "number"))

Floats = NDArray[np.float64]
Days = NDArray[np.datetime64]


@dataclasses.dataclass(eq=False)
class ForecastColumns:
    """The columns of a `Forecast` under the same names; what a forecast can be asked beyond them (`monthly`, ...) it has not."""

    coach: list[str]
    joint: list[str]
    layer: list[str]
    family: list[str]
    age: Floats
    effective_age: Floats
    condition: Floats
    due_10: Days
    due_50: Days
    due_90: Days
    inspect_by: Days
    due_now: Floats
    due_90_days: Floats
    due_1_year: Floats
    due_2_years: Floats
    due_5_years: Floats
    open_now: Floats
    open_1_year: Floats
    appearance: Floats
    share_light: Floats
    share_heat: Floats
    share_moisture: Floats
    share_movement: Floats
    share_workmanship: Floats
    share_shared: Floats
    movement_factor: Floats
    shared_factor: Floats
    utilisation: Floats
    early_defect: Floats
    generation: list[int]
    flag: list[str]

    def __len__(self) -> int:
        return len(self.coach)

    def rows_of(self, coach_id: str) -> list[int]:
        """Rows of a coach, in order."""
        return [row for row, coach in enumerate(self.coach) if coach == coach_id]

    @classmethod
    def of(cls, forecast: Any) -> ForecastColumns:
        """Of a forecast."""
        columns: dict[str, Any] = {field: _column(getattr(forecast, field), kind) for _, field, kind in FORECAST}
        return cls(**columns)

    @classmethod
    def of_rows(cls, rows: Sequence[tuple[Any, ...]]) -> ForecastColumns:
        columns = list(zip(*rows, strict=True)) or [()] * len(FORECAST)
        return cls(**{field: _column(column, kind) for (_, field, kind), column in zip(FORECAST, columns, strict=True)})

    @classmethod
    def joined(cls, parts: Iterable[ForecastColumns]) -> ForecastColumns:
        """One after the other."""
        made = list(parts)
        columns: dict[str, Any] = {field: _column([value for part in made for value in getattr(part, field)], kind) if kind in ("text", "whole") else
                                   np.concatenate([getattr(part, field) for part in made] or [_column([], kind)]) for _, field, kind in FORECAST}
        return cls(**columns)

    def equals(self, other: Any) -> bool:
        """The same to the bit, also where nothing is known; `other` may be a forecast."""
        for _, field, kind in FORECAST:
            ours, theirs = getattr(self, field), _column(getattr(other, field), kind)
            if isinstance(ours, list):
                if ours != theirs:
                    return False
            elif ours.shape != theirs.shape or _bits(ours) != _bits(theirs):
                return False
        return True


def _column(values: Any, kind: str) -> Any:
    if kind == "number":
        return np.ascontiguousarray(values, dtype=np.float64)
    if kind == "day":
        return np.asarray(values, dtype="datetime64[D]")
    return [int(value) for value in values] if kind == "whole" else list(values)


def _bits(values: Any) -> bytes:
    """Bytes of a column; every "not a number" is the same one."""
    return bytes((np.where(np.isnan(values), np.nan, values) if values.dtype.kind == "f" else values).tobytes())
