"""What the Python tests share: outside data and small inputs."""

from __future__ import annotations

import datetime
import importlib.util
import os
import pathlib
import sys
from collections.abc import Callable
from types import SimpleNamespace

import numpy as np
import pytest

import libseal

ROOT = pathlib.Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def root() -> pathlib.Path:
    """Folder of the checkout."""
    return ROOT


@pytest.fixture(scope="session")
def headers(root):
    """Entries of the public headers, as the documentation reads them."""
    spec = importlib.util.spec_from_file_location("docs_from_headers", root / "bindings" / "docs_from_headers.py")
    module = importlib.util.module_from_spec(spec)
    sys.modules["docs_from_headers"] = module
    spec.loader.exec_module(module)
    return module.read_headers(root / "libseal" / "include")


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
    coach = libseal.travel_trailer(8.0, id="t1", model_year=2018)
    stay = libseal.Stay(from_=datetime.date(2017, 7, 1), to=datetime.date(9999, 12, 31), place="home",
                        station="south bend", heading=180.0)
    return coach.replace(stays=[stay])


@pytest.fixture(scope="session")
def yard() -> SimpleNamespace:
    """Synthetic: three coaches of two owners, with findings, a declined item, the shop of the demo, forecast and calendar."""
    as_of, since = datetime.date(2026, 11, 25), datetime.date(2016, 7, 1)
    shop = libseal.read_shop(ROOT / "examples" / "data" / "shop.json")
    stay = libseal.Stay(from_=since, to=datetime.date(9999, 12, 31), place="home", station="south bend", heading=180.0)
    built = {"installed_from": datetime.date(2016, 5, 1), "installed_to": datetime.date(2016, 5, 1)}
    coaches = [libseal.travel_trailer(6.0, id="A-1", model_year=2017, slide_outs=1, **built), libseal.camper_van(6.0, id="B-2", model_year=2017, **built),
               libseal.camper_van(6.0, id="C-3", model_year=2017, **built)]
    coaches = [coach.replace(stays=[stay], owner=owner) for coach, owner in zip(coaches, ("M. N.", "O. P.", "M. N."))]
    seen = datetime.date(2026, 9, 1)
    findings = [
        libseal.Finding(coach="A-1", joint="roof_vent_1", sign="deep_crack", value=0.6, unit="mm", share=0.35, layer="cap_bead", date=seen, photo="vent.png", note="near the hinge"),
        libseal.Finding(coach="A-1", joint="window_1", sign="gap", value=2.0, unit="mm", layer="cap_bead", date=seen, photo="absent.jpg"),
        libseal.Finding(coach="A-1", joint="window_2", sign="not_inspected", reason="shutter closed", date=seen),
        libseal.Finding(coach="B-2", joint="roof_vent_1", sign="clean_look", date=seen, layer="cap_bead")]
    work_done = [libseal.WorkDone(coach="A-1", joint="roof_vent_1", layer="cap_bead", date=datetime.date(2026, 9, 20), action="cut_out_and_reseal", declined=True)]
    fleet, session = libseal.Fleet(coaches=coaches), libseal.Session()
    common = {"findings": findings, "work_done": work_done, "session": session}
    return SimpleNamespace(fleet=fleet, shop=shop, findings=findings, work_done=work_done, as_of=as_of,
                           forecast=libseal.forecast(fleet, as_of, 5, **common), calendar=libseal.year_calendar(fleet, 2027, shop, as_of, **common))
