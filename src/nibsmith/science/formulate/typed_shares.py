"""Shares as a person types them: percentages of 100 within their rounding, a rest, parts of a ratio."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from enum import Enum
from fractions import Fraction

from nibsmith.science.errors import InputError

_WHOLE, _SEEN = Decimal(100), Decimal("0.001")  # all of it, and how finely a sum is said [%]
_DIGITS = 12  # digits a typed number may have on either side of its decimal sign


class Rest(Enum):
    """Marks the one row that takes what the others leave."""

    REST = "the rest"


REST = Rest.REST


@dataclass(frozen=True)
class TypedShares:
    """Shares read from what was typed, exactly.

    ``shares`` add to one. ``off_percent`` is how far the typed numbers were from 100 [%],
    ``allowed_percent`` how far their rounding may put them; ``rest`` is the row that takes what is left.
    """

    shares: Mapping[str, Fraction]
    off_percent: Decimal = Decimal(0)
    allowed_percent: Decimal = Decimal(0)
    rest: str | None = None

    @property
    def note(self) -> str:
        """What to show beside shares that do not come to 100 exactly; empty where they do."""
        if not self.off_percent:
            return ""
        return (
            f"The shares come to {100 + self.off_percent} %, within the rounding of what was typed "
            f"(±{self.allowed_percent.normalize():f} %); they are taken in proportion."
        )

    def masses_g(self, total_g: float) -> Mapping[str, float]:
        """Return the amounts at a total [g]."""
        return {label: float(share * Fraction(total_g)) for label, share in self.shares.items()}


def from_shares(rows: Mapping[str, Decimal | int | Rest]) -> TypedShares:
    """Read percentages of everything, one of which may be the rest.

    Off 100 by at most half a unit of the last typed digit of every row together is rounding, and is shared
    out in proportion; more is refused.

    Parameters
    ----------
    rows : Mapping[str, Decimal, int or Rest]
        Part label to what was typed, with the digits as typed, or ``REST`` [%].

    Returns
    -------
    TypedShares
        Exact shares that add to one.

    Raises
    ------
    InputError
        If nothing is typed, a row is negative or not a number, two rows are the rest, or the sum is off.

    Examples
    --------
    >>> from_shares({"nibs": Decimal("66.5"), "sugar": REST}).shares["sugar"]
    Fraction(67, 200)
    >>> thirds = from_shares({"a": Decimal("33.3"), "b": Decimal("33.3"), "c": Decimal("33.3")})
    >>> thirds.off_percent, thirds.shares["a"]
    (Decimal('-0.1'), Fraction(1, 3))
    """
    rest = _rest(rows)
    numbers = {label: _number(value, label) for label, value in rows.items() if not isinstance(value, Rest)}
    total = _sum(numbers)
    if rest is not None:
        return TypedShares(_with_rest(rows, numbers, rest, total), rest=rest)
    allowed = _sum({label: _unit(number) / 2 for label, number in numbers.items()})
    if not total or abs(total - 100) > allowed:
        raise _off(total, allowed)
    shares = {label: Fraction(number) / Fraction(total) for label, number in numbers.items()}
    return TypedShares(shares, total - 100, allowed)


def from_ratio(rows: Mapping[str, Decimal | int]) -> TypedShares:
    """Read parts of a ratio, such as 2 parts nibs to 1 part sugar.

    ``s_i = r_i / sum r``.

    Parameters
    ----------
    rows : Mapping[str, Decimal or int]
        Part label to its number of parts [1].

    Returns
    -------
    TypedShares
        Exact shares that add to one.

    Raises
    ------
    InputError
        If nothing is typed, a row is negative or not a number, or all are zero.

    Examples
    --------
    >>> from_ratio({"nibs": 2, "sugar": 1}).shares["nibs"]
    Fraction(2, 3)
    """
    _rest(rows)
    numbers = {label: _number(value, label) for label, value in rows.items()}
    total = sum((Fraction(number) for number in numbers.values()), Fraction(0))
    if not total:
        raise InputError("Every part of the ratio is zero", advice="Type at least one above zero.")
    return TypedShares({label: Fraction(number) / total for label, number in numbers.items()})


def _rest(rows: Mapping[str, object]) -> str | None:
    if not rows:
        raise InputError("There are no shares", advice="Type at least one.")
    rests = [label for label, value in rows.items() if isinstance(value, Rest)]
    if len(rests) > 1:
        raise InputError(
            "Only one row can be the rest",
            value=", ".join(rests),
            advice="Type a share for the others.",
            field=rests[1],
        )
    return rests[0] if rests else None


def _with_rest(
    rows: Mapping[str, object], numbers: Mapping[str, Decimal], rest: str, total: Decimal
) -> Mapping[str, Fraction]:
    if total > 100:
        raise InputError(
            "The shares leave nothing for the rest",
            value=f"{_shown(total)} %",
            limit="100 %",
            advice="Type smaller shares.",
            field=rest,
        )
    return {label: Fraction(numbers.get(label, 100 - total)) / 100 for label in rows}


def _shown(total: Decimal) -> Decimal:
    """A sum with the digits it was typed with, cut short where it followed from something else."""
    cut = total.quantize(_SEEN, ROUND_HALF_UP)
    return total if total == cut or cut == _WHOLE else cut


def _off(total: Decimal, allowed: Decimal) -> InputError:
    return InputError(
        "The shares do not come to 100 %",
        value=f"{_shown(total)} %",
        limit=f"100 ± {allowed.normalize():f} %",
        advice="Change one of them, make one the rest, or type them as parts of a ratio.",
        field="shares",
    )


def _number(value: Decimal | int, label: str) -> Decimal:
    number = Decimal(value)
    if not number.is_finite():
        raise InputError("This is not a number", value=value, field=label)
    if number < 0:
        raise InputError("A share cannot be negative", value=f"{value}", limit="0 or more", field=label)
    if number.adjusted() >= _DIGITS or int(number.as_tuple().exponent) < -_DIGITS:
        raise InputError("This number has too many digits", limit=f"{_DIGITS} on either side", field=label)
    return number


def _unit(number: Decimal) -> Decimal:
    """One unit of the last typed digit; a number without decimals is typed to the unit."""
    exponent = number.as_tuple().exponent
    return Decimal(1).scaleb(min(0, int(exponent)))


def _sum(numbers: Mapping[str, Decimal]) -> Decimal:
    """The exact sum: numbers of up to 12 digits on either side fit the 28 digits of Decimal arithmetic."""
    return sum(numbers.values(), Decimal(0))
