"""The same fit by other libraries, each in coordinates of its own, brought to (mu, coefficients, sigma).

ln t = mu + x'b + sigma z in all of them; sigma of an exponential life is 1 and no parameter. A library that is not installed, or has
no such fit, raises `CannotDo` with the reason.
"""

from __future__ import annotations

import contextlib
import dataclasses
import functools
import importlib
import io
import shutil
import subprocess
import warnings
from collections.abc import Callable
from typing import Any

import numpy as np
from lives import Lives

FAMILIES = ("weibull", "lognormal", "loglogistic", "exponential")


class CannotDo(Exception):
    """The library has no such fit; the words say what it lacks."""


class NotInstalled(CannotDo):
    pass


@dataclasses.dataclass(frozen=True)
class PeerFit:
    values: np.ndarray  # mu, coefficients, sigma
    errors: np.ndarray  # standard errors of these, NaN where the library gives none
    log_likelihood: float  # as the library prints it, NaN if it does not
    covariance: np.ndarray | None = None  # of `values`, of libseal alone


def module(name: str) -> Any:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return importlib.import_module(name)
    except ImportError as error:
        raise NotInstalled(f"{name} is not installed") from error


def by_libseal(lives: Lives, family: str) -> PeerFit:
    libseal = module("libseal")
    options = {} if lives.entry is None else {"entry": lives.entry}
    if lives.names:
        options |= {"covariates": lives.covariates, "names": list(lives.names)}
    fit = libseal.fit_life(lives.lower, lives.upper, weights=lives.weights, distribution=family, **options)
    values, covariance = np.array(fit.estimate), np.array(fit.covariance_location_scale)
    if family != "exponential":
        values[-1] = np.exp(values[-1])
    return PeerFit(values, np.sqrt(np.diag(covariance)), fit.log_likelihood, covariance)


def log_likelihood(lives: Lives, family: str, values: np.ndarray) -> float:
    """By formulas of SciPy alone."""
    stats = module("scipy.stats")
    count = lives.covariates.shape[1]
    sigma = 1.0 if family == "exponential" else values[-1]
    standard = {"lognormal": stats.norm, "loglogistic": stats.logistic}.get(family, stats.gumbel_l)
    shift = values[0] + lives.covariates @ values[1:1 + count]
    with np.errstate(divide="ignore", invalid="ignore"):
        z = [(np.log(t) - shift) / sigma for t in (lives.lower, lives.upper, np.zeros(1) if lives.entry is None else lives.entry)]
        exact = standard.logpdf(z[0]) - np.log(sigma) - np.log(lives.lower)
        # The smaller pair of tails keeps the digits of the difference.
        between = np.where(z[0] > 0, standard.sf(z[0]) - standard.sf(z[1]), standard.cdf(z[1]) - standard.cdf(z[0]))
        seen = np.where(lives.exact, exact, np.log(np.where(lives.exact, 1, between)))
    return float((lives.weights * (seen - standard.logsf(z[2]))).sum())


