"""The first page: amounts in words, what they make, and a recipe begun from them."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from django.test import Client

from nibsmith.science.mixture import Kind
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.common.workshop.services import update_workshop
from nibsmith.shop.recipes.drafts import draft_of
from nibsmith.shop.recipes.models import Mode, Recipe, RecipeVersion
from nibsmith.shop.recipes.opening import open_version
from nibsmith.shop.recipes.selectors import listed
from nibsmith.shop.recipes.services import create_recipe
from nibsmith.shop.stock.models import OwnIngredient
from nibsmith.shop.stock.services import create_ingredient
from nibsmith.shop.stock.sheets import Sheet
from recipes_typed import draft, form_of, row

pytestmark = pytest.mark.django_db


def error_of(body: str) -> str:
    found = re.search(r'id="have-error">([^<]*)<', body)
    assert found
    return found[1]


def test_without_recipes_it_says_how_to_begin(client: Client) -> None:
    body = client.get("/").content.decode()
    assert "No recipes yet" in body


def test_it_shows_the_largest_batch_what_runs_out_and_what_is_left(
    client: Client, dark: RecipeVersion
) -> None:
    body = client.get("/", {"have": "1280 g nibs, 800 g sugar"}).content.decode()
    plain = body.replace("\u202f", "").replace("\xa0", " ")
    # By hand: 64 % nibs allow 2000 g, which take 640 g of sugar and 80 g of butter.
    assert '<span class="number big">2000</span>' in plain
    assert "Roasted nibs runs out first" in plain
    assert "Granulated sugar 160 g" in plain
    assert "Cocoa butter 80 g" in plain


@pytest.mark.parametrize(
    ("have", "why"),
    [
        ("2 cups sugar", "not a mass"),
        ("500", "unit"),
        ("500 g", "no name"),
        ("500 g moonshine", "Nothing here is called"),
        ("-500 g sugar", "minus"),
    ],
)
def test_what_cannot_be_read_is_refused_beside_the_field_with_the_way_out(
    client: Client, have: str, why: str
) -> None:
    response = client.get("/", {"have": have})
    body = response.content.decode()
    assert response.status_code == 422
    assert why in error_of(body)
    assert have in body


def test_words_with_several_meanings_are_asked_about(client: Client) -> None:
    body = client.get("/", {"have": "10 g lecithin, 500 g cocoa mass"}).content.decode()
    assert 'name="pick-lecithin" value="lecithin_soy"' in body
    assert "Begin this recipe" not in body
    answered = {"have": "10 g lecithin, 500 g cocoa mass", "pick-lecithin": "lecithin_soy"}
    assert "Begin this recipe" in client.get("/", answered).content.decode()


def test_a_recipe_begun_has_the_shares_of_the_amounts_and_the_sugar_is_the_rest(client: Client) -> None:
    response = client.post(
        "/recipes/new/", {"have": "750 g nibs, 250 g sugar", "name": "Three to one", "form": "bar"}
    )
    assert response.status_code == 302
    draft = draft_of(listed()[0].version)
    assert [(row.ingredient, row.mode, row.typed) for row in draft.rows] == [
        ("cocoa_nibs_roasted", Mode.PERCENT, Decimal(75)),
        ("sugar_granulated", Mode.REST, None),
    ]
    assert draft.amount.total_g == Decimal(1000)


def test_parts_of_a_ratio_make_a_recipe_at_a_total(client: Client) -> None:
    client.post(
        "/recipes/new/",
        {"have": "2 parts nibs, 1 part sugar", "total": "1.5 kg", "name": "Two to one", "form": "bar"},
    )
    version = listed()[0].version
    assert version.total_g == Decimal(1500)
    assert draft_of(version).rows[0].typed == Decimal("66.666667")


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"have": "", "name": "X"}, "have"),
        ({"have": "1 kg nibs", "name": ""}, "name"),
        ({"have": "2 parts nibs, 1 part sugar", "name": "X"}, "total"),
        ({"have": "1 kg nibs", "name": "X", "total": "two"}, "total"),
        ({"have": "1 kg nibs; 2 parts sugar", "name": "X"}, "have"),
        ({"have": "0 g nibs, 0 kg sugar", "name": "X"}, "have"),
        ({"have": "0 parts nibs", "name": "X", "total": "1 kg"}, "have"),
        ({"have": "999999 kg nibs", "name": "X"}, "total"),
    ],
)
def test_a_new_recipe_that_cannot_be_is_refused_beside_its_field(
    client: Client, typed: dict[str, str], field: str
) -> None:
    response = client.post("/recipes/new/", {"form": "bar", **typed})
    body = response.content.decode()
    assert response.status_code == 422
    assert re.search(rf'id="error-{field}">[^<]', body)
    assert not Recipe.objects.exists()
    for text in typed.values():
        assert text in body


def test_parts_ask_how_much_altogether_before_they_are_sent(client: Client) -> None:
    page = client.get("/", {"have": "2 parts nibs, 1 part sugar"}).content.decode()
    assert "2 parts" in page
    assert "1 part<" in page
    assert '<label for="total">How much altogether</label>' in page
    assert "What it makes of your recipes" not in page
    answer = client.post(
        "/recipes/new/",
        {"have": "2 parts nibs, 1 part sugar", "name": "Quay", "form": "bar", "total": "1500 g"},
    )
    assert answer.status_code == 302
    assert open_version(RecipeVersion.objects.get()).recipe.part(
        "cocoa_nibs_roasted"
    ).mass_g == pytest.approx(1000, abs=1e-4)


def test_weights_need_no_total(client: Client) -> None:
    page = client.get("/", {"have": "1200 g nibs"}).content.decode()
    assert "How much altogether" not in page
    assert "None of your recipes" not in page


def test_every_weight_has_ounces_beside_it_where_the_workshop_counts_in_them(
    dark: RecipeVersion, client: Client
) -> None:
    update_workshop(WorkshopSettings(mass_unit="oz"))
    # By hand: 2000 / 453.59237 = 4.409 lb, that is 4 lb 6.55 oz (NIST Handbook 44).
    for address in ("/recipes/", "/?have=1000+g+roasted+nibs,+700+g+granulated+sugar"):
        assert (
            '<span class="beside">4\u00a0lb\u00a06.55\u00a0oz</span>' in client.get(address).content.decode()
        )
    found = client.get("/?have=1000+g+roasted+nibs,+700+g+granulated+sugar").content.decode()
    # By hand: 1000 g of nibs are 64 % of 1562.5 g, which take 62.5 g of butter and leave 200 g of sugar.
    assert "Cocoa butter 63\u00a0g (2.20\u00a0oz)" in found


@pytest.mark.parametrize(
    ("have", "said"),
    [("nibs", "There is no amount in it"), ("500 g nibs, sugar", "Thing 2: There is no amount in it")],
)
def test_a_refusal_counts_things_only_where_there_are_several(client: Client, have: str, said: str) -> None:
    assert error_of(client.get("/", {"have": have}).content.decode()).startswith(said)


def own(name: str, kind: Kind = Kind.BUTTER) -> OwnIngredient:
    return create_ingredient(Sheet(name=name, kind=kind))


def choices_in(body: str) -> dict[str, str]:
    """Return the choices of a question: what each says of itself by what it stands for."""
    ticks = re.findall(r'name="pick[^"]*" value="([^"]*)"> (.*?)</label>', body)
    return {ref: re.sub(r"<[^>]*>", "", text) for ref, text in ticks}


@pytest.mark.parametrize("words", ["cocoa butter", "Cocoa  Butter", "cacao butter"])
def test_an_own_ingredient_with_the_name_of_a_packaged_one_is_asked_about(client: Client, words: str) -> None:
    mine = own("Cocoa Butter")
    asked = client.get("/", {"have": f"1 kg {words}"}).content.decode()
    assert choices_in(asked) == {mine.key: "Cocoa Butter yours", "cocoa_butter": "Cocoa butter packaged"}
    for ref in (mine.key, "cocoa_butter"):
        pick = f"pick-{' '.join(words.split())}"
        typed = {"have": f"1 kg {words}", pick: ref, "name": ref[:8], "form": "bar"}
        assert client.post("/recipes/new/", typed).status_code == 302
        assert draft_of(listed()[0].version).rows[0].ingredient == ref


def test_what_was_picked_says_whose_it_is(client: Client) -> None:
    mine = own("Cocoa butter")
    body = client.get("/", {"have": "1 kg cocoa butter", "pick-cocoa butter": mine.key}).content.decode()
    assert re.search(r"“cocoa butter” is Cocoa butter <span[^>]*>yours</span>", body)


def test_a_part_to_add_is_asked_about_where_two_have_its_name(client: Client, dark: RecipeVersion) -> None:
    mine = own("Cocoa butter")
    sent = form_of(dark, add="cocoa butter", add_amount="2", do="add")
    body = client.post(f"/recipes/{dark.recipe.public_id}/", sent).content.decode()
    assert choices_in(body) == {mine.key: "Cocoa butter yours", "cocoa_butter": "Cocoa butter packaged"}


def test_a_recipe_named_as_an_ingredient_is_asked_about(client: Client, dark: RecipeVersion) -> None:
    Recipe.objects.filter(pk=dark.recipe_id).update(name="Cocoa mass")
    asked = client.get("/", {"have": "1 kg cocoa mass"}).content.decode()
    assert sorted(choices_in(asked).values()) == ["Cocoa mass packaged", "Cocoa mass your recipe"]


def test_a_word_in_own_names_offers_what_else_it_can_mean(client: Client) -> None:
    mine = {own(name, Kind.MILK).key for name in ("Harbour milk powder", "Oat powder of the mill")}
    offered = choices_in(client.get("/", {"have": "1 kg powder"}).content.decode())
    assert mine < set(offered)
    assert {"cocoa_powder_natural", "cocoa_powder_alkalised", "milk_powder_whole"} < set(offered)


def test_a_word_that_the_list_does_not_know_offers_packaged_names_beside_an_own_one(client: Client) -> None:
    mine = own("Roasted beans of Bellwater", Kind.BEAN)
    offered = choices_in(client.get("/", {"have": "1 kg roasted beans"}).content.decode())
    assert set(offered) == {mine.key, "coffee_bean_roasted"}


@pytest.mark.parametrize("key", ["almond", "hazelnut"])
def test_a_word_that_asks_is_not_taken_for_the_key_it_looks_like(client: Client, key: str) -> None:
    offered = choices_in(client.get("/", {"have": f"1 kg {key}"}).content.decode())
    assert set(offered) == {key, f"{key}_dry_roasted"}


def test_what_is_too_little_for_the_scale_is_still_to_be_brought(client: Client) -> None:
    """By hand: 100 g of mass are 79.9 % of 125.2 g, of which 0.1 % is 0.1 g of vanilla."""
    parts = (row("cocoa_mass", "79.9"), row("vanilla_bean", "0.1"), row("sugar_granulated"))
    create_recipe(draft(*parts))
    body = client.get("/", {"have": "100 g cocoa mass"}).content.decode().replace("\xa0", " ")
    assert "Vanilla beans, ground under 1 g" in body
    assert "Granulated sugar 25 g" in body


@pytest.mark.parametrize(("words", "key"), [("cranberries", "cranberry_dried"), ("syrup", "maple_syrup")])
def test_one_thing_alone_is_asked_about_where_it_may_not_be_what_is_meant(
    client: Client, words: str, key: str
) -> None:
    have = f"500 g {words}"
    asked = client.get("/", {"have": have}).content.decode()
    assert list(choices_in(asked)) == [key]
    assert "Begin this recipe" not in asked
    assert "Begin this recipe" in client.get("/", {"have": have, f"pick-{words}": key}).content.decode()


def test_words_that_stand_twice_are_asked_about_once(client: Client) -> None:
    typed = {"have": "1 kg cocoa powder; 200 g cocoa powder"}
    assert client.get("/", typed).content.decode().count("<fieldset") == 1
    typed |= {"pick-cocoa powder": "cocoa_powder_natural", "name": "Dust", "form": "bar"}
    assert client.post("/recipes/new/", typed).status_code == 302
    version = listed()[0].version
    assert [each.ingredient for each in draft_of(version).rows] == ["cocoa_powder_natural"]
    assert version.total_g == 1200


def test_choices_of_ones_own_stand_first(client: Client) -> None:
    mine = own("Cocoa butter")
    assert next(iter(choices_in(client.get("/", {"have": "1 kg oil"}).content.decode()))) == mine.key


def test_a_pick_goes_with_the_words_it_was_for(client: Client) -> None:
    picks = {"pick-lecithin": "lecithin_soy", "pick-Cocoa Powder": "cocoa_powder_natural"}
    both = client.get("/", {"have": "5 g of lecithin\n1 kg  cocoa  powder", **picks}).content.decode()
    assert ("“lecithin” is" in both, "“Cocoa Powder” is" in both) == (True, True)
    one = client.get("/", {"have": "1 kg cocoa powder", **picks}).content.decode()
    assert ("lecithin" in one, "“Cocoa Powder” is" in one) == (False, True)
