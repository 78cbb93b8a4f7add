"""Types as others see them: mypy --strict over the package, its stubs and the examples, and over the code of the pages."""

import os
import pathlib
import re
import subprocess
import sys

import pytest

import libseal

pytest.importorskip("mypy")
PACKAGE = pathlib.Path(libseal.__file__).parent
HEAD = "import datetime\nfrom pathlib import Path\nfrom typing import Any\nimport numpy as np\nimport libseal\n"
# What pages take as given; the tests that run their code hand over the same.
GIVEN = {"calendar_files": "calendar: libseal.Calendar", "inspection_plan": "coach: libseal.Coach\nforecast: libseal.Forecast", "gallery": "pictures: dict[str, Any]",
         "report": "fleet: libseal.Fleet\nforecast: libseal.Forecast\ncalendar: libseal.Calendar\nshop: libseal.Shop\n"
                   "findings: list[libseal.Finding]\nwork_done: list[libseal.WorkDone]"}
# Code for reading writes no types of its own; what it asks of the library is checked all the same.
OF_PAGES = """
[[tool.mypy.overrides]]
module = ["pages.*"]
disallow_untyped_defs = false
disallow_untyped_calls = false
[[tool.mypy.overrides]]
module = ["pandas.*"]
ignore_missing_imports = true
"""


def mypy(root, folder, *arguments):
    """mypy as someone who has the package's folder on the path, so that errors inside the package are told too."""
    config = folder / "pyproject.toml"
    config.write_text((root / "pyproject.toml").read_text(encoding="utf-8") + OF_PAGES, encoding="utf-8")
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"} | {"MYPYPATH": str(PACKAGE.parent)}
    command = [sys.executable, "-m", "mypy", "--config-file", config, "--cache-dir", root / "build" / "mypy_cache_strict", *arguments]
    return subprocess.run([str(word) for word in command], capture_output=True, text=True, cwd=folder, env=environment)


def parts_of(page):
    """(name, text) of what runs by itself: a page, or a recipe of a page of recipes."""
    text = page.read_text(encoding="utf-8")
    if page.stem != "how_to":
        return [(page.stem.lower(), text)]
    return [(f"how_to_{i}", part) for i, part in enumerate(re.split(r"^## ", text, flags=re.MULTILINE))]


def pages_in(root, folder):
    """A module for each page with code, what it takes as given first."""
    (folder / "pages").mkdir()
    (folder / "pages" / "__init__.py").touch()
    for page in [root / "README.md", *sorted((root / "docs").glob("*.md"))]:
        for name, text in parts_of(page):
            blocks = re.findall(r"^```python\n(.*?)^```", text, re.MULTILINE | re.DOTALL)
            if blocks:
                given = HEAD + GIVEN.get(page.stem, "") + "\n"
                (folder / "pages" / f"{name}.py").write_text(given + "\n".join(blocks), encoding="utf-8")
    return sorted((folder / "pages").glob("*.py"))


def test_package_stubs_examples_and_pages_pass_mypy_strict(root, tmp_path):
    pages = pages_in(root, tmp_path)
    assert len(pages) > 12, "the code of the pages was not found"
    examples = [root / "examples" / "demo.py", *sorted((root / "examples" / "data").glob("*.py"))]
    run = mypy(root, tmp_path, *sorted(PACKAGE.rglob("*.py")), PACKAGE / "_libseal.pyi", *pages, *examples)
    assert run.returncode == 0, run.stdout + run.stderr


def test_the_check_sees_a_wrong_word_of_a_page_and_of_an_example(root, tmp_path):
    (tmp_path / "pages").mkdir()
    page, example = tmp_path / "pages" / "wrong.py", tmp_path / "untyped.py"
    page.write_text(HEAD + "fleet: libseal.Fleet\nlibseal.forecast(fleet, datetime.date(2026, 1, 1), yaers=5)\n", encoding="utf-8")
    example.write_text("def f(a):\n    return a\n", encoding="utf-8")
    run = mypy(root, tmp_path, page, example)
    assert re.search(r"wrong\.py:\d+: error: .*yaers", run.stdout) and "untyped.py:1" in run.stdout, run.stdout + run.stderr


# What stubtest says of every compiled class: it has the metaclass of pybind11 and takes any arguments; signatures_test.py compares those.
COMPILED = re.compile(r"^libseal\._libseal\.(\w+ is inconsistent, metaclass differs|[\w.]+ is inconsistent, stub does not have \*args parameter .*)$")
# Aliases of types, for reading the stubs.
ALLOWED = r"""
libseal\._libseal\.(Floats|Times|Numbers|TimesLike|Path)
"""


def test_stubtest_finds_no_name_that_the_module_lacks(tmp_path):
    allowed, config = tmp_path / "allowed", tmp_path / "mypy.ini"
    allowed.write_text(ALLOWED, encoding="utf-8")
    config.write_text("[mypy]\nignore_missing_imports = true\n", encoding="utf-8")
    run = subprocess.run([sys.executable, "-m", "mypy.stubtest", "libseal._libseal", "--concise", "--allowlist", str(allowed), "--ignore-unused-allowlist",
                          "--mypy-config-file", str(config)],
                         capture_output=True, text=True, cwd=tmp_path, env={**os.environ, "MYPYPATH": str(PACKAGE.parent), "PYTHONPATH": str(PACKAGE.parent)})
    told = run.stdout.splitlines()
    assert len(told) > 100 and "metaclass differs" in run.stdout, f"stubtest did not look at the classes: {run.stdout}{run.stderr}"
    assert [line for line in told if not COMPILED.match(line)] == []
