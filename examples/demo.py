"""The main job: an invented fleet, its inspection findings and typical weather become next year's calendar.

Usage: demo.py [data folder] [output folder]. examples/demo.cpp writes the same calendar files; the page is ours.
"""

import datetime
import pathlib
import sys

import libseal


def main() -> int:
    data = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else "examples/data")
    output = pathlib.Path(sys.argv[2] if len(sys.argv) > 2 else "examples/output")
    as_of = datetime.date(2026, 11, 25)
    fleet = libseal.read_fleet(data / "fleet.json")
    shop = libseal.read_shop(data / "shop.json")
    findings = libseal.read_findings(data / "findings.csv")
    work_done = libseal.read_work_done(data / "work_done.csv")

    calendar = libseal.year_calendar(fleet, 2027, shop, as_of, findings=findings, work_done=work_done)
    forecast = libseal.forecast(fleet, as_of, years=5, findings=findings, work_done=work_done)

    output.mkdir(parents=True, exist_ok=True)
    calendar.write_ics(output / "calendar.ics")
    calendar.write_csv(output / "calendar.csv")
    calendar.write_json(output / "calendar.json")
    libseal.write_page(output / "calendar.html", fleet, forecast, calendar, shop)
    print(f"{len(fleet.coaches)} coaches, {len(calendar.visits)} visits in 2027, page in {output / 'calendar.html'}")
    return 0


if __name__ == "__main__":
    try:
        sys.exit(main())
    except libseal.Error as error:
        print(error, file=sys.stderr)
        sys.exit(1)
