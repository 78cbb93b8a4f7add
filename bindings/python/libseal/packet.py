"""The owner's packet: drawing, condition and due dates with their spread, findings, options with prices, lines to sign."""

from __future__ import annotations

import datetime
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from . import _libseal as core
from . import charts, looks
from .canvas import words
from .drawing import DrawingBook, joint_numbers
from .paper import chance, days_text, distinct, drawn, hours_range, money, money_range, render
from .photos import Album
from .rows import ForecastRows
from .units import Units, label_of, units_of

__all__ = ["Shared", "owner_packet"]

NO_DAY = datetime.date(1970, 1, 1)
WAITS = (0, 91, 365, 730)  # days from the forecast on which the chance of water is told
URGENCIES = ("at_once", "within_30_days", "next_service", "next_inspection")
Plans = Mapping[str, core.WorkPlan]
Quotes = Mapping[str, core.Quote]


class Shared:
    """What is worked out once for many packets: columns of the forecast, visits by coach, sheets of one shape, the catalogue."""

    def __init__(self, forecast: core.Forecast, calendar: core.Calendar, units: str = "metric", catalogue: core.Catalogue | None = None) -> None:
        self.units = units_of(units)
        self.catalogue = catalogue or core.Catalogue.built_in()
        self.rows = ForecastRows(forecast)
        self.book = DrawingBook(units)
        self.visits: dict[str, list[core.Visit]] = {}
        for visit in calendar.visits:
            if not visit.cancelled and visit.last >= forecast.as_of:
                self.visits.setdefault(visit.coach, []).append(visit)


@dataclass
class Packet:
    """What all coaches of a packet share."""

    calendar: core.Calendar
    shop: core.Shop
    findings: Sequence[core.Finding]
    work_done: Sequence[core.WorkDone]
    units: Units
    shared: Shared
    album: Album
    plans: Plans = field(default_factory=dict)
    quotes: Quotes = field(default_factory=dict)

    def plan(self, coach: core.Coach) -> core.WorkPlan:
        """The plan that was given, else the work due until the end of the calendar's year."""
        if coach.id in self.plans:
            return self.plans[coach.id]
        forecast, last = self.shared.rows.forecast, datetime.date(self.calendar.year, 12, 31)
        return core.plan_work(coach, self.findings, forecast, self.shop, forecast.as_of, catalogue=self.shared.catalogue,
                              due_before=max(last, forecast.as_of), work_done=self.work_done, opportunistic_days=0)


