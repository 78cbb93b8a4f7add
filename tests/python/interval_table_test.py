"""The table of intervals from Python: keywords, tables, errors. Everything in it is simulated."""

import numpy as np
import pytest

import libseal

CHOICE = {"stations": ["Phoenix, AZ", "725350"], "joint_types": ["roof_vent_flange", "window_frame"], "layers": 200}


@pytest.fixture(scope="module")
def table():
    return libseal.interval_table(**CHOICE)


def test_rows_and_columns_belong_together(table):
    assert len(table) == 4
    assert table.cost.shape == table.saving.shape == (4, 6)
    assert table.interval_cost.shape == (4, len(table.intervals))
    assert table.policies == ["run_to_failure", "every_90_days", "half_yearly", "yearly", "best_interval", "best_age"]
    assert table.row("SOUTH BEND MICHIANA RGNL AP", "window_frame") == 3
    assert table.cost_unit == "h"
    parts = table.look_cost[:, None] * table.looks + table.reseal_cost[:, None] * table.reseals + table.failure_cost[:, None] * table.failures / 1000
    np.testing.assert_allclose(table.cost, parts, rtol=1e-12)
    assert (table.saving.min(axis=1) == 0).all()


def test_keywords_reach_the_years(table):
    session = libseal.Session()
    again = libseal.interval_table(**CHOICE, session=session, threads=1)
    np.testing.assert_array_equal(again.cost, table.cost)
    assert session.site_count == 2
    other = libseal.interval_table(**CHOICE, session=session, seed=5)
    assert (other.cost != table.cost).any()
    early = libseal.interval_table(**CHOICE, session=session, found_grade=2)
    yearly = table.policy("yearly")
    assert (early.failures[:, yearly] < table.failures[:, yearly]).all()  # what is found sooner opens less
    assert (early.reseals[:, yearly] > table.reseals[:, yearly]).all()    # and is resealed more often
    dear = libseal.interval_table(**CHOICE, session=session, reseal_cost=2, look_cost=0.01, failure_cost=[1, 10, 100, 1000])
    assert (dear.failure_cost == [1000, 100] * 2).all()
    assert (dear.best_interval < table.best_interval).all()
    silicone = libseal.interval_table(**CHOICE, session=session, families=["neutral_cure_silicone"])
    assert (silicone.life > table.life).all()
    seen = []
    libseal.interval_table(**CHOICE | {"layers": 20_000}, progress=seen.append)  # enough that the slower stage must report
    assert seen and {step.stage for step in seen} <= {"climate and ageing", "simulating years"}  # quick stages may pass unreported


@pytest.mark.parametrize("arrow", [False, pytest.param(True, id="arrow")])
def test_frame(table, arrow):
    pytest.importorskip("pyarrow" if arrow else "pandas")
    frame = libseal.frames.interval_table_frame(table, arrow=arrow)
    assert len(frame) == 24
    np.testing.assert_array_equal(np.asarray(frame["cost_per_yr"]), table.cost.ravel())
    assert list(np.asarray(frame["policy"]))[:6] == table.policies
    assert list(np.asarray(frame["joint_type"]))[6] == "window_frame"


def test_text_says_that_it_is_simulated(table):
    text = libseal.interval_table_text(table)
    assert "simulated by the model" in text.splitlines()[0]
    assert sum(line.startswith("  window_frame") for line in text.splitlines()) == 2


def test_wrong_calls_name_their_field():
    with pytest.raises(libseal.ValueError, match="found_grade"):
        libseal.interval_table(found_grade=1)
    with pytest.raises(libseal.ValueError, match="all three or none"):
        libseal.interval_table(reseal_cost=3)
    with pytest.raises(libseal.ValueError, match="window_frame"):
        libseal.interval_table(joint_types=["window_frames"])
