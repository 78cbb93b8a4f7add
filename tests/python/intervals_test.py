"""Intervals, survival and shared rates from Python: beside SciPy, with arrays, and for wrong input."""

import numpy as np
import pytest

import libseal

optimize = pytest.importorskip("scipy.optimize")
stats = pytest.importorskip("scipy.stats")
integrate = pytest.importorskip("scipy.integrate")


@pytest.mark.parametrize("life, frozen", [
    (libseal.Weibull(8.0, 2.5), stats.weibull_min(2.5, scale=8.0)),
    (libseal.Lognormal(9.0, 0.4), stats.lognorm(0.4, scale=9.0)),
    (libseal.LifeLaw.uniform(2.0, 10.0), stats.uniform(2.0, 8.0)),
])
def test_replacement_ages_are_those_of_scipys_search(life, frozen):
    def cost(age):
        left = frozen.sf(age)
        return (150 * left + 900 * (1 - left)) / integrate.quad(frozen.sf, 0, age, epsabs=1e-12, limit=200)[0]

    best = libseal.best_replacement_age(life, 150, 900)
    found = optimize.minimize_scalar(cost, bounds=(0.1, 12), method="bounded", options={"xatol": 1e-9})
    assert best.age == pytest.approx(found.x, rel=1e-4)
    assert best.cost_rate == pytest.approx(found.fun, rel=1e-8)  # a kink of the uniform life stops the search early
    ages = np.linspace(0.5, 12, 24)
    np.testing.assert_allclose(libseal.replacement_cost_curve(life, 150, 900, ages), [cost(age) for age in ages], rtol=1e-8)


def test_a_life_may_be_a_function_a_law_or_a_table():
    life = libseal.Weibull(8.0, 2.5)
    expected = libseal.best_replacement_age(life, 1, 5)
    assert libseal.best_replacement_age(lambda t: float(np.exp(-((t / 8) ** 2.5))), 1, 5).age == pytest.approx(expected.age, rel=1e-7)
    assert libseal.best_replacement_age(libseal.LifeLaw(life), 1, 5).age == expected.age
    law = libseal.LifeLaw(life.survival, life.density)
    assert libseal.best_replacement_age(law, 1, 5).age == pytest.approx(expected.age, rel=1e-9)
    age = np.linspace(0.01, 20, 3000)
    table = libseal.LifeLaw.table(age, life.survival(age))
    assert libseal.best_replacement_age(table, 1, 5).age == pytest.approx(expected.age, rel=5e-3)
    assert law.parameter_names() == ["stretch"]
    assert libseal.LifeLaw(life).with_parameter("scale", 16.0).mean() == pytest.approx(2 * life.mean())
    assert law.survival(age).shape == age.shape
    assert "ReplacementAge(age=" in repr(expected)


def test_errors_of_a_function_come_through():
    def broken(t):
        raise KeyError("no life")

    with pytest.raises(KeyError, match="no life"):
        libseal.best_replacement_age(broken, 1, 5)
    with pytest.raises(TypeError):
        libseal.best_replacement_age("Weibull", 1, 5)
    with pytest.raises(libseal.ValueError, match="survival"):
        libseal.best_replacement_age(lambda t: float("nan"), 1, 5)


def test_inspection_costs_equal_an_integral():
    delay = stats.weibull_min(2.0, scale=3.0)

    def share(interval, chance):
        def failed(y):
            looks = np.arange(1, 400)
            return 1 - np.sum(chance * (1 - chance) ** (looks - 1) * delay.sf(looks * interval - y))
        return integrate.quad(failed, 0, interval, epsabs=1e-13, limit=200)[0] / interval

    intervals = np.array([0.3, 1.0, 2.5])
    for chance in (1.0, 0.6, 0.2):
        ours = libseal.defect_failure_share(libseal.Weibull(3.0, 2.0), chance, intervals)
        np.testing.assert_allclose(ours, [share(interval, chance) for interval in intervals], rtol=1e-9)


def test_simulated_delays_cost_what_the_model_says():
    # Synthetic: 200000 defects with their own looks.
    random = np.random.default_rng(5)
    interval, chance = 1.5, 0.7
    fails = random.weibull(2.0, 200_000) * 3.0
    next_look = random.uniform(0, interval, fails.size)
    found_at = next_look + interval * (random.geometric(chance, fails.size) - 1)
    share = np.mean(fails < found_at)
    assert libseal.defect_failure_share(libseal.Weibull(3.0, 2.0), chance, [interval])[0] == pytest.approx(share, abs=0.004)


def test_simulated_renewals_are_those_of_the_renewal_function():
    # Synthetic: 20000 histories of lognormal lives.
    random = np.random.default_rng(6)
    times = np.cumsum(random.lognormal(np.log(3.0), 0.5, (20_000, 40)), axis=1)
    for until in (2.0, 6.0, 15.0):
        ours = libseal.renewal_function(libseal.Lognormal(3.0, 0.5), [until])[0]
        assert ours == pytest.approx(np.mean(np.sum(times <= until, axis=1)), abs=0.03)


def test_arrays_go_in_and_come_out():
    np.testing.assert_allclose(libseal.found_within(np.array([0.5, 0.7]), 2), [0.75, 0.91])
    np.testing.assert_array_equal(libseal.visits_for_target(0.7, np.array([0.5, 0.9, 0.97])), [1, 2, 3])
    policy = libseal.best_condition_policy(np.array([[0.9, 0.1], [0.0, 1.0]]), [0, np.inf], [0, 10])
    assert policy.renew == [False, True]
    assert policy.share.sum() == pytest.approx(1)
    table = libseal.replacement_sensitivity(libseal.Weibull(8, 2.5), 150, 900, wrong=2)
    assert dict(zip(table.input, table.interval_change))["life/scale"] == pytest.approx(1, rel=1e-6)


