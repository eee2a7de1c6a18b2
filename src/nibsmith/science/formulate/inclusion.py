"""An inclusion said three ways: % of everything, g per 100 g of chocolate, g per bar."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
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

    ``share`` is its share of everything weighed, ``ground`` the share of the ground part as weighed (what is
    not folded in, on the back or inside), ``leaving`` the share of the ground part that leaves as water, all
    0 to 1; ``bar_g`` the mass of a bar [g], ``None`` where no mould is chosen.
    """

    share: Fraction
    ground: Fraction
    bar_g: Fraction | None = None
    leaving: Fraction = Fraction(0)

    @property
    def chocolate(self) -> Fraction:
        """Finished chocolate per gram weighed: the ground part less the water that leaves [g/g]."""
        return self.ground * (1 - self.leaving)

    @property
    def product(self) -> Fraction:
        """Finished product per gram weighed: everything less the water that leaves [g/g]."""
        return 1 - self.ground * self.leaving

    @property
    def percent_of_everything(self) -> Fraction:
        """Share of everything weighed [%]."""
        return self.share * 100

    @property
    def g_per_100_g_chocolate(self) -> Fraction:
        """Grams to 100 g of finished chocolate [g/100 g]."""
        return self.share / self.chocolate * 100

    @property
    def g_per_bar(self) -> Fraction | None:
        """Grams in one finished bar [g]."""
        return None if self.bar_g is None else self.share / self.product * self.bar_g

    def typed_as(self, unit: InclusionUnit) -> Fraction:
        """Return the value in a unit; refuses g per bar where no bar is chosen."""
        if unit is InclusionUnit.PERCENT:
            return self.percent_of_everything
        if unit is InclusionUnit.PER_100_G:
            return self.g_per_100_g_chocolate
        return self.share / self.product * _bar(self.bar_g)


def inclusion_shares(
    entries: Mapping[str, InclusionEntry], bar_g: Exact | None = None, leaving: Exact = 0
) -> Mapping[str, InclusionShare]:
    """Return inclusions typed in any of the three ways as exact shares.

    A bar and its chocolate are finished, so the water that leaves is in neither. With P the sum typed as
    percent, b the sum per gram of bar, Q the sum per gram of chocolate and e the share of the ground part C
    that leaves: ``C = 1 - P - b (1 - C e) - Q C (1 - e)``, so ``C = (1 - P - b) / (1 - b e + Q (1 - e))``.

    Parameters
    ----------
    entries : Mapping[str, InclusionEntry]
        Part label to what was typed [%, g/100 g or g].
    bar_g : int, Decimal or Fraction, optional
        Mass of one bar with everything in it [g].
    leaving : int, Decimal or Fraction
        Share of the ground part that leaves as water [0 to under 1].

    Returns
    -------
    Mapping[str, InclusionShare]
        Part label to share; ask it for any of the three.

    Raises
    ------
    InputError
        If a value is negative or not a number, a bar is needed and not given, no chocolate would be left, or
        all of it would leave.

    Examples
    --------
    >>> shares = inclusion_shares({"almond": InclusionEntry(25, InclusionUnit.PER_100_G)}, 50)
    >>> shares["almond"].percent_of_everything, shares["almond"].g_per_bar
    (Fraction(20, 1), Fraction(10, 1))
    """
    bar = None if bar_g is None else _number(bar_g, "bar_g")
    dried = _leaving(leaving)
    typed = {label: _per_gram(label, entry, bar) for label, entry in entries.items()}
    of_all, of_bar, of_chocolate = (
        sum((typed[label] for label, entry in entries.items() if entry.unit is unit), Fraction(0))
        for unit in (InclusionUnit.PERCENT, InclusionUnit.PER_BAR, InclusionUnit.PER_100_G)
    )
    left = 1 - of_all - of_bar
    if left <= 0:
        raise InputError(
            "The inclusions leave no chocolate",
            value=f"{float((1 - left) * 100):g} % inclusions",
            limit="under 100 %",
            advice="Type smaller shares.",
            field=next(iter(entries)),
        )
    ground = left / (1 - of_bar * dried + of_chocolate * (1 - dried))
    return {label: inclusion_beside(ground, entry, bar, dried) for label, entry in entries.items()}


