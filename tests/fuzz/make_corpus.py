#!/usr/bin/env python3
"""Writes seeds and hostile inputs of the fuzz targets, and their dictionaries. Everything in them is invented.

    python3 tests/fuzz/make_corpus.py [FOLDER]

Files that fuzzing found are kept beside them by hand, as corpus/TARGET/found_*.
"""

from __future__ import annotations

import json
import pathlib
import random
import re
import struct
import sys

HERE = pathlib.Path(__file__).resolve().parent

COACH = {
    "schema": "libseal/coach/1", "id": "t1", "kind": "travel_trailer", "label": "small", "model_line": "Line A", "model_year": 2020,
    "owner": "A. K.", "length_m": 8, "width": "8 ft", "floor_height_m": 0.55, "roof_height_m": 2.55,
    "surfaces": [
        {"name": "roof", "low_m": [0, -1.22], "high_m": [8, 1.22], "substrate": "epdm_membrane", "finish": "white_membrane"},
        {"name": "curb_wall", "low_m": [0, 0.55], "high_m": [8, 2.55], "substrate": "gelcoat_laminate", "finish": "white_gelcoat",
         "outline_m": [[0, 0.55], [8, 0.55], [8, 2.55], [0, 2.55]]}],
    "parts": [{"id": "window_1", "kind": "window", "surface": "curb_wall", "low_m": [2, 1.5], "high_m": [2.9, 2.2]}],
    "joints": [{"id": "window_1", "type": "window_frame", "part": "window_1", "surface": "curb_wall", "path_m": [[2, 1.5], [2.9, 1.5]],
                "bead": {"profile": "fillet", "leg": "0.25 in"}, "screw_spacing": "150 mm",
                "substrates": ["painted_aluminium", "gelcoat_laminate"],
                "layers": [{"kind": "cap_bead", "family": "non_sag_lap", "installed": {"from": "2019-07-01", "to": "2020-12-31"}},
                           {"kind": "bedding", "family": "putty_tape", "installed": 2020, "generation": 2}]}],
    "stays": [{"from": "2020-01-01", "to": "9999-12-31", "station": "725350", "cover": "open", "heading_deg": 0}]}
LAYOUT = {"schema": "libseal/coach/1", "layout": "travel_trailer", "id": "t2", "length_m": 7.3, "installed": "2021-03-20", "slide_outs": 0,
          "wall_finish": "beige_gelcoat", "changes": {"roof_vent_1": {"layers": [{"kind": "cap_bead", "family": "non_sag_lap"}]},
                                                      "skylight": {"absent": True}},
          "stays": [{"from": "2021-04-10", "place": "Town", "latitude_deg": 41.7, "longitude_deg": -86.3}]}
FLEET = {"schema": "libseal/fleet/1", "coaches": [{k: v for k, v in LAYOUT.items() if k != "schema"}, {"file": "other.json", "id": "t3"}]}
FINDING = {"coach": "t1", "joint": "roof_vent_1", "segment": "1", "layer": "cap_bead", "sign": "gap", "date": "2026-04-13", "value": 0.8,
           "unit": "mm", "share_percent": 12.5, "reaches_fastener": True, "bedding_seen": "sound", "moisture_percent": 21,
           "moisture_dry_percent": 12, "inspector": "R. V.", "note": "soft to the thumb"}
FINDINGS = {"schema": "libseal/findings/1", "findings": [
    FINDING, {"coach": "t1", "joint": "window_1", "sign": "not_inspected", "date": "2026-04-13", "reason": "snow"}]}
WORK = {"schema": "libseal/work_done/1", "work_done": [
    {"coach": "t1", "joint": "skylight", "layer": "cap_bead", "date": "2025-05-02", "action": "cut_out_and_reseal",
     "family": "silyl_modified", "minutes": 75, "who": "R. V.", "declined": False},
    {"coach": "t1", "part": "window_1", "date": "2025-05-03", "action": "inspect"}]}
