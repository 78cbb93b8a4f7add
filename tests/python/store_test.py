"""The store keeps what it was given, in SQLite and in PostgreSQL, and whatever fails leaves it as it was."""

import datetime
import os
import pathlib
import pwd
import re
import shutil
import sqlite3
import subprocess
import sys
import tempfile

import pytest

import libseal
from libseal import store as module
from libseal import tables
from libseal.store import Store

AS_OF = datetime.date(2026, 11, 25)


@pytest.fixture(scope="module")
def demo(root):
    data = root / "examples" / "data"
    return {"fleet": libseal.read_fleet(data / "fleet.json"), "findings": libseal.read_findings(data / "findings.csv"),
            "work_done": libseal.read_work_done(data / "work_done.csv"), "shop": libseal.read_shop(data / "shop.json")}


def programs(*names):
    """Folder of PostgreSQL's server programs, or a reason to skip."""
    places = [pathlib.Path(p).parent for p in [shutil.which(names[0])] if p] + sorted(pathlib.Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    for place in places:
        if all((place / name).exists() for name in names):
            return place
    pytest.skip("needs initdb and pg_ctl of a PostgreSQL server")


@pytest.fixture(scope="module")
def server():
    """A server of our own in a temporary folder, on a socket there, run by a user who is not root."""
    pytest.importorskip("psycopg")
    place = programs("initdb", "pg_ctl", "postgres")
    folder = pathlib.Path(tempfile.mkdtemp(prefix="seal_pg_", dir="/tmp"))  # a short path: sockets allow about 100 letters
    who = {}
    if os.geteuid() == 0:
        user = pwd.getpwnam("nobody")
        os.chown(folder, user.pw_uid, user.pw_gid)
        who = {"user": user.pw_uid, "group": user.pw_gid, "extra_groups": []}

    def run(*words):
        return subprocess.run([str(word) for word in words], capture_output=True, text=True, cwd=folder, env={**os.environ, "HOME": str(folder)},
                              timeout=300, **who)

    try:
        made = run(place / "initdb", "-D", folder / "data", "-U", "seal", "--auth=trust", "--no-sync", "-E", "UTF8", "--locale=C")
        if made.returncode:
            pytest.skip(f"initdb does not work here: {made.stderr.strip().splitlines()[-1:]}")
        options = f"-k {folder} -c listen_addresses='' -c fsync=off -c max_connections=20"
        started = run(place / "pg_ctl", "-D", folder / "data", "-w", "-t", "120", "-l", folder / "log", "-o", options, "start")
        if started.returncode:
            pytest.skip(f"no server can be started here: {(folder / 'log').read_text() if (folder / 'log').exists() else started.stderr}")
        yield f"host={folder} user=seal dbname=postgres"
    finally:
        run(place / "pg_ctl", "-D", folder / "data", "-w", "-m", "immediate", "stop")
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture(params=["sqlite", "postgres"])
def opened(request, tmp_path):
    """A way to open one and the same empty store several times."""
    if request.param == "sqlite":
        return lambda: Store.open(tmp_path / "shop.sqlite")
    conninfo = request.getfixturevalue("server")
    psycopg = pytest.importorskip("psycopg")
    with psycopg.connect(conninfo, autocommit=True) as connection:
        connection.execute("DROP SCHEMA public CASCADE")
        connection.execute("CREATE SCHEMA public")
    return lambda: Store.connect(conninfo)


def test_all_comes_back_equal(demo, opened):
    with opened() as store:
        store.put_fleet(demo["fleet"])
        store.add_findings(demo["findings"])
        store.add_work_done(demo["work_done"])
    with opened() as store:  # another connection
        fleet, findings, work = store.fleet(), store.findings(), store.work_done()
    assert libseal.fleet_json(fleet) == libseal.fleet_json(demo["fleet"])
    assert libseal.findings_json(findings) == libseal.findings_json(demo["findings"])
    assert [repr(w) for w in work] == [repr(w) for w in demo["work_done"]]
    one = [f for f in demo["findings"] if f.coach == "FW-02"]
    with opened() as store:
        assert libseal.findings_json(store.findings(["FW-02"])) == libseal.findings_json(one)
        assert libseal.coach_json(store.fleet(["FW-02"]).coaches[0]) == libseal.coach_json(libseal.coach_of(demo["fleet"], "FW-02"))
        assert [w.date for w in store.work_done(["MH-01"])] == [w.date for w in demo["work_done"] if w.coach == "MH-01"]


def test_a_calendar_is_kept_found_again_and_replaced(demo, opened):
    fleet = libseal.Fleet(coaches=[c for c in demo["fleet"].coaches if c.id in ("TT-01", "VN-02")])
    first = libseal.year_calendar(fleet, 2027, demo["shop"], AS_OF, work_limit=1)
    with opened() as store:
        assert store.calendar(2027) is None
        store.put_calendar(first)
        store.put_calendar(first)
        kept = store.calendar(2027, demo["shop"].name)
        assert kept.json_text() == first.json_text() and store.calendar(2028) is None and store.calendar(2027, "another shop") is None
        later = libseal.year_calendar(fleet, 2027, demo["shop"], AS_OF + datetime.timedelta(days=7), previous=kept, work_limit=1)
        store.put_calendar(later)
        assert store.calendar(2027).json_text() == later.json_text()
        days = store.visits(datetime.date(2027, 1, 1), datetime.date(2027, 12, 31))
        assert days == sorted((v.first, v.coach, v.kind, v.uid) for v in later.visits if not v.cancelled and v.first.year == 2027) and days


def test_a_failure_leaves_the_store_as_it_was(demo, opened):
    fleet = libseal.Fleet(coaches=demo["fleet"].coaches[:2])
    findings = [f for f in demo["findings"] if f.coach == "TT-01"]
    with opened() as store:
        store.put_fleet(fleet)
        store.add_findings(findings)

        def picture():
            return (libseal.fleet_json(store.fleet()), libseal.findings_json(store.findings()), len(store.work_done()))

        before = picture()
        other = [f.replace(date=f.date + datetime.timedelta(days=1)) for f in findings]
        for wrong in ([*other, findings[0]], [*other, other[0].replace(coach="nobody")], [*other, other[0].replace(joint="nowhere")]):
            with pytest.raises(libseal.ValueError):
                store.add_findings(wrong)
            assert picture() == before
        with pytest.raises(RuntimeError, match="in the middle"), store.transaction():
            store.put_fleet(libseal.Fleet(coaches=demo["fleet"].coaches[2:4]))
            store.add_findings(other)
            raise RuntimeError("in the middle")
        assert picture() == before
        broken = fleet.coaches[0].replace(joints=[fleet.coaches[0].joints[0].replace(type="no_such_type")])
        with pytest.raises(libseal.ValueError):
            store.put_fleet(libseal.Fleet(coaches=[fleet.coaches[1].replace(label="new"), broken]))
        assert picture() == before
        store.add_findings([findings[0].replace(note="seen again")], replace=True)
        assert [f.note for f in store.findings()][:1] == ["seen again"] and len(store.findings()) == len(findings)


def test_a_coach_is_replaced_and_its_history_stays(demo, opened):
    with opened() as store:
        store.put_fleet(demo["fleet"])
        store.add_findings(demo["findings"])
        coach = demo["fleet"].coaches[1].replace(label="mended", joints=demo["fleet"].coaches[1].joints[:5])
        store.put_fleet(libseal.Fleet(coaches=[coach]))
        fleet = store.fleet()
        assert [c.id for c in fleet.coaches] == [c.id for c in demo["fleet"].coaches]
        assert libseal.coach_json(fleet.coaches[1]) == libseal.coach_json(coach) and len(store.findings()) == len(demo["findings"])
        with pytest.raises(libseal.ValueError, match="nobody"):
            store.fleet(["nobody"])


def test_values_are_bound_and_never_pasted(demo, opened):
    nasty = "x'); DROP TABLE findings; -- \" %s ? \n {} \u2603"
    coach = demo["fleet"].coaches[0].replace(id=nasty, owner=nasty, label=nasty)
    finding = libseal.Finding(coach=nasty, joint="skylight", layer="cap_bead", sign="clean_look", date=AS_OF, note=nasty, inspector=nasty)
    with opened() as store:
        store.put_fleet(libseal.Fleet(coaches=[coach]))
        store.add_findings([finding])
        assert store.fleet([nasty]).coaches[0].owner == nasty and store.findings([nasty])[0].note == nasty
        assert len(store.findings()) == 1 and store.work_done() == []


WRITER = """
import datetime, sys
import libseal
from libseal.store import Store
store = Store.connect(sys.argv[1]) if "host=" in sys.argv[1] else Store.open(sys.argv[1])
for n in range(25):
    day = datetime.date(2020, 1, 1) + datetime.timedelta(days=n)
    store.add_findings([libseal.Finding(coach=sys.argv[2], joint="skylight", layer="cap_bead", sign=sign, date=day) for sign in ("chalking", "yellowing")])
"""


def test_writers_at_the_same_time_lose_nothing(demo, opened, tmp_path, request):
    fleet = libseal.Fleet(coaches=demo["fleet"].coaches[:3])
    with opened() as store:
        store.put_fleet(fleet)
        where = request.getfixturevalue("server") if store.postgres else str(tmp_path / "shop.sqlite")
    runs = [subprocess.Popen([sys.executable, "-c", WRITER, where, coach.id], stderr=subprocess.PIPE, text=True) for coach in fleet.coaches]
    with opened() as store:  # and a reader meanwhile: it sees whole writes only
        while any(run.poll() is None for run in runs):
            assert len(store.findings()) % 2 == 0
    told = [run.communicate()[1] for run in runs]
    assert [run.returncode for run in runs] == [0, 0, 0], told
    with opened() as store:
        assert len(store.findings()) == 3 * 50
        assert all(len(store.findings([coach.id])) == 50 for coach in fleet.coaches)


def test_the_schema_has_the_columns_of_the_tables_and_comments():
    text = pathlib.Path(module.__file__).with_name("store.sql").read_text(encoding="utf-8")
    connection = sqlite3.connect(":memory:")
    for statement in module.statements(text):
        connection.execute(statement)
    for name, spec in module.SPECS.items():
        columns = [row[1] for row in connection.execute(f"PRAGMA table_info({name})")]
        assert [c for c in columns if c not in ("position", "calendar")] == [column for column, _ in spec], name
        assert re.search(rf"^-- [^\n]+\.\nCREATE TABLE {name} ", text, flags=re.MULTILINE), name
    assert f"version {module.VERSION}:" in text and set(tables.FLEET) < set(module.SPECS)


def test_a_store_of_another_version_and_other_files_are_refused(tmp_path):
    with Store.open(tmp_path / "a.sqlite") as store:
        store.connection.execute("UPDATE libseal_store SET version = 99")
    with pytest.raises(libseal.StateError, match="99") as caught:
        Store.open(tmp_path / "a.sqlite")
    assert [p.field for p in caught.value.problems] == ["store"]
    (tmp_path / "b.sqlite").write_text("this is no database, and long enough to be looked at as one\n" * 20)
    with pytest.raises(libseal.FileError, match="b.sqlite") as caught:
        Store.open(tmp_path / "b.sqlite")
    assert [p.file for p in caught.value.problems] == [caught.value.filename] == [str(tmp_path / "b.sqlite")]
    with pytest.raises(libseal.FileError):
        Store.open(tmp_path / "no" / "such" / "folder.sqlite")
