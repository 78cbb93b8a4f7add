"""Our iCalendar files beside four parsers that did not write them, and wrong files beside the same four and our checker.

Rules: RFC 5545. Which wrong files parsers pass over was first found with Debian's versions; the table here is measured with the
versions that it names and checked whenever one of these is installed.
"""

import datetime

import opinions
import pytest
import small_calendar

import libseal

PARSERS = [pytest.param(name, marks=pytest.mark.skipif(not opinions.available(name), reason=f"no {name} here"))
           for name in opinions.PARSERS]

GOOD = small_calendar.small_calendar().ics_text()
UID = "UID:7c12cdb5e4e9231d7dbaeac68624f0e5@libseal\r\n"
EVENT = GOOD[GOOD.index("BEGIN:VEVENT"):GOOD.index("END:VCALENDAR")]


def changed(*changes: tuple[str, str]) -> bytes:
    text = GOOD
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text.encode("utf-8", "surrogateescape")


# Each wrong or odd file, and which of icalendar 7, vobject 0, libical 3.0, ics 0 notices it. The second and the last take text, not
# bytes: what is no UTF-8 as a whole never reaches them, which counts as noticed.
WRONG = {
    "no UID": (changed((UID, "")), "vobject"),
    "no DTSTAMP": (changed(("DTSTAMP:20261125T000000Z\r\n", "")), "vobject"),
    "no PRODID": (changed(("PRODID:-//libseal//calendar//EN\r\n", "")), "vobject libical ics"),
    "no VERSION": (changed(("VERSION:2.0\r\n", "")), "libical"),
    "DTEND and DURATION": (changed(("TRANSP:", "DURATION:P2D\r\nTRANSP:")), "vobject libical ics"),
    "a bare line break in a text": (changed(("SUMMARY:Seal work", "SUMMARY:Seal\r\nwork")), "libical"),
    "TRIGGER without colon": (changed(("TRIGGER:-P7D", "TRIGGER-P7D")), "icalendar vobject libical ics"),
    "a date that is not padded": (changed(("DTSTART;VALUE=DATE:20270412", "DTSTART;VALUE=DATE:2027412")), "icalendar vobject libical ics"),
    "COUNT with UNTIL": (changed(("TRANSP:", "RRULE:FREQ=YEARLY;COUNT=3;UNTIL=20300412\r\nTRANSP:")), "libical"),
    "LF alone": (GOOD.replace("\r\n", "\n").encode(), ""),
    "a line over 75 octets": (changed(("TRANSP:", "COMMENT:" + 80 * "x" + "\r\nTRANSP:")), ""),
    "a fold inside a character": (changed(("TRANSP:", "COMMENT:caf\udcc3\r\n \udca9\r\nTRANSP:")), "vobject ics"),
    "a bare comma": (changed(("LOCATION:Shop", "LOCATION:Shop, hall 2")), ""),
    "a bare semicolon": (changed(("LOCATION:Shop", "LOCATION:Shop; hall 2")), ""),
    "a day without VALUE=DATE": (changed(("DTSTART;VALUE=DATE:", "DTSTART:")), ""),
    "DTEND on DTSTART": (changed(("DTEND;VALUE=DATE:20270414", "DTEND;VALUE=DATE:20270412")), ""),
    "DTEND of another type": (changed(("DTEND;VALUE=DATE:20270414", "DTEND:20270414T120000Z")), ""),
    "UNTIL of another type": (changed(("TRANSP:", "RRULE:FREQ=YEARLY;UNTIL=20300412T000000Z\r\nTRANSP:")), ""),
    "an alarm without DESCRIPTION": (changed(("TRIGGER:-P7D\r\nDESCRIPTION:Seal work: trailer (1 task)\r\n", "TRIGGER:-P7D\r\n")), "ics"),
    "a zone without VTIMEZONE": (changed(("DTSTART;VALUE=DATE:20270412", "DTSTART;TZID=Europe/Vaduz:20270412T080000"),
                                         ("DTEND;VALUE=DATE:20270414", "DTEND;TZID=Europe/Vaduz:20270413T170000")), ""),
    "a UID twice": (changed(("END:VCALENDAR", EVENT + "END:VCALENDAR")), ""),
    "no component": (changed((EVENT, "")), ""),
    "no UTF-8": (changed(("LOCATION:Shop", "LOCATION:Sh\udcffp")), "vobject ics"),
    "a control character": (changed(("LOCATION:Shop", "LOCATION:Sh\x07p")), "ics"),
    "an event that does not end": (changed(("END:VEVENT\r\n", "")), "vobject libical ics"),
    "a byte order mark": ("\ufeff".encode() + GOOD.encode(), "vobject ics"),
    "hours in the duration of a day": (changed(("DTEND;VALUE=DATE:20270414", "DURATION:PT5H")), "vobject"),
    "an end of the last line that is missing": (GOOD.encode()[:-2], ""),
}
MEASURED = {"icalendar": "7", "vobject": "0", "libical": "3.0", "ics": "0"}


