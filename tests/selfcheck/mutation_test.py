"""Faults are made where code is and nowhere else, and the bookkeeping of tests/mutation/mutate.py is right, on a project of one file."""

import json
import re
import shutil
import subprocess
import sys

import pytest
import tree

sys.path.insert(0, str(tree.ROOT / "tests" / "mutation"))
import mutants  # noqa: E402
import mutate  # noqa: E402

SOURCE = '''#include <vector>
#define TWICE(x) ((x) + (x))
// a + b and 5 in a comment
/* c * d */ const char* text = "e - 7 \\" < 8"; const char letter = '+';
const char* raw = R"(1 + 1)";
template <class T, int N = 3> struct Box { std::vector<T> kept; };
static_assert(sizeof(int) >= 4);
double rule(double a, double* b, bool&& on) {
    if (a <= *b && a != 0.5) return -a * 2;
    b[0] += a /
            1e-3;
    return on ? std::min(a, -1.0) : 1'000;
}
bool operator<(Box<int, 1> x, Box<int, 1> y);
'''


def test_faults_are_made_in_code_and_nowhere_else():
    found = {(m.line, m.before, m.after) for m in mutants.mutants_of("f.cpp", SOURCE)}
    assert found == {
        (9, "<=", "<"), (9, "&&", "||"), (9, "!=", "=="), (9, "0.5", "0.505"), (9, "-", ""), (9, "*", "/"), (9, "2", "3"),
        (10, "0", "1"), (10, "/", "*"), (11, "1e-3", "0.00101"),
        (12, "min", "max"), (12, "-", ""), (12, "1.0", "1.01"), (12, "1'000", "1001")}


def test_one_place_is_changed_and_all_else_stays():
    for mutant in mutants.mutants_of("f.cpp", SOURCE):
        changed = mutant.applied(SOURCE)
        end = mutant.start + len(mutant.before)
        assert changed == SOURCE[: mutant.start] + mutant.after + SOURCE[end:] != SOURCE
        assert SOURCE.split("\n")[mutant.line - 1][mutant.column - 1 :].startswith(mutant.before)


@pytest.mark.parametrize("word, other", [("0", "1"), ("9", "10"), ("1'000", "1001"), ("0.0", "1.0"), ("2.5", "2.525"), ("1e3", "1010.0"), (".5", "0.505")])
def test_a_number_is_changed_by_one_or_one_percent(word, other):
    assert mutants.changed_number(word) == other


def test_sums_are_dropped_whole():
    (found,) = [m for m in mutants.mutants_of("f.cpp", 'void f() {\n    for (int i = 0; i < 3; ++i) sum[i] += name(i, "x;y");\n}\n') if m.kind == "sum dropped"]
    assert (found.before, found.after) == ('sum[i] += name(i, "x;y");', ";")


@pytest.fixture(scope="module")
def real():
    project = mutate.Project(tree.ROOT, tree.ROOT / "build" / "mutation")
    texts = project.sources()
    return texts, [m for file, text in texts.items() for m in mutants.mutants_of(file, text)]


def test_every_folder_of_numbers_and_rules_has_faults_of_every_kind(real):
    texts, found = real
    assert {m.kind for m in found} == {*mutants.KIND.values(), "sign dropped", "extreme", "truth", "number", "whole number", "sum dropped"}
    assert {m.file.split("/")[2] for m in found} == set(mutate.FOLDERS)
    assert len(found) > 20_000 and len({m.key for m in found}) == len(found)
    assert "libseal/src/climate/station_table.cpp" not in texts and "libseal/src/life/weibull.cpp" in texts


def test_a_seed_is_an_order_with_all_kinds_in_turn(real):
    _, found = real
    order = mutate.drawn(found, 1)
    assert order == mutate.drawn(found, 1) and order[:50] != mutate.drawn(found, 2)[:50]
    assert sorted(m.key for m in order) == sorted(m.key for m in found)
    kinds = {m.kind for m in found}
    assert {m.kind for m in order[: len(kinds)]} == kinds
    fewer = mutate.drawn([m for m in found if m.file != order[0].file], 1)
    for kind in kinds:
        assert [m for m in fewer if m.kind == kind] == [m for m in order if m.kind == kind and m.file != order[0].file]


def test_slices_share_no_fault_and_hold_all():
    parts = [mutate.slots_of(150, f"{k}/6") for k in range(1, 7)]
    assert sorted(slot for part in parts for slot in part) == list(range(150))
    order = list(range(1000))
    stand_ins = [list(mutate.candidates(order, 150, slot)) for slot in range(150)]
    assert sorted(place for ones in stand_ins for place in ones) == order
    for wrong in ("0/6", "7/6"):
        with pytest.raises(ValueError, match="--slice"):
            mutate.slots_of(150, wrong)


