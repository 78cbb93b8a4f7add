"""The pages of a fleet, a week and an owner: whole, self-contained, right in both units, and true to what was computed."""

import datetime
import itertools
import json
import os
import re
from collections import Counter

import pytest
from html_page import HtmlPage

import libseal

POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
NASTY = "\"'<script>alert(1)</script>&amp;, a;b\n\r\t\u202e\u200f\U0001f690\x00\x1b" + "x" * 300


def first_week(yard):
    return next(v.first for v in yard.calendar.visits if v.tasks)


def week_of(yard, **more):
    return libseal.week_sheet(yard.calendar, yard.fleet, yard.shop, first_week(yard), forecast=yard.forecast, findings=yard.findings, work_done=yard.work_done, **more)


def packet_of(yard, number=0, **more):
    return libseal.owner_packet(yard.fleet.coaches[number], yard.forecast, yard.calendar, yard.shop, findings=yard.findings, work_done=yard.work_done, **more)


def pages_of(yard, units="metric"):
    pytest.importorskip("jinja2")
    return {"fleet": libseal.page_text(yard.fleet, yard.forecast, yard.calendar, yard.shop, units=units),
            "week": week_of(yard, units=units), "packet": packet_of(yard, units=units)}


@pytest.fixture(scope="module", params=["metric", "us"])
def pages(request, yard):
    return request.param, pages_of(yard, request.param)


def test_pages_are_well_formed_and_ask_for_nothing(pages):
    for name, text in pages[1].items():
        page = HtmlPage(text)
        assert text.startswith("<!DOCTYPE html>") and page.names("html") == [{"lang": "en"}], name
        assert {"http-equiv": "Content-Security-Policy", "content": POLICY} in page.names("meta")
        assert not {"script", "link", "iframe", "object", "form"} & {tag for tag, _ in page.tags}
        asked = [value for _, given in page.tags for key, value in given.items() if key in ("src", "href", "xlink:href", "srcset")]
        assert all(value.startswith(("#", "data:image/")) for value in asked), name
        assert "url(" not in text and "@import" not in text and not any(key.startswith("on") for _, given in page.tags for key in given)


def test_pages_can_be_read_without_seeing_them(pages):
    for name, text in pages[1].items():
        page = HtmlPage(text)
        tags = [tag for tag, _ in page.tags]
        assert all(tags.count(tag) == 1 for tag in ("h1", "main", "header", "footer", "body")), name
        levels = [int(tag[1]) for tag in tags if re.fullmatch("h[1-6]", tag)]
        assert levels[0] == 1 and all(b - a <= 1 for a, b in itertools.pairwise(levels)), name
        assert all(given.get("scope") in ("col", "row", "rowgroup") for given in page.names("th"))
        assert tags.count("caption") == tags.count("table")
        for given in page.names("svg"):
            labels = (given.get("aria-labelledby") or "").split()
            assert given.get("aria-hidden") == "true" or (given.get("role") == "img" and labels and set(labels) <= set(page.ids)), name
        ids = set(page.ids)
        assert all(set((given.get("aria-labelledby") or "").split()) <= ids for _, given in page.tags)
        assert all(given["href"][1:] in ids for given in page.names("a")) and "#content" in [given["href"] for given in page.names("a")]


def test_units_are_never_mixed(pages):
    units, texts = pages
    metric = re.compile(r"\d ?(?:m|mm|cm|mL|°C|degC|K|m/s|kg)\b(?!/)")
    us = re.compile(r"\d ?(?:ft|in|fl oz|°F|mph|lb)\b(?! a year| order| \d)")
    for name, text in texts.items():
        read = HtmlPage(text).text()
        assert not (metric if units == "us" else us).search(read), (name, (metric if units == "us" else us).search(read))
    assert ("0.024 in" if units == "us" else "0.6 mm") in HtmlPage(texts["packet"]).text()
    assert ("19 ft 8 in" if units == "us" else "6.00 m") in HtmlPage(texts["packet"]).text()


