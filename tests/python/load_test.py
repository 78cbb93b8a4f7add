"""Sixteen threads on one fleet and one session, calls without end, and one build for all instruction sets: the same bits, and memory with a bound."""

import os
import pathlib
import subprocess
import sys
import sysconfig
import threading

import pytest

import libseal

ROOT = pathlib.Path(__file__).resolve().parents[2]
SOAK = ROOT / "tests" / "load" / "soak.py"


def forecast_bits(yard, session=None):
    forecast = libseal.forecast(yard.fleet, yard.as_of, 5, findings=yard.findings, work_done=yard.work_done, session=session, threads=2)
    return forecast.posteriors_json(), forecast.due_now.tobytes(), forecast.states([0, 5, 9]).bond_left.tobytes()


def test_sixteen_threads_with_one_session_get_the_answers_of_one(yard):
    stay = yard.fleet.coaches[0].stays[0]
    calls = [lambda session: forecast_bits(yard, session),
             lambda session: libseal.year_calendar(yard.fleet, 2027, yard.shop, yard.as_of, findings=yard.findings, work_done=yard.work_done, session=session).json_text(),
             lambda session: libseal.work_plan_json(libseal.plan_work(yard.fleet.coaches[0], [], yard.forecast, yard.shop, yard.as_of)),
             lambda session: libseal.typical_year(libseal.find_station(name=stay.station)).ghi.tobytes()]
    wanted = [call(None) for call in calls]
    session, faults = libseal.Session(), []
    gate = threading.Barrier(16)

    def work(number):
        try:
            gate.wait()
            for k in range(len(calls)):
                which = (k + number) % len(calls)
                if calls[which](session) != wanted[which]:
                    faults.append((number, which))
        except BaseException as error:
            faults.append((number, repr(error)))

    crew = [threading.Thread(target=work, args=(number,)) for number in range(16)]
    for thread in crew:
        thread.start()
    for thread in crew:
        thread.join()
    assert faults == []


@pytest.mark.skipif(not sysconfig.get_config_var("Py_GIL_DISABLED"), reason="this Python always has its global lock")
def test_a_python_without_global_lock_stays_so():
    path = os.pathsep.join([str(pathlib.Path(libseal.__file__).parents[1]), *sys.path])
    environment = {**os.environ, "PYTHONPATH": path}
    environment.pop("PYTHON_GIL", None)
    said = subprocess.run([sys.executable, "-W", "error", "-c", "import sys, libseal; print(sys._is_gil_enabled())"], env=environment,
                          capture_output=True, text=True, check=False)
    assert (said.returncode, said.stdout.strip()) == (0, "False"), said.stderr


@pytest.mark.parametrize("arguments", [["--seconds", "2"], ["--fleets", "40"]])
def test_memory_stops_growing(arguments):
    """A short one; `--slow=soak` goes on for an hour, `--slow=fleets` for a thousand fleets."""
    path = os.pathsep.join([str(pathlib.Path(libseal.__file__).parents[1]), *sys.path])
    done = subprocess.run([sys.executable, str(SOAK), *arguments], env={**os.environ, "PYTHONPATH": path}, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "at most" in done.stdout


@pytest.fixture(scope="module")
def bits():
    """What the program of the fixed job says by an instruction set; within a run, threads, callbacks and sessions are compared already."""
    program = pathlib.Path(os.environ.get("LIBSEAL_BUILD", ROOT / "build" / "tests")) / "tests" / "libseal_bits"
    if not program.exists():
        pytest.skip(f"no {program}; bash tests/run.sh makes it")

    def of(instruction_set):
        done = subprocess.run([str(program), str(ROOT / "examples" / "data")], env={**os.environ, "LIBSEAL_INSTRUCTION_SET": instruction_set},
                              capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stderr
        return dict(line.split() for line in done.stdout.splitlines())

    return of


@pytest.fixture(scope="module")
def portable(bits):
    return bits("portable")


@pytest.mark.parametrize(("instruction_set", "flag"), [("avx2", "avx2"), ("avx512", "avx512dq")])
def test_all_instruction_sets_give_the_same_bits(bits, portable, instruction_set, flag):
    assert len(portable) >= 11 and len(set(portable.values())) == len(portable)
    if flag not in pathlib.Path("/proc/cpuinfo").read_text().split():
        pytest.skip(f"this processor has no {instruction_set}")
    assert bits(instruction_set) == portable
