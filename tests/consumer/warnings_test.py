"""The public headers under the warnings of other people's projects, by two compilers and two standards."""

import pathlib
import shutil
import subprocess

import pytest

WARNINGS = ["-Wall", "-Wextra", "-Wpedantic", "-Wconversion", "-Wshadow", "-Werror"]


@pytest.fixture(scope="module")
def all_headers(prefix, tmp_path_factory):
    """A file that includes every installed header, and the folder that they are in; no system folder, so that warnings count."""
    source = tmp_path_factory.mktemp("warnings") / "all.cpp"
    names = sorted(path.relative_to(prefix / "include").as_posix() for path in (prefix / "include").rglob("*.hpp"))
    assert len(names) > 100
    source.write_text("".join(f'#include "{name}"\n' for name in names) + "int main() {}\n")
    return source, prefix / "include"


def compile_quietly(compiler, flags, source, include):
    eigen = next(folder for folder in ("/usr/include/eigen3", "/usr/local/include/eigen3", "/usr/include") if pathlib.Path(folder, "Eigen").is_dir())
    return subprocess.run([compiler, "-fsyntax-only", *flags, *WARNINGS, f"-I{include}", "-isystem", eigen, source], capture_output=True, text=True)


@pytest.mark.parametrize("name, flags", [("g++", ["-std=c++20"]), ("g++", ["-std=c++2b"]), ("clang++-14", ["-std=c++20"]),
                                         ("clang++-14", ["-std=c++2b"])])
def test_the_headers_compile_without_a_warning(all_headers, compiler, name, flags):
    found = compiler if name == "g++" else shutil.which(name)
    if not found:
        pytest.skip(f"no {name} here; --slow=clang installs it")
    done = compile_quietly(found, flags, *all_headers)
    assert done.returncode == 0, done.stderr


def test_columns_and_days_need_no_type_information(prefix, compiler):
    """The core can be used where -fno-rtti is the rule; the catalogue cannot: what is derived from it is kept by type."""
    source = pathlib.Path(__file__).with_name("headers_only.cpp")
    assert compile_quietly(compiler, ["-std=c++20", "-fno-rtti"], source, prefix / "include").stderr == ""


def test_the_check_itself_sees_a_warning(compiler, tmp_path):
    source = tmp_path / "narrow.cpp"
    source.write_text("int f(double a) { return a; }\nint main() {}\n")
    assert "-Werror=float-conversion" in compile_quietly(compiler, ["-std=c++20"], source, tmp_path).stderr
