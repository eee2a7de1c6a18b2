"""What a batch tells of its kit: each reading once, compared with the mass as it was then."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.utils import timezone

from nibsmith.answers.pour import pour, predicted_flow
from nibsmith.answers.smooth import grind_curve
from nibsmith.science.flow import Casson
from nibsmith.shop.batches.as_made import context_of, recipe_of
from nibsmith.shop.batches.models import Addition, Batch, FlowReading, PlannedPart, SizeReading
from nibsmith.shop.batches.observing import foretold_flow, seen_of
from nibsmith.shop.batches.planning import opened_on
from nibsmith.shop.batches.selectors import diary
from nibsmith.shop.batches.services.entries import copy_of, correct, strike, write
from nibsmith.shop.batches.services.making import Making, make
from nibsmith.shop.common.workshop.selectors import context
from nibsmith.shop.kit.calibrating.selectors import flow_of, known, speed_of
from nibsmith.shop.kit.models import Calibration, Observation, OwnKit, Subject
from nibsmith.shop.recipes.models import RecipeVersion

pytestmark = pytest.mark.django_db
Parts = dict[str, PlannedPart]


def weigh_all(batch: Batch, sugar_at: int = 2) -> None:
    for hours, part in enumerate(batch.planned.filter(in_machine=True)):
        at = sugar_at if part.label == "sugar_granulated" else hours
        write(
            batch,
            [
                Addition(
                    batch=batch,
                    part=part,
                    name=part.name,
                    weighed_g=part.planned_g,
                    coarse=part.coarse,
                    hours=Decimal(at),
                )
            ],
        )


def size(batch: Batch, um: Any, hours: Any) -> SizeReading:
    row = SizeReading(batch=batch, values=[str(um)] * 5, median_um=Decimal(um), hours=Decimal(hours))
    return write(batch, [row])[0]


def words(batch: Batch, feel: str, hours: Any = 40, **more: Any) -> FlowReading:
    row = FlowReading(batch=batch, how="words", feel=feel, use="bars", hours=Decimal(hours), **more)
    return write(batch, [row])[0]


def test_readings_of_a_batch_are_the_readings_of_its_kit(batch: Batch, agnes: OwnKit) -> None:
    weigh_all(batch)
    for hours, um in ((12, 98), (22, 49), (32, 31)):
        size(batch, um, hours)
    words(batch, "too_thick")

    assert Observation.objects.filter(kind=Subject.GRINDING, left=None).count() == 3
    found = known(agnes.ref)
    assert found.grinding is not None
    assert found.flow is not None
    assert (found.grinding.observations, found.flow.observations) == (1, 1)
    here = context(kit=agnes.ref)
    assert here.process is not None
    assert here.process.calibration == flow_of(found.flow)
    assert here.process.speed == speed_of(found.grinding)


def test_hours_are_counted_from_the_sugar_and_the_charge_is_what_was_weighed(batch: Batch) -> None:
    weigh_all(batch, sugar_at=4)
    size(batch, 98, 12)

    facts = Observation.objects.get().facts
    assert (facts["hours"], facts["since_hours"], facts["charge_g"]) == (8.0, 4.0, 1800.0)
    assert facts["start_um"][1] > 400  # granulated sugar


def test_a_size_read_before_the_sugar_is_of_nibs_alone(batch: Batch) -> None:
    weigh_all(batch, sugar_at=4)
    size(batch, 98, 3)

    facts = Observation.objects.get().facts
    assert (facts["since_hours"], facts["charge_g"]) == (0.0, 1280.0)
    assert facts["start_um"][1] < 400  # a paste of nibs


def test_a_flow_is_compared_with_the_mass_as_it_was_then(batch: Batch, part: Parts) -> None:
    """Butter added after the words were spoken does not count for them."""
    weigh_all(batch)
    for hours, um in ((12, 98), (32, 31)):
        size(batch, um, hours)
    row = words(batch, "too_thick", 33)
    before = Observation.objects.get(kind=Subject.FLOW, left=None).facts["predicted"]
    write(
        batch,
        [
            Addition(
                batch=batch,
                ingredient="cocoa_butter",
                name="Cocoa butter",
                weighed_g=Decimal(20),
                hours=Decimal(34),
            )
        ],
    )

    found, opened = diary(batch), opened_on(batch.version, batch.kit)
    then, now = (recipe_of(found, opened, hours).total_g for hours in (Decimal(33), None))
    assert now - then == pytest.approx(20)
    foretold = foretold_flow(found, opened, row)
    assert foretold == Casson(before["yield_pa"], before["viscosity_pas"])
    thinner = predicted_flow(recipe_of(found, opened), context_of(found))
    assert thinner.viscosity_pas < foretold.viscosity_pas


def test_a_corrected_reading_counts_once_as_it_stands(batch: Batch, agnes: OwnKit) -> None:
    weigh_all(batch)
    row = words(batch, "too_thick")
    new = copy_of(row)
    new.feel = "right"
    correct(row, new, "it was the other bowl")

    standing = Observation.objects.filter(kind=Subject.FLOW, left=None)
    assert [seen.facts["feel"] for seen in standing] == ["right"]
    assert [one.observations for one in Calibration.objects.filter(kind=Subject.FLOW)] == [1, 1]


def test_what_is_struck_out_is_forgotten_by_the_kit(batch: Batch, agnes: OwnKit) -> None:
    weigh_all(batch)
    strike(words(batch, "too_thick"), "another batch")

    assert known(agnes.ref).flow is None
    assert not Observation.objects.filter(left=None).exists()


def test_a_reading_that_science_cannot_compare_is_kept_and_does_not_count(batch: Batch) -> None:
    """30 °C is no temperature of a liquid mass in the estimate's range."""
    weigh_all(batch)
    row = FlowReading(
        batch=batch,
        how="viscometer",
        stress_pa=Decimal(40),
        celsius=Decimal(80),
        tempered=False,
        hours=Decimal(20),
    )
    write(batch, [row])

    assert FlowReading.objects.count() == 1
    assert not Observation.objects.filter(kind=Subject.FLOW).exists()


