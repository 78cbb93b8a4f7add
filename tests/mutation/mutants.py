"""Small faults that could be in the code: where in a C++ source each kind fits, and what the text then is."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

# Lines on which a changed sign is not a changed computation.
NO_CODE = re.compile(r"^\s*(#|template\b|using\b|namespace\b|static_assert\b|requires\b|friend\b|public:|private:)|\boperator\s*[-+*/<>=!&|]|\bstatic_assert\s*\(")
SWAPPED = {"+": ("-",), "-": ("+",), "*": ("/",), "/": ("*",), "<": ("<=",), "<=": ("<",), ">": (">=",), ">=": (">",), "==": ("!=",), "!=": ("==",), "&&": ("||",), "||": ("&&",)}
KIND = {"+": "plus", "-": "minus", "*": "times", "/": "over", "<": "less", "<=": "less or equal", ">": "greater", ">=": "greater or equal", "==": "equal",
        "!=": "not equal", "&&": "and", "||": "or"}
# Binary signs have a blank on both sides, or end or begin a line; brackets of templates, pointers and references have not.
BINARY = re.compile(r"(?<=[\s])(\+|-|\*|/|<=|>=|<|>|==|!=|&&|\|\|)(?=\s)")
UNARY = re.compile(r"(?:[(\[{,?]\s*|[=:<>*/+&|-]\s+|\breturn\s+)(-)(?=[\w.(])")
NUMBER = re.compile(r"(?<![\w.'])((?:\d[\d']*\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)(?=[fFuUlLzZ]*(?![\w.']))")
EXTREME = re.compile(r"\bstd::(min|max)(?=\s*[(<])")
TRUTH = re.compile(r"\b(true|false)\b")
ADDED = re.compile(r"(?<=[\s{])([A-Za-z_][\w.\[\]>():+*-]* [-+*/]= [^;{}\n]*;)")
TOKEN = re.compile(r"""//[^\n]*|/\*.*?\*/|R"(?P<mark>[^(\s]*)\(.*?\)(?P=mark)"|"(?:\\.|[^"\\\n])*"|(?<!\w)'(?:\\.|[^'\\\n])+'""", re.DOTALL)


@dataclass(frozen=True)
class Mutant:
    """One fault: `before` at `start` of a file becomes `after`."""

    file: str
    line: int
    column: int
    start: int
    kind: str
    before: str
    after: str
    code: str  # the line as it is, without blanks around it

    @property
    def key(self) -> str:
        return f"{self.file}:{self.line}:{self.column}: {self.before} -> {self.after}"

    def applied(self, text: str) -> str:
        """The text of the file with the fault."""
        assert text.startswith(self.before, self.start)
        return text[: self.start] + self.after + text[self.start + len(self.before) :]


def code_of(text: str) -> str:
    """The text with blanks in place of comments, strings, letters, and lines of the preprocessor; every place stays where it is."""
    masked = TOKEN.sub(lambda found: re.sub(r"[^\n]", " ", found[0]), text)
    lines, going_on = [], False
    for line, plain in zip(text.split("\n"), masked.split("\n"), strict=True):
        directive = going_on or plain.lstrip().startswith("#")
        going_on = directive and line.endswith("\\")
        lines.append(" " * len(line) if directive or NO_CODE.search(plain) else plain)
    return "\n".join(lines)


def changed_number(word: str) -> str:
    """A whole number one higher, any other 1 % higher; zero becomes one."""
    plain = word.replace("'", "")
    if re.fullmatch(r"\d+", plain):
        return str(int(plain, 8 if len(plain) > 1 and plain[0] == "0" else 10) + 1)
    value = float(plain)
    return repr(value * 1.01) if value else "1.0"


def places(code: str) -> Iterator[tuple[int, str, str, str]]:
    """(start, kind, before, after) of every fault that fits, kind by kind."""
    for found in BINARY.finditer(code):
        for after in SWAPPED[found[1]]:
            yield found.start(1), KIND[found[1]], found[1], after
    for found in UNARY.finditer(code):
        yield found.start(1), "sign dropped", "-", ""
    for found in EXTREME.finditer(code):
        yield found.start(1), "extreme", found[1], {"min": "max", "max": "min"}[found[1]]
    for found in TRUTH.finditer(code):
        yield found.start(1), "truth", found[1], {"true": "false", "false": "true"}[found[1]]
    for found in NUMBER.finditer(code):
        after = changed_number(found[1])
        yield found.start(1), "whole number" if after.isdigit() else "number", found[1], after
    for found in ADDED.finditer(code):
        yield found.start(1), "sum dropped", found[1], ";"


def mutants_of(file: str, text: str) -> list[Mutant]:
    """All faults of a file, in the order of their places."""
    code, lines = code_of(text), text.split("\n")
    found = []
    for start, kind, before, after in places(code):
        line = text.count("\n", 0, start)
        before = text[start : start + len(before)]  # a statement with its strings
        found.append(Mutant(file, line + 1, start - text.rfind("\n", 0, start), start, kind, before, after, lines[line].strip()))
    return sorted(set(found), key=lambda mutant: (mutant.start, mutant.kind, mutant.after))
