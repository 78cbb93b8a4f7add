"""The drawing of a coach: every joint on it, to scale, labels apart, names escaped."""

import datetime
import math
import re
import xml.etree.ElementTree as ElementTree

import pytest

import libseal

AS_OF = datetime.date(2026, 11, 25)
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def forecast(trailer):
    return libseal.forecast(trailer, AS_OF, years=5)


@pytest.fixture(scope="module")
def drawing(trailer, forecast):
    return ElementTree.fromstring(libseal.draw_coach(trailer, forecast))


def texts(svg):
    return ["".join(t.itertext()) for t in svg.iter(f"{SVG}text")]


def test_every_joint_has_a_line_and_its_number_and_percentage(trailer, forecast, drawing):
    lines = [e for e in drawing.iter(f"{SVG}polyline") if e.get("class") == "joint"]
    assert len(lines) == len(trailer.joints)
    chance = libseal.drawing.due_within_year(trailer, forecast)
    labels = [t for t in drawing.iter(f"{SVG}text") if t.get("class") == "number"]
    printed = {"".join(t.itertext()) for t in labels}
    for joint, number in libseal.drawing.joint_numbers(trailer).items():
        assert f"{number}{100 * chance[joint]:.0f} %" in printed


def test_the_likelier_a_joint_is_due_the_darker_and_wider_its_line():
    def light(colour):
        return sum(int(colour[i:i + 2], 16) for i in (1, 3, 5))

    steps = [i / 20 for i in range(21)]
    colours = [light(libseal.drawing.ramp_colour(p)) for p in steps]
    widths = [libseal.drawing.ramp_width(p) for p in steps]
    assert colours == sorted(colours, reverse=True) and colours[0] > 2 * colours[-1]
    assert widths == sorted(widths) and len(set(widths)) == 21


def test_length_width_and_height_are_dimensioned_and_to_scale(trailer, drawing):
    assert {"8.00 m", "2.44 m", f"{trailer.roof_height:.2f} m"} <= set(texts(drawing))
    groups = [g for g in drawing.iter(f"{SVG}g") if g.get("class") == "dimension"]
    assert all(len(list(g.iter(f"{SVG}polygon"))) == 2 for g in groups)
    for group in groups:
        line = list(group.iter(f"{SVG}line"))[2]
        drawn = abs(float(line.get("x2")) - float(line.get("x1"))) + abs(float(line.get("y2")) - float(line.get("y1")))
        said = float("".join(list(group.iter(f"{SVG}text"))[0].itertext()).split()[0])
        assert drawn / libseal.drawing.SCALE == pytest.approx(said, abs=0.006)


def test_lengths_are_in_one_kind_of_unit(trailer):
    us, metric = libseal.draw_coach(trailer, units="us"), libseal.draw_coach(trailer)
    assert ">26 ft 3 in<" in us and ">8 ft 0 in<" in us and " m<" not in us
    assert ">8.00 m<" in metric and ">2.44 m<" in metric and " ft " not in metric
    with pytest.raises(ValueError, match="units"):
        libseal.draw_coach(trailer, units="imperial")


def test_views_do_not_cover_each_other_and_lie_on_the_sheet(trailer):
    drawing = libseal.drawing
    for coach in (trailer, libseal.travel_trailer(4.5, id="s", slide_outs=0), libseal.travel_trailer(12, id="l", slide_outs=2)):
        views = drawing.shell_views(coach)
        placed, width, height = drawing.lay_out(views, drawing.other_views(coach, views))
        boxes = [(v.x, v.y, v.x + v.size()[0], v.y + v.size()[1]) for v in placed]
        assert all(libseal.canvas.overlap(a, b) == 0 for i, a in enumerate(boxes) for b in boxes[:i])
        assert all(0 <= x0 < x1 <= width and 0 <= y0 < y1 <= height for x0, y0, x1, y1 in boxes)
        held = [j.id for j in coach.joints if sum(v.holds(j.surface, j.slide) for v in placed) != 1]
        assert held == []


def test_walls_are_seen_from_outside(trailer):
    """Front at the left on the street side, at the right on the curb side; the curb side is on the left of the front."""
    views = libseal.drawing.shell_views(trailer)
    assert views["street_wall"].at(0, 1)[0] < views["street_wall"].at(8, 1)[0]
    assert views["curb_wall"].at(0, 1)[0] > views["curb_wall"].at(8, 1)[0]
    assert views["front_cap"].at(1, 1)[0] < views["front_cap"].at(-1, 1)[0]
    assert views["rear_cap"].at(1, 1)[0] > views["rear_cap"].at(-1, 1)[0]
    assert views["roof"].at(0, 1)[1] < views["roof"].at(0, -1)[1]


