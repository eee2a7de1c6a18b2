"""Refusals of science about a sheet, in the words of the form."""

from __future__ import annotations

import re

from nibsmith.science.errors import InputError, NibsmithError
from nibsmith.shop.stock.words import COLUMN_NAMES

_COLUMN = re.compile(r"\b(" + "|".join(COLUMN_NAMES) + r")\b")


def in_words(error: NibsmithError) -> NibsmithError:
    """Return the refusal with the names of the form in place of the names of columns."""
    told = InputError(
        _named(error.what),
        value=error.value,
        limit=error.limit,
        advice=None if error.advice is None else _named(error.advice),
        field=error.field,
    )
    return told if isinstance(error, InputError) else error


def _named(text: str) -> str:
    return _COLUMN.sub(lambda match: COLUMN_NAMES[match[1]].removeprefix("of which "), text)
