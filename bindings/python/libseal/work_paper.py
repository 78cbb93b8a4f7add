"""Work orders for people: a page for print (needs jinja2) and Markdown."""

from __future__ import annotations

import datetime
from typing import Any

from . import _libseal as core
from .canvas import clean, words
from .paper import one_line, render

__all__ = ["work_order_markdown", "work_order_page"]

REACH = {"ground": "", "ladder": "from a ladder", "roof": "on the roof", "": ""}


def clock(minute: int) -> str:
    """Local minutes since 1970 as day and time."""
    return (datetime.datetime(1970, 1, 1) + datetime.timedelta(minutes=minute)).strftime("%Y-%m-%d %H:%M")


def time_words(start: int, end: int) -> str:
    """From a minute to another; the day of the end only where it is another one."""
    return f"{clock(start)} to {clock(end)[0 if start // 1440 != end // 1440 else 11:]}"


def span(minutes: core.Minutes) -> str:
    low, mode, high = (round(value) for value in (minutes.low, minutes.mode, minutes.high))
    return f"{mode}" if low == high else f"{mode} ({low} to {high})"


def amount(value: float, unit: str) -> str:
    return f"{value:.0f} {unit}" if unit in ("each", "pair") else f"{value:.1f} {unit}"


def line_row(line: core.WorkOrderLine) -> dict[str, Any]:
    """What stands in one row."""
    material = words(line.family) if line.family else ""
    if line.volume_ml > 0:
        material += f", {line.volume_ml:.0f} mL"
    elif material and line.length_m > 0:
        material += f", {line.length_m:.2f} m"
    where = ", ".join(part for part in (words(line.place), words(line.surface), REACH.get(line.reach, line.reach),
                                        f"slide-out {line.slide_state}" if line.slide_state else "") if part)
    return {
        "number": line.number, "what": words(line.kind), "where": where or "whole coach", "material": material,
        "minutes": span(line.minutes) if line.people else f"wait {line.wait / 60:.1f} h", "people": line.people or "",
        "wait": f"not before {line.wait:.0f} min after the step before" if line.people and line.wait > 0 else "",
        "note": line.note, "weather": line.gate, "tools": ", ".join(words(tool) for tool in line.tools),
        "skills": ", ".join(words(skill) for skill in line.skills),
        "time": time_words(line.start, line.end) if line.end > 0 else "", "who": ", ".join(line.who), "bay": line.bay,
    }


def stock_rows(order: core.WorkOrder) -> list[dict[str, str]]:
    rows = [{"name": words(m.family), "amount": amount(m.ordered, "mL" if m.volume_ml > 0 else "m"),
             "packages": f"{m.packages} of {m.package_size:g} {'mL' if m.volume_ml > 0 else 'm'}"} for m in order.materials]
    return rows + [{"name": words(s.name), "amount": amount(s.amount, s.unit), "packages": ""} for s in order.supplies]


def heading(order: core.WorkOrder) -> str:
    when = f", {order.first} to {order.last}" if order.timed else ""
    return f"Work order: {order.coach}{when}"


def plain(text: object) -> str:
    """A text on one line, in which Markdown sees neither HTML nor a link."""
    return clean(one_line(str(text))).replace("<", "&lt;").replace("[", "&#91;")


def cell(text: object) -> str:
    return plain(text).replace("\\", "\\\\").replace("|", "\\|")


def work_order_markdown(order: core.WorkOrder) -> str:
    """The work order as Markdown, cautions first."""
    out = [f"# {plain(heading(order))}", "", f"{plain(order.shop)}, as of {order.as_of}; person-minutes: {span(order.minutes)}.", ""]

    def listed(title: str, items: list[str]) -> None:
        if items:
            out.extend([f"## {title}", "", *(f"- {plain(item)}" for item in items), ""])

    listed("Before anybody starts", list(order.warnings))
    listed("Cautions", [caution.text for caution in order.cautions])
    listed("Weather outdoors", list(order.gates))
    out += ["## Steps", ""]
    columns = ["#", "step", "where", "material", "min", "people", "mind"]
    if order.timed:
        columns.insert(1, "time")
    out += ["| " + " | ".join(columns) + " |", "|" + "---|" * len(columns)]
    for row in map(line_row, order.lines):
        fields = [row["number"], row["what"], row["where"], row["material"], row["minutes"], row["people"],
                  "; ".join(part for part in (row["wait"], row["note"], f"skill: {row['skills']}" if row["skills"] else "") if part)]
        if order.timed:
            fields.insert(1, "; ".join(part for part in (row["time"], row["who"], row["bay"]) if part))
        out.append("| " + " | ".join(cell(field) for field in fields) + " |")
    out += ["", "## Material", "", "| name | amount | packages |", "|---|---|---|"]
    out += ["| " + " | ".join(cell(value) for value in row.values()) + " |" for row in stock_rows(order)]
    out.append("")
    listed("Tools", [words(tool) for tool in order.tools])
    listed("To be proved at the end", list(order.tests))
    listed("Notes", list(order.notes))
    return "\n".join([*out, plain(order.closing), ""])


def work_order_page(order: core.WorkOrder) -> str:
    """The work order as HTML text for print, with boxes to tick and lines for batch, weather and signature."""
    return render("work_order.html.j2", order=order, heading=heading(order), as_of=str(order.as_of), minutes=span(order.minutes),
                  rows=[line_row(line) for line in order.lines], stock=stock_rows(order), tools=[words(tool) for tool in order.tools])
