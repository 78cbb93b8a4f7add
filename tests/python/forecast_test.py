"""Forecasts from Python: inputs in every form, progress, stopping, Ctrl-C, other threads."""

import datetime
import os
import signal
import threading
import time

import numpy as np
import pytest

import libseal

AS_OF = datetime.date(2026, 11, 25)


@pytest.fixture(scope="module")
def forecast(trailer):
    return libseal.forecast(trailer, AS_OF, years=5)


def columns(forecast):
    return {name: np.asarray(getattr(forecast, name)) for name in
            ("condition", "due_10", "due_50", "due_90", "inspect_by", "due_1_year", "share_light")}


def same(a, b):
    return all(np.array_equal(x, y) for x, y in zip(columns(a).values(), columns(b).values()))


def test_a_forecast_has_a_row_for_each_layer_in_order(trailer, forecast):
    layers = [(j.id, layer.kind) for j in trailer.joints for layer in j.layers]
    assert list(zip(forecast.joint, forecast.layer)) == layers
    assert len(forecast) == len(layers) > 60
    assert forecast.as_of == AS_OF
    joint, layer = layers[7]
    assert forecast.row("t1", joint, layer) == 7
    assert forecast.row("t1", joint, "nothing") == -1
    assert forecast.rows_of("t1") == list(range(len(layers)))


def test_columns_are_views_and_days_are_days(forecast):
    assert np.shares_memory(forecast.condition, forecast.condition)
    assert not forecast.condition.flags.writeable
    assert forecast.due_50.dtype == np.dtype("datetime64[D]") and not forecast.due_50.flags.writeable
    assert (forecast.due_10 <= forecast.due_50).all() and (forecast.due_50 <= forecast.due_90).all()
    assert ((0 <= forecast.due_1_year) & (forecast.due_1_year <= 1)).all()


def test_a_coach_a_fleet_and_any_number_of_threads_give_the_same_bits(trailer, forecast):
    fleet = libseal.Fleet(coaches=[trailer])
    assert same(forecast, libseal.forecast(fleet, AS_OF, 5))
    assert same(forecast, libseal.forecast(fleet=fleet, as_of=AS_OF, years=5, threads=1))
    assert same(forecast, libseal.forecast(coach=trailer, as_of=np.datetime64("2026-11-25"), years=5, threads=3))


def test_own_weather_may_be_one_or_by_place(trailer, forecast):
    own = libseal.typical_year(libseal.find_station("south bend"))
    other = libseal.typical_year(libseal.find_station("Phoenix, AZ"))
    assert same(forecast, libseal.forecast(trailer, AS_OF, 5, weather=own))
    assert same(forecast, libseal.forecast(trailer, AS_OF, 5, weather={"home": own}))
    assert not same(forecast, libseal.forecast(trailer, AS_OF, 5, weather={"home": other}))
    for wrong in (["home"], {"home": "phoenix"}, {1: own}, {"home": [own, None]}):
        with pytest.raises(TypeError, match="a dict of either by place"):
            libseal.forecast(trailer, AS_OF, 5, weather=wrong)


def days_of(weather, first, count, warmer=0.0):
    """Synthetic: hours of a typical year from a day of the year on (0 first), dated in 2026."""
    rows = slice(24 * first, 24 * (first + count))
    shift = np.datetime64("2026-01-01", "s") - np.datetime64("2001-01-01", "s")
    columns = {name: libseal.weather_column(weather, name)[rows].copy() for name in libseal.weather_column_names()}
    columns["air_temperature"] += warmer
    return libseal.Weather(weather.site, weather.time_utc[rows] + shift, **columns)


def test_measured_weather_and_a_short_forecast_stand_before_the_typical_year(trailer, forecast, south_bend_year):
    ahead = days_of(south_bend_year, 320, 14)                   # mid November and the fortnight after `as_of`
    hot = days_of(south_bend_year, 180, 60, warmer=12.0)        # a hot summer
    usual = libseal.forecast(trailer, AS_OF, 5, weather=ahead)
    row = next(i for i in range(len(forecast)) if forecast.layer[i] == "cap_bead")
    assert usual.effective_age[row] == pytest.approx(forecast.effective_age[row], rel=2e-3)
    warm = libseal.forecast(trailer, AS_OF, 5, weather={"home": [hot, ahead]})
    assert warm.effective_age[row] > usual.effective_age[row] * 1.01
    assert (warm.due_50 <= usual.due_50).all()
    assert same(warm, libseal.forecast(trailer, AS_OF, 5, weather=[hot, ahead, south_bend_year]))
    with pytest.raises(ValueError, match=r"weather\[\"home\"\]\[1\].*typical"):
        libseal.forecast(trailer, AS_OF, 5, weather={"home": [south_bend_year, south_bend_year]})
    with pytest.raises(ValueError, match="at least one weather"):
        libseal.forecast(trailer, AS_OF, 5, weather=[])


