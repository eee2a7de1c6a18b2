"""Sums over a recipe under one law, and whether a bound holds for all, some or none of what varies."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from nibsmith.science.legal.amounts import NOTHING
from nibsmith.science.legal.drying import Drying, drying
from nibsmith.science.legal.figures import BASES, FIGURES, WEIGHTS, Count, in_basis
from nibsmith.science.legal.items import Item, items_of
from nibsmith.science.legal.laws import Bound, Law
from nibsmith.science.mixture import Leaf, Recipe, Span

# Sums of floats that should be equal differ by less, any weight is coarser, and the law has no rounding.
NOISE_TOLERANCE = 1e-10


@dataclass(frozen=True, slots=True)
class Ends:
    """A sum [g] with every fat at its lean end, usual, at its rich end; and with the mass driest and wettest.

    ``low`` and ``high`` are the ends at the usual end water, ``least`` and ``most`` at any. ``missing`` names
    ingredients that do not give the figure: they may hold any of it, from none to all; ``doubt`` is how much
    of them is a range [g].
    """

    lean: float
    usual: float
    rich: float
    driest: float
    wettest: float
    low: float
    high: float
    missing: tuple[str, ...] = ()
    doubt: float = 0.0

    @property
    def least(self) -> float:
        """The lowest it can be [g]."""
        return self.low + min(0.0, self.driest - self.usual, self.wettest - self.usual)

    @property
    def most(self) -> float:
        """The highest it can be [g]."""
        return self.high + max(0.0, self.driest - self.usual, self.wettest - self.usual)

    def less(self, factor: float, other: Ends) -> Ends:
        """Return this less a factor times the other, with the widest ends that can come of it."""
        return Ends(
            self.lean - factor * other.lean,
            self.usual - factor * other.usual,
            self.rich - factor * other.rich,
            self.driest - factor * other.driest,
            self.wettest - factor * other.wettest,
            self.low - factor * other.high,
            self.high - factor * other.low,
            tuple(dict.fromkeys(self.missing + other.missing)) if self.missing or other.missing else (),
        )

    def turned(self) -> Ends:
        """Return the sum with its sign changed."""
        ends = -self.lean, -self.usual, -self.rich, -self.driest, -self.wettest
        return Ends(*ends, -self.high, -self.low, self.missing)

    def narrowed(self, grams: float) -> Ends:
        """Return the sum with its lowest and highest this much closer."""
        return replace(self, low=self.low + grams, high=self.high - grams)


def total(items: Sequence[Item], counted: Count) -> Ends:
    """Sum what items count towards a figure."""
    lean = usual = rich = driest = wettest = low = high = doubt = 0.0
    missing: list[str] = []
    for item in items:
        amount = counted(item)
        if amount is NOTHING:
            continue
        mass_g = item.mass_g
        if amount is None or len(amount) == 2:
            least, most = (0.0, 1.0) if amount is None else amount
            missing.append(item.leaf.ingredient.name)
            low, high, doubt = low + least * mass_g, high + most * mass_g, doubt + (most - least) * mass_g
            continue
        first, middle, last, dry, wet = amount
        lean, usual, rich = lean + first * mass_g, usual + middle * mass_g, rich + last * mass_g
        driest, wettest = driest + dry * mass_g, wettest + wet * mass_g
        low, high = low + min(first, last) * mass_g, high + max(first, last) * mass_g
    return Ends(lean, usual, rich, driest, wettest, low, high, tuple(dict.fromkeys(missing)), doubt)


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a bound comes out: the slack it leaves [g], and what the figure and its basis are [g].

    ``always`` and ``ever`` say whether it holds for all and for any of what varies or is not known.
    """

    bound: Bound
    top: Ends
    bottom: Ends
    slack: Ends
    always: bool
    ever: bool

    @property
    def sometimes(self) -> bool:
        """Whether it holds for part of what varies."""
        return self.ever and not self.always

    @property
    def usually(self) -> bool:
        """Whether it holds at the usual value of what varies."""
        return holds(self.slack.usual, self.bottom.most, strict=self.bound.strict)


