"""The code of docs/calendar_files.md runs."""

import datetime
import re

import libseal


def test_the_code_of_the_page_on_calendar_files_runs(root, tmp_path, monkeypatch):
    page = (root / "docs" / "calendar_files.md").read_text(encoding="utf-8")
    blocks = re.findall(r"```python\n(.*?)```", page, re.DOTALL)
    assert len(blocks) == 2
    data = root / "examples" / "data"
    coaches = [coach.replace(owner=f"Owner {i}") for i, coach in enumerate(libseal.read_fleet(data / "fleet.json").coaches[:2])]
    calendar = libseal.year_calendar(libseal.Fleet(coaches=coaches), 2027, libseal.read_shop(data / "shop.json"),
                                     datetime.date(2026, 11, 25), show_owners=True)
    monkeypatch.chdir(tmp_path)
    names = {"calendar": calendar, "libseal": libseal}
    for block in blocks:
        exec(compile(block, "docs/calendar_files.md", "exec"), names)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["coach.csv", "shop.ics", "year.csv", "year.json"]
    assert "Owner" not in (tmp_path / "shop.ics").read_text(encoding="utf-8")


def test_every_schema_is_named_on_the_page(root):
    page = (root / "docs" / "calendar_files.md").read_text(encoding="utf-8")
    for path in (root / "docs" / "schemas").glob("*.json"):
        assert f"`{path.stem}`" in page, path.stem
