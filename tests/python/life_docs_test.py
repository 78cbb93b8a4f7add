"""The blocks of docs/intervals.md, docs/survival.md and docs/rate_sweeps.md run, and give the figures printed behind them."""

import ast
import re

import numpy as np
import pytest

import libseal


def close(got, printed):
    """Numbers to half a unit of the last printed digit, all else as it is."""
    if isinstance(printed, tuple):
        return len(got) == len(printed) and all(close(a, b) for a, b in zip(got, printed))
    if re.fullmatch(r"-?\d+\.?\d*", printed):
        digits = len(printed.partition(".")[2])
        return abs(float(got) - float(printed)) <= 0.5000001 * 10.0**-digits
    return str(got) == printed


def printed_value(text):
    if text.startswith("(") and not re.search("[a-z]", text):
        return tuple(part.strip() for part in text[1:-1].split(","))
    return text


def checked_lines(text):
    """Runs the blocks of a page in order; yields each line with a printed figure, its value and the figure."""
    names = {}
    for block in re.findall(r"^```python\n(.*?)^```", text, re.MULTILINE | re.DOTALL):
        for node in ast.parse(block).body:
            source = ast.get_source_segment(block, node)
            line = block.splitlines()[node.end_lineno - 1]
            figure = line.partition("# =>")[2].strip()
            if figure:
                yield source, eval(source, names), printed_value(figure)
            else:
                exec(source, names)


@pytest.mark.parametrize("page, least", [("intervals.md", 20), ("survival.md", 12), ("rate_sweeps.md", 10)])
def test_the_figures_of_the_page(root, page, least):
    lines = list(checked_lines((root / "docs" / page).read_text(encoding="utf-8")))
    assert len(lines) >= least
    wrong = [f"{source}: got {value}, printed {figure}" for source, value, figure in lines if not close(value, figure)]
    assert not wrong, "\n".join(wrong)


def test_the_comparison_itself_sees_differences():
    assert close(np.float64(1.2345), "1.23") and not close(1.2356, "1.23")
    assert close((1, 2.5), printed_value("(1, 2.5)")) and not close((1, 2.6), printed_value("(1, 2.5)"))
    assert close(True, "True") and not close(False, "True")
    assert not list(checked_lines("no block")) and libseal.__version__
