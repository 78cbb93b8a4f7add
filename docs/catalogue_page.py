"""Writes the pages that come from data: the catalogue, its bibliography together with the headers', and the schemas.

    python3 docs/catalogue_page.py FOLDER
"""

from __future__ import annotations

import html
import json
import pathlib
import re
import sys

ROOT = pathlib.Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT / "bindings"), str(ROOT / "docs")]
import docs_from_headers as headers  # noqa: E402
import markup  # noqa: E402

MARKS = {
    "measured": "measured outside this project, as the source prints it", "standard": "a standard sets it", "published": "a publication prints it, or it follows from one",
    "computed": "computed for this project from published data", "fitted": "fitted for this project to published results",
    "common_practice": "common practice, no publication", "from_memory": "from memory, not looked up again", "judgement": "judgement of this project, inside what sources allow"}
# "Meeker, Escobar & Chan 2009", "Duan et al. 2015", "Miner 1945"
NAME = r"[A-Z][\w'’-]+(?: [A-Z][\w'’-]+)?"
WORK = re.compile(rf"\b({NAME}(?:(?:, | & | and |, & ){NAME})*(?: et al\.?)?),? \(?((?:18|19|20)\d\d)\b")
STANDARD = re.compile(r"\b((?:ASTM(?: STP)?|ISO|EN|DIN|RFC|MIL-HDBK|API RP|NFPA|FMVSS|IEC|JIS)[ -][A-Z]{0,2}\d[\d-]*)")
NO_WORK = {"CFR", "In", "The", "Mark", "Form", "Since", "From", "To", "Until", "About"}


def catalogue_files() -> dict[str, dict[str, dict]]:
    """Title to entries by id: the built-in catalogue by the first part of its ids, then each preset."""
    data = ROOT / "libseal" / "data"
    groups: dict[str, dict[str, dict]] = {}
    for path in sorted((data / "catalogue").glob("*.json")):
        for name, entry in json.loads(path.read_text(encoding="utf-8"))["values"].items():
            groups.setdefault(name.partition("/")[0], {})[name] = entry
    for path in sorted((data / "catalogue_presets").glob("*.json")):
        groups[f"preset {path.stem}"] = json.loads(path.read_text(encoding="utf-8"))["values"]
    return groups


def number(value: object) -> str:
    return f"{value:.10g}" if isinstance(value, (int, float)) else str(value)


def entry_row(name: str, entry: dict, prefix: str) -> str:
    span = "" if entry["unit"] == "word" or "low" not in entry else f"{number(entry['low'])} to {number(entry['high'])}"
    texts = [number(entry["value"]), entry["unit"], span, entry["mark"].replace("_", " "), entry["source"]]
    cells = [f"<code>{html.escape(name).replace('/', '/<wbr>')}</code>", *map(html.escape, texts)]
    return f'<tr id="{prefix}{html.escape(name)}">' + "".join(f"<td>{cell}</td>" for cell in cells) + "</tr>"


def catalogue_page() -> str:
    groups = catalogue_files()
    count = sum(len(entries) for entries in groups.values())
    marks = {mark: sum(entry["mark"] == mark for entries in groups.values() for entry in entries.values()) for mark in MARKS}
    out = ["# Catalogue", f"All {count} default values of the library, as they lie in `libseal/data/catalogue/` and `libseal/data/catalogue_presets/`. A shop may "
           "lay values of its own over them. The range is what is thought possible; a unit \"word\" has none.",
           markup.table(["confidence", "means", "entries"], [[mark.replace("_", " "), markup.cell(MARKS[mark]), str(marks[mark])] for mark in MARKS]),
           '```{raw} html\n<p><label>Show only rows that hold all these words: <input id="catalogue-filter" type="search" size="40" '
           'placeholder="silicone energy_light"></label> <span id="catalogue-count" role="status"></span></p>\n```']
    for title, entries in groups.items():
        rows = "\n".join(entry_row(name, entry, "preset-" if title.startswith("preset ") else "value-") for name, entry in entries.items())
        head = "".join(f"<th>{text}</th>" for text in ("id", "value", "unit", "range", "confidence", "source"))
        table = f'<table class="catalogue docutils"><thead><tr>{head}</tr></thead><tbody>\n{rows}\n</tbody></table>'
        out += [f"## {title}", markup.anchor(f"group-{title.replace(' ', '-')}"), f"```{{raw}} html\n{table}\n```"]
    return "\n\n".join(out) + "\n"


