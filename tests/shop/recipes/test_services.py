"""What is stored, what is kept, and what the change log says of it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from nibsmith.science.errors import InputError
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.recipes import selectors, services
from nibsmith.shop.recipes.drafts import draft_of
from nibsmith.shop.recipes.models import Mode, Recipe, RecipePart, RecipeVersion
from nibsmith.shop.recipes.opening import open_draft, open_version
from recipes_typed import DARK, draft, row

pytestmark = pytest.mark.django_db


def edited(version: RecipeVersion, label: str, typed: str) -> RecipeVersion:
    stored = draft_of(version)
    changed = stored.with_row(replace(stored.row(label), typed=Decimal(typed)))
    return services.edit(version, open_draft(changed))


def test_a_recipe_keeps_the_digits_that_were_typed(dark: RecipeVersion) -> None:
    assert [part.typed for part in dark.parts.all()] == ["64.0", "4.0", ""]


def test_shares_become_masses_at_the_total(dark: RecipeVersion) -> None:
    recipe = open_version(dark).recipe
    assert {part.label: part.mass_g for part in recipe.parts} == {
        "cocoa_nibs_roasted": 1280.0,
        "cocoa_butter": 80.0,
        "sugar_granulated": 640.0,
    }


def test_an_edit_of_a_version_still_being_worked_on_changes_it_in_place(dark: RecipeVersion) -> None:
    after = edited(dark, "cocoa_butter", "6.0")
    assert after.pk == dark.pk
    assert RecipePart.objects.get(version=dark, label="cocoa_butter").typed == "6.0"
    assert open_version(after).recipe.part("sugar_granulated").mass_g == pytest.approx(600.0)


def test_an_edit_of_a_frozen_version_makes_the_next_one_and_leaves_it(dark: RecipeVersion) -> None:
    services.freeze(dark)
    after = edited(dark, "cocoa_butter", "6.0")
    assert (after.number, after.made_from_id) == (2, dark.pk)
    assert draft_of(selectors.numbered(dark.recipe.public_id, 1)).row("cocoa_butter").typed == Decimal("4.0")


def test_a_step_keeps_the_version_before_it(dark: RecipeVersion) -> None:
    changed = open_draft(draft(*DARK[:1], row("cocoa_butter", "9.0"), row("sugar_granulated")))
    after = services.step_on(dark, changed, why="Add butter")
    dark.refresh_from_db()
    assert (after.number, after.why, dark.is_frozen, after.is_frozen) == (2, "Add butter", True, False)


def test_an_edit_that_changes_nothing_writes_nothing(dark: RecipeVersion) -> None:
    entries = ChangeEntry.objects.count()
    services.edit(dark, open_version(dark))
    assert ChangeEntry.objects.count() == entries


def test_every_write_is_one_entry_that_says_what_changed(dark: RecipeVersion) -> None:
    made = ChangeEntry.objects.get(what="recipes.made")
    assert made.object_id == str(dark.recipe.public_id)
    entries = ChangeEntry.objects.count()
    edited(dark, "cocoa_butter", "6.5")
    assert ChangeEntry.objects.count() == entries + 1
    entry = ChangeEntry.objects.latest("pk")
    assert entry.before == {"cocoa_butter": "4.0 % of everything"}
    assert entry.after == {"cocoa_butter": "6.5 % of everything"}


def test_a_refused_recipe_leaves_nothing_behind() -> None:
    with pytest.raises(InputError):
        services.create_recipe(draft(row("cocoa_nibs_roasted", "64.0"), row("sugar_granulated", "30.0")))
    assert not Recipe.objects.exists()
    assert not ChangeEntry.objects.exists()


@pytest.mark.parametrize(
    ("name", "form"), [("", "bar"), ("x" * 121, "bar"), ("Dark\x00", "bar"), ("Dark", "pudding")]
)
def test_names_and_forms_that_cannot_be_are_refused(name: str, form: str) -> None:
    with pytest.raises(InputError):
        services.create_recipe(replace(draft(*DARK), name=name, form=form))


def test_a_version_used_in_another_recipe_is_frozen_with_it(dark: RecipeVersion) -> None:
    nested = replace(row("weir", "80"), ingredient="", sub_version=dark.pk)
    outer = services.create_recipe(draft(nested, row("milk_powder_whole"), name="Weir milk"))
    dark.refresh_from_db()
    assert dark.is_frozen
    leaves = {leaf.ingredient.key: leaf.mass_g for leaf in open_version(outer).recipe.leaves()}
    assert leaves["cocoa_nibs_roasted"] == pytest.approx(2000 * 0.8 * 0.64)


def test_a_copy_is_a_recipe_of_its_own(dark: RecipeVersion) -> None:
    new = services.copy(dark, name="Weir, darker")
    edited(new, "cocoa_butter", "1.0")
    assert new.recipe_id != dark.recipe_id
    assert draft_of(dark).row("cocoa_butter").typed == Decimal("4.0")


def test_a_recipe_put_away_leaves_the_lists_and_comes_back(dark: RecipeVersion) -> None:
    services.retire(dark.recipe)
    assert selectors.listed() == []
    assert [listed.recipe for listed in selectors.listed(put_away=True)] == [dark.recipe]
    services.bring_back(dark.recipe)
    assert [listed.version for listed in selectors.listed()] == [dark]


def test_lists_show_the_newest_version_of_each_recipe(dark: RecipeVersion) -> None:
    services.freeze(dark)
    newest = edited(dark, "cocoa_butter", "6.0")
    other = services.create_recipe(draft(*DARK, name="Another"))
    assert {listed.version for listed in selectors.listed()} == {newest, other}


def test_a_part_counted_by_the_bar_keeps_the_mould_it_was_counted_with(dark: RecipeVersion) -> None:
    from nibsmith.shop.common.workshop.models import Workshop
    from nibsmith.shop.kit.services import MouldCard, create_mould

    small, large = (
        create_mould(MouldCard(name=f"{grams} g", cavity_g=Decimal(grams))) for grams in (50, 100)
    )
    workshop = Workshop.objects.create(default_mould=small.ref)
    nuts = replace(row("almond", "5"), mode=Mode.PER_BAR, stage="folded_in")
    version = services.create_recipe(draft(*DARK, nuts, name="Nutty"))
    Workshop.objects.filter(pk=workshop.pk).update(default_mould=large.ref)
    assert open_version(version).percent("almond") == 10


def test_an_edit_is_logged_without_the_reason_of_the_version(dark: RecipeVersion) -> None:
    changed = open_draft(draft(*DARK[:1], row("cocoa_butter", "9.0"), row("sugar_granulated")))
    edited(services.step_on(dark, changed, why="Add butter"), "cocoa_butter", "6.5")
    entry = ChangeEntry.objects.latest("pk")
    assert (entry.what, entry.why) == ("recipes.edited", "")


def test_the_log_calls_kit_and_mould_by_their_names(db: None) -> None:
    from nibsmith.shop.kit.services import KitCard, MouldCard, create_kit, create_mould

    kit = create_kit(KitCard(name="Agnes", based_on="stone"))
    mould = create_mould(MouldCard(name="Plank", cavity_g=Decimal(50)))
    version = services.create_recipe(draft(*DARK, kit=kit.ref))
    stored = draft_of(version)
    services.edit(
        version, open_draft(replace(stored, amount=replace(stored.amount, kit="", mould=mould.ref)))
    )
    made, changed = ChangeEntry.objects.get(what="recipes.made"), ChangeEntry.objects.latest("pk")
    assert made.after is not None
    assert made.after["kit"] == "Agnes"
    assert (changed.before, changed.after) == (
        {"kit": "Agnes", "mould": None},
        {"kit": None, "mould": "Plank"},
    )


CHALK = (
    row("cocoa_butter", "34"),
    row("milk_powder_whole", "24"),
    row("sugar_granulated", "41.8"),
    row("vanilla_bean", "0.2"),
)


@pytest.mark.parametrize("way", ["edited", "step", "next", "copied", "back"])
def test_zeros_behind_the_sign_are_kept_however_the_row_is_written(way: str) -> None:
    version = edited(services.create_recipe(draft(*CHALK)), "milk_powder_whole", "24.0")
    if way == "step":
        changed = draft_of(version).with_row(row("milk_powder_whole", "24.00"))
        version = services.step_on(version, open_draft(changed), why="weighed it finer")
    if way == "next":
        version = edited(services.freeze(version), "milk_powder_whole", "24.00")
    if way == "copied":
        version = services.copy(services.freeze(version), name="Chalk, another")
    if way == "back":
        older = services.freeze(version)
        edited(older, "milk_powder_whole", "24")
        version = services.step_on(older, open_version(older, as_of_today=True), why="back")
    stored = RecipePart.objects.get(version=version, label="milk_powder_whole").typed
    assert stored == ("24.00" if way in ("step", "next") else "24.0")


def test_a_typed_zero_narrows_what_may_be_off_a_hundred() -> None:
    version = services.create_recipe(draft(*CHALK))
    for label, typed in (("cocoa_butter", "34.0"), ("milk_powder_whole", "24.0")):
        version = edited(version, label, typed)
    with pytest.raises(InputError, match=r"100\.5"):
        edited(version, "cocoa_butter", "34.5")
    assert RecipePart.objects.get(version=version, label="cocoa_butter").typed == "34.0"
