"""Whatever is typed, the form answers, and what it stores is what was typed or nothing."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nibsmith.science.mixture import COLUMNS
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.stock.models import OwnIngredient
from nibsmith.shop.stock.selectors import find
from nibsmith.shop.stock.words import COLUMN_NAMES

pytestmark = pytest.mark.django_db
ADD = reverse("stock:add")

within_one_test = settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow], max_examples=60
)
ODD = st.one_of(
    st.text(max_size=200),
    st.sampled_from(
        [
            "NaN",
            "-1",
            "inf",
            "1e999",
            "９９",
            "½",
            "1/0",
            "0x1F",
            "<b>",
            "\x00",
            "\ud800",
            "1,500",
            "1.500.000",
        ]
    ),
    st.decimals(min_value=-5, max_value=120, allow_nan=False, places=3).map(str),
)


FIELDS = st.sampled_from(sorted({*COLUMNS, "name", "price_per_kg", "note"}))


def test_every_column_of_the_table_is_asked_for_or_left_to_the_table() -> None:
    assert set(COLUMN_NAMES) == set(COLUMNS)


@within_one_test
@given(fields=st.dictionaries(FIELDS, ODD, max_size=5))
def test_odd_input_is_refused_or_stored_whole(
    client: Client, typed: dict[str, str], fields: dict[str, str]
) -> None:
    rows, entries = OwnIngredient.objects.count(), ChangeEntry.objects.count()

    # A browser sends what cannot be encoded as a question mark.
    sent = {name: text.encode("utf-8", "replace").decode() for name, text in fields.items()}
    response = client.post(ADD, {**typed, **sent})

    saved = response.status_code == 302
    assert response.status_code in (302, 422)
    assert OwnIngredient.objects.count() == rows + saved
    assert ChangeEntry.objects.count() == entries + saved
    if saved:
        row = OwnIngredient.objects.latest("pk")
        assert all(Decimal(text).is_finite() for text in row.constituents.values())
        assert find(row.key).name == row.name
        assert client.get(response.headers["Location"]).status_code == 200


@within_one_test
@given(body=st.binary(max_size=300))
def test_a_broken_body_is_answered(client: Client, body: bytes) -> None:
    rows = OwnIngredient.objects.count()

    response = client.post(ADD, body, content_type="application/x-www-form-urlencoded")

    assert response.status_code in (400, 422)
    assert OwnIngredient.objects.count() == rows


@within_one_test
@given(words=st.text(max_size=300), kind=st.text(max_size=40), whose=st.text(max_size=40))
def test_any_search_is_answered(client: Client, words: str, kind: str, whose: str) -> None:
    asked = {
        name: text.encode("utf-8", "replace").decode()
        for name, text in {"q": words, "kind": kind, "whose": whose}.items()
    }

    assert client.get(reverse("stock:ingredients"), asked).status_code == 200


def test_ten_megabytes_of_a_note_are_refused_beside_it(client: Client, typed: dict[str, str]) -> None:
    note = "x" * (10 * 1024 * 1024)
    response = client.post(ADD, {**typed, "note": note})
    body = response.content.decode()

    assert response.status_code == 422
    assert f"This is too long (got {len(note)} characters" in body
    assert note in body
    assert not OwnIngredient.objects.exists()


def test_nine_megabytes_in_one_field_are_refused_beside_it(client: Client, typed: dict[str, str]) -> None:
    response = client.post(ADD, {**typed, "fat_g": "9" * (9 * 1024 * 1024)})

    assert response.status_code == 422
    assert b"This is too long" in response.content
    assert not OwnIngredient.objects.exists()