def test_a_batch_is_forecast_with_its_own_readings_and_what_was_known_before(
    batch: Batch, version: RecipeVersion, agnes: OwnKit
) -> None:
    weigh_all(batch)
    for hours, um in ((12, 98), (32, 31)):
        size(batch, um, hours)
    second = make(version, Making(kit=agnes.ref, began_at=timezone.now() - timedelta(days=1)))
    weigh_all(second)
    size(second, 60, 14)
    size(second, 40, 22)

    process = context_of(diary(second)).process
    assert process is not None
    assert process.speed is not None
    assert process.speed.observations == 1  # the first batch alone
    assert [reading.size_um for reading in process.readings] == [60.0, 40.0]
    assert context_of(diary(batch)).process.speed is None  # type: ignore[union-attr]
    known_now = known(agnes.ref).grinding
    assert known_now is not None
    assert known_now.observations == 2


def test_one_reading_of_a_second_batch_makes_a_band_that_holds_it(
    batch: Batch, version: RecipeVersion, agnes: OwnKit
) -> None:
    weigh_all(batch)
    for hours, um in ((12, 98), (22, 49), (32, 32)):
        size(batch, um, hours)
    second = make(version, Making(kit=agnes.ref))
    weigh_all(second)
    size(second, 50, 22)

    found, opened = diary(second), opened_on(second.version, second.kit)
    curve = grind_curve(recipe_of(found, opened), context_of(found))
    at = int(abs(curve.hours - 20.0).argmin())
    assert curve.low[at] <= 50 <= curve.high[at]
    assert curve.reading_um.tolist() == [50.0]


def test_words_move_the_answer_the_way_they_say(batch: Batch, version: RecipeVersion, agnes: OwnKit) -> None:
    weigh_all(batch)
    found, opened = diary(batch), opened_on(batch.version, batch.kit)
    before = pour(recipe_of(found, opened), context_of(found))
    for hours in (38, 39, 40):
        words(batch, "too_thick", hours)
    second = make(version, Making(kit=agnes.ref))
    after = pour(recipe_of(found, opened), context_of(diary(second)))

    assert before.figure is not None
    assert after.figure is not None
    assert after.figure > before.figure
    assert any("3 observations" in reason for reason in after.reasons)
    assert context_of(diary(batch)).process.calibration is None  # type: ignore[union-attr]  # not twice


def test_how_it_flowed_is_of_this_very_mass_until_something_goes_in(batch: Batch) -> None:
    weigh_all(batch)
    words(batch, "too_thick", 40)
    found, opened = diary(batch), opened_on(batch.version, batch.kit)
    (seen,) = seen_of(found, opened)
    assert seen.said == "too thick for bars after 40 h"
    assert seen.reading is not None

    butter = Addition(
        batch=batch, ingredient="cocoa_butter", name="Cocoa butter", weighed_g=Decimal(20), hours=Decimal(41)
    )
    write(batch, [butter])
    assert seen_of(diary(batch), opened) == ()