RULE = """int limited(int x) { return x < 3 ? x : 3; }
int emptied(int n) {
    while (n > 0) n -= 1;
    return n;
}
int kind(int x) {
    switch (x) {
        case 1: return 4;
        case 2: return 6;
    }
    return 8;
}
bool unseen() { return true; }
"""
TESTS = """#include <cstdio>
#include <cstring>
int limited(int); int emptied(int); int kind(int);
int main(int, char** given) {
    const bool own = std::strcmp(given[2], "[#rule_test]~[.]") == 0, others = std::strcmp(given[2], "~[#rule_test]") == 0 || std::strcmp(given[2], "~[.]") == 0;
    if (!own && !others) return 9;
    if (own && (limited(2) != 2 || limited(5) != 3)) { std::puts("limits"); return 1; }
    if (others && (emptied(2) != 0 || kind(1) != 4 || kind(2) != 6)) { std::puts("others"); return 1; }
}
"""
# Line, what becomes what, and what must come of it.
OUTCOME = {
    (1, "<", "<="): "survived", (1, "3", "4", 1): "survived", (1, "3", "4", 2): "killed",
    (3, ">", ">="): "killed", (3, "0", "1"): "killed", (3, "1", "2"): "survived", (3, "n -= 1;", ";"): "timed out",
    (8, "1", "2"): "stillborn", (8, "4", "5"): "killed", (9, "2", "3"): "killed", (9, "6", "7"): "killed", (11, "8", "9"): "survived", (13, "true", "false"): "survived"}


@pytest.fixture
def small(tmp_path):
    """A project of one source and one test program, in folders of the usual names."""
    if shutil.which("g++") is None:
        pytest.skip("needs g++")
    (tmp_path / "libseal" / "src" / "life").mkdir(parents=True)
    (tmp_path / "tests" / "life").mkdir(parents=True)
    (tmp_path / "libseal" / "src" / "life" / "rule.cpp").write_text(RULE)
    (tmp_path / "tests" / "life" / "rule_test.cpp").write_text(TESTS)
    return mutate.Project(tmp_path, tmp_path / "work", copied=("libseal", "tests"), configure=(),
                          build=("g++", "-O0", "-o", "program", "libseal/src/life/rule.cpp", "tests/life/rule_test.cpp"), tests=("./program",),
                          shortest_limit=1.0)


def run(project, capsys, *arguments, judged=None):
    judged = judged or project.root / "judged.json"
    code = mutate.main(["--sample", "5", *arguments], project, judged)
    return code, capsys.readouterr().out


def results_of(project):
    return json.loads((project.work / "results.json").read_text())["results"]


def test_faults_are_built_tested_and_counted(small, capsys):
    """Five slots of thirteen faults: every one that compiles and comes up is judged as it must be."""
    code, said = run(small, capsys, "--sample", "13")
    found = list(results_of(small).values())
    assert len(found) == 13 and code == 1
    seen = {}
    for r in sorted(found, key=lambda r: (r["line"], r["column"])):
        same = [key for key in OUTCOME if key[:3] == (r["line"], r["before"], r["after"])]
        key = same[min(len(same) - 1, sum(k in seen for k in same))]
        seen[key] = r["outcome"]
    assert seen == OUTCOME
    assert "7 of 12 faults noticed (58 %), 1 of them by their time; 5 not, 0 judged equal, 1 did not compile" in said
    table = [line for line in said.splitlines() if line.startswith("| libseal")]
    assert len(table) == 5 and "| libseal/src/life/rule.cpp | 13 | true | false | bool unseen() { return true; } |" in table
    killed = {r["by"] for r in found if r["outcome"] == "killed"}
    assert killed == {"limits", "others"}
    assert (small.tree / "libseal" / "src" / "life" / "rule.cpp").read_text() == RULE


def test_a_run_goes_on_where_it_stopped_and_slices_add_up(small, capsys):
    assert run(small, capsys, "--slice", "1/2", "--minutes", "0")[0] == 3 and not (small.work / "results.json").exists()
    one, two = run(small, capsys, "--slice", "1/2"), run(small, capsys, "--slice", "2/2")
    kept = results_of(small)
    assert sum(r["outcome"] != "stillborn" for r in kept.values()) == 5
    small.build = ("false",)  # nothing is built again
    assert run(small, capsys, "--slice", "1/2", "--minutes", "0")[1].splitlines()[-1] == one[1].splitlines()[-1]
    assert run(small, capsys, "--slice", "2/2")[1].splitlines()[-1] == two[1].splitlines()[-1]
    assert results_of(small) == kept
    whole = run(small, capsys)[1]
    assert "slice 1/1 of 5" in whole
    (small.root / "libseal" / "src" / "life" / "rule.cpp").write_text(RULE + "// changed\n")
    assert run(small, capsys)[0] == 2  # results of another text are no results


