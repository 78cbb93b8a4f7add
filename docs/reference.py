"""Writes the reference of both languages from the `///` comments of the public headers, one page a folder.

    python3 docs/reference.py FOLDER        pages into FOLDER, and names.json: name to page and anchor

Texts, arguments and C++ declarations come from `read_headers` of bindings/docs_from_headers.py, Python's side from the stubs,
and what a folder is for from the table in DEVELOPERS.md. `cpp-NAME` and `python-NAME` are the anchors of a name.
"""

from __future__ import annotations

import json
import pathlib
import re
import sys

ROOT = pathlib.Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT / "bindings"), str(ROOT / "docs")]
import docs_from_headers as headers  # noqa: E402
import markup  # noqa: E402
import stubs  # noqa: E402
from docs_from_headers import Entry  # noqa: E402

PACKAGE = ROOT / "bindings" / "python" / "libseal"


def purposes() -> dict[str, str]:
    """What each folder is for."""
    return dict(re.findall(r"^\| `(\w+)` \| (.+) \|$", (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"), flags=re.MULTILINE))


def header_purpose(folder: str, header: str) -> str:
    """The second line of a header says why it is there."""
    lines = (ROOT / "libseal" / "include" / "libseal" / folder / f"{header}.hpp").read_text(encoding="utf-8").splitlines()
    texts = []
    for line in lines[1:]:
        if not line.startswith("// "):
            break
        texts.append(line[3:])
    return " ".join(texts)


def declaration(entry: Entry) -> str:
    parts = [f"{a.type} {a.name}".strip() + (f" = {a.default}" if a.default else "") for a in entry.arguments]
    head = f"{entry.result} ".lstrip() + entry.name
    one = f"{head}({', '.join(parts)});"
    return one if len(one) <= 110 else f"{head}(\n    " + ",\n    ".join(parts) + ");"


class Reference:
    def __init__(self) -> None:
        self.entries = [e for e in headers.read_headers(ROOT / "libseal" / "include") if "detail" not in e.owner and e.public]
        self.fields = headers.fields_by_class(self.entries)
        self.stubs = stubs.Stubs(PACKAGE / "_libseal.pyi")
        self.front = list(dict.fromkeys(call["name"] for call in json.loads((ROOT / "bindings" / "front_door.json").read_text())))
        self.names: dict[str, list[str]] = {}  # name -> [page, anchor]
        self.inherit()

    def inherit(self) -> None:
        """A declaration right under another one shares its comment."""
        before: Entry | None = None
        for entry in self.entries:
            if before and before.doc.strip() and not entry.doc.strip() and entry.kind == before.kind == "function" and \
                    (entry.owner, entry.header) == (before.owner, before.header):
                if entry.name == before.name:
                    entry.doc = before.doc
                elif not entry.owner and entry.line <= before.line + 3:
                    entry.doc = f"See `{before.name}`, whose comment is for both."
            before = entry

    def texts(self, overloads: list[Entry]) -> list[str]:
        """Text, arguments and the rest; what overloads have in common is written once."""
        out: list[str] = []
        rows: list[list[str]] = []
        rest: dict[str, list[str]] = {}
        for entry in overloads:
            text, arguments, tagged = headers.sections(entry.doc, headers.option_fields(entry, self.fields))
            if text and (part := markup.paragraphs(text)) not in out:
                out.append(part)
            rows += [row for name, said in arguments if (row := [markup.code(name), markup.cell(said)]) not in rows]
            for heading, said in tagged:
                if said not in rest.setdefault(heading, []):
                    rest[heading].append(said)
        if rows:
            out.append(markup.table(["argument", "meaning"], rows))
        out += [f"**{heading}:** {markup.plain(' '.join(said))}" for heading, said in rest.items()]
        return out

    def anchors(self, name: str, cpp: bool, python: bool) -> str:
        return "".join(markup.anchor(f"{language}-{name}") for language, there in (("cpp", cpp), ("python", python)) if there)

    def function(self, overloads: list[Entry], level: int) -> list[str]:
        first = overloads[0]
        defaults = {a.name: a.default or "" for e in overloads for a in e.arguments}
        defaults |= {f.name: f.default or "" for e in overloads for f in headers.option_fields(e, self.fields)}
        python = self.stubs.signatures(first.owner, first.name, defaults)
        name = f"{first.owner}.{first.name}" if first.owner else first.name
        out = ["#" * level + f" {name}", self.anchors(name, True, bool(python))]
        out.append("```cpp\n" + "\n".join(declaration(e) for e in overloads) + "\n```")
        out.append("```python\n" + "\n".join(python) + "\n```" if python else "*C++ only.*")
        return out + self.texts(overloads)

    def methods(self, name: str, level: int) -> list[str]:
        out: list[str] = []
        groups: dict[str, list[Entry]] = {}
        for entry in self.entries:
            if entry.owner == name and entry.kind == "function" and not entry.name.startswith("~") and entry.doc.strip():
                groups.setdefault(entry.name, []).append(entry)
        for overloads in groups.values():
            out += self.function(overloads, level)
        return out

    def kind(self, entry: Entry, level: int) -> list[str]:
        """A class with its fields, values and methods."""
        name = entry.name
        python = name in self.stubs.classes
        out = ["#" * level + f" {name}", self.anchors(name, True, python), *self.texts([entry])]
        if not python:
            out.append("*C++ only.*")
        elif made := self.stubs.signatures(name, name, {f.name: f.default or "" for f in self.fields.get(name, [])}):
            out.append("```python\n" + "\n".join(made) + "\n```")
        if values := [e for e in self.entries if e.owner == name and e.kind == "value"]:
            out.append(markup.table(["value", "meaning"], [[markup.code(e.name), markup.cell(e.doc)] for e in values]))
        if fields := self.fields.get(name):
            rows = [[markup.code(f.name), markup.code(f.result), markup.code(self.stubs.type_of(name, f.name)), markup.code(f.default or ""),
                     markup.cell(f.doc)] for f in fields]
            out.append(markup.table(["field", "C++", "Python", "default", "meaning"], rows))
        return out + self.methods(name, level + 1)

    def item(self, name: str, entries: list[Entry], level: int) -> list[str]:
        kinds = [e for e in entries if e.kind == "class"]
        return self.kind(kinds[0], level) if kinds else self.function(entries, level)

    def folder_page(self, folder: str) -> str:
        """The page; notes where its names stand."""
        items: dict[str, list[Entry]] = {}
        for entry in self.entries:
            if entry.folder == folder and not entry.owner and entry.kind in ("class", "function"):
                items.setdefault(entry.name, []).append(entry)
        names = ", ".join(markup.link(name, f"#cpp-{name}") for name in sorted(items, key=str.casefold))
        # Deep headings stay out of the navigation of every page: that keeps the build short. The line of names stands for them.
        out = ["---\ntocdepth: 2\n---", f"# Reference: {folder}", markup.paragraphs(purposes().get(folder, "")),
               "Text, units, ranges, errors and sources are the comments of the headers in "
               f"`libseal/include/libseal/{folder}/`. Everything is in namespace `libseal` in C++ and in module `libseal` in Python.", names]
        front = [name for name in self.front if name in items]
        if front:
            out.append("## Front door")
            for name in front:
                out += self.item(name, items[name], 3)
        by_header: dict[str, list[str]] = {}
        for name, entries in items.items():
            if name not in front:
                by_header.setdefault(entries[0].header, []).append(name)
        for header, names in by_header.items():
            out += [f"## {header}.hpp", markup.paragraphs(header_purpose(folder, header))]
            for name in names:
                out += self.item(name, items[name], 3)
        for name in items:
            self.names[name] = [f"reference/{folder}", f"cpp-{name}"]
        return "\n\n".join(part for part in out if part) + "\n"

    def index_page(self, folders: list[str]) -> str:
        rows = []
        for name in self.front:
            page, anchor = self.names[name]
            found = [e for e in self.entries if e.name == name and not e.owner]
            text = next(t for e in found if (t := headers.sections(e.doc, [])[0]))
            said = re.split(r"(?<=[.:])\s", " ".join(text.split()))[0]
            target = page.removeprefix("reference/") + ".html"
            both = ", ".join(markup.link(shown, f"{target}#{language}-{name}", False) for shown, language in (("C++", "cpp"), ("Python", "python")))
            rows.append([markup.code(name), both, markup.cell(said)])
        rest = [[f"[{folder}]({folder}.md)", markup.cell(purposes().get(folder, ""))] for folder in folders]
        rest += [["[Python's own](python.md)", "tables, pictures, pages, stores: what C++ does not have"],
                 ["[catalogue](values.md)", "every default value with unit, range, source and confidence"],
                 ["[bibliography](bibliography.md)", "every source that the catalogue and the comments name"],
                 ["[schemas](schemas.md)", "files that are read and written"]]
        return "\n\n".join(["# Reference", "The front door: calls that do the main job, the same in both languages.",
                            markup.table(["call", "in", "what"], rows), "Everything, folder by folder:",
                            markup.table(["page", "what"], rest)]) + "\n"

    def python_page(self) -> str:
        out = ["---\ntocdepth: 2\n---", "# Reference: Python's own", "Modules that C++ does not have. Their functions, with the text of their docstrings."]
        public = set(re.findall(r'"(\w+)"', re.search(r"_MODULES = \{(.*?)\}", (PACKAGE / "__init__.py").read_text(encoding="utf-8"), re.DOTALL)[1]))
        for module, text, functions in stubs.own_modules(PACKAGE):
            if module not in public:
                continue
            out += [f"## libseal.{module}", markup.paragraphs(text)]
            for signature, said in functions:
                name = signature.partition("(")[0]
                out += [f"### {module}.{name}", markup.anchor(f"python-{module}.{name}"), f"```python\n{signature}\n```", markup.paragraphs(said)]
                self.names[f"{module}.{name}"] = ["reference/python", f"python-{module}.{name}"]
                self.names.setdefault(name, ["reference/python", f"python-{module}.{name}"])
        return "\n\n".join(part for part in out if part) + "\n"

    def write(self, target: pathlib.Path) -> None:
        folders = list(dict.fromkeys(e.folder for e in self.entries))
        folders = [f for f in purposes() if f in folders] + [f for f in folders if f not in purposes()]
        for folder in folders:
            markup.write(target / f"{folder}.md", self.folder_page(folder))
        markup.write(target / "python.md", self.python_page())
        markup.write(target / "index.md", self.index_page(folders))
        markup.write(target / "names.json", json.dumps(self.names, indent=0))


if __name__ == "__main__":
    Reference().write(pathlib.Path(sys.argv[1]))
