"""Reads the public headers: doc comments become docstrings, declarations become signatures.

The `///` comment in a header is the one home of a text. This script writes one header of string constants per folder,
`doc::NAME` for a function or class and `doc::CLASS_MEMBER` for a member, so that binding a function or class without a
text does not compile (a field may speak for itself). The tests import `read_headers` to compare names, arguments and defaults of C++ and Python.
"""

from __future__ import annotations

import argparse
import re
import textwrap
from dataclasses import dataclass, field
from pathlib import Path

TAGS = "param|return|throws|source|threads|tested|accuracy"
HEADINGS = {"return": "Returns", "throws": "Raises", "source": "Source", "threads": "Threads",
            "accuracy": "Accuracy"}  # "tested" is for people who read the header


@dataclass
class Argument:
    type: str
    name: str
    default: str | None


@dataclass
class Entry:
    """A documented class, function or member."""

    folder: str
    kind: str  # "class", "function", "field", "value" (of an enum)
    owner: str  # class it belongs to, "" outside
    name: str
    doc: str = ""
    arguments: list[Argument] = field(default_factory=list)
    result: str = ""  # type of a field or of what a function returns
    default: str | None = None  # of a field
    header: str = ""  # file name without ending
    line: int = 0  # where its declaration ends
    public: bool = True


def split_commas(text: str) -> list[str]:
    """Splits at commas outside of brackets."""
    parts, depth, start = [], 0, 0
    for i, c in enumerate(text):
        depth += (c in "(<{[") - (c in ")>}]")
        if c == "," and depth == 0:
            parts.append(text[start:i])
            start = i + 1
    return [p.strip() for p in [*parts, text[start:]] if p.strip()]


def read_argument(text: str) -> Argument:
    declaration, _, default = text.partition("=")
    match = re.match(r"(.*?)(\w+)\s*$", declaration.strip(), re.S)
    if not match or not match[1].strip():  # unnamed
        return Argument(declaration.strip(), "", default.strip() or None)
    return Argument(match[1].strip(), match[2], default.strip() or None)


class HeaderParser:
    """Line by line reading of headers written in the house style; not a C++ parser."""

    def __init__(self, folder: str, entries: list[Entry], header: str = "") -> None:
        self.folder, self.entries, self.header = folder, entries, header
        self.scopes: list[str] = []  # class name, or "" for namespaces
        self.hidden = 0  # depth of the class whose private part is read; 0: none
        self.pending: list[str] = []
        self.declaration = ""
        self.parens = 0
        self.skip = 0  # open braces of a body or initialiser that is passed over
        self.body = False
        self.enum = False
        self.line = 0
        self.last: list[Entry] = []  # of the last declaration, which may declare several fields

    def read(self, text: str) -> None:
        for self.line, line in enumerate(text.splitlines(), 1):
            stripped = line.strip()
            if stripped.startswith("///<"):
                for entry in self.last:
                    entry.doc += "\n" + stripped[4:].strip()
            elif stripped.startswith("///"):
                self.pending.append(stripped[3:].removeprefix(" "))
            elif not stripped:
                if not self.declaration.strip():
                    self.pending = []
            elif not stripped.startswith(("#", "//")):
                code, _, after = line.partition("//")
                before = len(self.entries)
                for c in re.sub(r'"(\\.|[^"\\])*"', lambda m: m[0].replace("{", "\x01").replace("}", "\x02")
                                .replace(";", "\x03").replace("(", "\x04").replace(")", "\x05"), code):
                    self.character(c)
                if self.enum:
                    self.add_value()
                self.declaration += " "
                if after.startswith("/<") and len(self.entries) > before:
                    for entry in self.entries[before:]:
                        entry.doc = entry.doc or after[2:].strip()

    def character(self, c: str) -> None:
        if self.skip:
            self.skip += (c == "{") - (c == "}")
            if self.skip == 0 and self.body:
                self.declaration, self.body = "", False
            return
        self.parens += (c == "(") - (c == ")")
        if self.enum and c in ",}" and self.parens == 0:
            self.add_value()
            if c == "}":
                self.scopes.pop()
                self.enum = False
            return
        if c == "{" and self.parens == 0:
            self.open_brace()
        elif c == "}" and self.parens == 0:
            self.scopes.pop()
            if len(self.scopes) < self.hidden:
                self.hidden = 0
            self.declaration = ""
        elif c == ";" and self.parens == 0:
            self.finish()
            self.declaration = ""
        else:
            self.declaration += c
            if c == ":" and self.declaration.strip() in ("public:", "private:", "protected:"):
                if not self.hidden or len(self.scopes) == self.hidden:
                    self.hidden = 0 if self.declaration.strip() == "public:" else len(self.scopes)
                self.declaration = ""

    def open_brace(self) -> None:
        text = self.declaration.strip()
        if text.startswith("namespace") or text.startswith("extern"):
            self.scopes.append("detail" if "detail" in text else "")
            self.declaration, self.pending = "", []
            return
        match = re.match(r"(?:template\s*<.*?>\s*)?(struct|class|enum class|enum)\s+(\w+)[^(=]*$", text)
        if match:
            self.add("class", match[2])
            self.enum = match[1].startswith("enum")
            self.scopes.append(match[2])
            self.declaration = ""
            return
        self.skip = 1
        if "(" in text:
            self.finish()
            self.body = True

    def finish(self) -> None:
        text = " ".join(self.declaration.split())
        for code, c in zip("\x01\x02\x03\x04\x05", "{};()"):
            text = text.replace(code, c)
        if not text or re.match(r"(using|friend|static_assert|extern|struct|class|enum|template\s*<\s*>)\b", text):
            self.pending = []
            return
        text = re.sub(r"^(template\s*<[^>]*>\s*)?(\[\[\w+\]\]\s*)?((static|inline|constexpr|explicit|virtual)\s+)*", "", text)
        function = re.match(r"([^(=]*?)(~?\w+)\s*\(", text)
        if function and "operator" not in text.partition("(")[0]:
            end, depth = function.end(), 1
            while depth:
                depth += (text[end] == "(") - (text[end] == ")")
                end += 1
            entry = self.add("function", function[2])
            entry.result = function[1].strip()
            entry.arguments = [read_argument(a) for a in split_commas(text[function.end():end - 1])]
        elif "operator" not in text and "(" not in text.partition("=")[0].partition("<")[0]:
            parts = [[side.strip() for side in part.partition("=")[::2]] for part in split_commas(text)]  # "double low = 0, high = 1"
            match = re.match(r"(.*?)(\w+)$", parts[0][0])
            if match and match[1].strip() and not match[2].endswith("_"):  # name_ is private
                added, comment = [], self.pending
                for name, default in [[match[2], parts[0][1]], *parts[1:]]:
                    self.pending = comment
                    added.append(self.add("field", name))
                    added[-1].result, added[-1].default = match[1].strip(), default or None
                self.last = added

    def add_value(self) -> None:
        """The value of an enum that has been read, if any."""
        match = re.match(r"\s*(\w+)", self.declaration)
        if match:
            self.add("value", match[1])
        self.declaration = ""

    def add(self, kind: str, name: str) -> Entry:
        owner = next((s for s in reversed(self.scopes) if s), "")
        entry = Entry(self.folder, kind, owner, name, "\n".join(self.pending), header=self.header, line=self.line, public=not self.hidden)
        self.pending = []
        self.entries.append(entry)
        self.last = [entry]
        return entry


