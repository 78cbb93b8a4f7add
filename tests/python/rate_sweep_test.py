"""Sweeps of ageing rates from Python: keywords, arrays, the table of the tornado, errors."""

import threading

import numpy as np
import pytest

import libseal

RANGES = {"light_exponent": (0.5, 1.0), "energy_heat": (43, 96), "absorptance": (0.2, 0.95)}


@pytest.fixture(scope="module")
def sweep():
    return libseal.rate_sweep(libseal.find_station("722780"), RANGES, family="polyurethane", tilt=90)


def points_of(sweep, count, seed=1):
    low = [p.low for p in sweep.parameters]
    high = [p.high for p in sweep.parameters]
    return np.random.default_rng(seed).uniform(low, high, (count, len(low)))


def test_parameters_and_error(sweep):
    assert [p.name for p in sweep.parameters] == list(RANGES)
    assert [p.id for p in sweep.parameters] == ["sealant/polyurethane/light_exponent", "sealant/polyurethane/energy_heat", ""]
    assert all(p.low <= p.value <= p.high and p.nodes >= 4 for p in sweep.parameters)
    np.testing.assert_array_equal(sweep.base, [p.value for p in sweep.parameters])
    assert sweep.error.stated <= 1e-6 and sweep.error.points == 16
    assert repr(sweep) == "RateSweep(light_exponent, energy_heat, absorptance)"


def test_points_alone_and_many(sweep):
    points = points_of(sweep, 300)
    rates = sweep.rates(points)
    assert rates.shape == (300,) and sweep.slopes(points).shape == (300, 3)
    np.testing.assert_array_equal(rates, [sweep.rate(point) for point in points])
    np.testing.assert_array_equal(rates, sweep.rates(points, threads=1))
    np.testing.assert_array_equal(rates, sweep.rates(np.asfortranarray(points)))
    months = sweep.month_rates(points)
    assert months.shape == (300, 12)
    np.testing.assert_array_equal(months[7], sweep.clock(points[7]).sum(axis=1))
    for point in points[:20]:
        np.testing.assert_allclose(sweep.clock(point), sweep.exact_clock(point), rtol=sweep.error.stated)
    median = libseal.Catalogue.built_in().number("sealant/polyurethane/median_life")
    assert sweep.life(points[0]) == pytest.approx(median / rates[0])


def test_slopes_are_those_of_the_rates(sweep):
    for point in points_of(sweep, 5, seed=3):
        for p, parameter in enumerate(sweep.parameters):
            step = np.zeros(3)
            step[p] = 1e-4 * (parameter.high - parameter.low)
            inside = np.clip(point, *np.array([(q.low, q.high) for q in sweep.parameters]).T + np.array([[1], [-1]]) * step)
            difference = np.log(sweep.rate(inside + step) / sweep.rate(inside - step)) / (2 * step[p])
            assert sweep.slopes([inside])[0, p] == pytest.approx(difference, rel=1e-5, abs=1e-7)


def test_places_and_ranges_of_every_kind(sweep):
    station = libseal.find_station("722780")
    listed = [libseal.SweepRange(parameter=name, low=low, high=high) for name, (low, high) in RANGES.items()]
    session = libseal.Session()
    point = sweep.point({"absorptance": 0.7})
    for place in (station, libseal.typical_year(station)):
        again = libseal.rate_sweep(place, listed, family="polyurethane", tilt=90, session=session)
        assert again.rate(point) == sweep.rate(point)
    bond = libseal.rate_sweep(station, libseal.sweep_ranges("polyurethane", law="bond"), family="polyurethane", law="bond")
    assert [p.name for p in bond.parameters] == ["energy_moisture", "humidity_exponent"]
    assert np.isnan(bond.life(bond.base))
    names = [r.parameter for r in libseal.sweep_ranges("polyurethane", finish="white_gelcoat")]
    assert names[-2:] == ["absorptance", "emittance"] and "weight_light" in names


# What each law takes by its definition, docs/ageing.md; whether it counts real time.
@pytest.mark.parametrize(("law", "family", "ids", "real_time"), [
    ("surface", "polyurethane", ["sealant/polyurethane/light_exponent", "sealant/polyurethane/energy_light"], False),
    ("appearance", "polyurethane", ["model/appearance_light_exponent", "model/appearance_energy_light"], False),
    ("set", "epdm_gasket", ["sealant/epdm_gasket/set_energy"], False),
    ("set_time", "epdm_gasket", ["sealant/epdm_gasket/set_energy"], True),
    ("shrinkage", "pvc_insert", ["sealant/pvc_insert/shrink_energy"], False),
    ("shrink_time", "pvc_insert", ["sealant/pvc_insert/shrink_energy"], True),
    ("bond", "polyurethane", ["bond_law/default/energy", "bond_law/default/humidity_exponent"], True),
])
def test_the_word_of_a_law_means_that_law(law, family, ids, real_time):
    ranges = libseal.sweep_ranges(family, law=law)[:2]
    swept = libseal.rate_sweep(libseal.find_station("722780"), ranges, family=family, law=law)
    assert [p.id for p in swept.parameters] == ids
    assert np.isnan(swept.life(swept.base)) == real_time


@pytest.mark.parametrize("arrow", [False, pytest.param(True, id="arrow")])
def test_frame_of_the_tornado(sweep, arrow):
    pytest.importorskip("pyarrow" if arrow else "pandas")
    bars = sweep.sensitivities(sweep.base)
    frame = libseal.frames.sensitivities_frame(bars, arrow=arrow)
    assert len(frame) == len(bars) == 3
    np.testing.assert_array_equal(np.asarray(frame["swing"]), bars.swing)
    assert sorted(np.asarray(frame["parameter"])) == sorted(RANGES)
    assert (np.diff(bars.swing) <= 0).all()
    assert bars.rate == sweep.rate(sweep.base)
    for i, name in enumerate(bars.parameter):
        assert sweep.rate(sweep.point({name: bars.low[i]})) == bars.rate_low[i]
        assert sweep.life(sweep.point({name: bars.high[i]})) == pytest.approx(bars.life_high[i])


def test_other_threads_run_meanwhile(sweep):
    points = points_of(sweep, 400_000)
    results = []
    workers = [threading.Thread(target=lambda: results.append(sweep.rates(points, threads=1))) for _ in range(2)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    np.testing.assert_array_equal(*results)


def test_errors_say_where(sweep):
    station = libseal.find_station("722780")
    with pytest.raises(ValueError, match=r"energy_heat: expected 0 <= low < high <= 300 kJ/mol, got 96 to 43"):
        libseal.rate_sweep(station, {"energy_heat": (96, 43)})
    with pytest.raises(ValueError, match=r'did you mean "energy_heat"'):
        libseal.rate_sweep(station, {"energy_heats": (43, 96)})
    with pytest.raises(ValueError, match=r"law: expected one of surface, set"):
        libseal.rate_sweep(station, RANGES, law="surfaces")
    with pytest.raises(ValueError, match=r"depth: expected one of exposed, sheltered"):
        libseal.rate_sweep(station, RANGES, depth="deep")
    with pytest.raises(ValueError, match=r"points\[1\]\.absorptance: expected 0.2 to 0.95 -, got 1"):
        sweep.rates([[0.7, 50, 0.5], [0.7, 50, 1.0]])
    with pytest.raises(ValueError, match="two dimensions"):
        sweep.rates(sweep.base)
    with pytest.raises(ValueError, match="point: expected 3 values"):
        sweep.rate([1.0])
    with pytest.raises(ValueError, match="expected parameters of the sweep"):
        sweep.point({"heading": 3})
