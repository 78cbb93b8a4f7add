"""Rainflow beside the package `rainflow`, an independent implementation of ASTM E1049-85 that keeps both end points."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import libseal

YEARS = ["722020_FL_Miami_TMY3.csv", "722780_AZ_Phoenix_Sky_Harbor_TMY3.csv", "724666_CO_Golden_NREL_TMY3.csv",
         "725090_MA_Boston_TMY3.csv", "725300_IL_Chicago_OHare_TMY3.csv", "725350_IN_South_Bend_TMY3.csv",
         "726580_MN_Minneapolis_TMY3.csv", "727930_WA_Seattle_TMY3.csv", "ITA_45.000N_8.000E_PVGIS-TMY_2005-2023.epw",
         "USA_IL_Chicago-OHare.Intl.AP.725300_TMY3.epw"]
PLANES = [(0, 180), (90, 0), (90, 90), (90, 180), (90, 270), (30, 180)]
FINISHES = ["white_membrane", "white_gelcoat", "dark_paint"]
PARTS = ["mill_aluminium", "acrylic", "steel"]
SKINS = ["gelcoat_laminate", "plywood"]
EXPONENTS = [0, 1, 3, 5]


@pytest.fixture(scope="module")
def package():
    return pytest.importorskip("rainflow")


def by_package(package, series):
    """Rows of (range, mean, count, first, last)."""
    rows = list(package.extract_cycles(series.tolist()))
    return np.array(rows, dtype=float).reshape(-1, 5)


def by_library(series):
    return np.array([(c.range, c.mean, c.count, c.first, c.last) for c in libseal.rainflow_cycles(series)]).reshape(-1, 5)


def same_sums(ours, theirs):
    for m in EXPONENTS:
        np.testing.assert_allclose(np.sum(ours[:, 2] * ours[:, 0] ** m), np.sum(theirs[:, 2] * theirs[:, 0] ** m), rtol=1e-12)


def strain_series(path):
    """Strain of a 10 mm joint of a part of 0.5 m on a skin, by plane, finish of the skin and pair of materials."""
    catalogue = libseal.Catalogue.built_in()
    grows = {name: catalogue.number(f"substrate/{name}/expansion") * 1e-6 for name in PARTS + SKINS}
    weather = libseal.read_weather(path)
    for tilt, azimuth in PLANES:
        part_temperature = libseal.surface_temperature(weather, tilt, azimuth, 0.5)
        for finish in FINISHES:
            skin_temperature = libseal.surface_temperature(weather, tilt, azimuth, libseal.finish(catalogue, finish).absorptance)
            for part in PARTS:
                for skin in SKINS:
                    movement = libseal.JointMovement(
                        form="butt", width=0.010, a=libseal.Adherend(expansion=grows[part], restraint=0.5),
                        b=libseal.Adherend(expansion=grows[skin], restraint=0.5))
                    yield libseal.strain_series(movement, part_temperature, skin_temperature, 20.0, "side")


@pytest.mark.parametrize("name", YEARS)
def test_years_of_strain_count_as_the_package_counts_them(package, outside_file, name):
    """108 years a file, 1080 in all; two in three rounded, as logged data are, so that plateaus and equal ranges abound."""
    plateaus = number = 0
    for number, strain in enumerate(strain_series(outside_file(f"weather/{name}")), 1):
        digits = {0: 15, 1: 4, 2: 3}[number % 3]
        series = np.round(strain, digits)
        if digits < 15:
            plateaus += np.count_nonzero(np.diff(series) == 0)
        theirs, ours = by_package(package, series), libseal.rainflow(series)
        assert len(ours) > 50 or digits == 3
        same_sums(ours, theirs)
        np.testing.assert_array_equal(ours, theirs[:, :3])
    assert number == 108 and plateaus > 50_000


@settings(max_examples=300, deadline=None)
@given(st.lists(st.integers(-4, 4), max_size=60))
def test_any_short_history_counts_as_the_package_counts_it(values):
    package = pytest.importorskip("rainflow")
    series = np.array(values + values[-1:] if len(values) == 2 else values, dtype=float)  # the package needs three
    theirs, ours = by_package(package, series), by_library(series)
    if series.size and np.all(series == series[0]):  # the package counts a range of nought
        assert ours.size == 0 and not theirs[:, 0].any()
        return
    # After a rest at the start ours begins where the rest ends; the package where it begins.
    rest = int(np.argmax(series != series[0])) - 1 if series.size else 0
    theirs[theirs[:, 3] == 0, 3] = rest
    theirs = theirs[theirs[:, 0] > 0]
    np.testing.assert_array_equal(ours, theirs)


def test_the_result_is_an_array_of_three_columns():
    table = libseal.rainflow([-2, 1, -3, 5, -1, 3, -4, 4, -2])
    assert isinstance(table, np.ndarray) and table.dtype == np.float64 and table.shape == (7, 3)
    np.testing.assert_array_equal(table[2], [4.0, 1.0, 1.0])
    assert libseal.rainflow([]).shape == (0, 3) and libseal.rainflow([1.0]).shape == (0, 3)
    assert libseal.range_moment(table, 3) == 1094
    assert libseal.equivalent_range(table, 3) == pytest.approx(6.491112113, rel=1e-9)
    assert libseal.rainflow_repeating([5, -1, 3, -4, 4, -2, 1, -3]).sum(axis=0)[2] == 4


def test_pieces_count_as_the_whole():
    series = np.random.default_rng(3).normal(size=500).round(1)
    counter = libseal.RainflowCounter()
    for piece in np.array_split(series, 7):
        counter.add(piece)
    table = np.array([(c.range, c.mean, c.count) for c in counter.finish()])
    np.testing.assert_array_equal(table, libseal.rainflow(series))
    assert len(counter) == 500
    closed = libseal.RainflowCounter("closed")
    closed.add([2, 5, 3, 6, 2, 3, 1, 6, 1, 4, 2, 3, 1, 4, 2, 5, 3, 4, 2])
    assert [point.value for point in closed.residue()] == [2, 6, 1, 5, 2]
    assert [(c.from_value, c.to_value) for c in closed.counted][:2] == [(5, 3), (2, 3)]


def test_a_gap_is_an_error_with_its_place():
    with pytest.raises(libseal.ValueError, match=r"series\[2\]: expected a finite number"):
        libseal.rainflow([1.0, 2.0, np.nan])
    with pytest.raises(libseal.ValueError, match="one-dimensional"):
        libseal.rainflow([[1.0, 2.0]])
    with pytest.raises(libseal.ValueError, match='"standard" or "closed"'):
        libseal.rainflow_cycles([1.0], rule="open")


def test_widths_broadcast_and_refuse_percentages():
    assert libseal.joint_width(0.5, 0.25) == 2.0
    np.testing.assert_allclose(libseal.joint_width([1.0, 2.0], 0.25, other=1.0, tolerance=0.5), [8.5, 12.5])
    with pytest.raises(libseal.ValueError, match=r"write 0.25 for \+-25 %"):
        libseal.joint_width(1.0, 25)


def test_a_joint_of_a_coach_has_a_movement(trailer):
    skylight = libseal.joint_of(trailer, "skylight")
    movement = libseal.movement_of_joint(trailer, skylight)
    assert movement.form == "strip" and movement.a.restraint == pytest.approx(0.76)
    assert libseal.movement_of_joint(trailer, skylight, layer="bedding").form == "lap"
    window = libseal.joint_of(trailer, "window_2")
    assert libseal.movement_of_joint(trailer, window, screw_spacing=0.3).a.restraint == 0.3
    law = libseal.movement_law(libseal.Catalogue.built_in(), "self_levelling_lap")
    assert libseal.movement_factor(law, 0.1, 0.05) > 1 == libseal.movement_factor(law, 0.05, 0.05)


@pytest.mark.parametrize("name", YEARS[:3])
def test_moments_are_those_of_the_packages_cycles(package, outside_file, name):
    exponents = [1, 3, 4, 5.5]
    rows = np.array([np.round(strain, 15 if i % 2 else 4) for i, strain in enumerate(strain_series(outside_file(f"weather/{name}")))])
    sums = libseal.rainflow_moments_of_rows(rows, exponents)
    assert sums.shape == (108, 4)
    for row, ours in zip(rows[::6], sums[::6]):
        theirs = by_package(package, row)
        np.testing.assert_allclose(ours, [np.sum(theirs[:, 2] * theirs[:, 0] ** m) for m in exponents], rtol=1e-12)
        np.testing.assert_array_equal(ours, libseal.rainflow_moments(row, exponents))


@settings(max_examples=300, deadline=None)
@given(st.lists(st.integers(-4, 4), min_size=3, max_size=200))
def test_moments_of_any_short_history_are_those_of_the_packages_cycles(values):
    package = pytest.importorskip("rainflow")
    theirs = by_package(package, np.array(values, dtype=float))
    ours = libseal.rainflow_moments(values, EXPONENTS[1:])
    np.testing.assert_allclose(ours, [np.sum(theirs[:, 2] * theirs[:, 0] ** m) for m in EXPONENTS[1:]], rtol=1e-12)


def test_moments_take_lists_and_arrays():
    history = [-2, 1, -3, 5, -1, 3, -4, 4, -2]  # the standard's
    np.testing.assert_array_equal(libseal.rainflow_moments(history, [1, 2, 3, 4, 5]), [23, 151, 1094, 8449, 67838])
    np.testing.assert_array_equal(libseal.rainflow_moments_repeating(history[:-1], [1]), [23])
    rows = np.random.default_rng(1).normal(size=(7, 100)).round(1)
    for repeating, own in ((False, libseal.rainflow_moments), (True, libseal.rainflow_moments_repeating)):
        sums = libseal.rainflow_moments_of_rows(rows, [3, 2.5], repeating=repeating, threads=2)
        np.testing.assert_array_equal(sums, [own(row, [3, 2.5]) for row in rows])
        np.testing.assert_array_equal(libseal.rainflow_moments_of_rows(np.asfortranarray(rows), [3, 2.5], repeating, 1), sums)
    assert libseal.rainflow_moments([], [3]) == [0] and libseal.rainflow_moments_of_rows(np.empty((0, 4)), [3]).shape == (0, 1)


def test_moments_name_what_is_wrong():
    rows = np.zeros((3, 4))
    rows[2, 1] = np.nan
    with pytest.raises(libseal.ValueError, match=r"rows\[2, 1\]: expected a finite number"):
        libseal.rainflow_moments_of_rows(rows, [3])
    with pytest.raises(libseal.ValueError, match="two dimensions"):
        libseal.rainflow_moments_of_rows([1.0, 2.0], [3])
    with pytest.raises(libseal.ValueError, match=r"series\[0\]"):
        libseal.rainflow_moments([np.inf], [3])
    with pytest.raises(libseal.ValueError, match=r"exponents\[1\]"):
        libseal.rainflow_moments([1.0], [3, 0])
