"""A store for what a shop keeps: coaches, findings, work and calendars in SQLite, or in PostgreSQL with the same code.

An example to take over, not a server: the tables are those of `tables` (store.sql has them with comments). Values are always
bound, never pasted into a statement. Every call is one transaction, or part of one of the caller's (`with store.transaction()`):
if it fails, the store is as it was.
"""

from __future__ import annotations

import contextlib
import datetime
import importlib
import importlib.resources
import os
import re
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from . import _libseal as core
from . import cells, tables
from .problems import Problem, failure

__all__ = ["VERSION", "Store"]

VERSION = 1
LONGEST_WAIT = 60.0  # [s] for another writer of an SQLite file

KEYS = {"findings": ("coach", "joint", "part", "segment", "layer", "sign", "date"), "work_done": ("coach", "joint", "part", "layer", "date", "action")}
SPECS = {**tables.FLEET, "findings": tables.FINDINGS, "work_done": tables.WORK_DONE, "calendars": tables.CALENDAR, "visits": tables.VISITS,
         "tasks": tables.TASKS, "unplaced": tables.UNPLACED, "weeks": tables.WEEKS}


def bound(value: Any, kind: str) -> Any:
    """A value as both drivers take it."""
    if cells.missing(value):
        return None
    if kind in ("day", "day_or_none"):
        return value.isoformat()
    return cells.text_of(value, kind)


def quoted(names: Iterable[str]) -> str:
    return ", ".join(f'"{name}"' for name in names)


