"""Whatever is typed, the forms of kits and moulds answer, and store what was typed or nothing."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.kit.models import Mould, OwnKit

pytestmark = pytest.mark.django_db

within_one_test = settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
ODD = st.one_of(
    st.text(max_size=150),
    st.sampled_from(["NaN g", "-1 g", "1e9 kg", "½ kg", "1,500 g", "<b>", "\x00", "\ud800", "999999999 kg"]),
    st.builds("{} {}".format, st.integers(-2, 10**7), st.sampled_from(["g", "kg", "lb", "oz", "%", "C", ""])),
)
KIT_FIELDS = [
    "name",
    "charge_min_g",
    "charge_max_g",
    "residue_g",
    "loss_percent",
    "end_water_percent",
    "ceiling_celsius",
    "note",
]


def sendable(fields: dict[str, str]) -> dict[str, str]:
    """A browser sends what cannot be encoded as a question mark."""
    return {name: text.encode("utf-8", "replace").decode() for name, text in fields.items()}


@within_one_test
@given(fields=st.dictionaries(st.sampled_from(KIT_FIELDS), ODD, max_size=4))
def test_odd_kits_are_refused_or_stored_whole(client: Client, fields: dict[str, str]) -> None:
    rows, entries = OwnKit.objects.count(), ChangeEntry.objects.count()

    response = client.post(reverse("kit:add"), {"name": "Agnes", "based_on": "stone", **sendable(fields)})

    saved = response.status_code == 302
    assert response.status_code in (302, 422)
    assert (OwnKit.objects.count(), ChangeEntry.objects.count()) == (rows + saved, entries + saved)
    if saved:
        assert client.get(response.headers["Location"]).status_code == 200


@within_one_test
@given(fields=st.dictionaries(st.sampled_from(["name", "cavity_g", "cavities", "note"]), ODD, max_size=3))
def test_odd_moulds_are_refused_or_stored_whole(client: Client, fields: dict[str, str]) -> None:
    rows, entries = Mould.objects.count(), ChangeEntry.objects.count()
    good = {"name": "Brick", "cavity_g": "62.5 g", "cavities": "8"}

    response = client.post(reverse("kit:add_mould"), {**good, **sendable(fields)})

    saved = response.status_code == 302
    assert response.status_code in (302, 422)
    assert (Mould.objects.count(), ChangeEntry.objects.count()) == (rows + saved, entries + saved)
