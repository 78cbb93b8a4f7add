"""What the Python tests share: outside data and small inputs."""

from __future__ import annotations

import os
import pathlib
from collections.abc import Callable

import numpy as np
import pytest

import libseal

ROOT = pathlib.Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def root() -> pathlib.Path:
    """Folder of the checkout."""
    return ROOT


@pytest.fixture(scope="session")
def outside_file() -> Callable[[str], pathlib.Path]:
    """Path of a file of outside data: in LIBSEAL_DATA, else ../shared/data beside the checkout. Skips without it."""

    def find(relative: str) -> pathlib.Path:
        places = [os.environ["LIBSEAL_DATA"]] if os.environ.get("LIBSEAL_DATA") else []
        places.append(str(ROOT.parent / "shared" / "data"))
        for place in places:
            path = pathlib.Path(place) / relative
            if path.exists():
                return path
        pytest.skip(f"needs {relative} in LIBSEAL_DATA or ../shared/data")

    return find


@pytest.fixture(scope="session")
def south_bend_year() -> libseal.Weather:
    return libseal.typical_year(libseal.find_station("south bend"))


@pytest.fixture
def three_hours() -> libseal.Weather:
    """Synthetic: three hours around noon near South Bend."""
    return libseal.Weather(
        libseal.Site(41.7, -86.3, utc_offset=-5),
        np.array(["2025-06-21T17", "2025-06-21T18", "2025-06-21T19"], dtype="datetime64[s]"),
        ghi=[800.0, 850.0, 820.0], dni=[700.0, 720.0, 710.0], dhi=[150.0, 155.0, 152.0],
        air_temperature=[24.0, 25.0, 25.5], dew_point=[14.0, 14.5, 14.0], relative_humidity=[54.0, 52.0, 49.0],
        wind_speed=[3.0, 4.0, 3.5], pressure=[99000.0] * 3, opaque_sky_cover=[2.0, 2.0, 3.0])


@pytest.fixture(scope="session")
def trailer() -> libseal.Coach:
    """Synthetic: a trailer of eight metres that has stood in the open in South Bend since it was built."""
    import datetime

    coach = libseal.travel_trailer(8.0, id="t1", model_year=2018)
    stay = libseal.Stay(from_=datetime.date(2017, 7, 1), to=datetime.date(9999, 12, 31), place="home",
                        station="south bend", heading=180.0)
    return coach.replace(stays=[stay])
