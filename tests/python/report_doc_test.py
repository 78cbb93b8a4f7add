"""The code in docs/report.md runs as it is printed."""

import datetime
import re

import pytest

import libseal


def test_the_code_of_the_page_on_pages_runs(root, yard, tmp_path, monkeypatch, capsys):
    pytest.importorskip("jinja2")
    blocks = re.findall(r"```python\n(.*?)```", (root / "docs" / "report.md").read_text(encoding="utf-8"), re.S)
    assert len(blocks) == 2
    monkeypatch.chdir(tmp_path)
    known = {"libseal": libseal, "datetime": datetime, **vars(yard)}
    for block in blocks:
        exec(block, known)  # the page's own words
    assert (tmp_path / "fleet.html").exists() and (tmp_path / "week.html").exists()
    assert capsys.readouterr().out.split()[0] == "2" and len(list((tmp_path / "packets").iterdir())) == 2
    assert "ft" in known["text"]
