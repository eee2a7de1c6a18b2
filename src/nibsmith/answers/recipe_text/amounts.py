"""The amounts of a recipe's parts: all as shares, or all as masses, and inclusions in one of three ways."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from nibsmith.answers.leaving import leaving_of
from nibsmith.answers.recipe_text.fields import Fields
from nibsmith.answers.recipe_text.words import AMOUNT_KEYS, REST_WORDS
from nibsmith.science.errors import InputError
from nibsmith.science.formulate import (
    REST,
    InclusionEntry,
    InclusionUnit,
    Rest,
    from_shares,
    with_inclusions,
)
from nibsmith.science.mixture import MACHINE_STAGES, Recipe, Stage
from nibsmith.science.quantities import DecimalSign

BATCH_OF_SHARES_G = 1000.0
"""The total that a recipe of shares alone is read at [g]."""

SHARE = "share_percent"
INCLUSION_WAYS: Mapping[str, InclusionUnit] = {
    "g_per_100g_chocolate": InclusionUnit.PER_100_G,
    "g_per_bar": InclusionUnit.PER_BAR,
}
MOST_PERCENT = Decimal(100)
MOST_GRAMS = Decimal(10_000)  # of an inclusion to 100 g or to a bar; more is a slip


@dataclass(frozen=True)
class TypedAmount:
    """The amount of one part as typed: which key, and the number [%, or g]."""

    key: str
    number: Decimal | Rest
    path: str
    stage: Stage

    @property
    def fixed(self) -> Decimal:
        """The number, zero for the rest."""
        return Decimal(0) if isinstance(self.number, Rest) else self.number


def read_amount(part: Fields, stage: Stage, decimal_sign: DecimalSign | None) -> TypedAmount:
    """Return how much of a part there is, typed in exactly one way."""
    given = part.given(AMOUNT_KEYS)
    if len(given) != 1:
        what = "This part has no amount" if not given else f"This part has {len(given)} amounts"
        advice = "Write share_percent or mass, one of them."
        raise InputError(what, value=", ".join(given) or None, advice=advice, field=part.path)
    key = given[0]
    amount = TypedAmount(key, _number(part, key, decimal_sign), part.at(key), stage)
    if key in INCLUSION_WAYS and stage in MACHINE_STAGES:
        advice = "Give the part the stage folded_in, on_back or filling, or write its share_percent."
        raise InputError(f"{key} is for what is not ground into the mass", advice=advice, field=amount.path)
    return amount


def _number(part: Fields, key: str, decimal_sign: DecimalSign | None) -> Decimal | Rest:
    if key == "mass":
        number = part.mass(key, decimal_sign)
    elif key == SHARE and part.raw(key) in REST_WORDS:
        return REST
    else:
        number = part.number(key, high=MOST_PERCENT if key == SHARE else MOST_GRAMS)
    return number or Decimal(0)


@dataclass(frozen=True)
class Weighed:
    """A recipe at its masses, whether they were typed as shares, and what there is to say about them."""

    recipe: Recipe
    by_shares: bool
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Made:
    """What inclusions are counted on: the mass of a bar [g], and the water left in the finished mass [%]."""

    cavity_g: Decimal | None = None
    end_water_percent: float | None = None


def weigh(unweighed: Recipe, typed: Sequence[TypedAmount], made: Made, path: str) -> Weighed:
    """Return a recipe at the amounts typed.

    Parameters
    ----------
    unweighed : Recipe
        The recipe, its masses of no account.
    typed : sequence of TypedAmount
        One for each part.
    made : Made
        What is made of it, for inclusions typed per bar or to 100 g of chocolate.
    path : str
        Where the parts stand in the file.

    Returns
    -------
    Weighed
        Masses [g]; of shares alone they come to 1 kg.

    Raises
    ------
    InputError
        If shares and masses are mixed, shares miss 100 %, or everything is zero.
    """
    rows = {part.label: amount for part, amount in zip(unweighed.parts, typed, strict=True)}
    base = {label: amount for label, amount in rows.items() if amount.key not in INCLUSION_WAYS}
    _check_base(list(base.values()), len(typed), path)
    masses_g, remarks = _base_masses(base, path)
    recipe = unweighed.weighing({**dict.fromkeys(rows, 0.0), **masses_g})
    if len(base) < len(rows):
        recipe = _with_inclusions(recipe, rows, made)
    by_shares = next(iter(base.values())).key == SHARE
    return Weighed(
        recipe.scaled(BATCH_OF_SHARES_G) if len(base) < len(rows) and by_shares else recipe,
        by_shares,
        remarks,
    )


def _check_base(base: Sequence[TypedAmount], parts: int, path: str) -> None:
    if not base:
        raise InputError("There is no chocolate in it", advice="Add the parts of the mass.", field=path)
    odd = next((amount for amount in base if amount.key != base[0].key), None)
    if odd is not None:
        advice = f"Write {base[0].key} for every part, or {odd.key} for every part."
        raise InputError("Shares and masses are mixed", advice=advice, field=odd.path)
    if len(base) < parts and base[0].key == SHARE:
        _check_one_whole(base)


def _check_one_whole(base: Sequence[TypedAmount]) -> None:
    """Shares are of the chocolate alone as soon as an inclusion is counted on the chocolate or the bar."""
    for amount in base:
        if amount.stage not in MACHINE_STAGES:
            ways = " or ".join(INCLUSION_WAYS)
            raise InputError(
                "Inclusions are typed as a share of everything and in another way too",
                advice=f"Write {ways} here too; other shares are then of chocolate.",
                field=amount.path,
            )


def _base_masses(base: Mapping[str, TypedAmount], path: str) -> tuple[Mapping[str, float], tuple[str, ...]]:
    if next(iter(base.values())).key != SHARE:
        masses_g = {label: float(amount.fixed) for label, amount in base.items()}
        if not any(masses_g.values()):
            raise InputError("Every amount is zero", advice="Give at least one part an amount.", field=path)
        return masses_g, ()
    try:
        shares = from_shares({label: amount.number for label, amount in base.items()})
    except InputError as error:
        error.field = base[error.field].path if error.field and error.field in base else path
        raise
    return shares.masses_g(BATCH_OF_SHARES_G), (shares.note,) if shares.note else ()


def _with_inclusions(recipe: Recipe, rows: Mapping[str, TypedAmount], made: Made) -> Recipe:
    entries = {
        label: InclusionEntry(amount.fixed, INCLUSION_WAYS[amount.key])
        for label, amount in rows.items()
        if amount.key in INCLUSION_WAYS
    }
    per_bar = next((amount for amount in rows.values() if amount.key == "g_per_bar"), None)
    if per_bar is not None and made.cavity_g is None:
        advice = 'Write mould = "70 g" under [workshop], or give --mould.'
        raise InputError("The weight of a bar is not known", advice=advice, field=per_bar.path)
    try:
        leaving = leaving_of(recipe, made.end_water_percent)
        return with_inclusions(recipe, entries, made.cavity_g, leaving)
    except InputError as error:
        error.field = rows[error.field].path if error.field and error.field in rows else error.field
        raise
