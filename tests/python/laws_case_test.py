"""The cases of tests/cases/forecast_laws.json from Python; tests/forecast/laws_case_test.cpp runs the same file."""

import datetime
import json

import numpy as np
import pytest

import libseal


def coach_text(root, words):
    text = (root / "tests/cases/forecast_laws_coach.json.in").read_text()
    for word, value in words.items():
        text = text.replace(f"@{word}@", value)
    return text


def weather_of(base, law):
    columns = {name: np.array(libseal.weather_column(base, name)) for name in libseal.weather_column_names()}
    for name, factor in law.get("scale", {}).items():
        columns[name] = columns[name] * factor
    for name, step in law.get("add", {}).items():
        columns[name] = columns[name] + step
    site = libseal.Site(base.site.latitude, base.site.longitude, elevation=base.site.elevation,
                        utc_offset=base.site.utc_offset + law.get("utc_offset_add", 0))
    return libseal.Weather(site, base.time_utc, step=base.step, sun_offset=base.sun_offset, typical=True, **columns)


@pytest.fixture(scope="module")
def laws(root):
    return json.loads((root / "tests/cases/forecast_laws.json").read_text())


def run(root, laws, law):
    coach = libseal.read_coach_text(coach_text(root, {**laws["base"], **law.get("change", {})}), "laws")
    year = libseal.typical_year(libseal.find_station(laws["station"]))
    as_of = datetime.date.fromisoformat(law.get("as_of", laws["as_of"]))
    return libseal.forecast(coach, as_of, laws["years"], weather=weather_of(year, law))


def test_laws_hold_for_every_family_and_layer(root, laws):
    base = run(root, laws, {})
    assert len(base) > 40
    for law in laws["cases"]:
        other = run(root, laws, law)
        slack = law.get("days", 0)
        for column in ("due_10", "due_50", "due_90"):
            move = (getattr(other, column) - getattr(base, column)).astype(int)
            wrong = {"not_later": move > slack, "not_earlier": move < -slack, "same": np.abs(move) > slack}[law["due"]]
            assert not wrong.any(), (law["name"], column, [(base.joint[i], base.layer[i], move[i]) for i in np.nonzero(wrong)[0]])


def test_survival_never_rises(root, laws):
    base = run(root, laws, {"change": {"installed": laws["as_of"]}})
    curves = base.monthly([])
    assert curves.due.shape == (len(base), len(curves.day))
    assert (curves.due[:, 0] < 1e-9).all()
    assert (np.diff(curves.due, axis=1) >= 0).all() and (np.diff(curves.condition, axis=1) >= 0).all()
    assert ((curves.due >= 0) & (curves.due <= 1)).all()
