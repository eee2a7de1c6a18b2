"""The recipe page under the hands: answers land while amounts are typed, and nothing typed is lost."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from nibsmith.shop.recipes import selectors, services
from nibsmith.shop.recipes.drafts import draft_of
from nibsmith.shop.recipes.models import Mode, RecipeVersion
from nibsmith.shop.stock.services import Facts, set_facts
from recipes_typed import DARK, draft, row

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def dark(transactional_db: None) -> RecipeVersion:
    return services.create_recipe(draft(*DARK))


@pytest.fixture
def recipe_page(page: Page, dark: RecipeVersion) -> Page:
    page.goto(f"/recipes/{dark.recipe.public_id}/")
    return page


def typed(version: RecipeVersion, label: str) -> str:
    return str(draft_of(selectors.newest(version.recipe.public_id)).row(label).typed)


def weight_of(page: Page, label: str) -> Any:
    return page.locator(f"#out-{label} .part-weight")


def test_the_weights_and_answers_follow_what_is_typed(recipe_page: Page, dark: RecipeVersion) -> None:
    recipe_page.get_by_label("Cocoa butter", exact=True).fill("6")
    expect(weight_of(recipe_page, "cocoa_butter")).to_contain_text("120")
    expect(weight_of(recipe_page, "sugar_granulated")).to_contain_text("600")
    expect(recipe_page.locator("#heard")).to_contain_text("Answered:")
    assert typed(dark, "cocoa_butter") == "6"


def test_a_number_typed_sign_by_sign_stays_whole_and_keeps_the_focus(
    recipe_page: Page, dark: RecipeVersion
) -> None:
    field = recipe_page.get_by_label("Cocoa butter", exact=True)
    field.fill("")
    field.press_sequentially("12.5", delay=250)
    expect(weight_of(recipe_page, "cocoa_butter")).to_contain_text("250")
    expect(field).to_have_value("12.5")
    expect(field).to_be_focused()


def test_while_the_sum_does_not_hold_the_last_answers_stay_dimmed_and_the_field_says_why(
    recipe_page: Page, dark: RecipeVersion, watch: Any, assert_accessible: Any
) -> None:
    watch.expected.append("status of 422")
    answers = recipe_page.locator("#answers").inner_text()
    field = recipe_page.get_by_label("Cocoa butter", exact=True)
    field.fill("60")
    expect(recipe_page.locator("#error-cocoa_butter")).to_contain_text("nothing for the rest")
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(recipe_page.get_by_text("the last amounts that held together")).to_be_visible()
    assert recipe_page.locator("#answers").inner_text() == answers
    assert typed(dark, "cocoa_butter") == "4.0"
    assert_accessible(recipe_page)

    field.fill("5")
    expect(recipe_page.locator("#error-cocoa_butter")).to_be_empty()
    expect(recipe_page.get_by_text("the last amounts that held together")).not_to_be_visible()
    expect(weight_of(recipe_page, "cocoa_butter")).to_contain_text("100")
    expect(field).not_to_have_attribute("aria-invalid", "true")


def test_what_was_opened_stays_open_when_answers_land(recipe_page: Page) -> None:
    why = recipe_page.locator("#why-call_it")
    why.locator("summary").click()
    recipe_page.get_by_label("Cocoa butter", exact=True).fill("6")
    expect(weight_of(recipe_page, "cocoa_butter")).to_contain_text("120")
    expect(why).to_have_attribute("open", "")


def test_enter_in_a_field_answers_and_moves_nothing(recipe_page: Page, dark: RecipeVersion) -> None:
    field = recipe_page.get_by_label("Cocoa butter", exact=True)
    field.fill("7")
    field.press("Enter")
    expect(weight_of(recipe_page, "cocoa_butter")).to_contain_text("140")
    assert [row.label for row in draft_of(selectors.newest(dark.recipe.public_id)).rows] == [
        row.label for row in DARK
    ]


def test_a_part_is_added_and_removed_without_leaving_the_page(recipe_page: Page) -> None:
    recipe_page.get_by_label("Add a part").fill("roasted hazelnuts")
    recipe_page.get_by_label("Its share").fill("10")
    recipe_page.get_by_role("button", name="Add", exact=True).click()
    added = recipe_page.locator("#part-hazelnut_dry_roasted")
    expect(added).to_contain_text("200")
    expect(added).to_contain_text("g per 100 g of chocolate")
    added.locator("summary").click()
    added.get_by_role("button", name="Remove").click()
    expect(added).to_have_count(0)


def test_a_choice_counts_at_once(recipe_page: Page, dark: RecipeVersion) -> None:
    row = recipe_page.locator("#part-cocoa_butter")
    row.locator("summary").click()
    row.get_by_label("Goes in").select_option("late")
    expect(row.locator("summary")).to_contain_text("late")
    assert draft_of(selectors.newest(dark.recipe.public_id)).row("cocoa_butter").stage == "late"


def test_typing_beside_a_way_of_saying_how_much_chooses_it(recipe_page: Page) -> None:
    recipe_page.get_by_label("What is on the shelf").fill("640 g nibs")
    expect(recipe_page.get_by_label("As much as I have")).to_be_checked()
    expect(recipe_page.locator("#sum")).to_contain_text("1\u202f000")


def test_a_kept_version_says_that_an_edit_makes_the_next(recipe_page: Page) -> None:
    recipe_page.get_by_role("button", name="Keep this version as it is").click()
    expect(recipe_page.locator("#version-line")).to_contain_text("an edit makes version 2")
    recipe_page.get_by_label("Cocoa butter", exact=True).fill("6")
    expect(recipe_page.locator("#version-line")).to_contain_text(re.compile("^Version 2"))


@pytest.mark.parametrize("scripting", [False])
@pytest.mark.parametrize("width", [390])
def test_without_scripts_what_was_typed_stays_beside_the_refusal(
    recipe_page: Page, watch: Any, assert_fits: Any
) -> None:
    watch.expected.append("status of 422")
    recipe_page.get_by_label("Cocoa butter", exact=True).fill("sixty")
    recipe_page.get_by_label("Add a part").fill("hazelnuts")
    recipe_page.get_by_role("button", name="Answer again").click()
    expect(recipe_page.get_by_label("Cocoa butter", exact=True)).to_have_value("sixty")
    expect(recipe_page.get_by_label("Add a part")).to_have_value("hazelnuts")
    expect(recipe_page.locator("#error-cocoa_butter")).to_contain_text("not a share in percent")
    expect(recipe_page.get_by_text("the last amounts that held together")).to_be_visible()
    assert_fits(recipe_page)


@pytest.mark.parametrize("width", [390])
@pytest.mark.parametrize("scripting", [True, False], ids=["scripts", "no-scripts"])
def test_a_recipe_goes_into_another_and_its_nuts_come_along(
    recipe_page: Page, dark: RecipeVersion, assert_fits: Any
) -> None:
    nuts = replace(row("hazelnut_dry_roasted", "15"), mode=Mode.PER_100)
    services.create_recipe(draft(*DARK, nuts, name="Quay hazelnut"))
    recipe_page.reload()
    recipe_page.get_by_label("Add a part").fill("Quay hazelnut")
    recipe_page.get_by_label("Its share").fill("10")
    recipe_page.get_by_role("button", name="Add", exact=True).click()
    added = recipe_page.locator("#part-quay_hazelnut")
    expect(added).to_contain_text("version 1 of your recipe")
    expect(added).to_contain_text("200")
    expect(recipe_page.locator("#answer-who_must_not")).to_contain_text("Declare hazelnut")
    assert_fits(recipe_page)


@pytest.mark.parametrize("scripting", [True, False], ids=["scripts", "no-scripts"])
def test_a_price_that_came_later_waits_for_the_next_version(
    recipe_page: Page, dark: RecipeVersion, scripting: bool
) -> None:
    recipe_page.get_by_role("button", name="Keep this version as it is").click()
    expect(recipe_page.locator("#version-line")).to_contain_text("kept as it is")
    for key, price in (("cocoa_nibs_roasted", 9), ("cocoa_butter", 18), ("sugar_granulated", 2)):
        set_facts(key, Facts(price_per_kg=Decimal(price)))
    recipe_page.reload()
    expect(recipe_page.locator("#answer-cost")).to_contain_text("No price is given")
    expect(recipe_page.locator("#since")).to_contain_text("Roasted nibs, Cocoa butter and Granulated sugar")
    recipe_page.get_by_role("button", name="Make the next version with today's").click()
    expect(recipe_page.locator("#version-line")).to_contain_text("Version 2")
    # By hand: 0.64 kg at 9, 0.04 kg at 18, 0.32 kg at 2.
    expect(recipe_page.locator("#answer-cost")).to_contain_text("7.12")


def test_shares_set_by_parts_land_without_leaving_the_page(recipe_page: Page) -> None:
    recipe_page.get_by_text("Set the shares by parts or weights").click()
    recipe_page.get_by_label("Parts or weights").fill("1 part nibs, 1 part sugar")
    recipe_page.get_by_role("button", name="Set them").click()
    expect(recipe_page.get_by_label("Roasted nibs", exact=True)).to_have_value("48.0")
    expect(weight_of(recipe_page, "sugar_granulated")).to_contain_text("960")


def test_two_windows_on_one_recipe_lose_nothing_of_each_other(
    recipe_page: Page, dark: RecipeVersion, watch: Any
) -> None:
    watch.expected.append("status of 422")
    other = recipe_page.context.new_page()
    other.goto(recipe_page.url)
    other.get_by_label("Cocoa butter", exact=True).fill("6")
    expect(weight_of(other, "cocoa_butter")).to_contain_text("120")
    recipe_page.get_by_label("Roasted nibs", exact=True).fill("60")
    expect(recipe_page.locator("#error-sum")).to_contain_text(
        "in another window while you typed: cocoa butter"
    )
    expect(recipe_page.get_by_label("Roasted nibs", exact=True)).to_have_value("60")
    assert (typed(dark, "cocoa_nibs_roasted"), typed(dark, "cocoa_butter")) == ("64.0", "6")
    recipe_page.get_by_label("Cocoa butter", exact=True).fill("6")
    expect(weight_of(recipe_page, "cocoa_butter")).to_contain_text("120")
    expect(weight_of(recipe_page, "cocoa_nibs_roasted")).to_contain_text("1\u202f200")
    assert (typed(dark, "cocoa_nibs_roasted"), typed(dark, "cocoa_butter")) == ("60", "6")
