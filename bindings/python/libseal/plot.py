"""Pictures with matplotlib: a joint through the years, causes, due dates, lives, intervals, climates, the load of a year.

Every function gives a `matplotlib.figure.Figure` that belongs to no window; `figure.savefig(path)` writes it. One ramp from
light to dark, line styles and printed values tell things apart, so that the pictures read in black and white.
"""

from __future__ import annotations

import datetime
import importlib
from collections.abc import Mapping, Sequence
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from . import _libseal as core
from .canvas import ramp_colour, words
from .charts import load_by_week
from .maps import REGIONS, Region

Figure: TypeAlias = Any  # of matplotlib, which is needed here only

__all__ = ["climate_map", "cost_curve", "funnel", "interval_economics", "plot_causes", "plot_due_dates", "plot_joint", "plot_life", "plot_load",
           "plot_sensitivity", "probability_plot"]

STYLES = ("-", "--", "-.", ":")
PAPER = {"facecolor": "white", "edgecolor": "none", "pad": 0.6, "alpha": 0.85}  # behind words that lie on lines
MARKERS = ("o", "s", "D", "^", "v")
CAUSES = (("share_light", "light", ""), ("share_heat", "heat", ""), ("share_moisture", "moisture", ""),
          ("share_movement", "movement", "//"), ("share_workmanship", "workmanship", "xx"),
          ("share_shared", "family, line, coach", ".."))


def _figure(width: float, height: float) -> Figure:
    try:
        figure = importlib.import_module("matplotlib.figure")
    except ImportError as error:
        raise ImportError("libseal.plot needs matplotlib: pip install matplotlib") from error
    return figure.Figure(figsize=(width, height), layout="constrained")


def _rows_of_joint(forecast: core.Forecast, coach: str, joint: str) -> list[int]:
    rows = [row for row in forecast.rows_of(coach) if forecast.joint[row] == joint]
    if not rows:
        raise ValueError(f'joint: expected a joint of coach "{coach}" in the forecast, got "{joint}"')
    return rows


def _coach_of(forecast: core.Forecast, coach: str | None) -> str:
    known = sorted(set(forecast.coach))
    if coach is None and len(known) == 1:
        return known[0]
    if not known:
        raise ValueError("forecast: expected layers of a coach, got none")
    if coach is None or coach not in known:
        raise ValueError(f"coach: expected one of {', '.join(known)}, got " + ("none" if coach is None else f'"{coach}"'))
    return coach


def plot_joint(forecast: core.Forecast, joint: str, *, coach: str | None = None,
               findings: Sequence[core.Finding] = (), coach_data: core.Coach | None = None,
               catalogue: core.Catalogue | None = None) -> Figure:
    """Condition and probability of being due of a joint's layers through the years of the forecast, with its findings.

    Findings of the joint are marked on their day at the grade that the grade rules give them; that needs `coach_data`,
    the coach that the joint belongs to. Marks before the day of the forecast lie left of its vertical line.
    """
    coach = _coach_of(forecast, coach)
    rows = _rows_of_joint(forecast, coach, joint)
    curves = forecast.monthly(rows)
    days = np.array(curves.day, dtype="datetime64[D]")
    figure = _figure(8.0, 6.0)
    upper, lower = figure.subplots(2, 1, sharex=True)
    for i, row in enumerate(rows):
        style = STYLES[i % len(STYLES)]
        upper.plot(days, curves.condition[i], style, color="black", label=words(forecast.layer[row]))
        lower.plot(days, curves.due[i], style, color="black", label=words(forecast.layer[row]))
        for name, level in (("due_10", 0.1), ("due_50", 0.5), ("due_90", 0.9)):
            day = getattr(forecast, name)[row]
            if days[0] <= day <= days[-1]:
                lower.plot([day], [level], "o", color="black", markersize=4)
                late = (np.datetime64(day) - days[0]).astype(int) > 0.85 * (days[-1] - days[0]).astype(int)
                lower.annotate(f"{100 * level:g} %: {day}", (day, level), textcoords="offset points", xytext=(-5, 5) if late else (6, -9),
                               ha="right" if late else "left", fontsize=7, bbox=PAPER)
    lower.plot(days, curves.open[0], color=ramp_colour(0.45), linewidth=3, alpha=0.6, label="water has a way in")
    _mark_findings(upper, forecast, coach, joint, findings, coach_data, catalogue)
    for axes in (upper, lower):
        axes.axvline(np.datetime64(forecast.as_of, "D"), color=ramp_colour(0.5), linewidth=0.8)
        axes.grid(color=ramp_colour(0.0), linewidth=0.5)
    upper.axhline(3, color=ramp_colour(0.5), linewidth=0.8, linestyle=":", label="due: grade 3")
    named = {**dict(zip(*reversed(lower.get_legend_handles_labels()))), **dict(zip(*reversed(upper.get_legend_handles_labels())))}
    figure.legend(list(named.values()), list(named), fontsize=8, loc="outside lower center", ncols=len(named))
    # Marks at grade 0 and lines at 0 and 1 are seen in full.
    upper.set(ylabel="condition grade, expected", ylim=(-0.35, 5.5), yticks=range(6), title=f"{coach}, {words(joint)}; forecast of {forecast.as_of}")
    lower.set(ylabel="probability (due, or as named)", ylim=(-0.02, 1.02))
    return figure


