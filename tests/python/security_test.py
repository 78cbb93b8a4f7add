"""What SECURITY.md promises of texts and names from outside: they open no file, run nothing and mark nothing up."""

import ast
import csv
import datetime
import io
import os
import pathlib
import re
import subprocess
import sys
from xml.etree import ElementTree

import pytest
from html_page import HtmlPage

import libseal

WORD = "</td></title></svg>\"'><script>alert(1)</script><img src=x onerror=alert(1)>&{{ 7*7 }}[a](javascript:alert(1))"
AWAY = ["../../x", "/tmp/x", "..", ".", "a/../../x", "..\\x", "C:\\x", "~/x", "a\nb", "x" * 500, "-rf", "\u202e", "con"]
AS_OF = datetime.date(2026, 11, 25)


@pytest.fixture(scope="module")
def hostile(yard):
    """Synthetic: the yard with the word in every free text, also in the id of each coach."""
    ids = {coach.id: f"{coach.id}{WORD}" for coach in yard.fleet.coaches}
    coaches = []
    for coach in yard.fleet.coaches:
        parts = [part.replace(label=WORD) for part in coach.parts]
        stays = [stay.replace(place=WORD) for stay in coach.stays]
        coaches.append(coach.replace(id=ids[coach.id], label=WORD, owner=f"{coach.owner}{WORD}", model_line=WORD, parts=parts, stays=stays))
    findings = [f.replace(coach=ids[f.coach], note=WORD, inspector=WORD, photo=WORD, **({"reason": WORD} if f.reason else {})) for f in yard.findings]
    work_done = [w.replace(coach=ids[w.coach], who=WORD) for w in yard.work_done]
    shop = yard.shop.replace(name=WORD, place=WORD, people=[person.replace(id=f"{n}{WORD}") for n, person in enumerate(yard.shop.people)])
    fleet = libseal.Fleet(coaches=coaches)
    session = libseal.Session()
    common = {"findings": findings, "work_done": work_done, "session": session}
    forecast = libseal.forecast(fleet, AS_OF, 5, **common)
    return {"fleet": fleet, "shop": shop, "findings": findings, "work_done": work_done, "forecast": forecast,
            "calendar": libseal.year_calendar(fleet, 2027, shop, AS_OF, show_owners=True, **common)}


def plan_of(hostile):
    coach = hostile["fleet"].coaches[0]
    own = [f for f in hostile["findings"] if f.coach == coach.id]
    return libseal.plan_work(coach, own, hostile["forecast"], hostile["shop"], AS_OF, due_before=datetime.date(2027, 12, 31))


def order_of(hostile):
    """A work order with times, people and bays."""
    plan = plan_of(hostile)
    slots = [libseal.StepSlot(step=step, start=30_000_000 + 10 * n, end=30_000_010 + 10 * n, people=[hostile["shop"].people[0].id], bay=WORD)
             for n, step in enumerate(plan.order) if plan.steps[step].people > 0]
    return libseal.work_order(plan, hostile["shop"], slots=slots)


def pages_of(hostile):
    fleet, shop, forecast, calendar = (hostile[name] for name in ("fleet", "shop", "forecast", "calendar"))
    seen = {"findings": hostile["findings"], "work_done": hostile["work_done"]}
    monday = next(visit.first for visit in calendar.visits if visit.tasks)
    return {"report": libseal.page_text(fleet, forecast, calendar, shop),
            "packet": libseal.owner_packet(fleet.coaches[0], forecast, calendar, shop, **seen),
            "week": libseal.week_sheet(calendar, fleet, shop, monday, forecast=forecast, **seen),
            "sheet": libseal.survey_sheet(fleet.coaches[0], AS_OF, forecast, [f for f in hostile["findings"] if f.coach == fleet.coaches[0].id]),
            "work order": libseal.work_order_page(order_of(hostile))}


