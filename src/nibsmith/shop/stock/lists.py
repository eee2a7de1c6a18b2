"""The list of ingredients as its page shows it."""

from __future__ import annotations

from dataclasses import dataclass

from nibsmith.science.tables import STATUS_WORDS
from nibsmith.shop.common.figures import UNKNOWN, as_given, money, with_unit
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.stock.selectors import Found, everything
from nibsmith.shop.stock.words import GROUPS, KINDS

OWNERS = {"": "yours and packaged", "own": "yours only", "packaged": "packaged only"}
LONGEST_SEARCH = 80


@dataclass(frozen=True, slots=True)
class Asked:
    """What the list is narrowed to; empty is everything."""

    words: str = ""
    kind: str = ""
    owner: str = ""


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the list."""

    key: str
    name: str
    kind: str
    own: bool
    fat: str
    price: str
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class Group:
    """Lines that belong together."""

    name: str
    entries: tuple[Entry, ...]


def listed(asked: Asked, settings: WorkshopSettings) -> tuple[Group, ...]:
    """Return the ingredients that fit what is asked, by group."""
    groups: dict[str, list[Entry]] = {}
    for found in everything():
        if _fits(found, asked):
            groups.setdefault(GROUPS[found.ingredient.kind], []).append(_entry(found, settings))
    return tuple(Group(name, tuple(entries)) for name, entries in groups.items())


def _fits(found: Found, asked: Asked) -> bool:
    thing = found.ingredient
    if asked.kind and thing.kind != asked.kind:
        return False
    if asked.owner and found.own != (asked.owner == "own"):
        return False
    about = f"{thing.name} {KINDS[thing.kind]} {thing.note if found.own else ''}".casefold()
    return all(word in about for word in asked.words.casefold().split())


def _entry(found: Found, settings: WorkshopSettings) -> Entry:
    thing, sign = found.ingredient, settings.decimal_sign
    fat = thing.composition.get("fat_g")
    price = found.price_per_kg
    return Entry(
        key=found.key,
        name=thing.name,
        kind=KINDS[thing.kind],
        own=found.own,
        fat=UNKNOWN if fat is None else with_unit(as_given(fat, sign), "g"),
        price="" if price is None else money(price, settings.currency, sign),
        source=thing.source,
        status=STATUS_WORDS[thing.status],
    )
