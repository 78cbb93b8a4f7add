"""Files that end early or vanish, full disks, signals and callbacks that throw: an error that names the file, nothing half, and the next call works."""

import datetime
import os
import pathlib
import random
import re
import resource
import signal
import stat
import subprocess
import sys
import textwrap
import threading
import time

import numpy as np
import pytest

import libseal

ROOT = pathlib.Path(__file__).resolve().parents[2]
DATA = ROOT / "examples" / "data"
AS_OF = datetime.date(2026, 11, 25)
OLD = "old content\n"
READERS = {"coach": (libseal.read_coach, "van.json"), "fleet": (libseal.read_fleet, "history_fleet.csv"), "findings": (libseal.read_findings, "findings.csv"),
           "work_done": (libseal.read_work_done, "work_done.csv"), "shop": (libseal.read_shop, "shop.json"), "weather": (libseal.read_weather, None),
           "owner_dates": (libseal.read_owner_dates, None), "calendar": (libseal.read_calendar, None), "catalogue": (libseal.read_catalogue, None)}


@pytest.fixture(params=READERS)
def reader(request):
    return READERS[request.param][0]


def refused(reader, path):
    with pytest.raises(libseal.Error) as caught:
        reader(path)
    assert pathlib.Path(path).name in str(caught.value)
    return caught.value


def test_what_is_no_file_is_refused_by_name(reader, tmp_path):
    for bad in (tmp_path, tmp_path / "absent", tmp_path / "absent" / "below"):
        assert isinstance(refused(reader, bad), OSError)
    (tmp_path / "gone").symlink_to("nowhere")
    (tmp_path / "loop").symlink_to("loop")
    for bad in (tmp_path / "gone", tmp_path / "loop"):
        assert isinstance(refused(reader, bad), OSError)


def test_a_read_error_is_an_error_of_the_file(reader):
    """The memory of a process at address 0: the file opens, its first octet cannot be read."""
    if not os.access("/proc/self/mem", os.R_OK):
        pytest.skip("needs /proc/self/mem")
    error = refused(reader, "/proc/self/mem")
    assert isinstance(error, OSError) and error.filename == "/proc/self/mem"


