"""How long do a thousand owner packets take? Prints coaches, seconds, bytes; the fleet is invented.

PYTHONPATH=build/tests/python python benchmarks/owner_packets.py [--coaches 1000] [--workers 0] [--folder FOLDER]
"""

from __future__ import annotations

import argparse
import datetime
import os
import pathlib
import resource
import tempfile
import time

import libseal

AS_OF = datetime.date(2026, 11, 25)
STATIONS = ("south bend", "phoenix", "725090", "722060")  # by name or id: four climates
LAYOUTS = (("travel_trailer", 6.1), ("travel_trailer", 7.3), ("travel_trailer", 9.1), ("fifth_wheel", 10.4), ("motorhome", 9.4), ("camper_van", 6.0), ("truck_camper", 5.0))


def fleet_of(count: int) -> libseal.Fleet:
    """Coaches of seven sizes, two to eleven years old, at four places."""
    coaches = []
    for i in range(count):
        layout, length = LAYOUTS[i % len(LAYOUTS)]
        built = datetime.date(2016 + i % 9, 1 + i % 12, 1)
        coach = getattr(libseal, layout)(length, id=f"C-{i:04}", model_year=built.year, installed_from=built, installed_to=built)
        stay = libseal.Stay(from_=built, to=datetime.date(9999, 12, 31), place=STATIONS[i % 4], station=STATIONS[i % 4], heading=45.0 * (i % 8))
        coaches.append(coach.replace(stays=[stay], owner=f"Owner {i:04}"))
    return libseal.Fleet(coaches=coaches)


def findings_of(fleet: libseal.Fleet) -> list[libseal.Finding]:
    """A crack and a clean look on every second coach."""
    day, found = datetime.date(2026, 9, 1), []
    for coach in fleet.coaches[::2]:
        first, second = coach.joints[0], coach.joints[1]
        found.append(libseal.Finding(coach=coach.id, joint=first.id, sign="fastener_loose", size="slight", date=day))
        found.append(libseal.Finding(coach=coach.id, joint=second.id, sign="clean_look", date=day))
    return found


def processor_seconds() -> float:
    return sum(sum(resource.getrusage(who)[:2]) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--coaches", type=int, default=1000)
    parser.add_argument("--workers", type=int, default=0, help="processes; 0: one per processor")
    parser.add_argument("--folder", default="", help="keep the packets there")
    arguments = parser.parse_args()
    shop = libseal.read_shop(pathlib.Path(__file__).parents[1] / "examples" / "data" / "shop.json")
    fleet = fleet_of(arguments.coaches)
    findings, session = findings_of(fleet), libseal.Session()
    began = time.perf_counter()
    forecast = libseal.forecast(fleet, AS_OF, 5, findings=findings, session=session)
    print(f"forecast: {len(fleet.coaches)} coaches, {len(forecast)} layers, {time.perf_counter() - began:.1f} s")
    # Some visits for the packets to tell: the calendar of the first coaches. A whole one takes longer than the packets.
    few = libseal.Fleet(coaches=fleet.coaches[:20])
    calendar = libseal.year_calendar(few, 2027, shop, AS_OF, findings=[f for f in findings if f.coach in {c.id for c in few.coaches}], session=session)
    with tempfile.TemporaryDirectory() as scratch:
        began, before = time.perf_counter(), processor_seconds()
        written = libseal.write_packets(arguments.folder or scratch, fleet, forecast, calendar, shop, findings=findings, workers=arguments.workers)
        seconds, processor = time.perf_counter() - began, processor_seconds() - before
    size = sum(packet.size for packet in written)
    print(f"packets: {len(written)}, seconds: {seconds:.1f} ({processor:.1f} of processors, {arguments.workers or os.cpu_count()} workers), bytes: {size}")
    print(f"a packet: {1000 * seconds / len(written):.1f} ms, {size / len(written) / 1000:.0f} kB")


if __name__ == "__main__":
    main()
