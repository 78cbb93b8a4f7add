"""The main job: an invented fleet, its inspection findings and typical weather become next year's calendar.

Usage: demo.py [data folder] [output folder]. examples/demo.cpp writes the same calendar files; the page is ours.
"""

import datetime
import pathlib
import sys

import libseal


def draw(fleet: libseal.Fleet, findings: list[libseal.Finding], forecast: libseal.Forecast, output: pathlib.Path) -> None:
    """Pictures of the coach with the most findings: a joint through the years, causes, due dates."""
    coach = max(fleet.coaches, key=lambda c: sum(f.coach == c.id for f in findings))
    seen = [f.joint for f in findings if f.coach == coach.id and f.layer == "cap_bead"]
    joint = max(sorted(set(seen)), key=seen.count)
    libseal.plot.plot_joint(forecast, joint, coach=coach.id, findings=findings, coach_data=coach).savefig(output / "joint.svg")
    libseal.plot.plot_causes(forecast, coach=coach.id).savefig(output / "causes.svg")
    libseal.plot.plot_due_dates(forecast, coach=coach.id).savefig(output / "due_dates.svg")
    print(f"pictures of {coach.id}, {joint}: {output / 'joint.svg'}, {output / 'causes.svg'}, {output / 'due_dates.svg'}")


def survey(fleet: libseal.Fleet, findings: list[libseal.Finding], forecast: libseal.Forecast, output: pathlib.Path) -> None:
    """The sheet for the next walk round that coach, and an invented damp ceiling traced back to its joints."""
    coach = max(fleet.coaches, key=lambda c: sum(f.coach == c.id for f in findings))
    (output / "sheet.html").write_text(libseal.survey_sheet(coach, forecast.as_of, forecast, findings), encoding="utf-8", newline="\n")
    stain = libseal.Stain(surface="roof", at=libseal.Point(u=2.0, v=0.1), appears=["standing_rain"])
    trace = libseal.trace_leak(coach, stain, findings, forecast)
    svg = libseal.draw_coach(coach, forecast, findings=findings, trace=trace, stains=[stain])
    (output / "leak.svg").write_text(svg, encoding="utf-8", newline="\n")
    first = trace.candidates[0]
    print(f"sheet of {coach.id}: {output / 'sheet.html'}; damp ceiling: {first.joint} {first.probability:.0%}, {output / 'leak.svg'}")


def stored(data: pathlib.Path, path: pathlib.Path) -> libseal.store.Store:
    """The files in a store, as a shop would keep them; what a run before has left is brought up to date."""
    store = libseal.store.Store.open(path)
    with store.transaction():
        store.put_fleet(libseal.read_fleet(data / "fleet.json"))
        store.add_findings(libseal.read_findings(data / "findings.csv"), replace=True)
        store.add_work_done(libseal.read_work_done(data / "work_done.csv"), replace=True)
    return store


def main() -> int:
    data = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else "examples/data")
    output = pathlib.Path(sys.argv[2] if len(sys.argv) > 2 else "examples/output")
    as_of = datetime.date(2026, 11, 25)
    shop = libseal.read_shop(data / "shop.json")
    output.mkdir(parents=True, exist_ok=True)
    store = stored(data, output / "store.sqlite")
    fleet, findings, work_done = store.fleet(), store.findings(), store.work_done()

    session = libseal.Session()  # the second call takes the clocks of the first
    calendar = libseal.year_calendar(fleet, 2027, shop, as_of, findings=findings, work_done=work_done, session=session)
    forecast = libseal.forecast(fleet, as_of, years=5, findings=findings, work_done=work_done, session=session)

    store.put_calendar(calendar)
    calendar.write_ics(output / "calendar.ics")
    calendar.write_csv(output / "calendar.csv")
    calendar.write_json(output / "calendar.json")
    libseal.write_page(output / "calendar.html", fleet, forecast, calendar, shop)
    week = next(visit.first for visit in calendar.visits if visit.tasks)
    libseal.write_week_sheet(output / "week.html", calendar, fleet, shop, week, forecast=forecast, findings=findings, work_done=work_done)
    packets = libseal.write_packets(output / "packets", fleet, forecast, calendar, shop, findings=findings, work_done=work_done)
    print(f"week of {week}: {output / 'week.html'}; {len(packets)} packets for owners: {output / 'packets'}")
    draw(fleet, findings, forecast, output)
    survey(fleet, findings, forecast, output)
    print(f"{len(fleet.coaches)} coaches, {len(calendar.visits)} visits in 2027, page in {output / 'calendar.html'}, all of it in {output / 'store.sqlite'}")
    store.close()
    return 0


if __name__ == "__main__":
    try:
        sys.exit(main())
    except libseal.Error as error:
        print(error, file=sys.stderr)
        sys.exit(1)