def test_no_text_of_people_becomes_a_mark_on_a_page(hostile):
    pytest.importorskip("jinja2")
    for name, text in pages_of(hostile).items():
        page = HtmlPage(text)
        tags = {tag for tag, _ in page.tags}
        assert not tags & {"script", "iframe", "object", "form", "link", "a"} - ({"a"} if 'href="#content"' in text else set()), name
        assert not [key for _, given in page.tags for key in given if key.startswith("on")], name
        assert all(given["src"].startswith("data:image/") for given in page.names("img")), name
        assert "alert(1)" in page.text() and "7*7" in page.text(), name
        assert [given["content"] for given in page.names("meta") if given.get("http-equiv") == "Content-Security-Policy"] == [
            "default-src 'none'; style-src 'unsafe-inline'; img-src data:"], name


def test_no_text_of_people_becomes_a_mark_in_a_drawing(hostile):
    coach = hostile["fleet"].coaches[0]
    own = [f for f in hostile["findings"] if f.coach == coach.id]
    stain = libseal.Stain(surface="roof", at=libseal.Point(u=2.0, v=0.1), note=WORD)
    trace = libseal.trace_leak(coach, [stain], own, hostile["forecast"])
    root = ElementTree.fromstring(libseal.draw_coach(coach, hostile["forecast"], findings=own, trace=trace, stains=[stain]))
    assert "alert(1)" in "".join(root.itertext())
    for element in root.iter():
        assert element.tag.rpartition("}")[2] not in ("script", "img", "foreignObject", "a", "image")
        assert not [key for key in element.attrib if key.startswith("on") or key.endswith("href")]


def test_a_work_order_in_markdown_holds_no_marks_of_people(hostile):
    text = libseal.work_order_markdown(order_of(hostile))
    assert "alert(1)" in text and "<" not in text and "[" not in text
    broken = hostile["shop"].replace(name="one\n# two\n- three")
    assert "\n# two" not in libseal.work_order_markdown(libseal.work_order(plan_of(hostile), broken))


def test_names_from_files_name_no_file_outside_a_folder(yard, tmp_path):
    """Packets by coach and by owner, calendars by owner, the usual names of sheet and drawing of a leak."""
    pytest.importorskip("jinja2")
    from libseal.cli.owners import write_owner_calendars
    from libseal.cli.survey import stem_of

    coach = yard.fleet.coaches[1]
    for number, word in enumerate(AWAY):
        fleet = libseal.Fleet(coaches=[coach.replace(id=word, owner=word)])
        forecast = libseal.forecast(fleet, AS_OF, 1)
        calendar = libseal.year_calendar(fleet, 2027, yard.shop, forecast)
        folder = tmp_path / str(number) / "deep" / "out"
        for by in ("coach", "owner"):
            (made,) = libseal.write_packets(folder, fleet, forecast, calendar, yard.shop, by=by)
            assert made.path.parent == folder and made.path.is_file()
        made = write_owner_calendars(folder, calendar, fleet)
        assert [path.parent for path in made.values()] == [folder] * len(made) and made
        everything = [path for path in (tmp_path / str(number)).rglob("*") if path.is_file()]
        assert len(everything) == 3 and all(path.parent == folder for path in everything)
        name = stem_of("-", fleet.coaches[0], 1) + "_leak.svg"
        assert os.path.basename(name) == name and name.isascii() and not name.startswith(("-", ".")) and len(name) < 100
    assert stem_of("-", coach, 1) == "B-2"


def test_a_photo_that_is_named_by_a_finding_comes_from_its_folder_alone(yard, tmp_path):
    pytest.importorskip("jinja2")
    (tmp_path / "photos").mkdir()
    secret = tmp_path / "secret.png"
    secret.write_bytes(b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + b"\x00\x00\x00\x02" * 2 + b"\x08\x02\x00\x00\x00" + 20 * b"\x00" + b"IEND\xae\x42\x60\x82")
    (tmp_path / "photos" / "near.png").write_bytes(secret.read_bytes())
    for name, there in [("near.png", 1), ("../secret.png", 0), (str(secret), 0), ("file://" + str(secret), 0), ("sub/../../secret.png", 0)]:
        findings = [yard.findings[0].replace(photo=name)]
        page = HtmlPage(libseal.owner_packet(yard.fleet.coaches[0], yard.forecast, yard.calendar, yard.shop, findings=findings,
                                             photo_folder=tmp_path / "photos"))
        assert len(page.names("img")) == there, name