SHOP = {"schema": "libseal/shop/1", "name": "Shop", "place": "Town", "currency": "USD", "labour_rate_per_h": 150, "tax_percent": 7,
        "minimum_charge": 80.5, "package_price": {"self_levelling_lap": 13.5}, "billing": {"step_minutes": 15, "distance_unit": "mile"},
        "people": [{"id": "p1", "skills": ["sealing"], "from": "08:00", "to": "16:30"}, {"id": "p2"}], "bays": 2,
        "bay_list": [{"id": "b1", "roofed": True, "heated": True}], "ladders": 2, "platforms": 1,
        "absences": [{"person": "p1", "from": "2027-03-05", "to": "2027-03-06 12:00", "reason": "course"}],
        "overtime": [{"person": "p2", "from": "2027-03-06 08:00", "to": "2027-03-06 12:00"}], "holiday_rules": ["us_federal"],
        "working_days": ["monday", "tuesday", "friday"], "hours": {"from": "07:30", "to": "17:00", "break_from": "12:00", "break_to": "12:30"},
        "holidays": ["2027-12-24"], "closed": [{"from": "2027-01-01", "to": "2027-02-01", "reason": "frost"}],
        "visit_setup_minutes": 20, "sealing_months": [4, 5, 6, 7, 8, 9, 10], "heated_bay": False, "bay_temperature_c": 18}
HOLIDAYS = {"schema": "libseal/holidays/1", "name": "invented", "source": "invented", "rules": [
    {"name": "a date", "month": 2, "day": 29, "shift": "friday_or_monday"}, {"name": "last", "month": 5, "weekday": "monday", "nth": -1},
    {"name": "fifth", "month": 1, "weekday": "sunday", "nth": 5, "since": 2000, "until": 2100, "shift": "weekend_to_monday"},
    {"name": "moves", "easter": -2, "shift": "sunday_to_monday"}]}
OWNERS = {"schema": "libseal/owner_dates/1", "owner_dates": [
    {"coach": "t1", "from": "2027-06-01", "to": "2027-07-15", "kind": "trip", "reason": "away"},
    {"coach": "t2", "from": "2027-11-01", "to": "2028-03-01", "kind": "storage", "set_up_percent": 60}]}
OVERLAY = {"schema": "libseal/catalogue/1", "values": {
    "sealant/non_sag_lap/median_life": {"value": 5.5, "low": 3, "high": 9, "source": "own records", "mark": "measured"},
    "model/sd_joint": {"value": 0.2, "unit": "-", "source": "own records", "mark": "fitted"}}}
CALENDAR = {"schema": "libseal/calendar/1", "year": 2027, "as_of": "2026-11-25", "shop": "Shop", "currency": "USD", "visits": [
    {"uid": "7c12cdb5e4e9231d7dbaeac68624f0e5@libseal", "sequence": 1, "cancelled": False, "kind": "work", "coach": "t1", "label": "trailer",
     "owner": "A. K.", "first": "2027-04-12", "last": "2027-04-13", "bay": 0, "window_from": "2027-04-01", "window_to": "2027-04-30",
     "minutes_low": 60, "minutes_mode": 90, "minutes_high": 120, "day_minutes": [60, 30], "cost_low": 100, "cost_mode": 150, "cost_high": 200.5,
     "why": "one task", "flags": ["late"], "cautions": ["Keep it dry, as the label says; ask."],
     "tasks": [{"joint": "roof_vent_1", "layer": "cap_bead", "generation": 2, "action": "rebed", "family": "self_levelling_lap",
                "due": "2027-05-01", "urgency": "next_service", "reason": "due", "late": True, "best_date": "2027-04-20", "moved": "why"}]}],
    "unplaced": [{"coach": "t2", "joint": "j", "action": "rebed", "due": "2027-05-01", "constraint": "no day", "relaxation": "one more bay"}],
    "changes": ["one visit moved"], "weeks": [{"start": "2027-04-12", "booked_h": 1.5, "capacity_h": 40, "overtime_h": 0, "overtime_limit_h": 8}],
    "moving_cost": 1.25, "bound": 1, "gap": 0.2, "closing": "as the label says"}
