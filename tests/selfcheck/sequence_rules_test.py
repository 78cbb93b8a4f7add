"""Each sequence rule has its function, its row in the table and its row in docs/order.md."""

import re

import pytest
import tree

RULES = tree.ROOT / "libseal" / "src" / "work" / "rules"
DECLARED = re.compile(r"^void (\w+)\(OrderDraft& draft\);", re.M)
ROW = re.compile(r'^\s*\{\{"(\w+)", S::(\w+),.*\bd::(\w+)\},$', re.M)
EXPLAINED = re.compile(r"^\| `(\w+)` \| (\w+) \|", re.M)


def faults(header: str, table: str, page: str) -> list[str]:
    """What is missing or does not fit, in words."""
    rows = ROW.findall(table)
    names, explained = [name for name, _, _ in rows], dict(EXPLAINED.findall(page))
    found = [f"the row {name} of table.cpp calls {function}" for name, _, function in rows if name != function]
    found += [f"{name} is declared in draft.hpp and has no row in table.cpp" for name in DECLARED.findall(header) if name not in names]
    found += [f"{name} has no row in docs/order.md" for name in names if name not in explained]
    found += [f"docs/order.md explains {name}, which is no rule" for name in explained if name not in names]
    # A rule that only warns is "warning" on the page.
    found += [f"{name} is {strength} in table.cpp and {explained[name]} in docs/order.md" for name, strength, _ in rows
              if explained.get(name, strength) not in (strength, "warning")]
    return found


@pytest.fixture(scope="module")
def texts():
    page = (tree.ROOT / "docs" / "order.md").read_text(encoding="utf-8")
    return [(RULES / "draft.hpp").read_text(encoding="utf-8"), (RULES / "table.cpp").read_text(encoding="utf-8"), page.partition("## The rules")[2]]


def test_each_rule_has_function_row_and_explanation(texts):
    assert len(ROW.findall(texts[1])) == texts[1].count('        {{"')
    assert faults(*texts) == []


def test_what_is_forgotten_is_found():
    header = "void bed_first(OrderDraft& draft);\nvoid cap_last(OrderDraft& draft);\n"
    table = '        {{"bed_first", S::hard, "Bed.", practice, common}, d::bed_first},\n        {{"cap_last", S::firm, "Cap.", practice, common}, d::cap_last},\n'
    page = "| `bed_first` | hard | bed |\n| | firm | more |\n| `cap_last` | firm | cap |\n"
    assert faults(header, table, page) == []
    assert faults(header + "void tape_first(OrderDraft& draft);\n", table, page) == ["tape_first is declared in draft.hpp and has no row in table.cpp"]
    assert faults(header, table.replace("d::cap_last", "d::bed_first"), page) == ["the row cap_last of table.cpp calls bed_first"]
    assert faults(header, table, page.replace("`cap_last` | firm", "`cap_last` | soft")) == ["cap_last is firm in table.cpp and soft in docs/order.md"]
    assert faults(header, table, page.replace("cap_last", "cap_first")) == [
        "cap_last has no row in docs/order.md", "docs/order.md explains cap_first, which is no rule"]
