"""Every value of the catalogue says what it is, how far it may lie, where it is from and how sure it is."""

import json
import math

import pytest
import tree

DATA = tree.ROOT / "libseal" / "data"
FILES = sorted((DATA / "catalogue").glob("*.json"))
PRESETS = sorted((DATA / "catalogue_presets").glob("*.json"))
MARKS = {"measured", "standard", "published", "computed", "common_practice", "from_memory", "judgement", "fitted"}


def no_repeats(pairs):
    keys = [key for key, _ in pairs]
    assert len(keys) == len(set(keys)), f"twice: {sorted(key for key in set(keys) if keys.count(key) > 1)}"
    return dict(pairs)


def faults(entry):
    """What is wrong with one entry, in words."""
    found = []
    if not isinstance(entry, dict):
        return ["no object"]
    if unknown := set(entry) - {"value", "unit", "low", "high", "source", "mark"}:
        found.append(f"unknown {sorted(unknown)}")
    for key in ("value", "unit", "source", "mark"):
        if entry.get(key) in (None, ""):
            found.append(f"no {key}")
    if entry.get("mark") not in MARKS:
        found.append(f"mark {entry.get('mark')!r}")
    if entry.get("unit") == "word":
        if not isinstance(entry.get("value"), str):
            found.append("unit word, but no word")
    else:
        numbers = [entry.get(key) for key in ("low", "value", "high")]
        if any(isinstance(n, bool) or not isinstance(n, (int, float)) or not math.isfinite(n) for n in numbers):
            found.append(f"low, value, high are {numbers}")
        elif not numbers[0] <= numbers[1] <= numbers[2]:
            found.append(f"not in order: {numbers}")
    return found


def test_there_are_catalogue_files():
    assert FILES and PRESETS


@pytest.mark.parametrize("path", FILES + PRESETS, ids=lambda path: path.stem)
def test_every_entry_is_whole(path):
    document = json.loads(path.read_text(), object_pairs_hook=no_repeats)
    assert document["schema"] == "libseal/catalogue/1"
    assert document["values"]
    found = {name: wrong for name, entry in document["values"].items() if (wrong := faults(entry))}
    assert not found, "\n".join(f"{name}: {wrong}" for name, wrong in found.items())


def test_no_id_stands_in_two_files():
    seen = {}
    for path in FILES:
        for name in json.loads(path.read_text())["values"]:
            assert name not in seen, f"{name} in {path.name} and {seen[name]}"
            seen[name] = path.name


def test_the_check_itself_sees_faults():
    right = {"value": 2, "unit": "mm", "low": 1, "high": 3, "source": "a book", "mark": "published"}
    assert faults(right) == []
    assert faults({**right, "high": 1.5}) and faults({**right, "low": None}) and faults({**right, "source": ""})
    assert faults({**right, "mark": "rumour"}) and faults({**right, "unit": "word"}) and faults({**right, "remark": ""})
