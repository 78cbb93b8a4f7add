"""Reads call signatures out of C++ headers and out of Python functions, in one form.

A signature is a list of (name, default); default is REQUIRED, or the value of a plain literal, or None for
everything that means "the usual" ({}, an empty list, the built-in catalogue).
"""

import ast
import inspect
import re

REQUIRED = object()


def split_outside_brackets(text: str, separator: str = ",") -> list[str]:
    parts, depth, start = [], 0, 0
    quote = ""
    for place, letter in enumerate(text):
        if quote:
            quote = "" if letter == quote else quote
        elif letter in "\"'":
            quote = letter
        elif letter in "([{<":
            depth += 1
        elif letter in ")]}" or (letter == ">" and text[place - 1] != "-"):
            depth -= 1
        elif letter == separator and depth == 0:
            parts.append(text[start:place].strip())
            start = place + 1
    return [part for part in [*parts, text[start:].strip()] if part]


def bracketed(text: str, start: int) -> str:
    """What stands between the bracket at `start` and its partner."""
    depth = 0
    for place in range(start, len(text)):
        depth += text[place] in "({"
        depth -= text[place] in ")}"
        if depth == 0:
            return text[start + 1 : place]
    raise ValueError("no closing bracket")


# ---- C++ ----


def without_comments(text: str) -> str:
    return re.sub(r"//[^\n]*|/\*.*?\*/", "", text, flags=re.DOTALL)


def literal(text: str):
    """Value of a C++ literal; None for what is no number, word or truth."""
    text = text.strip().rstrip("fLuU") if re.match(r"^-?[\d.]", text.strip()) else text.strip()
    try:
        value = ast.literal_eval({"true": "True", "false": "False"}.get(text, text))
    except (ValueError, SyntaxError):
        return None
    return value if isinstance(value, (int, float, str, bool)) and value != "" else None


class Headers:
    """All public headers as one text."""

    def __init__(self, texts: list[str]):
        self.text = "\n".join(without_comments(text) for text in texts)

    def fields(self, struct: str) -> list[tuple[str, object]]:
        """Fields of a struct of options in order; the two of Watch in its place."""
        match = re.search(rf"\bstruct\s+{struct}\s*\{{", self.text)
        if not match:
            raise ValueError(f"no struct {struct}")
        result = []
        for line in split_outside_brackets(bracketed(self.text, match.end() - 1), ";"):
            field = re.fullmatch(r"(?P<type>[\w:<>,\s*&]+?)[\s*&]+(?P<name>\w+)\s*(?:=\s*(?P<value>.+)|\{.*\})?", line, re.DOTALL)
            if not field or "(" in line.split("=")[0]:
                continue
            if field["type"].strip() == "Watch":
                result += [("progress", None), ("stop", None)]
            else:
                result.append((field["name"], literal(field["value"] or "")))
        return result

    def overloads(self, name: str) -> list[list[tuple[str, object]]]:
        """Signatures of the functions or constructors of that name, options taken apart."""
        found = []
        for match in re.finditer(rf"(?<![.\w:>])(?:explicit\s+)?{name}\s*\(", self.text):
            before = self.text[: match.start()].rstrip()
            # A declaration follows a type, or the end of another one (constructor); a call follows neither.
            if not before or before[-1] in "=(,!+-/" or before.endswith("return"):
                continue
            try:
                found.append(self.arguments(bracketed(self.text, match.end() - 1)))
            except ValueError:
                continue
        return found

    def arguments(self, inside: str) -> list[tuple[str, object]]:
        result = []
        for part in split_outside_brackets(inside):
            declared, _, default = part.partition("=")
            match = re.fullmatch(r"(?P<type>.*[\s&*>])(?P<name>\w+)", declared.strip(), re.DOTALL)
            if not match:
                raise ValueError(f"not a declaration: {part}")
            options = re.search(r"\b(\w+Options)\b", match["type"])
            if options:
                result += self.fields(options[1])
            else:
                result.append((match["name"], literal(default) if default else REQUIRED))
        return result


# ---- Python ----


def signature_line(line: str) -> list[tuple[str, object]]:
    """Of the first line of a pybind11 docstring: name(a: T, *, b: T = 1) -> R."""
    result = []
    for part in split_outside_brackets(bracketed(line, line.index("("))):
        if part in {"*", "/"} or part.split(":")[0].strip() == "self":
            continue
        if part.startswith("*"):
            raise ValueError(f"arguments without names: {line}")
        declared, _, default = part.partition("=") if "=" in part else (part, "", "")
        try:
            value = ast.literal_eval(default.strip()) if default else REQUIRED
        except (ValueError, SyntaxError):
            value = None
        result.append((declared.split(":")[0].strip(), value))
    return result


def python_overloads(thing) -> list[list[tuple[str, object]]]:
    """Signatures of a Python callable; of a compiled one by its docstring, which alone tells them."""
    if inspect.isclass(thing):
        thing = thing.__init__
    try:
        parameters = inspect.signature(thing).parameters.values()
        plain = [p for p in parameters if p.kind not in (p.VAR_POSITIONAL, p.VAR_KEYWORD)]
        if len(plain) == len(parameters):
            return [
                [(p.name, REQUIRED if p.default is p.empty else p.default) for p in plain if p.name != "self"]
            ]
    except (TypeError, ValueError):
        pass
    name = thing.__name__
    lines = (thing.__doc__ or "").splitlines()
    numbered = [line.partition(". ")[2] for line in lines if re.match(rf"\d+\. {re.escape(name)}\(", line)]
    return [signature_line(line) for line in (numbered or lines[:1])]
