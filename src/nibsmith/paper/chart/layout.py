"""Where everything stands: margins, strips, the words above and beside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from nibsmith.paper.chart.labels import LETTER, ROW, fitted, in_rows, widest_of, width_of
from nibsmith.paper.chart.scales import Scale, shared_ends, shared_ticks, strip_ends
from nibsmith.paper.chart.shapes import Band, Chart, Dots, Line, Strip
from nibsmith.paper.chart.ticks import tick_texts, ticks

BESIDE = 9  # from the end of a curve to its name [px]
EDGE = 10  # room at the right where no words stand [px]
SAMPLE = 30  # a key's sample and the gap after it [px]
PIXELS_PER_TICK = 40  # along the height
GAP_BETWEEN = 14  # from one strip to the words of the next [px]


@dataclass(frozen=True, slots=True)
class Size:
    """How large a picture is: its width and the height of one unit of a strip [px].

    ``beside`` sets the names of curves at their ends; else they stand above the strip with a sample.
    """

    width: int
    unit: int
    beside: bool


WIDE = Size(720, 105, beside=True)
NARROW = Size(352, 92, beside=False)


@dataclass(frozen=True, slots=True)
class Key:
    """A name with a sample of its layer, above a strip; ``words`` are what fits of it."""

    layer: Line | Band | Dots
    words: str
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Panel:
    """One strip in its place."""

    strip: Strip
    x: Scale
    y: Scale
    words_at: float
    keys: tuple[Key, ...]
    ticks: tuple[tuple[float, str], ...]

    @property
    def inside(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of where curves are drawn [px]."""
        return self.x.start, self.y.end, self.x.end, self.y.start


@dataclass(frozen=True, slots=True)
class Stone:
    """A milestone: its words, its place on the axis, where the middle of its words stands [px]."""

    words: str
    x: float
    height: float
    middle: float


@dataclass(frozen=True, slots=True)
class Layout:
    """A whole picture: its height, panels, the ticks of the shared axis, the words in the margin above."""

    width: int
    height: float
    panels: tuple[Panel, ...]
    ticks: tuple[tuple[float, str], ...]
    stones: tuple[Stone, ...]


def laid_out(chart: Chart, size: Size) -> Layout:
    """Lay a chart out."""
    left, right = _left(chart, size), size.width - _right(chart, size)
    ends = shared_ends(chart)
    x = Scale(*ends, float(left), float(right), chart.axis.log)
    texts = sorted((x(stone.x), stone.words) for stone in chart.milestones)
    rows = in_rows(texts, left, size.width)
    margin = ROW * (1 + max((row for row, _ in rows), default=-1))
    panels: list[Panel] = []
    at = 0.0
    for strip in chart.strips:
        place = (at, 0 if panels else margin)
        panels.append(_panel(strip, size, x, place, chart.decimal_sign))
        at = panels[-1].y.start + GAP_BETWEEN
    below = panels[0].y.end - 7
    stones = tuple(
        Stone(words, place, below - row * ROW, spot.x)
        for (row, spot), (place, words) in zip(rows, texts, strict=True)
    )
    most = max(2, int(right - left) // _tick_room(chart, ends))
    at_axis = shared_ticks(chart.axis, ends, most, chart.decimal_sign)
    height = at - GAP_BETWEEN + ROW * (2 if chart.axis.words else 1) + 6
    return Layout(size.width, height, tuple(panels), tuple(at_axis), stones)


def _tick_room(chart: Chart, ends: tuple[float, float]) -> int:
    """Width that one written number of the shared axis needs [px]."""
    texts = [text for _, text in shared_ticks(chart.axis, ends, 6, chart.decimal_sign)]
    return max(4 * LETTER, max((width_of(text) for text in texts), default=0) + 3 * LETTER)


def _panel(strip: Strip, size: Size, x: Scale, place: tuple[float, int], sign: str) -> Panel:
    """Set a strip below a height, with some room between its words and its curves [px]."""
    at, margin = place
    height = strip.tall * size.unit
    most = max(3, height // PIXELS_PER_TICK)
    low, high = strip_ends(strip, most)
    keys, rows = _keys(strip, size, at + 2 * ROW)
    top = at + ROW * (1 + rows) + margin + 10
    y = Scale(low, high, top + height, top)
    values = ticks(low, high, most + 1)
    texts = tick_texts(values, sign)
    return Panel(strip, x, y, at + ROW - 4, keys, tuple(zip(values, texts, strict=True)))


def _keys(strip: Strip, size: Size, first: float) -> tuple[tuple[Key, ...], int]:
    """Set the names that do not stand beside their curve above the strip, wrapped; count the rows."""
    keys, x, row = [], 0.0, 0
    for layer in keyed(strip, size):
        words = fitted(layer.name, size.width - SAMPLE)
        wide = SAMPLE + width_of(words) + 2 * LETTER
        if x and x + wide > size.width:
            x, row = 0.0, row + 1
        keys.append(Key(layer, words, x, first + row * ROW - 4))
        x += wide
    return tuple(keys), row + 1 if keys else 0


def keyed(strip: Strip, size: Size) -> list[Line | Band | Dots]:
    """Return the layers whose name stands above the strip: all that have no curve, or no room beside it."""
    return [
        layer
        for layer in strip.layers
        if isinstance(layer, Line | Band | Dots) and layer.name and not stands_beside(layer, size)
    ]


def stands_beside(layer: Line | Band | Dots, size: Size) -> bool:
    """Whether the name of a layer stands at the end of its curve: if it fits into a third of the picture."""
    fits = BESIDE + widest_of(layer.name) <= size.width // 3
    return size.beside and isinstance(layer, Line) and bool(layer.name) and fits


def _left(chart: Chart, size: Size) -> int:
    widest = 0
    for strip in chart.strips:
        most = max(3, strip.tall * size.unit // PIXELS_PER_TICK)
        texts = tick_texts(ticks(*strip_ends(strip, most), most + 1), chart.decimal_sign)
        widest = max([widest, *map(width_of, texts)])
    return min(widest + 2 * LETTER, size.width // 3)


def _right(chart: Chart, size: Size) -> int:
    """Room for the names that stand beside curves, and for half a tick's text."""
    beside: Sequence[str] = [
        layer.name
        for strip in chart.strips
        for layer in strip.layers
        if isinstance(layer, Line) and stands_beside(layer, size)
    ]
    return max((BESIDE + widest_of(name) for name in beside), default=EDGE + LETTER)
