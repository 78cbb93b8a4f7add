"""Tables in and out: pandas frames and Arrow tables of fleets, findings, work, forecasts, calendars; weather too.

Each `..._frame` gives a pandas frame, or with `arrow=True` an Arrow table (of weather a pandas frame alone); each
`..._from_frame` takes either. Columns carry their units in their names and have the same types in every run: text `string`, days `datetime64[s]` (Arrow: `date32`), numbers
`float64`, whole numbers `int64`, yes or no `bool`. pandas and pyarrow are needed here only.
"""

from __future__ import annotations

import importlib
from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any, TypeAlias

import numpy as np

from . import _libseal as core
from . import cells, tables
from .columns import (EXPERIMENT, FAMILY_LIVES, FORECAST, GROUP_LIVES, INTERVAL_POLICIES, INTERVAL_ROWS, LIFE_RECORDS, LOOKS_KNOWN, RATE_SENSITIVITIES,
                      WEAK_SPOTS, ForecastColumns)
from .problems import Problem, failure

DataFrame: TypeAlias = Any  # of pandas or pyarrow
Columns: TypeAlias = Mapping[str, "str | None"] | None  # the user's headings to ours; None leaves a column out

__all__ = ["back_test_frame", "calendar_frame", "calendar_frames", "calendar_from_frames", "experiment_frame", "findings_frame",
           "findings_from_frame", "fleet_frames", "fleet_from_frame", "fleet_from_frames", "forecast_frame", "forecast_from_frame",
           "interval_table_frame", "joints_frame", "layer_forecast_frame", "layers_frame", "layers_from_frame", "life_records_frame", "lives_frame", "plan_frame", "schedule_frame", "sensitivities_frame", "weak_spots_frame",
           "weather_frame", "weather_from_frame", "with_layers", "work_done_frame", "work_done_from_frame"]

_PANDAS = {"text": "string[python]", "number": "float64", "whole": "int64", "yes_no": "bool", "day": "datetime64[s]", "texts": "string[python]",
           "numbers": "string[python]", "points": "string[python]", "day_or_none": "datetime64[s]", "time": "datetime64[s]"}


def _pandas() -> Any:
    try:
        return importlib.import_module("pandas")
    except ImportError as error:
        raise ImportError('libseal.frames needs pandas: pip install "libseal[frames]"') from error


def _arrow() -> Any:
    try:
        return importlib.import_module("pyarrow")
    except ImportError as error:
        raise ImportError('Arrow tables need pyarrow: pip install "libseal[arrow]"') from error


def table_of(spec: tables.Spec, columns: Sequence[Sequence[Any]], arrow: bool) -> DataFrame:
    """A table of typed columns."""
    filled = [[cells.text_of(value, kind) for value in column] if kind in ("texts", "numbers", "points") else column
              for (_, kind), column in zip(spec, columns, strict=True)]
    if arrow:
        pa = _arrow()
        types = {"text": pa.string(), "number": pa.float64(), "whole": pa.int64(), "yes_no": pa.bool_(), "day": pa.date32(), "texts": pa.string(),
                 "numbers": pa.string(), "points": pa.string(), "day_or_none": pa.date32(), "time": pa.timestamp("s")}
        arrays = [pa.array(np.asarray(column, "datetime64[s]") if kind == "time" else column, type=types[kind], from_pandas=True)
                  for (_, kind), column in zip(spec, filled, strict=True)]
        return pa.table(arrays, names=[name for name, _ in spec])
    pandas = _pandas()
    days = {name: np.asarray(column, "datetime64[D]").astype("datetime64[s]") if kind in ("day", "day_or_none") else
            np.asarray(column, "datetime64[s]") if kind == "time" else column for (name, kind), column in zip(spec, filled, strict=True)}
    return pandas.DataFrame({name: pandas.Series(days[name], dtype=_PANDAS[kind]) for name, kind in spec})


def _of_rows(spec: tables.Spec, rows: tables.Rows, arrow: bool) -> DataFrame:
    return table_of(spec, list(zip(*rows, strict=True)) or [()] * len(spec), arrow)


