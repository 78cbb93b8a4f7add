"""Second opinions on iCalendar texts: parsers that did not write our calendars, all asked in the same way."""

from __future__ import annotations

import dataclasses
import datetime
import functools
import importlib.metadata
import pathlib
import shutil
import subprocess
import tempfile


@dataclasses.dataclass(frozen=True)
class Entry:
    """An event as a parser read it."""

    uid: str
    first: datetime.date
    end: datetime.date
    summary: str
    description: str


@dataclasses.dataclass(frozen=True)
class Opinion:
    """What a parser says of a text: faults that it noticed, or the events that it read."""

    faults: list[str]
    events: list[Entry]


def by_icalendar(text: bytes) -> Opinion:
    import icalendar

    try:
        calendars = icalendar.Calendar.from_ical(text, multiple=True)
    except (ValueError, IndexError, KeyError) as error:
        return Opinion([str(error)], [])
    faults, events = [], []
    for calendar in calendars:
        for part in calendar.walk():
            faults += [str(error) for error in part.errors]
        for event in calendar.walk("VEVENT"):
            if not faults and "DTSTART" in event and "DTEND" in event:
                events.append(Entry(str(event.get("UID")), event["DTSTART"].dt, event["DTEND"].dt, str(event.get("SUMMARY")),
                                    str(event.get("DESCRIPTION"))))
    return Opinion(faults, events)


def by_vobject(text: bytes) -> Opinion:
    import vobject

    try:
        events = []
        for calendar in vobject.readComponents(text.decode(), validate=True):
            calendar.validate(raiseException=True)
            for event in getattr(calendar, "vevent_list", []):
                events.append(Entry(event.uid.value, event.dtstart.value, event.dtend.value, event.summary.value, event.description.value))
        return Opinion([], events)
    except Exception as error:  # noqa: BLE001  it throws what happens to go wrong inside
        return Opinion([f"{type(error).__name__}: {error}"], [])


def by_ics(text: bytes) -> Opinion:
    import ics

    try:
        calendar = ics.Calendar(text.decode())
        events = [Entry(e.uid, e.begin.date(), e.end.date(), e.name or "", e.description or "")
                  for e in calendar.events]
        return Opinion([], events)
    except Exception as error:  # noqa: BLE001
        return Opinion([f"{type(error).__name__}: {error}"], [])


@functools.cache
def libical_program() -> str:
    """A tiny program around libical, or "" without its headers or a compiler."""
    source = pathlib.Path(__file__).with_name("libical_opinion.c")
    compiler = shutil.which("cc") or shutil.which("gcc")
    if not compiler:
        return ""
    program = pathlib.Path(tempfile.mkdtemp(prefix="libseal_libical_")) / "opinion"
    done = subprocess.run([compiler, "-o", str(program), str(source), "-lical"], capture_output=True, check=False)
    return str(program) if done.returncode == 0 else ""


def by_libical(text: bytes) -> Opinion:
    done = subprocess.run([libical_program()], input=text, capture_output=True, check=False)
    if done.returncode != 0:
        return Opinion([f"ended with {done.returncode}"], [])
    faults, events = [], []
    for line in done.stdout.decode().splitlines():
        kind, _, rest = line.partition(" ")
        if kind == "fault":
            faults.append(rest)
        else:
            uid, first, end, summary, description = rest.split(" ")
            words = [bytes.fromhex(one).decode() for one in (uid, summary, description)]
            days = [datetime.datetime.strptime(one[:8], "%Y%m%d").date() if one != "-" else datetime.date.min for one in (first, end)]
            events.append(Entry(words[0], days[0], days[1], words[1], words[2]))
    return Opinion(faults, events)


PARSERS = {"icalendar": by_icalendar, "vobject": by_vobject, "libical": by_libical, "ics": by_ics}


def available(name: str) -> bool:
    if name == "libical":
        return bool(libical_program())
    try:
        importlib.metadata.version(name)
    except importlib.metadata.PackageNotFoundError:
        return False
    return True


def generation(name: str) -> str:
    """Version of a parser as the tables of the tests know it: the first number, of libical the first two."""
    if name == "libical":
        if not shutil.which("pkg-config"):
            return ""
        done = subprocess.run(["pkg-config", "--modversion", "libical"], capture_output=True, text=True, check=False)
        return ".".join(done.stdout.split(".")[:2])
    return importlib.metadata.version(name).split(".")[0]
