"""The closing line of a run is only as good as the reading of the logs."""

import pathlib

import tally

# Forms of the console reporter of Catch2 2.13 and 3.7.
PASSED = "All tests passed (3194 assertions in 17 test cases)\n"
ONE_PASSED = "All tests passed (1 assertion in 1 test case)\n"
FAILED_2 = "test cases:  17 |  15 passed | 2 failed\nassertions: 394 | 392 passed | 2 failed\n"
FAILED_3 = "test cases: 9 | 6 passed | 1 failed | 2 skipped\nassertions: 40 | 39 passed | 1 failed\n"
ONLY_FAILED = "test cases: 1 | 1 failed\nassertions: 1 | 1 failed\n"


def test_logs_of_both_generations_are_counted():
    assert tally.catch_counts(PASSED) == (17, 0, 0)
    assert tally.catch_counts(ONE_PASSED) == (1, 0, 0)
    assert tally.catch_counts(FAILED_2) == (15, 2, 0)
    assert tally.catch_counts(FAILED_3) == (6, 1, 2)
    assert tally.catch_counts(ONLY_FAILED) == (0, 1, 0)


def test_a_test_without_its_data_counts_as_skipped():
    assert tally.catch_counts(PASSED + "skipped test cases: 4\n") == (13, 0, 4)


def test_a_program_that_died_is_a_failure():
    assert tally.catch_counts("") == (0, 1, 0)
    assert tally.catch_counts("No tests ran\n") == (0, 1, 0)
    assert tally.catch_counts(PASSED + tally.CRASHED + "\n") == (17, 1, 0)


def test_reports_of_pytest_are_counted():
    report = '<testsuites><testsuite tests="9" failures="1" errors="1" skipped="3"/></testsuites>'
    assert tally.junit_counts(report) == (4, 2, 3)


def test_the_closing_line_and_the_exit_code(tmp_path: pathlib.Path, capsys):
    (tmp_path / "cpp.catch").write_text(PASSED + "published checks: 3 values from 1 publications\n")
    assert tally.main(tmp_path) == 0
    out = capsys.readouterr().out
    assert out.endswith("\n17 passed, 0 failed, 0 skipped\n")
    assert "published checks: 3 values from 1 publications" in out
    (tmp_path / "pytest.broken").write_text("pytest ended with exit code 4")
    assert tally.main(tmp_path) == 1


def test_a_run_of_no_test_is_no_success(tmp_path: pathlib.Path):
    assert tally.main(tmp_path) == 1
