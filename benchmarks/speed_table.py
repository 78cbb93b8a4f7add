"""One table of all speed goals: floor, ours, and what a user would use instead, side by side.

    python benchmarks/speed_table.py [--most 100000] [--out build/results/speed] [--programs build/tests/benchmarks]

Peers (NumPy, SciPy, pvlib, Numba, rainflow, lifelines, OR-Tools) run in this process, beside libseal's Python calls; loops that Python cannot call
alone are timed by the programs of `benchmarks/` (option LIBSEAL_BENCHMARKS), one after the other in the same command. Absent peers are
named and left out. Times are processor seconds of one thread, the least of many runs. Writes speed.json, speed.md and growth.svg into --out.
"""

from __future__ import annotations

import argparse
import contextlib
import datetime
import importlib
import io
import json
import multiprocessing
import os
import pathlib
import platform
import subprocess
import sys
import time
from collections.abc import Callable, Iterator

import libseal
import numpy as np

AS_OF = datetime.date(2026, 11, 25)
RUNS = 20
GAS = 8.314462618e-3


class Seconds(float):
    """Least seconds of the thread in many runs; how far the usual run is above it."""

    spread: float = 0.0


def least(call, runs=RUNS) -> Seconds:
    each = []
    for _ in range(runs):
        begin = time.thread_time()
        call()
        each.append(time.thread_time() - begin)
    seconds = Seconds(min(each))
    seconds.spread = float(np.median(each)) / seconds - 1
    return seconds


def module(name: str):
    try:
        return importlib.import_module(name)
    except ImportError:
        return None


class Table:
    """Rows of goals, printed as they come."""

    def __init__(self) -> None:
        self.rows: list[dict] = []
        print(f"{'goal':4} {'what':58} {'wanted':>14} {'measured':>12} {'spread':>6} {'met':>4}")

    def add(self, goal: str, what: str, wanted: str, measured: float, unit: str, met: bool | None, spread: float | None = None) -> None:
        """Spread: how far the usual run is above the least, of what is ours or, in a ratio, the other's."""
        self.rows.append({"goal": goal, "what": what, "wanted": wanted, "measured": float(measured), "unit": unit, "met": met, "spread": spread})
        print(f"{goal:4} {what:58} {wanted:>14} {measured:9.4g} {unit:4} {'' if spread is None else f'{spread:.0%}':>5} {'' if met is None else 'yes' if met else 'NO':>3}", flush=True)

    def markdown(self) -> str:
        """For the page on speed."""
        lines = ["| goal | what | wanted | measured | spread | met |", "|---|---|---|---|---|---|"]
        for row in self.rows:
            met = {None: "", True: "yes", False: "**no**"}[row["met"]]
            wanted = row["wanted"].replace("<=", "at most").replace(">=", "at least")
            spread = "" if row["spread"] is None else f"{row['spread']:.0%}"
            lines.append(f"| {row['goal']} | {row['what']} | {wanted} | {row['measured']:.3g} {row['unit']} | {spread} | {met} |")
        return "\n".join(lines) + "\n"


def run_program(folder: pathlib.Path, name: str, *arguments: str):
    path = folder / f"benchmark_{name}"
    if not path.exists():
        print(f"{path} is not built: its rows are left out")
        return None
    return json.loads(subprocess.run([path, *arguments], check=True, capture_output=True, text=True).stdout)


# The physics of one clock in NumPy, as a user would write it and as an expert would. All hours of a typical year.


def hours_of_a_wall():
    station = libseal.find_station("722780")
    weather = libseal.typical_year(station)
    surface = libseal.surface_temperature(weather, 90.0, 200.0, 0.8)
    plane = libseal.plane_irradiance(weather, 90.0, 200.0)
    light = 0.05 * np.maximum(0.0, plane.beam + plane.sky + plane.ground)
    months = (np.asarray(weather.time_utc).astype("datetime64[M]").astype(int)) % 12
    return weather, surface, light, np.asarray(weather.relative_humidity), months


def plain_numpy(surface, light, humidity, months):
    warm = (1 / 296.15 - 1 / (surface + 273.15)) / GAS
    rate = light**0.7 * np.exp(20 * warm) + np.exp(50 * warm) + (humidity / 50) ** 1.1 * np.exp(68 * warm)
    return np.bincount(months, rate)