SCORE = {"urgent_days_late": 0, "minutes_late": 0, "steps_moved": 0, "minutes_of_stay": 1620, "changes": 0}
SCHEDULE = {"schema": "libseal/schedule/1", "outcome": "optimal", "stopped": "all orders tried", "begin": "2027-03-01 08:00",
            "end": "2027-03-02 11:30", "lower_bound": "2027-03-02 11:30", "tried": 3, "score": SCORE, "bound": SCORE,
            "stays": [{"coach": "t1", "bay": "bay 1", "begin": "2027-03-01 08:00", "end": "2027-03-02 11:30", "minutes_late": 0,
                       "lower_bound": "2027-03-02 11:30"},
                      {"coach": "t2", "bay": "bay 2", "begin": "2027-03-01 08:00", "end": "2027-03-01 08:45"}],
            "steps": [{"coach": "t1", "step": "s0", "start": "2027-03-01 08:00", "end": "2027-03-01 09:00", "people": ["p0"],
                       "pieces": ["2027-03-01 08:00 to 2027-03-01 09:00"], "critical": True},
                      {"coach": "t2", "step": "s0", "start": "2027-03-01 08:00", "end": "2027-03-01 08:45", "people": ["p1"],
                       "pieces": ["2027-03-01 08:00 to 2027-03-01 08:45"], "waited_for": "nothing", "moved": True}],
            "obstacles": ["one"], "relaxations": ["two"]}
EFFECTS = {"schema": "libseal/shared_effects/1", "sd_family": 0.1, "sd_model_line": 0.12, "sd_coach": 0.16, "sd_joint": 0.19, "joints": [
    {"family": "lap", "model_line": "", "coach": "c", "joint": "j", "precision": 2.5, "shift": -0.25}]}
EVIDENCE = {"schema": "libseal/evidence/1", "joints": [
    {"family": "lap", "model_line": "a", "coach": "c", "joint": "j", "likelihood": [0.1, 0.5, 1, 0.5, 0.1]}]}
ANY = {"schema": "libseal/thing/1", "width_mm": 6, "when": "2026-04-13", "list": [1, -2.5e3, True, None, "a \u00e9 \U0001d11e \" \\"], "length": "0.25 in"}

DOCUMENTS = {"coach": [COACH, LAYOUT], "fleet": [FLEET], "findings": [FINDINGS], "work_done": [WORK], "shop": [SHOP], "holidays": [HOLIDAYS],
             "owner_dates": [OWNERS], "catalogue": [OVERLAY], "calendar": [CALENDAR], "schedule_file": [SCHEDULE],
             "shared_effects": [EFFECTS, EVIDENCE], "json": [ANY]}

TABLES = {
    "findings": "coach,joint,segment,layer,sign,date,value,unit,share_percent,reaches_fastener,reason\n"
                "t1,roof_vent_1,1,cap_bead,gap,2026-04-13,0.8,mm,12.5,yes,\nt1,window_1,,,not_inspected,2026-04-13,,,,,\"snow, \"\"much\"\"\"\n",
    "work_done": "coach,joint,layer,date,action,family,minutes,who,declined\n"
                 "t1,skylight,cap_bead,2025-05-02,cut_out_and_reseal,silyl_modified,75,R. V.,no\n",
    "owner_dates": "coach,from,to,kind,set_up_percent,reason\nt1,2027-06-01,2027-07-15,trip,,away\nt2,2027-11-01,2028-03-01,storage,60,\n",
    "fleet": "id,layout,length_m,model_line,model_year,installed,station,heading_deg,windows,skylight\n"
             "t1,travel_trailer,7.5,Line A,2014,2014-01-15,725350,0,4,yes\nt2,van,6,,,2019-02-01,,,,\n",
    "csv": "id,layout,\"size, m\"\r\n1,\"two\nlines\",\"say \"\"yes\"\"\"\r\n2,=1+1,6.5\r\n"}


