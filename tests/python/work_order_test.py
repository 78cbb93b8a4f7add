"""Quotes, work orders and parts lists from Python: sums, texts escaped, every step on the paper."""

import datetime as dt
import json

import pytest

import libseal

DAY = dt.date(2027, 3, 1)


@pytest.fixture(scope="module")
def shop():
    people = [libseal.Person(id="ann", from_=480, to=1020), libseal.Person(id="bob", from_=480, to=1020)]
    return libseal.Shop(name="Yard & <Sons>", labour_rate_per_h=15000, people=people, package_price={"self_levelling_lap": 1350},
                        billing=libseal.Billing(markup_percent=30, supplies_percent=8, step_minutes=15, rounding_step=5))


@pytest.fixture(scope="module")
def plan(shop, trailer):
    joints = [joint.id for joint in trailer.joints if joint.type in ("roof_vent_flange", "window_frame")][:3]
    findings = [libseal.Finding(coach="t1", joint=joint, sign="edge_lift", size="severe", share=0.5, date=DAY - dt.timedelta(days=2))
                for joint in joints]
    return libseal.plan_work(trailer, findings, libseal.forecast(trailer, DAY, 1), shop, DAY, joints=joints)


def test_a_quote_adds_up_and_is_json(plan, shop):
    quote = libseal.quote(plan, shop, distance_km=12.0)
    for part in ("low", "mode", "high"):
        assert sum(getattr(line.amount, part) for line in quote.lines) == getattr(quote.total, part)
    read = json.loads(libseal.quote_json(quote))
    assert read["schema"] == "libseal/quote/1"
    assert round(100 * read["total"]["mode"]) == quote.total.mode
    assert libseal.quote_csv(quote).count("\r\n") == len(quote.lines) + 2
    assert quote.items[0].options[0].chosen and quote.items[0].waiting
    with pytest.raises(libseal.ValueError):
        libseal.quote(plan, shop, valid_days=-1)


def test_every_step_is_on_the_paper_with_its_cautions(plan, shop):
    order = libseal.work_order(plan, shop)
    page, text = libseal.work_order_page(order), libseal.work_order_markdown(order)
    assert page.count('<span class="box">') == len(order.lines) + len(order.materials) + len(order.supplies) + len(order.tests)
    assert "Yard &amp; &lt;Sons&gt;" in page and "<Sons>" not in page
    for caution in order.cautions:
        assert caution.text in text
    assert order.closing in page and order.closing in text
    assert text.count("\n| ") == len(order.lines) + len(order.materials) + len(order.supplies) + 2
    assert json.loads(libseal.work_order_json(order))["schema"] == "libseal/work_order/1"


def test_times_and_weeks(plan, shop):
    start = (DAY - dt.date(1970, 1, 1)).days * 1440 + 480
    slots = [libseal.StepSlot(step=step, start=start + 10 * place, end=start + 10 * place + 10, people=["ann"], bay="bay 1")
             for place, step in enumerate(plan.order) if plan.steps[step].people > 0]
    order = libseal.work_order(plan, shop, slots=slots)
    assert order.first == DAY
    assert "2027-03-01 08:00 to 08:10" in libseal.work_order_markdown(order)
    weeks = libseal.parts_list([order])
    assert (weeks[0].year, weeks[0].week) == DAY.isocalendar()[:2] == libseal.iso_week(DAY)
    assert weeks[0].monday == DAY
    assert libseal.parts_csv(weeks).startswith("year,week,monday,name,amount,unit,packages,package_size,coaches")


def test_weeks_are_those_of_the_standard_library():
    for offset in range(0, 4000, 3):
        day = dt.date(2020, 1, 1) + dt.timedelta(days=offset)
        assert libseal.iso_week(day) == day.isocalendar()[:2]


def test_a_step_that_ends_on_another_day_says_which(plan, shop):
    """Synthetic: a step from 23:30 to 00:20 of the day after, and one that ends at midnight, which is the day after too."""
    first = (DAY - dt.date(1970, 1, 1)).days * 1440
    ends = [(first + 1410, first + 1460, "2027-03-01 23:30 to 2027-03-02 00:20"), (first + 1390, first + 1440, "2027-03-01 23:10 to 2027-03-02 00:00"),
            (first + 480, first + 539, "2027-03-01 08:00 to 08:59")]
    for start, end, said in ends:
        order = libseal.work_order(plan, shop, slots=[libseal.StepSlot(step=step, start=start, end=end, people=["ann"])
                                                      for step in plan.order if plan.steps[step].people > 0])
        assert f"| {said}; ann |" in libseal.work_order_markdown(order) and f">{said}<br>ann" in libseal.work_order_page(order)


def test_long_words_are_broken_on_the_paper(plan, shop):
    """On paper nobody scrolls: cells, lists and headings break words that are wider than the sheet."""
    page = libseal.work_order_page(libseal.work_order(plan, shop.replace(name="x" * 400)))
    rules = dict(part.split("{", 1) for part in page.partition("<style>")[2].partition("</style>")[0].replace("\n", "").split("}") if "{" in part)
    assert "x" * 400 in page
    for which in ("th, td ", "h1, p, li "):
        assert "overflow-wrap: anywhere" in rules[which]
