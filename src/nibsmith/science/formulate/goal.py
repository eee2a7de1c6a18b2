"""What a balance aims at, and the limits every maker uses: shares, masses, cost."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import lru_cache
from types import MappingProxyType

from nibsmith.science.errors import InputError, UnknownPrice
from nibsmith.science.formulate.outcome import ComingOut
from nibsmith.science.mixture import Limit, Recipe


class Objective(StrEnum):
    """What a balance makes smallest."""

    LEAST_CHANGE = "least_change"
    CHEAPEST = "cheapest"


@dataclass(frozen=True)
class Goal:
    """What a balance aims at.

    ``total_g`` is the total to come to [g]; ``None`` keeps that of the recipe, unless ``free_total``.
    ``floor_g`` is what cannot be taken out again, by part label [g].
    """

    objective: Objective = Objective.LEAST_CHANGE
    total_g: float | None = None
    free_total: bool = False
    floor_g: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))

    def __post_init__(self) -> None:
        if self.total_g is not None and not 0 < self.total_g < math.inf:
            raise InputError(
                "The total is not a weight", value=self.total_g, limit="more than 0 g", field="total"
            )
        if self.free_total and self.objective is Objective.CHEAPEST:
            raise InputError(
                "The cheapest batch of any size is none at all",
                advice="Keep the total or give one, or ask for the least change.",
                field="total",
            )


KEEP = Goal()


def whole_row(recipe: Recipe) -> Mapping[str, float]:
    """Return the row of everything weighed: one for every part.

    Parameters
    ----------
    recipe : Recipe
        The recipe.

    Returns
    -------
    Mapping[str, float]
        Part label to 1 [g/g].

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> dict(whole_row(Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0),))))
    {'cocoa_mass': 1.0}
    """
    return _ones(tuple(part.label for part in recipe.parts))


@lru_cache(maxsize=64)
def _ones(labels: tuple[str, ...]) -> Mapping[str, float]:
    """One row for all limits of a recipe: the solver sees by its identity that it is everything."""
    return MappingProxyType(dict.fromkeys(labels, 1.0))


def share_limit(
    recipe: Recipe,
    label: str,
    *,
    low: float | None = None,
    high: float | None = None,
    reason: str = "your limit",
) -> Limit:
    """Return a limit on the share of one part in everything weighed.

    ``low <= m_i / sum m <= high``.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    label : str
        The part.
    low, high : float, optional
        Bounds [0 to 1]; the same for both locks the share.
    reason : str
        Why, in words.

    Returns
    -------
    Limit
        The limit, linear in the masses.

    Raises
    ------
    InputError
        If no part has the label.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> limit = share_limit(bar, "sugar_granulated", high=0.25)
    >>> round(limit.gap({"cocoa_mass": 70.0, "sugar_granulated": 30.0}), 2)
    0.05
    """
    name = f"the share of {_called(recipe, label)}"
    return Limit(name, reason, {label: 1.0}, whole_row(recipe), low, high, basis="as_weighed")


def _called(recipe: Recipe, label: str) -> str:
    """The name of a part; its label where another part has the same name."""
    name = recipe.part(label).name
    return name if sum(part.name == name for part in recipe.parts) == 1 else label


def lock(recipe: Recipe, label: str, reason: str = "you locked it") -> Limit:
    """Return a limit that holds the share of one part where it is.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    label : str
        The part.
    reason : str
        Why, in words.

    Returns
    -------
    Limit
        Both ends at the share it has now.

    Raises
    ------
    InputError
        If no part has the label.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> lock(bar, "cocoa_mass").low
    0.7
    """
    share = recipe.share(label)
    return share_limit(recipe, label, low=share, high=share, reason=reason)


def mass_limit(
    recipe: Recipe,
    label: str,
    *,
    low: float | None = None,
    high: float | None = None,
    reason: str = "your limit",
) -> Limit:
    """Return a limit on the weight of one part.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    label : str
        The part.
    low, high : float, optional
        Bounds [g].
    reason : str
        Why, in words.

    Returns
    -------
    Limit
        The limit on this weight [g].

    Raises
    ------
    InputError
        If no part has the label.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> mass_limit(bar, "cocoa_mass", high=50.0).gap({"cocoa_mass": 70.0})
    20.0
    """
    return Limit(f"the weight of {_called(recipe, label)}", reason, {label: 1.0}, None, low, high)


def total_limit(
    recipe: Recipe,
    *,
    low: float | None = None,
    high: float | None = None,
    only_machine: bool = False,
    reason: str = "your limit",
) -> Limit:
    """Return a limit on everything weighed, or on what goes into the machine.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    low, high : float, optional
        Bounds [g].
    only_machine : bool
        Whether only what is ground together counts.
    reason : str
        Why, in words.

    Returns
    -------
    Limit
        The limit on this sum [g].

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("almond", 30.0)))
    >>> total_limit(bar, high=60.0, only_machine=True).gap({"cocoa_mass": 70.0, "almond": 30.0})
    10.0
    """
    row = {part.label: 1.0 for part in recipe.parts if part.in_machine or not only_machine}
    return Limit("the charge of the machine" if only_machine else "the total", reason, row, None, low, high)


def prices(recipe: Recipe) -> Mapping[str, float]:
    """Return the prices of the parts.

    Parameters
    ----------
    recipe : Recipe
        The recipe.

    Returns
    -------
    Mapping[str, float]
        Part label to price [currency/kg].

    Raises
    ------
    UnknownPrice
        If a part has no price.
    InputError
        If a price is negative.

    Examples
    --------
    >>> from decimal import Decimal
    >>> from nibsmith.science.mixture import Form, part
    >>> prices(Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0, price_per_kg=Decimal("12.5")),)))
    {'cocoa_mass': 12.5}
    """
    missing = list(dict.fromkeys(part.name for part in recipe.parts if part.price_per_kg is None))
    if missing:
        raise UnknownPrice("the cost", missing)
    found = {part.label: float(part.price_per_kg or 0) for part in recipe.parts}
    for label, price in found.items():
        if not 0 <= price < math.inf:
            raise InputError("A price cannot be negative", value=price, limit="0 or more", field=label)
    return found


def cost_limit(
    recipe: Recipe,
    *,
    low: float | None = None,
    high: float | None = None,
    currency: str = "",
    reason: str = "your limit",
    out: ComingOut | None = None,
) -> Limit:
    """Return a limit on what a kilogram of everything weighed costs, or of what comes out of a machine.

    ``low <= sum p_i m_i / (sum c_i m_i - R) <= high``, with c_i one and R nought for everything weighed.

    Parameters
    ----------
    recipe : Recipe
        A recipe whose parts all have prices.
    low, high : float, optional
        Bounds [currency/kg].
    currency : str
        For the words only.
    reason : str
        Why, in words.
    out : ComingOut, optional
        What comes out of a machine, as ``coming_out`` has it; everything weighed where it is not given.

    Returns
    -------
    Limit
        The limit, linear in the masses.

    Raises
    ------
    UnknownPrice
        If a part has no price.

    Examples
    --------
    >>> from decimal import Decimal
    >>> from nibsmith.science.mixture import Form, part
    >>> mass = part("cocoa_mass", 70.0, price_per_kg=Decimal(12))
    >>> sugar = part("sugar_granulated", 30.0, price_per_kg=Decimal(2))
    >>> limit = cost_limit(Recipe("bar", Form.BAR, (mass, sugar)), high=8.0)
    >>> limit.gap({"cocoa_mass": 70.0, "sugar_granulated": 30.0})
    1.0
    """
    unit = f"{currency}/kg" if currency else "per kg"
    what, basis = ("what is weighed", "as_weighed") if out is None else ("what comes out", "product")
    return Limit(
        name=f"the cost of {what}",
        reason=reason,
        numerator=prices(recipe),
        denominator=whole_row(recipe) if out is None else out.row,
        low=low,
        high=high,
        unit=unit,
        basis=basis,
        less_g=0.0 if out is None else out.stays_g,
    )


def strange_labels(limit: Limit, labels: Iterable[str]) -> InputError:
    """Return the refusal of a limit that speaks of parts the recipe has not.

    Parameters
    ----------
    limit : Limit
        The limit.
    labels : iterable of str
        The labels there are.

    Returns
    -------
    InputError
        With the labels that are not there.

    Examples
    --------
    >>> strange_labels(Limit("sugar", "yours", {"sugar": 1.0}), []).value
    'sugar'
    """
    strange = sorted((limit.numerator.keys() | (limit.denominator or {}).keys()) - set(labels))
    return InputError(
        f"The limit on {limit.name} speaks of parts that are not in the recipe",
        value=", ".join(strange),
        advice="Build it on the recipe it is for, with what may come in as parts of 0 g.",
    )
