"""Which pages there are, what stands in them and how they hang together: for the site and for the tests of the documents."""

from __future__ import annotations

import fnmatch
import json
import pathlib
import re

TOP = ["README.md", "DEVELOPERS.md", "CHANGELOG.md", "SECURITY.md"]
FENCE = re.compile(r"^(`{3,})([^\n`]*)\n(.*?)^\1[ \t]*$", re.DOTALL | re.MULTILINE)
LINK = re.compile(r"(?<!\\)\]\(([^()\s]+)\)")
# Made while building: no page of the repository may be named so.
MADE = "reference/"


def pages(root: pathlib.Path) -> list[str]:
    return [*(name for name in TOP if (root / name).exists()), *sorted(f"docs/{path.name}" for path in (root / "docs").glob("*.md"))]


def without_code(text: str) -> str:
    """Lines stay where they are."""
    blank = FENCE.sub(lambda block: "\n" * block[0].count("\n"), text)
    return re.sub(r"`[^`\n]+`", lambda span: "x" * len(span[0]), blank)


def links(text: str) -> list[str]:
    """Relative targets."""
    return [target for target in LINK.findall(without_code(text)) if not re.match(r"[a-z]+:", target)]


def slug(title: str) -> str:
    """The anchor that viewers of repositories give a heading."""
    words = re.sub(r"[^\w\- ]", "", re.sub(r"[`*]", "", re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", title)).strip().lower())
    return words.replace(" ", "-")


def anchors(text: str) -> set[str]:
    blank = FENCE.sub("", text)
    found: set[str] = set()
    for title in re.findall(r"^#{1,6} +(.+?)\s*$", blank, flags=re.MULTILINE):
        name, number = slug(title), 0
        while name in found:
            number += 1
            name = f"{slug(title)}-{number}"
        found.add(name)
    return found | set(re.findall(r'<a (?:id|name)="([^"]+)"', blank))


def section_pages(root: pathlib.Path) -> dict[str, list[str]]:
    """Pages under each heading of the navigation; a pattern with a star takes what no line names."""
    sections = json.loads((root / "docs" / "navigation.json").read_text(encoding="utf-8"))
    there = pages(root)
    named = {name for names in sections.values() for name in names}
    found: dict[str, list[str]] = {}
    for title, names in sections.items():
        for name in names:
            if name.startswith(MADE) or name in there:
                found.setdefault(title, []).append(name)
            elif "*" in name:
                found.setdefault(title, []).extend(page for page in fnmatch.filter(there, name) if page not in named)
    return found


def index_texts(root: pathlib.Path) -> dict[str, str]:
    """What each page is said to tell, from the tables of docs/index.md: behind its link, else in the cell before it."""
    found: dict[str, str] = {}
    for first, second in re.findall(r"^\| (.+?) \| (.+) \|$", (root / "docs" / "index.md").read_text(encoding="utf-8"), flags=re.MULTILINE):
        link = re.match(r"\[[^\]]*\]\(([^)#]+)[^)]*\)(?:: (.+))?", second)
        if link:
            page = link[1].removeprefix("../") if link[1].startswith("../") else f"docs/{link[1]}"
            found.setdefault(page, (link[2] or first).partition("; ")[0] if "](" in (link[2] or "") else link[2] or first)
    return found
