"""Calls of all kinds one after another, for as long as asked: the same answers to the bit, and memory that stops growing.

    python3 tests/load/soak.py --seconds 10              mixed calls
    python3 tests/load/soak.py --fleets 1000             that many small fleets, each another one, without a session and in one session a hundred
"""

from __future__ import annotations

import argparse
import datetime
import gc
import pathlib
import resource
import sys
import time

import libseal

DATA = pathlib.Path(__file__).resolve().parents[2] / "examples" / "data"
AS_OF = datetime.date(2026, 11, 25)
MOST_GROWTH = 32.0  # MB after the warm-up
PAGE = resource.getpagesize()


def held() -> float:
    """Memory of this process [MB]."""
    gc.collect()
    return int(pathlib.Path("/proc/self/statm").read_text().split()[1]) * PAGE / 1e6


def mixed_calls() -> dict[str, object]:
    """Name and call; each gives something that can be compared."""
    coach, shop = libseal.read_coach(DATA / "van.json"), libseal.read_shop(DATA / "shop.json")
    coach = next(one for one in libseal.read_fleet(DATA / "fleet.json").coaches if one.kind == coach.kind)
    fleet = libseal.Fleet(coaches=[coach])
    findings = [one for one in libseal.read_findings(DATA / "findings.csv") if one.coach == coach.id]
    work_done = [one for one in libseal.read_work_done(DATA / "work_done.csv") if one.coach == coach.id]
    session = libseal.Session()
    seen = {"findings": findings, "work_done": work_done, "session": session}
    forecast = libseal.forecast(fleet, AS_OF, 5, **seen)
    ages = [1.0, 2.5, 4.0, 4.5, 6.0, 7.0]

    def fit() -> object:
        return libseal.fit_life(ages, ages).parameters

    def wrong() -> object:
        try:
            libseal.read_coach_text("{" * 50, "broken")
        except libseal.ValueError as error:
            return str(error)
        raise AssertionError("a broken coach was read")

    return {"forecast": lambda: libseal.forecast(fleet, AS_OF, 5, **seen).posteriors_json(),
            "alone": lambda: libseal.forecast(coach, AS_OF, 2).posteriors_json(),
            "plan": lambda: libseal.work_plan_json(libseal.plan_work(coach, findings, forecast, shop, AS_OF)),
            "calendar": lambda: libseal.year_calendar(fleet, 2027, shop, AS_OF, **seen).ics_text(),
            "read": lambda: libseal.fleet_json(libseal.read_fleet(DATA / "history_fleet.csv")), "fit": fit, "wrong": wrong}


def soak(seconds: float) -> None:
    calls = mixed_calls()
    wanted = {name: call() for name, call in calls.items()}
    end, rounds, after_warm_up, most = time.monotonic() + seconds, 0, None, 0.0
    while time.monotonic() < end or rounds < 4:
        for name, call in calls.items():
            if call() != wanted[name]:
                raise SystemExit(f"{name}: another answer in round {rounds}")
        rounds += 1
        most = max(most, held())
        if after_warm_up is None and rounds >= 2 and time.monotonic() > end - 0.8 * seconds:
            after_warm_up = most
    told(f"{rounds} rounds of {len(calls)} calls", after_warm_up if after_warm_up is not None else most, most)


def fleets(count: int) -> None:
    stations, due = ["725350", "722780", "726430"], 0.0
    after_warm_up, most, session = 0.0, 0.0, None
    for number in range(count):
        if number % 100 == 0:
            session = libseal.Session() if number % 200 else None
        stay = libseal.Stay(from_=datetime.date(2016, 1, 1), to=datetime.date(9999, 12, 31), station=stations[number % 3], heading=float(number % 360))
        coaches = [libseal.camper_van(5.0 + number % 15 / 10, id=f"{number}-{n}", windows=1 + n, installed_from=stay.from_, installed_to=stay.from_).replace(stays=[stay]) for n in range(2)]
        result = libseal.forecast(libseal.Fleet(coaches=coaches), AS_OF, 2, session=session, seed=number % 4)
        due += float(result.due_now.sum())
        if number % 20 == 0:
            most = max(most, held())
        if number == count // 4:
            after_warm_up = most
    told(f"{count} fleets, {due:.3f} layers due", after_warm_up, most)


def told(what: str, before: float, after: float) -> None:
    print(f"{what}: {before:.0f} MB after the warm-up, {after:.0f} MB at most")
    if after - before > MOST_GROWTH:
        raise SystemExit(f"memory grew by {after - before:.0f} MB, expected at most {MOST_GROWTH:.0f}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seconds", type=float)
    parser.add_argument("--fleets", type=int)
    given = parser.parse_args()
    if given.seconds is None and given.fleets is None:
        parser.error("give --seconds or --fleets")
    if given.seconds is not None:
        soak(given.seconds)
    if given.fleets is not None:
        fleets(given.fleets)


if __name__ == "__main__":
    sys.exit(main())
