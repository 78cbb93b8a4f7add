"""The schedule of one coach beside the CP-SAT solver of OR-Tools, on the demo fleet, both on one thread.

    python benchmarks/coach_side_by_side.py [--coach TT-01] [--seconds 100]

CP-SAT may not break a step over a break or night, libseal may: libseal can be shorter than what is proved for CP-SAT.
Needs OR-Tools (pip install ortools) beside libseal; it is used here only.
"""

from __future__ import annotations

import argparse
import datetime
import math
from pathlib import Path

import libseal
from ortools.sat.python import cp_model

AS_OF = datetime.date(2026, 11, 25)
START = datetime.date(2027, 4, 5)
DAYS = 17


def plan_of(name: str) -> tuple[libseal.WorkPlan, libseal.Shop]:
    data = Path(__file__).parents[1] / "examples" / "data"
    fleet, shop = libseal.read_fleet(data / "fleet.json"), libseal.read_shop(data / "shop.json")
    findings = libseal.read_findings(data / "findings.csv")
    coach = next(c for c in fleet.coaches if c.id == name)
    return libseal.plan_work(coach, findings, libseal.forecast(fleet, AS_OF, years=5, findings=findings), shop, AS_OF), shop


def away(person: libseal.Person, shop: libseal.Shop, day: datetime.date) -> list[tuple[int, int]]:
    """Minutes of a day in which somebody does not work."""
    if day.weekday() >= 5 or day in shop.holidays:
        return [(0, 1440)]
    begin, end = max(person.from_, shop.open_from), min(person.to, shop.open_to)
    return [span for span in [(0, begin), (shop.break_from, shop.break_to), (end, 1440)] if span[0] < span[1]]


def with_cp_sat(plan: libseal.WorkPlan, shop: libseal.Shop, seconds: float) -> tuple[str, float, float]:
    """State, hours from midnight of the first day to the end of the work, and the bound for them."""
    model = cp_model.CpModel()
    start, end = [], []
    busy: list[list[cp_model.IntervalVar]] = [[] for _ in shop.people]
    reach: dict[str, list[cp_model.IntervalVar]] = {"ladder": [], "roof": []}
    for step in plan.steps:
        work = math.ceil(step.minutes.mode - 1e-9) if step.people else 0
        begin = model.new_int_var(0, DAYS * 1440, "")
        start.append(begin)
        end.append(begin + work)
        if work == 0:
            continue
        if step.reach in reach:
            reach[step.reach].append(model.new_fixed_size_interval_var(begin, work, ""))
        present = [model.new_bool_var("") for _ in shop.people]
        for there, spans in zip(present, busy):
            spans.append(model.new_optional_fixed_size_interval_var(begin, work, there, ""))
        model.add(sum(present) == step.people)
        for skill in step.skills:
            model.add(sum(there for there, person in zip(present, shop.people) if skill in person.skills) >= 1)
    for person, spans in zip(shop.people, busy):
        for day in range(DAYS):
            for begin, until in away(person, shop, START + datetime.timedelta(days=day)):
                spans.append(model.new_fixed_size_interval_var(day * 1440 + begin, until - begin, ""))
        model.add_no_overlap(spans)
    for spans, sets in ((reach["ladder"], shop.ladders), (reach["roof"], shop.platforms)):
        model.add_cumulative(spans, [1] * len(spans), sets)
    for edge in plan.edges:
        model.add(start[edge.to] >= end[edge.from_] + math.ceil(edge.lag - 1e-9))
        if math.isfinite(edge.longest):
            model.add(start[edge.to] <= end[edge.from_] + int(edge.longest))
    last = model.new_int_var(0, DAYS * 1440, "")
    model.add_max_equality(last, end)
    model.minimize(last)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = seconds
    state = solver.solve(model)
    found = state in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return solver.status_name(state).lower(), solver.objective_value / 60 if found else math.nan, solver.best_objective_bound / 60


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--coach", nargs="+", default=["TT-01", "MH-02"])
    parser.add_argument("--seconds", type=float, default=100)
    options = parser.parse_args()
    print("| coach | steps | libseal, 300 schedules [h] | CP-SAT without broken steps [h] | its bound [h] | it says |\n|---|---|---|---|---|---|")
    for name in options.coach:
        plan, shop = plan_of(name)
        ours = libseal.schedule(plan, shop, START, work_limit=300)
        hours = (ours.end - datetime.datetime.combine(START, datetime.time())).total_seconds() / 3600
        state, theirs, bound = with_cp_sat(plan, shop, options.seconds)
        print(f"| {name} | {len(plan.steps)} | {hours:.1f} | {theirs:.1f} | {bound:.1f} | {state} |")


if __name__ == "__main__":
    main()
