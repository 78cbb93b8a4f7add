"""Commands of the package, as a user calls them."""

import csv
import json
import os
import pathlib
import re
import resource
import signal
import subprocess
import sys
import time

import pytest

import libseal

pytest.importorskip("click")

from libseal.cli import app, codes, main, owners  # noqa: E402
from libseal.files import safe_name, write_whole  # noqa: E402

DAY = ["--as-of", "2026-11-25"]


def libseal_command(*words, **more):
    return subprocess.run([sys.executable, "-m", "libseal", *words], capture_output=True, text=True, **more)


@pytest.fixture
def folder(tmp_path, capsys):
    assert main(["start", str(tmp_path / "yard")]) == 0
    capsys.readouterr()
    return tmp_path / "yard"


def document(capsys):
    """The one JSON document that standard output holds."""
    return json.loads(capsys.readouterr().out)


def test_the_module_runs_as_a_command():
    run = libseal_command("calibration", "--place", "south bend")
    assert run.returncode == 0, run.stderr
    assert "self_levelling_lap, cap_bead" in run.stdout and "building_survey" in run.stdout


def test_the_table_goes_to_two_files(tmp_path, capsys):
    target = tmp_path / "lives.csv"
    assert main(["calibration", "--preset", "building", "--place", "miami intl", "--csv", str(target), "--quiet"]) == 0
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
    assert main(["calibration", "--place", "no such place"]) == 1
    assert "no such place" in capsys.readouterr().err
    assert main(["calibration", "--overlay", "no/such/file.json"]) == 3
    assert main(["calibration", "--preset", "ship"]) == 2
    assert main(["no_such_command"]) == 2
    assert main(["forecast"]) == 2


def test_the_catalogue_has_presets_and_a_check_of_itself():
    assert libseal.Catalogue.preset_names() == ["coach", "building"]
    building = libseal.Catalogue.preset("building")
    assert building.number("sealant/polysulfide/median_life") == 9
    assert libseal.check_catalogue(building) == [] and building.warnings == []
    with pytest.raises(libseal.ValueError, match="did you mean"):
        libseal.Catalogue.preset("buildings")


def test_a_starter_folder_passes_its_check_and_is_never_overwritten(folder, capsys):
    assert {p.name for p in folder.iterdir()} == {"fleet.csv", "findings.csv", "shop.json", "README.md"}
    for row in [*csv.DictReader((folder / "fleet.csv").open()), *csv.DictReader((folder / "findings.csv").open())]:
        assert "invented" in (row.get("label") or row.get("note"))
    assert main(["check", str(folder), *DAY]) == 0
    assert "nothing is wrong" in capsys.readouterr().out
    before = (folder / "fleet.csv").read_bytes()
    assert main(["start", str(folder)]) == 3
    assert (folder / "fleet.csv").read_bytes() == before


def test_the_starter_fleet_joint_by_joint_is_the_same_fleet(folder, tmp_path):
    assert main(["start", str(tmp_path / "other"), "--as-json"]) == 0
    rows, whole = libseal.read_fleet(folder / "fleet.csv"), libseal.read_fleet(tmp_path / "other" / "fleet.json")
    assert libseal.fleet_json(rows) == libseal.fleet_json(whole)


def test_check_tells_all_problems_of_all_files_with_their_places(folder, capsys):
    fleet = (folder / "fleet.csv").read_text().replace("camper_van", "camper_vann").replace("7.3", "73", 1)
    (folder / "fleet.csv").write_text(fleet)
    (folder / "findings.csv").write_text((folder / "findings.csv").read_text().replace("yellowing", "yelowing"))
    (folder / "shop.json").write_text((folder / "shop.json").read_text().replace('"bays": 2', '"bays": "two"'))
    assert main(["check", str(folder), "--json", *DAY]) == 1
    told = document(capsys)
    places = {(pathlib.Path(p["file"]).name, p["line"], p["field"]) for p in told["problems"]}
    assert ("fleet.csv", 4, "layout") in places and ("fleet.csv", 2, "length_m") in places
    assert ("findings.csv", 2, "sign") in places and any(name == "shop.json" and line > 1 for name, line, _ in places)
    sign = next(p for p in told["problems"] if p["field"] == "sign")
    assert "yelowing" in sign["got"] and "yellowing" in sign["hint"] and sign["column"] > 1 and sign["expected"]
    assert told["exit_code"] == 1 and told["result"] is None


