"""fit_life on many interval-censored records, beside lifelines on the same records in the same process.

    python benchmarks/life_fit.py [--records 100000] [--groups 30]

lifelines (pip install lifelines) is used here only; where it is absent the comparison is left out, and the output says so.
Times are of the processor on one thread, best of five, and of the clock as a user waits (all threads); every result is checked to
be finite.
"""

from __future__ import annotations

import argparse
import time

import libseal
import numpy as np


def best_of(count, call, clock=time.process_time):
    best = np.inf
    for _ in range(count):
        begin = clock()
        result = call()
        best = min(best, clock() - begin)
    return best, result


def invented(records: int, seed: int):
    """Yearly looks at Weibull lives with three covariates; watched for 15 years."""
    random = np.random.default_rng(seed)
    x = random.standard_normal((records, 3))
    life = 10 * np.exp(x @ [0.3, -0.2, 0.0]) * random.weibull(2.0, records)
    seen = life < 15
    return np.where(seen, np.floor(life), 15.0), np.where(seen, np.floor(life) + 1, np.inf), x


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--records", type=int, default=100_000)
    parser.add_argument("--groups", type=int, default=30)
    options = parser.parse_args()
    lower, upper, x = invented(options.records, 1)
    for name in ("weibull", "lognormal", "loglogistic"):
        seconds, fit = best_of(5, lambda: libseal.fit_life(lower, upper, x, distribution=name, threads=1))
        assert fit.converged and np.isfinite(fit.covariance).all()
        print(f"{name:12} {options.records} records, 3 covariates: {seconds:.3f} s, ln likelihood {fit.log_likelihood:.6f}")
        if name == "weibull":
            ours, ours_seconds = fit, seconds
    group_lower, group_upper, group_x = invented(1000, 2)
    seconds, fit = best_of(3, lambda: libseal.fit_life(group_lower, group_upper, group_x, groups=np.arange(1000) % options.groups, threads=1))
    print(f"1000 records in {options.groups} groups: {seconds:.3f} s")
    seconds, _ = best_of(1, lambda: [fit.limits(parameter) for parameter in fit.parameters])
    print(f"profile limits of all {len(fit.parameters)} parameters of it: {seconds:.3f} s")
    try:
        import pandas
        from lifelines import WeibullAFTFitter
    except ImportError:
        print("lifelines is not installed: no comparison")
        return
    frame = pandas.DataFrame(x, columns=["a", "b", "c"]).assign(lower=lower, upper=upper)
    seconds, theirs = best_of(2, lambda: WeibullAFTFitter().fit_interval_censoring(frame, "lower", "upper"))
    waited, _ = best_of(2, lambda: WeibullAFTFitter().fit_interval_censoring(frame, "lower", "upper"), time.perf_counter)
    ours_waited, _ = best_of(5, lambda: libseal.fit_life(lower, upper, x), time.perf_counter)
    print(f"lifelines    {seconds:.3f} s, ln likelihood {theirs.log_likelihood_:.6f}: {seconds / ours_seconds:.0f} times as long; "
          f"ours higher by {ours.log_likelihood - theirs.log_likelihood_:.2g}")
    print(f"waited       ours {ours_waited:.3f} s, lifelines {waited:.3f} s: {waited / ours_waited:.0f} times as long")


if __name__ == "__main__":
    main()
