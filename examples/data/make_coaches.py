#!/usr/bin/env python3
"""Writes the coaches and the fleet of the demo beside this file. All of it is invented; run it again after a change."""

import json
import pathlib
from collections.abc import Mapping, Sequence
from typing import Any

HERE = pathlib.Path(__file__).parent
STATIONS = {"South Bend IN": "725350", "Phoenix AZ": "722780", "Miami FL": "722020", "Seattle WA": "727930"}


class Sketch:
    """A coach drawn surface by surface; layers and beads are left to the usual ones of each joint type."""

    def __init__(self, ident: str, kind: str, label: str, length: float, width: float, floor: float, top: float,
                 roof: str, wall: str, roof_finish: str, wall_finish: str) -> None:
        self.length, self.half, self.floor, self.top = length, width / 2, floor, top
        self.roof, self.wall, self.roof_finish, self.wall_finish = roof, wall, roof_finish, wall_finish
        self.coach: dict[str, Any] = {"schema": "libseal/coach/1", "id": ident, "kind": kind, "label": label, "length_m": length,
                      "width_m": width, "floor_height_m": floor, "roof_height_m": top, "surfaces": [], "parts": [], "joints": []}
        half = self.half
        self.surface("roof", [0, -half], [length, half], roof, roof_finish)
        for cap in ("front_cap", "rear_cap"):
            self.surface(cap, [-half, floor], [half, top], wall, wall_finish)
        for side in ("street_wall", "curb_wall"):
            self.surface(side, [0, floor], [length, top], wall, wall_finish)
        self.surface("underside", [0, -half], [length, half], "pvc", "black_plastic")

    def surface(self, name: str, low: list[float], high: list[float], substrate: str, finish: str, slide: str = "") -> None:
        entry = {"name": name, "low_m": low, "high_m": high, "substrate": substrate, "finish": finish}
        if slide:
            entry["slide"] = slide
        self.coach["surfaces"].append(entry)

    def line(self, ident: str, kind: str, surface: str, path: Sequence[Sequence[float]], substrates: list[str], slide: str = "", part: str = "",
             **more: Any) -> None:
        entry = {"id": ident, "type": kind, "surface": surface, "path_m": [[round(u, 3), round(v, 3)] for u, v in path], "substrates": substrates, **more}
        if slide:
            entry["slide"] = slide
        if part:
            entry["part"] = part
        self.coach["joints"].append(entry)

    def part(self, ident: str, kind: str, surface: str, middle: tuple[float, float], size: tuple[float, float], joint: str, substrate: str,
             closed: bool = False, slide: str = "") -> None:
        (u, v), (w, h) = middle, size
        low, high = [round(u - w / 2, 3), round(v - h / 2, 3)], [round(u + w / 2, 3), round(v + h / 2, 3)]
        entry = {"id": ident, "kind": kind, "surface": surface, "low_m": low, "high_m": high, "label": ident.replace("_", " ")}
        if slide:
            entry["slide"] = slide
        self.coach["parts"].append(entry)
        if not joint:
            return
        corners = [low, [low[0], high[1]], high, [high[0], low[1]]]  # open at the bottom
        if closed:
            corners.append(low)
        under = self.roof if surface == "roof" else self.wall
        self.line(ident, joint, surface, corners, [substrate, under], slide, ident)

    def shell(self, corner_rails: bool = True) -> None:
        length, half, floor, top = self.length, self.half, self.floor, self.top
        for side, v in (("street", -half), ("curb", half)):
            self.line(f"roof_edge_{side}", "roof_edge_moulding", "roof", [[0, v], [length, v]], ["mill_aluminium", self.roof])
            self.line(f"floor_edge_{side}", "floor_edge_moulding", f"{side}_wall", [[0, floor + 0.02], [length, floor + 0.02]],
                      ["mill_aluminium", self.wall])
            if corner_rails:
                for end, u in (("front", 0.02), ("rear", length - 0.02)):
                    self.line(f"corner_{end}_{side}", "corner_moulding", f"{side}_wall", [[u, floor], [u, top]],
                              ["mill_aluminium", self.wall], length_m=round(2 * (top - floor), 3))
        for end, u in (("front", 0.15), ("rear", length - 0.15)):
            self.line(f"{end}_cap_to_roof", f"{end}_cap_to_roof", "roof", [[u, -half], [u, half]], [self.wall, self.roof])

    def slide(self, number: int, side: str, u: float, width: float, depth: float, low: float, high: float) -> None:
        ident, wall = f"slide_{number}", f"{side}_wall"
        sign = -1 if side == "street" else 1
        inner, outer = sign * self.half, sign * (self.half + depth)
        v0, v1 = sorted((round(inner, 3), round(outer, 3)))
        self.part(ident, "slide_out", wall, (u + width / 2, (low + high) / 2), (width, high - low), "", "")
        self.surface("slide_roof", [u, v0], [round(u + width, 3), v1], self.roof, self.roof_finish, ident)
        self.surface("slide_face", [u, low], [round(u + width, 3), high], self.wall, self.wall_finish, ident)
        for name in ("slide_front_side", "slide_rear_side"):
            self.surface(name, [0, low], [depth, high], self.wall, self.wall_finish, ident)
        self.surface("slide_floor", [u, v0], [round(u + width, 3), v1], "plywood", "black_plastic", ident)
        a, b, edge = u + 0.02, u + width - 0.02, outer - sign * 0.02
        frame = [[u, low], [u, high], [u + width, high], [u + width, low]]
        metal = ["mill_aluminium", self.wall]
        self.line(f"{ident}_flange", "slide_opening_flange", wall, frame, metal, part=ident)
        self.line(f"{ident}_bulb_seal", "slide_bulb_seal", wall, frame + [[u, low]], metal, part=ident)
        self.line(f"{ident}_wiper_seal", "slide_wiper_seal", wall, frame, metal, part=ident)
        self.line(f"{ident}_roof_seam", "slide_roof_seam", "slide_roof", [[a, inner], [a, edge], [b, edge], [b, inner]],
                  ["mill_aluminium", self.roof], ident, ident)
        self.line(f"{ident}_floor_edge", "slide_floor_edge", "slide_floor", [[a, inner], [a, edge], [b, edge], [b, inner]],
                  ["plywood", "pvc"], ident, ident)

    def write(self, installed: Any) -> None:
        self.coach["installed"] = installed
        path = HERE / f"{self.coach['id']}.json"
        path.write_text(compact(self.coach), encoding="utf-8")


