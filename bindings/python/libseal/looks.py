"""Findings in words: what was seen, its grade, how urgent it is. For drawings, keys and sheets."""

from __future__ import annotations

import datetime
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from . import _libseal as core
from .canvas import words
from .units import Units

GRADES = ("as new", "first ageing", "aged, bonded", "local defects", "lost bond, bedding holds", "open or missing")
URGENCY_WORDS = {"at_once": "at once", "within_30_days": "within 30 days", "next_service": "next service",
                 "next_inspection": "next inspection"}


@dataclass
class Look:
    """All findings of one joint or part on one day, with what they amount to."""

    place: str  # id of the joint, else of the part
    date: datetime.date
    findings: list[core.Finding]
    grade: core.Grade
    answer: core.UrgencyAnswer | None  # None if nobody could look
    repaired: datetime.date | None  # work on record since
    seen_since: datetime.date | None = None  # of a look that could not be had: the first one after it


def place_of_finding(finding: core.Finding) -> str:
    return finding.joint or finding.part


def own_findings(coach: core.Coach, findings: Sequence[core.Finding], as_of: datetime.date | None) -> list[core.Finding]:
    """Those of the coach up to the day, checked against it, by place in the order of the coach, then by day as given."""
    own = [f for f in findings if f.coach == coach.id and (as_of is None or f.date <= as_of)]
    core.check_findings(own, core.Fleet(coaches=[coach]), max((f.date for f in own), default=datetime.date.max))
    order = {joint.id: i for i, joint in enumerate(coach.joints)}
    order.update({part.id: len(order) + i for i, part in enumerate(coach.parts) if part.id not in order})
    return sorted(own, key=lambda f: (order[place_of_finding(f)], f.date))


def type_of_place(coach: core.Coach, place: str, catalogue: core.Catalogue) -> core.JointType:
    """Type of a joint, of the longest joint round a part, else one of the consequence of parts that no joint seals."""
    joint = next((j for j in coach.joints if j.id == place), None)
    if joint is None:
        joint = max((j for j in coach.joints if j.part == place), key=lambda j: j.length, default=None)
    if joint is not None:
        return core.joint_type(catalogue, joint.type)
    wanted = int(catalogue.number("urgency/part_consequence"))
    known = [core.joint_type(catalogue, name) for name in core.joint_type_names(catalogue)]
    dry = [t for t in known if t.consequence == wanted and not {"electricity", "gas"} & set(t.cautions)]
    return (dry or known)[0]


def looks_of(coach: core.Coach, findings: Sequence[core.Finding], catalogue: core.Catalogue, as_of: datetime.date,
             work_done: Sequence[core.WorkDone] = (), exposed_soon: bool = False,
             urgency: Mapping[str, core.UrgencyAnswer] | None = None) -> dict[tuple[str, datetime.date], Look]:
    """Every look at a place of the coach; answers that are given go before those of `judge`."""
    groups: dict[tuple[str, datetime.date], list[core.Finding]] = {}
    for finding in findings:
        groups.setdefault((place_of_finding(finding), finding.date), []).append(finding)
    joints = {joint.id: joint for joint in coach.joints}
    looks = {}
    for (place, day), seen in groups.items():
        kind = type_of_place(coach, place, catalogue)
        grade = core.grade_of_joint(seen, joints[place], catalogue) if place in joints else core.grade(seen, kind, catalogue)
        records = [w for w in work_done if w.coach == coach.id and place in (w.joint, w.part)]
        answer = (urgency or {}).get(place)
        if answer is None and grade.inspected:
            answer = core.judge(grade, seen, kind, exposed_soon, catalogue, as_of, records)
        since = [w.date for w in records if not w.declined and day <= w.date <= as_of]
        looks[place, day] = Look(place, day, seen, grade, answer, max(since, default=None))
    for look in looks.values():
        if not look.grade.inspected:
            look.seen_since = min((d for (place, d), other in looks.items() if place == look.place and d >= look.date and other.grade.inspected),
                                  default=None)
    return looks


def last_looks(looks: Mapping[tuple[str, datetime.date], Look]) -> dict[str, Look]:
    """Newest look that somebody had, by place."""
    last: dict[str, Look] = {}
    for look in looks.values():
        if look.grade.inspected and (look.place not in last or look.date > last[look.place].date):
            last[look.place] = look
    return last


def unseen(findings: Sequence[core.Finding]) -> dict[str, core.Finding]:
    """What could not be looked at, and has not been since, by place: its newest finding."""
    missed: dict[str, core.Finding] = {}
    seen: dict[str, datetime.date] = {}
    for f in findings:
        place = place_of_finding(f)
        if f.sign != "not_inspected":
            seen[place] = max(seen.get(place, f.date), f.date)
        elif place not in missed or missed[place].date <= f.date:
            missed[place] = f
    return {place: f for place, f in missed.items() if place not in seen or seen[place] < f.date}


def number_words(value: float) -> str:
    return f"{value:.10g}"


def sign_words(finding: core.Finding, units: Units | None = None) -> str:
    """The sign with its measure, share and readings, as noted or in units of choice."""
    if finding.sign == "not_inspected":
        return f"not inspected: {finding.reason}"
    parts = [words(finding.sign) + (f", {words(finding.layer)}" if finding.layer else "")]
    if not math.isnan(finding.value):
        size = number_words(finding.value) + " mm" if units is None else units.small(finding.value)
        parts.append(size if finding.unit == "mm" else number_words(finding.value) + " %")
    elif finding.size:
        parts.append("looked for, not there" if finding.size == "none" else words(finding.size))
    if not math.isnan(finding.share):
        parts.append(f"over {number_words(100 * finding.share)} % of the length")
    if finding.reaches_fastener:
        parts.append("reaches a screw")
    if finding.bedding_seen and finding.bedding_seen != "not_seen":
        parts.append(f"bedding {words(finding.bedding_seen)}")
    if not math.isnan(finding.moisture):
        dry = "" if math.isnan(finding.moisture_dry) else f", dry spot {number_words(finding.moisture_dry)} %"
        parts.append(f"moisture {number_words(finding.moisture)} %{dry}")
    return ", ".join(parts)


def grade_words(grade: core.Grade) -> str:
    """Worst grade with its word, and damage where there is some."""
    if not grade.inspected:
        return "no grade"
    worst = grade.worst()
    text = f"{worst} {GRADES[worst]}" if worst >= 0 else "no grade"
    return text + (f", damage {grade.damage}" if grade.damage > 0 else "")


def urgency_words(look: Look) -> str:
    """How soon, with the day and what must be known before anybody starts."""
    if look.repaired:
        return f"work done since, {look.repaired}"
    if look.answer is None:
        return f"looked at since, {look.seen_since}" if look.seen_since else "look at it first"
    text = URGENCY_WORDS[look.answer.urgency]
    if look.answer.act_by:
        text += f", by {look.answer.act_by}"
    for flag, note in ((look.answer.isolate, "isolate"), (look.answer.investigate, "look into it, do not seal"),
                       (look.answer.safety, "safety"), (look.answer.needs_signature, "needs a signature")):
        text += f"; {note}" if flag else ""
    return text


def place_words(coach: core.Coach, place: str, numbers: Mapping[str, int]) -> str:
    """Number and name of a joint, or label of a part."""
    if place in numbers:
        return f"{numbers[place]} {words(place)}"
    part = next((p for p in coach.parts if p.id == place), None)
    return (part.label if part and part.label else words(place)) + " (part)"
