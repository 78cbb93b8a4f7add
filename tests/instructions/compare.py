"""Counts the instructions of each hot loop and compares them with what is allowed: a gate that a busy machine does not shake.

    python3 tests/instructions/compare.py [--program FILE] [--junit FILE] [--renew] [SECTION...]

Runs each section of libseal_instructions (sections.cpp) under callgrind, once N times and once 2 N times; the difference is
that of the loop alone. limits.json holds the counts that were noted, their tolerance and what they were made with. Another compiler or C
library has other counts: then a section above its limit is a warning, counted as skipped. --renew writes the file anew.
"""

from __future__ import annotations

import argparse
import concurrent.futures
import json
import os
import pathlib
import platform
import re
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as xml

HERE = pathlib.Path(__file__).resolve().parent
LIMITS = HERE / "limits.json"
PROGRAM = HERE.parents[1] / "build/tests/tests/libseal_instructions"
TOLERANCE = 0.10
# The best set that valgrind runs; named, so that a better processor counts the same.
INSTRUCTION_SET = "avx2"
ENVIRONMENT = {**os.environ, "LIBSEAL_INSTRUCTION_SET": INSTRUCTION_SET}
RENEW = "python3 tests/instructions/compare.py --renew"


def said(command: list[str]) -> str:
    run = subprocess.run(command, capture_output=True, text=True, env=ENVIRONMENT)
    if run.returncode != 0:
        raise RuntimeError(f"{' '.join(command)} ended with {run.returncode}: {run.stderr.strip()[-1000:]}")
    return run.stdout


def total(program: pathlib.Path, section: str, times: int) -> tuple[int, int]:
    """Instructions of a run, and items of one time."""
    with tempfile.TemporaryDirectory() as folder:
        out = pathlib.Path(folder) / "callgrind.out"
        told = said(["valgrind", "--tool=callgrind", f"--callgrind-out-file={out}", str(program), section, str(times)])
        return int(re.search(r"^(?:summary|totals): (\d+)", out.read_text(), re.MULTILINE)[1]), int(told.split()[1])


def count(program: pathlib.Path, section: dict) -> float:
    """Instructions of one item."""
    times = section["times"]
    (once, items), (twice, _) = (total(program, section["name"], n) for n in (times, 2 * times))
    return (twice - once) / (times * items)


def described(program: pathlib.Path) -> tuple[dict, list[dict]]:
    """What the counts depend on, and the sections."""
    made_with, sections = {"c_library": " ".join(platform.libc_ver())}, []
    for line in said([str(program)]).splitlines():
        word, _, rest = line.partition(" ")
        if word == "section":
            name, times, item = rest.split()
            sections.append({"name": name, "times": int(times), "item": item})
        else:
            made_with[word] = rest
    return made_with, sections


def verdict(section: dict, counted: float, noted: dict | None, tolerance: float, differs: str) -> tuple[str, str]:
    """One of passed, failed, skipped, and a sentence."""
    name, item = section["name"], section["item"]
    if noted is None:
        return "failed", f"{name}: {counted:.2f} instructions per {item}, and limits.json has no line of it; note it with: {RENEW}"
    allowed = noted["instructions"] * (1 + tolerance)
    change = f"{counted:.2f} instructions per {item}, {100 * (counted / noted['instructions'] - 1):+.1f} % against {noted['instructions']:.2f} noted"
    if counted > allowed:
        sentence = f"{name}: {change}; allowed are {allowed:.2f} (+{100 * tolerance:.0f} %)."
        if differs:
            return "skipped", f"{sentence} Not held against it, for {differs}."
        return "failed", f"{sentence} Find what made the loop longer; if it is worth it, note the new count with: {RENEW}"
    if counted < noted["instructions"] * (1 - tolerance) and not differs:
        return "passed", f"{name}: {change}. Shorter than noted: keep the gain with: {RENEW}"
    return "passed", ""


