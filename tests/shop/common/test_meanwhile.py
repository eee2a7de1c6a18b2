"""Two people at one record: the second is told before anything of the first is written over."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.test import Client
from django.utils import timezone

from nibsmith.science.mixture import Kind
from nibsmith.shop.batches.models import EndWeight, Session
from nibsmith.shop.batches.services.entries import write
from nibsmith.shop.batches.services.making import Making, make
from nibsmith.shop.batches.services.sessions import SessionCard, begin
from nibsmith.shop.common.workshop.models import Workshop
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.common.workshop.services import update_workshop
from nibsmith.shop.kit.instruments import FridgeCard, ProbeCard, create_fridge, create_probe
from nibsmith.shop.kit.models import Fridge, Measures, Mould, OwnKit, Probe
from nibsmith.shop.kit.services import KitCard, MouldCard, create_kit, create_mould
from nibsmith.shop.recipes.models import Recipe
from nibsmith.shop.recipes.services import create_recipe
from nibsmith.shop.roasts.models import Course, Roast
from nibsmith.shop.roasts.services.courses import CourseCard
from nibsmith.shop.roasts.services.courses import create as create_course
from nibsmith.shop.roasts.services.roasts import RoastCard, write_down
from nibsmith.shop.stock.models import IngredientFacts, OwnIngredient
from nibsmith.shop.stock.services import Facts, create_ingredient, set_facts
from nibsmith.shop.stock.sheets import Sheet
from recipes_typed import DARK, draft

pytestmark = pytest.mark.django_db
Post = dict[str, str | list[str]]


def ingredient() -> str:
    sheet = Sheet(name="Our nibs", kind=Kind.NIB, constituents={"water_g": Decimal(2), "fat_g": Decimal(54)})
    return f"/stock/{create_ingredient(sheet).key}/edit/"


def facts() -> str:
    set_facts("cocoa_butter", Facts(price_per_kg=Decimal(18)))
    return "/stock/cocoa_butter/edit/"


def machine() -> str:
    return f"/kit/{create_kit(KitCard(name='Agnes', based_on='stone')).ref}/edit/"


def mould() -> str:
    return f"/kit/moulds/{create_mould(MouldCard(name='Plank', cavity_g=Decimal(50))).ref}/"


def fridge() -> str:
    return f"/kit/fridges/{create_fridge(FridgeCard(name='Larder', celsius=Decimal(11))).ref}/"


def probe() -> str:
    return f"/kit/probes/{create_probe(ProbeCard(name='Spike', measures=Measures.BEAN.value)).ref}/"


def roast() -> str:
    return f"/roasts/{write_down(RoastCard(beans='Bellwater', roasted_on=date(2026, 3, 14))).public_id}/edit/"


def course() -> str:
    card = CourseCard(name="As on Tuesdays", typed="0:00 24\n10:00 95\n20:00 120", tolerance_k=Decimal(3))
    return f"/roasts/courses/{create_course(card).public_id}/"


def session() -> str:
    batch = make(
        create_recipe(draft(*DARK)), Making(kit="stone", began_at=timezone.now() - timedelta(days=2))
    )
    write(batch, [EndWeight(batch=batch, grams=Decimal(900), hours=Decimal(40))])
    begun = begin(batch, SessionCard(taken_g=Decimal(500)))
    return f"/batches/{batch.public_id}/sessions/{begun.number}/"


def settings() -> str:
    update_workshop(WorkshopSettings(name="Sallow Lane"))
    return "/settings/"


def recipe() -> str:
    return f"/recipes/{create_recipe(draft(*DARK)).recipe.public_id}/name/"


# What makes the record, the field both change, what it was and how it is read back.
RECORDS = [
    pytest.param(ingredient, "supplier", lambda: OwnIngredient.objects.get().supplier, id="own ingredient"),
    pytest.param(facts, "supplier", lambda: IngredientFacts.objects.get().supplier, id="packaged ingredient"),
    pytest.param(machine, "note", lambda: OwnKit.objects.get().note, id="machine"),
    pytest.param(mould, "note", lambda: Mould.objects.get().note, id="mould"),
    pytest.param(fridge, "note", lambda: Fridge.objects.get().note, id="fridge"),
    pytest.param(probe, "note", lambda: Probe.objects.get().note, id="probe"),
    pytest.param(roast, "note", lambda: Roast.objects.get().note, id="roast"),
    pytest.param(course, "note", lambda: Course.objects.get().note, id="wanted course"),
    pytest.param(session, "tasting", lambda: Session.objects.get().tasting, id="session"),
    pytest.param(settings, "name", lambda: Workshop.objects.get().name, id="settings"),
    pytest.param(recipe, "note", lambda: Recipe.objects.get().note, id="recipe"),
]


def form_on(client: Client, address: str) -> Post:
    """Return what a browser would send of the form at an address, untouched."""
    page = client.get(address).content.decode().partition('<form method="post">')
    body = (page[2] or client.get(address).content.decode().partition('method="post"')[2]).partition(
        "</form>"
    )[0]
    found: Post = {}
    for tag in re.findall(r"<input[^>]*>", body):
        said = dict(re.findall(r'([a-z]+)="([^"]*)"', tag))
        if said.get("type") in {"checkbox", "radio"} and " checked" not in tag:
            continue
        if said.get("type") == "checkbox":
            found[said["name"]] = [*found.get(said["name"], []), said.get("value", "on")]
        elif "name" in said:
            found[said["name"]] = said.get("value", "")
    for name, text in re.findall(r'<textarea name="([^"]+)"[^>]*>\s*([^<]*)</textarea>', body):
        found[name] = text
    for name, options in re.findall(r'<select name="([^"]+)"[^>]*>(.*?)</select>', body, re.DOTALL):
        chosen = re.search(r'value="([^"]*)" selected', options)
        found[name] = chosen[1] if chosen else ""
    return found


@pytest.mark.parametrize(("make", "field", "stored"), RECORDS)
def test_the_second_to_save_is_told_and_keeps_what_was_typed(
    client: Client, make: Callable[[], str], field: str, stored: Callable[[], str]
) -> None:
    address = make()
    mine, theirs = form_on(client, address), form_on(client, address)
    assert mine["seen"]
    assert client.post(address, theirs | {field: "written first"}).status_code == 302

    answer = client.post(address, mine | {field: "written second"})
    body = answer.content.decode()
    assert answer.status_code == 422
    assert "changed in another window while you typed" in body
    assert "written second" in body
    assert stored() == "written first"

    again = mine | {field: "written second", "seen": re.search(r'name="seen" value="([^"]+)"', body)[1]}  # type: ignore[index]
    assert client.post(address, again).status_code == 302
    assert stored() == "written second"


def test_the_refusal_names_what_was_changed_meanwhile(client: Client) -> None:
    address = mould()
    mine, theirs = form_on(client, address), form_on(client, address)
    client.post(address, theirs | {"cavity_g": "55 g", "note": "weighed anew"})
    body = client.post(address, mine | {"name": "Plank, old"}).content.decode()
    assert "while you typed: note, one cavity." in body or "while you typed: one cavity, note." in body


def test_facts_that_stood_nowhere_when_the_form_was_shown_are_not_written_over(client: Client) -> None:
    mine = form_on(client, "/stock/cocoa_butter/edit/")
    set_facts("cocoa_butter", Facts(price_per_kg=Decimal(18)))
    assert client.post("/stock/cocoa_butter/edit/", mine | {"supplier": "Harrow"}).status_code == 422
    assert IngredientFacts.objects.get().supplier == ""


@pytest.mark.parametrize("seen", ["", "yesterday", "2026-13-40T99:99"])
def test_a_stamp_that_is_none_or_nonsense_is_no_fault(client: Client, seen: str) -> None:
    address = mould()
    answer = client.post(address, form_on(client, address) | {"seen": seen, "note": "new"})
    assert answer.status_code == (422 if seen else 302)


def test_saving_one_form_twice_over_is_no_change_by_somebody_else(client: Client) -> None:
    address = mould()
    form = form_on(client, address)
    assert client.post(address, form).status_code == 302
    assert client.post(address, form | {"note": "new"}).status_code == 302