def test_a_session_keeps_clocks_and_changes_no_bit(trailer, forecast, south_bend_year):
    session = libseal.Session()
    assert (session.site_count, session.clock_count) == (0, 0)
    first = libseal.forecast(trailer, AS_OF, 5, session=session)
    clocks = session.clock_count
    assert same(first, forecast) and session.site_count == 1 and clocks > 5
    assert same(libseal.forecast(trailer, AS_OF, 5, session=session), forecast)
    assert session.clock_count == clocks
    own = libseal.forecast(trailer, AS_OF, 5, weather=south_bend_year, session=session)
    again = libseal.forecast(trailer, AS_OF, 5, weather=[south_bend_year], session=session)
    assert same(own, again) and (session.site_count, session.clock_count) == (2, 2 * clocks)
    assert "2 sites" in repr(session)
    overlay = '{"schema": "libseal/catalogue/1", "values": {"model/reference_absorptance": {"value": 0.4, "source": "x", "mark": "judgement"}}}'
    other = libseal.Catalogue.built_in().with_overlay(overlay, "shop.json")
    with pytest.raises(ValueError, match="session: .*another catalogue"):
        libseal.forecast(trailer, AS_OF, 5, catalogue=other, session=session)
    libseal.forecast(trailer, AS_OF, 5, catalogue=other, session=libseal.Session(other))


def test_a_look_changes_the_forecast_of_its_joint_and_work_starts_anew(trailer, forecast):
    row = next(i for i in range(len(forecast)) if forecast.layer[i] == "cap_bead")
    joint = forecast.joint[row]
    clean = libseal.Finding(coach="t1", joint=joint, layer="cap_bead", sign="clean_look", date=datetime.date(2026, 10, 1))
    seen = libseal.forecast(trailer, AS_OF, 5, findings=[clean])
    assert seen.condition[row] < forecast.condition[row]
    done = libseal.WorkDone(coach="t1", joint=joint, layer="cap_bead", date=datetime.date(2026, 10, 1),
                            action="cut_out_and_reseal", family=forecast.family[row])
    renewed = libseal.forecast(trailer, AS_OF, 5, work_done=[done])
    assert renewed.due_50[row] > forecast.due_50[row]
    assert renewed.age[row] == pytest.approx(55 / 365.25, abs=0.003)


def test_progress_is_told_and_never_falls_within_a_stage(trailer):
    told = []
    libseal.forecast(trailer, AS_OF, 5, progress=lambda p: told.append((p.stage, p.fraction)))
    assert told
    for (stage, fraction), (next_stage, next_fraction) in zip(told, told[1:]):
        assert 0 <= fraction <= 1
        assert stage != next_stage or fraction <= next_fraction


def test_an_exception_of_the_callback_reaches_the_caller_unchanged(trailer):
    class Enough(Exception):
        pass

    error = Enough("seen enough")

    def stop(_):
        raise error

    with pytest.raises(Enough) as caught:
        libseal.forecast(trailer, AS_OF, 5, progress=stop)
    assert caught.value is error


def test_a_stop_token_ends_the_call(trailer):
    token = libseal.StopToken()
    assert not token.stop_requested
    token.stop()
    assert token.stop_requested
    with pytest.raises(libseal.Cancelled):
        libseal.forecast(trailer, AS_OF, 5, stop=token)


def many(trailer, count):
    """Synthetic: trailers in so many places that a forecast takes a while."""
    stay = trailer.stays[0]
    return libseal.Fleet(coaches=[trailer.replace(id=f"c{i}", stays=[stay.replace(heading=float(i) % 360, station="",
                                  latitude=30.0 + i % 15, longitude=-110.0 + i % 25)]) for i in range(count)])


def test_ctrl_c_ends_a_long_call(trailer):
    fleet = many(trailer, 150)
    sent = []

    def interrupt():
        sent.append(time.monotonic())
        os.kill(os.getpid(), signal.SIGINT)

    # A shell starts its background jobs with Ctrl-C ignored, and Python then leaves it so.
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    timer = threading.Timer(0.3, interrupt)
    timer.start()
    try:
        with pytest.raises(KeyboardInterrupt):
            libseal.forecast(fleet, AS_OF, 5)
            time.sleep(2)  # the call ended before the signal: let it come, and fail below
        ended = time.monotonic()
    finally:
        timer.cancel()
        timer.join()
        signal.signal(signal.SIGINT, before)
    assert sent and ended - sent[0] < 1.5


def test_other_threads_run_during_a_long_call(trailer):
    fleet = many(trailer, 40)
    ticks = []
    over = threading.Event()

    def count():
        while not over.is_set():
            ticks.append(time.monotonic())
            time.sleep(0.002)

    thread = threading.Thread(target=count)
    thread.start()
    try:
        begin = time.monotonic()
        libseal.forecast(fleet, AS_OF, 5)
        end = time.monotonic()
    finally:
        over.set()
        thread.join()
    inside = [t for t in ticks if begin < t < end]
    assert len(inside) > 5
    assert max(np.diff([begin, *inside, end])) < max(0.5, 0.6 * (end - begin))
