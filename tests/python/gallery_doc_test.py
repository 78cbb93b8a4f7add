"""The gallery runs as it stands, every picture can be drawn, and what is committed is what the page shows."""

import io
import re
import struct

import pytest

DOTS = 110  # an inch, as docs/img/make_gallery.py


@pytest.fixture(scope="module")
def page(root):
    return (root / "docs" / "gallery.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def pictures(root, page):
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(root)
        names = {}
        for block in re.findall(r"^```python\n(.*?)^```", page, re.MULTILINE | re.DOTALL):
            exec(block, names)
    return names["pictures"]


def test_the_blocks_of_the_gallery_run_and_draw(pictures):
    assert list(pictures) == ["climates", "joint", "leak", "schedule", "load", "economics", "lives", "reseal", "look", "designs", "cracks", "leukaemia", "pumps", "barlow"]
    for name, figure in pictures.items():
        drawn = io.BytesIO()
        if isinstance(figure, str):
            drawn.write(figure.encode())
        else:
            figure.savefig(drawn, format="svg")
        assert drawn.getvalue().count(b"<path") + drawn.getvalue().count(b"<rect") > 5, name


def test_every_picture_stands_under_its_code_in_its_size(root, page, pictures):
    shown = re.findall(r"!\[[^\]]{20,}\]\(img/(\w+)\.(png|svg)\)", page)
    assert shown == [(name, "svg" if isinstance(picture, str) else "png") for name, picture in pictures.items()]
    for name, ending in shown:
        file = root / "docs" / "img" / f"{name}.{ending}"
        assert 5_000 < file.stat().st_size <= 200_000, name
        if ending == "png":
            size = struct.unpack(">2I", file.read_bytes()[16:24])
            assert size == pytest.approx(DOTS * pictures[name].get_size_inches(), abs=1), f"{name}: python docs/img/make_gallery.py {name}"


def test_the_committed_drawing_is_the_one_of_the_page(root, pictures):
    assert (root / "docs" / "img" / "leak.svg").read_text(encoding="utf-8") == pictures["leak"], "python docs/img/make_gallery.py leak"