def test_units_are_exact_and_others_are_refused(yard):
    us, metric = libseal.units.units_of("us"), libseal.units.units_of("metric")
    # NIST SP 811 (2008), appendix B.8: 1 ft = 0.3048 m, 1 in = 25.4 mm, 1 fl oz (US) = 29.57353 mL, 1 mph = 0.44704 m/s; B.5: t/°F = 1.8 t/°C + 32.
    assert us.length(0.3048 * 26 + 0.0254 * 3) == "26 ft 3 in" and us.small(25.4) == "1 in" and us.volume(29.57353) == "1 fl oz"
    assert us.length(0.3048 - 1e-6) == "1 ft 0 in"  # never "0 ft 12 in"
    assert us.prose("5 to 40 degC, wind below 9 m/s, 0.6 mm, 3 K above the dew point, 12 h") == \
        "41 to 104 °F, wind below 20 mph, 0.024 in, 5 °F above the dew point, 12 h"
    assert metric.prose("gap_x 5 degC, cap_bead 2 mm") == "gap x 5 °C, cap bead 2 mm"
    assert (us.small(-0.001), metric.small(-0.01), us.prose("-0.01 mm")) == ("0 in", "0 mm", "0 in")  # no minus before a zero
    assert us.prose("12 min, 24 h, 2026-09-01, 5 m2") == "12 min, 24 h, 2026-09-01, 5 m2"
    for call in (pages_of, lambda y, units: packet_of(y, units=units), lambda y, units: week_of(y, units=units)):
        with pytest.raises(ValueError, match="units"):
            call(yard, "imperial")


def test_the_fleet_page_tells_coaches_visits_and_cautions(yard):
    page = HtmlPage(pages_of(yard)["fleet"])
    read = page.text()
    for visit in yard.calendar.visits:
        assert str(visit.first) in read and visit.coach in read
        assert all(text in read for text in visit.cautions)
    assert yard.calendar.closing in read and yard.shop.name in read
    for coach in yard.fleet.coaches:
        rows = yard.forecast.rows_of(coach.id)
        first = min(rows, key=lambda r: (yard.forecast.due_50[r], r))
        assert all(str(column[first]) in read for column in (yard.forecast.due_10, yard.forecast.due_50, yard.forecast.due_90))
    assert not any(coach.owner in read for coach in yard.fleet.coaches)


def test_the_packet_tells_every_joint_with_its_spread(yard):
    coach, f = yard.fleet.coaches[0], yard.forecast
    text = packet_of(yard)
    read = HtmlPage(text).text()
    for joint, number in libseal.drawing.joint_numbers(coach).items():
        row = min((r for r in f.rows_of("A-1") if f.joint[r] == joint), key=lambda r: f.due_50[r])
        assert f"{number} {joint.replace('_', ' ')}" in read
        assert f"{f.due_50[row]} ({f.due_10[row]} to {f.due_90[row]})" in read
    svg = text[text.index("<svg"):text.index("</svg>")]
    assert svg.count('class="joint"') == len(coach.joints)
    assert "window 2, 2026-09-01: shutter closed" in read and "near the hinge" in read


def test_look_ahead_agrees_with_the_columns_and_brackets_the_expected_condition(yard):
    f = yard.forecast
    rows = list(range(len(f)))
    ahead = libseal.look_ahead(f, rows, [f.as_of, f.as_of + datetime.timedelta(days=365)])
    assert ahead.due[:, 0] == pytest.approx(f.due_now, abs=1e-12) and ahead.open[:, 0] == pytest.approx(f.open_now, abs=1e-12)
    assert ahead.due[:, 1] == pytest.approx(f.due_1_year, abs=2e-3)
    assert (ahead.condition_10 <= ahead.condition_50).all() and (ahead.condition_50 <= ahead.condition_90).all()
    assert (ahead.condition_50[:, 1] >= ahead.condition_50[:, 0] - 1e-9).all()
    assert ((f.condition > ahead.condition_10[:, 0] - 0.3) & (f.condition < ahead.condition_90[:, 0] + 0.3)).all()
    new = libseal.camper_van(6.0, id="new", installed_from=datetime.date(2026, 5, 1), installed_to=datetime.date(2026, 5, 1))
    young = libseal.forecast(new.replace(stays=yard.fleet.coaches[0].stays), yard.as_of, 5)
    for r in range(0, len(young), 7):  # grade 3 is entered at 2.5: on the 10 % day a tenth has passed it
        day = young.due_10[r].astype(object)
        assert day > yard.as_of
        assert libseal.look_ahead(young, [r], [day]).condition_90[0, 0] == pytest.approx(2.5, abs=0.01)
    plain = libseal.look_ahead(f, rows, [f.as_of], spread=False)
    assert (plain.due[:, 0] == ahead.due[:, 0]).all() and (plain.open[:, 0] == ahead.open[:, 0]).all() and plain.condition_50.size == 0
    with pytest.raises(ValueError, match="days"):
        libseal.look_ahead(f, rows[:1], [f.as_of - datetime.timedelta(days=1)])


