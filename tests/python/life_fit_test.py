"""Fits of lives beside SciPy, the page that explains them, and what Python adds: arrays, names, errors."""

import re

import numpy as np
import pytest

import libseal

stats = pytest.importorskip("scipy.stats")
optimize = pytest.importorskip("scipy.optimize")

# Distance to failure of shock absorbers, km (Meeker & Escobar 1998, appendix C).
FAILED = [6700, 9120, 12200, 13150, 14300, 17520, 20100, 20900, 22700, 26510, 27490]
SOUND = [6950, 7820, 8790, 9660, 9820, 11310, 11690, 11850, 11880, 12140, 12870, 13330, 13470, 14040, 17540, 17890, 18450, 18960,
         18980, 19410, 20100, 20150, 20320, 23490, 27410, 27890, 28100]


def shocks(**options):
    lower = np.array(FAILED + SOUND, float)
    upper = np.array(FAILED + [np.inf] * len(SOUND))
    return libseal.fit_life(lower, upper, **options)


def test_the_mapping_has_the_published_values():
    fit = shocks()
    assert fit.converged and fit.cause == "" and fit.notes == []
    assert list(fit.parameters) == ["scale", "shape"]
    assert np.log(fit.parameters["scale"]) == pytest.approx(10.2298631, abs=1e-6)
    assert fit.covariance_location_scale[0, 1] == pytest.approx(0.003990396, rel=1e-4)
    assert fit.coordinates == ["log_scale", "log_sigma"]
    assert fit.estimate.shape == (2,) and fit.covariance.shape == (2, 2)
    assert repr(fit).startswith("LifeFit(weibull, scale=27718.7")
    assert list(shocks(distribution="lognormal").parameters) == ["median", "sigma"]
    limits = fit.limits("shape")
    assert (round(limits.low.value, 5), round(limits.high.value, 5)) == (1.89853, 4.77139)
    assert limits.low.value < limits.estimate < limits.high.value and "FitLimits(" in repr(limits)


@pytest.mark.parametrize(
    "name, life",
    [("weibull", lambda m, s: stats.weibull_min(1 / s, scale=np.exp(m))), ("lognormal", lambda m, s: stats.lognorm(s, scale=np.exp(m))),
     ("loglogistic", lambda m, s: stats.fisk(1 / s, scale=np.exp(m)))])
def test_curves_are_those_of_scipy(name, life):
    fit = shocks(distribution=name)
    theirs = life(fit.estimate[0], np.exp(fit.estimate[1]))
    t = np.array([500.0, 9000, 30000, 90000])
    np.testing.assert_allclose(fit.survival(t), theirs.sf(t), rtol=1e-11)
    np.testing.assert_allclose(fit.density(t), theirs.pdf(t), rtol=1e-11)
    np.testing.assert_allclose(fit.hazard(t), theirs.pdf(t) / theirs.sf(t), rtol=1e-10)
    np.testing.assert_allclose(fit.quantile([0.01, 0.5, 0.9]), theirs.ppf([0.01, 0.5, 0.9]), rtol=1e-11)
    value = theirs.logpdf(FAILED).sum() + theirs.logsf(SOUND).sum()
    assert fit.log_likelihood == pytest.approx(value, rel=1e-12)
    assert fit.aic == pytest.approx(4 - 2 * value, rel=1e-12)
    assert fit.survival(0.0) == 1 and fit.density(-1.0) == 0


def test_effects_of_groups_equal_an_integral_by_scipy():
    random = np.random.default_rng(4)
    label = np.repeat(np.arange(8), 12)
    life = 8 * np.exp(0.4 * random.standard_normal(8))[label] * random.weibull(2.5, 96)
    upper = np.where(life < 10, np.ceil(life), np.inf)
    lower = np.where(life < 10, np.ceil(life) - 1, 10)
    fit = libseal.fit_life(lower, upper, groups=label, nodes=40)
    node = np.linspace(-8, 8, 801)

    def value(at):
        mu, log_sigma, sd = at
        scale = np.exp(mu + sd * node)[:, None]
        shape = np.exp(-log_sigma)
        chance = np.exp(-((lower / scale) ** shape)) - np.where(np.isinf(upper), 0, np.exp(-((np.where(np.isinf(upper), 1, upper) / scale) ** shape)))
        total = 0
        for group in range(8):
            total += np.log((np.prod(chance[:, label == group], axis=1) * stats.norm.pdf(node)).sum() * (node[1] - node[0]))
        return total

    assert fit.converged
    assert fit.log_likelihood == pytest.approx(value(fit.estimate), rel=1e-9)
    best = optimize.minimize(lambda at: -value(at), fit.estimate + 0.1, method="Nelder-Mead", options={"xatol": 1e-7, "fatol": 1e-10})
    np.testing.assert_allclose(best.x, fit.estimate, atol=2e-5)


