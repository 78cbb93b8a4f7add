"""The stubs, the module and the C++ headers say the same, name by name and argument by argument.

`stubtest` of mypy does not see the arguments of compiled functions, so this reads the signatures that pybind11 prints
in the first lines of each docstring.
"""

import ast
import os
import pathlib
import re
import subprocess
import sys

import pytest

import libseal
from bound_module import CLASSES, ERRORS, FUNCTIONS, core, printed

PACKAGE = pathlib.Path(libseal.__file__).parent


def shape(arguments: ast.arguments) -> list[tuple[str, str, bool]]:
    """(name, text of the default, keyword only) of each argument but self."""
    positional = [*arguments.posonlyargs, *arguments.args]
    given = [None] * (len(positional) - len(arguments.defaults)) + list(arguments.defaults)
    found = [(a.arg, ast.unparse(d) if d else "", False) for a, d in zip(positional, given)]
    found += [(a.arg, ast.unparse(d) if d else "", True) for a, d in zip(arguments.kwonlyargs, arguments.kw_defaults)]
    return [f for f in found if f[0] != "self"]


@pytest.fixture(scope="module")
def stub():
    tree = ast.parse((PACKAGE / "_libseal.pyi").read_text(encoding="utf-8"))
    functions: dict[str, list[ast.FunctionDef]] = {}
    for node in tree.body:
        if isinstance(node, ast.FunctionDef):
            functions.setdefault(node.name, []).append(node)
    classes = {node.name: node for node in tree.body if isinstance(node, ast.ClassDef)}
    return functions, classes


def test_stub_and_module_have_the_same_names(stub):
    functions, classes = stub
    assert sorted(functions) == FUNCTIONS
    assert sorted(c for c in classes if not c.startswith("_")) == CLASSES


@pytest.mark.parametrize("name", FUNCTIONS)
def test_a_function_has_the_arguments_that_the_stub_says(stub, name):
    in_stub = [shape(node.args) for node in stub[0][name]]
    in_module = printed(getattr(core, name), name)
    assert in_module and in_stub == in_module


@pytest.mark.parametrize("name", [n for n in CLASSES if n not in ERRORS])
def test_a_class_has_the_members_that_the_stub_says(stub, name):
    kind, node = getattr(core, name), stub[1][name]
    bodies: dict[str, list[ast.FunctionDef]] = {}
    for member in node.body:
        if isinstance(member, ast.FunctionDef):
            bodies.setdefault(member.name, []).append(member)
    special = {"__init__", "__len__", "__contains__", "__lt__"}
    ours = {n for n, v in vars(kind).items() if (not n.startswith("_") or n in special)}
    if "__init__" not in bodies:  # made by the library only
        ours.discard("__init__")
        with pytest.raises(TypeError):
            kind()
    assert set(bodies) == ours
    properties = {n for n, v in vars(kind).items() if isinstance(v, property)}
    assert properties == {n for n, nodes in bodies.items()
                          if any(isinstance(d, ast.Name) and d.id == "property" for d in nodes[0].decorator_list)}
    for method in set(bodies) - properties:
        in_module = printed(getattr(kind, method), method)
        if any(f[0].startswith("**") for s in in_module for f in s):  # a record: its fields by keyword
            assert {f[0] for f in shape(bodies[method][0].args)} == properties
        else:
            assert [shape(b.args) for b in bodies[method]] == in_module, method


def test_no_name_of_a_cpp_type_leaks_into_a_signature():
    leaks = [name for name in FUNCTIONS if re.search(r"::|std\b|Eigen", (getattr(core, name).__doc__ or "").splitlines()[0])]
    assert leaks == []


@pytest.mark.parametrize("name", FUNCTIONS)
def test_a_function_has_the_arguments_of_its_cpp_namesake(headers, name):
    """Names and order; the fields of a trailing options struct are keywords of Python."""
    fields: dict[str, list[str]] = {}
    for entry in headers:
        if entry.kind == "field":
            names = ["progress", "stop"] if entry.result == "Watch" else [entry.name]
            fields.setdefault(entry.owner, []).extend(names)
    in_headers = []
    for entry in headers:
        if entry.kind != "function" or entry.owner or entry.name != name:
            continue
        arguments: list[str] = []
        for argument in entry.arguments:
            kind = re.sub(r"const|&", "", argument.type).strip()
            arguments += fields[kind] if kind.endswith("Options") else [argument.name]
        in_headers.append(arguments)
    assert in_headers, f"{name} is not a function of the C++ library"
    for overload in printed(getattr(core, name), name):
        assert [n for n, _, _ in overload] in in_headers


@pytest.mark.parametrize("name", [n for n in CLASSES if n not in ERRORS])
def test_a_class_shows_the_fields_of_its_cpp_namesake(headers, name):
    fields = {e.name for e in headers if e.kind == "field" and e.owner == name}
    properties = {n for n, v in vars(getattr(core, name)).items() if isinstance(v, property)}
    # "from" is a word of Python; "basis" is for the library's own questions.
    assert fields - {"from", "basis"} - properties == set(), "not in Python"


@pytest.mark.parametrize("name", FUNCTIONS + CLASSES)
def test_everything_has_a_text(name):
    text = getattr(core, name).__doc__ or ""
    body = re.sub(r"^(\d+\. )?\w+\(.*\) -> .*$|^Overloaded function\.$", "", text, flags=re.MULTILINE).strip()
    assert len(body) > 10


def mypy_strict(root, program, folder):
    command = [sys.executable, "-m", "mypy", "--strict", "--cache-dir", str(root / "build" / "mypy_cache"), str(program)]
    # mypy finds an installed package by itself, and refuses to be told of its folder.
    told = {} if PACKAGE.parent.name == "site-packages" else {"MYPYPATH": str(PACKAGE.parent)}
    return subprocess.run(command, capture_output=True, text=True, cwd=folder, env={**os.environ, **told})


def test_a_typed_program_passes_mypy_strict(root, tmp_path):
    pytest.importorskip("mypy")
    run = mypy_strict(root, root / "tests" / "python" / "typing_sample.py", tmp_path)
    assert run.returncode == 0, run.stdout + run.stderr


def test_mypy_sees_wrong_arguments(root, tmp_path):
    pytest.importorskip("mypy")
    wrong = tmp_path / "wrong.py"
    wrong.write_text("import libseal\nlibseal.typical_year('south bend')\nlibseal.read_weather('a', gap='report')\n")
    run = mypy_strict(root, wrong, tmp_path)
    assert "wrong.py:2" in run.stdout and "wrong.py:3" in run.stdout