def test_options_prices_and_chances_are_those_of_quote_and_forecast(yard):
    coach, f = yard.fleet.coaches[0], yard.forecast
    findings = [x for x in yard.findings if x.coach == "A-1"]
    plan = libseal.plan_work(coach, findings, f, yard.shop, yard.as_of, due_before=datetime.date(2027, 12, 31), work_done=yard.work_done, opportunistic_days=0)
    quote = libseal.quote(plan, yard.shop)
    text = packet_of(yard, plans={"A-1": plan}, quotes={"A-1": quote})
    assert text == packet_of(yard)
    read = HtmlPage(text).text()
    assert quote.items and read.count("initials") == len(quote.items) + 1  # once in the words above
    options = sum(len(item.options) for item in quote.items)
    assert read.count(" yes: ") == options
    for item in quote.items:
        for option in item.options:
            assert all(libseal.money_text(amount, "USD").split()[0] in read for amount in (option.cost.low, option.cost.mode, option.cost.high))
    assert all(libseal.money_text(amount, "USD") in read for amount in (quote.total.low, quote.total.mode, quote.total.high, quote.call_before))
    joint = next(item.place for item in quote.items if item.place in libseal.drawing.joint_numbers(coach))
    days = [yard.as_of + datetime.timedelta(days=n) for n in (0, 91, 365, 730)]
    row = next(r for r in f.rows_of("A-1") if f.joint[r] == joint)
    chances = libseal.look_ahead(f, [row], days).open[0]
    assert all(f"{day}\u2002 \xa0{libseal.paper.percent(p)}".replace("\u2002 \xa0", " ") in read for day, p in zip(days, chances))
    assert "declined before" in read and libseal.closing_line(libseal.Catalogue.built_in()) in read


def test_probabilities_are_never_said_to_be_certain():
    said = libseal.paper.percent
    assert [said(p) for p in (0.0, 1e-9, 0.004, 0.01, 0.5, 0.994, 1 - 1e-9, 1.0)] == ["0 %", "<1 %", "<1 %", "1 %", "50 %", ">99 %", ">99 %", "100 %"]


def test_the_week_sheet_has_the_visits_of_its_week_in_the_order_of_the_work(yard):
    monday = first_week(yard) - datetime.timedelta(days=first_week(yard).weekday())
    inside = [v for v in yard.calendar.visits if not v.cancelled and v.first <= monday + datetime.timedelta(days=6) and v.last >= monday]
    page = HtmlPage(week_of(yard))
    read = page.text()
    assert read.count("to tick") == sum(len(v.tasks) for v in inside) > 0
    assert all(v.coach in read for v in inside)
    others = {c.id for c in yard.fleet.coaches} - {v.coach for v in inside}
    assert not any(re.search(rf"\b{re.escape(name)}\b", read) for name in others)
    visit = next(v for v in inside if v.tasks)
    coach = next(c for c in yard.fleet.coaches if c.id == visit.coach)
    assert f"Owner {coach.owner}" in read and coach.owner not in HtmlPage(week_of(yard, show_owners=False)).text()
    plan = libseal.plan_work(coach, [x for x in yard.findings if x.coach == coach.id], yard.forecast, yard.shop, yard.as_of, due_before=datetime.date(2027, 12, 31),
                             work_day=visit.first, joints=[t.joint for t in visit.tasks], work_done=[w for w in yard.work_done if w.coach == coach.id], opportunistic_days=0)
    begin = {step: i for i, step in enumerate(plan.order)}
    order = [t.joint.replace("_", " ") for t in sorted(plan.tasks, key=lambda t: min(begin[s] for s in t.steps))]
    after = read[read.index("Tasks in the order of the work"):]
    places = [after.index(f" {name} ") for name in order]
    assert places == sorted(places)
    assert all(f"{round(task.minutes.mode)}" in after for task in plan.tasks)
    assert "order of the calendar" in HtmlPage(libseal.week_sheet(yard.calendar, yard.fleet, yard.shop, monday)).text()


