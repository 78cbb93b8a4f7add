"""Programs in the pages run as they stand, and the command line's page says what the program does."""

import re
import subprocess
import sys

import pytest

from libseal.cli import codes

NEEDS = {"tables.md": "pandas", "store.md": "libseal", "distributed.md": "distributed", "tuning.md": "pandas"}


@pytest.mark.parametrize("page", NEEDS)
def test_programs_of_a_page_run(root, tmp_path, page):
    pytest.importorskip(NEEDS[page])
    blocks = re.findall(r"^```python\n(.*?)^```", (root / "docs" / page).read_text(encoding="utf-8"), flags=re.DOTALL | re.MULTILINE)
    assert blocks
    for number, block in enumerate(blocks):
        program = tmp_path / f"block{number}.py"
        program.write_text(block, encoding="utf-8")
        run = subprocess.run([sys.executable, str(program)], cwd=root, capture_output=True, text=True)
        assert run.returncode == 0, run.stderr


def test_the_page_lists_the_exit_codes(root):
    text = (root / "docs" / "command_line.md").read_text(encoding="utf-8")
    assert dict(re.findall(r"^\| (\d+) \| (.+) \|$", text, flags=re.MULTILINE)) == {str(code): said for code, said in codes.MEANINGS.items()}


def test_the_page_lists_the_commands(root):
    app = pytest.importorskip("libseal.cli.app")
    text = (root / "docs" / "command_line.md").read_text(encoding="utf-8")
    table = text.partition("## PLACE")[0]
    assert re.findall(r"^\| `(\w+)", table, flags=re.MULTILINE) == list(app.COMMANDS)