def test_there_are_at_least_the_22_wrong_files():
    assert len(WRONG) >= 22 and libseal.check_icalendar(GOOD) == [] and libseal.icalendar_traps(GOOD) == []


@pytest.mark.parametrize("fault", WRONG)
def test_our_checker_notices_every_wrong_file(fault):
    text = WRONG[fault][0]
    problems = libseal.check_icalendar(text)
    assert problems
    for problem in problems:
        assert problem.line >= 1 and problem.column >= 1 and "(RFC 5545, 3" in problem.expected and problem.hint


@pytest.mark.parametrize("parser", PARSERS)
def test_what_each_parser_notices_of_the_wrong_files(parser):
    """The reason for a checker of our own: no parser notices half of them."""
    noticed = {fault for fault, (text, _) in WRONG.items() if opinions.PARSERS[parser](text).faults}
    assert len(noticed) < len(WRONG) / 2
    if opinions.generation(parser) == MEASURED[parser]:
        assert noticed == {fault for fault, (_, parsers) in WRONG.items() if parser in parsers.split()}


@pytest.mark.parametrize("parser", PARSERS)
@pytest.mark.parametrize("options", [{}, {"todo": True}, {"alarm_days": 0}, {"alarm_days": 30}, {"show_owners": False}])
def test_each_parser_reads_back_what_was_written(parser, options):
    calendar = small_calendar.small_calendar(owner="Owner, One; two", label="caf\u00e9 \\ " + 30 * "long ")
    text = calendar.ics_text(**options).encode()
    opinion = opinions.PARSERS[parser](text)
    assert opinion.faults == [] and len(opinion.events) == 1
    (event,), (visit,) = opinion.events, calendar.visits
    assert (event.uid, event.first, event.end) == (visit.uid, visit.first, visit.last + datetime.timedelta(days=1))
    assert event.summary == f"Seal work: {visit.label} (1 task)"
    assert all(caution in event.description for caution in visit.cautions)
    assert ("Owner, One; two" in event.description) == options.get("show_owners", True)
    assert libseal.check_icalendar(text) == []


@pytest.mark.parametrize("parser", PARSERS)
def test_a_cancelled_visit_is_read_and_says_so(parser):
    calendar = small_calendar.small_calendar(cancelled=True, sequence=4)
    text = calendar.ics_text()
    (event,) = opinions.PARSERS[parser](text.encode()).events
    assert event.summary == "Cancelled: Seal work: trailer (1 task)" and event.uid == calendar.visits[0].uid
    assert "STATUS:CANCELLED\r\n" in text and "SEQUENCE:4\r\n" in text and "VALARM" not in text


def test_to_dos_are_read_by_two_parsers():
    icalendar, vobject = pytest.importorskip("icalendar"), pytest.importorskip("vobject")
    text = small_calendar.small_calendar().ics_text(todo=True)
    (todo,) = icalendar.Calendar.from_ical(text).walk("VTODO")
    assert todo["DUE"].dt == datetime.date(2027, 4, 13) and str(todo["STATUS"]) == "NEEDS-ACTION"
    (other,) = next(vobject.readComponents(text, validate=True)).vtodo_list
    assert other.uid.value == str(todo["UID"]) == "todo-" + UID[4:-2] and other.summary.value == str(todo["SUMMARY"])


# What importers are known to stumble over. Each as a file that has it; our writer's files never do.

def rules(text):
    return " ".join(problem.field + " " + problem.expected for problem in libseal.check_icalendar(text))


def traps(text):
    assert libseal.check_icalendar(text) == []
    return " ".join(problem.field + " " + problem.expected for problem in libseal.icalendar_traps(text))


def ours(**words):
    """Files that the writer makes with every option."""
    calendar = small_calendar.small_calendar(**words)
    return [calendar.ics_text(**options) for options in ({}, {"alarm_days": 1}, {"alarm_days": 0}, {"show_owners": False})]


