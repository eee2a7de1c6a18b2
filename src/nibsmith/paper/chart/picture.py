"""Drawing a chart: the same lines on a page and on paper."""

from __future__ import annotations

from functools import singledispatch
from itertools import pairwise

import numpy as np

from nibsmith.paper.chart.labels import ROW, Room, Spot, around, spot, spread
from nibsmith.paper.chart.layout import (
    BESIDE,
    NARROW,
    SAMPLE,
    WIDE,
    Layout,
    Panel,
    Size,
    laid_out,
    stands_beside,
)
from nibsmith.paper.chart.pen import Pen, Run, path
from nibsmith.paper.chart.shapes import (
    Band,
    Box,
    Chart,
    Dots,
    Layer,
    Line,
    Mark,
    Period,
    Rule,
    Zone,
    is_number,
    known,
)
from nibsmith.paper.chart.thinning import thinned

__all__ = ["NARROW", "WIDE", "Size", "picture", "picture_for_print"]

POINTS_PER_PIXEL = 2
MARK_SIZE = 5
DOT_SIZE = 4.0
DOTS_COUNT = 9  # words on a reading hide as much as words on this many points of a curve
APART = 3  # of points of a curve that words are kept from [px]
SPILL = 3  # how far a stroke may stand out of its strip [px]


def picture(chart: Chart, size: Size = WIDE) -> str:
    """Return a chart as SVG whose looks are classes of the page's style sheet.

    Parameters
    ----------
    chart : Chart
        What it shows.
    size : Size
        ``WIDE`` for a page, ``NARROW`` for a phone.

    Returns
    -------
    str
        One ``svg`` element with ``role="img"``, a title and a description; every text in it is escaped.
    """
    return _drawn(chart, size, on_paper=False)


def picture_for_print(chart: Chart, size: Size = WIDE) -> str:
    """Return the same drawing with its looks as attributes, for a document that has no style sheet.

    Parameters
    ----------
    chart : Chart
        What it shows.
    size : Size
        As for a page.

    Returns
    -------
    str
        A whole SVG document.
    """
    return _drawn(chart, size, on_paper=True)


def _drawn(chart: Chart, size: Size, *, on_paper: bool) -> str:
    layout = laid_out(chart, size)
    pen = Pen(on_paper=on_paper)
    root = {"viewBox": f"0 0 {layout.width} {layout.height:.0f}", "role": "img"}
    dress = {"xmlns": "http://www.w3.org/2000/svg"} if on_paper else {"class": "chart-picture"}
    pen.open("svg", **dress, **root)
    pen.say("title", chart.title)
    pen.say("desc", chart.says)
    _axis(pen, chart, layout)
    _milestone_lines(pen, layout)
    for panel in layout.panels:
        _panel(pen, panel, size)
    _milestones(pen, layout)
    pen.close("svg")
    return pen.written()


def _axis(pen: Pen, chart: Chart, layout: Layout) -> None:
    """Draw the shared axis: light lines through every strip, numbers below the last."""
    x = layout.panels[-1].x
    bottom = layout.panels[-1].y.start
    for value, text in layout.ticks:
        for panel in layout.panels:
            top, floor = panel.y.end, panel.y.start
            if not chart.axis.names:
                pen.draw("path", "grid", d=path([(x(value), top), (x(value), floor)]))
        pen.draw("text", "tick", text, x=x(value), y=bottom + ROW, text_anchor="middle")
    if chart.axis.words:
        pen.draw("text", "axis", chart.axis.words, x=x.end, y=bottom + 2 * ROW, text_anchor="end")


def _panel(pen: Pen, panel: Panel, size: Size) -> None:
    left, top, right, bottom = panel.inside
    pen.draw("text", "words", panel.strip.words, x=0, y=panel.words_at)
    for key in panel.keys:
        _sample(key.layer, pen, key.x, key.y)
        pen.draw("text", "key-words", key.words, x=key.x + SAMPLE, y=key.y)
    for value, text in panel.ticks:
        pen.draw("path", "grid", d=path([(left, panel.y(value)), (right, panel.y(value))]))
        pen.draw("text", "tick", text, x=left - 8, y=panel.y(value) + 5, text_anchor="end")
    pen.draw("path", "base", d=path([(left, bottom), (right, bottom)]))
    pen.open(
        "svg",
        x=left - SPILL,
        y=top - SPILL,
        width=right - left + 2 * SPILL,
        height=bottom - top + 2 * SPILL,
        viewBox=" ".join(
            f"{part:.1f}"
            for part in (left - SPILL, top - SPILL, right - left + 2 * SPILL, bottom - top + 2 * SPILL)
        ),
    )
    for layer in panel.strip.layers:
        _shape(layer, pen, panel)
    pen.close("svg")
    _words(pen, panel)
    _names(pen, panel, size)