def works_in(text: str) -> list[str]:
    """Publications that a text names: authors and year, or the number of a standard."""
    found = [f"{authors} {year}" for authors, year in WORK.findall(text) if authors.split(",")[0].split(" ")[0] not in NO_WORK and not STANDARD.match(authors)]
    found = [name.replace("Fundamentals ", "ASHRAE Handbook of Fundamentals ") if name.startswith("Fundamentals ") else name for name in found]
    return list(dict.fromkeys([*found, *STANDARD.findall(text)]))


def sourced_texts() -> list[tuple[str, str, str]]:
    """(source, who says it, link) of each entry of the catalogue and each comment."""
    found = [(entry["source"], name if not title.startswith("preset ") else f"{title}: {name}", f"values.html#group-{title.replace(' ', '-')}")
             for title, entries in catalogue_files().items() for name, entry in entries.items()]
    for entry in headers.read_headers(ROOT / "libseal" / "include"):
        if "detail" in entry.owner:
            continue
        for heading, text in headers.sections(entry.doc, [])[2]:
            if heading == "Source":
                name = f"{entry.owner}.{entry.name}" if entry.owner else entry.name
                there = name if not entry.owner or entry.kind == "function" else entry.owner
                link = f"{entry.folder}.html#cpp-{there}"
                found.append((text, name, link))
    return found


def fullest(work: str, sources: list[str]) -> str:
    """Of the ways in which a work is cited the longest that begins with it, else the shortest."""
    beginning = [source for source in sources if source.startswith(work.split(" ")[0])]
    return max(beginning, key=len) if beginning else min(sources, key=len)


def used_by(users: list[tuple[str, str]], most: int = 6) -> str:
    """Calls by name; entries of the catalogue by group and count."""
    calls = list(dict.fromkeys(markup.link(name, link) for name, link in users if not link.startswith("values.")))
    groups: dict[str, int] = {}
    for _, link in users:
        if link.startswith("values."):
            groups[link] = groups.get(link, 0) + 1
    entries = [markup.link(f"{count} in {link.partition('#group-')[2]}", link, False) for link, count in groups.items()]
    more = [f"{len(calls) - most} more"] if len(calls) > most else []
    return ", ".join([*calls[:most], *more, *entries])


def bibliography_page() -> str:
    texts = sourced_texts()
    works: dict[str, list[tuple[str, str, str]]] = {}
    rest: dict[str, list[tuple[str, str]]] = {}
    for source, name, link in texts:
        named = works_in(source)
        for work in named:
            works.setdefault(work, []).append((source, name, link))
        if not named:
            rest.setdefault(source, []).append((name, link))
    rows = []
    for work in sorted(works, key=str.casefold):
        uses = works[work]
        sources = list(dict.fromkeys(part.strip() for source, _, _ in uses for part in source.split(";") if work.split(" ")[0].strip(",") in part))
        rows.append([markup.cell(work), markup.cell(fullest(work, sources or [uses[0][0]])), used_by([(name, link) for _, name, link in uses])])
    said = {"publications": len(rows), "other": len(rest)}
    other = [[markup.cell(source), used_by(users)] for source, users in sorted(rest.items(), key=lambda item: item[0].casefold())
             if not source.startswith("judgement of this project")]
    judged = sum(len(users) for source, users in rest.items() if source.startswith("judgement of this project"))
    return "\n\n".join([
        "# Bibliography", f"Made from the sources of the [catalogue](values.md) and from the sources in the comments of the headers: {said['publications']} publications and "
        f"standards by name, {len(other)} other sources. {judged} values are judgement of this project without a publication; their reasons stand in the catalogue. "
        "What a publication was compared with, and how well it held, is in [laws](../docs/laws.md) and [calibration](../docs/calibration.md).",
        "## Publications and standards", markup.table(["work", "as it is cited", "used by"], rows),
        "## Other sources", markup.table(["source", "used by"], other)]) + "\n"


def schemas_page() -> str:
    out = ["# Schemas", "JSON schemas (draft 2020-12) of what the library and its commands read and write. They lie in `docs/schemas/` and `docs/command_schema.json`."]
    rows = []
    for path in sorted((ROOT / "docs" / "schemas").glob("*.json")):
        document = json.loads(path.read_text(encoding="utf-8"))
        rows.append([f"[{path.stem}](../docs/schemas/{path.name})", markup.cell(document.get("title", "")), markup.cell(document.get("description", ""))])
    return "\n\n".join([*out, markup.table(["schema", "of", "what"], rows)]) + "\n"


def write(target: pathlib.Path) -> None:
    markup.write(target / "values.md", catalogue_page())
    markup.write(target / "bibliography.md", bibliography_page())
    markup.write(target / "schemas.md", schemas_page())


if __name__ == "__main__":
    write(pathlib.Path(sys.argv[1]))
