"""Typed text before it is read: the signs that mean the same made one, and a short way to show it back."""

from __future__ import annotations

from collections.abc import Mapping

from nibsmith.science.errors import InputError

LONGEST = 80  # characters of one typed quantity; the longest sensible one is under 30
_SHOWN = 40  # characters of a refused text that a message repeats
_LOST = "\ufffd"  # stands where broken bytes could not be read
JOINERS = "\u200c\u200d"  # not seen, but part of how words are written in some scripts

SPACES = "\u00a0\u1680\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000"
_NEW_LINES = "\x85\u2028\u2029"
_APOSTROPHES = "\u2018\u2019\u02bc"
_SLASHES = "\u2044\u2215"
_DASHES = "\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe63\u207b\u208b\u2796"
_DEGREES = "\u00ba\u02da"
_SQUARED = {"\u338f": "kg", "\u338e": "mg", "\u2103": "°C", "\u2109": "°F", "\u212a": "K"}
_FULL_WIDTH = range(0xFF01, 0xFF5F)
_FULL_WIDTH_SHIFT = 0xFEE0

_SAME: dict[int, str] = {
    **{ord(sign): " " for sign in SPACES},
    **{ord(sign): "\n" for sign in _NEW_LINES},
    **{ord(sign): "'" for sign in _APOSTROPHES},
    **{ord(sign): "/" for sign in _SLASHES},
    **{ord(sign): "-" for sign in _DASHES},
    **{ord(sign): "°" for sign in _DEGREES},
    **{ord(sign): same for sign, same in _SQUARED.items()},
    **{code: chr(code - _FULL_WIDTH_SHIFT) for code in _FULL_WIDTH},
}

# As above, but a space that does not break stays one: the digits on both its sides belong together.
UNBROKEN = "\u202f"
SAME_BUT_UNBROKEN: dict[int, str] = {**_SAME, **{ord(sign): UNBROKEN for sign in "\u00a0\u2007\u2009\u202f"}}


def clean(text: str, longest: int = LONGEST, same: Mapping[int, str] = _SAME) -> str:
    """Return the text with one sign for each meaning and no space at its ends.

    Parameters
    ----------
    text : str
        What a person typed.
    longest : int
        The longest text accepted [characters].
    same : Mapping[int, str]
        What each sign is made.

    Returns
    -------
    str
        All kinds of space as a space, of dash as ``-``, of apostrophe as ``'``, of slash as ``/``,
        full-width signs as their plain ones.

    Raises
    ------
    InputError
        If nothing is left, or the text is too long.

    Examples
    --------
    >>> clean("１\u202f０４０ ｇ")
    '1 040 g'
    """
    if len(text) > longest:
        raise InputError("This is too long", value=f"{len(text)} characters", limit=longest)
    typed = (text if text.isascii() else text.translate(same)).strip()
    if not typed:
        raise InputError("Nothing was typed", advice="Type an amount with its unit, such as 500 g.")
    return typed


def unseen_sign(text: str, allowed: str = "") -> str:
    r"""Return the first sign of a text that a reader cannot see or read.

    Parameters
    ----------
    text : str
        What a person typed.
    allowed : str
        Signs that may stand in it all the same, such as new lines.

    Returns
    -------
    str
        Control signs, signs that turn the direction of the text, halves of a pair, unassigned ones, any space
        but the plain one, and the sign that stands for broken bytes; empty where there is none. A joiner
        between two signs is part of how they are written.

    Examples
    --------
    >>> unseen_sign("Fläche 80 %"), unseen_sign("a\u202eb") == "\u202e"
    ('', True)
    """
    if text.isprintable() and _LOST not in text:
        return ""
    for place, sign in enumerate(text):
        seen = sign.isprintable() and sign != _LOST
        if not (seen or sign in allowed or (sign in JOINERS and _joins(text, place))):
            return sign
    return ""


def _joins(text: str, place: int) -> bool:
    beside = text[max(place - 1, 0) : place] + text[place + 1 : place + 2]
    return len(beside) == 2 and beside.isprintable() and " " not in beside


def unseen_words(sign: str) -> str:
    """Say that a sign which ``unseen_sign`` found stands in a text."""
    if sign == _LOST:
        return "A sign in it was broken on its way and cannot be read"
    return f"A sign that cannot be shown stands in it (U+{ord(sign):04X})"


def shown(text: str) -> str:
    r"""Return the text as a message repeats it: quoted, on one line, cut where it is long.

    Examples
    --------
    >>> print(shown("500\tsugar"))
    "500?sugar"
    """
    line = "".join(sign if sign.isprintable() else "?" for sign in text[: _SHOWN + 1])
    return f'"{line[:_SHOWN]}…"' if len(line) > _SHOWN else f'"{line}"'