class Chapter:
    """One coach of a packet."""

    def __init__(self, packet: Packet, coach: core.Coach, number: int) -> None:
        self.packet, self.coach, self.number = packet, coach, number
        self.forecast, self.as_of, self.units = packet.shared.rows, packet.shared.rows.as_of, packet.units
        self.rows = self.forecast.rows_of(coach.id)
        if coach.joints and not self.rows:
            raise ValueError(f'forecast: expected rows of coach "{coach.id}", got none')
        self.numbers = joint_numbers(coach)
        self.joints = {joint.id: joint for joint in coach.joints}
        self.parts = {part.id: part for part in coach.parts}
        self.found = looks.own_findings(coach, packet.findings, self.as_of)
        self.missed = looks.unseen(self.found)
        self.plan = packet.plan(coach)
        self.quote = packet.quotes.get(coach.id) or core.quote(self.plan, packet.shop, catalogue=packet.shared.catalogue)
        self.visits = packet.shared.visits.get(coach.id, [])

    def place(self, name: str) -> str:
        """Words for a joint or a part."""
        part = self.parts.get(name)
        return words(name) if name in self.joints or part is None else part.label or words(name)

    def where(self, joint: str) -> str:
        j = self.joints[joint]
        return words(j.surface) + (f" of {words(j.slide)}" if j.slide else "")

    def facts(self) -> list[tuple[str, str]]:
        coach = self.coach
        stays = [s for s in coach.stays if s.from_ <= self.as_of < s.to] or coach.stays[-1:]
        where = f"{stays[0].place or stays[0].station}, {words(stays[0].cover)}" if stays else "not on record"
        rows = [("Coach", coach.id), ("Kind", words(coach.kind)), ("Model line", coach.model_line), ("Model year", str(coach.model_year or "")),
                ("Length, width", f"{self.units.length(coach.length)}, {self.units.length(coach.width)}"), ("Stands at", where),
                ("Joints", str(len(coach.joints))), ("Last look", str(max((f.date for f in self.found if f.sign != "not_inspected"), default="none on record")))]
        return [row for row in rows if row[1]]

    def brief(self) -> list[str]:
        """What matters most, in sentences."""
        forecast, rows = self.forecast, self.rows
        year = self.as_of + datetime.timedelta(days=365)
        soon = {forecast.joint[r] for r in rows if forecast.due_50[r] <= year}
        open_now, open_year = (forecast.by_joint(column, self.coach.id) for column in (forecast.open_now, forecast.open_1_year))
        out = [f"{len(soon)} of {len(self.joints)} joints are likelier than not to have local defects within a year, by {year}."]
        if open_now:
            worst = max(open_now, key=lambda joint: open_now[joint])
            out.append(f"Joints through which water has a way in, expected number: {sum(open_now.values()):.1f} today, {sum(open_year.values()):.1f} in a year "
                       f"if nothing is done. Likeliest: {self.numbers[worst]} {words(worst)} ({chance(open_now[worst])['text']} today).")
        if self.quote.items:
            total = self.quote.total
            out.append(f"Work proposed: {len(self.quote.items)} item{'s' if len(self.quote.items) != 1 else ''}, {money_range(total, self.quote.currency)} with tax, "
                       f"likely {core.money_text(total.mode, self.quote.currency)}.")
        else:
            out.append("No work is proposed.")
        if self.visits:
            out.append(f"Next visit: {days_text(self.visits[0].first, self.visits[0].last)} ({words(self.visits[0].kind)}).")
        return out

    def due_table(self) -> dict[str, Any]:
        """One row a joint, with its layer that is due first; soonest joint on top."""
        f, rows = self.forecast, self.rows
        first: dict[str, int] = {}
        for r in rows:
            joint = f.joint[r]
            if joint not in first or f.due_50[r] < f.due_50[first[joint]]:
                first[joint] = r
        chosen = sorted(first.values(), key=lambda r: (f.due_50[r], self.numbers[f.joint[r]]))
        days = {r: (f.due_10[r], f.due_50[r], f.due_90[r]) for r in chosen}
        axis = charts.year_axis(self.as_of, [day[0] for day in days.values()], [day[2] for day in days.values()])
        spread = core.look_ahead(f.forecast, chosen, [self.as_of]) if chosen else None
        table = []
        layers: dict[str, list[int]] = {}
        for r in rows:
            layers.setdefault(f.joint[r], []).append(r)
        for i, r in enumerate(chosen):
            joint, due = f.joint[r], days[r]
            low, middle, high = (float(column[i, 0]) for column in (spread.condition_10, spread.condition_50, spread.condition_90)) if spread else (0, 0, 0)
            others = "; ".join(f"{words(f.layer[o])} {f.due_50[o]}" for o in layers[joint] if o != r)
            table.append({
                "number": self.numbers[joint], "joint": words(joint), "where": self.where(joint), "layer": words(f.layer[r]), "family": words(f.family[r]),
                "others": others, "low": f"{low:.1f}", "middle": f"{middle:.1f}", "high": f"{high:.1f}", "bar": charts.condition_bar(low, middle, high),
                "due_10": str(due[0]), "due_50": str(due[1]), "due_90": str(due[2]), "due_bar": axis.bar(*due, f.due_1_year[r]),
                "year": chance(f.due_1_year[r]), "look": str(f.inspect_by[r]), "flag": f.flag[r]})
        return {"rows": table, "axis": axis, "grid": f"grid-{self.number}"}

    def finding_rows(self) -> list[dict[str, Any]]:
        seen = looks.looks_of(self.coach, self.found, self.packet.shared.catalogue, self.as_of, self.packet.work_done)
        rows = []
        for finding in self.found:
            look = seen[looks.place_of_finding(finding), finding.date]
            rows.append({"number": self.numbers.get(look.place, ""), "place": self.place(look.place), "sign": looks.sign_words(finding, self.units),
                         "seen": str(finding.date), "inspector": finding.inspector, "grade": looks.grade_words(look.grade),
                         "urgency": looks.urgency_words(look), "note": finding.note, "photo": finding.photo})
        return rows

    def photos(self) -> list[dict[str, Any]]:
        """Photos of the findings, each once."""
        by_name: dict[str, list[core.Finding]] = {}
        for finding in self.found:
            if finding.photo:
                by_name.setdefault(finding.photo, []).append(finding)
        out = []
        for name, findings in by_name.items():
            photo = self.packet.album.photo(name)
            what = "; ".join(distinct(f"{self.place(looks.place_of_finding(f))}: {looks.sign_words(f, self.units)}" for f in findings))
            out.append({"name": name, "uri": photo.uri, "width": photo.width, "height": photo.height, "why": photo.why, "what": what,
                        "seen": str(findings[0].date)})
        return out

    def item_groups(self) -> list[dict[str, Any]]:
        """What may be done, by urgency, each item with its options and the chance of water by date."""
        items = self.quote.items
        f = self.forecast
        row_of = {f.joint[r]: r for r in reversed(self.rows)}
        asked = [row_of[item.place] for item in items if item.place in row_of]
        days = [self.as_of + datetime.timedelta(days=wait) for wait in WAITS]
        ahead = core.look_ahead(f.forecast, asked, days, spread=False) if asked else None
        at = {row: i for i, row in enumerate(asked)}
        declined = {w.joint or w.part for w in self.packet.work_done if w.coach == self.coach.id and w.declined}
        groups: dict[str, list[dict[str, Any]]] = {}
        for item in items:
            waiting = []
            if ahead is not None and item.place in row_of:
                i = at[row_of[item.place]]
                waiting = [{"day": str(day), **chance(float(ahead.open[i, d]))} for d, day in enumerate(days)]
            options = [{"action": words(o.action), "family": words(o.family), "cure": f"{o.cure_hours:.0f} h" if o.cure_hours > 0 else "", "proposed": o.chosen,
                        **money(o.cost, self.quote.currency)} for o in item.options]
            groups.setdefault(item.urgency, []).append({
                "number": self.numbers.get(item.place, ""), "place": self.place(item.place), "reason": self.units.prose(item.reason), "due": str(item.due),
                "overdue": item.due <= self.as_of, "options": options, "waiting": waiting, "consequence": item.waiting,
                "declined": item.place in declined, "bold": item.place in declined and item.urgency == "at_once",
                "cover": str(item.cover_expires) if item.cover_expires > NO_DAY else ""})
        order = [u for u in URGENCIES if u in groups] + [u for u in groups if u not in URGENCIES]
        return [{"title": words(u).capitalize(), "consequences": distinct(i["consequence"] for i in groups[u] if i["consequence"]), "rows": groups[u]} for u in order]

    def price(self) -> dict[str, Any]:
        quote = self.quote
        amount = {name: core.money_text(getattr(quote, name), quote.currency) if getattr(quote, name) else "" for name in ("deposit", "call_before", "contingency")}
        sums = [{"name": name, **money(getattr(quote, key), quote.currency)} for name, key in (("Work and material", "net"), ("Tax", "tax"), ("Total", "total"))]
        return {"sums": sums, **amount, "valid": str(quote.valid_until), "exclusions": quote.exclusions, "notes": [self.units.prose(t) for t in quote.notes],
                "warnings": [self.units.prose(t) for t in quote.warnings], "stop": quote.stop_and_call, "basis": words(quote.time_basis)}

    def dates(self) -> list[dict[str, str]]:
        """Days to keep, in order."""
        out = [(v.first, days_text(v.first, v.last), f"{words(v.kind).capitalize()}, {hours_range(v.minutes)}" if v.tasks else words(v.kind).capitalize(),
                self.units.prose(v.why)) for v in self.visits]
        out += [(i.cover_expires, str(i.cover_expires), "Temporary cover ends", self.place(i.place)) for i in self.quote.items if i.cover_expires > NO_DAY]
        if self.quote.items:
            out.append((self.quote.valid_until, str(self.quote.valid_until), "Prices end", "Last day on which the prices of this packet hold."))
        looks_by = {self.forecast.inspect_by[r]: self.forecast.joint[r] for r in reversed(self.rows)}
        later = [day for day in looks_by if day >= self.as_of]
        if later:
            day = min(later)
            out.append((day, str(day), "Look at the latest", f"Joint {self.numbers[looks_by[day]]} {words(looks_by[day])} first."))
        overdue = sum(self.forecast.inspect_by[r] < self.as_of for r in self.rows)
        if overdue:
            out.append((self.as_of, str(self.as_of), "Look now", f"{overdue} of {len(self.rows)} layers are past the day of their next look."))
        return [{"days": days, "what": what, "why": why} for _, days, what, why in sorted(out, key=lambda row: (row[0], row[2]))]

    def values(self) -> dict[str, Any]:
        cautions = distinct([c.text for c in self.plan.cautions] + [text for visit in self.visits for text in visit.cautions])
        not_seen = [{"number": self.numbers.get(place, ""), "place": self.place(place), "day": str(finding.date), "reason": finding.reason}
                    for place, finding in self.missed.items()]
        chances = self.forecast.by_joint(self.forecast.due_1_year, self.coach.id)
        svg = self.packet.shared.book.draw(self.coach, chances, self.missed, f"drawing-{self.number}")
        return {"number": self.number, "label": label_of(self.coach, self.units), "id": self.coach.id, "facts": self.facts(), "brief": self.brief(), "svg": drawn(svg),
                "due": self.due_table(), "findings": self.finding_rows(), "photos": self.photos(), "not_seen": not_seen, "groups": self.item_groups(),
                "price": self.price(), "dates": self.dates(), "cautions": [self.units.prose(text) for text in cautions], "any": bool(self.quote.items)}


