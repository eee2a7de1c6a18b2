"""Amounts as the scale shows them: multiples of its resolution that keep the sum; doses it cannot weigh."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import cast

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Kind, Limit, Recipe
from nibsmith.science.tables import load, load_data

# a limit missed by less than this on weighed amounts is kept: only binary arithmetic is that far off
_KEPT = 1e-12
FINEST_G = Decimal("1e-9")  # no scale is finer


@dataclass(frozen=True)
class Rounded:
    """Amounts on a scale: ``step_g`` its resolution, ``masses_g`` multiples of it [g]."""

    step_g: Decimal
    masses_g: Mapping[str, Decimal]

    @property
    def total_g(self) -> Decimal:
        """Sum of the rounded amounts [g]."""
        return sum(self.masses_g.values(), Decimal(0))

    @property
    def floats_g(self) -> Mapping[str, float]:
        """The same amounts as floats [g]."""
        return {label: float(mass) for label, mass in self.masses_g.items()}


def round_to_scale(masses_g: Mapping[str, float | Decimal], step_g: Decimal) -> Rounded:
    """Return amounts as multiples of a scale's resolution whose sum is the rounded total.

    Every amount is cut to a multiple; the steps still missing to the total, rounded half up, go to the
    largest remainders, the earlier part first where two are equal.

    Parameters
    ----------
    masses_g : Mapping[str, float or Decimal]
        Part label to exact amount [g].
    step_g : Decimal
        Resolution of the scale [g].

    Returns
    -------
    Rounded
        Each amount within one step of exact, none moved where it is a multiple already [g].

    Raises
    ------
    InputError
        If the resolution is not above zero, or an amount is not a weight.

    Examples
    --------
    >>> rounded = round_to_scale({"a": 33.4, "b": 33.4, "c": 33.2}, Decimal(1))
    >>> [int(mass) for mass in rounded.masses_g.values()]
    [34, 33, 33]
    """
    if not step_g.is_finite() or step_g <= 0:
        raise InputError(
            "The scale needs a resolution",
            value=step_g,
            limit="more than 0 g",
            advice="Type 1 or 0.1.",
            field="scale",
        )
    steps = {label: _exact(mass, label) / Fraction(step_g) for label, mass in masses_g.items()}
    counts = {label: math.floor(number) for label, number in steps.items()}
    missing = math.floor(sum(steps.values()) + Fraction(1, 2)) - sum(counts.values())
    behind = sorted(steps, key=lambda label: counts[label] - steps[label])
    for label in behind[:missing]:
        counts[label] += 1
    return Rounded(step_g, {label: count * step_g for label, count in counts.items()})


def _exact(mass: float | Decimal, label: str) -> Fraction:
    """The number as a person reads it: 0.1 is a tenth, not the nearest binary fraction."""
    if not 0 <= mass < math.inf:
        raise InputError("This is not a weight", value=mass, limit="0 g or more", field=label)
    return Fraction(repr(mass)) if isinstance(mass, float) else Fraction(mass)


def broken_limits(limits: Iterable[Limit], rounded: Rounded) -> tuple[Limit, ...]:
    """Return the limits that rounded amounts do not keep.

    A limit whose ends are one (a lock, a target) is met to within one step of the scale on every part; any
    other is kept as it stands, strict ones by their strict step.

    Parameters
    ----------
    limits : iterable of Limit
        The limits.
    rounded : Rounded
        Amounts on the scale [g].

    Returns
    -------
    tuple of Limit
        Those broken, in their order.

    Examples
    --------
    >>> limit = Limit("sugar", "yours", {"s": 1.0}, {"s": 1.0, "c": 1.0}, high=0.3)
    >>> [broken.name for broken in broken_limits([limit], round_to_scale({"s": 30.4, "c": 71.0}, Decimal(1)))]
    []
    """
    masses_g = rounded.floats_g
    return tuple(
        limit
        for limit in limits
        if limit.gap(masses_g) > (_reach(limit, rounded) if _is_target(limit) else _KEPT)
    )


def _is_target(limit: Limit) -> bool:
    return limit.low is not None and limit.low == limit.high


def _reach(limit: Limit, rounded: Rounded) -> float:
    """By how much the value of a limit can move while every amount moves by up to one step."""
    step_g = float(rounded.step_g)
    value = limit.value(rounded.floats_g)
    if limit.denominator is None:
        return step_g * sum(abs(number) for number in limit.numerator.values())
    bottom = sum(limit.denominator.get(label, 0.0) * mass for label, mass in rounded.floats_g.items())
    bottom -= limit.less_g
    labels = limit.numerator.keys() | limit.denominator.keys()
    moves = (
        abs(limit.numerator.get(label, 0.0) - value * limit.denominator.get(label, 0.0)) for label in labels
    )
    return step_g * sum(moves) / bottom if bottom > 0 else 0.0


def with_margin(limit: Limit, rounded: Rounded, fraction: float) -> Limit:
    """Return a limit drawn in by a fraction of what rounding can move its value.

    ``d = step · sum |a_i - v b_i| / sum b_i m_i``; a target is returned as it is.

    Parameters
    ----------
    limit : Limit
        The limit.
    rounded : Rounded
        Amounts on the scale [g].
    fraction : float
        Share of the largest move [0 to 1].

    Returns
    -------
    Limit
        The same limit, tighter; the middle of it where the margin would turn it inside out.

    Examples
    --------
    >>> limit = Limit("sugar", "yours", {"s": 1.0}, None, high=30.0)
    >>> with_margin(limit, round_to_scale({"s": 30.0}, Decimal(1)), 1.0).high
    29.0
    """
    if _is_target(limit):
        return limit
    margin = _reach(limit, rounded) * fraction
    low = None if limit.low is None else limit.low + margin
    high = None if limit.high is None else limit.high - margin
    if low is not None and high is not None and low > high:
        low = high = (low + high) / 2
    return replace(limit, low=low, high=high)


@dataclass(frozen=True)
class Premix:
    """A dose weighed as part of a mixture made beforehand.

    Mix ``dose_g`` of the part with ``carrier_g`` of the carrier, then take ``take_g`` of it; ``carried_g``
    of the carrier comes along and is left out of its own weight [g]. ``error_percent`` is both weighings
    together.
    """

    carrier: str
    dose_g: Decimal
    carrier_g: Decimal
    take_g: Decimal
    carried_g: float
    error_percent: float


@dataclass(frozen=True)
class SmallDose:
    """A dose the scale cannot weigh closely enough.

    ``error_percent`` is half a step over the dose; ``finer_g`` the resolution that would do, down to a
    nanogram [g]; ``premix`` a way to weigh it in something, where the recipe has enough of that.
    """

    label: str
    mass_g: float
    step_g: Decimal
    error_percent: float
    finer_g: Decimal
    premix: Premix | None


def small_doses(recipe: Recipe, step_g: Decimal) -> tuple[SmallDose, ...]:
    """Return the parts of a recipe whose dose the scale cannot weigh to within the usual error.

    ``error = step / 2 / dose``; more than 10 % is too much.

    Parameters
    ----------
    recipe : Recipe
        What is to be weighed [g].
    step_g : Decimal
        Resolution of the scale [g].

    Returns
    -------
    tuple of SmallDose
        In the order of the recipe; parts with no weight are no dose.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> parts = (part("cocoa_butter", 498.5), part("lecithin_soy", 1.5))
    >>> dose = small_doses(Recipe("base", Form.BAR, parts), Decimal(1))[0]
    >>> round(dose.error_percent), dose.finer_g
    (33, Decimal('0.1'))

    References
    ----------
    [bench-judgement]
    """
    most = load("formulate")["dose_error"].value
    doses = ((part.label, part.mass_g) for part in recipe.parts if part.mass_g > 0)
    return tuple(
        _small_dose(recipe, label, mass_g, step_g)
        for label, mass_g in doses
        if float(step_g) * 100 / 2 / mass_g > most
    )


def _small_dose(recipe: Recipe, label: str, mass_g: float, step_g: Decimal) -> SmallDose:
    most = load("formulate")["dose_error"].value
    finer = step_g
    while finer > FINEST_G and float(finer) * 100 / 2 / mass_g > most:
        finer = _next_finer(finer)
    return SmallDose(
        label, mass_g, step_g, float(step_g) * 100 / 2 / mass_g, finer, _premix(recipe, label, mass_g, step_g)
    )


def _next_finer(step_g: Decimal) -> Decimal:
    """The next resolution of common scales: 1, 0.1, 0.01 g and so on."""
    exponent = step_g.normalize().as_tuple().exponent
    power = Decimal(1).scaleb(int(exponent))
    return power if power < step_g else power / 10


def _premix(recipe: Recipe, label: str, mass_g: float, step_g: Decimal) -> Premix | None:
    """The strongest premix from which the dose comes out well weighed, with its carrier in this recipe."""
    carrier = _carrier(recipe, label)
    if carrier is None:
        return None
    least_g = load("formulate")["premix_steps"].decimal * step_g
    for strength in _strengths():
        take_g = _to_step(Decimal(repr(mass_g)) / strength, step_g)
        carried_g = float(take_g) - mass_g
        if take_g >= least_g and carried_g <= recipe.part(carrier).mass_g:
            dose_g = _to_step(max(least_g, take_g * strength), step_g)
            carrier_g = _to_step(dose_g / strength - dose_g, step_g)
            return Premix(
                carrier, dose_g, carrier_g, take_g, carried_g, _premix_error(step_g, dose_g, take_g)
            )
    return None


def _premix_error(step_g: Decimal, *weighed_g: Decimal) -> float:
    return float(sum((step_g / 2 / mass_g for mass_g in weighed_g), Decimal(0)) * 100)


def _strengths() -> Sequence[Decimal]:
    """Shares of the dose in a premix, strongest first."""
    one_in = cast("Sequence[int]", load_data("bench")["premix_one_in"])
    return tuple(1 / Decimal(parts) for parts in one_in)


def _to_step(mass: Decimal, step_g: Decimal) -> Decimal:
    return (mass / step_g).quantize(Decimal(1), rounding=ROUND_HALF_UP) * step_g


def _carrier(recipe: Recipe, label: str) -> str | None:
    kinds = cast("Mapping[str, str]", load_data("bench")["premix_carrier"])
    kind = Kind(kinds.get(recipe.part(label).kind, kinds["other"]))
    carriers = [
        part for part in recipe.parts if part.kind is kind and part.label != label and part.in_machine
    ]
    return max(carriers, key=lambda part: part.mass_g).label if carriers else None
