"""Counts what the tests are made of, from their sources, and keeps the table in docs/testing.md.

    python3 tests/support/count_tests.py            prints the table
    python3 tests/support/count_tests.py --write    puts it between the marks in docs/testing.md
"""

from __future__ import annotations

import ast
import json
import pathlib
import re
import sys
from collections import Counter

ROOT = pathlib.Path(__file__).resolve().parents[2]
BEGIN, END = "<!-- counted by tests/support/count_tests.py -->", "<!-- end of the count -->"
CASE = re.compile(r'^\s*TEST_CASE\("(?:[^"\\]|\\.)*"(?:\s*,\s*"([^"]*)")?', re.MULTILINE)
PUBLISHED = re.compile(r'\bcount_published\(\s*(?:"([^"]+)"|(?!const\b))')
COMMENT = re.compile(r"^\s*//[^\n]*", re.MULTILINE)


def cpp_texts(root: pathlib.Path) -> dict[pathlib.Path, str]:
    return {path: COMMENT.sub("", path.read_text(encoding="utf-8")) for path in sorted((root / "tests").glob("*/*_test.cpp"))}


def cpp_cases(root: pathlib.Path) -> tuple[Counter[str], Counter[str]]:
    """Cases of each folder: those of every run, and those that are asked for by name (tags that begin with a point)."""
    usual: Counter[str] = Counter()
    asked: Counter[str] = Counter()
    for path, text in cpp_texts(root).items():
        for tags in CASE.findall(text):
            (asked if "[." in tags else usual)[path.parent.name] += 1
    return usual, asked


def python_functions(root: pathlib.Path, folder: str) -> int:
    """Test functions; one with parameters counts once."""
    return sum(isinstance(node, ast.FunctionDef) and node.name.startswith("test_")
               for path in sorted((root / "tests" / folder).glob("*_test.py")) for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))))


def published(root: pathlib.Path) -> tuple[int, int]:
    """Places that compare with published values, and publications that are named at them. A place may be a table of many values."""
    found = [name for text in cpp_texts(root).values() for name in PUBLISHED.findall(text)]
    return len(found), len({name for name in found if name})


def properties(root: pathlib.Path) -> tuple[int, int]:
    """In C++ and in Python."""
    cpp = sum(len(re.findall(r"\bcheck_property\(", text)) for text in cpp_texts(root).values())
    python = sum(any(ast.unparse(mark).startswith(("hypothesis.given(", "given(")) for mark in node.decorator_list)
                 for path in sorted((root / "tests" / "python").glob("*_test.py"))
                 for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if isinstance(node, ast.FunctionDef))
    return cpp, python


def fuzzing(root: pathlib.Path) -> tuple[int, int]:
    """Targets and files of their corpus."""
    folder = root / "tests" / "fuzz"
    return len(list(folder.glob("fuzz_*.cpp"))), sum(path.is_file() for path in (folder / "corpus").rglob("*"))


def limits(root: pathlib.Path) -> int:
    text = (root / "libseal" / "include" / "libseal" / "core" / "limits.hpp").read_text(encoding="utf-8")
    return len(re.findall(r"^inline constexpr \S+ \w+ = ", text, flags=re.MULTILINE))


def small_faults(root: pathlib.Path) -> str:
    """Results that were kept, else that there are none."""
    path = root / "tests" / "mutation" / "results.json"
    if not path.exists():
        return "no results kept"
    count = json.loads(path.read_text(encoding="utf-8"))["count"]
    noticed = count["killed"] + count["timed out"]
    return f"{noticed} of {noticed + count['survived']} noticed, {count['equal']} judged equal"


def rows(root: pathlib.Path) -> list[tuple[str, str]]:
    usual, asked = cpp_cases(root)
    places, sources = published(root)
    cpp, python = properties(root)
    targets, corpus = fuzzing(root)
    folders = ", ".join(f"{name} {usual[name]}" for name in sorted(usual))
    return [("C++ cases of every run", f"{usual.total()}: {folders}"), ("C++ cases that are asked for", f"{asked.total()}"),
            *((f"Python test functions in `tests/{name}`", f"{python_functions(root, name)}") for name in ("python", "selfcheck", "consumer")),
            ("places that compare with published values", f"{places}, with {sources} publications by name"),
            ("properties on generated cases", f"{cpp} in C++, {python} in Python"), ("fuzz targets", f"{targets}, with {corpus} files of corpus"),
            ("limits of the readers", f"{limits(root)}"), ("small faults", small_faults(root))]


def block(root: pathlib.Path) -> str:
    return "\n".join([BEGIN, "| what | how many |", "|---|---|", *(f"| {name} | {count} |" for name, count in rows(root)), END])


def written(text: str, table: str) -> str:
    """A page with the table between the marks."""
    before, begin, rest = text.partition(BEGIN)
    _, end, after = rest.partition(END)
    if not begin or not end:
        raise ValueError(f'expected "{BEGIN}" and "{END}" in the page')
    return before + table + after


def main(arguments: list[str]) -> None:
    table = block(ROOT)
    print(table)
    if arguments == ["--write"]:
        page = ROOT / "docs" / "testing.md"
        page.write_text(written(page.read_text(encoding="utf-8"), table), encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
