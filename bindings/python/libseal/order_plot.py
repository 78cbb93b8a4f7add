"""Pictures of a plan with matplotlib: its order in layers from left to right, and its schedule by the hour.

In the order hard edges are solid, firm ones dashed, soft ones dotted; the darker a box, the less it may slip. In the schedule
dark steps are the chain that fixes the end. It all reads in black and white.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from . import _libseal as core
from .canvas import ramp_colour, words
from .plot import Figure, _figure

__all__ = ["plot_order", "plot_schedule"]

STYLES = {"hard": "-", "firm": "--", "soft": ":"}
LANES = ("", "roof", "front_cap", "rear_cap", "street_wall", "curb_wall", "slide_roof", "slide_face", "slide_front_side",
         "slide_rear_side", "slide_floor", "underside")
WIDTH, HEIGHT, GAP = 1.0, 0.62, 0.75  # of a box's column, of a row, between columns [in]
WIDE, TALL = 1.75, 1.2  # gap and row where the edges are written beside [in]
BOX = 0.92  # share of a column that a box takes


@dataclass
class Lane:
    """A band of the picture: the steps of one surface, in rows that no two steps of a layer share."""

    title: str
    rows: dict[int, int] = field(default_factory=dict)  # steps placed in each layer so far
    top: int = 0

    def height(self) -> int:
        return max(self.rows.values(), default=0)


def layers_of(count: int, edges: Sequence[core.Edge]) -> list[int]:
    """Layer of each step: one more than the highest of those that it waits for."""
    waits = [0] * count
    after: list[list[int]] = [[] for _ in range(count)]
    for edge in edges:
        waits[edge.to] += 1
        after[edge.from_].append(edge.to)
    layer = [0] * count
    ready = [step for step in range(count) if waits[step] == 0]
    while ready:
        here = ready.pop()
        for step in after[here]:
            layer[step] = max(layer[step], layer[here] + 1)
            waits[step] -= 1
            if waits[step] == 0:
                ready.append(step)
    return layer


def lane_of(step: core.Step) -> tuple[int, str]:
    """Place and title of the band that a step lies in; marks and steps of the whole job are in the first."""
    surface = "" if step.kind == "stage" else step.surface
    if not surface:
        return 0, "whole job"
    place = LANES.index(surface) if surface in LANES else len(LANES)
    return place, words(surface) + (f" of {words(step.slide)}" if surface.startswith("slide_") else "")


def wait_words(edge: core.Edge) -> str:
    """The wait of an edge in words, "" for none."""
    def span(minutes: float) -> str:
        return f"{minutes:.0f} min" if minutes < 90 else f"{minutes / 60:.3g} h" if minutes < 2880 else f"{minutes / 1440:.3g} d"

    parts = []
    if edge.lag > 0:
        parts.append(f"after {span(edge.lag)}" + ("" if edge.clock == "elapsed" else f" {edge.clock}"))
    if edge.longest < float("inf"):
        parts.append(f"within {span(edge.longest)}")
    return ", ".join(parts)


def chosen_steps(plan: core.WorkPlan, joints: Sequence[str] | None) -> tuple[list[int], list[core.Edge]]:
    """Steps to draw and the edges between them; with joints only theirs, the job's and the marks in between."""
    edges = list(plan.drawn_edges)
    if joints is None:
        return list(range(len(plan.steps))), edges
    known = {step.joint for step in plan.steps if step.joint}
    for joint in joints:
        if joint not in known:
            raise ValueError(f'joints: expected joints with steps in the plan, got "{joint}"')
    keep = {i for i, step in enumerate(plan.steps) if step.joint in joints or step.id.startswith("visit/")}
    before = {e.to for e in edges if e.from_ in keep}
    after = {e.from_ for e in edges if e.to in keep}
    keep |= {i for i, step in enumerate(plan.steps) if step.kind == "stage" and i in before and i in after}
    return sorted(keep), [e for e in edges if e.from_ in keep and e.to in keep]