def test_weeks_are_named_by_a_day_or_a_number(yard):
    by_day = libseal.week_sheet(yard.calendar, yard.fleet, yard.shop, datetime.date(2027, 4, 15))
    assert by_day == libseal.week_sheet(yard.calendar, yard.fleet, yard.shop, 15) and "2027-04-12 to 2027-04-18" in by_day
    assert by_day == libseal.week_sheet(yard.calendar, yard.fleet, yard.shop, datetime.datetime(2027, 4, 18, 23, 59))
    # 9999-12-26 is a Sunday: 417,411 weeks after 2000-02-27, which was one; the next week does not end among dates.
    assert "9999-12-20 to 9999-12-26" in libseal.week_sheet(yard.calendar, yard.fleet, yard.shop, datetime.date(9999, 12, 26))
    for wrong in (0, 54, datetime.date(9999, 12, 27), datetime.date.max):
        with pytest.raises(ValueError, match="week"):
            libseal.week_sheet(yard.calendar, yard.fleet, yard.shop, wrong)


def test_a_week_sheet_says_why_work_is_not_on_its_best_day_once_not_in_every_row(yard):
    visit = max((v for v in yard.calendar.visits if not v.cancelled), key=lambda v: sum(bool(t.moved) for t in v.tasks))
    reason, often = Counter(t.moved.partition(": ")[2] for t in visit.tasks if t.moved).most_common(1)[0]
    assert often > 1 and reason
    bare = libseal.week_sheet(yard.calendar, yard.fleet, yard.shop, visit.first)
    assert HtmlPage(bare).text().count(reason) == sum(
        any(t.moved.endswith(reason) for t in v.tasks) for v in yard.calendar.visits
        if not v.cancelled and v.first <= visit.first + datetime.timedelta(days=6 - visit.first.weekday())
        and v.last >= visit.first - datetime.timedelta(days=visit.first.weekday()))


def test_the_load_of_the_year_adds_up(yard):
    weeks = libseal.charts.load_by_week(yard.calendar, yard.shop)
    kept = [v for v in yard.calendar.visits if not v.cancelled]
    assert sum(week.booked for week in weeks) == pytest.approx(sum(v.minutes.mode for v in kept) / 60, rel=0.02)
    assert [b.monday - a.monday for a, b in itertools.pairwise(weeks)] == [datetime.timedelta(days=7)] * (len(weeks) - 1)
    assert all(week.monday.weekday() == 0 for week in weeks)
    by_monday = {week.monday: week for week in weeks}
    assert by_monday[datetime.date(2027, 4, 12)].capacity == pytest.approx(5 * 3 * 8)  # three people, 8.5 h with half an hour of break
    assert by_monday[datetime.date(2027, 5, 31)].capacity == pytest.approx(4 * 3 * 8)  # Monday off


def test_texts_of_people_survive_and_never_become_marks(yard):
    coaches = [yard.fleet.coaches[0].replace(label=NASTY, owner=NASTY, model_line=NASTY), *yard.fleet.coaches[1:]]
    findings = [yard.findings[0].replace(note=NASTY, inspector=NASTY, photo=NASTY), *yard.findings[1:2], yard.findings[2].replace(reason=NASTY)]
    shop = yard.shop.replace(name=NASTY, place=NASTY)
    fleet = libseal.Fleet(coaches=coaches)
    texts = [libseal.page_text(fleet, yard.forecast, yard.calendar, shop),
             libseal.week_sheet(yard.calendar, fleet, shop, first_week(yard), forecast=yard.forecast, findings=findings, work_done=yard.work_done),
             libseal.owner_packet(coaches[0], yard.forecast, yard.calendar, shop, findings=findings, work_done=yard.work_done)]
    for text in texts:
        page = HtmlPage(text)
        assert not {"script"} & {tag for tag, _ in page.tags}
        assert "alert(1)" in page.text() and "\U0001f690" in page.text() and "\u202e" in page.text() and "x" * 300 in page.text()
        assert "\x00" not in text and "\x1b" not in text and "\ufffd" in text
        assert "&lt;script&gt;" in text and text.encode("utf-8")
    marks = texts[2].count("\u202e")
    assert marks == texts[2].count("\u202e\u200f") > 3


