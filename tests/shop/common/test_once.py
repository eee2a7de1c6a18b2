"""A form is written once, however often it is sent: one after another, at once, without scripts."""

from __future__ import annotations

import html
import re
import threading
from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connections
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from nibsmith.shop.batches.models import Addition, Batch, Session, SizeReading
from nibsmith.shop.batches.services.making import Making, make
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.common.models import SentForm
from nibsmith.shop.common.once import middleware
from nibsmith.shop.kit.instruments import FridgeCard, create_fridge
from nibsmith.shop.kit.models import Calibration, Fridge, Mould, OwnKit, Probe
from nibsmith.shop.kit.services import KitCard, create_kit
from nibsmith.shop.recipes import services
from nibsmith.shop.recipes.models import Recipe, RecipeVersion
from nibsmith.shop.roasts.models import Course, Readings, Roast
from recipes_typed import DARK, draft
from source_tree import ROOT

pytestmark = pytest.mark.django_db

# Sent twice these set the same again, or write nothing; a recipe is answered while it is typed, with a stamp
# of what its page shows. By template: what tells the form from others there.
SAME_AGAIN = {
    "batches/_answers.html": ("purpose",),
    "batches/batch.html": ("batches:note",),
    "batches/session.html": ("'batches:session'", "batches:strike_session"),
    "form/in_lists.html": ("{{ back }}", "{{ away }}"),
    "recipes/_foot.html": ("recipes:keep",),
    "recipes/_form.html": ("recipe-form",),
    "recipes/_head.html": ("recipes:bring_back",),
    "recipes/_since.html": ("recipes:renew",),
    "recipes/describe.html": ("recipes:put_away",),
    "recipes/list.html": ("recipes:bring_back",),
    "recipes/share_out.html": ("recipes:size",),
    "recipes/start.html": ("recipes:size",),
    "recipes/version.html": ("recipes:go_back",),
    "roasts/edit.html": ("post",),
    "roasts/roast.html": ("roasts:settle", "roasts:strike"),
    "tools/bench.html": ("tool-form",),
}
TEMPLATES = sorted(ROOT.glob("src/nibsmith/**/templates/**/*.html"))
_FORM = re.compile(r"<form\b.*?</form>", re.DOTALL)
_SENDS = re.compile(r'method="post"|_step\.html')


@pytest.fixture
def version(db: None) -> RecipeVersion:
    return services.create_recipe(draft(*DARK))


@pytest.fixture
def batch(version: RecipeVersion) -> Batch:
    kit = create_kit(KitCard(name="Agnes", based_on="stone"))
    return make(version, Making(kit=kit.ref, began_at=timezone.now() - timedelta(hours=3)))


def value_in(page: str, address: str) -> str:
    """Return the one-time value of the form of a page that is sent to an address, or to the page itself."""
    for form in _FORM.findall(page):
        opening = form[: form.index(">")]
        here = f'action="{address}"' in opening or ("action=" not in opening and "post" in opening)
        found = re.search(r'name="once" value="(\w+)" autocomplete="off"', form)
        if here and found:
            return found[1]
    raise AssertionError(address)


def shown(client: Client, page: str, address: str) -> str:
    return value_in(html.unescape(client.get(page).content.decode()), address)


def log() -> int:
    return ChangeEntry.objects.count()


def test_every_form_that_adds_something_carries_a_one_time_value() -> None:
    without: dict[str, list[str]] = {}
    for path in TEMPLATES:
        for form in _FORM.findall(path.read_text(encoding="utf-8")):
            if _SENDS.search(form) and "{% once %}" not in form:
                without.setdefault("/".join(path.parts[-2:]), []).append(form)

    assert without.keys() == SAME_AGAIN.keys()
    for name, forms in without.items():
        assert len(forms) == len(SAME_AGAIN[name]), name
        assert all(mark in form for mark, form in zip(SAME_AGAIN[name], forms, strict=True)), name


