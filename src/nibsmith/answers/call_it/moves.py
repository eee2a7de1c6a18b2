"""What may be done to a recipe to earn a name: add, swap, take out; and what opens a gate."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from nibsmith.science.legal import Lack, Move
from nibsmith.science.legal.laws import words
from nibsmith.science.legal.verdict import LEAST
from nibsmith.science.mixture import COCOA_KINDS, Grind, Ingredient, Kind, Limit, Part, Recipe, Stage, part

ADDED = COCOA_KINDS | {Kind.SUGAR, Kind.MILK}
# What may be taken out or swapped, and for which figures: nobody takes nuts out for want of cocoa.
OTHER_FIGURES = frozenset({"oef", "oef_not_nuts", "nuts", "hazel", "animal_fat", "chocolate", "shell"})
TAKEN_OUT: Mapping[Kind, frozenset[str]] = {
    Kind.OTHER_FOOD: OTHER_FIGURES,
    Kind.FLOUR: frozenset({"flour"}),
    Kind.EMULSIFIER: frozenset({"emulsifier"}),
}
STARCH, VEGETABLE_FAT = frozenset({"starch_sugar"}), frozenset({"vf", "other_oils"})
SOLID_COCOA = frozenset({Kind.BEAN, Kind.NIB, Kind.MASS})
FROM_THE_TABLE: Mapping[str, frozenset[Kind]] = {
    "cocoa_butter": frozenset({Kind.BUTTER}),
    "cocoa_mass": SOLID_COCOA,
    "milk_powder_whole": frozenset({Kind.MILK}),
    "sugar_granulated": frozenset({Kind.SUGAR}),
}
WHOLE, SKIM = "milk_powder_whole", "milk_powder_skim"
# What a gate misses, and what stands for it, any of these; a name that takes skim milk only gets that.
BROUGHT_IN: Mapping[str, tuple[str, ...]] = {
    "sugar": ("sugar_granulated",),
    "milk": (WHOLE, SKIM),
    "milk_of_list": (WHOLE, SKIM),
    "not_buttermilk_alone": (WHOLE, SKIM),
    "skim_milk": (SKIM,),
    "buttermilk": ("buttermilk_powder",),
    "ground_hazelnut": ("hazelnut_paste",),
    "vegetable_fat": ("shea_stearin",),
}
ONLY_COCOA = "only_cocoa"
FAT_GATES = frozenset({"permitted_fat", "equivalent_fat"})
LATE = frozenset({Stage.FOLDED_IN, Stage.ON_BACK})
PIECES = frozenset({Grind.PIECES, Grind.WHOLE})


@dataclass(frozen=True)
class Choice:
    """A move, and the figures for which it is offered; none means for any."""

    move: Move
    figures: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Fix:
    """What opens gates: groups of parts of which some must be there, parts that must go, moves for both."""

    present: tuple[tuple[str, ...], ...] = ()
    absent: tuple[str, ...] = ()
    moves: tuple[Move, ...] = ()

    def limits(self, masses_g: Mapping[str, float], step_g: float) -> Iterator[Limit]:
        """Give it as limits: at least a step of the scale [g] more, or nothing left."""
        for group in self.present:
            there_g = sum(masses_g[label] for label in group)
            yield Limit(group[0], "some of it", dict.fromkeys(group, 1.0), low=there_g + step_g)
        for label in self.absent:
            yield Limit(label, "none of it", {label: 1.0}, high=0.0)


def wanted_by(gates: Iterable[str], *, skim: bool) -> tuple[tuple[str, ...], ...]:
    """Return what the table holds for gates that miss something; ``skim`` says that milk has to be skim."""
    groups = dict.fromkeys(BROUGHT_IN[gate] for gate in gates if gate in BROUGHT_IN)
    return tuple(tuple(key for key in group if key != WHOLE or not skim) for group in groups)


def milks_for(lacking: Iterable[Lack]) -> tuple[str, ...]:
    """Return the milk powder that brings milk fat nearer to what a name asks of it."""
    fat = next((lack for lack in lacking if lack.figure == words("figures")["mf"]), None)
    if fat is None or fat.gap is None:
        return ()
    return (WHOLE,) if fat.side in LEAST else (SKIM,)


def in_the_way(recipe: Recipe, gate: str) -> tuple[Part, ...]:
    """Return the parts that keep a gate shut by being there; of vegetable fats, all."""
    there = [each for each in recipe.parts if each.mass_g > 0 and isinstance(each.of, Ingredient)]
    return tuple(each for each in there if _in_the_way(each, gate))


def _in_the_way(of: Part, gate: str) -> bool:
    if gate in FAT_GATES:
        return of.kind is Kind.VEGETABLE_FAT
    if gate == ONLY_COCOA:
        return of.kind not in COCOA_KINDS and of.in_machine
    if gate == "whole":
        return of.kind is Kind.OTHER_FOOD and (of.grind in PIECES or of.stage in LATE)
    if gate == "skim_milk":
        return of.kind is Kind.MILK and isinstance(of.of, Ingredient) and of.of.key != SKIM
    return gate == "no_nibs_in_white" and of.kind in COCOA_KINDS and of.stage in LATE


OPENED = FAT_GATES | {ONLY_COCOA, "whole", "skim_milk", "no_nibs_in_white"} | BROUGHT_IN.keys()
"""Gates that amounts can open."""


def choices_of(recipe: Recipe, *, may_change_kind: bool = False) -> tuple[Recipe, list[Choice]]:
    """Return the recipe with what may be added as parts of no weight, and what may be done.

    ``may_change_kind`` says that it need not stay the same thing: white chocolate may get cocoa mass.
    """
    ground = [each for each in recipe.parts if each.in_machine and isinstance(each.of, Ingredient)]
    starchy = [each for each in ground if _holds_starch(each)]
    new = _new_parts(recipe, ground, may_change_kind=may_change_kind)
    added = [each for each in (*ground, *new) if each.kind in ADDED and not _holds_starch(each)]
    masses = [each for each in recipe.parts if each.in_machine and isinstance(each.of, Recipe)]
    choices = [Choice(Move({each.label: 1.0})) for each in (*masses, *added)]
    choices += _swaps(starchy, Kind.SUGAR, added, STARCH)
    fats = [each for each in ground if each.kind is Kind.VEGETABLE_FAT]
    choices += _swaps(fats, Kind.BUTTER, added, VEGETABLE_FAT)
    choices += [
        Choice(taken_out(each), TAKEN_OUT[each.kind])
        for each in recipe.parts
        if each.kind in TAKEN_OUT and isinstance(each.of, Ingredient) and each.mass_g > 0
    ]
    choices += [Choice(taken_out(each), SOLIDS) for each in ground if _is_solid(each) and each.mass_g > 0]
    return replace(recipe, parts=(*recipe.parts, *new)), choices


def _new_parts(recipe: Recipe, ground: Sequence[Part], *, may_change_kind: bool) -> list[Part]:
    kinds = {each.kind for each in ground if not _holds_starch(each)}
    held = {leaf.kind for leaf in recipe.leaves() if leaf.mass_g > 0}
    # Milk is offered only where there is milk, mass only where there is powder: it stays the same thing.
    wanted = {Kind.BUTTER} | (held & {Kind.MILK})
    wanted |= SOLID_COCOA if may_change_kind or Kind.POWDER in held else set()
    wanted |= {Kind.SUGAR} if any(_holds_starch(each) for each in ground) else set()
    return [
        new_part(recipe, key) for key, like in FROM_THE_TABLE.items() if not kinds & like and like & wanted
    ]


SOLIDS = frozenset({"nonbutter_cocoa"})


def _is_solid(of: Part) -> bool:
    return of.kind in COCOA_KINDS and of.kind is not Kind.BUTTER


def taken_out(of: Part) -> Move:
    """Return the move that takes a part out, all of it at most."""
    return Move({of.label: -1.0}, of.mass_g)


def _swaps(
    out: Sequence[Part], kind: Kind, added: Sequence[Part], figures: frozenset[str]
) -> Iterator[Choice]:
    into = next((each.label for each in added if each.kind is kind), None)
    for each in out:
        if into is not None and each.mass_g > 0:
            yield Choice(Move({each.label: -1.0, into: 1.0}, each.mass_g), figures)


def _holds_starch(of: Part) -> bool:
    return isinstance(of.of, Ingredient) and words("tags")["icing_sugar"] in of.of.tags


def new_part(recipe: Recipe, key: str) -> Part:
    """Return an ingredient of the table as a part of no weight, under a label that is free."""
    labels = {each.label for each in recipe.parts}
    return part(key, 0.0, label=f"{key}_added" if key in labels else key)
