"""The laws as data: jurisdictions, the names they reserve, and the bounds of each name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Any

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Form, Kind
from nibsmith.science.tables import Status, load_data, load_rows

LIQUOR = "liquor"
SHARED = "*"  # marks a bound that several names of one jurisdiction share


@dataclass(frozen=True, slots=True)
class Bound:
    """One bound of a name: the least or the most of a figure, as a share of a basis [0 to 1].

    ``doubt`` says, where it is not empty, why it is not settled that the bound applies; ``shared`` that it
    binds many names of its jurisdiction.
    """

    figure: str
    words: str
    share: float
    least: bool
    strict: bool
    basis: str
    section: str
    status: Status
    source: str
    doubt: str
    note: str
    shared: bool

    @property
    def low(self) -> float | None:
        """The least share, where it is one."""
        return self.share if self.least else None

    @property
    def high(self) -> float | None:
        """The greatest share, where it is one."""
        return None if self.least else self.share

    @property
    def side(self) -> str:
        """The bound in words: at least, more than, at most, less than."""
        if self.least:
            return "more than" if self.strict else "at least"
        return "less than" if self.strict else "at most"


@dataclass(frozen=True, slots=True, eq=False)
class NameClass:
    """A name that a jurisdiction reserves.

    ``known_bounds`` leaves out what is known from memory only. ``inside`` lists names of which the chocolate
    part must meet one; ``incomplete`` says what of its figures was not found; ``daily`` marks the names of
    everyday goods.
    """

    jurisdiction: str
    rank: int
    key: str
    name: str
    spoken: str
    daily: bool
    forms: frozenset[Form]
    section: str
    gates: tuple[str, ...]
    bounds: tuple[Bound, ...]
    known_bounds: tuple[Bound, ...]
    inside: tuple[str, ...]
    declares: bool
    status: Status
    source: str
    note: str
    incomplete: str


@dataclass(frozen=True, slots=True)
class Law:
    """One jurisdiction: what it takes off before figures are worked out, and its names in order."""

    key: str
    name: str
    place: str
    other: str
    other_status: Status
    off: frozenset[Kind]
    bases: Mapping[str, str]
    declaration: str
    vegetable_fat_note: str
    classes: Mapping[str, NameClass]

    @property
    def counts_liquor(self) -> bool:
        """Whether any of its names asks for chocolate liquor by the US formula."""
        return any(bound.figure == LIQUOR for name in self.classes.values() for bound in name.bounds)

    @property
    def rule(self) -> str:
        """What is taken off, as one word: laws with the same word share their sums."""
        return "+".join((self.other, *sorted(self.off)))


def words(topic: str) -> Mapping[str, Any]:
    """Return one table of ``laws.toml``."""
    return load_data("laws")[topic]  # type: ignore[return-value]


def reservation() -> str:
    """Return the sentence that every answer about law ends with.

    Returns
    -------
    str
        One sentence.

    Examples
    --------
    >>> reservation()
    'The current text and the local authority decide.'
    """
    return str(load_data("laws")["reservation"])


def jurisdictions() -> Mapping[str, str]:
    """Return the names of the jurisdictions by key.

    Returns
    -------
    Mapping[str, str]
        Key, such as ``eu``, to name.

    Examples
    --------
    >>> jurisdictions()["eu"]
    'EU'
    """
    return MappingProxyType({key: row["name"] for key, row in words("jurisdictions").items()})


def classes(jurisdiction: str) -> Mapping[str, NameClass]:
    """Return the names a jurisdiction reserves, the preferred first.

    Parameters
    ----------
    jurisdiction : str
        A key of ``jurisdictions()``.

    Returns
    -------
    Mapping[str, NameClass]
        Key, such as ``milk``, to the name with its bounds.

    Raises
    ------
    InputError
        With the keys there are.

    Examples
    --------
    >>> [(bound.figure, bound.low) for bound in classes("eu")["chocolate"].bounds][:3]
    [('tdcs', 0.35), ('cb', 0.18), ('ffdcs', 0.14)]

    References
    ----------
    [codex87] [eu-2000-36] [uk-2003-1659] [cfr21-163] [ca-fcs4]
    """
    return law(jurisdiction).classes


def name_class(jurisdiction: str, key: str) -> NameClass:
    """Return one name, or refuse a key that the jurisdiction does not have."""
    found = classes(jurisdiction)
    if key not in found:
        raise InputError(
            f"{law(jurisdiction).name} reserves no name with this key",
            value=key,
            advice=f"The names are: {', '.join(found)}.",
            field="name",
        )
    return found[key]


def law(jurisdiction: str) -> Law:
    """Return one law, or refuse a key that is in no table."""
    if jurisdiction not in _laws():
        raise InputError(
            "No jurisdiction has this key",
            value=jurisdiction,
            advice=f"They are: {', '.join(_laws())}.",
            field="jurisdiction",
        )
    return _laws()[jurisdiction]


@lru_cache(maxsize=1)
def _laws() -> Mapping[str, Law]:
    return MappingProxyType({key: _law(key, row) for key, row in words("jurisdictions").items()})


def _law(key: str, row: Mapping[str, Any]) -> Law:
    names = (_class(name) for name in load_rows("laws_names.csv") if name["jurisdiction"] == key)
    ordered = sorted(names, key=lambda name: name.rank)
    return Law(
        key=key,
        name=row["name"],
        place=row["place"],
        other=row["other"],
        other_status=Status(row["other_status"]),
        off=frozenset(Kind(kind) for kind in row["off"]),
        bases=MappingProxyType({**words("bases"), "part": row["part"], "dry": row["dry"]}),
        declaration=row["declaration"],
        vegetable_fat_note=row["vegetable_fat_note"],
        classes=MappingProxyType({name.key: name for name in ordered}),
    )


def _class(row: Mapping[str, str]) -> NameClass:
    keys = (row["key"], *(SHARED + shared for shared in row["shared"].split()))
    bounds = tuple(bound for key in keys for bound in _bounds().get((row["jurisdiction"], key), ()))
    return NameClass(
        jurisdiction=row["jurisdiction"],
        rank=int(row["rank"]),
        key=row["key"],
        name=row["name"],
        spoken=row["spoken"],
        daily=row["daily"] == "yes",
        forms=frozenset(Form(form) for form in row["forms"].split()),
        section=row["section"],
        gates=tuple(row["gates"].split()),
        bounds=bounds,
        known_bounds=tuple(bound for bound in bounds if bound.status is not Status.MEMORY),
        inside=tuple(row["inside"].split()),
        declares=row["declares"] == "yes",
        status=Status(row["status"]),
        source=row["source"],
        note=row["note"],
        incomplete=row["incomplete"],
    )


@lru_cache(maxsize=1)
def _bounds() -> Mapping[tuple[str, str], tuple[Bound, ...]]:
    found: dict[tuple[str, str], tuple[Bound, ...]] = {}
    for row in load_rows("laws_bounds.csv"):
        key = (row["jurisdiction"], row["key"])
        sides = [side for side in ("at_least", "at_most") if row[side]]
        found[key] = (*found.get(key, ()), *(_bound(row, side) for side in sides))
    return found


def _bound(row: Mapping[str, str], side: str) -> Bound:
    return Bound(
        figure=row["figure"],
        words=words("figures")[row["figure"]],
        share=share(row[side]),
        least=side == "at_least",
        strict=row["strict"] == "yes",
        basis=row["basis"],
        section=row["section"],
        status=Status(row["status"]),
        source=row["source"],
        doubt=row["doubt"],
        note=row["note"],
        shared=row["key"].startswith(SHARED),
    )


def share(percent: str) -> float:
    """Return a percentage of a table as a share.

    Parameters
    ----------
    percent : str
        As the table writes it [%].

    Returns
    -------
    float
        The share [0 to 1].

    Examples
    --------
    >>> share("35")
    0.35
    """
    return float(percent) / 100