def test_a_pipe_that_ends_early_is_read_like_a_file_that_does(tmp_path):
    text = (DATA / "van.json").read_bytes()
    for size, whole in ((len(text), True), (len(text) // 2, False), (0, False)):
        pipe = tmp_path / f"pipe{size}"
        os.mkfifo(pipe)
        writer = threading.Thread(target=pipe.write_bytes, args=(text[:size],))
        writer.start()
        if whole:
            assert libseal.coach_json(libseal.read_coach(pipe)) == libseal.coach_json(libseal.read_coach(DATA / "van.json"))
        else:
            refused(libseal.read_coach, pipe)
        writer.join()


def test_a_file_without_permission():
    if os.geteuid() != 0:
        pytest.skip("needs root to become somebody who may not read; tests of files do it for the writers")
    done = subprocess.run([sys.executable, "-c", "import sys; sys.path[:0] = " + repr(sys.path) + textwrap.dedent("""
        import os, pathlib, tempfile, libseal
        with tempfile.TemporaryDirectory() as name:
            path = pathlib.Path(name) / "coach.json"
            path.write_text("{}")
            path.chmod(0)
            os.chmod(name, 0o755)
            if os.fork() == 0:
                os.setgid(65534)
                os.setuid(65534)
                try:
                    libseal.read_coach(path)
                except libseal.FileError as error:
                    print(error, flush=True)
                os._exit(0)
            os.wait()
        """)], capture_output=True, text=True, check=True)
    assert "coach.json" in done.stdout and "ermission" in done.stdout


@pytest.mark.parametrize("name", ["van.json", "fleet.json", "shop.json"])
def test_json_cut_at_any_octet_is_refused(name, tmp_path):
    read = {"van.json": libseal.read_coach, "fleet.json": libseal.read_fleet, "shop.json": libseal.read_shop}[name]
    text = (DATA / name).read_bytes().rstrip()
    path = tmp_path / name
    for size in [*range(0, len(text), max(1, len(text) // 150)), len(text) - 1]:
        path.write_bytes(text[:size])
        refused(read, path)


@pytest.mark.parametrize("name", ["findings.csv", "work_done.csv"])
def test_a_table_cut_at_any_octet_is_refused_or_has_the_rows_before_the_cut(name, tmp_path):
    """A table has no end mark: a cut at the end of a field cannot be told. No row before the cut changes, and none is made up."""
    read = {"findings.csv": libseal.read_findings, "work_done.csv": libseal.read_work_done}[name]
    text = (DATA / name).read_bytes()
    path = tmp_path / name
    path.write_bytes(text)

    def told(row):
        return [getattr(row, field) for field in ("coach", "joint", "layer", "date", "sign", "action", "note", "family") if hasattr(row, field)]

    whole, taken = read(path), 0
    for size in range(0, len(text), 1 + len(text) // 300):
        path.write_bytes(text[:size])
        try:
            rows = read(path)
        except libseal.Error as error:
            assert name in str(error)
            continue
        taken += 1
        assert len(rows) <= text[:size].count(b"\n") and [*map(told, rows[:-1])] == [*map(told, whole[: max(0, len(rows) - 1)])]
    assert taken > 3


def writers(yard):
    monday = next(visit.first for visit in yard.calendar.visits if visit.tasks)
    return {"page": lambda path: libseal.write_page(path, yard.fleet, yard.forecast, yard.calendar, yard.shop),
            "week": lambda path: libseal.write_week_sheet(path, yard.calendar, yard.fleet, yard.shop, monday),
            "ics": yard.calendar.write_ics, "csv": yard.calendar.write_csv, "json": yard.calendar.write_json}


@pytest.mark.parametrize("kind", ["page", "week", "ics", "csv", "json"])
def test_no_room_is_an_error_of_the_file_and_the_old_one_stays(yard, kind, tmp_path):
    pytest.importorskip("jinja2")
    write = writers(yard)[kind]
    with pytest.raises(OSError, match="/dev/full") as caught:
        write("/dev/full")
    assert caught.value.filename == "/dev/full" and stat.S_ISCHR(os.stat("/dev/full").st_mode)
    path = tmp_path / "year"
    path.write_text(OLD)
    with small_files():
        for target in (path, tmp_path / "new"):
            with pytest.raises(OSError, match=target.name) as caught:
                write(target)
            assert str(caught.value.filename) == str(target)
    assert os.listdir(tmp_path) == ["year"] and path.read_text() == OLD
    write(path)
    assert path.stat().st_size > 300


class small_files:
    """Files of at most 300 octets: a write stops half way."""

    def __enter__(self):
        self.limit, self.handler = resource.getrlimit(resource.RLIMIT_FSIZE), signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (300, self.limit[1]))

    def __exit__(self, *_):
        resource.setrlimit(resource.RLIMIT_FSIZE, self.limit)
        signal.signal(signal.SIGXFSZ, self.handler)


def packets(yard, folder, **rest):
    return libseal.write_packets(folder, yard.fleet, yard.forecast, yard.calendar, yard.shop, **rest)


def test_packets_without_room_leave_no_half_page(yard, tmp_path):
    pytest.importorskip("jinja2")
    done = packets(yard, tmp_path)
    before = {one.path.name: one.path.read_bytes() for one in done}
    with small_files(), pytest.raises(libseal.FileError) as caught:
        packets(yard, tmp_path)
    assert str(caught.value.filename) == str(done[0].path)
    with small_files(), pytest.raises(libseal.FileError, match="coach-"):
        packets(yard, tmp_path, workers=2)
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_a_cache_without_room_costs_time_and_nothing_else(tmp_path):
    station = libseal.find_station(name="south bend")
    coach = libseal.camper_van(6.0, id="A", installed_from=datetime.date(2016, 1, 1), installed_to=datetime.date(2016, 1, 1)).replace(stays=[libseal.Stay(from_=datetime.date(2016, 1, 1), to=datetime.date(9999, 12, 31), station=station.id)])
    wanted = bits(libseal.forecast(coach, AS_OF, 2))
    with small_files():
        assert bits(libseal.forecast(coach, AS_OF, 2, session=libseal.Session(cache=tmp_path / "cache"))) == wanted
    assert os.listdir(tmp_path / "cache") == []
    for _ in range(2):
        assert bits(libseal.forecast(coach, AS_OF, 2, session=libseal.Session(cache=tmp_path / "cache"))) == wanted
    entry, = (tmp_path / "cache").iterdir()
    entry.write_bytes(entry.read_bytes()[:-100])  # a half one is made anew
    assert bits(libseal.forecast(coach, AS_OF, 2, session=libseal.Session(cache=tmp_path / "cache"))) == wanted


@pytest.mark.parametrize("arguments", [[], ["--json"]])
def test_a_command_without_room_says_so(arguments, tmp_path):
    pytest.importorskip("click")
    start = "import sys; sys.path[:0] = " + repr(sys.path) + "; from libseal.cli import main; sys.argv[0] = 'libseal'; sys.exit(main())"
    with open("/dev/full", "w") as full:
        done = subprocess.run([sys.executable, "-c", start, "check", *arguments, str(DATA)], stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert done.returncode == 3 and "standard output" in done.stderr and "space" in done.stderr and "Traceback" not in done.stderr
    assert "Exception ignored" not in done.stderr


def bits(forecast):
    return [getattr(forecast, name).tobytes() for name in ("age", "condition", "due_now", "due_5_years", "open_1_year")] + [forecast.posteriors_json()]


def test_a_run_killed_while_it_writes_leaves_whole_files(tmp_path):
    """A folder of weather and calendars, written again and again by a process that is killed at a moment drawn by chance."""
    code = "import sys; sys.path[:0] = " + repr(sys.path) + textwrap.dedent("""
        import datetime, shutil, libseal, small_calendar
        calendars = [small_calendar.small_calendar(why=word * 40000) for word in "ab"]
        hours = libseal.weather_csv(libseal.typical_year(libseal.find_station(name="south bend")))
        open(sys.argv[1] + "/w.csv", "w").write(hours)
        print("ready", flush=True)
        while True:
            for calendar in calendars:
                calendar.write_ics(sys.argv[1] + "/year.ics")
                shutil.rmtree(sys.argv[1] + "/cache", ignore_errors=True)
                libseal.read_weather(sys.argv[1] + "/w.csv", cache=sys.argv[1] + "/cache")
        """)
    chance = random.Random(4)
    for turn in range(6):
        with subprocess.Popen([sys.executable, "-c", code, str(tmp_path)], stdout=subprocess.PIPE, text=True) as process:
            assert process.stdout.readline() == "ready\n"
            time.sleep(chance.uniform(0.005, 0.08))
            process.send_signal(signal.SIGKILL if turn % 2 else signal.SIGTERM)
        if (tmp_path / "year.ics").exists():
            text = (tmp_path / "year.ics").read_bytes().decode()
            assert text.endswith("END:VCALENDAR\r\n")
            assert libseal.check_icalendar(text) == []
        wanted = libseal.read_weather(tmp_path / "w.csv")
        assert np.array_equal(libseal.read_weather(tmp_path / "w.csv", cache=tmp_path / "cache").ghi, wanted.ghi, equal_nan=True)


def searches():
    """Long searches by number alone, with a callback. All synthetic."""
    chance = np.random.default_rng(4)
    durations = chance.integers(1, 9, 60).tolist()
    successors = [[j for j in (i + 1 + int(chance.integers(3)), i + 4) if j < 60] for i in range(60)]
    demands = [[int(chance.integers(1, 5)), int(chance.integers(0, 4))] for _ in range(60)]
    works = [libseal.WeekWork(id=str(i), hours=float(chance.uniform(2, 9)), first=0, cost=chance.uniform(0, 9, 20).tolist()) for i in range(60)]
    weeks = [libseal.WeekCapacity(normal=12, overtime=4) for _ in range(20)]
    visits = [libseal.VisitWork(id=str(i), penalty=chance.uniform(0, 9, 30).tolist()) for i in range(12)]
    return {
        "solve_project": lambda **watch: list(libseal.solve_project(durations, successors, demands, [6, 5], work_limit=4000, **watch).start),
        "level_weeks": lambda **watch: list(libseal.level_weeks(works, weeks, work_limit=300, **watch).week),
        "lowest_peak": lambda **watch: list(libseal.lowest_peak(works, 20, work_limit=300, **watch).week),
        "best_visits": lambda **watch: libseal.best_visits(visits, [9.0] * 30, **watch).cost,
    }


def bookings(yard):
    """Schedules and what is asked of them."""
    day, coach = datetime.date(2027, 3, 1), yard.fleet.coaches[0]
    findings = [f for f in yard.findings if f.coach == coach.id]
    rest = {"due_before": datetime.date(2027, 12, 31)}
    plan = libseal.plan_work(coach, findings, yard.forecast, yard.shop, yard.as_of, **rest)
    tight = libseal.Booking(plan, latest=datetime.datetime(2027, 3, 1, 9, 0))
    return {
        "plan_work": lambda **watch: libseal.work_plan_json(libseal.plan_work(coach, findings, yard.forecast, yard.shop, yard.as_of, **rest, **watch)),
        "schedule": lambda **watch: libseal.schedule_json(libseal.schedule(plan, yard.shop, day, work_limit=40, **watch), plan, yard.shop),
        "explain_conflict": lambda **watch: libseal.explain_conflict(tight, yard.shop, day, work_limit=3, **watch).members,
    }


@pytest.fixture(scope="module")
def calls(yard):
    """Long calls with a callback, each giving something comparable; `session` is shared by those that take one."""
    session = libseal.Session()
    one = {"session": session, "threads": 1}
    seen = {"findings": yard.findings, "work_done": yard.work_done, **one}
    coach, change = yard.fleet.coaches[0], {"coach/*/cover": "covered"}
    layers = libseal.LayerColumns([libseal.find_station("725350")], [libseal.LayerKey(family="self_levelling_lap")], [0, 0], ["2021-06-01", "2019-06-01"])
    return searches() | bookings(yard) | {
        "forecast": lambda **watch: bits(libseal.forecast(yard.fleet, yard.as_of, 5, **seen, **watch)),
        "forecast_layers": lambda **watch: libseal.forecast_layers(layers, yard.as_of, **one, **watch).due_1_year.tobytes(),
        "what_if": lambda **watch: bits(libseal.what_if(yard.fleet, yard.as_of, 5, change, **seen, **watch).after),
        "sensitivity": lambda **watch: libseal.sensitivity(coach, yard.as_of, 5, **one, **watch).days_low.tobytes(),
        "collect_evidence": lambda **watch: libseal.collect_evidence(yard.fleet, yard.as_of, **seen, **watch).to_json(),
        "year_calendar": lambda **watch: libseal.year_calendar(yard.fleet, 2027, yard.shop, yard.as_of, **seen, **watch).json_text(),
        "life_records": lambda **watch: libseal.life_records(yard.fleet, yard.findings, yard.as_of, **one, **watch).lower.tobytes(),
        "recalibrate": lambda **watch: libseal.recalibrate(yard.fleet, yard.findings, yard.as_of, **one, **watch).families.life.tobytes(),
        "look_experiment": lambda **watch: libseal.look_experiment(yard.fleet, yard.findings, "self_levelling_lap", yard.as_of, most=3, **one, **watch).log_sd.tobytes(),
        "back_test": lambda **watch: libseal.back_test(yard.fleet, yard.findings, datetime.date(2026, 1, 1), yard.as_of, threads=1, **watch).chance_due.tobytes(),
        "interval_table": lambda **watch: libseal.interval_table(stations=["725350"], joint_types=["window_frame"], layers=100, **one, **watch).formula_age_cost.tobytes(),
        "fit_life": lambda **watch: libseal.fit_life([1, 2, 3.5], [2, 3, 3.5], **watch).parameters,
        "calibration_table": lambda **watch: libseal.calibration_table(places=["725350"], **watch).lives.rate.tobytes(),
    }


STUB = (ROOT / "bindings" / "python" / "libseal" / "_libseal.pyi").read_text(encoding="utf-8")
AT_ONCE = {"evaluate_schedule", "explain", "verify"}  # take the options of `schedule`, but look at one schedule only
CALLS = sorted({function for function, rest in re.findall(r"^def (\w+)\((.*?)\) ->", STUB, re.DOTALL | re.MULTILINE) if "progress: " in rest} - AT_ONCE)


class Wrong(Exception):
    pass


@pytest.mark.parametrize("name", CALLS)
def test_what_a_callback_throws_comes_through_and_the_next_call_is_as_before(calls, name):
    call = calls[name]
    wanted = call()

    def wrong(state):
        assert state.stage and 0 <= state.fraction <= 1
        raise Wrong(state.stage)

    for _ in range(3):
        with pytest.raises(Wrong):
            call(progress=wrong)
        assert call() == wanted
    assert call(progress=lambda state: None) == wanted


# A call that would take minutes, and a short one of the same kind. All synthetic.
LONG = {
    "forecast": ("libseal.forecast(libseal.Fleet(coaches=[van(n) for n in range(20000)]), day, 5, session=session, threads=2)",
                 "libseal.forecast(van(1), day, 5, session=session).posteriors_json()"),
    "solve_project": ("libseal.solve_project(times, after, needs, [6, 5], work_limit=2**31 - 1)", "list(libseal.solve_project(times, after, needs, [6, 5], work_limit=900).start)"),
    "fit_life": ("libseal.fit_life(lives, lives, groups=[i % 5000 for i in range(100000)], distribution='early_and_wear_out', nodes=64, threads=1)",
                 "libseal.fit_life(lives[:50], lives[:50]).parameters"),
    "level_weeks": ("libseal.level_weeks(works, weeks, work_limit=2**31 - 1)", "list(libseal.level_weeks(works, weeks, work_limit=90).week)"),
}


@pytest.mark.parametrize("name", LONG)
def test_ctrl_c_ends_a_long_call_and_the_next_one_is_as_before(name):
    """A real SIGINT half a second into the call; one that did not stop would run into the limit of time."""
    long, short = LONG[name]
    code = "import sys; sys.path[:0] = " + repr(sys.path) + textwrap.dedent(f"""
        import datetime, signal, libseal, numpy
        day, chance = datetime.date(2026, 11, 25), numpy.random.default_rng(4)
        stay = libseal.Stay(from_=datetime.date(2016, 1, 1), to=datetime.date(9999, 12, 31), station="725350")
        def van(n):
            return libseal.camper_van(6.0, id=str(n), installed_from=stay.from_, installed_to=stay.from_).replace(stays=[stay])
        times, session = chance.integers(1, 9, 120).tolist(), libseal.Session()
        after = [[j for j in (i + 1 + int(chance.integers(3)), i + 4) if j < 120] for i in range(120)]
        needs = [[int(chance.integers(1, 5)), int(chance.integers(0, 4))] for _ in range(120)]
        works = [libseal.WeekWork(id=str(i), hours=float(chance.uniform(2, 9)), first=0, cost=chance.uniform(0, 9, 20).tolist()) for i in range(60)]
        weeks = [libseal.WeekCapacity(normal=12, overtime=4) for _ in range(20)]
        lives = 9 * chance.weibull(2, 100000)
        wanted = {short}
        signal.signal(signal.SIGINT, signal.default_int_handler)
        signal.signal(signal.SIGALRM, lambda *_: signal.raise_signal(signal.SIGINT))
        try:
            fleet = lambda: {long}
            signal.setitimer(signal.ITIMER_REAL, 0.5)
            fleet()
        except KeyboardInterrupt:
            print("interrupted", {short} == wanted)
        """)
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False, timeout=100)
    assert done.stdout == "interrupted True\n", done.stderr