def read_headers(include: Path) -> list[Entry]:
    """All entries of include/libseal, in order of file name."""
    entries: list[Entry] = []
    for path in sorted(include.glob("libseal/*/*.hpp")):
        parser = HeaderParser(path.parent.name, entries, path.stem)
        parser.read(path.read_text(encoding="utf-8"))
        if parser.scopes or parser.skip or parser.parens:
            raise SystemExit(f"{path}: unbalanced brackets")
    return entries


def flat(text: str) -> str:
    return " ".join(text.split())


def sections(doc: str, options: list[Entry]) -> tuple[str, list[tuple[str, str]], list[tuple[str, str]]]:
    """Comment text without tags, its arguments and its tagged parts by heading; `options` are fields that Python takes as keywords."""
    pieces = re.split(rf"\s*@({TAGS})\b[ \t]*", "\n" + doc)
    arguments, rest = [], []
    for tag, text in zip(pieces[1::2], pieces[2::2]):
        if tag == "param":
            match = re.match(r"((?:\w+,\s*)*\w+)[ \t]*(.*)", text, re.S)
            if match and not match[1].startswith("options"):
                arguments.append((match[1], flat(match[2])))
        elif tag in HEADINGS:
            rest.append((HEADINGS[tag], flat(text)))
    arguments += [(o.name, flat(o.doc)) for o in options if o.doc]
    return textwrap.dedent(pieces[0]).strip(), arguments, rest


def docstring(doc: str, options: list[Entry]) -> str:
    """Comment text with its tags as a Python docstring."""
    text, arguments, rest = sections(doc, options)
    out = [text]
    if arguments:
        out.append("Arguments:\n" + "\n".join(f"    {name}: {text}" for name, text in arguments))
    out += [f"{heading}: {text}" for heading, text in rest]
    return "\n\n".join(p for p in out if p)


def option_fields(entry: Entry, fields: dict[str, list[Entry]]) -> list[Entry]:
    """Fields of the structs of options that a function takes."""
    kinds = [argument.type.replace("const", "").replace("&", "").strip() for argument in entry.arguments]
    return [field for kind in kinds if kind.endswith("Options") for field in fields.get(kind, [])]


def fields_by_class(entries: list[Entry]) -> dict[str, list[Entry]]:
    fields: dict[str, list[Entry]] = {}
    for entry in entries:
        if entry.kind == "field" and entry.owner:
            fields.setdefault(entry.owner, []).append(entry)
    return fields


def docs_of_folder(entries: list[Entry], folder: str) -> dict[str, str]:
    fields = fields_by_class(entries)
    docs: dict[str, list[str]] = {}
    for entry in entries:
        if entry.folder != folder or "detail" in entry.owner or entry.kind == "value":
            continue
        if entry.kind != "field" and not entry.doc.strip():
            continue  # no constant: binding it without a text does not compile
        name = f"{entry.owner}_{entry.name}" if entry.owner else entry.name
        docs.setdefault(name, []).append(docstring(entry.doc, option_fields(entry, fields)))
    return {name: "\n\n".join(t for t in texts if t) for name, texts in docs.items()}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("include", type=Path)
    parser.add_argument("output", type=Path)
    arguments = parser.parse_args()
    entries = read_headers(arguments.include)
    for folder in sorted(p.name for p in (arguments.include / "libseal").iterdir() if p.is_dir()):
        lines = ["#pragma once", f"// Written by docs_from_headers.py from the comments in {folder}/*.hpp.", "",
                 "namespace doc {", ""]
        for name, text in sorted(docs_of_folder(entries, folder).items()):
            lines.append(f'inline constexpr char {name}[] = R"doc({text})doc";')
        text = "\n".join([*lines, "", "}  // namespace doc", ""])
        target = arguments.output / f"{folder}.hpp"
        target.parent.mkdir(parents=True, exist_ok=True)
        if not target.exists() or target.read_text(encoding="utf-8") != text:
            target.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
