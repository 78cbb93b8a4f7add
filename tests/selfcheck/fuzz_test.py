"""Every reader has its fuzz target, every target its corpus, and a slice of the long run that ends within an hour."""

import importlib.util
import re
import subprocess

import pytest
import tree

FUZZ = tree.ROOT / "tests" / "fuzz"
TARGETS = sorted(path.stem.removeprefix("fuzz_") for path in FUZZ.glob("fuzz_*.cpp"))
MINUTES_A_TARGET, MINUTES_OF_BUILDING = 10, 10


def made_files():
    spec = importlib.util.spec_from_file_location("make_corpus", FUZZ / "make_corpus.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.made()


def test_the_corpus_is_what_its_script_makes_and_what_was_found():
    made = made_files()
    there = {
        str(path.relative_to(FUZZ)): path.read_bytes()
        for folder in ("corpus", "dictionaries")
        for path in (FUZZ / folder).rglob("*")
        if path.is_file() and not path.name.startswith("found_")
    }
    assert there.keys() == made.keys()
    assert [name for name in made if made[name] != there[name]] == []


@pytest.mark.parametrize("target", TARGETS)
def test_every_target_has_seeds_and_hostile_inputs_of_small_size(target):
    names = [path.name for path in (FUZZ / "corpus" / target).iterdir()]
    assert any(name.startswith("seed") for name in names)
    assert len(names) >= 7
    assert max(path.stat().st_size for path in (FUZZ / "corpus" / target).iterdir()) < 20_000


@pytest.mark.parametrize("target", TARGETS)
def test_no_two_files_of_a_corpus_are_alike(target):
    """A hostile input that changes nothing of the seed would count as one and try nothing."""
    first: dict[bytes, str] = {}
    twins = [(first[content], path.name) for path in sorted((FUZZ / "corpus" / target).iterdir()) if first.setdefault(content := path.read_bytes(), path.name) != path.name]
    assert twins == []


def test_no_corpus_is_without_target():
    assert sorted(path.name for path in (FUZZ / "corpus").iterdir()) == TARGETS


def test_every_public_reader_of_text_is_called_by_a_target():
    readers = set()
    for header in tree.public_headers():
        readers |= set(re.findall(r"\b(read_\w+_text|from_json|with_overlay|check_icalendar|parse_date)\(", header.read_text()))
    assert len(readers) >= 14
    called = "".join(path.read_text() for path in FUZZ.glob("*.[ch]pp"))
    assert sorted(reader for reader in readers if reader + "(" not in called) == []


def test_each_slice_of_the_long_run_ends_within_an_hour():
    lines = subprocess.run(["bash", FUZZ / "slices.sh"], capture_output=True, text=True, check=True).stdout.splitlines()
    slices = {line.split()[0]: line.split()[1:] for line in lines}
    assert sorted(target for targets in slices.values() for target in targets) == TARGETS
    for name, targets in slices.items():
        assert len(targets) * MINUTES_A_TARGET + MINUTES_OF_BUILDING <= 60, name
        one = subprocess.run(["bash", FUZZ / "slices.sh", name], capture_output=True, text=True, check=True).stdout.split()
        assert one == targets