def test_every_form_that_is_drawn_has_a_value_of_its_own(client: Client, batch: Batch) -> None:
    page = reverse("batches:batch", args=[batch.public_id])
    values = re.findall(r'name="once" value="(\w+)"', client.get(page).content.decode())

    assert len(values) > 5
    assert len(set(values)) == len(values)


NEW = {
    "fridge": (Fridge, "kit:add_fridge", {"name": "Larder", "celsius": "11", "air": "still"}),
    "probe": (Probe, "kit:add_probe", {"name": "Needle", "measures": "mass"}),
    "mould": (Mould, "kit:add_mould", {"name": "Brick", "cavity_g": "62.5 g", "cavities": "8"}),
    "kit": (OwnKit, "kit:add", {"name": "Agnes", "based_on": "stone"}),
    "course": (
        Course,
        "roasts:add_course",
        {"name": "Slow", "typed": "0:00 24\n9:00 95\n20:00 130", "tolerance_k": "5"},
    ),
    "recipe": (Recipe, "recipes:new", {"name": "Weir", "form": "bar", "have": "700 g nibs; 300 g sugar"}),
    "roast": (Roast, "roasts:new", {"beans": "Marsh Farm", "matter": "beans", "readings-role": "bean"}),
}


@pytest.mark.parametrize("what", NEW)
def test_something_new_that_is_sent_twice_is_there_once(client: Client, what: str) -> None:
    model, view, typed = NEW[what]
    address = reverse(view)
    typed = {**typed, "once": shown(client, address, address)}

    first, entries = client.post(address, typed), log() if model.objects.exists() else -1
    second = client.post(address, typed)

    assert (first.status_code, second.status_code) == (302, 302), first.content.decode()
    assert second.headers["Location"] == first.headers["Location"]
    assert model.objects.count() == 1
    assert log() == entries


def test_a_batch_and_its_entries_that_are_sent_twice_are_there_once(
    client: Client, version: RecipeVersion
) -> None:
    kit = create_kit(KitCard(name="Agnes", based_on="stone"))
    address = reverse("batches:make", args=[version.recipe.public_id])
    typed = {"kit": kit.ref, "total_g": "2000", "once": shown(client, address, address)}
    both = [client.post(address, typed) for _ in range(2)]

    assert [answer.status_code for answer in both] == [302, 302]
    assert both[0].headers["Location"] == both[1].headers["Location"]
    batch = Batch.objects.get()
    page = both[0].headers["Location"]
    for what, fields, model in (
        ("size", {"size-values": "38 41 36", "size-hours": "1"}, SizeReading),
        ("weigh", {"do": "as_planned", "weigh-hours": "0"}, Addition),
        ("other", {"other-name": "cocoa butter", "other-weighed_g": "20", "other-hours": "1"}, Addition),
    ):
        write = reverse("batches:write", args=[batch.public_id, what])
        fields["once"] = shown(client, page, write)
        first = client.post(write, fields)
        count, calibrations = model.objects.count(), Calibration.objects.count()
        second = client.post(write, fields)

        assert first.status_code == 302, what
        assert count > 0
        assert second.headers["Location"] == first.headers["Location"]
        assert (model.objects.count(), Calibration.objects.count()) == (count, calibrations)


def test_a_correction_that_is_sent_twice_is_no_refusal(client: Client, batch: Batch) -> None:
    write = reverse("batches:write", args=[batch.public_id, "size"])
    client.post(write, {"size-values": "38", "size-hours": "1"})
    row = SizeReading.objects.get()
    address = reverse("batches:correct", args=[batch.public_id, "size", row.public_id])
    typed = {"values": "36", "hours": "1", "why": "misread", "once": shown(client, address, address)}

    assert [client.post(address, typed).status_code for _ in range(2)] == [302, 302]
    assert SizeReading.objects.count() == 2
    del typed["once"]
    assert client.post(address, typed).status_code == 422  # what it is without the value


