"""Which milk a name counts: what the texts list, and what they leave out."""

from __future__ import annotations

from collections.abc import Iterable

from nibsmith.science.legal.figures import is_buttermilk, is_whey
from nibsmith.science.legal.items import Item
from nibsmith.science.legal.laws import words
from nibsmith.science.mixture import Kind

Told = tuple[bool, str, bool]
"""Whether something is met, the reason if it is not, and whether it certainly applies."""
MET: Told = (True, "", True)
USUAL = 1  # of an amount: the value at the usual fat


def milk_of_list(items: Iterable[Item]) -> Told:
    """Say whether any milk is of the list: whole, semi-skimmed or skimmed milk, cream, butter, milk fat.

    Buttermilk is not on it, and its solids do not count towards the figures of such names either.
    """
    milk = [item for item in items if _brings_milk(item)]
    if not milk or not all(is_buttermilk(item) for item in milk):
        return MET
    return False, f"{_names(milk)} is not among the milks whose solids count", True


def not_buttermilk_alone(items: Iterable[Item]) -> Told:
    """Say whether there is milk beside buttermilk and milk fat; whether there must be is a reading."""
    fat_alone = float(words("not_buttermilk_alone")["fat_alone_percent"]) / 100
    milk = [item for item in items if _brings_milk(item) and (_share(item) or 0.0) < fat_alone]
    if not milk or not all(is_buttermilk(item) for item in milk):
        return MET
    return (
        False,
        "its milk is buttermilk, which has a name of its own; whether it may have this one is a reading",
        False,
    )


def skim_milk(items: Iterable[Item]) -> Told:
    """Say whether all milk is skim: skim milks and nonfat dry milk only.

    A milk is skim when its fat is no more than a share of its solids. What is in bought chocolate, or has no
    figures, is a question.
    """
    most = float(words("skim_milk")["fat_of_solids_percent"]) / 100
    milk = [item for item in items if _brings_milk(item)]
    known = [item for item in milk if item.leaf.kind is Kind.MILK and _share(item) is not None]
    other = [item for item in known if is_buttermilk(item) or (_share(item) or 0.0) > most]
    if other:
        return False, f"it takes skim milk only, and {_names(other)} is another milk", True
    open_ = [item for item in milk if item not in known]
    return (False, f"only if the milk of {_names(open_)} is skim milk", False) if open_ else MET


def _brings_milk(item: Item) -> bool:
    if is_whey(item):
        return False
    solids = item.brings["milk_solids"]
    return item.leaf.kind is Kind.MILK if solids is None else max(solids) > 0


def _share(item: Item) -> float | None:
    """Return the fat of a milk as a share of its solids."""
    fat, solids = item.brings["milk_fat"], item.brings["milk_solids"]
    return None if fat is None or solids is None else fat[USUAL] / solids[USUAL]


def _names(items: Iterable[Item]) -> str:
    return ", ".join(dict.fromkeys(item.leaf.ingredient.name for item in items))
