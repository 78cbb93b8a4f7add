"""A fleet on two worker processes has the bits of the single machine, also when one of them is killed."""

import datetime
import os
import pathlib
import signal

import pytest

import libseal
from libseal import cells

distributed = pytest.importorskip("distributed", reason="needs dask[distributed]")

from libseal import distributed as ours  # noqa: E402

AS_OF = datetime.date(2026, 11, 25)


@pytest.fixture(scope="module")
def demo(root):
    data = root / "examples" / "data"
    return {"fleet": libseal.read_fleet(data / "fleet.json"), "findings": libseal.read_findings(data / "findings.csv"),
            "work_done": libseal.read_work_done(data / "work_done.csv")}


@pytest.fixture(scope="module")
def client(tmp_path_factory):
    with distributed.LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, memory_limit=0,
                                  local_directory=str(tmp_path_factory.mktemp("dask"))) as cluster, distributed.Client(cluster) as client:
        client.wait_for_workers(2, timeout=300)
        yield client


@pytest.fixture(scope="module")
def alone(demo):
    return libseal.forecast(demo["fleet"], AS_OF, 5, findings=demo["findings"], work_done=demo["work_done"])


@pytest.mark.parametrize("batch", [2, 100])
def test_two_workers_give_the_bits_of_one_machine(demo, alone, client, batch):
    told = []
    made = ours.fleet_forecast(client, demo["fleet"], AS_OF, 5, findings=demo["findings"], work_done=demo["work_done"], batch=batch,
                               progress=lambda state: told.append((state.stage, state.fraction)))
    assert made.columns.equals(alone)
    assert made.shared.to_json() == alone.shared_effects().to_json() and len(made.shared) > 10
    assert [(w.field, w.expected, w.got, w.hint) for w in made.warnings] == [(w.field, w.expected, w.got, w.hint) for w in alone.warnings]
    assert {stage for stage, _ in told} == {"findings", "forecast"}
    for stage in ("findings", "forecast"):
        shares = [share for name, share in told if name == stage]
        assert shares == sorted(shares) and shares[-1] == 1
    # What all have taught serves a single coach later.
    coach = demo["fleet"].coaches[0]
    own = [f for f in demo["findings"] if f.coach == coach.id]
    work = [w for w in demo["work_done"] if w.coach == coach.id]
    single = libseal.forecast(coach, AS_OF, 5, findings=own, work_done=work, shared=made.shared)
    assert list(single.due_50) == [alone.due_50[r] for r in alone.rows_of(coach.id)]


def test_a_fleet_as_rows_needs_no_coach_here(client):
    rows = {"Nr": [f"c{n}" for n in range(12)], "layout": ["travel_trailer", "camper_van"] * 6, "length_m": [7.3, 6.0] * 6,
            "installed": [datetime.date(2020, 5, 1)] * 12, "station": ["south bend", "722780", "south bend"] * 4}
    columns = {"Nr": "id"}
    findings = [libseal.Finding(coach="c4", joint="skylight", layer="cap_bead", sign="deep_crack", size="clear", share=1 / 3, date=datetime.date(2025, 5, 1))]
    fleet = libseal.frames.fleet_from_frame(rows, columns=columns)
    made = ours.fleet_forecast(client, rows, AS_OF, 2, columns=columns, findings=findings, batch=3)
    assert made.columns.equals(libseal.forecast(fleet, AS_OF, 2, findings=findings))


def test_errors_of_workers_and_lost_records_are_told(demo, client):
    rows = {"id": ["a", "b"], "layout": ["travel_trailer", "boat"], "length_m": [7.3, 7.3], "station": ["south bend", "south bend"]}
    with pytest.raises(libseal.ValueError, match="boat"):
        ours.fleet_forecast(client, rows, AS_OF, 5)
    stray = [demo["findings"][0], demo["findings"][1].replace(coach="ZZ")]
    with pytest.raises(libseal.ValueError, match='findings, row 1, column "coach"'):
        ours.fleet_forecast(client, demo["fleet"], AS_OF, 5, findings=stray)
    with pytest.raises(libseal.ValueError, match="batch"):
        ours.fleet_forecast(client, demo["fleet"], AS_OF, 5, batch=0)


def test_batches_keep_sites_together():
    sites = ["a", "b", "a", "c", "a", "b", "d"]
    made = list(ours.groups(sites, 3))
    assert sorted(n for batch in made for n in batch) == list(range(7)) and all(len(batch) <= 3 for batch in made)
    assert made[0] == (0, 2, 4)
    assert list(ours.groups([], 3)) == []


def test_what_travels_loses_no_bit(demo):
    odd = [demo["findings"][0].replace(share=1 / 3, value=0.1 + 0.2, note='"\n☃')] + list(demo["findings"])
    back = ours.findings_of_text(ours.findings_text(odd))
    assert back[0].share == 1 / 3 and back[0].value == 0.1 + 0.2 and [repr(f) for f in back] == [repr(f) for f in odd]
    assert [repr(w) for w in ours.work_of_text(ours.work_text(demo["work_done"]))] == [repr(w) for w in demo["work_done"]]


def test_no_pickle_of_foreign_data():
    text = pathlib.Path(ours.__file__).read_text() + pathlib.Path(cells.__file__).read_text()
    assert "pickle" not in text


def test_a_killed_worker_is_survived(demo, alone, client):
    """One process is killed as soon as the first batch is back. Last of this file: it may not come back on a busy machine."""
    victims = list(client.run(os.getpid).values())
    killed = []

    def kill(state):
        if state.stage == "forecast" and not killed:
            killed.append(victims[0])
            os.kill(victims[0], signal.SIGKILL)

    made = ours.fleet_forecast(client, demo["fleet"], AS_OF, 5, findings=demo["findings"], work_done=demo["work_done"], batch=1, progress=kill)
    assert killed and made.columns.equals(alone)
