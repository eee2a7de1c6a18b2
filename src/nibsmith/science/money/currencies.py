"""The usual currencies and how many decimals each is written with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from types import MappingProxyType

from nibsmith.science.errors import InputError
from nibsmith.science.tables import load_rows


@dataclass(frozen=True, slots=True)
class Currency:
    """A currency: its code, its number, the decimals of its smallest unit, its name."""

    code: str
    number: str
    minor_digits: int
    name: str

    @property
    def smallest(self) -> Decimal:
        """The smallest amount it is written with, such as 0.01."""
        return Decimal(1).scaleb(-self.minor_digits)


@lru_cache(maxsize=1)
def currencies() -> Mapping[str, Currency]:
    """Return the usual currencies by code.

    Returns
    -------
    Mapping[str, Currency]
        In the order of the table.

    Examples
    --------
    >>> currencies()["JPY"].minor_digits
    0

    References
    ----------
    [iso-4217]
    """
    rows = load_rows("currencies.csv")
    return MappingProxyType(
        {
            row["code"]: Currency(row["code"], row["number"], int(row["minor_digits"]), row["name"])
            for row in rows
        }
    )


def currency(code: str) -> Currency:
    """Return one currency.

    Parameters
    ----------
    code : str
        Three letters, such as ``EUR``.

    Returns
    -------
    Currency
        The currency.

    Raises
    ------
    InputError
        If the code is not in the table.

    Examples
    --------
    >>> currency("EUR").smallest
    Decimal('0.01')

    References
    ----------
    [iso-4217]
    """
    if code not in currencies():
        advice = "Use three letters of ISO 4217 such as EUR, USD or GBP."
        raise InputError("No currency has this code here", value=code, advice=advice, field="currency")
    return currencies()[code]