@singledispatch
def _shape(layer: Layer, pen: Pen, panel: Panel) -> None:
    """Draw one layer inside its strip; what has only words draws nothing here."""


@_shape.register
def _(layer: Line, pen: Pen, panel: Panel) -> None:
    for run in _runs(layer, panel, pen):
        if len(run) == 1:
            pen.draw("circle", f"dot-{layer.ink}", cx=run[0][0], cy=run[0][1], r=2)
        else:
            pen.draw("path", f"line-{layer.ink}", d=path(run))


@_shape.register
def _(layer: Band, pen: Pen, panel: Panel) -> None:
    most = _most(panel)
    # What goes on above the strip, without an end too, goes out of it at its top.
    above = np.minimum(np.array(layer.high, dtype=float), 2 * abs(panel.y.high)).tolist()
    gap = np.isnan(known(layer.low) + known(above))
    lows, highs = (np.where(gap, np.nan, known(edge)).tolist() for edge in (layer.low, above))
    for under, over in zip(thinned(layer.xs, lows, most), thinned(layer.xs, highs, most), strict=True):
        edge = [(panel.x(x), panel.y(y)) for x, y in (*over, *reversed(under))]
        pen.draw("path", f"band-{layer.ink}", d=path(edge, closed=True))


@_shape.register
def _(layer: Zone, pen: Pen, panel: Panel) -> None:
    left, _, right, _ = panel.inside
    _rectangle(pen, f"zone-{layer.ink}", (left, panel.y(layer.high)), (right, panel.y(layer.low)))


@_shape.register
def _(layer: Period, pen: Pen, panel: Panel) -> None:
    _, top, _, bottom = panel.inside
    _rectangle(pen, "period", (panel.x(layer.start), top), (panel.x(layer.end), bottom))


@_shape.register
def _(layer: Rule, pen: Pen, panel: Panel) -> None:
    left, _, right, _ = panel.inside
    pen.draw("path", "rule", d=path([(left, panel.y(layer.at)), (right, panel.y(layer.at))]))


@_shape.register
def _(layer: Box, pen: Pen, panel: Panel) -> None:
    upper, lower = panel.y(layer.high), panel.y(layer.low)
    thick = max(0.0, 4 - (lower - upper)) / 2  # a single value is still to be seen
    start, end = (panel.x(layer.start), upper - thick), (panel.x(layer.end), lower + thick)
    _rectangle(pen, "box", start, end)


@_shape.register
def _(layer: Dots, pen: Pen, panel: Panel) -> None:
    for x, y in zip(layer.xs, layer.ys, strict=True):
        if x is None or y is None or not (is_number(x) and is_number(y)):
            continue
        at = panel.x(x)
        if layer.reach:
            ends = [(at, panel.y(y - layer.reach)), (at, panel.y(y + layer.reach))]
            pen.draw("path", f"reach-{layer.ink}", d=path(ends))
        pen.draw("circle", f"dot-{layer.ink}", cx=at, cy=panel.y(y), r=DOT_SIZE)


@singledispatch
def _sample(layer: Line | Band | Dots, pen: Pen, x: float, y: float) -> None:
    """Draw a sample of a layer before its name."""
    pen.draw("path", f"line-{layer.ink}", d=path([(x, y - 5), (x + 22, y - 5)]))


@_sample.register
def _(layer: Band, pen: Pen, x: float, y: float) -> None:
    _rectangle(pen, f"band-{layer.ink}", (x, y - 12), (x + 22, y + 1))


@_sample.register
def _(layer: Dots, pen: Pen, x: float, y: float) -> None:
    pen.draw("circle", f"dot-{layer.ink}", cx=x + 11, cy=y - 5, r=DOT_SIZE)


def _words(pen: Pen, panel: Panel) -> None:
    """Write what stands at lines, zones, marks and boxes."""
    worded = [
        layer for layer in panel.strip.layers if not isinstance(layer, Line | Band | Dots) and layer.words
    ]
    curves = [point for layer in panel.strip.layers if worded for point in _points(layer, panel, pen)]
    taken: list[Spot] = []
    room = Room(panel.inside, taken, curves)
    for layer in sorted(panel.strip.layers, key=lambda one: isinstance(one, Mark)):
        if isinstance(layer, Mark):
            pen.draw("circle", "mark", cx=panel.x(layer.x), cy=panel.y(layer.y), r=MARK_SIZE)
        if not isinstance(layer, Line | Band | Dots) and layer.words:
            place = room.best(_spots(layer, panel))
            look = f"{type(layer).__name__.lower()}-words"
            pen.draw("text", look, layer.words, x=place.x, y=place.y, text_anchor=place.anchor)
            taken.append(place)