def test_an_owner_with_several_coaches_has_one_packet(yard):
    own = [yard.fleet.coaches[0], yard.fleet.coaches[2]]
    page = HtmlPage(libseal.owner_packet(own, yard.forecast, yard.calendar, yard.shop, findings=yard.findings, work_done=yard.work_done))
    assert "Seals of 2 coaches" in page.text() and "B-2" not in page.text()
    assert sum(given.get("class") == "coach-drawing" for given in page.names("svg")) == 2
    with pytest.raises(ValueError, match="coach"):
        libseal.owner_packet([], yard.forecast, yard.calendar, yard.shop)
    with pytest.raises(ValueError, match="other"):
        libseal.owner_packet(own[0].replace(id="other"), yard.forecast, yard.calendar, yard.shop)


def test_equal_shapes_share_their_sheet_and_nothing_else(yard):
    book = libseal.drawing.DrawingBook()
    first, second = yard.fleet.coaches[1], yard.fleet.coaches[2]
    chance = {joint.id: i / 100 for i, joint in enumerate(first.joints)}
    a, b = book.draw(first, chance, {}, "a"), book.draw(second, {}, {}, "b")
    assert len(book.patterns) == 1 and a != b and "\x00" not in a + b
    assert a == libseal.drawing.DrawingBook().draw(first, chance, {}, "a")
    book.draw(yard.fleet.coaches[0], {}, {}, "c")
    assert len(book.patterns) == 2


def test_pages_are_written_whole_or_not_at_all(yard, tmp_path, monkeypatch):
    path = tmp_path / "page.html"
    libseal.write_page(path, yard.fleet, yard.forecast, yard.calendar, yard.shop)
    assert path.read_text(encoding="utf-8") == pages_of(yard)["fleet"]
    with pytest.raises(libseal.FileError, match="absent"):
        libseal.write_page(tmp_path / "absent" / "page.html", yard.fleet, yard.forecast, yard.calendar, yard.shop)

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(libseal.FileError, match="No space left") as caught:
        libseal.write_week_sheet(path, yard.calendar, yard.fleet, yard.shop, first_week(yard))
    assert caught.value.filename == str(path) and isinstance(caught.value, OSError)
    assert os.listdir(tmp_path) == ["page.html"]
    assert path.read_text(encoding="utf-8") == pages_of(yard)["fleet"]


def test_a_place_that_nobody_could_look_at_is_no_last_look(yard):
    """Synthetic: the only words about coach C-3 are that its roof was out of reach."""
    coach = yard.fleet.coaches[2]
    missed = libseal.Finding(coach="C-3", joint=coach.joints[0].id, sign="not_inspected", reason="no ladder", date=datetime.date(2026, 10, 1))
    looked = libseal.Finding(coach="C-3", joint=coach.joints[0].id, sign="clean_look", layer=coach.joints[0].layers[0].kind, date=datetime.date(2026, 9, 1))

    def last_look(findings):
        text = libseal.owner_packet(coach, yard.forecast, yard.calendar, yard.shop, findings=findings)
        return re.search(r"<dt>Last look</dt><dd><bdi>([^<]*)</bdi>", text)[1]

    pytest.importorskip("jinja2")
    assert last_look([missed]) == last_look([]) == "none on record" and last_look([missed, looked]) == "2026-09-01"


def test_pages_of_a_calendar_that_is_called_off(yard):
    """Cancelled visits are struck out and counted nowhere: no work, no load, no next visit."""
    pytest.importorskip("jinja2")
    document = json.loads(yard.calendar.json_text())
    off = libseal.read_calendar_text(json.dumps({**document, "visits": [{**v, "cancelled": True} for v in document["visits"]], "weeks": []}), "x")
    page = HtmlPage(libseal.page_text(yard.fleet, yard.forecast, off, yard.shop))
    assert "3 coaches, 0 visits." in page.text() and [g.get("class") for g in page.names("tr")].count("cancelled") == len(off.visits)
    assert "0 hours booked of" in page.text() and not any(text in page.text() for v in off.visits for text in v.cautions)
    week = HtmlPage(libseal.week_sheet(off, yard.fleet, yard.shop, first_week(yard))).text()
    assert "No visit this week." in week and "Cancelled: " in week
    assert "Next visit" not in HtmlPage(libseal.owner_packet(yard.fleet.coaches[0], yard.forecast, off, yard.shop)).text()
