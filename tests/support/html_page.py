"""Reads a page as a strict parser would, and keeps what tests ask for."""

from __future__ import annotations

import html.parser
import re


class HtmlPage(html.parser.HTMLParser):
    """Elements must be closed in turn, attributes and ids stand once."""

    VOID = {"meta", "link", "br", "img", "hr", "input", "col"}

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.ids: list[str] = []
        self.words: list[str] = []
        self.feed(text)
        self.close()
        assert self.open == [], f"never closed: {self.open}"
        assert len(self.ids) == len(set(self.ids)), "an id stands twice"

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        assert len(given) == len(attrs), f"<{tag}> has an attribute twice"
        self.tags.append((tag, given))
        self.ids += [given["id"] or ""] if "id" in given else []
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert "svg" in self.open, f"<{tag}/> outside a drawing"
        self.tags.append((tag, dict(attrs)))
        self.ids += [dict(attrs)["id"] or ""] if "id" in dict(attrs) else []

    def handle_endtag(self, tag: str) -> None:
        assert self.open and self.open[-1] == tag, f"</{tag}> closes {self.open[-1:]}"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        if not {"style", "script"} & set(self.open):
            self.words.append(data)

    def text(self) -> str:
        """What people read, one space between words."""
        text = re.sub(r"\s+", " ", " ".join(self.words))
        return re.sub(r"\( ", "(", re.sub(r" ([,;:.)])", r"\1", text))

    def names(self, tag: str) -> list[dict[str, str | None]]:
        return [given for name, given in self.tags if name == tag]