FORMULAS = ["=HYPERLINK(\"x\")", "+1+cmd|' /C calc'!A0", "-2+3+cmd", "@SUM(A1:A9)", "\uff1d1+1", "'=1+1", "\t=1", "\n=1"]
RUN = re.compile(r"[=+@\t\r\n\uff1d\uff0b\uff0d\uff20]|-(?![0-9.]+(?:[eE][-+]?[0-9]+)?$)")


def test_no_table_that_is_written_holds_a_formula(yard):
    """Calendar, parts, quote, forecast and lives of the command: each cell, also with formulas as ids and names."""
    pytest.importorskip("click")
    from libseal.cli.forecast import columns_of, csv_text

    for word in FORMULAS:
        coach = yard.fleet.coaches[1].replace(id=word, label=word, owner=word)
        fleet, shop = libseal.Fleet(coaches=[coach]), yard.shop.replace(name=word)
        forecast = libseal.forecast(fleet, AS_OF, 5)
        plan = libseal.plan_work(coach, [], forecast, shop, AS_OF, due_before=datetime.date(2028, 12, 31))
        calendar = libseal.year_calendar(fleet, 2027, shop, forecast, show_owners=True)
        tables = [calendar.csv_text(), libseal.quote_csv(libseal.quote(plan, shop)), libseal.parts_csv(libseal.parts_list([libseal.work_order(plan, shop)])),
                  csv_text(columns_of(forecast, list(range(len(forecast)))))]
        assert word.lstrip("'\t\n")[1:] in tables[0] or '""' in tables[0]
        for text in tables:
            rows = list(csv.reader(io.StringIO(text, newline="")))
            assert len(rows) > 1 and not [cell for row in rows for cell in row if RUN.match(cell)]


def test_the_mark_before_formulas_comes_off_by_the_rule_of_the_library():
    from libseal.cells import unlike_a_formula

    for word in [*FORMULAS, "plain", "'quoted'", "", "''", "a=b"]:
        marked = unlike_a_formula(word)
        assert not RUN.match(marked)
        assert re.sub(r"^'(?='*[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20])", "", marked) == word
    assert [unlike_a_formula(word) for word in ("-5", "-5e-3", "-", "--5", "'-5")] == ["-5", "-5e-3", "'-", "'--5", "''-5"]


def test_what_is_printed_does_not_steer_the_terminal(tmp_path):
    pytest.importorskip("click")
    coach = libseal.camper_van(6.0, id="B\x1b]0;title\x07\x9b2J", installed_from=datetime.date(2018, 5, 1), installed_to=datetime.date(2018, 5, 1))
    stay = libseal.Stay(from_=datetime.date(2018, 6, 1), to=datetime.date(9999, 12, 31), place="home", station="south bend")
    path = tmp_path / "fleet.json"
    path.write_text(libseal.fleet_json(libseal.Fleet(coaches=[coach.replace(stays=[stay])])), encoding="utf-8")
    run = subprocess.run([sys.executable, "-m", "libseal", "forecast", str(path), "--as-of", "2026-11-25"], capture_output=True)
    assert run.returncode == 0, run.stderr
    said = (run.stdout + run.stderr).decode()
    assert "title" in said and not re.search("[\x00-\x08\x0b-\x1f\x7f-\x9f]", said)


FORBIDDEN_CALLS = {"eval", "exec", "compile", "__import__"}
FORBIDDEN_MODULES = {"pickle", "cPickle", "dill", "cloudpickle", "marshal", "shelve", "yaml", "subprocess", "ctypes", "joblib", "code", "runpy", "urllib",
                     "http", "socket", "requests", "ftplib", "xml", "tarfile", "zipfile"}
FORBIDDEN_MEMBERS = {"system", "popen", "read_pickle", "to_pickle", "allow_pickle", "load_module", "execl", "execv", "spawnl", "urlopen"}


def faults_of(text):
    """Places of a module that would run, fetch or unpickle what somebody sends."""
    found = []
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in FORBIDDEN_CALLS:
            found.append(node.func.id)
        if isinstance(node, (ast.Import, ast.ImportFrom)):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else [node.module or ""] if not node.level else []
            found += [name for name in names if name.split(".")[0] in FORBIDDEN_MODULES]
        if isinstance(node, ast.Attribute) and node.attr in FORBIDDEN_MEMBERS:
            found.append(node.attr)
        if isinstance(node, ast.keyword) and node.arg in ("shell", "allow_pickle"):
            found.append(node.arg)
    return found


