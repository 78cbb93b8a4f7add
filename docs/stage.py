"""Lays out what Sphinx reads: the pages of the repository, the pages that are made, and the first page with the navigation.

    python3 docs/stage.py FOLDER
"""

from __future__ import annotations

import pathlib
import re
import shutil
import sys

ROOT = pathlib.Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "docs"))
import catalogue_page  # noqa: E402
import markup  # noqa: E402
import pages  # noqa: E402
import reference  # noqa: E402

# What is a folder in the repository is a page of the site.
FOLDERS = {"docs/schemas": "reference/schemas.md"}


def title_of(page: str, text: str) -> str:
    return re.search(r"^# (.+)$", text, flags=re.MULTILINE)[1] if text else page


def staged(page: str, text: str, target: pathlib.Path) -> str:
    """Text of a page for the site; files that it shows or offers are put beside it."""
    folder = (ROOT / page).parent
    up = "../" * page.count("/")
    for link in pages.links(text):
        path = link.partition("#")[0]
        file = (folder / path).resolve()
        name = file.relative_to(ROOT).as_posix() if path and file.is_relative_to(ROOT) else ""
        if name in FOLDERS:
            text = text.replace(f"]({link})", f"]({up}{FOLDERS[name]})")
        elif name and file.is_file() and file.suffix != ".md":
            copy = target / name
            copy.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(file, copy)
    return text


def first_page() -> str:
    """Beginning of README, then each section with what its pages tell."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    told = {"README.md": "what it is for, and the first ten lines", **pages.index_texts(ROOT)}
    out = ["# libseal", readme.split("\n\n")[0].removeprefix("# libseal").strip() or readme.split("\n\n")[1].strip()]
    for section, names in pages.section_pages(ROOT).items():
        rows = []
        for name in names:
            made = name.startswith(pages.MADE)
            title = "calls, fields, values, sources" if made else title_of(name, (ROOT / name).read_text(encoding="utf-8"))
            rows.append([f"[{markup.cell(title)}]({name})", markup.cell(told.get(name, "every call in both languages, the catalogue, the bibliography" if made else ""))])
        toctree = "\n".join(["```{toctree}", ":hidden:", f":caption: {section}", "", *(name.removesuffix(".md") for name in names), "```"])
        out += [f"## {section}", markup.table(["page", "tells"], rows), toctree]
    return "\n\n".join(out) + "\n"


def stage(target: pathlib.Path) -> None:
    listed = {name for names in pages.section_pages(ROOT).values() for name in names}
    for page in pages.pages(ROOT):
        text = staged(page, (ROOT / page).read_text(encoding="utf-8"), target)
        markup.write(target / page, text if page in listed else f"---\norphan: true\n---\n{text}")
    made = target / "reference"
    reference.Reference().write(made)
    catalogue_page.write(made)
    markup.write(target / "index.md", first_page())
    with (made / "index.md").open("a", encoding="utf-8") as file:
        names = sorted(path.stem for path in made.glob("*.md") if path.stem != "index")
        file.write("\n```{toctree}\n:hidden:\n\n" + "\n".join(names) + "\n```\n")
    schemas = target / "docs" / "schemas"
    shutil.copytree(ROOT / "docs" / "schemas", schemas, dirs_exist_ok=True)


if __name__ == "__main__":
    stage(pathlib.Path(sys.argv[1]))
