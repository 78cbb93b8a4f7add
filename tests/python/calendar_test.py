"""From the demo fleet to plan, schedule, calendar and page; calendars read by two parsers that are not ours."""

import datetime
import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest

import libseal

AS_OF = datetime.date(2026, 11, 25)


@pytest.fixture(scope="module")
def demo(root):
    data = root / "examples" / "data"
    return {"fleet": libseal.read_fleet(data / "fleet.json"), "shop": libseal.read_shop(data / "shop.json"),
            "findings": libseal.read_findings(data / "findings.csv"), "work_done": libseal.read_work_done(data / "work_done.csv")}


@pytest.fixture(scope="module")
def forecast(demo):
    return libseal.forecast(demo["fleet"], AS_OF, 5, findings=demo["findings"], work_done=demo["work_done"])


@pytest.fixture(scope="module")
def calendar(demo):
    return libseal.year_calendar(demo["fleet"], 2027, demo["shop"], AS_OF, findings=demo["findings"],
                                 work_done=demo["work_done"])


@pytest.fixture(scope="module")
def plan(demo, forecast):
    coach = demo["fleet"].coaches[0]
    return libseal.plan_work(coach, demo["findings"], forecast, demo["shop"], AS_OF, due_before=datetime.date(2029, 1, 1))


def live(calendar):
    return [v for v in calendar.visits if not v.cancelled]


def expected_events(calendar):
    """(uid, first day, day after the last, sequence) of each visit."""
    day = datetime.timedelta(days=1)
    return sorted((v.uid, v.first, v.last + day, v.sequence) for v in calendar.visits)


def test_icalendar_reads_every_visit(calendar):
    icalendar = pytest.importorskip("icalendar")
    read = icalendar.Calendar.from_ical(calendar.ics_text())
    events = list(read.walk("VEVENT"))
    found = sorted((str(e["UID"]), e["DTSTART"].dt, e["DTEND"].dt, int(e.get("SEQUENCE", 0))) for e in events)
    assert found == expected_events(calendar) and len(found) > 10
    assert read.errors == [] and all(e.errors == [] for e in events)
    for event in events:
        assert event["DTSTAMP"].dt.date() == AS_OF
        (alarm,) = event.walk("VALARM")
        assert alarm["TRIGGER"].dt == datetime.timedelta(days=-7)


def test_vobject_reads_every_visit(calendar):
    vobject = pytest.importorskip("vobject")
    (read,) = vobject.readComponents(calendar.ics_text(), validate=True)
    events = read.vevent_list
    found = sorted((e.uid.value, e.dtstart.value, e.dtend.value, int(e.sequence.value) if hasattr(e, "sequence") else 0) for e in events)
    assert found == expected_events(calendar)
    assert all(e.transp.value == "TRANSPARENT" for e in events)


def test_both_parsers_read_the_same_words(calendar):
    """Escaping and folding: text comes back whole from either."""
    icalendar, vobject = pytest.importorskip("icalendar"), pytest.importorskip("vobject")
    text = calendar.ics_text()
    one = {str(e["UID"]): (str(e["SUMMARY"]), str(e["DESCRIPTION"])) for e in icalendar.Calendar.from_ical(text).walk("VEVENT")}
    two = {e.uid.value: (e.summary.value, e.description.value) for e in next(vobject.readComponents(text)).vevent_list}
    assert one == two
    for visit in calendar.visits:
        assert all(caution in one[visit.uid][1] for caution in visit.cautions)


def test_our_checker_agrees_and_sees_a_fault(calendar):
    text = calendar.ics_text()
    assert libseal.check_icalendar(text) == []
    assert libseal.check_icalendar(text.replace("\r\n", "\n", 1))


def test_files_hold_the_same_bytes_as_the_texts(calendar, tmp_path):
    for kind in ("ics", "csv", "json"):
        path = tmp_path / f"year.{kind}"
        getattr(calendar, f"write_{kind}")(path)
        assert path.read_bytes() == getattr(calendar, f"{kind}_text")().encode()
    again = libseal.read_calendar(tmp_path / "year.json")
    assert again.json_text() == calendar.json_text()
    with pytest.raises(libseal.FileError):
        calendar.write_ics(tmp_path / "absent" / "year.ics")


def test_a_forecast_may_stand_for_the_day(demo, forecast, calendar):
    arguments = {"findings": demo["findings"], "work_done": demo["work_done"]}
    again = libseal.year_calendar(demo["fleet"], 2027, demo["shop"], forecast, **arguments)
    assert [v.uid for v in again.visits] == [v.uid for v in calendar.visits]
    assert again.json_text() == libseal.year_calendar(fleet=demo["fleet"], year=2027, shop=demo["shop"], forecast=forecast, threads=1, **arguments).json_text()