def compact(value: Mapping[str, Any]) -> str:
    """JSON with one line for each entry of the long lists."""
    lines = []
    for key, entry in value.items():
        if isinstance(entry, list):
            body = ",\n".join("    " + json.dumps(one) for one in entry)
            lines.append(f'  "{key}": [\n{body}\n  ]')
        else:
            lines.append(f'  "{key}": {json.dumps(entry)}')
    return "{\n" + ",\n".join(lines) + "\n}\n"


def fifth_wheel() -> None:
    s = Sketch("fifth_wheel", "fifth_wheel", "fifth wheel 10.4 m, two slide-outs", 10.4, 2.44, 0.8, 3.2, "tpo_membrane",
               "gelcoat_laminate", "white_membrane", "white_gelcoat")
    s.shell()
    s.part("roof_vent_1", "roof_vent", "roof", (3.0, 0), (0.457, 0.457), "roof_vent_flange", "abs", True)
    s.part("roof_vent_2", "roof_vent", "roof", (7.6, 0), (0.457, 0.457), "roof_vent_flange", "abs", True)
    s.part("skylight", "skylight", "roof", (4.0, 0.45), (0.76, 0.61), "skylight_flange", "acrylic", True)
    s.part("air_conditioner", "air_conditioner", "roof", (6.0, 0), (0.70, 0.70), "", "")
    s.line("air_conditioner_gasket", "air_conditioner_gasket", "roof",
           [[5.82, -0.18], [6.18, -0.18], [6.18, 0.18], [5.82, 0.18], [5.82, -0.18]], ["painted_aluminium", "tpo_membrane"],
           part="air_conditioner")
    s.part("refrigerator_roof_vent", "refrigerator_roof_vent", "roof", (5.0, -0.8), (0.61, 0.30), "roof_exhaust_base", "abs", True)
    s.part("plumbing_vent_1", "plumbing_vent", "roof", (4.7, 0.75), (0.15, 0.15), "plumbing_vent_flange", "abs", True)
    s.part("plumbing_vent_2", "plumbing_vent", "roof", (8.4, -0.6), (0.15, 0.15), "plumbing_vent_flange", "abs", True)
    s.part("solar_foot_1", "solar_mount", "roof", (8.6, 0.55), (0.08, 0.06), "solar_mount_foot", "mill_aluminium", True)
    s.part("solar_foot_2", "solar_mount", "roof", (9.5, 0.55), (0.08, 0.06), "solar_mount_foot", "mill_aluminium", True)
    s.line("overhang_seam", "overhang_underside_seam", "underside", [[0.1, -1.2], [2.7, -1.2], [2.7, 1.2], [0.1, 1.2]],
           ["gelcoat_laminate", "mill_aluminium"])
    s.part("window_1", "exit_window", "street_wall", (1.4, 2.4), (0.76, 0.50), "exit_window_frame", "painted_aluminium")
    s.part("window_2", "window", "curb_wall", (1.4, 2.4), (0.76, 0.50), "window_frame", "painted_aluminium")
    s.part("window_3", "window", "rear_cap", (0, 2.3), (1.4, 0.7), "window_frame", "painted_aluminium")
    s.part("entrance_door", "entrance_door", "curb_wall", (4.2, 1.8), (0.70, 1.85), "entrance_door_frame", "painted_aluminium")
    s.part("baggage_door_street", "baggage_door", "street_wall", (3.3, 1.15), (0.90, 0.55), "baggage_door_frame", "painted_aluminium")
    s.part("baggage_door_curb", "baggage_door", "curb_wall", (3.2, 1.15), (0.90, 0.55), "baggage_door_frame", "painted_aluminium")
    s.part("marker_light_1", "marker_light", "front_cap", (-0.9, 3.1), (0.12, 0.05), "clearance_light", "polycarbonate")
    s.part("marker_light_2", "marker_light", "front_cap", (0.9, 3.1), (0.12, 0.05), "clearance_light", "polycarbonate")
    s.part("tail_light_street", "tail_light", "rear_cap", (-1.0, 1.1), (0.22, 0.12), "tail_light", "polycarbonate")
    s.part("tail_light_curb", "tail_light", "rear_cap", (1.0, 1.1), (0.22, 0.12), "tail_light", "polycarbonate")
    s.part("power_inlet", "power_inlet", "street_wall", (9.9, 1.1), (0.13, 0.13), "service_inlet", "abs")
    s.part("furnace_vent", "furnace_vent", "curb_wall", (8.9, 1.1), (0.22, 0.18), "furnace_vent_flange", "steel")
    s.line("awning_rail", "awning_rail", "curb_wall", [[3.2, 3.13], [8.6, 3.13]], ["mill_aluminium", "gelcoat_laminate"])
    s.slide(1, "street", 4.2, 4.2, 0.95, 1.3, 3.0)
    s.slide(2, "curb", 5.2, 2.6, 0.80, 1.3, 3.0)
    s.write({"from": "2021-02-01", "to": "2021-03-31"})


