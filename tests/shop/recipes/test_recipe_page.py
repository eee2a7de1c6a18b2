"""The recipe page: an edit is answered, a refusal stands beside its field and nothing typed is lost."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from html import unescape
from typing import Any

import pytest
from django.test import Client

from nibsmith.shop.common.workshop.models import Workshop
from nibsmith.shop.kit.services import KitCard, MouldCard, create_kit, create_mould, retire_kit, retire_mould
from nibsmith.shop.recipes import selectors, services
from nibsmith.shop.recipes.drafts import draft_of
from nibsmith.shop.recipes.models import Mode, RecipeVersion, Way
from nibsmith.shop.recipes.opening import open_version
from recipes_typed import DARK, draft

pytestmark = pytest.mark.django_db
Send = Callable[..., Any]


def newest(version: RecipeVersion) -> RecipeVersion:
    return selectors.newest(version.recipe.public_id)


def typed(version: RecipeVersion, label: str) -> str:
    row = draft_of(newest(version)).row(label)
    return "rest" if row.typed is None else str(row.typed)


def value_of(body: str, field_id: str) -> str:
    tag = re.search(rf'<(?:input|textarea)[^>]*id="{field_id}"[^>]*>', body)
    assert tag, field_id
    value = re.search(r'value="([^"]*)"', tag[0])
    return unescape(value[1]) if value else ""


def said(body: str, error_id: str) -> str:
    found = re.search(rf'id="{error_id}"[^>]*>([^<]*)<', body)
    assert found, error_id
    return unescape(found[1])


def test_it_shows_what_was_stored(client: Client, dark: RecipeVersion) -> None:
    body = client.get(f"/recipes/{dark.recipe.public_id}/").content.decode()
    assert value_of(body, "amount-cocoa_nibs_roasted") == "64.0"
    assert "1\u202f280" in body
    assert body.count('class="primary"') + body.count("button primary") == 1


def test_sending_the_page_back_as_it_is_changes_nothing(dark: RecipeVersion, send: Send) -> None:
    before = draft_of(dark)
    response = send(dark)
    assert response.status_code == 302
    assert draft_of(newest(dark)) == before


def test_an_edit_without_scripts_is_stored_and_shown_anew(dark: RecipeVersion, send: Send) -> None:
    response = send(dark, amount__cocoa_butter="6,5")
    assert response.status_code == 302
    assert typed(dark, "cocoa_butter") == "6.5"


def test_an_edit_by_htmx_is_answered_with_the_figures_alone(dark: RecipeVersion, send: Send) -> None:
    response = send(dark, htmx=True, amount__cocoa_butter="6.5")
    body = response.content.decode()
    assert response.status_code == 200
    assert "<html" not in body
    assert 'id="answer-call_it"' in body
    # By hand: 100 - 64 - 6.5 of 2000 g.
    assert re.search(r'id="out-sugar_granulated".*?29\.50.*?590', body, re.DOTALL)


@pytest.mark.parametrize("htmx", [True, False])
def test_shares_over_a_hundred_are_refused_beside_the_field_that_was_typed(
    dark: RecipeVersion, send: Send, htmx: bool
) -> None:
    response = send(dark, htmx=htmx, amount__cocoa_butter="60")
    body = response.content.decode()
    assert response.status_code == 422
    assert "nothing for the rest" in said(body, "error-cocoa_butter")
    assert 'class="standing broken"' in body
    assert typed(dark, "cocoa_butter") == "4.0"


def test_what_was_typed_stays_in_every_field_after_a_refusal(dark: RecipeVersion, send: Send) -> None:
    body = send(
        dark,
        amount__cocoa_nibs_roasted="a lot",
        amount__cocoa_butter="7.25",
        price__cocoa_butter="19.90",
        add="oat",
        total="1.5 kg",
    ).content.decode()
    assert value_of(body, "amount-cocoa_nibs_roasted") == "a lot"
    assert value_of(body, "amount-cocoa_butter") == "7.25"
    assert value_of(body, "price-cocoa_butter") == "19.90"
    assert value_of(body, "add") == "oat"
    assert value_of(body, "total") == "1.5 kg"
    assert typed(dark, "cocoa_butter") == "4.0"


@pytest.mark.parametrize("text", ["-3", "NaN", "1e5", "", "12 cups", "٣", "x" * 5000, "\x00"])
def test_odd_amounts_are_refused_and_store_nothing(dark: RecipeVersion, send: Send, text: str) -> None:
    response = send(dark, amount__cocoa_butter=text)
    assert response.status_code == 422
    assert said(response.content.decode(), "error-cocoa_butter")
    assert typed(dark, "cocoa_butter") == "4.0"


def test_a_share_that_followed_from_weights_is_not_rounded_by_being_shown(
    dark: RecipeVersion, send: Send
) -> None:
    from dataclasses import replace

    from nibsmith.shop.recipes.opening import open_draft

    stored = draft_of(dark)
    fine = stored.with_row(replace(stored.row("cocoa_butter"), typed=Decimal("4.123456")))
    services.edit(dark, open_draft(fine))
    send(dark, amount__cocoa_nibs_roasted="60")
    assert typed(dark, "cocoa_butter") == "4.123456"


def test_a_part_is_added_by_its_plain_name_and_takes_from_the_rest(dark: RecipeVersion, send: Send) -> None:
    send(dark, do="add", add="soy lecithin", add_amount="0.3")
    draft = draft_of(newest(dark))
    assert [row.ingredient for row in draft.rows][-1] == "lecithin_soy"
    assert open_version(newest(dark)).percent("sugar_granulated") == Decimal("31.7")


def test_a_name_with_several_meanings_is_asked_about(dark: RecipeVersion, send: Send) -> None:
    response = send(dark, do="add", add="lecithin", add_amount="0.3")
    body = response.content.decode()
    assert response.status_code == 422
    assert 'value="lecithin_sunflower"' in body
    send(dark, do="add", add="lecithin", add_amount="0.3", pick="lecithin_sunflower")
    assert draft_of(newest(dark)).rows[-1].ingredient == "lecithin_sunflower"


def test_an_unknown_name_is_refused_with_names_near_it(dark: RecipeVersion, send: Send) -> None:
    body = send(dark, do="add", add="hazlenut").content.decode()
    assert "hazelnut" in said(body, "error-add").lower()
    assert len(draft_of(newest(dark)).rows) == 3


def test_a_part_is_removed_and_the_rest_takes_it_up(dark: RecipeVersion, send: Send) -> None:
    send(dark, do="remove:cocoa_butter")
    assert [row.label for row in draft_of(newest(dark)).rows] == ["cocoa_nibs_roasted", "sugar_granulated"]
    assert open_version(newest(dark)).percent("sugar_granulated") == 36


def test_where_the_rest_is_removed_the_largest_part_becomes_it(dark: RecipeVersion, send: Send) -> None:
    send(dark, do="remove:sugar_granulated")
    assert typed(dark, "cocoa_nibs_roasted") == "rest"


def test_another_part_can_be_the_rest(dark: RecipeVersion, send: Send) -> None:
    send(dark, do="rest:cocoa_nibs_roasted")
    assert (typed(dark, "cocoa_nibs_roasted"), typed(dark, "sugar_granulated")) == ("rest", "32.0")


def test_parts_change_places(dark: RecipeVersion, send: Send) -> None:
    send(dark, do="up:sugar_granulated")
    assert [row.label for row in draft_of(newest(dark)).rows][1] == "sugar_granulated"


def test_a_total_is_typed_with_its_unit(dark: RecipeVersion, send: Send) -> None:
    send(dark, total="2 lb")
    assert newest(dark).total_g == Decimal("907.185")
    body = send(dark, total="900").content.decode()
    assert "unit" in said(body, "error-total")


def test_what_is_on_the_shelf_decides_the_total(dark: RecipeVersion, send: Send) -> None:
    # By hand: 640 g of nibs at 64 % allow 1000 g; 500 g of sugar at 32 % would allow more.
    send(dark, have="640 g nibs; 500 g sugar")
    version = newest(dark)
    assert (version.way, version.total_g) == (Way.HAVE, Decimal(1000))


def test_a_number_of_bars_decides_the_total(dark: RecipeVersion, send: Send) -> None:
    mould = create_mould(MouldCard(name="Long bar", cavity_g=Decimal(50)))
    Workshop.objects.create(default_mould=mould.ref)
    # By hand: no kit keeps anything back, so 20 bars of 50 g are 1000 g.
    send(dark, bars="20")
    version = newest(dark)
    assert (version.way, version.total_g, version.bars) == (Way.BARS, Decimal(1000), 20)


def test_an_inclusion_counted_in_another_way_keeps_its_share(dark: RecipeVersion, send: Send) -> None:
    send(dark, do="add", add="roasted hazelnuts", add_amount="20")
    label = draft_of(newest(dark)).rows[-1].label
    send(newest(dark), **{f"mode__{label}": "per_100"})
    row = draft_of(newest(dark)).row(label)
    # By hand: a fifth of everything is 25 g on 100 g of chocolate.
    assert (row.mode, row.typed) == (Mode.PER_100, Decimal(25))
    assert open_version(newest(dark)).percent(label) == 20


def test_an_inclusion_that_is_ground_in_is_counted_by_the_whole_again(
    dark: RecipeVersion, send: Send
) -> None:
    send(dark, do="add", add="roasted hazelnuts", add_amount="20")
    label = draft_of(newest(dark)).rows[-1].label
    send(newest(dark), **{f"mode__{label}": "per_100"})
    send(newest(dark), **{f"stage__{label}": "start"})
    row = draft_of(newest(dark)).row(label)
    assert (row.mode, row.typed) == (Mode.PERCENT, Decimal(20))


def test_parts_changed_in_another_window_are_not_overwritten(dark: RecipeVersion, client: Client) -> None:
    from recipes_typed import form_of

    old_form = form_of(dark, amount__cocoa_butter="9")
    services.edit(dark, open_version(dark))
    path = f"/recipes/{dark.recipe.public_id}/"
    client.post(path, form_of(dark, do="add", add="salt", add_amount="0.1"))
    response = client.post(path, old_form)
    assert response.status_code == 422
    assert "another window" in response.content.decode()
    assert typed(dark, "cocoa_butter") == "4.0"


def test_an_edit_of_a_kept_version_makes_the_next_one(
    dark: RecipeVersion, send: Send, client: Client
) -> None:
    client.post(f"/recipes/{dark.recipe.public_id}/keep/")
    send(dark, amount__cocoa_butter="5")
    assert newest(dark).number == 2


def test_a_form_that_no_page_sends_is_refused(client: Client, dark: RecipeVersion) -> None:
    response = client.post(f"/recipes/{dark.recipe.public_id}/", {"label": ["a", "b"], "amount": ["1"]})
    assert response.status_code == 422


def test_a_recipe_that_is_not_there_is_not_found(client: Client) -> None:
    assert client.get("/recipes/00000000-0000-4000-8000-000000000000/").status_code == 404


def test_the_decimal_sign_of_the_workshop_is_shown_and_read(
    client: Client, dark: RecipeVersion, send: Send
) -> None:
    Workshop.objects.create(decimal_sign=",", scale_g=Decimal("0.1"))
    body = client.get(f"/recipes/{dark.recipe.public_id}/").content.decode()
    assert value_of(body, "amount-cocoa_butter") == "4,0"
    assert "1\u202f280,0" in body
    before = draft_of(newest(dark))
    send(dark)
    assert draft_of(newest(dark)) == before
    send(dark, amount__cocoa_butter="4,25")
    assert typed(dark, "cocoa_butter") == "4.25"


def test_pounds_and_ounces_stand_beside_grams_where_the_workshop_weighs_in_them(
    client: Client, dark: RecipeVersion
) -> None:
    Workshop.objects.create(mass_unit="oz")
    body = client.get(f"/recipes/{dark.recipe.public_id}/").content.decode()
    # 80 g are 2.82 oz, 2000 g are 4 lb 6.55 oz: NIST SP 811, 1 lb = 0.453 592 37 kg.
    assert "2.82\xa0oz" in body
    assert "4\xa0lb\xa06.55\xa0oz" in body


def test_a_remedy_makes_the_next_version_and_says_why(client: Client) -> None:
    from recipes_typed import draft, row

    lean = services.create_recipe(draft(row("cocoa_nibs_roasted", "54"), row("sugar_granulated")))
    body = client.get(f"/recipes/{lean.recipe.public_id}/").content.decode()
    button = re.search(
        r'name="question" value="(\w+)">\s*<input type="hidden" name="sentence" value="(Add [^"]+)"', body
    )
    assert button
    question, sentence = button[1], unescape(button[2])
    grams = re.search(r"Add ([\d\u202f.]+)\xa0g", sentence)
    assert grams
    client.post(f"/recipes/{lean.recipe.public_id}/remedy/", {"question": question, "sentence": sentence})
    after = newest(lean)
    assert (after.number, after.why) == (2, sentence)
    recipe = open_version(after).recipe
    assert recipe.part("cocoa_butter").mass_g == pytest.approx(
        float(grams[1].replace("\u202f", "")), abs=0.51
    )
    # Nothing that was there before has moved by more than what a share is stored to.
    assert recipe.part("cocoa_nibs_roasted").mass_g == pytest.approx(1080, abs=0.001)


def test_a_remedy_that_is_no_longer_offered_changes_nothing(client: Client, dark: RecipeVersion) -> None:
    answer = client.post(
        f"/recipes/{dark.recipe.public_id}/remedy/", {"question": "snap", "sentence": "Add 1 g of gold."}
    )
    assert answer.status_code == 422
    assert "has changed since" in answer.content.decode()
    assert newest(dark).number == 1


def test_two_versions_are_compared_side_by_side(client: Client, dark: RecipeVersion, send: Send) -> None:
    client.post(f"/recipes/{dark.recipe.public_id}/keep/")
    send(dark, amount__cocoa_butter="6")
    body = client.get(f"/recipes/{dark.recipe.public_id}/compare/").content.decode()
    assert "4.00 %" in body
    assert "6.00 %" in body
    assert "<strong>+2.00</strong>" in body
    assert "<strong>\u22122.00</strong>" in body


@pytest.mark.parametrize("query", ["new=99", "old=0", "new=x&old=1", "old=%EF%BC%91"])
def test_a_version_that_is_not_there_is_said_and_not_replaced(
    client: Client, dark: RecipeVersion, send: Send, query: str
) -> None:
    path = f"/recipes/{dark.recipe.public_id}/compare/?{query}"
    alone = client.get(path)
    assert alone.status_code == 404
    assert "It has one version." in alone.content.decode()
    client.post(f"/recipes/{dark.recipe.public_id}/keep/")
    send(dark, amount__cocoa_butter="6")
    answer = client.get(path)
    body = answer.content.decode()
    assert answer.status_code == 404
    assert "The recipe has no such version" in body
    assert "It has versions 1 to 2." in body
    assert "What goes in" not in body
    assert 'id="new"' in body


def test_an_older_version_can_be_gone_back_to(client: Client, dark: RecipeVersion, send: Send) -> None:
    client.post(f"/recipes/{dark.recipe.public_id}/keep/")
    send(dark, amount__cocoa_butter="6")
    client.post(f"/recipes/{dark.recipe.public_id}/versions/1/back/")
    assert newest(dark).number == 3
    assert typed(dark, "cocoa_butter") == "4.0"


def test_a_figure_opens_to_its_formula_its_inputs_and_their_sources(
    client: Client, dark: RecipeVersion
) -> None:
    body = client.get(f"/recipes/{dark.recipe.public_id}/figures/cocoa_butter/").content.decode()
    assert "Add up, over all ingredients" in body
    assert "usda-sr28" in body
    assert "read in the source" in body
    assert client.get(f"/recipes/{dark.recipe.public_id}/figures/glitter/").status_code == 404


def test_the_pdf_is_shown_in_the_browser_under_a_name_that_says_what_it_is(
    client: Client, dark: RecipeVersion
) -> None:
    answer = client.get(f"/recipes/{dark.recipe.public_id}/sheet.pdf")
    assert answer.content.startswith(b"%PDF")
    assert answer["Content-Disposition"] == 'inline; filename="weir-dark-version-1-batch-sheet.pdf"'


def test_a_refused_page_says_at_its_head_that_something_is_wrong(send: Any, dark: RecipeVersion) -> None:
    page = send(dark, amount__cocoa_butter="sixty").content.decode()
    assert "Nothing is changed yet" in page.partition('class="parts"')[0]
    # The next answer, which replaces pieces of the page, takes it away.
    assert 'id="since"' in (piece := send(dark, htmx=True, amount__cocoa_butter="6").content.decode())
    assert "Nothing is changed yet" not in piece


def test_a_kit_and_a_mould_that_were_put_away_stay_chosen(client: Client, send: Any, db: None) -> None:
    kit = create_kit(KitCard(name="Agnes", based_on="stone"))
    mould = create_mould(MouldCard(name="Plank", cavity_g=Decimal(50)))
    version = services.create_recipe(draft(*DARK, kit=kit.ref, mould=mould.ref))
    retire_kit(kit)
    retire_mould(mould)
    page = client.get(f"/recipes/{version.recipe.public_id}/").content.decode()
    assert f'<option value="{kit.ref}" selected>Agnes, put away</option>' in page
    assert f'<option value="{mould.ref}" selected>Plank, put away</option>' in page
    send(version, amount__cocoa_butter="5")
    amount = draft_of(selectors.newest(version.recipe.public_id)).amount
    assert (amount.kit, amount.mould) == (kit.ref, mould.ref)


@pytest.mark.parametrize(
    ("address", "sent"),
    [
        ("remedy/", {"question": "snap", "sentence": "Add 5 kg of luck."}),
        ("size/", {"have": "500 g moonshine"}),
    ],
)
def test_what_can_be_done_no_more_is_told_on_the_recipe_itself(
    client: Client, dark: RecipeVersion, address: str, sent: dict[str, str]
) -> None:
    response = client.post(f"/recipes/{dark.recipe.public_id}/{address}", sent)
    page = response.content.decode()
    assert response.status_code == 422
    assert 'id="workbench"' in page
    assert re.search(r'<p class="refused" role="alert">[^<]+</p>', page)
    assert dark.recipe.versions.count() == 1


def test_zeros_typed_one_after_the_other_count_like_those_typed_at_once(
    dark: RecipeVersion, send: Send
) -> None:
    send(dark, amount__cocoa_nibs_roasted="64", amount__cocoa_butter="4", do="fix:sugar_granulated")
    assert typed(dark, "sugar_granulated") == "32"
    for label, zeros in (("cocoa_nibs_roasted", "64.0"), ("cocoa_butter", "4.0")):
        send(dark, **{f"amount__{label}": zeros})
        assert typed(dark, label) == zeros
    send(dark, amount__sugar_granulated="32.0")
    response = send(dark, amount__cocoa_nibs_roasted="64.5")
    assert response.status_code == 422
    assert "100.5" in said(response.content.decode(), "error-cocoa_nibs_roasted")
    assert typed(dark, "cocoa_nibs_roasted") == "64.0"


@pytest.mark.parametrize(
    ("typed", "shown"), [("8.60", "8.60"), ("8.6", "8.60"), ("8", "8"), ("8.1255", "8.1255")]
)
def test_a_price_comes_back_with_the_digits_of_its_currency(
    client: Client, dark: RecipeVersion, send: Send, typed: str, shown: str
) -> None:
    send(dark, price__cocoa_butter=typed)
    body = client.get(f"/recipes/{dark.recipe.public_id}/").content.decode()
    assert value_of(body, "price-cocoa_butter") == shown


def test_a_price_finer_than_it_is_kept_is_refused_beside_its_field(
    client: Client, dark: RecipeVersion, send: Send
) -> None:
    body = send(dark, price__cocoa_butter="0.00000001").content.decode()
    assert "This is finer than it is kept (got 0.00000001, limit 4 decimals)" in body
