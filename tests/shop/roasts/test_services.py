"""A roast is written whole or not at all, filled in freely, and changed only for a reason."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from nibsmith.science.errors import InputError
from nibsmith.science.roast import Role
from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.common.history.selectors import tell
from nibsmith.shop.kit.instruments import ProbeCard, create_probe
from nibsmith.shop.kit.models import Probe
from nibsmith.shop.roasts.models import Course, Readings, Roast
from nibsmith.shop.roasts.reading import BY_HAND, facts_of, known, read
from nibsmith.shop.roasts.selectors import told
from nibsmith.shop.roasts.services import courses
from nibsmith.shop.roasts.services.courses import CourseCard
from nibsmith.shop.roasts.services.points import NewPoint, add_point
from nibsmith.shop.roasts.services.readings import Sent, Stay, add_readings, settle, write_down_with
from nibsmith.shop.roasts.services.roasts import RoastCard, strike, update, write_down
from roasts_typed import TYPED

pytestmark = pytest.mark.django_db
LOG = b"time;beans (F);oven (F)\n0:00;75;250\n10:00;212;280\n20:00;248;284\n"


def test_roasts_are_counted_by_the_workshop(card: RoastCard) -> None:
    assert [write_down(card).number for _ in range(3)] == [1, 2, 3]


def test_what_was_empty_is_filled_in_and_what_stands_asks_why(roast: Roast, card: RoastCard) -> None:
    update(roast, replace(card, dial_celsius=Decimal(140), dial_minutes=Decimal(28), senses="bread"))
    with pytest.raises(InputError) as refused:
        update(roast, replace(card, dial_celsius=Decimal(140), dial_minutes=Decimal(30), senses="bread"))
    assert refused.value.field == "why"
    assert "for" in refused.value.what

    longer = replace(card, dial_celsius=Decimal(140), dial_minutes=Decimal(30), senses="bread, smoke")
    update(roast, longer, why="forgot the last two minutes")
    entry = ChangeEntry.objects.get(why="forgot the last two minutes")
    assert entry.before is not None
    assert Decimal(entry.before["dial_minutes"]) == 28
    roast.refresh_from_db()
    assert (roast.dial_minutes, roast.senses) == (30, "bread, smoke")


def test_words_may_change_at_any_time(roast: Roast, card: RoastCard) -> None:
    update(roast, replace(card, senses="vinegar", note="one tray"))
    update(roast, replace(card, senses="vinegar, then bread", note=""))

    roast.refresh_from_db()
    assert (roast.senses, roast.note) == ("vinegar, then bread", "")


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"beans": " "}, "beans"),
        ({"beans": "x" * 201}, "beans"),
        ({"matter": "soup"}, "matter"),
        ({"roaster": "volcano"}, "roaster"),
        ({"charge_g": Decimal(0)}, "charge_g"),
        ({"end_g": Decimal("NaN")}, "end_g"),
        ({"end_g": Decimal(2001)}, "end_g"),
        ({"water_before_percent": Decimal(51)}, "water_before_percent"),
        ({"water_after_percent": Decimal(-1)}, "water_after_percent"),
        ({"start_celsius": Decimal(101)}, "start_celsius"),
        ({"dial_celsius": Decimal(140)}, "dial_minutes"),
        ({"dial_minutes": Decimal(20)}, "dial_celsius"),
        ({"dial_celsius": Decimal(140), "dial_minutes": Decimal(0)}, "dial_minutes"),
        ({"dial_celsius": Decimal(501), "dial_minutes": Decimal(20)}, "dial_celsius"),
        ({"roasted_on": timezone.now().date() + timedelta(days=2)}, "roasted_on"),
        ({"note": "\x00"}, "note"),
    ],
)
def test_a_roast_that_cannot_be_is_refused(card: RoastCard, changes: dict[str, Any], field: str) -> None:
    with pytest.raises(InputError) as refused:
        write_down(replace(card, **changes))

    assert refused.value.field == field
    assert not Roast.objects.exists()
    assert not ChangeEntry.objects.exists()


def test_the_database_too_refuses_beans_that_got_heavier(roast: Roast) -> None:
    roast.end_g = Decimal(2001)
    with pytest.raises(IntegrityError), transaction.atomic():
        roast.save()


def test_one_that_never_was_is_struck_out_for_a_reason(roast: Roast) -> None:
    with pytest.raises(InputError):
        strike(roast, "")
    strike(roast, "written twice")
    strike(roast, "written twice")

    roast.refresh_from_db()
    assert roast.struck
    assert ChangeEntry.objects.filter(what="roasts.struck_out").count() == 1


def test_typed_readings_are_kept_as_typed_on_the_scale_of_their_day(roast: Roast) -> None:
    row = add_readings(roast, Sent(typed="0:00 75\n10:00 212\n20:00 248", told={"scale": "F"}))

    assert row.raw == "0:00 75\n10:00 212\n20:00 248"
    # 212 °F is 100 °C.
    assert read(row).probes[0].curve.celsius.tolist()[1] == pytest.approx(100.0)


def test_a_file_is_kept_as_text_with_what_was_understood(roast: Roast) -> None:
    row = add_readings(roast, Sent(data=LOG.replace(b"\n", b"\r\n"), file_name="march.csv"))

    assert row.raw == LOG.decode()
    assert row.file_name == "march.csv"
    assert row.report[0] == "Text in UTF-8, columns set apart by semicolons."
    roles = {probe.name: probe.role for probe in read(row).probes}
    assert roles == {"beans": Role.BEAN, "oven": Role.AIR}
    assert read(row).probes[0].curve.celsius.tolist()[1] == pytest.approx(100.0)


def test_other_readings_take_their_place_for_a_reason_and_nothing_is_lost(roast: Roast) -> None:
    first = add_readings(roast, Sent(typed=TYPED, told={"scale": "C"}))
    with pytest.raises(InputError) as refused:
        add_readings(roast, Sent(data=LOG))
    assert refused.value.field == "why"

    second = add_readings(roast, Sent(data=LOG, file_name="x.csv"), why="found the log")
    found = told(roast)
    assert (found.readings, [row.pk for row in found.before]) == (second, [first.pk])
    assert Readings.objects.get(pk=first.pk).raw == TYPED
    entry = ChangeEntry.objects.filter(what="roasts.readings_added").first()
    assert entry is not None
    assert entry.why == "found the log"
    assert "raw" not in str(entry.after)


def test_a_probe_is_kept_as_it_was_known_when_it_was_named(roast: Roast, basket: Probe) -> None:
    row = add_readings(roast, Sent(data=LOG))
    settle(row, row.told, {"beans": facts_of(basket)})
    Probe.objects.update(offset_k=Decimal(-3), uncertainty_k=None)

    beans = read(Readings.objects.get()).probes[0]
    assert (beans.offset_k, beans.uncertainty_k) == (0.5, 1.5)
    # 75 °F is 23.889 °C, put right by half a kelvin.
    assert beans.curve.celsius[0] == pytest.approx(24.389, abs=0.001)


def test_what_cannot_be_read_so_is_not_settled(roast: Roast) -> None:
    row = add_readings(roast, Sent(data=LOG))
    with pytest.raises(InputError):
        settle(row, {"time": "no such column"}, {})

    assert Readings.objects.get().told == {}


def test_when_the_beans_were_in_goes_into_the_history_and_can_be_taken_back(roast: Roast) -> None:
    row = add_readings(roast, Sent(data=LOG, stay=Stay(60, 900)))
    assert (row.in_s, row.out_s) == (60, 900)
    settle(row, {}, {}, Stay(60, 1100))
    assert settle(row, {}, {}).out_s == 1100
    settle(row, {}, {}, Stay())

    entries = list(ChangeEntry.objects.filter(what="roasts.readings_settled").order_by("pk"))
    assert [entry.after.get("beans_out_at") for entry in entries if entry.after is not None] == [
        "18:20",
        None,
    ]
    with pytest.raises(InputError) as refused:
        settle(row, {}, {}, Stay(900, 60))
    assert refused.value.field == "out_at"


def test_points_are_only_ever_added(roast: Roast) -> None:
    for minute, celsius in ((0, 24), (12, 106), (6, 84)):
        row = add_point(roast, NewPoint(at_s=60 * minute, celsius=Decimal(celsius)))

    readings = read(row).probes[0].readings
    assert list(zip(readings.times_s, readings.celsius, strict=True)) == [(0, 24), (360, 84), (720, 106)]
    assert ChangeEntry.objects.filter(what="roasts.reading_added").count() == 3
    with pytest.raises(InputError):
        add_point(roast, NewPoint(at_s=360, celsius=Decimal(85)))
    assert row.points.count() == 2


def test_no_more_points_than_a_hand_writes(roast: Roast) -> None:
    row = add_readings(
        roast, Sent(typed="\n".join(f"{minute} {20 + minute}" for minute in range(59)), told={"scale": "C"})
    )
    add_point(roast, NewPoint(at_s=4000, celsius=Decimal(100)))
    with pytest.raises(InputError) as refused:
        add_point(roast, NewPoint(at_s=4060, celsius=Decimal(100)))

    assert refused.value.field == "at"
    assert row.points.count() == 1


def test_settling_the_same_again_writes_nothing(roast: Roast, basket: Probe) -> None:
    row = add_readings(roast, Sent(data=LOG))
    settle(row, {"scale": "F"}, {})
    count = ChangeEntry.objects.count()
    settle(row, {"scale": "F"}, {})

    assert ChangeEntry.objects.count() == count


@pytest.mark.parametrize(
    ("sent", "field"),
    [
        (Sent(typed="warm at first"), "typed"),
        (Sent(typed="0:00 24\n10:00 105"), "typed"),
        (Sent(typed="0:00 24\n10:00 105\n9:00 110", told={"scale": "C"}), "typed"),
        (Sent(typed=""), "typed"),
        (Sent(data=b"\x89PNG\r\n\x1a\n"), "file"),
        (Sent(data=b"   \n"), "file"),
        (Sent(data=b"a,b\nx,y\n"), "file"),
        (Sent(data=b"\0" * 40), "file"),
    ],
)
def test_readings_that_are_none_are_refused_and_the_roast_stays_as_it_was(
    roast: Roast, sent: Sent, field: str
) -> None:
    before = ChangeEntry.objects.count()
    with pytest.raises(InputError) as refused:
        add_readings(roast, sent)

    assert refused.value.field == field
    assert not Readings.objects.exists()
    assert ChangeEntry.objects.count() == before


def test_a_roast_and_its_readings_are_written_together_or_not_at_all(card: RoastCard) -> None:
    with pytest.raises(InputError):
        write_down_with(card, Sent(data=b"\x89PNG"))
    assert not Roast.objects.exists()

    assert write_down_with(card, None).readings.count() == 0


def test_heat_counts_only_what_a_checked_probe_in_the_beans_has_measured(roast: Roast, basket: Probe) -> None:
    """Without its uncertainty nothing is counted; with it the figure is that of the roast answer itself."""
    from nibsmith.answers.roasted import ProbeFacts, RoastRecord, roasted, with_facts
    from nibsmith.science.roast.typed import typed_roast

    unchecked = add_readings(roast, Sent(typed=TYPED, told={"scale": "C"}))
    record = known(roast, unchecked).record
    assert record is not None
    assert roasted(record).verdict.value == "unknown"

    facts = {BY_HAND: facts_of(basket)}
    checked = add_readings(roast, Sent(typed=TYPED, told={"scale": "C"}, probes=facts), why="the probe")
    record = known(roast, checked).record
    assert record is not None
    plain = typed_roast(TYPED, scale="C")
    direct = with_facts(plain, {BY_HAND: ProbeFacts(Role.BEAN, 0.5, 1.5)})
    assert roasted(record).figure == roasted(RoastRecord(direct)).figure
    assert roasted(record).figure is not None


def test_a_mass_probe_tells_nothing_of_where_it_was_in_a_roast(db: None) -> None:
    needle = create_probe(ProbeCard(name="Needle", measures="mass"))

    assert facts_of(needle)["role"] == ""


def test_a_dial_alone_is_a_record_that_measures_nothing(card: RoastCard) -> None:
    roast = write_down(replace(card, dial_celsius=Decimal(140), dial_minutes=Decimal(30)))

    record = known(roast, None).record
    assert record is not None
    assert [probe.role for probe in record.roast.probes] == [Role.SETTING]
    assert known(write_down(card), None).record is None


def test_a_wanted_course_lives_from_new_to_brought_back() -> None:
    card = CourseCard(name="Tuesday", typed=TYPED, tolerance_k=Decimal(5))
    row = courses.create(card)
    courses.update(row, replace(card, tolerance_k=Decimal(4)), why="too wide")
    courses.retire(row)
    courses.bring_back(row)

    kept = Course.objects.get()
    assert (kept.tolerance_k, kept.retired_at) == (4, None)
    assert kept.typed == f"{TYPED} °C"
    told_all = tell(ChangeEntry.objects.all())
    assert [one.what for one in told_all] == ["brought back", "put away", "changed", "added"]
    assert all(one.name == "Tuesday" and one.address for one in told_all)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"name": ""}, "name"),
        ({"typed": "0:00 24"}, "typed"),
        ({"tolerance_k": Decimal(0)}, "tolerance_k"),
        ({"tolerance_k": Decimal(51)}, "tolerance_k"),
    ],
)
def test_a_course_that_cannot_be_is_refused(changes: dict[str, Any], field: str) -> None:
    card = CourseCard(name="Tuesday", typed=TYPED, tolerance_k=Decimal(5))
    with pytest.raises(InputError) as refused:
        courses.create(replace(card, **changes))

    assert refused.value.field == field
    assert not Course.objects.exists()


def test_the_history_of_a_roast_can_be_told(roast: Roast) -> None:
    add_readings(roast, Sent(data=LOG, file_name="march.csv"))
    entries = tell(ChangeEntry.objects.all())

    assert [entry.what for entry in entries] == ["readings added", "written down"]
    assert {entry.name for entry in entries} == {"Roast 1, Marsh Farm"}
    assert {entry.address for entry in entries} == {f"/roasts/{roast.public_id}/"}