def cells_of(table: DataFrame, what: str) -> dict[str, list[Any]]:
    """Columns of a pandas frame, an Arrow table or a mapping, as lists. @raises ValueError  a heading twice, columns of several lengths."""
    if hasattr(table, "column_names"):  # Arrow
        columns = [(name, table.column(at).to_pylist()) for at, name in enumerate(table.column_names)]
    elif isinstance(table, Mapping):
        columns = [(str(name), list(column)) for name, column in table.items()]
    else:
        columns = [(str(name), table.iloc[:, at].tolist()) for at, name in enumerate(table.columns)]
    found = dict(columns)
    often = Counter(name for name, _ in columns)
    problems = [cells.CellProblem(what, -1, name, "each column once", f'"{name}" {count} times') for name, count in often.items() if count > 1]
    length = len(columns[0][1]) if columns else 0
    problems += [cells.CellProblem(what, -1, name, f"{length} rows, as the first column has", f"{len(column)}") for name, column in columns if len(column) != length]
    if problems:
        raise cells.bad_cells(problems)
    return found


def fleet_frames(fleet: core.Fleet, *, arrow: bool = False) -> dict[str, DataFrame]:
    """A fleet as its tables: coaches, surfaces, parts, joints, layers, stays."""
    rows = tables.fleet_rows(fleet)
    return {name: _of_rows(spec, rows[name], arrow) for name, spec in tables.FLEET.items()}


def fleet_from_frames(frames: Mapping[str, DataFrame]) -> core.Fleet:
    """The fleet of `fleet_frames`, checked. @raises ValueError  naming row and column, or coach and field."""
    typed = {name: cells.typed_rows(name, spec, cells_of(frames[name], name)) for name, spec in tables.FLEET.items()}
    _check_links(typed)
    fleet = tables.fleet_of_rows(typed)
    catalogue = core.Catalogue.built_in()
    for coach in fleet.coaches:
        core.check_coach(coach, catalogue)
    return fleet


def _doubles(name: str, rows: tables.Rows, keys: int) -> list[cells.CellProblem]:
    """Rows whose first columns another row has already."""
    seen: set[tuple[Any, ...]] = set()
    problems = []
    for number, row in enumerate(rows):
        if row[:keys] in seen:
            problems.append(cells.CellProblem(name, number, tables.FLEET[name][keys - 1][0], "each of them once", " ".join(row[:keys])))
        seen.add(row[:keys])
    return problems


def _check_links(typed: Mapping[str, tables.Rows]) -> None:
    """Rows of coaches and joints that are not there would be lost silently."""
    coaches = {row[0] for row in typed["coaches"]}
    joints = {row[:2] for row in typed["joints"]}
    problems = [problem for name, keys in (("coaches", 1), ("joints", 2), ("layers", 3)) for problem in _doubles(name, typed[name], keys)]
    for name in ("surfaces", "parts", "joints", "layers", "stays"):
        problems += [cells.CellProblem(name, number, "coach", "a coach of the table of coaches", cells.shown(row[0]))
                     for number, row in enumerate(typed[name]) if row[0] not in coaches]
    problems += [cells.CellProblem("layers", number, "joint", "a joint of the table of joints", cells.shown(row[1]))
                 for number, row in enumerate(typed["layers"]) if row[0] in coaches and row[:2] not in joints]
    if problems:
        raise cells.bad_cells(problems)


def fleet_from_frame(table: DataFrame, *, columns: Columns = None, layers: DataFrame | None = None) -> core.Fleet:
    """A fleet of many coaches, one row each: the columns of a fleet's CSV file (id, layout, length_m, station, ...).

    `columns` maps headings of your own to ours. `layers` has what differs from the layout (see `with_layers`).
    @raises ValueError  naming row and column of each bad cell.
    """
    fleet: core.Fleet = cells.through_csv("fleet", cells_of(table, "fleet"), core.read_fleet_text, columns)
    return fleet if layers is None else with_layers(fleet, layers)


