"""The page of a session: filled in bit by bit, read as a cooling curve, judged only by the maker's own."""

from __future__ import annotations

import html
import re
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from nibsmith.science.temper import cup_curve, usual_cup
from nibsmith.science.temper.crystals import Fat
from nibsmith.shop.batches.models import Batch, Curve, EndWeight, FoldIn, PlannedPart, Session
from nibsmith.shop.batches.services.entries import write
from nibsmith.shop.batches.services.sessions import SessionCard, begin
from nibsmith.shop.kit.calibrating.selectors import marked_curves
from nibsmith.shop.kit.instruments import FridgeCard, ProbeCard, create_fridge, create_probe
from nibsmith.shop.kit.models import Mould, Probe

pytestmark = pytest.mark.django_db


@pytest.fixture
def session(batch: Batch) -> Session:
    write(batch, [EndWeight(batch=batch, grams=Decimal(1650), hours=Decimal(40))])
    return begin(batch, SessionCard(taken_g=Decimal(900)))


@pytest.fixture
def needle(db: None) -> Probe:
    return create_probe(ProbeCard(name="Needle", measures="mass", offset_k=Decimal("0.5")))


def address(session: Session) -> str:
    return reverse("batches:session", args=[session.batch.public_id, session.number])


def read(response: Any) -> str:
    text = re.sub(r"\s+", " ", html.unescape(response.content.decode()))
    return text.replace("\xa0", " ").replace("\u202f", " ")


def send(client: Client, session: Session, what: str, **typed: Any) -> Any:
    url = reverse("batches:write_session", args=[session.batch.public_id, session.number, what])
    fields = {name if name == "pick" else f"{what}-{name}": value for name, value in typed.items()}
    return client.post(url, fields)


def points(crystals: float = 0.02) -> str:
    """A curve of the four-state model in the usual cup, every ten seconds to a tenth of a degree."""
    curve = cup_curve(crystals, Fat(0.36), usual_cup(), 12.0)
    seconds = np.arange(0, 700, 10)
    celsius = np.interp(seconds, 60 * curve.minutes, curve.celsius)
    return "\n".join(f"{s // 60}:{s % 60:02d} {c:.1f}" for s, c in zip(seconds, celsius, strict=True))


def test_it_is_filled_in_bit_by_bit(client: Client, session: Session, brick: Mould) -> None:
    client.post(address(session), {"taken_g": "900", "method": "seed", "work_celsius": "31,4"})
    typed = {"taken_g": "900", "method": "seed", "work_celsius": "31.4", "mould": brick.ref, "bars": "13"}
    client.post(address(session), {**typed, "left_over_g": "80", "tasting": "plum"})

    session.refresh_from_db()
    assert (session.work_celsius, session.bars, session.left_over_g) == (Decimal("31.4"), 13, 80)
    body = read(client.get(address(session)))
    # By hand: 13 bars of 62.5 g are 812.5 g, with 80 g left over that is 892.5 of 900 g.
    assert '13 bars, Brick</dt><dd class="number">about 813 g' in body
    assert 'Not told of</dt><dd class="number">about 7 g' in body


def test_its_form_can_be_sent_again_without_a_change(client: Client, session: Session) -> None:
    client.post(address(session), {"taken_g": "900", "method": "seed", "bars": "13", "left_over_g": "80"})
    before = session.batch.sessions.get().updated_at
    body = client.get(address(session)).content.decode()
    form = body[body.index('id="session"') : body.index('id="fold-ins"')]
    typed = dict(re.findall(r'<input type="text" name="([\w-]+)" value="([^"]*)"', form))

    assert client.post(address(session), {**typed, "method": "seed"}).status_code == 302
    assert session.batch.sessions.get().updated_at == before


def test_a_figure_that_stands_asks_for_the_reason_and_loses_nothing(client: Client, session: Session) -> None:
    client.post(address(session), {"taken_g": "900", "bars": "13"})
    response = client.post(address(session), {"taken_g": "900", "bars": "12", "tasting": "smoke"})
    body = read(response)

    assert response.status_code == 422
    assert re.search(r'id="id_why_error">This stands already: bars', body)
    assert "smoke</textarea>" in body
    assert (
        client.post(address(session), {"taken_g": "900", "bars": "12", "why": "one broke"}).status_code == 302
    )


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("taken_g", "1651", "takes more than there is"),
        ("taken_g", "", "This is needed."),
        ("bars", "12.5", "Bars are whole ones"),
        ("left_over_g", "901", "More is left over than was taken"),
        ("work_celsius", "warm", "not a temperature"),
        ("mould", "kiwi", "Choose one of the list."),
    ],
)
def test_a_refusal_stands_beside_its_field(
    client: Client, session: Session, field: str, typed: str, said: str
) -> None:
    response = client.post(address(session), {"taken_g": "900", "why": "tried", field: typed})

    assert response.status_code == 422
    refusal = re.search(rf'id="id_{field}_error">(.*?)</p>', read(response))
    assert refusal
    assert said in refusal[1]


