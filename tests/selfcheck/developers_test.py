"""DEVELOPERS.md names files, folders and functions: each is there."""

import fnmatch
import re

import pytest
from tree import ROOT, committed_files

WORDS = re.compile(r"`([^`\s]+)`")
PLACEHOLDER = re.compile(r"NAME|WORDS|PAGE|X\.Y\.Z|^\$")


def missing(page: str, files: list[str], text: str) -> list[str]:
    """Words in code that are neither a path of the tree nor stand anywhere in its text."""

    def is_there(word: str) -> bool:
        name = re.sub(r"[(=].*", "", word).removeprefix("-D").rstrip("/")
        return any(fnmatch.fnmatch(file, "*" + name) or f"/{name}/" in "/" + file for file in files) or name in text

    return sorted({word for word in WORDS.findall(page) if not PLACEHOLDER.search(word) and not is_there(word)})


@pytest.fixture(scope="module")
def tree():
    files = [path.relative_to(ROOT).as_posix() for path in committed_files()]
    kinds = (".cpp", ".hpp", ".py", ".json", ".txt", ".sh", ".cmake", "run")
    read = [file for file in files if file.endswith(kinds) and "/corpus/" not in file and not file.endswith("developers_test.py")]
    return files, "\n".join((ROOT / file).read_text(encoding="utf-8", errors="replace") for file in read)


def test_what_the_guide_names_is_there(tree):
    assert missing((ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"), *tree) == []


def test_a_name_that_is_gone_is_found(tree):
    assert missing("`LineCursor`, `climate/read.cpp`, `docs/GONE_NAME.md`, `climate/law_gone.cpp`, `law_that_is_gone(1)`", *tree) == ["climate/law_gone.cpp", "law_that_is_gone(1)"]
