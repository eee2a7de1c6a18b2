"""Two that save one name at the same instant: one gets it, the other is told, and the page does not break."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

import pytest
from django.db import DatabaseError, IntegrityError, connection, connections, transaction
from django.db.migrations.executor import MigrationExecutor

from nibsmith.science.errors import InputError, NibsmithError
from nibsmith.science.mixture import Kind
from nibsmith.shop.common import texts
from nibsmith.shop.common.history.meanwhile import NONE, ChangedMeanwhile
from nibsmith.shop.common.once_named import mark_of, tell_apart
from nibsmith.shop.kit.instruments import FridgeCard, ProbeCard, create_fridge, create_probe
from nibsmith.shop.kit.models import Fridge, Mould, OwnKit, Probe
from nibsmith.shop.kit.services import KitCard, MouldCard, create_kit, create_mould
from nibsmith.shop.recipes import services as recipes
from nibsmith.shop.recipes.drafts import draft_of
from nibsmith.shop.recipes.models import RecipeVersion
from nibsmith.shop.recipes.opening import open_draft
from nibsmith.shop.stock.models import IngredientFacts, OwnIngredient
from nibsmith.shop.stock.services import Facts, create_ingredient, set_facts
from nibsmith.shop.stock.sheets import Sheet
from recipes_typed import DARK, draft

NEW: dict[str, tuple[type[Any], Callable[[str], Any]]] = {
    "kit": (OwnKit, lambda name: create_kit(KitCard(name=name, based_on="stone"))),
    "mould": (Mould, lambda name: create_mould(MouldCard(name=name, cavity_g=Decimal(50)))),
    "fridge": (Fridge, lambda name: create_fridge(FridgeCard(name=name, celsius=Decimal(12)))),
    "probe": (Probe, lambda name: create_probe(ProbeCard(name=name, measures="mass"))),
    "ingredient": (OwnIngredient, lambda name: create_ingredient(Sheet(name=name, kind=Kind.SUGAR))),
}
TOGETHER_S = 1.0  # on SQLite one waits at the door of its transaction, so the other waits no longer than this


@dataclass
class Together:
    """Lets two threads past a look-up only when both have looked, where the database lets both look."""

    barrier: threading.Barrier

    def wait(self) -> None:
        try:
            self.barrier.wait(TOGETHER_S)
        except threading.BrokenBarrierError:
            return


@pytest.fixture
def together(monkeypatch: pytest.MonkeyPatch) -> Together:
    both = Together(threading.Barrier(2))
    found = texts.check_free

    def look_up(name: str, taken: Any, whose: str) -> None:
        found(name, list(taken), whose)
        both.wait()

    monkeypatch.setattr(texts, "check_free", look_up)
    return both


def at_once(writes: list[Callable[[], Any]]) -> list[Exception]:
    """Run writes in threads of their own, and return what they raised."""
    raised: list[Exception] = []

    def run(write: Callable[[], Any]) -> None:
        try:
            write()
        except (NibsmithError, DatabaseError) as error:
            raised.append(error)
        finally:
            connections.close_all()

    threads = [threading.Thread(target=run, args=(write,)) for write in writes]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return raised


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("what", NEW)
def test_of_two_that_save_one_name_at_once_one_is_told(what: str, together: Together) -> None:
    model, create = NEW[what]
    raised = at_once([lambda: create("Larder"), lambda: create(" larder")])

    assert model.objects.count() == 1
    assert [type(error) for error in raised] == [InputError]
    assert "has this name" in str(raised[0])


@pytest.mark.django_db(transaction=True)
def test_of_two_that_note_facts_of_one_ingredient_at_once_one_is_told() -> None:
    both = Together(threading.Barrier(2))

    def note(supplier: str) -> Callable[[], Any]:
        def write() -> None:
            with transaction.atomic():
                IngredientFacts.objects.filter(key="cocoa_butter").exists()
                both.wait()
                set_facts("cocoa_butter", Facts(supplier=supplier), seen=NONE)

        return write

    raised = at_once([note("Hill"), note("Dale")])

    assert IngredientFacts.objects.count() == 1
    assert [type(error) for error in raised] == [ChangedMeanwhile]


@pytest.mark.django_db(transaction=True)
def test_of_two_that_step_on_at_once_each_makes_a_version_of_its_own() -> None:
    version = recipes.create_recipe(draft(*DARK))
    both = Together(threading.Barrier(2))

    def step(total_g: int) -> Callable[[], Any]:
        def write() -> None:
            stored = draft_of(version)
            amount = replace(stored.amount, total_g=Decimal(total_g))
            opened = open_draft(replace(stored, amount=amount))
            both.wait()
            recipes.step_on(version, opened, why="")

        return write

    raised = at_once([step(3000), step(4000)])

    assert raised == []
    assert sorted(RecipeVersion.objects.values_list("number", flat=True)) == [1, 2, 3]


@pytest.mark.django_db
@pytest.mark.parametrize("what", NEW)
def test_the_database_itself_keeps_names_apart_in_the_lists(what: str) -> None:
    model, create = NEW[what]
    first, second = create("Larder"), create("Pantry")
    assert first.name_mark == mark_of("LARDER")
    with pytest.raises(IntegrityError), transaction.atomic():
        model.objects.filter(pk=second.pk).update(name_mark=first.name_mark)
    model.objects.filter(pk=first.pk).update(retired_at=first.updated_at)
    model.objects.filter(pk=second.pk).update(name_mark=first.name_mark)


@pytest.mark.django_db(transaction=True)
def test_records_of_before_are_told_apart_by_a_number() -> None:
    executor = MigrationExecutor(connection)
    latest = executor.loader.graph.leaf_nodes("kit")
    before = [("kit", "0004_what_is_lost_besides")]
    executor.migrate(before)
    try:
        old = executor.loader.project_state(before).apps.get_model("kit", "Mould")
        for name in ("Plank", "plank", "Brick", "PLANK (2)"):
            old.objects.create(name=name, cavity_g=50)
    finally:
        MigrationExecutor(connection).migrate(latest)

    names = list(Mould.objects.order_by("pk").values_list("name", flat=True))
    assert names == ["Plank", "plank (2)", "Brick", "PLANK (2) (2)"]
    assert len(set(Mould.objects.values_list("name_mark", flat=True))) == len(names)


@pytest.mark.django_db
def test_a_long_name_has_room_for_its_number() -> None:
    long = "x" * 120
    rows = [create_mould(MouldCard(name=name, cavity_g=Decimal(50))) for name in (long, "y")]
    Mould.objects.filter(pk=rows[1].pk).update(name=long)
    tell_apart(Mould.objects)

    assert Mould.objects.get(pk=rows[1].pk).name == f"{'x' * 116} (2)"