def test_trap_line_feeds_and_unpadded_stamps():
    """A large web calendar takes such a file and shows 0 of 0 events."""
    bad = GOOD.replace("\r\n", "\n").replace("20261125T000000Z", "20261125T00:00:0Z")
    assert "CR LF" in rules(bad) and "DTSTAMP" in rules(bad)
    assert all(text.count("\n") == text.count("\r\n") == text.count("\r") for text in ours(label="a\r\nb\rc\nd"))


def test_trap_events_without_uid():
    """A large web calendar fails once there are two events without one."""
    bad = GOOD.replace(UID, "").replace("END:VCALENDAR", EVENT.replace(UID, "") + "END:VCALENDAR")
    assert rules(bad).count("VEVENT.UID") == 2
    assert all(text.count("\r\nUID:") == text.count("BEGIN:VEVENT") for text in ours())


def test_trap_an_alarm_line_without_colon():
    """A phone calendar then imports nothing at all."""
    assert "a colon after the name" in rules(GOOD.replace("TRIGGER:-P7D", "TRIGGER-P7D"))
    assert all("TRIGGER" not in text or "\r\nTRIGGER:-P" in text for text in ours())


def test_trap_five_rules_broken_at_once():
    """An export with all of these could not be read by a self-hosted calendar."""
    bad = GOOD.replace("\r\n", "\n").replace("DTSTAMP:20261125T000000Z\n", "").replace("LOCATION:Shop", "LOCATION:" + 90 * "S")
    bad = bad.replace("TRIGGER:-P7D\nDESCRIPTION:Seal work: trailer (1 task)\n", "TRIGGER:-P7D\n").replace("why, the", "why the")
    found = rules(bad)
    for part in ("CR LF", "VEVENT.DTSTAMP", "75 octets", "VALARM.DESCRIPTION"):
        assert part in found, part


def test_trap_a_request_with_guests():
    """Refused by a large web calendar when imported: files for import carry no METHOD, or PUBLISH."""
    bad = GOOD.replace("CALSCALE:GREGORIAN\r\n", "METHOD:REQUEST\r\n").replace("DTEND;VALUE=DATE:20270414\r\n", "ATTENDEE:mailto:a@example.org\r\n")
    assert "METHOD" in traps(bad)
    assert all("METHOD" not in text and "ATTENDEE" not in text and "\r\nDTEND;" in text for text in ours())


def test_trap_a_zone_that_is_named_and_not_there():
    """A mail client is then off by an hour."""
    assert "VTIMEZONE" in rules(WRONG["a zone without VTIMEZONE"][0])
    assert all("TZID" not in text for text in ours())


def test_trap_odd_zones():
    """A large web calendar refuses zones that it finds odd; days have none."""
    zone = ("BEGIN:VTIMEZONE\r\nTZID:A\r\nBEGIN:STANDARD\r\nDTSTART:19700101T000000\r\nTZOFFSETFROM:+0100\r\nTZOFFSETTO:+0100\r\n"
            "END:STANDARD\r\nEND:VTIMEZONE\r\n")
    assert "VTIMEZONE" in traps(GOOD.replace("BEGIN:VEVENT", zone + "BEGIN:VEVENT"))
    assert all("VTIMEZONE" not in text for text in ours())


def test_trap_to_dos():
    """Several web and phone calendars do not show them: events are the rule, to-dos an option beside them."""
    text = small_calendar.small_calendar().ics_text(todo=True)
    assert "VTODO" in traps(text) and text.count("BEGIN:VEVENT") == 1
    assert all("VTODO" not in text for text in ours())


def test_trap_uids_that_change_between_versions():
    """Every event would be there twice after the next import: the scheme is pinned by values computed apart from the library."""
    def fnv(data):
        value = 0xCBF29CE484222325
        for byte in data:
            value = (value ^ byte) * 0x100000001B3 % 2**64
        return value
    key = "\x1f".join(["work", "T1", "roof_vent_1", "1"]).encode()
    assert libseal.visit_uid("work", "T1", "roof_vent_1", 1) == f"{fnv(key):016x}{fnv(key[::-1]):016x}@libseal" == UID[4:-2]
    bad = GOOD.replace("END:VCALENDAR", EVENT + "END:VCALENDAR")
    assert "a UID of its own" in rules(bad)


def test_trap_the_29th_of_february():
    """Right readers show such an anniversary in leap years only; ours are single days, none is a rule."""
    bad = GOOD.replace("20270412", "20280229").replace("20270414", "20280301").replace("TRANSP:", "RRULE:FREQ=YEARLY\r\nTRANSP:")
    assert "every year" in traps(bad)
    assert all("RRULE" not in text for text in ours(first="2028-02-29", last="2028-02-29"))


