import os
import pathlib
import re
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
def build():
    """The build that tests/run.sh made."""
    folder = pathlib.Path(os.environ.get("LIBSEAL_BUILD", ROOT / "build" / "tests"))
    if not (folder / "cmake_install.cmake").exists():
        pytest.skip(f"no build in {folder}; bash tests/run.sh makes one")
    return folder


@pytest.fixture(scope="session")
def compiler(build):
    """Path of the compiler of that build."""
    return re.search(r"^CMAKE_CXX_COMPILER:\w+=(.+)$", (build / "CMakeCache.txt").read_text(), re.MULTILINE)[1]


@pytest.fixture(scope="session")
def prefix(build, work, cmake):
    """The library as installed from it."""
    folder = work / "prefix"
    shutil.rmtree(folder, ignore_errors=True)
    run(cmake, "--install", build, "--prefix", folder, "--component", "dev")
    return folder
