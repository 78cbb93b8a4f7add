"""Which lines and branches of libseal/ the tests reached, of a build with --coverage; what they did not is named.

    python3 tests/support/lines.py build/lines

Writes missed.txt and summary.json into the folder. Exit code 1 if too few were reached.
"""

import json
import os
import pathlib
import subprocess
import sys
from collections.abc import Iterable, Mapping
from typing import TypeAlias

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


Lines: TypeAlias = dict[int, tuple[int, list[int]]]  # by number: how often the line was reached, and each of its branches


def lines_of(file: Mapping) -> Lines:
    """Of a file as gcovr tells it; a line of a template counts in any of its forms."""
    lines: Lines = {}
    for line in file["lines"]:
        branches = [branch["count"] for branch in line["branches"] if not branch.get("throw")]
        count, known = lines.get(line["line_number"], (0, []))
        both = [max(pair) for pair in zip(known, branches)] if len(known) == len(branches) else max(known, branches, key=len)
        lines[line["line_number"]] = (max(count, line["count"]), both)
    return lines


def counted(lines: Lines) -> dict[str, tuple[int, int]]:
    """(reached, all) lines and branches of a file."""
    branches = [count for _, ones in lines.values() for count in ones]
    return {"lines": (sum(count > 0 for count, _ in lines.values()), len(lines)), "branches": (sum(count > 0 for count in branches), len(branches))}


def missed(lines: Lines) -> list[str]:
    """What was not reached of a file, as text; nothing if all was."""
    never = [number for number, (count, _) in lines.items() if count == 0]
    half = [number for number, (count, branches) in lines.items() if count > 0 and 0 in branches]
    return ([f"  lines {ranges(never)}"] if never else []) + ([f"  one way only: {ranges(half)}"] if half else [])


def share(count: tuple[int, int]) -> float:
    return 100 * count[0] / count[1] if count[1] else 100.0


def told(build: pathlib.Path) -> list[dict]:
    """What gcovr says of the files of libseal/."""
    command = [sys.executable, "-m", "gcovr", "--root", str(ROOT), "--filter", str(ROOT / "libseal") + "/", "--exclude-throw-branches",
               "--exclude-unreachable-branches", "--gcov-suspicious-hits-threshold", "0",
               "-j", str(os.cpu_count() or 1), "--json", "-", str(build)]
    return json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)["files"]


def main(build: pathlib.Path) -> int:
    files = {file["file"]: lines_of(file) for file in told(build)}
    count = {name: counted(lines) for name, lines in files.items()}
    total = {kind: tuple(sum(one[kind][i] for one in count.values()) for i in (0, 1)) for kind in WANTED}
    report = [text for name, lines in files.items() if (rest := missed(lines)) for text in (name, *rest)]
    (build / "missed.txt").write_text("\n".join(report) + "\n", encoding="utf-8")
    (build / "summary.json").write_text(json.dumps({kind: {"reached": reached, "all": whole} for kind, (reached, whole) in total.items()}) + "\n", encoding="utf-8")
    left = {name: one["lines"][1] - one["lines"][0] for name, one in count.items()}
    for name in sorted(left, key=left.__getitem__, reverse=True)[:15]:
        print(f"{left[name]:5} lines of {name} not reached")
    for kind, (reached, whole) in total.items():
        print(f"{kind}: {reached} of {whole}, {share((reached, whole)):.1f} %; wanted {WANTED[kind]:.0f} %")
    return int(any(share(total[kind]) < WANTED[kind] for kind in WANTED))


if __name__ == "__main__":
    sys.exit(main(pathlib.Path(sys.argv[1])))
