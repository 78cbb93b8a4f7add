"""What the build, the requirements and the scripts ask for stands in docs/dependencies.md, with its range, licence and reason; and nothing else does."""

import re

import pytest
import tree

tomllib = pytest.importorskip("tomllib")  # Python 3.11 brings it

PAGE = tree.ROOT / "docs" / "dependencies.md"
SPDX = re.compile(r"\b(MIT|BSL-1\.0|MPL-2\.0|PSF-2\.0|Apache-2\.0|BSD-[23]-Clause|L?GPL-[23]\.[01](-only|-or-later))")
OURS = {"libseal", "tests/requirements.txt", "examples/requirements.txt", "docs/requirements.txt"}
COLUMNS = ["name", "version", "tried with", "licence", "used by", "why this one"]


def table_rows(text):
    """Cells of each row of each table of the page."""
    rows = []
    for line in text.splitlines():
        cells = [cell.strip() for cell in line.strip().strip("|").split("|")] if line.startswith("|") else []
        if cells and cells != COLUMNS and not set(line) <= set("|-"):
            rows.append(cells)
    return rows


def listed():
    """Name in code marks to the row it stands in."""
    names = {}
    for row in table_rows(PAGE.read_text(encoding="utf-8")):
        for name in re.findall(r"`([^`]+)`", row[0]):
            assert name not in names, f"{name} stands twice"
            names[name] = dict(zip(COLUMNS, row, strict=True))
    return names


def requirements(text):
    """Package to the parts of its range, of a requirements file."""
    found = {}
    for line in text.splitlines():
        line = line.partition("#")[0].strip()
        if line and not line.startswith("-r"):
            name, parts = re.fullmatch(r"([\w.\[\]-]+?)((?:[<>=!~].*)?)", line).groups()
            found[name.lower()] = {part.strip() for part in parts.split(",") if part.strip()}
    return found


def packages_of_python():
    """All of requirements files and pyproject.toml; the parts of their ranges together."""
    project = tomllib.loads((tree.ROOT / "pyproject.toml").read_text())
    lines = [*project["build-system"]["requires"], *project["project"]["dependencies"], *sum(project["project"]["optional-dependencies"].values(), [])]
    texts = ["\n".join(lines), *((tree.ROOT / name).read_text() for name in ("tests/requirements.txt", "examples/requirements.txt", "docs/requirements.txt"))]
    found = {}
    for text in texts:
        for name, parts in requirements(text).items():
            found.setdefault(name, set()).update(parts)
    return found


def packages_of_cmake():
    """What find_package and find_path ask for, in files of ours."""
    found = set()
    for path in tree.committed_files():
        if path.name == "CMakeLists.txt" or path.suffix == ".cmake" or path.name.endswith(".cmake.in"):
            text = re.sub(r"#[^\n]*", "", path.read_text())
            found |= set(re.findall(r"find_(?:package|dependency)\(\s*(\w+)", text)) | set(re.findall(r"find_path\(\s*\w+\s+(\S+)", text))
    return found - OURS


def packages_of_debian():
    """What need_packages installs, and what the backports are asked for."""
    found = set()
    for path in tree.committed_files():
        if path.suffix != ".sh":
            continue
        for line in re.sub(r"(^|\s)#[^\n]*", "", path.read_text()).splitlines():
            for words in re.findall(r"(?:\bneed_packages|packages\+?=\()\s*([a-z0-9+. -]+)", line):
                found |= set(words.split())
            found |= set(re.findall(r"fetch_backport\.sh (\S+)", line))
    return found


def required():
    return packages_of_python().keys() | packages_of_cmake() | packages_of_debian() | {"cmake"}


def test_the_readers_of_this_test_find_what_is_there():
    assert {"libeigen3-dev", "g++", "ninja-build", "chromium", "valgrind", "libcatch2-dev", "python3-venv"} <= packages_of_debian()
    assert {"Eigen3", "Boost", "Threads", "Catch2", "rapidcheck", "pybind11", "Python", "rapidjson/reader.h"} <= packages_of_cmake()
    assert packages_of_python()["numpy"] == {">=1.24", "<3"} and {"dask[distributed]", "scikit-build-core", "ics"} <= packages_of_python().keys()
    assert requirements("a>=1,<2  # why\n-r x\nb[c]==3\n") == {"a": {">=1", "<2"}, "b[c]": {"==3"}}


def test_every_dependency_is_in_the_table_and_nothing_else():
    assert sorted(required() - listed().keys()) == [], "missing in docs/dependencies.md"
    assert sorted(listed().keys() - required()) == [], "in docs/dependencies.md, and nothing asks for it"


@pytest.mark.parametrize("name", sorted(packages_of_python()))
def test_the_range_of_a_python_package_is_the_one_that_is_asked_for(name):
    assert set(listed()[name]["version"].split(",")) == packages_of_python()[name]


def test_every_row_has_version_licence_use_and_reason():
    rows = table_rows(PAGE.read_text(encoding="utf-8"))
    assert len(rows) > 30
    for row in rows:
        assert len(row) == len(COLUMNS) and all(row), row
        assert SPDX.search(row[3]), f"{row[0]}: no licence in {row[3]}"


def test_sources_of_the_library_include_nothing_that_is_not_in_the_table():
    """Headers of others begin with their folder; those with dots or none are the language's, the system's or ours."""
    folders = {"Eigen": "Eigen3", "boost": "Boost", "rapidjson": "rapidjson/reader.h", "pybind11": "pybind11", "rapidcheck": "rapidcheck", "catch2": "Catch2"}
    system = {"sys"}
    for path in tree.committed_files():
        if path.suffix in (".cpp", ".hpp") and path.is_relative_to(tree.ROOT / "libseal"):
            for folder in re.findall(r"^#include <([\w]+)/", path.read_text(errors="replace"), flags=re.MULTILINE):
                assert folder in system or folders.get(folder) in listed(), f"{path}: {folder}"
