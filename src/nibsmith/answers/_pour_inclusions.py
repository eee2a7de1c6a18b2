"""Pieces folded into a tempered mass: too many of them no longer fill a cavity."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from nibsmith.answers._pour_estimate import Case
from nibsmith.answers.answer import Change, Remedy
from nibsmith.answers.context import Context
from nibsmith.answers.wording import NO_BREAK, grams, joined, thing
from nibsmith.science.flow import food_density
from nibsmith.science.flow.parameters import parameters
from nibsmith.science.mixture import Ingredient, Leaf, Recipe, Stage
from nibsmith.science.tables import load

_ROOM_CELSIUS = 20
_COLUMNS = {"protein_g": "protein", "fat_g": "fat", "fibre_g": "fibre", "ash_g": "ash", "water_g": "water"}


@dataclass(frozen=True)
class Inclusions:
    """Pieces folded in: their volume in that of the poured whole [0 to 1], and whose volume is not known."""

    share: float
    mass_g: float
    unknown: tuple[str, ...]

    @property
    def too_many(self) -> bool:
        """Whether they may no longer fill a cavity."""
        return self.share > load("flow")["inclusions_watch"].value


def inclusions_of(recipe: Recipe, case: Case) -> Inclusions:
    """Return the share of pieces folded in, by volume."""
    leaves = [leaf for leaf in recipe.leaves() if leaf.stage is Stage.FOLDED_IN and leaf.mass_g > 0]
    volumes = {id(leaf): _volume(leaf) for leaf in leaves}
    known = sum(volume for volume in volumes.values() if volume is not None)
    unknown = dict.fromkeys(thing(leaf.ingredient) for leaf in leaves if volumes[id(leaf)] is None)
    mass = _mass_volume(case)
    return Inclusions(known / (known + mass), sum(leaf.mass_g for leaf in leaves), tuple(unknown))


def inclusion_words(found: Inclusions) -> Iterator[str]:
    """Yield what the pieces mean for a cavity."""
    if found.unknown:
        yield f"How much room {joined(found.unknown)} takes is not known: the analysis is not complete."
    if found.too_many:
        row = load("flow")["inclusions_watch"]
        low, high = 100 * row.value, 100 * (row.high or row.value)
        share = f"{100 * found.share:.0f}{NO_BREAK}%"
        over = f"over {low:.0f} to {high:.0f} % they no longer fill a cavity"
        yield f"Pieces take {share} of the volume; {over}."


def fewer(recipe: Recipe, context: Context, found: Inclusions) -> Remedy:
    """Return the smallest cut of everything folded in at which the pieces fill a cavity again."""
    most = load("flow")["inclusions_watch"].value
    # Volume of pieces falls with their mass: v·k / (v·k + 1 - v) = most.
    kept = most * (1 - found.share) / (found.share * (1 - most))
    cut_g = (1 - kept) * found.mass_g
    changes = tuple(
        Change(part.label, -(1 - kept) * part.mass_g)
        for part in recipe.parts
        if part.stage is Stage.FOLDED_IN and part.mass_g > 0
    )
    sentence = f"Fold in {grams(cut_g, context.scale_g)} less of the pieces."
    return Remedy(sentence, changes, recipe.total_g - cut_g)


def _volume(leaf: Leaf) -> float | None:
    """Volume without pores [cm³]; ``None`` where the analysis is not complete."""
    given = _shares(leaf.ingredient)
    return None if given is None else 1000 * leaf.mass_g / food_density(given, _ROOM_CELSIUS)


def _shares(ingredient: Ingredient) -> dict[str, float] | None:
    composition = ingredient.composition
    if "carb_g" not in composition or any(
        column not in composition for column in _COLUMNS if column != "fibre_g"
    ):
        return None
    shares = {name: composition.get(column, 0.0) for column, name in _COLUMNS.items()}
    shares["carbohydrate"] = max(0.0, composition["carb_g"] - shares["fibre"])
    return shares if sum(shares.values()) > 0 else None


def _mass_volume(case: Case) -> float:
    """Volume of the poured mass itself [cm³]."""
    fat = case.matter.fat.value
    solids = case.matter.charge - fat - case.matter.water.value
    return 1000 * (fat / parameters().density_liquid_butter + solids / case.matter.solids_density)