def _mark_findings(axes: Any, forecast: core.Forecast, coach: str, joint: str, findings: Sequence[core.Finding],
                   coach_data: core.Coach | None, catalogue: core.Catalogue | None) -> None:
    own = [finding for finding in findings if finding.coach == coach and finding.joint == joint]
    if not own:
        return
    kind = next((j.type for j in coach_data.joints if j.id == joint), None) if coach_data is not None and coach_data.id == coach else None
    if kind is None:
        raise ValueError(f'coach_data: expected coach "{coach}" with joint "{joint}", that the findings belong to, got '
                         + ("None" if coach_data is None else f'"{coach_data.id}"'))
    catalogue = catalogue or core.Catalogue.built_in()
    joint_type = core.joint_type(catalogue, kind)
    by_day: dict[datetime.date, list[core.Finding]] = {}
    for finding in own:
        by_day.setdefault(finding.date, []).append(finding)
    for day, seen in sorted(by_day.items()):
        grade, at = core.grade(seen, joint_type, catalogue), np.datetime64(day, "D")
        for value, marker in ((grade.cap, "s"), (grade.bedding, "D")):
            if value >= 0:
                axes.plot([at], [value], marker, color=ramp_colour(0.9), fillstyle="none", markersize=8)
        texts = {grade.cap: "cap"}
        texts[grade.bedding] = "cap and bedding" if grade.bedding == grade.cap else "bedding"
        for value, name in texts.items():
            if value >= 0:
                axes.annotate(f"{name} as seen: {value}", (at, value), textcoords="offset points", xytext=(-7, 5), ha="right", fontsize=7, bbox=PAPER)
        if not grade.inspected:
            axes.annotate("not inspected", (at, 0.1), fontsize=7, rotation=90)
    left, right = axes.get_xlim()
    axes.set_xlim(left - 0.12 * (right - left), right)  # room for the words


def plot_causes(forecast: core.Forecast, *, coach: str | None = None) -> Figure:
    """What makes each layer of a coach due: six shares that sum to one, soonest layer on top."""
    coach = _coach_of(forecast, coach)
    rows = sorted(forecast.rows_of(coach), key=lambda row: (forecast.due_50[row], row))
    figure = _figure(9.0, 1.4 + 0.22 * len(rows))
    axes = figure.subplots()
    left = np.zeros(len(rows))
    place = np.arange(len(rows))
    for i, (column, name, hatch) in enumerate(CAUSES):
        share = np.array([getattr(forecast, column)[row] for row in rows])
        colour = ramp_colour(i / (len(CAUSES) - 1))
        axes.barh(place, share, left=left, color=colour, edgecolor="white", linewidth=0.4, hatch=hatch, label=name)
        for y, x, value in zip(place, left, share):
            if value >= 0.08:
                axes.text(x + value / 2, y, f"{100 * value:.0f}", ha="center", va="center", fontsize=6, color="black" if i < 3 else "white",
                          bbox={"facecolor": colour, "edgecolor": "none", "pad": 0.8})
        left = left + share
    axes.set_yticks(place, [f"{words(forecast.joint[r])}, {words(forecast.layer[r])}, {forecast.due_50[r]}" for r in rows], fontsize=7)
    axes.set(xlim=(0, 1), ylim=(len(rows) - 0.5, -0.5), xlabel="share of the ageing by the median due date [%]",
             title=f"{coach}: what ages each layer until its median due date")
    axes.set_xticks(np.linspace(0, 1, 6), [f"{20 * i}" for i in range(6)])
    axes.tick_params(top=True, labeltop=True)
    figure.legend(loc="outside upper center", ncols=len(CAUSES), fontsize=8)
    return figure


