"""The library as a C++ project meets it: installed, or as a folder of its own."""

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
