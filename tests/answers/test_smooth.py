"""Will it be smooth: five words against the aim, times with ranges, no forecast below what a kit reaches."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from nibsmith.answers.answer import Answer, Verdict
from nibsmith.answers.context import Context
from nibsmith.answers.pour import pour
from nibsmith.answers.process import (
    Process,
    aim_of,
    readings_since,
    use_of,
)
from nibsmith.answers.process_sizes import sizes_of
from nibsmith.answers.smooth import grind_curve, smooth
from nibsmith.science.errors import InputError
from nibsmith.science.flow import Use
from nibsmith.science.grind import Aim, Grinding, KitSpeed, SizeReading
from nibsmith.science.kit import kit
from nibsmith.science.mixture import Form, Grind, Recipe, Span, Stage, part

STONE = Context(kit=kit("stone"))
BLENDER = Context(kit=kit("blender"))
DARK = Recipe("dark", Form.BAR, (part("cocoa_nibs_roasted", 1050.0), part("sugar_granulated", 450.0)))
POWDERED = Recipe("powdered", Form.BAR, (part("cocoa_mass", 700.0), part("sugar_powdered", 300.0)))


def with_process(context: Context, **changes: object) -> Context:
    return replace(context, process=replace(context.process or Process(), **changes))  # type: ignore[arg-type]


def sized(low: float, high: float, context: Context = STONE, **changes: object) -> Context:
    span = Span(low, (low + high) / 2, high)
    return with_process(context, cocoa_d90_um=span, sugar_d90_um=span, **changes)


def words(answer: Answer) -> str:
    said = (answer.word, answer.sentence, *answer.reasons, *(one.sentence for one in answer.remedies))
    return " ".join(said).replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("low", "high", "word"),
    [
        (16.0, 20.0, "Very smooth."),
        (22.0, 28.0, "Smooth."),
        (32.0, 38.0, "Just noticeable."),
        (45.0, 55.0, "Grainy."),
        (80.0, 120.0, "Rustic."),
    ],
)
def test_each_size_has_its_word(low: float, high: float, word: str) -> None:
    assert smooth(DARK, sized(low, high, aim=Aim.MELTING)).word == word


@pytest.mark.parametrize(
    ("aim", "verdicts"),
    [
        (Aim.MELTING, [Verdict.GOOD, Verdict.WATCH, Verdict.WATCH]),
        (Aim.STONE_GROUND, [Verdict.GOOD, Verdict.GOOD, Verdict.WATCH]),
        (Aim.RUSTIC, [Verdict.GOOD, Verdict.GOOD, Verdict.GOOD]),
    ],
)
def test_the_verdict_is_relative_to_the_aim(aim: Aim, verdicts: list[Verdict]) -> None:
    found = [smooth(DARK, sized(low, low + 5, aim=aim)).verdict for low in (20.0, 45.0, 90.0)]

    assert found == verdicts


def test_good_needs_seven_chances_in_ten() -> None:
    """29 µm in the middle is under 30, but with ends of 15 and 60 it is not so often enough."""
    wide = with_process(
        STONE, aim=Aim.MELTING, cocoa_d90_um=Span(15.0, 29.0, 60.0), sugar_d90_um=Span(15.0, 29.0, 60.0)
    )

    answer = smooth(DARK, wide)

    assert answer.verdict is Verdict.WATCH
    assert answer.word == "Not surely."


def test_the_coarser_of_cocoa_and_sugar_decides() -> None:
    coarse_sugar = with_process(
        STONE, cocoa_d90_um=Span(18.0, 20.0, 22.0), sugar_d90_um=Span(50.0, 55.0, 58.0)
    )
    coarse_cocoa = with_process(
        STONE, cocoa_d90_um=Span(50.0, 55.0, 58.0), sugar_d90_um=Span(18.0, 20.0, 22.0)
    )

    assert smooth(DARK, coarse_sugar).figure == smooth(DARK, coarse_cocoa).figure == 55.0


def test_a_kit_leaves_what_it_reaches_and_the_answer_says_so() -> None:
    answer = smooth(DARK, STONE)

    assert answer.verdict is Verdict.GOOD
    assert "as a kit like yours usually leaves them: 15–30 µm" in words(answer)
    assert answer.low is not None
    assert answer.high is not None
    assert 15 <= answer.low < answer.figure < answer.high <= 30  # type: ignore[operator]


def test_without_a_kit_a_stone_grinder_is_taken_and_said() -> None:
    assert "No kit is chosen" in words(smooth(DARK, Context()))


@pytest.mark.parametrize("key", ["mortar", "blender", "stick_blender", "hand_mill"])
def test_a_coarse_kit_does_not_get_to_melting_smooth_and_gives_no_time(key: str) -> None:
    answer = smooth(DARK, with_process(Context(kit=kit(key)), aim=Aim.MELTING))

    assert answer.verdict is Verdict.UNKNOWN
    assert answer.word == "This kit does not get there."
    assert "Unknown when" in answer.sentence
    assert not re.search(r"comes to 30 µm after", words(answer))


def test_without_an_aim_the_smoothest_that_the_kit_reaches_is_taken() -> None:
    assert aim_of(STONE) is Aim.MELTING
    assert aim_of(BLENDER) is Aim.RUSTIC
    assert aim_of(with_process(BLENDER, aim=Aim.MELTING)) is Aim.MELTING
    assert smooth(POWDERED, BLENDER).verdict is Verdict.GOOD
    assert "what such a kit leaves" in words(smooth(POWDERED, BLENDER))


@pytest.mark.parametrize("key", ["blender", "stick_blender"])
@pytest.mark.parametrize("aim", [None, Aim.RUSTIC])
def test_sugar_that_blades_leave_whole_is_never_good_and_is_to_be_milled_first(
    key: str, aim: Aim | None
) -> None:
    answer = smooth(DARK, with_process(Context(kit=kit(key)), aim=aim))

    assert answer.figure == 500.0
    assert (answer.verdict, answer.word) == (Verdict.WATCH, "The sugar stays whole.")
    assert "blender" in answer.sentence
    assert "does not grind granulated sugar: its crystals stay at 400–600 µm and crunch" in words(answer)
    (milled,) = answer.remedies
    assert "Mill the sugar to powder" in milled.sentence
    assert milled.checked
    assert smooth(POWDERED, BLENDER).figure == 100.0


@pytest.mark.parametrize("key", ["mortar", "hand_mill", "stone", "ball_mill", "roll_refiner"])
def test_a_kit_that_grinds_sugar_is_judged_by_what_it_reaches(key: str) -> None:
    answer = smooth(DARK, Context(kit=kit(key)))

    assert answer.verdict is Verdict.GOOD
    assert answer.figure == pytest.approx(np.sqrt(np.prod(kit(key).size_um)))
    assert "granulated" not in words(answer)


def test_sugar_read_as_fine_as_blades_get_is_no_longer_whole() -> None:
    """A blender reaches 200 µm; what is read over it is the sugar, however rough the aim."""
    fine, coarse = (
        with_process(BLENDER, aim=Aim.RUSTIC, sugar_d90_um=Span(size - 20, size, size + 20))
        for size in (190.0, 300.0)
    )

    assert smooth(DARK, fine).verdict is Verdict.GOOD
    assert smooth(DARK, coarse).verdict is Verdict.WATCH
    assert "280–320 µm" in words(smooth(DARK, coarse))


def test_an_aim_out_of_reach_still_says_what_becomes_of_the_sugar() -> None:
    answer = smooth(DARK, with_process(BLENDER, aim=Aim.MELTING))

    assert answer.verdict is Verdict.UNKNOWN
    assert "does not grind granulated sugar" in words(answer)


def test_sugar_left_whole_on_purpose_is_named_and_not_counted() -> None:
    nibs, sugar = DARK.parts
    on_purpose = Recipe("r", Form.BAR, (nibs, replace(sugar, grind=Grind.COARSE)))
    answer = smooth(on_purpose, BLENDER)

    assert answer.verdict is Verdict.GOOD
    assert answer.figure == pytest.approx(np.sqrt(80 * 200))
    assert "Granulated sugar left coarse on purpose is not counted" in words(answer)
    assert not answer.remedies


def test_milling_the_sugar_is_offered_where_it_helps() -> None:
    mass = Recipe("r", Form.BAR, (part("cocoa_mass", 700.0), part("sugar_granulated", 300.0)))
    aimed = with_process(Context(kit=replace(kit("blender"), size_um=(20.0, 60.0))), aim=Aim.STONE_GROUND)

    assert smooth(mass, aimed).verdict is not Verdict.GOOD
    assert smooth(mass, aimed).remedies == ()  # powder of 60 to 150 µm is still too coarse for that
    rougher = with_process(BLENDER, aim=Aim.RUSTIC, sugar_d90_um=Span(650.0, 700.0, 750.0))
    (milled,) = smooth(mass, rougher).remedies
    assert milled.checked
    assert "Mill the sugar to powder" in milled.sentence


LAW = Grinding(500.0, 0.0014)


def read(*hours: float, count: int = 5) -> tuple[SizeReading, ...]:
    return tuple(SizeReading(hour, LAW.size_at(hour), count) for hour in hours)


def test_readings_tell_where_it_is_and_when_it_is_ready() -> None:
    answer = smooth(DARK, with_process(STONE, readings=read(6.0, 12.0)))

    assert answer.verdict is Verdict.WATCH
    assert answer.figure == pytest.approx(LAW.size_at(12.0), rel=0.08)
    ready = float(re.search(r"comes to 30 µm after about ([\d.]+) h", words(answer)).group(1))  # type: ignore[union-attr]
    assert ready == pytest.approx(LAW.hours_to(30.0), rel=0.12)


def test_grinding_on_as_long_as_it_says_makes_it_good_and_a_tenth_less_does_not() -> None:
    context = with_process(STONE, readings=read(6.0, 12.0))
    (remedy,) = smooth(DARK, context).remedies
    hours = float(re.search(r"([\d.]+) h from", remedy.sentence.replace("\u00a0", " ")).group(1))  # type: ignore[union-attr]

    assert remedy.checked
    assert smooth(DARK, with_process(context, hours=hours)).verdict is Verdict.GOOD
    assert smooth(DARK, with_process(context, hours=12 + (hours - 12) * 0.9)).verdict is Verdict.WATCH


def test_what_has_been_reached_is_told_in_the_past() -> None:
    answer = smooth(DARK, with_process(STONE, readings=read(10.0, 30.0)))

    assert answer.verdict is Verdict.GOOD
    assert "It came to 30 µm" in words(answer)


def test_near_the_floor_of_a_kit_readings_are_said_to_slow_down() -> None:
    assert "floor" in words(smooth(DARK, with_process(STONE, readings=read(20.0, 30.0))))


def test_single_readings_are_said_to_be_rough() -> None:
    assert "5 µm either way" in words(smooth(DARK, with_process(STONE, readings=read(6.0, 12.0, count=1))))
    assert "5 µm either way" not in words(smooth(DARK, with_process(STONE, readings=read(6.0, 12.0))))


def test_readings_that_rise_are_questioned_by_both_answers() -> None:
    rising = with_process(STONE, readings=(SizeReading(6.0, 40.0, 3), SizeReading(14.0, 60.0, 3)))

    for answer in (smooth(DARK, rising), pour(DARK, rising)):
        assert answer.verdict is Verdict.UNKNOWN
        assert "coarser than one before" in answer.sentence


def test_a_stalled_grinding_is_called_what_the_table_reads() -> None:
    stuck = (SizeReading(24.0, 40.0, 5), SizeReading(48.0, 38.0, 5), SizeReading(72.0, 37.0, 5))
    answer = smooth(DARK, with_process(STONE, readings=stuck))

    assert (answer.verdict, answer.word) == (Verdict.WATCH, "Just noticeable.")
    assert answer.low <= 37.0 <= answer.high  # type: ignore[operator]
    assert "unknown: it has stalled at about 38 µm" in words(answer)
    assert "how the grinder is set" in words(answer)
    assert not answer.remedies  # longer does not help
    assert "37–40 µm at the last reading" in words(pour(DARK, with_process(STONE, readings=stuck)))


def test_readings_that_cannot_be_of_one_grinding_are_no_figure() -> None:
    sudden = (SizeReading(9.0, 100.0, 9), SizeReading(24.0, 40.0, 9), SizeReading(26.0, 15.0, 9))

    for answer in (
        smooth(DARK, with_process(STONE, readings=sudden)),
        pour(DARK, with_process(STONE, readings=sudden)),
    ):
        assert answer.verdict is Verdict.UNKNOWN
        assert "no longer falls as the law" in answer.sentence


def test_hours_that_are_planned_count_where_nothing_was_read() -> None:
    """By hand: 1500 g, of 1225 g that such a kit usually holds: 0.00114 an hour; 1/(1/500 + 0.00114·t)."""
    found = [smooth(DARK, with_process(STONE, hours=hours)) for hours in (1.0, 12.0, 60.0)]

    expected = [1 / (1 / 500 + 0.0014 * np.sqrt(500 * 3000) / 1500 * hours) for hours in (1.0, 12.0)]
    assert [answer.figure for answer in found[:2]] == pytest.approx(expected, rel=0.05)
    assert [answer.verdict for answer in found] == [Verdict.WATCH, Verdict.WATCH, Verdict.GOOD]
    assert "After 1 h the largest grains are about" in words(found[0])
    assert 15 <= found[2].figure <= 30  # type: ignore[operator]
    coarse, fine = (pour(DARK, with_process(STONE, hours=hours)) for hours in (1.0, 60.0))
    assert coarse.figure > fine.figure  # type: ignore[operator]  # coarse cocoa holds its butter back


def test_what_was_only_loaded_is_neither_smooth_nor_does_it_pour() -> None:
    for answer in (smooth(DARK, with_process(STONE, hours=0.0)), pour(DARK, with_process(STONE, hours=0.0))):
        assert answer.verdict is Verdict.UNKNOWN
        assert "Nothing was ground or read" in answer.sentence


def test_the_charge_counts_where_nothing_was_read() -> None:
    small, large, too_much = (
        smooth(DARK.scaled(grams), with_process(STONE, hours=20.0)) for grams in (600.0, 2900.0, 100_000.0)
    )

    assert small.figure < 30 < large.figure  # type: ignore[operator]
    assert too_much.verdict is Verdict.UNKNOWN
    assert "such a charge is not known" in too_much.sentence
    assert "500 g to" in words(too_much)


def test_a_kit_of_unknown_speed_is_not_foretold_before_its_usual_end() -> None:
    mill = Context(kit=kit("hand_mill"))

    early, late = (smooth(DARK, with_process(mill, hours=hours)) for hours in (0.1, 1.0))
    assert early.verdict is Verdict.UNKNOWN
    assert "not known yet" in early.sentence
    assert late.figure == smooth(DARK, mill).figure
    read_once = (SizeReading(0.3, 300.0, 5),)
    assert smooth(DARK, with_process(mill, readings=read_once)).figure == 300.0
    assert smooth(DARK, with_process(mill, readings=read_once, hours=1.0)).verdict is Verdict.UNKNOWN


def test_a_kit_of_unknown_speed_needs_two_readings() -> None:
    mill = Context(kit=kit("hand_mill"))

    assert "two readings, and the time is forecast" in words(smooth(DARK, mill))
    with pytest.raises(InputError):
        grind_curve(DARK, mill)
    twice = with_process(mill, readings=(SizeReading(0.2, 300.0, 5), SizeReading(0.6, 200.0, 5)))
    assert grind_curve(DARK, twice).reading_um.tolist() == [300.0, 200.0]


def test_whose_speed_a_forecast_goes_by_is_said() -> None:
    known = KitSpeed(Span(0.0012, 0.0014, 0.0016), 1500.0, 4)

    assert "as such kits go" in words(smooth(DARK, STONE))
    assert "by 4 batches of your kit" in words(smooth(DARK, with_process(STONE, speed=known)))
    assert "From there to 30 µm" in words(smooth(DARK, sized(40.0, 50.0, speed=known)))


def test_a_larger_charge_takes_longer() -> None:
    known = KitSpeed(Span(0.0012, 0.0014, 0.0016), 1500.0, 4)
    small, large = (
        grind_curve(DARK.scaled(grams), with_process(STONE, speed=known)) for grams in (1500.0, 3000.0)
    )

    assert small.ready is not None
    assert large.ready is not None
    assert large.ready.value == pytest.approx(2 * small.ready.value, rel=0.05)


def test_the_curve_falls_to_the_floor_and_goes_through_its_readings() -> None:
    curve = grind_curve(DARK, with_process(STONE, readings=read(6.0, 12.0, 18.0)))

    assert (np.diff(curve.middle) <= 0).all()
    assert (curve.low <= curve.middle).all()
    assert (curve.middle <= curve.high).all()
    assert curve.middle[-1] >= curve.floor_um == 15.0
    at_reading = np.interp(curve.reading_hours, curve.hours, curve.middle)
    assert at_reading == pytest.approx(curve.reading_um, rel=0.1)
    assert curve.ready is not None
    assert curve.hours[-1] >= curve.ready.high


def test_a_curve_to_what_the_kit_does_not_reach_has_no_ready_time() -> None:
    mill = with_process(
        Context(kit=kit("hand_mill")),
        aim=Aim.MELTING,
        readings=(SizeReading(0.2, 300.0, 5), SizeReading(0.6, 200.0, 5)),
    )

    assert grind_curve(DARK, mill).ready is None


def test_the_ceiling_is_that_of_the_kind_of_mass() -> None:
    milk = Recipe(
        "m",
        Form.BAR,
        (
            part("cocoa_mass", 200.0),
            part("cocoa_butter", 200.0),
            part("sugar_granulated", 400.0),
            part("milk_powder_whole", 250.0),
        ),
    )

    assert "under 50 °C" in words(smooth(DARK, BLENDER))
    assert "under 45 °C" in words(smooth(milk, BLENDER))
    assert "K a minute" in words(smooth(milk, BLENDER))
    assert "K a minute" not in words(smooth(milk, STONE))


def test_over_ground_sends_the_maker_to_the_flow() -> None:
    assert "see whether it pours" in words(smooth(DARK, sized(11.0, 13.0)))


def test_what_is_left_coarse_on_purpose_is_named_and_not_counted() -> None:
    left = Recipe("r", Form.BAR, (*DARK.parts, part("cinnamon", 3.0, grind=Grind.COARSE)))

    assert "left coarse on purpose is not counted" in words(smooth(left, STONE))
    assert smooth(left, STONE).figure == smooth(DARK, STONE).figure


def test_pieces_folded_in_do_not_count() -> None:
    nutty = Recipe("r", Form.BAR, (*DARK.parts, part("hazelnut", 300.0, stage=Stage.FOLDED_IN)))

    assert smooth(nutty, STONE).figure == smooth(DARK, STONE).figure


def test_nothing_in_the_machine_is_unknown() -> None:
    only_nuts = Recipe("r", Form.BAR, (part("hazelnut", 30.0, stage=Stage.FOLDED_IN),))

    assert smooth(only_nuts, with_process(STONE, readings=read(6.0))).verdict is Verdict.UNKNOWN


def test_the_widest_input_is_named() -> None:
    assert "what your kit really reaches" in words(smooth(DARK, STONE))
    assert "the size itself" in words(smooth(DARK, sized(20.0, 28.0)))
    assert "how fast your kit grinds" in words(smooth(DARK, with_process(STONE, readings=read(12.0))))


def test_one_typed_size_leaves_the_other_to_the_kit() -> None:
    sizes = sizes_of(DARK, with_process(STONE, cocoa_d90_um=Span(18.0, 20.0, 22.0)))

    assert sizes.cocoa.value == 20.0
    assert (sizes.sugar.low, sizes.sugar.high) == (15.0, 30.0)
    assert "as you say" in sizes.said


def test_readings_before_the_last_coarse_addition_tell_nothing_of_it() -> None:
    since = readings_since([(20.0, 30.0, 3), (4.0, 90.0, 1), (12.0, 60.0, 1)], 10.0)

    assert [(one.hours, one.size_um) for one in since] == [(2.0, 60.0), (10.0, 30.0)]


def test_the_use_is_as_said() -> None:
    assert use_of(DARK, with_process(STONE, use=Use.HAND)) is Use.HAND
    assert use_of(DARK, STONE) is Use.BARS


def test_the_flow_takes_its_sizes_from_the_same_readings() -> None:
    finer = pour(DARK, with_process(STONE, readings=read(10.0, 30.0)))

    assert "by your readings" in words(smooth(DARK, with_process(STONE, readings=read(10.0, 30.0))))
    assert "at the last reading" in words(finer)


def test_butter_alone_has_no_grains_to_judge() -> None:
    butter = Recipe("butter", Form.BAR, (part("cocoa_butter", 100.0),))
    answer = smooth(butter, Context())
    assert (answer.verdict, answer.word, answer.figure) == (Verdict.GOOD, "Nothing to grind.", None)
    assert smooth(replace(butter, parts=(*butter.parts, part("salt_sea", 0.2))), Context()).figure is not None
