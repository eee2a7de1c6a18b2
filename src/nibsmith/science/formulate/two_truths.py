"""Amounts already in the bowl that do not fit the shares: what is true now, and the two ways out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Part, Recipe, as_weighed

WATCHED = ("cocoa_as_weighed", "dry_cocoa_solids", "total_fat")
_FITTING_G = 1e-6  # a bowl within a microgram of the shares fits them: only arithmetic is that far off
# where nothing of the recipe is in the bowl, the shares to come add to one but for rounding
_SHARE_LEFT = 1e-12


@dataclass(frozen=True)
class FigureChange:
    """A figure before and after, in percent of everything weighed; ``None`` where it is not known."""

    key: str
    before_percent: float | None
    after_percent: float | None


@dataclass(frozen=True)
class WayOut:
    """A way out of a bowl that does not fit: the recipe it leads to, and what is to be weighed in [g]."""

    recipe: Recipe
    add_g: Mapping[str, float]

    @property
    def total_g(self) -> float:
        """Everything in the bowl afterwards [g]."""
        return self.recipe.total_g


@dataclass(frozen=True)
class Bowl:
    """What is in the bowl against the shares of the recipe.

    ``now`` is the bowl alone. ``keep_shares`` tops up the other parts to the shares of the recipe, the
    smallest batch that can hold them, or is ``None`` where the bowl holds something the recipe has not.
    ``keep_weights`` lets the weights stand; parts not yet in the bowl keep their share of the whole.
    ``changes`` are the figures of the recipe and of ``keep_weights``.
    """

    recipe: Recipe
    bowl_g: Mapping[str, float]
    now: Recipe
    keep_shares: WayOut | None
    keep_weights: WayOut
    changes: tuple[FigureChange, ...]

    @property
    def fits(self) -> bool:
        """Whether what is in the bowl keeps the shares as far as it goes."""
        if self.keep_shares is None:
            return False
        return all(self.keep_shares.add_g.get(label, 0.0) <= _FITTING_G for label in self.bowl_g)

    @property
    def shares(self) -> Mapping[str, tuple[float, float]]:
        """Share wanted and share with the weights kept, by part label [0 to 1]."""
        kept = self.keep_weights.recipe
        labels = [part.label for part in self.recipe.parts]
        return {
            part.label: (
                self.recipe.share(part.label) if part.label in labels else 0.0,
                kept.share(part.label),
            )
            for part in kept.parts
        }


def in_the_bowl(recipe: Recipe, bowl_g: Mapping[str, float], foreign: tuple[Part, ...] = ()) -> Bowl:
    """Compare what is in the bowl with the shares of a recipe.

    Keep the shares: ``M = max m_i / s_i``. Keep the weights: ``M = sum of m_i / (1 - shares not in the
    bowl)``.

    Parameters
    ----------
    recipe : Recipe
        The recipe; only its shares matter.
    bowl_g : Mapping[str, float]
        Part label to what is in the bowl [g].
    foreign : tuple of Part
        What is in the bowl and not in the recipe, with its mass as weighed [g].

    Returns
    -------
    Bowl
        The two ways out and what changes [g, %].

    Raises
    ------
    InputError
        If a label is not in the recipe, an amount is not a weight, or the bowl is empty.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> bowl = in_the_bowl(bar, {"cocoa_mass": 1400.0, "sugar_granulated": 640.0})
    >>> round(bowl.keep_shares.add_g["cocoa_mass"], 1)
    93.3
    """
    present = {label: amount_g for label, amount_g in bowl_g.items() if amount_g}
    held = bowl_recipe(recipe, bowl_g, foreign)
    keep_weights = _keep_weights(recipe, present, foreign)
    return Bowl(
        recipe=recipe,
        bowl_g=present,
        now=held,
        keep_shares=None if any(part.mass_g for part in foreign) else _keep_shares(recipe, present),
        keep_weights=keep_weights,
        changes=figure_changes(recipe, keep_weights.recipe),
    )


def figure_changes(
    before: Recipe, after: Recipe, keys: tuple[str, ...] = WATCHED
) -> tuple[FigureChange, ...]:
    """Return figures of two recipes side by side.

    Parameters
    ----------
    before, after : Recipe
        The two recipes.
    keys : tuple of str
        Properties of the mixture.

    Returns
    -------
    tuple of FigureChange
        One a property, of everything weighed [%].

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> change = figure_changes(bar, bar.weighing({"sugar_granulated": 70.0}))[0]
    >>> round(change.before_percent), round(change.after_percent)
    (70, 50)
    """
    old, new = as_weighed(before), as_weighed(after)
    return tuple(
        FigureChange(
            key, old.percent(key) if old.knows(key) else None, new.percent(key) if new.knows(key) else None
        )
        for key in keys
    )


def bowl_recipe(recipe: Recipe, bowl_g: Mapping[str, float], foreign: tuple[Part, ...] = ()) -> Recipe:
    """Return the recipe at the weights of a bowl, parts not in it at zero.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    bowl_g : Mapping[str, float]
        Part label to what is in the bowl [g].
    foreign : tuple of Part
        What is in the bowl and not in the recipe [g].

    Returns
    -------
    Recipe
        The bowl as a recipe [g].

    Raises
    ------
    InputError
        If a label is not in the recipe, an amount is not a weight, or the bowl is empty.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> bowl_recipe(bar, {"cocoa_mass": 500.0}).total_g
    500.0
    """
    for label in bowl_g:
        recipe.part(label)
    if not any(bowl_g.values()) and not any(part.mass_g for part in foreign):
        raise InputError("The bowl is empty", advice="Say what is in it already.")
    masses = {part.label: bowl_g.get(part.label, 0.0) for part in recipe.parts}
    parts = tuple(part.weighing(masses[part.label]) for part in recipe.parts)
    return replace(recipe, parts=(*parts, *foreign))


def _keep_shares(recipe: Recipe, bowl_g: Mapping[str, float]) -> WayOut | None:
    if any(not recipe.share(label) for label in bowl_g):
        return None
    leading = max(bowl_g, key=lambda label: bowl_g[label] / recipe.share(label))
    total_g = bowl_g[leading] / recipe.share(leading)
    masses = {part.label: total_g * recipe.share(part.label) for part in recipe.parts}
    whole = recipe.weighing({**masses, leading: bowl_g[leading]})
    return WayOut(whole, _additions(whole, bowl_g))


def _keep_weights(recipe: Recipe, bowl_g: Mapping[str, float], foreign: tuple[Part, ...]) -> WayOut:
    to_come = {part.label: recipe.share(part.label) for part in recipe.parts if part.label not in bowl_g}
    bowl_total_g = sum(bowl_g.values()) + sum(part.mass_g for part in foreign)
    coming = sum(to_come.values())
    if coming >= 1 - _SHARE_LEFT:  # nothing of the recipe is in the bowl, so it is made as it stands
        whole = replace(recipe.weighing(bowl_g), parts=(*recipe.weighing(bowl_g).parts, *foreign))
        return WayOut(whole, _additions(whole, bowl_g, foreign))
    total_g = bowl_total_g / (1 - coming)
    masses = {label: total_g * share for label, share in to_come.items()}
    parts = tuple(part.weighing({**masses, **bowl_g}[part.label]) for part in recipe.parts)
    whole = replace(recipe, parts=(*parts, *foreign))
    return WayOut(whole, _additions(whole, bowl_g, foreign))


def _additions(
    whole: Recipe, bowl_g: Mapping[str, float], foreign: tuple[Part, ...] = ()
) -> Mapping[str, float]:
    there = {**{part.label: part.mass_g for part in foreign}, **bowl_g}
    adds = {part.label: part.mass_g - there.get(part.label, 0.0) for part in whole.parts}
    return {label: add_g for label, add_g in adds.items() if add_g > _FITTING_G}
