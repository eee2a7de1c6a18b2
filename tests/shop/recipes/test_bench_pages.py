"""In the bowl, balance and share out: what is typed, what is proposed, and what a button then stores."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse

from nibsmith.answers.cost import cost
from nibsmith.science.mixture import Kind, in_machine
from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.common.workshop.services import update_workshop
from nibsmith.shop.recipes import selectors, services
from nibsmith.shop.recipes.models import RecipeVersion, Way
from nibsmith.shop.recipes.opening import open_version
from nibsmith.shop.stock.services import Facts, create_ingredient, set_facts
from nibsmith.shop.stock.sheets import Sheet
from recipes_typed import DARK, draft, row

pytestmark = pytest.mark.django_db

# 64 % nibs, 4 % butter, 32 % sugar: see conftest.
BOWL = "1280 g nibs, 720 g sugar"


def address(version: RecipeVersion, page: str) -> str:
    return f"/recipes/{version.recipe.public_id}/{page}/"


def newest(version: RecipeVersion) -> RecipeVersion:
    return selectors.newest(version.recipe.public_id)


def text(body: str) -> str:
    plain = re.sub(r"<[^>]+>", " ", body).replace("\u202f", "").replace("\xa0", " ").replace("&nbsp;", " ")
    return " ".join(plain.split())


def test_a_bowl_that_does_not_fit_shows_both_truths(client: Client, dark: RecipeVersion) -> None:
    body = text(client.get(address(dark, "bowl"), {"bowl": BOWL}).content.decode())
    # By hand: 720 g of sugar at 32 % make 2250 g. With the weights kept, butter stays 4 % of the whole:
    # 2000 g are the other 96 %, so the whole is 2083.3 g and the nibs are 61.4 % of it.
    assert "2250 g in all" in body
    assert "2083 g in all" in body
    assert "61.4 %" in body


def test_keeping_the_shares_makes_a_larger_batch_of_the_same_recipe(
    client: Client, dark: RecipeVersion
) -> None:
    client.post(address(dark, "bowl"), {"bowl": BOWL, "way": "keep_shares"})
    assert newest(dark).number == 1
    assert newest(dark).total_g == Decimal(2250)


def test_keeping_the_weights_makes_the_next_version(client: Client, dark: RecipeVersion) -> None:
    client.post(address(dark, "bowl"), {"bowl": BOWL, "way": "keep_weights"})
    after = newest(dark)
    assert after.number == 2
    recipe = open_version(after).recipe
    assert recipe.part("cocoa_nibs_roasted").mass_g == pytest.approx(1280, abs=0.01)
    assert recipe.part("sugar_granulated").mass_g == pytest.approx(720, abs=0.01)
    assert recipe.share("cocoa_butter") == pytest.approx(0.04, abs=1e-7)


def test_a_rescue_takes_nothing_out_and_brings_every_share_back_within_tolerance(
    client: Client, dark: RecipeVersion
) -> None:
    client.post(address(dark, "bowl"), {"bowl": BOWL, "way": "rescue"})
    recipe = open_version(newest(dark)).recipe
    assert recipe.part("sugar_granulated").mass_g >= 719.99
    assert recipe.part("cocoa_nibs_roasted").mass_g >= 1279.99
    # The tolerance of the bench is half a point; see tables/formulate.toml.
    for label, share in (("cocoa_nibs_roasted", 0.64), ("cocoa_butter", 0.04), ("sugar_granulated", 0.32)):
        assert recipe.share(label) == pytest.approx(share, abs=0.0051)


def test_a_way_out_says_what_it_is_too_late_for(client: Client, dark: RecipeVersion) -> None:
    early = client.get(address(dark, "bowl"), {"bowl": BOWL, "stage": "start"}).content.decode()
    assert "too late" not in early
    late = client.get(address(dark, "bowl"), {"bowl": BOWL, "stage": "late"}).content.decode()
    assert "At this stage it is too late for roasted nibs, unless it is ground for hours more." in late
    ground_on = {"bowl": BOWL, "stage": "late", "grind_on": "yes"}
    assert "too late" not in client.get(address(dark, "bowl"), ground_on).content.decode()


def test_what_nobody_knows_in_the_bowl_can_be_made_an_ingredient(client: Client, dark: RecipeVersion) -> None:
    asked = {"bowl": "1280 g nibs, 50 g moonshine", "stage": "late"}
    refused = client.get(address(dark, "bowl"), asked)
    link = re.search(
        r'<a class="button" href="([^"]+)">Make an ingredient of “moonshine”', refused.content.decode()
    )
    assert link is not None
    sheet_page = html.unescape(link[1])
    assert 'value="moonshine"' in client.get(sheet_page).content.decode()

    kind = {"name": "moonshine", "kind": "flavouring", "stage": "late", "grind": "refined"}
    saved = client.post(sheet_page, kind)
    assert saved.status_code == 302
    looked = client.get(saved.url)  # type: ignore[attr-defined]
    assert looked.status_code == 200
    assert "moonshine" in text(looked.content.decode())
    assert '<option value="late" selected>' in looked.content.decode()


def test_a_sheet_leads_back_to_no_other_place(client: Client) -> None:
    sheet = {"name": "Moonshine", "kind": "flavouring", "stage": "late", "grind": "refined"}
    saved = client.post(f"{reverse('stock:add')}?back=//elsewhere.example/bowl", sheet)
    assert saved.url.startswith(reverse("stock:ingredients"))  # type: ignore[attr-defined]


@pytest.mark.parametrize("page", ["/", "/recipes/new/"])
def test_what_nobody_knows_on_the_bench_can_be_made_an_ingredient(client: Client, page: str) -> None:
    typed = {"have": "500 g nibs, 50 g moonshine", "name": "Night"}
    refused = client.get(page, typed) if page == "/" else client.post(page, typed)
    assert "Make an ingredient of “moonshine”" in refused.content.decode()


def test_an_open_question_does_not_hold_up_another_bowl(client: Client, dark: RecipeVersion) -> None:
    body = client.get(address(dark, "bowl"), {"bowl": "10 g lecithin"}).content.decode()
    assert "From soya or from sunflower?" in body
    # A browser would not send the form again, whatever else is typed, while a choice is required.
    assert " required" not in body


def test_what_is_foreign_to_the_recipe_gets_a_row_of_its_own(client: Client, dark: RecipeVersion) -> None:
    bowl = "1280 g nibs, 640 g sugar, 20 g salt"
    client.post(address(dark, "bowl"), {"bowl": bowl, "way": "keep_weights"})
    parts = open_version(newest(dark)).recipe.parts
    assert parts[-1].label == "salt"
    assert parts[-1].mass_g == pytest.approx(20, abs=0.01)


def test_a_bowl_that_fits_offers_no_way_out(client: Client, dark: RecipeVersion) -> None:
    body = client.get(address(dark, "bowl"), {"bowl": "640 g nibs, 320 g sugar"}).content.decode()
    assert "It fits the recipe" in body
    assert "The ways out" not in body


def test_a_bowl_with_more_than_the_batch_takes_does_not_fit(client: Client, dark: RecipeVersion) -> None:
    # 2 kg take 640 g of sugar; 720 g are 32 % of 2250 g, or stand beside the 1360 g of the rest.
    body = text(client.get(address(dark, "bowl"), {"bowl": "720 g sugar"}).content.decode())
    assert "It fits the recipe" not in body
    assert "2250 g in all" in body
    assert "2080 g in all" in body


@pytest.mark.parametrize("bowl", ["2 cups sugar", "1280", "-5 g nibs", "50 g moonshine"])
def test_a_bowl_that_cannot_be_read_is_refused_beside_its_field(
    client: Client, dark: RecipeVersion, bowl: str
) -> None:
    response = client.get(address(dark, "bowl"), {"bowl": bowl})
    body = response.content.decode()
    assert response.status_code == 422
    assert re.search(r'id="bowl-error">\S', body)
    assert bowl in body


def test_a_balance_is_proposed_and_only_stored_when_accepted(client: Client, dark: RecipeVersion) -> None:
    query = {"total_fat_percent_min": "40"}
    body = client.get(address(dark, "balance"), query).content.decode()
    assert "Make this the next version" in body
    assert newest(dark).number == 1
    client.post(address(dark, "balance") + "?total_fat_percent_min=40")
    after = newest(dark)
    assert after.number == 2
    assert in_machine(open_version(after).recipe).percent("total_fat") >= 40
    assert open_version(after).recipe.total_g == pytest.approx(2000)


def test_a_locked_share_stays_while_others_move(client: Client, dark: RecipeVersion) -> None:
    client.post(address(dark, "balance") + "?total_fat_percent_min=40&lock=cocoa_nibs_roasted")
    assert open_version(newest(dark)).recipe.share("cocoa_nibs_roasted") == pytest.approx(0.64, abs=0.0005)


def test_any_figure_can_be_limited(client: Client, dark: RecipeVersion) -> None:
    asked = {"another": "theobromine_mg_per_100g", "another_min": "900"}
    body = client.get(address(dark, "balance"), asked).content.decode()
    assert 'name="with" value="theobromine_mg_per_100g"' in body
    assert re.search(r'name="theobromine_mg_per_100g_min" value="900"', body)
    assert "mg in 100 g" in body
    client.post(address(dark, "balance") + "?with=theobromine_mg_per_100g&theobromine_mg_per_100g_min=900")
    after = open_version(newest(dark)).recipe
    assert newest(dark).number == 2
    assert in_machine(after).figure("theobromine").value >= 900


def test_a_limit_without_its_figure_is_asked_which(client: Client, dark: RecipeVersion) -> None:
    response = client.get(address(dark, "balance"), {"another_max": "40"})
    assert response.status_code == 422
    assert re.search(r'id="error-another">Choose the figure', response.content.decode())
    assert 'name="another_max" value="40"' in response.content.decode()
    assert "energy by the EU factors, kJ in 100 g" in response.content.decode()


def test_a_share_keeps_between_its_ends(client: Client, dark: RecipeVersion) -> None:
    ends = "share-sugar_granulated_min=26&share-sugar_granulated_max=28"
    client.post(f"{address(dark, 'balance')}?{ends}")
    assert 0.26 <= open_version(newest(dark)).recipe.share("sugar_granulated") <= 0.28


def test_crossed_ends_of_a_share_are_said_beside_it(client: Client, dark: RecipeVersion) -> None:
    asked = {"share-sugar_granulated_min": "30", "share-sugar_granulated_max": "20"}
    response = client.get(address(dark, "balance"), asked)
    assert response.status_code == 422
    assert re.search(
        r'id="error-share-sugar_granulated_min">[^<]*lower end is over the upper one',
        response.content.decode(),
    )


def test_a_batch_that_may_grow_only_gains(client: Client, dark: RecipeVersion) -> None:
    client.post(f"{address(dark, 'balance')}?share-cocoa_butter_min=10&total=free&lock=sugar_granulated")
    assert open_version(newest(dark)).recipe.share("cocoa_butter") == pytest.approx(0.10, abs=0.001)
    assert open_version(newest(dark)).recipe.total_g != pytest.approx(2000, abs=1)


def test_what_may_come_in_comes_in_by_its_plain_name(client: Client) -> None:
    lean = services.create_recipe(draft(row("cocoa_nibs_roasted", "60"), row("sugar_granulated")))
    client.post(
        address(lean, "balance") + "?total_fat_percent_min=38&offer=cocoa+butter&lock=cocoa_nibs_roasted"
    )
    assert open_version(newest(lean)).recipe.part("cocoa_butter").mass_g > 0


def test_what_may_come_in_can_be_chosen_where_its_name_means_several_things(
    client: Client, dark: RecipeVersion
) -> None:
    asked = {"milk_solids_percent_min": "14", "offer": "milk powder"}
    body = client.get(address(dark, "balance"), asked).content.decode()
    assert "Whole or skimmed milk powder?" in body
    assert "No limit yet" not in body
    body = client.get(
        address(dark, "balance"), asked | {"pick-milk powder": "milk_powder_whole"}
    ).content.decode()
    assert 'name="pick-milk powder" value="milk_powder_whole" checked' in body
    assert "“milk powder” is Whole milk powder" in body
    assert "more whole milk powder" in text(body)


def test_a_stock_can_be_chosen_where_its_name_means_several_things(client: Client) -> None:
    versions = [
        services.create_recipe(draft(row("milk_powder_whole", "20"), row("sugar_granulated"), name=name))
        for name in ("Quay", "Weir")
    ]
    asked = {"stock": "3 kg milk powder", "recipe": [str(one.recipe.public_id) for one in versions]}
    body = client.get("/recipes/share-out/", asked).content.decode()
    assert 'name="pick-milk powder" value="milk_powder_whole"' in body
    body = client.get(
        "/recipes/share-out/", asked | {"pick-milk powder": "milk_powder_whole"}
    ).content.decode()
    # By hand: half of 3 kg is a fifth of 7500 g.
    assert text(body).count("7500 g") >= 2


def test_limits_that_fight_are_named_with_what_would_have_to_give(
    client: Client, dark: RecipeVersion
) -> None:
    query = {"total_fat_percent_min": "60", "cocoa_as_weighed_percent_max": "50"}
    body = text(client.get(address(dark, "balance"), query).content.decode())
    assert "It cannot be" in body
    assert "cannot all hold" in body
    assert "at most 60 % instead of 50 %" in body
    client.post(address(dark, "balance") + "?total_fat_percent_min=60&cocoa_as_weighed_percent_max=50")
    assert newest(dark).number == 1


@pytest.mark.parametrize("typed", ["many", "-1", "NaN", "101"])
def test_a_limit_that_cannot_be_read_is_refused_beside_its_field(
    client: Client, dark: RecipeVersion, typed: str
) -> None:
    response = client.get(
        address(dark, "balance"), {"total_fat_percent_min": typed, "sugars_percent_max": "40"}
    )
    body = response.content.decode()
    assert response.status_code == 422
    assert re.search(r'id="error-total_fat_percent_min">\S', body)
    assert f'value="{typed}"' in body
    assert 'value="40"' in body


def test_one_stock_is_shared_equally(client: Client, dark: RecipeVersion) -> None:
    other = services.create_recipe(draft(*DARK[:1], row("sugar_granulated"), name="Weir plain"))
    query = {"stock": "2560 g nibs", "recipe": [str(v.recipe.public_id) for v in (dark, other)]}
    body = text(client.get("/recipes/share-out/", query).content.decode())
    # By hand: 1280 g of nibs to each, which at 64 % make 2000 g.
    assert body.count("a batch of 2000 g") == 2


def test_a_portion_sets_the_size_of_its_recipe(client: Client, dark: RecipeVersion) -> None:
    query = {"stock": "640 g nibs", "recipe": str(dark.recipe.public_id)}
    body = client.get("/recipes/share-out/", query).content.decode()
    have = re.search(r'name="have" value="([^"]+)"', body)
    assert have
    client.post(address(dark, "size"), {"have": have[1]})
    assert (newest(dark).way, newest(dark).total_g) == (Way.HAVE, Decimal(1000))


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ({"stock": "nibs"}, "error-stock"),
        ({"stock": "1 kg nibs; 2 kg sugar"}, "error-stock"),
        ({"stock": "1 kg nibs"}, "error-recipe"),
    ],
)
def test_a_sharing_that_cannot_be_is_refused_beside_its_field(
    client: Client, dark: RecipeVersion, query: dict[str, str], field: str
) -> None:
    response = client.get("/recipes/share-out/", query)
    assert response.status_code == 422
    assert re.search(rf'id="{field}">\S', response.content.decode())


@pytest.mark.parametrize("asked", ["?cost_max=9", "?objective=cheapest&total_fat_percent_min=20"])
def test_a_balance_on_cost_names_the_parts_without_a_price_and_where_to_type_it(
    client: Client, dark: RecipeVersion, asked: str
) -> None:
    set_facts("cocoa_butter", Facts(price_per_kg=Decimal(18)))
    body = text(client.get(address(dark, "balance") + asked).content.decode())
    assert "no price is given for Roasted nibs, Granulated sugar." in body
    assert "Type what a kilogram costs, at the part or at the ingredient." in body
    assert "supplier" not in body
    set_facts("cocoa_nibs_roasted", Facts(price_per_kg=Decimal(12)))
    set_facts("sugar_granulated", Facts(price_per_kg=Decimal(2)))
    assert "no price is given" not in text(client.get(address(dark, "balance") + asked).content.decode())


def test_an_ingredient_of_ones_own_may_come_in_with_its_price(client: Client, dark: RecipeVersion) -> None:
    milk = create_ingredient(
        Sheet(
            name="Upfield milk",
            kind=Kind.MILK,
            constituents={"water_g": Decimal(3), "fat_g": Decimal(26), "sugars_g": Decimal(39)},
            price_per_kg=Decimal("9.40"),
        )
    )
    asked = f"{address(dark, 'balance')}?milk_solids_percent_min=14&offer=Upfield+milk"
    assert "more Upfield milk" in text(client.get(asked).content.decode())
    assert client.post(asked).status_code == 302
    after = newest(dark)
    part = open_version(after).recipe.part("upfield_milk")
    assert after.parts.get(label="upfield_milk").ingredient == milk.key
    assert part.price_per_kg == Decimal("9.40")
    # By hand: the powder is 97 % milk solids.
    assert open_version(after).recipe.share("upfield_milk") >= 0.14 / 0.97 - 1e-6


@pytest.mark.parametrize(("split", "said"), [("bars", "Type how many bars."), ("weight", "such as 2 kg.")])
def test_what_is_wanted_of_each_is_asked_for_in_its_unit(
    client: Client, dark: RecipeVersion, split: str, said: str
) -> None:
    asked = {"stock": "3 kg nibs", "recipe": str(dark.recipe.public_id), "split": split}
    assert said in client.get("/recipes/share-out/", asked).content.decode()


def test_a_limit_on_the_cost_is_on_the_cost_that_the_recipe_tells(
    client: Client, dark: RecipeVersion
) -> None:
    """Beans of 8 a kilogram yield four fifths, and the stone grinder keeps mass back."""
    update_workshop(replace(workshop(), bean_yield=Decimal("0.8"), default_kit="stone"))
    for key, price in (("cocoa_nibs_roasted", 8), ("cocoa_butter", 18), ("sugar_granulated", 2)):
        set_facts(key, Facts(price_per_kg=Decimal(price)))
    opened = open_version(newest(dark))
    told = cost(opened.recipe, opened.context).figure
    assert told is not None
    body = text(client.get(f"{address(dark, 'balance')}?cost_max={told + 1:.2f}").content.decode())
    assert f"A kilogram of what comes out costs {told:.2f} EUR now, {told:.2f} EUR then." in body
    assert "Costs at most, EUR per kg of what comes out" in body
    less = text(client.get(f"{address(dark, 'balance')}?cost_max={told - 1:.2f}").content.decode())
    assert f"costs {told:.2f} EUR now, {told - 1:.2f} EUR then." in less


def test_the_cheapest_of_anything_is_refused_on_the_page(client: Client, dark: RecipeVersion) -> None:
    response = client.get(address(dark, "balance") + "?objective=cheapest")
    assert response.status_code == 422
    assert "Without a limit the cheapest is one ingredient alone" in text(response.content.decode())


def test_it_must_pour_is_a_tick_whose_answer_is_asked_again(client: Client, dark: RecipeVersion) -> None:
    body = client.get(address(dark, "balance") + "?pours=yes").content.decode()
    assert re.search(r'name="pours" value="yes" checked> It must pour into moulds', body)
    assert "Thin enough to pour into bar moulds" in text(body)
    assert "kept" in text(body)


def test_a_name_that_amounts_do_not_earn_is_no_proposal(client: Client, dark: RecipeVersion) -> None:
    body = text(client.get(address(dark, "balance") + "?called=eu:filled").content.decode())
    assert "Not by amounts alone" in body
    assert "sold as a bar, it does not go by this name" in body
    assert "keeps every limit" not in body


def test_the_words_over_what_must_give_fit_the_lines_under_them(client: Client, dark: RecipeVersion) -> None:
    body = text(client.get(address(dark, "balance") + "?called=eu:milk").content.decode())
    assert "Each of these has to be settled:" in body
    assert "nothing in the recipe brings any; let something come in that does." in body
    assert "Drop any one of these" not in body


def test_what_is_foreign_to_the_bowl_says_how_little_can_be_left(client: Client, dark: RecipeVersion) -> None:
    bowl = "1280 g nibs, 80 g butter, 640 g sugar, 5 g salt"
    body = text(client.get(address(dark, "bowl"), {"bowl": bowl}).content.decode())
    assert "Table salt is not in the recipe, and nothing takes it out of the bowl." in body
    assert "instead of 0 %" not in body


def test_a_share_that_cannot_be_weighed_is_said(client: Client, dark: RecipeVersion) -> None:
    update_workshop(replace(workshop(), default_kit="stone"))
    asked = {"stock": "100 g nibs", "recipe": str(dark.recipe.public_id)}
    body = text(client.get("/recipes/share-out/", asked).content.decode())
    assert "the stone grinder needs 500 g at least." in body


def test_one_stock_of_two_additions_sizes_the_recipe(client: Client) -> None:
    first, last = row("sugar_granulated", "20"), row("sugar_granulated")
    rows = (*DARK[:2], replace(first, label="first"), replace(last, label="last"))
    version = services.create_recipe(draft(*rows))
    client.post(f"/recipes/{version.recipe.public_id}/size/", {"have": "640 g sugar"})
    assert newest(version).total_g == Decimal(2000)