class Store:
    """Over an open connection of sqlite3 or psycopg in autocommit mode; `open` and `connect` make one.

    @threads  One store belongs to one thread; several stores of one file or server may write at the same time.
    """

    def __init__(self, connection: Any, *, postgres: bool = False) -> None:
        self.connection, self.postgres = connection, postgres
        self._depth = 0
        self._prepare()

    @classmethod
    def open(cls, path: str | os.PathLike[str]) -> Store:
        """The store in an SQLite file (":memory:" for none), made if it is not there. @raises FileError  if it cannot be."""
        try:
            connection = sqlite3.connect(path, timeout=LONGEST_WAIT, isolation_level=None)
            connection.execute("PRAGMA foreign_keys = ON")
            connection.execute("PRAGMA journal_mode = WAL")  # readers do not wait for a writer
        except sqlite3.Error as error:
            raise failure(core.FileError, Problem("an SQLite file, or a place for one", str(error), file=os.fspath(path))) from error
        return cls(connection)

    @classmethod
    def connect(cls, conninfo: str) -> Store:
        """The store in the PostgreSQL database that psycopg's `conninfo` names."""
        try:
            psycopg = importlib.import_module("psycopg")
        except ImportError as error:
            raise ImportError('a store in PostgreSQL needs psycopg: pip install "libseal[postgres]"') from error
        return cls(psycopg.connect(conninfo, autocommit=True), postgres=True)

    def close(self) -> None:
        self.connection.close()

    def __enter__(self) -> Store:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @contextlib.contextmanager
    def transaction(self) -> Iterator[None]:
        """All of what is inside, or nothing. Inner ones belong to the outer one."""
        if self._depth:
            yield
            return
        # IMMEDIATE: a second writer waits at the beginning, and never finds out at the end that it came too late.
        with self._begun("BEGIN" if self.postgres else "BEGIN IMMEDIATE"):
            yield

    @contextlib.contextmanager
    def _reading(self) -> Iterator[None]:
        """One picture of all tables, whatever others write meanwhile."""
        if self._depth:
            yield
            return
        with self._begun("BEGIN ISOLATION LEVEL REPEATABLE READ, READ ONLY" if self.postgres else "BEGIN"):
            yield

    @contextlib.contextmanager
    def _begun(self, begin: str) -> Iterator[None]:
        self.connection.execute(begin)
        self._depth += 1
        try:
            yield
            self.connection.execute("COMMIT")
        except BaseException:
            with contextlib.suppress(Exception):
                self.connection.execute("ROLLBACK")
            raise
        finally:
            self._depth -= 1

    # ---- coaches ----

    def put_fleet(self, fleet: core.Fleet) -> None:
        """Coaches as delivered; one that is there already is replaced with all its joints, its history stays."""
        catalogue = core.Catalogue.built_in()
        for coach in fleet.coaches:
            core.check_coach(coach, catalogue)
        rows = tables.fleet_rows(fleet)
        with self.transaction():
            known = {id: position for id, position in self._rows('SELECT "coach", "position" FROM coaches')}
            for coach in fleet.coaches:
                for name in ("layers", "joints", "parts", "surfaces", "stays"):
                    self._run(f'DELETE FROM {name} WHERE "coach" = ?', (coach.id,))
            free = max(known.values(), default=-1) + 1
            places = [known.get(row[0], free + n) for n, row in enumerate(rows["coaches"])]
            self._insert("coaches", rows["coaches"], places, replace=("coach",))
            for name in ("surfaces", "parts", "joints", "layers", "stays"):
                self._insert(name, rows[name], range(len(rows[name])))

    def fleet(self, coaches: Sequence[str] | None = None) -> core.Fleet:
        """The coaches in the order in which they came, or those that are named."""
        with self._reading():
            found = {name: self._select(name, coaches) for name in tables.FLEET}
        missing = set(coaches or ()) - {row[0] for row in found["coaches"]}
        if missing:
            raise failure(core.ValueError, Problem("coaches of the store", ", ".join(sorted(missing)), field="coaches"))
        return tables.fleet_of_rows(found)

    # ---- history ----

    def add_findings(self, findings: Sequence[core.Finding], *, replace: bool = False) -> None:
        """Findings about coaches of the store. @raises ValueError  for one that is there already, unless `replace`."""
        self._add("findings", findings, tables.finding_rows(findings), replace, core.check_findings)

    def findings(self, coaches: Sequence[str] | None = None) -> list[core.Finding]:
        """All findings in the order in which they came, or those of some coaches."""
        return tables.findings_of_rows(self._select("findings", coaches))

    def add_work_done(self, work_done: Sequence[core.WorkDone], *, replace: bool = False) -> None:
        """Work on coaches of the store. @raises ValueError  for a record that is there already, unless `replace`."""
        self._add("work_done", work_done, tables.work_rows(work_done), replace, core.check_work_done)

    def work_done(self, coaches: Sequence[str] | None = None) -> list[core.WorkDone]:
        """All work in the order in which it came, or that of some coaches."""
        return tables.work_of_rows(self._select("work_done", coaches))

    # ---- calendars ----

    def put_calendar(self, calendar: core.Calendar) -> None:
        """Keeps a calendar; one of the same year, day and shop is replaced."""
        rows = tables.calendar_rows(calendar)
        key = f"{calendar.year}, {calendar.as_of}, {calendar.shop}"
        with self.transaction():
            self._run('DELETE FROM calendars WHERE "calendar" = ?', (key,))
            self._insert("calendars", rows["calendar"], None, calendar=key)
            for name in ("visits", "tasks", "unplaced", "weeks"):
                self._insert(name, rows[name], range(len(rows[name])), calendar=key)

    def calendar(self, year: int, shop: str = "") -> core.Calendar | None:
        """The latest calendar of a year (and shop), for `previous`; None if there is none."""
        with self._reading():
            found = self._rows('SELECT "calendar" FROM calendars WHERE "year" = ? AND (? = \'\' OR "shop" = ?) ORDER BY "as_of" DESC, "calendar" DESC',
                               (year, shop, shop))
            if not found:
                return None
            names = {"calendar": "calendars", "visits": "visits", "tasks": "tasks", "unplaced": "unplaced", "weeks": "weeks"}
            rows = {name: self._select(table, None, found[0][0]) for name, table in names.items()}
        return tables.calendar_of_rows(rows)

    def visits(self, first: datetime.date, last: datetime.date) -> list[tuple[datetime.date, str, str, str]]:
        """(day, coach, kind, uid) of visits from first to last, both counted, in the latest calendar of each year and shop."""
        text = """SELECT v."first", v."coach", v."kind", v."uid" FROM visits v JOIN calendars c ON c."calendar" = v."calendar"
                  WHERE v."first" BETWEEN ? AND ? AND NOT v."cancelled" AND c."as_of" = (SELECT MAX(o."as_of") FROM calendars o
                  WHERE o."year" = c."year" AND o."shop" = c."shop") ORDER BY v."first", v."coach", v."uid\""""
        return [(cells.day_of(day), coach, kind, uid) for day, coach, kind, uid in self._rows(text, (first.isoformat(), last.isoformat()))]

    # ---- statements ----

    def _run(self, text: str, values: Sequence[Any] = ()) -> Any:
        return self.connection.execute(text.replace("?", "%s") if self.postgres else text, values)

    def _rows(self, text: str, values: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
        return list(self._run(text, values).fetchall())

    def _insert(self, name: str, rows: tables.Rows, positions: Iterable[int] | None, *, replace: Sequence[str] = (), calendar: str | None = None) -> None:
        spec = SPECS[name]
        columns = [column for column, _ in spec] + (["position"] if positions is not None else []) + (["calendar"] if calendar is not None else [])
        text = f"INSERT INTO {name} ({quoted(columns)}) VALUES ({', '.join('?' * len(columns))})"
        if replace:
            kept = {*replace, "position"}
            text += f" ON CONFLICT ({quoted(replace)}) DO UPDATE SET " + ", ".join(f'"{c}" = excluded."{c}"' for c in columns if c not in kept)
        places = iter(positions) if positions is not None else None
        values = [[bound(value, kind) for value, (_, kind) in zip(row, spec, strict=True)] + ([next(places)] if places is not None else [])
                  + ([calendar] if calendar is not None else []) for row in rows]
        self.connection.cursor().executemany(text.replace("?", "%s") if self.postgres else text, values)

    def _select(self, name: str, coaches: Sequence[str] | None, calendar: str | None = None) -> tables.Rows:
        spec = SPECS[name]
        text = f"SELECT {quoted(column for column, _ in spec)} FROM {name}"
        order = "" if name == "calendars" else ' ORDER BY "position"'
        if calendar is not None:
            found = self._rows(f'{text} WHERE "calendar" = ?{order}', (calendar,))
        elif coaches is not None:
            found = [row for coach in dict.fromkeys(coaches) for row in self._rows(f'{text} WHERE "coach" = ?{order}', (coach,))]
        else:
            found = self._rows(text + order)
        return [tuple(cells.value_of(value, kind) for value, (_, kind) in zip(row, spec, strict=True)) for row in found]

    def _add(self, name: str, records: Sequence[Any], rows: tables.Rows, replace: bool, check: Any) -> None:
        if not records:
            return
        integrity = importlib.import_module("psycopg" if self.postgres else "sqlite3").IntegrityError
        with self.transaction():
            check(records, self.fleet(sorted({r.coach for r in records})), max(r.date for r in records))
            ((first,),) = self._rows(f'SELECT COALESCE(MAX("position"), -1) + 1 FROM {name}')
            try:
                self._insert(name, rows, range(first, first + len(rows)), replace=KEYS[name] if replace else ())
            except integrity as error:
                raise failure(core.ValueError, Problem("records that are not in the store", f"one that is ({error})", field=name,
                                                       hint="replace=True takes the new one")) from error

    # ---- version ----

    def _prepare(self) -> None:
        """Makes the tables, or looks whether they are of this version."""
        catalogue = "SELECT 1 FROM information_schema.tables WHERE table_schema = current_schema() AND table_name = 'libseal_store'" if self.postgres else (
            "SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = 'libseal_store'")
        with self.transaction():
            if self.postgres:  # two that come first make the tables once
                self._run("SELECT pg_advisory_xact_lock(7303014)")
            if not self._rows(catalogue):
                for statement in statements(importlib.resources.files(__package__).joinpath("store.sql").read_text(encoding="utf-8")):
                    self.connection.execute(statement)
                self._run("INSERT INTO libseal_store VALUES (?)", (VERSION,))
            found = [version for (version,) in self._rows('SELECT "version" FROM libseal_store')]
        if found != [VERSION]:
            raise failure(core.StateError, Problem(f"version {VERSION}", f"{', '.join(map(str, found)) or 'none'}: made by another version of the library", field="store"))


def statements(text: str) -> list[str]:
    """The statements of store.sql, comments taken out."""
    plain = re.sub(r"--[^\n]*", "", text)
    return [statement.strip() for statement in plain.split(";\n") if statement.strip()]
