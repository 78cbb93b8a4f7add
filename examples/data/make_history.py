#!/usr/bin/env python3
"""Writes ten years of inspections of a small fleet beside this file, for docs/tuning.md. All of it is invented.

Lives are drawn from the library's own model, with true lives that are not those of the catalogue (TRUE_LIFE), so that there is something
to be learnt; looks err as the model says. Run it again after a change; the draws are seeded.
"""

import csv
import datetime
import io
import math
import pathlib
import random

import libseal

HERE = pathlib.Path(__file__).parent
TRUE_LIFE = {"self_levelling_lap": 1.4, "non_sag_lap": 0.8}  # over the life in the catalogue
STATIONS = ["725350", "722780", "727930"]
YEARS = range(2017, 2027)
COACHES, LINES = 36, 4
CATALOGUE = libseal.Catalogue.built_in()
DRAW = random.Random(20)


def fleet_text() -> str:
    rows = io.StringIO()
    table = csv.writer(rows, lineterminator="\n")
    table.writerow(["id", "layout", "length_m", "model_line", "model_year", "installed", "station", "heading_deg"])
    for c in range(COACHES):
        built = datetime.date(2014 + c % 5, 1 + c % 12, 15)
        table.writerow([f"H-{c + 1:02}", "travel_trailer", 7.5, f"line {'ABCD'[c % LINES]}", built.year, built, STATIONS[c % 3], 0])
    return rows.getvalue()


def gap_of_grade(coach: libseal.Coach, joint: libseal.Joint) -> dict[int, float]:
    """Gaps over a fifth of the length that grade 1 to 4; an open bead over a bedding that nobody saw is grade 4. [mm]"""
    gaps = {}
    for gap in (2.5, 1.2, 0.8, 0.4, 0.2, 0.15, 0.05):
        finding = libseal.Finding(coach=coach.id, joint=joint.id, layer="cap_bead", sign="gap", date=datetime.date(2020, 1, 1), value=gap,
                                  unit="mm", share=0.2)
        gaps[libseal.grade_of_joint([finding], joint, CATALOGUE).cap] = gap
    return gaps


def reported(worn: float) -> int:
    """Grade that a look reports: it errs, overlooks, or says nothing."""
    number = CATALOGUE.number
    if DRAW.random() < number("model/look_stray"):
        return DRAW.randrange(6)
    cuts = [number(f"model/cut_grade_{k}") for k in range(1, 6)]
    grade = next((k for k, cut in enumerate(cuts) if worn < cut), 5)
    low, high = ([0.0] + cuts)[grade], (cuts + [2 * cuts[4] - cuts[3]])[grade]
    exact = grade - 0.5 + (min(worn, high) - low) / (high - low) if grade else worn / cuts[0] - 0.5
    if exact > 2.5 and DRAW.random() > number("model/look_detection"):
        exact = 2.0
    return min(5, max(0, round(exact + number("model/look_sd") * DRAW.gauss(0, 1))))


def main() -> None:
    text = fleet_text()
    (HERE / "history_fleet.csv").write_text(text)
    fleet = libseal.read_fleet_text(text, "history_fleet.csv")
    joints = {(c.id, j.id): j for c in fleet.coaches for j in c.joints}
    coaches = {c.id: c for c in fleet.coaches}
    days = [datetime.date(year, 5, 12) for year in YEARS]
    ages = [libseal.forecast(fleet, day, 1).effective_age for day in days]
    table = libseal.forecast(fleet, days[-1], 1)
    effects: dict[str, float] = {}

    def effect(name: str, sd: str) -> float:
        return effects.setdefault(name, DRAW.gauss(0, CATALOGUE.number(f"model/sd_{sd}")))

    spread = libseal.Weibull(1.0, CATALOGUE.number("model/shape"))
    findings, work = [], []
    kinds = {"roof_vent_flange", "window_frame"}
    for row in range(len(table)):
        coach, joint, family = table.coach[row], table.joint[row], table.family[row]
        if table.layer[row] != "cap_bead" or joints[coach, joint].type not in kinds or family not in TRUE_LIFE:
            continue
        s = effect(family + coaches[coach].model_line, "model_line") + effect(family + coach, "coach") + DRAW.gauss(0, CATALOGUE.number("model/sd_joint"))
        # The catalogue has the median over all joints; the scale of a joint's own life is near that over the Weibull median.
        scale = TRUE_LIFE[family] * CATALOGUE.number(f"sealant/{family}/median_life") / float(spread.quantile(0.5)) * math.exp(-s)
        gaps = gap_of_grade(coaches[coach], joints[coach, joint])
        fitted, life = 0.0, scale * float(spread.quantile(DRAW.random()))
        for day, age in zip(days, ages, strict=True):
            if age[row] <= fitted or day <= joints[coach, joint].layers[0].installed_to:
                continue
            grade = reported((age[row] - fitted) / life)
            clean = grade <= 1
            findings.append([coach, joint, "cap_bead", "clean_look" if clean else "gap", day, "" if clean else gaps[min(grade, 4)], "" if clean else "mm",
                             "" if clean else 20, "R. V."])
            if grade >= 3 and DRAW.random() < 0.7:  # resealed the same day; others wait a year
                work.append([coach, joint, "cap_bead", day, "cut_out_and_reseal", family, "R. V.", "no"])
                fitted, life = age[row], scale * float(spread.quantile(DRAW.random()))
    for name, head, rows in (("findings", ["coach", "joint", "layer", "sign", "date", "value", "unit", "share_percent", "inspector"], findings),
                             ("work_done", ["coach", "joint", "layer", "date", "action", "family", "who", "declined"], work)):
        with (HERE / f"history_{name}.csv").open("w", newline="") as file:
            csv.writer(file, lineterminator="\n").writerows([head, *rows])


if __name__ == "__main__":
    main()
