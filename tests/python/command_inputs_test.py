"""Commands with odd input, and where output cannot go: what is told, with which exit code, and what is written. All data are synthetic."""

import datetime
import errno
import io
import json
import math
import os
import pathlib
import re
import subprocess
import sys
import types

import pytest

import libseal

pytest.importorskip("click")

from libseal.cli import codes, main  # noqa: E402
from libseal.cli.output import Output, plain  # noqa: E402

DAY = ["--as-of", "2026-11-25"]
HEAD = "id,layout,length_m,installed,station,stay_from\n"
LOST = "A,camper_van,6,2024-01-01,nowhere at all,2024-01-01\n"
AT = LOST.index("nowhere") + 1  # column of the station, from 1


def called(*words, **more):
    return subprocess.run([sys.executable, "-m", "libseal", *words], stderr=subprocess.PIPE, text=True, **more)


@pytest.fixture
def folder(tmp_path, capsys, monkeypatch):
    """The folder that `start` makes, from a place where usual file names go."""
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    assert main(["start", str(tmp_path / "yard")]) == 0
    capsys.readouterr()
    return tmp_path / "yard"


@pytest.fixture
def resealed(tmp_path):
    """A record of the work on the roof vent of EX-1 that had cracks, and one of another coach."""
    file = tmp_path / "work.csv"
    file.write_text("coach,joint,layer,date,action,family\nEX-1,roof_vent_1,cap_bead,2026-06-01,cut_out_and_reseal,self_levelling_lap\n"
                    "EX-2,roof_vent_1,cap_bead,2026-06-01,cut_out_and_reseal,self_levelling_lap\n")
    return file


def test_no_words_at_all_get_the_help_and_the_code_of_a_wrong_call(capsys):
    assert main([]) == codes.USAGE
    told = capsys.readouterr()
    assert told.out == "" and "error" not in told.err and told.err.count("Usage:") == 1
    assert "-h, --help" in told.err and "Exit codes:" in told.err


@pytest.mark.skipif(not pathlib.Path("/dev/full").exists(), reason="needs /dev/full")
def test_a_wrong_call_is_told_where_standard_output_takes_nothing():
    """Without room there, or without a reader, the words are on standard error: no traceback, and the code of a wrong call."""
    with open("/dev/full", "w") as full:
        run = called("check", "--json", stdout=full)
    assert run.returncode == codes.USAGE and run.stderr.splitlines() == ["error: Missing argument 'PLACE'."]
    reader, writer = os.pipe()
    os.close(reader)
    run = called("check", "--json", stdout=writer)
    os.close(writer)
    assert run.returncode == codes.USAGE and run.stderr.splitlines() == ["error: Missing argument 'PLACE'."]


def test_words_to_type_next_are_quoted(tmp_path, capsys):
    place = str(tmp_path / "it's my yard")
    assert main(["start", place]) == 0
    following = re.search(r"next: libseal (.*)", capsys.readouterr().out)[1]
    done = subprocess.run(["sh", "-c", f'"$0" -m libseal {following} {" ".join(DAY)}', sys.executable], capture_output=True, text=True)
    assert done.returncode == 0 and "nothing is wrong" in done.stdout


def test_a_device_that_is_full_has_its_place_in_the_problem(folder, capsys):
    """Packets are written by the library's Python part, whose errors have problems as all others have."""
    pytest.importorskip("jinja2")
    (folder / "file").write_text("")
    assert main(["report", str(folder), "--packets", str(folder / "file" / "x"), "--json", *DAY]) == codes.FILE_PROBLEM
    told = capsys.readouterr()
    (problem,) = json.loads(told.out)["problems"]
    assert problem["file"] == str(folder / "file" / "x") and problem["got"] == os.strerror(errno.ENOTDIR)
    assert f"error: {folder / 'file' / 'x'}: expected a file that can be written" in told.err


def test_findings_of_a_sheet_come_from_standard_input_too(folder, tmp_path):
    pytest.importorskip("jinja2")
    named = called("sheet", str(folder / "fleet.csv"), "--coach", "EX-1", "--findings", str(folder / "findings.csv"), "--out", "-", *DAY,
                   stdout=subprocess.PIPE)
    piped = called("sheet", str(folder / "fleet.csv"), "--coach", "EX-1", "--findings", "-", "--out", "-", *DAY,
                   stdout=subprocess.PIPE, input=(folder / "findings.csv").read_text())
    assert named.returncode == piped.returncode == 0, piped.stderr
    assert piped.stdout == named.stdout and "Last 2025-05-12" in piped.stdout
    assert piped.stderr.splitlines() == ["note: 3 findings are of other coaches or later than 2026-11-25"]


