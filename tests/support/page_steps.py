"""Runs a page from top to bottom, as a reader would who types what it says, and holds the output that it prints against what came out.

    PYTHONPATH=... python3 tests/support/page_steps.py docs/errors.md           runs it in an empty folder
    PYTHONPATH=... python3 tests/support/page_steps.py --write docs/errors.md   and puts what came out into its text blocks
    python3 tests/support/page_steps.py --setup docs/tutorial_analyst.md        prints the commands that the reader types once, before its first block

Blocks by their language:

- `python`: run, all of a page in one namespace (with `alone`, those of a section);
- `sh`: run by bash, which stops at the first error; a line "exits with N:" right above says that it must end so;
- any other after a line that ends with a file name and a colon, as "`shop.json`:": written to that file, or, after
  "`shop.json` (added):", put at its end;
- `text`: what the block before printed, line by line; a line "..." stands for any lines. With --write such blocks stay as they are.
"""

from __future__ import annotations

import contextlib
import io
import os
import pathlib
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass

FENCE = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
FILE = re.compile(r"`([\w./-]+)`( \(added\))?:$")
EXIT = re.compile(r"exits with (\d+):$")


@dataclass
class Block:
    """One block of a page, with the line above it."""

    language: str
    text: str
    above: str
    section: str
    begin: int
    end: int
    line: int


def blocks(page: str) -> Iterator[Block]:
    for found in FENCE.finditer(page):
        before = page[:found.start()]
        headings = re.findall(r"^## (.+)$", before, re.MULTILINE)
        lines = before.rstrip().splitlines()
        yield Block(found[1], found[2], lines[-1] if lines else "", headings[-1] if headings else "", found.start(2), found.end(2), before.count("\n") + 2)


def alike(wanted: str, got: str) -> bool:
    """Whether what was printed is what the page says; lines of the page that are "..." stand for any number of lines."""
    pattern = "".join(r"(?:.*\n)*?" if line.strip() == "..." else re.escape(line.rstrip()) + r"[ \t]*\n" for line in wanted.splitlines())
    return re.fullmatch(pattern, got if got.endswith("\n") or not got else got + "\n") is not None


def shell(block: Block, folder: pathlib.Path, environment: dict[str, str]) -> str:
    done = subprocess.run(["bash", "-e", "-c", block.text], cwd=folder, env=environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    wanted = int(found[1]) if (found := EXIT.search(block.above)) else 0
    assert done.returncode == wanted, f"line {block.line}: ended with {done.returncode}, not {wanted}\n{done.stdout}"
    return done.stdout


def words_of(block: Block, names: dict[str, object], page: str) -> str:
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        exec(compile("\n" * (block.line - 1) + block.text, page, "exec"), names)
    return out.getvalue()


def with_commands(folder: pathlib.Path) -> dict[str, str]:
    """Environment in which `libseal` and `python` are those of this interpreter, as after installation."""
    tools = folder / "bin"
    tools.mkdir()
    for name, words in (("libseal", "-m libseal "), ("python", "")):
        (tools / name).write_text(f'#!/bin/sh\nexec "{sys.executable}" {words}"$@"\n')
        (tools / name).chmod(0o755)
    return {**os.environ, "PATH": f"{tools}{os.pathsep}{os.environ['PATH']}"}


def run_page(path: pathlib.Path, folder: pathlib.Path, *, alone: bool = False, environment: dict[str, str] | None = None,
             names: dict[str, object] | None = None) -> tuple[int, list[tuple[Block, str]]]:
    """Runs the page in a folder, which becomes the working folder meanwhile.

    @return  How many blocks were run or written, and the text blocks with what came out instead where that differs.
    """
    page = path.read_text(encoding="utf-8")
    known: dict[str, object] = dict(names or {})
    section, printed, count, differ = "", "", 0, []
    here = pathlib.Path.cwd()
    os.chdir(folder)
    try:
        for block in blocks(page):
            if alone and block.section != section:
                section, known = block.section, dict(names or {})
            if block.language == "text":
                if block.text == "...\n" or not alike(block.text, printed):  # a block that takes anything says nothing
                    differ.append((block, printed))
                continue
            count += 1
            if target := FILE.search(block.above):
                (folder / target[1]).parent.mkdir(parents=True, exist_ok=True)
                with (folder / target[1]).open("a" if target[2] else "w", encoding="utf-8") as file:
                    file.write(block.text)
            elif block.language == "python":
                printed = words_of(block, known, path.name)
            elif block.language == "sh":
                printed = shell(block, folder, environment or dict(os.environ))
            else:
                raise AssertionError(f"{path.name}, line {block.line}: a {block.language} block that is neither run nor written to a file")
    finally:
        os.chdir(here)
    return count, differ


def check_page(path: pathlib.Path, folder: pathlib.Path, **more: object) -> int:
    """Runs the page and fails where the output is not what it says. @return  How many blocks were run or written."""
    count, differ = run_page(path, folder, **more)
    for block, got in differ:
        raise AssertionError(f"{path.name}, line {block.line}: the page says\n{block.text}\nand this came out\n{got}")
    return count


def setup_of(page: str) -> str:
    """The indented commands before the first block."""
    return "".join(line[4:] + "\n" for line in page.split("\n```", 1)[0].splitlines() if line.startswith("    "))


def main() -> int:
    if "--setup" in sys.argv:
        print(setup_of(pathlib.Path(sys.argv[-1]).read_text(encoding="utf-8")), end="")
        return 0
    write, alone = "--write" in sys.argv, "--alone" in sys.argv
    (name,) = [word for word in sys.argv[1:] if not word.startswith("--")]
    path = pathlib.Path(name).resolve()
    with tempfile.TemporaryDirectory() as place:
        folder = pathlib.Path(place) / "empty"
        folder.mkdir()
        count, differ = run_page(path, folder, alone=alone, environment=with_commands(pathlib.Path(place)))
    page = path.read_text(encoding="utf-8")
    for block, got in reversed(differ):
        print(f"line {block.line}:\n{got}")
        if block.text == "...\n" or "...\n" not in block.text:
            page = page[:block.begin] + got.rstrip("\n") + "\n" + page[block.end:]
    if write:
        path.write_text(page, encoding="utf-8")
    print(f"{count} blocks, {len(differ)} outputs differ")
    return 1 if differ and not write else 0


if __name__ == "__main__":
    sys.exit(main())