def owner_packet(coach: core.Coach | Sequence[core.Coach], forecast: core.Forecast, calendar: core.Calendar, shop: core.Shop, *,
                 findings: Sequence[core.Finding] | None = None, work_done: Sequence[core.WorkDone] | None = None,
                 plans: Plans | None = None, quotes: Quotes | None = None, photo_folder: str | os.PathLike[str] | None = None,
                 units: str = "metric", catalogue: core.Catalogue | None = None, shared: Shared | None = None) -> str:
    """The packet of a coach, or of all coaches of one owner, as HTML text for print on Letter and A4.

    `plans` and `quotes` by the id of the coach; without them the work due until the end of the calendar's year is planned and
    priced. Photos of findings are put in if they are PNG or JPEG files inside `photo_folder`; else their names are printed.
    `shared`, made of the same forecast, calendar, units and catalogue, saves work over many packets. The coach is as delivered:
    `work_done` says what has been done since, also what was declined.
    """
    coaches = [coach] if isinstance(coach, core.Coach) else list(coach)
    if not coaches:
        raise ValueError("coach: expected at least one coach, got none")
    ids = {c.id for c in coaches}
    shared = shared or Shared(forecast, calendar, units, catalogue)
    packet = Packet(calendar, shop, [f for f in findings or () if f.coach in ids], [w for w in work_done or () if w.coach in ids],
                    shared.units, shared, Album(photo_folder), plans or {}, quotes or {})
    chapters = [Chapter(packet, c, i).values() for i, c in enumerate(coaches, start=1)]
    owners = distinct(c.owner for c in coaches if c.owner)
    return render("packet.html.j2", chapters=chapters, shop=shop, as_of=str(forecast.as_of), year=calendar.year, owner=", ".join(owners),
                  title=chapters[0]["label"] if len(chapters) == 1 else f"{len(chapters)} coaches", closing=core.closing_line(packet.shared.catalogue), scale=list(enumerate(looks.GRADES)))
