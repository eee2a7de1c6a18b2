"""One way to find an ingredient, packaged or the maker's own."""

from __future__ import annotations

import uuid
from dataclasses import replace
from decimal import Decimal

import pytest
from pytest_django import DjangoAssertNumQueries

from nibsmith.science.errors import UnknownIngredient
from nibsmith.science.mixture import Grind, Kind, Stage, ingredient, ingredients
from nibsmith.science.tables import Status
from nibsmith.shop.stock import selectors
from nibsmith.shop.stock.models import OwnIngredient
from nibsmith.shop.stock.services import Facts, create_ingredient, retire_ingredient, set_facts
from nibsmith.shop.stock.sheets import Sheet

pytestmark = pytest.mark.django_db


def test_a_packaged_key_gives_the_packaged_ingredient() -> None:
    assert selectors.find("cocoa_butter") is ingredient("cocoa_butter")


def test_an_own_key_gives_what_the_sheet_says_and_nothing_it_does_not(mass: OwnIngredient) -> None:
    found = selectors.find(mass.key)

    assert (found.key, found.name, found.kind) == (f"own:{mass.public_id}", "Quayside mass", Kind.MASS)
    assert found.composition["fat_g"] == 54.2
    assert "sugars_g" not in found.composition
    assert (found.fat_low_g, found.fat_high_g) == (53.0, 56.0)
    assert (found.status, found.source) == (Status.OWN_SHEET, "Northlight Cocoa, sheet of March")
    assert found.allergens_known


def test_the_same_sheet_gives_the_same_object_and_a_corrected_one_another(mass: OwnIngredient) -> None:
    first = selectors.find(mass.key)

    assert selectors.find(mass.key) is first
    mass.constituents = {**mass.constituents, "fat_g": "54.3"}
    mass.save()
    assert selectors.find(mass.key).composition["fat_g"] == 54.3
    assert first.composition["fat_g"] == 54.2


@pytest.mark.parametrize(
    "key", ["", "cocoa", "own:", "own:x", f"own:{uuid.uuid4()}", "own:\x00", "cocoa\x00", "OWN:1", "\ud800"]
)
def test_a_key_that_is_none_is_refused(key: str) -> None:
    with pytest.raises(UnknownIngredient):
        selectors.find(key)


def test_an_own_key_is_read_in_one_way_of_writing_only(mass: OwnIngredient) -> None:
    with pytest.raises(UnknownIngredient):
        selectors.find(f"own:{str(mass.public_id).upper()}")
    with pytest.raises(UnknownIngredient):
        selectors.find(f"own:{mass.public_id.hex}")


def test_a_refused_key_names_those_near_it() -> None:
    with pytest.raises(UnknownIngredient) as refused:
        selectors.find("cocoa_buter")
    assert "cocoa_butter" in refused.value.near


def test_many_keys_take_two_queries(
    mass: OwnIngredient, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    keys = [mass.key, *list(ingredients())[:20]]

    with django_assert_num_queries(2):
        found = selectors.find_many(keys)

    assert list(found) == keys


def test_choices_take_two_queries_and_offer_own_ones_first_in_their_group(
    mass: OwnIngredient, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    with django_assert_num_queries(2):
        offered = selectors.choices()

    assert (offered[0].key, offered[0].group, offered[0].own) == (mass.key, "Cocoa", True)
    assert {choice.key for choice in offered} == {mass.key, *ingredients()}
    assert len({choice.group for choice in offered}) == len(
        [a for a, b in zip(offered, [None, *offered], strict=False) if b is None or a.group != b.group]
    )


def test_a_choice_brings_the_defaults_of_its_ingredient() -> None:
    almonds = next(choice for choice in selectors.choices() if choice.key == "almond_dry_roasted")

    assert (almonds.kind, almonds.stage) == (Kind.OTHER_FOOD, Stage.FOLDED_IN)
    assert almonds.grind == ingredient("almond_dry_roasted").grind != Grind.REFINED


def test_what_is_put_away_is_offered_no_more_but_found_by_recipes_that_hold_it(mass: OwnIngredient) -> None:
    retire_ingredient(mass)

    assert mass.key not in {choice.key for choice in selectors.choices()}
    assert selectors.find(mass.key).name == "Quayside mass"
    assert [row.key for row in selectors.put_away()] == [mass.key]


def test_a_price_is_none_until_it_is_typed(mass: OwnIngredient) -> None:
    assert selectors.price_for("sugar_granulated") is None
    set_facts("sugar_granulated", Facts(price_per_kg=Decimal("1.35")))

    assert selectors.price_for("sugar_granulated") == Decimal("1.35")
    assert selectors.price_for(mass.key) == Decimal("11.40")


def test_the_makers_own_fat_takes_the_place_of_the_packaged_one_and_its_range() -> None:
    packaged = ingredient("cocoa_nibs_roasted")
    set_facts("cocoa_nibs_roasted", Facts(fat_g=Decimal("55.5")))
    found = selectors.find("cocoa_nibs_roasted")

    assert found.composition["fat_g"] == 55.5
    assert found.composition["water_g"] == packaged.composition["water_g"]
    assert (found.fat_low_g, found.fat_high_g) == (None, None)
    # What is dry and no fat shrinks in one proportion, so its parts stay in theirs.
    assert found.composition["ash_g"] / found.composition["protein_g"] == pytest.approx(
        packaged.composition["ash_g"] / packaged.composition["protein_g"], rel=1e-12
    )
    assert "own sheet" in found.source


def test_a_packaged_ingredient_may_have_a_namesake_of_the_makers_own(sheet: Sheet, db: None) -> None:
    own = create_ingredient(replace(sheet, name="Cocoa mass"))

    assert selectors.find(own.key).name == selectors.find("cocoa_mass").name
    assert [choice.own for choice in selectors.choices() if choice.name == "Cocoa mass"] == [True, False]
