"""fit_life beside R's survreg, lifelines, reliability, surpyval and SciPy on the same records, and a referee above all of them.

    python benchmarks/life_fit_side_by_side.py [--summary]

The referee is the peak of the likelihood by Newton's method in numbers of 50 digits, from formulas that share nothing with any of
the programs (pip install mpmath). Who is nearer to it, and whose likelihood is higher, is right. Libraries (pip install lifelines
reliability surpyval; apt install r-cran-survival) are used here only, with their usual settings; an absent one is named.
"""

from __future__ import annotations

import argparse
import dataclasses
import importlib.metadata
import subprocess
import sys
from pathlib import Path
from typing import Any

import mpmath
import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "support"))
import life_peers
from life_peers import FAMILIES, PEERS, CannotDo, NotInstalled, PeerFit
from lives import Lives, all_lives, of_rows, sound

mpmath.mp.dps = 50


def log_survival(family: str, z: Any) -> Any:
    """Of the standard variable."""
    if family == "lognormal":
        return mpmath.log(mpmath.erfc(z / mpmath.sqrt(2)) / 2)
    return -mpmath.log1p(mpmath.exp(z)) if family == "loglogistic" else -mpmath.exp(z)


def log_density(family: str, z: Any) -> Any:
    if family == "lognormal":
        return -z * z / 2 - mpmath.log(2 * mpmath.pi) / 2
    return z - 2 * mpmath.log1p(mpmath.exp(z)) if family == "loglogistic" else z - mpmath.exp(z)


def log_likelihood(lives: Lives, family: str, at: list[Any]) -> Any:
    """At mu, coefficients, ln sigma (no ln sigma for an exponential life)."""
    count = lives.covariates.shape[1]
    sigma = mpmath.mpf(1) if family == "exponential" else mpmath.exp(at[-1])
    total = mpmath.mpf(0)
    for i, (low, high, weight) in enumerate(zip(lives.lower, lives.upper, lives.weights)):
        shift = at[0] + sum((mpmath.mpf(x) * b for x, b in zip(lives.covariates[i], at[1:1 + count])), mpmath.mpf(0))

        def standard(t: float) -> Any:
            return (mpmath.log(mpmath.mpf(t)) - shift) / sigma

        if low == high:
            value = log_density(family, standard(low)) - mpmath.log(sigma * mpmath.mpf(low))
        else:
            first = mpmath.exp(log_survival(family, standard(low))) if low > 0 else mpmath.mpf(1)
            value = mpmath.log(first - (mpmath.exp(log_survival(family, standard(high))) if np.isfinite(high) else 0))
        if lives.entry is not None and lives.entry[i] > 0:
            value -= log_survival(family, standard(lives.entry[i]))
        total += int(weight) * value
    return total


@dataclasses.dataclass(frozen=True)
class Peak:
    values: np.ndarray  # mu, coefficients, sigma
    errors: np.ndarray
    log_likelihood: Any
    step: float  # last step of Newton's method in standard errors


def peak(lives: Lives, family: str, start: np.ndarray) -> Peak:
    """Where the slope is nought. Differences over 1e-12: good to 20 digits in numbers of 50."""
    at = [mpmath.mpf(v) for v in start]
    if family != "exponential":
        at[-1] = mpmath.log(at[-1])
    size, h = len(at), mpmath.mpf(10) ** -12
    step = np.inf
    for _ in range(20):
        def value(*moves: int) -> Any:
            moved = list(at)
            for k in moves:
                moved[abs(k) - 1] += h if k > 0 else -h
            return log_likelihood(lives, family, moved)

        here = value()
        up, down = [value(k + 1) for k in range(size)], [value(-k - 1) for k in range(size)]
        slope = mpmath.matrix([(a - b) / (2 * h) for a, b in zip(up, down)])
        bend = mpmath.matrix(size, size)
        for i in range(size):
            bend[i, i] = (up[i] - 2 * here + down[i]) / h**2
            for j in range(i):
                bend[i, j] = bend[j, i] = (value(i + 1, j + 1) - value(i + 1, -j - 1) - value(-i - 1, j + 1) + value(-i - 1, -j - 1)) / (4 * h**2)
        covariance = (-bend) ** -1
        move = covariance * slope
        errors = [mpmath.sqrt(covariance[k, k]) for k in range(size)]
        step = float(max(abs(move[k]) / errors[k] for k in range(size)))
        if step < 1e-15:
            break
        at = [a + move[k] for k, a in enumerate(at)]
    else:
        raise RuntimeError(f"{lives.name}, {family}: the referee found no peak")
    values, deviations = np.array([float(a) for a in at]), np.array([float(e) for e in errors])
    if family != "exponential":
        values[-1] = np.exp(values[-1])
        deviations[-1] *= values[-1]
    return Peak(values, deviations, here, step)


