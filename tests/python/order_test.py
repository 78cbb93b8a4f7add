"""Orders, rules and critical paths in Python, and the picture of an order."""

import datetime
import json
import re
import shutil
import subprocess
from types import SimpleNamespace

import numpy as np
import pytest

import libseal as ls

DAY = datetime.date(2026, 11, 25)


@pytest.fixture(scope="module")
def plan(root):
    """Work on the first coach of the demo, whose data are invented."""
    data = root / "examples" / "data"
    fleet, findings = ls.read_fleet(data / "fleet.json"), ls.read_findings(data / "findings.csv")
    forecast = ls.forecast(fleet, DAY, 5, findings=findings, work_done=ls.read_work_done(data / "work_done.csv"))
    return ls.plan_work(fleet.coaches[0], findings, forecast, ls.read_shop(data / "shop.json"), DAY, due_before=datetime.date(2029, 1, 1),
                        order=ls.OrderOptions(heading=180.0))


def test_rules_have_strength_and_meaning():
    rules = ls.sequence_rules()
    assert [rule.name for rule in rules] == ls.rule_names()
    assert {rule.strength for rule in rules} == {"hard", "firm", "soft"}
    assert ls.sequence_rule("silicone_last").meaning.endswith(".")
    with pytest.raises(ValueError, match="silicone_last"):
        ls.sequence_rule("silicone_lost")


def test_a_network_of_ones_own():
    """Lecture slides (slideplayer 3283910): eight tasks, length 22."""
    pairs = [(0, 1), (0, 2), (0, 3), (1, 4), (2, 4), (2, 5), (3, 5), (4, 6), (5, 6), (6, 7)]
    times = ls.critical_path([4, 3, 5, 2, 5, 6, 4, 3], [ls.Edge(from_=a, to=b) for a, b in pairs])
    assert times.length == 22 and list(times.critical) == [0, 2, 5, 6, 7]
    assert list(times.free_float) == [0, 2, 0, 3, 1, 0, 0, 0]
    loops = ls.order_loops(3, [ls.Edge(0, 1), ls.Edge(1, 0, strength="firm"), ls.Edge(1, 2)])
    assert [list(loop.steps) for loop in loops] == [[0, 1]] and loops[0].remedy == 1
    with pytest.raises(ValueError, match="strength"):
        ls.Edge(0, 1, strength="iron")


def test_json_and_graph_of_an_order(plan, tmp_path):
    order = json.loads(ls.order_json(plan))
    assert order["schema"] == "libseal/order/1"
    assert len(order["edges"]) == len(plan.edges) and len(order["order"]) == len(plan.steps)
    assert min(step["total_float_min"] for step in order["steps"]) == 0
    dot = ls.order_dot(plan)
    assert dot.count(" -> ") == len(plan.drawn_edges)
    if shutil.which("dot"):
        subprocess.run(["dot", "-Tsvg", "-o", str(tmp_path / "order.svg")], input=dot, text=True, check=True)


def test_the_picture_shows_every_step_and_edge_in_shades_of_one_ramp(plan, tmp_path):
    pytest.importorskip("matplotlib")
    figure = ls.order_plot.plot_order(plan)
    figure.savefig(tmp_path / "order.svg")
    svg = (tmp_path / "order.svg").read_text()
    assert svg.count('id="edge:') == len(plan.drawn_edges)
    # From light to dark along one ramp: no hue stands out, nothing means something by being red or green.
    for red, green, blue in re.findall(r"#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})\b", svg):
        assert int(blue, 16) - int(red, 16) in range(0, 30) and abs(int(green, 16) - int(red, 16)) < 20
    part = ls.order_plot.plot_order(plan, joints=[next(s.joint for s in plan.steps if s.kind == "strip")], reasons=True)
    part.savefig(tmp_path / "part.png", dpi=60)
    assert (tmp_path / "part.png").stat().st_size > 5000
    texts = " ".join(text.get_text().replace("\n", " ") for text in part.axes[0].texts)
    assert "wash before cutting" in texts and "dirt is not dragged into the joint" in texts
    with pytest.raises(ValueError, match="joints"):
        ls.order_plot.plot_order(plan, joints=["nowhere"])


def test_no_box_of_the_picture_lies_over_another(plan):
    steps, edges = ls.order_plot.chosen_steps(plan, None)
    places, lanes = ls.order_plot.place_steps(plan, steps, edges)
    assert len(set(places.values())) == len(steps)
    for edge in edges:  # from left to right
        assert places[edge.from_][0] < places[edge.to][0]
    for lane, after in zip(lanes, lanes[1:]):
        assert lane.top + lane.height() == after.top


