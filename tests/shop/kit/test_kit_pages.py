"""The pages of the kits."""

from __future__ import annotations

import html
import re
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from nibsmith.science.kit import kits
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.common.workshop.services import update_workshop
from nibsmith.shop.kit.models import OwnKit
from nibsmith.shop.kit.services import KitCard, MouldCard, create_kit, create_mould, update_kit
from nibsmith.shop.recipes.models import Way
from nibsmith.shop.recipes.services import create_recipe
from recipes_typed import draft
from recipes_typed import row as typed_row

pytestmark = pytest.mark.django_db
LIST = reverse("kit:kits")
ADD = reverse("kit:add")


def text(client: Client, url: str) -> str:
    response = client.get(url)
    assert response.status_code == 200
    return re.sub(r"\s+", " ", response.content.decode())


def test_the_list_has_own_and_packaged_kits_and_marks_the_usual_one(client: Client, agnes: OwnKit) -> None:
    update_workshop(WorkshopSettings(default_kit=agnes.ref))
    body = text(client, LIST)

    assert '>Agnes</a> <span class="tag">yours</span> <span class="tag">usual</span>' in body
    for thing in kits().values():
        assert thing.name in body


@pytest.mark.parametrize("key", list(kits()))
def test_every_packaged_kit_has_its_page(client: Client, key: str) -> None:
    body = text(client, reverse("kit:kit", kwargs={"ref": key}))

    assert f"<h1>{kits()[key].name}" in body
    assert "common practice, no source" in body
    assert all(html.escape(note) in body for note in kits()[key].notes)


def test_a_page_says_whose_each_figure_is(client: Client, agnes: OwnKit) -> None:
    body = text(client, reverse("kit:kit", kwargs={"ref": agnes.ref}))

    assert '<th scope="row">Largest charge</th><td data-label="How much" class="number">2 500 g</td>' in body
    largest = body.partition("Largest charge")[2]
    assert largest.index(">yours<") < largest.index("</tr>")
    grains = body.partition("Largest grains reached")[2]
    assert grains.index("15 to 30 µm") < grains.index("common practice, no source") < grains.index("</tr>")


def test_ounces_and_fahrenheit_are_shown_where_the_settings_say_so(client: Client) -> None:
    update_workshop(WorkshopSettings(mass_unit="oz", temperature_unit="F"))
    body = text(client, reverse("kit:kit", kwargs={"ref": "blender"}))

    assert "1 000 g (2 lb 3.27 oz)" in body
    assert "122 °F" in body


def test_a_kit_is_added_with_masses_as_people_type_them(client: Client) -> None:
    response = client.post(
        ADD,
        {
            "name": "Agnes",
            "based_on": "stone",
            "charge_min_g": "1 lb 2 oz",
            "charge_max_g": "2,5 kg",
            "residue_g": "140 g",
            "loss_percent": "1,5",
            "end_water_percent": "0,9 %",
            "ceiling_celsius": "140 F",
            "why": "bought second hand",
        },
    )

    row = OwnKit.objects.get()
    assert response.headers["Location"] == reverse("kit:kit", kwargs={"ref": row.ref})
    # 1 lb 2 oz is 18 international avoirdupois ounces of 28.349523125 g.
    assert row.charge_min_g == Decimal("510.29")
    assert (row.charge_max_g, row.residue_g) == (Decimal(2500), Decimal(140))
    assert row.loss_percent == Decimal("1.5")
    assert (row.end_water_percent, row.ceiling_celsius) == (Decimal("0.9"), Decimal(60))
    assert ChangeEntry.objects.get().why == "bought second hand"


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("name", "", "This is needed."),
        ("based_on", "kiwi", "Choose one of the list."),
        ("charge_max_g", "2500", "A number needs its unit"),
        ("charge_max_g", "2,500 g", "This can be read two ways"),
        ("charge_min_g", "2 cups", "Weigh it once and save it as yours"),
        ("charge_min_g", "-1 kg", "A dash can be a minus sign"),
        ("residue_g", "9 t", "is not a unit of mass known here"),
        ("residue_g", "9 kg", "As much stays behind as it holds"),
        ("loss_percent", "100", "This cannot be true"),
        ("loss_percent", "5 g", "This is not a share in percent"),
        ("end_water_percent", "11", "This cannot be true"),
        ("ceiling_celsius", "60 K", "Kelvin is kept for differences here"),
        ("ceiling_celsius", "-300 C", "Nothing is colder than absolute zero"),
    ],
)
def test_a_refusal_stands_beside_its_field_and_nothing_typed_is_lost(
    client: Client, field: str, typed: str, said: str
) -> None:
    good = {"name": "Agnes", "based_on": "stone", "charge_min_g": "800 g", "note": "kept"}
    response = client.post(ADD, {**good, field: typed})
    body = html.unescape(response.content.decode())

    assert response.status_code == 422
    refusal = re.search(rf'<p class="error" id="id_{field}_error">(.*?)</p>', body, re.DOTALL)
    assert refusal
    assert said in refusal[1]
    assert "kept</textarea>" in body
    if field not in ("based_on", "name"):
        assert f'value="{typed}"' in body
    assert not OwnKit.objects.exists()


def test_the_start_from_a_packaged_kit_has_it_chosen(client: Client) -> None:
    assert '<option value="ball_mill" selected>' in text(client, f"{ADD}?from=ball_mill")


