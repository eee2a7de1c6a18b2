"""Open a version: its ingredients looked up, its shares worked out, as the recipe that answers read."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

from nibsmith.answers.context import Context
from nibsmith.answers.leaving import leaving_of
from nibsmith.science.errors import InputError
from nibsmith.science.formulate import TypedShares
from nibsmith.science.mixture import Form, Grind, Kind, Part, Recipe, Stage
from nibsmith.shop.common.workshop.selectors import context, workshop
from nibsmith.shop.recipes.drafts import Draft, Row, draft_of
from nibsmith.shop.recipes.keeping import end_water_kept, ingredients_kept, mould_kept
from nibsmith.shop.recipes.models import Mode, RecipeVersion, Way
from nibsmith.shop.recipes.shares import Ground, TypedPart, shares
from nibsmith.shop.recipes.totals import Total, total_of
from nibsmith.shop.stock.kept import Facts, find_kept
from nibsmith.shop.stock.selectors import Found

NOTHING: Mapping[str, Facts] = MappingProxyType({})
UNIT_G = 100.0  # a recipe of shares alone, before it is known how much is made
DEEPEST = 6  # recipes inside recipes; deeper ones are a mistake


@dataclass(frozen=True, slots=True)
class Opened:
    """A draft with everything looked up that a page or an answer needs."""

    draft: Draft
    parts: Mapping[str, Part]
    typed: TypedShares
    total: Total
    context: Context

    @property
    def recipe(self) -> Recipe:
        """The shares at the total: what answers are asked about [g]."""
        return self.total.sized.recipe

    @property
    def bar_g(self) -> Decimal | None:
        """What one bar weighs [g], where a mould is known."""
        return bar_of(self.context)

    @property
    def leaving(self) -> Fraction:
        """Share of the ground part that leaves as water."""
        today = self.context.end_water_percent
        kept = self.draft.kept
        return leaving_of(self.recipe, today if kept is None else end_water_kept(kept, today))

    @property
    def weighed(self) -> Recipe:
        """What goes on the scale [g]."""
        return self.total.sized.weigh

    def percent(self, label: str) -> Fraction:
        """Return the share of a part in everything weighed [%]."""
        return self.typed.shares[label] * 100


def bar_of(context: Context) -> Decimal | None:
    """Return what one bar weighs [g], where a mould is known."""
    return Decimal(str(context.mould.cavity_g)) if context.mould else None


def open_version(version: RecipeVersion, *, as_of_today: bool = False) -> Opened:
    """Open a stored version; where what is on the shelf cannot be read any more, its last total stands.

    A frozen one is opened with what was known of its parts when it was frozen, unless today is asked for.
    """
    draft = draft_of(version).as_of_today if as_of_today else draft_of(version)
    try:
        return open_draft(draft)
    except InputError:
        if draft.amount.way == Way.TOTAL:
            raise
        return open_draft(replace(draft, amount=replace(draft.amount, way=Way.TOTAL)))


def open_draft(draft: Draft) -> Opened:
    """Open a draft; refuse shares or amounts that cannot be."""
    draft = _with_its_mould(draft)
    parts = look_up(draft)
    amount = draft.amount
    here = _around(draft, amount.bars if amount.way == Way.BARS else None)
    typed = _shares(draft, parts, here)
    total = total_of(amount, _recipe(draft, parts, typed, UNIT_G), here)
    shelf = {label: float(grams) for label, grams in total.shelf_g.items()}
    return Opened(draft, parts, typed, total, replace(here, shelf_g=shelf) if shelf else here)


def _with_its_mould(draft: Draft) -> Draft:
    """Name the usual mould where bars are counted, so that another usual one changes no recipe."""
    counts_bars = draft.amount.way == Way.BARS or any(row.mode == Mode.PER_BAR for row in draft.rows)
    if not counts_bars or draft.amount.mould:
        return draft
    return replace(draft, amount=replace(draft.amount, mould=workshop().default_mould))


def look_up(draft: Draft) -> Mapping[str, Part]:
    """Return each part with its facts, at no mass yet."""
    if not draft.rows:
        raise InputError("A recipe needs at least one part", advice="Add what goes in first.", field="add")
    return _parts(draft.rows, DEEPEST, ingredients_kept(draft.kept))


def parts_of(rows: Iterable[Row]) -> Mapping[str, Part]:
    """Return rows with the facts of their ingredients, at no mass yet."""
    return _parts(rows, DEEPEST, NOTHING)


def _around(draft: Draft, bars: int | None = None) -> Context:
    """Return what answers know of the workshop, with the kit and mould of the draft."""
    here = context(kit=draft.amount.kit or None, mould=draft.amount.mould or None, bars=bars)
    mould = mould_kept(draft.kept)
    return here if mould is None else replace(here, mould=mould)


def _shares(draft: Draft, parts: Mapping[str, Part], here: Context) -> TypedShares:
    """Return the shares; what was kept before water was counted stays as it was counted then."""
    kept = draft.kept
    end_water = here.end_water_percent if kept is None else end_water_kept(kept, None)

    def leaving(ground: Ground) -> Fraction:
        weighed = tuple(parts[label].weighing(float(share)) for label, share in ground.items() if share > 0)
        ground_alone = Recipe(draft.name, Form(draft.form), weighed) if weighed else None
        return Fraction(0) if ground_alone is None else leaving_of(ground_alone, end_water)

    return shares(_typed_parts(draft, parts), bar_of(here), leaving)


def _typed_parts(draft: Draft, parts: Mapping[str, Part]) -> list[TypedPart]:
    return [TypedPart(row.label, parts[row.label].stage, row.mode, row.typed) for row in draft.rows]


def _parts(rows: Iterable[Row], deeper: int, kept: Mapping[str, Facts]) -> Mapping[str, Part]:
    rows = tuple(rows)
    found = find_kept((row.ingredient for row in rows if row.ingredient), kept)
    nested = _nested({row.sub_version for row in rows if row.sub_version is not None}, deeper)
    return {row.label: _part(row, found, nested) for row in rows}


def _nested(ids: set[int], deeper: int) -> Mapping[int, Recipe]:
    if not ids:
        return {}
    if not deeper:
        raise InputError("Recipes stand inside each other too deep", limit=DEEPEST)
    versions = RecipeVersion.objects.filter(pk__in=ids).select_related("recipe").prefetch_related("parts")
    return {version.pk: _nested_recipe(draft_of(version), deeper - 1) for version in versions}


def _nested_recipe(draft: Draft, deeper: int) -> Recipe:
    parts = _parts(draft.rows, deeper, ingredients_kept(draft.kept))
    return _recipe(draft, parts, _shares(draft, parts, _around(draft)), UNIT_G)


def _part(row: Row, found: Mapping[str, Found], nested: Mapping[int, Recipe]) -> Part:
    if row.sub_version is not None:
        part = Part(row.label, nested[row.sub_version], 0.0, Kind.OTHER_FOOD, price_per_kg=row.price_per_kg)
        return _overruled(part, row)
    thing = found[row.ingredient].ingredient
    price = found[row.ingredient].price_per_kg if row.price_per_kg is None else row.price_per_kg
    return _overruled(Part(row.label, thing, 0.0, thing.kind, thing.stage, thing.grind, price), row)


def _overruled(part: Part, row: Row) -> Part:
    if not (row.kind or row.stage or row.grind):
        return part
    return replace(
        part,
        kind=Kind(row.kind) if row.kind else part.kind,
        stage=Stage(row.stage) if row.stage else part.stage,
        grind=Grind(row.grind) if row.grind else part.grind,
    )


def _recipe(draft: Draft, parts: Mapping[str, Part], typed: TypedShares, total_g: float) -> Recipe:
    masses = typed.masses_g(total_g)
    weighed = tuple(parts[row.label].weighing(masses[row.label]) for row in draft.rows)
    return Recipe(draft.name, Form(draft.form), weighed)