class ExpertNumpy:
    """The same with logarithms and q shared by all families, dark hours left out, sums by month blocks."""

    def __init__(self, surface, light, humidity, months):
        order = np.argsort(months, kind="stable")
        kelvin = surface[order] + 273.15
        self.q = (kelvin - 296.15) / (kelvin * 296.15 * GAS)
        self.damp = np.log(np.maximum(humidity[order], 1e-3) / 50)
        lit = light[order] > 0
        self.lit_q, self.lit_log = self.q[lit], np.log(light[order][lit])
        self.starts = np.searchsorted(months[order], np.arange(12))
        self.lit_starts = np.searchsorted(months[order][lit], np.arange(12))

    def __call__(self):
        return (np.add.reduceat(np.exp(0.7 * self.lit_log + 20 * self.lit_q), self.lit_starts), np.add.reduceat(np.exp(50 * self.q), self.starts),
                np.add.reduceat(np.exp(1.1 * self.damp + 68 * self.q), self.starts))


def damage_rows(table: Table, hours) -> None:
    best = {}
    for loop in hours["loops"]:
        best.setdefault(loop["loop"], {})[loop["set"]] = loop
    chosen = [name for name in ("avx512", "avx2", "portable") if name in {loop["set"] for loop in hours["loops"]}][0]
    for name, sets in best.items():
        loop = sets[chosen]
        if "floor_ns" in loop:
            ratio = loop["ns"] / loop["floor_ns"]
            damage = name.startswith("damage")
            table.add("P1", f"{name}, {chosen}: times its floor", "<= 1.5" if damage else "", ratio, "x", ratio <= 1.5 if damage else None, loop["spread"])
    table.add("P1", "worst error of a year's sum, relative", "<= 1e-14", hours["worst_error"], "", hours["worst_error"] <= 1e-14)
    weather, surface, light, humidity, months = hours_of_a_wall()
    each = {name: best[f"damage, {name}"][chosen]["ns"] for name in ("light^0.7", "heat", "moisture")}
    lit = float(np.mean(light > 0))  # dark hours cost the light term nothing
    ours = each["light^0.7"] * lit + each["heat"] + each["moisture"]
    table.add("P2", "three terms of a clock, an hour of the year", "", ours, "ns", None)
    scalar = hours["scalar_ns"]["rates"]
    table.add("P2", "three rates, one hour after the other with pow: times ours", ">= 18", scalar / ours, "x", scalar / ours >= 18)
    for name, call, goal in ((f"NumPy {np.__version__}, a clock after the other", lambda: plain_numpy(surface, light, humidity, months), 30),
                             ("NumPy with the same algebra", ExpertNumpy(surface, light, humidity, months), 3)):
        theirs = least(call)
        ratio = theirs / len(surface) * 1e9 / ours
        table.add("P2", f"{name}: times ours", f">= {goal}", ratio, "x", ratio >= goal, theirs.spread)
    pvlib, pandas = module("pvlib"), module("pandas")
    if pvlib is None or pandas is None:
        print("pvlib is not installed: no comparison")
        return
    times = pandas.DatetimeIndex(np.asarray(weather.time_utc).astype("datetime64[ns]"), tz="UTC")
    frame = pandas.DataFrame({"ghi": weather.ghi, "dni": weather.dni, "dhi": weather.dhi, "temperature": weather.air_temperature, "humidity": humidity}, index=times)

    def pipeline():
        sun = pvlib.solarposition.get_solarposition(times, weather.site.latitude, weather.site.longitude)
        extra = pvlib.irradiance.get_extra_radiation(times)
        plane = pvlib.irradiance.get_total_irradiance(90, 200, sun["apparent_zenith"], sun["azimuth"], frame["dni"], frame["ghi"], frame["dhi"], dni_extra=extra,
                                                      airmass=pvlib.atmosphere.get_relative_airmass(sun["apparent_zenith"]), model="perez")
        warm = (1 / 296.15 - 1 / (frame["temperature"] + 0.02 * plane["poa_global"] + 273.15)) / GAS
        rate = (0.05 * plane["poa_global"].clip(lower=0)) ** 0.7 * np.exp(20 * warm) + np.exp(50 * warm) + (frame["humidity"] / 50) ** 1.1 * np.exp(68 * warm)
        return rate.groupby(rate.index.month).sum()

    ratio = least(pipeline, 3) / len(surface) * 1e9 / ours
    table.add("P2", f"pvlib {pvlib.__version__} and pandas, a clock after the other: times ours", ">= 1000", ratio, "x", ratio >= 1000)