def place_steps(plan: core.WorkPlan, steps: Sequence[int], edges: Sequence[core.Edge]) -> tuple[dict[int, tuple[int, int]], list[Lane]]:
    """Column and row of each step, and the lanes from top to bottom."""
    layer = layers_of(len(plan.steps), edges)
    lanes: dict[tuple[int, str], Lane] = {}
    within: dict[int, tuple[Lane, int]] = {}
    where = {step: k for k, step in enumerate(plan.order)}
    for step in sorted(steps, key=lambda i: (layer[i], plan.steps[i].joint, where[i])):
        key = lane_of(plan.steps[step])
        lane = lanes.setdefault(key, Lane(key[1]))
        row = lane.rows.get(layer[step], 0)
        lane.rows[layer[step]] = row + 1
        within[step] = lane, row
    ordered = [lanes[key] for key in sorted(lanes)]
    top = 0
    for lane in ordered:
        lane.top = top
        top += lane.height()
    used = sorted({layer[step] for step in steps})
    column = {value: k for k, value in enumerate(used)}
    return {step: (column[layer[step]], lane.top + row) for step, (lane, row) in within.items()}, ordered


def step_words(step: core.Step) -> str:
    what = words(step.kind) if step.task >= 0 else words(step.id.removeprefix("visit/").removeprefix("stage/"))
    lines = textwrap.wrap(what if step.kind == "stage" or not step.joint else f"{what}: {step.joint}", 17, break_long_words=True)
    if step.people > 0:
        lines.append(f"{step.minutes.mode:.0f} min")
    return "\n".join(lines[:4])


def plot_order(plan: core.WorkPlan, *, joints: Sequence[str] | None = None, reasons: bool | None = None) -> Figure:
    """The reduced order of a plan as a layered picture: what waits for what, by which rule, and how much each step may slip.

    With `joints` only the steps of these and of the whole job are drawn. `reasons` writes rule, wait and reason beside the edges and
    not only at their foot; without it they are written where the picture has at most 40 edges. `figure.savefig` writes SVG or PNG;
    in the SVG every edge has an id "edge:FROM:TO:RULE".
    """
    steps, edges = chosen_steps(plan, joints)
    if not steps:
        raise ValueError("plan: expected a plan with steps, got none")
    places, lanes = place_steps(plan, steps, edges)
    times = core.critical_path(plan)
    written = len(edges) <= 40 if reasons is None else reasons
    gap, height = (WIDE, TALL) if written else (GAP, HEIGHT)
    columns, rows = max(c for c, _ in places.values()) + 1, sum(lane.height() for lane in lanes)
    figure = _figure(1.6 + columns * (WIDTH + gap), 1.6 + rows * height)
    axes = figure.add_subplot()
    axes.set_axis_off()
    axes.set_xlim(-1.3, columns * (WIDTH + gap))
    axes.set_ylim(rows * height + 0.5, -0.5)
    _draw_lanes(axes, lanes, columns * (WIDTH + gap), height)
    critical = set(zip(times.critical, times.critical[1:]))
    corner = {i: (c * (WIDTH + gap), r * height) for i, (c, r) in places.items()}
    for edge in edges:
        _draw_edge(axes, edge, plan, corner, (edge.from_, edge.to) in critical, written)
    longest = max(times.total_float) or 1.0
    for i in steps:
        _draw_step(axes, plan.steps[i], corner[i], 1 - min(times.total_float[i] / longest, 1.0))
    axes.set_title(f"Order of the work on {plan.coach}, {plan.as_of}: {len(steps)} steps, {len(edges)} edges. Solid hard, dashed firm, "
                   f"dotted soft;\ndark boxes may not slip, thick edges are the critical path ({times.length / 60:.3g} h)", fontsize=9, loc="left")
    return figure


def _draw_lanes(axes: Figure, lanes: Sequence[Lane], right: float, height: float) -> None:
    for k, lane in enumerate(lanes):
        top, bottom = lane.top * height - 0.08, (lane.top + lane.height()) * height - 0.08
        if k % 2 == 0:
            axes.axhspan(top, bottom, color="0.95", zorder=0)
        axes.text(-1.25, (top + bottom) / 2, "\n".join(textwrap.wrap(lane.title, 14)), fontsize=7, va="center", weight="bold")
        axes.plot([-1.3, right], [bottom, bottom], color="0.8", linewidth=0.5, zorder=0)


