"""The library as a C++ project meets it: installed, or as a folder of its own."""

import json
import shutil
import subprocess

from projects import ROOT, run


def build_and_run(cmake, source, build, *options):
    run(cmake, "-S", source, "-B", build, "-G", "Ninja", "-DCMAKE_BUILD_TYPE=Release", *options)
    run(cmake, "--build", build, "--target", "consumer", "headers_only")
    run(build / "headers_only")
    return run(build / "consumer")


def version():
    return (ROOT / "libseal/include/libseal/version.hpp").read_text().split('LIBSEAL_VERSION "')[1].split('"')[0]


def test_an_installed_library_is_found_linked_and_right(prefix, work, cmake):
    said = build_and_run(cmake, ROOT / "tests/consumer/find_package", work / "find_package", f"-DCMAKE_PREFIX_PATH={prefix}")
    assert said.startswith(f"libseal {version()}: zenith 50.1")


def test_wrong_input_of_every_call_of_the_front_door_is_an_error_of_the_library(prefix, work, cmake):
    """Another program's `main`, which lets no exception out, catches `libseal::Error` each time."""
    folder = work / "find_package"
    run(cmake, "-S", ROOT / "tests/consumer/find_package", "-B", folder, "-G", "Ninja", "-DCMAKE_BUILD_TYPE=Release", f"-DCMAKE_PREFIX_PATH={prefix}")
    run(cmake, "--build", folder, "--target", "wrong_input")
    said = run(folder / "wrong_input", ROOT / "examples" / "data" / "shop.json").splitlines()
    tried = {line.partition(",")[0] for line in said if not line.startswith(" ")}
    front_door = {call["name"] for call in json.loads((ROOT / "bindings" / "front_door.json").read_text(encoding="utf-8"))}
    assert front_door - tried == set(), "calls that nobody tried"
    assert not [line for line in said if line.startswith("WRONG")]


def test_a_project_can_hold_the_library_as_a_folder(work, cmake):
    # The flags of the test build, so that the compiler cache knows every file already.
    said = build_and_run(cmake, ROOT / "tests/consumer/add_subdirectory", work / "add_subdirectory",
                         "-DLIBSEAL_WARNINGS_AS_ERRORS=ON")
    assert said.startswith(f"libseal {version()}: zenith 50.1")


def test_an_installation_holds_the_public_headers_and_nothing_private(prefix):
    installed = {str(path.relative_to(prefix / "include")) for path in (prefix / "include").rglob("*") if path.is_file()}
    public = ROOT / "libseal" / "include"
    assert installed == {str(path.relative_to(public)) for path in public.rglob("*") if path.is_file()}
    assert list(prefix.rglob("liblibseal.*")), "the library file has its own name"


def test_a_wrong_version_is_refused(prefix, work, cmake):
    project = work / "wrong_version"
    shutil.rmtree(project, ignore_errors=True)
    project.mkdir()
    (project / "CMakeLists.txt").write_text(
        "cmake_minimum_required(VERSION 3.22)\nproject(wrong LANGUAGES CXX)\nfind_package(libseal 99.0 REQUIRED)\n"
    )
    done = subprocess.run(
        [cmake, "-G", "Ninja", "-S", project, "-B", project / "build", f"-DCMAKE_PREFIX_PATH={prefix}"],
        capture_output=True, text=True,
    )
    assert done.returncode != 0 and "99.0" in done.stderr
