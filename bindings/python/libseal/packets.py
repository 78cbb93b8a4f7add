"""Many packets at once: one file a coach or an owner, names that stay inside the folder, each file whole or not there."""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import pathlib
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from multiprocessing.connection import wait
from typing import Any, NamedTuple

from . import _libseal as core
from .files import fingerprint, kept_name
from .packet import Plans, Quotes, Shared, owner_packet
from .paper import file_error, write_text
from .problems import Problem, arrived, failure, travelling
from .units import units_of

__all__ = ["Written", "packet_names", "write_packets"]


class Written(NamedTuple):
    """A packet that was written."""

    path: pathlib.Path
    owner: str  # "" for packets by coach
    coaches: tuple[str, ...]  # ids
    size: int  # bytes


def packet_names(keys: Sequence[str], prefix: str) -> dict[str, str]:
    """File name of each coach or owner: the same in every run, and apart also where upper and lower case are one."""
    names = {key: kept_name(key) for key in keys}
    often = Counter(name.lower() for name in names.values())
    return {key: f"{prefix}-{name if often[name.lower()] == 1 else f'{name}-{fingerprint(key, 10)}'}.html" for key, name in names.items()}


def grouped(fleet: core.Fleet, by: str) -> dict[tuple[str, str], list[core.Coach]]:
    """Coaches of each packet by (prefix, key). A coach without an owner has its own packet."""
    if by not in ("coach", "owner"):
        raise ValueError(f'by: expected "coach" or "owner", got "{by}"')
    groups: dict[tuple[str, str], list[core.Coach]] = {}
    for coach in fleet.coaches:
        key = ("owner", coach.owner) if by == "owner" and coach.owner else ("coach", coach.id)
        groups.setdefault(key, []).append(coach)
    return groups


class Writer:
    """Writes packet after packet; findings and records are sorted to their coaches once."""

    def __init__(self, folder: pathlib.Path, jobs: Sequence[tuple[str, str, list[core.Coach]]], forecast: core.Forecast, calendar: core.Calendar,
                 shop: core.Shop, findings: Sequence[core.Finding], work_done: Sequence[core.WorkDone], shared: Shared, rest: Mapping[str, Any]) -> None:
        self.folder, self.jobs = folder, jobs
        self.forecast, self.calendar, self.shop, self.shared, self.rest = forecast, calendar, shop, shared, rest
        self.findings: dict[str, list[core.Finding]] = {}
        self.work_done: dict[str, list[core.WorkDone]] = {}
        for finding in findings:
            self.findings.setdefault(finding.coach, []).append(finding)
        for work in work_done:
            self.work_done.setdefault(work.coach, []).append(work)

    def write(self, number: int) -> Written:
        name, owner, coaches = self.jobs[number]
        ids = [coach.id for coach in coaches]
        text = owner_packet(coaches, self.forecast, self.calendar, self.shop, findings=[f for i in ids for f in self.findings.get(i, [])],
                            work_done=[w for i in ids for w in self.work_done.get(i, [])], shared=self.shared, **self.rest)
        write_text(self.folder / name, text)
        return Written(self.folder / name, owner, tuple(ids), len(text.encode("utf-8", "replace")))


def work(writer: Writer, numbers: Sequence[int], pipe: Any, others: Sequence[Any]) -> None:
    """What one process does: its packets in turn; what stops it is told. It ends after a packet when nobody listens any more."""
    for other in others:  # copies made by fork: while they are open a pipe without a listener does not break
        other.close()
    with contextlib.suppress(BrokenPipeError):
        try:
            for number in numbers:
                pipe.send((number, writer.write(number)))
        except BrokenPipeError:
            raise
        except BaseException as error:  # the process that waits raises it again
            pipe.send((-1, travelling(error) if isinstance(error, core.Error) else
                       error if type(error).__module__ == "builtins" else RuntimeError(f"{type(error).__name__}: {error}")))
    pipe.close()


def write_all(writer: Writer, workers: int) -> Iterator[tuple[int, Written]]:
    """Numbers of jobs with what was written, as it comes; with several workers in processes that are copies of this one."""
    count = len(writer.jobs)
    workers = min(workers, count) if "fork" in multiprocessing.get_all_start_methods() else 1
    if workers < 2:
        yield from ((number, writer.write(number)) for number in range(count))
        return
    fork = multiprocessing.get_context("fork")
    pipes, processes = [], []
    try:
        for first in range(workers):
            ours, theirs = fork.Pipe(duplex=False)
            pipes.append(ours)
            process = fork.Process(target=work, args=(writer, range(first, count, workers), theirs, tuple(pipes)), daemon=True)
            process.start()
            theirs.close()
            processes.append(process)
        yield from told(pipes, count)
    finally:
        for pipe in pipes:  # not terminate(): a process may be in the middle of a file
            pipe.close()
        for process in processes:
            process.join()


def told(pipes: list[Any], count: int) -> Iterator[tuple[int, Written]]:
    """What the processes say until all is written."""
    open_pipes, done = list(pipes), 0
    while open_pipes:
        ready: list[Any] = wait(open_pipes)
        for pipe in ready:
            try:
                number, what = pipe.recv()
            except EOFError:
                open_pipes.remove(pipe)
                continue
            if number < 0:
                raise what if isinstance(what, BaseException) else arrived(*what)
            done += 1
            yield number, what
    if done < count:
        raise failure(core.StateError, Problem(str(count), f"{done}: a process ended early", field="packets"))


def write_packets(folder: str | os.PathLike[str], fleet: core.Fleet, forecast: core.Forecast, calendar: core.Calendar, shop: core.Shop, *,
                  findings: Sequence[core.Finding] | None = None, work_done: Sequence[core.WorkDone] | None = None, by: str = "coach",
                  plans: Plans | None = None, quotes: Quotes | None = None, photo_folder: str | os.PathLike[str] | None = None,
                  units: str = "metric", catalogue: core.Catalogue | None = None, workers: int = 1,
                  progress: Callable[[int, int], object] | None = None) -> list[Written]:
    """Writes `owner_packet` for every coach (`by="coach"`) or owner (`by="owner"`) of a fleet into a folder, which is made if needed.

    Names are "coach-ID.html" or "owner-NAME.html" in letters, digits, - and _; an id that has others gets a hash. A file is
    there whole or not at all. `workers`: processes; 0 for one per processor; the files are equal to the byte for any number.
    `progress(done, all)` is called after each packet. Raises FileError with the path and the system's reason.
    """
    units_of(units)
    if workers < 0:
        raise ValueError(f"workers: expected 0 or more, got {workers}")
    target = pathlib.Path(folder)
    groups = grouped(fleet, by)
    jobs = []
    for prefix in ("coach", "owner"):
        names = packet_names([key for kind, key in groups if kind == prefix], prefix)
        jobs += [(names[key], key if kind == "owner" else "", coaches) for (kind, key), coaches in groups.items() if kind == prefix]
    try:
        target.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise file_error(target, error) from error
    rest = {"plans": plans, "quotes": quotes, "photo_folder": photo_folder, "units": units}
    writer = Writer(target, jobs, forecast, calendar, shop, findings or (), work_done or (), Shared(forecast, calendar, units, catalogue), rest)
    written: dict[int, Written] = {}
    for number, done in write_all(writer, workers or os.cpu_count() or 1):
        written[number] = done
        if progress is not None:
            progress(len(written), len(jobs))
    return [written[number] for number in range(len(jobs))]
