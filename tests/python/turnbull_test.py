"""Lives that are in the data only because they ended early enough (right truncation), beside two other ways to the same masses.

Synthetic: invented lives. Both ways are independent of the library's, but they check arithmetic, not outside data.
"""

import numpy as np
import pytest

import libseal

optimize = pytest.importorskip("scipy.optimize")


def reports(seed, n):
    """Lives and the age at which each came to the end of the file; what ends later is not in it."""
    random = np.random.default_rng(seed)
    life, end = np.ceil(8 * random.weibull(1.6, 4 * n)), np.ceil(14 * random.random(4 * n))
    seen = life <= end
    return life[seen][:n], end[seen][:n]


@pytest.mark.parametrize("seed, n", [(1, 12), (2, 40), (3, 200)])
def test_right_truncation_equals_the_product_limit_in_reversed_time(seed, n):
    # F(t) = product over times above t of 1 - d / n, n those with life <= time <= end (Lagakos, Barraj & De Gruttola 1988).
    life, end = reports(seed, n)
    times = np.unique(life)
    at_risk = np.array([np.sum((life <= t) & (t <= end)) for t in times])
    kept = 1 - np.array([np.sum(life == t) for t in times]) / at_risk
    assert (kept[1:] > 0).all()  # else the file says nothing of what lies on both sides
    below = np.array([np.prod(kept[i + 1 :]) for i in range(len(times))])
    steps = libseal.turnbull(libseal.LifeData(life, life), exit=end)
    assert steps.converged
    np.testing.assert_array_equal(steps.right, times)
    np.testing.assert_allclose(steps.failed, below, atol=1e-8)
    # Without the truncation early ends would look too common.
    plain = libseal.turnbull(libseal.LifeData(life, life))
    assert plain.failed[len(times) // 2] > steps.failed[len(times) // 2] + 0.01


def log_likelihood(mass, right, lower, upper, entry, exit):
    """Of lives in (lower, upper] among those in (entry, exit], with masses at the right ends of cells."""
    def within(low, high):
        return mass[None, :] * ((right[None, :] > low[:, None]) & (right[None, :] <= high[:, None]))
    return np.sum(np.log(within(lower, upper).sum(axis=1)) - np.log(within(entry, exit).sum(axis=1)))


@pytest.mark.parametrize("seed, late", [(4, False), (5, False), (7, True), (13, True)])
def test_looks_and_truncation_together_equal_a_direct_maximum(seed, late):
    life, end = reports(seed, 60)
    random = np.random.default_rng(100 + seed)
    entry = np.where(random.random(60) < 0.4, np.maximum(0, life - 1 - random.integers(0, 3, 60)), 0.0) if late else np.zeros(60)
    # Looked at every second or third year: the life lies between two looks, and both are before the end of the file.
    every = random.integers(2, 4, 60)
    lower = np.maximum(entry, every * np.floor((life - 1) / every))
    upper = np.minimum(end, every * np.ceil(life / every))
    steps = libseal.turnbull(libseal.LifeData(lower, upper), entry=entry, exit=end)
    assert steps.converged

    right = np.arange(1.0, end.max() + 1)  # every cell that the data can tell apart
    cells = len(right)

    inside, possible = ((right[None, :] > low[:, None]) & (right[None, :] <= high[:, None]) for low, high in ((lower, upper), (entry, end)))

    def loss(x):
        """With its slope, on the scale of ln(mass); the sum of the masses does not matter."""
        mass = np.exp(x - x.max())
        slope = mass * (inside / (inside @ mass)[:, None] - possible / (possible @ mass)[:, None]).sum(axis=0)
        return -log_likelihood(mass / mass.sum(), right, lower, upper, entry, end), -slope

    mass = np.zeros(cells)
    for value, to in zip(steps.mass, steps.right):
        mass[int(min(to, right[-1])) - 1] += value
    # Truncated on the right alone, even and random masses lead to the library's. On both sides there are several tops (docs/survival.md): from
    # near its own masses nothing leads higher.
    near = np.log(0.999 * mass + 0.001 / cells)
    starts = (near,) if late else (near, np.zeros(cells), np.random.default_rng(seed).normal(size=cells))
    best = min((optimize.minimize(loss, start, jac=True, method="L-BFGS-B", bounds=[(-40, 40)] * cells,
                                  options={"maxiter": 400, "maxfun": 1000, "ftol": 1e-14, "gtol": 1e-9}) for start in starts),
               key=lambda found: found.fun)
    assert steps.log_likelihood == pytest.approx(-best.fun, abs=1e-7)
    # The library's own masses, put into the likelihood as it is written here, give what it says.
    assert log_likelihood(mass, right, lower, upper, entry, end) == pytest.approx(steps.log_likelihood, abs=1e-9)
