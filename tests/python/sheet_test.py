"""The survey sheet: every joint once and in walking order, texts escaped, nothing filled in that nobody knows."""

import datetime
import html.parser
import re
from types import SimpleNamespace

import pytest

import libseal
from libseal.__main__ import main

LENGTHS = {"travel_trailer": 8.0, "fifth_wheel": 11.0, "motorhome": 9.0, "camper_van": 6.0, "truck_camper": 5.0}
AS_OF = datetime.date(2026, 5, 1)
SEEN = datetime.date(2026, 4, 13)
VOID = {"meta", "br", "col", "hr", "img", "input", "link"}


class Page(html.parser.HTMLParser):
    """Checks that elements are closed in turn and ids are unique; collects rows of joints and their texts."""

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.open, self.ids, self.tags, self.order, self.rows = [], [], [], [], {}
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        assert len(given) == len(attrs), f"<{tag}> has an attribute twice"
        self.tags.append(tag)
        self.ids += [given["id"]] if "id" in given else []
        if "data-joint" in given:
            self.order.append(given["data-joint"])
            self.rows[given["data-joint"]] = ""
        if tag not in VOID:
            self.open.append((tag, given.get("data-joint")))

    def handle_startendtag(self, tag, attrs):
        assert len(dict(attrs)) == len(attrs)
        self.tags.append(tag)
        assert any(name == "svg" for name, _ in self.open)  # only XML closes elements so

    def handle_endtag(self, tag):
        assert self.open and self.open[-1][0] == tag, f"</{tag}> closes {self.open[-1:]}"
        self.open.pop()

    def handle_data(self, data):
        for _, joint in self.open:
            if joint:
                self.rows[joint] += data


def coach_of(layout):
    built = datetime.date(2018, 5, 1)
    return getattr(libseal, layout)(LENGTHS[layout], id="c", installed_from=built, installed_to=built)


@pytest.fixture(scope="module", params=LENGTHS)
def sheet(request):
    coach = coach_of(request.param)
    text = libseal.survey_sheet(coach, AS_OF)
    return coach, text, Page(text)


def test_every_joint_is_there_once_and_in_walking_order(sheet):
    coach, _, page = sheet
    assert sorted(page.order) == sorted(j.id for j in coach.joints)
    assert page.order == [j.id for j in libseal.sheet.walking_order(coach)]
    by_id = {j.id: j for j in coach.joints}
    walk = [by_id[name] for name in page.order]
    roof = [j.surface in ("roof", "slide_roof") for j in walk]
    assert roof == sorted(roof) and any(roof) and not all(roof)
    sides = [j.surface for j in walk if j.surface in libseal.sheet.SIDES]
    turns = [a for a, b in zip(sides, sides[1:] + [""]) if a != b]
    assert turns == [s for s in ("curb_wall", "rear_cap", "street_wall", "front_cap") if s in sides]  # each wall once, in turn

    def along(name):
        return [libseal.middle_of(j).u for j in walk if j.surface == name]

    assert along("curb_wall") == sorted(along("curb_wall"))  # from the front
    assert along("street_wall") == sorted(along("street_wall"), reverse=True)


def test_it_is_well_formed_and_self_contained(sheet):
    coach, text, page = sheet
    assert text.startswith("<!DOCTYPE html>\n") and page.tags[0] == "html"
    assert len(page.ids) == len(set(page.ids))
    assert not {"script", "link", "img", "iframe"} & set(page.tags) and "http" not in text.replace("http://www.w3.org/2000/svg", "").replace("http-equiv", "")
    assert page.tags.count("svg") == 1
    for number, joint in ((n, j) for j, n in libseal.drawing.joint_numbers(coach).items()):
        assert page.rows[joint].startswith(str(number))
        assert page.rows[joint].count("0 1 2 3 4 5") == 2


