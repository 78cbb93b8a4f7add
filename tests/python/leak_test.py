"""Cause networks and leak tracing through the Python door."""

import datetime
import itertools

import libseal
import pytest

AS_OF = datetime.date(2026, 5, 1)


def trailer() -> "libseal.Coach":
    stay = libseal.Stay(from_=datetime.date(2015, 7, 1), to=datetime.date(9999, 12, 31), station="725350")
    return libseal.travel_trailer(8.5, id="T-1", model_year=2016).replace(stays=[stay])


@pytest.fixture(scope="module")
def coach() -> "libseal.Coach":
    return trailer()


@pytest.fixture(scope="module")
def forecast(coach: "libseal.Coach") -> "libseal.Forecast":
    return libseal.forecast(coach, AS_OF, 5)


def by_hand(sources: list[float], passes: list[float], leak: float) -> list[float]:
    """Posteriors of the sources of one effect that was seen, state by state."""
    total, open_ = 0.0, [0.0] * len(sources)
    for state in itertools.product([0, 1], repeat=len(sources)):
        weight, none = 1.0, 1 - leak
        for x, p, q in zip(state, sources, passes):
            weight *= p if x else 1 - p
            none *= 1 - q if x else 1
        total += weight * (1 - none)
        for k, x in enumerate(state):
            open_[k] += weight * (1 - none) * x
    return [o / total for o in open_]


def test_a_network_answers_as_the_sum_over_all_states() -> None:
    sources, passes = [0.1, 0.05, 0.3, 0.2], [0.9, 0.5, 0.2, 0.7]
    net = libseal.CauseNetwork()
    nodes = [net.root(p) for p in sources]
    effect = net.noisy_or(nodes, passes, leak=0.02)
    answer = libseal.infer(net, [libseal.CauseEvidence(node=effect, value=True)])
    assert answer.probability[:4] == pytest.approx(by_hand(sources, passes, 0.02), abs=1e-12)
    assert len(net) == 5
    with pytest.raises(libseal.ValueError, match="probability"):
        net.root(2)


def test_a_stain_is_traced_to_ranked_joints_with_paths(coach: "libseal.Coach", forecast: "libseal.Forecast") -> None:
    stain = libseal.Stain(surface="roof", at=libseal.Point(u=2.0, v=0.1), appears=["standing_rain"])
    trace = libseal.trace_leak(coach, stain, None, forecast, most=5)
    assert 1 <= len(trace.candidates) <= 5
    chances = [c.probability for c in trace.candidates]
    assert chances == sorted(chances, reverse=True)
    first = trace.candidates[0]
    assert first.path[0].place.joint == first.joint and first.path[-1].place.inside
    assert all(step.way for step in first.path[1:]) and first.reasons
    assert {o.name for o in trace.others} == {"condensation", "plumbing", "cooling_condensate", "unknown"}
    assert 0 < trace.evidence < 1
    again = libseal.LeakTracer(coach).trace([stain], None, forecast, most=5)
    assert [c.probability for c in again.candidates] == chances
    tested = libseal.trace_leak(coach, [stain], [], forecast, tests=[libseal.LeakTest(joint=first.joint, wet=False)])
    assert next(c for c in tested.candidates if c.joint == first.joint).probability < first.probability


def test_drainage_and_upstream(coach: "libseal.Coach") -> None:
    catalogue = libseal.Catalogue.built_in()
    graph = libseal.drainage(coach, catalogue)
    assert {j.id for j in coach.joints} == {p.joint for p in graph.places if p.kind == "joint"}
    assert all(0 < link.passes < 1 for link in graph.links)
    above = libseal.upstream_joints(graph, "floor_edge_curb")
    assert "entrance_door" in above and "floor_edge_street" not in above
    tree = libseal.WaterWays(graph).from_(graph.runs_of("roof_vent_1")[0])
    end = graph.nearest(coach, "roof", "", libseal.middle_of(libseal.joint_of(coach, "roof_vent_1")), True)
    way = tree.path_to(graph, end)
    product = 1.0
    for link in way:
        product *= graph.links[link].passes
    assert way and product == pytest.approx(tree.probability[end])
    with pytest.raises(libseal.ValueError, match="did you mean"):
        graph.find("deck:0:strete")


def test_wrong_stains_say_what_would_be_right(coach: "libseal.Coach", forecast: "libseal.Forecast") -> None:
    with pytest.raises(libseal.ValueError, match="standing_rain"):
        libseal.trace_leak(coach, libseal.Stain(surface="roof", at=libseal.Point(u=1, v=0), appears=["standing_rian"]), [], forecast)
    with pytest.raises(TypeError):
        libseal.trace_leak(coach, "roof", [], forecast)