@dataclasses.dataclass(frozen=True)
class Row:
    program: str
    lives: Lives
    family: str
    lost: float = np.nan  # ln likelihood below the peak
    relative: float = np.nan  # largest difference of a parameter from the peak, of its own size
    in_errors: float = np.nan  # the same in standard errors
    errors: float = np.nan  # largest relative difference of a standard error
    printed: float = np.nan  # ln likelihood that it prints, less that of its own estimate
    cannot: str = ""


def beside(lives: Lives, family: str, program: str, fit: PeerFit, best: Peak) -> Row:
    at = [mpmath.mpf(v) for v in fit.values]
    if family != "exponential":
        at[-1] = mpmath.log(at[-1])
    own = log_likelihood(lives, family, at)
    away = np.abs(fit.values - best.values)
    given = np.isfinite(fit.errors)
    return Row(program, lives, family, float(best.log_likelihood - own), float((away / np.abs(best.values)).max()),
               float((away / best.errors).max()), float(np.abs(fit.errors / best.errors - 1)[given].max()) if given.any() else np.nan,
               float(fit.log_likelihood - own))


def fit_by(program: str, lives: Lives, family: str) -> PeerFit:
    return life_peers.by_libseal(lives, family) if program == "libseal" else life_peers.quietly(program, lives, family)


def versions() -> list[str]:
    found = []
    for name in ("libseal", "lifelines", "reliability", "surpyval", "scipy", "numpy", "mpmath"):
        try:
            version = importlib.import_module("libseal").__version__ if name == "libseal" else importlib.metadata.version(name)
            found.append(f"{name} {version}")
        except (ImportError, importlib.metadata.PackageNotFoundError):
            found.append(f"{name}: skipped, not installed")
    if not life_peers.survreg_is_there():
        return [*found, "R survival: skipped, not installed"]
    words = "cat(as.character(getRversion()), as.character(packageVersion('survival')))"
    r, survival = subprocess.run(["Rscript", "-e", words], capture_output=True, text=True, check=True).stdout.split()
    return [*found, f"R {r}, survival {survival}"]


def without_a_peak() -> list[tuple[Lives, str]]:
    """Synthetic records whose likelihood has no maximum; the cause in the words of `fit_life`."""
    x = ("sealant",)
    exact = np.array([3.0, 4, 5, 6, 7])
    return [(of_rows("three survivors", "synthetic", sound([3, 4, 5])), "no_failure"),
            (of_rows("all failed before the first look", "synthetic", [(0, 3, 1), (0, 4, 1)]), "all_failed_before"),
            (of_rows("all failures at one age", "synthetic", [(5, 5, 4), *sound([3, 4])]), "one_time"),
            (of_rows("failures with one sealant only", "synthetic", [(3, 3, 1, 1), (4, 4, 1, 1), (5, np.inf, 1, 0), (2, np.inf, 1, 0)], x),
             "separated_covariate"),
            (of_rows("one sealant throughout", "synthetic", [(t, t, 1, 1) for t in exact], x), "constant_covariate"),
            (of_rows("two names of one covariate", "synthetic", [(t, t, 1, k % 2, 2 * (k % 2)) for k, t in enumerate(exact)], ("a", "b")),
             "collinear_covariates")]