def test_the_early_part_equals_scipys_own_search():
    random = np.random.default_rng(12)
    life = 10 * random.weibull(4.0, 600)
    early = random.random(600) < 0.2
    life[early] = np.minimum(life[early], random.exponential(1.0, early.sum()))
    lower, upper = np.minimum(life, 14), np.where(life < 14, life, np.inf)
    fit = libseal.fit_life(lower, upper, distribution="early_and_wear_out")
    assert fit.converged and list(fit.parameters) == ["scale", "shape", "early_share", "early_life"]

    def value(at):
        scale, shape, m = np.exp(at[0]), np.exp(-at[1]), np.exp(at[3])
        share = 1 / (1 + np.exp(-at[2]))
        first, first_density = 1 - share * (1 - np.exp(-lower / m)), share * np.exp(-lower / m) / m
        second, hazard = np.exp(-((lower / scale) ** shape)), shape / scale * (lower / scale) ** (shape - 1)
        density = first_density * second + first * second * hazard
        return np.where(np.isinf(upper), np.log(first * second), np.log(density)).sum()

    assert fit.log_likelihood == pytest.approx(value(fit.estimate), rel=1e-11)
    best = optimize.minimize(lambda at: -value(at), fit.estimate + 0.05, method="Nelder-Mead", options={"xatol": 1e-8, "fatol": 1e-11, "maxiter": 5000})
    np.testing.assert_allclose(best.x, fit.estimate, atol=2e-5)


def test_covariates_come_as_a_list_or_a_table():
    time = np.array([3.0, 5, 2, 8, 9, 4, 7, 6])
    x = np.array([0, 1, 0, 1, 1, 0, 1, 0.5])
    one = libseal.fit_life(time, time, x, names=["dose"])
    table = libseal.fit_life(time, time, np.column_stack([x, x**2 + np.arange(8) % 3]))
    assert list(one.parameters) == ["scale", "shape", "dose"] and list(table.parameters)[2:] == ["x1", "x2"]
    assert one.quantile(0.5, [1]) / one.quantile(0.5, [0]) == pytest.approx(np.exp(one.parameters["dose"]))
    with pytest.raises(libseal.ValueError, match='"dose"'):
        one.quantile(0.5)
    with pytest.raises(ValueError, match=r"lower\[1\]"):
        libseal.fit_life([1, -1], [2, 2])
    with pytest.raises(ValueError, match="dimensions"):
        libseal.fit_life(time, time, np.zeros((8, 1, 1)))


def test_looks_that_miss_defects_lie_before_the_find():
    visits = [[2, 4, 6], [2, 4], [2], [], [2, 4, 6, 8], [2, 4, 6, 8]]
    lower, upper = [6, 4, 2, 0, 8, 8], [8, 6, 4, 2, np.inf, np.inf]
    sure = libseal.fit_life(lower, upper, visits=visits)
    unsure = libseal.fit_life(lower, upper, visits=visits, detection=0.6)
    plain = libseal.fit_life(lower, upper)
    assert sure.log_likelihood == pytest.approx(plain.log_likelihood, rel=1e-12)
    assert unsure.quantile(0.5) < sure.quantile(0.5)


def test_what_has_no_answer_says_why():
    fit = libseal.fit_life([1, 2], [np.inf, np.inf])
    assert not fit.converged and fit.cause == "no_failure" and "no failure among 2 records" in repr(fit)
    for question in (lambda: fit.parameters, lambda: fit.log_likelihood, lambda: fit.quantile(0.5), lambda: fit.limits("scale")):
        with pytest.raises(RuntimeError, match="no failure among 2 records"):
            question()


def test_the_code_of_the_page_runs(root):
    blocks = re.findall(r"```python\n(.*?)```", (root / "docs" / "life_fits.md").read_text(encoding="utf-8"), re.S)
    assert len(blocks) == 3
    known = {}
    for block in blocks:
        exec(block, known)  # the page's own words
    causes = re.search(r"^    /// One word.*?\.\n", (root / "libseal/include/libseal/life/fit.hpp").read_text(), re.S | re.M)
    words = set(re.findall(r"\b[a-z]+_[a-z_]+\b", causes[0]))
    page = (root / "docs" / "life_fits.md").read_text().partition("| cause | the data |")[2].partition("## How")[0]
    assert words == set(re.findall(r"`([a-z_]+)`", page))
