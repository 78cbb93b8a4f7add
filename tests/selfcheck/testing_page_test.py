"""docs/testing.md says how many tests there are and which long runs; both are as the sources have them."""

import re
import subprocess

import count_tests
import pytest
import tree

PAGE = tree.ROOT / "docs" / "testing.md"


def test_the_counts_of_the_page_are_those_of_the_sources():
    text = PAGE.read_text(encoding="utf-8")
    assert count_tests.written(text, count_tests.block(tree.ROOT)) == text, "python3 tests/support/count_tests.py --write"


def test_the_page_names_every_long_run_and_no_other():
    usage = (tree.ROOT / "tests" / "run.sh").read_text().partition("TEXT'")[2].partition("\nTEXT\n")[0]
    wanted = {name.partition("-")[0] for name in re.findall(r"--slow=([a-z0-9-]+)", usage)}
    found = {name.partition("-")[0] for name in re.findall(r"--slow=([a-z0-9-]+)", PAGE.read_text(encoding="utf-8").partition("## Slices")[2])}
    assert len(wanted) > 10 and found == wanted


def test_what_the_page_points_at_is_there():
    for name in re.findall(r"`(tests/[\w/.]+)`", PAGE.read_text(encoding="utf-8")):
        assert (tree.ROOT / name).exists() or name.endswith("results.json"), name


def test_the_count_of_cases_is_that_of_the_program(build_folder):
    program = build_folder / "tests" / "libseal_tests"
    sources = [*(tree.ROOT / "tests").glob("*/*_test.cpp")]
    if not program.exists() or program.stat().st_mtime < max(path.stat().st_mtime for path in sources):
        pytest.skip("needs the test program as the sources are now")
    listed = subprocess.run([program, "--list-tests", "~[.none]"], capture_output=True, text=True).stdout
    assert int(re.search(r"^(\d+) (?:matching )?test cases?$", listed, flags=re.MULTILINE)[1]) == count_tests.cpp_cases(tree.ROOT)[0].total()


def test_counting_of_a_small_tree(tmp_path):
    for folder in ("tests/life", "tests/python", "tests/fuzz/corpus/a", "libseal/include/libseal/core", "tests/mutation"):
        (tmp_path / folder).mkdir(parents=True)
    (tmp_path / "tests/life/a_test.cpp").write_text(
        'TEST_CASE("one, \\"quoted\\"", "[life]") { count_published("B", 2); count_published("B"); count_published(name, 1); }\n'
        'TEST_CASE("two") { check_property("x", 5, [] {}); }\n// TEST_CASE("no") count_published("C")\nTEST_CASE("three", "[.slow][life]") {}\n')
    (tmp_path / "tests/python/a_test.py").write_text("@hypothesis.given(1)\ndef test_a():\n    pass\n\n\ndef test_b():\n    pass\n\n\ndef helper():\n    pass\n")
    (tmp_path / "tests/fuzz/fuzz_a.cpp").write_text("")
    (tmp_path / "tests/fuzz/corpus/a/seed").write_text("")
    (tmp_path / "libseal/include/libseal/core/limits.hpp").write_text("inline constexpr int a = 1;\ninline constexpr std::size_t b = 2;\n// inline constexpr int c = 3;\n")
    assert count_tests.cpp_cases(tmp_path) == ({"life": 2}, {"life": 1})
    assert count_tests.published(tmp_path) == (3, 1)
    assert (count_tests.python_functions(tmp_path, "python"), count_tests.properties(tmp_path), count_tests.fuzzing(tmp_path)) == (2, (1, 1), (1, 1))
    assert count_tests.limits(tmp_path) == 2 and count_tests.small_faults(tmp_path) == "no results kept"
    (tmp_path / "tests/mutation/results.json").write_text('{"count": {"killed": 8, "timed out": 1, "survived": 1, "equal": 2, "stillborn": 4}}')
    assert count_tests.small_faults(tmp_path) == "9 of 10 noticed, 2 judged equal"
    with pytest.raises(ValueError, match="expected"):
        count_tests.written("no marks", "x")