def test_sheet_and_leak_know_the_work_that_was_done(folder, resealed, capsys):
    """A bead laid in June is young in November: the sheet tells it, and the vent is less likely open than its cracks of 2025 say."""
    pytest.importorskip("jinja2")
    words = [str(folder), "--coach", "EX-1", *DAY]
    assert main(["sheet", *words, "--out", "-"]) == 0
    assert "work done since" not in capsys.readouterr().out
    assert main(["sheet", *words, "--work-done", str(resealed), "--out", "-"]) == 0
    told = capsys.readouterr()
    assert "work done since, 2026-06-01" in told.out
    assert "note: 1 record of work is of another coach or later than 2026-11-25" in told.err

    def before(*more):
        assert main(["leak", *words, "--stain", "roof,2.0,0.1", "--most", "99", "--out", "leak.svg", "--json", *more]) == 0
        found = json.loads(capsys.readouterr().out)["result"]["candidates"]
        return {c["joint"]: c["before"] for c in found}

    old, new = before(), before("--work-done", str(resealed))
    assert new["roof_vent_1"] < 0.5 * old["roof_vent_1"]
    assert "work done since" in pathlib.Path("leak.svg").read_text()
    resealed.rename(folder / "work_done.csv")  # the usual name in a folder
    assert before() == new


def test_a_sheet_of_an_earlier_day_leaves_out_what_came_later(folder, capsys):
    """Findings of the folder and those of --findings are taken alike: later ones are counted, not refused."""
    pytest.importorskip("jinja2")
    for more in ([], ["--findings", str(folder / "findings.csv")]):
        assert main(["sheet", str(folder), "--coach", "EX-1", "--out", "-", "--as-of", "2025-05-01", *more]) == 0
        told = capsys.readouterr()
        assert "note: 5 findings are of other coaches or later than 2025-05-01" in told.err and "Last 2025" not in told.out
    (folder / "findings.csv").write_text("coach,joint\n")  # the option wins over the folder
    (folder / "other.csv").write_text("coach,joint,layer,sign,date\nEX-1,window_1,cap_bead,clean_look,2025-04-01\n")
    assert main(["sheet", str(folder), "--coach", "EX-1", "--out", "-", *DAY, "--findings", str(folder / "other.csv")]) == 0
    assert "Last 2025-04-01" in capsys.readouterr().out


def test_papers_of_coaches_of_one_fleet_do_not_overwrite_each_other(folder, tmp_path):
    pytest.importorskip("jinja2")
    for coach in ("EX-1", "EX-3"):
        assert main(["sheet", str(folder / "fleet.csv"), "--coach", coach, *DAY]) == 0
    assert main(["leak", str(folder / "fleet.csv"), "--coach", "EX-3", "--stain", "roof,2.0,0.1", *DAY]) == 0
    (tmp_path / "my van.json").write_text(libseal.coach_json(libseal.read_fleet(folder / "fleet.csv").coaches[2]))
    assert main(["sheet", str(tmp_path / "my van.json"), *DAY]) == 0
    assert sorted(os.listdir()) == ["EX-1_sheet.html", "EX-3_leak.svg", "EX-3_sheet.html", "my van_sheet.html"]


@pytest.mark.parametrize("words", ["roof", "roof,1", "roof,1,x", "roof,nan,1", "roof,1,inf", "roof,1,2,slide_1,more"])
def test_marks_that_are_no_place_are_refused_as_they_were_typed(folder, words, capsys):
    assert main(["leak", str(folder), "--coach", "EX-1", "--stain", words, *DAY]) == codes.USAGE
    assert f'got "{words}"' in capsys.readouterr().err


def test_a_week_at_the_end_of_all_dates_is_refused(folder, capsys):
    pytest.importorskip("jinja2")
    assert main(["report", str(folder), "--week", "9999-12-31", "--json", *DAY]) == codes.BAD_INPUT
    (problem,) = json.loads(capsys.readouterr().out)["problems"]
    assert (problem["field"], problem["got"]) == ("week", "9999-12-31") and os.listdir() == []


def test_an_overlay_without_a_family_is_refused(folder, capsys):
    """Nothing would be written: it is told at once, not passed over."""
    assert main(["tune", str(folder), "--overlay", "lives.json", "--json", *DAY]) == codes.USAGE
    assert json.loads(capsys.readouterr().out)["problems"][0]["expected"] == "--approve FAMILY with --overlay"
    assert os.listdir() == []


