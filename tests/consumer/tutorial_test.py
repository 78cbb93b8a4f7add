"""docs/tutorial_embedding.md, typed into an empty folder against the installed library."""

import os
import shutil

from page_steps import check_page, with_commands
from projects import ROOT


def test_the_page_for_cpp_programs_builds_runs_and_prints_what_it_says(prefix, cmake, tmp_path):
    home, project = tmp_path / "home", tmp_path / "project"
    home.mkdir()
    project.mkdir()
    (home / "libseal_prefix").symlink_to(prefix)
    tools = with_commands(tmp_path)
    (tmp_path / "bin" / "cmake").symlink_to(shutil.which(cmake))
    environment = {**tools, "HOME": str(home), "CCACHE_DIR": os.environ.get("CCACHE_DIR", os.path.expanduser("~/.cache/ccache"))}
    assert check_page(ROOT / "docs" / "tutorial_embedding.md", project, environment=environment) == 6
    assert (project / "plan.json").stat().st_size > 10_000


def test_its_other_way_is_the_one_that_is_tested(tmp_path):
    page = (ROOT / "docs" / "tutorial_embedding.md").read_text(encoding="utf-8")
    assert "    add_subdirectory(libseal)\n" in page  # built by cmake_test.py
