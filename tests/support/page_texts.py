"""What a person reads or hears of a page: its texts, the names of its pictures, what stands in fields."""

from __future__ import annotations

from html.parser import HTMLParser

_TOLD = ("aria-label", "title", "placeholder", "value")
_SILENT = frozenset({"head", "script", "style"})
_VOID = frozenset({"br", "hr", "img", "input", "link", "meta", "path", "circle", "rect", "use"})


class _Reader(HTMLParser):
    def __init__(self, without: str) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.without = without
        self.silent = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        named = {name: value or "" for name, value in attrs}
        left_out = tag in _SILENT or self.without in named.get("class", "").split()
        if self.silent or left_out:
            self.silent += tag not in _VOID
        elif named.get("type") != "hidden" and tag != "option":
            self.texts += [named[name] for name in _TOLD if named.get(name)]

    def handle_endtag(self, tag: str) -> None:
        if self.silent and tag not in _VOID:
            self.silent -= 1

    def handle_data(self, data: str) -> None:
        if not self.silent and data.strip():
            self.texts.append(data.strip())


def texts_of(page: str, without: str = "sources") -> list[str]:
    """Return the texts of a page, but for those inside elements of one class."""
    reader = _Reader(without)
    reader.feed(page)
    return reader.texts
