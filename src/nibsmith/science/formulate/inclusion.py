"""An inclusion said three ways: % of everything, g per 100 g of chocolate, g per bar."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Recipe

Exact = int | Decimal | Fraction


class InclusionUnit(StrEnum):
    """What an inclusion is typed as."""

    PERCENT = "percent_of_everything"
    PER_100_G = "g_per_100_g_chocolate"
    PER_BAR = "g_per_bar"


@dataclass(frozen=True)
class InclusionEntry:
    """One inclusion as typed: a value in its unit [%, g/100 g or g]."""

    value: Exact
    unit: InclusionUnit


@dataclass(frozen=True)
class InclusionShare:
    """One inclusion, exactly.

    ``share`` is its share of everything weighed, ``chocolate`` the share of the ground part (what is not
    folded in, on the back or inside), both 0 to 1; ``bar_g`` the mass of a bar [g], ``None`` where no mould
    is chosen.
    """

    share: Fraction
    chocolate: Fraction
    bar_g: Fraction | None = None

    @property
    def percent_of_everything(self) -> Fraction:
        """Share of everything [%]."""
        return self.share * 100

    @property
    def g_per_100_g_chocolate(self) -> Fraction:
        """Grams to 100 g of chocolate [g/100 g]."""
        return self.share / self.chocolate * 100

    @property
    def g_per_bar(self) -> Fraction | None:
        """Grams in one bar [g]."""
        return None if self.bar_g is None else self.share * self.bar_g

    def typed_as(self, unit: InclusionUnit) -> Fraction:
        """Return the value in a unit; refuses g per bar where no bar is chosen."""
        if unit is InclusionUnit.PERCENT:
            return self.percent_of_everything
        if unit is InclusionUnit.PER_100_G:
            return self.g_per_100_g_chocolate
        return self.share * _bar(self.bar_g)


def inclusion_shares(
    entries: Mapping[str, InclusionEntry], bar_g: Exact | None = None
) -> Mapping[str, InclusionShare]:
    """Return inclusions typed in any of the three ways as exact shares.

    With P the sum of shares typed as percent or per bar and Q the sum typed per gram of chocolate:
    ``chocolate = (1 - P) / (1 + Q)``.

    Parameters
    ----------
    entries : Mapping[str, InclusionEntry]
        Part label to what was typed [%, g/100 g or g].
    bar_g : int, Decimal or Fraction, optional
        Mass of one bar with everything in it [g].

    Returns
    -------
    Mapping[str, InclusionShare]
        Part label to share; ask it for any of the three.

    Raises
    ------
    InputError
        If a value is negative or not a number, a bar is needed and not given, or no chocolate would be left.

    Examples
    --------
    >>> shares = inclusion_shares({"almond": InclusionEntry(25, InclusionUnit.PER_100_G)}, 50)
    >>> shares["almond"].percent_of_everything, shares["almond"].g_per_bar
    (Fraction(20, 1), Fraction(10, 1))
    """
    bar = None if bar_g is None else _number(bar_g, "bar_g")
    of_all = {label: _of_all(label, entry, bar) for label, entry in entries.items()}
    per_chocolate = {label: _per_chocolate(label, entry) for label, entry in entries.items()}
    chocolate = (1 - sum(of_all.values(), Fraction(0))) / (1 + sum(per_chocolate.values(), Fraction(0)))
    if chocolate <= 0:
        raise InputError(
            "The inclusions leave no chocolate",
            value=f"{float((1 - chocolate) * 100):g} % inclusions",
            limit="under 100 %",
            advice="Type smaller shares.",
            field=next(iter(entries)),
        )
    return {
        label: InclusionShare(of_all[label] + per_chocolate[label] * chocolate, chocolate, bar)
        for label in entries
    }


def inclusions_of(recipe: Recipe, bar_g: Exact | None = None) -> Mapping[str, InclusionShare]:
    """Return the inclusions of a recipe, each in all three ways.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    bar_g : int, Decimal or Fraction, optional
        Mass of one bar with everything in it [g].

    Returns
    -------
    Mapping[str, InclusionShare]
        Label to share, for the parts that do not go into the machine.

    Raises
    ------
    InputError
        If nothing in the recipe is ground.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 80.0), part("almond", 20.0)))
    >>> inclusions_of(bar)["almond"].g_per_100_g_chocolate
    Fraction(25, 1)
    """
    masses = {part.label: Fraction(repr(part.mass_g)) for part in recipe.parts}
    total = sum(masses.values(), Fraction(0))
    chocolate = sum((masses[part.label] for part in recipe.parts if part.in_machine), Fraction(0)) / total
    if not chocolate:
        raise InputError(
            "Nothing in this recipe is ground", advice="Give at least one part an earlier stage."
        )
    bar = None if bar_g is None else _number(bar_g, "bar_g")
    return {
        part.label: InclusionShare(masses[part.label] / total, chocolate, bar)
        for part in recipe.parts
        if not part.in_machine
    }


def with_inclusions(
    recipe: Recipe, entries: Mapping[str, InclusionEntry], bar_g: Exact | None = None
) -> Recipe:
    """Return the recipe with its inclusions at what was typed, its ground part unchanged in grams.

    ``m_i = C · share_i / chocolate``, with C the ground part as weighed. Inclusions not named keep their
    grams to 100 g of chocolate.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    entries : Mapping[str, InclusionEntry]
        Part label to what was typed [%, g/100 g or g].
    bar_g : int, Decimal or Fraction, optional
        Mass of one bar with everything in it [g].

    Returns
    -------
    Recipe
        With new masses of what is folded in, on the back or inside [g].

    Raises
    ------
    InputError
        If a label is not an inclusion of the recipe, or the entries cannot be.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 80.0), part("almond", 5.0)))
    >>> with_inclusions(bar, {"almond": InclusionEntry(20, InclusionUnit.PERCENT)}).part("almond").mass_g
    20.0
    """
    for label in entries:
        if recipe.part(label).in_machine:
            raise InputError(
                f"{recipe.part(label).name} is ground into the mass, so it is no inclusion",
                advice="Give it a later stage, or type its share.",
                field=label,
            )
    kept = {
        label: InclusionEntry(old.g_per_100_g_chocolate, InclusionUnit.PER_100_G)
        for label, old in inclusions_of(recipe).items()
    }
    shares = inclusion_shares({**kept, **entries}, bar_g)
    ground_g = sum((Fraction(repr(part.mass_g)) for part in recipe.parts if part.in_machine), Fraction(0))
    return recipe.weighing(
        {label: float(ground_g * new.share / new.chocolate) for label, new in shares.items()}
    )


def _of_all(label: str, entry: InclusionEntry, bar: Fraction | None) -> Fraction:
    value = _number(entry.value, label)
    if entry.unit is InclusionUnit.PERCENT:
        return value / 100
    return value / _bar(bar) if entry.unit is InclusionUnit.PER_BAR else Fraction(0)


def _per_chocolate(label: str, entry: InclusionEntry) -> Fraction:
    return _number(entry.value, label) / 100 if entry.unit is InclusionUnit.PER_100_G else Fraction(0)


def _number(value: Exact, field: str) -> Fraction:
    if isinstance(value, Decimal) and not value.is_finite():
        raise InputError("This is not a number", value=value, field=field)
    if value < 0:
        raise InputError("An inclusion cannot be negative", value=value, limit="0 or more", field=field)
    return Fraction(value)


def _bar(bar: Fraction | None) -> Fraction:
    if not bar:
        raise InputError(
            "Grams per bar need the mass of a bar",
            advice="Choose a mould, or type the inclusion in another way.",
            field="bar_g",
        )
    return bar
