"""What a mass needs of fat to run into a mould and to snap, as limits on its parts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Basis, Leaf, Limit, Recipe, Row, Span, brought_by
from nibsmith.science.tables import load
from nibsmith.science.temper.programs import Chocolate
from nibsmith.science.temper.softening import cocoa_butter_share_at

_RICHEST = 1.0  # a gram of anything holds at most a gram of fat


@dataclass(frozen=True)
class FatPhase:
    """Fat of a mass as charged.

    ``total_percent`` and ``cocoa_butter_percent`` are shares of the mass in the machine [%]; the three others
    are grams in the batch. ``unknown`` names parts whose fat is not given, ``unknown_percent`` of the
    mass: they count from nothing to their whole weight.
    """

    total_percent: Span
    cocoa_butter_percent: Span
    cocoa_butter_g: float
    milk_fat_g: float
    other_fat_g: Span
    unknown: tuple[str, ...]
    unknown_percent: float

    @property
    def cocoa_butter_share(self) -> float:
        """Share of cocoa butter in the known fat phase [0 to 1]."""
        fat_g = self.cocoa_butter_g + self.milk_fat_g + self.other_fat_g.value
        return self.cocoa_butter_g / fat_g if fat_g else 0.0


def fat_phase(recipe: Recipe) -> FatPhase:
    """Return the fat of what is ground together.

    Parameters
    ----------
    recipe : Recipe
        The recipe, nested recipes opened up; fold-ins do not count.

    Returns
    -------
    FatPhase
        Ranges from the low and high fat of the parts [% of the mass in the machine].

    Raises
    ------
    InputError
        If nothing goes into the machine.

    Notes
    -----
    A part whose fat is not known, such as a pinch of ground vanilla, brings between none and its whole
    weight.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("b", Form.BAR, (part("cocoa_butter", 30.0), part("sugar_granulated", 70.0)))
    >>> round(fat_phase(bar).total_percent.value, 1)
    30.0
    """
    leaves = [leaf for leaf in recipe.leaves() if leaf.in_machine and leaf.mass_g > 0]
    if not leaves:
        raise InputError("Nothing goes into the machine", advice="Give at least one part an earlier stage.")
    mass_g = sum(leaf.mass_g for leaf in leaves)
    total, butter = _amount(leaves, "total_fat"), _amount(leaves, "cocoa_butter")
    doubtful = [leaf for leaf in leaves if _brings(leaf, "total_fat") is None]
    return FatPhase(
        total_percent=total.times(100 / mass_g),
        cocoa_butter_percent=butter.times(100 / mass_g),
        cocoa_butter_g=butter.value,
        milk_fat_g=_amount(leaves, "milk_fat").value,
        other_fat_g=_amount(leaves, "other_fat"),
        unknown=tuple(dict.fromkeys(leaf.ingredient.name for leaf in doubtful)),
        unknown_percent=100 * sum(leaf.mass_g for leaf in doubtful) / mass_g,
    )


def fat_limit(recipe: Recipe, low_percent: float, end: str = "value") -> Limit:
    """Return the limit on the total fat of a mass.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    low_percent : float
        Least fat [% of the mass in the machine].
    end : str
        ``"value"``, or ``"low"`` to be sure of it whatever the lot of nibs.

    Returns
    -------
    Limit
        Linear in the masses of the parts [g].

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("b", Form.BAR, (part("cocoa_butter", 1.0), part("sugar_granulated", 9.0)))
    >>> round(fat_limit(bar, 28.0).gap({"cocoa_butter": 1.0, "sugar_granulated": 9.0}), 2)
    0.18

    References
    ----------
    [common-practice]
    """
    return _limit(recipe, "total_fat", low_percent / 100, end)


def cocoa_butter_limit(recipe: Recipe, chocolate: Chocolate, end: str = "value") -> Limit:
    """Return the limit on the cocoa butter of a mass: a quarter for dark, a fifth for milk and white.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    chocolate : Chocolate
        Dark, milk or white, for tempering.
    end : str
        ``"value"``, or ``"low"`` to be sure of it whatever the lot of nibs.

    Returns
    -------
    Limit
        Linear in the masses of the parts [g].

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("b", Form.BAR, (part("cocoa_butter", 1.0), part("sugar_granulated", 9.0)))
    >>> cocoa_butter_limit(bar, Chocolate.DARK).low
    0.25

    References
    ----------
    [common-practice]
    """
    return _limit(recipe, "cocoa_butter", load("temper")[cocoa_butter_key(chocolate)].value / 100, end)


def cocoa_butter_key(chocolate: Chocolate) -> str:
    """Return the row of the table with the least cocoa butter that a chocolate wants.

    Parameters
    ----------
    chocolate : Chocolate
        Dark, milk or white, for tempering.

    Returns
    -------
    str
        A key of the table of tempering [%].

    Examples
    --------
    >>> cocoa_butter_key(Chocolate.WHITE)
    'cocoa_butter_milk'
    """
    return "cocoa_butter_dark" if chocolate is Chocolate.DARK else "cocoa_butter_milk"


def purity_limit(recipe: Recipe, softest_k: float) -> Limit:
    """Return the limit on the share of cocoa butter in the fat phase, from the softening it may cost.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    softest_k : float
        Most lowering of the melting point [K].

    Returns
    -------
    Limit
        Linear in the masses of the parts [g].

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("b", Form.BAR, (part("cocoa_butter", 3.0), part("hazelnut_paste", 1.0)))
    >>> round(purity_limit(bar, 3.0).low, 3)
    0.634

    References
    ----------
    [wille-lutton-1966]
    """
    return Limit(
        name="cocoa butter in the fat",
        reason="other fats soften it",
        numerator=_row(recipe, "cocoa_butter", "value"),
        denominator=_row(recipe, "total_fat", "value"),
        low=cocoa_butter_share_at(softest_k),
    )


def _limit(recipe: Recipe, key: str, low: float, end: str) -> Limit:
    mass = _row(recipe, "mass", end)
    reason = "to run into a mould" if key == "total_fat" else "to snap"
    numerator = _row(recipe, key, end)
    return Limit(key.replace("_", " "), reason, numerator, mass, low=low, basis=Basis.MACHINE.value)


def _row(recipe: Recipe, key: str, end: str) -> Row:
    unit = recipe.weighing({part.label: 1.0 for part in recipe.parts})
    row = {part.label: 0.0 for part in recipe.parts}
    for leaf in unit.leaves():
        if leaf.in_machine:
            one = Span.exactly(1.0) if key == "mass" else _span(leaf, key)
            row[leaf.part.label] += leaf.mass_g * float(getattr(one, end))
    return row


def _amount(leaves: Iterable[Leaf], key: str) -> Span:
    total = Span.exactly(0.0)
    for leaf in leaves:
        total += _span(leaf, key).times(leaf.mass_g)
    return total


def _brings(leaf: Leaf, key: str) -> Span | None:
    return brought_by(leaf.ingredient, leaf.kind)[key]


def _span(leaf: Leaf, key: str) -> Span:
    return _brings(leaf, key) or Span(0.0, 0.0, _RICHEST)
