"""The page of the settings."""

from __future__ import annotations

import html
import re
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pytest_django import DjangoAssertNumQueries

from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.common.workshop.selectors import WorkshopSettings, workshop
from nibsmith.shop.common.workshop.services import update_workshop
from nibsmith.shop.kit.models import Mould
from nibsmith.shop.kit.services import MouldCard, create_mould, retire_mould

pytestmark = pytest.mark.django_db
URL = reverse("common:settings")
GOOD: dict[str, str | list[str]] = {
    "name": "Two Herons",
    "decimal_sign": ",",
    "mass_unit": "g",
    "temperature_unit": "C",
    "scale_g": "0,1 g",
    "currency": "GBP",
    "markets": ["eu", "uk"],
    "bean_yield": "78 %",
    "default_kit": "stone",
    "default_mould": "",
    "paper": "A4",
    "uses_lecithin": "on",
}


@pytest.fixture
def brick() -> Mould:
    return create_mould(MouldCard(name="Brick", cavity_g=Decimal(62)))


def test_what_is_typed_is_saved(client: Client, brick: Mould) -> None:
    response = client.post(URL, {**GOOD, "default_mould": brick.ref, "why": "first day"}, follow=True)

    assert "The settings are saved." in response.content.decode()
    assert workshop() == WorkshopSettings(
        name="Two Herons",
        decimal_sign=",",
        scale_g=Decimal("0.1"),
        currency="GBP",
        markets=("eu", "uk"),
        uses_lecithin=True,
        default_kit="stone",
        default_mould=brick.ref,
        bean_yield=Decimal("0.78"),
    )
    assert ChangeEntry.objects.all()[0].why == "first day"


def test_it_shows_what_is_set_and_saving_it_again_changes_nothing(client: Client) -> None:
    client.post(URL, GOOD)
    body = client.get(URL).content.decode()
    typed = dict(re.findall(r'<input type="text" name="(\w+)" value="([^"]*)"', body))
    selects = re.findall(r'<select name="(\w+)"(.*?)</select>', body, re.DOTALL)
    picked = {name: re.findall(r'<option value="([^"]*)" selected>', rest)[0] for name, rest in selects}
    ticked = re.findall(r'<input type="checkbox" name="markets" value="([\w-]+)"[^>]* checked', body)

    assert (typed["scale_g"], typed["bean_yield"]) == ("0,1 g", "78")
    assert ticked == ["eu", "uk"]
    client.post(URL, {**picked, **typed, "markets": ticked, "uses_lecithin": "on"})
    assert ChangeEntry.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("scale_g", "0.1", "A number needs its unit"),
        ("scale_g", "0 g", "This must be more than nothing"),
        ("scale_g", "-1 g", "A dash can be a minus sign"),
        ("bean_yield", "101", "This is more than it can be"),
        ("bean_yield", "0", "This must be more than nothing"),
        ("currency", "XYZ", "Choose one of the list."),
        ("default_kit", "kiwi", "Choose one of the list."),
        ("mass_unit", "st", "Choose one of the list."),
        ("name", "x" * 121, "This is too long"),
        ("name", "\x1b", "A sign that cannot be shown stands in it"),
    ],
)
def test_a_refusal_stands_beside_its_field_and_nothing_typed_is_lost(
    client: Client, field: str, typed: str, said: str
) -> None:
    response = client.post(URL, {**GOOD, "why": "kept", field: typed})
    body = html.unescape(response.content.decode())

    assert response.status_code == 422
    refusal = re.search(rf'<p class="error" id="id_{field}_error">(.*?)</p>', body, re.DOTALL)
    assert refusal
    assert said in refusal[1]
    assert 'value="kept"' in body
    assert workshop() == WorkshopSettings()


def test_no_market_is_refused(client: Client) -> None:
    response = client.post(URL, {**GOOD, "markets": []})

    assert response.status_code == 422
    assert re.search(r'id="id_markets_error">This is needed.', response.content.decode())


def test_a_usual_mould_put_away_is_kept_until_another_is_chosen(client: Client, brick: Mould) -> None:
    update_workshop(WorkshopSettings(default_mould=brick.ref))
    retire_mould(brick)
    body = client.get(URL).content.decode()

    assert f'<option value="{brick.ref}" selected>the one put away</option>' in body
    client.post(URL, {**GOOD, "default_mould": brick.ref})
    assert workshop().default_mould == brick.ref


def test_an_empty_post_is_refused_not_taken_for_a_look(client: Client) -> None:
    assert client.post(URL, {}).status_code == 422


def test_looking_takes_three_queries(
    client: Client, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    with django_assert_num_queries(3):
        client.get(URL)


ODD = st.text(max_size=130) | st.sampled_from(["NaN", "1e9 g", "½ g", "<b>", "\x00"])


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=50)
@given(fields=st.dictionaries(st.sampled_from(sorted(GOOD)), ODD, max_size=4))
def test_odd_settings_are_refused_or_stored_whole(client: Client, fields: dict[str, str]) -> None:
    before, entries = workshop(), ChangeEntry.objects.count()
    sent = {name: text.encode("utf-8", "replace").decode() for name, text in fields.items()}

    response = client.post(URL, {**GOOD, **sent})

    assert response.status_code in (302, 422)
    if response.status_code == 422:
        assert (workshop(), ChangeEntry.objects.count()) == (before, entries)
    assert client.get(URL).status_code == 200