def test_check_knows_the_stations(folder, capsys):
    text = (folder / "fleet.csv").read_text()
    (folder / "fleet.csv").write_text(text.replace("miami intl", "seattle").replace("south bend", "no such place"))
    assert main(["check", str(folder), "--json", *DAY]) == 1
    first, second = document(capsys)["problems"]
    assert (first["line"], first["field"]) == (2, "EX-1.station") and second["line"] == 4 and "fits 2" in second["got"]
    line = (folder / "fleet.csv").read_text().splitlines()[1]
    assert line[first["column"] - 1:].startswith("no such place")


def test_findings_about_unknown_coaches_have_their_line(folder, capsys):
    (folder / "findings.csv").write_text((folder / "findings.csv").read_text().replace("EX-2,roof", "EX-9,roof"))
    assert main(["check", str(folder), "--json", *DAY]) == 1
    (wrong,) = document(capsys)["problems"]
    assert wrong["line"] == 5 and "EX-9" in wrong["got"]


def test_forecast_gives_every_layer_of_the_library_call(folder, tmp_path, capsys):
    assert main(["forecast", str(folder), "--json", *DAY]) == 0
    told = document(capsys)
    fleet = libseal.read_fleet(folder / "fleet.csv")
    day = __import__("datetime").date(2026, 11, 25)
    whole = libseal.forecast(fleet, day, 5, findings=libseal.read_findings(folder / "findings.csv"))
    columns = told["result"]["columns"]
    assert len(columns["coach"]) == len(whole) == told["result"]["rows"]
    ours = {key: (due, p) for *key, due, p in zip(columns["coach"], columns["joint"], columns["layer"], columns["due_50"], columns["due_1_year"])
            for key in [tuple(key)]}
    for r in range(len(whole)):
        assert ours[whole.coach[r], whole.joint[r], whole.layer[r]] == (str(whole.due_50[r]), whole.due_1_year[r])
    assert main(["forecast", str(folder), "--coach", "EX-2", "--csv", "-", "--quiet", *DAY]) == 0
    rows = list(csv.DictReader(capsys.readouterr().out.splitlines()))
    assert len(rows) == len(whole.rows_of("EX-2")) and {r["coach"] for r in rows} == {"EX-2"}
    assert [r["due_10"] for r in rows] == sorted(r["due_10"] for r in rows)
    assert float(rows[0]["due_1_year"]) == ours["EX-2", rows[0]["joint"], rows[0]["layer"]][1]


def test_one_call_makes_a_calendar_for_every_owner(folder, tmp_path, capsys):
    out = tmp_path / "owners"
    assert main(["calendar", str(folder), "--owners", str(out), "--save", str(tmp_path / "all.json"), "--json", *DAY]) == 0
    told = document(capsys)
    assert set(told["result"]["owners"]) == {"Owner One", "Owner Two"}
    assert {str(p) for p in out.iterdir()} == set(told["result"]["owners"].values())
    whole = libseal.read_calendar(tmp_path / "all.json")
    seen = []
    for owner, path in told["result"]["owners"].items():
        text = pathlib.Path(path).read_bytes().decode()
        assert libseal.check_icalendar(text) == [] and "Owner" not in text.replace(owner, "")
        seen += re.findall(r"^UID:(\S+)", text, flags=re.MULTILINE)
        other = {"Owner One": "EX-2", "Owner Two": "EX-1"}[owner]
        assert other not in text
    assert sorted(seen) == sorted(re.findall(r"^UID:(\S+)", whole.ics_text(), flags=re.MULTILINE)) and seen
    # A second run keeps the visits and the names of the files.
    assert main(["calendar", str(folder), "--owners", str(out), "--previous", str(tmp_path / "all.json"), "--quiet", *DAY]) == 0
    assert {str(p) for p in out.iterdir()} == set(told["result"]["owners"].values())


