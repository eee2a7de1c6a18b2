"""A version that is kept stays what it was, whatever is learned of its ingredients later."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client

from nibsmith.answers.cost import cost
from nibsmith.science.mixture import Kind, as_weighed
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.common.history.selectors import tell
from nibsmith.shop.kit.services import MouldCard, create_mould, update_mould
from nibsmith.shop.recipes import selectors, services
from nibsmith.shop.recipes.drafts import draft_of
from nibsmith.shop.recipes.keeping import changed_since
from nibsmith.shop.recipes.models import Mode, RecipeVersion
from nibsmith.shop.recipes.opening import open_draft, open_version
from nibsmith.shop.stock.models import OwnIngredient
from nibsmith.shop.stock.services import Facts, create_ingredient, set_facts, update_ingredient
from nibsmith.shop.stock.sheets import Sheet, sheet_of
from recipes_typed import draft, form_of, row

pytestmark = pytest.mark.django_db


@pytest.fixture
def nibs(db: None) -> OwnIngredient:
    figures = {"water_g": Decimal("2.5"), "fat_g": Decimal("54.0")}
    return create_ingredient(
        Sheet(name="Our nibs", kind=Kind.NIB, constituents=figures, price_per_kg=Decimal("9.50"))
    )


@pytest.fixture
def version(nibs: OwnIngredient) -> RecipeVersion:
    set_facts("cocoa_mass", Facts(price_per_kg=Decimal("12.40"), fat_g=Decimal("55.0")))
    set_facts("sugar_granulated", Facts(price_per_kg=Decimal("2.00")))
    own = replace(row("nibs", "60"), ingredient=nibs.key)
    return services.create_recipe(draft(own, row("cocoa_mass", "5"), row("sugar_granulated")))


def correct(nibs: OwnIngredient) -> None:
    """Correct the sheet: 51 g of fat in place of 54 g, and a higher price."""
    sheet = sheet_of(OwnIngredient.objects.get(pk=nibs.pk))
    figures = {**sheet.constituents, "fat_g": Decimal("51.0")}
    update_ingredient(nibs, replace(sheet, constituents=figures, price_per_kg=Decimal("11.00")))
    set_facts("cocoa_mass", Facts(price_per_kg=Decimal("15.00"), fat_g=Decimal("52.0")))


def fat(version: RecipeVersion) -> float:
    return as_weighed(open_version(version).recipe).percent("cocoa_butter")


def price(version: RecipeVersion) -> float | None:
    opened = open_version(version)
    return cost(opened.recipe, replace(opened.context, mould=None)).figure


def test_a_kept_version_keeps_the_sheet_the_fat_and_the_prices_it_was_kept_with(
    version: RecipeVersion, nibs: OwnIngredient
) -> None:
    # By hand: 60 % of 54 g and 5 % of 55 g of fat; 0.6 kg at 9.50, 0.05 kg at 12.40, 0.35 kg at 2.00.
    assert fat(version) == pytest.approx(0.60 * 54.0 + 0.05 * 55.0)
    kept = services.freeze(version)
    correct(nibs)
    again = selectors.numbered(kept.recipe.public_id, 1)
    assert fat(again) == pytest.approx(0.60 * 54.0 + 0.05 * 55.0)
    assert price(again) == pytest.approx(0.6 * 9.50 + 0.05 * 12.40 + 0.35 * 2.00)


def test_a_version_still_being_worked_on_follows_the_sheet(
    version: RecipeVersion, nibs: OwnIngredient
) -> None:
    correct(nibs)
    assert fat(version) == pytest.approx(0.60 * 51.0 + 0.05 * 52.0)
    assert price(version) == pytest.approx(0.6 * 11.00 + 0.05 * 15.00 + 0.35 * 2.00)


def test_a_price_that_was_not_known_when_it_was_kept_stays_unknown(db: None) -> None:
    kept = services.freeze(services.create_recipe(draft(row("cocoa_mass"))))
    set_facts("cocoa_mass", Facts(price_per_kg=Decimal("10.00")))
    assert price(selectors.newest(kept.recipe.public_id)) is None


def test_an_edit_of_a_kept_version_takes_what_is_known_today(
    version: RecipeVersion, nibs: OwnIngredient
) -> None:
    kept = services.freeze(version)
    correct(nibs)
    stored = draft_of(kept)
    changed = stored.with_row(replace(stored.row("cocoa_mass"), typed=Decimal(6)))
    after = services.edit(kept, open_draft(changed.as_of_today))
    assert after.number == 2
    assert fat(after) == pytest.approx(0.60 * 51.0 + 0.06 * 52.0)


def test_the_page_says_what_has_changed_since_and_takes_it_into_the_next_version(
    version: RecipeVersion, nibs: OwnIngredient, client: Client
) -> None:
    kept = services.freeze(version)
    address = f"/recipes/{kept.recipe.public_id}/"
    assert "Since then" not in client.get(address).content.decode()
    correct(nibs)
    assert changed_since(selectors.newest(kept.recipe.public_id)) == ("Our nibs", "Cocoa mass")
    page = client.get(address).content.decode()
    assert "Since then Our nibs and Cocoa mass changed" in page

    answer = client.post(f"{address}renew/", follow=True)
    newest = selectors.newest(kept.recipe.public_id)
    assert newest.number == 2
    assert fat(newest) == pytest.approx(0.60 * 51.0 + 0.05 * 52.0)
    assert "Since then" not in answer.content.decode()


def test_taking_todays_figures_of_a_version_still_being_worked_on_makes_no_other(
    version: RecipeVersion,
) -> None:
    assert services.renew(version) == version
    assert services.renew(services.freeze(version)) == version  # nothing was learned since
    assert version.recipe.versions.count() == 1


def test_going_back_to_a_kept_version_takes_its_shares_and_todays_sheets(
    version: RecipeVersion, nibs: OwnIngredient, client: Client
) -> None:
    services.freeze(version)
    client.post(f"/recipes/{version.recipe.public_id}/", form_of(version, amount__cocoa_mass="9"))
    correct(nibs)
    client.post(f"/recipes/{version.recipe.public_id}/versions/1/back/")
    newest = selectors.newest(version.recipe.public_id)
    assert newest.number == 3
    assert fat(newest) == pytest.approx(0.60 * 51.0 + 0.05 * 52.0)


def test_a_recipe_inside_another_keeps_what_it_was_made_of(
    version: RecipeVersion, nibs: OwnIngredient
) -> None:
    inside = replace(row("weir", "50"), ingredient="", sub_version=version.pk)
    outer = services.create_recipe(draft(inside, row("milk_powder_whole"), name="Weir milk"))
    before = fat(outer)
    correct(nibs)
    assert fat(outer) == before


def test_shares_counted_by_the_bar_stay_when_the_mould_is_weighed_anew(db: None) -> None:
    mould = create_mould(MouldCard(name="Plank", cavity_g=Decimal(50)))
    nuts = replace(row("almond", "5"), mode=Mode.PER_BAR, stage="folded_in")
    version = services.create_recipe(draft(row("cocoa_mass"), nuts, mould=mould.ref))
    kept = services.freeze(version)
    update_mould(mould, MouldCard(name="Plank", cavity_g=Decimal(100)))
    # 5 g of a bar of 50 g.
    assert open_version(kept).percent("almond") == 10
    assert open_version(kept, as_of_today=True).percent("almond") == 5
    assert changed_since(kept) == ("Plank",)


def test_the_history_names_and_links_the_recipe_whose_version_was_kept(version: RecipeVersion) -> None:
    services.freeze(version)
    told = tell(ChangeEntry.objects.filter(what="recipes.kept"))
    assert [(entry.name, entry.address) for entry in told] == [
        ("Weir dark", f"/recipes/{version.recipe.public_id}/")
    ]


def test_keeping_a_version_for_a_reason_leaves_the_reason_it_was_made_for(db: None) -> None:
    version = services.create_recipe(draft(row("cocoa_mass")), why="First try")
    kept = services.freeze(version, why="made as batch 1")
    assert kept.why == "First try"
    assert ChangeEntry.objects.get(what="recipes.kept").why == "made as batch 1"
    entries = ChangeEntry.objects.count()
    services.freeze(kept, why="made as batch 2")
    assert ChangeEntry.objects.count() == entries


def test_answering_a_kept_version_again_without_a_change_shows_what_was_kept(
    version: RecipeVersion, nibs: OwnIngredient, send: Any
) -> None:
    services.freeze(version)
    correct(nibs)
    answer = send(version, htmx=True)
    # 7.02 EUR a kilogram by the prices kept, as worked out above; 8.05 by those of today.
    assert "7.02" in answer.content.decode()
    assert version.recipe.versions.count() == 1
