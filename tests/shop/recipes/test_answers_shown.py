"""Answers as a page shows them: figures where they answer, in plain words, and cautions in short."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client

from nibsmith.answers.answer import Answer, Verdict
from nibsmith.science.mixture import Kind
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.common.workshop.services import update_workshop
from nibsmith.shop.kit.services import MouldCard, create_mould
from nibsmith.shop.recipes import services
from nibsmith.shop.recipes.answering import answers_to
from nibsmith.shop.recipes.models import RecipeVersion
from nibsmith.shop.recipes.opening import open_version
from nibsmith.shop.recipes.shown_answers import ShownAnswer, show_answers
from nibsmith.shop.stock.services import Facts, create_ingredient, set_facts
from nibsmith.shop.stock.sheets import Sheet
from page_texts import texts_of
from recipes_typed import DARK, draft, row

pytestmark = pytest.mark.django_db

PRICES = {"cocoa_nibs_roasted": "9.00", "cocoa_butter": "18.00", "sugar_granulated": "2.00"}


def shown(version: RecipeVersion) -> dict[str, ShownAnswer]:
    opened = open_version(version)
    return {one.answer.question: one for one in show_answers(answers_to(opened), WorkshopSettings()).all}


@pytest.mark.parametrize("question", ["weigh_out", "call_it", "smooth", "keep", "who_must_not"])
def test_no_figure_stands_where_the_sentence_is_the_answer(dark: RecipeVersion, question: str) -> None:
    assert (shown(dark)[question].figure, shown(dark)[question].range) == ("", "")


def test_the_figure_of_the_set_says_that_it_is_fat_and_of_what(dark: RecipeVersion) -> None:
    snap = shown(dark)["snap"]
    assert (snap.unit, snap.of) == ("%", "fat, of the mass in the machine")
    assert snap.range


def test_where_only_the_ends_are_known_the_range_is_the_figure() -> None:
    answer = Answer("snap", "Will it set and snap?", Verdict.GOOD, "", "", unit="%", low=36.0, high=40.0)
    (told,) = show_answers([answer], WorkshopSettings()).all

    assert (told.figure, told.range) == ("36.0 to 40.0", "")


def test_the_cost_stands_once_and_in_plain_words(dark: RecipeVersion) -> None:
    for key, price in PRICES.items():
        set_facts(key, Facts(price_per_kg=Decimal(price)))
    # By hand: 0.64 kg at 9, 0.04 kg at 18, 0.32 kg at 2; no kit is chosen, so that nothing stays behind.
    cost = shown(dark)["cost"]
    assert (cost.figure, cost.unit, cost.of, cost.word) == ("7.12", "EUR a kilogram", "", "")
    mould = create_mould(MouldCard(name="Plank", cavity_g=Decimal(50)))
    update_workshop(WorkshopSettings(default_mould=mould.ref))
    assert (shown(dark)["cost"].figure, shown(dark)["cost"].unit) == ("0.36", "EUR a bar")


def test_a_table_without_rows_is_told_in_a_word(dark: RecipeVersion, client: Client) -> None:
    page = client.get(f"/recipes/{dark.recipe.public_id}/").content.decode()
    assert "The nine major food allergens of the United States: none." in page
    assert "<tbody></tbody>" not in page


def test_three_cautions_stand_open_the_others_open_and_all_are_printed(
    dark: RecipeVersion, client: Client
) -> None:
    cautions = show_answers(answers_to(open_version(dark)), WorkshopSettings()).cautions
    page = client.get(f"/recipes/{dark.recipe.public_id}/").content.decode()
    mind = page.partition('id="mind"')[2].partition("</section>")[0]
    lists = [re.findall(r"<li>", each) for each in mind.split("<ul")[1:]]
    assert [len(each) for each in lists] == [3, len(cautions) - 3, len(cautions) - 3]
    assert f"And {len(cautions) - 3} more to mind" in mind
    assert '<ul class="only-print">' in mind


def test_what_can_hurt_the_eater_stands_open_before_what_spoils_the_batch(db: None) -> None:
    raw = (row("cocoa_nibs_raw", "60"), row("milk_powder_whole", "10"), row("sugar_granulated"))
    version = services.create_recipe(draft(*raw, name="Raw"))
    found = show_answers(answers_to(open_version(version)), WorkshopSettings())
    told = " ".join(found.first_cautions)
    assert "Raw cocoa can carry Salmonella" in told
    assert "milk and nuts of an earlier batch stay behind" in told
    assert len(found.more_cautions) >= 2


def test_few_cautions_all_stand_open() -> None:
    answer = Answer("keep", "Will it keep?", Verdict.GOOD, "Yes.", "It will.", cautions=("One.", "Two."))
    found = show_answers((answer,), WorkshopSettings())
    assert (found.first_cautions, found.more_cautions) == (("One.", "Two."), ())


@pytest.mark.parametrize(
    "inside",
    [
        *("", "sheet/", "figures/", "figures/cocoa_butter/", "names/", "compare/", "versions/1/"),
        "balance/?total_fat_percent_min=38,5",
        "balance/?total_fat_percent_min=60&cocoa_as_weighed_percent_max=50,5",
        "bowl/?bowl=1200,50+g+nibs;+900+g+sugar",
    ],
)
def test_every_page_of_a_recipe_follows_the_decimal_sign(
    dark: RecipeVersion, client: Client, send: Any, inside: str
) -> None:
    send(dark, add="roasted hazelnuts", add_amount="7.5", do="add")
    services.freeze(dark)
    send(dark, amount__cocoa_butter="5.25")
    set_facts("cocoa_butter", Facts(price_per_kg=Decimal("18.50")))
    update_workshop(
        WorkshopSettings(decimal_sign=",", markets=("eu", "us"), mass_unit="oz", scale_g=Decimal("0.1"))
    )
    texts = texts_of(client.get(f"/recipes/{dark.recipe.public_id}/{inside}").content.decode())
    assert not [text for text in texts if re.search(r"\d\.\d", text)]
    assert [text for text in texts if re.search(r"\d,\d", text)]


def test_the_names_in_the_drawing_of_the_mix_follow_the_decimal_sign(
    dark: RecipeVersion, client: Client
) -> None:
    update_workshop(WorkshopSettings(decimal_sign=","))
    page = client.get(f"/recipes/{dark.recipe.public_id}/").content.decode()
    assert 'aria-label="The mix: Roasted nibs 64,0' in page
    assert "<title>Cocoa butter 4,0" in page


def test_a_remedy_is_found_again_whatever_signs_its_button_shows(
    dark: RecipeVersion, client: Client, send: Any
) -> None:
    send(dark, amount__cocoa_butter="0", amount__cocoa_nibs_roasted="45")
    update_workshop(replace(WorkshopSettings(), decimal_sign=",", mass_unit="oz", scale_g=Decimal("0.1")))
    page = client.get(f"/recipes/{dark.recipe.public_id}/").content.decode()
    form = next(part for part in page.split("<form") if "/remedy/" in part and 'value="snap"' in part)
    button = re.search(r"<button[^>]*>([^<]+)<", form)
    sentence = re.search(r'name="sentence" value="([^"]+)"', form)
    assert button
    assert sentence
    assert "oz)" in button[1]
    assert re.search(r"\d,\d", button[1])
    answer = client.post(
        f"/recipes/{dark.recipe.public_id}/remedy/", {"question": "snap", "sentence": sentence[1]}
    )
    assert answer.status_code == 302
    assert dark.recipe.versions.count() == 2


def test_two_parts_of_one_name_are_told_apart_wherever_they_stand(client: Client) -> None:
    butter = Sheet(name="Cocoa butter", kind=Kind.BUTTER, constituents={"fat_g": Decimal("99.8")})
    own = create_ingredient(butter)
    rows = (*DARK, row("mine", "3.0", ingredient=own.key))
    address = f"/recipes/{services.create_recipe(draft(*rows)).recipe.public_id}/"

    for page in ("", "balance/?total_fat_percent_min=45", "bowl/?bowl=500+g+nibs", "sheet/"):
        told = re.sub(r"<[^>]*>", "", client.get(address + page).content.decode())
        assert "Cocoa butter, yours" in told, page