def with_layers(fleet: core.Fleet, table: DataFrame, *, columns: Columns = None) -> core.Fleet:
    """The fleet with families and days of some layers replaced: columns coach, joint, layer and family, installed_from,
    installed_to, generation (each of them may be missing, or empty: then it stays)."""
    spec = tuple((name, "day_or_none" if kind == "day" else kind) for name, kind in tables.LAYERS)
    rows = cells.typed_rows("layers", spec, cells_of(table, "layers"), columns, optional=[name for name, _ in spec[3:]])
    doubles = _doubles("layers", rows, 3)
    if doubles:
        raise cells.bad_cells(doubles)
    changes = {row[:3]: (number, *row[3:]) for number, row in enumerate(rows)}
    changed_coaches = {row[0] for row in rows}
    used: set[tuple[Any, ...]] = set()

    def changed(coach: str, joint: str, layer: core.Layer) -> core.Layer:
        key = (coach, joint, layer.kind)
        if key not in changes:
            return layer
        used.add(key)
        _, family, first, last, generation = changes[key]
        return layer.replace(family=family or layer.family, installed_from=first or layer.installed_from,
                             installed_to=last or first or layer.installed_to, generation=generation or layer.generation)

    coaches = []
    for c in fleet.coaches:
        if c.id in changed_coaches:
            c = c.replace(joints=[j.replace(layers=[changed(c.id, j.id, y) for y in j.layers]) for j in c.joints])
        coaches.append(c)
    lost = [cells.CellProblem("layers", change[0], "layer", "a layer of the fleet", " ".join(key)) for key, change in changes.items() if key not in used]
    if lost:
        raise cells.bad_cells(lost)
    catalogue = core.Catalogue.built_in()
    for c in coaches:
        core.check_coach(c, catalogue)
    return core.Fleet(coaches=coaches)


def joints_frame(fleet: core.Fleet, *, arrow: bool = False) -> DataFrame:
    """One row a joint."""
    return _of_rows(tables.JOINTS, tables.fleet_rows(fleet)["joints"], arrow)


def layers_frame(fleet: core.Fleet, *, arrow: bool = False) -> DataFrame:
    """One row a layer of a joint."""
    return _of_rows(tables.LAYERS, tables.fleet_rows(fleet)["layers"], arrow)


def findings_frame(findings: Sequence[core.Finding], *, arrow: bool = False) -> DataFrame:
    """One row a finding; the columns of a CSV file of findings."""
    return _of_rows(tables.FINDINGS, tables.finding_rows(findings), arrow)


def findings_from_frame(table: DataFrame, *, columns: Columns = None) -> list[core.Finding]:
    """Findings, checked as from a file. @raises ValueError  naming row and column of each bad cell."""
    found: list[core.Finding] = cells.through_csv("findings", cells_of(table, "findings"), core.read_findings_text, columns)
    return found


def work_done_frame(work_done: Sequence[core.WorkDone], *, arrow: bool = False) -> DataFrame:
    """One row a record of work; the columns of its CSV file."""
    return _of_rows(tables.WORK_DONE, tables.work_rows(work_done), arrow)


def work_done_from_frame(table: DataFrame, *, columns: Columns = None) -> list[core.WorkDone]:
    """Records of work, checked as from a file. @raises ValueError  naming row and column of each bad cell."""
    found: list[core.WorkDone] = cells.through_csv("work_done", cells_of(table, "work_done"), core.read_work_done_text, columns)
    return found


def calendar_frames(calendar: core.Calendar, *, arrow: bool = False) -> dict[str, DataFrame]:
    """A calendar as its tables: calendar (one row), visits, tasks (by the uid of their visit), unplaced, weeks."""
    rows = tables.calendar_rows(calendar)
    return {name: _of_rows(spec, rows[name], arrow) for name, spec in tables.YEAR.items()}


def calendar_from_frames(frames: Mapping[str, DataFrame]) -> core.Calendar:
    """The calendar of `calendar_frames`, for `previous`. @raises ValueError  naming row and column."""
    return tables.calendar_of_rows({name: cells.typed_rows(name, spec, cells_of(frames[name], name)) for name, spec in tables.YEAR.items()})


def forecast_frame(forecast: core.Forecast | ForecastColumns, *, arrow: bool = False) -> DataFrame:
    """One row a layer, in the order of the forecast."""
    return table_of(tuple((name, kind) for name, _, kind in FORECAST), [getattr(forecast, field) for _, field, _ in FORECAST], arrow)


