"""The page of pictures runs as it stands, and every picture can be drawn."""

import io
import re


def test_the_blocks_of_the_gallery_run_and_draw(root, monkeypatch):
    monkeypatch.chdir(root)
    text = (root / "docs" / "gallery.md").read_text(encoding="utf-8")
    names = {}
    for block in re.findall(r"^```python\n(.*?)^```", text, re.MULTILINE | re.DOTALL):
        exec(block, names)
    pictures = names["pictures"]
    assert set(pictures) == {"lives", "reseal", "look", "designs", "cracks", "leukaemia", "pumps", "barlow"}
    for name, figure in pictures.items():
        drawn = io.BytesIO()
        figure.savefig(drawn, format="svg")
        assert drawn.getvalue().count(b"<path") > 5, name
