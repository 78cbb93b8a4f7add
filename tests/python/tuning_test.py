"""What past inspections teach, from Python: the same numbers as in C++, tables, errors by keyword."""

import datetime

import numpy as np
import pytest

import libseal

AS_OF, UNTIL = datetime.date(2025, 12, 31), datetime.date(2026, 12, 31)


@pytest.fixture(scope="module")
def history(root):
    data = root / "examples" / "data"
    return {"fleet": libseal.read_fleet(data / "history_fleet.csv"), "findings": libseal.read_findings(data / "history_findings.csv"),
            "work_done": libseal.read_work_done(data / "history_work_done.csv")}


@pytest.fixture(scope="module")
def known(history):
    return {"findings": [f for f in history["findings"] if f.date <= AS_OF], "work_done": [w for w in history["work_done"] if w.date <= AS_OF]}


@pytest.fixture(scope="module")
def recalibration(history, known):
    return libseal.recalibrate(history["fleet"], known["findings"], AS_OF, work_done=known["work_done"])


def test_lives_count_every_generation_once(history):
    records = libseal.life_records(history["fleet"], history["findings"], UNTIL, work_done=history["work_done"])
    keys = list(zip(records.coach, records.joint, records.layer, records.generation, strict=True))
    assert len(set(keys)) == len(keys) == len(records) > 500
    event = np.array(records.event)
    due = np.isin(event, ["due", "due_at_first_look"])
    assert np.isfinite(records.upper[due]).all() and np.isinf(records.upper[~due]).all()
    assert (records.lower[event == "due_at_first_look"] == 0).all() and (records.lower[event != "due_at_first_look"] > 0).all()
    assert (records.lower < records.upper).all() and (records.entry == 0).all()
    assert np.isnan(records.workmanship[~due]).all() and ((0 <= records.workmanship[due]) & (records.workmanship[due] <= 1)).all()
    # Each look at a standing or past generation is in exactly one row.
    assert sum(records.looks) == len(history["findings"])


def test_effective_years_put_climates_on_one_scale(history):
    records = libseal.life_records(history["fleet"], history["findings"], UNTIL, work_done=history["work_done"])
    table = {}
    for place in set(records.place):
        rows = (np.array(records.place) == place) & (np.array(records.layer) == "cap_bead") & np.isfinite(records.upper)
        table[place] = (np.median(records.upper_years[rows]), np.median(records.upper[rows]))
    calendar, effective = np.array(list(table.values())).T
    assert np.ptp(np.log(effective)) < np.ptp(np.log(calendar))


def test_a_recalibration_becomes_an_overlay(recalibration):
    families = recalibration.families
    assert families.verdict[families.family.index("self_levelling_lap")] == "enough"
    overlay = libseal.fitted_overlay(recalibration, ["self_levelling_lap"], by="the service manager")
    value = libseal.Catalogue.built_in().with_overlay(overlay, "fitted").at("sealant/self_levelling_lap/median_life")
    assert value.mark == "fitted" and "the service manager" in value.source
    row = families.family.index("self_levelling_lap")
    assert value.value == pytest.approx(families.life[row], abs=5e-4)
    assert value.low < 1.4 * 4 < value.high  # the true life of the invented history
    assert "self_levelling_lap" in libseal.recalibration_text(recalibration)
    with pytest.raises(libseal.ValueError, match="approved"):
        libseal.fitted_overlay(recalibration, [], by="the service manager")


def test_catalogues_stand_side_by_side(history, recalibration):
    old = libseal.Catalogue.built_in()
    new = old.with_overlay(libseal.fitted_overlay(recalibration, ["self_levelling_lap"], by="a test"), "fitted")
    test = libseal.back_test(history["fleet"], history["findings"], AS_OF, UNTIL, work_done=history["work_done"], catalogues={"old": old, "new": new})
    assert test.catalogues == ["old", "new"] and test.chance_due.shape == (len(test), 2)
    due = np.array(test.lowest) >= 3
    for column, score in enumerate(test.scores):
        chance = test.chance_due[:, column]
        assert score.brier == pytest.approx(np.mean((chance - due) ** 2))
        assert score.log_score == pytest.approx(-np.mean(np.log(test.chance_of_grade[:, column])))
        assert sum(score.bin_looks) == len(test) and score.ranks.sum() == pytest.approx(1)
    assert test.scores[1].log_gain == pytest.approx(test.scores[0].log_score - test.scores[1].log_score)
    assert "Brier" in libseal.back_test_text(test)