def motorhome() -> None:
    s = Sketch("motorhome", "motorhome", "motorhome 9.4 m, one slide-out", 9.4, 2.50, 0.9, 3.3, "gelcoat_laminate",
               "gelcoat_laminate", "white_gelcoat", "beige_gelcoat")
    s.shell(corner_rails=False)
    s.part("roof_vent_1", "roof_vent", "roof", (4.4, 0), (0.457, 0.457), "roof_vent_flange", "abs", True)
    s.part("roof_vent_2", "roof_vent", "roof", (8.2, 0), (0.457, 0.457), "roof_vent_flange", "abs", True)
    s.part("skylight", "skylight", "roof", (6.6, 0.4), (0.76, 0.61), "skylight_flange", "polycarbonate", True)
    for number, u in ((1, 2.6), (2, 7.3)):
        s.part(f"air_conditioner_{number}", "air_conditioner", "roof", (u, -0.1 if number == 2 else 0), (0.70, 0.70), "", "")
        v = -0.1 if number == 2 else 0
        s.line(f"air_conditioner_gasket_{number}", "air_conditioner_gasket", "roof",
               [[u - 0.18, v - 0.18], [u + 0.18, v - 0.18], [u + 0.18, v + 0.18], [u - 0.18, v + 0.18], [u - 0.18, v - 0.18]],
               ["painted_aluminium", "gelcoat_laminate"], part=f"air_conditioner_{number}")
    s.part("antenna", "antenna", "roof", (3.6, 0.8), (0.30, 0.25), "antenna_base", "abs", True)
    s.part("refrigerator_roof_vent", "refrigerator_roof_vent", "roof", (5.3, -0.85), (0.61, 0.30), "roof_exhaust_base", "abs", True)
    s.part("plumbing_vent_1", "plumbing_vent", "roof", (6.4, -0.6), (0.15, 0.15), "plumbing_vent_flange", "abs", True)
    s.part("ladder_roof_foot_1", "ladder_foot", "roof", (9.1, 0.5), (0.07, 0.06), "ladder_roof_foot", "mill_aluminium", True)
    s.part("ladder_roof_foot_2", "ladder_foot", "roof", (9.1, 0.9), (0.07, 0.06), "ladder_roof_foot", "mill_aluminium", True)
    s.part("ladder_wall_foot_1", "ladder_foot", "rear_cap", (0.5, 1.6), (0.06, 0.10), "wall_bracket_foot", "mill_aluminium")
    s.line("windshield", "windshield_joint", "front_cap", [[-1.1, 1.8], [-1.1, 2.9], [1.1, 2.9], [1.1, 1.8], [-1.1, 1.8]],
           ["glass", "gelcoat_laminate"])
    s.part("window_1", "window", "street_wall", (2.2, 2.4), (0.9, 0.6), "window_frame", "painted_aluminium")
    s.part("window_2", "exit_window", "street_wall", (8.4, 2.4), (0.8, 0.6), "exit_window_frame", "painted_aluminium")
    s.part("window_3", "window", "curb_wall", (4.6, 2.4), (1.2, 0.6), "window_frame", "painted_aluminium")
    s.part("window_4", "window", "curb_wall", (7.6, 2.4), (0.9, 0.6), "window_frame", "painted_aluminium")
    s.part("entrance_door", "entrance_door", "curb_wall", (3.2, 1.9), (0.70, 1.9), "entrance_door_frame", "painted_aluminium")
    s.part("baggage_door_street", "baggage_door", "street_wall", (6.6, 1.2), (1.0, 0.5), "baggage_door_frame", "painted_aluminium")
    s.part("baggage_door_curb", "baggage_door", "curb_wall", (6.6, 1.2), (1.0, 0.5), "baggage_door_frame", "painted_aluminium")
    s.part("marker_light_1", "marker_light", "front_cap", (-0.9, 3.2), (0.12, 0.05), "clearance_light", "polycarbonate")
    s.part("marker_light_2", "marker_light", "front_cap", (0.9, 3.2), (0.12, 0.05), "clearance_light", "polycarbonate")
    s.part("tail_light_street", "tail_light", "rear_cap", (-1.0, 1.2), (0.22, 0.12), "tail_light", "polycarbonate")
    s.part("tail_light_curb", "tail_light", "rear_cap", (1.0, 1.2), (0.22, 0.12), "tail_light", "polycarbonate")
    s.part("power_inlet", "power_inlet", "street_wall", (8.9, 1.2), (0.13, 0.13), "service_inlet", "abs")
    s.part("water_heater", "water_heater", "street_wall", (7.6, 1.2), (0.40, 0.36), "water_heater_frame", "steel")
    s.line("wall_belt_curb", "wall_seam_moulding", "curb_wall", [[0.1, 1.55], [2.8, 1.55]], ["mill_aluminium", "gelcoat_laminate"])
    s.line("awning_rail", "awning_rail", "curb_wall", [[3.0, 3.23], [8.2, 3.23]], ["mill_aluminium", "gelcoat_laminate"])
    s.slide(1, "street", 3.0, 3.2, 0.75, 1.5, 3.1)
    s.write({"from": "2018-09-01", "to": "2018-11-15"})


