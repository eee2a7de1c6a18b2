"""From amounts typed in words to what can be made of them, and to a new recipe."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from nibsmith.science.errors import InputError, NibsmithError
from nibsmith.science.formulate import LargestBatch, from_ratio, largest_batch
from nibsmith.science.mixture import Kind, Recipe
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.recipes.drafts import Amount, Draft, Row
from nibsmith.shop.recipes.editing import row_for
from nibsmith.shop.recipes.listing import read_things
from nibsmith.shop.recipes.models import Mode
from nibsmith.shop.recipes.naming import Names, Stocked, WhichOne, named_things
from nibsmith.shop.recipes.opening import open_version
from nibsmith.shop.recipes.selectors import Listed
from nibsmith.shop.recipes.shares import STORED

_SWEET = frozenset({Kind.SUGAR, Kind.SWEETENER})
_MOST_NAMED = 3  # ingredients that a suggested name lists


@dataclass(frozen=True, slots=True)
class Read:
    """A typed list: what is named, the questions still open, and the names it was read with."""

    things: tuple[Stocked, ...]
    questions: tuple[WhichOne, ...]
    names: Names

    @property
    def shelf_g(self) -> Mapping[str, Decimal]:
        """What there is of each ingredient [g]."""
        found: dict[str, Decimal] = {}
        for thing in self.things:
            if thing.mass_g is not None:
                found[thing.named.ref] = found.get(thing.named.ref, Decimal(0)) + thing.mass_g
        return found


@dataclass(frozen=True, slots=True)
class Makeable:
    """A recipe and the largest batch of it that the shelf allows."""

    listed: Listed
    batch: LargestBatch
    recipe: Recipe


def read_list(text: str, chosen: Mapping[str, str], settings: WorkshopSettings) -> Read:
    """Read what was typed and name every thing of it."""
    names = Names()
    things, questions = named_things(read_things(text, settings.decimal_sign), names, chosen)
    return Read(tuple(things), tuple(questions), names)


def makeable(read: Read, recipes: Iterable[Listed]) -> list[Makeable]:
    """Return the recipes that take from the shelf, the largest batch first."""
    shelf = {ref: float(grams) for ref, grams in read.shelf_g.items()}
    found = []
    for listed in recipes:
        try:
            recipe = open_version(listed.version).recipe
            found.append(Makeable(listed, largest_batch(recipe, shelf), recipe))
        except NibsmithError:
            continue  # nothing on the shelf is in it, none of what it needs, or it cannot be opened
    return sorted(found, key=lambda made: -made.batch.total_g)


def suggested_name(read: Read) -> str:
    """Return a name made of what goes in."""
    names = list(dict.fromkeys(thing.named.name for thing in read.things))
    head = " and ".join(names[:_MOST_NAMED]) if len(names) < _MOST_NAMED else ", ".join(names[:_MOST_NAMED])
    return head or "A new recipe"


def draft_from(read: Read, name: str, form: str, total_g: Decimal | None) -> Draft:
    """Return a new recipe with the shares of amounts, or of a ratio at a total; the sugar is the rest."""
    _check(read, total_g)
    named = {thing.named.ref: thing.named for thing in read.things}
    rows: list[Row] = []
    for ref, share in _shares(read.things).items():
        rows.append(replace(row_for(named[ref], [row.label for row in rows]), typed=share))
    rest = _rest_of(rows, read.names)
    rows[rest] = replace(rows[rest], mode=Mode.REST, typed=None)
    weighed = sum(read.shelf_g.values(), Decimal(0))
    return Draft(name=name, form=form, rows=tuple(rows), amount=Amount(total_g=total_g or weighed))


def _check(read: Read, total_g: Decimal | None) -> None:
    if read.questions:
        raise read.questions[0]
    by_parts = [thing for thing in read.things if thing.parts is not None]
    if by_parts and len(by_parts) < len(read.things):
        advice = "Type weights for all, or parts for all."
        raise InputError("Weights and parts are mixed", advice=advice, field="have")
    if not any(thing.mass_g or thing.parts for thing in read.things):
        raise InputError("All of it is nothing", advice="Type at least one amount above zero.", field="have")
    if by_parts and total_g is None:
        raise InputError("Parts need a total", advice="Type how much altogether.", field="total")


def _shares(things: Sequence[Stocked]) -> Mapping[str, Decimal]:
    amounts: dict[str, Decimal] = {}
    for thing in things:
        amount = thing.parts if thing.mass_g is None else thing.mass_g
        amounts[thing.named.ref] = amounts.get(thing.named.ref, Decimal(0)) + (amount or Decimal(0))
    return {ref: _percent(share) for ref, share in from_ratio(amounts).shares.items()}


def _percent(share: Fraction) -> Decimal:
    percent = share * 100
    stored = (Decimal(percent.numerator) / Decimal(percent.denominator)).quantize(STORED)
    return Decimal(f"{stored.normalize():f}")


def _rest_of(rows: Sequence[Row], names: Names) -> int:
    """Return the row that takes up what the others leave: the largest sugar, or the largest of all."""
    sweet = [
        number
        for number, row in enumerate(rows)
        if row.ingredient and names.by_ref[row.ingredient].kind in _SWEET
    ]
    return max(sweet or range(len(rows)), key=lambda number: rows[number].typed or Decimal(0))
