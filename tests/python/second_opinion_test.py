"""Sun, sky and irradiance beside pvlib, an independent implementation of the same published models."""

import numpy as np
import pandas as pd
import pytest

import libseal

pvlib = pytest.importorskip("pvlib")

STATIONS = ["722020_FL_Miami", "722780_AZ_Phoenix_Sky_Harbor", "724666_CO_Golden_NREL", "725090_MA_Boston",
            "725300_IL_Chicago_OHare", "725350_IN_South_Bend", "726580_MN_Minneapolis", "727930_WA_Seattle"]
PLANES = {"roof": (0, 180), "north wall": (90, 0), "east wall": (90, 90), "south wall": (90, 180),
          "west wall": (90, 270), "south at 30": (30, 180)}


@pytest.fixture(scope="module", params=STATIONS)
def year(request, outside_file):
    weather = libseal.read_weather(outside_file(f"weather/{request.param}_TMY3.csv"))
    return weather, libseal.sun_hours(weather)


@pytest.mark.parametrize("plane", PLANES)
def test_irradiance_on_a_plane_equals_pvlib_hour_by_hour(year, plane):
    """Perez 1990 from the same sun, to 0.1 % or 0.5 W/m2, whichever is larger.

    Like with like: pvlib gets our sun positions, air masses and extraterrestrial irradiance. Hours with the sun below
    the horizon at the middle of the interval are compared on their own: pvlib then drops sky light altogether (its air
    mass is NaN), ours keeps the little that was measured as even sky light.
    """
    weather, sun = year
    tilt, azimuth = PLANES[plane]
    ours = libseal.plane_irradiance(weather, tilt, azimuth, albedo=0.2)
    up = sun.cos_zenith > 0
    assert 4000 < up.sum() < 4800

    sky = pvlib.irradiance.perez(tilt, azimuth, weather.dhi, weather.dni, sun.extraterrestrial, sun.zenith, sun.azimuth,
                                 sun.air_mass, model="allsitescomposite1990")
    beam = pvlib.irradiance.beam_component(tilt, azimuth, sun.zenith, sun.azimuth, weather.dni)
    ground = pvlib.irradiance.get_ground_diffuse(tilt, weather.ghi, albedo=0.2)

    # Without sky light pvlib divides nought by nought; ours is nought.
    dark = up & (weather.dhi == 0)
    assert dark.sum() < 200 and not ours.sky[dark].any()
    sky = np.where(dark, 0.0, sky)
    for name, a, b in (("beam", ours.beam, beam), ("sky", ours.sky, sky), ("ground", ours.ground, ground)):
        a, b = np.asarray(a)[up], np.asarray(b)[up]
        assert np.isfinite(a).all() and np.isfinite(b).all(), name
        worst = np.max(np.abs(a - b) / np.maximum(0.5, 1e-3 * np.abs(b)))
        assert worst <= 1, f"{name} differs by {worst:.2f} tolerances"
    assert np.nansum(ours.beam[~up]) == 0
    even = weather.dhi[~up] * (1 + np.cos(np.radians(tilt))) / 2
    np.testing.assert_allclose(ours.sky[~up], even, rtol=1e-12, atol=1e-12)


@pytest.mark.parametrize("latitude,longitude", [(41.7, -86.3), (33.45, -112.0), (-33.9, 151.2), (64.8, -147.9), (0.0, 0.0)])
def test_sun_positions_equal_the_solar_position_algorithm(latitude, longitude):
    """pvlib's SPA (Reda & Andreas 2004, NREL/TP-560-34302), every 7.3 hours from 2020 to 2050; 0.01 deg as promised."""
    times = pd.date_range("2020-01-01", "2049-12-31", freq="26280s", tz="UTC")[::7]
    ours = libseal.sun_position(times, latitude, longitude)
    spa = pvlib.solarposition.spa_python(times, latitude, longitude)
    z1, z2 = np.radians(ours.zenith), np.radians(spa["zenith"].to_numpy())
    turn = np.radians(ours.azimuth - spa["azimuth"].to_numpy())
    # Haversine of the angle between both directions.
    half = np.sin((z1 - z2) / 2) ** 2 + np.sin(z1) * np.sin(z2) * np.sin(turn / 2) ** 2
    apart = np.degrees(2 * np.arcsin(np.sqrt(half)))
    assert len(apart) > 5000
    assert apart.max() < 0.01


def test_air_mass_equals_kasten_and_young():
    zenith = np.linspace(0, 90, 361)
    theirs = pvlib.atmosphere.get_relative_airmass(zenith, model="kastenyoung1989")
    np.testing.assert_allclose(libseal.air_mass(zenith), theirs, rtol=1e-6)


def test_clear_sky_equals_haurwitz():
    zenith = np.linspace(0, 100, 401)
    theirs = pvlib.clearsky.haurwitz(pd.Series(zenith))["ghi"].to_numpy()
    np.testing.assert_allclose(libseal.haurwitz_clear(zenith), theirs, atol=1e-9)


def test_splitting_global_irradiance_equals_erbs():
    """Erbs, Klein & Duffie 1982; both stop at zenith 87 deg and bound the cosine by 0.065. At 0.22 and 0.8 the share jumps: not on them."""
    days = np.array([15, 100, 196, 288])
    checked = 0
    for day in days:
        extra = libseal.extraterrestrial_irradiance(int(day), solar_constant=1366.1)
        for zenith in (5.0, 30.0, 60.0, 80.0, 86.0):
            for kt in (0.05, 0.2199, 0.2201, 0.4, 0.6, 0.7999, 0.8001, 0.95):
                ghi = kt * extra * np.cos(np.radians(zenith))
                ours = libseal.erbs_split(ghi, zenith, extra)
                theirs = pvlib.irradiance.erbs(ghi, zenith, int(day))
                assert ours.dni == pytest.approx(float(theirs["dni"]), rel=1e-3, abs=0.05)
                assert ours.dhi == pytest.approx(float(theirs["dhi"]), rel=1e-3, abs=0.05)
                checked += 1
    assert checked == 160


def test_extraterrestrial_irradiance_equals_spencer():
    days = np.arange(1, 366)
    theirs = pvlib.irradiance.get_extra_radiation(days, solar_constant=1366.1, method="spencer")
    np.testing.assert_allclose(libseal.extraterrestrial_irradiance(days), theirs, rtol=1e-9)


@pytest.mark.parametrize("model", ["isotropic", "haydavies"])
def test_the_simpler_skies_equal_pvlib(model):
    zenith, tilt, dni, dhi, extra = 50.0, 35.0, 600.0, 120.0, 1380.0
    for azimuth in (0.0, 90.0, 180.0, 271.0):
        if model == "isotropic":
            ours, theirs = libseal.isotropic_sky(tilt, dhi), pvlib.irradiance.isotropic(tilt, dhi)
        else:
            seen = libseal.cos_incidence(tilt, azimuth, zenith, 160.0)
            ours = libseal.hay_davies_sky(tilt, seen, zenith, dni, dhi, extra)
            theirs = pvlib.irradiance.haydavies(tilt, azimuth, dhi, dni, extra, zenith, 160.0)
        assert ours == pytest.approx(float(theirs), rel=1e-9)
