"""A supplier's sheet is typed, worked out, refused beside its field, or saved."""

from __future__ import annotations

import html
import re
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from nibsmith.science.mixture import ingredients
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.common.workshop.services import update_workshop
from nibsmith.shop.stock.models import OwnIngredient

pytestmark = pytest.mark.django_db
ADD = reverse("stock:add")


def shown(body: str, field: str) -> str:
    """Return what stands in a field of the page, as the maker sees it."""
    found = re.search(rf'<input[^>]* name="{field}"[^>]*>', body)
    assert found, field
    value = re.search(r' value="([^"]*)"', found[0])
    return html.unescape(value[1]) if value else ""


def error_of(body: str, field: str) -> str:
    """Return the refusal tied to a field by its description."""
    found = re.search(rf'<p class="error" id="id_{field}_error">(.*?)</p>', body, re.DOTALL)
    assert found, f"no refusal beside {field}"
    control = re.search(rf'<(?:input|select|textarea)[^>]* id="id_{field}"[^>]*>', body)
    assert control
    assert f"id_{field}_error" in control[0]
    assert 'aria-invalid="true"' in control[0]
    return html.unescape(found[1])


def test_it_saves_what_was_typed(client: Client, typed: dict[str, str]) -> None:
    response = client.post(ADD, typed)

    row = OwnIngredient.objects.get()
    assert response.status_code == 302
    assert response.headers["Location"] == reverse("stock:ingredient", kwargs={"key": row.key})
    assert (row.name, row.kind, row.price_per_kg) == ("Quayside mass", "cocoa_mass", Decimal("11.40"))
    assert row.constituents == {
        "water_g": "1.4",
        "fat_g": "54.2",
        "protein_g": "12.6",
        "carb_g": "28.3",
        "ash_g": "3.5",
    }
    assert ChangeEntry.objects.get().why == "new supplier"
    assert b"Quayside mass is saved." in client.get(response.headers["Location"]).content


@pytest.mark.parametrize(
    ("field", "text", "said"),
    [
        ("name", " ", "This is needed."),
        ("kind", "", "This is needed."),
        ("kind", "kiwi", "Choose one of the list."),
        ("fat_g", "lots", "This is not a number"),
        ("fat_g", "NaN", "This is not a number"),
        ("fat_g", "-3", "A dash is not read here"),
        ("fat_g", "101", "This is more than it can be"),
        ("fat_g", "1e2", "This is not a number"),
        ("fat_g", "0.00000001", "This is finer than it is kept"),
        ("sodium_mg", "1,500", "This can be read two ways"),
        ("price_per_kg", "1,500", "This can be read two ways"),
        ("price_per_kg", "€3", "This is not a number"),
        ("sugars_g", "30", "sugars of Quayside mass is more than its carbohydrate, fibre included"),
        ("shell_percent", "101", "This is more than it can be"),
        ("fat_low_g", "50", ""),
        ("note", "x" * 2001, "This is too long"),
        ("name", "x" * 121, "This is too long"),
        ("name", "\x00", "A sign that cannot be shown stands in it (U+0000)"),
        ("why", "\x07", "A sign that cannot be shown stands in it (U+0007)"),
    ],
)
def test_a_refusal_stands_beside_its_field_and_nothing_typed_is_lost(
    client: Client, typed: dict[str, str], field: str, text: str, said: str
) -> None:
    response = client.post(ADD, {**typed, field: text})
    body = response.content.decode()

    assert response.status_code == 422
    assert said in error_of(body, "fat_high_g" if field == "fat_low_g" else field)
    assert "Nothing is saved yet." in body
    assert not OwnIngredient.objects.exists()
    for name in typed.keys() - {field, "kind", "stage", "grind"}:
        assert shown(body, name) == str(typed[name])
    if field not in ("kind", "note"):
        assert shown(body, field) == text


