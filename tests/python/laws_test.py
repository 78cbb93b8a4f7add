"""Laws of ageing from Python: arrays in, arrays out, the same errors, and numbers that NumPy computes its own way."""

import numpy as np
import pytest

import libseal

R = 8.314462618e-3


@pytest.fixture(scope="module")
def catalogue():
    return libseal.Catalogue.built_in()


def test_acceleration_is_a_function_of_arrays():
    temperature = np.linspace(-30, 90, 13)
    ours = libseal.acceleration(75.0, 25.0, temperature)
    np.testing.assert_allclose(ours, np.exp(75 / R * (1 / 298.15 - 1 / (temperature + 273.15))), rtol=1e-12)
    np.testing.assert_allclose(libseal.acceleration_energy(ours[temperature != 25], 25.0, temperature[temperature != 25]), 75.0)
    assert isinstance(libseal.acceleration(75.0, 25.0, 60.0), float)


def test_laws_run_row_by_row(catalogue):
    law = libseal.crack_law(catalogue, "polyurethane")
    age = np.array([0.0, 1.0, 2.0, 5.0])
    published = law.a * age**law.b * (1 + law.c * 15.0**law.d)
    np.testing.assert_allclose(libseal.crack_rating_published(law, age, 15.0), published, rtol=1e-13)
    np.testing.assert_allclose(libseal.crack_rating(law, age, 15.0), 25 * (1 - np.exp(-published / 25)), rtol=1e-12)
    gasket = libseal.set_law(catalogue, "epdm_gasket")
    np.testing.assert_allclose(libseal.set_time(gasket, libseal.compression_set(gasket, age[1:])), age[1:], rtol=1e-10)
    assert libseal.yellowness_index(95, 100, 105, "d65_2") == pytest.approx(4.34, abs=1e-9)


def test_dose_and_damage_are_cumulative_sums(catalogue):
    rng = np.random.default_rng(5)
    light, temperature, humidity = rng.uniform(0, 60, 50), rng.uniform(-8, 54, 50), rng.uniform(9, 100, 50)
    model = libseal.DoseModel(energy=20, light_exponent=0.64, humidity_slope=0.08)
    rate = (light / 30) ** 0.64 * np.exp(20 / R * (1 / 298.15 - 1 / (temperature + 273.15))) * np.exp(0.008 * (humidity - 40))
    dose = libseal.effective_dose(light, temperature, humidity, 0.5, model)
    np.testing.assert_allclose(dose, np.cumsum(rate) * 0.5, rtol=1e-12)
    curve = libseal.DamageCurve(limit=0.5, scale=10, shape=1.1)
    fit = libseal.fit_damage(dose, libseal.damage(curve, dose))
    assert fit.converged and fit.curve.scale == pytest.approx(10, rel=1e-6)
    bond = libseal.bond_law(catalogue)
    age = libseal.bond_equivalent_time(bond, temperature, humidity, 1 / 365.25)
    speed = (np.exp(bond.energy / R * (1 / 298.15 - 1 / (temperature + 273.15))) * (humidity / 50) ** bond.humidity_exponent) ** 2
    np.testing.assert_allclose(age, np.cumsum(speed) / 365.25, rtol=1e-12)


def test_what_cannot_be_is_refused_by_name_with_its_row():
    with pytest.raises(libseal.ValueError, match=r"humidity\[1\]: expected a number from 0 to 100, got 120"):
        libseal.effective_dose([1, 1], [20, 20], [50, 120], 1)
    with pytest.raises(libseal.ValueError, match="age: expected a finite number >= 0, got -1"):
        libseal.capability_share(-1.0, 5.0)
    with pytest.raises(libseal.ValueError, match="temperature: expected a one-dimensional array"):
        libseal.equivalent_time(50, 20.0, 1)
