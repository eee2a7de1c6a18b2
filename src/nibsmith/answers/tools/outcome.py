"""What a tool gives back: the answer, what it was worked out from, and by which formula."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from nibsmith.answers.answer import Answer, Detail
from nibsmith.answers.wording import NO_BREAK, RANGE, degrees
from nibsmith.science.mixture import Span
from nibsmith.science.quantities.shown import format_plain
from nibsmith.science.tables import STATUS_WORDS, Constant, load

YOURS = "yours"
USUAL = "usual"


@dataclass(frozen=True, slots=True)
class Given:
    """One figure that went in: its name, its value with unit, and whose it is."""

    name: str
    text: str
    whose: str = YOURS


@dataclass(frozen=True, slots=True)
class Outcome:
    """An answer that opens: what was given, the formulas in words and signs, the constants behind them."""

    answer: Answer
    given: tuple[Given, ...] = ()
    formulas: tuple[str, ...] = ()
    constants: tuple[Constant, ...] = ()
    details: tuple[Detail, ...] = ()


def given(name: str, value: object, unit: str, *, said: bool) -> Given:
    """Return a figure that went in, said by the maker or taken as usual; a temperature on both scales.

    Examples
    --------
    >>> given("Room", 20.0, "°C", said=False).text.replace(NO_BREAK, " ")
    '20 °C (68 °F)'
    """
    if unit == "°C" and isinstance(value, float | int):
        return Given(name, degrees(value), YOURS if said else USUAL)
    text = format_plain(value) if isinstance(value, float | int | Decimal) else str(value)
    return Given(name, f"{text}{NO_BREAK}{unit}" if unit else text, YOURS if said else USUAL)


def around(value: float, reach: float = 0.0) -> Span:
    """Return a figure with how far it may be off; what is above nothing never reaches below it.

    Examples
    --------
    >>> around(30.0, 5.0), around(3.0, 5.0).low, around(-1.0)
    (Span(low=25.0, value=30.0, high=35.0), 0.0, Span(low=-1.0, value=-1.0, high=-1.0))
    """
    low = value - reach
    return Span(max(0.0, low) if value >= 0 else low, value, value + reach)


def constants(group: str, keys: Iterable[str]) -> tuple[Constant, ...]:
    """Return rows of a table of constants, for a page to show where they are from."""
    table = load(group)
    return tuple(table[key] for key in keys)


def constant_words(row: Constant) -> str:
    """Write a constant with its range and unit.

    Examples
    --------
    >>> constant_words(load("grind")["stone_speed"]).replace(NO_BREAK, " ")
    '0.0014 (0.0007–0.0028) 1/(µm h)'
    """
    ends = "" if row.low is None or row.high is None else f" ({row.low:g}{RANGE}{row.high:g})"
    return f"{row.decimal.normalize():f}{ends}{NO_BREAK}{row.unit}"


def where_from(row: Constant) -> str:
    """Say where a constant is from and how far it can be trusted."""
    place = f", {row.place}" if row.place else ""
    return f"{row.source}{place} ({STATUS_WORDS[row.status]})"
