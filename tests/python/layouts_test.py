"""Layouts and the places of their coaches that are never sealed."""

from __future__ import annotations

import datetime

import pytest

import libseal

LENGTHS = {"travel_trailer": 8.0, "fifth_wheel": 11.0, "motorhome": 9.0, "camper_van": 6.0, "truck_camper": 5.0}
BUILT = datetime.date(2021, 5, 1)


def test_every_layout_is_made_with_keywords() -> None:
    assert sorted(LENGTHS) == sorted(libseal.layout_names())
    catalogue = libseal.Catalogue.built_in()
    for name, length in LENGTHS.items():
        make = getattr(libseal, name)
        coach = make(length, id="mine", roof_vents=1, marker_lights=0, installed_from=BUILT, installed_to=BUILT)
        libseal.check_coach(coach, catalogue)
        assert coach.id == "mine"
        assert [part.kind for part in coach.parts].count("roof_vent") == 1


def test_keywords_of_a_layout_have_its_usual_values() -> None:
    for name, length in LENGTHS.items():
        options = libseal.layout_options(name)
        coach = getattr(libseal, name)(length)
        assert (coach.id, coach.width, coach.floor_height) == (options.id, options.width, options.floor_height)
        assert coach.roof_height == options.floor_height + options.wall_height
        kinds = [part.kind for part in coach.parts]
        assert kinds.count("window") + kinds.count("exit_window") == options.windows
        for kind in ("roof_vent", "marker_light", "solar_panel"):
            assert kinds.count(kind) == getattr(options, kind + "s")
        assert kinds.count("slide_out") == options.slide_outs + options.slide_outs_curb
        assert ("awning" in kinds) == options.awning


def test_ranges_hold() -> None:
    for name, length in LENGTHS.items():
        for limit in libseal.layout_ranges(name):
            if limit.option == "length":
                with pytest.raises(ValueError, match="length"):
                    getattr(libseal, name)(limit.high + 0.1)
            elif limit.option in ("windows", "roof_vents", "solar_panels"):
                with pytest.raises(ValueError, match=limit.option):
                    getattr(libseal, name)(length, **{limit.option: int(limit.high) + 1})


def test_overcab_is_a_motorhomes() -> None:
    flat, overcab = libseal.motorhome(9.0), libseal.motorhome(9.0, overcab=True)
    assert "windshield" in {joint.id for joint in flat.joints}
    assert {"cab_joint_roof", "overhang_seam"} <= {joint.id for joint in overcab.joints}
    assert len(libseal.surface_of(overcab, "street_wall", "").outline) == 6
    with pytest.raises(ValueError, match="overcab"):
        libseal.fifth_wheel(11.0, overcab=True)


def test_places_kept_open_have_reasons() -> None:
    catalogue = libseal.Catalogue.built_in()
    coach = libseal.fifth_wheel(11.0, installed_from=BUILT, installed_to=BUILT)
    places = libseal.places_kept_open(coach, catalogue)
    assert len({place.id for place in places}) == len(places) > 60
    assert all(place.reason and len(place.path) >= 2 for place in places)
    kinds = {place.kind for place in places}
    assert {"frame_bottom", "exit_opening", "slide_seal", "gas_vent", "gutter_outlet"} <= kinds
    window = next(joint for joint in coach.joints if joint.type == "window_frame")
    assert libseal.open_edge_of(window, catalogue) == "bottom"
    assert {place.kind for place in libseal.places_kept_open_at(coach, window.id, catalogue)} == {"frame_bottom"}
    closed = window.replace(path=[*window.path, window.path[0]])
    others = [joint for joint in coach.joints if joint.id != window.id]
    with pytest.raises(ValueError, match="stays open"):
        libseal.check_coach(coach.replace(joints=[*others, closed]), catalogue)


def test_a_stepped_wall_is_drawn_with_its_step() -> None:
    assert libseal.draw_coach(libseal.fifth_wheel(11.0)).count('<polygon class="surface"') == 2
    assert '<polygon class="surface"' not in libseal.draw_coach(libseal.camper_van(6.0))
