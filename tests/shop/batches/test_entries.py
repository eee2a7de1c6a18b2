"""What is written down about a batch stands, is corrected beside itself, and never lost."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError, transaction

from nibsmith.science.errors import InputError
from nibsmith.shop.batches.models import (
    Addition,
    Batch,
    Curve,
    EndWeight,
    FlowReading,
    PlannedPart,
    SizeReading,
)
from nibsmith.shop.batches.selectors import diary, standing
from nibsmith.shop.batches.services.entries import copy_of, correct, strike, write
from nibsmith.shop.batches.services.sessions import SessionCard, begin
from nibsmith.shop.common.changelog.models import ChangeEntry

pytestmark = pytest.mark.django_db
Parts = dict[str, PlannedPart]


def weighed(batch: Batch, part: PlannedPart, grams: Any, hours: Any = 0) -> Addition:
    row = Addition(
        batch=batch,
        part=part,
        name=part.name,
        weighed_g=Decimal(grams),
        coarse=part.coarse,
        hours=Decimal(hours),
    )
    return write(batch, [row])[0]


def size(batch: Batch, um: Any, hours: Any, count: int = 5) -> SizeReading:
    row = SizeReading(batch=batch, values=[str(um)] * count, median_um=Decimal(um), hours=Decimal(hours))
    return write(batch, [row])[0]


def end(batch: Batch, grams: Any) -> EndWeight:
    return write(batch, [EndWeight(batch=batch, grams=Decimal(grams), hours=Decimal(40))])[0]


def test_a_correction_stands_and_what_it_corrects_stays(batch: Batch, part: Parts) -> None:
    old = weighed(batch, part["cocoa_butter"], 160)
    new = copy_of(old)
    new.weighed_g = Decimal(106)
    correct(old, new, "read the scale the wrong way round")

    assert [row.weighed_g for row in diary(batch).additions] == [106]
    assert [row.weighed_g for row in diary(batch).past] == [160]  # type: ignore[attr-defined]
    entry = ChangeEntry.objects.get(what="batches.corrected")
    assert entry.before is not None
    assert entry.after is not None
    assert [Decimal(side["weighed_g"]) for side in (entry.before, entry.after)] == [160, 106]
    assert entry.why == "read the scale the wrong way round"
    assert entry.object_id == str(batch.public_id)


def test_a_correction_of_a_correction_is_a_chain(batch: Batch, part: Parts) -> None:
    first = weighed(batch, part["cocoa_butter"], 160)
    second = correct(first, copy_of(first), "again")
    third = correct(second, copy_of(second), "and again")

    assert [row.pk for row in standing(Addition)] == [third.pk]
    assert third.replaces == second
    assert Addition.objects.count() == 3


def test_what_was_corrected_already_cannot_be_corrected_again(batch: Batch, part: Parts) -> None:
    old = weighed(batch, part["cocoa_butter"], 160)
    correct(old, copy_of(old), "once")

    with pytest.raises(InputError, match="corrected in the meantime"):
        correct(old, copy_of(old), "twice")
    with pytest.raises(InputError, match="corrected in the meantime"):
        strike(old, "gone")


def test_what_is_struck_out_no_longer_stands_but_is_there(batch: Batch, part: Parts) -> None:
    old = weighed(batch, part["cocoa_butter"], 160)
    strike(old, "that was another batch")

    assert diary(batch).additions == ()
    assert Addition.objects.count() == 2
    entry = ChangeEntry.objects.get(what="batches.struck_out")
    assert entry.after is None
    assert entry.why == "that was another batch"


@pytest.mark.parametrize("why", ["", "   ", "\n"])
def test_a_correction_needs_its_reason(batch: Batch, part: Parts, why: str) -> None:
    old = weighed(batch, part["cocoa_butter"], 160)

    for do in (lambda: correct(old, copy_of(old), why), lambda: strike(old, why)):
        with pytest.raises(InputError) as refused:
            do()
        assert refused.value.field == "why"
    assert Addition.objects.count() == 1


def test_the_database_too_refuses_a_correction_without_a_reason(batch: Batch, part: Parts) -> None:
    old = weighed(batch, part["cocoa_butter"], 160)
    new = copy_of(old)
    new.replaces = old

    with pytest.raises(IntegrityError), transaction.atomic():
        new.save()
    lone = copy_of(old)
    lone.struck = True
    with pytest.raises(IntegrityError), transaction.atomic():
        lone.save()


@pytest.mark.parametrize(
    ("model", "columns", "field"),
    [
        (SizeReading, {"values": ["30"], "median_um": Decimal(0)}, "values"),
        (SizeReading, {"values": ["30"], "median_um": Decimal(6000)}, "values"),
        (EndWeight, {"grams": Decimal(0)}, "grams"),
        (EndWeight, {"grams": Decimal("NaN")}, "grams"),
        (EndWeight, {"grams": Decimal("1.0001")}, "grams"),
        (FlowReading, {"how": "words", "feel": "soupy", "use": "bars"}, "feel"),
        (FlowReading, {"how": "words", "feel": "right", "use": ""}, "feel"),
        (FlowReading, {"how": "words", "feel": "right", "use": "bars", "celsius": Decimal(95)}, "celsius"),
        (FlowReading, {"how": "cup", "cup": "zahn5"}, "seconds"),
        (FlowReading, {"how": "cup", "cup": "mug", "seconds": Decimal(40)}, "seconds"),
        (FlowReading, {"how": "cup", "cup": "zahn5", "seconds": Decimal(2)}, "seconds"),
        (FlowReading, {"how": "ring", "diameter_mm": Decimal(90)}, "volume_cm3"),
        (FlowReading, {"how": "ring", "diameter_mm": Decimal(0), "volume_cm3": Decimal(20)}, "diameter_mm"),
        (FlowReading, {"how": "viscometer"}, "stress_pa"),
        (FlowReading, {"how": "viscometer", "viscosity_pas": Decimal(0)}, "viscosity_pas"),
        (FlowReading, {"how": "viscometer", "stress_pa": Decimal(9), "tempered": False}, "celsius"),
        # 1 Pa at 5 1/s and 4 Pa·s at 40 1/s are of no one mass.
        (
            FlowReading,
            {"how": "viscometer", "stress_pa": Decimal(1), "viscosity_pas": Decimal(4)},
            "viscosity_pas",
        ),
    ],
)
def test_an_entry_that_cannot_be_is_refused_and_nothing_is_written(
    batch: Batch, model: Any, columns: dict[str, Any], field: str
) -> None:
    before = ChangeEntry.objects.count()

    with pytest.raises(InputError) as refused:
        write(batch, [model(batch=batch, hours=Decimal(20), **columns)])

    assert refused.value.field == field
    assert not model.objects.exists()
    assert ChangeEntry.objects.count() == before


@pytest.mark.parametrize("hours", [Decimal(-1), Decimal("NaN"), Decimal("0.001"), Decimal(300_000)])
def test_hours_that_cannot_be_are_refused(batch: Batch, part: Parts, hours: Decimal) -> None:
    with pytest.raises(InputError) as refused:
        weighed(batch, part["cocoa_butter"], 160, hours)

    assert refused.value.field == "hours"


def test_several_weights_are_written_together_or_not_at_all(batch: Batch, part: Parts) -> None:
    rows = [
        Addition(batch=batch, part=part[label], name=label, weighed_g=Decimal(grams), hours=Decimal(0))
        for label, grams in (("cocoa_butter", 160), ("sugar_granulated", -1))
    ]

    with pytest.raises(InputError):
        write(batch, rows)
    assert not Addition.objects.exists()


def test_portions_of_a_part_add_up(batch: Batch, part: Parts) -> None:
    for hours, grams in enumerate((200, 200, 120)):
        weighed(batch, part["sugar_granulated"], grams, hours)

    found = diary(batch)
    assert found.weighed_g(part["sugar_granulated"]) == 520
    assert found.weighed_g(part["sugar_granulated"], until=Decimal(1)) == 400
    assert found.weighed_g(part["cocoa_butter"]) is None


def test_grinding_is_counted_from_the_last_coarse_part(batch: Batch, part: Parts) -> None:
    weighed(batch, part["cocoa_nibs_roasted"], 1120, 0)
    weighed(batch, part["sugar_granulated"], 520, 3)
    weighed(batch, part["cocoa_butter"], 160, 5)

    assert diary(batch).coarse_since() == 3
    assert diary(batch).coarse_since(until=Decimal(2)) == 0


def test_what_came_out_is_weighed_once_and_then_corrected(batch: Batch) -> None:
    first = end(batch, 1650)
    with pytest.raises(InputError, match="weighed already"):
        end(batch, 1700)

    better = copy_of(first)
    better.grams = Decimal(1700)
    correct(first, better, "the tub was not taken off")
    assert diary(batch).account.end_g == 1700


def test_more_cannot_come_out_than_went_in(batch: Batch, part: Parts) -> None:
    for label in ("cocoa_nibs_roasted", "cocoa_butter", "sugar_granulated"):
        weighed(batch, part[label], part[label].planned_g)

    with pytest.raises(InputError, match="More came out than went in"):
        end(batch, "1800.1")
    end(batch, 1800)


def test_where_a_weight_is_missing_nobody_knows_how_much_went_in(batch: Batch, part: Parts) -> None:
    weighed(batch, part["cocoa_butter"], 160)
    end(batch, 1750)

    found = diary(batch).account
    assert (found.complete, found.loss_g, found.there_g) == (False, None, 1750)


def test_a_late_weight_that_makes_the_balance_impossible_is_refused(batch: Batch, part: Parts) -> None:
    """Refused whichever of the two is written last."""
    weighed(batch, part["cocoa_nibs_roasted"], 1120)
    weighed(batch, part["cocoa_butter"], 160)
    end(batch, 1750)

    with pytest.raises(InputError, match="More came out than went in"):
        weighed(batch, part["sugar_granulated"], 400)
    weighed(batch, part["sugar_granulated"], 520)


def test_a_curve_has_times_that_rise(batch: Batch) -> None:
    end(batch, 1650)
    session = begin(batch, SessionCard(taken_g=Decimal(1000)))
    row = Curve(
        session=session, hours=Decimal(1), typed="x", points=[[0, 31], [0, 30]], coolant_celsius=Decimal(8)
    )

    with pytest.raises(InputError, match="do not rise"):
        write(batch, [row])
