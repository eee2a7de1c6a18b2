"""The page of a batch: everything of the bench can be written there, and nothing typed is lost."""

from __future__ import annotations

import html
import re
import uuid
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from nibsmith.shop.batches.models import (
    Addition,
    Batch,
    EndWeight,
    FlowReading,
    PlannedPart,
    Session,
    SizeReading,
)
from nibsmith.shop.batches.selectors import diary
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.common.workshop.services import update_workshop
from nibsmith.shop.kit.models import OwnKit
from nibsmith.shop.recipes.models import RecipeVersion

pytestmark = pytest.mark.django_db
Parts = dict[str, PlannedPart]


def address(batch: Batch) -> str:
    return reverse("batches:batch", args=[batch.public_id])


def read(response: Any) -> str:
    text = re.sub(r"\s+", " ", html.unescape(response.content.decode()))
    return text.replace("\xa0", " ").replace("\u202f", " ")


def plain(body: str) -> str:
    """Return a page as it is read: without its tags."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", "", body))


def send(client: Client, batch: Batch, what: str, **typed: Any) -> Any:
    fields = {name if name in ("do", "pick") else f"{what}-{name}": value for name, value in typed.items()}
    return client.post(reverse("batches:write", args=[batch.public_id, what]), fields)


def kept(client: Client, batch: Batch, what: str, **typed: Any) -> str:
    response = send(client, batch, what, **typed)
    assert response.status_code == 302, read(response)
    return read(client.get(response.headers["Location"]))


def weigh(client: Client, batch: Batch, part: Parts, **grams: Any) -> str:
    typed = {f"part-{part[label].pk}": value for label, value in grams.items()}
    return kept(client, batch, "weigh", hours="0", **typed)


def test_a_batch_is_made_of_a_recipe(client: Client, version: RecipeVersion, agnes: OwnKit) -> None:
    url = reverse("batches:make", args=[version.recipe.public_id])
    assert 'value="2000"' in client.get(url).content.decode()

    typed = {"kit": agnes.ref, "total_g": "4 lb", "began_on": "2026-03-14", "note": "stones warmed"}
    response = client.post(url, typed, follow=True)

    batch = Batch.objects.get()
    # 4 lb are 1814.369 g, on a scale that reads 1 g.
    assert batch.planned_g == 1814
    assert (batch.began_at.date().isoformat(), batch.note) == ("2026-03-14", "stones warmed")
    assert "Batch 1 is begun" in read(response)


def test_a_number_alone_is_in_grams(client: Client, version: RecipeVersion, agnes: OwnKit) -> None:
    typed = {"kit": agnes.ref, "total_g": "1500"}
    client.post(reverse("batches:make", args=[version.recipe.public_id]), typed)

    assert Batch.objects.get().planned_g == 1500


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("kit", "kiwi", "Choose one of the list."),
        ("total_g", "", "This is needed."),
        ("total_g", "2 cups", "Weigh it once"),
        ("total_g", "0", "more than nothing"),
        ("began_on", "yesterday", "This is not a day"),
        ("began_on", "2999-01-01", "does not begin in the future"),
    ],
)
def test_a_making_that_cannot_be_is_refused_beside_its_field(
    client: Client, version: RecipeVersion, agnes: OwnKit, field: str, typed: str, said: str
) -> None:
    good = {"kit": agnes.ref, "total_g": "1500", "note": "kept"}
    response = client.post(reverse("batches:make", args=[version.recipe.public_id]), {**good, field: typed})
    body = html.unescape(response.content.decode())

    assert response.status_code == 422
    refusal = re.search(rf'<p class="error" id="id_{field}_error">(.*?)</p>', body, re.DOTALL)
    assert refusal
    assert said in refusal[1]
    assert "kept</textarea>" in body
    assert not Batch.objects.exists()


def test_weights_are_kept_as_they_are_typed(client: Client, batch: Batch, part: Parts) -> None:
    body = weigh(client, batch, part, cocoa_nibs_roasted="1118", cocoa_butter="5.6 oz")

    rows = {row.part.label: row for row in Addition.objects.all() if row.part}
    assert rows["cocoa_nibs_roasted"].weighed_g == 1118
    # 5.6 oz of 28.349523125 g are 158.757 g.
    assert rows["cocoa_butter"].weighed_g == Decimal("158.757")
    assert rows["cocoa_nibs_roasted"].coarse
    assert "The weights are kept." in body
    assert "Roasted nibs, 1 118 g of 1 120 g planned" in plain(body)


def test_without_hours_it_is_now_and_with_hours_it_is_then(client: Client, batch: Batch, part: Parts) -> None:
    """The batch began 48 h ago."""
    kept(client, batch, "size", values="40")
    kept(client, batch, "size", values="60", hours="14:30")

    earlier, later = (row.hours for row in SizeReading.objects.all())
    assert later == pytest.approx(Decimal(48), abs=Decimal("0.05"))
    assert earlier == Decimal("14.5")


def test_nobody_guesses_when_something_planned_went_in_two_days_ago(client: Client, batch: Batch) -> None:
    body = read(send(client, batch, "weigh", do="as_planned"))

    assert re.search(r'id="id_weigh-hours_error">When was that\? The batch began 48 h ago', body)
    Batch.objects.update(began_at=timezone.now())
    kept(client, batch, "weigh", do="as_planned")
    assert {row.hours for row in Addition.objects.all()} == {0}


def test_nor_of_anything_of_a_batch_from_last_month(client: Client, batch: Batch) -> None:
    Batch.objects.update(began_at=timezone.now() - timedelta(days=30))

    assert send(client, batch, "size", values="40").status_code == 422
    kept(client, batch, "size", values="40", hours="20")


def test_all_can_be_taken_as_planned_with_one_button(client: Client, batch: Batch, part: Parts) -> None:
    weigh(client, batch, part, cocoa_butter="150")
    body = kept(client, batch, "weigh", do="as_planned", hours="0")
    assert "planned, at the start" in plain(body)

    found = diary(batch)
    assert [found.weighed_g(each) for each in found.machine_parts] == [1120, 150, 520]
    assert send(client, batch, "weigh", do="as_planned").status_code == 422


def test_something_else_is_named_in_words_and_a_question_is_asked_where_they_are_not_clear(
    client: Client, batch: Batch
) -> None:
    response = send(client, batch, "other", name="lecithin", weighed_g="5", hours="30")
    body = read(response)
    assert response.status_code == 422
    picks = re.findall(r'name="pick" value="([^"]+)"', body)
    assert len(picks) > 1
    assert not Addition.objects.exists()

    kept(client, batch, "other", name="lecithin", weighed_g="5", hours="30", pick=picks[0])
    row = Addition.objects.get()
    assert (row.ingredient, row.part, row.weighed_g) == (picks[0], None, 5)


def test_what_nobody_knows_is_refused_beside_its_name(client: Client, batch: Batch) -> None:
    response = send(client, batch, "other", name="moon dust", weighed_g="5")
    body = html.unescape(response.content.decode())

    assert response.status_code == 422
    refusal = re.search(r'id="id_other-name_error">(.*?)</p>', body, re.DOTALL)
    assert refusal
    assert "Nothing here is called" in refusal[1]
    assert 'value="moon dust"' in body


def test_several_sizes_are_one_reading_with_its_middle(client: Client, batch: Batch) -> None:
    body = kept(client, batch, "size", values="38 41, 36.5 µm; 40", hours="20", note="three at the rim")

    row = SizeReading.objects.get()
    assert (row.values, row.median_um) == (["38", "41", "36.5", "40"], 39)
    assert "39 µm, the middle of 38, 41, 36.5, 40 after 20 h" in plain(body)
    assert "three at the rim" in body


def test_a_decimal_comma_is_read_where_the_workshop_writes_it(client: Client, batch: Batch) -> None:
    update_workshop(WorkshopSettings(decimal_sign=","))
    body = kept(client, batch, "size", values="38,5 41", hours="20,5")

    assert SizeReading.objects.get().median_um == Decimal("39.75")
    assert "39,75 µm, the middle of 38,5, 41 after 20,5 h" in plain(body)


def test_the_flow_is_kept_in_words(client: Client, batch: Batch, part: Parts) -> None:
    weigh(client, batch, part, cocoa_nibs_roasted="1120", cocoa_butter="160", sugar_granulated="520")
    body = kept(
        client,
        batch,
        "words",
        feel="too_thick",
        use="thin_shells",
        celsius="88.7 F",
        hours="40",
        note="ribbon",
    )

    row = FlowReading.objects.get()
    assert (row.how, row.feel, row.use, row.tempered) == ("words", "too_thick", "thin_shells", True)
    assert row.celsius == Decimal("31.5")
    assert "Too thick for thin shells, at 31.5 °C after 40 h. ribbon" in plain(body)
    assert "does not count" not in body


def test_an_instrument_keeps_its_own_figures_alone(client: Client, batch: Batch) -> None:
    kept(
        client,
        batch,
        "instrument",
        how="cup",
        cup="zahn5",
        seconds="40",
        diameter_mm="90",
        celsius="40",
        hours="30",
    )

    row = FlowReading.objects.get()
    assert (row.how, row.seconds, row.diameter_mm, row.tempered) == ("cup", 40, None, False)


def test_a_reading_that_does_not_count_says_so_with_the_reason(client: Client, batch: Batch) -> None:
    body = kept(client, batch, "instrument", how="viscometer", stress_pa="40", celsius="80", hours="30")

    assert re.search(r"It does not count for the kit: [^<]*80", body)


@pytest.mark.parametrize(
    ("what", "typed", "field", "said"),
    [
        ("weigh", {}, None, "No weight is typed"),
        ("weigh", {"hours": "soon"}, "hours", "not a number"),
        ("size", {"values": ""}, "values", "This is needed."),
        ("size", {"values": "fine"}, "values", "not a number"),
        ("size", {"values": "0.2"}, "values", "No grain is of this size"),
        ("size", {"values": "30", "hours": "9999"}, "hours", "more than it can be"),
        ("words", {"use": "bars"}, "feel", "This is needed."),
        ("words", {"feel": "soupy", "use": "bars"}, "feel", "Choose one of the list."),
        ("words", {"feel": "right", "use": "bars", "celsius": "200"}, "celsius", "This cannot be true"),
        ("instrument", {"how": "cup", "cup": "zahn5", "celsius": "40"}, "seconds", "This is needed"),
        (
            "instrument",
            {"how": "cup", "cup": "zahn5", "seconds": "2", "celsius": "40"},
            "seconds",
            "too quickly",
        ),
        ("instrument", {"how": "ring", "diameter_mm": "90", "celsius": "40"}, "volume_cm3", "needed"),
        ("end", {"grams": "-5"}, "grams", "A dash is not read here"),
        ("begin", {"taken_g": "100"}, "taken_g", "not weighed yet"),
    ],
)
def test_a_refusal_stands_beside_its_field_in_an_open_form(
    client: Client, batch: Batch, what: str, typed: dict[str, str], field: str | None, said: str
) -> None:
    before = ChangeEntry.objects.count()
    response = send(client, batch, what, **{**typed, "note": "kept as typed"})
    body = html.unescape(response.content.decode())

    assert response.status_code == 422
    where = rf'id="id_{what}-{field}_error">(.*?)</p>' if field else r'<p class="error">(.*?)</p>'
    refusal = re.search(where, body, re.DOTALL)
    assert refusal, body
    assert said in refusal[1]
    assert "Nothing is saved yet." in body
    assert ChangeEntry.objects.count() == before
    if what in ("size", "words", "instrument", "end"):
        assert "kept as typed" in body


def test_what_came_out_is_told_with_what_stayed_behind(client: Client, batch: Batch, part: Parts) -> None:
    weigh(client, batch, part, cocoa_nibs_roasted="1120", cocoa_butter="160", sugar_granulated="520")
    body = kept(client, batch, "end", grams="1650")

    assert EndWeight.objects.get().grams == 1650
    # By hand: 1,800 g less 1,650 g are 150 g, 8.3 % of 1,800 g.
    assert "150 g, 8.3 %" in body
    assert "Temper some of it: 1 650 g is there" in plain(body)


def test_a_session_begins_with_some_of_it(client: Client, batch: Batch) -> None:
    kept(client, batch, "end", grams="1650")
    response = send(client, batch, "begin", taken_g="1000", method="none")

    session = Session.objects.get()
    assert response.headers["Location"] == reverse("batches:session", args=[batch.public_id, 1])
    assert (session.taken_g, session.untempered) == (1000, True)
    assert "650 g is there" in plain(read(client.get(address(batch))))


def test_the_answers_are_of_what_was_weighed_and_say_what_they_stand_on(
    client: Client, batch: Batch, part: Parts
) -> None:
    body = weigh(client, batch, part, cocoa_nibs_roasted="1120", cocoa_butter="160", sugar_granulated="520")
    assert "nothing of yours is known of Agnes yet" in body
    for title in ("Will it pour?", "Will it be smooth?", "Will it set and snap?"):
        assert title in body

    for hours, values in ((12, "98 96 99"), (22, "48 50 47"), (32, "31 33 30")):
        kept(client, batch, "size", values=values, hours=str(hours))
    body = kept(client, batch, "words", feel="right", use="bars", hours="40")
    assert "You found it right for bars after 40 h" in body  # it is not told by itself as by its kit
    assert "nothing of yours is known of Agnes yet" in body
    assert "How the grains get smaller" in body
    assert "chart-picture" in body


def answers(body: str) -> str:
    return plain(body).partition("As it is now")[2].partition("What they stand on")[0]


def test_of_a_batch_of_which_nothing_is_in_the_machine_nothing_is_said(client: Client, batch: Batch) -> None:
    body = read(client.get(address(batch)))

    assert "Nothing is in the machine yet." in body
    assert "Will it pour?" not in body


def test_a_batch_just_loaded_is_not_called_what_the_kit_makes_of_it_in_the_end(
    client: Client, batch: Batch, part: Parts
) -> None:
    loaded = weigh(client, batch, part, cocoa_nibs_roasted="1120", cocoa_butter="160", sugar_granulated="520")
    assert answers(loaded).count("Nothing was ground or read since the last coarse addition") == 2

    out = kept(client, batch, "end", grams="1650", hours="12")
    assert "After 12 h the largest grains are about" in answers(out)
    assert "Rustic." in answers(out)


def test_the_word_of_the_maker_goes_before_the_estimate_until_something_goes_in(
    client: Client, batch: Batch, part: Parts
) -> None:
    weigh(client, batch, part, cocoa_nibs_roasted="1120", cocoa_butter="160", sugar_granulated="520")
    for hours, values in ((12, "98 96 99"), (22, "48 50 47"), (32, "31 33 30")):
        before = kept(client, batch, "size", values=values, hours=str(hours))
    assert "Pours." in answers(before)

    thick = answers(kept(client, batch, "words", feel="too_thick", use="bars", hours="40.04"))
    assert "Too thick, as you found." in thick
    assert "You found it too thick for bars after 40 h, and nothing went in since" in thick
    assert "Pours." not in thick

    after = answers(kept(client, batch, "other", name="cocoa butter", weighed_g="20", hours="41"))
    assert "as you found" not in after


def test_a_correction_shows_what_it_corrects_and_why(client: Client, batch: Batch, part: Parts) -> None:
    weigh(client, batch, part, cocoa_butter="610")
    row = Addition.objects.get()
    url = reverse("batches:correct", args=[batch.public_id, "weight", row.public_id])
    assert 'value="610"' in client.get(url).content.decode()

    refused = client.post(url, {"weighed_g": "160", "hours": "1", "why": ""})
    assert refused.status_code == 422
    response = client.post(url, {"weighed_g": "160", "hours": "1", "why": "scale upside down"}, follow=True)
    body = read(response)
    assert "Cocoa butter, 160 g of 160 g planned" in plain(body)
    assert "<del>Cocoa butter, 610 g</del>" in body
    assert "now: Cocoa butter, 160 g, because: scale upside down" in body


@pytest.mark.parametrize(
    ("what", "typed", "kind", "changes", "shown"),
    [
        ("size", {"values": "38 40", "hours": "9"}, "size", {"values": "28 30", "hours": "9"}, "29 µm"),
        (
            "words",
            {"feel": "right", "use": "bars", "hours": "9"},
            "flow",
            {"feel": "too_thin", "use": "bars", "hours": "9"},
            "Too thin for bars",
        ),
        (
            "instrument",
            {"how": "cup", "cup": "zahn5", "seconds": "40", "celsius": "40", "hours": "9"},
            "flow",
            {"how": "ring", "diameter_mm": "90", "volume_cm3": "20", "celsius": "40", "hours": "9"},
            "Spread to 90 mm from a ring of 20 cm³",
        ),
        ("end", {"grams": "1650"}, "end", {"grams": "1600", "hours": "40"}, "1 600 g"),
    ],
)
def test_every_kind_of_entry_is_corrected_on_its_page(
    client: Client, batch: Batch, what: str, typed: Any, kind: str, changes: Any, shown: str
) -> None:
    kept(client, batch, what, **typed)
    body = client.get(address(batch)).content.decode()
    link = re.search(rf'href="([^"]+/entries/{kind}/[^"]+)"', body)
    assert link
    assert client.get(link[1]).status_code == 200

    response = client.post(link[1], {**changes, "why": "read it wrong"}, follow=True)
    assert response.status_code == 200
    assert shown in read(response)
    assert "because: read it wrong" in read(response)


def test_a_stored_reading_can_be_sent_again_as_its_form_shows_it(client: Client, batch: Batch) -> None:
    kept(client, batch, "size", values="38 41 36.5", hours="20")
    row = SizeReading.objects.get()
    url = reverse("batches:correct", args=[batch.public_id, "size", row.public_id])
    body = client.get(url).content.decode()
    fields = dict(re.findall(r'<input type="text" name="([\w-]+)" value="([^"]*)"', body))

    assert client.post(url, {**fields, "why": "the same"}).status_code == 302
    new = SizeReading.objects.get(replaces=row)
    assert (new.values, new.median_um, new.hours) == (row.values, row.median_um, row.hours)


def test_a_correction_without_hours_leaves_the_hours_as_they_were(client: Client, batch: Batch) -> None:
    kept(client, batch, "size", values="38", hours="20")
    row = SizeReading.objects.get()
    url = reverse("batches:correct", args=[batch.public_id, "size", row.public_id])
    client.post(url, {"values": "28", "why": "misread"})

    assert SizeReading.objects.get(replaces=row).hours == 20


def test_an_entry_is_struck_out_for_a_reason(client: Client, batch: Batch) -> None:
    kept(client, batch, "size", values="38", hours="20")
    row = SizeReading.objects.get()
    url = reverse("batches:strike", args=[batch.public_id, "size", row.public_id])

    assert client.post(url, {"strike-why": ""}).status_code == 422
    body = read(client.post(url, {"strike-why": "the other machine"}, follow=True))
    assert "struck out, because: the other machine" in body
    assert diary(batch).sizes == ()


def test_a_note_is_kept_and_shown(client: Client, batch: Batch) -> None:
    client.post(reverse("batches:note", args=[batch.public_id]), {"note": "smelled of\nplum"})

    assert "smelled of<br>plum" in client.get(address(batch)).content.decode()


def test_with_htmx_a_refusal_comes_back_as_the_same_page(client: Client, batch: Batch) -> None:
    url = reverse("batches:write", args=[batch.public_id, "size"])
    response = client.post(url, {"size-values": "fine"}, headers={"HX-Request": "true"})

    assert response.status_code == 422
    assert 'id="batch"' in response.content.decode()


def test_the_list_has_the_newest_first_with_what_came_out(
    client: Client, batch: Batch, agnes: OwnKit
) -> None:
    kept(client, batch, "end", grams="1650")
    url = reverse("batches:make", args=[batch.version.recipe.public_id])
    client.post(url, {"kit": agnes.ref, "total_g": "1500"})

    body = plain(read(client.get(reverse("batches:list"))))
    assert body.index("Batch 2, Weir dark") < body.index("Batch 1, Weir dark")
    assert "1 500 g planned" in body
    assert "1 650 g" in body


def test_an_empty_list_says_what_to_do(client: Client) -> None:
    assert "No batch yet" in read(client.get(reverse("batches:list")))


def test_what_is_not_there_is_not_found(client: Client, batch: Batch) -> None:
    other = uuid.uuid4()
    for url in (
        reverse("batches:batch", args=[other]),
        reverse("batches:make", args=[other]),
        reverse("batches:session", args=[batch.public_id, 1]),
        reverse("batches:correct", args=[batch.public_id, "size", other]),
        reverse("batches:correct", args=[batch.public_id, "kiwi", other]),
    ):
        assert client.get(url).status_code == 404
    assert client.post(reverse("batches:write", args=[batch.public_id, "kiwi"])).status_code == 404


def test_names_that_are_markup_are_shown_as_text(client: Client, batch: Batch, part: Parts) -> None:
    PlannedPart.objects.filter(pk=part["cocoa_butter"].pk).update(name="<img src=x>")
    kept(client, batch, "size", values="38", hours="20", note="<b>bold</b>")
    client.post(reverse("batches:note", args=[batch.public_id]), {"note": "<i>"})

    body = client.get(address(batch)).content.decode()
    assert "<img src" not in body
    assert "<b>bold" not in body
    assert "<i>" not in body


def test_a_page_takes_as_many_queries_with_many_entries_as_with_few(
    client: Client, batch: Batch, part: Parts, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    weigh(client, batch, part, cocoa_nibs_roasted="1120", cocoa_butter="160", sugar_granulated="520")
    for hours in range(10, 30):
        kept(client, batch, "size", values=f"{1000 // hours}", hours=str(hours))
    for hours in (31, 32, 33):
        kept(client, batch, "words", feel="right", use="bars", hours=str(hours))
    kept(client, batch, "end", grams="1650")

    with django_assert_max_num_queries(30):
        client.get(address(batch))
    with django_assert_max_num_queries(8):
        client.get(reverse("batches:list"))