def test_an_unchanged_year_keeps_its_visits(demo, calendar):
    again = libseal.year_calendar(demo["fleet"], 2027, demo["shop"], AS_OF, findings=demo["findings"],
                                  work_done=demo["work_done"], previous=calendar)
    assert expected_events(again) == expected_events(calendar)
    assert again.changes == []


def test_owners_stay_out_unless_asked_for(demo):
    coaches = [c.replace(owner="Owner Zero") for c in demo["fleet"].coaches[:2]]
    fleet = libseal.Fleet(coaches=coaches)
    quiet = libseal.year_calendar(fleet, 2027, demo["shop"], AS_OF)
    told = libseal.year_calendar(fleet, 2027, demo["shop"], AS_OF, show_owners=True)
    assert "Owner Zero" not in quiet.ics_text() + quiet.csv_text() + quiet.json_text()
    assert "Owner Zero" in told.json_text()


def test_a_plan_is_ordered_and_its_schedule_valid(demo, plan):
    assert plan.tasks and plan.cautions and plan.closing
    place = {step: i for i, step in enumerate(plan.order)}
    assert sorted(place) == list(range(len(plan.steps)))
    assert all(place[e.from_] < place[e.to] and e.reason for e in plan.edges)
    start = datetime.date(2027, 3, 1)
    result = libseal.schedule(plan, demo["shop"], start)
    assert result.outcome in ("optimal", "feasible")
    assert libseal.verify(result, plan, demo["shop"], start) == []
    assert len(result.steps) == len(plan.steps)
    assert isinstance(result.begin, np.datetime64) and result.lower_bound <= result.end
    assert all(t.start <= t.end for t in result.steps)
    assert libseal.schedule_json(result, plan, demo["shop"]) == libseal.schedule_json(
        libseal.schedule(plan, demo["shop"], start, work_limit=200, seed=0), plan, demo["shop"])


def test_places_that_are_never_sealed_refuse_a_family(demo, forecast):
    catalogue = libseal.Catalogue.built_in()
    never = {n for n in libseal.joint_type_names(catalogue) if libseal.joint_type(catalogue, n).never_seal}
    assert never
    beads = {"touch_up", "reseal_over", "cut_out_and_reseal", "rebed", "refasten_and_seal"}
    for coach in demo["fleet"].coaches[:4]:
        plan = libseal.plan_work(coach, demo["findings"], forecast, demo["shop"], AS_OF, due_before=datetime.date(2045, 1, 1))
        wrong = [t.joint for t in plan.tasks if t.joint_type in never and t.action in beads]
        assert wrong == []


def test_frames_hold_what_the_objects_hold(demo, forecast, calendar, plan):
    pandas = pytest.importorskip("pandas")
    frames = libseal.frames
    table = frames.forecast_frame(forecast)
    assert len(table) == len(forecast)
    np.testing.assert_array_equal(table["due_50"].to_numpy().astype("datetime64[D]"), forecast.due_50)
    np.testing.assert_array_equal(table["condition"].to_numpy(), forecast.condition)
    assert len(frames.plan_frame(plan)) == len(plan.tasks)
    assert frames.plan_frame(plan)["minutes"].tolist() == [t.minutes.mode for t in plan.tasks]
    result = libseal.schedule(plan, demo["shop"], datetime.date(2027, 3, 1))
    steps = frames.schedule_frame(result, plan, demo["shop"])
    assert steps["step"].tolist() == [s.id for s in plan.steps]
    visits = frames.calendar_frame(calendar)
    assert len(visits) == sum(max(1, len(v.tasks)) for v in calendar.visits)
    weather = libseal.typical_year(libseal.find_station("Phoenix, AZ"))
    hours = frames.weather_frame(weather)
    assert hours.index.tz is not None and len(hours) == 8760
    back = frames.weather_from_frame(hours.tz_convert("America/Phoenix"), weather.site, typical=True)
    for name in libseal.weather_column_names():
        np.testing.assert_array_equal(libseal.weather_column(back, name), libseal.weather_column(weather, name))
    assert (back.time_utc == weather.time_utc).all()
    with pytest.raises(ValueError, match="gih"):
        frames.weather_from_frame(pandas.DataFrame({"gih": [1.0]}, index=hours.index[:1]), weather.site)


def test_drawings_of_the_demo_fleet_are_well_formed(demo, forecast):
    for coach in demo["fleet"].coaches:
        svg = ElementTree.fromstring(libseal.draw_coach(coach, forecast, units="us"))
        lines = [e for e in svg.iter("{http://www.w3.org/2000/svg}polyline") if e.get("class") == "joint"]
        assert len(lines) == len(coach.joints)
