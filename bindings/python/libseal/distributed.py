"""The forecast of a large fleet on several processes or machines, with Dask. The same bits as on one machine.

Three phases: each batch of coaches *collects* what its looks say; all of it is *combined* here; each batch is *finished* against
that. Coaches, findings and work travel as text of our own formats, results as columns. Needs dask[distributed].
"""

from __future__ import annotations

import dataclasses
import datetime
import json
import re
import types
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any, TypeAlias

import numpy as np

from . import _libseal as core
from . import cells, tables
from .columns import FORECAST, ForecastColumns
from .problems import Problem, failure

__all__ = ["DistributedForecast", "fleet_forecast"]

DataFrame: TypeAlias = Any
PLUGIN = "libseal-clocks"
IN_FLIGHT = 4  # batches a worker: what waits stays here


@dataclasses.dataclass
class DistributedForecast:
    """What a forecast has, as columns in the order of the fleet."""

    as_of: datetime.date
    years: float
    columns: ForecastColumns
    shared: core.SharedEffects  # what all looks teach; `shared=` of a later forecast of single coaches
    warnings: list[Any]  # as of `Forecast`, with the same fields


# ---- what travels ----


def records_text(spec: tables.Spec, rows: tables.Rows, **more: Any) -> str:
    """Rows as JSON; numbers in full, so that no bit is lost."""
    plain = [[None if cells.missing(value) else cells.json_of(value, kind) for value, (_, kind) in zip(row, spec, strict=True)] for row in rows]
    return json.dumps({"rows": plain, **more}, allow_nan=False)


def _records(spec: tables.Spec, text: str) -> tuple[tables.Rows, dict[str, Any]]:
    document = json.loads(text)
    rows = [tuple(cells.value_of(value, kind) for value, (_, kind) in zip(row, spec, strict=True)) for row in document["rows"]]
    return rows, document


def findings_text(findings: Sequence[core.Finding]) -> str:
    # Percents are rounded in files; the share itself is not.
    shares = [None if cells.missing(f.share) else f.share for f in findings]
    return records_text(tables.FINDINGS, tables.finding_rows(findings), share=shares)


def findings_of_text(text: str) -> list[core.Finding]:
    rows, document = _records(tables.FINDINGS, text)
    return [f if share is None else f.replace(share=share) for f, share in zip(tables.findings_of_rows(rows), document["share"], strict=True)]


def work_text(work: Sequence[core.WorkDone]) -> str:
    return records_text(tables.WORK_DONE, tables.work_rows(work))


def work_of_text(text: str) -> list[core.WorkDone]:
    return tables.work_of_rows(_records(tables.WORK_DONE, text)[0])


@dataclasses.dataclass(frozen=True)
class Batch:
    """Coaches of the same places, as text, with their places in the fleet."""

    coaches: tuple[int, ...]
    fleet: str
    findings: str
    work_done: str
    looked_at: bool
    finding_numbers: tuple[int, ...]  # places in the lists of the caller, for warnings
    work_numbers: tuple[int, ...]


@dataclasses.dataclass(frozen=True)
class Settings:
    """What all batches have in common."""

    as_of: datetime.date
    years: float
    look_noise: dict[str, float] | None
    warranty_days: int
    seed: int
    preset: str
    overlay: str


# ---- on a worker ----


def catalogue_of(settings: Settings) -> core.Catalogue:
    catalogue = core.Catalogue.preset(settings.preset)
    return catalogue.with_overlay(settings.overlay, "overlay") if settings.overlay else catalogue


def _plugin() -> Any:
    """A class of Dask's, made when Dask is there: each worker keeps the clocks of its sites from batch to batch."""
    from distributed import WorkerPlugin

    class Clocks(WorkerPlugin):  # type: ignore[misc]
        name = PLUGIN

        def setup(self, worker: Any) -> None:
            worker.libseal_sessions = {}

        def teardown(self, worker: Any) -> None:
            worker.libseal_sessions = {}

    return Clocks()


def _options(settings: Settings, batch: Batch) -> dict[str, Any]:
    """Arguments that collect and finish have in common."""
    from distributed import get_worker

    sessions = getattr(get_worker(), "libseal_sessions", {})
    key = (settings.preset, settings.overlay)
    if key not in sessions:
        catalogue = catalogue_of(settings)
        sessions[key] = (catalogue, core.Session(catalogue))
    catalogue, session = sessions[key]
    return {"findings": findings_of_text(batch.findings), "work_done": work_of_text(batch.work_done), "catalogue": catalogue, "session": session,
            "look_noise": settings.look_noise, "seed": settings.seed, "threads": 1}


def _guarded(work: Callable[[], Any]) -> Any:
    """Errors of ours as plain data: their problems would not travel."""
    try:
        return work()
    except core.Error as error:
        fields = ("file", "line", "column", "field", "expected", "got", "hint", "context")
        return {"error": type(error).__name__, "problems": [{name: getattr(p, name) for name in fields} for p in error.problems]}


