"""From PLACE and options to the objects of a command, with every problem of every file collected first."""

from __future__ import annotations

import dataclasses
import datetime
import json
import pathlib
import shlex
import sys
from collections.abc import Callable, Sequence
from typing import Any

import libseal

from . import codes
from .output import Output

STDIN = "<standard input>"
FLEETS = ("fleet.csv", "fleet.json")


@dataclasses.dataclass
class Inputs:
    """What was read, and from where ("" for what was not there)."""

    as_of: datetime.date
    fleet: libseal.Fleet
    findings: list[libseal.Finding] = dataclasses.field(default_factory=list)
    work_done: list[libseal.WorkDone] = dataclasses.field(default_factory=list)
    owner_dates: list[libseal.OwnerDates] = dataclasses.field(default_factory=list)
    shop: libseal.Shop | None = None
    files: dict[str, str] = dataclasses.field(default_factory=dict)


def read_text(name: str) -> str:
    """The text of a file, or of standard input for "-"."""
    data = sys.stdin.buffer.read() if name == "-" else pathlib.Path(name).read_bytes()
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        wrong = codes.problem("text in UTF-8", f"the byte 0x{data[error.start]:02X}", file=STDIN if name == "-" else name, line=line,
                              hint="save the file as UTF-8")
        raise codes.CommandError(codes.BAD_INPUT, [wrong]) from error


def is_coach(text: str) -> bool:
    """Is this the file of one coach, and no fleet?"""
    try:
        document = json.loads(text)
    except ValueError:
        return False
    return isinstance(document, dict) and str(document.get("schema", "")).startswith("libseal/coach/")


def read_fleet(name: str) -> libseal.Fleet:
    text = read_text(name)
    shown, folder = (STDIN, ".") if name == "-" else (name, str(pathlib.Path(name).parent))
    if text.lstrip("\ufeff \t\r\n").startswith("{") and is_coach(text):
        return libseal.fleet_of(libseal.read_coach_text(text, shown))
    return libseal.read_fleet_text(text, shown, folder)


class Collector:
    """Reads one file after the other and goes on after an error."""

    def __init__(self) -> None:
        self.problems: list[dict[str, Any]] = []
        self.only_files = True
        self.stdin = 0

    def read(self, name: str, reader: Callable[[str], Any]) -> Any:
        """What the reader gives, or None with its problems noted."""
        self.stdin += name == "-"
        if self.stdin > 1:
            raise codes.CommandError(codes.USAGE, [codes.problem("one input from standard input", "- twice")])
        try:
            return reader(name)
        except libseal.FileError as error:
            self.problems += [codes.problem_of(p) for p in error.problems]
        except libseal.Error as error:
            self.only_files = False
            self.problems += [codes.problem_of(p) for p in error.problems]
        except OSError as error:
            self.problems.append(codes.problem("a file that can be read", error.strerror or str(error), file=name))
        except codes.CommandError as error:
            self.only_files = False
            self.problems += error.problems
        return None

    def throw_if_any(self) -> None:
        if self.problems:
            raise codes.CommandError(codes.FILE_PROBLEM if self.only_files else codes.BAD_INPUT, self.problems)


def found_in(folder: pathlib.Path, names: Sequence[str]) -> str:
    """The one of these files that the folder has, or ""."""
    there = [str(folder / name) for name in names if (folder / name).exists()]
    if len(there) > 1:
        raise codes.CommandError(codes.BAD_INPUT, [codes.problem(f"one of {' and '.join(names)}", "both", file=str(folder),
                                                                 hint="name the one that is meant")])
    return there[0] if there else ""


def file_names(place: str, given: dict[str, str | None], need_shop: bool) -> dict[str, str]:
    """Which file is what. A folder has usual names; files named on the command line come first."""
    names = {key: value or "" for key, value in given.items()}
    folder = pathlib.Path(place)
    if place != "-" and folder.is_dir():
        names["fleet"] = found_in(folder, FLEETS)
        if not names["fleet"]:
            raise codes.CommandError(codes.FILE_PROBLEM, [codes.problem(f"{' or '.join(FLEETS)} in the folder", "neither", file=place,
                                                                        hint=f"libseal start {shlex.quote(place)} makes a first one")])
        for key in ("findings", "work_done", "owner_dates"):
            names[key] = names.get(key) or found_in(folder, (f"{key}.csv", f"{key}.json"))
        names["shop"] = names.get("shop") or found_in(folder, ("shop.json",))
    else:
        names["fleet"] = place
    if need_shop and not names.get("shop"):
        raise codes.CommandError(codes.USAGE, [codes.problem("--shop FILE", "no shop", hint="or a folder with shop.json")])
    return names


def load(output: Output, place: str, *, as_of: datetime.date | None, findings: str | None = None, work_done: str | None = None,
         owner_dates: str | None = None, shop: str | None = None, need_shop: bool = False, of_any: bool = False) -> Inputs:
    """Reads what there is; raises all problems of all files together.

    of_any: findings and work may be of other coaches than those of the fleet, or of later days; who asks for that picks and checks them.
    """
    day = as_of or datetime.date.today()
    if as_of is None:
        output.note(f"as of {day}, today")
    names = file_names(place, {"findings": findings, "work_done": work_done, "owner_dates": owner_dates, "shop": shop}, need_shop)
    collector = Collector()
    fleet = collector.read(names["fleet"], read_fleet)
    inputs = Inputs(day, fleet if fleet is not None else libseal.Fleet(), files={k: v for k, v in names.items() if v})
    if names["shop"]:
        inputs.shop = collector.read(names["shop"], lambda n: libseal.read_shop_text(read_text(n), shown(n)))
    if names["findings"]:
        def read_findings(name: str) -> list[libseal.Finding]:
            text = read_text(name)
            if fleet is None or of_any:  # then only the form can be checked
                return libseal.read_findings_text(text, shown(name))
            return libseal.read_findings_text(text, shown(name), fleet, day)

        inputs.findings = collector.read(names["findings"], read_findings) or []
    if names["work_done"]:
        def read_work(name: str) -> list[libseal.WorkDone]:
            records = libseal.read_work_done_text(read_text(name), shown(name))
            if fleet is not None and not of_any:
                libseal.check_work_done(records, fleet, day)
            return records

        inputs.work_done = collector.read(names["work_done"], read_work) or []
    if names["owner_dates"]:
        def read_dates(name: str) -> list[libseal.OwnerDates]:
            dates = libseal.read_owner_dates_text(read_text(name), shown(name))
            if fleet is not None:
                libseal.check_owner_dates(dates, fleet)
            return dates

        inputs.owner_dates = collector.read(names["owner_dates"], read_dates) or []
    collector.throw_if_any()
    return inputs


def shown(name: str) -> str:
    return STDIN if name == "-" else name


def chosen(fleet: libseal.Fleet, coaches: Sequence[str]) -> list[libseal.Coach]:
    """The coaches asked for, in that order; all if none is named."""
    return [libseal.coach_of(fleet, name) for name in dict.fromkeys(coaches)] or list(fleet.coaches)
