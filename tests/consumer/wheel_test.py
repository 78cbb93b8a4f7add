"""The Python package as pip meets it."""

import os
import shutil
import sys
import zipfile

import pytest
from projects import ROOT, run

if not (ROOT / "bindings" / "CMakeLists.txt").exists():
    pytest.skip("no Python module in this tree yet", allow_module_level=True)


@pytest.fixture(scope="module")
def wheel(work, compiler):
    """The wheel, built by the tools of this environment; compiler and flags are those of the test build, for the cache."""
    out = work / "wheels"
    shutil.rmtree(out, ignore_errors=True)
    run(sys.executable, "-m", "pip", "wheel", ".", "--quiet", "--no-build-isolation", "--no-deps", "--wheel-dir", out,
        # The long form: the pip of Debian 12 has no other.
        f"--config-settings=build-dir={work / 'wheel_build'}", "--config-settings=cmake.define.LIBSEAL_WARNINGS_AS_ERRORS=ON",
        f"--config-settings=cmake.define.CMAKE_CXX_COMPILER={compiler}")
    (file,) = out.glob("libseal-*.whl")
    return file


def test_a_wheel_holds_the_package_and_nothing_else(wheel):
    names = zipfile.ZipFile(wheel).namelist()
    package = ROOT / "bindings" / "python" / "libseal"
    wanted = {
        f"libseal/{path.relative_to(package)}"
        for path in package.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    held = {name for name in names if ".dist-info/" not in name}
    (module,) = {name for name in held if name.startswith("libseal/_libseal.") and name.endswith(".so")}
    assert held - {module} == wanted
    assert {"libseal/__init__.py", "libseal/py.typed"} <= held
    assert any(name.endswith(".pyi") for name in held), "no stubs"


def test_an_installed_wheel_computes(wheel, work):
    site = work / "site"
    shutil.rmtree(site, ignore_errors=True)
    run(sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--target", site, wheel)
    environment = {**os.environ, "PYTHONPATH": str(site)}
    said = run(
        sys.executable, "-c",
        "import libseal, numpy\n"
        "sun = libseal.sun_position(numpy.array(['2003-10-17T19:30:30'], 'datetime64[s]'), latitude=39.742476, longitude=-105.1786)\n"
        "print(libseal.__file__, libseal.__version__, round(float(sun.zenith[0]), 1), round(float(sun.azimuth[0]), 1))",
        env=environment, cwd=work,
    )
    place, version, zenith, azimuth = said.split()
    assert place.startswith(str(site))
    assert version in wheel.name
    # Reda & Andreas 2004, table A5.1: true zenith 50.128, azimuth 194.340.
    assert (zenith, azimuth) == ("50.1", "194.3")
