"""Text from comments and data, written as MyST so that nothing in it is taken for markup."""

from __future__ import annotations

import html
import re

SPECIAL = re.compile(r"([\\*_\[\]<>#|{}$~&])")


def plain(text: str) -> str:
    """One line in which only `code` keeps its meaning."""
    parts = re.split(r"(`[^`\n]+`)", " ".join(text.split()))
    return "".join(part if i % 2 else SPECIAL.sub(r"\\\1", part).replace("`", r"\`") for i, part in enumerate(parts))


def paragraphs(text: str) -> str:
    return "\n\n".join(re.sub(r"^([-+=]|\d+[.)])(?=\s)", r"\\\1", plain(part)) for part in re.split(r"\n\s*\n", text) if part.strip())


def cell(text: str) -> str:
    """A cell of a table, where bars end cells even in code."""
    return plain(text).replace(r"\|", "&#124;").replace("|", "&#124;")


def code(text: str) -> str:
    return "`" + " ".join(text.split()).replace("|", "\\|") + "`" if text.strip() else ""


def table(head: list[str], rows: list[list[str]]) -> str:
    """Cells as they are: with `cell` or `code` made safe before."""
    return "\n".join("| " + " | ".join(row) + " |" for row in [head, ["---"] * len(head), *rows])


def anchor(name: str) -> str:
    return f'<a id="{name}"></a>'


def link(name: str, uri: str, in_code: bool = True) -> str:
    """As HTML: these anchors are not those of headings, so MyST cannot look them up; the test of the site does."""
    shown = html.escape(name)
    return f'<a href="{uri}">' + (f"<code>{shown}</code>" if in_code else shown) + "</a>"


def write(path, text: str) -> None:
    """Only what changed, so that a second build is short."""
    path.parent.mkdir(parents=True, exist_ok=True)
    if not path.exists() or path.read_text(encoding="utf-8") != text:
        path.write_text(text, encoding="utf-8")