def test_owners_who_read_alike_have_files_of_their_own():
    names = ["A. K.", "A K", "a k", "Ó Briain", "../../etc/passwd", "con", "", "   ", "x" * 500, "名前", "名", "a/b\\c:d*?\"<>|\n"]
    made = [safe_name(name) for name in names]
    assert len({name.lower() for name in made}) == len(names)
    assert all(re.fullmatch(r"[a-z0-9_]+-[0-9a-f]{8}", name) and len(name) < 80 for name in made)
    assert safe_name("A. K.") == made[0] and made[3].startswith("o_briain-")


def test_every_visit_is_in_one_owners_calendar_and_coaches_without_owner_have_their_own(folder):
    fleet = libseal.read_fleet(folder / "fleet.csv")
    fleet = libseal.Fleet(coaches=[c.replace(owner="") if c.id == "EX-3" else c for c in fleet.coaches])
    calendar = libseal.year_calendar(fleet, 2027, libseal.read_shop(folder / "shop.json"), __import__("datetime").date(2026, 11, 25))
    parts = owners.by_owner(calendar, fleet)
    assert sum(len(part.visits) for part in parts.values()) == len(calendar.visits)
    assert "EX-3" in parts and {v.coach for v in parts["EX-3"].visits} == {"EX-3"}


def test_plan_and_schedule(folder, capsys):
    assert main(["plan", str(folder), "--coach", "EX-2", "--due-before", "2027-12-31", "--start", "2027-05-03", "--json", *DAY]) == 0
    told = document(capsys)["result"]
    assert [p["coach"] for p in told["plans"]] == ["EX-2"] and told["plans"][0]["tasks"]
    assert told["schedule"]["outcome"] in ("optimal", "feasible")
    assert main(["plan", str(folder), "--coach", "EX-2", "--due-before", "2027-12-31", "--start", "2027-05-03", *DAY]) == 0
    text = capsys.readouterr().out
    assert "schedule: " in text and "caution: " in text
    assert main(["plan", str(folder), "--coach", "EX-22", *DAY]) == 1
    assert "EX-22" in capsys.readouterr().err
    assert main(["plan", str(folder), "--coach", "EX-2", "--start", "2026-11-24", *DAY]) == codes.USAGE
    assert "--start: expected a day from --as-of 2026-11-25 on, got 2026-11-24" in capsys.readouterr().err


def test_report_sheet_and_leak_write_their_pages(folder, tmp_path, capsys):
    pytest.importorskip("jinja2")
    page = tmp_path / "r.html"
    assert main(["report", str(folder), "--out", str(page), "--packets", str(tmp_path / "packets"), "--json", *DAY]) == 0
    told = document(capsys)
    assert told["files"][0] == {"path": str(page), "what": "report"} and "EX-3" in page.read_text(encoding="utf-8")
    assert {f["path"] for f in told["files"][1:]} == {str(p) for p in (tmp_path / "packets").iterdir()} and len(told["files"]) == 3
    assert main(["report", str(folder), "--week", "2027-05-03", "--out", str(page), "--quiet", *DAY]) == 0
    assert page.read_text(encoding="utf-8").lstrip().startswith("<!DOCTYPE html>")
    capsys.readouterr()
    assert main(["sheet", str(folder), "--coach", "EX-1", "--out", "-", "--quiet", *DAY]) == 0
    assert capsys.readouterr().out.lstrip().startswith("<!DOCTYPE html>")
    assert main(["leak", str(folder), "--coach", "EX-1", "--stain", "roof,2.0,0.1", "--appears", "standing_rain", "--out", str(tmp_path / "l.svg"),
                 "--json", *DAY]) == 0
    assert document(capsys)["result"]["candidates"][0]["probability"] > 0


