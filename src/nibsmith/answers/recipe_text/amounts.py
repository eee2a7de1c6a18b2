"""The amounts of a recipe's parts: all as shares, or all as masses, and inclusions in one of three ways."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from nibsmith.answers.recipe_text.fields import Fields
from nibsmith.answers.recipe_text.words import AMOUNT_KEYS
from nibsmith.science.errors import InputError
from nibsmith.science.mixture import MACHINE_STAGES, Stage
from nibsmith.science.quantities import DecimalSign

HUNDRED = Decimal(100)
BATCH_OF_SHARES_G = Decimal(1000)
"""The total that a recipe of shares alone is read at [g]."""

PER_CHOCOLATE = "g_per_100g_chocolate"
PER_BAR = "g_per_bar"
INCLUSION_WAYS = (PER_CHOCOLATE, PER_BAR)


@dataclass(frozen=True)
class TypedAmount:
    """The amount of one part as typed: which key, and the number [%, or g]."""

    key: str
    number: Decimal
    path: str
    stage: Stage


def read_amount(part: Fields, stage: Stage, decimal_sign: DecimalSign | None) -> TypedAmount:
    """Return how much of a part there is, typed in exactly one way."""
    given = part.given(AMOUNT_KEYS)
    if len(given) != 1:
        what = "This part has no amount" if not given else f"This part has {len(given)} amounts"
        advice = "Write share_percent or mass, one of them."
        raise InputError(what, value=", ".join(given) or None, advice=advice, field=part.path)
    key = given[0]
    number = part.mass(key, decimal_sign) if key == "mass" else part.number(key, high=_highest(key))
    if number is None:
        raise InputError("This part has no amount", field=part.path)
    amount = TypedAmount(key, number, part.at(key), stage)
    if key in INCLUSION_WAYS and stage in MACHINE_STAGES:
        advice = "Give the part the stage folded_in, on_back or filling, or write its share_percent."
        raise InputError(f"{key} is for what is not ground into the mass", advice=advice, field=amount.path)
    return amount


def _highest(key: str) -> Decimal:
    return HUNDRED if key == "share_percent" else HUNDRED * 10


@dataclass(frozen=True)
class Amounts:
    """The masses of all parts [g], whether they were shares, and what there is to say about them."""

    masses_g: tuple[float, ...]
    by_shares: bool
    remarks: tuple[str, ...] = ()


def masses_of(typed: Sequence[TypedAmount], cavity_g: Decimal | None, path: str) -> Amounts:
    """Return the masses of the parts of one recipe.

    With inclusions as p g per 100 g of chocolate and q g per bar of c g, the whole is
    ``T = C (1 + sum(p)/100) / (1 - sum(q)/c)``, where C is the chocolate.

    Parameters
    ----------
    typed : sequence of TypedAmount
        One for each part.
    cavity_g : Decimal, optional
        The mass of one bar [g], for inclusions typed per bar.
    path : str
        Where the parts stand in the file.

    Returns
    -------
    Amounts
        Masses [g]; of shares alone they come to 1 kg.

    Raises
    ------
    InputError
        If shares and masses are mixed, shares miss 100 %, or everything is zero.
    """
    base = [amount for amount in typed if amount.key not in INCLUSION_WAYS]
    remarks = _check_base(base, typed, path)
    chocolate = sum((amount.number for amount in base), Decimal(0))
    if not chocolate:
        raise InputError("Every amount is zero", advice="Give at least one part an amount.", field=path)
    whole = _whole(typed, chocolate, cavity_g)
    by_shares = base[0].key == "share_percent"
    masses = [_mass(amount, chocolate, whole, cavity_g) for amount in typed]
    if by_shares:
        masses = [mass * BATCH_OF_SHARES_G / whole for mass in masses]
    return Amounts(tuple(float(mass) for mass in masses), by_shares, remarks)


def _check_base(base: Sequence[TypedAmount], typed: Sequence[TypedAmount], path: str) -> tuple[str, ...]:
    if not base:
        raise InputError("There is no chocolate in it", advice="Add the parts of the mass.", field=path)
    odd = next((amount for amount in base if amount.key != base[0].key), None)
    if odd is not None:
        advice = f"Write {base[0].key} for every part, or {odd.key} for every part."
        raise InputError("Shares and masses are mixed", advice=advice, field=odd.path)
    _check_no_second_whole(base, typed)
    return _off_hundred(base, path) if base[0].key == "share_percent" else ()


def _check_no_second_whole(base: Sequence[TypedAmount], typed: Sequence[TypedAmount]) -> None:
    """Shares are of the chocolate alone as soon as an inclusion is counted on the chocolate or the bar."""
    if len(base) == len(typed) or base[0].key != "share_percent":
        return
    for amount in base:
        if amount.stage not in MACHINE_STAGES:
            raise InputError(
                "Inclusions are typed as a share of everything and in another way too",
                advice=f"Write {' or '.join(INCLUSION_WAYS)} here too; other shares are then of chocolate.",
                field=amount.path,
            )


def _off_hundred(shares: Sequence[TypedAmount], path: str) -> tuple[str, ...]:
    total = sum((share.number for share in shares), Decimal(0))
    slack = sum((_half_a_digit(share.number) for share in shares), Decimal(0))
    if abs(total - HUNDRED) > slack:
        raise InputError(
            "The shares do not come to 100 %",
            value=f"{total.normalize():f} %",
            limit=f"100 ± {slack.normalize():f} % by the digits typed",
            advice="Correct them, or write masses.",
            field=path,
        )
    if total == HUNDRED:
        return ()
    return (f"The shares come to {total.normalize():f} %; read as rounded, and used as parts of that sum.",)


def _half_a_digit(number: Decimal) -> Decimal:
    """Return half a unit of the last digit typed; whole numbers are exact to one half at most."""
    exponent = number.as_tuple().exponent
    return Decimal(5).scaleb(min(exponent, 0) - 1) if isinstance(exponent, int) else Decimal(0)


def _whole(typed: Sequence[TypedAmount], chocolate: Decimal, cavity_g: Decimal | None) -> Decimal:
    per_chocolate = sum((amount.number for amount in typed if amount.key == PER_CHOCOLATE), Decimal(0))
    in_bar = sum((_bar_share(amount, cavity_g) for amount in typed if amount.key == PER_BAR), Decimal(0))
    if in_bar >= 1:
        path = next(amount.path for amount in typed if amount.key == PER_BAR)
        raise InputError("What goes on a bar weighs as much as the bar", limit=f"{cavity_g} g", field=path)
    return chocolate * (1 + per_chocolate / HUNDRED) / (1 - in_bar)


def _bar_share(amount: TypedAmount, cavity_g: Decimal | None) -> Decimal:
    if cavity_g is None:
        advice = 'Write mould = "70 g" under [workshop], or give --mould.'
        raise InputError("The weight of a bar is not known", advice=advice, field=amount.path)
    return amount.number / cavity_g


def _mass(amount: TypedAmount, chocolate: Decimal, whole: Decimal, cavity_g: Decimal | None) -> Decimal:
    if amount.key == PER_CHOCOLATE:
        return chocolate * amount.number / HUNDRED
    if amount.key == PER_BAR:
        return whole * _bar_share(amount, cavity_g)
    return amount.number
