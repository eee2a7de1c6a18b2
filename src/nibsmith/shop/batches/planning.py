"""What is to be weighed for a batch: the parts of a version at its size, on the scale of the workshop."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from nibsmith.science.errors import InputError
from nibsmith.science.formulate import round_to_scale
from nibsmith.science.mixture import Grind, Ingredient, Kind, Part
from nibsmith.shop.batches.models import PlannedPart
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.recipes.drafts import draft_of
from nibsmith.shop.recipes.models import RecipeVersion
from nibsmith.shop.recipes.opening import Opened, open_draft, open_version

# What comes with grains larger than those of a mass that has been ground for a while.
_COARSE_KINDS = frozenset(
    {Kind.BEAN, Kind.NIB, Kind.SUGAR, Kind.SWEETENER, Kind.MILK, Kind.OTHER_FOOD, Kind.FLOUR}
)


def opened_on(version: RecipeVersion, kit: str) -> Opened:
    """Open a version as it is made on a kit, whatever kit it was written for."""
    draft = draft_of(version)
    if draft.amount.kit == kit:
        return open_version(version)
    try:
        return open_draft(replace(draft, amount=replace(draft.amount, kit=kit)))
    except InputError:
        return open_version(version)


def planned_parts(opened: Opened, total_g: Decimal | None) -> Iterator[PlannedPart]:
    """Yield what is to be weighed, in the order of the recipe; ``total_g`` makes another size of it."""
    weighed = opened.weighed if total_g is None else opened.weighed.scaled(float(total_g))
    masses = round_to_scale({part.label: part.mass_g for part in weighed.parts}, workshop().scale_g).masses_g
    for order, part in enumerate(weighed.parts):
        yield PlannedPart(
            order=order,
            label=part.label,
            name=part.name,
            stage=part.stage.value,
            in_machine=part.in_machine,
            coarse=is_coarse(part),
            planned_g=masses[part.label],
        )


def is_coarse(part: Part) -> bool:
    """Whether grinding begins anew when a part goes in; a recipe used as a part is ground already."""
    ground_in = part.in_machine and part.grind is Grind.REFINED
    return ground_in and isinstance(part.of, Ingredient) and part.kind in _COARSE_KINDS
