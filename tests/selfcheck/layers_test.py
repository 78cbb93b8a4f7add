"""Includes run down the table of folders, never up and never in a circle."""

import graphlib

import pytest
import tree

FILES = sorted([*tree.PUBLIC.rglob("*.h*"), *tree.PRIVATE.rglob("*.?pp")])


def folder_of(path):
    base = tree.PUBLIC if path.is_relative_to(tree.PUBLIC) else tree.PRIVATE
    parts = path.relative_to(base).parts
    return parts[0] if len(parts) > 1 else None


def test_the_tree_holds_the_folders_of_the_table_and_no_others():
    public = {path.name for path in tree.PUBLIC.iterdir() if path.is_dir()}
    private = {path.name for path in tree.PRIVATE.iterdir() if path.is_dir()}
    assert public and public <= set(tree.MAY_INCLUDE)
    assert private <= set(tree.MAY_INCLUDE) | set(tree.PRIVATE_ONLY)


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(tree.ROOT / "libseal")))
def test_a_file_includes_only_what_its_folder_may(path):
    folder = folder_of(path)
    if folder is None:  # version.hpp, libseal.hpp: they stand above all folders
        return
    allowed = set(tree.reachable(folder))
    # A source may call the kernels; they know nothing but core.
    if path.is_relative_to(tree.PRIVATE):
        allowed.add("kernel")
    for name in tree.own_includes(path):
        target = tree.folder_of_include(name)
        assert target is None or target in allowed, f"{folder}/ may not include {name}; allowed: {sorted(allowed)}"


def test_public_headers_include_no_private_ones():
    for path in tree.public_headers():
        for name in tree.own_includes(path):
            assert name.startswith("libseal/"), f"{path.name} includes {name}"
            assert (tree.INCLUDE / name).exists(), f"{path.name} includes {name}, which does not exist"


def test_headers_include_each_other_in_no_circle():
    graph = {
        str(path.relative_to(tree.INCLUDE)): [name for name in tree.own_includes(path) if name.startswith("libseal/")]
        for path in tree.public_headers()
    }
    try:
        order = list(graphlib.TopologicalSorter(graph).static_order())
    except graphlib.CycleError as error:
        pytest.fail(f"circle: {' -> '.join(error.args[1])}")
    assert len(order) == len(graph)


def test_the_check_itself_sees_a_forbidden_include(tmp_path):
    file = tmp_path / "bad.hpp"
    file.write_text('#include "libseal/schedule/schedule.hpp"\n// #include "libseal/calendar/visits.hpp"\n')
    assert tree.own_includes(file) == ["libseal/schedule/schedule.hpp"]
    assert tree.folder_of_include("libseal/schedule/schedule.hpp") not in tree.reachable("climate")
    assert {"climate", "coach", "catalogue", "core"} <= tree.reachable("exposure")