def test_a_remedy_that_is_pressed_twice_is_taken_once(client: Client) -> None:
    nibs, sugar = DARK[0], DARK[2]
    lean = services.create_recipe(draft(nibs, sugar))
    page = reverse("recipes:recipe", args=[lean.recipe.public_id])
    body = html.unescape(client.get(page).content.decode())
    address = reverse("recipes:remedy", args=[lean.recipe.public_id])
    form = next(form for form in _FORM.findall(body) if address in form)
    typed = dict(re.findall(r'name="(question|sentence|once)" value="([^"]*)"', form))
    first, entries = client.post(address, typed), log()

    assert client.post(address, typed).headers["Location"] == first.headers["Location"] == page
    assert log() == entries


def test_what_was_told_is_told_again_and_only_once_a_page(client: Client) -> None:
    address = reverse("kit:add_fridge")
    typed = {"name": "Larder", "celsius": "11", "air": "still", "once": shown(client, address, address)}
    client.post(address, typed)
    pressed_at_once = client.post(address, typed, follow=True).content.decode()
    gone_back = client.post(address, typed, follow=True).content.decode()

    # The page in between was never drawn, so what it had to tell was still waiting.
    assert pressed_at_once.count("Larder is saved.") == 1
    assert gone_back.count("Larder is saved.") == 1
    assert 'class="error"' not in pressed_at_once


def test_forms_without_a_value_write_nothing_the_second_time(client: Client, batch: Batch) -> None:
    larder = create_fridge(FridgeCard(name="Larder", celsius=Decimal(9)))
    recipe, kit = batch.version.recipe.public_id, OwnKit.objects.get()
    client.post(
        reverse("batches:write", args=[batch.public_id, "end"]), {"end-grams": "900", "end-hours": "2"}
    )
    client.post(reverse("batches:write", args=[batch.public_id, "begin"]), {"begin-taken_g": "500"})
    session = reverse("batches:session", args=[batch.public_id, 1])
    for address, typed in (
        (reverse("kit:fridge", args=[larder.ref]), {"name": "Pantry", "celsius": "9", "air": "fan"}),
        (reverse("kit:put_fridge_away", args=[larder.ref]), {"why": "sold"}),
        (reverse("kit:bring_fridge_back", args=[larder.ref]), {}),
        (reverse("kit:put_away", args=[kit.ref]), {"why": "sold"}),
        (reverse("batches:note", args=[batch.public_id]), {"note": "stones warmed"}),
        (
            reverse("batches:write", args=[batch.public_id, "purpose"]),
            {"purpose-use": "hand", "purpose-aim": ""},
        ),
        (session, {"taken_g": "450", "why": "weighed again"}),
        (f"{session}strike/", {"strike-why": "that was batch 2"}),
        (reverse("recipes:keep", args=[recipe]), {}),
        (reverse("recipes:put_away", args=[recipe]), {"why": "enough of it"}),
    ):
        assert client.post(address, typed).status_code == 302, address
        entries = log()
        assert client.post(address, typed).status_code == 302, address
        assert log() == entries, address


def test_a_page_that_is_gone_back_to_and_filled_in_anew_is_written(client: Client, batch: Batch) -> None:
    page = reverse("batches:batch", args=[batch.public_id])
    write = reverse("batches:write", args=[batch.public_id, "size"])
    once = shown(client, page, write)
    for size in ("48", "44", "44"):
        client.post(write, {"size-values": size, "size-hours": "1", "once": once})

    assert [row.median_um for row in SizeReading.objects.order_by("pk")] == [48, 44]


def test_what_was_refused_can_be_sent_again_as_it_is(client: Client, batch: Batch) -> None:
    """Nothing stays of a refusal, so that it can be sent again when what was lacking is there."""
    write = reverse("batches:write", args=[batch.public_id, "begin"])
    typed = {"begin-taken_g": "500", "once": "abc"}
    assert client.post(write, typed).status_code == 422
    assert not SentForm.objects.exists()

    out = {"end-grams": "1650", "end-hours": "2"}
    client.post(reverse("batches:write", args=[batch.public_id, "end"]), out)
    assert client.post(write, typed).status_code == 302
    assert Session.objects.get().taken_g == 500


