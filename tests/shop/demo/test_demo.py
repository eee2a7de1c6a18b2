"""The demo workshop is stored by the services every page uses, once, and its sheet can be printed."""

from __future__ import annotations

import io
import re

import pytest
from django.apps import apps

from nibsmith.answers.sheet import batch_sheet
from nibsmith.science.errors import InputError
from nibsmith.shop import demo
from nibsmith.shop.common.base import Record
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.common.history.selectors import tell
from nibsmith.shop.common.workshop.selectors import context, workshop
from nibsmith.shop.common.workshop.services import update_workshop
from nibsmith.shop.demo import loading
from nibsmith.shop.kit.models import Mould, OwnKit
from nibsmith.shop.recipes.models import Recipe, RecipeVersion
from nibsmith.shop.recipes.opening import open_version
from nibsmith.shop.stock.models import OwnIngredient
from nibsmith.shop.stock.selectors import find, price_for

pytestmark = pytest.mark.django_db


def counts() -> dict[str, int]:
    return {model._meta.label: model._default_manager.count() for model in apps.get_models()}


def test_it_stores_a_workshop_with_kits_moulds_ingredients_prices_and_recipes() -> None:
    demo.load()

    assert (workshop().name, workshop().currency) == ("Sallow Lane", "EUR")
    assert (OwnKit.objects.count(), Mould.objects.count(), Recipe.objects.count()) == (2, 3, 6)
    assert OwnIngredient.objects.count() == 6
    here = context()
    assert here.kit is not None
    assert here.mould is not None
    assert (here.kit.charge_max_g, here.mould.cavity_g) == (2800.0, 72.0)
    first = Recipe.objects.order_by("pk")[0]
    assert [version.number for version in first.versions.all()] == [2, 1]


def test_loading_again_changes_nothing() -> None:
    demo.load()
    before = counts()

    demo.load()

    assert counts() == before


def test_nothing_is_loaded_over_records_of_ones_own() -> None:
    update_workshop(workshop())
    before = counts()

    demo.load()

    assert counts() == before


def test_a_demo_that_fails_leaves_nothing_behind(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise InputError("A recipe cannot be")

    monkeypatch.setattr(loading, "_recipe", refuse)

    with pytest.raises(InputError):
        demo.load()
    assert set(counts().values()) == {0}


def test_every_record_has_its_entry_in_the_history_and_can_be_told() -> None:
    demo.load()
    entries = list(ChangeEntry.objects.all())
    # What is written down about a batch stands in the history of the batch, by its own name.
    written = {entry.after["entry"] for entry in entries if entry.after and "entry" in entry.after}
    logged = {entry.object_id for entry in entries} | written

    for model in apps.get_models():
        if issubclass(model, Record) and model is not RecipeVersion:
            for row in model._default_manager.all():
                assert str(row.public_id) in logged, row
    told = tell(entries)
    assert all(entry.name and entry.what and entry.address for entry in told)
    made = next(entry for entry in told if entry.name == "Hazel Gate" and entry.is_new)
    recipe = Recipe.objects.get(name="Hazel Gate")
    assert (made.what, made.address) == ("made", f"/recipes/{recipe.public_id}/")


def test_every_version_opens_within_what_its_kit_holds_and_makes_its_bars() -> None:
    demo.load()

    for version in RecipeVersion.objects.select_related("recipe"):
        opened = open_version(version)
        kit = opened.context.kit
        assert kit is not None
        assert kit.charge_min_g is not None
        assert kit.charge_max_g is not None
        in_machine = sum(part.mass_g for part in opened.recipe.parts if part.in_machine)
        assert kit.charge_min_g <= in_machine <= kit.charge_max_g, version
        sheet = batch_sheet(opened.recipe, opened.context)
        assert (sheet.fold_in is not None) == (version.recipe.name == "Hazel Gate")


def test_everything_in_a_recipe_has_its_price() -> None:
    demo.load()
    keys = {part.ingredient for version in RecipeVersion.objects.all() for part in version.parts.all()}

    assert len(keys) >= 7
    assert [find(key).name for key in keys if price_for(key) is None] == []


def test_the_sheet_of_the_first_recipe_is_printed_with_the_weights_of_its_latest_version() -> None:
    demo.load()
    stream = io.StringIO()
    demo.print_sheet(stream)
    text = stream.getvalue()

    version = Recipe.objects.order_by("pk")[0].versions.all()[0]
    rows = batch_sheet(open_version(version).recipe, open_version(version).context).weigh.rows
    assert "Batch sheet: Low Tide 64, version 2" in text
    for row in rows:
        assert re.search(rf"\[ \] {re.escape(row.name)} +{' '.join(row.metric.split())} ", text)
    assert "Agnes" in text
    assert "Plank" in text
    assert "Salmonella" in text
    assert max(len(line) for line in text.splitlines()) <= 80


def test_a_terminal_that_knows_few_signs_gets_the_sheet_all_the_same() -> None:
    demo.load()
    raw = io.BytesIO()
    with io.TextIOWrapper(raw, encoding="ascii", write_through=True) as stream:
        demo.print_sheet(stream)
        assert b"Batch sheet: Low Tide 64" in raw.getvalue()


def test_without_recipes_no_sheet_is_printed() -> None:
    stream = io.StringIO()

    demo.print_sheet(stream)

    assert stream.getvalue() == ""
