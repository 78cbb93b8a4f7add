"""Makes the pictures of docs/gallery.md by running the page: what its blocks show as NAME is saved as docs/img/NAME.png, drawings as NAME.svg.

PYTHONPATH=build/tests/python python docs/img/make_gallery.py [NAME ...]; needs matplotlib and pillow. The output is committed.
"""

import io
import os
import pathlib
import re
import sys
from typing import Any

from PIL import Image

HERE = pathlib.Path(__file__).resolve().parent
DOTS = 110  # an inch
COLOURS = 128  # enough for greys, a scale of colours and soft edges


def shown() -> dict[str, Any]:
    """Pictures of the page by name: figures of matplotlib, drawings as text."""
    page = (HERE.parent / "gallery.md").read_text(encoding="utf-8")
    names: dict[str, Any] = {}
    for block in re.findall(r"^```python\n(.*?)^```", page, re.MULTILINE | re.DOTALL):
        exec(block, names)
    return dict(names["pictures"])


def save(name: str, picture: Any) -> pathlib.Path:
    """Same bytes for the same versions of the packages: no dates and no versions go in."""
    if isinstance(picture, str):
        path = HERE / f"{name}.svg"
        path.write_text(picture, encoding="utf-8", newline="\n")
        return path
    path, drawn = HERE / f"{name}.png", io.BytesIO()
    picture.savefig(drawn, format="png", dpi=DOTS, metadata={"Software": None})
    Image.open(drawn).convert("RGB").quantize(COLOURS).save(path, optimize=True)
    return path


def main() -> None:
    os.chdir(HERE.parents[1])
    for name, picture in shown().items():
        if not sys.argv[1:] or name in sys.argv[1:]:
            path = save(name, picture)
            print(f"{path.name}: {path.stat().st_size / 1000:.0f} kB")


if __name__ == "__main__":
    main()