def van() -> None:
    s = Sketch("van", "van", "panel van 6.0 m", 6.0, 2.02, 0.6, 2.6, "steel", "steel", "silver_paint", "silver_paint")
    s.line("metal_roof_seam_street", "metal_roof_seam", "roof", [[0.6, -0.85], [5.9, -0.85]], ["steel"])
    s.line("metal_roof_seam_curb", "metal_roof_seam", "roof", [[0.6, 0.85], [5.9, 0.85]], ["steel"])
    s.line("drip_rail_street", "drip_rail", "street_wall", [[0.5, 2.58], [5.9, 2.58]], ["steel"])
    s.line("drip_rail_curb", "drip_rail", "curb_wall", [[0.5, 2.58], [5.9, 2.58]], ["steel"])
    s.part("roof_vent_1", "roof_vent", "roof", (2.2, 0), (0.457, 0.457), "roof_vent_flange", "abs", True)
    s.part("roof_vent_2", "roof_vent", "roof", (4.9, 0), (0.457, 0.457), "roof_vent_flange", "abs", True)
    for number, (u, v) in enumerate(((3.0, -0.6), (4.2, -0.6), (3.0, 0.6), (4.2, 0.6)), 1):
        s.part(f"solar_foot_{number}", "solar_mount", "roof", (u, v), (0.08, 0.06), "solar_mount_foot", "mill_aluminium", True)
    for number, (u, v) in enumerate(((1.4, -0.75), (1.4, 0.75), (5.5, -0.75), (5.5, 0.75)), 1):
        s.part(f"roof_rail_foot_{number}", "roof_rail", "roof", (u, v), (0.10, 0.06), "roof_rail_foot", "mill_aluminium", True)
    s.part("antenna", "antenna", "roof", (1.0, 0.3), (0.20, 0.20), "antenna_base", "abs", True)
    s.line("windshield", "windshield_joint", "front_cap", [[-0.85, 1.5], [-0.85, 2.2], [0.85, 2.2], [0.85, 1.5], [-0.85, 1.5]],
           ["glass", "steel"])
    s.part("window_1", "window", "street_wall", (2.6, 1.8), (1.0, 0.45), "window_frame", "acrylic")
    s.part("window_2", "exit_window", "curb_wall", (4.5, 1.8), (1.0, 0.45), "exit_window_frame", "acrylic")
    s.part("window_3", "window", "rear_cap", (-0.45, 1.8), (0.6, 0.45), "window_frame", "acrylic")
    s.part("window_4", "window", "rear_cap", (0.45, 1.8), (0.6, 0.45), "window_frame", "acrylic")
    s.part("power_inlet", "power_inlet", "street_wall", (5.4, 1.2), (0.13, 0.13), "service_inlet", "abs")
    s.part("water_inlet", "water_inlet", "street_wall", (4.9, 1.2), (0.13, 0.13), "service_inlet", "abs")
    s.part("refrigerator_vent", "refrigerator_vent", "street_wall", (4.0, 1.3), (0.45, 0.25), "refrigerator_vent_frame", "abs")
    s.part("furnace_vent", "furnace_vent", "street_wall", (3.2, 1.0), (0.15, 0.12), "furnace_vent_flange", "steel")
    s.part("marker_light_1", "marker_light", "front_cap", (0, 2.5), (0.12, 0.05), "clearance_light", "polycarbonate")
    s.part("porch_light", "porch_light", "curb_wall", (3.2, 2.3), (0.25, 0.06), "tail_light", "polycarbonate")
    s.line("awning_rail", "awning_rail", "curb_wall", [[2.0, 2.5], [5.2, 2.5]], ["mill_aluminium", "steel"])
    s.part("awning_bracket_1", "awning_bracket", "curb_wall", (2.1, 2.42), (0.07, 0.09), "awning_bracket", "mill_aluminium")
    s.part("awning_bracket_2", "awning_bracket", "curb_wall", (5.1, 2.42), (0.07, 0.09), "awning_bracket", "mill_aluminium")
    s.line("underbelly_pass_1", "underbelly_pass", "underside", [[3.9, -0.3], [4.05, -0.3], [4.05, -0.15], [3.9, -0.15]], ["steel", "pvc"])
    s.write("2022-06-15")


