"""Rainflow moments of many movement series, beside the PyPI package rainflow and a streaming stack in Numba, in one process.

    python benchmarks/rainflow_side_by_side.py [--runs 20] [--few 60]

Series: real weather years (read in place from LIBSEAL_DATA, else ../shared/data) x 18 planes x 8 pairs of adherends, all distinct, through
the library's own surface temperatures. Sum of count * range^4 of each. Processor time of one thread, the least of all runs, per hour;
the package, which is slow, counts `--few` of the series, spread over all. Packages that are absent are named and left out. All sums must
agree within 1e-12.
"""

from __future__ import annotations

import argparse
import os
import pathlib
import time

import libseal
import numpy as np

FILES = ["722020_FL_Miami_TMY3.csv", "722780_AZ_Phoenix_Sky_Harbor_TMY3.csv", "724666_CO_Golden_NREL_TMY3.csv",
         "725090_MA_Boston_TMY3.csv", "725300_IL_Chicago_OHare_TMY3.csv", "725350_IN_South_Bend_TMY3.csv",
         "726580_MN_Minneapolis_TMY3.csv", "727930_WA_Seattle_TMY3.csv", "ITA_45.000N_8.000E_PVGIS-TMY_2005-2023.epw",
         "USA_IL_Chicago-OHare.Intl.AP.725300_TMY3.epw"]
PLANES = [(0, 180), (30, 180), *((90, 22.5 * i) for i in range(16))]
# Absorptance and expansion [1/K] of the one adherend, then of the other; round figures of usual materials.
PAIRS = [(0.3, 23e-6, 0.3, 12e-6), (0.3, 23e-6, 0.6, 12e-6), (0.3, 23e-6, 0.9, 12e-6), (0.6, 70e-6, 0.3, 20e-6),
         (0.6, 70e-6, 0.9, 20e-6), (0.9, 12e-6, 0.3, 25e-6), (0.9, 12e-6, 0.6, 6e-6), (0.6, 12e-6, 0.3, 6e-6)]


def movements(folder: pathlib.Path) -> np.ndarray:
    rows = []
    for name in FILES:
        weather = libseal.read_weather(str(folder / "weather" / name))
        for tilt, azimuth in PLANES:
            warm = {a: libseal.surface_temperature(weather, tilt, azimuth, a) - 20 for a in (0.3, 0.6, 0.9)}
            rows += [expansion_b * warm[b] - expansion_a * warm[a] for a, expansion_a, b, expansion_b in PAIRS]
    return np.ascontiguousarray(rows)


def least(runs: int, call):
    """Least seconds of the thread, and what the call gave."""
    best = np.inf
    for _ in range(runs):
        begin = time.thread_time()
        result = call()
        best = min(best, time.thread_time() - begin)
    return best, result


def numba_stack():
    """The same sums by a stack, value by value, compiled; None without Numba."""
    try:
        import numba
    except ImportError:
        return None

    @numba.njit
    def fourth_moments(rows):
        sums = np.empty(rows.shape[0])
        points = np.empty(rows.shape[1] + 1)
        for row in range(rows.shape[0]):
            x, top, total = rows[row], 0, 0.0
            latest, slope, ended = x[0], 0, False
            for i in range(1, x.size + 1):
                if i < x.size:
                    if x[i] == latest:
                        continue
                    now = 1 if x[i] > latest else -1
                    if now == slope:
                        latest = x[i]
                        continue
                    slope = now
                else:
                    ended = slope == 0
                if ended:
                    break
                points[top] = latest
                top += 1
                if i < x.size:
                    latest = x[i]
                while top >= 3:
                    after, before = abs(points[top - 1] - points[top - 2]), abs(points[top - 2] - points[top - 3])
                    if after < before:
                        break
                    square = before * before
                    if top == 3:
                        total += 0.5 * square * square
                        points[0], points[1] = points[1], points[2]
                        top = 2
                    else:
                        total += square * square
                        points[top - 3] = points[top - 1]
                        top -= 2
            for k in range(1, top):
                square = (points[k] - points[k - 1]) ** 2
                total += 0.5 * square * square
            sums[row] = total
        return sums

    return fourth_moments


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=20)
    parser.add_argument("--few", type=int, default=60)
    options = parser.parse_args()
    rows = movements(pathlib.Path(os.environ.get("LIBSEAL_DATA", "../shared/data")))
    print(f"{len(rows)} series of {rows.shape[1]} hours, {len(np.unique(rows, axis=0))} of them distinct")

    def say(name, seconds, values):
        each = seconds / values * 1e9
        print(f"  {each:9.3f} ns an hour, {each / base:7.2f} x  {name}")

    base, seconds = 1.0, least(options.runs, lambda: libseal.rainflow_moments_of_rows(rows, [4], threads=1))
    base = seconds[0] / rows.size * 1e9
    ours = seconds[1][:, 0]
    say("rainflow_moments_of_rows, exponent 4", seconds[0], rows.size)
    say("exponents 3 to 6", least(options.runs, lambda: libseal.rainflow_moments_of_rows(rows, [3, 4, 5, 6], threads=1))[0], rows.size)
    say("exponent 4, repeating", least(options.runs, lambda: libseal.rainflow_moments_of_rows(rows, [4], True, 1))[0], rows.size)
    say("rainflow_moments, a call a series", least(options.runs, lambda: [libseal.rainflow_moments(row, [4]) for row in rows])[0], rows.size)

    stack = numba_stack()
    if stack is None:
        print("Numba is not installed: no comparison")
    else:
        stack(rows[:2])  # compiles
        seconds, sums = least(options.runs, lambda: stack(rows))
        np.testing.assert_allclose(ours, sums, rtol=1e-12)
        say("streaming stack in Numba", seconds, rows.size)
    try:
        import rainflow
    except ImportError:
        print("rainflow is not installed: no comparison")
        return
    chosen = np.linspace(0, len(rows) - 1, options.few).astype(int)
    for kind, series in (("lists", [rows[i].tolist() for i in chosen]), ("arrays", [rows[i] for i in chosen])):
        seconds, sums = least(options.runs, lambda series=series: [
            sum(count * length**4 for length, _, count, _, _ in rainflow.extract_cycles(one)) for one in series])
        np.testing.assert_allclose(ours[chosen], sums, rtol=1e-12)
        say(f"package rainflow, {kind}", seconds, len(chosen) * rows.shape[1])


if __name__ == "__main__":
    main()