def plot_due_dates(forecast: core.Forecast, *, coach: str | None = None) -> Figure:
    """Due dates of a coach's layers: a bar from the 10 to the 90 % date, a mark at the median."""
    coach = _coach_of(forecast, coach)
    rows = sorted(forecast.rows_of(coach), key=lambda row: (forecast.due_50[row], row))
    figure = _figure(9.0, 1.4 + 0.2 * len(rows))
    axes = figure.subplots()
    for y, row in enumerate(rows):
        axes.plot([forecast.due_10[row], forecast.due_90[row]], [y, y], color=ramp_colour(float(forecast.due_1_year[row])), linewidth=4)
        axes.plot([forecast.due_50[row]], [y], "o", color="black", markerfacecolor="white", markersize=5)
    axes.axvline(np.datetime64(forecast.as_of, "D"), color="black", linewidth=0.8)
    axes.set_yticks(range(len(rows)), [f"{words(forecast.joint[r])}, {words(forecast.layer[r])}" for r in rows], fontsize=7)
    axes.set(ylim=(len(rows) - 0.5, -0.5))
    axes.set_title(f"{coach}: bars from the 10 to the 90 % due date, circles at 50 %, darker: likelier within a year\nline: {forecast.as_of}", fontsize=9)
    axes.tick_params(top=True, labeltop=True)
    axes.grid(axis="x", color=ramp_colour(0.0), linewidth=0.5)
    return figure


def plot_life(posterior: core.LayerPosterior) -> Figure:
    """Belief of a layer's life, and of its joint's ageing against the usual."""
    figure = _figure(8.0, 3.2)
    left, right = figure.subplots(1, 2)
    width = np.gradient(np.asarray(posterior.life))
    left.plot(posterior.life, np.asarray(posterior.probability) / width, color="black")
    inside = np.cumsum(posterior.probability) < 0.995
    left.set(xlabel="life [effective yr]", ylabel="density [1/yr]", title=f"{words(posterior.joint)}, {words(posterior.layer)}",
             xlim=(0, float(np.asarray(posterior.life)[inside].max(initial=1.0))))
    speed, chance = np.exp(posterior.effect), np.asarray(posterior.effect_probability)
    right.plot(speed, chance / np.gradient(speed), color="black")
    right.axvline(1, color=ramp_colour(0.5), linewidth=0.8)
    passed = np.cumsum(chance) / chance.sum()
    right.set(xlabel="ages how many times as fast as usual", ylabel="density",
              xlim=(min(0.5, float(speed[np.searchsorted(passed, 0.001)])), max(2.0, float(speed[np.searchsorted(passed, 0.999)]))))
    return figure


def plot_sensitivity(moves: core.Sensitivity, row: int, *, most: int = 10) -> Figure:
    """The assumptions that move a row's median due date most: a bar from the low to the high end of each range."""
    low, high = np.asarray(moves.days_low)[:, row], np.asarray(moves.days_high)[:, row]
    order = np.argsort(-np.maximum(np.abs(low), np.abs(high)), kind="stable")[:most]
    figure = _figure(8.0, 1.2 + 0.35 * len(order))
    axes = figure.subplots()
    for y, i in enumerate(order):
        axes.plot([low[i], high[i]], [y, y], color=ramp_colour(0.6), linewidth=6)
        axes.annotate(f"{moves.low[i]} to {moves.high[i]}: {low[i]:+.0f} to {high[i]:+.0f} d", (max(low[i], high[i]), y),
                      textcoords="offset points", xytext=(6, -2), fontsize=7, bbox=PAPER)
    ends = np.append(np.concatenate([low[order], high[order]]), 0.0)
    span = max(float(np.ptp(ends)), 1.0)
    axes.set_xlim(float(ends.min()) - 0.05 * span, float(ends.max()) + 0.5 * span)  # room for the words
    axes.axvline(0, color="black", linewidth=0.8)
    axes.set_yticks(range(len(order)), [moves.assumption[i] for i in order], fontsize=7)
    axes.invert_yaxis()
    axes.set(xlabel="move of the median due date [d]")
    axes.set_title("ends of the range of each assumption, and how they move the date", fontsize=10)
    return figure


