"""Arrays in any usual form give equal numbers; columns of results are views."""

import datetime
import gc
import sys

import numpy as np
import pandas as pd
import pytest

import libseal


def forms(values):
    """The same numbers (all exact in float32) in every form that people hand over."""
    plain = np.asarray(values, dtype=np.float64)
    spaced = np.empty(2 * len(plain))
    spaced[::2] = plain
    reversed_twice = plain[::-1].copy()[::-1]
    return {
        "list": list(values), "ndarray": plain, "strided": spaced[::2], "negative stride": reversed_twice,
        "float32": plain.astype(np.float32), "big-endian": plain.astype(">f8"), "Series": pd.Series(plain, index=range(5, 5 + len(plain))),
    }


CALLS = {
    "air_mass": (libseal.air_mass, [0.0, 30.5, 60.0, 89.0]),
    "refraction": (libseal.refraction, [-0.25, 0.5, 10.0, 89.0]),
    "haurwitz_clear": (libseal.haurwitz_clear, [0.0, 45.0, 80.0, 95.0]),
    "saturation_pressure": (libseal.saturation_pressure, [-20.0, 0.0, 23.5]),
    "extraterrestrial_irradiance": (libseal.extraterrestrial_irradiance, [1, 100, 366]),
    "humidity_from_dew_point": (lambda t: libseal.humidity_from_dew_point(t, 5.0), [10.0, 20.5, 30.0]),
    "sky_emissivity": (lambda t: libseal.sky_emissivity(t, 3.0), [-10.0, 0.5, 15.0]),
    "isotropic_sky": (lambda d: libseal.isotropic_sky(30.0, d), [0.0, 100.5, 400.0]),
    "Weibull.survival": (libseal.Weibull(4.0, 2.75).survival, [0.0, 0.5, 4.0, 20.0]),
    "Weibull.quantile": (libseal.Weibull(4.0, 2.75).quantile, [0.125, 0.5, 0.875]),
    "climate_class": (lambda t: libseal.climate_class(t, [60.0] * 12),
                      [-4.0, -2.5, 3.5, 9.5, 15.5, 20.5, 23.0, 22.0, 18.0, 11.0, 5.0, -1.5]),
}


@pytest.mark.parametrize("name", CALLS)
def test_every_form_of_an_array_gives_the_same_numbers(name):
    call, values = CALLS[name]
    results = {form: call(array) for form, array in forms(values).items()}
    first = results["ndarray"]
    for form, result in results.items():
        np.testing.assert_array_equal(result, first, err_msg=form)
    if isinstance(first, np.ndarray):
        one_by_one = [call(value) for value in values]
        np.testing.assert_array_equal(first, one_by_one)


def test_weather_columns_may_come_in_any_form(three_hours):
    times = three_hours.time_utc
    for form, ghi in forms([800.0, 850.5, 820.25]).items():
        weather = libseal.Weather(three_hours.site, times, ghi=ghi)
        np.testing.assert_array_equal(weather.ghi, [800.0, 850.5, 820.25], err_msg=form)
        assert np.isnan(weather.dni).all()


def test_a_surface_temperature_column_may_come_in_any_form(three_hours):
    hours = {form: libseal.dew_hours(three_hours, column) for form, column in forms([10.0, 30.0, 14.0]).items()}
    assert set(hours.values()) == {2.0}


def test_times_may_come_in_any_form():
    zone = datetime.timezone(datetime.timedelta(hours=-5))
    utc = [datetime.datetime(2025, 6, 21, 17), datetime.datetime(2025, 12, 21, 12, 30, 15)]
    local = [t.replace(tzinfo=datetime.timezone.utc).astimezone(zone) for t in utc]
    plain = np.array(utc, dtype="datetime64[s]")
    spaced = np.repeat(plain, 2)[::2]
    cases = [plain, spaced, plain.astype("datetime64[ns]"), plain.astype("datetime64[m]").astype("datetime64[s]") + np.array([0, 15], "timedelta64[s]"),
             utc, local, pd.Series(plain), pd.DatetimeIndex(plain), pd.Series(pd.DatetimeIndex(plain, tz="UTC").tz_convert("America/New_York")),
             pd.DatetimeIndex(plain, tz="UTC").tz_convert("Asia/Kolkata")]
    expected = libseal.sun_position(plain, 41.7, -86.3)
    for times in cases:
        got = libseal.sun_position(times, latitude=41.7, longitude=-86.3)
        np.testing.assert_array_equal(got.zenith, expected.zenith)
        np.testing.assert_array_equal(got.azimuth, expected.azimuth)


@pytest.mark.parametrize("times", [[1.0, 2.0], np.array([0, 3600]), ["noon"], np.array(["NaT"], "datetime64[s]"),
                                   [datetime.date(2025, 6, 21)], np.zeros((2, 2), "datetime64[s]")])
def test_what_is_not_a_time_is_refused_by_name(times):
    with pytest.raises(libseal.ValueError) as caught:
        libseal.sun_position(times, 41.7, -86.3)
    assert caught.value.problems[0].field == "time_utc"


def test_columns_are_read_only_views_that_keep_their_owner(south_bend_year):
    weather = libseal.typical_year(libseal.find_station("south bend"), seed=3)
    ghi = weather.ghi
    assert ghi.dtype == np.float64 and ghi.shape == (8760,) and ghi.flags.c_contiguous
    assert not ghi.flags.writeable and not ghi.flags.owndata
    assert np.shares_memory(ghi, weather.ghi)
    with pytest.raises(ValueError):
        ghi[0] = 1.0
    with pytest.raises(ValueError):
        ghi.setflags(write=True)
    copy = ghi.copy()
    del weather
    gc.collect()
    np.testing.assert_array_equal(ghi, copy)


def test_instants_are_views_of_seconds(south_bend_year):
    times = south_bend_year.time_utc
    assert times.dtype == np.dtype("datetime64[s]") and not times.flags.writeable
    assert np.shares_memory(times, south_bend_year.time_utc)
    assert (np.diff(times) == np.timedelta64(3600, "s")).all()


def test_contiguous_numbers_are_not_copied_on_their_way_in():
    """A large input must not double in memory: its reference count rises during the call only."""
    times = np.arange(0, 3600 * 10, 3600).astype("datetime64[s]")
    before = sys.getrefcount(times)
    libseal.sun_position(times, 0.0, 0.0)
    assert sys.getrefcount(times) == before


def test_missing_values_stay_missing():
    assert np.isnan(libseal.air_mass([np.nan]))[0]
    assert np.isnan(libseal.saturation_pressure([np.nan, 20.0])).tolist() == [True, False]
    assert np.isnan(libseal.haurwitz_clear(np.nan))


@pytest.mark.parametrize("value", [[[1.0, 2.0]], 3.0])
def test_columns_have_one_dimension(three_hours, value):
    with pytest.raises(libseal.ValueError, match="surface_temperature"):
        libseal.dew_hours(three_hours, value)


def test_days_come_in_every_usual_form():
    day = datetime.date(2025, 6, 21)
    forms_of_day = [day, datetime.datetime(2025, 6, 21, 13), np.datetime64("2025-06-21"), np.datetime64("2025-06-21T13:00"),
                    pd.Timestamp("2025-06-21 08:00")]
    noons = {str(libseal.sun_times(d, 41.7, -86.3).noon) for d in forms_of_day}
    assert len(noons) == 1
    for wrong in ["2025-06-21", 20260, np.datetime64("NaT"), pd.NaT, None]:
        with pytest.raises(TypeError):
            libseal.sun_times(wrong, 41.7, -86.3)