def test_trips_seasons_and_warranty_reach_the_calendar(folder, capsys):
    (folder / "owner_dates.csv").write_text("coach,from,to,kind,reason\nEX-1,2027-03-01,2027-10-01,trip,long tour\n")
    assert main(["check", str(folder), "--json", *DAY]) == 0
    assert document(capsys)["result"]["counts"]["owner_dates"] == 1
    words = ["calendar", str(folder), "--warranty-days", "90", "--season", "5=150", "--season", "6=80", "--work-limit", "1", "--json", *DAY]
    assert main(words) == 0
    visits = document(capsys)["result"]["calendar"]["visits"]
    assert visits and not any(v["coach"] == "EX-1" and "2027-03-01" <= v["last"] and v["first"] < "2027-10-01" for v in visits)
    looks = [v["first"] for v in visits if v["coach"] == "EX-2"]
    assert len(looks) >= 4 and any("warranty" in v["why"] for v in visits)
    assert main(["calendar", str(folder), "--season", "May=150", *DAY]) == 2
    assert "7=120" in capsys.readouterr().err
    assert main(["calendar", str(folder), "--season", "13=150", "--json", *DAY]) == 1
    assert document(capsys)["problems"][0]["field"].startswith("season_percent")
    (folder / "owner_dates.csv").write_text("coach,from,to\nEX-1,2027-03-01,2027-02-01\n")
    assert main(["check", str(folder), "--json", *DAY]) == 1
    told = document(capsys)["problems"]
    assert [(p["line"], p["field"]) for p in told] == [(2, "to")]
    (folder / "owner_dates.csv").write_text("coach,from,to\nEX-11,2027-03-01,2027-04-01\n")
    assert main(["check", str(folder), "--json", *DAY]) == 1
    told = document(capsys)["problems"]
    assert told[0]["field"] == "owner_dates[0].coach" and "EX-1" in told[0]["hint"]


def test_tune_reviews_lives_and_writes_what_is_approved(root, tmp_path, capsys):
    data = root / "examples" / "data"
    words = ["tune", str(data / "history_fleet.csv"), "--findings", str(data / "history_findings.csv"), "--work-done",
             str(data / "history_work_done.csv"), "--as-of", "2026-12-31"]
    lives, overlay, review = tmp_path / "lives.csv", tmp_path / "fitted.json", tmp_path / "review.json"
    assert main([*words, "--lives", str(lives), "--review", str(review), "--approve", "self_levelling_lap", "--by", "the service manager", "--overlay", str(overlay),
                 "--test-from", "2025-12-31", "--json"]) == 0
    told = document(capsys)["result"]
    families = told["families"]
    row = families["family"].index("self_levelling_lap")
    assert families["verdict"][row] == "enough" and families["life_yr"][row] > families["old_life_yr"][row]
    assert len(lives.read_text().splitlines()) == told["lives"] + 1
    read = json.loads(review.read_text())
    assert [one["life_yr"] for one in read["families"]] == families["life_yr"] and read["families"][row]["enough"] is True
    assert len(read["coaches"]) > len(read["model_lines"]) == len(told["model_lines"]["family"])
    assert read["families"][row]["catalogue"]["life_yr"] == libseal.Catalogue.built_in().number("sealant/self_levelling_lap/median_life")
    new = libseal.read_catalogue(str(overlay)).at("sealant/self_levelling_lap/median_life")
    assert new.mark == "fitted" and "the service manager" in new.source
    assert [score["catalogue"] for score in told["back_test"]] == ["built_in", "fitted"]
    assert all(0 < score["brier"] < 1 for score in told["back_test"])
    assert len(told["designs"]["p"]) == len(told["designs"]["verdict"]) > 3
    assert main([*words, "--quiet"]) == 0
    text = capsys.readouterr().out
    assert "self_levelling_lap" in text and "Designs" in text
    assert main([*words, "--approve", "self_levelling_lap", "--overlay", str(overlay), "--json"]) == 2
    assert "--by" in document(capsys)["problems"][0]["expected"]
    assert main([*words, "--approve", "self_levelling_lap", "--by", "x", "--json"]) == 2
    assert main([*words, "--approve", "no_family", "--by", "x", "--overlay", str(overlay), "--json"]) == 1