_KEY_COLUMNS = {"station": "", "tilt_deg": "tilt", "azimuth_deg": "azimuth", "absorptance": "absorptance", "emittance": "emittance", "cover": "cover",
                "family": "family", "layer": "layer"}
_LAYER_COLUMNS = {*_KEY_COLUMNS, "installed", "movement_factor", "length_m"}
_LOOK_COLUMNS = {"row", "date", "grade", "measured"}


def _plain_frame(table: DataFrame, name: str, allowed: set[str], needed: Sequence[str]) -> DataFrame:
    """A pandas frame with no columns but these."""
    frame = table.to_pandas() if hasattr(table, "column_names") else _pandas().DataFrame(table)
    problems = [cells.CellProblem(name, -1, column, "a column of " + ", ".join(sorted(allowed)), "this name") for column in frame.columns
                if column not in allowed]
    problems += [cells.CellProblem(name, -1, column, "a column", "none") for column in needed if column not in frame.columns]
    if problems:
        raise cells.bad_cells(problems)
    return frame


def layers_from_frame(table: DataFrame, *, looks: DataFrame | None = None) -> core.LayerColumns:
    """Layers for `forecast_layers`, one row each: station (number or name, as `find_station` takes it), family, installed, and if
    they differ from those of `LayerKey`, tilt_deg, azimuth_deg, absorptance, emittance, cover, layer; also movement_factor and
    length_m. `looks` has a row a look: row (position of the layer, from 0), date, grade (0 to 5), and measured if some did.

    @raises ValueError  naming a column, or a row and what is wrong there.
    """
    frame = _plain_frame(table, "layers", _LAYER_COLUMNS, ["station", "family", "installed"])
    given = [name for name in _KEY_COLUMNS if name in frame.columns]
    groups = frame.groupby(given, sort=False, dropna=False)
    codes = groups.ngroup().to_numpy(np.int64)
    distinct = frame[given].drop_duplicates()
    names = list(dict.fromkeys(str(station) for station in distinct["station"]))
    number = {name: index for index, name in enumerate(names)}
    keys = [core.LayerKey(station=number[str(row["station"])], **{_KEY_COLUMNS[name]: row[name] for name in given if name != "station"})
            for row in distinct.to_dict("records")]
    optional = {"movement_factor": "movement_factor", "length_m": "length"}
    columns = {field: frame[name].to_numpy(np.float64) for name, field in optional.items() if name in frame.columns}
    if looks is not None:
        seen = _plain_frame(looks, "looks", _LOOK_COLUMNS, ["row", "date", "grade"]).sort_values(["row", "date"], kind="stable")
        columns |= {f"look_{name}": seen[name].to_numpy() for name in ("row", "date", "grade", "measured") if name in seen.columns}
    return core.LayerColumns([core.find_station(name) for name in names], keys, codes, frame["installed"].to_numpy(), **columns)


def layer_forecast_frame(forecast: core.LayerForecast, *, arrow: bool = False) -> DataFrame:
    """One row a layer, in the order of the layers."""
    spec = tuple((name, kind) for name, field, kind in FORECAST if hasattr(forecast, field))
    return table_of(spec, [getattr(forecast, field) for _, field, _ in FORECAST if hasattr(forecast, field)], arrow)


def forecast_from_frame(table: DataFrame, *, columns: Columns = None) -> ForecastColumns:
    """The columns of a forecast, under the names that a forecast has. @raises ValueError  naming row and column."""
    rows = cells.typed_rows("forecast", tuple((name, kind) for name, _, kind in FORECAST), cells_of(table, "forecast"), columns)
    return ForecastColumns.of_rows(rows)


def _of_fields(spec: Sequence[tuple[str, str, str]], source: Any, arrow: bool) -> DataFrame:
    return table_of(tuple((name, kind) for name, _, kind in spec), [getattr(source, field) for _, field, _ in spec], arrow)


def life_records_frame(records: core.LifeRecords, *, arrow: bool = False) -> DataFrame:
    """One row a generation that was looked at; `lower_yr`, `upper_yr`, `entry_yr` are effective years."""
    return _of_fields(LIFE_RECORDS, records, arrow)


