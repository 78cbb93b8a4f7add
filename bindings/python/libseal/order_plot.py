"""A picture of the order of a plan with matplotlib: layers from left to right, surfaces from top to bottom, edges with their rule.

Hard edges are solid, firm ones dashed, soft ones dotted; the darker a box, the less it may slip. It all reads in black and white.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass, field

from . import _libseal as core
from .canvas import ramp_colour, words
from .plot import Figure, _figure

__all__ = ["plot_order"]

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