def rainflow_rows(table: Table) -> None:
    """By benchmarks/rainflow_side_by_side.py in this process."""
    text = io.StringIO()
    arguments, sys.argv = sys.argv, ["rainflow_side_by_side.py"]
    try:
        with contextlib.redirect_stdout(text):
            importlib.import_module("rainflow_side_by_side").main()
    finally:
        sys.argv = arguments
    wanted = {"rainflow_moments_of_rows, exponent 4": ("<= 1.7 ns", lambda ns, x: ns <= 1.7, 0), "streaming stack in Numba": (">= 6", lambda ns, x: x >= 6, 1),
              "package rainflow, lists": (">= 150", lambda ns, x: x >= 150, 1)}
    for line in text.getvalue().splitlines():
        parts = line.split(None, 6)
        if " x  " not in line:
            continue
        each, times, name = float(parts[0]), float(parts[4]), line.split(" x  ", 1)[1]
        goal, test, which = wanted.get(name, ("", None, 0))
        table.add("P3", name + (": times ours" if which else ", an hour"), goal, times if which else each, "x" if which else "ns", test(each, times) if test else None)


def layer_rows(table: Table, growth, out: pathlib.Path) -> None:
    plain, looked = growth["known_us"]["no_looks"], growth["known_us"]["three_looks"]
    table.add("P4", "a layer, clock known, no looks", "<= 1.5 us", plain, "us", plain <= 1.5)
    table.add("P4", "a layer, clock known, three looks", "<= 1.5 us", looked, "us", looked <= 1.5)
    optimize = module("scipy.optimize")
    if optimize is None:
        print("SciPy is not installed: no comparison")
    else:
        nodes = np.linspace(-4, 4, 31)
        weights = np.exp(-0.5 * nodes**2)
        weights /= weights.sum()

        def one(scale, age, seen):
            hazard = lambda t: (t / scale) ** 2.75  # noqa: E731
            belief = weights * np.prod([np.exp(-hazard(t) * np.exp(0.3 * nodes)) for t in seen], axis=0)
            belief /= belief.sum()
            survival = lambda t: float(belief @ np.exp(-(hazard(t) - hazard(age)) * np.exp(0.3 * nodes)))  # noqa: E731
            answers = [1 - survival(age + ahead) for ahead in (0.25, 0.5, 1, 2, 3, 5, 8, 10)]
            return answers + [optimize.brentq(lambda t, p=p: 1 - survival(t) - p, age, 200) for p in (0.1, 0.5, 0.9)]

        seconds = least(lambda: [one(10 + k % 5, 3.0 + k % 4, (1.0, 2.0, 2.8)) for k in range(20)], 5) / 20
        table.add("P4", "SciPy, a simpler belief of 31 nodes, brentq: times three looks", ">= 100", seconds * 1e6 / looked, "x", seconds * 1e6 / looked >= 100)
    limits = {10_000: (4, 256, "P5"), 100_000: (13, None, "P6"), 1_000_000: (100, 512, "P6")}
    for point in growth["growth"]:
        seconds, memory, goal = limits.get(point["coaches"], (None, None, "P7"))
        table.add(goal, f"{point['coaches']:,} coaches, {point['layers']:,} layers, processor", f"<= {seconds} s" if seconds else "", point["seconds"], "s",
                  point["seconds"] <= seconds if seconds else None)
        if memory:
            table.add(goal, f"{point['coaches']:,} coaches, peak of memory", f"<= {memory} MB", point["peak_mb"], "MB", point["peak_mb"] <= memory)
    each = [point["seconds"] / point["coaches"] for point in growth["growth"]]
    if len(each) > 1:
        worst = max(b / a for a, b in zip(each, each[1:], strict=False))
        table.add("P7", "seconds a coach, ten times as many against before, worst", "<= 1.1 x", worst, "x", worst <= 1.1)
    pyplot = module("matplotlib.pyplot")
    if pyplot is None:
        print("matplotlib is not installed: no picture of growth")
        return
    figure, axes = pyplot.subplots(figsize=(7, 4.2))
    coaches = [point["coaches"] for point in growth["growth"]]
    axes.loglog(coaches, [point["seconds"] for point in growth["growth"]], "o-", label="processor seconds, one thread")
    axes.loglog(coaches, [point["peak_mb"] / 1000 for point in growth["growth"]], "s--", label="peak of memory [GB]")
    axes.loglog(coaches, [growth["growth"][0]["seconds"] * c / coaches[0] for c in coaches], ":", color="0.6", label="in proportion to coaches")
    axes.set_xlabel("coaches (60 layers each, one in ten looked at)")
    axes.grid(True, which="major", color="0.9")
    axes.legend(frameon=False)
    figure.tight_layout()
    figure.savefig(out / "growth.svg")


