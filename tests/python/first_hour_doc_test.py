"""The pages for newcomers, typed from top to bottom into an empty folder; what they say is printed is what is printed.

tests/consumer/tutorial_test.py does the same for the page in C++. After a change of results
`python3 tests/support/page_steps.py --write docs/PAGE.md` puts the new output into a page: read it before it is committed.
"""

import re

import pytest
from page_steps import alike, blocks, check_page, with_commands

import libseal

COACH = {"catalogue", "calendar", "coach", "clock", "effective age", "finding", "forecast", "joint", "layer", "part", "plan", "schedule", "session", "shop",
         "stay", "step", "surface", "task", "visit"}


@pytest.fixture
def empty(tmp_path):
    folder = tmp_path / "empty"
    folder.mkdir()
    return folder


@pytest.mark.parametrize("name, steps, needs", [("concepts", 1, []), ("errors", 10, []), ("tutorial_calendars", 12, ["click", "jinja2"]),
                                                ("tutorial_analyst", 9, ["pandas", "matplotlib"])])
def test_a_page_runs_from_top_to_bottom(root, empty, tmp_path, name, steps, needs):
    for module in needs:
        pytest.importorskip(module)
    assert check_page(root / "docs" / f"{name}.md", empty, environment=with_commands(tmp_path)) == steps


def test_each_recipe_runs_by_itself(root, empty, tmp_path):
    pytest.importorskip("pandas")
    assert check_page(root / "docs" / "how_to.md", empty, alone=True, environment=with_commands(tmp_path)) == 14


def test_every_recipe_is_in_the_list_above_them(root):
    page = (root / "docs" / "how_to.md").read_text(encoding="utf-8")
    headings = re.findall(r"^## (.+)$", page, re.MULTILINE)
    assert [heading.lower().replace(" ", "-") for heading in headings] == re.findall(r"\]\(#([\w-]+)\)", page)


def test_the_glossary_has_the_words_of_the_concepts_and_knows_the_library(root):
    page = (root / "docs" / "glossary.md").read_text(encoding="utf-8")
    words = {word for line in re.findall(r"^\| ([^|`]+) \|", page, re.MULTILINE) for word in line.strip().split(", ")}
    assert words >= COACH and len(words) > 100
    concepts = (root / "docs" / "concepts.md").read_text(encoding="utf-8").lower()
    assert not {word for word in COACH if f"**{word}" not in concepts}
    known = {*libseal.sign_names(), *libseal.action_names(), *libseal.cover_names(), *libseal.joint_type_names(libseal.Catalogue.built_in()),
             *libseal.sealant_names(libseal.Catalogue.built_in()), *libseal.layer_names(), "at_once", "within_30_days", "next_service", "next_inspection",
             "ghi", "dni", "dhi", "code", "optimal", "feasible", "infeasible", "none_found", "cancelled", "measured", "standard", "published", "computed",
             "common_practice", "from_memory", "judgement", "fitted"}
    assert not set(re.findall(r"`(\w+)`", page)) - known


def test_the_picture_is_the_one_that_its_program_draws(root):
    names: dict[str, object] = {"__name__": "make_flow", "__file__": str(root / "docs" / "img" / "make_flow.py")}
    exec((root / "docs" / "img" / "make_flow.py").read_text(encoding="utf-8"), names)
    drawn = names["picture"]()
    assert (root / "docs" / "img" / "flow.svg").read_text(encoding="utf-8") == drawn
    assert "<title" in drawn and "<desc" in drawn and set(re.findall(r"#[0-9a-f]{6}", drawn)) == {"#000000", "#ffffff"}


def test_output_is_compared_line_by_line():
    assert alike("a\n...\nd\n", "a\nb\nc\nd\n") and alike("a \n", "a\n") and alike("a\n", "a")
    assert not alike("a\n", "b\n") and not alike("a\n...\nd\n", "a\nb\n") and not alike("a\n", "a\nb\n")


def test_blocks_know_what_stands_above_them_and_a_wrong_page_fails(tmp_path):
    text = "## One\n\n`a.txt`:\n\n```csv\nx\n```\n\nmore\n\n```python\nprint(open('a.txt').read(), end='')\n```\n\n```text\nx\n```\n"
    found = list(blocks(text))
    assert [(block.language, block.above, block.section, block.line) for block in found] == [("csv", "`a.txt`:", "One", 6), ("python", "more", "One", 12), ("text", "```", "One", 16)]
    page = tmp_path / "page.md"
    page.write_text(text, encoding="utf-8")
    assert check_page(page, tmp_path) == 2
    page.write_text(text.replace("```text\nx", "```text\ny"), encoding="utf-8")
    with pytest.raises(AssertionError, match="line 16: the page says"):
        check_page(page, tmp_path)
    page.write_text("```sh\nexit 3\n```\n", encoding="utf-8")
    with pytest.raises(AssertionError, match="ended with 3, not 0"):
        check_page(page, tmp_path)
    page.write_text("```cpp\nint a;\n```\n", encoding="utf-8")
    with pytest.raises(AssertionError, match="neither run nor written"):
        check_page(page, tmp_path)