def hour(n: int, fields: str = "?9?9?9,-3.0,-6.0,80,98000,0,0,280,0,0,0,0,0,0,0,200,4.1,9,8,16.0,77777,9,999999999,10,0.1,0,88,0.2,0.0,1.0") -> str:
    return f"1999,1,{1 + n // 24},{n % 24 + 1},60,{fields}\n"


EPW_HEAD = ("LOCATION,Nowhere,-,-,invented,000000,41.50,-86.30,-5.0,230.0\nDESIGN CONDITIONS,0\nCOMMENTS 1,invented\n"
            "DATA PERIODS,{records},1,Data,Sunday, 1/ 1, 1/ 2\n")
EPW = EPW_HEAD.format(records="1,1") + "".join(hour(n) for n in range(6))
TMY3 = ("000000,\"Town\",ST,-6.0,40.000,-90.000,200\nDate (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),DNI (W/m^2),DHI (W/m^2),OpqCld (tenths),"
        "Dry-bulb (C),Dew-point (C),RHum (%),Pressure (mbar),Wdir (degrees),Wspd (m/s),Lprecip depth (mm)\n"
        "01/01/1988,01:00,0,0,0,8,-3.0,-6.0,80,990,200,4.1,-9900\n01/01/1988,02:00,0,0,0,8,-3.5,-6.5,80,990,210,4.0,1\n"
        "02/28/1999,24:00,10,0,10,8,-3.5,-6.5,80,990,210,4.0,0\n")
PLAIN = ("# name: Town\n# latitude_deg: 40\n# longitude_deg: -90\n# elevation_m: 200\n# utc_offset_h: -6\n# sun_offset_s: -1800\n"
         "time_utc,ghi_w_m2,air_temperature_f,relative_humidity (%),precipitation_in\n"
         "2024-02-28T23:00Z,0,30,80,0\n2024-02-29T00:00Z,0.5,29.5,,0.01\n2024-02-29T03:00Z,1,NA,81,\n")
ICALENDAR = ("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//A//B//EN\r\nBEGIN:VTIMEZONE\r\nTZID:A\r\nBEGIN:STANDARD\r\nDTSTART:20071104T020000\r\n"
             "RRULE:FREQ=YEARLY;BYDAY=1SU;BYMONTH=11\r\nTZOFFSETFROM:-0400\r\nTZOFFSETTO:-0500\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\n"
             "BEGIN:VEVENT\r\nUID:b@example.com\r\nDTSTAMP:19970610T172345Z\r\nDTSTART;TZID=A:19980312T083000\r\nDURATION:P1DT2H\r\n"
             "RRULE:FREQ=MONTHLY;BYDAY=-1FR;COUNT=10\r\nEXDATE;TZID=A:19980327T083000,19980424T083000\r\nSUMMARY:caf\u00e9\\, a\\;b \\\\ \\n\r\n folded\r\n"
             "BEGIN:VALARM\r\nTRIGGER;RELATED=END:-PT30M\r\nREPEAT:2\r\nDURATION:PT15M\r\nACTION:DISPLAY\r\nDESCRIPTION:d\r\nEND:VALARM\r\n"
             "END:VEVENT\r\nBEGIN:VTODO\r\nUID:c\r\nDTSTAMP:19970610T172345Z\r\nDUE;VALUE=DATE:19980415\r\nEND:VTODO\r\nEND:VCALENDAR\r\n")
PROJECT = ("jobs (incl. supersource/sink ):  4\n  - renewable                 :  2   R\njobnr.    #modes  #successors   successors\n"
           " 1 1 2 2 3\n 2 1 1 4\n 3 1 1 4\n 4 1 0\njobnr. mode duration  R 1  R 2\n----\n 1 1 0 0 0\n 2 1 3 2 1\n 3 1 4 1 2\n 4 1 0 0 0\n"
           "RESOURCEAVAILABILITIES:\n R 1 R 2\n 2 2\n")