def test_the_picture_of_a_schedule_has_every_minute_of_work(root, tmp_path):
    """Bars of joints and of people are the pieces of the schedule, on their rows, dark where the chain is."""
    pytest.importorskip("matplotlib")
    data = root / "examples" / "data"
    shop, findings = ls.read_shop(data / "shop.json"), [f for f in ls.read_findings(data / "findings.csv") if f.coach == "TT-02"]
    coach = next(coach for coach in ls.read_fleet(data / "fleet.json").coaches if coach.id == "TT-02")
    plan = ls.plan_work(coach, findings, ls.forecast(coach, DAY, 1, findings=findings), shop, DAY, joints=["roof_vent_1", "roof_edge_curb", "antenna"])
    times = ls.schedule(plan, shop, datetime.date(2027, 3, 1))
    figure = ls.order_plot.plot_schedule(times, plan, shop)
    half = len(figure.axes) // 2
    rows = [[text.get_text() for text in axes.get_yticklabels()] for axes in (figure.axes[0], figure.axes[half])]
    minutes = {name: 0 for name in rows[0] + rows[1]}
    dark = 0
    for k, axes in enumerate(figure.axes):
        for bar in axes.patches:
            names = rows[k >= half]
            minutes[names[round(bar.get_y() + 0.36)]] += round(bar.get_width() * 1440)
            dark += k < half and bar.get_facecolor()[0] < 0.4
            left, right = axes.get_xlim()
            assert left - 1e-9 <= bar.get_x() and bar.get_x() + bar.get_width() <= right + 1e-9
    expected = {name: 0 for name in minutes}
    for time in times.steps:
        step = plan.steps[time.step]
        length = sum((piece.to - piece.from_).astype(int) for piece in time.pieces)
        if length:
            expected[step.joint.replace("_", " ") or "whole job"] += length
        for person in time.people:
            expected[shop.people[person].id] += length
    assert minutes == expected and sum(minutes.values()) > 600
    assert dark == sum(len(time.pieces) for time in times.steps if time.critical and plan.steps[time.step].kind != "stage")
    cures = [line for axes in figure.axes[:1] for line in axes.get_lines() if line.get_linestyle() == "--"]
    assert len(cures) == sum(plan.steps[time.step].kind == "cure" for time in times.steps)
    figure.savefig(tmp_path / "schedule.png", dpi=60)
    assert (tmp_path / "schedule.png").stat().st_size > 5000


def test_the_picture_of_a_schedule_is_of_one_plan(root, plan):
    two = SimpleNamespace(steps=[SimpleNamespace(booking=0), SimpleNamespace(booking=1), SimpleNamespace(booking=1)])
    for times, words in ((two, "got 3 of 2"), (SimpleNamespace(steps=[]), "got 0 of 0")):
        with pytest.raises(ValueError, match=f"schedule: expected the steps of one plan, {words}"):
            ls.order_plot.plot_schedule(times, plan, ls.read_shop(root / "examples" / "data" / "shop.json"))


def test_hours_under_the_picture_of_many_days_can_be_read():
    """Synthetic: five days of nine hours, one step each. Under no panel two times lie on each other; marks alone are no picture."""
    days = [np.datetime64(f"2026-05-0{day}T08:00", "m") for day in (4, 5, 6, 7, 8)]
    work = [SimpleNamespace(booking=0, step=0, start=start, end=start + 540, people=[0], critical=False, pieces=[SimpleNamespace(from_=start, to=start + 540)])
            for start in days]
    plan = SimpleNamespace(coach="A", steps=[SimpleNamespace(kind="cap", joint="window_1"), SimpleNamespace(kind="stage", joint="")])
    shop = SimpleNamespace(people=[SimpleNamespace(id="ann")])
    figure = ls.order_plot.plot_schedule(SimpleNamespace(steps=work, begin=days[0], end=days[-1] + 540), plan, shop)
    figure.draw_without_rendering()
    below = figure.axes[5:]
    assert len(below) == 5
    for axes in below:
        boxes = [label.get_window_extent() for label in axes.get_xticklabels() if label.get_text()]
        assert len(boxes) > 1 and all(a.x1 < b.x0 for a, b in zip(boxes, boxes[1:]))
    marks = [SimpleNamespace(booking=0, step=1, start=days[0], end=days[0], people=[], critical=False, pieces=[])]
    with pytest.raises(ValueError, match="marks alone"):
        ls.order_plot.plot_schedule(SimpleNamespace(steps=marks), plan, shop)