def inclusion_beside(
    ground: Exact, entry: InclusionEntry, bar_g: Exact | None = None, leaving: Exact = 0
) -> InclusionShare:
    """Return one inclusion beside a ground part whose share is known.

    ``s = v``, ``s = v (1 - C e)`` or ``s = v C (1 - e)``, with v per gram of everything, of bar or of
    chocolate.

    Parameters
    ----------
    ground : int, Decimal or Fraction
        Share of the ground part in everything weighed, C [0 to 1].
    entry : InclusionEntry
        What was typed [%, g/100 g or g].
    bar_g : int, Decimal or Fraction, optional
        Mass of one bar with everything in it [g].
    leaving : int, Decimal or Fraction
        Share of the ground part that leaves as water, e [0 to under 1].

    Returns
    -------
    InclusionShare
        Ask it for any of the three.

    Raises
    ------
    InputError
        If a value is negative or not a number, or a bar is needed and not given.

    Examples
    --------
    >>> inclusion_beside(Fraction(8, 10), InclusionEntry(25, InclusionUnit.PER_100_G)).percent_of_everything
    Fraction(20, 1)
    """
    bar = None if bar_g is None else _number(bar_g, "bar_g")
    whole = InclusionShare(Fraction(1), _number(ground, "ground"), bar, _leaving(leaving))
    counted_on = {
        InclusionUnit.PERCENT: whole.share,
        InclusionUnit.PER_BAR: whole.product,
        InclusionUnit.PER_100_G: whole.chocolate,
    }
    return replace(whole, share=_per_gram("share", entry, bar) * counted_on[entry.unit])


def inclusions_of(
    recipe: Recipe, bar_g: Exact | None = None, leaving: Exact = 0
) -> Mapping[str, InclusionShare]:
    """Return the inclusions of a recipe, each in all three ways.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    bar_g : int, Decimal or Fraction, optional
        Mass of one bar with everything in it [g].
    leaving : int, Decimal or Fraction
        Share of the ground part that leaves as water [0 to under 1].

    Returns
    -------
    Mapping[str, InclusionShare]
        Label to share, for the parts that do not go into the machine.

    Raises
    ------
    InputError
        If nothing in the recipe is ground, or all of it would leave.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 80.0), part("almond", 20.0)))
    >>> inclusions_of(bar)["almond"].g_per_100_g_chocolate
    Fraction(25, 1)
    """
    masses = {part.label: Fraction(repr(part.mass_g)) for part in recipe.parts}
    total = sum(masses.values(), Fraction(0))
    ground = sum((masses[part.label] for part in recipe.parts if part.in_machine), Fraction(0)) / total
    if not ground:
        raise InputError(
            "Nothing in this recipe is ground", advice="Give at least one part an earlier stage."
        )
    bar = None if bar_g is None else _number(bar_g, "bar_g")
    dried = _leaving(leaving)
    return {
        part.label: InclusionShare(masses[part.label] / total, ground, bar, dried)
        for part in recipe.parts
        if not part.in_machine
    }


def with_inclusions(
    recipe: Recipe, entries: Mapping[str, InclusionEntry], bar_g: Exact | None = None, leaving: Exact = 0
) -> Recipe:
    """Return the recipe with its inclusions at what was typed, its ground part unchanged in grams.

    ``m_i = m · share_i / C``, with m the ground part as weighed and C its share. Inclusions not named keep
    their grams to 100 g of chocolate.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    entries : Mapping[str, InclusionEntry]
        Part label to what was typed [%, g/100 g or g].
    bar_g : int, Decimal or Fraction, optional
        Mass of one bar with everything in it [g].
    leaving : int, Decimal or Fraction
        Share of the ground part that leaves as water [0 to under 1].

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
        for label, old in inclusions_of(recipe, leaving=leaving).items()
    }
    shares = inclusion_shares({**kept, **entries}, bar_g, leaving)
    ground_g = sum((Fraction(repr(part.mass_g)) for part in recipe.parts if part.in_machine), Fraction(0))
    return recipe.weighing({label: float(ground_g * new.share / new.ground) for label, new in shares.items()})


def _per_gram(label: str, entry: InclusionEntry, bar: Fraction | None) -> Fraction:
    """Return what was typed per gram of what it is counted on: everything, the bar or the chocolate."""
    value = _number(entry.value, label)
    return value / _bar(bar) if entry.unit is InclusionUnit.PER_BAR else value / 100


def _leaving(leaving: Exact) -> Fraction:
    dried = _number(leaving, "leaving")
    if dried >= 1:
        raise InputError(
            "No chocolate is left where all of it leaves as water", value=leaving, limit="under 1"
        )
    return dried


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