def test_an_ambiguous_number_gives_both_readings_and_the_settings_decide(
    client: Client, typed: dict[str, str]
) -> None:
    said = error_of(client.post(ADD, {**typed, "sodium_mg": "1,500"}).content.decode(), "sodium_mg")
    assert "one point five" in said
    assert "one thousand five hundred" in said

    update_workshop(WorkshopSettings(decimal_sign=","))
    client.post(ADD, {**typed, "sodium_mg": "1,500"})

    assert OwnIngredient.objects.get().constituents["sodium_mg"] == "1.500"


def test_what_does_not_close_is_said_at_the_head_of_the_form(client: Client, typed: dict[str, str]) -> None:
    body = client.post(ADD, {**typed, "carb_g": "20"}).content.decode()

    assert "do not come to 100 g (got 91.70 g, limit 100 ± 0.6 g)" in html.unescape(body)
    assert 'role="alert"' in body
    assert not OwnIngredient.objects.exists()


def test_working_out_shows_the_energy_and_saves_nothing(client: Client, typed: dict[str, str]) -> None:
    """By the EU factors of Annex XIV, by hand, with fibre unknown the energy is unknown."""
    fibre = {**typed, "fibre_g": "16", "work_out": "1"}
    by_hand = Decimal(37) * Decimal("54.2") + 17 * (Decimal("12.3") + Decimal("12.6")) + 8 * Decimal(16)
    response = client.post(ADD, fibre, headers={"HX-Request": "true"})
    body = response.content.decode().replace("\xa0", " ").replace("\u202f", "")

    assert response.status_code == 200
    assert f"{by_hand:.0f} kJ" in body
    assert "come to <strong>100 g</strong> of 100 g" in body
    assert "<html" not in body
    assert not OwnIngredient.objects.exists()
    without = client.post(ADD, {**typed, "work_out": "1"}).content.decode().replace("\xa0", " ")
    assert "<html" in without
    assert re.search(r"energy by the EU factors</th><td class=\"number\">not known", without)


def test_carbohydrate_without_fibre_is_kept_with_it(client: Client, typed: dict[str, str]) -> None:
    """A European sheet of the same mass: 12.3 g of carbohydrate and 16 g of fibre are 28.3 g together."""
    apart = {**typed, "carb_g": "12.3", "fibre_g": "16", "fibre_apart": "on"}

    assert client.post(ADD, apart).status_code == 302
    assert OwnIngredient.objects.get().constituents["carb_g"] == "28.3"


def test_carbohydrate_without_a_fibre_that_is_not_given_is_refused(
    client: Client, typed: dict[str, str]
) -> None:
    response = client.post(ADD, {**typed, "fibre_apart": "on"})

    assert response.status_code == 422
    assert "the fibre is not given" in error_of(response.content.decode(), "fibre_g")
    assert not OwnIngredient.objects.exists()


def test_working_out_what_cannot_be_says_which_field(client: Client, typed: dict[str, str]) -> None:
    body = client.post(ADD, {**typed, "fat_g": "lots", "work_out": "1"}, headers={"HX-Request": "true"})

    assert "Fat: This is not a number" in html.unescape(body.content.decode())
    assert not OwnIngredient.objects.exists()


def test_the_start_from_a_packaged_one_is_filled_in_but_for_its_promises(client: Client) -> None:
    body = client.get(ADD, {"from": "hazelnut_dry_roasted"}).content.decode()
    source = ingredients()["hazelnut_dry_roasted"]

    assert shown(body, "name") == f"{source.name}, ours"
    assert Decimal(shown(body, "fat_g")) == Decimal(repr(source.composition["fat_g"]))
    assert shown(body, "price_per_kg") == shown(body, "supplier") == ""
    assert re.search(r'<input[^>]*value="nuts:hazelnut"[^>]* checked', body)
    assert not re.search(r'<input[^>]*name="allergens_known"[^>]* checked', body)
    assert '<option value="folded_in" selected>' in body


def test_what_it_was_started_from_is_kept(client: Client, typed: dict[str, str]) -> None:
    client.post(f"{ADD}?from=cocoa_mass", typed)

    assert OwnIngredient.objects.get().based_on == "cocoa_mass"


