"""The schemas in docs/schemas say what the library really writes, and nothing that it never writes."""

import datetime
import json
import re

import pytest
import small_calendar

import libseal

jsonschema = pytest.importorskip("jsonschema")

AS_OF = datetime.date(2026, 11, 25)
START = datetime.date(2027, 3, 1)
# Schema, and the source whose keys it must know.
SOURCES = {
    "calendar": "calendar/tables.cpp", "coach": "coach/write.cpp", "fleet": "coach/write.cpp", "findings": "survey/read_findings.cpp",
    "evidence": "forecast/evidence.cpp", "order": "work/order_export.cpp", "posteriors": "forecast/curves.cpp", "quote": "work/quote_files.cpp",
    "recalibration": "tuning/recalibration_json.cpp", "schedule": "schedule/schedule_json.cpp", "shared_effects": "forecast/shared_effects.cpp", "shop": "work/shop_read.cpp",
    "work_order": "work/work_order_json.cpp", "work_plan": "work/plan_json.cpp",
}
# Written only in states that the demo does not reach; the validator still knows them.
RARE = {"schedule": {"minutes_broken"}, "coach": {"open_edge", "outline_m", "latitude_deg", "longitude_deg"}, "findings": {"part"},
        "shop": {"catalogue"}, "quote": {"cover_expires"}, "work_plan": {"cover_expires", "follow_up", "follow_up_from"}}
RARE["fleet"] = RARE["coach"]


def schema_of(root, name):
    return json.loads((root / "docs" / "schemas" / f"{name}.json").read_text(encoding="utf-8"))


def names_in(schema):
    """Names of all properties, at every level."""
    if isinstance(schema, list):
        return set().union(*map(names_in, schema)) if schema else set()
    if not isinstance(schema, dict):
        return set()
    own = set(schema["properties"]) if isinstance(schema.get("properties"), dict) else set()
    return own.union(*map(names_in, schema.values()))


def keys_in(value, free=()):
    """Keys of all objects of a JSON text, those below a key with free names left out."""
    if isinstance(value, list):
        return set().union(*(keys_in(one, free) for one in value)) if value else set()
    if not isinstance(value, dict):
        return set()
    return set(value).union(*(keys_in(inner, free) for key, inner in value.items() if key not in free))


@pytest.fixture(scope="module")
def written(root, trailer):
    """What the library writes for the demo, by schema."""
    data = root / "examples" / "data"
    fleet, shop = libseal.read_fleet(data / "fleet.json"), libseal.read_shop(data / "shop.json")
    findings, work_done = libseal.read_findings(data / "findings.csv"), libseal.read_work_done(data / "work_done.csv")
    forecast = libseal.forecast(fleet, AS_OF, 5, findings=findings, work_done=work_done)
    busy = shop.replace(
        bay_list=[libseal.Bay(id="a", roofed=True, heated=True), libseal.Bay(id="b", roofed=False)], bays=2,
        absences=[libseal.Absence(person=shop.people[0].id, from_=30_000_000, to=30_000_600, reason="away")],
        overtime=[libseal.Overtime(person=shop.people[0].id, from_=30_100_000, to=30_100_060)])
    calendar = libseal.year_calendar(fleet, 2027, shop, AS_OF, findings=findings, work_done=work_done)
    texts, plans = {name: [] for name in SOURCES}, []
    for coach in fleet.coaches:
        plan = libseal.plan_work(coach, findings, forecast, shop, AS_OF, due_before=datetime.date(2029, 1, 1))
        order = libseal.work_order(plan, shop)
        texts["work_plan"].append(libseal.work_plan_json(plan))
        texts["order"].append(libseal.order_json(plan))
        texts["quote"].append(libseal.quote_json(libseal.quote(plan, shop)))
        texts["work_order"].append(libseal.work_order_json(order))
        texts["coach"].append(libseal.coach_json(coach))
        plans.append(plan)
    plan = max(plans, key=lambda one: len(one.tasks))
    found = libseal.schedule(plan, shop, START, work_limit=20)
    slots = [libseal.StepSlot(step=time.step, start=int(time.start.astype("datetime64[m]").astype(int)),
                              end=int(time.end.astype("datetime64[m]").astype(int)), people=[shop.people[i].id for i in time.people])
             for time in found.steps if time.people]
    texts["work_order"].append(libseal.work_order_json(libseal.work_order(plan, shop, slots=slots)))
    texts["schedule"] = [libseal.schedule_json(found, plan, shop), libseal.schedule_json(libseal.schedule([plan], shop, START, work_limit=5), [plan], shop)]
    texts["coach"].append(libseal.coach_json(trailer))
    texts["fleet"] = [libseal.fleet_json(fleet)]
    texts["findings"] = [libseal.findings_json(findings)]
    texts["shop"] = [libseal.shop_json(shop), libseal.shop_json(busy)]
    texts["posteriors"] = [forecast.posteriors_json()]
    texts["shared_effects"] = [forecast.shared_effects().to_json()]
    texts["evidence"] = [libseal.collect_evidence(fleet, AS_OF, findings=findings, work_done=work_done).to_json()]
    texts["recalibration"] = [libseal.recalibration_json(libseal.recalibrate(fleet, findings, AS_OF, work_done=work_done))]
    late = [libseal.read_calendar_text(small_calendar.calendar_json(
        unplaced=[{"coach": "T1", "joint": "j", "action": "rebed", "due": "2027-05-01", "constraint": "no bay", "relaxation": "a bay"}],
        changes=["one"], flags=["late"]), "small")]
    texts["calendar"] = [one.json_text() for one in [calendar, *late]]
    return texts


