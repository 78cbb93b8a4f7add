"""Laws of forecasts and calendars on generated coaches and findings (Hypothesis). All of it is synthetic.

Ordinary runs draw the same cases each time. LIBSEAL_PROPERTY_SEED draws others, LIBSEAL_PROPERTY_FACTOR more; what fails then is kept in
build/hypothesis and tried first in the next run, and belongs here as an `@example` once it is mended.
"""

import datetime
import json
import os

import hypothesis
import numpy as np
import pytest
from hypothesis import strategies as st
from hypothesis.database import DirectoryBasedExampleDatabase

import libseal

AS_OF = datetime.date(2026, 11, 25)
DAY = datetime.timedelta(days=1)
SIGNS = ["skin_cracks", "deep_crack", "gap", "edge_lift", "corner_loose", "worn_thin", "clean_look", "bedding_shrunk", "hardened"]
SEALING = {"touch_up", "reseal_over", "cut_out_and_reseal", "rebed", "refasten_and_seal"}
SESSION = libseal.Session()


def cases(number):
    """So many generated cases; other ones if a seed is given."""
    own = "LIBSEAL_PROPERTY_SEED" in os.environ
    common = hypothesis.settings(
        max_examples=number * int(os.environ.get("LIBSEAL_PROPERTY_FACTOR", "1")), deadline=None, derandomize=not own,
        database=DirectoryBasedExampleDatabase("build/hypothesis") if own else None,
        suppress_health_check=[hypothesis.HealthCheck.too_slow, hypothesis.HealthCheck.function_scoped_fixture])
    return lambda test: hypothesis.seed(int(os.environ["LIBSEAL_PROPERTY_SEED"]))(common(test)) if own else common(test)


@st.composite
def coaches(draw, name="t1"):
    built = datetime.date(2012, 1, 1) + draw(st.integers(0, 4000)) * DAY
    common = {"id": name, "windows": draw(st.integers(2, 5)), "roof_vents": draw(st.integers(1, 3)), "installed_from": built,
              "installed_to": built + draw(st.integers(0, 400)) * DAY}
    coach = draw(st.sampled_from([libseal.travel_trailer, libseal.camper_van]))(draw(st.sampled_from([5.5, 6.0, 6.5])), **common)
    stay = libseal.Stay(from_=datetime.date(2011, 1, 1), to=datetime.date(9999, 12, 31), place="home",
                        station=draw(st.sampled_from(["south bend", "722780"])), heading=90.0 * draw(st.integers(0, 3)))
    return coach.replace(stays=[stay])


@st.composite
def looks(draw, coach, most=4):
    """Findings at joints of a coach, each joint and sign and day once."""
    places = draw(st.lists(st.tuples(st.sampled_from([j.id for j in coach.joints]), st.sampled_from(SIGNS), st.integers(1, 900)),
                           max_size=most, unique=True))
    return [libseal.Finding(coach=coach.id, joint=joint, sign=sign, date=AS_OF - days * DAY, size="" if sign == "clean_look" else
                            draw(st.sampled_from(["slight", "clear", "severe"])), share=draw(st.floats(0.01, 0.9))) for joint, sign, days in places]


def forecast(coach, findings=(), years=5):
    return libseal.forecast(coach, AS_OF, years, findings=list(findings), session=SESSION)


@cases(12)
@hypothesis.given(st.data())
def test_a_forecast_only_grows_with_time(data):
    coach = data.draw(coaches())
    result = forecast(coach, data.draw(looks(coach)))
    chances = [result.due_now, result.due_90_days, result.due_1_year, result.due_2_years, result.due_5_years]
    for sooner, later in zip(chances, chances[1:]):
        assert np.all(sooner <= later + 1e-12)
    assert np.all(result.open_now <= result.open_1_year + 1e-12)
    assert np.all(result.due_10 <= result.due_50) and np.all(result.due_50 <= result.due_90)
    assert all(np.all((column >= 0) & (column <= 1)) for column in [*chances, result.open_now, result.open_1_year])
    shares = [result.share_light, result.share_heat, result.share_moisture, result.share_movement, result.share_workmanship, result.share_shared]
    np.testing.assert_allclose(np.sum(shares, axis=0), 1, atol=1e-9)
    rows = list(range(0, len(result), 7))
    curves = result.monthly(rows)
    assert np.all(np.diff(curves.due, axis=-1) >= -1e-12) and np.all(np.diff(curves.open, axis=-1) >= -1e-12)


@cases(12)
@hypothesis.given(st.data())
def test_one_more_look_that_finds_nothing_brings_no_due_date_nearer(data):
    coach = data.draw(coaches())
    findings = data.draw(looks(coach))
    joint = data.draw(st.sampled_from([j for j in coach.joints if j.layers]))
    day = AS_OF - data.draw(st.integers(1, 300)) * DAY
    clean = libseal.Finding(coach=coach.id, joint=joint.id, layer=joint.layers[0].kind, sign="clean_look", date=day)
    hypothesis.assume(not any(f.joint == joint.id and f.date == day for f in findings))
    before, after = forecast(coach, findings), forecast(coach, [*findings, clean])
    row = before.row(coach.id, joint.id, joint.layers[0].kind)
    for column in ("due_10", "due_50", "due_90"):
        assert getattr(after, column)[row] >= getattr(before, column)[row], column
    assert after.due_1_year[row] <= before.due_1_year[row] + 1e-9


