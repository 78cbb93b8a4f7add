"""The blocks of docs/intervals.md, docs/survival.md and docs/rate_sweeps.md run, and give the figures printed behind them."""

import numpy as np
import pytest

import libseal
from page_figures import checked_lines, close, printed_value


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
