"""Limits in words: a bound, how far it would have to give, and why it is there."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from nibsmith.answers.wording import NO_BREAK, capital, joined
from nibsmith.science.formulate import Clash, Conflict, Impossible
from nibsmith.science.mixture import Limit
from nibsmith.science.money import Currency, currencies
from nibsmith.science.quantities.formats import THOUSANDS

_HUNDREDTH = Decimal("0.01")
_PER_GRAM, _PER_KG = "/g", "/kg"


def bound_words(limit: Limit, end: str, bound: float) -> str:
    """Return one end of a limit in words, such as ``total fat at least 32 %``."""
    low = end == "low"
    return f"{limit.name} {_side(limit, low=low)} {amount_words(limit, bound, up=not low)}"


def limit_words(limit: Limit) -> str:
    """Return a whole limit in words."""
    if limit.low is not None and limit.low == limit.high:
        return f"{limit.name} at {amount_words(limit, limit.low, up=True)}"
    ends = (("low", limit.low), ("high", limit.high))
    said = [bound_words(limit, end, bound) for end, bound in ends if bound is not None]
    return (
        joined([said[0], *(words.removeprefix(f"{limit.name} ") for words in said[1:])])
        if said
        else limit.name
    )


def _side(limit: Limit, *, low: bool) -> str:
    if limit.strict:
        return "over" if low else "under"
    return "at least" if low else "at most"


def amount_words(limit: Limit, value: float, *, up: bool) -> str:
    """Return a value of a limit in its unit, to two decimals, rounded up or down; money to its own."""
    number, unit = scaled(limit, value)
    money = _currency_of(limit)
    cut = _cut(number, up=up, step=None if money is None else money.smallest)
    return f"{cut:,f}".replace(",", THOUSANDS) + f"{NO_BREAK}{unit}"


def _currency_of(limit: Limit) -> Currency | None:
    """The currency a limit is in, where it is one on the cost."""
    return currencies().get(limit.unit.removesuffix(_PER_KG)) if limit.unit.endswith(_PER_KG) else None


def scaled(limit: Limit, value: float) -> tuple[float, str]:
    """Return a value in the unit a person reads, and the unit."""
    if limit.denominator is None:
        return value, limit.unit
    if limit.unit == "g":
        return value * 100, "%"
    if limit.unit.endswith(_PER_GRAM):
        return value * 100, f"{limit.unit.removesuffix(_PER_GRAM)}/100{NO_BREAK}g"
    return value, limit.unit


def _cut(number: float, *, up: bool, step: Decimal | None = None) -> Decimal:
    """Two decimals, rounded to the side that still works; arithmetic noise is no reason to round away.

    The digits of a step that is given all stay, as those of money do.
    """
    exact = Decimal(f"{number:.9f}")
    cut = exact.quantize(step or _HUNDREDTH, rounding=ROUND_CEILING if up else ROUND_FLOOR)
    return cut if step is not None else cut.normalize() or Decimal(0)


def clash_words(clash: Clash, *, alone: bool = True) -> str:
    """Return how far one limit of a conflict would have to give, and whether that alone is enough."""
    low = clash.end == "low"
    asked = capital(bound_words(clash.limit, clash.end, clash.bound))
    if _is_lacking(clash):
        return f"{asked}: nothing in the recipe brings any; let something come in that does."
    if clash.endless:
        return f"{asked}: the larger the batch the nearer it comes, but no batch gets there."
    if clash.works_at is None or clash.gives is None:
        return f"{asked}: no bound of its own would do."
    works = amount_words(clash.limit, clash.works_at, up=not low)
    now = amount_words(clash.limit, clash.bound, up=not low)
    side = _side(clash.limit, low=low)
    tail = "" if clash.enough or not alone else " That alone does not settle the rest."
    gives = _gives_words(clash.limit, clash.gives)
    return f"{capital(clash.limit.name)} {side} {works} instead of {now}: it must give {gives}.{tail}"


def _is_lacking(clash: Clash) -> bool:
    """Whether some of a thing is asked of a recipe in which nothing brings any."""
    return clash.end == "low" and not any(clash.limit.numerator.values())


def _gives_words(limit: Limit, gives: float) -> str:
    number, unit = scaled(limit, gives)
    if unit != "%":
        return amount_words(limit, gives, up=True)
    amount = _cut(number, up=True)
    return f"{amount:f} percentage point{'' if amount == 1 else 's'}"


def conflict_words(conflict: Conflict) -> str:
    """Return the limits of a conflict in one sentence."""
    said = [
        f"{bound_words(clash.limit, clash.end, clash.bound)} ({clash.limit.reason})"
        for clash in conflict.clashes
    ]
    if len(said) == 1:
        return f"This cannot be: {said[0]}."
    return f"These cannot all hold: {'; '.join(said)}."


def impossible_words(impossible: Impossible) -> tuple[str, tuple[str, ...]]:
    """Return a sentence for what cannot hold, and one a limit for how far it would have to give."""
    sentence = " ".join(conflict_words(conflict) for conflict in impossible.conflicts)
    alone = any(clash.enough for clash in impossible.clashes)
    return sentence, tuple(clash_words(clash, alone=alone) for clash in impossible.clashes)


def advice_words(impossible: Impossible) -> str:
    """Return what the lines on how far limits would have to give are for, in words true of all of them."""
    if [_is_lacking(clash) for clash in impossible.clashes] == [True]:
        return "Drop it, or bring it in:"
    enough = [clash.enough and clash.works_at is not None for clash in impossible.clashes]
    if len(impossible.conflicts) == len(enough):
        return "Drop it, or let it give so far:" if len(enough) == 1 else "Each of these has to be settled:"
    if all(enough):
        return "Drop any one of these, or let it give so far:"
    if any(enough):
        return "Drop one of these, or let it give so far; where that is not enough, it is said:"
    if len(impossible.conflicts) == 1:
        return "One of these has to be dropped:"
    return "No one of these is enough: of each set that cannot hold, drop one, or let it give so far:"