def test_a_stored_kit_is_shown_and_saved_again_without_a_change(client: Client, agnes: OwnKit) -> None:
    url = reverse("kit:edit", kwargs={"ref": agnes.ref})
    typed = dict(
        re.findall(r'<input type="text" name="(\w+)" value="([^"]*)"', client.get(url).content.decode())
    )
    count = ChangeEntry.objects.count()

    assert typed["charge_max_g"] == "2500 g"
    assert client.post(url, {**typed, "based_on": "stone"}).status_code == 302
    assert ChangeEntry.objects.count() == count


def test_it_is_put_away_and_brought_back(client: Client, agnes: OwnKit) -> None:
    client.post(reverse("kit:put_away", kwargs={"ref": agnes.ref}), {"why": "sold"})
    agnes.refresh_from_db()
    assert agnes.retired_at is not None
    assert "Agnes" in text(client, LIST).partition("Put away")[2]

    client.post(reverse("kit:bring_back", kwargs={"ref": agnes.ref}))
    agnes.refresh_from_db()
    assert agnes.retired_at is None


def test_a_name_that_is_markup_is_shown_as_text(client: Client) -> None:
    row = create_kit(KitCard(name="<img src=x>", based_on="stone", note="<b>"))

    for url in (
        LIST,
        reverse("kit:kit", kwargs={"ref": row.ref}),
        reverse("kit:edit", kwargs={"ref": row.ref}),
    ):
        body = client.get(url).content.decode()
        assert "<img src" not in body
        assert "&lt;img src=x&gt;" in body


@pytest.mark.parametrize("ref", ["kiwi", "own:kiwi", "own:00000000-0000-0000-0000-000000000000", "%00"])
def test_an_unknown_kit_is_not_found(client: Client, ref: str) -> None:
    assert client.get(f"/kit/{ref}/").status_code == 404
    assert client.get(f"/kit/{ref}/edit/").status_code == 404
    assert client.post(f"/kit/{ref}/put-away/").status_code == 404


def test_a_packaged_kit_is_not_edited(client: Client) -> None:
    assert client.get(reverse("kit:edit", kwargs={"ref": "stone"})).status_code == 404


def test_pages_take_few_queries(
    client: Client, agnes: OwnKit, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    with django_assert_num_queries(3):
        client.get(LIST)
    with django_assert_num_queries(5):
        client.get(reverse("kit:kit", kwargs={"ref": agnes.ref}))


def test_a_new_machine_is_of_no_kind_until_one_is_chosen(client: Client) -> None:
    page = client.get(reverse("kit:add")).content.decode()
    assert '<option value="" selected>Choose</option>' in page
    response = client.post(reverse("kit:add"), {"name": "Agnes", "based_on": ""})
    assert response.status_code == 422
    assert "This is needed." in response.content.decode()


@pytest.mark.parametrize(("typed", "sign"), [("2.50", "."), ("2,50", ",")])
def test_a_share_comes_back_with_the_digits_it_was_typed_with(client: Client, typed: str, sign: str) -> None:
    update_workshop(WorkshopSettings(decimal_sign=sign))  # type: ignore[arg-type]
    asked = {"name": "Agnes", "based_on": "stone", "loss_percent": typed, "end_water_percent": "1"}
    client.post(reverse("kit:add"), asked)
    row = OwnKit.objects.get()
    edit = client.get(reverse("kit:edit", args=[row.ref])).content.decode()
    page = client.get(reverse("kit:kit", args=[row.ref])).content.decode()

    assert f'value="{typed}"' in edit
    assert f"{typed}\u00a0%" in page
    assert 'value="1"' in edit


def test_a_zero_more_is_shown_and_is_no_change(client: Client) -> None:
    row = create_kit(KitCard(name="Agnes", based_on="stone", loss_percent=Decimal("2.5")))
    entries = ChangeEntry.objects.count()
    update_kit(row, KitCard(name="Agnes", based_on="stone", loss_percent=Decimal("2.50")))

    assert 'value="2.50"' in client.get(reverse("kit:edit", args=[row.ref])).content.decode()
    assert ChangeEntry.objects.count() == entries


def test_a_page_says_what_is_lost_and_whose_figure_it_is(client: Client) -> None:
    row = create_kit(KitCard(name="Agnes", based_on="stone", loss_percent=Decimal("2.50")))
    own, usual = (
        re.sub(r"<[^>]*>", "", text(client, reverse("kit:kit", kwargs={"ref": ref}))).replace("\xa0", " ")
        for ref in (row.ref, "stone")
    )
    assert "Lost besides, of the finished mass2.50 %yours" in own
    assert "Lost besides, of the finished massnothing" in usual


def test_bars_are_weighed_in_with_what_is_lost(client: Client) -> None:
    row = create_kit(
        KitCard(name="Agnes", based_on="mortar", residue_g=Decimal(20), loss_percent=Decimal(20))
    )
    mould = create_mould(MouldCard(name="Square", cavity_g=Decimal(50)))
    parts = (typed_row("cocoa_mass", "70"), typed_row("sugar_granulated", "30"))
    version = create_recipe(draft(*parts, way=Way.BARS, bars=4, kit=row.ref, mould=mould.ref))
    # By hand: 4 bars of 50 g, and 20 g on the stones, are 80 % of the mass: 220 / 0.8 = 275 g.
    assert version.total_g == 275