def test_nothing_is_invented_without_findings_and_forecast(sheet):
    coach, text, page = sheet
    by_id = {j.id: j for j in coach.joints}
    for name, row in page.rows.items():
        assert "Last" not in row and "due" not in row and "overdue" not in row and "\N{RIGHTWARDS ARROW}" not in row
        assert all(layer.family.replace("_", " ") in row for layer in by_id[name].layers)
    fields = re.findall(r'<th scope="row">(Date|Inspector|Weather, rain|Moisture meter|Dry spot \d, %)</th><td>(.*?)</td>', text)
    assert len(fields) == 7 and all(value == "" for _, value in fields)


def test_places_kept_open_and_cautions_are_printed(sheet):
    coach, text, _ = sheet
    catalogue = libseal.Catalogue.built_in()
    plain = html.unescape(re.sub(r"\s+", " ", text))
    for place in libseal.places_kept_open(coach, catalogue):
        assert f">{place.kind.replace('_', ' ')}</th><td>{place.reason}</td>" in plain
    for caution in libseal.caution_texts(["fall_from_roof", "ladder", "gas", "electricity", "alone"], catalogue):
        assert caution.text in plain
    slide = libseal.caution_texts(["slide_out"], catalogue)[0].text
    assert (slide in plain) == any(p.kind == "slide_out" for p in coach.parts)
    assert libseal.closing_line(catalogue) in plain
    assert all(word in plain for word in libseal.looks.GRADES)
    assert "up to 2 %" in plain and "over 30 %" in plain  # share classes 1 and 4 of the catalogue


def test_earlier_findings_tell_last_grade_and_what_to_look_for():
    coach = coach_of("travel_trailer")
    found = [libseal.Finding(coach="c", joint="window_1", sign="gap", value=2.0, unit="mm", layer="cap_bead", date=SEEN),
             libseal.Finding(coach="c", joint="window_1", sign="stain", size="clear", date=SEEN),
             libseal.Finding(coach="c", joint="roof_vent_1", sign="not_inspected", reason="snow", date=SEEN)]
    page = Page(libseal.survey_sheet(coach, AS_OF, findings=found))
    catalogue = libseal.Catalogue.built_in()
    joint = next(j for j in coach.joints if j.id == "window_1")
    grade = libseal.grade_of_joint(found[:2], joint, catalogue)
    assert f"Last 2026-04-13: cap {grade.cap} {libseal.looks.GRADES[grade.cap]}" in page.rows["window_1"]
    checks = libseal.meaning(found, coach, catalogue, AS_OF)
    assert checks and all(check.what in page.rows[check.joint] for check in checks if check.joint)
    assert "not inspected on 2026-04-13: snow" in page.rows["roof_vent_1"]
    assert "Last" not in page.rows["window_2"]


def test_texts_of_users_are_escaped_and_keep_their_letters():
    coach = coach_of("camper_van").replace(label="<script>x</script> Fenêtre à côté, Straße")
    note = libseal.Finding(coach="c", joint="roof_vent_1", sign="yellowing", size="slight", note="<script>alert(1)</script> à gauche", date=SEEN)
    text = libseal.survey_sheet(coach, AS_OF, findings=[note])
    assert "script" not in Page(text).tags
    assert "&lt;script&gt;alert(1)&lt;/script&gt; à gauche" in text and "Fenêtre à côté, Straße" in text


def test_a_plan_gives_its_order_marks_what_is_overdue_and_leaves_the_rest_to_the_end():
    """Synthetic: the types of a plan as the sheet reads it."""
    coach = coach_of("camper_van")
    names = [j.id for j in coach.joints]
    stops = [SimpleNamespace(joint=names[3], overdue=True, reason="last look 2023"), SimpleNamespace(joint=names[7], overdue=False, reason="tells most")]
    ground = [s for s in stops if next(j for j in coach.joints if j.id == s.joint).surface != "roof"]
    roof = [s for s in stops if s not in ground]
    plan = SimpleNamespace(stops=[*ground, *roof], left_out=[SimpleNamespace(joint=names[0], reason="tells too little")])
    page = Page(libseal.survey_sheet(coach, AS_OF, plan=plan))
    assert page.order[:2] == [s.joint for s in plan.stops] and sorted(page.order) == sorted(names)
    assert "overdue" in page.rows[names[3]] and "last look 2023" in page.rows[names[3]]
    assert "overdue" not in page.rows[names[7]] and "tells too little" in page.rows[names[0]]


