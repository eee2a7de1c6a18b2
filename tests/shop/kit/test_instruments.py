"""Fridges and probes: written whole or not at all, and shown with what they are good for."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from nibsmith.science.errors import InputError
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.common.workshop.services import update_workshop
from nibsmith.shop.kit import instruments, keeping, selectors
from nibsmith.shop.kit.instruments import FridgeCard, ProbeCard
from nibsmith.shop.kit.models import Fridge, Probe

pytestmark = pytest.mark.django_db
LARDER = FridgeCard(name="Larder fridge", celsius=Decimal("11.5"))
SPIKE = ProbeCard(name="Spike", measures="bean", offset_k=Decimal("-0.8"), uncertainty_k=Decimal("1.5"))


def text(client: Client, url: str) -> str:
    response = client.get(url)
    assert response.status_code == 200
    return re.sub(r"\s+", " ", html.unescape(response.content.decode())).replace("\xa0", " ")


def test_a_fridge_and_a_probe_live_from_new_to_brought_back() -> None:
    fridge = instruments.create_fridge(LARDER)
    instruments.update_fridge(fridge, replace(LARDER, air="fan"), why="a fan built in")
    keeping.retire(fridge)
    keeping.bring_back(fridge)
    probe = instruments.create_probe(SPIKE)
    instruments.update_probe(probe, replace(SPIKE, uncertainty_k=None))

    codes = [entry.what for entry in ChangeEntry.objects.order_by("pk")]
    assert codes == [
        "kit.fridge_added",
        "kit.fridge_changed",
        "kit.fridge_put_away",
        "kit.fridge_brought_back",
        "kit.probe_added",
        "kit.probe_changed",
    ]
    assert Fridge.objects.get().retired_at is None
    assert Probe.objects.get().uncertainty_k is None


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"name": " "}, "name"),
        ({"celsius": Decimal(31)}, "celsius"),
        ({"celsius": Decimal(-31)}, "celsius"),
        ({"celsius": Decimal("NaN")}, "celsius"),
        ({"air": "kiwi"}, "air"),
        ({"air_h": Decimal(0)}, "air_h"),
        ({"air_h": Decimal(101)}, "air_h"),
    ],
)
def test_a_fridge_that_cannot_be_is_refused(changes: dict[str, Any], field: str) -> None:
    with pytest.raises(InputError) as refused:
        instruments.create_fridge(replace(LARDER, **changes))

    assert refused.value.field == field
    assert not Fridge.objects.exists()


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"name": ""}, "name"),
        ({"measures": "soup"}, "measures"),
        ({"offset_k": Decimal(31)}, "offset_k"),
        ({"offset_k": Decimal("0.05")}, "offset_k"),
        ({"uncertainty_k": Decimal("-0.1")}, "uncertainty_k"),
    ],
)
def test_a_probe_that_cannot_be_is_refused(changes: dict[str, Any], field: str) -> None:
    with pytest.raises(InputError) as refused:
        instruments.create_probe(replace(SPIKE, **changes))

    assert refused.value.field == field
    assert not Probe.objects.exists()


def test_the_air_of_a_fridge_is_that_of_its_kind_until_the_maker_has_a_figure() -> None:
    fridge = instruments.create_fridge(LARDER)
    usual = selectors.fridge_air(fridge)
    own = selectors.fridge_air(instruments.update_fridge(fridge, replace(LARDER, air_h=Decimal(12))))

    assert usual.low < usual.value < usual.high
    assert (own.low, own.value, own.high) == (12.0, 12.0, 12.0)


def test_a_probe_is_added_with_what_a_check_found_and_shown_so(client: Client) -> None:
    typed = {"name": "Spike", "measures": "bean", "offset_k": "-1,4 °F", "uncertainty_k": "1.5"}
    client.post(reverse("kit:add_probe"), typed)

    probe = Probe.objects.get()
    # A difference of 1.4 °F is 1.4 / 1.8 = 0.78 K.
    assert (probe.offset_k, probe.uncertainty_k) == (Decimal("-0.8"), Decimal("1.5"))
    body = text(client, reverse("kit:probes"))
    assert "−0.8 K" in body
    assert "± 1.5 K" in body


def test_a_probe_nobody_has_checked_is_not_taken_for_a_true_one(client: Client) -> None:
    client.post(reverse("kit:add_probe"), {"name": "Old one", "measures": "air"})

    assert Probe.objects.get().uncertainty_k is None
    assert "not checked" in text(client, reverse("kit:probes"))


def test_a_fridge_with_a_figure_of_its_own_does_not_say_how_its_air_moves(client: Client) -> None:
    fridge = instruments.create_fridge(LARDER)
    assert "still, as in most fridges" in text(client, reverse("kit:fridges"))

    instruments.update_fridge(fridge, replace(LARDER, air_h=Decimal(12)))
    told = text(client, reverse("kit:fridges"))
    assert "still" not in told
    assert "by your own figure" in told
    assert "Counts only without a figure of your own below." in text(
        client, reverse("kit:fridge", args=[fridge.ref])
    )


def test_a_fridge_is_added_in_fahrenheit_where_the_workshop_works_in_it(client: Client) -> None:
    update_workshop(WorkshopSettings(temperature_unit="F"))
    client.post(reverse("kit:add_fridge"), {"name": "Larder", "celsius": "50", "air": "still"})

    assert Fridge.objects.get().celsius == 10
    assert "50 °F" in text(client, reverse("kit:fridges"))


@pytest.mark.parametrize(
    ("url", "typed", "field", "said"),
    [
        ("kit:add_fridge", {"name": "L", "celsius": "cold", "air": "still"}, "celsius", "not a temperature"),
        ("kit:add_fridge", {"name": "L", "celsius": "99", "air": "still"}, "celsius", "This cannot be true"),
        ("kit:add_fridge", {"name": "", "celsius": "9", "air": "still"}, "name", "This is needed."),
        ("kit:add_probe", {"name": "S", "measures": "soup"}, "measures", "Choose one of the list."),
        ("kit:add_probe", {"name": "S", "measures": "air", "offset_k": "some"}, "offset_k", "temperature"),
    ],
)
def test_a_refusal_stands_beside_its_field(
    client: Client, url: str, typed: dict[str, str], field: str, said: str
) -> None:
    response = client.post(reverse(url), {**typed, "note": "kept"})
    body = html.unescape(response.content.decode())

    assert response.status_code == 422
    refusal = re.search(rf'<p class="error" id="id_{field}_error">(.*?)</p>', body, re.DOTALL)
    assert refusal
    assert said in refusal[1]
    assert "kept</textarea>" in body


def test_a_stored_one_is_saved_again_without_a_change(client: Client) -> None:
    fridge, probe = instruments.create_fridge(LARDER), instruments.create_probe(SPIKE)
    count = ChangeEntry.objects.count()
    for url, chosen in (
        (reverse("kit:fridge", args=[fridge.ref]), {"air": "still"}),
        (reverse("kit:probe", args=[probe.ref]), {"measures": "bean"}),
    ):
        body = client.get(url).content.decode()
        typed = dict(re.findall(r'<input type="text" name="(\w+)" value="([^"]*)"', body))
        assert client.post(url, {**typed, **chosen}).status_code == 302

    assert ChangeEntry.objects.count() == count


def test_they_are_put_away_and_brought_back_on_their_pages(client: Client) -> None:
    fridge = instruments.create_fridge(LARDER)
    client.post(reverse("kit:put_fridge_away", args=[fridge.ref]), {"why": "broken"})
    assert "Larder fridge" in text(client, reverse("kit:fridges")).partition("Put away")[2]

    client.post(reverse("kit:bring_fridge_back", args=[fridge.ref]))
    fridge.refresh_from_db()
    assert fridge.retired_at is None


@pytest.mark.parametrize("room", ["fridges", "probes"])
@pytest.mark.parametrize("ref", ["kiwi", "00000000-0000-0000-0000-000000000000", "%00"])
def test_an_unknown_one_is_not_found(client: Client, room: str, ref: str) -> None:
    assert client.get(f"/kit/{room}/{ref}/").status_code == 404
    assert client.post(f"/kit/{room}/{ref}/put-away/").status_code == 404


def test_lists_take_few_queries(client: Client, django_assert_num_queries: DjangoAssertNumQueries) -> None:
    for number in range(4):
        instruments.create_fridge(replace(LARDER, name=f"Fridge {number}"))
        instruments.create_probe(replace(SPIKE, name=f"Probe {number}"))
    for url in ("kit:fridges", "kit:probes"):
        with django_assert_num_queries(3):
            client.get(reverse(url))
