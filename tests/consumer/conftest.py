"""Runs the consumer projects; their build folders stay, so a second run takes seconds."""

import os
import pathlib
import shutil
import subprocess

import pytest

ROOT = pathlib.Path(__file__).resolve().parents[2]


def run(*command, env=None, cwd=ROOT):
    """Standard output of a command that must succeed."""
    done = subprocess.run([str(word) for word in command], capture_output=True, text=True, cwd=cwd, env=env)
    assert done.returncode == 0, f"{' '.join(map(str, command))}\n{done.stdout}\n{done.stderr}"
    return done.stdout


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
