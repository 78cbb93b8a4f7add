"""Tables in and out: what goes into a frame or an Arrow table comes back equal, and bad cells are named."""

import datetime

import numpy as np
import pytest

import libseal
from libseal import cells, frames
from libseal.columns import ForecastColumns

pandas = pytest.importorskip("pandas")
AS_OF = datetime.date(2026, 11, 25)
ARROW = [False, pytest.param(True, id="arrow")]


@pytest.fixture(scope="module")
def demo(root):
    data = root / "examples" / "data"
    return {"fleet": libseal.read_fleet(data / "fleet.json"), "findings": libseal.read_findings(data / "findings.csv"),
            "work_done": libseal.read_work_done(data / "work_done.csv"), "shop": libseal.read_shop(data / "shop.json")}


@pytest.fixture(scope="module")
def small(demo):
    return libseal.Fleet(coaches=[c for c in demo["fleet"].coaches if c.id in ("TT-01", "FW-02", "VN-02")])


@pytest.fixture(autouse=True)
def needs_arrow(request):
    if request.node.callspec.params.get("arrow") if hasattr(request.node, "callspec") else False:
        pytest.importorskip("pyarrow")


def rebuilt(table, arrow):
    """The table as another program would hand it over: out through its own format and in again."""
    if arrow:
        import io

        import pyarrow as pa

        sink = io.BytesIO()
        with pa.ipc.new_stream(sink, table.schema) as writer:
            writer.write_table(table)
        return pa.ipc.open_stream(sink.getvalue()).read_all()
    return table.copy()


@pytest.mark.parametrize("arrow", ARROW)
def test_a_fleet_comes_back_equal(demo, arrow):
    made = frames.fleet_frames(demo["fleet"], arrow=arrow)
    back = frames.fleet_from_frames({name: rebuilt(table, arrow) for name, table in made.items()})
    assert libseal.fleet_json(back) == libseal.fleet_json(demo["fleet"])


@pytest.mark.parametrize("arrow", ARROW)
def test_findings_and_work_come_back_equal(demo, arrow):
    findings = frames.findings_from_frame(rebuilt(frames.findings_frame(demo["findings"], arrow=arrow), arrow))
    assert libseal.findings_json(findings) == libseal.findings_json(demo["findings"])
    work = frames.work_done_from_frame(rebuilt(frames.work_done_frame(demo["work_done"], arrow=arrow), arrow))
    assert [repr(w) for w in work] == [repr(w) for w in demo["work_done"]] and len(work) > 10


@pytest.mark.parametrize("arrow", ARROW)
def test_a_calendar_comes_back_equal(small, demo, arrow):
    findings = [f for f in demo["findings"] if f.coach in ("TT-01", "FW-02")]
    calendar = libseal.year_calendar(small, 2027, demo["shop"], AS_OF, findings=findings, work_limit=2)
    made = frames.calendar_frames(calendar, arrow=arrow)
    back = frames.calendar_from_frames({name: rebuilt(table, arrow) for name, table in made.items()})
    assert back.json_text() == calendar.json_text() and back.ics_text() == calendar.ics_text()
    assert sum(len(v.tasks) for v in calendar.visits) == len(made["tasks"]) > 0


@pytest.mark.parametrize("arrow", ARROW)
def test_a_forecast_comes_back_to_the_bit(small, arrow):
    forecast = libseal.forecast(small, AS_OF, 5)
    back = frames.forecast_from_frame(rebuilt(frames.forecast_frame(forecast, arrow=arrow), arrow))
    assert back.equals(forecast) and len(back) == len(forecast) and back.rows_of("FW-02") == forecast.rows_of("FW-02")
    assert not ForecastColumns.of(libseal.forecast(small, AS_OF + datetime.timedelta(days=1), 5)).equals(forecast)


@pytest.mark.parametrize("arrow", ARROW)
def test_empty_tables_have_their_columns_and_types(arrow):
    made = frames.fleet_frames(libseal.Fleet(), arrow=arrow)
    assert all(len(table) == 0 for table in made.values())
    assert frames.fleet_from_frames(made).coaches == []
    assert frames.findings_from_frame(frames.findings_frame([], arrow=arrow)) == []