def probability_plot(curves: Mapping[str, core.SurvivalCurve | core.IntervalCurve], family: str,
                     lives: Mapping[str, core.Weibull | core.Lognormal | core.LifeLaw] | None = None, *, unit: str = "") -> Figure:
    """Estimated shares failed on axes on which a family of lives is a straight line, with lives drawn through them.

    Curves and lives by the name that the legend gives them; families as `libseal.plot_positions`; `unit` of time.
    """
    figure = _figure(7.0, 5.5)
    axes = figure.subplots()
    points = {name: core.plot_positions(curve, family) for name, curve in curves.items()}
    times = np.concatenate([np.asarray(p.time) for p in points.values()]) if points else np.array([])
    if times.size == 0:
        raise ValueError("curves: expected at least one failure, got none")
    for i, (name, p) in enumerate(points.items()):
        axes.plot(p.x, p.y, MARKERS[i % len(MARKERS)], color="black", fillstyle="none", label=name)
    ends = axes.get_ylim()
    for i, (name, life) in enumerate((lives or {}).items()):
        t = np.geomspace(times.min() / 1.5, times.max() * 1.5, 200)
        failed = 1 - np.asarray(life.survival(t))
        inside = (failed > 1e-12) & (failed < 1 - 1e-12)
        axes.plot(core.axis_of_time(family, t[inside]), core.axis_of_share(family, failed[inside]), STYLES[i % len(STYLES)],
                  color=ramp_colour(0.6), label=name)
    shares = np.array([0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.5, 0.7, 0.9, 0.95, 0.99, 0.999])
    places = np.asarray(core.axis_of_share(family, shares))
    ends = min(ends[0], places[4]), max(ends[1], places[11])
    seen = (places >= ends[0]) & (places <= ends[1])
    axes.set_yticks(places[seen], [f"{100 * share:g} %" for share in shares[seen]])
    if family != "exponential":
        round_times = _round_times(*np.exp(axes.get_xlim()))
        axes.set_xticks(np.log(round_times), [f"{t:g}" for t in round_times])
    axes.set(ylim=ends, xlabel=f"time{unit and f' [{unit}]'}", ylabel="share failed",
             title=f"axes on which a {'Weibull' if family == 'weibull' else family} life is straight")
    axes.grid(color=ramp_colour(0.0), linewidth=0.5)
    axes.legend(fontsize=8)
    return figure


def _round_times(low: float, high: float) -> list[float]:
    """Four to a dozen times between two, all of 1, 2 and 5, of 1 alone, or of each digit, by powers of ten."""
    powers = range(int(np.floor(np.log10(low))), int(np.ceil(np.log10(high))) + 1)
    found: list[float] = []
    for digits in ((1, 2, 3, 4, 5, 6, 8), (1, 2, 3, 5), (1, 2, 5), (1,)):
        found = [digit * 10.0**power for power in powers for digit in digits if low <= digit * 10.0**power <= high]
        if len(found) <= 12:
            break
    return found


def _lowest(x: np.ndarray, y: np.ndarray) -> tuple[float, float]:
    """Lowest point of the parabola through the lowest value and its neighbours; an end is taken as it is."""
    best = int(np.argmin(y))
    if not 0 < best < x.size - 1:
        return float(x[best]), float(y[best])
    left, right = x[best - 1] - x[best], x[best + 1] - x[best]
    rise_left, rise_right = (y[best - 1] - y[best]) / left, (y[best + 1] - y[best]) / right
    bend = (rise_right - rise_left) / (right - left)
    if not bend > 0:
        return float(x[best]), float(y[best])
    move = (rise_left * right - rise_right * left) / (right - left) / (-2 * bend)
    return float(x[best] + move), float(y[best] - bend * move**2)