def test_left_untempered_on_purpose_is_a_choice(client: Client, session: Session) -> None:
    client.post(address(session), {"taken_g": "900", "method": "none"})

    assert "Left untempered on purpose: it sets slowly" in read(client.get(address(session)))


def test_fold_ins_are_planned_for_the_mass_that_was_taken(
    client: Client, session: Session, part: dict[str, PlannedPart]
) -> None:
    """By hand: 200 g go with 1,800 g charged, 1,794 g when dried to 1.0 % water, so 900 g take 100."""
    body = re.sub(r"<[^>]+>", "", read(client.get(address(session))))
    planned = re.search(r"Hazelnuts of (\d+) g for this mass", body)
    assert planned
    assert 99 <= int(planned[1]) <= 102

    name = f"part-{part['hazelnut'].pk}"
    assert send(client, session, "fold-ins", **{name: "98", "celsius": "29"}).status_code == 302
    row = FoldIn.objects.get()
    assert (row.weighed_g, row.celsius, row.name) == (98, 29, "Hazelnuts")
    assert "Hazelnuts, 98 g, at 29 °C" in read(client.get(address(session)))


def test_a_fold_in_is_corrected_and_struck_out(
    client: Client, session: Session, part: dict[str, PlannedPart]
) -> None:
    send(client, session, "fold-ins", **{f"part-{part['hazelnut'].pk}": "98"})
    row = FoldIn.objects.get()
    url = reverse("batches:correct", args=[session.batch.public_id, "fold-in", row.public_id])
    body = read(client.post(url, {"weighed_g": "89", "why": "turned digits"}, follow=True))
    assert "Hazelnuts, 89 g" in body

    new = FoldIn.objects.get(replaces=row)
    url = reverse("batches:strike", args=[session.batch.public_id, "fold-in", new.public_id])
    client.post(url, {"strike-why": "none went in"})
    assert "Hazelnuts, 89 g" not in read(client.get(address(session)))


def test_something_else_is_folded_in_by_its_name(client: Client, session: Session) -> None:
    response = send(client, session, "other", name="dried cranberries", weighed_g="60")

    assert response.status_code == 302
    assert FoldIn.objects.get().ingredient == "cranberry_dried"
    assert send(client, session, "other", name="moon dust", weighed_g="60").status_code == 422


def test_a_typed_curve_is_read_with_its_probe_put_right(
    client: Client, session: Session, needle: Probe
) -> None:
    typed = {"typed": points(), "scale": "C", "coolant_celsius": "8", "probe": needle.ref}
    assert send(client, session, "curve", **typed).status_code == 302

    row = Curve.objects.get()
    assert (len(row.points), row.offset_k, row.mark) == (70, Decimal("0.5"), "")
    body = read(client.get(address(session)))
    assert "Slope at the inflection" in body
    assert "chart-picture" in body
    began = float(points().split()[1]) + 0.5
    assert f'Start</dt><dd class="number">{began:g} °C' in body
    assert "No verdict yet." in body


def test_a_probe_that_is_checked_anew_leaves_older_curves_as_they_were(
    client: Client, session: Session, needle: Probe
) -> None:
    send(client, session, "curve", typed=points(), coolant_celsius="8", probe=needle.ref)
    Probe.objects.update(offset_k=Decimal(-2))

    assert Curve.objects.get().offset_k == Decimal("0.5")


def test_a_curve_in_fahrenheit_is_the_same_curve(client: Client, session: Session) -> None:
    lines = (line.split() for line in points().splitlines())
    typed = "\n".join(f"{at} {float(celsius) * 9 / 5 + 32:.2f}" for at, celsius in lines)
    send(client, session, "curve", typed=typed, scale="F", coolant_celsius="46.4 F")

    row = Curve.objects.get()
    first = float(points().split()[1])
    assert row.points[0][1] == pytest.approx(first, abs=0.01)
    assert row.coolant_celsius == 8