def test_what_survived_is_tried_again_when_tests_were_added(small, capsys):
    run(small, capsys, "--sample", "13")
    first = results_of(small)
    rule = small.root / "tests" / "life" / "rule_test.cpp"
    rule.write_text(TESTS.replace("own && (", "own && (kind(7) != 8 || "))
    assert run(small, capsys, "--sample", "13")[0] == 1 and results_of(small) == first  # by itself it repeats nothing
    judged = small.root / "judged.json"  # what was judged is left alone
    judged.write_text(json.dumps({"equal": [{**{name: r[name] for name in ("file", "code", "before", "after")}, "reason": "no caller"}
                                            for r in first.values() if r["outcome"] == "survived" and r["line"] != 11]}))
    built = small.build
    small.build = ("bash", "-c", f"echo >>built && {' '.join(built)}")
    run(small, capsys, "--sample", "13", "--again")
    assert len((small.tree / "built").read_text()) == 2  # the tree, and one fault
    changed = [key for key, r in results_of(small).items() if r != first[key] and r["outcome"] != first[key]["outcome"]]
    assert [(first[key]["line"], first[key]["outcome"], results_of(small)[key]["outcome"]) for key in changed] == [(11, "survived", "killed")]


def test_a_fault_judged_equal_does_not_count_and_the_rest_must_reach_the_share(small, capsys):
    run(small, capsys, "--sample", "13")
    lost = [r for r in results_of(small).values() if r["outcome"] == "survived"]
    judged = small.root / "judged.json"
    judged.write_text(json.dumps({"equal": [{**{name: r[name] for name in ("file", "code", "before", "after")}, "reason": "no caller"} for r in lost]}))
    code, said = run(small, capsys, "--sample", "13")
    assert code == 0 and "(100 %)" in said and "0 not, 5 judged equal" in said and "| libseal" not in said
    code, said = run(small, capsys, "--report")
    assert code == 0 and "(100 %)" in said


def test_no_fault_is_judged_while_the_tests_fail_without_one(small, capsys):
    (small.root / "tests" / "life" / "rule_test.cpp").write_text(TESTS.replace("!= 2 ||", "!= 7 ||"))
    assert run(small, capsys)[0] == 2
    assert not (small.work / "results.json").exists()


def test_files_that_went_leave_the_copy(small):
    small.copy()
    (small.root / "libseal" / "src" / "life" / "gone.cpp").write_text("")
    small.copy()
    before = (small.tree / "libseal" / "src" / "life" / "rule.cpp").stat().st_mtime_ns
    (small.root / "libseal" / "src" / "life" / "gone.cpp").unlink()
    small.copy()
    assert not (small.tree / "libseal" / "src" / "life" / "gone.cpp").exists()
    assert (small.tree / "libseal" / "src" / "life" / "rule.cpp").stat().st_mtime_ns == before


CATCH = '''
~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~
libseal_tests is a Catch v2.13.10 host application.
Run with -? for options

-------------------------------------------------------------------------------
a life through two points
  and its quantiles
-------------------------------------------------------------------------------
tests/life/weibull_test.cpp:20
...............................................................................

tests/life/weibull_test.cpp:22: FAILED:
  CHECK( 1 == 2 )

===============================================================================
test cases: 1 | 1 failed
'''


def test_who_noticed_a_fault_is_told_by_name_or_by_the_last_words():
    assert mutate.tell(CATCH) == "a life through two points"
    assert mutate.tell("one\nSegmentation fault\n\n") == "Segmentation fault" and mutate.tell("") == ""


def test_nothing_noticed_is_no_success():
    assert mutate.share({"killed": 0, "timed out": 0, "survived": 0}) == 0
    assert mutate.share({"killed": 9, "timed out": 0, "survived": 1}) >= mutate.WANTED > mutate.share({"killed": 8, "timed out": 0, "survived": 1})


def test_what_was_judged_equal_is_still_there_and_has_a_reason(real):
    _, found = real
    places = {(m.file, m.code, m.before, m.after) for m in found}
    for entry, reason in mutate.judged_equal(tree.ROOT / "tests" / "mutation" / "judged.json").items():
        assert entry in places, entry
        assert len(reason) > 20, entry


def test_slices_of_the_long_run_end_within_an_hour():
    script = (tree.ROOT / "tests" / "run.sh").read_text()
    (slices,), (sample,), (minutes,) = (re.findall(pattern, script) for pattern in (r"mutation_slices=(\d+)", r"--sample (\d+)", r"--minutes (\d+)"))
    assert int(minutes) <= 50 and int(sample) / int(slices) <= 30
    listed = subprocess.run([sys.executable, tree.ROOT / "tests" / "mutation" / "mutate.py", "--list", "--sample", sample, "--slice", f"1/{slices}"],
                            capture_output=True, text=True, check=True).stdout.splitlines()
    assert len(listed) == len(mutate.slots_of(int(sample), f"1/{slices}"))
