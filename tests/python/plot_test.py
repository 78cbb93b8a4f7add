"""Pictures of a forecast: each is drawn from the numbers of the forecast, and says so when it cannot be."""

import datetime

import numpy as np
import pytest

import libseal
from libseal import plot

AS_OF = datetime.date(2026, 11, 25)


@pytest.fixture(scope="module")
def seen(trailer):
    window = next(j.id for j in trailer.joints if j.type == "window_frame")
    findings = [libseal.Finding(coach="t1", joint=window, layer="cap_bead", sign="clean_look", date=datetime.date(2022, 5, 1)),
                libseal.Finding(coach="t1", joint=window, layer="cap_bead", sign="missing", date=datetime.date(2026, 5, 1))]
    return window, findings, libseal.forecast(trailer, AS_OF, 8, findings=findings)


def lines_of(axes):
    return {line.get_label(): line for line in axes.get_lines()}


def test_a_joint_through_the_years_shows_its_curves_and_findings(trailer, seen, tmp_path):
    window, findings, forecast = seen
    figure = plot.plot_joint(forecast, window, findings=findings, coach_data=trailer)
    upper, lower = figure.axes
    row = forecast.row("t1", window, "cap_bead")
    curves = forecast.monthly([row])
    np.testing.assert_array_equal(lines_of(upper)["cap bead"].get_ydata(), curves.condition[0])
    np.testing.assert_array_equal(lines_of(lower)["cap bead"].get_ydata(), curves.due[0])
    texts = [text.get_text() for text in upper.texts]
    assert "cap as seen: 0" in texts and "cap as seen: 4" in texts
    figure.savefig(tmp_path / "joint.svg")
    assert (tmp_path / "joint.svg").stat().st_size > 10_000


def test_causes_are_bars_that_fill_the_width(seen):
    forecast = seen[2]
    figure = plot.plot_causes(forecast)
    axes = figure.axes[0]
    widths = np.array([bar.get_width() for bar in axes.patches]).reshape(6, len(forecast))
    np.testing.assert_allclose(widths.sum(axis=0), 1, atol=1e-9)
    assert {text.get_text() for text in figure.legends[0].get_texts()} == {name for _, name, _ in plot.CAUSES}


def test_due_dates_lives_and_sensitivities_are_drawn(trailer, seen, tmp_path):
    window, _, forecast = seen
    figure = plot.plot_due_dates(forecast)
    assert len(figure.axes[0].get_yticks()) == len(forecast)
    row = forecast.row("t1", window, "cap_bead")
    life = forecast.posterior(row)
    assert life.probability.sum() == pytest.approx(1)
    assert plot.plot_life(life).axes[0].get_lines()[0].get_xdata()[0] == life.life[0]
    figure.savefig(tmp_path / "dates.png")
    assert (tmp_path / "dates.png").read_bytes()[:4] == b"\x89PNG"


def test_what_moves_a_date_is_drawn(root):
    coach = libseal.read_coach_text((root / "tests/cases/one_joint_coach.json").read_text(), "one joint")
    moves = libseal.sensitivity(coach, AS_OF, 5)
    assert moves.days_low.shape == (len(moves.assumption), 2)
    axes = plot.plot_sensitivity(moves, 0, most=5).axes[0]
    assert axes.get_yticklabels()[0].get_text() == moves.most[0]
    assert moves.most_days[0] == max(abs(moves.days_low[:, 0]).max(), abs(moves.days_high[:, 0]).max())


def test_what_is_not_there_is_refused_by_name(seen):
    window, findings, forecast = seen
    with pytest.raises(ValueError, match="joint: expected"):
        plot.plot_joint(forecast, "no such joint")
    with pytest.raises(ValueError, match="coach: expected one of t1"):
        plot.plot_causes(forecast, coach="t9")
    with pytest.raises(ValueError, match="coach_data: expected"):
        plot.plot_joint(forecast, window, findings=findings)


def test_other_assumptions_stand_beside_the_old_ones(trailer):
    comparison = libseal.what_if(trailer, AS_OF, 5, changes={"coach/*/cover": "covered"})
    assert len(comparison.before) == len(comparison.after) == comparison.days.size
    np.testing.assert_array_equal(comparison.days, (comparison.after.due_50 - comparison.before.due_50).astype(float))
    assert np.median(comparison.days) > 0
    with pytest.raises(ValueError, match="coach/t9"):
        libseal.what_if(trailer, AS_OF, 5, changes={"coach/t9/cover": "open"})


