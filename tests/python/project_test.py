"""The project solver through the Python door."""

import libseal
import numpy as np
import pytest


def test_two_people_paint_four_walls() -> None:
    # Worked by hand: 16 person-hours for two people take 8 hours.
    result = libseal.solve_project([4, 4, 4, 4], [[], [], [], []], [[1]] * 4, [2])
    assert result.outcome == "optimal"
    assert (result.makespan, result.lower_bound) == (8, 8)
    assert sorted(result.start.tolist()) == [0, 0, 4, 4]
    assert result.stopped == "no schedule can be shorter"
    assert 1 <= result.schedules <= 3
    assert "optimal" in repr(result)


def test_arrays_are_as_good_as_lists() -> None:
    rng = np.random.default_rng(1)
    n = 30
    durations = rng.integers(1, 9, n)
    successors = [[j for j in range(i + 1, n) if rng.random() < 0.1] for i in range(n)]
    demands = rng.integers(0, 4, (n, 2))
    capacities = np.array([4, 4])
    arrays = libseal.solve_project(durations, successors, demands, capacities, work_limit=500, threads=1)
    lists = libseal.solve_project(
        durations.tolist(), successors, demands.tolist(), capacities.tolist(), work_limit=500, threads=2
    )
    assert np.array_equal(arrays.start, lists.start)
    for i in range(n):
        assert all(arrays.start[j] >= arrays.start[i] + durations[i] for j in successors[i])
    for t in range(arrays.makespan):
        running = (arrays.start <= t) & (t < arrays.start + durations)
        assert (demands[running].sum(axis=0) <= capacities).all()


def test_a_demand_too_large_is_an_outcome_and_a_loop_an_error() -> None:
    result = libseal.solve_project([1], [[]], [[3]], [2])
    assert result.outcome == "infeasible"
    assert result.start.tolist() == []
    assert "task 0" in result.stopped
    with pytest.raises(libseal.ValueError, match="0 -> 1 -> 0"):
        libseal.solve_project([1, 1], [[1], [0]], [[], []], [])


def test_a_stopped_search_gives_what_it_has() -> None:
    rng = np.random.default_rng(2)
    demands = rng.integers(1, 6, (60, 3))
    stop = libseal.StopToken()
    seen: list[float] = []

    def progress(state: "libseal.Progress") -> None:
        assert state.stage == "solve_project"
        seen.append(state.fraction)
        stop.stop()

    result = libseal.solve_project(
        rng.integers(1, 9, 60), [[]] * 60, demands, [9, 9, 9], work_limit=100000, progress=progress, stop=stop
    )
    assert result.outcome in ("cancelled", "optimal")
    assert len(result.start) == 60
    assert len(seen) <= 1
