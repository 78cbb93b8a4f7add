"""The source package as others build from it: what is in it, and that it stands alone. `--slow=sdist` builds a wheel from it."""

import tarfile

import pytest
import tree
from projects import ROOT, run, source_package

# Folders of the repository that no user of a source package needs; of the hidden one, what examples/run.sh reads.
LEFT_OUT = {"tests", "docs", "benchmarks"}
HIDDEN = {".ci/install.sh"}
MOST_BYTES = 4_000_000


@pytest.fixture(scope="module")
def package(tmp_path_factory):
    return source_package(tmp_path_factory.mktemp("sdist"))


@pytest.fixture(scope="module")
def unpacked(package, tmp_path_factory):
    with tarfile.open(package) as archive:
        archive.extractall(folder := tmp_path_factory.mktemp("unpacked"))
    (inside,) = folder.iterdir()
    return inside


def test_it_holds_what_the_build_needs_and_nothing_else(package, unpacked):
    held = {path.relative_to(unpacked).as_posix() for path in unpacked.rglob("*") if path.is_file()}
    known = {path.relative_to(ROOT).as_posix() for path in tree.committed_files()}
    wanted = {name for name in known if name.partition("/")[0] not in LEFT_OUT and not name.startswith(".")} | HIDDEN
    assert held == wanted | {"PKG-INFO"}
    assert {"LICENSE", "README.md", "libseal/data/catalogue/sealants.json", "libseal/include/libseal/version.hpp", "bindings/python/libseal/py.typed",
            "cmake/libsealConfig.cmake.in", "examples/data/fleet.json"} <= held
    assert package.stat().st_size < MOST_BYTES, "outside data or a build in it?"


def test_what_lies_about_in_a_checkout_stays_out():
    """Build folders and caches under any name that a folder of ours has too: "build/tests/libseal" once went in whole."""
    lying = ROOT / "build" / "consumer" / "libseal" / "bindings"
    lying.mkdir(parents=True, exist_ok=True)
    (lying / "libseal.o").write_bytes(b"not a source")
    with tarfile.open(source_package(lying.parent.parent)) as archive:
        listed = [name.partition("/")[2] for name in archive.getnames()]
    assert not [name for name in listed if name.startswith(("build", "tests", ".venv")) or "__pycache__" in name or name.endswith((".o", ".pyc"))]


def test_it_says_its_licence_version_and_needs(unpacked):
    said = (unpacked / "PKG-INFO").read_text(encoding="utf-8")
    for line in ("Name: libseal", "License-Expression: MIT", "License-File: LICENSE", "Requires-Python: >=3.10", "Requires-Dist: numpy>=1.24"):
        assert line in said.splitlines(), line


def test_it_configures_without_tests_and_without_a_checkout(unpacked, cmake, tmp_path):
    run(cmake, "-S", unpacked, "-B", tmp_path / "build", "-G", "Ninja", cwd=tmp_path)
    targets = run(cmake, "--build", tmp_path / "build", "--target", "help", cwd=tmp_path)
    assert "demo" in targets and "libseal_tests" not in targets