Held = tuple[Ends, Ends, Ends, bool, bool]
"""The figure, its basis, the slack [g], and whether a bound holds always and ever."""


def holds(slack_g: float, basis_g: float, *, strict: bool) -> bool:
    """Whether a slack keeps a bound: exactly on it is inside, unless the bound is strict."""
    noise_g = NOISE_TOLERANCE * basis_g
    return basis_g > 0 and (slack_g > noise_g if strict else slack_g >= -noise_g)


class Tally:
    """The sums of one recipe under laws that take off the same things."""

    def __init__(self, items: tuple[Item, ...], dries: Drying | None = None) -> None:
        self.items = items
        self.dries = dries
        self._held: dict[tuple[str, str, float, bool, bool], Held] = {}
        self._sums: dict[tuple[str, str], Ends] = {}
        self._inside: dict[str, list[Item]] = {}

    def inside(self, basis: str) -> list[Item]:
        """Return the items of a basis."""
        if basis not in self._inside:
            self._inside[basis] = [item for item in self.items if in_basis(item, basis)]
        return self._inside[basis]

    def figure(self, figure: str, basis: str) -> Ends:
        """Return the sum of a figure in a basis [g]."""
        key = (figure, "part" if basis == "dry" else basis)
        if key not in self._sums:
            self._sums[key] = total(self.inside(basis), FIGURES[figure])
        return self._sums[key]

    def basis(self, basis: str) -> Ends:
        """Return the mass of a basis [g]."""
        key = ("", basis)
        if key not in self._sums:
            self._sums[key] = total(self.inside(basis), BASES[basis])
        return self._sums[key]

    def outcome(self, bound: Bound) -> Outcome:
        """Work out whether a bound holds; laws ask the same of the same sums often."""
        key = (bound.figure, bound.basis, bound.share, bound.least, bound.strict)
        if key not in self._held:
            self._held[key] = self._hold(bound)
        return Outcome(bound, *self._held[key])

    def _hold(self, bound: Bound) -> Held:
        top, bottom = self.figure(bound.figure, bound.basis), self.basis(bound.basis)
        over = top.less(bound.share, bottom)
        if top.doubt and bound.figure in WEIGHTS and bound.basis != "dry":
            over = over.narrowed(bound.share * top.doubt)
        slack = over if bound.least else over.turned()
        always = holds(slack.least, bottom.most, strict=bound.strict)
        ever = always or holds(slack.most, bottom.most, strict=bound.strict)
        return top, bottom, slack, always, ever


class Tallies:
    """One recipe, counted once for all laws."""

    def __init__(self, recipe: Recipe, end_water_percent: Span | float | None = None) -> None:
        self.recipe = recipe
        self.leaves: tuple[Leaf, ...] = tuple(recipe.leaves())
        self.dries = drying(self.leaves, end_water_percent)
        self._by_rule: dict[str, Tally] = {}

    def under(self, law: Law) -> Tally:
        """Return the sums under a law."""
        if law.rule not in self._by_rule:
            self._by_rule[law.rule] = Tally(items_of(self.leaves, law, self.dries), self.dries)
        return self._by_rule[law.rule]

    def basis_words(self, law: Law, basis: str) -> str:
        """Say in words what a basis is, with the end water where grinding dries the mass."""
        text, usual = law.bases[basis], None if self.dries is None else self.dries.usual
        return text if usual is None else f"{text}, finished at {usual * 100:g} % water"


def columns(recipe: Recipe, law: Law, dries: Drying | None) -> Mapping[str, tuple[Item, ...]]:
    """Return the items of one gram of every part, by label."""
    unit = recipe.weighing({part.label: 1.0 for part in recipe.parts})
    found: dict[str, list[Leaf]] = {part.label: [] for part in recipe.parts}
    for leaf in unit.leaves():
        found[leaf.part.label].append(leaf)
    return {label: items_of(leaves, law, dries) for label, leaves in found.items()}