def test_a_curve_that_cannot_be_read_is_kept_and_says_why(client: Client, session: Session) -> None:
    assert send(client, session, "curve", typed="0 31\n60 25\n120 22", coolant_celsius="8").status_code == 302

    body = read(client.get(address(session)))
    assert "No reading." in body
    assert "Too few readings" in body
    assert Curve.objects.count() == 1


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "This is needed."),
        ("warm at first", "Line 1 is no point"),
        ("0 31\nthen 30 x", "Line 2 is no point"),
        ("0 31\n0 30", "The times do not rise"),
        ("0:75 31", "Line 1 is no point"),
    ],
)
def test_points_that_cannot_be_are_refused_with_their_line(
    client: Client, session: Session, typed: str, said: str
) -> None:
    response = send(client, session, "curve", typed=typed, coolant_celsius="8")
    body = html.unescape(response.content.decode())

    assert response.status_code == 422
    refusal = re.search(r'id="id_curve-typed_error">(.*?)</p>', body, re.DOTALL)
    assert refusal
    assert said in refusal[1]
    assert not Curve.objects.exists()


def test_three_marked_curves_make_the_next_one_readable(
    client: Client, batch: Batch, session: Session
) -> None:
    for mark in ("well", "well", "well"):
        one = begin(batch, SessionCard(taken_g=Decimal(100)))
        assert send(client, one, "curve", typed=points(), coolant_celsius="8", mark=mark).status_code == 302
    assert len(marked_curves()) == 3

    send(client, session, "curve", typed=points(), coolant_celsius="8")
    body = read(client.get(address(session)))
    assert "Well tempered." in body
    assert "By your 3 marked curves" in body


def test_a_mark_is_told_beside_a_record_that_ends_before_its_bend(client: Client, session: Session) -> None:
    early = "\n".join(points().splitlines()[:20])
    send(client, session, "curve", typed=early, coolant_celsius="8", mark="well")

    body = read(client.get(address(session)))
    assert "It ends too soon." in body
    assert "You marked this curve well tempered" in body
    assert "begin again" not in body


def test_marking_a_curve_later_is_kept_beside_it(client: Client, session: Session) -> None:
    send(client, session, "curve", typed=points(), coolant_celsius="8")
    row = Curve.objects.get()
    url = reverse("batches:correct", args=[session.batch.public_id, "curve", row.public_id])
    typed = {"typed": row.typed, "coolant_celsius": "8", "scale": "C"}
    client.post(url, {**typed, "mark": "under", "why": "grey streaks the next day"})

    assert [one.mark.value for one in marked_curves()] == ["under"]
    assert Curve.objects.count() == 2


def test_how_long_bars_take_in_the_fridge_of_the_session_is_told_when_it_is_asked(
    client: Client, session: Session, brick: Mould
) -> None:
    larder = create_fridge(FridgeCard(name="Larder", celsius=Decimal("9.0"), air="fan"))
    typed = {"taken_g": "900", "work_celsius": "31.4", "mould": brick.ref, "bars": "13", "fridge": larder.ref}
    client.post(address(session), typed)

    body = read(client.get(address(session)))
    assert "How long do the bars take in their fridge?" in body
    assert "It comes off after" not in body
    body = read(client.get(f"{address(session)}?cooling=yes"))
    assert "The bar in the cold" in body
    assert re.search(r"It comes off after about \d+ min .* at 9 °C .* (moved|fan)", body)


def test_paper_which_has_no_forms_is_told_what_they_hold(
    client: Client, session: Session, brick: Mould
) -> None:
    larder = create_fridge(FridgeCard(name="Larder", celsius=Decimal("9.0")))
    typed = {"taken_g": "900", "method": "table", "work_celsius": "31.4", "mould": brick.ref}
    client.post(address(session), {**typed, "fridge": larder.ref, "tasting": "plum", "bars": "13"})

    paper = read(client.get(address(session))).partition('class="only-print"')[2].partition("</dl>")[0]
    said = dict(re.findall(r"<dt>(.*?)</dt><dd>(.*?)</dd>", paper))

    assert said == {
        "Tempered": "on a table",
        "Worked at": "31.4 °C",
        "Mould": "Brick",
        "Cooled in": "Larder",
        "Tasting words": "plum",
    }


def _minutes(body: str) -> int:
    found = re.search(r"It comes off after about (\d+) min", body)
    assert found
    return int(found[1])