def repeated(lives: Lives) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Lower, upper and covariates with a row for each life."""
    count = lives.weights.astype(int)
    return np.repeat(lives.lower, count), np.repeat(lives.upper, count), np.repeat(lives.covariates, count, axis=0)


def inverted(value: float, error: float) -> tuple[float, float]:
    """sigma from a shape, and its standard error."""
    return 1 / value, error / value**2


def by_scipy(lives: Lives, family: str, optimizer: Any = None) -> PeerFit:
    """`optimizer`: as `scipy.stats.*.fit` takes it, for a search of another sharpness."""
    stats = module("scipy.stats")
    if lives.names or lives.entry is not None:
        raise CannotDo("no covariates" if lives.names else "no late entry")
    lower, upper, _ = repeated(lives)
    exact, sound, left = lower == upper, np.isinf(upper), (lower == 0) & ~np.isinf(upper)
    between = ~(exact | sound | left)
    data = lower  # some of its families refuse CensoredData in which nothing is censored
    if not exact.all():
        data = stats.CensoredData(lower[exact], left=upper[left], right=lower[sound],
                                  interval=np.column_stack([lower, upper])[between] if between.any() else None)
    life = {"weibull": stats.weibull_min, "lognormal": stats.lognorm, "loglogistic": stats.fisk, "exponential": stats.expon}[family]
    *shape, _, scale = life.fit(data, floc=0, **({} if optimizer is None else {"optimizer": optimizer}))
    sigma = [] if not shape else [shape[0] if family == "lognormal" else 1 / shape[0]]
    values = np.array([np.log(scale), *sigma])
    return PeerFit(values, np.full(values.size, np.nan), np.nan)


def by_lifelines(lives: Lives, family: str) -> PeerFit:
    lifelines, pandas = module("lifelines"), module("pandas")
    if lives.names and family == "exponential":
        raise CannotDo("no covariates of an exponential life")
    word = {"weibull": "Weibull", "lognormal": "LogNormal", "loglogistic": "LogLogistic", "exponential": "Exponential"}[family]
    fitter = getattr(lifelines, word + ("AFTFitter" if lives.names else "Fitter"))()
    at_looks = lives.left.any() or lives.between.any()
    if not lives.names:
        common = {"weights": lives.weights, "entry": lives.entry}
        if at_looks:
            fitter.fit_interval_censoring(lives.lower, lives.upper, **common)
        else:
            fitter.fit(lives.lower, ~lives.sound, **common)
        values, errors = fitter.params_.to_numpy(), fitter.summary["se(coef)"].to_numpy()
        if family == "lognormal":
            return PeerFit(values, errors, fitter.log_likelihood_)
        rest = [] if family == "exponential" else [inverted(values[1], errors[1])]
        return PeerFit(np.array([np.log(values[0]), *(v for v, _ in rest)]), np.array([errors[0] / values[0], *(e for _, e in rest)]),
                       fitter.log_likelihood_)
    frame = pandas.DataFrame(lives.covariates, columns=list(lives.names)).assign(lower=lives.lower, upper=lives.upper, weight=lives.weights)
    common = {"weights_col": "weight"}
    if lives.entry is not None:
        frame, common = frame.assign(entry=lives.entry), common | {"entry_col": "entry"}
    if at_looks:
        fitter.fit_interval_censoring(frame, "lower", "upper", **common)
    else:
        fitter.fit(frame.drop(columns="upper").assign(event=~lives.sound), "lower", "event", **common)
    location = {"weibull": "lambda_", "lognormal": "mu_", "loglogistic": "alpha_"}[family]
    rows = [(location, "Intercept"), *((location, name) for name in lives.names)]
    spread = [row for row in fitter.params_.index if row[0] != location][0]
    sign = 1 if family == "lognormal" else -1
    sigma = np.exp(sign * fitter.params_[spread])
    return PeerFit(np.array([*(fitter.params_[row] for row in rows), sigma]),
                   np.array([*(fitter.standard_errors_[row] for row in rows), sigma * fitter.standard_errors_[spread]]), fitter.log_likelihood_)


def by_reliability(lives: Lives, family: str) -> PeerFit:
    """Covariates as stresses exp(x): its power law of them is linear in x on ln scale."""
    fitters, stressed = module("reliability.Fitters"), module("reliability.ALT_fitters")
    if lives.entry is not None:
        raise CannotDo("no late entry")
    if lives.left.any() or lives.between.any():
        raise CannotDo("exact and right-censored records only")
    lower, upper, x = repeated(lives)
    sound = np.isinf(upper)
    quiet: dict[str, Any] = {"print_results": False, "show_probability_plot": False}
    word = {"weibull": "Weibull", "lognormal": "Lognormal", "loglogistic": "Loglogistic", "exponential": "Exponential"}[family]
    if not lives.names:
        name = f"Fit_{word}_{'1P' if family == 'exponential' else '2P'}"
        fit = getattr(fitters, name)(failures=lower[~sound], right_censored=lower[sound] if sound.any() else None, **quiet)
        if family == "exponential":
            return PeerFit(np.array([-np.log(fit.Lambda)]), np.array([fit.Lambda_SE / fit.Lambda]), fit.loglik)
        if family == "lognormal":
            return PeerFit(np.array([fit.mu, fit.sigma]), np.array([fit.mu_SE, fit.sigma_SE]), fit.loglik)
        sigma, error = inverted(fit.beta, fit.beta_SE)
        return PeerFit(np.array([np.log(fit.alpha), sigma]), np.array([fit.alpha_SE / fit.alpha, error]), fit.loglik)
    if family == "loglogistic" or len(lives.names) > 2:
        raise CannotDo("no loglogistic life with covariates" if family == "loglogistic" else "two covariates at most")
    start = x.min(axis=0)
    stress = np.exp(x - start)
    quiet["show_life_stress_plot"] = False
    groups = {"failures": lower[~sound], "right_censored": lower[sound]}
    if len(lives.names) == 1:
        groups |= {"failure_stress": stress[~sound, 0], "right_censored_stress": stress[sound, 0]}
        fit = getattr(stressed, f"Fit_{word}_Power")(**groups, **quiet)
        scale, scale_error, powers, power_errors = fit.a, fit.a_SE, [fit.n], [fit.n_SE]
    else:
        groups |= {f"{kind}_stress_{k + 1}": stress[rows, k] for kind, rows in (("failure", ~sound), ("right_censored", sound)) for k in range(2)}
        fit = getattr(stressed, f"Fit_{word}_Dual_Power")(**groups, **quiet)
        scale, scale_error, powers, power_errors = fit.c, fit.c_SE, [fit.m, fit.n], [fit.m_SE, fit.n_SE]
    spread = {"exponential": [], "lognormal": [(getattr(fit, "sigma", 1), getattr(fit, "sigma_SE", 0))]}.get(family)
    if spread is None:
        spread = [inverted(fit.beta, fit.beta_SE)]
    # Its origin is the least stress; the standard error of mu at another one needs a covariance that it keeps to itself.
    location_error = scale_error / scale if not start.any() else np.nan
    return PeerFit(np.array([np.log(scale) - start @ powers, *powers, *(s for s, _ in spread)]),
                   np.array([location_error, *power_errors, *(e for _, e in spread)]), fit.loglik)


def by_surpyval(lives: Lives, family: str) -> PeerFit:
    surpyval = module("surpyval")
    word = {"weibull": "Weibull", "lognormal": "LogNormal", "loglogistic": "LogLogistic", "exponential": "Exponential"}[family]
    if lives.names and family == "loglogistic":
        raise CannotDo("no loglogistic life with covariates")
    kind = np.select([lives.exact, lives.sound, lives.left], [0, 1, -1], 2)
    low = np.where(kind == -1, lives.upper, lives.lower)
    times = np.column_stack([low, np.where(kind == 2, lives.upper, low)]) if (kind == 2).any() else low
    data = {"x": times, "c": kind, "n": lives.weights.astype(int)}
    if lives.entry is not None:
        data["tl"] = lives.entry
    if lives.names:
        data["Z"] = lives.covariates
    fit = getattr(surpyval, word + ("AFT" if lives.names else "")).fit(**data)
    values = np.asarray(fit.params, float)
    errors = np.asarray(fit.standard_errors() if callable(fit.standard_errors) else fit.standard_errors, float)
    value = fit.log_likelihood() if callable(fit.log_likelihood) else fit.log_likelihood
    own = 1 if family == "exponential" else 2
    # Its covariates speed up time: the sign is the other one.
    effects, effect_errors = -values[own:], errors[own:]
    if family == "exponential":
        return PeerFit(np.array([-np.log(values[0]), *effects]), np.array([errors[0] / values[0], *effect_errors]), value)
    if family == "lognormal":
        return PeerFit(np.array([values[0], *effects, values[1]]), np.array([errors[0], *effect_errors, errors[1]]), value)
    sigma, error = inverted(values[1], errors[1])
    return PeerFit(np.array([np.log(values[0]), *effects, sigma]), np.array([errors[0] / values[0], *effect_errors, error]), value)


SURVREG = """
suppressMessages(library(survival))
table <- read.csv(file("stdin"), stringsAsFactors = FALSE)
for (d in split(table, table$case)) {
    words <- tryCatch({
        names <- Filter(function(name) !all(is.na(d[[name]])), setdiff(names(d), c("case", "family", "lower", "upper", "count")))
        d$lower <- as.numeric(d$lower); d$upper <- as.numeric(d$upper)
        f <- survreg(as.formula(paste("Surv(lower, upper, type = 'interval2') ~", if (length(names)) paste(names, collapse = "+") else "1")), d,
                     weights = count, dist = d$family[1])
        sprintf("%.17g", c(f$loglik[2], coef(f), f$scale, sqrt(diag(vcov(f)))))
    }, error = function(e) c("failed:", conditionMessage(e)))
    cat(words, "\\n")
}
"""


@functools.cache
def survreg_is_there() -> bool:
    program = shutil.which("Rscript")
    return bool(program) and subprocess.run([program, "-e", "library(survival)"], capture_output=True).returncode == 0


def survreg(cases: list[tuple[Lives, str]]) -> list[PeerFit | CannotDo]:
    """R's `survreg` with its usual settings, all in one run of R; records go in as CSV."""
    if not survreg_is_there():
        raise NotInstalled("Rscript with the package survival is not installed")
    most = max(len(lives.names) for lives, _ in cases)
    table = [",".join(["case", "family", "lower", "upper", "count", *(f"x{k}" for k in range(most))])]
    for number, (lives, family) in enumerate(cases):
        ends = [np.where((t == 0) | np.isinf(t), np.nan, t) for t in (lives.lower, lives.upper)]
        rows = np.column_stack([*ends, lives.weights, lives.covariates, np.full((len(lives.lower), most - len(lives.names)), np.nan)])
        table += [",".join([str(number), family, *("NA" if np.isnan(v) else repr(float(v)) for v in row)]) for row in rows]
    run = subprocess.run(["Rscript", "-e", SURVREG], input="\n".join(table) + "\n", capture_output=True, text=True, check=True)
    return [survreg_line(line, *case) for line, case in zip(run.stdout.splitlines(), cases, strict=True)]


