"""The digest in docs/calibration.md is what the library computes, figure by figure."""

import re

import pytest

import libseal


@pytest.fixture(scope="module")
def text(root):
    return (root / "docs" / "calibration.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def table():
    return libseal.calibration_table()


def cells(line):
    return [cell.strip() for cell in line.strip().strip("|").split("|")]


def layer_rows(text, second):
    """Rows of the table of layers whose second column is headed so: (family, layer, cells)."""
    lines = text.splitlines()
    start = next(i for i, line in enumerate(lines) if line.startswith(f"| layer | {second}"))
    head, rows = cells(lines[start]), []
    for line in lines[start + 2:]:
        if not line.startswith("|"):
            break
        family, layer = re.fullmatch(r"`(\w+)`, (\w+)", cells(line)[0]).groups()
        rows.append((family, layer, dict(zip(head[1:], cells(line)[1:]))))
    return rows


def test_the_lives_at_home(text, table):
    rows = layer_rows(text, "surface")
    assert len(rows) == 14
    for family, layer, row in rows:
        surface = row.pop("surface")
        assert len(row) == 7
        for place, printed in row.items():
            median = table.lives.median[table.lives.row(family, layer, place, surface)]
            assert printed == f"{median:.1f}", (family, layer, place)


def test_the_lives_in_phoenix(text, table):
    rows = layer_rows(text, "roof_light")
    assert len(rows) == 14
    for family, layer, row in rows:
        for surface, printed in row.items():
            at = table.lives.row(family, layer, "Phoenix, AZ", surface)
            assert printed == f"{table.lives.median[at]:.1f} ({table.lives.ratio[at]:.2f})", (family, layer, surface)


def test_the_counts_of_rules(text, table):
    counts = dict.fromkeys(table.checks.rule, (0, 0))
    for rule, verdict in zip(table.checks.rule, table.checks.verdict):
        rows, held = counts[rule]
        counts[rule] = rows + 1, held + (verdict == "inside")
    printed = {m[1]: (int(m[2]), int(m[3])) for m in re.finditer(r"^\| `(\w+)` \| (\d+) \| (\d+) \|$", text, re.MULTILINE)}
    assert printed == counts
    held = sum(verdict == "inside" for verdict in table.lives.verdict)
    assert f"{held} of {len(table.lives)} rows" in text


def test_the_figures_of_the_surveys(text, table):
    surveys = {s: v for s, v, r in zip(table.checks.subject, table.checks.value, table.checks.rule) if r == "building_survey"}

    def share(words):
        return f"{100 * next(v for s, v in surveys.items() if words in s):.1f} %"

    section = text[text.index("## 5."):text.index("## 6.")]
    for words in ("unknown family, failed within 10", "unknown family, failed within 20", "missing at 10", "missing at 25",
                  "polysulfide, failed within 10", "polysulfide, failed within 20"):
        assert share(words) in section, words
    assert f"{next(v for s, v in surveys.items() if 'least failures' in s):.2f}" in section