def test_lives_alone_go_to_standard_output(capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert main(["calibration", "--place", "miami intl", "--csv", "-"]) == 0
    told = capsys.readouterr()
    assert told.out == libseal.calibration_csv(libseal.calibration_table(places=["miami intl"])) and told.err == ""
    assert os.listdir() == []


@pytest.mark.parametrize(("name", "text", "place"), [
    ("a.csv", HEAD + LOST, (2, AT)), ("A.CSV", "\ufeff" + HEAD.replace("\n", "\r\n") + LOST.replace("\n", "\r\n"), (2, AT)),
    ("b.csv", HEAD + "\n\nB,camper_van,6,2024-01-01,south bend,2024-01-01\n" + LOST, (5, AT)), ("fleet.json", None, (0, 0)), ("c.csv", None, (0, 0))])
def test_unknown_stations_have_their_place(tmp_path, name, text, place, capsys):
    """Line and column in a CSV table, however the file is named, and none in JSON, whatever its name."""
    if text is None:
        text = libseal.fleet_json(libseal.read_fleet_text(HEAD + LOST, "made here"))
    (tmp_path / name).write_text(text, encoding="utf-8", newline="")
    assert main(["check", str(tmp_path / name), "--json", *DAY]) == codes.BAD_INPUT
    (problem,) = json.loads(capsys.readouterr().out)["problems"]
    assert (problem["line"], problem["column"]) == place and problem["field"] == "A.station" and problem["file"] == str(tmp_path / name)


def test_standard_input_is_called_so_in_every_problem():
    run = called("check", "-", *DAY, stdout=subprocess.PIPE, input=HEAD + LOST)
    assert run.returncode == codes.BAD_INPUT and run.stderr.startswith("error: <standard input>: A.station: ")


def test_a_folder_that_has_a_fleet_twice_is_not_guessed_about(folder, capsys):
    (folder / "fleet.json").write_text("{}")
    assert main(["check", str(folder), *DAY]) == codes.BAD_INPUT
    assert "expected one of fleet.csv and fleet.json, got both" in capsys.readouterr().err


def test_places_without_a_fleet_or_a_shop_say_what_is_missing(folder, tmp_path, capsys):
    (tmp_path / "empty place").mkdir()
    assert main(["check", str(tmp_path / "empty place"), *DAY]) == codes.FILE_PROBLEM
    assert f"hint: libseal start '{tmp_path / 'empty place'}'" in capsys.readouterr().err
    assert main(["calendar", str(folder / "fleet.csv"), *DAY]) == codes.USAGE
    assert "--shop FILE" in capsys.readouterr().err
    assert main(["sheet", str(folder), *DAY]) == codes.USAGE
    assert "got 3 coaches" in capsys.readouterr().err


def test_a_fleet_without_coaches_goes_through(folder, tmp_path, capsys):
    pytest.importorskip("jinja2")
    (tmp_path / "none.csv").write_text("id,layout,length_m\n")
    place, shop = str(tmp_path / "none.csv"), ["--shop", str(folder / "shop.json")]
    for words in (["check", place], ["forecast", place], ["plan", place, *shop], ["plan", place, *shop, "--start", "2027-05-03"], ["calendar", place, *shop],
                  ["report", place, *shop, "--packets", "packets"]):
        assert main([*words, "--json", *DAY]) == 0
        told = json.loads(capsys.readouterr().out)
        assert told["problems"] == []
        if "--start" in words:
            assert told["result"]["schedule"] is None and "nothing to schedule" in told["notes"]
        if words[0] == "forecast":
            assert told["result"]["rows"] == 0 and set(map(len, told["result"]["columns"].values())) == {0}
    assert "No visit is needed." in pathlib.Path("report.html").read_text() and os.listdir("packets") == []


def test_a_coach_that_stands_nowhere_is_a_problem_of_its_own(tmp_path, capsys):
    (tmp_path / "f.csv").write_text("id,layout,length_m,installed\nA,camper_van,6,2024-01-01\n")
    assert main(["check", str(tmp_path / "f.csv"), "--json", *DAY]) == codes.BAD_INPUT
    (problem,) = json.loads(capsys.readouterr().out)["problems"]
    assert problem["field"] == "A" and problem["got"] == "none" and "stay_from" in problem["hint"]


def test_tables_in_the_terminal_say_how_much_is_left_out(folder, capsys):
    assert main(["forecast", str(folder), "--coach", "EX-1", "--most", "3", *DAY]) == 0
    lines = capsys.readouterr().out.splitlines()
    rows = sum(len(j.layers) for j in libseal.read_fleet(folder / "fleet.csv").coaches[0].joints)
    assert len(lines) == 5 and lines[-1] == f"... and {rows - 3} more"


def test_what_comes_from_arrays_is_plain_in_a_document():
    """Days as text, what is not known as null; what has no form in JSON is an error and not a guess."""
    numpy = pytest.importorskip("numpy")
    given = {"n": numpy.float64("nan"), "i": numpy.int64(3), "d": numpy.datetime64("2026-05-01"), "ds": numpy.array(["2026-05-01", "2026-05-02"], "datetime64[D]"),
             "f": numpy.array([1.5, numpy.inf]), "t": (datetime.date(2026, 5, 1), None, True), "x": math.inf}
    assert plain(given) == {"n": None, "i": 3, "d": "2026-05-01", "ds": ["2026-05-01", "2026-05-02"], "f": [1.5, None], "t": ["2026-05-01", None, True], "x": None}
    with pytest.raises(TypeError, match="no JSON for object"):
        plain(object())


def test_progress_is_drawn_on_a_terminal_alone(monkeypatch):
    """A bar a stage that goes forwards only; none with --quiet, without a terminal, or without tqdm."""
    class Terminal(io.StringIO):
        def isatty(self):
            return True

    monkeypatch.setattr(sys, "stderr", Terminal())
    pytest.importorskip("tqdm")
    with Output("forecast").progress() as show:
        for stage, fraction in (("clocks", 0.5), ("clocks", 0.2), ("clocks", 1.0), ("rows", 1.0)):
            show(types.SimpleNamespace(stage=stage, fraction=fraction))
    drawn = sys.stderr.getvalue()
    assert drawn.index("clocks") < drawn.index("rows")
    with Output("forecast", quiet=True).progress() as show:
        assert show is None
    monkeypatch.setitem(sys.modules, "tqdm", None)
    with Output("forecast").progress() as show:
        assert show is None
    monkeypatch.setattr(sys, "stderr", io.StringIO())
    with Output("forecast").progress() as show:
        assert show is None


def test_the_version_is_that_of_the_library(capsys):
    assert main(["--version"]) == 0
    assert capsys.readouterr().out.strip() == libseal.__version__


def test_without_click_the_commands_say_what_to_install():
    """With exit code 5, of an optional package that is missing; pages without jinja2 end so too."""
    code = "import sys; sys.modules['click'] = None; from libseal.cli import main; sys.exit(main(['check', '.']))"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert (run.returncode, run.stdout, run.stderr) == (codes.NEEDS_PACKAGE, "", 'error: the command line needs click: pip install "libseal[cli]"\n')


def test_a_page_without_its_templates_names_the_package(folder):
    code = "import sys; sys.modules['jinja2'] = None; from libseal.cli import main; sys.exit(main(sys.argv[1:]))"
    run = subprocess.run([sys.executable, "-c", code, "sheet", str(folder), "--coach", "EX-1", "--quiet", *DAY], capture_output=True, text=True)
    assert run.returncode == codes.NEEDS_PACKAGE and "pip install jinja2" in run.stderr and os.listdir() == []


def test_a_fault_of_the_program_says_that_it_is_one(folder, monkeypatch, capsys):
    def broken(*_, **__):
        raise KeyError("lost")

    monkeypatch.setattr(libseal, "forecast", broken)
    assert main(["forecast", str(folder), "--json", *DAY]) == codes.DEFECT
    told = capsys.readouterr()
    assert json.loads(told.out)["problems"][0]["got"] == "KeyError: 'lost'" and "Traceback" in told.err


def test_a_plan_that_finds_no_schedule_ends_with_a_code(folder, capsys):
    """One person alone in the shop, and an awning that two take down: that is told, with exit code 1."""
    shop = json.loads((folder / "shop.json").read_text())
    del shop["people"][1:]
    (folder / "shop.json").write_text(json.dumps(shop))
    words = ["plan", str(folder), "--coach", "EX-2", "--due-before", "2027-12-31", *DAY]
    assert main([*words, "--start", "2027-05-03"]) == codes.BAD_INPUT
    text = capsys.readouterr().out
    assert "schedule: infeasible" in text and "needs 2 people at once; the shop has 1" in text