def survreg_line(line: str, lives: Lives, family: str) -> PeerFit | CannotDo:
    words = line.split()
    if words[0] == "failed:":
        return CannotDo(" ".join(words[1:]))
    value, *numbers = (np.nan if word == "NA" else float(word) for word in words)
    count = 1 + len(lives.names)
    values, errors = np.array(numbers[:count + 1]), np.array(numbers[count + 1:])
    if family == "exponential":
        return PeerFit(values[:-1], errors, value)
    errors[-1] *= values[-1]  # it has ln sigma there
    return PeerFit(values, errors, value)


def by_survreg(lives: Lives, family: str) -> PeerFit:
    if lives.entry is not None:
        raise CannotDo("no late entry")
    found = survreg([(lives, family)])[0]
    if isinstance(found, CannotDo):
        raise found
    return found


PEERS: dict[str, Callable[[Lives, str], PeerFit]] = {
    "R survival": by_survreg, "lifelines": by_lifelines, "reliability": by_reliability, "surpyval": by_surpyval, "scipy.stats": by_scipy}


def quietly(peer: str, lives: Lives, family: str) -> PeerFit:
    """Without what it prints and warns; anything that it raises is what it cannot do."""
    try:
        with warnings.catch_warnings(), contextlib.redirect_stdout(io.StringIO()), np.errstate(all="ignore"):
            warnings.simplefilter("ignore")
            return PEERS[peer](lives, family)
    except CannotDo:
        raise
    except Exception as error:  # noqa: BLE001  whatever a foreign library raises
        words = " ".join(str(error).split()) or type(error).__name__
        raise CannotDo(words if len(words) < 160 else words[:157] + "...") from error
