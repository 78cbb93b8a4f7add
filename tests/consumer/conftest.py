import os
import pathlib
import shutil

import pytest
from projects import ROOT, run


@pytest.fixture(scope="session")
def cmake():
    return os.environ.get("CMAKE", "cmake")


@pytest.fixture(scope="session")
def work():
    folder = ROOT / "build" / "consumer"
    folder.mkdir(parents=True, exist_ok=True)
    return folder


@pytest.fixture(scope="session")
def prefix(work, cmake):
    """The library as installed, from the build that tests/run.sh made."""
    build = pathlib.Path(os.environ.get("LIBSEAL_BUILD", ROOT / "build" / "tests"))
    if not (build / "cmake_install.cmake").exists():
        pytest.skip(f"no build in {build}; bash tests/run.sh makes one")
    folder = work / "prefix"
    shutil.rmtree(folder, ignore_errors=True)
    run(cmake, "--install", build, "--prefix", folder, "--component", "dev")
    return folder