def test_tune_without_findings_says_what_is_missing(folder, capsys):
    (folder / "findings.csv").unlink()
    assert main(["tune", str(folder), "--json", *DAY]) == 1
    assert "looked at" in document(capsys)["problems"][0]["expected"]


def test_fleet_from_standard_input(folder):
    run = libseal_command("check", "-", "--json", *DAY, input=(folder / "fleet.csv").read_text())
    assert run.returncode == 0, run.stderr
    assert json.loads(run.stdout)["result"]["counts"]["coaches"] == 3
    run = libseal_command("check", "-", *DAY, input="id,layout,length_m\nA,travel_trailer,seven\n")
    assert run.returncode == 1 and "<standard input>:2:" in run.stderr and run.stdout == ""
    assert libseal_command("check", "-", "--findings", "-", *DAY, input="").returncode == 2
    broken = subprocess.run([sys.executable, "-m", "libseal", "check", "-", *DAY], input=b"id\n\xff\xfe", capture_output=True)
    assert broken.returncode == 1 and b"UTF-8" in broken.stderr


def test_json_is_alone_on_standard_output_however_a_command_ends(folder, capsys):
    for words, code in ((["check", str(folder)], 0), (["check", "no/such/place"], 3), (["forecast"], 2), (["forecast", str(folder), "--year", "x"], 2),
                        (["calendar", str(folder), "--ics", "-"], 2), (["tune"], 2), (["leak", str(folder), "--stain", "x"], 2)):
        assert main([*words, "--json", *(DAY if words[0] in ("check", "calendar") else [])]) == code
        told = document(capsys)
        assert told["schema"] == "libseal/command/1" and told["exit_code"] == code and told["meaning"] == codes.MEANINGS[code]
        assert bool(told["problems"]) == (code != 0)


def test_documents_follow_their_schema(folder, root, capsys):
    jsonschema = pytest.importorskip("jsonschema")
    schema = json.loads((root / "docs" / "command_schema.json").read_text(encoding="utf-8"))
    checker = jsonschema.Draft202012Validator(schema)
    for words in (["check", str(folder), *DAY], ["check", "no/such/place"], ["forecast", str(folder), *DAY], ["tune", str(folder), *DAY],
                  ["plan", str(folder), "--coach", "EX-2", "--start", "2027-05-03", *DAY], ["calendar", str(folder), *DAY],
                  ["leak", str(folder), "--coach", "EX-1", "--stain", "roof,2.0,0.1", "--out", os.devnull, *DAY]):
        main([*words, "--json"])
        told = document(capsys)
        assert list(checker.iter_errors(told)) == [], words
    told["result"]["candidates"][0]["probability"] = "much"
    assert list(checker.iter_errors(told))


def test_help_fits_80_columns():
    run = libseal_command("--help", env={**os.environ, "COLUMNS": "200"})
    assert run.returncode == 0
    for name, (_, text) in app.COMMANDS.items():
        assert f"  {name} " in run.stdout and text in run.stdout
    for code in codes.MEANINGS:
        assert re.search(rf"^ +{code} +\w", run.stdout, flags=re.MULTILINE)
    texts = [run.stdout] + [libseal_command(name, "--help").stdout for name in app.COMMANDS]
    assert all(texts) and max(len(line) for text in texts for line in text.splitlines()) <= 80


def test_help_loads_nothing_heavy():
    program = ("import sys; from libseal.cli import main; code = main(['--help']); "
               "print(code, sorted({'numpy', 'pandas', 'matplotlib', 'jinja2', 'tqdm', 'libseal._libseal'} & set(sys.modules)), file=sys.stderr)")
    run = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert run.stderr.strip() == "0 []"


def test_help_starts_quickly():
    """Processor time, the least of three: other work on the machine must not matter."""
    def seconds():
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        assert libseal_command("--help").returncode == 0
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime

    assert min(seconds() for _ in range(3)) < 0.3


def test_shell_completion():
    for shell in ("bash", "zsh", "fish"):
        run = libseal_command(env={**os.environ, "_LIBSEAL_COMPLETE": f"{shell}_source"})
        if "at least 4.4" in run.stderr:
            continue
        assert "_LIBSEAL_COMPLETE" in run.stdout, run.stderr
    run = libseal_command(env={**os.environ, "_LIBSEAL_COMPLETE": "bash_complete", "COMP_WORDS": "libseal cal", "COMP_CWORD": "1"})
    assert "calendar" in run.stdout and "calibration" in run.stdout