@pytest.mark.parametrize("letter", ["x", "\u00e9", "\u20ac", "\U0001f690"])
def test_trap_a_line_of_exactly_75_octets(letter):
    """Folded into an empty continuation line it is refused by a cloud calendar."""
    assert "continuation" in traps(GOOD.replace("TRANSP:", "LOCATION2:" + 63 * "x" + "\r\n \r\nTRANSP:").replace("LOCATION2", "X-LOCATION2"))
    for count in range(160):
        for text in ours(shop=count * letter)[:1]:
            lines = text.encode().split(b"\r\n")
            assert all(len(line) <= 75 and line.strip(b" \t") == line.strip(b" \t") and line not in (b" ", b"\t") for line in lines)
            assert libseal.check_icalendar(text) == [] and libseal.icalendar_traps(text) == []


def test_any_bytes_are_checked():
    for data in (b"", b"\x00", b"\xff" * 1000, b"BEGIN:VCALENDAR", b"\r\n" * 500, b"A;B=\"", GOOD.encode("utf-16"), b"BEGIN:X\r\n" * 20000):
        problems = libseal.check_icalendar(data)
        assert 1 <= len(problems) <= 50 and all(isinstance(str(p), str) for p in problems)
        libseal.icalendar_traps(data)


def test_a_second_import_updates_the_first(demo_year):
    """The same uid, a higher sequence if anything that the file tells has changed, the same sequence if nothing has."""
    fleet, shop, first = demo_year
    same = libseal.year_calendar(fleet, 2027, shop, datetime.date(2026, 11, 25), previous=first)
    assert same.ics_text() == first.ics_text()
    renamed = libseal.Fleet(coaches=[coach.replace(label="another name") for coach in fleet.coaches])
    again = libseal.year_calendar(renamed, 2027, shop, datetime.date(2026, 11, 25), previous=first)
    before = {visit.uid: visit for visit in first.visits}
    assert {visit.uid for visit in again.visits} == set(before)
    assert all(visit.sequence == before[visit.uid].sequence + 1 for visit in again.visits)


def test_owners_are_those_of_this_run_also_on_cancelled_visits(demo_year):
    fleet, shop, _ = demo_year
    day = datetime.date(2026, 11, 25)
    told = libseal.year_calendar(fleet, 2027, shop, day, show_owners=True)
    assert {visit.owner for visit in told.visits} == {"Owner 0", "Owner 1"}
    none = libseal.Fleet(coaches=fleet.coaches[:1])
    quiet = libseal.year_calendar(none, 2027, shop, day, previous=told)
    assert any(visit.cancelled for visit in quiet.visits) and all(visit.owner == "" for visit in quiet.visits)
    asked = libseal.year_calendar(none, 2027, shop, day, previous=told, show_owners=True)
    assert {visit.owner for visit in asked.visits if visit.cancelled} == {"Owner 1"}


def test_a_file_for_one_owner_or_one_coach(demo_year):
    fleet, shop, quiet = demo_year
    told = libseal.year_calendar(fleet, 2027, shop, datetime.date(2026, 11, 25), show_owners=True)
    one = told.ics_text(owner="Owner 1")
    uids = {visit.uid for visit in told.visits if visit.owner == "Owner 1"}
    assert {line[4:] for line in one.split("\r\n") if line.startswith("UID:")} == uids and uids
    assert told.ics_text(coach=fleet.coaches[1].id) == one
    assert libseal.calendar_part(told, owner="Owner 1").ics_text() == one
    assert "Owner" not in told.ics_text(show_owners=False) + libseal.calendar_part(told, show_owners=False).csv_text()
    with pytest.raises(ValueError, match="perhaps \"Owner [01]\""):
        told.ics_text(owner="Owner l")
    with pytest.raises(ValueError, match="show_owners"):
        quiet.ics_text(owner="Owner 1")
    with pytest.raises(ValueError, match="alarm_days"):
        told.ics_text(alarm_days=400)


@pytest.fixture(scope="module")
def demo_year(root):
    """Two coaches of the demo with owners, their shop, and their calendar."""
    data = root / "examples" / "data"
    shop = libseal.read_shop(data / "shop.json")
    coaches = libseal.read_fleet(data / "fleet.json").coaches[:2]
    fleet = libseal.Fleet(coaches=[coach.replace(owner=f"Owner {i}") for i, coach in enumerate(coaches)])
    return fleet, shop, libseal.year_calendar(fleet, 2027, shop, datetime.date(2026, 11, 25))