def cost_curve(intervals: ArrayLike, costs: Mapping[str, ArrayLike], *, unit: str = "", cost: str = "cost") -> Figure:
    """Costs over intervals, each curve with its lowest point and the range of intervals that cost at most 5 % more.

    `unit` of the intervals; `cost`: what the costs are, with their unit.
    """
    x = np.asarray(intervals, dtype=float)
    figure = _figure(7.0, 4.5)
    axes = figure.subplots()
    for i, (name, values) in enumerate(costs.items()):
        y = np.asarray(values, dtype=float)
        if y.shape != x.shape or x.size == 0:
            raise ValueError(f"costs[{name}]: expected {x.size} values, as many as intervals, got {y.size}")
        best = int(np.argmin(y))
        near = np.flatnonzero(y <= 1.05 * y[best])
        axes.plot(x, y, STYLES[i % len(STYLES)], color="black", label=name)
        at, value = _lowest(x, y)
        axes.plot(x[near[[0, -1]]], [value] * 2, "-", color=ramp_colour(0.4), linewidth=3, solid_capstyle="butt",
                  label="up to 5 % dearer" if i == 0 else None)
        axes.plot([at], [value], "o", color="black", markersize=5)
        axes.annotate(f"{at:.3g}{unit and ' ' + unit}: {value:.3g}", (at, value), textcoords="offset points", xytext=(6, -13), fontsize=8)
    tables = [np.asarray(values, dtype=float) for values in costs.values()]
    lowest, highest = min(float(y.min()) for y in tables), max(float(y.max()) for y in tables)
    axes.set(xlabel=f"interval{unit and f' [{unit}]'}", ylabel=cost, ylim=(0, min(4 * lowest, 1.05 * highest)) if lowest > 0 else None)
    axes.grid(color=ramp_colour(0.0), linewidth=0.5)
    axes.legend(fontsize=8)
    return figure


def funnel(events: ArrayLike, expected: ArrayLike, names: Sequence[str] = (), *, confidence: Sequence[float] = (0.95, 0.998)) -> Figure:
    """Events over expected events against the expected ones, with the limits that chance keeps; units outside the widest are named."""
    seen, due = np.asarray(events, dtype=float), np.asarray(expected, dtype=float)
    if seen.shape != due.shape or seen.ndim != 1 or seen.size == 0:
        raise ValueError(f"expected: expected {seen.size} values, as many as events and at least one, got {due.size}")
    if not (np.isfinite(due) & (due > 0)).all():
        raise ValueError(f"expected: expected numbers above zero, got {due[~(np.isfinite(due) & (due > 0))][0]:g}")
    if not confidence:
        raise ValueError("confidence: expected one share at least, got none")
    figure = _figure(7.0, 4.5)
    axes = figure.subplots()
    grid = np.geomspace(due.min() / 1.5, due.max() * 1.5, 200)
    outer = core.funnel_limits(due, max(confidence))
    for i, level in enumerate(sorted(confidence)):
        limits = core.funnel_limits(grid, level)
        axes.plot(grid, limits.upper, STYLES[i % len(STYLES)], color=ramp_colour(0.6), label=f"{100 * level:g} % of units that are alike lie within")
        axes.plot(grid, limits.lower, STYLES[i % len(STYLES)], color=ramp_colour(0.6))
    ratio = seen / due
    axes.plot(due, ratio, "o", color="black", markersize=4)
    for unit in np.flatnonzero((ratio > np.asarray(outer.upper)) | (ratio < np.asarray(outer.lower))).tolist():
        name = words(names[unit]) if unit < len(names) else str(unit)
        axes.annotate(name, (due[unit], ratio[unit]), textcoords="offset points", xytext=(0, 6) if ratio[unit] > 1 else (0, -6), ha="center",
                      va="bottom" if ratio[unit] > 1 else "top", fontsize=8, bbox=PAPER)
    axes.axhline(1, color="black", linewidth=0.8)
    top = max(2.0, 1.2 * float(ratio.max()))  # a little room below zero, for names
    axes.set(xscale="log", xlabel="events expected", ylabel="events seen over events expected", ylim=(-0.06 * top, top))
    round_numbers = _round_times(*axes.get_xlim())
    axes.set_xticks(round_numbers, [f"{n:g}" for n in round_numbers])
    axes.minorticks_off()
    axes.legend(fontsize=8)
    return figure


