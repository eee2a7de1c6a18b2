"""A version that is kept stays what it was, whatever is learned of its ingredients later."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client

from nibsmith.answers.cost import cost
from nibsmith.science.formulate import InclusionUnit, fold_in_for
from nibsmith.science.mixture import Kind, as_weighed
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.common.history.selectors import tell
from nibsmith.shop.kit.models import OwnKit
from nibsmith.shop.kit.services import (
    KitCard,
    MouldCard,
    create_kit,
    create_mould,
    update_kit,
    update_mould,
)
from nibsmith.shop.recipes import selectors, services
from nibsmith.shop.recipes.changes import as_inclusion
from nibsmith.shop.recipes.drafts import draft_of
from nibsmith.shop.recipes.keeping import changed_since
from nibsmith.shop.recipes.models import Mode, RecipeVersion, Way
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


def nutty(per: Mode = Mode.PER_BAR) -> RecipeVersion:
    """Store 40 bars of 65 g, from a stone grinder of the maker's own, 11 g of almonds in each."""
    mould = create_mould(MouldCard(name="Plank", cavity_g=Decimal(65)))
    kit = create_kit(KitCard(name="Agnes", based_on="stone"))
    nuts = replace(row("almond", "11"), mode=per, stage="folded_in")
    rows = row("cocoa_nibs_roasted", "50"), nuts, row("sugar_granulated")
    return services.create_recipe(draft(*rows, way=Way.BARS, bars=40, mould=mould.ref, kit=kit.ref))


def weighed_g(version: RecipeVersion, label: str = "almond") -> float:
    return open_version(version).weighed.part(label).mass_g


def test_so_many_bars_take_the_nuts_of_so_many_bars_whatever_the_kit_dries(db: None) -> None:
    assert weighed_g(nutty()) == pytest.approx(40 * 11, rel=0, abs=1e-7)  # shares are stored to 1e-12 %


def test_the_fold_in_card_of_a_stored_recipe_says_what_was_typed(db: None) -> None:
    opened = open_version(nutty(Mode.PER_100))
    card = fold_in_for(opened.recipe, 100.0, opened.context.end_water_percent)
    assert card["almond"] == pytest.approx(11, rel=0, abs=1e-9)


def test_shares_counted_by_the_bar_stay_when_the_kit_is_found_to_dry_more(db: None, client: Client) -> None:
    version = nutty()
    kept = services.freeze(version)
    before = open_version(kept).percent("almond")
    kit = OwnKit.objects.get()
    update_kit(kit, KitCard(name="Agnes", based_on="stone", end_water_percent=Decimal("0.5")))
    assert open_version(kept).percent("almond") == before
    assert open_version(kept, as_of_today=True).percent("almond") < before
    assert changed_since(kept) == ("Agnes",)
    client.post(f"/recipes/{kept.recipe.public_id}/renew/")
    newest = selectors.newest(kept.recipe.public_id)
    assert newest.number == 2
    assert weighed_g(newest) == pytest.approx(40 * 11, rel=0, abs=1e-7)


def test_another_water_of_the_kit_changes_nothing_where_shares_are_of_everything(db: None) -> None:
    kept = services.freeze(nutty(Mode.PERCENT))
    update_kit(
        OwnKit.objects.get(), KitCard(name="Agnes", based_on="stone", end_water_percent=Decimal("0.5"))
    )
    assert changed_since(kept) == ()


def test_what_was_kept_before_water_was_counted_stays_as_it_was_counted_then(db: None, send: Any) -> None:
    kept = services.freeze(nutty())
    kept.kept = {key: value for key, value in kept.kept.items() if key != "kit"}
    kept.save(update_fields=["kept"])
    # 11 g of 65 g weighed: a little more than 11 g in a bar that the water has left, which its counts say.
    opened = open_version(kept)
    assert float(opened.percent("almond")) == pytest.approx(1100 / 65, rel=1e-12)
    assert weighed_g(kept) > 40 * 11 + 1
    assert float(as_inclusion(opened, "almond").typed_as(InclusionUnit.PER_BAR)) > 11.02
    assert changed_since(kept) == ()
    send(kept, bars="41")
    newest = selectors.newest(kept.recipe.public_id)
    assert newest.number == 2
    assert weighed_g(newest) == pytest.approx(41 * 11, rel=0, abs=1e-7)


def test_an_inclusion_of_a_dried_mass_counted_in_another_way_keeps_its_share(db: None, send: Any) -> None:
    version = nutty(Mode.PERCENT)
    before = open_version(version).percent("almond")
    for mode in (Mode.PER_100, Mode.PER_BAR, Mode.PERCENT):
        send(version, mode__almond=mode.value)
        newest = selectors.newest(version.recipe.public_id)
        assert draft_of(newest).row("almond").mode == mode
        # a count is stored to six decimals
        assert open_version(newest).percent("almond") == pytest.approx(before, rel=0, abs=2e-6)


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
