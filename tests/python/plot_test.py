"""Pictures of a forecast: each is drawn from the numbers of the forecast, and says so when it cannot be."""

import datetime
import json
from types import SimpleNamespace

import numpy as np
import pytest

import libseal
from libseal import maps, plot

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
    assert {text.get_text() for text in figure.legends[0].get_texts()} == {"cap bead", "bedding", "water has a way in", "due: grade 3"}
    figure.savefig(tmp_path / "joint.svg")
    assert (tmp_path / "joint.svg").stat().st_size > 10_000
    # Words of a finding end left of its mark, inside the picture, and so lie on no curve.
    box = upper.get_window_extent()
    for text in upper.texts:
        drawn, mark = text.get_window_extent(), upper.transData.transform((upper.convert_xunits(text.xy[0]), 0))[0]
        assert box.x0 < drawn.x0 and drawn.x1 < mark


def test_cap_and_bedding_seen_alike_are_one_word(trailer, seen):
    window, _, forecast = seen
    day = datetime.date(2026, 5, 1)
    findings = [libseal.Finding(coach="t1", joint=window, layer=layer, sign="missing", date=day) for layer in ("cap_bead", "bedding")]
    grade = libseal.grade(findings, libseal.joint_type(libseal.Catalogue.built_in(), "window_frame"), libseal.Catalogue.built_in())
    texts = [text.get_text() for text in plot.plot_joint(forecast, window, findings=findings, coach_data=trailer).axes[0].texts]
    expected = [f"cap and bedding as seen: {grade.cap}"] if grade.cap == grade.bedding else [f"cap as seen: {grade.cap}", f"bedding as seen: {grade.bedding}"]
    assert grade.cap >= 0 and grade.bedding >= 0 and texts == expected


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


def test_what_is_not_there_is_refused_by_name(trailer, seen):
    window, findings, forecast = seen
    with pytest.raises(ValueError, match="joint: expected"):
        plot.plot_joint(forecast, "no such joint")
    with pytest.raises(ValueError, match="coach: expected one of t1"):
        plot.plot_causes(forecast, coach="t9")
    with pytest.raises(ValueError, match="coach_data: expected"):
        plot.plot_joint(forecast, window, findings=findings)
    for other in (trailer.replace(id="t2"), trailer.replace(joints=[])):  # grades by the joints of another coach would be wrong
        with pytest.raises(ValueError, match=f'coach_data: expected coach "t1" with joint "{window}".* got "{other.id}"'):
            plot.plot_joint(forecast, window, findings=findings, coach_data=other)
    none = libseal.forecast(libseal.Fleet(), AS_OF, 1)
    two = libseal.forecast(libseal.Fleet(coaches=[trailer, trailer.replace(id="t2")]), AS_OF, 1)
    for call in (plot.plot_causes, plot.plot_due_dates):
        with pytest.raises(ValueError, match="forecast: expected layers of a coach, got none"):
            call(none)
        with pytest.raises(ValueError, match="coach: expected one of t1, t2, got none"):
            call(two)
    for expected in ([1.0, 0.0], [1.0, -2.0], [1.0, float("nan")]):
        with pytest.raises(ValueError, match="expected: expected numbers above zero"):
            plot.funnel([1, 1], expected)
    with pytest.raises(ValueError, match="confidence: expected one share"):
        plot.funnel([1], [1.0], confidence=())


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

    figure = plot.funnel([10, 40, 4], [10.0, 12.0, 5.0], ["roof", "window_frame", "door"])
    assert [text.get_text() for text in figure.axes[0].texts] == ["window frame"]
    assert figure.axes[0].get_ylim()[0] < 0  # room for the name of a unit that never fails
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


def test_albers_projection_is_that_of_the_manual():
    """Snyder 1987, Map Projections: A Working Manual, p. 291: the numerical example of the sphere, in radii; quoted from memory."""
    x, y = maps.albers(-75.0, 35.0, -96.0, 23.0, 29.5, 45.5)
    assert float(x) == pytest.approx(0.2952720, abs=0.5e-7) and float(y) == pytest.approx(0.2416774, abs=0.5e-7)