def interval_economics(table: core.IntervalTable, row: int) -> Figure:
    """Cost a joint and year over the interval between looks for one row of a table, fixed rules marked, and open joints below it."""
    if not 0 <= row < len(table):
        raise ValueError(f"row: expected 0 to {len(table) - 1}, got {row}")
    days, cost = np.asarray(table.intervals), np.asarray(table.interval_cost[row])
    error = 2 * np.asarray(table.interval_cost_error[row])
    unit = f" [{table.cost_unit} of work]" if table.cost_unit else ""
    top = 4 * float(cost.min())
    figure = _figure(8.0, 6.4)
    above, below = figure.subplots(2, 1, sharex=True, gridspec_kw={"height_ratios": [2, 1]})
    above.fill_between(days, cost - error, cost + error, color=ramp_colour(0.1), linewidth=0, label="two standard errors of the simulation")
    above.plot(days, cost, color="black", label="looks at this interval")
    below.plot(days, table.interval_failures[row], color="black")
    for (name, at), marker in zip((("every_90_days", 90.0), ("half_yearly", 182.625), ("yearly", 365.25)), MARKERS, strict=False):
        column = table.policy(name)
        value, saving, wrong = table.cost[row, column], table.saving[row, column], table.saving_error[row, column]
        label = f"{words(name)}: {value:.3g}, {words(table.best[row])} saves {saving:.2g} \u00b1 {wrong:.1g}"
        above.plot([at], [value], marker, color="black", linestyle="none", label=label)
        below.plot([at], [table.failures[row, column]], marker, color="black")
    for name, text, style in (("run_to_failure", "run to failure", ":"), ("best_age", "reseal at the best age", "-.")):
        value = table.cost[row, table.policy(name)]
        beyond = ", above this picture" if value > top else ""
        above.axhline(value, color=ramp_colour(0.6), linestyle=style, label=f"{text}: {value:.3g}{beyond}")
    best = table.best_interval[row]
    if np.isfinite(best):
        value = table.cost[row, table.policy("best_interval")]
        above.annotate(f"{best:.0f} d: {value:.3g}", (best, value), textcoords="offset points", xytext=(4, -14), fontsize=8)
        below.axvline(best, color=ramp_colour(0.3), linewidth=0.8)
    above.set(xscale="log", ylabel=f"cost a joint and year{unit}", ylim=(0, top))
    above.set_title(f"{table.joint_type[row]}, {table.family[row]}; simulated\n{table.station[row]} ({table.climate[row]})".replace("_", " "), fontsize=9)
    usual = [t for t in (30, 60, 90, 180, 365, 730, 1460, 3650) if days.min() <= t <= 1.01 * days.max()]
    below.set_xticks(usual, [str(t) for t in usual])
    below.minorticks_off()
    below.set(xlabel="days between looks", ylabel="open joints\nper 1000 and year")
    for axes in (above, below):
        axes.grid(color=ramp_colour(0.0), linewidth=0.5)
    figure.legend(*above.get_legend_handles_labels(), fontsize=8, ncols=2, loc="outside lower center")
    return figure


