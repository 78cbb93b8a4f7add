"""What a user's compiler reads on account of a public header."""

import json
import re
import shlex
import subprocess

import pytest
import tree

FORBIDDEN = {
    "Boost.Graph": r"/boost/graph/",
    "streams with global objects": r"/c\+\+/[^/]+/iostream$|/iostream$",
    "RapidJSON": r"/rapidjson/",
    "the whole of Boost's gregorian calendar": r"/boost/date_time/gregorian/gregorian\.hpp$",
    "Boost.Math": r"/boost/math/",
    "pybind11": r"/pybind11/",
}


@pytest.fixture(scope="module")
def compiler(build_folder):
    """Command that compiles a file of the library, without its output and input."""
    commands = json.loads((build_folder / "compile_commands.json").read_text())
    entry = next(entry for entry in commands if entry["file"].endswith("src/core/error.cpp"))
    words = [word for word in shlex.split(entry["command"]) if not word.endswith("ccache")]
    drop = {"-o", "-c", words[-1], words[words.index("-o") + 1]}
    return [word for word in words if word not in drop]


def files_reached(compiler, lines, tmp_path):
    source = tmp_path / "all.cpp"
    source.write_text("\n".join(lines) + "\n")
    done = subprocess.run([*compiler, "-M", str(source)], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return set(re.sub(r"\\\n|^[^:]*:", " ", done.stdout).split())


def offenders(reached):
    return {what: path for what, pattern in FORBIDDEN.items() for path in reached if re.search(pattern, path)}


def test_no_public_header_reaches_a_heavy_or_private_library(compiler, tmp_path):
    names = [str(path.relative_to(tree.INCLUDE)) for path in tree.public_headers()]
    reached = files_reached(compiler, [f'#include "{name}"' for name in names], tmp_path)
    assert any(path.endswith("Eigen/Core") for path in reached), "the list of files was not understood"
    if found := offenders(reached):
        guilty = [name for name in names if offenders(files_reached(compiler, [f'#include "{name}"'], tmp_path))]
        pytest.fail(f"{found} reached from {guilty}")


def test_the_check_itself_sees_a_forbidden_header(compiler, tmp_path):
    assert "streams with global objects" in offenders(files_reached(compiler, ["#include <iostream>"], tmp_path))
    assert "Boost.Graph" in offenders(files_reached(compiler, ["#include <boost/graph/graph_traits.hpp>"], tmp_path))
