"""Whatever is typed at the bench, it is stored as it was typed or refused, and the page is shown after."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nibsmith.shop.batches.models import (
    Addition,
    Batch,
    Curve,
    EndWeight,
    FlowReading,
    FoldIn,
    PlannedPart,
    Session,
    SizeReading,
)
from nibsmith.shop.batches.services.entries import write
from nibsmith.shop.batches.services.sessions import SessionCard, begin
from nibsmith.shop.common.changelog.models import ChangeEntry

pytestmark = pytest.mark.django_db
within_one_test = settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25)
ODD = st.one_of(
    st.text(max_size=60),
    st.sampled_from(["NaN", "-1", "1e9", "½", "1,500", "<b>", "\x00", "999999999", "14:30", "90 min", "∞ g"]),
    st.builds("{} {}".format, st.integers(-2, 10**7), st.sampled_from(["g", "kg", "µm", "h", "C", "F", ""])),
)
FIELDS = {
    "weigh": ["hours", "part"],
    "other": ["name", "weighed_g", "hours"],
    "size": ["values", "hours", "note"],
    "words": ["feel", "use", "celsius", "hours", "note"],
    "instrument": ["how", "cup", "seconds", "diameter_mm", "volume_cm3", "stress_pa", "celsius", "hours"],
    "end": ["grams", "hours", "note"],
}
ENTRIES = (Addition, SizeReading, FlowReading, EndWeight, FoldIn, Curve)


def entries() -> int:
    return sum(model._default_manager.count() for model in ENTRIES)


def sendable(fields: dict[str, str]) -> dict[str, str]:
    """A browser sends what cannot be encoded as a question mark."""
    return {name: text.encode("utf-8", "replace").decode() for name, text in fields.items()}


@within_one_test
@given(data=st.data())
def test_odd_entries_are_refused_or_written_whole(
    client: Client, batch: Batch, part: dict[str, PlannedPart], data: st.DataObject
) -> None:
    what = data.draw(st.sampled_from(sorted(FIELDS)))
    good = {"feel": "right", "use": "bars", "how": "cup", "cup": "zahn5", "hours": "20"}
    typed = good | data.draw(st.dictionaries(st.sampled_from(FIELDS[what]), ODD, max_size=4))
    if "part" in typed:
        typed[f"part-{part['cocoa_butter'].pk}"] = typed.pop("part")
    before, logged = entries(), ChangeEntry.objects.count()
    fields = {f"{what}-{name}": text for name, text in typed.items()}
    response = client.post(reverse("batches:write", args=[batch.public_id, what]), sendable(fields))

    saved = response.status_code == 302
    assert response.status_code in (302, 422)
    assert entries() == before + saved
    assert (ChangeEntry.objects.count() > logged) == saved
    if saved:
        assert client.get(reverse("batches:batch", args=[batch.public_id])).status_code == 200


@pytest.fixture
def session(batch: Batch) -> Session:
    write(batch, [EndWeight(batch=batch, grams=Decimal(1650), hours=Decimal(40))])
    return begin(batch, SessionCard(taken_g=Decimal(900)))


@within_one_test
@given(
    fields=st.dictionaries(
        st.sampled_from(["taken_g", "work_celsius", "bars", "left_over_g", "tasting", "note", "why"]), ODD
    )
)
def test_odd_sessions_are_refused_or_kept(client: Client, session: Session, fields: dict[str, str]) -> None:
    url = reverse("batches:session", args=[session.batch.public_id, session.number])
    response = client.post(url, {"taken_g": "900", "why": "tried", **sendable(fields)})

    assert response.status_code in (302, 422)
    kept = Session.objects.get(pk=session.pk)
    assert 0 < kept.taken_g <= 1650
    assert kept.left_over_g is None or 0 <= kept.left_over_g <= kept.taken_g
    assert client.get(url).status_code == 200


@within_one_test
@given(typed=st.lists(ODD, max_size=6).map("\n".join), coolant=ODD)
def test_odd_curves_are_refused_or_kept_and_shown(
    client: Client, session: Session, typed: str, coolant: str
) -> None:
    url = reverse("batches:write_session", args=[session.batch.public_id, session.number, "curve"])
    before = Curve.objects.count()
    fields = sendable({"curve-typed": typed, "curve-coolant_celsius": coolant})
    response = client.post(url, fields)

    saved = response.status_code == 302
    assert response.status_code in (302, 422)
    assert Curve.objects.count() == before + saved
