"""The one typeface on paper, from its wheel; no font of the system is ever used."""

from __future__ import annotations

import struct
from collections.abc import Iterable, Iterator
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path

from nibsmith.science.errors import NibsmithError

PACKAGE = "ttf_opensans"
FAMILY = "Open Sans"
REGULAR = "OpenSans-Regular.ttf"
STAND_IN = "\u25ca"  # a lozenge: printed for a sign the typeface does not have
NARROW_SPACE = "\u202f"  # set as a space by the typesetter though the typeface has no sign for it
_WORDS = 1 << 16  # glyph numbers are counted round in two bytes
_SEGMENTS = 4  # format of a character map made of segments, the only one this typeface has


@lru_cache(maxsize=1)
def font_folder() -> Path:
    """Return the folder of the typeface.

    Raises
    ------
    NibsmithError
        If the package that carries it is not installed.
    """
    spec = find_spec(PACKAGE)
    if spec is None or spec.origin is None:
        advice = "Run start.py again: it installs it."
        raise NibsmithError("The typeface for print is not installed", value=PACKAGE, advice=advice)
    return Path(spec.origin).parent / "ttf"


def unprintable(texts: Iterable[str]) -> str:
    """Return the signs of some texts that the typeface does not have, each once.

    Examples
    --------
    >>> unprintable(["Café №", "30 µm", "日本 日"])
    '日本'
    """
    signs = dict.fromkeys(sign for text in texts for sign in text)
    return "".join(sign for sign in signs if ord(sign) not in _characters() and _shows(sign))


def _shows(sign: str) -> bool:
    return sign != NARROW_SPACE and not sign.isspace()


@lru_cache(maxsize=1)
def _characters() -> frozenset[int]:
    """Read the character map of the typeface: which code points have a sign."""
    data = (font_folder() / REGULAR).read_bytes()
    start = _table(data, b"cmap")
    (count,) = struct.unpack_from(">H", data, start + 2)
    offsets = (struct.unpack_from(">HHI", data, start + 4 + 8 * index)[2] for index in range(count))
    for offset in offsets:
        if struct.unpack_from(">H", data, start + offset) == (_SEGMENTS,):
            return frozenset(_segments(data, start + offset))
    raise NibsmithError("The typeface for print has no character map that can be read", value=REGULAR)


def _table(data: bytes, tag: bytes) -> int:
    (count,) = struct.unpack_from(">H", data, 4)
    for index in range(count):
        found, _, offset, _ = struct.unpack_from(">4sIII", data, 12 + 16 * index)
        if found == tag:
            return int(offset)
    raise NibsmithError("The typeface for print lacks a table", value=tag.decode())


def _segments(data: bytes, start: int) -> Iterator[int]:
    """Code points of a segmented map; those mapped to the sign for nothing are left out."""
    doubled = _word(data, start + 6)
    ends, starts = start + 14, start + 16 + doubled
    deltas, ranges = starts + doubled, starts + 2 * doubled
    for at in range(0, doubled, 2):
        last, first, delta, shift = (_word(data, base + at) for base in (ends, starts, deltas, ranges))
        for code in range(first, last + 1):
            glyph = _word(data, ranges + at + shift + 2 * (code - first)) if shift else code
            if (glyph or not shift) and (glyph + delta) % _WORDS:
                yield code


def _word(data: bytes, at: int) -> int:
    return int(struct.unpack_from(">H", data, at)[0])