# Loops of `hours` and how often each runs over the lit hours of a year, by what columns have to be worked out.
WORK = {"planes": ("plane, light", "plane, ultraviolet"), "surfaces": ("panel temperature",), "exposed": ("rate inputs, surface", "light inputs"),
        "sheltered": ("rate inputs, half-way",), "terms": ("damage, heat",)}
LIT_HOURS = 4464


def work_rows(table: Table, hours, growth) -> None:
    """The goals of large fleets again, by the hours that the physics of their keys has: what the floors of its loops come to."""
    sets = {loop["set"] for loop in hours["loops"]}
    chosen = next(name for name in ("avx512", "avx2", "portable") if name in sets)
    loops = {loop["loop"]: loop for loop in hours["loops"] if loop["set"] == chosen}
    if "floor_ns" not in loops["damage, heat"]:
        return
    layer_us = growth["known_us"]["no_looks"]
    for point in growth["growth"]:
        if point["coaches"] < 10_000:
            continue
        work, each = point["work"], LIT_HOURS * 1e-9
        floor = sum(work[what] * each * sum(loops[name]["floor_ns"] for name in names) for what, names in WORK.items())
        own = sum(work[what] * each * sum(loops[name]["ns"] for name in names) for what, names in WORK.items())
        sites = work["stations"] * (hours["ms"]["typical_year"] + hours["ms"]["site"]) / 1000
        rows = point["layers"] * layer_us * 1e-6
        name = f"{point['coaches']:,} coaches"
        table.add("P5", f"{name}: {work['terms']:,} terms on {work['surfaces']:,} surfaces, floor of their hours", "", floor, "s", None)
        table.add("P5", f"{name}: the loops over these hours", "", own, "s", None)
        table.add("P5", f"{name}: {work['stations']} typical years and their sites", "", sites, "s", None)
        table.add("P5", f"{name}: layers, all clocks known, none looked at", "", rows, "s", None)
        goal = 1.5 * floor + sites + 1.5e-6 * point["layers"]
        table.add("P5", f"{name}: against 1.5 floors, the sites, 1.5 us a layer", "<= 1 x", point["seconds"] / goal, "x", point["seconds"] <= goal)


def survival_rows(table: Table) -> None:
    pandas, lifelines = module("pandas"), module("lifelines")
    if pandas is None or lifelines is None:
        print("lifelines is not installed: no comparison")
        return
    lower, upper, x = importlib.import_module("life_fit").invented(100_000, 1)
    frame = pandas.DataFrame(x, columns=["a", "b", "c"]).assign(lower=lower, upper=upper)
    ours = least(lambda: libseal.fit_life(lower, upper, x, threads=1))
    theirs = least(lambda: lifelines.WeibullAFTFitter().fit_interval_censoring(frame, "lower", "upper"), 2)
    table.add("fits", "100,000 interval-censored lives, 3 covariates", "", ours * 1e3, "ms", None, ours.spread)
    table.add("fits", f"lifelines {lifelines.__version__}: times ours", ">= 50", theirs / ours, "x", theirs / ours >= 50)


def schedule_rows(table: Table, programs: pathlib.Path, data: pathlib.Path) -> None:
    serial = run_program(programs, "project_solver", "--serial", "j120")
    if serial and serial["instances"]:
        table.add("P10", "serial schedules of 120 tasks a second", ">= 150000", serial["passes_a_second"], "/s", serial["passes_a_second"] >= 150_000)
    if module("ortools") is None or not (data / "psplib").exists():
        print("OR-Tools or the instances are absent: no comparison of schedules")
        return
    beside = importlib.import_module("project_solver_side_by_side")
    ours, theirs, shorter = [], [], 0
    for path in sorted((data / "psplib" / "j120").glob("*.sm"))[::20][:6]:
        project = beside.read(path)
        ours.append(beside.with_libseal(project, 1)[0])
        theirs.append(beside.with_cp_sat(project, 10)[0])
        shorter += ours[-1] <= theirs[-1]
    table.add("P10", f"{len(ours)} projects of 120 tasks, 1 s beside CP-SAT with 10 s: mean length over its", "<= 1", sum(ours) / sum(theirs), "x", sum(ours) <= sum(theirs))