def test_types_are_the_same_whatever_the_rows_hold(demo):
    empty, full = frames.findings_frame([]), frames.findings_frame(demo["findings"])
    assert list(empty.dtypes.astype(str)) == list(full.dtypes.astype(str))
    assert str(full["date"].dtype) == "datetime64[s]" and str(full["share_percent"].dtype) == "float64"
    assert str(full["reaches_fastener"].dtype) == "bool" and str(full["sign"].dtype) == "string"
    stays = frames.fleet_frames(demo["fleet"])["stays"]
    assert stays["stay_to"].iloc[0] == np.datetime64("9999-12-31")
    pa = pytest.importorskip("pyarrow")
    schema = frames.findings_frame(demo["findings"], arrow=True).schema
    assert schema == frames.findings_frame([], arrow=True).schema
    assert schema.field("date").type == pa.date32() and schema.field("value").type == pa.float64()


def rows():
    return pandas.DataFrame({"Fahrzeug": ["A", "B"], "Bauart": ["travel_trailer", "camper_van"], "Länge": [7.3, 6], "seit": [datetime.date(2020, 5, 1)] * 2,
                             "Ort": ["south bend", "722780"], "Bemerkung": ["x", "y"]})


MINE = {"Fahrzeug": "id", "Bauart": "layout", "Länge": "length_m", "seit": "installed", "Ort": "station", "Bemerkung": None}


def test_a_fleet_of_many_coaches_comes_from_columns_under_ones_own_headings():
    fleet = frames.fleet_from_frame(rows(), columns=MINE)
    text = "id,layout,length_m,installed,station\nA,travel_trailer,7.3,2020-05-01,south bend\nB,camper_van,6,2020-05-01,722780\n"
    assert libseal.fleet_json(fleet) == libseal.fleet_json(libseal.read_fleet_text(text, "x"))
    pa = pytest.importorskip("pyarrow")
    assert libseal.fleet_json(frames.fleet_from_frame(pa.Table.from_pandas(rows()), columns=MINE)) == libseal.fleet_json(fleet)
    many = pandas.concat([rows().iloc[:1]] * 200, ignore_index=True).assign(Fahrzeug=[f"c{n}" for n in range(200)])
    assert [c.id for c in frames.fleet_from_frame(many, columns=MINE).coaches] == [f"c{n}" for n in range(200)]


def test_bad_cells_are_named_by_row_and_heading():
    bad = rows()
    bad["Länge"] = [7.3, 60.0]
    bad["Bauart"] = ["travel_trailr", "camper_van"]
    bad["Ort"] = ["two\nlines", "722780"]  # rows are counted, not lines
    with pytest.raises(libseal.ValueError) as caught:
        frames.fleet_from_frame(bad, columns=MINE)
    told = [(p.row, p.heading) for p in caught.value.problems]
    assert told == [(0, "Bauart"), (1, "Länge")]
    assert "travel_trailer" in caught.value.problems[0].hint and 'fleet, row 1, column "Länge": expected' in str(caught.value)


@pytest.mark.parametrize("columns, name", [({**MINE, "Farbe": "finish"}, "Farbe"), ({**MINE, "Bemerkung": "id"}, "Bemerkung"),
                                           ({k: v for k, v in MINE.items() if k != "Bemerkung"}, "Bemerkung"), ({**MINE, "Länge": None}, "length_m")])
def test_headings_that_do_not_fit_are_told(columns, name):
    with pytest.raises(libseal.ValueError, match=name):
        frames.fleet_from_frame(rows(), columns=columns)


def test_days_with_a_time_numbers_with_words_and_lost_rows_are_errors(demo):
    found = frames.findings_frame(demo["findings"][:3]).assign(date=pandas.Timestamp("2025-09-22 14:00"))
    with pytest.raises(libseal.ValueError, match="row 0, column \"date\""):
        frames.findings_from_frame(found)
    made = frames.fleet_frames(libseal.Fleet(coaches=demo["fleet"].coaches[:1]))
    wrong = {**made, "joints": made["joints"].astype({"length_m": object})}
    wrong["joints"].loc[4, "length_m"] = "long"
    with pytest.raises(libseal.ValueError) as caught:
        frames.fleet_from_frames(wrong)
    (problem,) = caught.value.problems
    assert (problem.table, problem.row, problem.heading, problem.got) == ("joints", 4, "length_m", '"long"')
    with pytest.raises(libseal.ValueError, match="a coach of the table of coaches"):
        frames.fleet_from_frames({**made, "stays": made["stays"].assign(coach="ZZ")})
    with pytest.raises(libseal.ValueError, match="each of them once"):
        frames.fleet_from_frames({**made, "joints": pandas.concat([made["joints"], made["joints"]])})
    with pytest.raises(libseal.ValueError, match="this column"):
        frames.fleet_from_frames({**made, "stays": made["stays"].drop(columns="cover")})


