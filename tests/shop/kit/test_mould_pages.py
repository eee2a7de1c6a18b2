"""The pages of the moulds."""

from __future__ import annotations

import html
import re
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse

from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.kit.models import Mould

pytestmark = pytest.mark.django_db
LIST = reverse("kit:moulds")
ADD = reverse("kit:add_mould")


def test_an_empty_list_says_what_to_do(client: Client) -> None:
    assert b"No mould yet. Fill one cavity, weigh it, and add it." in client.get(LIST).content


def test_a_mould_is_added_and_listed(client: Client) -> None:
    response = client.post(ADD, {"name": "Brick", "cavity_g": "62,5 g", "cavities": "8"}, follow=True)

    row = Mould.objects.get()
    assert (row.cavity_g, row.cavities) == (Decimal("62.5"), 8)
    body = response.content.decode().replace("\xa0", " ")
    assert "Brick is saved." in body
    assert "62.5 g" in body


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("name", "", "This is needed."),
        ("cavity_g", "", "This is needed."),
        ("cavity_g", "70", "A number needs its unit"),
        ("cavity_g", "0 g", "This must be more than nothing"),
        ("cavities", "", "This is needed."),
        ("cavities", "2½", "Cavities are whole ones"),
        ("cavities", "0", "A mould cannot have so many cavities"),
        ("cavities", "9999999", "A mould cannot have so many cavities"),
        ("cavities", "NaN", "This is not a number"),
    ],
)
def test_a_refusal_stands_beside_its_field(client: Client, field: str, typed: str, said: str) -> None:
    response = client.post(ADD, {"name": "Brick", "cavity_g": "62.5 g", "cavities": "8", field: typed})
    body = html.unescape(response.content.decode())

    assert response.status_code == 422
    refusal = re.search(rf'<p class="error" id="id_{field}_error">(.*?)</p>', body, re.DOTALL)
    assert refusal
    assert said in refusal[1]
    assert not typed or f'value="{typed}"' in body
    assert not Mould.objects.exists()


def test_a_mould_is_changed_put_away_and_brought_back(client: Client, brick: Mould) -> None:
    url = reverse("kit:mould", kwargs={"ref": brick.ref})
    client.post(url, {"name": "Brick", "cavity_g": "63 g", "cavities": "8", "why": "weighed ten"})
    client.post(reverse("kit:put_mould_away", kwargs={"ref": brick.ref}))

    brick.refresh_from_db()
    assert brick.cavity_g == Decimal(63)
    assert brick.retired_at is not None
    assert b"Bring it back" in client.get(url).content
    client.post(reverse("kit:bring_mould_back", kwargs={"ref": brick.ref}))
    brick.refresh_from_db()
    assert brick.retired_at is None
    assert [entry.what for entry in ChangeEntry.objects.order_by("pk")] == [
        "kit.mould_added",
        "kit.mould_changed",
        "kit.mould_put_away",
        "kit.mould_brought_back",
    ]


def test_a_stored_mould_saved_again_changes_nothing(client: Client, brick: Mould) -> None:
    url = reverse("kit:mould", kwargs={"ref": brick.ref})
    typed = dict(
        re.findall(r'<input type="text" name="(\w+)" value="([^"]*)"', client.get(url).content.decode())
    )
    count = ChangeEntry.objects.count()

    assert client.post(url, typed).status_code == 302
    assert ChangeEntry.objects.count() == count


def test_an_unknown_mould_is_not_found(client: Client) -> None:
    assert client.get("/kit/moulds/kiwi/").status_code == 404
    assert client.post("/kit/moulds/00000000-0000-0000-0000-000000000000/put-away/").status_code == 404