def test_regions_keep_areas_and_know_the_date_line():
    main, alaska = maps.REGIONS[:2]
    x, y = main.edge()
    area = abs(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2  # of the polygon
    sphere = np.radians(main.east - main.west) * (np.sin(np.radians(main.north)) - np.sin(np.radians(main.south)))
    assert area == pytest.approx(sphere, rel=2e-3)
    assert alaska.holds(174.1, 52.7) and alaska.holds(-150, 61) and not alaska.holds(174.1, 40)
    assert alaska.project(174.1, 52.7)[0] < alaska.project(-176.6, 52.7)[0] < alaska.project(-150, 61)[0]


@pytest.fixture(scope="module")
def stations():
    return [libseal.station_at(i) for i in range(libseal.station_count())]


def test_a_map_shows_each_number_at_its_station(stations, tmp_path):
    first = np.array([2 + abs(station.site.latitude) / 10 for station in stations])
    figure = plot.climate_map(stations, {"one": first, "twice": 2 * first}, unit="yr", title="invented")
    drawn = [[c for axes in figure.axes[start:start + 5] for c in axes.collections if c.get_array() is not None] for start in (0, 5)]
    for dots, values in zip(drawn, (first, 2 * first)):
        assert sum(len(c.get_offsets()) for c in dots) == len(stations)
        places = {tuple(np.round(place, 9)): value for c in dots[:1] for place, value in zip(c.get_offsets().data, c.get_array())}
        for station, value in zip(stations[::97], values[::97]):
            if maps.REGIONS[0].holds(station.site.longitude, station.site.latitude):
                place = maps.REGIONS[0].project(station.site.longitude, station.site.latitude)
                assert places[tuple(np.round([float(x) for x in place], 9))] == pytest.approx(value)
        np.testing.assert_allclose(np.sort(np.concatenate([c.get_array().data for c in dots])), np.sort(values))
    norms = {id(c.norm) for dots in drawn for c in dots}
    levels = drawn[0][0].norm.boundaries
    assert len(norms) == 1 and levels[0] <= first.min() and levels[-1] > 2 * first.max() and (np.diff(levels) > 0).all()
    # Told apart by lightness alone.
    rgb = drawn[0][0].cmap(np.arange(len(levels) - 1))[:, :3]
    assert (np.diff(rgb @ [0.2126, 0.7152, 0.0722]) > 0.01).all()
    low, high = stations[int(np.argmin(first))].state, stations[int(np.argmax(first))].state
    assert f"{first.min():.3g} ({low}) to {first.max():.3g} ({high}), half below {np.median(first):.3g}" in figure.axes[0].get_title()
    assert "invented [yr]" in [axes.get_xlabel() for axes in figure.axes]
    figure.savefig(tmp_path / "map.png")
    assert len(plot.climate_map(stations[300:301], {"alone": [3.0]}).axes) == 2  # no piece of the map without a station


def test_scales_of_maps_are_round_and_hold_all():
    for low, high in ((1.7, 43.6), (0.02, 0.9), (3.0, 3.0), (98.0, 101.0), (1.0, 1e6), (1.0, 3.0), (7.0, 10.0)):
        levels = plot._levels(low, high)
        assert levels[0] <= low and levels[-1] > high and 3 <= len(levels) <= 15 and (np.diff(levels) > 0).all(), (low, high, levels)
        assert high == low or levels[1] > low and levels[-2] <= high, (low, high, levels)  # no step without a number at either end


def test_maps_refuse_by_name(stations):
    few = stations[:3]
    with pytest.raises(ValueError, match=r"values\[a\]: expected 3 numbers, as many as stations, got 2"):
        plot.climate_map(few, {"a": [1.0, 2.0]})
    with pytest.raises(ValueError, match=r"values\[a\]: expected numbers above zero, got -2"):
        plot.climate_map(few, {"a": [1.0, -2.0, 3.0]})
    with pytest.raises(ValueError, match=r"values\[a\]: expected numbers above zero, got nan"):
        plot.climate_map(few, {"a": [1.0, np.nan, 3.0]})
    with pytest.raises(ValueError, match="expected a column of numbers and a station at least, got 0 columns and 3 stations"):
        plot.climate_map(few, {})
    far = SimpleNamespace(site=libseal.Site(48.1, 11.6), state="")
    with pytest.raises(ValueError, match="which has the United States, got latitude 48.1, longitude 11.6"):
        plot.climate_map([few[0], far], {"a": [1.0, 2.0]})


def test_a_calendar_without_weeks_has_the_load_of_its_visits(yard):
    text = json.loads(yard.calendar.json_text()) | {"weeks": []}
    bare = libseal.read_calendar_text(json.dumps(text), "bare")
    weeks = libseal.charts.load_by_week(bare, yard.shop)
    kept = [visit for visit in bare.visits if not visit.cancelled]
    assert sum(week.booked for week in weeks) == pytest.approx(sum(visit.minutes.mode for visit in kept) / 60)
    busy = {day - datetime.timedelta(days=day.weekday()) for visit in kept
            for day in (visit.first + datetime.timedelta(days=k) for k in range((visit.last - visit.first).days + 1))
            if libseal.works_on(yard.shop, day)}
    assert {week.monday for week in weeks if week.booked > 0} == busy
    # What is offered is what the calendar itself says of those weeks that lie whole behind its first day.
    offered = {week.start: week.capacity for week in yard.calendar.weeks[1:] if week.start.year == (week.start + datetime.timedelta(days=6)).year}
    for week in weeks:
        if week.monday in offered:
            assert week.capacity == pytest.approx(offered[week.monday])


def test_the_load_of_a_year_is_that_of_the_calendar(yard, tmp_path):
    figure = plot.plot_load(yard.calendar, yard.shop)
    above, below = figure.axes
    weeks = libseal.charts.load_by_week(yard.calendar, yard.shop)
    np.testing.assert_allclose([bar.get_height() for bar in above.containers[0]], [week.booked for week in weeks])
    steps = next(patch for patch in above.patches if hasattr(patch, "get_data"))
    np.testing.assert_allclose(steps.get_data().values, [week.capacity for week in weeks])
    kept = [visit for visit in yard.calendar.visits if not visit.cancelled]
    names = [text.get_text() for text in below.get_yticklabels()]
    assert names == sorted({visit.coach for visit in kept})
    first = np.datetime64("1970-01-01")
    work = sorted((names[round(bar.get_y() + 0.3)], first + round(bar.get_x()), round(bar.get_width())) for bar in below.patches)
    assert work == sorted((v.coach, np.datetime64(v.first), (v.last - v.first).days + 1) for v in kept if v.tasks)
    looks = next(line for line in below.get_lines() if line.get_label() == "look at all joints")
    assert sorted(zip(looks.get_ydata(), looks.get_xdata())) == sorted((names.index(v.coach), np.datetime64(v.first)) for v in kept if not v.tasks)
    assert f"{sum(week.booked for week in weeks):.0f} hours booked" in above.get_title() and "[h]" in above.get_ylabel()
    figure.savefig(tmp_path / "load.svg")
    with pytest.raises(ValueError, match="calendar: expected a visit at least that is not cancelled"):
        plot.plot_load(SimpleNamespace(visits=[]), yard.shop)