def collect(batch: Batch, settings: Settings) -> Any:
    """First phase: what the looks of the batch say, as JSON."""
    return _guarded(lambda: core.collect_evidence(core.read_fleet_text(batch.fleet, "batch"), settings.as_of, **_options(settings, batch)).to_json())


def finish(batch: Batch, settings: Settings, shared: str) -> Any:
    """Third phase: columns of the batch, rows of each coach, warnings."""

    def work() -> Any:
        fleet = core.read_fleet_text(batch.fleet, "batch")
        made = core.forecast(fleet, settings.as_of, settings.years, warranty_days=settings.warranty_days,
                             shared=core.SharedEffects.from_json(shared), **_options(settings, batch))
        counts = [len(made.rows_of(coach.id)) for coach in fleet.coaches]
        columns = ForecastColumns.of(made)
        ids = [coach.id for coach in fleet.coaches]
        warnings = [(*placed(w.field, batch, ids), {"expected": w.expected, "got": w.got, "hint": w.hint}) for w in made.warnings]
        return {"columns": {field: getattr(columns, field) for _, field, _ in FORECAST}, "counts": counts, "warnings": warnings}

    return _guarded(work)


def placed(field: str, batch: Batch, ids: Sequence[str]) -> tuple[tuple[int, int], str]:
    """Where a warning stands among all of them, and its field: findings[3].date of the batch as the caller counts findings."""
    listed = re.match(r"(findings|work_done)\[(\d+)\](.*)", field, re.DOTALL)
    if listed:
        first = listed[1] == "findings"
        number = (batch.finding_numbers if first else batch.work_numbers)[int(listed[2])]
        return (1 if first else 2, number), f"{listed[1]}[{number}]{listed[3]}"
    own = [row for row, id in zip(batch.coaches, ids, strict=True) if field.startswith(f"{id}.")]
    return (0, own[0] if own else -1), field


# ---- here ----


def site_of(coach: core.Coach) -> tuple[Any, ...]:
    """Where a coach has stood: coaches of one site share their weather."""
    return tuple((s.station, str(s.latitude), str(s.longitude), s.place) for s in coach.stays)


class Source:
    """The coaches of a call: a Fleet, or a table with one row a coach that never becomes a Fleet here."""

    def __init__(self, fleet: core.Fleet | DataFrame, columns: Mapping[str, str | None] | None) -> None:
        if isinstance(fleet, core.Fleet):
            self.coaches: list[core.Coach] | None = fleet.coaches
            self.ids = [c.id for c in self.coaches]
            self.sites: list[Any] = [site_of(c) for c in self.coaches]
            return
        from .frames import cells_of

        self.coaches = None
        found = cells_of(fleet, "fleet")
        names = cells.headings("fleet", list(found), None, columns)
        self.table = {ours: found[heading] for ours, heading in names.items()}
        self.ids = [cells.csv_cell(value) for value in self.table.get("id", ())]
        length = len(next(iter(self.table.values()), ()))
        if len(self.ids) != length:
            raise cells.bad_cells([cells.CellProblem("fleet", -1, "id", "this column", "none")])
        places = [self.table[name] for name in ("station", "latitude_deg", "longitude_deg", "place") if name in self.table]
        self.sites = [tuple(str(column[row]) for column in places) for row in range(length)]

    def text(self, rows: Sequence[int]) -> str:
        if self.coaches is not None:
            return core.fleet_json(core.Fleet(coaches=[self.coaches[row] for row in rows]))
        lines: list[str] = []
        cells.through_csv("fleet", {name: [column[row] for row in rows] for name, column in self.table.items()}, lambda text, _: lines.append(text))
        return lines[0]


def groups(sites: Sequence[Any], size: int) -> Iterator[tuple[int, ...]]:
    """Coaches site by site, at most `size` in a batch; small sites share one."""
    by_site: dict[Any, list[int]] = defaultdict(list)
    for number, site in enumerate(sites):
        by_site[site].append(number)
    open_batch: list[int] = []
    for numbers in by_site.values():
        if open_batch and len(open_batch) + len(numbers) > size:
            yield tuple(open_batch)
            open_batch = []
        while len(numbers) > size:
            yield tuple(numbers[:size])
            numbers = numbers[size:]
        open_batch += numbers
    if open_batch:
        yield tuple(open_batch)


def _by_coach(records: Sequence[Any], ids: Sequence[str], name: str) -> dict[str, list[int]]:
    """Places of the records of each coach; one of no coach would be lost on the way."""
    if len(set(ids)) < len(ids):
        raise cells.bad_cells([cells.CellProblem("fleet", -1, "id", "each coach once", "an id twice")])
    known = set(ids)
    wrong = [cells.CellProblem(name, number, "coach", "a coach of the fleet", f'"{r.coach}"') for number, r in enumerate(records) if r.coach not in known]
    if wrong:
        raise cells.bad_cells(wrong)
    found: dict[str, list[int]] = defaultdict(list)
    for number, record in enumerate(records):
        found[record.coach].append(number)
    return found