def test_a_stored_sheet_is_shown_and_saved_again_without_a_change(
    client: Client, mass: OwnIngredient
) -> None:
    url = reverse("stock:edit", kwargs={"key": mass.key})
    body = client.get(url).content.decode()
    again: dict[str, str] = {
        name: html.unescape(value)
        for name, value in re.findall(r'<input type="text" name="(\w+)" value="([^"]*)"', body)
    }
    picked = dict(re.findall(r'<select name="(\w+)".*?<option value="(\w+)" selected>', body, re.DOTALL))
    count = ChangeEntry.objects.count()

    response = client.post(url, {**again, **picked, "note": "", "allergens_known": "on"})

    assert response.status_code == 302
    assert ChangeEntry.objects.count() == count


def test_a_correction_is_saved_with_its_why(
    client: Client, mass: OwnIngredient, typed: dict[str, str]
) -> None:
    url = reverse("stock:edit", kwargs={"key": mass.key})
    response = client.post(url, {**typed, "name": "Quayside mass, new", "why": "new lot"})

    assert response.status_code == 302
    mass.refresh_from_db()
    assert mass.name == "Quayside mass, new"
    assert ChangeEntry.objects.all()[0].why == "new lot"
    assert ChangeEntry.objects.all()[0].what == "stock.ingredient_changed"


def test_it_is_put_away_and_brought_back(client: Client, mass: OwnIngredient) -> None:
    client.post(reverse("stock:put_away", kwargs={"key": mass.key}), {"why": "sold out"})
    mass.refresh_from_db()
    assert mass.retired_at is not None
    assert ChangeEntry.objects.all()[0].why == "sold out"
    assert b"Bring it back" in client.get(reverse("stock:ingredient", kwargs={"key": mass.key})).content

    client.post(reverse("stock:bring_back", kwargs={"key": mass.key}))
    mass.refresh_from_db()
    assert mass.retired_at is None


@pytest.mark.parametrize("view", ["stock:put_away", "stock:bring_back"])
def test_looking_changes_nothing(client: Client, mass: OwnIngredient, view: str) -> None:
    assert client.get(reverse(view, kwargs={"key": mass.key})).status_code == 405


def test_a_form_without_its_token_is_not_taken(typed: dict[str, str]) -> None:
    assert Client(enforce_csrf_checks=True).post(ADD, typed).status_code == 403
    assert not OwnIngredient.objects.exists()


def test_there_is_one_primary_button_and_every_control_has_its_label(client: Client) -> None:
    body = client.get(ADD).content.decode()
    ids = re.findall(r'<(?:input|select|textarea)(?![^>]*type="hidden")[^>]* id="([^"]+)"', body)

    assert len(re.findall(r'class="(?:button )?primary"', body)) == 1
    assert len(ids) > 40
    for name in ids:
        assert f'for="{name}"' in body


def test_a_save_takes_few_queries(
    client: Client, typed: dict[str, str], django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    # The settings, the names that are taken, the ingredient, its entry in the log, and one transaction.
    with django_assert_max_num_queries(6):
        client.post(ADD, typed)


@pytest.mark.parametrize("name", ["Quayside mass", "QUAYSIDE  mass ", "quayside\u00a0mass"])
def test_a_name_that_is_taken_is_refused_beside_it(
    client: Client, mass: OwnIngredient, typed: dict[str, str], name: str
) -> None:
    response = client.post(ADD, {**typed, "name": name})
    assert response.status_code == 422
    assert "One of your ingredients has this name" in error_of(response.content.decode(), "name")
    assert OwnIngredient.objects.get() == mass


def test_a_letter_of_its_own_tells_two_names_apart(
    client: Client, mass: OwnIngredient, typed: dict[str, str]
) -> None:
    assert client.post(ADD, {**typed, "name": "Quaysıde mass"}).status_code == 302
    assert OwnIngredient.objects.count() == 2
