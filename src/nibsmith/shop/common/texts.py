"""Names and notes as they may be stored."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

from nibsmith.science.errors import InputError
from nibsmith.science.quantities.cleaning import JOINERS, SPACES, unseen_sign, unseen_words

_LAYOUT = f"\n\t{SPACES}"
_NOT_TOLD_APART = str.maketrans("", "", JOINERS)
_NEW_LINES = ("\r\n", "\r", "\x85", "\u2028", "\u2029")


def name(text: str, field: str = "name", longest: int = 120) -> str:
    """Return a name on one line, its spaces in order; refuse an empty one, a long one, unseen signs."""
    return _checked(" ".join(text.split()), field, longest, needed=True)


def line(text: str, field: str, longest: int = 120) -> str:
    """Return one line that may be empty."""
    return _checked(" ".join(text.split()), field, longest)


def note(text: str, field: str = "note", longest: int = 2000) -> str:
    """Return a text of several lines that may be empty."""
    return _checked(in_lines(text).strip(), field, longest)


def in_lines(text: str) -> str:
    """Return a text in which every kind of new line is the plain one."""
    for other in _NEW_LINES:
        text = text.replace(other, "\n")
    return text


def readable(text: str, field: str | None = None) -> str:
    """Return a text as it is; refuse one with a sign that a reader cannot see or read."""
    unseen = unseen_sign(text, _LAYOUT)
    if unseen:
        raise InputError(unseen_words(unseen), advice="Type it again by hand.", field=field)
    return text


def folded(text: str) -> str:
    """Return a name without what does not tell names apart: case, spaces, the form of a letter.

    >>> folded(" Cocoa  BUTTER")
    'cocoa butter'
    """
    plain = unicodedata.normalize("NFKC", text).translate(_NOT_TOLD_APART)
    return " ".join(unicodedata.normalize("NFKC", plain.casefold()).split())


def same_name(one: str, other: str) -> bool:
    """Whether a reader would take two names for the same."""
    return folded(one) == folded(other)


def check_free(name: str, taken: Iterable[str], whose: str) -> None:
    """Refuse a name that is taken, with the words for whose it is: nobody could say which is meant."""
    other = next((each for each in taken if same_name(each, name)), None)
    if other is not None:
        advice = "Tell them apart, such as with the supplier, the lot or a number."
        raise InputError(f"{whose} has this name", value=other, advice=advice, field="name")


def _checked(text: str, field: str, longest: int, *, needed: bool = False) -> str:
    if needed and not text:
        raise InputError("It needs a name", advice="Type one.", field=field)
    if len(text) > longest:
        advice = "Type less of it."
        raise InputError(
            "This is too long", value=f"{len(text)} characters", limit=longest, advice=advice, field=field
        )
    return readable(text, field)