def _draw_step(axes: Figure, step: core.Step, at: tuple[float, float], tight: float) -> None:
    from matplotlib.patches import FancyBboxPatch

    mark = step.kind == "stage"
    colour = ramp_colour(0.75 * tight)
    style = "round,pad=0.01,rounding_size=0.12" if mark else "square,pad=0.01"
    axes.add_patch(FancyBboxPatch(at, WIDTH * BOX, HEIGHT * 0.78, boxstyle=style, facecolor="white" if mark else colour,
                                  edgecolor="black", linewidth=0.6, linestyle="--" if mark else "-", zorder=3))
    axes.text(at[0] + WIDTH * BOX / 2, at[1] + HEIGHT * 0.39, step_words(step), fontsize=5, ha="center", va="center", zorder=4,
              color="white" if not mark and tight > 0.6 else "black")


def _draw_edge(axes: Figure, edge: core.Edge, plan: core.WorkPlan, corner: dict[int, tuple[float, float]], critical: bool, written: bool) -> None:
    (x0, y0), (x1, y1) = corner[edge.from_], corner[edge.to]
    start, end = (x0 + WIDTH * BOX, y0 + HEIGHT * 0.39), (x1, y1 + HEIGHT * 0.39)
    far = x1 - x0 > 1.5 * (WIDTH + (WIDE if written else GAP))
    bow = 0.06 if y0 != y1 else min(0.12, 0.75 / (end[0] - start[0])) if far else 0.0  # past the boxes of its own row
    arrow = axes.annotate("", end, start, zorder=2, arrowprops={
        "arrowstyle": "-|>", "linestyle": STYLES[edge.strength], "linewidth": 1.6 if critical else 0.5, "shrinkA": 0, "shrinkB": 0,
        "color": ramp_colour(1.0 if critical else 0.6), "connectionstyle": f"arc3,rad={bow}"})
    arrow.arrow_patch.set_gid(f"edge:{plan.steps[edge.from_].id}:{plan.steps[edge.to].id}:{edge.rule}")
    if not written:
        return
    wait = wait_words(edge)
    text = "\n".join(textwrap.wrap(words(edge.rule), 30) + textwrap.wrap(edge.reason, 34)[:2] + ([wait] if wait else []))
    share = 0.3 if far else 0.5
    sag = bow * (end[0] - start[0]) * 2 * share * (1 - share) if y0 == y1 else 0.0
    axes.text(start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share + sag, text, fontsize=5, ha="center",
              va="center", zorder=5, bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.4, "alpha": 0.85})


def plot_schedule(schedule: core.Schedule, plan: core.WorkPlan, shop: core.Shop) -> Figure:
    """When each step of one plan is done and by whom, on the hours of the shop's clock, and the chain that fixes the end.

    A row a joint, below them a row a person; a panel a day on which something begins or ends. Dark bars are on the critical
    chain, light ones could be later; a dashed line is a cure. The time between the panels, nights and idle days, is left out.

    @throws ValueError  a schedule without steps, or of several coaches.
    """
    if not schedule.steps or any(time.booking != 0 for time in schedule.steps):
        raise ValueError(f"schedule: expected the steps of one plan, got {len(schedule.steps)} of {len({time.booking for time in schedule.steps})}")
    times = sorted((time for time in schedule.steps if plan.steps[time.step].kind != "stage"), key=lambda time: (time.start, time.step))
    if not times:
        raise ValueError("schedule: expected steps that take time, got marks alone")
    joints = list(dict.fromkeys([plan.steps[time.step].joint for time in times]))
    joints.sort(key=lambda joint: joint != "")  # the whole job on top
    people = sorted({person for time in times for person in time.people})
    days = _days_shown(times)
    minutes = [(right - left).astype(int) for left, right in days]
    widths = [max(m, 0.12 * sum(minutes)) for m in minutes]
    figure = _figure(9.5, 1.4 + 0.34 * (len(joints) + len(people)))
    panels = figure.subplots(2, len(days), sharex="col", sharey="row", squeeze=False,
                             gridspec_kw={"width_ratios": widths, "height_ratios": [len(joints), len(people)]})
    for k, (left, right) in enumerate(days):
        for axes in panels[:, k]:
            axes.set(xlim=(left, right))
            axes.grid(axis="x", color=ramp_colour(0.0), linewidth=0.5)
            axes.set_axisbelow(True)
            axes.tick_params(axis="y", length=0)
        _draw_waits(panels[0, k], times, plan, joints)
        letter = minutes[k] / widths[k] * sum(widths) / (9.5 - 1.5) * 3.9 / 72  # minutes that a letter of the bars takes
        _draw_bars(panels[:, k], days[k], times, plan, (joints, people), letter)
        panels[0, k].set_title(str(left.astype("datetime64[D]")), fontsize=9)
        _hour_ticks(panels[1, k], left, right, 7 * letter)  # of five letters and a gap
    panels[0, 0].set_yticks(range(len(joints)), [words(joint) or "whole job" for joint in joints], fontsize=9)
    panels[1, 0].set_yticks(range(len(people)), [shop.people[person].id for person in people], fontsize=9)
    panels[0, 0].set_ylim(len(joints) - 0.5, -0.5)
    panels[1, 0].set_ylim(len(people) - 0.5, -0.5)
    figure.suptitle(f"Work on {plan.coach}: {str(schedule.begin).replace('T', ' ')} to {str(schedule.end).replace('T', ' ')}. "
                    "Dark: the chain that fixes the end; light: could be later; dashed: cures", fontsize=9)
    return figure