def test_survival_takes_truths_and_numbers():
    time, failed = [3.0, 1.0, 2.0], np.array([True, False, True])
    ours = libseal.kaplan_meier(time, failed)
    again = libseal.kaplan_meier(np.array(time), [1, 0, 1])
    np.testing.assert_array_equal(ours.survival, again.survival)
    np.testing.assert_array_equal(ours.survival_at(np.array([0.0, 2.0, 3.0])), [1, 0.5, 0])
    with pytest.raises(libseal.ValueError, match=r"failed\[1\]: expected True or False"):
        libseal.kaplan_meier(time, [1, 2, 1])
    late = libseal.kaplan_meier(time, failed, entry=[1.5, 0, 0], limits="plain", confidence=0.9)
    assert late.at_risk[0] == 2
    with pytest.raises(libseal.ValueError, match=r"entry\[0\]"):
        libseal.kaplan_meier(time, failed, entry=[3, 0, 0])


def test_score_tests_are_permutations_of_labels():
    random = np.random.default_rng(8)
    low = random.integers(0, 10, 60).astype(float)
    high = np.where(random.random(60) < 0.4, np.inf, low + random.integers(1, 6, 60))
    group = (np.arange(60) % 3 == 0).astype(int)
    lives = libseal.LifeData(low, high)
    for scores in ("sun", "finkelstein"):
        ours = libseal.score_test(lives, group, scores)
        shuffled = np.array([libseal.score_test(lives, random.permutation(group), scores).chi_square for _ in range(400)])
        assert ours.p_value == pytest.approx(np.mean(shuffled >= ours.chi_square), abs=0.08)
        assert shuffled.mean() == pytest.approx(1, abs=0.25)  # of chi-square with one degree


def test_rates_have_scipys_quantiles():
    rates = libseal.shared_rates([5, 1, 5, 14, 3, 19], [94.3, 15.7, 62.9, 126, 5.24, 31.4], confidence=0.9)
    gamma = stats.gamma(rates.shape + np.array([5, 1, 5, 14, 3, 19]), scale=1 / (rates.rate + np.array([94.3, 15.7, 62.9, 126, 5.24, 31.4])))
    np.testing.assert_allclose(rates.mean, gamma.mean(), rtol=1e-12)
    np.testing.assert_allclose(rates.lower, gamma.ppf(0.05), rtol=1e-9)
    np.testing.assert_allclose(rates.upper, gamma.ppf(0.95), rtol=1e-9)
    np.testing.assert_allclose(rates.above, gamma.sf(rates.overall), rtol=1e-9)
    p = np.random.default_rng(2).random(50) ** 2
    np.testing.assert_allclose(libseal.benjamini_hochberg(p), stats.false_discovery_control(p), rtol=1e-12)
    ratio = libseal.rate_ratio(7, 3.0)
    assert ratio.p_high == pytest.approx(stats.poisson.sf(6, 3.0), rel=1e-12)
    assert ratio.p_low == pytest.approx(stats.poisson.cdf(7, 3.0), rel=1e-12)
    belief = libseal.shared_rates_bayes([5, 1], [10.0, 20.0], libseal.SharedRatesPrior(known_shape=2.0, rate_shape=3.0))
    assert belief.shape_mean == pytest.approx(2)


def test_survival_is_scipys():
    random = np.random.default_rng(4)
    life = np.round(random.weibull(1.5, 200) * 10, 1) + 0.1
    end = np.round(random.uniform(0, 20, 200), 1) + 0.1
    time, failed = np.minimum(life, end), life <= end
    ours = libseal.kaplan_meier(time, failed)
    theirs = stats.ecdf(stats.CensoredData.right_censored(time, ~failed)).sf
    np.testing.assert_allclose(ours.survival_at(theirs.quantiles), theirs.probabilities, rtol=1e-12, atol=1e-15)
    group = random.integers(0, 2, 200)
    first, second = (stats.CensoredData.right_censored(time[group == g], ~failed[group == g]) for g in (0, 1))
    assert libseal.log_rank(time, failed, group).z == pytest.approx(stats.logrank(first, second).statistic, rel=1e-9)


@pytest.mark.parametrize("call", [
    lambda: libseal.best_inspection_interval(0.8, libseal.Weibull(2, 1), 1.5, 60, 150, 1200),
    lambda: libseal.best_block_interval(libseal.Weibull(2, 2), -1, 5),
    lambda: libseal.renewal_function(libseal.Weibull(2, 2), [[1.0]]),
    lambda: libseal.best_condition_policy([0.5, 0.5], [0, 1], [0, 1]),
    lambda: libseal.turnbull(libseal.LifeData([], [])),
    lambda: libseal.log_rank([1, 2], [1, 1], [1, 1]),
    lambda: libseal.shared_rates([0, 0], [1, 1]),
    lambda: libseal.exposure_to_settle(1, 1),
    lambda: libseal.LifeLaw.table([1, 2], [0.5, 0.6]),
    lambda: libseal.plot_positions(libseal.kaplan_meier([1], [1]), "gumbel"),
    lambda: libseal.break_even(lambda x: x, lambda x: float("inf"), 0, 1),
])
def test_wrong_input_is_a_value_error(call):
    with pytest.raises(libseal.ValueError, match="expected"):
        call()