def test_a_forecast_says_what_is_likely_due(trailer):
    forecast = libseal.forecast(trailer, AS_OF, years=2)
    page = Page(libseal.survey_sheet(trailer, AS_OF, forecast))
    chance = libseal.drawing.due_within_year(trailer, forecast)
    assert all(f"due in a year {100 * chance[name]:.0f} %" in row for name, row in page.rows.items())


def test_commands_write_sheet_and_leak_drawing(tmp_path, capsys, trailer):
    coach, findings = tmp_path / "c.json", tmp_path / "f.json"
    coach.write_text(libseal.coach_json(trailer), encoding="utf-8")
    found = [libseal.Finding(coach="t1", joint="roof_vent_1", sign="deep_crack", size="clear", layer="cap_bead", date=SEEN),
             libseal.Finding(coach="other", joint="roof_vent_1", sign="gap", size="clear", date=SEEN)]
    findings.write_text(libseal.findings_json(found), encoding="utf-8")
    common = [str(coach), "--as-of", "2026-05-01", "--findings", str(findings)]
    assert main(["sheet", *common, "--out", str(tmp_path / "s.html")]) == 0
    assert "1 finding is of another coach" in capsys.readouterr().err
    assert len(Page((tmp_path / "s.html").read_text(encoding="utf-8")).order) == len(trailer.joints)

    stain = ["--stain", "roof,2.0,0.1", "--appears", "standing_rain", "--stays-dry", "washing", "--stain", "underside,7,0.9", "--kind", "soft_spot"]
    assert main(["leak", *common, *stain, "--most", "3", "--out", str(tmp_path / "l.svg")]) == 0
    told = capsys.readouterr().out
    stains = [libseal.Stain(surface="roof", at=libseal.Point(u=2.0, v=0.1), appears=["standing_rain"], stays_dry=["washing"]),
              libseal.Stain(surface="underside", at=libseal.Point(u=7, v=0.9), kind="soft_spot")]
    forecast = libseal.forecast(trailer, AS_OF, 5, findings=found[:1])
    trace = libseal.trace_leak(trailer, stains, found[:1], forecast, most=3)
    for rank, c in enumerate(trace.candidates, start=1):
        assert re.search(rf"^ +{rank}  {c.joint} +{100 * c.probability:.1f}%", told, re.M)
    assert libseal.closing_line(libseal.Catalogue.built_in()) in told
    assert (tmp_path / "l.svg").read_text(encoding="utf-8").count('class="stain"') == 2


@pytest.mark.parametrize("wrong", [["--stain", "roof,two,1"], ["--appears", "always", "--stain", "roof,2,0"], ["--stain", "roof,1,2,3,4"]])
def test_marks_that_cannot_be_read_are_told(tmp_path, capsys, trailer, wrong):
    coach = tmp_path / "c.json"
    coach.write_text(libseal.coach_json(trailer), encoding="utf-8")
    assert main(["leak", str(coach), "--as-of", "2026-05-01", *wrong]) == 2
    assert "--stain" in capsys.readouterr().err
    assert main(["leak", str(coach), "--as-of", "2026-05-01", "--stain", "attic,1,1"]) == 1
    assert "error:" in capsys.readouterr().err


def test_the_sheet_takes_the_order_of_a_computed_plan() -> None:
    stay = libseal.Stay(from_=datetime.date(2015, 7, 1), to=datetime.date(9999, 12, 31), station="725350")
    coach = libseal.travel_trailer(7, id="T-7", model_year=2016).replace(stays=[stay])
    day = datetime.date(2026, 5, 1)
    forecast = libseal.forecast(coach, day, 5)
    plan = libseal.inspection_plan(coach, forecast)
    page = Page(libseal.survey_sheet(coach, day, forecast, [], plan))
    assert plan.stops and page.order[: len(plan.stops)] == [stop.joint for stop in plan.stops]
    assert sorted(page.order) == sorted(joint.id for joint in coach.joints)
