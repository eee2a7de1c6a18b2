"""A batch is one making of a version that stays as it was, with what was planned written down for good."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from nibsmith.science.errors import InputError
from nibsmith.shop.batches.models import Batch
from nibsmith.shop.batches.services.making import Making, describe, make
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.common.workshop.services import update_workshop
from nibsmith.shop.kit.models import OwnKit
from nibsmith.shop.recipes import services
from nibsmith.shop.recipes.drafts import draft_of
from nibsmith.shop.recipes.models import RecipeVersion
from nibsmith.shop.recipes.opening import open_draft
from recipes_typed import row

pytestmark = pytest.mark.django_db


def test_making_keeps_the_version_and_an_edit_makes_the_next_one(
    version: RecipeVersion, agnes: OwnKit
) -> None:
    batch = make(version, Making(kit=agnes.ref))
    assert batch.version.is_frozen

    changed = replace(
        draft_of(batch.version), rows=(row("cocoa_nibs_roasted", "70"), row("sugar_granulated"))
    )
    after = services.edit(batch.version, open_draft(changed))
    assert after.number == 2
    batch.refresh_from_db()
    assert batch.version.number == 1


def test_the_plan_is_on_the_scale_adds_up_and_stays(version: RecipeVersion, agnes: OwnKit) -> None:
    """By hand: 56, 8, 26 and 10 % of 2,000 g."""
    batch = make(version, Making(kit=agnes.ref))
    planned = {part.label: part.planned_g for part in batch.planned.all()}

    assert planned == {
        "cocoa_nibs_roasted": 1120,
        "cocoa_butter": 160,
        "sugar_granulated": 520,
        "hazelnut": 200,
    }
    assert batch.planned_g == 2000


def test_another_size_of_the_recipe_keeps_its_shares(version: RecipeVersion, agnes: OwnKit) -> None:
    batch = make(version, Making(kit=agnes.ref, total_g=Decimal(1500)))

    assert [part.planned_g for part in batch.planned.all()] == [840, 120, 390, 150]


def test_what_is_ground_in_with_its_grains_begins_the_grinding_anew(
    version: RecipeVersion, agnes: OwnKit
) -> None:
    parts = make(version, Making(kit=agnes.ref)).planned.all()

    assert {part.label: (part.coarse, part.in_machine) for part in parts} == {
        "cocoa_nibs_roasted": (True, True),
        "cocoa_butter": (False, True),
        "sugar_granulated": (True, True),
        "hazelnut": (False, False),
    }


def test_batches_are_counted_by_the_workshop(version: RecipeVersion, agnes: OwnKit) -> None:
    numbers = [make(version, Making(kit=agnes.ref)).number for _ in range(3)]

    assert numbers == [1, 2, 3]


def test_the_kit_is_that_of_the_making_then_of_the_recipe_then_the_usual_one(
    version: RecipeVersion, agnes: OwnKit
) -> None:
    with pytest.raises(InputError) as refused:
        make(version, Making())
    assert refused.value.field == "kit"

    update_workshop(WorkshopSettings(default_kit="ball_mill"))
    assert make(version, Making()).kit == "ball_mill"
    assert make(version, Making(kit=agnes.ref)).kit == agnes.ref


@pytest.mark.parametrize(
    ("making", "field"),
    [
        (Making(kit="kiwi"), "kit"),
        (Making(kit="stone", total_g=Decimal(0)), "total_g"),
        (Making(kit="stone", total_g=Decimal("NaN")), "total_g"),
        (Making(kit="stone", began_at=timezone.now() + timedelta(days=1)), "began_on"),
        (Making(kit="stone", note="\x00"), "note"),
    ],
)
def test_a_batch_that_cannot_be_is_refused_and_keeps_nothing(
    version: RecipeVersion, making: Making, field: str
) -> None:
    with pytest.raises(InputError) as refused:
        make(version, making)

    assert refused.value.field == field
    assert not Batch.objects.exists()
    version.refresh_from_db()
    assert not version.is_frozen


def test_the_log_tells_what_was_planned(batch: Batch) -> None:
    entry = ChangeEntry.objects.get(what="batches.begun")

    assert entry.after is not None
    assert entry.after["name"] == "Batch 1, Weir dark"
    assert entry.after["cocoa_nibs_roasted"] == "1120 g"
    assert ChangeEntry.objects.filter(what="recipes.kept", why="made as batch 1").exists()


def test_a_note_can_be_changed_and_the_log_has_both(batch: Batch) -> None:
    describe(batch, note="stones warmed")
    describe(batch, note="stones warmed to 50")

    entry = ChangeEntry.objects.filter(what="batches.described").first()
    assert entry is not None
    assert (entry.before, entry.after) == ({"note": "stones warmed"}, {"note": "stones warmed to 50"})