def test_names_of_parts_and_joints_are_escaped():
    coach = libseal.travel_trailer(6.0, id="a")
    part = coach.parts[0].replace(label='<b>"&')
    text = libseal.draw_coach(coach.replace(label="<i>coach</i> & co", parts=[part, *coach.parts[1:]]))
    ElementTree.fromstring(text)
    assert "<i>" not in text and "<b>" not in text and "&lt;i&gt;coach" in text


# Findings, ways of water, places kept open: on all five layouts.

LENGTHS = {"travel_trailer": 8.0, "fifth_wheel": 11.0, "motorhome": 9.0, "camper_van": 6.0, "truck_camper": 5.0}
SEEN = datetime.date(2026, 4, 13)
STAY = libseal.Stay(from_=datetime.date(2017, 7, 1), to=datetime.date(9999, 12, 31), place="home", station="725350", heading=180.0)


def coach_of_layout(layout):
    built = datetime.date(2018, 5, 1)
    return getattr(libseal, layout)(LENGTHS[layout], id="c", installed_from=built, installed_to=built).replace(stays=[STAY])


def findings_of(coach):
    """Synthetic: five signs at one window, one joint in two, one not inspected, every other joint with something, parts."""
    window = next(j.id for j in coach.joints if j.type == "window_frame")
    crowd = [("deep_crack", "top"), ("gap", "front"), ("corner_loose", "corner_front_top"), ("stain", ""), ("rust_run", "")]
    found = [libseal.Finding(coach="c", joint=window, sign=sign, segment=segment, size="clear", date=SEEN, note="<b>&") for sign, segment in crowd]
    signs = [s for s in libseal.sign_names() if s not in ("not_inspected", "clean_look")]
    others = [j.id for j in coach.joints if j.id not in (window, "roof_vent_1")][::2]
    found += [libseal.Finding(coach="c", joint=joint, sign=signs[i % len(signs)], size="slight", date=SEEN) for i, joint in enumerate(others)]
    found.append(libseal.Finding(coach="c", joint="roof_vent_1", sign="not_inspected", reason="snow on the roof", date=SEEN))
    sealed = {j.part for j in coach.joints}
    part = next(p for p in coach.parts if p.id not in sealed)
    found.append(libseal.Finding(coach="c", part=part.id, sign="part_cracked", size="clear", date=SEEN))
    return found


@pytest.fixture(scope="module", params=LENGTHS)
def surveyed(request):
    """Coach, findings, marks of water, trace, and the drawing of it all."""
    coach = coach_of_layout(request.param)
    forecast = libseal.forecast(coach, AS_OF, years=5)
    found = findings_of(coach)
    stains = [libseal.Stain(surface="roof", at=libseal.Point(u=2.0, v=0.1), appears=["standing_rain"]),
              libseal.Stain(surface="underside", at=libseal.Point(u=coach.length - 0.6, v=0.5), kind="soft_spot")]
    trace = libseal.trace_leak(coach, stains, found, forecast)
    svg = libseal.draw_coach(coach, forecast, findings=found, trace=trace, stains=stains)
    return coach, found, stains, trace, ElementTree.fromstring(svg), svg


def of_class(svg, kind):
    return [e for e in svg.iter() if kind in (e.get("class") or "").split()]


def numbers_in(element, *names):
    return [float(element.get(name)) for name in names]


def boxes(svg):
    found = []
    for e in of_class(svg, "paper"):
        x, y, w, h = numbers_in(e, "x", "y", "width", "height")
        found.append((x, y, x + w, y + h))
    return found


def box_of_view(view):
    """Outline of a view as drawn: that of its rectangles and polygons of surfaces."""
    xs, ys = [], []
    for e in of_class(view, "surface"):
        if e.tag.endswith("rect"):
            x, y, w, h = numbers_in(e, "x", "y", "width", "height")
            xs += [x, x + w]
            ys += [y, y + h]
        else:
            points = [float(t) for t in re.split("[ ,]", e.get("points"))]
            xs += points[0::2]
            ys += points[1::2]
    return min(xs), min(ys), max(xs), max(ys)


