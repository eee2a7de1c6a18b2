"""Allergens of a recipe, read from its parts against the lists of law."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Any

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Kind, Leaf, Recipe
from nibsmith.science.tables import Status, load_data

MAY_HOLD = "?"  # ends a word that says: it may hold it, ask the supplier


@dataclass(frozen=True)
class AllergenGroup:
    """One group of a list: its key, its name, the members that have to be named themselves, its source."""

    key: str
    name: str
    members: Mapping[str, str]
    source: str
    place: str
    status: Status
    from_mg_per_kg: float | None = None
    note: str = ""


@dataclass(frozen=True)
class AllergenList:
    """A list of law: its groups in the order of the text, the markets it holds for, its source and status."""

    key: str
    name: str
    short: str
    markets: tuple[str, ...]
    groups: Mapping[str, AllergenGroup]
    source: str
    place: str
    status: Status

    def words(self) -> tuple[str, ...]:
        """Return every word an ingredient may use for this list, such as ``nuts:hazelnut``."""
        return tuple(word for group in self.groups.values() for word in _words(group))


@dataclass(frozen=True)
class Found:
    """A group found in a recipe: the keys of the members named, and the ingredients that bring it."""

    group: AllergenGroup
    members: tuple[str, ...]
    ingredients: tuple[str, ...]

    @property
    def names(self) -> Mapping[str, str]:
        """What is declared, by key: each member named, or the group where none is."""
        if not self.members:
            return {self.group.key: self.group.name}
        return {member: self.group.members[member] for member in self.members}

    @property
    def words(self) -> str:
        """The group as it is declared: ``milk``, or ``hazelnut (tree nuts)``."""
        named = ", ".join(self.names.values())
        return f"{named} ({self.group.name})" if self.members else named


@dataclass(frozen=True)
class Allergens:
    """What one list finds in a recipe.

    ``unknown`` names ingredients whose allergens nobody has given; ``unplaced`` holds words that the list has
    not.
    """

    list: AllergenList
    holds: tuple[Found, ...]
    may_hold: tuple[Found, ...]
    unknown: tuple[str, ...]
    unplaced: tuple[str, ...]


@lru_cache(maxsize=1)
def allergen_lists() -> Mapping[str, AllergenList]:
    """Return the allergen lists of law by key.

    Returns
    -------
    Mapping[str, AllergenList]
        ``us``, the nine of the United States, and ``eu``, the fourteen of the European Union.

    Examples
    --------
    >>> {key: len(found.groups) for key, found in allergen_lists().items()}
    {'us': 9, 'eu': 14}

    References
    ----------
    [usc-21-321qq], [fda-allergens-2025], [eu-1169-2011]
    """
    rows: Mapping[str, Any] = load_data("allergens")
    return MappingProxyType({key: _list(key, row) for key, row in rows.items()})


def allergen_list(key: str) -> AllergenList:
    """Return one allergen list.

    Parameters
    ----------
    key : str
        ``us`` or ``eu``.

    Returns
    -------
    AllergenList
        The list.

    Raises
    ------
    InputError
        With the keys there are.

    Examples
    --------
    >>> allergen_list("eu").short
    'EU fourteen'
    """
    lists = allergen_lists()
    if key not in lists:
        raise InputError("No allergen list has this key", value=key, advice=f"They are: {', '.join(lists)}.")
    return lists[key]


def allergens(recipe: Recipe, key: str) -> Allergens:
    """Return the allergens that the ingredients of a recipe bring, nested recipes opened up.

    Parameters
    ----------
    recipe : Recipe
        The recipe; a part without weight brings nothing.
    key : str
        The list, ``us`` or ``eu``.

    Returns
    -------
    Allergens
        Groups in the order of the list. It says nothing of what a machine carried before.

    Raises
    ------
    InputError
        If there is no such list.

    Notes
    -----
    An ingredient whose allergens are not known is named, and never counted as free of them; a part of the
    kind milk brings milk all the same. A word with a question mark at its end is a thing to ask the supplier.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 80.0), part("hazelnut", 20.0)))
    >>> [found.words for found in allergens(bar, "us").holds]
    ['hazelnut (tree nuts)']
    """
    law = allergen_list(key)
    leaves = [leaf for leaf in recipe.leaves() if leaf.mass_g > 0]
    words = [(word, leaf.ingredient.name) for leaf in leaves for word in _said(leaf, key)]
    held = {word for word, _ in words if not word.endswith(MAY_HOLD)}
    doubtful = [(word.removesuffix(MAY_HOLD), name) for word, name in words if word.endswith(MAY_HOLD)]
    return Allergens(
        list=law,
        holds=tuple(_found(law, ((word, name) for word, name in words if word in held))),
        may_hold=tuple(_found(law, ((word, name) for word, name in doubtful if word not in held))),
        unknown=_names(leaf for leaf in leaves if not leaf.ingredient.allergens_known),
        unplaced=tuple(
            dict.fromkeys(word for word, _ in words if not _has(law, word.removesuffix(MAY_HOLD)))
        ),
    )


def _said(leaf: Leaf, key: str) -> tuple[str, ...]:
    """What an ingredient says, and what its kind says for it: milk is milk whatever a sheet leaves out."""
    words = leaf.ingredient.allergens_us if key == "us" else leaf.ingredient.allergens_eu
    kinds = (leaf.kind, leaf.ingredient.kind)
    of_kind = ("milk",) if Kind.MILK in kinds and "milk" not in words else ()
    doubt = ("sulphites?",) if key == "eu" and "may_hold_sulphites" in leaf.ingredient.tags else ()
    return tuple(dict.fromkeys((*words, *of_kind, *doubt)))


def _names(leaves: Iterable[Leaf]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(leaf.ingredient.name for leaf in leaves))


def _has(law: AllergenList, word: str) -> bool:
    group, _, member = word.partition(":")
    return group in law.groups and (not member or member in law.groups[group].members)


def _found(law: AllergenList, words: Iterable[tuple[str, str]]) -> Iterator[Found]:
    pairs = [(word.partition(":"), name) for word, name in words if _has(law, word)]
    for group in law.groups.values():
        hits = [(member, name) for (key, _, member), name in pairs if key == group.key]
        if hits:
            members = dict.fromkeys(member for member, _ in hits if member)
            yield Found(group, tuple(members), tuple(dict.fromkeys(name for _, name in hits)))


def _words(group: AllergenGroup) -> Iterator[str]:
    if not group.members:
        yield group.key
    for member in group.members:
        yield f"{group.key}:{member}"


def _list(key: str, row: Mapping[str, Any]) -> AllergenList:
    groups = (_group({**row, **entry}) for entry in row["groups"])
    return AllergenList(
        key=key,
        name=str(row["name"]),
        short=str(row["short"]),
        markets=tuple(row["markets"]),
        groups=MappingProxyType({group.key: group for group in groups}),
        source=str(row["source"]),
        place=str(row["place"]),
        status=Status(row["status"]),
    )


def _group(entry: Mapping[str, Any]) -> AllergenGroup:
    """A group says its own source, or has that of its list."""
    return AllergenGroup(
        key=str(entry["key"]),
        name=str(entry["name"]),
        members=MappingProxyType(dict(entry.get("members", {}))),
        source=str(entry["source"]),
        place=str(entry["place"]),
        status=Status(entry["status"]),
        from_mg_per_kg=float(entry["from_mg_per_kg"]) if "from_mg_per_kg" in entry else None,
        note=str(entry.get("note", "")),
    )
