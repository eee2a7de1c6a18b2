"""The left side of the recipe page as its templates show it: texts, nothing to work out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType

from nibsmith.answers.wording import told_apart
from nibsmith.science.formulate import round_to_scale
from nibsmith.science.mixture import Ingredient, Kind, Part
from nibsmith.shop.common.figures import NO_BREAK, as_given
from nibsmith.shop.common.svg import Slice, ribbon
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.recipes.changes import as_inclusion
from nibsmith.shop.recipes.drafts import Draft, Row
from nibsmith.shop.recipes.models import Mode
from nibsmith.shop.recipes.nesting import Inside, inside
from nibsmith.shop.recipes.opening import Opened
from nibsmith.shop.recipes.typed import Typed, TypedRow
from nibsmith.shop.recipes.written import (
    TENTH,
    Weight,
    price_text,
    share_text,
    typed_text,
    weight,
    weight_text,
)
from nibsmith.shop.stock.words import GRINDS, KINDS, STAGES

NOTHING: Mapping[str, str] = MappingProxyType({})
TINTS: Mapping[Kind, str] = MappingProxyType(
    {
        Kind.BEAN: "cocoa",
        Kind.NIB: "cocoa",
        Kind.MASS: "cocoa",
        Kind.POWDER: "cocoa",
        Kind.BUTTER: "butter",
        Kind.SUGAR: "sugar",
        Kind.SWEETENER: "sugar",
        Kind.MILK: "milk",
        Kind.EMULSIFIER: "drop",
        Kind.FLAVOURING: "drop",
    }
)


@dataclass(frozen=True, slots=True)
class ShownPart:
    """One part: its texts as typed or as stored, and what they come to.

    ``readings`` are the three ways of counting an inclusion; ``error`` stands beside its amount.
    """

    texts: TypedRow
    name: str
    facts: str
    tint: str
    is_rest: bool
    is_inclusion: bool
    is_recipe: bool
    usual: Mapping[str, str]
    usual_price: str
    inside: Inside | None
    share: str
    weight: Weight
    readings: tuple[str, ...]
    error: str = ""
    price_error: str = ""

    @property
    def label(self) -> str:
        return self.texts.label


@dataclass(frozen=True, slots=True)
class Fields:
    """What stands in the fields besides the parts."""

    way: str
    total: str
    have: str
    bars: str
    mould: str
    kit: str
    add: str = ""
    add_amount: str = ""
    ratio: str = ""


@dataclass(frozen=True, slots=True)
class Shown:
    """Everything on the left side of the page; ``holds`` is whether the answers are of what is typed."""

    parts: tuple[ShownPart, ...]
    total: Weight
    note: str
    fields: Fields
    ribbon: str
    errors: Mapping[str, str]

    @property
    def holds(self) -> bool:
        return not self.errors


def show(opened: Opened, settings: WorkshopSettings) -> Shown:
    """Show a version that holds."""
    texts = {row.label: texts_of(row, settings) for row in opened.draft.rows}
    return _shown(opened, texts, _fields(opened.draft, settings), NOTHING, settings)


def show_typed(typed: Typed, opened: Opened, errors: Mapping[str, str], settings: WorkshopSettings) -> Shown:
    """Show what was typed over the last version that holds, each refusal beside its field."""
    texts = {row.label: texts_of(row, settings) for row in opened.draft.rows}
    texts |= {row.label: row for row in typed.rows if row.label in texts}
    fields = Fields(*(getattr(typed, name) for name in Fields.__slots__))
    return _shown(opened, texts, fields, errors, settings)


def texts_of(row: Row, settings: WorkshopSettings) -> TypedRow:
    """Write a stored row as its fields show it."""
    return TypedRow(
        label=row.label,
        amount="" if row.typed is None else typed_text(row.typed, settings),
        mode=row.mode.value,
        kind=row.kind,
        stage=row.stage,
        grind=row.grind,
        price="" if row.price_per_kg is None else price_text(row.price_per_kg, settings),
    )


def _fields(draft: Draft, settings: WorkshopSettings) -> Fields:
    amount = draft.amount
    bars = "" if amount.bars is None else str(amount.bars)
    total = weight_text(amount.total_g, settings)
    return Fields(amount.way.value, total, amount.have, bars, amount.mould, amount.kit)


def _shown(
    opened: Opened,
    texts: Mapping[str, TypedRow],
    fields: Fields,
    errors: Mapping[str, str],
    settings: WorkshopSettings,
) -> Shown:
    weighed = round_to_scale({part.label: part.mass_g for part in opened.weighed.parts}, settings.scale_g)
    view = _View(opened, inside(opened.draft), errors, settings)
    parts = tuple(
        _part(row, texts[row.label], weighed.masses_g[row.label], view) for row in opened.draft.rows
    )
    total = weight(weighed.total_g, settings)
    return Shown(parts, total, opened.typed.note, fields, ribbon_of(opened, settings), errors)


@dataclass(frozen=True, slots=True)
class _View:
    """What every part is shown from."""

    opened: Opened
    inside: Mapping[str, Inside]
    errors: Mapping[str, str]
    settings: WorkshopSettings


def _part(row: Row, texts: TypedRow, grams: Decimal, view: _View) -> ShownPart:
    part = view.opened.parts[row.label]
    return ShownPart(
        texts=texts,
        name=told_apart(part, view.opened.parts.values()),
        facts=_facts(part, row.label, view),
        tint=_tint(part),
        is_rest=row.mode == Mode.REST,
        is_inclusion=not part.in_machine,
        is_recipe=row.sub_version is not None,
        usual=_usual(part),
        usual_price=_usual_price(row, part, view.settings),
        inside=view.inside.get(row.label),
        share=share_text(view.opened.percent(row.label), view.settings),
        weight=weight(grams, view.settings),
        readings=() if part.in_machine else _readings(row.label, view),
        error=view.errors.get(row.label, ""),
        price_error=view.errors.get(f"price-{row.label}", ""),
    )


def _tint(part: Part) -> str:
    """Choose a colour by what a part is; a recipe has that of what it holds most of."""
    thing = part.of
    kind = (
        part.kind if isinstance(thing, Ingredient) else max(thing.leaves(), key=lambda leaf: leaf.mass_g).kind
    )
    return TINTS.get(kind, "other")


def _usual(part: Part) -> Mapping[str, str]:
    thing = part.of
    if not isinstance(thing, Ingredient):
        return NOTHING
    return {"kind": KINDS[thing.kind], "stage": STAGES[thing.stage], "grind": GRINDS[thing.grind]}


def _usual_price(row: Row, part: Part, settings: WorkshopSettings) -> str:
    """Write the price that holds where none is typed for this recipe."""
    if row.price_per_kg is not None or part.price_per_kg is None:
        return ""
    return price_text(part.price_per_kg, settings)


def _facts(part: Part, label: str, view: _View) -> str:
    words = [STAGES[part.stage]]
    thing, sign = part.of, view.settings.decimal_sign
    if isinstance(thing, Ingredient) and thing.fat_low_g is not None and thing.fat_high_g is not None:
        low, high = as_given(thing.fat_low_g, sign), as_given(thing.fat_high_g, sign)
        words.append(f"fat {low} to {high}{NO_BREAK}%")
    if label in view.inside:
        words.insert(0, f"version {view.inside[label].number} of your recipe")
    return ", ".join(words)


def _readings(label: str, view: _View) -> tuple[str, ...]:
    """Count an inclusion in all three ways; grams in a bar need a mould."""
    share = as_inclusion(view.opened, label)
    settings = view.settings
    per_bar = share.g_per_bar
    return (
        f"{share_text(share.percent_of_everything, settings, TENTH)} % of everything",
        f"{share_text(share.g_per_100_g_chocolate, settings, TENTH)} g per 100 g of chocolate",
        "g per bar: choose a mould"
        if per_bar is None
        else f"{share_text(per_bar, settings, TENTH)} g per bar",
    )


def ribbon_of(opened: Opened, settings: WorkshopSettings) -> str:
    """Draw the shares of a recipe in its order."""
    slices = [
        Slice(
            words=f"{part.name} {share_text(opened.percent(label), settings, TENTH)}{NO_BREAK}%",
            percent=float(opened.percent(label)),
            tint=_tint(part),
        )
        for label, part in opened.parts.items()
    ]
    return ribbon(slices, f"The mix: {', '.join(piece.words for piece in slices)}")
