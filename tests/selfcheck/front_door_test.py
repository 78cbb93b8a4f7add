"""The front door has the same names, arguments and defaults in C++, in Python and in the manifest.

bindings/front_door.json: [{"name": ..., "arguments": [{"name": ..., "default": ...}]}]; an argument without
"default" is required; null stands for the usual. "a_or_b" is one Python argument for two C++ overloads.
"""

import importlib
import json

import pytest
import tree
from signatures import REQUIRED, Headers, python_overloads, signature_line

MANIFEST = tree.ROOT / "bindings" / "front_door.json"
# The calls that architecture promises; each must be in the manifest once C++ has it.
PROMISED = """read_weather find_station typical_year sun_position plane_irradiance ultraviolet surface_temperature rainflow
joint_width read_coach read_fleet read_findings read_work_done read_shop forecast plan_work schedule solve_project
year_calendar trace_leak Weibull Lognormal fit_life best_replacement_age best_inspection_interval weak_spots""".split()


def manifest():
    if not MANIFEST.exists():
        return []
    document = json.loads(MANIFEST.read_text())
    calls = document["calls"] if isinstance(document, dict) else document
    return [
        (call["name"], [(a["name"], a["default"] if "default" in a else REQUIRED) for a in call["arguments"]])
        for call in calls
    ]


@pytest.fixture(scope="module")
def headers():
    return Headers([path.read_text() for path in tree.public_headers()])


@pytest.fixture(scope="module")
def module():
    if not (tree.ROOT / "bindings" / "CMakeLists.txt").exists():
        pytest.skip("no Python module in this tree yet")
    return importlib.import_module("libseal")


def usual(default):
    """The default that stands for "whatever is usual", under any of its names."""
    return default is None or (isinstance(default, (str, list, dict, tuple)) and not default)


def same_default(ours, other):
    if ours is REQUIRED or other is REQUIRED or usual(ours) or usual(other):
        return ours is other or (usual(ours) and usual(other))
    return ours == other and isinstance(ours, bool) == isinstance(other, bool)


def difference(ours, other):
    """Why two signatures are not the same; "" if they are."""
    names, other_names = [name for name, _ in ours], [name for name, _ in other]
    if len(names) != len(other_names) or any(
        theirs != name and theirs not in name.split("_or_") for name, theirs in zip(names, other_names)
    ):
        return f"arguments {names} against {other_names}"
    for (name, default), (_, theirs) in zip(ours, other):
        if not same_default(default, theirs):
            return f"default of {name}: {default!r} against {theirs!r}"
    return ""


def expect_one_equal(name, ours, candidates, where):
    assert candidates, f"{name} is not in {where}"
    reasons = [difference(ours, candidate) for candidate in candidates]
    assert "" in reasons, f"{name}: manifest and {where} differ: " + "; ".join(reasons)


CALLS = manifest()
IDS = [f"{name}-{len(arguments)}" for name, arguments in CALLS]


@pytest.mark.parametrize("name, arguments", CALLS, ids=IDS)
def test_manifest_and_headers_agree(headers, name, arguments):
    expect_one_equal(name, arguments, headers.overloads(name), "the C++ headers")


@pytest.mark.parametrize("name, arguments", CALLS, ids=IDS)
def test_manifest_and_python_agree(module, name, arguments):
    assert hasattr(module, name), f"{name} is not in the Python module"
    expect_one_equal(name, arguments, python_overloads(getattr(module, name)), "the Python module")


def test_every_promised_call_of_the_module_is_in_the_manifest(module):
    missing = [name for name in PROMISED if hasattr(module, name) and name not in dict(CALLS)]
    assert not missing, f"in Python, but not in {MANIFEST.name}: {missing}"


def test_every_promised_call_of_the_headers_is_in_the_manifest(headers, module):
    missing = [name for name in PROMISED if headers.overloads(name) and name not in dict(CALLS)]
    assert not missing, f"in C++, but not in {MANIFEST.name}: {missing}"


def test_the_manifest_names_only_promised_calls():
    assert {name for name, _ in CALLS} <= set(PROMISED)


HEADER = """
struct Watch { ProgressCallback progress; StopToken stop; };
struct ReadOptions {
    std::string gaps = "report";   ///< what, how; why
    int longest_fill = 6;
    std::map<std::string, Weather> weather;
    Catalogue catalogue = Catalogue::built_in();
    Date due{};
    bool far = false;
    Watch watch;
};
Weather read(const std::string& path, const ReadOptions& options = {});
inline int other(double a) { return read(a); }
class Life { public: Life(double scale, double shape) : scale_(scale) {} };
"""


def test_the_reading_of_headers_itself():
    headers = Headers([HEADER])
    assert headers.overloads("read") == [
        [("path", REQUIRED), ("gaps", "report"), ("longest_fill", 6), ("weather", None), ("catalogue", None), ("due", None),
         ("far", False), ("progress", None), ("stop", None)]
    ]
    assert headers.overloads("Life") == [[("scale", REQUIRED), ("shape", REQUIRED)]]


def test_the_reading_of_docstrings_itself():
    line = "read(path: os.PathLike, *, gaps: str = 'report', due: typing.Annotated[int, (1, 2)] | None = None, far: bool = False) -> Weather"
    assert signature_line(line) == [("path", REQUIRED), ("gaps", "report"), ("due", None), ("far", False)]


def test_the_comparison_itself_sees_differences():
    ours = [("fleet_or_coach", REQUIRED), ("seed", 0)]
    assert difference(ours, [("coach", REQUIRED), ("seed", 0)]) == ""
    assert difference(ours, [("fleet", REQUIRED), ("seeds", 0)])
    assert difference(ours, [("fleet", REQUIRED), ("seed", 1)])
    assert difference(ours, [("fleet", REQUIRED), ("seed", REQUIRED)])
    assert difference(ours, [("fleet", REQUIRED), ("seed", None)])
    assert difference([("stop", None)], [("stop", "")]) == ""