def document_hostiles(seed: dict) -> dict[str, bytes]:
    text = json.dumps(seed, ensure_ascii=True)
    numbers = [m for m in re.finditer(r"(?<=[:\[ ])-?\d+(\.\d+)?(?=[,}\]])", text)]
    last = numbers[-1] if numbers else re.search("null|true", text)
    key = re.search(r', "(\w+)": ', text)

    def with_number(number: str) -> bytes:
        return (text[:last.start()] + number + text[last.end():]).encode()

    def every(change) -> bytes:
        def walk(value, depth=0):
            if isinstance(value, dict):
                return {k: v if k == "schema" else walk(v, depth + 1) for k, v in value.items()}
            if isinstance(value, list):
                return [walk(v, depth + 1) for v in value]
            return change(value)
        return json.dumps(walk(seed), ensure_ascii=False).encode()

    return {
        "deep": with_number("[" * 70 + "]" * 70), "beyond_doubles": with_number("1e999"), "tiny": with_number("-0.1e-400"),
        "largest": with_number("1.7976931348623157e308"), "many_digits": with_number("1" * 400), "half": text[:len(text) * 3 // 5].encode(),
        "key_twice": (text[:key.start()] + key.group()[:-2] + ": 0" + text[key.start():]).encode(),
        "unknown_key": (text[:-1] + ', "libseal\\u0000": 1, "' + "k" * 300 + '": 2}').encode(),
        "nothing": every(lambda v: None), "lists": every(lambda v: [v]), "zero_bytes": every(lambda v: v + "\0" if isinstance(v, str) else v),
        "empty_words": every(lambda v: "" if isinstance(v, str) else v), "long_words": every(lambda v: "\u00e9" * 130 if isinstance(v, str) else v),
        "far_dates": re.sub(r"\d{4}-\d\d-\d\d", "9999-12-31", text).encode(), "early_dates": re.sub(r"\d{4}-\d\d-\d\d", "1400-01-01", text).encode(),
        "no_dates": re.sub(r"\d{4}-\d\d-\d\d", "2027-02-30", text).encode(),
        "half_a_pair": text.replace('"schema": "', '"\\ud834": 1, "schema": "', 1).encode(),
        "other_bytes": text.encode().replace(b'": "', b'": "\xff\xc0\x80', 3), "mark": b"\xef\xbb\xbf" + text.encode()}


def table_hostiles(table: str) -> dict[str, bytes]:
    head, _, rows = table.partition("\n")
    first = rows.split("\n")[0]
    return {
        "open_quote": (table + '"').encode(), "text_behind_quote": (table + '"a"b,').encode(), "column_twice": f"{head},{head}\n{rows}".encode(),
        "other_bytes": table.encode().replace(b"t1", b"t\xff1"), "zero_byte": table.encode().replace(b"t1", b"t\0001"),
        "commas": (head + "\n" + "," * 300 + "\n").encode(), "rows_twice": (table + rows).encode(), "no_rows": head.encode(),
        "far_dates": re.sub(r"\d{4}-\d\d-\d\d", "9999-12-31", table).encode(), "formula": (head + "\n" + first.replace("t1", "=1+1")).encode(),
        "numbers": re.sub(r",[\d.]+(?=,)", ",1e308", table).encode(), "carriage_returns": table.replace("\n", "\r\r\n").encode()}


def weather_hostiles(seed: str) -> dict[str, bytes]:
    return {
        "half": seed[:len(seed) * 3 // 5].encode(), "huge_numbers": re.sub(r"(?<=,)-?\d+\.\d+", "1e300", seed).encode(),
        "not_numbers": re.sub(r"(?<=,)-?\d+\.\d+", "nan", seed).encode(), "many_digits": re.sub(r"(?<=,)0(?=,)", "0" * 40 + ".5", seed).encode(),
        "rows_twice": (seed + seed[seed.rstrip("\n").rfind("\n") + 1:] * 2).encode(), "other_bytes": seed.encode().replace(b",0", b",\xff\xfe", 5),
        "zero_bytes": seed.encode().replace(b"0", b"\0", 9), "carriage_returns": seed.replace("\n", "\r\n").encode(),
        "years_apart": seed.replace("1999,1,1,3", "9999,1,1,3").replace("02/28/1999", "12/31/9999").replace("02-29T03", "12-31T24").encode()}


def kept_weather(rows: int = 2, gap_count: int = 0, claimed: int | None = None) -> bytes:
    def text(word: str) -> bytes:
        return struct.pack("<Q", len(word)) + word.encode()

    times = struct.pack("<Q", rows if claimed is None else claimed) + b"".join(struct.pack("<q", 978310800 + 3600 * i) for i in range(rows))
    column = struct.pack("<Q", rows) + struct.pack("<d", 1.0) * rows
    return (text("name") + text("Town") + struct.pack("<6d", 40, -90, 200, -6, 3600, -1800) + b"\1" + times + 11 * column +
            struct.pack("<Q", gap_count) + struct.pack("<Q", 1) + text("a note"))


def drawn(name: str, count: int, size: int) -> dict[str, bytes]:
    stream = random.Random(name)
    return {f"seed_{i}": stream.randbytes(size * (i + 1)) for i in range(count)}


def corpora() -> dict[str, dict[str, bytes]]:
    files: dict[str, dict[str, bytes]] = {}

    def add(target: str, name: str, content: bytes) -> None:
        if content not in files.setdefault(target, {}).values():  # a change that finds nothing to change adds nothing
            files[target][name] = content

    for target, seeds in DOCUMENTS.items():
        for i, seed in enumerate(seeds):
            add(target, f"seed_{i}.json", json.dumps(seed, indent=1).encode())
        for name, content in document_hostiles(seeds[0]).items():
            add(target, f"hostile_{name}.json", content)
    for target, table in TABLES.items():
        add(target, "seed.csv", table.encode())
        for name, content in table_hostiles(table).items():
            add(target, f"hostile_{name}.csv", content)
    for target, seed, ending in (("epw", EPW, "epw"), ("tmy3", TMY3, "csv"), ("weather_csv", PLAIN, "csv")):
        add(target, f"seed.{ending}", seed.encode())
        for name, content in weather_hostiles(seed).items():
            add(target, f"hostile_{name}.{ending}", content)
    add("epw", "seed_minutes.epw", (EPW_HEAD.format(records="1,60") + "".join(f"1999,1,1,1,{m},a,1,1,50,98000,0,0,280,0,0,0,0,0,0,0,200,4\n" for m in range(5))).encode())
    add("epw", "hostile_records.epw", (EPW_HEAD.format(records="1,7") + hour(0)).encode())
    add("tmy3", "seed_rows.csv", TMY3.split("\n", 2)[2].encode())
    add("icalendar", "seed.ics", ICALENDAR.encode())
    for name, rule in {"explosion": "FREQ=SECONDLY;COUNT=999999999;BYSECOND=" + ",".join(map(str, range(60))), "endless": "FREQ=DAILY;INTERVAL=0",
                       "far": "FREQ=YEARLY;UNTIL=99991231T235959Z", "many_days": "FREQ=YEARLY;BYYEARDAY=" + ",".join(map(str, range(-366, 367)))}.items():
        add("icalendar", f"hostile_rule_{name}.ics", ICALENDAR.replace("FREQ=MONTHLY;BYDAY=-1FR;COUNT=10", rule).encode())
    add("icalendar", "hostile_nested.ics", ("BEGIN:VEVENT\r\n" * 80).encode())
    add("icalendar", "hostile_folds.ics", ICALENDAR.replace("SUMMARY:", "SUMMARY:" + "\r\n " * 200).encode())
    add("icalendar", "hostile_line_feeds.ics", ICALENDAR.replace("\r", "").encode())
    add("icalendar", "hostile_other_bytes.ics", ICALENDAR.encode().replace(b"folded", b"\xff\0\x7f\xc3"))
    add("icalendar", "hostile_twice.ics", (ICALENDAR + ICALENDAR).encode())
    add("icalendar", "hostile_parameter.ics", ICALENDAR.replace("TZID=A:", "TZID=\"A:").encode())
    add("weather_store", "seed", kept_weather())
    for name, content in {"no_rows": kept_weather(0), "more_rows": kept_weather(2, claimed=3), "huge": kept_weather(2, claimed=2**61),
                          "most": kept_weather(2, claimed=2**64 - 1), "gaps": kept_weather(2, gap_count=2**60), "half": kept_weather()[:300],
                          "odd_bool": kept_weather().replace(struct.pack("<d", -1800) + b"\1", struct.pack("<d", -1800) + b"\2")}.items():
        add("weather_store", f"hostile_{name}", content)
    add("project_file", "seed.sm", PROJECT.encode())
    for name, (old, new) in {"loop": (" 4 1 0\n", " 4 1 1 2\n"), "huge": (":  4", ":  2000000000"), "negative": (" 3 2 1", " -3 2 1"),
                             "beyond": (" 1 4\n", " 1 9\n"), "too_much": (" 3 2 1", " 3 9 1"), "word": (":  2 ", ":  two ")}.items():
        add("project_file", f"hostile_{name}.sm", PROJECT.replace(old, new, 1).encode())
    for i, word in enumerate(["2026-04-13", "2027-03-05 08:30", "2027-03-05 24:00", "0.25 in", "-1.5e-7", "+6 mm", "9999-12-31", "1e999", "2027-02-29",
                              "0x10", "travel_trailr", "\u0662\u0660", "1400-01-01 00:00"]):
        add("values", f"seed_{i:02}", word.encode())
    for target, size in {"rainflow": 40, "kernels": 120, "network": 20, "effects": 20, "project": 15, "schedule": 15}.items():
        for name, content in drawn(target, 12, size).items():
            add(target, name, content)
    add("rainflow", "hostile_infinite", b"\3" + struct.pack("<4d", 1.0, float("inf"), float("nan"), -1.0))
    add("rainflow", "hostile_largest", b"\3\0" + struct.pack("<6d", 1.7e308, -1.7e308, 1.7e308, 5e-324, -0.0, 0.0))
    add("rainflow", "hostile_plateaus", b"\0\0" + bytes([0, 1, 1, 1, 0, 0, 1, 0, 1, 1, 0, 1] * 9))
    return files


def dictionary(files: dict[str, bytes]) -> str:
    """Words of the seeds, one a line, as libFuzzer reads them."""
    words: set[str] = set()
    for name, content in files.items():
        if not name.startswith("seed"):
            continue
        text = content.decode("utf-8", "ignore")
        words |= set(re.findall(r'"[\w /.:-]{2,40}"', text)) | set(re.findall(r"[A-Za-z_][\w-]{2,40}", text)) | set(re.findall(r"\d+-\d+-\d+|\d+:\d+", text))
    words |= {"1e999", "-0", "1e308", "9999-12-31", "1400-01-01", "\\ud834", "[[[[", "]]]]", "{}", "null", '""', ",,", "\r\n"}
    return "".join('"' + re.sub(r'[\\"]|[^ -~]', lambda m: "".join(f"\\x{b:02x}" for b in m.group().encode()), word) + '"\n' for word in sorted(words))


TEXTS = [*DOCUMENTS, *TABLES, "epw", "tmy3", "weather_csv", "icalendar", "project_file", "values"]


def made() -> dict[str, bytes]:
    """All files by their path below this folder."""
    files = {}
    for target, content in corpora().items():
        files |= {f"corpus/{target}/{name}": text for name, text in content.items()}
        if target in TEXTS:
            files[f"dictionaries/{target}.dict"] = dictionary(content).encode()
    return files


def main() -> None:
    folder = pathlib.Path(sys.argv[1]) if len(sys.argv) > 1 else HERE
    files = made()
    for old in [*folder.glob("corpus/*/*"), *folder.glob("dictionaries/*")]:
        if not old.name.startswith("found_"):
            old.unlink()
    for path, content in files.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_bytes(content)
    print(f"{len(files)} files")


if __name__ == "__main__":
    main()
