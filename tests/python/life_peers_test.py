"""fit_life beside other libraries on the same records, and beside formulas that share nothing with it.

SciPy is always here; R with its package survival, lifelines, reliability and surpyval are compared where they are installed.
benchmarks/life_fit_side_by_side.py measures all of them against a peak in numbers of 50 digits; docs/life_fits.md has its table.
"""

import functools

import life_peers
import numpy as np
import pytest
from life_peers import FAMILIES, CannotDo, NotInstalled
from lives import all_lives

pytest.importorskip("scipy")

LIVES = {lives.name: lives for lives in all_lives()}

# Largest differences in standard errors and, relative, of standard errors. The searches of the others stop there; their likelihood is
# the lower one wherever the difference is beyond rounding.
CLOSE = {"R survival": 1e-6, "scipy.stats": 1e-3, "reliability": 1e-3, "surpyval": 1e-3, "lifelines": 1e-2}


@functools.cache
def ours(name, family):
    return life_peers.by_libseal(LIVES[name], family)


def fits_of(peer):
    """Name, family and fit of all that a library can do."""
    cases = [(name, family) for name in LIVES for family in FAMILIES]
    if peer == "R survival":
        cases = [(name, family) for name, family in cases if LIVES[name].entry is None]
        for case, fit in zip(cases, life_peers.survreg([(LIVES[name], family) for name, family in cases]), strict=True):
            if not isinstance(fit, CannotDo):
                yield *case, fit
        return
    for name, family in cases:
        try:
            yield name, family, life_peers.quietly(peer, LIVES[name], family)
        except NotInstalled:
            raise
        except CannotDo:
            continue


@pytest.mark.parametrize("family", FAMILIES)
@pytest.mark.parametrize("name", LIVES)
def test_a_likelihood_by_scipys_formulas_is_level_at_the_estimate_and_bends_as_said(name, family):
    """Slope and curvature by differences, in coordinates in which the covariance of the estimate is the unit matrix."""
    lives, fit = LIVES[name], ours(name, family)
    here = life_peers.log_likelihood(lives, family, fit.values)
    assert fit.log_likelihood == pytest.approx(here, rel=1e-12)
    size, step = fit.values.size, 1e-3
    axes = np.linalg.cholesky(fit.covariance) * step

    def moved(*moves):
        return life_peers.log_likelihood(lives, family, fit.values + sum(sign * axes[:, k] for k, sign in moves))

    bend = np.zeros((size, size))
    for i in range(size):
        up, down = moved((i, 1)), moved((i, -1))
        assert abs(up - down) / (2 * step) < 1e-5, "slope in standard errors"
        bend[i, i] = (up - 2 * here + down) / step**2
        for j in range(i):
            bend[i, j] = (moved((i, 1), (j, 1)) - moved((i, 1), (j, -1)) - moved((i, -1), (j, 1)) + moved((i, -1), (j, -1))) / (4 * step**2)
    np.testing.assert_allclose(bend, -np.eye(size), atol=1e-4)


@pytest.mark.parametrize("peer", CLOSE)
def test_other_libraries_find_the_same_lives(peer):
    compared = 0
    try:
        for name, family, theirs in fits_of(peer):
            fit, where = ours(name, family), f"{peer}: {name}, {family}"
            away = np.abs(theirs.values - fit.values) / fit.errors
            assert away.max() < CLOSE[peer], f"{where}: {away.max():.2g} standard errors apart"
            given = np.isfinite(theirs.errors)
            assert given.any() or peer == "scipy.stats", f"{where}: no standard error"
            np.testing.assert_allclose(theirs.errors[given], fit.errors[given], rtol=CLOSE[peer], err_msg=where)
            gain = life_peers.log_likelihood(LIVES[name], family, theirs.values) - fit.log_likelihood
            assert gain < 2e-12 * abs(fit.log_likelihood), f"{where}: its likelihood is higher by {gain:.2g}"
            compared += 1
    except NotInstalled as reason:
        pytest.skip(f"{reason}: no comparison with it")
    assert compared >= 20, f"{peer} fitted {compared} of {len(LIVES) * len(FAMILIES)}"
