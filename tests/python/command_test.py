"""Commands of the package."""

import csv
import subprocess
import sys

import pytest

import libseal
from libseal.__main__ import main


def test_the_module_runs_as_a_command():
    run = subprocess.run([sys.executable, "-m", "libseal", "calibration", "--place", "south bend"], capture_output=True, text=True)
    assert run.returncode == 0, run.stderr
    assert "self_levelling_lap, cap_bead" in run.stdout and "building_survey" in run.stdout


def test_the_table_goes_to_two_files(tmp_path, capsys):
    target = tmp_path / "lives.csv"
    assert main(["calibration", "--preset", "building", "--place", "miami intl", "--csv", str(target)]) == 0
    assert capsys.readouterr().out == ""
    lives = list(csv.DictReader(target.open(encoding="utf-8")))
    checks = list(csv.DictReader((tmp_path / "lives_checks.csv").open(encoding="utf-8")))
    table = libseal.calibration_table(catalogue=libseal.Catalogue.preset("building"), places=["miami intl"])
    assert [float(row["median_yr"]) for row in lives] == pytest.approx(list(table.lives.median), abs=5e-5)
    assert [row["subject"] for row in checks] == table.checks.subject
    assert all(row["verdict"] for row in lives + checks)


def test_what_no_reason_explains_is_an_exit_code(tmp_path, capsys):
    own = tmp_path / "own.json"
    own.write_text('{"schema": "libseal/catalogue/1", "values": {"sealant/polyurethane/median_life": '
                   '{"value": 30, "high": 40, "source": "made up for this test", "mark": "judgement"}}}')
    assert main(["calibration", "--place", "south bend", "--overlay", str(own)]) == 1
    told = capsys.readouterr().err
    assert "warning: " in told and "own.json" in told  # beyond the range beneath, taken all the same
    assert "median_in_trade_range, polyurethane" in told


def test_wrong_input_is_told_and_not_thrown(capsys):
    assert main(["calibration", "--place", "no such place"]) == 2
    assert "no such place" in capsys.readouterr().err
    assert main(["calibration", "--overlay", "no/such/file.json"]) == 2
    with pytest.raises(SystemExit):
        main(["calibration", "--preset", "ship"])


def test_the_catalogue_has_presets_and_a_check_of_itself():
    assert libseal.Catalogue.preset_names() == ["coach", "building"]
    building = libseal.Catalogue.preset("building")
    assert building.number("sealant/polysulfide/median_life") == 9
    assert libseal.check_catalogue(building) == [] and building.warnings == []
    with pytest.raises(libseal.ValueError, match="did you mean"):
        libseal.Catalogue.preset("buildings")
