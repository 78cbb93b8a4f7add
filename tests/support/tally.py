"""Adds up what the test programs of one run said, and prints the closing line.

Reads a folder: *.catch (console of Catch2, version 2 or 3), *.xml (JUnit of pytest), *.passed and *.failed (one
name a line), *.broken (a step that died, one failure each).
"""

import pathlib
import re
import sys
import xml.etree.ElementTree

ALL_PASSED = re.compile(r"^All tests passed \((?:\d+ assertions? in )?(\d+) test cases?\)", re.MULTILINE)
SOME_FAILED = re.compile(r"^test cases:(.*)$", re.MULTILINE)
SKIPPED = re.compile(r"^skipped test cases: (\d+)$", re.MULTILINE)
PUBLISHED = re.compile(r"^published checks: .*$", re.MULTILINE)
CRASHED = "the program ended with an error"


def catch_counts(log: str) -> tuple[int, int, int]:
    """(passed, failed, skipped) test cases of a Catch2 console log."""
    skipped = max((int(n) for n in SKIPPED.findall(log)), default=0)
    if match := ALL_PASSED.search(log):
        total = int(match.group(1))
        crashed = int(CRASHED in log)  # for example a sanitizer's finding at exit
        return total - skipped, crashed, skipped
    if match := SOME_FAILED.search(log):
        count = {word: int(n) for n, word in re.findall(r"(\d+) (passed|failed|skipped)", match.group(1))}
        total = int(re.search(r"\d+", match.group(1)).group())
        failed, skipped = count.get("failed", 0), skipped + count.get("skipped", 0)
        return max(0, total - failed - skipped), failed, skipped
    return 0, 1, 0  # died before its summary, or ran no test


def junit_counts(text: str) -> tuple[int, int, int]:
    suites = list(xml.etree.ElementTree.fromstring(text).iter("testsuite"))
    total, failures, errors, skipped = (
        sum(int(suite.get(key, 0)) for suite in suites) for key in ("tests", "failures", "errors", "skipped")
    )
    return total - failures - errors - skipped, failures + errors, skipped


def counts(path: pathlib.Path) -> tuple[int, int, int] | None:
    text = path.read_text(errors="replace")
    match path.suffix:
        case ".catch":
            return catch_counts(text)
        case ".xml":
            return junit_counts(text)
        case ".passed":
            return len(text.splitlines()), 0, 0
        case ".failed":
            return 0, len(text.splitlines()), 0
        case ".broken":
            return 0, 1, 0
    return None


def main(folder: pathlib.Path) -> int:
    rows: dict[str, list[int]] = {}
    remarks: dict[str, list[str]] = {}
    for path in sorted(folder.iterdir()):
        if (row := counts(path)) is None:
            continue
        rows[path.stem] = [a + b for a, b in zip(rows.get(path.stem, [0, 0, 0]), row)]
        text = path.read_text(errors="replace")
        said = PUBLISHED.findall(text) if path.suffix == ".catch" else []
        remarks.setdefault(path.stem, []).extend([text.strip()] if path.suffix == ".broken" else said)
    print()
    for stem, row in rows.items():
        print(f"{stem:10} {row[0]:5} passed {row[1]:5} failed {row[2]:5} skipped")
        for remark in remarks[stem]:
            print(f"    {remark}")
    passed, failed, skipped = (sum(row[i] for row in rows.values()) for i in range(3))
    print(f"{passed} passed, {failed} failed, {skipped} skipped", flush=True)
    return int(failed > 0 or passed == 0)


if __name__ == "__main__":
    sys.exit(main(pathlib.Path(sys.argv[1])))
