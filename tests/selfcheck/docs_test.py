"""The documents keep what they promise: units, sources, links, code that runs, and a place for each page."""

import docs_lint
import pytest
import tree

STUBS = docs_lint.stubs.Stubs(tree.ROOT / "bindings" / "python" / "libseal" / "_libseal.pyi")


@pytest.fixture(scope="module")
def entries():
    found = docs_lint.all_entries()
    assert len(found) > 2000
    return found


def running_pages():
    tests = {str(path): path.read_text(encoding="utf-8") for folder in ("python", "selfcheck", "consumer") for path in (tree.ROOT / "tests" / folder).glob("*_test.py")}
    helpers = {path.stem: path.read_text(encoding="utf-8") for path in (tree.ROOT / "tests" / "support").glob("*.py") if path.stem != "docs_lint"}
    return docs_lint.pages_that_run(tests, helpers)


def test_every_public_number_says_its_unit(entries):
    assert docs_lint.numbers_without_unit(entries, STUBS) == []


def test_every_floating_parameter_says_its_own_unit(entries):
    assert docs_lint.parameters_without_unit(entries) == []


def test_every_whole_number_of_a_struct_has_a_comment(entries):
    assert docs_lint.whole_fields_without_comment(entries) == []


def test_every_law_says_its_source(entries):
    assert docs_lint.laws_without_source(entries) == []


def test_every_link_and_anchor_leads_somewhere():
    assert docs_lint.broken_links(tree.ROOT) == []


def test_every_block_of_code_runs_in_a_test():
    run = running_pages()
    assert {"README.md", "gallery.md", "intervals.md", "store.md"} <= run
    assert [fault for page in docs_lint.pages.pages(tree.ROOT)
            for fault in docs_lint.blocks_that_nobody_runs(page, (tree.ROOT / page).read_text(encoding="utf-8"), run)] == []


def test_every_page_is_in_the_index_and_in_the_navigation():
    assert docs_lint.pages_not_listed(tree.ROOT) == []


# ---- each check sees what it is there for ----

HEADER = """
/// A thing.
struct Thing {
    double length = 0;   ///< [m], > 0
    double width = 0;    ///< of it
    Column many;
    double share = 0;    ///< of all, [0, 1]
    int count = 0;
    double low = 0, high = 1;  ///< limits [-]
private:
    double hidden = 0;
};
/// How much. [kg]  @param depth  [m]
double weight(double depth);
double weight(double depth, double more);
/// How hot.
double heat(int hours);
/// Nothing to measure.
int count_things(int from);
"""


def test_the_check_of_units_itself():
    found = docs_lint.numbers_without_unit(docs_lint.entries_of(HEADER), STUBS)
    assert [fault.rpartition(" ")[2] for fault in found] == ["Thing::width", "Thing::many", "Thing::share", "heat"]
    assert found[0].startswith("life/x.hpp:5:")
    assert docs_lint.numbers_without_unit(docs_lint.entries_of(HEADER.replace("How hot.", "How hot. [K]"), "core"), STUBS)[-1].endswith("share")


def test_the_check_of_units_reads_methods_that_python_has():
    header = "class Weibull {\npublic:\n    /// Mean.\n    double mean() const;\n    /// Of C++ alone.\n    double of_cpp_alone() const;\n};\n"
    found = docs_lint.numbers_without_unit(docs_lint.entries_of(header), STUBS)
    assert [fault.rpartition(" ")[2] for fault in found] == ["Weibull::mean"]


CALLS = """
/// Strain of a bead. [-]  @param width  As set. [mm], > 0  @param share  Of it, [0, 1]
double strain(double width, double opening, double share, int steps);
/// The same from columns. [-]
/// @param opening  [mm]
Column strain(ConstColumn width, ConstColumn opening);
/// @param low, high  Of a range. [K]  @throws ValueError  out of [K].
/// @param gap  [K]
double middle(double low, double high, const std::vector<double>& gap, const std::string& name);
double middle(double low, double higher);
/// A belief.
class Belief {
public:
    /// @param mean  [-]
    Belief(double mean, double sd);
    /// Chance. [-]
    double chance(std::optional<double> level, float) const;
private:
    double hidden(double level) const;
};
"""


def test_the_check_of_parameters_itself():
    found = docs_lint.parameters_without_unit(docs_lint.entries_of(CALLS))
    assert [fault.rpartition(" ")[2] for fault in found] == ["strain(opening)", "strain(share)", "middle(higher)", "Belief::Belief(sd)", "Belief::chance(level)", "Belief::chance()"]
    assert found[0].startswith("life/x.hpp:3:")
    assert docs_lint.parameters_without_unit(docs_lint.entries_of("/// Kept as it is.\ndouble kept(double value);\n", "core")) == ["core/x.hpp:2: kept(value)"]
    require = []
    docs_lint.HeaderParser("core", require, "require").read("/// Kept as it is.\ndouble kept(double value);\n")
    assert docs_lint.parameters_without_unit(require) == []


