"""Coaches, findings, work and calendars as plain rows: what data frames, the store and far-away workers have in common.

A table is a list of columns (name with its unit, kind) and rows as tuples in that order. Lengths stay metres, so that a
round trip changes no bit.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, TypeAlias

from . import _libseal as core

Spec: TypeAlias = tuple[tuple[str, str], ...]  # (name, kind); kinds: text, number, numbers, whole, yes_no, day, day_or_none, time, texts, points
Rows: TypeAlias = list[tuple[Any, ...]]

COACHES: Spec = (("coach", "text"), ("kind", "text"), ("label", "text"), ("model_line", "text"), ("model_year", "whole"), ("owner", "text"),
                 ("length_m", "number"), ("width_m", "number"), ("floor_height_m", "number"), ("roof_height_m", "number"))
BOX: Spec = (("low_u_m", "number"), ("low_v_m", "number"), ("high_u_m", "number"), ("high_v_m", "number"))
SURFACES: Spec = (("coach", "text"), ("surface", "text"), ("slide", "text"), *BOX, ("substrate", "text"), ("finish", "text"), ("outline_m", "points"))
PARTS: Spec = (("coach", "text"), ("part", "text"), ("kind", "text"), ("surface", "text"), ("slide", "text"), *BOX, ("label", "text"), ("state", "text"))
JOINTS: Spec = (("coach", "text"), ("joint", "text"), ("type", "text"), ("part", "text"), ("surface", "text"), ("slide", "text"), ("path_m", "points"),
                ("length_m", "number"), ("bead_profile", "text"), ("bead_width_m", "number"), ("bead_thickness_m", "number"),
                ("screw_spacing_m", "number"), ("substrates", "texts"), ("open_edge", "text"))
LAYERS: Spec = (("coach", "text"), ("joint", "text"), ("layer", "text"), ("family", "text"), ("installed_from", "day"), ("installed_to", "day"),
                ("generation", "whole"))
STAYS: Spec = (("coach", "text"), ("stay_from", "day"), ("stay_to", "day"), ("place", "text"), ("station", "text"), ("latitude_deg", "number"),
               ("longitude_deg", "number"), ("cover", "text"), ("heading_deg", "number"))
FLEET: Mapping[str, Spec] = {"coaches": COACHES, "surfaces": SURFACES, "parts": PARTS, "joints": JOINTS, "layers": LAYERS, "stays": STAYS}

# As in the files of findings and work.
FINDINGS: Spec = (("coach", "text"), ("joint", "text"), ("part", "text"), ("segment", "text"), ("layer", "text"), ("sign", "text"), ("date", "day"),
                  ("value", "number"), ("unit", "text"), ("size", "text"), ("share_percent", "number"), ("reaches_fastener", "yes_no"),
                  ("bedding_seen", "text"), ("moisture_percent", "number"), ("moisture_dry_percent", "number"), ("inspector", "text"),
                  ("photo", "text"), ("note", "text"), ("reason", "text"))
WORK_DONE: Spec = (("coach", "text"), ("joint", "text"), ("part", "text"), ("layer", "text"), ("date", "day"), ("action", "text"), ("family", "text"),
                   ("minutes", "number"), ("who", "text"), ("declined", "yes_no"))

# As in the file of a calendar.
CALENDAR: Spec = (("year", "whole"), ("as_of", "day"), ("shop", "text"), ("currency", "text"), ("changes", "texts"), ("moving_cost", "number"),
                  ("bound", "number"), ("gap", "number"), ("closing", "text"))
VISITS: Spec = (("uid", "text"), ("sequence", "whole"), ("cancelled", "yes_no"), ("kind", "text"), ("coach", "text"), ("label", "text"),
                ("owner", "text"), ("first", "day"), ("last", "day"), ("bay", "whole"), ("window_from", "day"), ("window_to", "day"),
                ("minutes_low", "number"), ("minutes_mode", "number"), ("minutes_high", "number"), ("cost_low", "number"), ("cost_mode", "number"),
                ("cost_high", "number"), ("why", "text"), ("flags", "texts"), ("cautions", "texts"), ("day_minutes", "numbers"))
TASKS: Spec = (("uid", "text"), ("joint", "text"), ("layer", "text"), ("generation", "whole"), ("action", "text"), ("family", "text"), ("due", "day"),
               ("urgency", "text"), ("reason", "text"), ("late", "yes_no"), ("best_date", "day_or_none"), ("moved", "text"))
UNPLACED: Spec = (("coach", "text"), ("joint", "text"), ("action", "text"), ("due", "day"), ("constraint", "text"), ("relaxation", "text"))
WEEKS: Spec = (("start", "day"), ("booked_h", "number"), ("capacity_h", "number"), ("overtime_h", "number"), ("overtime_limit_h", "number"))
# Out alone, for reading.
PLAN: Spec = (("joint", "text"), ("part", "text"), ("joint_type", "text"), ("layer", "text"), ("action", "text"), ("family", "text"), ("due", "day"),
              ("urgency", "text"), ("length_m", "number"), ("volume_ml", "number"), ("minutes_low", "number"), ("minutes", "number"),
              ("minutes_high", "number"), ("cost_low", "number"), ("cost", "number"), ("cost_high", "number"), ("reason", "text"))
SCHEDULE: Spec = (("step", "text"), ("kind", "text"), ("joint", "text"), ("start", "time"), ("end", "time"), ("people", "text"), ("critical", "yes_no"),
                  ("waited_for", "text"))
VISIT_TASKS: Spec = (("first", "day"), ("last", "day"), ("coach", "text"), ("kind", "text"), ("bay", "whole"), ("cancelled", "yes_no"), ("uid", "text"),
                     ("joint", "text"), ("layer", "text"), ("action", "text"), ("family", "text"), ("due", "day_or_none"), ("late", "yes_no"),
                     ("reason", "text"))
YEAR: Mapping[str, Spec] = {"calendar": CALENDAR, "visits": VISITS, "tasks": TASKS, "unplaced": UNPLACED, "weeks": WEEKS}


def box(low: core.Point, high: core.Point) -> tuple[float, float, float, float]:
    return low.u, low.v, high.u, high.v


def points(path: Sequence[core.Point]) -> tuple[tuple[float, float], ...]:
    return tuple((p.u, p.v) for p in path)


def fleet_rows(fleet: core.Fleet) -> dict[str, Rows]:
    """Every table of a fleet, in the order of the fleet."""
    rows: dict[str, Rows] = {name: [] for name in FLEET}
    for c in fleet.coaches:
        rows["coaches"].append((c.id, c.kind, c.label, c.model_line, c.model_year, c.owner, c.length, c.width, c.floor_height, c.roof_height))
        rows["surfaces"] += [(c.id, s.name, s.slide, *box(s.low, s.high), s.substrate, s.finish, points(s.outline)) for s in c.surfaces]
        rows["parts"] += [(c.id, p.id, p.kind, p.surface, p.slide, *box(p.low, p.high), p.label, p.state) for p in c.parts]
        rows["stays"] += [(c.id, s.from_, s.to, s.place, s.station, s.latitude, s.longitude, s.cover, s.heading) for s in c.stays]
        for j in c.joints:
            rows["joints"].append((c.id, j.id, j.type, j.part, j.surface, j.slide, points(j.path), j.length, j.bead.profile, j.bead.width,
                                   j.bead.thickness, j.screw_spacing, tuple(j.substrates), j.open_edge))
            rows["layers"] += [(c.id, j.id, layer.kind, layer.family, layer.installed_from, layer.installed_to, layer.generation) for layer in j.layers]
    return rows


def _by(rows: Iterable[tuple[Any, ...]], keys: int) -> dict[Any, Rows]:
    """Rows by their first column, or first columns, without them."""
    found: dict[Any, Rows] = defaultdict(list)
    for row in rows:
        found[row[0] if keys == 1 else row[:keys]].append(tuple(row[keys:]))
    return found


def _path(values: Iterable[tuple[float, float]]) -> list[core.Point]:
    return [core.Point(u=u, v=v) for u, v in values]


def _joint(row: tuple[Any, ...], layers: Rows) -> core.Joint:
    id, type, part, surface, slide, path, length, profile, width, thickness, screws, substrates, open_edge = row
    made = [core.Layer(kind=k, family=f, installed_from=a, installed_to=b, generation=g) for k, f, a, b, g in layers]
    return core.Joint(id=id, type=type, part=part, surface=surface, slide=slide, path=_path(path), length=length,
                      bead=core.Bead(profile=profile, width=width, thickness=thickness), screw_spacing=screws, substrates=list(substrates),
                      layers=made, open_edge=open_edge)


def fleet_of_rows(rows: Mapping[str, Iterable[tuple[Any, ...]]]) -> core.Fleet:
    """The fleet that `fleet_rows` took apart; not checked (see `check_coach`)."""
    surfaces, parts, joints, stays = (_by(rows[name], 1) for name in ("surfaces", "parts", "joints", "stays"))
    layers = _by(rows["layers"], 2)
    coaches = []
    for id, kind, label, line, year, owner, length, width, floor, roof in rows["coaches"]:
        coaches.append(core.Coach(
            id=id, kind=kind, label=label, model_line=line, model_year=year, owner=owner, length=length, width=width, floor_height=floor,
            roof_height=roof,
            surfaces=[core.Surface(name=n, slide=s, low=core.Point(u=a, v=b), high=core.Point(u=c, v=d), substrate=m, finish=f, outline=_path(o))
                      for n, s, a, b, c, d, m, f, o in surfaces[id]],
            parts=[core.Part(id=p, kind=k, surface=s, slide=sl, low=core.Point(u=a, v=b), high=core.Point(u=c, v=d), label=la, state=st)
                   for p, k, s, sl, a, b, c, d, la, st in parts[id]],
            joints=[_joint(row, layers[id, row[0]]) for row in joints[id]],
            stays=[core.Stay(from_=a, to=b, place=p, station=s, latitude=la, longitude=lo, cover=c, heading=h)
                   for a, b, p, s, la, lo, c, h in stays[id]]))
    return core.Fleet(coaches=coaches)


def percent(share: float) -> float:
    """As the files have it: a share that was read from percent gives that percent back."""
    return round(share * 1e12) / 1e10 if share == share else share


def finding_rows(findings: Iterable[core.Finding]) -> Rows:
    return [(f.coach, f.joint, f.part, f.segment, f.layer, f.sign, f.date, f.value, f.unit, f.size, percent(f.share), f.reaches_fastener,
             f.bedding_seen, f.moisture, f.moisture_dry, f.inspector, f.photo, f.note, f.reason) for f in findings]


def findings_of_rows(rows: Iterable[tuple[Any, ...]]) -> list[core.Finding]:
    return [core.Finding(coach=c, joint=j, part=p, segment=s, layer=la, sign=si, date=d, value=v, unit=u, size=z, share=q / 100, reaches_fastener=r,
                         bedding_seen=b, moisture=m, moisture_dry=md, inspector=i, photo=ph, note=n, reason=re)
            for c, j, p, s, la, si, d, v, u, z, q, r, b, m, md, i, ph, n, re in rows]


def work_rows(work: Iterable[core.WorkDone]) -> Rows:
    return [(w.coach, w.joint, w.part, w.layer, w.date, w.action, w.family, w.minutes, w.who, w.declined) for w in work]


def work_of_rows(rows: Iterable[tuple[Any, ...]]) -> list[core.WorkDone]:
    return [core.WorkDone(coach=c, joint=j, part=p, layer=la, date=d, action=a, family=f, minutes=m, who=w, declined=x)
            for c, j, p, la, d, a, f, m, w, x in rows]


def calendar_rows(calendar: core.Calendar) -> dict[str, Rows]:
    """Every table of a calendar, as its file has it; tasks stand under the uid of their visit."""
    from .cells import value_of

    document = json.loads(calendar.json_text())

    def row(entry: Mapping[str, Any], spec: Spec) -> tuple[Any, ...]:
        return tuple(value_of(entry.get(name), kind) for name, kind in spec)

    visits = document["visits"]
    return {"calendar": [row(document, CALENDAR)], "visits": [row(v, VISITS) for v in visits],
            "tasks": [row({**task, "uid": v["uid"]}, TASKS) for v in visits for task in v["tasks"]],
            "unplaced": [row(u, UNPLACED) for u in document["unplaced"]], "weeks": [row(w, WEEKS) for w in document["weeks"]]}


def calendar_of_rows(rows: Mapping[str, Iterable[tuple[Any, ...]]]) -> core.Calendar:
    """The calendar that `calendar_rows` took apart. @raises ValueError  as `read_calendar_text`."""
    from .cells import json_of

    def entries(name: str) -> list[dict[str, Any]]:
        return [{column: json_of(value, kind) for (column, kind), value in zip(YEAR[name], row, strict=True) if value is not None}
                for row in rows[name]]

    (document,) = entries("calendar")
    tasks: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for task in entries("tasks"):
        tasks[task.pop("uid")].append(task)
    document["visits"] = [{**visit, "tasks": tasks[visit["uid"]]} for visit in entries("visits")]
    document["unplaced"], document["weeks"] = entries("unplaced"), entries("weeks")
    return core.read_calendar_text(json.dumps({"schema": "libseal/calendar/1", **document}), "calendar from tables")