def at(place: str, start: str, end: str | None = None, cover: str = "open", heading: float | None = None) -> dict[str, Any]:
    stay: dict[str, Any] = {"from": start, "place": place, "station": STATIONS[place], "cover": cover}
    if end:
        stay["to"] = end
    if heading is not None:
        stay["heading_deg"] = heading
    return stay


def two_homes(summer: str, winter: str, first_year: int, last_year: int, summer_cover: str = "open", winter_cover: str = "open") -> list[dict[str, Any]]:
    """Summers here, winters there, from the first spring on."""
    stays = []
    for year in range(first_year, last_year + 1):
        stays.append(at(summer, f"{year}-04-15", f"{year}-10-20", summer_cover, 90))
        stays.append(at(winter, f"{year}-10-20", None if year == last_year else f"{year + 1}-04-15", winter_cover, 180))
    return stays


def trailer(ident: str, owner: str, line: str, length: float, year: int, stays: list[dict[str, Any]], installed: Any = None, **options: Any) -> dict[str, Any]:
    coach = {"layout": "travel_trailer", "id": ident, "owner": owner, "model_line": line, "model_year": year, "length_m": length}
    if installed:
        coach["installed"] = installed
    return {**coach, **options, "stays": stays}


def by_file(ident: str, file: str, owner: str, line: str, year: int, installed: Any, stays: list[dict[str, Any]]) -> dict[str, Any]:
    return {"file": file, "id": ident, "owner": owner, "model_line": line, "model_year": year, "installed": installed, "stays": stays}