def show(rows: list[Row]) -> None:
    print("| data | source | records | family | program | ln likelihood lost | parameters, relative | in standard errors | standard errors, relative | cannot |")
    print("|---|---|---|---|---|---|---|---|---|---|")
    for row in rows:
        numbers = ["" if np.isnan(v) else f"{v:.1e}" for v in (row.lost, row.relative, row.in_errors, row.errors)]
        print("| " + " | ".join([row.lives.name, row.lives.source, row.lives.kinds, row.family, row.program, *numbers, row.cannot]) + " |")


def summarise(rows: list[Row], programs: list[str]) -> None:
    cases = len({(row.lives.name, row.family) for row in rows})
    print("\n| program | fits, of %d | ln likelihood lost | parameters, relative | in standard errors | standard errors, relative | beyond 1e-5 relative |" % cases)
    print("|---|---|---|---|---|---|---|")
    for program in programs:
        done = [row for row in rows if row.program == program and not row.cannot]
        if done:
            worst = [np.nanmax([getattr(row, name) for row in done] + [-np.inf]) for name in ("lost", "relative", "in_errors", "errors")]
            print(f"| {program} | {len(done)} | " + " | ".join("none given" if np.isinf(v) else f"{v:.0e}" for v in worst)
                  + f" | {sum(row.relative > 1e-5 for row in done)} |")
    print("\nbeyond 1e-5 relative or 1e-5 standard errors from the peak, and what failed:")
    for row in rows:
        if row.relative > 1e-5 or row.in_errors > 1e-5:
            print(f"  {row.program}: {row.lives.name}, {row.family}: {row.relative:.1e} relative, {row.in_errors:.1e} standard errors, ln likelihood lower by {row.lost:.1e}")
        if abs(row.printed) > 1e-7:
            print(f"  {row.program}: {row.lives.name}, {row.family}: prints a ln likelihood off by {row.printed:.1e}")
    for words in sorted({f"{row.program}: {row.cannot}" for row in rows if row.cannot}):
        where = [f"{row.lives.name} {row.family}" for row in rows if f"{row.program}: {row.cannot}" == words]
        print(f"  {words} ({len(where)}: {'; '.join(where[:4])}{'; ...' if len(where) > 4 else ''})")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--summary", action="store_true", help="without the table of every fit")
    options = parser.parse_args()
    print("; ".join(versions()) + "\n")
    rows: list[Row] = []
    absent: set[str] = set()
    for lives in all_lives():
        for family in FAMILIES:
            best = peak(lives, family, life_peers.by_libseal(lives, family).values)
            for program in ["libseal", *PEERS]:
                try:
                    rows.append(beside(lives, family, program, fit_by(program, lives, family), best))
                except NotInstalled:
                    absent.add(program)
                except CannotDo as reason:
                    rows.append(Row(program, lives, family, cannot=str(reason)))
    programs = [program for program in ["libseal", *PEERS] if program not in absent]
    if not options.summary:
        show(rows)
    summarise(rows, programs)
    print("\nrecords without a peak (Weibull): what each program says")
    import libseal
    for lives, cause in without_a_peak():
        extra = {"covariates": lives.covariates} if lives.names else {}
        found = libseal.fit_life(lives.lower, lives.upper, weights=lives.weights, **extra)
        assert found.cause == cause, found
        print(f"  {lives.name}: libseal says {found.cause}")
        for program in programs[1:]:
            try:
                fit = fit_by(program, lives, "weibull")
                print(f"    {program}: estimates {', '.join(f'{v:.5g}' for v in fit.values)}; standard errors {', '.join(f'{v:.3g}' for v in fit.errors)}")
            except CannotDo as reason:
                print(f"    {program}: {reason}")


if __name__ == "__main__":
    main()
