"""What a technician saw, from Python: segments, grades, urgency with its reasons, meaning."""

import datetime
import math

import pytest

libseal = pytest.importorskip("libseal")

DAY = datetime.date(2026, 5, 4)


@pytest.fixture(scope="module")
def catalogue():
    return libseal.Catalogue.built_in()


@pytest.fixture(scope="module")
def coach():
    fitted = datetime.date(2020, 5, 1)
    return libseal.travel_trailer(length=9.1, id="t1", installed_from=fitted, installed_to=fitted)


def joint_named(coach, name):
    return next(joint for joint in coach.joints if joint.id == name)


def seen(joint, sign, **fields):
    return libseal.Finding(coach="t1", joint=joint, sign=sign, date=DAY - datetime.timedelta(days=3), **fields)


def judged(findings, kind, catalogue, **fields):
    joint_type = libseal.joint_type(catalogue, kind)
    grade = libseal.grade(findings, joint_type, catalogue)
    return libseal.judge(grade, findings, joint_type, exposed_soon=False, catalogue=catalogue, as_of=DAY, **fields)


def test_water_in_a_light_is_at_once_and_isolated(catalogue):
    answer = judged([seen("marker_1", "fogged_lens", size="slight")], "clearance_light", catalogue)
    assert answer.urgency == "at_once"
    assert answer.rule == "water_at_equipment"
    assert answer.isolate and not answer.safety
    assert answer.act_by == DAY + datetime.timedelta(days=7)
    assert any("qualified person" in reason for reason in answer.reasons)


def test_what_may_wait_has_no_day_and_no_cover(catalogue):
    answer = judged([seen("window_1", "yellowing", size="slight")], "window_frame", catalogue)
    assert (answer.urgency, answer.rule, answer.act_by, answer.cover_expires) == ("next_inspection", "table", None, None)


def test_declined_although_at_once_needs_a_signature(catalogue):
    declined = libseal.WorkDone(coach="t1", joint="window_1", layer="bedding", date=DAY, action="damage_survey", declined=True)
    soft = [seen("window_1", "soft_substrate")]
    assert judged(soft, "window_frame", catalogue, work_done=[declined]).needs_signature
    assert not judged(soft, "window_frame", catalogue).needs_signature


def test_meaning_of_a_rust_run_and_of_a_dirt_run(coach, catalogue):
    checks = libseal.meaning([seen("window_1", "rust_run")], coach, catalogue, as_of=DAY)
    assert [check.rule for check in checks] == ["seal_above_screw_failed"]
    assert checks[0].joint == "window_1" and 0 < checks[0].likelihood <= 1
    assert "window_1 on 2026-05-01" in checks[0].why
    assert {check.rule for check in libseal.meaning([seen("window_1", "dirt_run")], coach, catalogue, DAY)} == {"look_upstream"}
    assert libseal.meaning([], coach, catalogue, DAY) == []
    assert "look_upstream" in libseal.meaning_rules()
    assert libseal.signs_of_rule("look_upstream") == ["dirt_run"]


def test_a_part_of_its_own_is_found_graded_and_written(coach, catalogue):
    latch = libseal.Finding(coach="t1", part="entrance_door", sign="latch_or_handle_loose", size="severe", date=DAY)
    text = libseal.findings_json([latch])
    assert libseal.read_findings_text(text, "again")[0].part == "entrance_door"
    libseal.check_findings([latch], libseal.Fleet(coaches=[coach]), DAY)
    with pytest.raises(ValueError, match="did you mean \"entrance_door\""):
        libseal.check_findings([latch.replace(part="entrance_dor")], libseal.Fleet(coaches=[coach]), DAY)
    with pytest.raises(ValueError, match=r"again:6:15: findings\[0\].part"):
        libseal.read_findings_text(text.replace("entrance_door", "entrance_dor"), "again", libseal.Fleet(coaches=[coach]), DAY)


def test_segments_and_the_mean_beside_the_worst(coach, catalogue):
    window = joint_named(coach, "window_1")
    names = [segment.name for segment in libseal.segments_of(window)]
    assert {"1", "top", "bottom", "front", "rear", "corner_front_top"} <= set(names)
    findings = [seen("window_1", "deep_crack", size="clear", segment="top"), seen("window_1", "clean_look", segment="front")]
    grade = libseal.grade_of_joint(findings, window, catalogue)
    assert grade.worst() == 4
    assert 0 < grade.mean < 4
    assert math.isnan(libseal.grade_of_joint([seen("window_1", "not_inspected", reason="snow")], window, catalogue).mean)


def test_groups_bands_and_what_was_not_inspected(catalogue):
    assert libseal.signs_of_group("structure", catalogue) == ["soft_substrate", "delaminated"]
    assert len(libseal.sign_groups()) == 12
    assert libseal.moisture_band(26, catalogue).name == "evident"
    snow = seen("roof_vent_1", "not_inspected", reason="snow")
    assert libseal.not_inspected([snow], "t1", DAY) == ["roof_vent_1 was not inspected on 2026-05-01: snow"]
    assert libseal.not_inspected([snow, snow.replace(sign="clean_look", date=DAY)], "t1", DAY) == []
