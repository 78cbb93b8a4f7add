"""What Python sees of each name: signatures and members out of the stubs, docstrings of what is Python's own."""

from __future__ import annotations

import ast
import pathlib
import re


class Stubs:
    """Functions and classes of `_libseal.pyi`."""

    def __init__(self, path: pathlib.Path) -> None:
        self.functions: dict[str, list[ast.FunctionDef]] = {}
        self.classes: dict[str, dict[str, list[ast.FunctionDef]]] = {}
        self.values: dict[str, list[str]] = {}  # of enums
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef):
                self.functions.setdefault(node.name, []).append(node)
            elif isinstance(node, ast.ClassDef):
                members = self.classes.setdefault(node.name, {})
                for part in node.body:
                    if isinstance(part, ast.FunctionDef):
                        members.setdefault(part.name, []).append(part)
                    elif isinstance(part, ast.AnnAssign) and isinstance(part.target, ast.Name):
                        self.values.setdefault(node.name, []).append(part.target.id)

    def type_of(self, owner: str, name: str) -> str:
        """Type of a property; "" if Python has none of that name."""
        found = self.classes.get(owner, {}).get(name) or self.classes.get(owner, {}).get(name + "_")
        return ast.unparse(found[0].returns) if found and found[0].returns else ""

    def signatures(self, owner: str, name: str, defaults: dict[str, str]) -> list[str]:
        """One line for each overload; defaults that are plain literals come from C++."""
        if owner == name:  # constructor
            found = self.classes.get(owner, {}).get("__init__", [])
        elif owner:
            found = self.classes.get(owner, {}).get(name, [])
        else:
            found = self.functions.get(name, []) or self.classes.get(name, {}).get("__init__", [])
        return [line(node, name, defaults) for node in found]


def python_literal(text: str | None) -> str:
    """A C++ default as Python writes it; "..." for what is no plain literal."""
    text = (text or "").strip()
    if text in ("true", "false"):
        return text.capitalize()
    if re.fullmatch(r'-?\d[\d.]*(?:e-?\d+)?|"[^"]*"', text):
        return text
    return "..."


def line(node: ast.FunctionDef, name: str, defaults: dict[str, str]) -> str:
    arguments = node.args
    parts: list[str] = []

    def add(argument: ast.arg, default: ast.expr | None) -> None:
        if argument.arg == "self":
            return
        text = argument.arg + (f": {ast.unparse(argument.annotation)}" if argument.annotation else "")
        if default is not None:
            written = ast.unparse(default)
            text += " = " + (python_literal(defaults.get(argument.arg)) if written == "..." else written)
        parts.append(text)

    usual = [*arguments.posonlyargs, *arguments.args]
    for argument, default in zip(usual, [None] * (len(usual) - len(arguments.defaults)) + list(arguments.defaults)):
        add(argument, default)
    if arguments.kwonlyargs:
        parts.append("*")
    for argument, default in zip(arguments.kwonlyargs, arguments.kw_defaults):
        add(argument, default)
    result = "" if node.name == "__init__" or not node.returns else f" -> {ast.unparse(node.returns)}"
    one = f"{name}({', '.join(parts)}){result}"
    return one if len(one) <= 110 else f"{name}(\n    " + ",\n    ".join(parts) + f",\n){result}"


def own_modules(folder: pathlib.Path) -> list[tuple[str, str, list[tuple[str, str]]]]:
    """Modules of Python's own: (name, text, [(signature, text) of each public function])."""
    found = []
    for path in sorted(folder.glob("*.py")):
        if path.stem.startswith("_"):
            continue
        tree = ast.parse(path.read_text(encoding="utf-8"))
        functions = [(line(node, node.name, {}), ast.get_docstring(node) or "") for node in tree.body
                     if isinstance(node, ast.FunctionDef) and not node.name.startswith("_") and ast.get_docstring(node)]
        if functions:
            found.append((path.stem, ast.get_docstring(tree) or "", functions))
    return found
