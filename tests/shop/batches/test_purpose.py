"""What the mass of a batch is for: asked when it begins, by default from the recipe; answered by it."""

from __future__ import annotations

import html
import re
from decimal import Decimal
from importlib import import_module
from types import SimpleNamespace
from typing import Any

import pytest
from django.apps import apps
from django.db import IntegrityError, connection, transaction
from django.test import Client
from django.urls import reverse

from nibsmith.science.errors import InputError
from nibsmith.science.flow import Use
from nibsmith.science.grind import Aim
from nibsmith.shop.batches.as_made import context_of
from nibsmith.shop.batches.models import Batch, FlowReading, SizeReading
from nibsmith.shop.batches.selectors import diary
from nibsmith.shop.batches.services.entries import write
from nibsmith.shop.batches.services.making import Making, make, pour_for
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.kit.models import OwnKit
from nibsmith.shop.recipes.models import RecipeVersion

pytestmark = pytest.mark.django_db


def page(client: Client, batch: Batch) -> str:
    body = client.get(reverse("batches:batch", args=[batch.public_id])).content.decode()
    return re.sub(r"\s+", " ", html.unescape(body)).replace("\xa0", " ")


def read_size(batch: Batch) -> None:
    """Of a batch of which nothing is written nothing is answered."""
    write(batch, [SizeReading(batch=batch, values=["30"], median_um=Decimal(30), hours=Decimal(30))])


def choose(client: Client, batch: Batch, **typed: str) -> Any:
    fields = {f"purpose-{name}": value for name, value in typed.items()}
    return client.post(reverse("batches:write", args=[batch.public_id, "purpose"]), fields)


@pytest.mark.parametrize(
    ("form", "use"), [("bar", "bars"), ("filled", "thin_shells"), ("praline", "thin_shells")]
)
def test_a_batch_is_for_what_its_recipe_is_sold_as(
    version: RecipeVersion, agnes: OwnKit, form: str, use: str
) -> None:
    version.recipe.form = form
    version.recipe.save()

    batch = make(version, Making(kit=agnes.ref))

    assert (batch.use, batch.aim) == (use, "")


def test_the_page_of_the_making_offers_what_the_recipe_is_sold_as(
    client: Client, version: RecipeVersion
) -> None:
    version.recipe.form = "praline"
    version.recipe.save()

    body = client.get(reverse("batches:make", args=[version.recipe.public_id])).content.decode()

    assert '<option value="thin_shells" selected>thin shells</option>' in body


def test_what_is_chosen_is_stored_shown_and_answered_by(
    client: Client, version: RecipeVersion, agnes: OwnKit
) -> None:
    typed = {"kit": agnes.ref, "total_g": "2000", "use": "dipping", "aim": "rustic"}
    client.post(reverse("batches:make", args=[version.recipe.public_id]), typed)

    batch = Batch.objects.get()
    read_size(batch)
    process = context_of(diary(batch)).process
    assert process is not None
    assert (process.use, process.aim) == (Use.DIPPING, Aim.RUSTIC)
    assert ChangeEntry.objects.get(what="batches.begun").after["use"] == "dipping"
    body = page(client, batch)
    assert "Answered for dipping, rustic." in body
    assert "for dipping" in body.partition("Answered for dipping, rustic.")[2]
    assert '<option value="dipping" selected>dipping</option>' in body.partition('id="id_words-use"')[2]


def test_another_choice_answers_anew_and_stands_in_the_history(client: Client, batch: Batch) -> None:
    read_size(batch)
    before = page(client, batch)
    response = choose(client, batch, use="hand", aim="melting")
    after = page(client, batch)

    assert response.status_code == 302
    assert "Answered for bars, as smooth as the kit gets." in before
    assert "Answered for spreading by hand, melting smooth." in after
    assert "spread" not in before.partition("Will it pour?")[2].partition("Will it be smooth?")[0]
    assert "spread" in after.partition("Will it pour?")[2].partition("Will it be smooth?")[0]
    assert "melting smooth" in after.partition("Will it be smooth?")[2]
    told = ChangeEntry.objects.get(what="batches.purpose_changed")
    assert (told.before, told.after) == ({"use": "bars", "aim": ""}, {"use": "hand", "aim": "melting"})


def test_the_same_choice_writes_nothing(client: Client, batch: Batch) -> None:
    choose(client, batch, use="bars", aim="")

    assert not ChangeEntry.objects.filter(what="batches.purpose_changed").exists()


@pytest.mark.parametrize(("field", "value"), [("use", "soup"), ("aim", "silk")])
def test_what_is_on_no_list_is_refused(client: Client, batch: Batch, field: str, value: str) -> None:
    response = choose(client, batch, **{"use": "bars", "aim": "", field: value})

    assert response.status_code == 422
    assert f'id="id_purpose-{field}_error"' in response.content.decode()
    with pytest.raises(InputError) as refused:
        pour_for(batch, **{"use": "bars", "aim": "", field: value})
    assert refused.value.field == field
    with pytest.raises(IntegrityError), transaction.atomic():
        Batch.objects.filter(pk=batch.pk).update(**{field: value})


def test_what_was_seen_before_counts_as_it_was_seen(client: Client, batch: Batch) -> None:
    write = reverse("batches:write", args=[batch.public_id, "words"])
    client.post(write, {"words-feel": "too_thick", "words-use": "bars", "words-hours": "40"})
    choose(client, batch, use="hand", aim="")

    assert FlowReading.objects.get().use == "bars"


def test_batches_of_before_get_what_their_recipe_is_sold_as(batch: Batch) -> None:
    batch.version.recipe.form = "filled"
    batch.version.recipe.save()
    step = import_module("nibsmith.shop.batches.migrations.0003_by_what_it_is_sold_as")

    step.by_form(apps, SimpleNamespace(connection=connection))

    batch.refresh_from_db()
    assert batch.use == "thin_shells"
