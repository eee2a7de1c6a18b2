"""Writing SVG: a class for the page's style sheet, or the same look as attributes for paper."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from types import MappingProxyType

FONT = "Open Sans, sans-serif"
LETTERS = 16  # size of every text [px]; on a phone the narrow picture is shown at its own size
SMALL_LETTERS = 15

# Paper has no style sheet: what chart.css says of each class, in the colours of the light page.
_INKS = {
    "main": ("#9c4a18", ""),
    "second": ("#2b1d14", ""),
    "third": ("#4d6b2f", "9 4"),
    "fourth": ("#8a3f68", "2 4"),
    "faint": ("#665346", "5 5"),
}
_TEXTS = {
    "axis": "#665346",
    "tick": "#665346",
    "words": "#2b1d14",
    "zone-words": "#665346",
    "rule-words": "#665346",
    "mark-words": "#2b1d14",
    "milestone-words": "#2b1d14",
    "period-words": "#665346",
    "box-words": "#2b1d14",
    "key-words": "#2b1d14",
    **{f"name-{ink}": colour for ink, (colour, _) in _INKS.items()},
}
_HALO = {"paint-order": "stroke", "stroke": "#ffffff", "stroke-width": "4", "stroke-linejoin": "round"}
_SHAPES: dict[str, dict[str, str]] = {
    "grid": {"stroke": "#e3d8c8", "stroke-width": "1", "fill": "none"},
    "base": {"stroke": "#92806f", "stroke-width": "1", "fill": "none"},
    "rule": {"stroke": "#665346", "stroke-width": "1.5", "stroke-dasharray": "5 5", "fill": "none"},
    "milestone": {"stroke": "#92806f", "stroke-width": "1", "stroke-dasharray": "2 3", "fill": "none"},
    "mark": {"fill": "#9c4a18", "stroke": "#ffffff", "stroke-width": "2"},
    "period": {"fill": "#92806f", "fill-opacity": "0.16"},
    "box": {"fill": "#9c4a18", "fill-opacity": "0.2", "stroke": "#9c4a18", "stroke-width": "1.5"},
}


def _looks() -> Mapping[str, Mapping[str, str]]:
    looks: dict[str, Mapping[str, str]] = dict(_SHAPES)
    for name, colour in _TEXTS.items():
        text = {"fill": colour, "font-family": FONT, "font-size": str(LETTERS)}
        looks[name] = text | (_HALO if name.endswith("words") and name != "key-words" else {})
    for ink, (colour, dashes) in _INKS.items():
        line = {"fill": "none", "stroke": colour, "stroke-width": "2.2", "stroke-linejoin": "round"}
        looks[f"line-{ink}"] = line | ({"stroke-dasharray": dashes} if dashes else {})
        looks[f"band-{ink}"] = {"fill": colour, "fill-opacity": "0.18"}
        looks[f"zone-{ink}"] = {"fill": colour, "fill-opacity": "0.12"}
        looks[f"dot-{ink}"] = {"fill": "#ffffff", "stroke": colour, "stroke-width": "2"}
        looks[f"reach-{ink}"] = {"fill": "none", "stroke": colour, "stroke-width": "1.5"}
    return MappingProxyType(looks)


LOOKS = _looks()
Run = list[tuple[float, float]]


class Pen:
    """Collects elements; ``on_paper`` writes looks as attributes in place of classes.

    ``runs`` holds curves that were worked out already, by layer and panel.
    """

    def __init__(self, *, on_paper: bool = False) -> None:
        self.on_paper = on_paper
        self.runs: dict[tuple[int, int], list[Run]] = {}
        self._pieces: list[str] = []

    def draw(self, tag: str, look: str, text: str = "", **attributes: object) -> None:
        """Add one element with a look; names of attributes are written with dashes."""
        written = {name.replace("_", "-"): number(value) for name, value in attributes.items()}
        dressed = {**LOOKS[look], **written} if self.on_paper else {"class": f"chart-{look}", **written}
        opening = "".join(f' {name}="{escape(value)}"' for name, value in dressed.items())
        self._pieces.append(f"<{tag}{opening}>{escape(text)}</{tag}>" if text else f"<{tag}{opening}/>")

    def open(self, tag: str, **attributes: object) -> None:
        """Begin an element that holds others."""
        written = "".join(
            f' {name.replace("_", "-")}="{escape(number(value))}"' for name, value in attributes.items()
        )
        self._pieces.append(f"<{tag}{written}>")

    def close(self, tag: str) -> None:
        """End it."""
        self._pieces.append(f"</{tag}>")

    def say(self, tag: str, text: str) -> None:
        """Add a text that is read aloud and not drawn."""
        self._pieces.append(f"<{tag}>{escape(text)}</{tag}>")

    def written(self) -> str:
        """Return everything drawn."""
        return "".join(self._pieces)


def number(value: object) -> str:
    """Write a coordinate to a tenth of a pixel, anything else as it is.

    Examples
    --------
    >>> number(12.34), number(12.0), number(7), number("middle")
    ('12.3', '12', '7', 'middle')
    """
    if not isinstance(value, float):
        return str(value)
    return f"{value:.1f}".removesuffix(".0")


def path(points: list[tuple[float, float]], *, closed: bool = False) -> str:
    """Write a path through points.

    Examples
    --------
    >>> path([(0.0, 1.0), (2.5, 3.0)])
    'M0 1L2.5 3'
    """
    text = "L".join(f"{number(float(x))} {number(float(y))}" for x, y in points)
    return f"M{text}{'Z' if closed else ''}" if points else ""
