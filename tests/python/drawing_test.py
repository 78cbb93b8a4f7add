"""The drawing of a coach: every joint on it, to scale, labels apart, names escaped."""

import datetime
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


def test_inches_stand_beside_metres_if_asked_for(trailer):
    svg = libseal.draw_coach(trailer, inches=True)
    assert "8.00 m (315.0 in)" in svg and "2.44 m (96.1 in)" in svg
    assert "(315.0 in)" not in libseal.draw_coach(trailer)


def test_labels_do_not_cover_each_other(trailer, forecast):
    drawing = libseal.drawing
    views = drawing.shell_views(trailer)
    placed, _, _ = drawing.lay_out(views, drawing.other_views(trailer, views))
    numbers, chance = drawing.joint_numbers(trailer), drawing.due_within_year(trailer, forecast)
    boxes = []
    for view in placed:
        drawing.draw_view(view, trailer, numbers, chance)
        boxes += view.labels
    assert len(boxes) == len(trailer.joints)
    covered = sum(drawing.overlap(a, b) > 4 for i, a in enumerate(boxes) for b in boxes[:i])
    assert covered == 0


def test_views_do_not_cover_each_other_and_lie_on_the_sheet(trailer):
    drawing = libseal.drawing
    for coach in (trailer, libseal.travel_trailer(4.5, id="s", slide_outs=0), libseal.travel_trailer(12, id="l", slide_outs=2)):
        views = drawing.shell_views(coach)
        placed, width, height = drawing.lay_out(views, drawing.other_views(coach, views))
        boxes = [(v.x, v.y, v.x + v.size()[0], v.y + v.size()[1]) for v in placed]
        assert all(drawing.overlap(a, b) == 0 for i, a in enumerate(boxes) for b in boxes[:i])
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