def test_no_colour_where_it_is_not_wanted(monkeypatch, capsys):
    class Terminal:
        def isatty(self):
            return True

    from libseal.cli.output import colourful

    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    assert colourful(Terminal())
    monkeypatch.setenv("NO_COLOR", "1")
    assert not colourful(Terminal())
    run = libseal_command("check", "no/such/place")
    assert "\x1b" not in run.stderr and run.stdout == ""


def test_a_failed_write_leaves_the_old_file(tmp_path, monkeypatch):
    target = tmp_path / "a.txt"
    write_whole(target, "old")
    monkeypatch.setattr(os, "replace", lambda *_: (_ for _ in ()).throw(KeyboardInterrupt))
    with pytest.raises(KeyboardInterrupt):
        write_whole(target, "new")
    assert target.read_text() == "old" and [p.name for p in tmp_path.iterdir()] == ["a.txt"]


@pytest.mark.parametrize("ignored", [False, True])
def test_an_interrupt_leaves_no_half_file(folder, tmp_path, ignored):
    """A real SIGINT in the middle of the work, also where whoever started us ignores it (a script's background job)."""
    rows = (folder / "fleet.csv").read_text().splitlines()
    many = [rows[0]] + [rows[1].replace("EX-1", f"EX-{n}").replace(",160,", f",{n % 360},") for n in range(10, 410)]
    (folder / "fleet.csv").write_text("\n".join(many) + "\n")
    (folder / "findings.csv").unlink()
    out = tmp_path / "owners"
    words = [sys.executable, "-m", "libseal", "calendar", str(folder), "--owners", str(out), "--save", str(tmp_path / "all.json"), "--json", *DAY]
    prepare = (lambda: signal.signal(signal.SIGINT, signal.SIG_IGN)) if ignored else (lambda: signal.signal(signal.SIGINT, signal.SIG_DFL))
    run = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, preexec_fn=prepare)  # noqa: PLW1509
    note = pathlib.Path(f"/proc/{run.pid}/status")
    deadline = time.monotonic() + 120
    while time.monotonic() < deadline and run.poll() is None:  # until the work has begun: more threads than one
        if int(re.search(r"Threads:\s*(\d+)", note.read_text())[1]) > 1 and time.process_time() >= 0:
            break
        time.sleep(0.05)
    time.sleep(0.5)
    assert run.poll() is None, run.communicate()
    run.send_signal(signal.SIGINT)
    said, noted = run.communicate(timeout=120)
    assert run.returncode == 130, noted
    assert json.loads(said)["exit_code"] == 130 and json.loads(said)["files"] == []
    assert not (tmp_path / "all.json").exists() and not list(tmp_path.rglob("*.part"))


def test_the_lazy_names_of_the_package_are_those_that_types_see(root):
    text = (root / "bindings" / "python" / "libseal" / "__init__.py").read_text()
    seen = set(re.findall(r"^    from \.(?:\w+)? ?import (\w+) as \1$", text, flags=re.MULTILINE)) - {"__version__"}
    assert seen == {*libseal._MODULES, *libseal._HOMES}
    for name in dir(libseal):
        assert getattr(libseal, name) is not None
    with pytest.raises(AttributeError, match="no_such_name"):
        libseal.no_such_name


def test_a_device_is_written_to_and_not_replaced():
    before = os.stat(os.devnull)
    write_whole(os.devnull, "words")
    after = os.stat(os.devnull)
    assert (after.st_mode, after.st_ino, after.st_rdev) == (before.st_mode, before.st_ino, before.st_rdev)


def test_a_pipe_is_written_to_and_not_replaced(tmp_path):
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    reader = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    try:
        write_whole(pipe, "words")
        assert os.read(reader, 100) == b"words"
        assert pipe.is_fifo()
    finally:
        os.close(reader)
