"""A fleet's calendar as one calendar per owner."""

from __future__ import annotations

import json
import os
import pathlib

import libseal

from ..files import safe_name, write_whole

__all__ = ["by_owner", "write_owner_calendars"]


def by_owner(calendar: libseal.Calendar, fleet: libseal.Fleet) -> dict[str, libseal.Calendar]:
    """Per owner (or, where none is on record, per coach) the visits of their coaches, in order of names.

    An owner sees neither names nor visits of others, nor changes and unplaced work of other coaches.
    """
    owner_of = {coach.id: coach.owner or coach.id for coach in fleet.coaches}
    document = json.loads(calendar.json_text())
    parts: dict[str, dict[str, list[object]]] = {}
    for kind in ("visits", "unplaced"):
        for entry in document[kind]:
            owner = owner_of.get(entry["coach"], entry["coach"])
            parts.setdefault(owner, {"visits": [], "unplaced": []})[kind].append(entry)
    rest = {"changes": [], "weeks": [], "moving_cost": 0, "bound": 0, "gap": 0}
    return {owner: libseal.read_calendar_text(json.dumps({**document, **rest, **part}, ensure_ascii=False), f"calendar of {owner}")
            for owner, part in sorted(parts.items()) if part["visits"]}


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