def plot_load(calendar: core.Calendar, shop: core.Shop) -> Figure:
    """The year of a fleet: hours booked in each week beside those that the people offer [h], and under it each coach's visits.

    Hours are those of `libseal.charts.load_by_week`: of the calendar, or of its visits where it has no weeks. The fuller the
    week, the darker its bar. Below, a dark bar is a visit with work, as long as it stays, a circle one at which all is only looked at;
    cancelled visits are left out. The line is the day of the calendar.

    @throws ValueError  a calendar without a visit that stands.
    """
    visits = [visit for visit in calendar.visits if not visit.cancelled]
    if not visits:
        raise ValueError("calendar: expected a visit at least that is not cancelled, got none")
    weeks = load_by_week(calendar, shop)
    mondays = np.array([week.monday for week in weeks], dtype="datetime64[D]")
    booked, offered = np.array([week.booked for week in weeks]), np.array([week.capacity for week in weeks])
    coaches = sorted({visit.coach for visit in visits})
    figure = _figure(9.0, 3.2 + 0.2 * len(coaches))
    above, below = figure.subplots(2, 1, sharex=True, gridspec_kw={"height_ratios": [2.4, 0.6 + 0.2 * len(coaches)]})
    share = np.divide(booked, offered, out=np.ones_like(booked), where=offered > 0)
    above.bar(mondays, booked, width=np.timedelta64(6, "D"), align="edge", color=[ramp_colour(float(s)) for s in share], edgecolor="black", linewidth=0.5,
              label="hours booked")
    above.stairs(offered, np.append(mondays, mondays[-1] + np.timedelta64(7, "D")).astype("datetime64[D]").astype(float), baseline=None, color="black",
                 label="hours that the people offer")
    for monday, hours in zip(mondays, booked):
        if hours >= 0.5:
            above.annotate(f"{hours:.0f}", (monday + np.timedelta64(3, "D"), hours), xytext=(0, 2), textcoords="offset points", ha="center", fontsize=6.5)
    above.set(ylabel="hours a week [h]", ylim=(0, 1.15 * max(float(offered.max()), float(booked.max()))))
    above.set_title(f"{booked.sum():.0f} hours booked of {offered.sum():.0f} offered; calendar of {calendar.as_of} for {calendar.year}", fontsize=10)
    _draw_visits(below, visits, coaches)
    for axes in (above, below):
        axes.axvline(np.datetime64(calendar.as_of, "D"), color=ramp_colour(0.5), linewidth=0.8)
        axes.grid(axis="x", color=ramp_colour(0.0), linewidth=0.5)
        axes.set_axisbelow(True)
    below.set_xlim(mondays[0] - np.timedelta64(5, "D"), mondays[-1] + np.timedelta64(12, "D"))
    figure.legend(fontsize=8, ncols=4, loc="outside lower center")
    return figure


def _draw_visits(axes: Any, visits: Sequence[core.Visit], coaches: Sequence[str]) -> None:
    """A row a coach: bars of work, circles of looks."""
    dates = importlib.import_module("matplotlib.dates")
    day = np.timedelta64(1, "D")
    for looks, name in ((False, "visit with work"), (True, "look at all joints")):
        rows = [(coaches.index(v.coach), np.datetime64(v.first, "D"), np.datetime64(v.last, "D")) for v in visits if (not v.tasks) == looks]
        if looks:
            axes.plot([first for _, first, _ in rows], [row for row, _, _ in rows], "o", color="black", markerfacecolor="white", markersize=5, label=name)
        else:
            axes.barh([row for row, _, _ in rows], [last - first + day for _, first, last in rows], left=[first for _, first, _ in rows], height=0.6, color="black",
                      label=name)
    axes.set_yticks(range(len(coaches)), coaches, fontsize=8)
    axes.set(ylim=(len(coaches) - 0.4, -0.6))
    axes.xaxis.set_major_locator(dates.MonthLocator())
    axes.xaxis.set_major_formatter(dates.ConciseDateFormatter(axes.xaxis.get_major_locator()))


