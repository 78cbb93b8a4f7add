"""What the first page tells a newcomer to type works, and both languages say the same."""

import hashlib
import json
import os
import re
import shlex
import subprocess
import sys

import pytest
import tree

README = (tree.ROOT / "README.md").read_text()


def block(language):
    """The one code block of a language."""
    (text,) = re.findall(rf"^```{language}\n(.*?)^```", README, flags=re.DOTALL | re.MULTILINE)
    return text


@pytest.fixture(scope="module")
def inputs():
    """The data files that the blocks read."""
    for name in re.findall(r'"(examples/[^"]+)"', block("python")):
        if not (tree.ROOT / name).exists():
            pytest.skip(f"{name} is not in this tree yet")


def run(command, folder, **more):
    """Output of a program run where README says, that is at the top; what it writes goes to `folder`."""
    for name in ("examples",):
        if not (folder / name).exists():
            (folder / name).symlink_to(tree.ROOT / name)
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, **more)
    assert done.returncode == 0, done.stderr
    return done.stdout


def build_cpp(build_folder):
    """The C++ block as a program; kept under a name made of what went into it."""
    commands = json.loads((build_folder / "compile_commands.json").read_text())
    entry = next(entry for entry in commands if entry["file"].endswith("header_check/libseal/version.cpp"))
    words = shlex.split(entry["command"])
    place = words.index("-o")
    flags = [word for word in words[:place] if not word.endswith("ccache")]
    library = build_folder / "libseal" / "liblibseal.a"
    key = hashlib.sha256(block("cpp").encode() + library.read_bytes()).hexdigest()[:16]
    program = build_folder / f"readme-{key}"
    if not program.exists():
        for old in build_folder.glob("readme-*"):
            old.unlink()
        source = build_folder / "readme.cpp"
        source.write_text(block("cpp"))
        done = subprocess.run([*flags, "-o", program, source, library, "-pthread"], capture_output=True, text=True)
        assert done.returncode == 0, done.stderr
    return program


def test_both_languages_print_the_same_calendar(build_folder, inputs, tmp_path):
    libseal = pytest.importorskip("libseal", reason="no Python module in this tree yet")
    if not hasattr(libseal, "year_calendar"):
        pytest.skip("the Python module has no year_calendar yet")
    (tmp_path / "cpp").mkdir()
    (tmp_path / "python").mkdir()
    cpp = run([build_cpp(build_folder)], tmp_path / "cpp")
    python = run([sys.executable, "-c", block("python")], tmp_path / "python", env=dict(os.environ))
    assert cpp.count("\n") > 0
    assert cpp == python
    ours, theirs = (tmp_path / name / "calendar.ics" for name in ("cpp", "python"))
    assert ours.read_bytes() == theirs.read_bytes()
    assert b"BEGIN:VEVENT" in ours.read_bytes()


def test_the_blocks_are_about_ten_lines():
    for language in ("python", "cpp"):
        lines = [line for line in block(language).splitlines() if line.strip() and not line.startswith(("#include", "import", "}"))]
        assert len(lines) <= 12


@pytest.mark.parametrize("page", [path for path in tree.committed_files() if path.suffix == ".md"],
                         ids=lambda path: str(path.relative_to(tree.ROOT)))
def test_links_between_pages_lead_somewhere(page):
    for target in re.findall(r"\]\(([^)#\s]+)", page.read_text()):
        if not re.match(r"[a-z]+:", target):
            assert (page.parent / target).exists(), f"{page.name} points to {target}"


def test_the_index_names_every_page():
    index = (tree.ROOT / "docs" / "index.md").read_text()
    pages = {path.name for path in (tree.ROOT / "docs").glob("*.md")} - {"index.md"}
    assert pages and not {page for page in pages if f"({page})" not in index}


def test_scripts_named_in_the_pages_exist():
    for page in ("README.md", "DEVELOPERS.md"):
        for script in re.findall(r"bash (\S+\.sh)", (tree.ROOT / page).read_text()):
            assert (tree.ROOT / script).exists(), f"{page} names {script}"


def numbers(text):
    """Figures of a text, thousands joined; those in names ("CP-SAT", "f32") are none."""
    return {float(found) for found in re.findall(r"(?<![\w.-])\d+(?:\.\d+)?(?![\w.]*\d)", re.sub(r"(?<=\d),(?=\d{3}\b)", "", text))}


def figures_without_a_page(readme, page_text):
    """Figures of README's table of what was measured that the page beside them does not have; "over N" wants one from N to 1.25 N."""
    found = []
    for _, measured, page in re.findall(r"^\| (?!what |---)([^|]+) \| ([^|]+) \| \[[^\]]+\]\(([^)#]+)[^)]*\) \|$", readme, re.MULTILINE):
        text = page_text(page)
        known = numbers(text) | {float(text.count("| yes |")), float(text.count("| **no** |"))}
        over = [float(n) for n in re.findall(r"over (\d+)", measured)]
        found += [f"{page}: over {n:g}" for n in over if not any(n <= m <= 1.25 * n for m in known)]
        found += [f"{page}: {n:g}" for n in sorted(numbers(re.sub(r"over \d+", "", measured)) - known)]
    return found


def test_every_figure_of_the_readme_stands_on_the_page_beside_it():
    assert len(re.findall(r"^\| .* \| \[\w+\]\(docs/", README, re.MULTILINE)) >= 6
    assert figures_without_a_page(README, lambda page: (tree.ROOT / page).read_text(encoding="utf-8")) == []


def test_the_check_of_figures_sees_one_that_is_on_no_page():
    row = "| what | measured | how |\n|---|---|---|\n| a thing | 6.5 s, over 120 and 1,000 of CP-SAT | [speed](docs/a.md#b) |\n"
    assert figures_without_a_page(row, lambda page: "6.5 s, 130 | 1,000") == []
    assert figures_without_a_page(row, lambda page: "6.51 s, 119, 151 | 1000") == ["docs/a.md: over 120", "docs/a.md: 6.5"]


def test_the_readme_is_short():
    assert len(README.splitlines()) < 100
