"""Visits and weeks in Python, against an integer program that is not ours."""

import datetime
import math
import pathlib
import random

import pytest

import libseal

AS_OF = datetime.date(2026, 11, 25)


@pytest.fixture(scope="module")
def demo(root):
    data = root / "examples" / "data"
    shop = libseal.read_shop(data / "shop.json")
    calendar = libseal.year_calendar(libseal.read_fleet(data / "fleet.json"), 2027, shop, AS_OF,
                                     findings=libseal.read_findings(data / "findings.csv"),
                                     work_done=libseal.read_work_done(data / "work_done.csv"), work_limit=1)
    return calendar, shop


def monday(day):
    return day - datetime.timedelta(days=day.weekday())


def demo_weeks(calendar, share):
    """The demo fleet's work visits in weeks that offer a share of the shop's hours: early 1, late 4 an hour and week."""
    start = calendar.weeks[0].start
    works = []
    for visit in calendar.visits:
        if visit.kind != "work" or visit.cancelled:
            continue
        hours = visit.minutes.mode / 60
        due = (monday(visit.window.latest) - start).days // 7
        first = max(0, min((monday(visit.window.earliest) - start).days // 7, due - 8))
        last = min(len(calendar.weeks) - 1, due + 4)
        cost = [hours * ((due - w) if w < due else 4 * (w - due)) for w in range(first, last + 1)]
        works.append(libseal.WeekWork(id=visit.coach, hours=hours, first=first, cost=cost))
    weeks = [libseal.WeekCapacity(normal=share * w.capacity, overtime=0.2 * share * w.capacity) for w in calendar.weeks]
    return works, weeks


def exact(works, weeks, overtime_cost, whole=True):
    """Least cost by HiGHS; None if nothing fits."""
    optimize = pytest.importorskip("scipy.optimize")
    np = pytest.importorskip("numpy")
    pairs = [(i, work.first + k, c) for i, work in enumerate(works) for k, c in enumerate(work.cost) if math.isfinite(c)]
    n, m = len(pairs), len(weeks)
    cost = np.array([c for _, _, c in pairs] + [overtime_cost] * m)
    once = np.zeros((len(works), n + m))
    room = np.zeros((m, n + m))
    for column, (i, w, _) in enumerate(pairs):
        once[i, column] = 1
        room[w, column] = works[i].hours
    for w in range(m):
        room[w, n + w] = -1
    upper = np.array([1] * n + [week.overtime for week in weeks])
    result = optimize.milp(cost, constraints=[optimize.LinearConstraint(once, 1, 1),
                                              optimize.LinearConstraint(room, -np.inf, [week.normal for week in weeks])],
                           bounds=optimize.Bounds(0, upper), integrality=[1 if whole else 0] * n + [0] * m,
                           options={"mip_rel_gap": 1e-9, "time_limit": 60})
    return result.fun if result.success else None


@pytest.mark.parametrize("share", [0.1, 0.15, 0.25])
def test_the_demo_fleet_is_levelled_within_one_percent_of_the_exact_optimum(demo, share):
    works, weeks = demo_weeks(demo[0], share)
    assert len(works) > 5
    least = exact(works, weeks, 6)
    level = libseal.level_weeks(works, weeks, overtime_cost=6)
    if least is None:
        assert -1 in level.week
        return
    assert -1 not in level.week
    assert level.cost <= 1.01 * least + 1e-6
    assert level.cost >= least - 1e-6
    assert level.bound <= least + 1e-6
    assert level.bound == pytest.approx(exact(works, weeks, 6, whole=False), rel=1e-7, abs=1e-6)


def test_the_bound_is_the_linear_program_of_random_fleets():
    draw = random.Random(5)
    for _ in range(30):
        weeks = [libseal.WeekCapacity(normal=draw.uniform(15, 40), overtime=10) for _ in range(8)]
        works = []
        for i in range(20):
            first = draw.randrange(6)
            cost = [draw.choice([draw.uniform(0, 60), math.inf]) if k else draw.uniform(0, 60) for k in range(draw.randint(1, 8 - first))]
            works.append(libseal.WeekWork(id=str(i), hours=draw.uniform(2, 14), first=first, cost=cost))
        level = libseal.level_weeks(works, weeks, overtime_cost=2.5, work_limit=300)
        divided = exact(works, weeks, 2.5, whole=False)
        assert level.fits == (divided is not None)
        if level.fits and -1 not in level.week:
            assert level.bound == pytest.approx(divided, rel=1e-7, abs=1e-6)
            assert level.gap == pytest.approx((level.cost - level.bound) / level.cost, abs=1e-9)


def test_visits_in_python_are_those_of_the_worked_example():
    def sloped(best, early, late, first, last):
        return [math.inf if not first <= d <= last else early * (best - d) if d < best else late * (d - best) for d in range(12)]

    works = [libseal.VisitWork(id=str(i), penalty=sloped(*w))
             for i, w in enumerate([(3, 2, 1, 0, 3), (4, 5, 0.5, 2, 7), (5, 2, 5, 0, 6), (10, 0.5, 0.5, 6, 11)])]
    plan = libseal.best_visits(works, [9.0] * 12)
    assert (plan.cost, plan.exact, plan.best_day) == (25, True, [3, 4, 5, 10])
    cycle = libseal.best_cycle(200, [45, 46, 47, 44, 45, 47], [10000, 5000, 3000, 1000, 600, 200])
    assert cycle.every == [1, 1, 1, 2, 2, 4] and round(cycle.cost_rate, 2) == 4164.97
    with pytest.raises(ValueError):
        libseal.best_visits(works, [9.0])


def test_the_page_on_visits_runs(root, tmp_path, monkeypatch):
    text = (pathlib.Path(root) / "docs" / "visits.md").read_text()
    blocks = [part.split("```")[0] for part in text.split("```python\n")[1:]]
    assert blocks
    monkeypatch.chdir(root)
    names = {}
    for block in blocks:
        exec(compile(block, "docs/visits.md", "exec"), names)  # noqa: S102