def climate_map(stations: Sequence[core.Station], values: Mapping[str, ArrayLike], *, unit: str = "", title: str = "") -> Figure:
    """A number for each station on maps of one colour scale: a map for each entry of `values`, under its name.

    Each entry has a number above zero for each station [unit]. Low is dark, high is light, in steps that the scale
    names; colours keep their order without colour vision and in black and white. The map is equal-area; Alaska, Hawaii,
    Puerto Rico with the Virgin Islands, and Guam stand below it at scales of their own. Over each map: the lowest, the
    highest and the middle number, the first two with their states.

    @throws ValueError  no station or no entry, another number of values than stations, a value that is not above zero, a
    station outside the map.
    """
    columns = {name: np.asarray(column, dtype=float) for name, column in values.items()}
    if not columns or not stations:
        raise ValueError(f"values: expected a column of numbers and a station at least, got {len(columns)} columns and {len(stations)} stations")
    for name, column in columns.items():
        if column.shape != (len(stations),):
            raise ValueError(f"values[{name}]: expected {len(stations)} numbers, as many as stations, got {column.size}")
        if not (np.isfinite(column) & (column > 0)).all():
            raise ValueError(f"values[{name}]: expected numbers above zero, got {column[~(np.isfinite(column) & (column > 0))][0]:g}")
    lon, lat = (np.array([getattr(station.site, part) for station in stations]) for part in ("longitude", "latitude"))
    inside = [region.holds(lon, lat) for region in REGIONS]
    for i in np.flatnonzero(~np.any(inside, axis=0)).tolist():
        raise ValueError(f"stations: expected places on the map, which has the United States, got latitude {lat[i]:g}, longitude {lon[i]:g}")
    levels = _levels(min(float(c.min()) for c in columns.values()), max(float(c.max()) for c in columns.values()))
    matplotlib, colours = importlib.import_module("matplotlib"), importlib.import_module("matplotlib.colors")
    scale = {"cmap": colours.ListedColormap(matplotlib.colormaps["viridis"](np.linspace(0, 0.97, len(levels) - 1))),
             "norm": colours.BoundaryNorm(levels, len(levels) - 1)}
    shown = [(region, here) for region, here in zip(REGIONS, inside) if here.any()]
    figure = _figure(0.5 + 2.8 * len(columns), 3.5)
    grid = figure.add_gridspec(3, len(columns), height_ratios=(11, 4, 0.6))
    for k, (name, column) in enumerate(columns.items()):
        below = grid[1, k].subgridspec(1, max(len(shown) - 1, 1), width_ratios=[3, 2.3, 2.4, 1.4][:len(shown) - 1] or None)
        for j, (region, here) in enumerate(shown):
            axes = figure.add_subplot(grid[0, k] if j == 0 else below[0, j - 1])
            _draw_region(axes, region)
            dots = axes.scatter(*region.project(lon[here], lat[here]), c=column[here], s=9 if j == 0 else 7, edgecolors="0.35", linewidths=0.25, zorder=3, **scale)
            axes.set_title(region.name, fontsize=7, pad=2)
            axes.set_anchor("S" if j == 0 else "N")
            if j == 0:
                low, high = int(np.argmin(column)), int(np.argmax(column))
                axes.set_title(f"{name}\n{column[low]:.3g} ({stations[low].state}) to {column[high]:.3g} ({stations[high].state}), "
                               f"half below {np.median(column):.3g}", fontsize=9)
    bar = figure.colorbar(dots, cax=figure.add_subplot(grid[2, :]), orientation="horizontal", ticks=levels, format="%g", spacing="uniform")
    bar.set_label(f"{title}{unit and f' [{unit}]'}")
    return figure


def _draw_region(axes: Any, region: Region) -> None:
    """Its ground, its lines of longitude and latitude, and what they are called."""
    axes.fill(*region.edge(), facecolor="0.93", edgecolor="0.6", linewidth=0.6)
    for line in region.meridians():
        up = np.linspace(region.south, region.north, 20)
        axes.plot(*region.project(np.full(20, line), up), color="white", linewidth=0.8)
        axes.annotate(f"{min(abs(line), abs(line + 360)):g}\u00b0{'' if line == -180 else 'W' if -180 < line < 0 else 'E'}", [float(x) for x in region.project(line, region.south)],
                      xytext=(0, -2), textcoords="offset points", ha="center", va="top", fontsize=6, color="0.35")
    for line in region.parallels():
        along = np.linspace(region.west, region.east, 40)
        axes.plot(*region.project(along, np.full(40, line)), color="white", linewidth=0.8)
        axes.annotate(f"{line:g}\u00b0N", [float(x) for x in region.project(region.west, line)], xytext=(-2, 0), textcoords="offset points", ha="right", va="center",
                      fontsize=6, color="0.35")
    axes.set_aspect("equal")
    axes.set_axis_off()


def _levels(low: float, high: float) -> list[float]:
    """Round numbers from below the lowest to above the highest: by like factors where they differ much, else by like steps."""
    if high < 3 * low:
        ticker = importlib.import_module("matplotlib.ticker")
        return [float(level) for level in ticker.MaxNLocator(8, steps=[1, 2, 5, 10], min_n_ticks=3).tick_values(low, max(high * (1 + 1e-9), 1.02 * low))]
    powers = range(int(np.floor(np.log10(low))), int(np.ceil(np.log10(high))) + 1)
    for digits in ((1, 1.5, 2, 3, 4, 5, 6, 8), (1, 2, 3, 5), (1, 3), (1,)):
        every = [digit * 10.0**power for power in powers for digit in digits]
        chosen = [level for level, after in zip(every, every[1:]) if after > low and level <= high]
        if len(chosen) <= 13:
            break
    return [*chosen, next(level for level in [*every, 10.0 ** (powers[-1] + 1)] if level > high)]
