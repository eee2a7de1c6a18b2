"""Lists of things as they are typed on the pages."""

from __future__ import annotations

import re

from nibsmith.science.errors import InputError
from nibsmith.science.quantities import DecimalSign, Thing, parse_things

_BETWEEN = re.compile(r"[;\n]|, ")
_FIRST = "Thing 1: "


def read_things(text: str, decimal_sign: DecimalSign | None) -> tuple[Thing, ...]:
    """Read a list; where one thing alone is typed, a refusal need not say which of them it is about."""
    try:
        return parse_things(text, decimal_sign)
    except InputError as error:
        if len([piece for piece in _BETWEEN.split(text) if piece.strip()]) == 1:
            error.what = error.what.removeprefix(_FIRST)
        raise