def test_the_check_of_whole_numbers_itself():
    header = "struct A {\n    int count = 0;\n    int seed = 0;  ///< of the draws\n    std::vector<std::size_t> rows;\n    double x = 0;\nprivate:\n    int own = 0;\n};\n"
    assert [fault.rpartition(" ")[2] for fault in docs_lint.whole_fields_without_comment(docs_lint.entries_of(header))] == ["A::count", "A::rows"]


def test_the_check_of_sources_itself():
    header = ("/// A law. @source  A 1990.\nstruct Law {\n    double energy = 0;\n};\n/// Speed. [-]\ndouble speed(const Law& law, double warmth);\n"
              "/// Rate. [-]\ndouble rate(double warmth);\n/// Dose. [-]  @source  B 2001.\ndouble dose(double light);\ndouble dose(double light, int step);\n"
              "/// Name.\nint number_of(int of);\n")
    found = docs_lint.laws_without_source(docs_lint.entries_of(header, "ageing"))
    assert [fault.rpartition(" ")[2] for fault in found] == ["rate"]
    assert docs_lint.laws_without_source(docs_lint.entries_of(header, "work")) == []


@pytest.fixture
def small_tree(tmp_path):
    (tmp_path / "docs").mkdir()
    (tmp_path / "README.md").write_text("# Top\n\n[here](docs/index.md), [there](docs/one.md#a-heading-of-two), [site](https://example.org/#x)\n")
    (tmp_path / "docs" / "one.md").write_text("# One\n\n## A `heading` of two\n\n```python\n# no [link](nowhere.md)\n```\n[up](../README.md#top)\n")
    (tmp_path / "docs" / "index.md").write_text("# Index\n\n| to learn | read |\n|---|---|\n| one | [one.md](one.md) |\n| top | [../README.md](../README.md) |\n")
    (tmp_path / "docs" / "navigation.json").write_text('{"All": ["README.md", "docs/index.md", "docs/o*.md"]}')
    return tmp_path


def test_the_check_of_links_itself(small_tree):
    assert docs_lint.broken_links(small_tree) == []
    page = small_tree / "docs" / "one.md"
    page.write_text(page.read_text() + "[a](gone.md) [b](#no-such) [c](../README.md#bottom)\n")
    assert docs_lint.broken_links(small_tree) == ["docs/one.md: gone.md", "docs/one.md: #no-such, no such heading", "docs/one.md: ../README.md#bottom, no such heading"]


def test_the_check_of_places_itself(small_tree):
    assert docs_lint.pages_not_listed(small_tree) == []
    (small_tree / "docs" / "two.md").write_text("# Two\n")
    assert docs_lint.pages_not_listed(small_tree) == ["docs/two.md is not in docs/index.md", "docs/two.md is not in docs/navigation.json"]
    (small_tree / "docs" / "navigation.json").write_text('{"All": ["README.md", "docs/index.md", "docs/t*.md"], "Other": ["docs/one.md", "docs/one.md"]}')
    assert docs_lint.pages_not_listed(small_tree) == ["docs/two.md is not in docs/index.md", "docs/one.md stands twice in docs/navigation.json"]


def test_the_check_of_blocks_itself():
    text = "# P\n\n```python\nx\n```\n\n<!-- not run: needs a yard -->\n```cpp\ny\n```\n\n```json\n{\"a\": 1}\n```\n\n```json\n{a}\n```\n\n```text\nz\n```\n"
    assert [fault.partition(",")[0] for fault in docs_lint.blocks_that_nobody_runs("docs/p.md", text, set())] == \
        ["docs/p.md:3: no test runs this python", "docs/p.md:16: no JSON"]
    assert len(docs_lint.blocks_that_nobody_runs("docs/p.md", text, {"p.md"})) == 1
    assert len(docs_lint.blocks_that_nobody_runs("docs/p.md", text.replace("needs a yard ", ""), {})) == 3  # no reason, no mark


def test_the_search_for_tests_that_run_pages_itself():
    runs = 'import re\nfor block in re.findall("```python(.*)```", read("docs/a.md")):\n    exec(block)\n'
    helped = 'from cutter import blocks\nprint(blocks("b.md"))\n'
    reads = 'assert "x" in read("docs/c.md")\n'
    assert docs_lint.pages_that_run({"1": runs, "2": helped, "3": reads}, {"cutter": 'FENCE = "```"', "other": ""}) == {"a.md", "b.md"}
    assert docs_lint.pages_that_run({"2": helped}, {"cutter": ""}) == set()
    ended = 'from cutter import blocks\nOTHER = "e"\n@pytest.mark.parametrize("page", ["d"])\ndef test_page(page):\n    blocks(f"{page}.md")\n'
    assert docs_lint.pages_that_run({"4": ended}, {"cutter": 'FENCE = "```"'}) == {"d.md", "page.md"}