def fleet() -> None:
    coaches = [
        trailer("TT-01", "A. K.", "Line A 24", 7.3, 2021, [at("South Bend IN", "2021-04-10", heading=160)], "2021-03-20", slide_outs=0),
        trailer("TT-02", "B. O.", "Line A 24", 7.3, 2019, [at("Phoenix AZ", "2019-05-02", heading=180)], "2019-04-04", slide_outs=0,
                wall_finish="beige_gelcoat"),
        trailer("TT-03", "C. W.", "Line A 30", 9.1, 2020, two_homes("South Bend IN", "Phoenix AZ", 2020, 2026), "2020-04-01"),
        trailer("TT-04", "D. M.", "Line A 30", 9.1, 2023, [at("Miami FL", "2023-02-11", heading=270)], "2023-01-30",
                roof_substrate="tpo_membrane", slide_outs=2, roof_vents=3,
                changes={"skylight": {"layers": [{"kind": "cap_bead", "family": "silyl_modified"}]}}),
        trailer("TT-05", "E. S.", "Line B 20", 6.1, 2017, [at("Seattle WA", "2017-06-01", "2022-09-15"),
                                                          at("Seattle WA", "2022-09-15", cover="covered")],
                {"from": "2016-09-01", "to": "2017-05-20"}, slide_outs=0, windows=4, ladder=False,
                wall_substrate="painted_aluminium", wall_finish="white_paint"),
        by_file("FW-01", "fifth_wheel.json", "F. J.", "Line C 34", 2021, {"from": "2021-02-01", "to": "2021-03-31"},
                [at("South Bend IN", "2021-04-01", cover="carport", heading=0)]),
        by_file("FW-02", "fifth_wheel.json", "G. T.", "Line C 34", 2019, "2019-03-12", [at("Phoenix AZ", "2019-04-01", heading=135)]),
        by_file("FW-03", "fifth_wheel.json", "H. N.", "Line C 34", 2020, {"from": "2019-07-01", "to": "2020-12-31"},
                [at("Miami FL", "2019-07-01", "2023-05-01"), at("South Bend IN", "2023-05-01", cover="indoors")]),
        by_file("MH-01", "motorhome.json", "I. P.", "Line D 31", 2018, {"from": "2018-09-01", "to": "2018-11-15"},
                [at("Seattle WA", "2018-09-01", "2019-04-15")] + two_homes("Seattle WA", "Phoenix AZ", 2019, 2026, winter_cover="carport")),
        by_file("MH-02", "motorhome.json", "J. R.", "Line D 31", 2024, "2024-02-20", [at("Miami FL", "2024-03-01", heading=90)]),
        by_file("VN-01", "van.json", "K. L.", "Line E", 2022, "2022-06-15", [at("South Bend IN", "2022-07-01")]),
        by_file("VN-02", "van.json", "L. D.", "Line E", 2025, "2025-03-03", [at("Seattle WA", "2025-03-10", heading=225)]),
    ]
    rows = ",\n".join("    " + json.dumps(coach) for coach in coaches)
    (HERE / "fleet.json").write_text('{\n  "schema": "libseal/fleet/1",\n  "coaches": [\n' + rows + "\n  ]\n}\n", encoding="utf-8")


if __name__ == "__main__":
    fifth_wheel()
    motorhome()
    van()
    fleet()
