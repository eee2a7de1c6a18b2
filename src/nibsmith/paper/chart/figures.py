"""The figures of a picture as a table, for those who would rather read them."""

from __future__ import annotations

from dataclasses import dataclass

from nibsmith.paper.chart.shapes import Band, Chart, Dots, Line, Numbers, Strip, is_number
from nibsmith.paper.chart.ticks import written

MOST_ROWS = 24
DIGITS = 3
ENDLESS = "no end"


@dataclass(frozen=True, slots=True)
class Figures:
    """One table: columns that share their first one. ``of`` is how many points stand behind its rows."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    of: int


def figures_of(chart: Chart) -> tuple[Figures, ...]:
    """Return the curves, bands and readings of a chart as tables, thinned evenly where they are long.

    Examples
    --------
    >>> from nibsmith.paper.chart.shapes import Axis
    >>> line = Line("core", [0.0, 1.0], [31.0, 29.5])
    >>> table, = figures_of(Chart("Bar", "A bar cools.", Axis("minutes"), (Strip("°C", (line,)),)))
    >>> table.head, table.rows
    (('minutes', 'core'), (('0', '31.0'), ('1', '29.5')))
    """
    return tuple(table for strip in chart.strips for table in _of_strip(chart, strip))


def _of_strip(chart: Chart, strip: Strip) -> list[Figures]:
    tables: list[tuple[Numbers, list[tuple[str, Numbers]]]] = []
    for layer in strip.layers:
        if not isinstance(layer, Line | Band | Dots):
            continue
        same = next((columns for xs, columns in tables if list(xs) == list(layer.xs)), None)
        if same is None:
            same = []
            tables.append((layer.xs, same))
        same += _columns(layer, strip)
    return [_table(chart, strip, xs, columns) for xs, columns in tables if len(xs)]


def _columns(layer: Line | Band | Dots, strip: Strip) -> list[tuple[str, Numbers]]:
    name = layer.name or strip.words
    if isinstance(layer, Band):
        return [(f"{name}, from", layer.low), (f"{name}, to", layer.high)]
    return [(name, layer.ys)]


def _table(chart: Chart, strip: Strip, xs: Numbers, columns: list[tuple[str, Numbers]]) -> Figures:
    count = len(xs)
    kept = (
        range(count)
        if count <= MOST_ROWS
        else [at * (count - 1) // (MOST_ROWS - 1) for at in range(MOST_ROWS)]
    )
    named = dict(chart.axis.names)
    every = [(chart.axis.words, xs), *columns]
    texts = [_texts([values[at] for at in kept], chart.decimal_sign) for _, values in every]
    if named:
        texts[0] = [named.get(xs[at] or 0.0, text) for at, text in zip(kept, texts[0], strict=True)]
    head = tuple(name for name, _ in every)
    return Figures(strip.words, head, tuple(zip(*texts, strict=True)), count)


def _texts(values: Numbers, sign: str) -> list[str]:
    """Write a column with decimals enough for three digits of its largest number."""
    there = [abs(value) for value in values if value is not None and is_number(value)]
    largest = max(there, default=0.0)
    whole = len(str(int(largest)))
    decimals = max(0, DIGITS - whole) if largest >= 1 else DIGITS
    if all(value == int(value) for value in there):
        decimals = 0
    return [_text(value, decimals, sign) for value in values]


def _text(value: float | None, decimals: int, sign: str) -> str:
    if value == float("inf"):
        return ENDLESS
    return "" if value is None or not is_number(value) else written(value, decimals, sign)
