"""What the documents promise of themselves, as functions on texts: each returns what is wrong, in words.

Rules
- A public number says its unit: in the comment of a field of type double, Column or ArrayXXd, and in that of a call which takes
  or returns one, stands `[unit]`; `[-]` for pure numbers. Each parameter of these types has a `@param` with a `[unit]` of its own, in the
  comment of its call or of an overload above it; one `@param` may name several. A whole number that is a field has a comment.
- A law of ageing, exposure or climate has `@source`, in its own comment or in that of a struct it takes or returns.
- Links and anchors lead somewhere. Fenced blocks of code run in a test, or say why not in a line `<!-- not run: reason -->` before them.
- Each page stands in docs/index.md and in docs/navigation.json.
"""

from __future__ import annotations

import ast
import json
import pathlib
import re
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "bindings"), str(ROOT / "docs")]
import pages  # noqa: E402
import stubs  # noqa: E402
from docs_from_headers import Entry, HeaderParser, read_headers, sections  # noqa: E402

FLOATING = re.compile(r"\b(double|float|Column|ConstColumn|ArrayXXd)\b")
WHOLE = re.compile(r"\b(int|size_t|u?int\d+_t|unsigned|long|short|Money|Minute|Instant|Index)\b")
UNIT = re.compile(r"\[(?!\s*-?[\d.]+\s*,)[^\]]+\]")  # "[0, 1]" is a range
CODE = {"python", "py", "cpp", "c++", "c", "bash", "sh", "cmake", "json", "sql"}
LAWS = {"ageing", "climate", "exposure"}
# Calls of these folders that choose, name or look up, and compute no physics.
NO_LAW = {"weather_column", "plane_of", "movement_flag"}
NOT_RUN = re.compile(r"<!-- not run: \S.*-->\s*$")
# Of core: texts and checks of numbers that may mean anything.
ANY_NUMBER = {"progress", "require", "text"}


def entries_of(text: str, folder: str = "life", header: str = "x") -> list[Entry]:
    """Of one header, as text."""
    entries: list[Entry] = []
    HeaderParser(folder, entries, header).read(text)
    return entries


def all_entries() -> list[Entry]:
    return read_headers(ROOT / "libseal" / "include")


def place(entry: Entry) -> str:
    owner = f"{entry.owner}::" if entry.owner else ""
    return f"{entry.folder}/{entry.header}.hpp:{entry.line}: {owner}{entry.name}"


def comment(entries: list[Entry], i: int) -> str:
    """That of a declaration, or of the one it stands right under."""
    entry = entries[i]
    while i > 0 and not entries[i].doc.strip() and entries[i - 1].kind == "function" and \
            (entries[i - 1].owner, entries[i - 1].header) == (entry.owner, entry.header):
        i -= 1
    return entries[i].doc


def numbers_without_unit(entries: list[Entry], known: stubs.Stubs) -> list[str]:
    """Fields of all public structs, free functions, and methods that Python has too."""
    found = []
    for i, entry in enumerate(entries):
        if "detail" in entry.owner or not entry.public:
            continue
        if entry.kind == "field":
            if FLOATING.search(entry.result) and not UNIT.search(entry.doc):
                found.append(place(entry))
        elif entry.kind == "function" and (FLOATING.search(entry.result) or any(FLOATING.search(a.type) for a in entry.arguments)):
            if entry.owner and not (known.signatures(entry.owner, entry.name, {}) or known.type_of(entry.owner, entry.name)):
                continue
            if not (entry.folder == "core" and entry.header in ANY_NUMBER) and not UNIT.search(comment(entries, i)):
                found.append(place(entry))
    return found


def parameters_of(doc: str) -> dict[str, str]:
    """Name to text of what a comment says of parameters, those that share a text by themselves."""
    return {name.strip(): text for names, text in sections(doc, [])[1] for name in names.split(",")}


def parameters_without_unit(entries: list[Entry]) -> list[str]:
    """Floating parameters of all public calls, methods of C++ alone too. An overload may leave to the ones above it what they have said."""
    found = []
    said: dict[tuple[str, str, str, str], dict[str, str]] = {}
    for i, entry in enumerate(entries):
        if entry.kind != "function" or "detail" in entry.owner or not entry.public or (entry.folder == "core" and entry.header in ANY_NUMBER):
            continue
        known = said.setdefault((entry.folder, entry.header, entry.owner, entry.name), {})
        known.update(parameters_of(comment(entries, i)))
        found += [f"{place(entry)}({argument.name})" for argument in entry.arguments if FLOATING.search(argument.type) and not UNIT.search(known.get(argument.name, ""))]
    return found


