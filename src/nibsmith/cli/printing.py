"""Plain text for a terminal of 80 columns: wrapped lines, aligned columns, verdicts as shape and word."""

from __future__ import annotations

import json
import os
import sys
import textwrap
from collections.abc import Iterable, Sequence
from decimal import Decimal

from nibsmith.answers.answer import Verdict
from nibsmith.science.quantities import format_mass, format_percent

WIDTH = 80
INDENT = "  "
NARROWEST = 8  # characters that a column keeps at least
SHAPES = {
    Verdict.GOOD: "●",
    Verdict.WATCH: "◐",
    Verdict.STOP: "■",
    Verdict.DECLARE: "◆",
    Verdict.UNKNOWN: "○",
}
_COLOURS = {Verdict.GOOD: 32, Verdict.WATCH: 33, Verdict.STOP: 31, Verdict.DECLARE: 36, Verdict.UNKNOWN: 90}
# What stands for a sign that the terminal's encoding does not have.
_PLAIN = str.maketrans(
    {"●": "*", "◐": "~", "■": "#", "◆": "!", "○": "?", "\u202f": " ", "\u00a0": " ", "−": "-", "·": "-"}
    | {"–": "-", "—": "-", "’": "'", "…": "...", "≤": "<=", "≥": ">=", "×": "x", "µ": "u", "√": "x"}
)


def say(lines: Iterable[str]) -> None:
    """Print lines, with plain signs where the terminal cannot show the others."""
    text = "\n".join(line.rstrip() for line in lines) + "\n"
    encoding = sys.stdout.encoding or "utf-8"
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        text = text.translate(_PLAIN).encode(encoding, "replace").decode(encoding)
    sys.stdout.write(text)


def say_json(document: object) -> None:
    """Print a document as JSON, escaped where the terminal's encoding is not UTF-8."""
    utf_8 = (sys.stdout.encoding or "").lower().replace("_", "-") == "utf-8"
    sys.stdout.write(json.dumps(document, ensure_ascii=not utf_8, allow_nan=False, indent=2) + "\n")


def in_colour() -> bool:
    """Say whether colours are seen and wanted."""
    return sys.stdout.isatty() and "NO_COLOR" not in os.environ and os.environ.get("TERM") != "dumb"


def painted(text: str, verdict: Verdict) -> str:
    """Colour a text by its verdict where colours are seen; shape and word say it without them."""
    return f"\x1b[{_COLOURS[verdict]}m{text}\x1b[0m" if in_colour() else text


def wrapped(text: str, indent: str = INDENT, hang: str | None = None) -> list[str]:
    """Break a text into lines that fit; ``hang`` is the indent of the lines after the first."""
    return textwrap.wrap(
        text,
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent if hang is None else hang,
        break_on_hyphens=False,
        break_long_words=True,
    ) or [""]


def columns(
    rows: Sequence[Sequence[str]], align: str, *, indent: str = INDENT, whole: int | None = None
) -> list[str]:
    """Return rows in aligned columns, ``<`` left and ``>`` right.

    Empty columns go; where the rest is too wide the widest give way, but for the one that stays ``whole``.
    """
    used = [place for place in range(len(align)) if any(row[place] for row in rows)]
    cut = [[row[place] for place in used] for row in rows]
    widths = [max(len(row[place]) for row in cut) for place in range(len(used))]
    yielding = [place for place, column in enumerate(used) if column != whole]
    while _width(widths, indent) > WIDTH and max(widths[place] for place in yielding) > NARROWEST:
        widths[max(yielding, key=lambda place: widths[place])] -= 1
    return [line for row in cut for line in _row(row, widths, [align[place] for place in used], indent)]


def fits(rows: Sequence[Sequence[str]], indent: str = INDENT) -> bool:
    """Say whether rows fit as columns without a cell on two lines."""
    return _width([max(map(len, cells)) for cells in zip(*rows, strict=True)], indent) <= WIDTH


def _width(widths: Sequence[int], indent: str) -> int:
    return len(indent) + sum(widths) + len(INDENT) * (len(widths) - 1)


def _row(row: Sequence[str], widths: Sequence[int], align: Sequence[str], indent: str) -> list[str]:
    cells = [
        textwrap.wrap(cell, width, break_on_hyphens=False) or [""]
        for cell, width in zip(row, widths, strict=True)
    ]
    height = max((len(cell) for cell in cells), default=0)
    return [
        (
            indent
            + INDENT.join(
                format(cell[line] if line < len(cell) else "", f"{side}{width}")
                for cell, side, width in zip(cells, align, widths, strict=True)
            )
        ).rstrip()
        for line in range(height)
    ]


def grams(mass_g: float | Decimal, step_g: Decimal = Decimal(1)) -> str:
    """Write a mass to a step of the scale."""
    return plain_spaces(format_mass(mass_g, resolution=step_g))


def percent(share_percent: float, step: Decimal = Decimal("0.1")) -> str:
    """Write a share to a tenth of a percent."""
    return plain_spaces(format_percent(share_percent, resolution=step))


def plain_spaces(text: str) -> str:
    """Keep a figure and its unit on one line while texts are wrapped; any space does in print."""
    return text.replace("\u202f", "\u00a0")


def heading(left: str, right: str = "") -> str:
    """Return a line with words at both ends."""
    return f"{left}{' ' * max(2, WIDTH - len(left) - len(right))}{right}" if right else left
