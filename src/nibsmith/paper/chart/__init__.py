"""Charts as SVG: one drawing for the page, coloured by its style sheet, and for paper, which has none."""

from nibsmith.paper.chart.figures import Figures, figures_of
from nibsmith.paper.chart.picture import NARROW, WIDE, Size, picture, picture_for_print
from nibsmith.paper.chart.shapes import (
    Axis,
    Band,
    Box,
    Chart,
    Dots,
    Ink,
    Layer,
    Line,
    Mark,
    Milestone,
    Period,
    Rule,
    Strip,
    Zone,
)
from nibsmith.paper.chart.thinning import thinned
from nibsmith.paper.chart.ticks import Count, tick_texts, ticks

__all__ = [
    "NARROW",
    "WIDE",
    "Axis",
    "Band",
    "Box",
    "Chart",
    "Count",
    "Dots",
    "Figures",
    "Ink",
    "Layer",
    "Line",
    "Mark",
    "Milestone",
    "Period",
    "Rule",
    "Size",
    "Strip",
    "Zone",
    "figures_of",
    "picture",
    "picture_for_print",
    "thinned",
    "tick_texts",
    "ticks",
]