@cases(8)
@hypothesis.given(coaches(), st.sampled_from([("_mm", 1000), ("_cm", 100), ("_ft", 1 / 0.3048)]))
def test_units_of_a_file_change_no_forecast(coach, unit):
    ending, factor = unit
    plain = json.loads(libseal.coach_json(coach))
    other = json.loads(libseal.coach_json(coach))
    for joint in other["joints"]:
        if "length_m" in joint and ending in ("_mm", "_ft"):
            joint["length" + ending] = joint.pop("length_m") * factor
        if joint.get("screw_spacing_m"):
            joint["screw_spacing"] = f"{joint.pop('screw_spacing_m') / 0.0254!r} in"
    one, two = (forecast(libseal.read_coach_text(json.dumps(text), "f.json")) for text in (plain, other))
    for column in ("age", "effective_age", "condition", "due_1_year", "open_1_year"):
        np.testing.assert_allclose(getattr(two, column), getattr(one, column), rtol=1e-9, atol=1e-12)
    assert np.all(np.abs((two.due_50 - one.due_50).astype("timedelta64[D]").astype(int)) <= 1)


@cases(6)
@hypothesis.given(st.data())
def test_the_order_of_coaches_and_findings_is_irrelevant(data):
    fleet = [data.draw(coaches(name)) for name in ("a", "b")]
    findings = [finding for coach in fleet for finding in data.draw(looks(coach))]
    one = libseal.forecast(libseal.Fleet(coaches=fleet), AS_OF, 5, findings=findings, session=SESSION)
    two = libseal.forecast(libseal.Fleet(coaches=fleet[::-1]), AS_OF, 5, findings=findings[::-1], session=SESSION)
    for coach in fleet:
        np.testing.assert_array_equal(one.due_50[one.rows_of(coach.id)], two.due_50[two.rows_of(coach.id)])
        np.testing.assert_array_equal(one.due_1_year[one.rows_of(coach.id)], two.due_1_year[two.rows_of(coach.id)])


@pytest.fixture(scope="module")
def never_sealed():
    catalogue = libseal.Catalogue.built_in()
    return {name for name in libseal.joint_type_names(catalogue) if libseal.joint_type(catalogue, name).never_seal}


@cases(8)
@hypothesis.given(st.data())
def test_a_year_holds_no_coach_twice_a_day_seals_no_drain_and_its_file_has_no_fault(never_sealed, root, data):
    shop = libseal.read_shop(root / "examples" / "data" / "shop.json")
    fleet = [data.draw(coaches(name)) for name in ("a", "b")]
    findings = [finding for coach in fleet for finding in data.draw(looks(coach))]
    calendar = libseal.year_calendar(libseal.Fleet(coaches=fleet), 2027, shop, AS_OF, findings=findings, session=SESSION)
    visits = [visit for visit in calendar.visits if not visit.cancelled]
    for coach in fleet:
        stays = sorted((visit.first, visit.last) for visit in visits if visit.coach == coach.id)
        assert all(earlier[1] < later[0] for earlier, later in zip(stays, stays[1:]))
        types = {joint.id: joint.type for joint in coach.joints}
        tasks = [task for visit in visits if visit.coach == coach.id for task in visit.tasks]
        assert [task.joint for task in tasks if types.get(task.joint) in never_sealed and task.action in SEALING] == []
    for bay in {visit.bay for visit in visits}:
        stays = sorted((visit.first, visit.last) for visit in visits if visit.bay == bay)
        assert all(earlier[1] < later[0] for earlier, later in zip(stays, stays[1:]))
    assert libseal.check_icalendar(calendar.ics_text()) == []
    assert libseal.read_calendar_text(calendar.json_text(), "f.json").json_text() == calendar.json_text()
    for todo in (False, True):
        assert libseal.check_icalendar(calendar.ics_text(todo=todo, alarm_days=data.draw(st.integers(0, 365)))) == []


DAYS = st.dates(datetime.date(1400, 1, 1), datetime.date(9999, 12, 31))
LETTERS = "aZ09 ,;:\"'\\{}[]=+-@\t\n\r\x01\x7f\u00e9\u0335\u202e\u2028\ufeff\U0001f690"
NAMES = st.text(st.sampled_from(LETTERS), min_size=1, max_size=20)


@cases(100)
@hypothesis.given(st.lists(st.tuples(NAMES, NAMES, st.sampled_from(["gap", "deep_crack"]), DAYS, st.floats(0, 1)), max_size=5,
                           unique_by=lambda row: (row[0], row[1], row[2], row[3])))
def test_findings_with_any_words_are_read_as_they_were_written(rows):
    findings = [libseal.Finding(coach=coach, joint=joint, sign=sign, date=day, share=share, note=joint) for coach, joint, sign, day, share in rows]
    text = libseal.findings_json(findings)
    again = libseal.read_findings_text(text, "f.json")
    assert libseal.findings_json(again) == text
    assert [(f.coach, f.joint, f.sign, f.date, f.note) for f in again] == [(f.coach, f.joint, f.sign, f.date, f.note) for f in findings]


@cases(200)
@hypothesis.given(st.one_of(st.binary(max_size=200), st.text(st.sampled_from(LETTERS + "\0"), max_size=100).map(str.encode)))
@hypothesis.example(b"\0")  # an error ended at the first zero byte
@hypothesis.example(b"\x80")  # an error was no text
def test_any_bytes_as_a_file_are_refused_in_words(tmp_path_factory, content):
    path = tmp_path_factory.getbasetemp() / "any.file"
    path.write_bytes(content)
    readers = [libseal.read_coach, libseal.read_fleet, libseal.read_findings, libseal.read_work_done, libseal.read_shop,
               libseal.read_owner_dates, libseal.read_calendar, libseal.read_weather, libseal.read_catalogue, libseal.read_holiday_rules]
    for reader in readers:
        with pytest.raises(libseal.ValueError) as caught:
            reader(path)
        assert str(caught.value).encode("utf-8") and "expected" in str(caught.value)