def test_looks_are_chosen_one_after_the_other(history, known):
    made = libseal.look_experiment(history["fleet"], known["findings"], "self_levelling_lap", AS_OF, work_done=known["work_done"], most=12, width=0.1)
    assert len(made) == 12 < made.candidates
    assert (np.diff(made.log_sd) < 0).all() and made.log_sd[0] < made.log_sd_before
    assert made.bits.sum() == pytest.approx(np.log2(made.log_sd_before / made.log_sd[-1]))
    assert len(set(made.coach)) > 6


@pytest.mark.parametrize("arrow", [False, pytest.param(True, id="arrow")])
def test_tables(history, known, recalibration, arrow):
    pytest.importorskip("pyarrow" if arrow else "pandas")
    records = libseal.life_records(history["fleet"], known["findings"], AS_OF, work_done=known["work_done"])
    experiment = libseal.look_experiment(history["fleet"], known["findings"], "non_sag_lap", AS_OF, work_done=known["work_done"], most=3)
    test = libseal.back_test(history["fleet"], history["findings"], AS_OF, UNTIL, work_done=history["work_done"])
    frames = libseal.frames
    made = {"records": (frames.life_records_frame(records, arrow=arrow), len(records)),
            "families": (frames.lives_frame(recalibration.families, arrow=arrow), len(recalibration.families)),
            "coaches": (frames.lives_frame(recalibration.coaches, arrow=arrow), len(recalibration.coaches)),
            "looks": (frames.back_test_frame(test, arrow=arrow), len(test)), "experiment": (frames.experiment_frame(experiment, arrow=arrow), 3)}
    for table, rows in made.values():
        assert len(table) == rows > 0
    lower = made["records"][0]["lower_yr"]
    assert np.array_equal(np.asarray(lower), records.lower)


def test_wrong_calls_name_their_field(history, known):
    fleet = history["fleet"]
    with pytest.raises(libseal.ValueError, match="prior_sd"):
        libseal.recalibrate(fleet, known["findings"], AS_OF, prior_sd=3)
    with pytest.raises(libseal.ValueError, match="until"):
        libseal.back_test(fleet, known["findings"], AS_OF, AS_OF)
    with pytest.raises(libseal.ValueError, match="non_sag_lap"):
        libseal.look_experiment(fleet, [], "non_sag_lapp", AS_OF)
    with pytest.raises(libseal.ValueError, match="date"):
        libseal.life_records(fleet, history["findings"], datetime.date(2018, 1, 1))


def test_no_part_of_a_long_call_is_silent(history, known):
    """A call can be stopped where it reports: each part does."""
    fleet = history["fleet"]
    until, told = {"work_done": history["work_done"], "threads": 1}, {"work_done": known["work_done"], "threads": 1}
    calls = {
        "records of lives": lambda **watch: libseal.life_records(fleet, history["findings"], UNTIL, **until, **watch),
        "evidence": lambda **watch: libseal.recalibrate(fleet, known["findings"], AS_OF, **told, **watch),
        "spreads": lambda **watch: libseal.recalibrate(fleet, known["findings"], AS_OF, **told, **watch),
        "looks that could be taken": lambda **watch: libseal.look_experiment(fleet, known["findings"], "non_sag_lap", AS_OF, most=2, **told, **watch),
        "looks of the span": lambda **watch: libseal.back_test(fleet, history["findings"], AS_OF, UNTIL, **until, **watch),
    }
    for stage, call in calls.items():

        def leave(state, stage=stage):
            if state.stage == stage:
                raise LookupError(stage)

        with pytest.raises(LookupError, match=stage):
            call(progress=leave)