def lives_frame(lives: core.FamilyLives | core.GroupLives, *, arrow: bool = False) -> DataFrame:
    """One row a family, or a model line or coach of one: parts of a `Recalibration`."""
    return _of_fields(FAMILY_LIVES if isinstance(lives, core.FamilyLives) else GROUP_LIVES, lives, arrow)


def back_test_frame(test: core.BackTest, *, arrow: bool = False) -> DataFrame:
    """One row a look and catalogue: what was said of the look and what it found."""
    count, names = len(test), list(test.catalogues)
    columns: list[Any] = [[value for value in getattr(test, field) for _ in names] for _, field, _ in LOOKS_KNOWN]
    columns += [names * count, np.ravel(test.chance_due), np.ravel(test.chance_of_grade)]
    spec = (*((name, kind) for name, _, kind in LOOKS_KNOWN), ("catalogue", "text"), ("chance_due", "number"), ("chance_of_grade", "number"))
    return table_of(spec, columns, arrow)


def experiment_frame(experiment: core.LookExperiment, *, arrow: bool = False) -> DataFrame:
    """One row a look, in the order in which they tell most."""
    return _of_fields(EXPERIMENT, experiment, arrow)


def weak_spots_frame(spots: core.WeakSpots, *, arrow: bool = False) -> DataFrame:
    """One row a design, the most certain first."""
    return _of_fields(WEAK_SPOTS, spots, arrow)


def sensitivities_frame(sensitivities: core.RateSensitivities, *, arrow: bool = False) -> DataFrame:
    """One row a parameter of a sweep, the longest bar of the tornado first; `slope` per unit, rates in years per year."""
    return _of_fields(RATE_SENSITIVITIES, sensitivities, arrow)


def interval_table_frame(table: core.IntervalTable, *, arrow: bool = False) -> DataFrame:
    """One row a station, joint type, family and policy. Costs in the unit of the table, per joint and year."""
    names = list(table.policies)
    columns: list[Any] = [[value for value in getattr(table, field) for _ in names] for _, field, _ in INTERVAL_ROWS]
    columns += [names * len(table), *(np.ravel(getattr(table, field)) for _, field in INTERVAL_POLICIES)]
    spec = (*((name, kind) for name, _, kind in INTERVAL_ROWS), ("policy", "text"), *((name, "number") for name, _ in INTERVAL_POLICIES))
    return table_of(spec, columns, arrow)


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


def plan_frame(plan: core.WorkPlan, *, arrow: bool = False) -> DataFrame:
    """One row a task. Minutes are person-minutes, cost in whole units of the plan's currency."""
    rows = [(k.joint, k.part, k.joint_type, k.layer, k.action, k.family, k.due, k.urgency, k.length, k.volume_ml, k.minutes.low, k.minutes.mode, k.minutes.high,
             k.cost.low / 100, k.cost.mode / 100, k.cost.high / 100, k.reason) for k in plan.tasks]
    return _of_rows(tables.PLAN, rows, arrow)


def schedule_frame(schedule: core.Schedule, plan: core.WorkPlan, shop: core.Shop, *, arrow: bool = False) -> DataFrame:
    """One row a step, in the order of the plan; times are local. @raises ValueError  a schedule of several coaches."""
    bookings = len({time.booking for time in schedule.steps})
    if bookings > 1:
        raise failure(core.ValueError, Problem("the steps of one plan", f"those of {bookings}", field="schedule"))
    rows = [(plan.steps[time.step].id, plan.steps[time.step].kind, plan.steps[time.step].joint, time.start, time.end,
             ", ".join(shop.people[person].id for person in time.people), time.critical, time.waited_for) for time in schedule.steps]
    return _of_rows(tables.SCHEDULE, rows, arrow)


def calendar_frame(calendar: core.Calendar, *, arrow: bool = False) -> DataFrame:
    """One row a task of a visit, one row for a visit without tasks: its words are empty, it has no due day."""
    rows: tables.Rows = []
    for v in calendar.visits:
        head = (v.first, v.last, v.coach, v.kind, v.bay, v.cancelled, v.uid)
        rows += [(*head, k.joint, k.layer, k.action, k.family, k.due, k.late, k.reason) for k in v.tasks]
        if not v.tasks:
            rows.append((*head, "", "", "", "", None, False, v.why))
    return _of_rows(tables.VISIT_TASKS, rows, arrow)