def inside(box, x, y, slack=0.1):
    return box[0] - slack <= x <= box[2] + slack and box[1] - slack <= y <= box[3] + slack


def test_every_finding_is_marked_once_and_listed_in_the_key(surveyed):
    coach, found, _, _, svg, _ = surveyed
    marks = of_class(svg, "mark")
    assert sorted(int(m.get("data-finding")) for m in marks) == list(range(1, len(found) + 1))
    rows = ["|".join("".join(t.itertext()) for t in row) for row in of_class(of_class(svg, "key")[0], "row")]
    assert [int(row.split("|")[0]) for row in rows] == list(range(1, len(found) + 1))
    missed = [row for row in rows if "not inspected: snow on the roof" in row]
    assert len(missed) == 1 and "roof vent 1" in missed[0] and "look at it first" in missed[0]
    numbers = libseal.drawing.joint_numbers(coach)
    for mark, row in ((m, rows[int(m.get("data-finding")) - 1]) for m in marks):
        if mark.get("data-place") in numbers:
            assert row.split("|")[1].startswith(f"{numbers[mark.get('data-place')]} ")


def test_urgency_of_the_key_is_that_of_the_library(surveyed):
    coach, found, _, _, svg, _ = surveyed
    catalogue = libseal.Catalogue.built_in()
    rows = {"".join(row[0].itertext()): " ".join("".join(t.itertext()) for t in row) for row in of_class(of_class(svg, "key")[0], "row")}
    for mark in of_class(svg, "mark"):
        joint = next((j for j in coach.joints if j.id == mark.get("data-place")), None)
        if joint is None or mark.get("data-place") == "roof_vent_1":
            continue
        seen = [f for f in found if f.joint == joint.id]
        grade = libseal.grade_of_joint(seen, joint, catalogue)
        answer = libseal.judge(grade, seen, libseal.joint_type(catalogue, joint.type), False, catalogue, AS_OF)
        row = rows[mark.get("data-finding")]
        assert libseal.looks.URGENCY_WORDS[answer.urgency] in row
        letter = ["".join(t.itertext()) for t in of_class(mark, "letter")]
        assert letter == [libseal.marks.LETTERS[answer.urgency]]
        assert of_class(mark, "outline")[0].get("stroke-width") == str(libseal.marks.LINES[answer.urgency][0])


def test_lines_and_letters_of_urgency_all_differ():
    assert len(set(libseal.marks.LINES.values())) == len(libseal.marks.LINES) == 5
    assert len(set(libseal.marks.LETTERS.values())) == 4
    assert set(libseal.marks.SHAPES) == set(libseal.sign_groups())
    assert len(set(libseal.marks.SHAPES.values())) == 12


def test_marks_point_into_the_view_of_their_joint(surveyed):
    coach, _, _, _, svg, _ = surveyed
    where = {j.id: (j.surface, j.slide) for j in coach.joints} | {p.id: (p.surface, p.slide) for p in coach.parts if p.id not in
                                                                 {j.id for j in coach.joints}}
    checked = 0
    for view in of_class(svg, "view"):
        box = box_of_view(view)
        for mark in of_class(view, "mark"):
            surface, slide = where[mark.get("data-place")]
            assert (f"{slide}:{surface}" if slide else surface) in view.get("data-surfaces").split()
            spot = of_class(mark, "spot")[0]
            assert inside(box, *numbers_in(spot, "cx", "cy"))
            paper = boxes(mark)[0]
            reach = math.hypot((paper[0] + paper[2]) / 2 - float(spot.get("cx")), (paper[1] + paper[3]) / 2 - float(spot.get("cy")))
            assert reach < 165
            checked += 1
    assert checked == len(of_class(svg, "mark"))


def test_a_mark_lies_at_its_segment():
    coach = coach_of_layout("travel_trailer")
    joint = next(j for j in coach.joints if j.id == "skylight")
    for segment in libseal.segments_of(joint):
        finding = libseal.Finding(coach="c", joint="skylight", segment=segment.name, sign="gap", size="slight", date=SEEN)
        svg = ElementTree.fromstring(libseal.draw_coach(coach, findings=[finding]))
        roof = next(v for v in of_class(svg, "view") if v.get("data-surfaces").startswith("roof"))
        shell = next(e for e in of_class(roof, "surface"))
        x, y = numbers_in(of_class(of_class(roof, "mark")[0], "spot")[0], "cx", "cy")
        assert (x - float(shell.get("x"))) / libseal.canvas.SCALE == pytest.approx(segment.middle.u, abs=0.002)
        assert 1.22 - (y - float(shell.get("y"))) / libseal.canvas.SCALE == pytest.approx(segment.middle.v, abs=0.002)