def test_the_module_runs_unpickles_and_fetches_nothing(root):
    files = sorted((root / "bindings" / "python" / "libseal").rglob("*.py"))
    assert len(files) > 30
    assert {path.name: faults for path in files if (faults := faults_of(path.read_text(encoding="utf-8")))} == {}


def test_the_scan_sees_what_it_is_for():
    for text in ("eval('1')", "import pickle", "from yaml import load", "import numpy as n\nn.load('x', allow_pickle=True)", "import os\nos.system('x')",
                 "import urllib.request", "from subprocess import run"):
        assert faults_of(text), text
    assert faults_of("import re\nre.compile('x')\nfrom .files import x") == []


STARTED = re.compile(r"\b(?:std::system|popen|dlopen|fork|vfork|execv\w*|execl\w*|posix_spawn\w*|socket|connect|getaddrinfo)\s*\(")


def test_the_library_starts_no_program_and_opens_no_connection(root):
    files = sorted(path for folder in ("src", "include") for path in (root / "libseal" / folder).rglob("*.?pp"))
    assert len(files) > 200 and STARTED.search("std::system(name)") and STARTED.search("return popen (x)")
    assert [path.name for path in files if STARTED.search(re.sub(r"//[^\n]*", "", path.read_text(encoding="utf-8")))] == []


def test_modules_loaded_by_name_are_names_of_the_code(root):
    """importlib.import_module takes no name that came from data: a literal, or a name out of a table of the package."""
    known = {"'psycopg' if self.postgres else 'sqlite3'", "f'.{name}'", "f'.{_HOMES[name]}'", "f'.{COMMANDS[cmd_name][0]}'"}
    found = set()
    for path in (root / "bindings" / "python" / "libseal").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "import_module" and not isinstance(node.args[0], ast.Constant):
                found.add(ast.unparse(node.args[0]))
    assert found == known


def test_statements_of_the_store_hold_no_values(root):
    """Every statement is a literal, or made of names out of the tables; values go beside it."""
    text = (root / "bindings" / "python" / "libseal" / "store.py").read_text(encoding="utf-8")
    pasted = {ast.unparse(value.value) for node in ast.walk(ast.parse(text)) if isinstance(node, ast.JoinedStr)
              and any(isinstance(part, ast.Constant) and re.search(r"SELECT|INSERT|DELETE|UPDATE|WHERE", str(part.value)) for part in node.values)
              for value in node.values if isinstance(value, ast.FormattedValue)}
    names = ["name", "text", "order", "quoted(columns)", "quoted(replace)", "', '.join('?' * len(columns))", "quoted(column for column, _ in spec)"]
    assert pasted == {ast.unparse(ast.parse(name, mode="eval")) for name in names}  # as this Python writes them


def test_every_promise_of_the_page_names_a_test_that_is_there(root):
    text = (root / "SECURITY.md").read_text(encoding="utf-8")
    named = re.findall(r"`((?:tests)/[\w/]+\.(?:py|cpp))(?:::([\w]+))?`", text)
    assert len(named) >= 10
    for path, test in named:
        assert (root / path).is_file(), path
        assert not test or f"def {test}(" in (root / path).read_text(encoding="utf-8"), test


def test_the_page_lists_every_limit_and_reader(root):
    text = (root / "SECURITY.md").read_text(encoding="utf-8")
    header = (root / "libseal" / "include" / "libseal" / "core" / "limits.hpp").read_text(encoding="utf-8")
    limits = re.findall(r"inline constexpr (?:std::size_t|int) (\w+) = ", header)
    assert len(limits) > 20 and [name for name in limits if f"`{name}`" not in text] == []
    readers = set()
    for path in (root / "libseal" / "include").rglob("*.hpp"):
        readers |= set(re.findall(r"^\w.*?\b(read_[a-z_]+)\(", path.read_text(encoding="utf-8"), re.MULTILINE))
    readers = {name.removesuffix("_text") for name in readers} - {"read_text_file", "read_text"}
    assert len(readers) >= 10 and sorted(name for name in readers if f"`{name}`" not in text) == []
