"""A calendar of one visit with any words in it. Synthetic."""

from __future__ import annotations

import json
from typing import Any

import libseal


def calendar_json(**words: Any) -> str:
    """JSON of a calendar of one visit; `words` replace members of the calendar, the visit or its task, by name."""
    task = {"joint": "roof_vent_1", "layer": "cap_bead", "generation": 1, "action": "rebed", "family": "self_levelling_lap",
            "due": "2027-05-01", "urgency": "next_service", "reason": "due", "late": False, "best_date": "2027-04-20",
            "moved": "with other work"}
    visit: dict[str, Any] = {
        "uid": "7c12cdb5e4e9231d7dbaeac68624f0e5@libseal", "sequence": 0, "cancelled": False, "kind": "work", "coach": "T1",
        "label": "trailer", "owner": "", "first": "2027-04-12", "last": "2027-04-13", "bay": 0, "window_from": "2027-04-01",
        "window_to": "2027-04-30", "minutes_low": 60, "minutes_mode": 90, "minutes_high": 120, "cost_low": 100, "cost_mode": 150,
        "cost_high": 200.5, "why": "one task", "flags": [], "day_minutes": [60, 30], "cautions": ["Keep the roof dry, as the label says; ask if in doubt."]}
    calendar: dict[str, Any] = {"schema": "libseal/calendar/1", "year": 2027, "as_of": "2026-11-25", "shop": "Shop", "currency": "USD",
                                "weeks": [{"start": "2027-04-12", "booked_h": 1.5, "capacity_h": 40, "overtime_h": 0, "overtime_limit_h": 8}],
                                "moving_cost": 1.25, "bound": 1, "gap": 0.2}
    for name, value in words.items():
        places = [place for place in (calendar, visit, task) if name in place]
        (places[0] if places else calendar)[name] = value
    return json.dumps({**calendar, "visits": [{**visit, "tasks": [task]}]})


def small_calendar(**words: Any) -> libseal.Calendar:
    return libseal.read_calendar_text(calendar_json(**words), "small")
