"""Lives, quadrature and beliefs beside NumPy and SciPy."""

import numpy as np
import pytest

import libseal

stats = pytest.importorskip("scipy.stats")


@pytest.mark.parametrize("median, sigma", [(1.0, 0.1), (9.44, 0.456), (3.0, 1.5)])
def test_lognormal_equals_scipy(median, sigma):
    ours, theirs = libseal.Lognormal(median, sigma), stats.lognorm(s=sigma, scale=median)
    t = median * np.exp(sigma * np.linspace(-8, 8, 161))
    np.testing.assert_allclose(ours.survival(t), theirs.sf(t), rtol=1e-12)
    np.testing.assert_allclose(ours.density(t), theirs.pdf(t), rtol=1e-12)
    np.testing.assert_allclose(ours.hazard(t), theirs.pdf(t) / theirs.sf(t), rtol=1e-11)
    p = np.array([1e-10, 0.01, 0.5, 0.99])
    np.testing.assert_allclose(ours.quantile(p), theirs.ppf(p), rtol=1e-12)
    assert ours.mean() == pytest.approx(theirs.mean(), rel=1e-13)


@pytest.mark.parametrize("shape", [0.7, 1.0, 1.9, 2.75])
def test_what_is_left_of_a_weibull_life_equals_an_integral(shape):
    from scipy.integrate import quad

    ours, theirs = libseal.Weibull(8.0, shape), stats.weibull_min(shape, scale=8.0)
    assert ours.variance() == pytest.approx(theirs.var(), rel=1e-10)
    for alive in [0.0, 0.5, 7.0, 20.0]:
        left = quad(lambda t: theirs.sf(t) / theirs.sf(alive), alive, np.inf, epsabs=0, epsrel=1e-11, limit=500)[0]
        assert ours.mean_residual(alive) == pytest.approx(left, rel=1e-8)


@pytest.mark.parametrize("n", [1, 2, 3, 10, 31, 64])
def test_gauss_rules_equal_numpy(n):
    for ours, (node, weight) in [
        (libseal.gauss_hermite(n), np.polynomial.hermite.hermgauss(n)),
        (libseal.gauss_legendre(n), np.polynomial.legendre.leggauss(n)),
    ]:
        np.testing.assert_allclose(ours.node, node, rtol=1e-13, atol=1e-14)
        np.testing.assert_allclose(ours.weight, weight, rtol=2e-12)  # what NumPy's own weights are good to


def test_beliefs_have_scipys_quantiles():
    p = np.array([1e-6, 0.025, 0.5, 0.975, 1 - 1e-6])
    for a, b in [(0.5, 0.5), (2.0, 8.0), (5.0, 15.0), (300.0, 2.0)]:
        np.testing.assert_allclose(libseal.BetaBelief(a, b).quantile(p), stats.beta(a, b).ppf(p), rtol=1e-10)
        assert libseal.BetaBelief(a, b).sd() == pytest.approx(stats.beta(a, b).std())
    for shape, rate in [(0.3, 1.0), (2.0, 4.0), (250.0, 0.1)]:
        np.testing.assert_allclose(
            libseal.GammaBelief(shape, rate).quantile(p), stats.gamma(shape, scale=1 / rate).ppf(p), rtol=1e-10
        )


def log_likelihood(lower, upper, scale, shape):
    """Of lives between lower and upper, on arrays of scale and shape."""
    total = np.zeros(np.broadcast(scale, shape).shape)
    for low, high in zip(lower, upper):
        life = stats.weibull_min(shape, scale=scale)
        with np.errstate(divide="ignore"):  # far out a life is impossible
            total += np.log(life.sf(low) - (life.sf(high) if np.isfinite(high) else 0)) if low < high else life.logpdf(low)
    return total


def test_posterior_of_a_life_equals_a_plain_grid():
    lower, upper = np.array([4, 4, 0, 3.5, 7]), np.array([np.inf, 6, 5, 3.5, np.inf])
    data = libseal.LifeData(lower, upper)
    u = np.linspace(-7, 7, 4001)
    scale = 8 * np.exp(0.4 * u)
    density = stats.norm.pdf(u) * np.exp(log_likelihood(lower, upper, scale, 2.5))
    ours = libseal.scale_posterior(data, 2.5, libseal.LognormalPrior(8, 0.4))
    step = u[1] - u[0]
    assert ours.evidence == pytest.approx(density.sum() * step, rel=1e-9)
    assert ours.mean == pytest.approx((density * scale).sum() / density.sum(), rel=1e-9)
    below = np.concatenate([[0], np.cumsum((density[1:] + density[:-1]) / 2)]) / density.sum()
    np.testing.assert_allclose(ours.quantile([0.1, 0.5, 0.9]), np.interp([0.1, 0.5, 0.9], below, scale), rtol=1e-5)

    v = np.linspace(-7, 7, 301)
    x, y = np.meshgrid(v, v, indexing="ij")
    scale, shape = 8 * np.exp(0.4 * x), 2.5 * np.exp(0.25 * y)
    density = stats.norm.pdf(x) * stats.norm.pdf(y) * np.exp(log_likelihood(lower, upper, scale, shape))
    both = libseal.life_posterior(data, libseal.LognormalPrior(8, 0.4), libseal.LognormalPrior(2.5, 0.25))
    mean = lambda what: (density * what).sum() / density.sum()  # noqa: E731
    assert both.evidence == pytest.approx(density.sum() * (v[1] - v[0]) ** 2, rel=1e-8)
    assert both.scale_mean == pytest.approx(mean(scale), rel=1e-8)
    assert both.shape_mean == pytest.approx(mean(shape), rel=1e-8)
    assert both.log_covariance == pytest.approx(mean(np.log(scale) * np.log(shape)) - mean(np.log(scale)) * mean(np.log(shape)), rel=1e-6)


def test_looks_run_over_arrays():
    size = np.array([0.0, 1.0, 2.0, 6.0])
    np.testing.assert_allclose(libseal.detection_log_odds(size, 2.0, 6.0), [0, 0.2, 0.5, 0.9])
    assert libseal.look_history([0.1, 0.3], [False, True], 0.8, 0.1).defect == pytest.approx(
        (0.1 * 0.2 * 0.8 + 0.2 * 0.9 * 0.8) / (0.1 * 0.2 * 0.8 + 0.2 * 0.9 * 0.8 + 0.7 * 0.9 * 0.1))
    with pytest.raises(libseal.ValueError, match=r"upper\[0\]"):
        libseal.scale_posterior(libseal.LifeData([3], [2]), 2, libseal.LognormalPrior(8, 0.4))
