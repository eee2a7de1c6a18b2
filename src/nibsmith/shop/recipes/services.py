"""Write recipes: each call is one transaction and one entry of the change log."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, replace
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Form
from nibsmith.shop.common import texts
from nibsmith.shop.common.changelog.services import record
from nibsmith.shop.common.history.meanwhile import check_seen
from nibsmith.shop.common.history.services import save_changes
from nibsmith.shop.recipes.drafts import MOST_PARTS, Amount, Draft, Row, draft_of
from nibsmith.shop.recipes.keeping import changed_since, kept_now
from nibsmith.shop.recipes.logged import differences, side, whole
from nibsmith.shop.recipes.models import Recipe, RecipePart, RecipeVersion
from nibsmith.shop.recipes.opening import Opened, open_draft
from nibsmith.shop.recipes.windows import NO_WINDOW, Window, check_window

GRAM = Decimal("0.001")  # totals are kept to a milligram
LARGEST_TOTAL_G = 10_000_000


@transaction.atomic
def create_recipe(draft: Draft, *, note: str = "", why: str = "") -> RecipeVersion:
    """Store a new recipe with its first version."""
    opened = open_draft(_tidy(draft))
    recipe = _new_recipe(opened.draft, note)
    version = _new_version(recipe, 1, opened, None, why)
    record("recipes.made", recipe, after=whole(opened.draft), why=version.why)
    return version


@transaction.atomic
def edit(
    version: RecipeVersion, opened: Opened, *, why: str = "", window: Window = NO_WINDOW
) -> RecipeVersion:
    """Store an opened draft in place of a version; a frozen one stays, and the next one is made of it.

    A version that the draft holds as a part becomes frozen by that, so the draft is the next one.
    """
    latest = _latest(version)
    check_window(latest, window)
    unchanged = (latest.pk, latest.updated_at) == (version.pk, version.updated_at)
    before = draft_of(version if unchanged else latest)
    draft = _with_total(opened)
    changes = differences(before, draft)
    if not changes:
        return latest
    _check_rows(draft.rows)
    if any(row.sub_version == latest.pk for row in draft.rows):
        _keep(latest)
    if latest.is_frozen:
        return _next_version(latest, opened, changes, why, window.page)
    latest.written_by = window.page
    _store_amount(latest, draft.amount, why)
    _store_rows(latest, before.rows, draft.rows)
    told = texts.note(why, "why")
    record("recipes.edited", latest.recipe, before=side(changes, 0), after=side(changes, 1), why=told)
    return latest


@transaction.atomic
def step_on(version: RecipeVersion, opened: Opened, *, why: str) -> RecipeVersion:
    """Keep the latest version as it is and store an opened draft as the next one: a remedy, a way out."""
    latest = _latest(version)
    changes = differences(draft_of(latest), _with_total(opened))
    if not changes:
        return latest
    _keep(latest)
    return _next_version(latest, opened, changes, why)


@transaction.atomic
def renew(version: RecipeVersion, *, why: str = "") -> RecipeVersion:
    """Make the next version of a kept one with what is known today, where anything of it has changed."""
    latest = _latest(version)
    if not changed_since(latest):
        return latest
    opened = open_draft(draft_of(latest).as_of_today)
    return _next_version(latest, opened, differences(draft_of(latest), _with_total(opened)), why)


@transaction.atomic
def freeze(version: RecipeVersion, *, why: str = "") -> RecipeVersion:
    """Keep a version as it is for good, with what is known of its parts; the next edit makes a new one."""
    locked = _locked().get(pk=version.pk)
    if not locked.is_frozen:
        _keep(locked)
        since = {"version": locked.number, "kept as it is since": locked.frozen_at}
        record("recipes.kept", locked.recipe, after=since, before={}, why=texts.note(why, "why"))
    return locked


@transaction.atomic
def copy(version: RecipeVersion, *, name: str) -> RecipeVersion:
    """Store a recipe of its own that begins as this version is."""
    opened = open_draft(_tidy(replace(draft_of(version).as_of_today, name=name)))
    recipe = _new_recipe(opened.draft, version.recipe.note)
    why = f"begun from {version.recipe.name}, version {version.number}"
    new = _new_version(recipe, 1, opened, version, why)
    record("recipes.copied", recipe, after=whole(opened.draft), why=why)
    return new


@transaction.atomic
def describe(recipe: Recipe, *, name: str, form: str, note: str, why: str = "", seen: str = "") -> Recipe:
    """Store another name, form or note; ``seen`` is the stamp of the recipe as its form was shown."""
    locked = Recipe.objects.select_for_update().get(pk=recipe.pk)
    check_seen(locked, seen)
    changes = {"name": texts.name(name), "form": _form(form), "note": texts.note(note)}
    save_changes("recipes.described", locked, changes, why=why)
    return locked


@transaction.atomic
def retire(recipe: Recipe, *, why: str = "") -> Recipe:
    """Put a recipe away: no list offers it; its versions stay."""
    locked = Recipe.objects.select_for_update().get(pk=recipe.pk)
    if locked.retired_at is None:
        save_changes("recipes.put_away", locked, {"retired_at": timezone.now()}, why=why)
    return locked


@transaction.atomic
def bring_back(recipe: Recipe, *, why: str = "") -> Recipe:
    """Offer a recipe again that was put away."""
    locked = Recipe.objects.select_for_update().get(pk=recipe.pk)
    save_changes("recipes.brought_back", locked, {"retired_at": None}, why=why)
    return locked


def _keep(version: RecipeVersion) -> None:
    """Freeze a version that is not frozen yet."""
    if version.is_frozen:
        return
    version.kept = kept_now(draft_of(version))
    version.frozen_at = timezone.now()
    version.save(update_fields=["kept", "frozen_at", "updated_at"])


def _latest(version: RecipeVersion) -> RecipeVersion:
    """Lock the newest version of the recipe: only that is ever edited.

    The recipe is locked before it is looked up: who waits for it then finds what the other made meanwhile.
    """
    Recipe.objects.select_for_update().get(pk=version.recipe_id)
    return _locked().filter(recipe_id=version.recipe_id).order_by("-number")[:1].get()


def _locked() -> QuerySet[RecipeVersion]:
    return RecipeVersion.objects.select_for_update(of=("self",)).select_related("recipe")


def _next_version(
    latest: RecipeVersion, opened: Opened, changes: Mapping[str, tuple[Any, Any]], why: str, page: str = ""
) -> RecipeVersion:
    new = _new_version(latest.recipe, latest.number + 1, opened, latest, why)
    if page:
        new.written_by = page
        new.save(update_fields=["written_by", "updated_at"])
    record(
        "recipes.version_made",
        latest.recipe,
        before={"version": latest.number, **side(changes, 0)},
        after={"version": new.number, **side(changes, 1)},
        why=new.why,
    )
    return new


def _new_recipe(draft: Draft, note: str) -> Recipe:
    recipe = Recipe(name=draft.name, form=draft.form, note=texts.note(note))
    recipe.save(force_insert=True)
    return recipe


def _new_version(
    recipe: Recipe, number: int, opened: Opened, made_from: RecipeVersion | None, why: str
) -> RecipeVersion:
    draft = _with_total(opened)
    _check_rows(draft.rows)
    version = RecipeVersion(
        recipe=recipe,
        number=number,
        made_from=made_from,
        why=texts.note(why, "why"),
        **_amount_columns(draft.amount),
    )
    version.save(force_insert=True)
    _insert_rows(version, draft.rows)
    return version


def _with_total(opened: Opened) -> Draft:
    total_g = opened.total.grams.quantize(GRAM)
    if not 0 < total_g <= LARGEST_TOTAL_G:
        shown = f"{total_g.normalize():f} g"
        raise InputError("This is no batch", value=shown, limit="1 mg to 10 000 kg", field="total")
    return replace(opened.draft, amount=replace(opened.draft.amount, total_g=total_g))


def _amount_columns(amount: Amount) -> dict[str, Any]:
    return {**asdict(amount), "way": amount.way.value}


def _store_amount(version: RecipeVersion, amount: Amount, why: str) -> None:
    columns = _amount_columns(amount)
    if why:
        columns["why"] = texts.note(why, "why")
    for name, value in columns.items():
        setattr(version, name, value)
    version.save(update_fields=[*columns, "written_by", "updated_at"])


def _store_rows(version: RecipeVersion, before: tuple[Row, ...], after: tuple[Row, ...]) -> None:
    """Update the rows whose figures changed; where rows came, went or moved, write them all anew."""
    if [row.label for row in before] != [row.label for row in after]:
        version.parts.all().delete()
        _insert_rows(version, after)
        return
    for old, new in zip(before, after, strict=True):
        if old != new:
            version.parts.filter(label=new.label).update(**_row_columns(new))


def _insert_rows(version: RecipeVersion, rows: tuple[Row, ...]) -> None:
    _freeze_used(rows)
    RecipePart.objects.bulk_create(
        RecipePart(version=version, order=order, **_row_columns(row)) for order, row in enumerate(rows)
    )


def _freeze_used(rows: tuple[Row, ...]) -> None:
    """A version used in another recipe must not change under it."""
    ids = [row.sub_version for row in rows if row.sub_version is not None]
    if ids:
        for version in _locked().filter(pk__in=ids, frozen_at=None):
            _keep(version)


def _row_columns(row: Row) -> dict[str, Any]:
    """Return a row as it is stored, its amount with the digits that say how exact it is."""
    columns = {**asdict(row), "mode": row.mode.value}
    columns["typed"] = columns.pop("digits")
    columns["sub_version_id"] = columns.pop("sub_version")
    return columns


def _tidy(draft: Draft) -> Draft:
    return replace(draft, name=texts.name(draft.name), form=_form(draft.form))


def _form(form: str) -> str:
    if form not in list(Form):
        raise InputError("No product has this form", value=form[:40], advice="Choose one.", field="form")
    return form


def _check_rows(rows: tuple[Row, ...]) -> None:
    if len(rows) > MOST_PARTS:
        raise InputError("These are too many parts", value=len(rows), limit=MOST_PARTS, field="add")