def coupled_rows(table: Table, programs: pathlib.Path) -> None:
    fleet = run_program(programs, "fleet_forecast", "300", "100", "--json")
    if fleet:
        each = fleet["beliefs"] / fleet["coupled"] * 1e3
        table.add("P4", f"cap over bedding, coupled: {fleet['coupled'] / fleet['coaches']:.0f} joints a coach, all beliefs of a coach by them", "<= 0.1 ms", each, "ms", each <= 0.1)


def sweep_rows(table: Table, sweeps) -> None:
    for sweep in sweeps["sweeps"]:
        if sweep["tolerance"] != 1e-6:
            continue
        what = sweep["parameters"]
        table.add("P2", f"sweep of {what}: a year's rate, of many points", "<= 1000 ns", sweep["batch_ns"], "ns", sweep["batch_ns"] <= 1000)
        table.add("P2", f"sweep of {what}: the hours, times that", "", 1000 * sweep["exact_us"] / sweep["batch_ns"], "x", None)
        table.add("P2", f"sweep of {what}: error over the stated one", "<= 1", sweep["worst"] / sweep["stated"], "x", sweep["worst"] <= sweep["stated"])


def wait_rows(table: Table, hours) -> None:
    for name, what, limit in (("cold", "clock at a new site, its typical year composed", 0.3), ("own", "clock at a site whose weather is at hand", 0.3), ("surface", "clock of a new surface at a known site", 0.05),
                              ("known", "clock that the session knows", 0.002)):
        table.add("P8", what, f"<= {limit} ms", hours["ms"][name], "ms", hours["ms"][name] <= limit)
    key = [libseal.LayerKey(family="polyurethane")]
    session = libseal.Session()
    rows = 10_000
    layers = libseal.LayerColumns([libseal.find_station("722780")], key, np.zeros(rows, int), np.full(rows, np.datetime64("2020-05-01")))
    libseal.forecast_layers(layers, AS_OF, session=session, threads=1)
    none = libseal.LayerColumns([libseal.find_station("722780")], key, np.zeros(0, int), np.zeros(0, "datetime64[D]"))
    whole = least(lambda: libseal.forecast_layers(layers, AS_OF, session=session, threads=1))
    empty = least(lambda: libseal.forecast_layers(none, AS_OF, session=session, threads=1))
    table.add("P8", "Python call of 10,000 layers, a layer", "", whole / rows * 1e6, "us", None, whole.spread)
    table.add("P8", "Python call without layers", "", empty * 1e6, "us", None, empty.spread)


@contextlib.contextmanager
def neighbour(work: Callable[[], object]) -> Iterator[None]:
    """Another program that does the work again and again meanwhile."""
    def always() -> None:
        while True:
            work()

    other = multiprocessing.get_context("fork").Process(target=always, daemon=True)
    other.start()
    try:
        yield
    finally:
        other.kill()
        other.join()


