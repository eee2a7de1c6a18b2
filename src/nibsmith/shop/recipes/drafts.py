"""A version of a recipe as plain values: what a page edits and a service stores."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from nibsmith.science.errors import InputError
from nibsmith.shop.recipes.models import Mode, RecipePart, RecipeVersion, Way

LONGEST_LABEL = 60
MOST_PARTS = 60
_NOT_IN_LABELS = re.compile(r"[^a-z0-9_]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One part as stored: an ingredient key or the row number of a version, and the amount as typed.

    ``kind``, ``stage`` and ``grind`` are empty where those of the ingredient hold. Rows are the same only
    where the ``digits`` of their amounts are: 24 and 24.0 are one number, and say how exact it is otherwise.
    """

    label: str
    ingredient: str = ""
    sub_version: int | None = None
    mode: Mode = Mode.PERCENT
    typed: Decimal | None = None
    kind: str = ""
    stage: str = ""
    grind: str = ""
    price_per_kg: Decimal | None = None
    digits: str = field(init=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "digits", "" if self.typed is None else f"{self.typed:f}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """How much is made: a total weight [g], what is on the shelf in words, or a number of bars."""

    total_g: Decimal
    way: Way = Way.TOTAL
    have: str = ""
    bars: int | None = None
    kit: str = ""
    mould: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A version before it is stored.

    ``kept`` is what is known of its ingredients and its mould where a version is frozen; without it, what
    stands today is looked up.
    """

    name: str
    form: str
    rows: tuple[Row, ...]
    amount: Amount
    kept: Mapping[str, Any] | None = field(default=None, compare=False)

    def row(self, label: str) -> Row:
        """Return the row with this label."""
        for row in self.rows:
            if row.label == label:
                return row
        raise InputError("No part has this label", value=label[:LONGEST_LABEL], advice="Load the page anew.")

    def with_row(self, changed: Row) -> Draft:
        """Return the draft with one row in place of the one that has its label."""
        return self.with_rows(changed if row.label == changed.label else row for row in self.rows)

    def with_rows(self, rows: Iterable[Row]) -> Draft:
        """Return the draft with other rows."""
        return replace(self, rows=tuple(rows))

    @property
    def counts_finished(self) -> bool:
        """Whether an amount is counted on finished chocolate or a finished bar."""
        return any(row.mode in (Mode.PER_100, Mode.PER_BAR) for row in self.rows)

    @property
    def as_of_today(self) -> Draft:
        """The same draft with what is known today."""
        return self if self.kept is None else replace(self, kept=None)


def row_of(part: RecipePart) -> Row:
    """Read one stored part."""
    return Row(
        label=part.label,
        ingredient=part.ingredient,
        sub_version=part.sub_version_id,
        mode=Mode(part.mode),
        typed=Decimal(part.typed) if part.typed else None,
        kind=part.kind,
        stage=part.stage,
        grind=part.grind,
        price_per_kg=part.price_per_kg,
    )


def amount_of(version: RecipeVersion) -> Amount:
    """Read how much of a version is made."""
    return Amount(
        total_g=version.total_g,
        way=Way(version.way),
        have=version.have,
        bars=version.bars,
        kit=version.kit,
        mould=version.mould,
    )


def draft_of(version: RecipeVersion) -> Draft:
    """Read a stored version: one query for its parts."""
    return Draft(
        name=version.recipe.name,
        form=version.recipe.form,
        rows=tuple(row_of(part) for part in version.parts.all()),
        amount=amount_of(version),
        kept=version.kept if version.is_frozen else None,
    )


def label_for(name: str, taken: Collection[str]) -> str:
    """Return a label made of a name that no other part has.

    >>> label_for("Hazelnuts, roasted", ["hazelnuts_roasted"])
    'hazelnuts_roasted_2'
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    stem = _NOT_IN_LABELS.sub("_", plain).strip("_")[: LONGEST_LABEL - 4] or "part"
    if stem not in taken:
        return stem
    return next(label for number in range(2, MOST_PARTS + 2) if (label := f"{stem}_{number}") not in taken)