def test_no_two_labels_cover_each_other(surveyed):
    _, _, _, _, svg, _ = surveyed
    found = boxes(svg)
    assert len(found) > 60
    over = [(a, b) for i, a in enumerate(found) for b in found[:i] if libseal.canvas.overlap(a, b) > 0.5]
    assert over == []


def test_what_was_not_inspected_is_dashed(surveyed):
    _, _, _, _, svg, _ = surveyed
    dashed = [e for e in of_class(svg, "joint") if e.get("stroke-dasharray")]
    assert len(dashed) == 1 and "roof vent 1" in dashed[0][0].text and "snow on the roof" in dashed[0][0].text


def test_ways_of_water_run_through_the_views_of_their_places(surveyed):
    coach, _, _, trace, svg, _ = surveyed
    places = {step.place.id: step.place for c in trace.candidates for step in c.path}
    letters = {}
    steps = set()
    for view in of_class(svg, "view"):
        surfaces = view.get("data-surfaces").split()
        box = box_of_view(view)
        for e in of_class(view, "water") + of_class(view, "through"):
            ends = [places[e.get("data-from")], places[e.get("data-to")]]
            names = [f"{p.slide}:{p.surface}" if p.slide else p.surface for p in ends]
            assert set(names) & set(surfaces)
            steps.add((int(e.get("data-rank")), ends[0].id, ends[1].id))
            for line in e.iter(f"{SVG}line"):
                x1, y1, x2, y2 = numbers_in(line, "x1", "y1", "x2", "y2")
                assert inside(box, x1, y1, 8) or inside(box, x2, y2, 8)
        for e in of_class(view, "connector"):
            letters.setdefault(e.get("data-letter"), []).append(view.get("data-surfaces"))
    assert all(len(ends) == 2 and ends[0] != ends[1] for ends in letters.values())
    wanted = {(rank, a.place.id, b.place.id) for rank, c in enumerate(trace.candidates[:3], 1) for a, b in zip(c.path, c.path[1:])}
    assert steps == wanted
    ranks = ["".join(t.itertext()) for g in of_class(svg, "rank") for t in g.iter(f"{SVG}text")]
    assert sorted(ranks) == [f"{i}: {100 * c.probability:.0f} %" for i, c in enumerate(trace.candidates[:3], 1)]
    assert len(of_class(svg, "stain")) == 2


def test_a_line_is_dashed_where_the_water_is_hidden_and_only_there(surveyed):
    _, _, _, trace, svg, _ = surveyed
    places = {step.place.id: step.place for c in trace.candidates for step in c.path}
    lines = of_class(svg, "water")
    assert lines
    for group in lines:
        outside = all(places[group.get(end)].kind in ("joint", "surface") for end in ("data-from", "data-to"))
        assert (group[0].get("stroke-dasharray") is None) == outside == (group.get("data-hidden") == "no")


def test_water_on_the_outside_is_a_whole_line():
    """Synthetic: a way over two joints, as the types of a trace have it."""
    from types import SimpleNamespace as Thing

    coach = coach_of_layout("camper_van")
    graph = libseal.drainage(coach, libseal.Catalogue.built_in())
    ends = [p for p in graph.places if p.kind == "joint" and p.surface == "curb_wall"][:2]
    candidate = Thing(joint=ends[0].joint, probability=0.5, open=0.5, before=0.5, path=[Thing(place=ends[0], way=""), Thing(place=ends[1], way="runs down")])
    svg = ElementTree.fromstring(libseal.draw_coach(coach, trace=Thing(candidates=[candidate], others=[], tests=[])))
    assert [e.get("data-hidden") for e in of_class(svg, "water")] == ["no"]
    assert of_class(svg, "water")[0][0].get("stroke-dasharray") is None


