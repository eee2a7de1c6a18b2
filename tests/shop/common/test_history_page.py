"""The change log as people read it: who, when, what and why."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from django.apps import apps
from django.db import transaction
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from nibsmith.science.mixture import Kind
from nibsmith.shop.batches.services.making import Making, make
from nibsmith.shop.common.changelog.services import record
from nibsmith.shop.common.history import words
from nibsmith.shop.common.history.selectors import PER_PAGE, told_of
from nibsmith.shop.common.workshop.models import Workshop
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.common.workshop.services import update_workshop
from nibsmith.shop.kit.services import KitCard, create_kit, retire_kit
from nibsmith.shop.recipes.services import create_recipe
from nibsmith.shop.roasts.services.courses import CourseCard
from nibsmith.shop.roasts.services.courses import create as create_course
from nibsmith.shop.roasts.services.roasts import RoastCard, write_down
from nibsmith.shop.stock.models import OwnIngredient
from nibsmith.shop.stock.services import (
    Facts,
    create_ingredient,
    retire_ingredient,
    set_facts,
    update_ingredient,
)
from nibsmith.shop.stock.sheets import Sheet
from recipes_typed import DARK, draft

pytestmark = pytest.mark.django_db
URL = reverse("common:history")
WRITES = r'(?:record|save_new|save_changes|_changed|_put_away)\([^"]*"(\w+\.\w+)"'
SUGAR = Sheet(name="Rocket sugar", kind=Kind.SUGAR, constituents={"water_g": Decimal("0.1")})


@pytest.fixture
def sugar() -> OwnIngredient:
    return create_ingredient(SUGAR)


def text(client: Client, **asked: str) -> str:
    response = client.get(URL, asked)
    assert response.status_code == 200
    return re.sub(r"\s+", " ", response.content.decode())


def test_without_changes_it_says_so(client: Client) -> None:
    assert "Nothing was changed yet." in text(client)


def test_a_change_is_told_in_words_with_link_and_reason(client: Client, sugar: OwnIngredient) -> None:
    changed = Sheet(
        name="Rocket sugar",
        kind=Kind.SWEETENER,
        constituents={"water_g": Decimal("0.2")},
        price_per_kg=Decimal("1.9"),
    )
    update_ingredient(sugar, changed, why="read the sheet again")
    body = text(client)

    link = reverse("stock:ingredient", kwargs={"key": sugar.key})
    assert f'<a class="row-name" href="{link}">Rocket sugar</a>: sheet corrected' in body
    assert "UTC</time>, by the workshop" in body
    assert '<p class="why">read the sheet again</p>' in body
    assert "<dt>kind</dt><dd><del>sugar</del> → <ins>sweetener</ins></dd>" in body
    assert "<dt>water, in 100 g</dt><dd><del>0.1</del> → <ins>0.2</ins></dd>" in body
    assert "<dt>price per kg</dt><dd><del>nothing</del> → <ins>1.9</ins></dd>" in body
    assert re.search(
        r'datetime="\d{4}-\d\d-\d\dT[\d:.]+\+00:00">\d+ \w+ \d{4}, \d\d:\d\d UTC</time>',
        body,
    )


def test_records_of_every_app_are_named_and_linked(client: Client) -> None:
    kit = create_kit(KitCard(name="Agnes", based_on="stone"))
    retire_kit(kit)
    set_facts("cocoa_butter", Facts(price_per_kg=Decimal(20)))
    set_facts("cocoa_butter", Facts(price_per_kg=Decimal(21)))
    update_workshop(WorkshopSettings(name="Two Herons", markets=("eu", "us")))
    body = text(client)

    assert f'href="{reverse("kit:kit", kwargs={"ref": kit.ref})}">Agnes</a>: put away' in body
    butter = reverse("stock:ingredient", kwargs={"key": "cocoa_butter"})
    assert f'href="{butter}">Cocoa butter</a>: price, fat or supplier changed' in body
    assert f'href="{reverse("common:settings")}">Two Herons</a>: settings changed' in body
    assert "<dt>markets</dt><dd><ins>EU, US</ins></dd>" in body


def test_it_is_narrowed_to_one_kind_of_record(client: Client, sugar: OwnIngredient) -> None:
    create_kit(KitCard(name="Agnes", based_on="stone"))

    body = text(client, kind="kit.ownkit")
    assert "Agnes" in body
    assert "Rocket sugar" not in body
    assert '<option value="kit.ownkit" selected>' in body
    assert "Rocket sugar" in text(client, kind="kiwi\x00")


def test_a_long_history_has_pages(client: Client, sugar: OwnIngredient) -> None:
    for _ in range(PER_PAGE):
        with transaction.atomic():
            record("stock.ingredient_changed", sugar, before={"note": "a"}, after={"note": "b"})

    first, second = text(client), text(client, page="2")
    assert first.count('<li class="row">') == PER_PAGE
    assert "Page 1 of 2" in first
    assert second.count('<li class="row">') == 1
    assert "added" in second
    for odd in ("0", "-1", "kiwi", "999999999999999999999", "\x00"):
        assert "Page " in text(client, page=odd)


def test_it_takes_few_queries_however_many_entries(
    client: Client, sugar: OwnIngredient, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for number in range(20):
        create_kit(KitCard(name=f"Kit {number}", based_on="stone"))

    with django_assert_num_queries(5):
        client.get(URL)


def test_htmx_gets_the_list_alone(client: Client, sugar: OwnIngredient) -> None:
    piece = client.get(URL, headers={"HX-Request": "true"}).content.decode()

    assert "<html" not in piece
    assert "Rocket sugar" in piece


def test_what_was_typed_is_shown_as_text(client: Client) -> None:
    create_kit(KitCard(name="<b>Agnes</b>", based_on="stone", note="<script>"), why="<i>why</i>")
    body = text(client)

    for markup in ("<b>Agnes", "<script>alert", "<i>why"):
        assert markup not in body
    assert "&lt;b&gt;Agnes&lt;/b&gt;" in body


def test_the_history_of_one_record_is_its_own(sugar: OwnIngredient) -> None:
    create_ingredient(Sheet(name="Other sugar", kind=Kind.SUGAR))

    assert [told.name for told in told_of(sugar)] == ["Rocket sugar"]
    assert told_of(None) == ()


def test_a_code_and_a_record_nobody_explains_are_still_readable(sugar: OwnIngredient) -> None:
    with transaction.atomic():
        entry = record("stock.odd_thing.done", sugar, after={"no_such_field": [1, {"a": None}]})

    assert words.deed(entry.what) == "odd thing done"
    told = told_of(sugar)[0]
    assert (told.differences[0].name, told.differences[0].after) == ("no such field", "1, {'a': None}")
    assert words.thing_name("gone.model") == "model"
    assert words.field_name("gone.model", "old_field") == "old field"


def test_every_code_the_apps_explain_is_a_dotted_code_of_that_app() -> None:
    assert words.change_words()
    labels = {config.label for config in apps.get_app_configs()}
    for code in words.change_words():
        assert code.partition(".")[0] in labels


def test_every_code_that_a_service_writes_is_explained() -> None:
    shop = Path(words.__file__).parents[2]
    written = {
        code for file in shop.glob("**/services.py") for code in re.findall(WRITES, file.read_text("utf-8"))
    }

    keeping = (shop / "kit" / "keeping.py").read_text("utf-8")
    done = set(re.findall(r'(?:_code|_changed)\(row, "(\w+)"', keeping))
    of_the_kit = {f"kit.{thing}_{what}" for thing in ("kit", "mould", "fridge", "probe") for what in done}

    assert {"stock.ingredient_added", "recipes.made", "common.settings_changed"} <= written
    assert {"kit.mould_added", "kit.probe_brought_back"} <= of_the_kit
    assert written | of_the_kit <= words.change_words().keys()


def test_a_row_without_a_name_is_told_without_one() -> None:
    update_workshop(WorkshopSettings())

    told = told_of(Workshop.objects.get())
    assert (told[0].name, told[0].what, told[0].is_new) == ("", "settings changed", True)


def test_times_and_figures_are_told_as_people_read_them(client: Client, sugar: OwnIngredient) -> None:
    retire_ingredient(sugar)
    set_facts("cocoa_butter", Facts(price_per_kg=Decimal("18.5")))
    assert re.search(
        r"<dt>put away</dt><dd>.*?<ins>\d{1,2} [A-Z][a-z]+ \d{4}, \d\d:\d\d UTC</ins>", text(client)
    )
    assert "<ins>18.5</ins>" in text(client)
    update_workshop(WorkshopSettings(decimal_sign=","))
    assert "<ins>18,5</ins>" in text(client)


def test_what_a_maker_typed_is_told_as_it_was_typed(client: Client) -> None:
    update_workshop(WorkshopSettings(decimal_sign=",", name="Mill 4.5"))
    set_facts("cocoa_butter", Facts(note="Read sheet 2.1 again", supplier="1.2.3 Ltd"), why="Sheet 2.1 came")
    body = text(client)
    for typed in ("Mill 4.5", "Read sheet 2.1 again", "1.2.3 Ltd", "Sheet 2.1 came"):
        assert typed in body


def test_what_a_record_points_to_is_called_by_its_name(client: Client) -> None:
    course = create_course(
        CourseCard(name="As on Tuesdays", typed="0:00 24\n10:00 95\n20:00 120", tolerance_k=Decimal(3))
    )
    write_down(RoastCard(beans="Bellwater", roasted_on=date(2026, 3, 14), wanted=course))
    batch = make(
        create_recipe(draft(*DARK)), Making(kit=create_kit(KitCard(name="Agnes", based_on="stone")).ref)
    )
    record("kit.calibrated", batch, after={"kit": batch.kit, "entry": str(batch.public_id), "taken_g": "150"})
    record("kit.calibrated", batch, after={"kit": "own:00000000-0000-4000-8000-000000000000"})
    body = text(client)

    assert "<dt>wanted course</dt><dd><ins>As on Tuesdays</ins></dd>" in body
    assert body.count("<dt>kit</dt><dd><ins>Agnes</ins></dd>") == 2
    assert "<dt>kit</dt><dd><ins>a record that is not in this history</ins></dd>" in body
    assert "<dt>taken, g</dt><dd><ins>150</ins></dd>" in body
    assert "<dt>entry</dt>" not in body


def test_what_was_worked_out_is_told_to_four_figures_and_nothing_as_nothing(client: Client) -> None:
    told = {"speed": [0.000634921481997603, None, 1895.0], "slope": [None, None, None], "values": [34, 38]}
    record("kit.calibrated", create_kit(KitCard(name="Agnes", based_on="stone")), after={"all": told, **told})
    body = text(client)

    assert body.count("<ins>0.0006349, nothing, 1 895</ins>") == 2
    assert "<ins>34, 38</ins>" in body
    assert "slope" not in body
    assert "None" not in body
