"""Names and notes as they may be stored."""

from __future__ import annotations

import unicodedata

from nibsmith.science.errors import InputError

_LINE_BREAKS = "\n\t"
_UNSEEN = frozenset({"Cc", "Cs", "Cn", "Co"})  # control signs, halves of a pair, signs that do not exist


def name(text: str, field: str = "name", longest: int = 120) -> str:
    """Return a name on one line, its spaces in order; refuse an empty one, a long one, unseen signs."""
    return _checked(" ".join(text.split()), field, longest, needed=True)


def line(text: str, field: str, longest: int = 120) -> str:
    """Return one line that may be empty."""
    return _checked(" ".join(text.split()), field, longest)


def note(text: str, field: str = "note", longest: int = 2000) -> str:
    """Return a text of several lines that may be empty."""
    return _checked(text.replace("\r\n", "\n").replace("\r", "\n").strip(), field, longest)


def _checked(text: str, field: str, longest: int, *, needed: bool = False) -> str:
    if needed and not text:
        raise InputError("It needs a name", advice="Type one.", field=field)
    if len(text) > longest:
        advice = "Type less of it."
        raise InputError(
            "This is too long", value=f"{len(text)} characters", limit=longest, advice=advice, field=field
        )
    unseen = next((sign for sign in text if _is_unseen(sign)), None)
    if unseen is not None:
        what = f"A sign that cannot be shown stands in it (U+{ord(unseen):04X})"
        raise InputError(what, advice="Type it again by hand.", field=field)
    return text


def _is_unseen(sign: str) -> bool:
    return sign not in _LINE_BREAKS and unicodedata.category(sign) in _UNSEEN