def thread_rows(table: Table) -> None:
    rows = 200_000
    random = np.random.default_rng(1)
    keys = [libseal.LayerKey(station=s, tilt=90, azimuth=a, absorptance=b, family="polyurethane") for s in range(4) for a in range(0, 360, 30) for b in (0.3, 0.7)]
    layers = libseal.LayerColumns([libseal.station_at(s) for s in range(4)], keys, random.integers(0, len(keys), rows),
                                  np.datetime64("2016-01-01") + random.integers(0, 3000, rows).astype("timedelta64[D]"))
    session = libseal.Session()
    results = {}
    for threads in (1, 2):
        best = wall = np.inf
        for _ in range(RUNS):
            begin, begin_wall = time.process_time(), time.perf_counter()
            results[threads] = libseal.forecast_layers(layers, AS_OF, session=session, threads=threads)
            best, wall = min(best, time.process_time() - begin), min(wall, time.perf_counter() - begin_wall)
        results[threads, "seconds"] = best, wall
    same = all((getattr(results[1], name) == getattr(results[2], name)).all() for name in ("due_now", "condition", "due_50", "effective_age"))
    # What the machine itself takes from a program whose neighbour works: cores that share a cache, or one core that shows as two.
    beside = np.inf
    with neighbour(lambda: libseal.forecast_layers(layers, AS_OF, session=session, threads=1)):
        for _ in range(RUNS):
            begin = time.process_time()
            libseal.forecast_layers(layers, AS_OF, session=session, threads=1)
            beside = min(beside, time.process_time() - begin)
    machine = beside / results[1, "seconds"][0]
    ratio = results[2, "seconds"][0] / results[1, "seconds"][0]
    table.add("P9", "two threads: summed processor time over one thread's", "<= 1.1", ratio, "x", ratio <= 1.1)
    table.add("P9", "a program beside another that does the same: times alone", "", machine, "x", None)
    table.add("P9", "two threads: summed processor time over that of two programs", "<= 1.1", ratio / machine, "x", ratio / machine <= 1.1)
    table.add("P9", "two threads: the clock on the wall over one thread's", "", results[2, "seconds"][1] / results[1, "seconds"][1], "x", None)
    table.add("P9", "one and two threads: same bits", "1", float(same), "", same)


def reading_rows(table: Table, data: pathlib.Path, out: pathlib.Path) -> None:
    path = data / "weather" / "USA_IL_Chicago-OHare.Intl.AP.725300_TMY3.epw"
    if not path.exists():
        print(f"{path} is absent: reading is left out")
        return
    read = least(lambda: libseal.read_weather(path))
    ours = read * 1e3
    table.add("P11", "reading an EPW file", "<= 2.5 ms", ours, "ms", ours <= 2.5, read.spread)
    kept = least(lambda: libseal.read_weather(path, cache=out / "weather"))
    table.add("P11", "the same from the folder of a cache", "", kept * 1e3, "ms", None, kept.spread)
    pandas = module("pandas")
    if pandas is not None:
        other = least(lambda: pandas.read_csv(path, skiprows=8, header=None)) * 1e3
        table.add("P11", f"pandas {pandas.__version__}, read_csv of it: times ours", "", other / ours, "x", None)


def machine() -> dict:
    model = next((line.split(":", 1)[1].strip() for line in pathlib.Path("/proc/cpuinfo").read_text().splitlines() if line.startswith("model name")), platform.processor())
    return {"processor": model, "cores": os.cpu_count(), "load": os.getloadavg(), "python": platform.python_version(), "libseal": libseal.__version__}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--most", type=int, default=100_000)
    parser.add_argument("--out", type=pathlib.Path, default=pathlib.Path("build/results/speed"))
    parser.add_argument("--programs", type=pathlib.Path, default=pathlib.Path("build/tests/benchmarks"))
    options = parser.parse_args()
    options.out.mkdir(parents=True, exist_ok=True)
    data = pathlib.Path(os.environ.get("LIBSEAL_DATA", "../shared/data"))
    before = machine()
    print(", ".join(f"{name} {value}" for name, value in before.items()))
    table = Table()
    hours = run_program(options.programs, "hours", "--json")
    if hours:
        before["instruction_sets"] = sorted({loop["set"] for loop in hours["loops"]})
        damage_rows(table, hours)
        wait_rows(table, hours)
    sweeps = run_program(options.programs, "rate_sweep", "--json")
    if sweeps:
        sweep_rows(table, sweeps)
    if data.exists() and module("rainflow"):
        rainflow_rows(table)
    else:
        print("rainflow or the outside data are absent: rainflow is left out")
    thread_rows(table)
    reading_rows(table, data, options.out)
    survival_rows(table)
    schedule_rows(table, options.programs, data)
    coupled_rows(table, options.programs)
    growth = run_program(options.programs, "layer_columns", "--json", "--most", str(options.most))
    if growth:
        layer_rows(table, growth, options.out)
        if hours:
            work_rows(table, hours, growth)
    (options.out / "speed.json").write_text(json.dumps({"machine": before, "load_after": os.getloadavg(), "rows": table.rows, "growth": growth}, indent=1))
    (options.out / "speed.md").write_text(table.markdown())
    missed = [row for row in table.rows if row["met"] is False]
    print(f"{sum(row['met'] is True for row in table.rows)} goals met, {len(missed)} missed; {options.out}/speed.json, growth.svg")


if __name__ == "__main__":
    main()