def test_layers_of_layout_coaches_can_be_replaced():
    fleet = frames.fleet_from_frame(rows(), columns=MINE)
    changes = pandas.DataFrame({"coach": ["A"], "joint": ["skylight"], "layer": ["cap_bead"], "family": ["silyl_modified"], "installed_from": ["2023-04-05"]})
    changed = frames.with_layers(fleet, changes)
    layer = libseal.layer_of(libseal.joint_of(libseal.coach_of(changed, "A"), "skylight"), "cap_bead")
    assert (layer.family, layer.installed_from, layer.installed_to) == ("silyl_modified", datetime.date(2023, 4, 5), datetime.date(2023, 4, 5))
    before, after = frames.layers_frame(fleet), frames.layers_frame(changed)
    assert (before != after).any(axis=1).sum() == 1
    with pytest.raises(libseal.ValueError, match="a layer of the fleet"):
        frames.with_layers(fleet, changes.assign(joint="skylite"))
    with pytest.raises(libseal.ValueError, match="family"):
        frames.with_layers(fleet, changes.assign(family="chewing_gum"))


def test_what_is_missing_is_missing_in_every_library():
    assert all(cells.missing(value) for value in (None, float("nan"), np.float64("nan"), np.datetime64("NaT"), pandas.NA, pandas.NaT))
    assert not any(cells.missing(value) for value in (0, "", False, "nan", np.datetime64("2020-01-01")))


@pytest.mark.parametrize("arrow", ARROW)
def test_headings_twice_and_columns_of_several_lengths_are_told(arrow):
    """Synthetic: two columns of one name, as a frame and an Arrow table may have; both were lost in a crash."""
    head = ["id", "layout", "length_m", "length_m"]
    if arrow:
        import pyarrow as pa

        table = pa.table([["A"], ["camper_van"], [6.0], [7.0]], names=head)
    else:
        table = pandas.DataFrame([["A", "camper_van", 6.0, 7.0]], columns=head)
    with pytest.raises(libseal.ValueError) as caught:
        frames.fleet_from_frame(table)
    (problem,) = caught.value.problems
    assert (problem.table, problem.heading, problem.got) == ("fleet", "length_m", '"length_m" 2 times')
    with pytest.raises(libseal.ValueError, match='column "layout": expected 2 rows, as the first column has, got 1'):
        frames.fleet_from_frame({"id": ["A", "B"], "layout": ["camper_van"], "length_m": [6.0, 6.0]})


def test_a_layer_that_is_changed_twice_is_told():
    """Synthetic: of two rows about one bead the last one won, silently."""
    fleet = frames.fleet_from_frame(rows(), columns=MINE)
    changes = pandas.DataFrame({"coach": ["A"] * 2, "joint": ["skylight"] * 2, "layer": ["cap_bead"] * 2, "family": ["silyl_modified", "polyurethane"]})
    with pytest.raises(libseal.ValueError) as caught:
        frames.with_layers(fleet, changes)
    assert [(p.row, p.expected) for p in caught.value.problems] == [(1, "each of them once")]