def write_junit(path: pathlib.Path, results: list[tuple[str, str, str]]) -> None:
    of = {kind: sum(result[1] == kind for result in results) for kind in ("failed", "skipped")}
    suite = xml.Element("testsuite", name="instructions", tests=str(len(results)), failures=str(of["failed"]), errors="0", skipped=str(of["skipped"]))
    for name, kind, sentence in results:
        case = xml.SubElement(suite, "testcase", classname="instructions", name=name)
        if kind != "passed":
            xml.SubElement(case, "failure" if kind == "failed" else "skipped", message=sentence)
    xml.ElementTree(suite).write(path, encoding="unicode")


def renew(made_with: dict, sections: list[dict], counts: dict[str, float], noted: dict) -> None:
    lines = noted.get("sections", {}) if noted.get("made_with") == made_with else {}
    lines |= {s["name"]: {"item": s["item"], "instructions": round(counts[s["name"]], 3)} for s in sections if s["name"] in counts}
    new = {"tolerance": noted.get("tolerance", TOLERANCE), "made_with": made_with}
    new["sections"] = {s["name"]: lines[s["name"]] for s in sections if s["name"] in lines}
    LIMITS.write_text(json.dumps(new, indent=2) + "\n")
    print(f"{len(new['sections'])} counts are in {LIMITS}")


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--program", type=pathlib.Path, default=PROGRAM)
    parser.add_argument("--junit", type=pathlib.Path, help="file for the count of tests/run.sh")
    parser.add_argument("--renew", action="store_true", help="write what is counted into limits.json")
    parser.add_argument("section", nargs="*", help="all if none is named")
    given = parser.parse_args()

    made_with, sections = described(given.program)
    unknown = set(given.section) - {s["name"] for s in sections}
    if unknown:
        parser.error(f"unknown section {', '.join(sorted(unknown))}; there are {', '.join(s['name'] for s in sections)}")
    chosen = [s for s in sections if not given.section or s["name"] in given.section]
    missing = (
        "valgrind is not installed" if not shutil.which("valgrind")
        else f"the instruction set {INSTRUCTION_SET} does not run here" if made_with["instruction_set"] != INSTRUCTION_SET
        else ""
    )
    if missing:
        print(f"instructions are not counted: {missing}")
        if given.junit:
            write_junit(given.junit, [(s["name"], "skipped", missing) for s in chosen])
        return int(given.renew)

    counts = {}
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        for section, counted in zip(chosen, pool.map(lambda s: count(given.program, s), chosen)):
            counts[section["name"]] = counted
            print(f"  {section['name']}: {counted:.3f}", flush=True)
    noted = json.loads(LIMITS.read_text()) if LIMITS.exists() else {}
    if given.renew:
        renew(made_with, sections, counts, noted)
        noted = json.loads(LIMITS.read_text())

    before = noted.get("made_with", made_with)
    differs = ", ".join(f"{key} is {value}, noted was {before.get(key)}" for key, value in made_with.items() if before.get(key) != value)
    lines, tolerance, results = noted.get("sections", {}), noted.get("tolerance", TOLERANCE), []
    print(f"{'section':30} {'item':9} {'counted':>10} {'noted':>10} {'allowed':>10}")
    for section in chosen:
        name, counted, line = section["name"], counts[section["name"]], lines.get(section["name"])
        told = [f"{n:10.2f}" for n in (line["instructions"], line["instructions"] * (1 + tolerance))] if line else [f"{'none':>10}"] * 2
        print(f"{name:30} {section['item']:9} {counted:10.2f} {' '.join(told)}")
        results.append((name, *verdict(section, counted, line, tolerance, differs)))
    if not given.section:
        for name in sorted(set(lines) - {s["name"] for s in sections}):
            results.append((name, "failed", f"{name}: limits.json has a line of it, but sections.cpp has no such section; write the file anew with: {RENEW}"))
    if differs:
        print(f"warning: {differs}")
    for _, kind, sentence in results:
        if sentence:
            print(f"{kind}: {sentence}")
    if given.junit:
        write_junit(given.junit, results)
    return int(any(kind == "failed" for _, kind, _ in results))


if __name__ == "__main__":
    sys.exit(main())
