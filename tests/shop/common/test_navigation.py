"""The navigation leads to every room, and says in which one the page stands."""

from __future__ import annotations

import re

import pytest
from django.test import Client

from rooms import ROOMS

pytestmark = pytest.mark.django_db

LINK = re.compile(r'<a href="([^"]+)"( aria-current="page")?>([^<]+)</a>')


def links(client: Client, address: str) -> list[tuple[str, str, bool]]:
    """Return name, address and whether it is the present one of each link of the navigation."""
    page = client.get(address)
    assert page.status_code == 200
    navigation = page.content.decode().partition('id="rooms"')[2].partition("</ul>")[0]
    return [(name, link, bool(here)) for link, here, name in LINK.findall(navigation)]


def test_it_lists_the_rooms_in_their_order(client: Client) -> None:
    assert [(name, link) for name, link, _ in links(client, "/")] == list(ROOMS)


@pytest.mark.parametrize(("name", "address"), ROOMS)
def test_every_room_opens_and_is_marked_as_the_present_one(client: Client, name: str, address: str) -> None:
    assert [found for found, _, here in links(client, address) if here] == [name]


def test_a_page_inside_a_room_is_marked_as_that_room(client: Client) -> None:
    assert [name for name, _, here in links(client, "/stock/cocoa_butter/") if here] == ["Ingredients"]


def test_the_list_opens_by_its_button_without_scripts(client: Client) -> None:
    page = client.get("/").content.decode()
    assert '<button class="rooms-open" type="button" popovertarget="rooms">' in page
    assert re.search(r'<ul class="nav" id="rooms" popover>', page)
