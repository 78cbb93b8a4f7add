"""Which lines and branches of libseal/ the tests reached, of a build with --coverage; what they did not is named.

    python3 tests/support/lines.py build/lines

Writes missed.txt and summary.json into the folder. Exit code 1 if too few were reached.
"""

import itertools
import json
import os
import pathlib
import subprocess
import sys
from collections.abc import Iterable, Mapping

ROOT = pathlib.Path(__file__).resolve().parents[2]
WANTED = {"lines": 95.0, "branches": 85.0}  # [%]


def ranges(numbers: Iterable[int]) -> str:
    """1, 2, 3, 7 as "1-3, 7"."""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(str(a) if a == b else f"{a}-{b}" for a, b in runs)


def lines_of(file: Mapping) -> dict[int, tuple[int, list[int]]]:
    """How often each line was reached, and each of its branches: of a template, in any of its forms."""
    lines: dict[int, tuple[int, list[int]]] = {}
    for line in file["lines"]:
        branches = [branch["count"] for branch in line["branches"] if not branch.get("throw")]
        count, known = lines.get(line["line_number"], (0, []))
        both = [max(pair) for pair in itertools.zip_longest(known, branches, fillvalue=0)] if len(known) == len(branches) else max(known, branches, key=len)
        lines[line["line_number"]] = (max(count, line["count"]), both)
    return lines


def counted(file: Mapping) -> dict[str, tuple[int, int]]:
    """(reached, all) lines and branches of a file as gcovr tells it."""
    lines = lines_of(file).values()
    branches = [count for _, ones in lines for count in ones]
    return {"lines": (sum(count > 0 for count, _ in lines), len(lines)), "branches": (sum(count > 0 for count in branches), len(branches))}


def missed(file: Mapping) -> list[str]:
    """What was not reached of a file, as text."""
    told = lines_of(file)
    lines = {number for number, (count, _) in told.items() if count == 0}
    half = {number for number, (count, branches) in told.items() if count > 0 and 0 in branches}
    return [f"{file['file']}"] + ([f"  lines {ranges(lines)}"] if lines else []) + ([f"  one way only: {ranges(half)}"] if half else [])


def share(count: tuple[int, int]) -> float:
    return 100 * count[0] / count[1] if count[1] else 100.0


def told(build: pathlib.Path) -> list[dict]:
    """What gcovr says of the files of libseal/."""
    command = [sys.executable, "-m", "gcovr", "--root", str(ROOT), "--filter", str(ROOT / "libseal") + "/", "--exclude-throw-branches",
               "--exclude-unreachable-branches", "--gcov-suspicious-hits-threshold", "0",
               "-j", str(os.cpu_count() or 1), "--json", "-", str(build)]
    return json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)["files"]


def main(build: pathlib.Path) -> int:
    files = told(build)
    total = {name: tuple(sum(counted(file)[name][i] for file in files) for i in (0, 1)) for name in WANTED}
    (build / "missed.txt").write_text("\n".join(text for file in files for text in missed(file) if missed(file)[1:]) + "\n", encoding="utf-8")
    (build / "summary.json").write_text(json.dumps({name: {"reached": count[0], "all": count[1]} for name, count in total.items()}) + "\n", encoding="utf-8")
    worst = sorted(files, key=lambda file: counted(file)["lines"][0] - counted(file)["lines"][1])[:15]
    for file in worst:
        print(f"{counted(file)['lines'][1] - counted(file)['lines'][0]:5} lines of {file['file']} not reached")
    for name, count in total.items():
        print(f"{name}: {count[0]} of {count[1]}, {share(count):.1f} %; wanted {WANTED[name]:.0f} %")
    return int(any(share(total[name]) < WANTED[name] for name in WANTED))


if __name__ == "__main__":
    sys.exit(main(pathlib.Path(sys.argv[1])))
