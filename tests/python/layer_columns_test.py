"""Forecasts of layers as columns: arrays and frames go in, the same answers as of coaches come out."""

import datetime
import threading
import time

import numpy as np
import pytest

import libseal
from libseal import frames

pandas = pytest.importorskip("pandas")
AS_OF = datetime.date(2026, 11, 25)
STATION = "725350"


def one_layer_coach(installed):
    """A roof seam, cap alone, facing up."""
    coach = libseal.travel_trailer(8.0, id="T1")
    joint = next(j for j in coach.joints if j.surface == "roof" and j.layers[0].kind == "cap_bead")
    cap = joint.layers[0].replace(installed_from=installed, installed_to=installed)
    stay = libseal.Stay(from_=datetime.date(2000, 1, 1), to=datetime.date(9999, 12, 31), station=STATION)
    return coach.replace(joints=[joint.replace(layers=[cap])], stays=[stay]), cap


@pytest.fixture(scope="module")
def table():
    random = np.random.default_rng(5)
    rows = 400
    return pandas.DataFrame({
        "station": random.choice([STATION, "722780"], rows), "tilt_deg": random.choice([0.0, 90.0], rows), "azimuth_deg": random.choice([np.nan, 0.0, 180.0], rows),
        "absorptance": random.choice([0.3, 0.7], rows), "family": random.choice(["self_levelling_lap", "polyurethane"], rows),
        "installed": np.datetime64("2016-03-01") + random.integers(0, 3000, rows).astype("timedelta64[D]"), "length_m": random.uniform(0.2, 4, rows)})


@pytest.fixture(scope="module")
def looks():
    return pandas.DataFrame({"row": [7, 3, 3], "date": np.array(["2026-05-01", "2026-08-01", "2025-08-01"], "datetime64[D]"), "grade": [4, 2, 0],
                             "measured": [True, False, False]})


def test_a_row_is_a_coach_with_one_layer():
    coach, cap = one_layer_coach(datetime.date(2021, 6, 1))
    one = libseal.forecast(coach, AS_OF, 5)
    roof = next(surface for surface in coach.surfaces if surface.name == "roof")
    coat = libseal.finish(libseal.Catalogue.built_in(), roof.finish)
    key = libseal.LayerKey(tilt=0, absorptance=coat.absorptance, emittance=coat.emittance, family=cap.family)
    layers = libseal.LayerColumns([libseal.find_station(STATION)], [key], [0], ["2021-06-01"], movement_factor=one.movement_factor)
    found = libseal.forecast_layers(layers, AS_OF)
    assert len(found) == len(layers) == 1
    np.testing.assert_allclose(found.due_1_year, one.due_1_year, atol=1e-9)
    np.testing.assert_allclose(found.effective_age, one.effective_age, rtol=1e-10)
    assert abs(found.due_50[0] - one.due_50[0]) <= np.timedelta64(1, "D")


def test_frames_go_in_and_come_out(table, looks):
    layers = frames.layers_from_frame(table, looks=looks)
    assert len(layers) == len(table)
    assert len(layers.keys) == len(table[["station", "tilt_deg", "azimuth_deg", "absorptance", "family"]].drop_duplicates())
    assert list(layers.look_row) == [3, 3, 7]
    assert list(layers.look_grade) == [0, 2, 4]
    out = frames.layer_forecast_frame(libseal.forecast_layers(layers, AS_OF))
    assert len(out) == len(table)
    assert (out["due_1_year"] >= out["due_now"]).all()
    unseen = libseal.forecast_layers(frames.layers_from_frame(table), AS_OF)
    changed = np.flatnonzero(out["due_now"].to_numpy() != unseen.due_now)
    assert set(changed) <= {3, 7}
    assert 7 in changed
    # The same rows in another order, through Arrow where it is there.
    turned = table.iloc[::-1].reset_index(drop=True)
    again = libseal.forecast_layers(frames.layers_from_frame(turned), AS_OF)
    np.testing.assert_array_equal(again.due_now[::-1], unseen.due_now)


def test_threads_and_sessions_change_no_bit(table):
    layers = frames.layers_from_frame(table)
    session = libseal.Session()
    one = libseal.forecast_layers(layers, AS_OF, threads=1)
    for _ in range(2):
        other = libseal.forecast_layers(layers, AS_OF, threads=3, session=session)
        for column in ("due_now", "condition", "due_90", "effective_age"):
            np.testing.assert_array_equal(getattr(one, column), getattr(other, column))
    walls = len(table[["station", "azimuth_deg", "absorptance", "family"]].drop_duplicates())
    flat = len(table[["station", "absorptance", "family"]].drop_duplicates())
    assert session.clock_count == walls + flat  # a flat roof has no heading


def test_other_threads_run_meanwhile(table):
    layers = frames.layers_from_frame(table)
    ticks = []
    done = threading.Event()

    def tick():
        while not done.is_set():
            ticks.append(1)
            time.sleep(0.0005)

    ticker = threading.Thread(target=tick)
    ticker.start()
    before = len(ticks)
    libseal.forecast_layers(layers, AS_OF, threads=1)
    during = len(ticks) - before
    done.set()
    ticker.join()
    assert during > 3


@pytest.mark.parametrize(("change", "place"), [
    ({"family": "glue"}, "family"), ({"absorptance": 1.5}, "absorptance"), ({"installed": np.datetime64("NaT")}, "installed"),
    ({"station": "nowhere at all"}, "nowhere"), ({"length_m": -1.0}, "length"), ({"colour": "white"}, "colour")])
def test_bad_tables_are_refused_with_their_place(table, change, place):
    with pytest.raises(ValueError, match=place):
        libseal.forecast_layers(frames.layers_from_frame(table.assign(**change)), AS_OF)


def test_bad_columns_are_refused(table):
    station, key = [libseal.find_station(STATION)], [libseal.LayerKey(family="polyurethane")]
    with pytest.raises(ValueError, match="key"):
        libseal.LayerColumns(station, key, [0.5], ["2020-01-01"])
    with pytest.raises(ValueError, match=r"key\[0\]"):
        libseal.LayerColumns(station, key, [2**40], ["2020-01-01"])
    with pytest.raises(ValueError, match="look_row"):
        frames_in = frames.layers_from_frame(table, looks=pandas.DataFrame({"row": [10**6], "date": ["2025-01-01"], "grade": [1]}))
        libseal.forecast_layers(frames_in, AS_OF)