def test_a_refused_form_is_drawn_with_another_value(client: Client) -> None:
    address = reverse("kit:add_fridge")
    once = shown(client, address, address)
    answer = client.post(address, {"name": "", "celsius": "11", "air": "still", "once": once})

    assert answer.status_code == 422
    assert value_in(answer.content.decode(), address) != once


def test_a_file_is_part_of_what_was_sent_and_still_read(client: Client) -> None:
    address = reverse("roasts:new")
    once = shown(client, address, address)

    def post(text: bytes) -> None:
        typed = {"beans": "Marsh Farm", "matter": "beans", "readings-role": "bean", "once": once}
        client.post(address, {**typed, "readings-file": SimpleUploadedFile("log.csv", text)})

    for hot in (b"120", b"120", b"125"):
        post(b"Time,Bean temp C\n0:00,24\n5:00,90\n10:00," + hot + b"\n")

    assert Roast.objects.count() == 2
    assert [row.raw[-4:].strip() for row in Readings.objects.order_by("pk")] == ["120", "125"]


@pytest.mark.parametrize("once", ["", "x" * 65])
def test_a_form_without_a_value_that_can_be_is_written_as_ever(client: Client, once: str) -> None:
    model, view, typed = NEW["recipe"]
    for _ in range(2):
        client.post(reverse(view), {**typed, "once": once})

    assert model.objects.count() == 2
    assert not SentForm.objects.exists()


def test_a_post_that_leads_nowhere_leaves_no_mark(client: Client) -> None:
    answer = client.post(reverse("tools:bench", args=["damp"]), {"once": "abc"})

    assert answer.status_code == 404
    assert not SentForm.objects.exists()


def test_marks_are_forgotten_when_no_page_can_stand_open_so_long(client: Client) -> None:
    old = SentForm.objects.create(mark="old")
    SentForm.objects.filter(pk=old.pk).update(at=timezone.now() - middleware.KEPT - timedelta(days=1))
    young = SentForm.objects.create(mark="young")

    typed = {"name": "Larder", "celsius": "11", "air": "still", "once": "abc"}
    client.post(reverse("kit:add_fridge"), typed)

    assert not SentForm.objects.filter(pk=old.pk).exists()
    assert SentForm.objects.filter(pk=young.pk).exists()
    assert SentForm.objects.count() == 2


def at_the_same_instant(post: Callable[[], Any], count: int = 2) -> list[Any]:
    answers: list[Any] = []
    ready = threading.Barrier(count)

    def press() -> None:
        ready.wait()
        try:
            answers.append(post())
        finally:
            connections.close_all()

    threads = [threading.Thread(target=press) for _ in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    return answers


@pytest.mark.django_db(transaction=True)
def test_two_presses_at_the_same_instant_write_once_and_lead_to_one_page(batch: Batch) -> None:
    write = reverse("batches:write", args=[batch.public_id, "size"])
    typed = {"size-values": "38 41 36", "size-hours": "1", "once": "abc"}

    answers = at_the_same_instant(lambda: Client().post(write, typed), 4)

    assert [answer.status_code for answer in answers] == [302] * 4
    assert len({answer.headers["Location"] for answer in answers}) == 1
    assert SizeReading.objects.get().median_um == Decimal(38)


@pytest.mark.django_db(transaction=True)
def test_two_presses_of_what_is_refused_are_both_refused(batch: Batch) -> None:
    write = reverse("batches:write", args=[batch.public_id, "size"])

    answers = at_the_same_instant(lambda: Client().post(write, {"size-values": "soup", "once": "abc"}))

    assert [answer.status_code for answer in answers] == [422, 422]
    assert not SizeReading.objects.exists()
    assert not SentForm.objects.exists()
