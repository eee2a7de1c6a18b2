"""What a balance comes to, as pages, documents and the command line read it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from nibsmith.answers.answer import Remedy, Verdict
from nibsmith.science.formulate import Impossible, Rounded
from nibsmith.science.mixture import Recipe
from nibsmith.science.money import Money

KEPT = 1e-9  # a limit missed by less than this, in its own unit, is kept; the solver promises a tenth of it


@dataclass(frozen=True)
class PartChange:
    """One part before and after [g]; ``new`` says that it was not in the recipe."""

    label: str
    name: str
    before_g: float
    after_g: float
    new: bool = False

    @property
    def add_g(self) -> float:
        """What to add, negative where less goes in [g]."""
        return self.after_g - self.before_g


@dataclass(frozen=True)
class Held:
    """One limit as asked, and whether the balanced recipe keeps it."""

    words: str
    reason: str
    kept: bool


@dataclass(frozen=True)
class Balanced:
    """What a balance comes to.

    ``recipe`` is the balanced recipe, ``None`` where there is none; ``changes`` the parts that differ;
    ``held`` every limit asked. ``on_scale`` is the same in amounts the scale can show, and
    ``missed_on_scale`` the limits that no rounding keeps. What is said and what the remedy changes is in
    amounts of the scale, as far as these keep the limits. ``cost_before`` and ``cost_after`` are per
    kilogram of ``cost_of``, ``None`` where a price is missing. Where there is no such recipe, ``sentence``
    names limits that stand in each other's way, ``gives`` how far each would have to give and ``advice``
    what that settles; where something is not known, ``unknown`` says what. ``unmet`` is what was asked and
    amounts alone do not reach, ``doubts`` what they may reach or not.
    """

    sentence: str
    recipe: Recipe | None = None
    changes: tuple[PartChange, ...] = ()
    held: tuple[Held, ...] = ()
    remedy: Remedy | None = None
    on_scale: Rounded | None = None
    missed_on_scale: tuple[str, ...] = ()
    cost_before: Money | None = None
    cost_after: Money | None = None
    cost_of: str = ""
    remarks: tuple[str, ...] = ()
    gives: tuple[str, ...] = ()
    advice: str = ""
    impossible: Impossible | None = None
    unknown: str = ""
    unmet: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()

    @property
    def possible(self) -> bool:
        """Whether there is a recipe that is all that was asked, as far as can be told."""
        return self.recipe is not None and not self.unmet

    @property
    def verdict(self) -> Verdict:
        """Good where everything asked holds on the amounts that are weighed."""
        if self.recipe is None:
            return Verdict.UNKNOWN if self.unknown else Verdict.STOP
        if self.unmet:
            return Verdict.STOP
        return Verdict.WATCH if self.doubts or self.missed_on_scale else Verdict.GOOD

    @property
    def word(self) -> str:
        """The verdict in words."""
        if self.recipe is None:
            return "Cannot tell." if self.unknown else "No such recipe."
        if self.unmet:
            return "Not by amounts alone."
        if self.doubts:
            return "Not for certain."
        return "Nearly." if self.missed_on_scale else "Balanced."

    @property
    def moved_g(self) -> float:
        """Everything put in and taken out [g]."""
        return sum(abs(change.add_g) for change in self.changes)

    @property
    def weigh_g(self) -> Mapping[str, float]:
        """What to weigh, by label [g]: on the scale where that keeps every limit, else exactly."""
        return weighed_g(self.recipe, self.on_scale, self.missed_on_scale)


def weighed_g(
    recipe: Recipe | None, on_scale: Rounded | None, missed: tuple[str, ...] = ()
) -> Mapping[str, float]:
    """Return what to weigh of a balanced recipe.

    Parameters
    ----------
    recipe : Recipe or None
        The balanced recipe [g].
    on_scale : Rounded or None
        The same in amounts of the scale [g].
    missed : tuple of str
        Limits that those amounts miss.

    Returns
    -------
    Mapping[str, float]
        Label to weight [g]; nothing where there is no recipe.

    Examples
    --------
    >>> dict(weighed_g(None, None))
    {}
    """
    if recipe is None:
        return {}
    exact = {each.label: each.mass_g for each in recipe.parts}
    if on_scale is None or missed:
        return exact
    return {label: on_scale.floats_g.get(label, mass_g) for label, mass_g in exact.items()}