def test_shared_effects_travel_as_text(trailer, seen):
    window, findings, forecast = seen
    text = forecast.shared_effects().to_json()
    shared = libseal.SharedEffects.from_json(text)
    assert shared.to_json() == text and len(shared) == 1
    again = libseal.forecast(trailer, AS_OF, 8, findings=findings, shared=shared)
    np.testing.assert_array_equal(again.due_50, forecast.due_50)
    assert shared.family("non_sag_lap").mean != 0 and shared.family("non_sag_lap").variance < 0.01
    assert '"schema": "libseal/posteriors/1"' in forecast.posteriors_json()


def test_probability_plots_cost_curves_and_funnels_are_drawn_from_their_numbers(tmp_path):
    curve = libseal.kaplan_meier([3, 5, 6, 8, 9], [True, True, False, True, True])
    figure = plot.probability_plot({"seen": curve}, "weibull", {"Weibull": libseal.Weibull(8, 2.5)})
    points = libseal.plot_positions(curve, "weibull")
    np.testing.assert_array_equal(lines_of(figure.axes[0])["seen"].get_ydata(), points.y)
    line = lines_of(figure.axes[0])["Weibull"]
    slope = np.diff(line.get_ydata()) / np.diff(line.get_xdata())
    np.testing.assert_allclose(slope, 2.5, rtol=1e-6)  # the family is straight on its axes
    assert "50 %" in [tick.get_text() for tick in figure.axes[0].get_yticklabels()]
    assert {"2", "5", "10"} <= {tick.get_text() for tick in figure.axes[0].get_xticklabels()}  # round times, whatever the scale
    figure.savefig(tmp_path / "life.svg")
    with pytest.raises(ValueError, match="curves: expected at least one failure"):
        plot.probability_plot({"sound": libseal.kaplan_meier([3, 5], [False, False])}, "weibull")

    ages = np.linspace(0.5, 12, 400)
    costs = libseal.replacement_cost_curve(libseal.Weibull(8, 2.5), 150, 900, ages)
    figure = plot.cost_curve(ages, {"reseal": costs}, unit="yr")
    best = libseal.best_replacement_age(libseal.Weibull(8, 2.5), 150, 900)
    assert figure.axes[0].texts[0].get_text() == f"{best.age:.3g} yr: {best.cost_rate:.3g}"
    coarse = plot.cost_curve(ages[::20], {"reseal": costs[::20]}).axes[0]  # between the points of the grid too
    assert min(line.get_xdata()[0] for line in coarse.get_lines() if line.get_marker() == "o") == pytest.approx(best.age, rel=0.02)
    assert abs(ages[::20] - best.age).min() > 0.03 * best.age
    figure.savefig(tmp_path / "cost.svg")
    with pytest.raises(ValueError, match=r"costs\[reseal\]: expected 400 values"):
        plot.cost_curve(ages, {"reseal": costs[:5]})

    figure = plot.funnel([10, 40, 4], [10.0, 12.0, 5.0], ["roof", "window", "door"])
    assert [text.get_text() for text in figure.axes[0].texts] == ["window"]
    figure.savefig(tmp_path / "funnel.svg")
    with pytest.raises(ValueError, match="expected: expected 1 values"):
        plot.funnel([1], [1.0, 2.0])


def test_interval_economics_draws_the_row_it_is_asked_for(tmp_path):
    table = libseal.interval_table(stations=["South Bend"], joint_types=["roof_vent_flange", "window_frame"], layers=100)
    figure = plot.interval_economics(table, 1)
    above, below = figure.axes
    curve = lines_of(above)["looks at this interval"]
    np.testing.assert_array_equal(curve.get_xdata(), table.intervals)
    np.testing.assert_array_equal(curve.get_ydata(), table.interval_cost[1])
    np.testing.assert_array_equal(below.lines[0].get_ydata(), table.interval_failures[1])
    yearly = next(line for name, line in lines_of(above).items() if name.startswith("yearly"))
    assert yearly.get_ydata()[0] == table.cost[1, table.policy("yearly")]
    assert "window frame" in above.get_title() and "simulated" in above.get_title()
    figure.savefig(tmp_path / "economics.svg")
    with pytest.raises(ValueError, match="row: expected 0 to 1, got 2"):
        plot.interval_economics(table, 2)