def test_every_schema_has_a_writer_and_every_writer_a_schema(root):
    assert {path.stem for path in (root / "docs" / "schemas").glob("*.json")} == set(SOURCES)
    for name in SOURCES:
        jsonschema.Draft202012Validator.check_schema(schema_of(root, name))
    schemas = {match for path in (root / "libseal" / "src").rglob("*.cpp")
               for match in re.findall(r'(?:member|value)\([^;]*"libseal/(\w+)/1"', path.read_text(encoding="utf-8"))}
    assert schemas - {"catalogue"} == set(SOURCES)


@pytest.mark.parametrize("name", SOURCES)
def test_what_is_written_keeps_to_its_schema(root, written, name):
    validator = jsonschema.Draft202012Validator(schema_of(root, name), format_checker=jsonschema.FormatChecker())
    assert written[name]
    for text in written[name]:
        assert [f"{e.json_path}: {e.message}" for e in validator.iter_errors(json.loads(text))] == []


@pytest.mark.parametrize("name", SOURCES)
def test_no_schema_names_what_is_never_written(root, written, name):
    seen = set().union(*(keys_in(json.loads(text), free=("package_price",)) for text in written[name]))
    names = names_in(schema_of(root, name))
    unknown = names - seen - RARE.get(name, set())
    assert unknown == set()
    assert seen <= names


@pytest.mark.parametrize("name", SOURCES)
def test_every_key_in_the_source_of_a_writer_is_in_its_schema(root, name):
    """Also keys that no demo writes."""
    source = (root / "libseal" / "src" / SOURCES[name]).read_text(encoding="utf-8")
    pattern = r'(?:member|key|list|object|write_text|write_number|write_range|write_list|write_score|text|number)\((?:out, )?"(\w+)"'
    keys = set(re.findall(pattern, source))
    known = names_in(schema_of(root, name))
    if name == "findings":  # the reader of work done stands in the same file
        known |= {"work_done", "action", "declined", "family", "minutes", "who"}
    if name in ("coach", "fleet"):
        known |= {"coaches", "schema"}
    if name == "shop":
        known |= {"value"}
    # Readers in the same file ask for the same keys with member(); those are in the schema too, or are other spellings of one.
    assert {key for key in keys if not key.startswith("libseal")} - known == set()


def test_a_key_that_the_schema_does_not_know_fails(root, written):
    value = json.loads(written["calendar"][0])
    value["visits"][0]["colour"] = "red"
    validator = jsonschema.Draft202012Validator(schema_of(root, "calendar"))
    assert any("colour" in error.message for error in validator.iter_errors(value))


@pytest.mark.parametrize("currency, amount", [("USD", 200.55), ("JPY", 20000), ("KWD", 20.005)])
def test_a_calendar_reads_back_equal_in_every_currency(currency, amount):
    calendar = small_calendar.small_calendar(currency=currency, cost_low=amount, cost_mode=amount, cost_high=amount)
    again = libseal.read_calendar_text(calendar.json_text(), "again")
    assert again.json_text() == calendar.json_text() and json.loads(calendar.json_text())["visits"][0]["cost_high"] == amount


def test_a_calendar_with_one_uid_twice_is_refused():
    value = json.loads(small_calendar.calendar_json())
    value["visits"] *= 2
    with pytest.raises(ValueError, match=r"visits\[1\].uid.*own"):
        libseal.read_calendar_text(json.dumps(value), "twice")


def test_a_schedule_reads_back_equal(root, tmp_path):
    data = root / "examples" / "data"
    fleet, shop = libseal.read_fleet(data / "fleet.json"), libseal.read_shop(data / "shop.json")
    findings = libseal.read_findings(data / "findings.csv")
    forecast = libseal.forecast(fleet, AS_OF, 5, findings=findings)
    plans = [libseal.plan_work(coach, findings, forecast, shop, AS_OF, due_before=datetime.date(2028, 1, 1)) for coach in fleet.coaches[:3]]
    for bookings in (plans[0], [libseal.Booking(plan) for plan in plans]):
        found = libseal.schedule(bookings, shop, START, work_limit=10)
        text = libseal.schedule_json(found, bookings, shop)
        path = tmp_path / "schedule.json"
        path.write_text(text, encoding="utf-8")
        again = libseal.read_schedule(path, bookings, shop)
        assert libseal.schedule_json(again, bookings, shop) == text
        for part in ("outcome", "stopped", "begin", "end", "lower_bound", "tried", "days", "obstacles", "relaxations"):
            assert getattr(again, part) == getattr(found, part), part
        for part in ("step", "start", "end", "people", "waited_for", "critical", "booking", "moved"):
            assert [getattr(t, part) for t in again.steps] == [getattr(t, part) for t in found.steps], part
        assert [(s.coach, s.bay, s.begin, s.end, s.late, s.booking) for s in again.stays] == [(s.coach, s.bay, s.begin, s.end, s.late, s.booking) for s in found.stays]
        assert libseal.verify(again, bookings, shop, START) == libseal.verify(found, bookings, shop, START)
    with pytest.raises(ValueError, match=r"(?s)steps\[0\].step.*perhaps"):
        step = json.loads(text)["steps"][0]["step"]
        libseal.read_schedule_text(text.replace(f'"{step}"', f'"{step}x"', 1), "bad", bookings, shop)
    for bad in ("{}", "[]", text.replace("libseal/schedule/1", "libseal/schedule/9"), text.replace('"pieces": [', '"pieces": [\n"now", ', 1)):
        with pytest.raises(ValueError, match="bad"):
            libseal.read_schedule_text(bad, "bad", bookings, shop)
