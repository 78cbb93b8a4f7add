"""solve_project beside the CP-SAT solver of OR-Tools, both on one thread, in one run.

    python benchmarks/project_solver_side_by_side.py [--set j120] [--every 10] [--seconds 1] [--factor 10]

Needs OR-Tools (pip install ortools) beside libseal; it is used here only. Every schedule of both is checked.
"""

from __future__ import annotations

import argparse
import csv
import os
import re
import time
from pathlib import Path

import libseal
import numpy as np
from ortools.sat.python import cp_model

FOLDER = Path(os.environ.get("LIBSEAL_DATA", "../shared/data")) / "psplib"


def read(path: Path) -> tuple[list[int], list[list[int]], list[list[int]], list[int]]:
    """Durations, successors, demands and capacities."""
    text = path.read_text()
    rows = lambda part: [list(map(int, line.split())) for line in part.splitlines() if re.match(r"\s*\d", line)]  # noqa: E731
    _, precedence, requests, available = re.split("PRECEDENCE RELATIONS:|REQUESTS/DURATIONS:|RESOURCEAVAILABILITIES:", text)
    successors = [[s - 1 for s in row[3:]] for row in rows(precedence)]
    requests = rows(requests)
    return [row[2] for row in requests], successors, [row[3:] for row in requests], rows(available)[0]


def makespan_of(start, durations, successors, demands, capacities) -> int:
    """Of a schedule, after a check."""
    start, durations, demands = np.asarray(start), np.asarray(durations), np.asarray(demands)
    end = start + durations
    for i, after in enumerate(successors):
        assert all(start[j] >= end[i] for j in after)
    for t in range(end.max()):
        assert (demands[(start <= t) & (t < end)].sum(axis=0) <= capacities).all()
    return int(end.max())


def with_libseal(project, seconds: float):
    stop = libseal.StopToken()
    begin = time.perf_counter()

    def progress(_state) -> None:
        if time.perf_counter() - begin > seconds:
            stop.stop()

    result = libseal.solve_project(*project, work_limit=int(100_000 * seconds), threads=1, progress=progress, stop=stop)
    return makespan_of(result.start, *project), result.outcome == "optimal", time.perf_counter() - begin


def with_cp_sat(project, seconds: float):
    durations, successors, demands, capacities = project
    begin = time.perf_counter()
    model = cp_model.CpModel()
    horizon = sum(durations)
    start = [model.new_int_var(0, horizon, "") for _ in durations]
    intervals = [model.new_fixed_size_interval_var(s, d, "") for s, d in zip(start, durations)]
    makespan = model.new_int_var(0, horizon, "")
    for i, after in enumerate(successors):
        model.add(makespan >= start[i] + durations[i])
        for j in after:
            model.add(start[j] >= start[i] + durations[i])
    for k, capacity in enumerate(capacities):
        users = [i for i in range(len(durations)) if demands[i][k] > 0]
        model.add_cumulative([intervals[i] for i in users], [demands[i][k] for i in users], capacity)
    model.minimize(makespan)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return horizon, False, time.perf_counter() - begin
    return (makespan_of([solver.value(s) for s in start], *project), status == cp_model.OPTIMAL,
            time.perf_counter() - begin)


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--set", default="j120")
    parser.add_argument("--every", type=int, default=10, help="every n-th instance")
    parser.add_argument("--seconds", type=float, default=1)
    parser.add_argument("--factor", type=float, default=10, help="how much longer CP-SAT may take")
    options = parser.parse_args()
    with open(FOLDER / f"{options.set}_bounds.csv") as table:
        rows = [row for row in csv.DictReader(table) if (FOLDER / options.set / (row["instance"] + ".sm")).exists()]
    rows = rows[:: options.every]
    sums = {"libseal": np.zeros(3), "CP-SAT": np.zeros(3)}
    shorter = {"libseal": 0, "CP-SAT": 0}
    best_known = 0.0
    for row in rows:
        project = read(FOLDER / options.set / (row["instance"] + ".sm"))
        path = int(row["critical_path"])
        best_known += 100 * (int(row["best_upper"]) - path) / path
        ours = with_libseal(project, options.seconds)
        theirs = with_cp_sat(project, options.seconds * options.factor)
        for name, (makespan, proven, took) in (("libseal", ours), ("CP-SAT", theirs)):
            sums[name] += [100 * (makespan - path) / path, proven, took]
        shorter["libseal"] += ours[0] < theirs[0]
        shorter["CP-SAT"] += theirs[0] < ours[0]
    count = len(rows)
    print(f"{count} instances of {options.set}, one thread, best known {best_known / count:.2f} % above the critical path\n")
    print("| solver | seconds allowed | seconds taken | % above critical path | proven | shorter than the other |")
    print("|---|---|---|---|---|---|")
    for name, allowed in (("libseal", options.seconds), ("CP-SAT", options.seconds * options.factor)):
        excess, proven, took = sums[name]
        print(f"| {name} | {allowed:g} | {took / count:.2f} | {excess / count:.2f} | {proven:.0f} | {shorter[name]} |")


if __name__ == "__main__":
    main()
