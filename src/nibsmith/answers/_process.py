"""The order of use of a recipe's parts, and the steps of the work for a kit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from nibsmith.science.kit import Kit
from nibsmith.science.mixture import Form, Grind, Ingredient, Kind, Part, Recipe, Stage
from nibsmith.science.tables import load_data

NIBS, MASS, BUTTER, START = "start_nibs", "start_mass", "start_butter", "start_other"
SUGAR, MILK, WITH = "sugar", "milk", "with_other"
LATE, LECITHIN, FLAVOUR = "late_other", "lecithin", "flavour"
SLOTS = (NIBS, MASS, BUTTER, START, SUGAR, MILK, WITH, LATE, LECITHIN, FLAVOUR)
_AT_START = {
    Kind.BEAN: NIBS,
    Kind.NIB: NIBS,
    Kind.MASS: MASS,
    Kind.BUTTER: BUTTER,
    Kind.VEGETABLE_FAT: BUTTER,
}
_WITH_SUGAR = {Kind.SUGAR: SUGAR, Kind.SWEETENER: SUGAR, Kind.MILK: MILK}
_LATE = {Kind.EMULSIFIER: LECITHIN, Kind.FLAVOURING: FLAVOUR}
_STARCH_TAG = "may_hold_starch"  # bought icing sugar


def slot_of(part: Part) -> str:
    """Return when a part of the mass goes in: its stage first, then its kind."""
    if part.stage is Stage.START:
        return _AT_START.get(part.kind, START)
    if part.stage is Stage.WITH_SUGAR:
        return _WITH_SUGAR.get(part.kind, WITH)
    return _LATE.get(part.kind, LATE)


def in_order_of_use(recipe: Recipe) -> tuple[Part, ...]:
    """Return the parts with weight that go into the machine, as they go in; equals as in the recipe."""
    inside = [part for part in recipe.parts if part.in_machine and part.mass_g > 0]
    return tuple(sorted(inside, key=lambda part: SLOTS.index(slot_of(part))))


def facts_of(recipe: Recipe, kit: Kit | None) -> frozenset[str]:
    """Return what the steps may ask for: slots that are taken up, stages, and a few facts."""
    used = [part for part in recipe.parts if part.mass_g > 0]
    inside = [part for part in used if part.in_machine]
    found = {slot_of(part) for part in inside} | {part.stage.value for part in used if not part.in_machine}
    sugars = [part for part in inside if slot_of(part) == SUGAR and part.grind is not Grind.COARSE]
    starchy = [part for part in sugars if _is_starchy(part)]
    if starchy:
        found.add("icing_sugar")
    if len(sugars) > len(starchy) and kit is not None and not kit.grinds_sugar:
        found.add("coarse_sugar")
    if recipe.form is Form.DRINKING:
        found.add("untempered")
    return frozenset(found)


def _is_starchy(part: Part) -> bool:
    return isinstance(part.of, Ingredient) and _STARCH_TAG in part.of.tags


def steps_for(kit: Kit | None, facts: frozenset[str]) -> Iterator[Mapping[str, Any]]:
    """Yield the rows of the table that hold for this kit and recipe: its own, then those of all kits."""
    table: Mapping[str, Any] = load_data("process")
    own = "default" if kit is None else str(table["same_as"].get(kit.key, kit.key))
    for row in (*table.get(own, table["default"]), *table["tail"]):
        slots = set(row.get("slots", ()))
        wanted, unwanted = set(row.get("when", ())), set(row.get("unless", ()))
        if (not slots or slots & facts) and wanted <= facts and not unwanted & facts:
            yield row
