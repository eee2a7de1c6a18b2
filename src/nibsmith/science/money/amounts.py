"""Amounts of money: exact while they are worked with, rounded half up when they are written."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal

from nibsmith.science.errors import InputError
from nibsmith.science.money.currencies import currency
from nibsmith.science.quantities.formats import MINUS, THOUSANDS

GRAMS_PER_KG = 1000
_EXACT = Context(prec=40, rounding=ROUND_HALF_UP)  # wide enough that only the last rounding shows


@dataclass(frozen=True, slots=True)
class Money:
    """An exact amount in a currency.

    Parameters
    ----------
    amount : Decimal
        The amount, never a float.
    code : str
        Its currency.

    Raises
    ------
    InputError
        If the amount is no finite Decimal, or the currency is not in the table.

    Examples
    --------
    >>> (Money(Decimal("1.005"), "EUR") + Money(Decimal("2"), "EUR")).rounded
    Decimal('3.01')
    """

    amount: Decimal
    code: str

    def __post_init__(self) -> None:
        if not _is_exact(self.amount):
            raise InputError("An amount of money is a finite decimal number", value=repr(self.amount))
        currency(self.code)

    def __add__(self, other: Money) -> Money:
        if not isinstance(other, Money):
            return NotImplemented
        if other.code != self.code:
            raise InputError(
                "Two currencies cannot be added", value=f"{self.code} and {other.code}", advice="Use one."
            )
        return Money(_EXACT.add(self.amount, other.amount), self.code)

    def times(self, factor: Decimal | int) -> Money:
        """Return the amount times an exact number."""
        return Money(_EXACT.multiply(self.amount, _number(factor)), self.code)

    def over(self, divisor: Decimal | int) -> Money:
        """Return the amount divided by an exact number above zero."""
        if _number(divisor) <= 0:
            raise InputError("Money is shared out over more than nothing", value=divisor)
        return Money(_EXACT.divide(self.amount, _number(divisor)), self.code)

    @property
    def rounded(self) -> Decimal:
        """The amount in whole smallest units, half up."""
        return self.amount.quantize(currency(self.code).smallest, ROUND_HALF_UP, _EXACT)

    def __str__(self) -> str:
        whole, point, decimals = f"{abs(self.rounded):,f}".partition(".")
        sign = MINUS if self.rounded < 0 else ""
        return f"{sign}{whole.replace(',', THOUSANDS)}{point}{decimals}\u00a0{self.code}"


def sum_money(amounts: Iterable[Money], code: str) -> Money:
    """Return the sum of amounts, unrounded.

    Parameters
    ----------
    amounts : iterable of Money
        All in one currency.
    code : str
        That currency; the sum of nothing is nothing in it.

    Returns
    -------
    Money
        The exact sum.

    Raises
    ------
    InputError
        If an amount is in another currency.

    Examples
    --------
    >>> sum_money([Money(Decimal("1.10"), "EUR"), Money(Decimal("2.20"), "EUR")], "EUR").rounded
    Decimal('3.30')
    """
    total = Money(Decimal(0), code)
    for amount in amounts:
        total = total + amount
    return total


def exact_grams(mass_g: float) -> Decimal:
    """Return a mass as the decimal number that its shortest writing names.

    Parameters
    ----------
    mass_g : float
        The mass [g].

    Returns
    -------
    Decimal
        The same mass [g].

    Examples
    --------
    >>> exact_grams(0.1)
    Decimal('0.1')
    """
    return Decimal(repr(float(mass_g)))


def cost_of(price_per_kg: Decimal, mass_g: float, code: str) -> Money:
    """Return what a mass costs, unrounded: ``price · mass / 1000``.

    Parameters
    ----------
    price_per_kg : Decimal
        Price of one kilogram [currency/kg].
    mass_g : float
        The mass [g].
    code : str
        The currency.

    Returns
    -------
    Money
        The exact cost.

    Raises
    ------
    InputError
        If the price is negative or no finite number.

    Examples
    --------
    >>> cost_of(Decimal("9.50"), 1040.0, "EUR").rounded
    Decimal('9.88')
    """
    if not price_per_kg.is_finite() or price_per_kg < 0:
        raise InputError("A price is zero or more", value=price_per_kg, field="price_per_kg")
    return Money(price_per_kg, code).times(exact_grams(mass_g)).over(GRAMS_PER_KG)


def _is_exact(value: object) -> bool:
    return isinstance(value, Decimal) and value.is_finite()


def _number(value: Decimal | int) -> Decimal:
    if isinstance(value, bool) or not isinstance(value, Decimal | int):
        raise InputError("Money is multiplied by exact numbers only", value=repr(value))
    return Decimal(value)