def _days_shown(times: Sequence[core.StepTime]) -> list[tuple[np.datetime64, np.datetime64]]:
    """First and last half hour of each day on which a step begins or ends."""
    half = np.timedelta64(30, "m")
    ends: dict[np.datetime64, list[np.datetime64]] = {}
    for moment in [moment for time in times for piece in time.pieces for moment in (piece.from_, piece.to)] + [time.start for time in times]:
        ends.setdefault(moment.astype("datetime64[D]"), []).append(moment.astype("datetime64[m]"))
    return [(day + (min(found) - day) // half * half, day + ((max(found) - day) // half + 1) * half) for day, found in sorted(ends.items())]


def _hour_ticks(axes: Figure, left: np.datetime64, right: np.datetime64, least: float) -> None:
    """Times under a panel, at least so many minutes apart that they can be read."""
    steps = (60, 120, 180, 240, 360, 720, 1440) if right - left > np.timedelta64(60, "m") else (30, 60)
    step = np.timedelta64(next((minutes for minutes in steps if minutes >= least), steps[-1]), "m")
    day = left.astype("datetime64[D]").astype("datetime64[m]")
    ticks = np.arange(day + -(-(left - day) // step) * step, right, step)
    axes.set_xticks(ticks, [str(tick)[11:16] for tick in ticks], fontsize=8)


def _draw_waits(axes: Figure, times: Sequence[core.StepTime], plan: core.WorkPlan, joints: Sequence[str]) -> None:
    """Cures as dashed lines, and thin lines that lead from step to step of the chain."""
    for cure in times:
        step = plan.steps[cure.step]
        if step.kind != "cure":
            continue
        before = [time.end for time in times if plan.steps[time.step].joint == step.joint and time.end <= cure.start and time is not cure]
        row = joints.index(step.joint)
        axes.plot([max(before, default=cure.start), cure.start], [row, row], "--", color="black", linewidth=1.8 if cure.critical else 0.8)
        axes.plot([cure.start], [row], "|", color="black", markersize=8)
    chain = [time for time in times if time.critical]
    for one, after in zip(chain, chain[1:]):
        rows = [joints.index(plan.steps[time.step].joint) for time in (one, after)]
        if rows[0] != rows[1]:
            axes.plot([one.end, after.start], rows, color=ramp_colour(0.75), linewidth=0.8, zorder=0.9)


def _draw_bars(panels: Figure, day: tuple[np.datetime64, np.datetime64], times: Sequence[core.StepTime], plan: core.WorkPlan,
               rows: tuple[Sequence[str], Sequence[int]], letter: float) -> None:
    """Bars of a day's panels, of joints and of people; a bar says what it is where the words fit."""
    for time in times:
        step, colour = plan.steps[time.step], ramp_colour(0.75 if time.critical else 0.0)
        row, lines = rows[0].index(step.joint), textwrap.wrap(words(step.kind), 9)
        for piece in time.pieces:
            if piece.to <= day[0] or piece.from_ >= day[1]:
                continue
            span = piece.to - piece.from_
            style = {"left": piece.from_, "color": colour, "edgecolor": "white", "linewidth": 0.6}
            panels[0].barh(row, span, height=0.72, **style)
            for person in time.people:
                panels[1].barh(rows[1].index(person), span, height=0.72, **style)
            if max(map(len, lines)) * letter < span.astype(int):
                panels[0].text(piece.from_ + span / 2, row, "\n".join(lines), fontsize=6.5, ha="center", va="center", linespacing=0.95,
                               color="white" if time.critical else "black")