def test_nothing_needs_colour(surveyed):
    """Every colour is white, a grey, or on the ramp: never more than its bluish tinge."""
    text = surveyed[-1]
    colours = set(re.findall(r"(?:fill|stroke)[:=]\"?(#[0-9a-f]+|[a-z]+)", text))
    named = {c for c in colours if not c.startswith("#")}
    assert named <= {"none"}
    for colour in colours - named:
        full = colour if len(colour) == 7 else "#" + "".join(2 * c for c in colour[1:])
        channels = [int(full[i:i + 2], 16) for i in (1, 3, 5)]
        assert max(channels) - min(channels) <= 0xD4 - 0xBB


def test_places_kept_open_are_drawn_if_asked_for():
    for layout in LENGTHS:
        coach = coach_of_layout(layout)
        places = libseal.places_kept_open(coach, libseal.Catalogue.built_in())
        svg = ElementTree.fromstring(libseal.draw_coach(coach, kept_open=True))
        assert sorted(e.get("data-place") for e in of_class(svg, "open")) == sorted(p.id for p in places)
        assert not of_class(ElementTree.fromstring(libseal.draw_coach(coach)), "open")
        assert any("never sealed" in t for t in texts(svg))


def test_states_of_slide_outs_are_printed():
    coach = coach_of_layout("fifth_wheel")
    svg = ElementTree.fromstring(libseal.draw_coach(coach))
    assert sorted(t for t in texts(svg) if ": out" in t) == ["slide-out 1: out", "slide-out 2: out", "slide-out 3: out"]
    parts = [p.replace(state="in") if p.id == "slide_2" else p for p in coach.parts]
    assert "slide-out 2: in" in texts(ElementTree.fromstring(libseal.draw_coach(coach.replace(parts=parts))))


def test_work_since_a_look_is_told_and_an_urgency_given_goes_first():
    coach = coach_of_layout("camper_van")
    joint = coach.joints[0].id
    finding = libseal.Finding(coach="c", joint=joint, sign="gap", value=2.0, unit="mm", date=SEEN)
    work = libseal.WorkDone(coach="c", joint=joint, layer="cap_bead", date=SEEN + datetime.timedelta(days=9), action="cut_out_and_reseal")
    assert "work done since, 2026-04-22" in libseal.draw_coach(coach, findings=[finding], work_done=[work], as_of=AS_OF)
    catalogue = libseal.Catalogue.built_in()
    mild = finding.replace(value=0.05)
    kind = libseal.joint_type(catalogue, coach.joints[0].type)
    answer = libseal.judge(libseal.grade([mild], kind, catalogue), [mild], kind, False, catalogue, AS_OF)
    assert answer.urgency == "next_inspection"
    assert "I next inspection" not in libseal.draw_coach(coach, findings=[finding], as_of=AS_OF)
    assert "I next inspection" in libseal.draw_coach(coach, findings=[finding], as_of=AS_OF, urgency={joint: answer})


def test_findings_that_do_not_fit_the_coach_are_errors():
    coach = coach_of_layout("camper_van")
    with pytest.raises(libseal.ValueError, match="roof_went_1"):
        libseal.draw_coach(coach, findings=[libseal.Finding(coach="c", joint="roof_went_1", sign="gap", size="clear", date=SEEN)])
    later = libseal.Finding(coach="c", joint="roof_vent_1", sign="gap", size="clear", date=AS_OF + datetime.timedelta(days=1))
    other = later.replace(coach="another", date=SEEN)
    svg = ElementTree.fromstring(libseal.draw_coach(coach, findings=[later, other], as_of=AS_OF))
    assert not of_class(svg, "mark")


def test_what_was_looked_at_since_is_no_longer_dashed():
    coach = coach_of_layout("camper_van")
    missed = libseal.Finding(coach="c", joint="roof_vent_1", sign="not_inspected", reason="snow", date=SEEN)
    clean = libseal.Finding(coach="c", joint="roof_vent_1", sign="clean_look", date=SEEN + datetime.timedelta(days=30))
    early = libseal.draw_coach(coach, findings=[missed])
    later = libseal.draw_coach(coach, findings=[missed, clean])
    assert "look at it first" in early and "look at it first" not in later and "looked at since, 2026-05-13" in later
    dashed = [len([e for e in of_class(ElementTree.fromstring(t), "joint") if e.get("stroke-dasharray")]) for t in (early, later)]
    assert dashed == [1, 0]


@pytest.mark.parametrize("scale", [0.0, -1.0, float("nan"), float("inf")])
def test_a_drawing_has_a_size(trailer, scale):
    with pytest.raises(ValueError, match="scale: expected px per metre above zero"):
        libseal.draw_coach(trailer, scale=scale)
