"""A fleet's calendar as one calendar per owner."""

from __future__ import annotations

import json
import os
import pathlib

import libseal

from .files import safe_name, write_whole

__all__ = ["by_owner", "write_owner_calendars"]


def by_owner(calendar: libseal.Calendar, fleet: libseal.Fleet) -> dict[str, libseal.Calendar]:
    """Per owner (or, where none is on record, per coach) the visits of their coaches, in order of names.

    An owner sees neither names nor visits of others, nor changes and unplaced work of other coaches.
    """
    owner_of = {coach.id: coach.owner or coach.id for coach in fleet.coaches}
    document = json.loads(calendar.json_text())
    found: dict[str, libseal.Calendar] = {}
    for owner in sorted({owner_of.get(visit.coach, visit.coach) for visit in calendar.visits}):
        own = {coach for coach, name in owner_of.items() if name == owner} | ({owner} - set(owner_of))
        part = {**document, "visits": [v for v in document["visits"] if v["coach"] in own],
                "unplaced": [u for u in document["unplaced"] if u["coach"] in own], "changes": [], "weeks": []}
        found[owner] = libseal.read_calendar_text(json.dumps(part, ensure_ascii=False), f"calendar of {owner}")
    return found


def write_owner_calendars(folder: str | os.PathLike[str], calendar: libseal.Calendar, fleet: libseal.Fleet) -> dict[str, pathlib.Path]:
    """One .ics per owner, each file whole or not there. The same owner has the same file name in every run."""
    target = pathlib.Path(folder)
    target.mkdir(parents=True, exist_ok=True)
    written = {}
    for owner, own in by_owner(calendar, fleet).items():
        path = target / f"{safe_name(owner)}.ics"
        write_whole(path, own.ics_text())
        written[owner] = path
    return written
