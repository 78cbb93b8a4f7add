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


def counted(file: Mapping) -> dict[str, tuple[int, int]]:
    """(reached, all) lines and branches of a file as gcovr tells it."""
    lines = [line for line in file["lines"] if not line.get("gcovr/noncode")]
    branches = [branch for line in lines for branch in line["branches"] if not branch.get("throw")]
    return {"lines": (sum(line["count"] > 0 for line in lines), len(lines)), "branches": (sum(branch["count"] > 0 for branch in branches), len(branches))}


def missed(file: Mapping) -> list[str]:
    """What was not reached of a file, as text."""
    lines = {line["line_number"] for line in file["lines"] if line["count"] == 0}
    half = {line["line_number"] for line in file["lines"]
            if line["count"] > 0 and any(branch["count"] == 0 and not branch.get("throw") for branch in line["branches"])}
    return [f"{file['file']}"] + ([f"  lines {ranges(lines)}"] if lines else []) + ([f"  one way only: {ranges(half)}"] if half else [])


def share(count: tuple[int, int]) -> float:
    return 100 * count[0] / count[1] if count[1] else 100.0


def told(build: pathlib.Path) -> list[dict]:
    """What gcovr says of the files of libseal/."""
    command = [sys.executable, "-m", "gcovr", "--root", str(ROOT), "--filter", str(ROOT / "libseal") + "/", "--exclude-throw-branches",
               "--exclude-unreachable-branches", "--merge-mode-functions", "separate", "--gcov-ignore-parse-errors", "negative_hits.warn",
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