def whole_fields_without_comment(entries: list[Entry]) -> list[str]:
    return [place(entry) for entry in entries
            if entry.kind == "field" and entry.public and "detail" not in entry.owner and WHOLE.search(entry.result) and not entry.doc.strip()]


def laws_without_source(entries: list[Entry]) -> list[str]:
    sourced = {entry.name for entry in entries if entry.kind == "class" and "@source" in entry.doc}
    found = []
    for i, entry in enumerate(entries):
        if entry.kind != "function" or entry.owner or entry.folder not in LAWS or entry.name in NO_LAW:
            continue
        if not FLOATING.search(entry.result) and not any(FLOATING.search(a.type) for a in entry.arguments):
            continue
        types = {re.sub(r"\bconst\b|&", "", text).strip() for text in [entry.result, *(a.type for a in entry.arguments)]}
        if "@source" not in comment(entries, i) and not types & sourced:
            found.append(place(entry))
    return found


def broken_links(root: pathlib.Path) -> list[str]:
    found = []
    anchors: dict[pathlib.Path, set[str]] = {}
    for page in pages.pages(root):
        file = root / page
        for link in pages.links(file.read_text(encoding="utf-8")):
            path, _, anchor = link.partition("#")
            target = (file.parent / path).resolve() if path else file.resolve()
            if not target.exists():
                found.append(f"{page}: {link}")
            elif anchor and target.suffix == ".md":
                if target not in anchors:
                    anchors[target] = pages.anchors(target.read_text(encoding="utf-8"))
                if anchor not in anchors[target]:
                    found.append(f"{page}: {link}, no such heading")
    return found


def pages_that_run(tests: dict[str, str], helpers: dict[str, str]) -> set[str]:
    """File names of pages that some test names whose fenced blocks it takes out and runs, by itself or with a helper that it imports."""
    found: set[str] = set()
    cutters = {name for name, text in helpers.items() if "```" in text}
    for text in tests.values():
        tree = ast.parse(text)
        imported = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
        imported |= {node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
        calls = {ast.unparse(node.func) for node in ast.walk(tree) if isinstance(node, ast.Call)}
        if not ("```" in text and calls & {"exec", "subprocess.run"}) and not imported & cutters:
            continue
        # A parameter may lack the ending that a formatted text adds: f"{page}.md".
        ending = any(isinstance(part, ast.Constant) and str(part.value).endswith(".md") for node in ast.walk(tree) if isinstance(node, ast.JoinedStr) for part in node.values)
        names = [node.value for node in ast.walk(tree) if isinstance(node, ast.Constant) and isinstance(node.value, str) and "\n" not in node.value]
        found |= {page for name in names for page in re.findall(r"\b(\w+\.md)\b", name)}
        if ending:
            marks = [node for node in ast.walk(tree) if isinstance(node, ast.Call) and ast.unparse(node.func) == "pytest.mark.parametrize"]
            found |= {f"{part.value}.md" for mark in marks for part in ast.walk(mark) if isinstance(part, ast.Constant) and isinstance(part.value, str)}
    return found


def blocks_that_nobody_runs(page: str, text: str, run: set[str]) -> list[str]:
    """Blocks of JSON are read here; others run in a test that names the page."""
    found = []
    for block in pages.FENCE.finditer(text):
        language = (block[2].split() or [""])[0].strip("{}")
        if language not in CODE or NOT_RUN.search(text[:block.start()].rstrip("\n")):
            continue
        line = text.count("\n", 0, block.start()) + 1
        if language == "json":
            try:
                json.loads(block[3])
            except json.JSONDecodeError as error:
                found.append(f"{page}:{line}: no JSON, {error}")
        elif page.rpartition("/")[2] not in run:
            found.append(f"{page}:{line}: no test runs this {language}")
    return found


def pages_not_listed(root: pathlib.Path) -> list[str]:
    folder = root / "docs"
    index = {(folder / link.partition("#")[0]).resolve().relative_to(root.resolve()).as_posix() for link in pages.links((folder / "index.md").read_text(encoding="utf-8"))}
    there = set(pages.pages(root))
    listed = [name for names in pages.section_pages(root).values() for name in names]
    found = [f"{page} is not in docs/index.md" for page in sorted(there - index - {"docs/index.md", "CHANGELOG.md"})]
    found += [f"{page} is not in docs/navigation.json" for page in sorted(there - set(listed))]
    found += [f"{page} stands twice in docs/navigation.json" for page in sorted({name for name in listed if listed.count(name) > 1})]
    return found