@pytest.mark.parametrize("arrow", ARROW)
def test_plans_schedules_and_calendars_have_one_type_a_column(demo, small, arrow):
    """Types do not depend on the rows (docs/tables.md), also not where there are none; times keep their minutes."""
    coach = small.coaches[0]
    findings = [f for f in demo["findings"] if f.coach == coach.id]
    forecast = libseal.forecast(small, AS_OF, 5, findings=findings)
    plan = libseal.plan_work(coach, findings, forecast, demo["shop"], AS_OF)
    schedule = libseal.schedule(plan, demo["shop"], datetime.date(2027, 5, 3), work_limit=1)
    calendar = libseal.year_calendar(small, 2027, demo["shop"], forecast, findings=findings, work_limit=1)
    nothing = libseal.year_calendar(libseal.Fleet(), 2027, demo["shop"], AS_OF)
    made = [frames.plan_frame(plan, arrow=arrow), frames.schedule_frame(schedule, plan, demo["shop"], arrow=arrow), frames.calendar_frame(calendar, arrow=arrow)]
    assert [len(table) for table in made] == [len(plan.tasks), len(schedule.steps), sum(max(1, len(v.tasks)) for v in calendar.visits)] and min(map(len, made)) > 0
    other = libseal.plan_work(small.coaches[1], [], forecast, demo["shop"], AS_OF, due_before=datetime.date(2032, 1, 1))
    both = libseal.schedule([libseal.Booking(plan), libseal.Booking(other)], demo["shop"], datetime.date(2027, 5, 3), work_limit=1)
    with pytest.raises(libseal.ValueError, match="schedule: expected the steps of one plan, got those of 2"):
        frames.schedule_frame(both, plan, demo["shop"])  # steps of the other would have names of this one
    empty = frames.calendar_frame(nothing, arrow=arrow)
    assert len(empty) == 0
    if arrow:
        assert empty.schema == made[2].schema and str(made[0].schema.field("due").type) == "date32[day]" and made[2].schema.field("late").type == "bool"
        times, first = [np.datetime64(t, "m") for t in made[1].column("start").to_pylist()], made[0].column("cost").to_pylist()[0]
    else:
        assert list(empty.dtypes.astype(str)) == list(made[2].dtypes.astype(str))
        assert {str(made[0]["due"].dtype), str(made[1]["start"].dtype), str(made[2]["due"].dtype)} == {"datetime64[s]"}
        assert str(made[1]["critical"].dtype) == str(made[2]["late"].dtype) == "bool" and str(made[0]["joint"].dtype) == "string"
        times, first = list(made[1]["start"].to_numpy().astype("datetime64[m]")), made[0]["cost"].iloc[0]
    assert times == [np.datetime64(time.start, "m") for time in schedule.steps] and first == plan.tasks[0].cost.mode / 100


@pytest.mark.parametrize(("value", "kind", "typed"), [
    (np.datetime64("2026-05-01"), "day", datetime.date(2026, 5, 1)), (np.datetime64("2026-05-01T00:00", "m"), "day", datetime.date(2026, 5, 1)),
    (datetime.datetime(2026, 5, 1), "day", datetime.date(2026, 5, 1)), (" 2026-05-01 ", "day", datetime.date(2026, 5, 1)),
    (3.0, "whole", 3), ("3", "whole", 3), (None, "whole", 0), (np.True_, "yes_no", True), ("No", "yes_no", False), (1, "yes_no", True),
    ("1 2; 3 4", "points", ((1.0, 2.0), (3.0, 4.0))), ([(1, 2)], "points", ((1.0, 2.0),)), ("", "points", ()), ("1; 2.5", "numbers", (1.0, 2.5)),
    ("a\nb", "texts", ("a", "b")), (["a"], "texts", ("a",)), (None, "day_or_none", None), (None, "text", "")])
def test_cells_are_read_whatever_a_table_holds_them_as(value, kind, typed):
    found = cells.value_of(value, kind)
    assert found == typed and type(found) is type(typed)


@pytest.mark.parametrize(("value", "kind"), [
    (datetime.datetime(2026, 5, 1, 8), "day"), (5, "day"), ("1.5.2026", "day"), (None, "day"), ("", "day"), (True, "number"), (np.True_, "number"), ("x", "number"),
    (2.5, "whole"), (float("inf"), "whole"), (True, "whole"), (7, "text"), ("perhaps", "yes_no"), (2, "yes_no"), ("1 2 3", "points"), ("1 x", "points"), ("1; x", "numbers")])
def test_cells_of_another_kind_are_refused(value, kind):
    with pytest.raises((ValueError, TypeError, KeyError, OverflowError)):
        cells.value_of(value, kind)
    with pytest.raises(libseal.ValueError, match='t, row 0, column "a": expected '):
        cells.typed_rows("t", (("a", kind),), {"a": [value]})