def batches_of(source: Source, findings: Sequence[core.Finding], work_done: Sequence[core.WorkDone], size: int) -> Iterator[Batch]:
    looks, work = _by_coach(findings, source.ids, "findings"), _by_coach(work_done, source.ids, "work_done")
    for rows in groups(source.sites, size):
        seen = sorted(n for row in rows for n in looks.get(source.ids[row], ()))
        done = sorted(n for row in rows for n in work.get(source.ids[row], ()))
        yield Batch(rows, source.text(rows), findings_text([findings[n] for n in seen]), work_text([work_done[n] for n in done]), bool(seen),
                    tuple(seen), tuple(done))


def _opened(answer: Any) -> Any:
    """The answer of a worker, or its error as ours."""
    if isinstance(answer, dict) and "error" in answer:
        problems = [types.SimpleNamespace(**p) for p in answer["problems"]]
        error = getattr(core, answer["error"])("\n".join(f"{p.field}: expected {p.expected}, got {p.got}" for p in problems))
        error.problems = problems
        raise error
    return answer


def _each(client: Any, function: Callable[..., Any], batches: Iterable[Batch], total: int, stage: str, progress: Callable[[Any], object] | None,
          *arguments: Any) -> Iterator[tuple[Batch, Any]]:
    """Batches with their answers, as they come. Only a few are on the way, so that a large fleet does not fill the scheduler."""
    from distributed import as_completed

    window = IN_FLIGHT * max(1, len(client.nthreads()))
    running = as_completed()
    waiting: dict[Any, Batch] = {}
    done = 0

    def one() -> tuple[Batch, Any]:
        nonlocal done
        future = next(running)
        batch = waiting.pop(future.key)
        answer = _opened(future.result())
        future.release()
        done += len(batch.coaches)
        if progress is not None:
            progress(types.SimpleNamespace(stage=stage, fraction=done / max(1, total)))
        return batch, answer

    try:
        for batch in batches:
            future = client.submit(function, batch, *arguments, pure=False, retries=2)
            waiting[future.key] = batch
            running.add(future)
            if len(waiting) >= window:
                yield one()
        while waiting:
            yield one()
    finally:
        for future in list(running.futures):
            future.cancel()


def fleet_forecast(client: Any, fleet: core.Fleet | DataFrame, as_of: datetime.date, years: float, *, findings: Sequence[core.Finding] | None = None,
                   work_done: Sequence[core.WorkDone] | None = None, look_noise: Mapping[str, float] | None = None, warranty_days: int = 0,
                   seed: int = 0, preset: str = "coach", overlay: str = "", columns: Mapping[str, str | None] | None = None, batch: int = 100,
                   progress: Callable[[Any], object] | None = None) -> DistributedForecast:
    """`forecast` of a fleet on the workers of a `distributed.Client`: equal to it to the bit, whatever the batches.

    `fleet` is a Fleet, or a table (pandas, Arrow, mapping) with one row a coach as for `frames.fleet_from_frame`, with `columns` for
    headings of your own. `overlay` is the text of a catalogue's overlay. Weather is that of the stations.
    A worker that dies loses its batches, which are done again elsewhere.
    @raises ValueError  as `forecast`; of a table row numbers are those of a batch.
    """
    if batch < 1:
        raise failure(core.ValueError, Problem("at least 1 coach", str(batch), field="batch"))
    looks, done = list(findings or ()), list(work_done or ())
    source = Source(fleet, columns)
    settings = Settings(as_of, years, dict(look_noise) if look_noise else None, warranty_days, seed, preset, overlay)
    client.register_plugin(_plugin())
    total = len(source.ids)

    seen = {f.coach for f in looks}
    inspected = (b for b in batches_of(source, looks, done, batch) if b.looked_at)
    evidence = [core.Evidence.from_json(text) for _, text in
                _each(client, collect, inspected, sum(i in seen for i in source.ids), "findings", progress, settings)]
    shared = core.combine_evidence(evidence, catalogue_of(settings))

    sent = client.submit(str, shared.to_json(), pure=False, retries=2)  # made again where a worker with it dies
    parts = list(_each(client, finish, batches_of(source, looks, done, batch), total, "forecast", progress, settings, sent))
    warnings = sorted((w for _, answer in parts for w in answer["warnings"]), key=lambda w: w[0])
    return DistributedForecast(as_of, years, _in_order(parts), shared, [types.SimpleNamespace(field=field, **more) for _, field, more in warnings])


def _in_order(parts: Sequence[tuple[Batch, Any]]) -> ForecastColumns:
    """Rows of all batches in the order of the fleet."""
    whole = ForecastColumns.joined(ForecastColumns(**answer["columns"]) for _, answer in parts)
    owner = [np.repeat(batch.coaches, answer["counts"]) for batch, answer in parts]
    order = np.argsort(np.concatenate(owner) if owner else np.array([], dtype=int), kind="stable")
    columns: dict[str, Any] = {field: [column[r] for r in order] if isinstance(column := getattr(whole, field), list) else column[order]
                               for _, field, _ in FORECAST}
    return ForecastColumns(**columns)