def _spots(layer: Zone | Rule | Period | Box | Mark, panel: Panel) -> list[Spot]:
    """Return where the words of a layer may stand, best first."""
    left, top, right, _ = panel.inside
    words = layer.words
    if isinstance(layer, Mark):
        return around(panel.x(layer.x), panel.y(layer.y), words)
    if isinstance(layer, Zone):
        middle = panel.y((layer.low + layer.high) / 2) + 5
        return [spot(right - 6, middle, words, "end"), spot(left + 6, middle, words, "start")]
    if isinstance(layer, Rule):
        heights = panel.y(layer.at) - 6, panel.y(layer.at) + ROW - 3
        ends = (right - 6, "end"), (left + 6, "start")
        return [spot(x, height, words, anchor) for x, anchor in ends for height in heights]
    middle = panel.x((layer.start + layer.end) / 2)
    if isinstance(layer, Period):
        return [spot(middle, top + ROW, words, "middle"), spot(middle, panel.y.start - 8, words, "middle")]
    above, below = panel.y(layer.high) - 8, panel.y(layer.low) + ROW
    return [spot(middle, height, words, "middle") for height in (above, below)]


def _names(pen: Pen, panel: Panel, size: Size) -> None:
    """Write the names of curves at their ends, apart from each other, where there is room for them."""
    _, top, _, bottom = panel.inside
    ends = [
        (layer, runs[-1][-1])
        for layer in panel.strip.layers
        if isinstance(layer, Line) and stands_beside(layer, size) and (runs := _runs(layer, panel, pen))
    ]
    heights = spread([min(max(y, top), bottom) + 5 for _, (_, y) in ends], top + 5, bottom + 5)
    for (layer, (x, _)), height in zip(ends, heights, strict=True):
        pen.draw("text", f"name-{layer.ink}", layer.name, x=x + BESIDE, y=height)


def _milestone_lines(pen: Pen, layout: Layout) -> None:
    """Draw a line down through every strip for each milestone, under the curves and the words."""
    bottom = layout.panels[-1].y.start
    for stone in layout.stones:
        pen.draw("path", "milestone", d=path([(stone.x, stone.height + 4), (stone.x, bottom)]))


def _milestones(pen: Pen, layout: Layout) -> None:
    """Write the milestones into the margin above the curves."""
    for stone in layout.stones:
        look, at = "milestone-words", stone.middle
        pen.draw("text", look, stone.words, x=at, y=stone.height, text_anchor="middle")


def _rectangle(pen: Pen, look: str, start: tuple[float, float], end: tuple[float, float]) -> None:
    (left, top), (right, bottom) = start, end
    pen.draw("rect", look, x=left, y=top, width=max(0.0, right - left), height=max(0.0, bottom - top))


def _most(panel: Panel) -> int:
    """Return how many points of a curve can be told apart in a panel."""
    return int(panel.x.end - panel.x.start) * POINTS_PER_PIXEL


def _runs(layer: Line, panel: Panel, pen: Pen) -> list[Run]:
    """Return a curve's runs between gaps, thinned and in their places; worked out once for a picture."""
    found = pen.runs.get((id(layer), id(panel)))
    if found is None:
        found = pen.runs[id(layer), id(panel)] = _run_through(layer, panel)
    return found


def _run_through(layer: Line, panel: Panel) -> list[Run]:
    runs = thinned(layer.xs, layer.ys, _most(panel))
    return [[(panel.x(x), panel.y(y)) for x, y in run] for run in runs]


def _points(layer: Layer, panel: Panel, pen: Pen) -> list[tuple[float, float]]:
    """Return points of a curve close enough together to see whether words would stand on it."""
    if isinstance(layer, Dots):
        there = thinned(layer.xs, layer.ys, max(4, len(layer.xs)))
        return [(panel.x(x), panel.y(y)) for run in there for x, y in run] * DOTS_COUNT
    if not isinstance(layer, Line):
        return []
    found: list[tuple[float, float]] = []
    for run in _runs(layer, panel, pen):
        for (x0, y0), (x1, y1) in pairwise(run):
            steps = max(1, int(max(abs(x1 - x0), abs(y1 - y0)) // APART))
            found += [(x0 + (x1 - x0) * at / steps, y0 + (y1 - y0) * at / steps) for at in range(steps)]
        found.append(run[-1])
    return found
