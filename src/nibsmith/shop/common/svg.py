"""Small pictures, drawn as SVG with classes of the style sheet and no style of their own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe

# One shape for each verdict, so that it can be told apart without its colour.
_MARKS = {
    "good": '<circle class="mark-fill" cx="10" cy="10" r="8"/>',
    "watch": (
        '<circle class="mark-line" cx="10" cy="10" r="8"/><path class="mark-fill" d="M10 2a8 8 0 0 1 0 16z"/>'
    ),
    "stop": '<rect class="mark-fill" x="2.5" y="2.5" width="15" height="15" rx="1"/>',
    "declare": '<path class="mark-fill" d="M10 1l9 9-9 9-9-9z"/>',
    "unknown": '<circle class="mark-line" cx="10" cy="10" r="8" stroke-dasharray="3.5 2.8"/>',
}


@dataclass(frozen=True, slots=True)
class Slice:
    """One stretch of a ribbon: its name and share in words, its share of the whole [%], its colour class."""

    words: str
    percent: float
    tint: str


def mark(verdict: str) -> SafeString:
    """Draw the shape of a verdict; its word stands beside it, so readers of the page aloud skip it."""
    shape = mark_safe(_MARKS[verdict])  # noqa: S308 - a constant of this module
    return format_html(
        '<svg class="mark" viewBox="0 0 20 20" aria-hidden="true" focusable="false">{}</svg>', shape
    )


def ribbon(slices: Sequence[Slice], title: str) -> SafeString:
    """Draw the shares of a mix as one bar, in their order."""
    edges = [0.0]
    for piece in slices:
        edges.append(edges[-1] + piece.percent)
    pieces = format_html_join(
        "",
        '<rect class="tint-{}" x="{}" y="0" width="{}" height="10"><title>{}</title></rect>',
        (
            (piece.tint, f"{start:.3f}", f"{piece.percent:.3f}", piece.words)
            for piece, start in zip(slices, edges, strict=False)
            if piece.percent > 0
        ),
    )
    return format_html(
        '<svg class="ribbon" viewBox="0 0 {} 10" preserveAspectRatio="none" role="img" aria-label="{}">'
        "{}</svg>",
        f"{max(edges[-1], 1.0):.3f}",
        title,
        pieces,
    )
