"""Schedules of several coaches from Python: weather, running plans, conflicts, plans by hand."""

import datetime as dt
import json

import numpy as np
import pytest

import libseal


@pytest.fixture(scope="module")
def coaches():
    """Two synthetic coaches with work on them."""
    day = dt.date(2027, 3, 1)
    plans = []
    for name in ("north", "south"):
        coach = libseal.travel_trailer(8.0, id=name, model_year=2020)
        stay = libseal.Stay(from_=dt.date(2020, 5, 1), to=dt.date(9999, 12, 31), place="home", station="south bend", heading=180.0)
        coach = coach.replace(stays=[stay])
        joints = [joint.id for joint in coach.joints if joint.type == "roof_vent_flange"][:2]
        findings = [
            libseal.Finding(coach=name, joint=joint, sign="deep_crack", share=0.5, date=day - dt.timedelta(days=2))
            for joint in joints
        ]
        forecast = libseal.forecast(coach, day, 1)
        plans.append(libseal.plan_work(coach, findings, forecast, shop_of(), day, joints=joints))
    return day, plans


def shop_of(**changes):
    people = [libseal.Person(id="ann", from_=480, to=1020), libseal.Person(id="bob", from_=480, to=1020)]
    return libseal.Shop(name="synthetic", labour_rate_per_h=15000, people=people, bays=2, **changes)


def test_two_coaches_share_the_shop(coaches):
    day, plans = coaches
    shop = shop_of()
    result = libseal.schedule(plans, shop, day)
    assert result.outcome in ("optimal", "feasible")
    assert libseal.verify(result, plans, shop, day) == []
    assert [stay.coach for stay in result.stays] == ["north", "south"]
    assert result.score.stay >= result.bound.stay > 0
    again = libseal.schedule(plans, shop, day)
    text = libseal.schedule_json(result, plans, shop)
    assert text == libseal.schedule_json(again, plans, shop)
    assert {step["coach"] for step in json.loads(text)["steps"]} == {"north", "south"}
    last = max((time for time in result.steps if time.booking == 0), key=lambda time: time.end)
    chain = libseal.explain(result, plans, shop, day, 0, last.step)
    assert chain[0].step == last.step and chain[-1].by_step == -1
    assert all(cause.text for cause in chain)


def test_weather_decides_when_beads_are_laid_in_the_open(coaches):
    day, plans = coaches
    shop = shop_of()
    weather = libseal.typical_year(libseal.find_station("chicago midway"), 3)
    outdoors = libseal.schedule(plans[0], shop, day, weather=weather)
    hall = shop.replace(heated_bay=True)
    indoors = libseal.schedule(plans[0], hall, day, weather=weather)
    assert outdoors.end > indoors.end
    assert libseal.verify(outdoors, plans[0], shop, day, weather=weather) == []
    series = libseal.GateWeather([weather])
    bay = libseal.bays_of(shop)[0]
    for time in outdoors.steps:
        step = plans[0].steps[time.step]
        if step.gate == "bond":
            gate = libseal.gate_for("bond", step.family, libseal.Catalogue.built_in())
            assert all(libseal.gate_open(gate, series, bay, piece.from_) for piece in time.pieces)
    beads = [time for time in outdoors.steps if plans[0].steps[time.step].kind == "cap"]
    assert beads
    gate = libseal.gate_for("bond", "", libseal.Catalogue.built_in())
    assert "dark" in libseal.why_closed(gate, series, bay, dt.datetime(2027, 3, 1, 2, 0))


def test_a_heated_bay_seals_in_winter_wherever_it_is_in_the_list(coaches):
    day, plans = coaches
    hall, yard = libseal.Bay(id="hall", roofed=True, heated=True), libseal.Bay(id="yard", roofed=False)
    ends = set()
    for bays in ([hall, yard], [yard, hall]):
        shop = shop_of(sealing_months=[6, 7], bay_list=bays)
        assert libseal.seals_on(shop, day) and libseal.seals_on(shop, day, hall) and not libseal.seals_on(shop, day, yard)
        result = libseal.schedule(plans[0], shop, day)
        assert libseal.verify(result, plans[0], shop, day) == []
        assert bays[result.stays[0].bay].id == "hall"
        ends.add(result.end)
    assert len(ends) == 1 and ends.pop() < np.datetime64("2027-04-01")


def test_a_running_plan_goes_on(coaches):
    day, plans = coaches
    shop = shop_of()
    before = libseal.schedule(plans, shop, day)
    now = dt.datetime(2027, 3, 1, 11, 0)
    running = libseal.running_steps(before, plans, shop, now)
    assert {step.state for step in running} >= {"planned"}
    same = libseal.schedule(plans, shop, day, running=running, now=now)
    assert same.score.moved == 0
    assert [time.start for time in same.steps] == [time.start for time in before.steps]
    away = shop.replace(absences=[libseal.Absence(person="bob", from_=int(np.datetime64("2027-03-01T11:00", "m").astype(int)),
                                                  to=int(np.datetime64("2027-03-09T00:00", "m").astype(int)), reason="ill")])
    without = libseal.schedule(plans, away, day, running=running, now=now)
    if without.steps:
        assert libseal.verify(without, plans, away, day, running=running, now=now) == []
    else:
        assert without.obstacles


def test_what_cannot_be_is_explained_and_plans_by_hand_are_judged(coaches):
    day, plans = coaches
    shop = shop_of()
    tight = libseal.Booking(plans[0], latest=dt.datetime(2027, 3, 1, 9, 0))
    assert libseal.schedule(tight, shop, day).outcome == "infeasible"
    conflict = libseal.explain_conflict(tight, shop, day, work_limit=3)
    assert not conflict.feasible
    assert any("done by 2027-03-01 09:00" in member for member in conflict.members)
    good = libseal.schedule(plans[0], shop, day)
    steps = libseal.running_steps(good, plans[0], shop, dt.datetime(2027, 3, 1))
    by_hand = libseal.schedule_by_hand(steps, plans[0], shop)
    assert libseal.evaluate_schedule(by_hand, plans[0], shop, day).violations == []
    worse = libseal.evaluate_schedule(libseal.schedule_by_hand(steps[1:], plans[0], shop), plans[0], shop, day)
    assert [violation.kind for violation in worse.violations][:1] == ["missing"]
    with pytest.raises(libseal.ValueError if hasattr(libseal, "ValueError") else ValueError):
        libseal.schedule_by_hand([libseal.RunningStep("nobody", "x", day, day)], plans[0], shop)