def test_the_makers_own_figure_of_a_fridge_is_what_the_bars_are_worked_out_with(
    client: Client, session: Session, brick: Mould
) -> None:
    larder = create_fridge(FridgeCard(name="Larder", celsius=Decimal("9.0")))
    typed = {"taken_g": "900", "work_celsius": "31.4", "mould": brick.ref, "bars": "13", "fridge": larder.ref}
    client.post(address(session), typed)
    usual = read(client.get(f"{address(session)}?cooling=yes"))
    own = {"name": "Larder", "celsius": "9", "air": "still", "air_h": "24"}
    assert client.post(reverse("kit:fridge", kwargs={"ref": larder.ref}), own).status_code == 302
    quick = read(client.get(f"{address(session)}?cooling=yes"))

    assert "at 9 °C (48.2 °F) in “Larder”, still air" in usual
    assert "The air of “Larder” takes up 8 (6–10) W/(m² K), as is usual for still air." in usual
    assert "The air of “Larder” takes up 24 W/(m² K), your own figure." in quick
    assert _minutes(quick) < _minutes(usual)


def test_what_its_moulds_weigh_is_cooled_with_the_chocolate(
    client: Client, session: Session, brick: Mould
) -> None:
    larder = create_fridge(FridgeCard(name="Larder", celsius=Decimal("9.0")))
    typed = {"taken_g": "900", "work_celsius": "31.4", "mould": brick.ref, "bars": "13", "fridge": larder.ref}
    client.post(address(session), typed)
    weightless = read(client.get(f"{address(session)}?cooling=yes"))
    own = {"name": "Brick", "cavity_g": "62.5 g", "cavities": "8", "empty_g": "310 g"}
    assert client.post(reverse("kit:mould", kwargs={"ref": brick.ref}), own).status_code == 302
    weighed = read(client.get(f"{address(session)}?cooling=yes"))

    assert "The moulds themselves count as weightless" in weightless
    assert "weightless" not in weighed
    assert _kilojoules(weighed) > _kilojoules(weightless)


def _kilojoules(body: str) -> float:
    found = re.search(r"([\d.]+) kJ", body)
    assert found
    return float(found[1])


def test_a_session_is_struck_out_for_a_reason(client: Client, session: Session) -> None:
    url = reverse("batches:strike_session", args=[session.batch.public_id, session.number])
    assert client.post(url, {"strike-why": ""}).status_code == 422

    client.post(url, {"strike-why": "that was batch 2"})
    session.refresh_from_db()
    assert session.struck
    assert "Struck out: there was no such session" in read(client.get(address(session)))


def test_a_page_takes_few_queries(
    client: Client,
    batch: Batch,
    session: Session,
    part: dict[str, PlannedPart],
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    for _ in range(3):
        send(client, session, "curve", typed=points(), coolant_celsius="8", mark="well")
        send(client, session, "fold-ins", **{f"part-{part['hazelnut'].pk}": "20"})

    with django_assert_max_num_queries(35):
        client.get(address(session))


@pytest.mark.parametrize(
    ("celsius", "remark"),
    [
        ("60", "Too warm to fold in. 60 g of hazelnuts at 60 °C (140 °F) bring 900 g from 31.5 °C"),
        ("31", ""),
        ("4", "It cools the mass. 60 g of hazelnuts at 4 °C (39.2 °F) bring 900 g from 31.5 °C"),
        ("", ""),
    ],
)
def test_fold_ins_too_warm_or_cold_are_minded_as_the_tool_does(
    client: Client, session: Session, part: dict[str, PlannedPart], celsius: str, remark: str
) -> None:
    named = f"part-{part['hazelnut'].pk}"
    send(client, session, "fold-ins", **{named: "60", "celsius": celsius})
    assert FoldIn.objects.count() == 1
    body = read(client.get(address(session)))
    folded = body[body.index('id="fold-ins"') : body.index('id="curve"')]

    assert ('class="remark"' in folded) == bool(remark)
    assert remark in folded
    if celsius == "60":
        # [chocolate-academy-tempering], dark: never above 34.5 °C once tempered.
        assert "What is over 34.5 °C (94.1 °F) melts the seeds around it." in folded


def test_a_mass_left_untempered_has_no_seeds_to_melt(
    client: Client, session: Session, part: dict[str, PlannedPart]
) -> None:
    client.post(address(session), {"taken_g": "900", "method": "none"})
    send(client, session, "fold-ins", **{f"part-{part['hazelnut'].pk}": "60", "celsius": "60"})
    body = read(client.get(address(session)))

    assert "melts the seeds" not in body


def test_something_else_that_is_folded_in_hot_is_minded_too(client: Client, session: Session) -> None:
    send(client, session, "other", name="almond", weighed_g="60", celsius="60", pick="almond_dry_roasted")
    body = read(client.get(address(session)))

    assert "Too warm to fold in." in body
