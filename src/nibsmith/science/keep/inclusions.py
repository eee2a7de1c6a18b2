"""What is folded in, put on the back or filled in, and whether it keeps there."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from nibsmith.science.keep.classify import is_liquid, is_wet_food
from nibsmith.science.mixture import COCOA_KINDS, Kind, Leaf, Stage
from nibsmith.science.tables import load

_NO_WATER_RISK = frozenset({"none", "low"})
_FATS = frozenset({Kind.BUTTER, Kind.EMULSIFIER, Kind.VEGETABLE_FAT})


class Risk(StrEnum):
    """How an inclusion stands."""

    FINE = "fine"
    WATCH = "watch"
    STOP = "stop"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Inclusion:
    """An ingredient outside the mass, how it stands, and why."""

    leaf: Leaf
    risk: Risk
    why: str
    shorter_life: bool = False


def judge_inclusion(leaf: Leaf) -> Inclusion:
    """Return how an ingredient folded in, on the back or inside stands.

    Wet foods and liquids are a stop (inside a filling: unknown, its water activity decides); dried fruit and
    anything damp is a watch; what holds no more than 4 % of water is fine, nuts and seeds with a shorter
    life.

    Parameters
    ----------
    leaf : Leaf
        An ingredient that is not ground into the mass.

    Returns
    -------
    Inclusion
        Its risk and the reason in words.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("b", Form.BAR, (part("raisin", 1.0), part("hazelnut_dry_roasted", 1.0)))
    >>> [judge_inclusion(leaf).risk.value for leaf in bar.leaves()]
    ['watch', 'fine']

    References
    ----------
    [common-practice]
    """
    name = leaf.ingredient.name
    if is_liquid(leaf) or is_wet_food(leaf):
        return _wet(leaf)
    if leaf.kind in _FATS:
        return Inclusion(leaf, Risk.FINE, f"{name}: dry.")
    if "water_g" not in leaf.ingredient.composition:
        return Inclusion(leaf, Risk.UNKNOWN, f"{name}: its water is not given.")
    if leaf.kind in COCOA_KINDS and _is_dry(leaf):
        return Inclusion(leaf, Risk.FINE, f"{name}: dry.")
    return _by_water(leaf)


def _wet(leaf: Leaf) -> Inclusion:
    name = leaf.ingredient.name
    if leaf.stage is Stage.FILLING:
        why = f"{name}: wet, in a filling, where water activity decides; it is not given."
        return Inclusion(leaf, Risk.UNKNOWN, why)
    return Inclusion(leaf, Risk.STOP, f"{name}: wet; the water goes into the chocolate and lets mould grow.")


def _by_water(leaf: Leaf) -> Inclusion:
    name, tags = leaf.ingredient.name, leaf.ingredient.tags
    oily = bool(tags & {"nut", "seed"})
    water = leaf.ingredient.composition["water_g"]
    dry = _is_dry(leaf)
    if dry and oily:
        why = f"{name}: dry, but their oil softens the chocolate and turns rancid in time."
        return Inclusion(leaf, Risk.FINE, why, shorter_life=True)
    if dry:
        return Inclusion(leaf, Risk.FINE, f"{name}: dry; close the pack well, it draws water from the air.")
    if oily:
        why = f"{name}: not roasted dry, {water:.1f} % water; it goes soft and its life is shorter."
        return Inclusion(leaf, Risk.WATCH, why, shorter_life=True)
    why = f"{name}: {water:.1f} % water, which moves into the chocolate; have its water activity measured."
    return Inclusion(leaf, Risk.WATCH, why)


def _is_dry(leaf: Leaf) -> bool:
    few = leaf.ingredient.composition["water_g"] <= load("keep")["inclusion_dry_water"].value
    return few or leaf.ingredient.water_risk in _NO_WATER_RISK
