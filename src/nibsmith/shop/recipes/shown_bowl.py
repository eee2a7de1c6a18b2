"""A bowl and its ways out as the page shows them."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from nibsmith.answers.rescue import Rescued
from nibsmith.answers.ways_out import KEEP_SHARES, Way
from nibsmith.answers.wording import joined, thing, told_apart
from nibsmith.science.formulate import FigureChange
from nibsmith.science.mixture import PROPERTIES
from nibsmith.shop.common.said import said_in
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.recipes.bowls import Looked
from nibsmith.shop.recipes.written import TENTH, Weight, share_text, weight


@dataclass(frozen=True, slots=True)
class BowlRow:
    """One part: what the recipe wants of it, what is in the bowl, what its share is if the weights stand."""

    name: str
    wanted: str
    in_bowl: Weight | None
    now: str


@dataclass(frozen=True, slots=True)
class ShownWay:
    """A way out: what it does, what is still to add, what changes."""

    key: str
    title: str
    says: str
    total: Weight
    adds: tuple[tuple[str, Weight], ...]
    changes: tuple[tuple[str, str, str], ...]
    name_before: str
    name_after: str
    button: str
    too_late: str
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ShownRescue:
    """The smallest additions that bring a bowl back, or what stands in the way."""

    possible: bool
    sentence: str
    total: Weight | None
    adds: tuple[tuple[str, Weight], ...]
    remarks: tuple[str, ...]
    gives: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ShownBowl:
    """A bowl as the page shows it; where it fits, there is no way out to take."""

    rows: tuple[BowlRow, ...]
    weight: Weight
    fits: bool
    ways: tuple[ShownWay, ...]
    rescue: ShownRescue | None


def show_bowl(looked: Looked, settings: WorkshopSettings) -> ShownBowl:
    """Show a bowl."""
    bowl = looked.bowl
    held = {part.label: part.mass_g for part in bowl.now.parts}
    rows = tuple(
        BowlRow(
            name=told_apart(bowl.keep_weights.recipe.part(label), bowl.keep_weights.recipe.parts),
            wanted=f"{share_text(Fraction(wanted) * 100, settings, TENTH)} %" if wanted else "",
            in_bowl=weight(held[label], settings) if held.get(label) else None,
            now=f"{share_text(Fraction(now) * 100, settings, TENTH)} %",
        )
        for label, (wanted, now) in bowl.shares.items()
    )
    ways = tuple(_way(way, looked, settings) for way in looked.ways)
    total, rescue = weight(bowl.now.total_g, settings), _rescue(looked.rescued, settings)
    return said_in(ShownBowl(rows, total, not ways, ways, rescue), settings)


def _rescue(rescued: Rescued | None, settings: WorkshopSettings) -> ShownRescue | None:
    if rescued is None:
        return None
    return ShownRescue(
        possible=rescued.possible,
        sentence=rescued.sentence,
        total=None if rescued.recipe is None else weight(rescued.recipe.total_g, settings),
        adds=tuple(
            (thing(rescued.bowl.part(each.label)), weight(each.weigh_g or each.add_g, settings))
            for each in rescued.additions
        ),
        remarks=rescued.remarks,
        gives=rescued.gives,
    )


def _way(way: Way, looked: Looked, settings: WorkshopSettings) -> ShownWay:
    keeps_shares = way.key == KEEP_SHARES
    return ShownWay(
        key=way.key,
        title="Keep the shares" if keeps_shares else "Keep the weights",
        says="Add to what is there until the recipe is right again: a larger batch."
        if keeps_shares
        else "What is in the bowl stands; the recipe becomes another one.",
        total=weight(way.recipe.total_g, settings),
        adds=tuple(
            (thing(way.recipe.part(label)), weight(grams, settings)) for label, grams in way.add_g.items()
        ),
        changes=() if keeps_shares else tuple(_change(change, settings) for change in way.changes),
        name_before=way.name_before,
        name_after=way.name_after,
        button="Make the larger batch" if keeps_shares else "Make this the next version",
        too_late=joined([thing(part) for part in looked.too_late(way)]),
        remarks=way.remarks,
    )


def _change(change: FigureChange, settings: WorkshopSettings) -> tuple[str, str, str]:
    before, after = (
        "not known" if value is None else f"{share_text(Fraction(value), settings, TENTH)} %"
        for value in (change.before_percent, change.after_percent)
    )
    return PROPERTIES[change.key].words, before, after
