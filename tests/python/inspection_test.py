"""Inspection plans from Python: keywords, rows, errors."""

import datetime
import re

import pytest

libseal = pytest.importorskip("libseal")

DAY = datetime.date(2024, 6, 1)


@pytest.fixture(scope="module")
def coach():
    fitted = datetime.date(2022, 5, 1)
    made = libseal.travel_trailer(length=8.0, id="t1", installed_from=fitted, installed_to=fitted)
    stay = libseal.Stay(from_=datetime.date(2015, 1, 1), to=datetime.date(9999, 12, 31), station="725350", heading=0)
    return made.replace(stays=[stay])


@pytest.fixture(scope="module")
def forecast(coach):
    looks = [
        libseal.Finding(coach="t1", joint=joint.id, layer=layer.kind, sign="clean_look", date=datetime.date(2024, 5, 1))
        for joint in coach.joints[::2]
        for layer in joint.layers
        if layer.kind != "bedding"
    ]
    return libseal.forecast(coach, DAY, 2, findings=looks)


def test_every_joint_is_a_stop_or_left_out(coach, forecast):
    plan = libseal.inspection_plan(coach, forecast)
    assert plan.day == DAY
    assert [stop.number for stop in plan.stops] == list(range(1, len(plan.stops) + 1))
    named = [row.joint for row in [*plan.stops, *plan.left_out]]
    assert sorted(named) == sorted(joint.id for joint in coach.joints)
    trips = [stop.trip for stop in plan.stops]
    assert trips == sorted(trips)
    assert set(trips) == {"ground", "roof"}
    assert plan.bits == pytest.approx(sum(stop.bits for stop in plan.stops))
    assert all(stop.reason and stop.cautions and stop.bits >= 0 for stop in plan.stops)


def test_keywords_move_the_plan(coach, forecast):
    overdue = [stop.joint for stop in libseal.inspection_plan(coach, forecast, budget=0).stops]
    usual = libseal.inspection_plan(coach, forecast, least_bits_per_minute=0)
    assert overdue == [stop.joint for stop in usual.stops if stop.overdue]
    assert 0 < len(overdue) < len(usual.stops)
    later = libseal.inspection_plan(coach, forecast, day=datetime.date(2025, 6, 1), budget=0)
    assert len(later.stops) > len(overdue)
    assert libseal.inspection_plan(coach, forecast, horizon=0.5).horizon == 0.5


@pytest.mark.parametrize(
    "keyword, value", [("budget", -1.0), ("horizon", 0.0), ("day", datetime.date(2024, 5, 31)), ("inspector", "nobody")])
def test_bad_options_are_named(coach, forecast, keyword, value):
    with pytest.raises(ValueError, match=keyword):
        libseal.inspection_plan(coach, forecast, **{keyword: value})


def test_the_code_of_the_page_runs(root, coach, forecast, capsys):
    (block,) = re.findall(r"^```python\n(.*?)^```", (root / "docs" / "inspection_plan.md").read_text(encoding="utf-8"), re.DOTALL | re.MULTILINE)
    names = {"libseal": libseal, "coach": coach, "forecast": forecast}
    exec(compile(block, "docs/inspection_plan.md", "exec"), names)
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == len(names["plan"].stops) > 0 and lines[0].startswith("1 ")
