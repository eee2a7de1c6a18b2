"""When a bar comes off: verdicts, ranges, remedies, the room's damp, and the full form of snap."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from nibsmith.answers._cooling_after import load_of
from nibsmith.answers._cooling_estimate import cooled_case
from nibsmith.answers.answer import Answer, Verdict
from nibsmith.answers.context import Context
from nibsmith.answers.cooling import Cooling
from nibsmith.answers.demould import bar_picture, demould, nearest_good_air, verdict_of
from nibsmith.answers.process import Process
from nibsmith.answers.snap import snap
from nibsmith.answers.wording import NO_BREAK
from nibsmith.science.cool import cool_bar, released
from nibsmith.science.mixture import Form, Kind, Recipe, Span, own_ingredient, part

BAR = Recipe(
    "bar", Form.BAR, (part("cocoa_mass", 65.0), part("cocoa_butter", 5.0), part("sugar_granulated", 30.0))
)
USUAL = Cooling(thickness_mm=Span.exactly(8.0), air_celsius=Span.exactly(12.0))
COLD = Cooling(thickness_mm=Span.exactly(3.0), air_celsius=Span.exactly(4.0), wind="fan")
WARM = Cooling(thickness_mm=Span.exactly(8.0), air_celsius=Span.exactly(17.0))


def here(cooling: Cooling | None) -> Context:
    return Context(process=Process(cooling=cooling))


def said(answer: Answer) -> str:
    return " ".join(answer.reasons).replace(NO_BREAK, " ")


def test_a_usual_bar_comes_off_and_the_range_holds_the_figure() -> None:
    answer = demould(BAR, here(USUAL))

    assert answer.verdict is Verdict.GOOD
    assert answer.low < answer.figure < answer.high  # type: ignore[operator]
    assert "not calibrated to your kit" in said(answer)


def test_the_middle_is_what_the_adaptive_solver_finds() -> None:
    case = cooled_case(BAR, here(USUAL))
    bar = case.bars({})

    assert case.minutes == pytest.approx(released(cool_bar(bar, 120, 60), bar).minutes[0], abs=0.3)


def test_what_is_not_said_is_taken_and_named() -> None:
    answer = demould(BAR, here(None))

    assert "Taken as usual" in said(answer)
    assert "6–12 mm of thickness" in said(answer)
    assert "Taken as usual" not in said(demould(BAR, here(replace(USUAL, poured_celsius=Span.exactly(31.5)))))


def test_a_thin_shell_in_a_cold_fan_is_a_watch_for_its_low_forms() -> None:
    answer = demould(BAR, here(COLD))

    assert answer.verdict is Verdict.WATCH
    assert "low forms" in answer.sentence


def test_a_cabinet_too_warm_keeps_the_bar() -> None:
    answer = demould(BAR, here(WARM))

    assert answer.verdict is Verdict.STOP
    assert (answer.figure, answer.low, answer.high) == (None, None, None)
    assert "core to cool" in answer.sentence


@pytest.mark.parametrize("cooling", [COLD, WARM])
def test_after_the_remedy_it_is_good_and_with_a_tenth_less_it_is_not(cooling: Cooling) -> None:
    (remedy,) = demould(BAR, here(cooling)).remedies
    assert remedy.checked

    case = cooled_case(BAR, here(cooling))
    good = nearest_good_air(case)
    assert good is not None
    assert f"{good:.1f}".removesuffix(".0") in remedy.sentence
    now = cooling.air_celsius.value  # type: ignore[union-attr]
    assert verdict_of(case.at_air(good)) is Verdict.GOOD
    assert verdict_of(case.at_air(now + 0.9 * (good - now))) is not Verdict.GOOD


def test_a_good_answer_has_no_remedy() -> None:
    assert demould(BAR, here(USUAL)).remedies == ()


def test_untempered_is_a_choice_and_says_what_to_expect() -> None:
    answer = demould(BAR, here(replace(USUAL, tempered=False)))

    assert answer.word == "As you choose."
    assert answer.verdict is Verdict.WATCH
    assert "soft, dull" in said(answer)
    assert answer.remedies == ()


@pytest.mark.parametrize(
    ("room", "humidity", "words"), [(None, None, "cannot be told"), (20.0, 30.0, "dry enough")]
)
def test_the_room_is_asked_for_and_answered(room: float | None, humidity: float | None, words: str) -> None:
    answer = demould(BAR, here(replace(USUAL, room_celsius=room, room_humidity_percent=humidity)))

    assert words in said(answer)
    assert answer.verdict is Verdict.GOOD


@pytest.mark.parametrize(
    ("room", "humidity", "words"),
    [(22.0, 60.0, "where the room's air is at"), (26.0, 75.0, "under the dew point of the room")],
)
def test_a_damp_room_is_a_watch_in_the_sentence_with_the_ways_out(
    room: float, humidity: float, words: str
) -> None:
    plain = demould(BAR, here(USUAL))
    answer = demould(BAR, here(replace(USUAL, room_celsius=room, room_humidity_percent=humidity)))

    assert (plain.verdict, answer.verdict) == (Verdict.GOOD, Verdict.WATCH)
    assert words in answer.sentence
    assert (answer.figure, answer.low, answer.high) == (plain.figure, plain.low, plain.high)
    assert [one.checked for one in answer.remedies] == [True, True]
    wrapped, dried = (one.sentence.replace(NO_BREAK, " ") for one in answer.remedies)
    assert "wrapped or closed in" in wrapped
    dry = float(re.search(r"dry the room to (\d+)", dried).group(1))  # type: ignore[union-attr]
    again = demould(BAR, here(replace(USUAL, room_celsius=room, room_humidity_percent=dry)))
    assert again.verdict is Verdict.GOOD


FEW = replace(USUAL, moulds=1, chocolate_g=300.0, mould_g=150.0)


def test_moulds_that_the_fridge_copes_with_change_nothing() -> None:
    plain, few = demould(BAR, here(USUAL)), demould(BAR, here(FEW))

    assert "kJ" in said(few)
    assert (few.verdict, few.figure, few.low, few.high) == (
        Verdict.GOOD,
        plain.figure,
        plain.low,
        plain.high,
    )


@pytest.mark.parametrize("cooling", [replace(USUAL, moulds=12), replace(USUAL, mould_g=150.0)])
def test_moulds_of_unknown_weight_are_said_not_to_be_counted(cooling: Cooling) -> None:
    words = "What the moulds ask of the fridge is not counted"

    assert words in demould(BAR, here(cooling)).sentence
    assert words not in demould(BAR, here(USUAL)).sentence
    assert words not in demould(BAR, here(replace(FEW, moulds=2))).sentence


def test_empty_moulds_of_which_no_weight_is_said_are_said_to_weigh_nothing() -> None:
    words = "The moulds themselves count as weightless"
    without, with_weight = (
        demould(BAR, here(replace(FEW, mould_g=mould_g))).sentence for mould_g in (None, 250.0)
    )

    assert words in without
    assert words not in with_weight


def test_moulds_that_warm_the_fridge_take_as_long_as_it_carries_off_their_heat() -> None:
    """Q = m·(c·dT + L) + m_m·c_m·dT_m, over 60 (40 to 100) W, by hand."""
    many = replace(FEW, moulds=30)
    case = cooled_case(BAR, here(many))
    core = float(case.central.core[0])
    joules = 30 * (0.3 * (1590 * (31.5 - core) + 46_000) + 0.15 * 1200 * (20 - core))

    answer = demould(BAR, here(many))

    assert answer.verdict is Verdict.WATCH
    assert (answer.low, answer.figure, answer.high) == pytest.approx(
        tuple(joules / watts / 60 for watts in (100, 60, 40)), rel=1e-3
    )
    assert "30 moulds at once give" in answer.sentence
    assert "how much heat your fridge takes up" in said(answer)
    picture = bar_picture(BAR, here(many))
    assert (picture.released, picture.held_up) == (case.minutes, True)
    assert not bar_picture(BAR, here(FEW)).held_up


def test_milk_chocolate_gives_a_fridge_its_own_heat_of_setting() -> None:
    """Beckett, constants: 46 J/g for dark, 44 J/g for milk chocolate."""
    milk = replace(
        BAR,
        parts=(
            part("milk_powder_whole", 200.0),
            part("sugar_granulated", 400.0),
            part("cocoa_butter", 200.0),
            part("cocoa_mass", 200.0),
        ),
    )
    many = replace(FEW, moulds=30)

    heats = [load_of(cooled_case(bar, here(many))) for bar in (BAR, milk)]

    assert [heat.latent / (30 * 300) for heat in heats if heat] == pytest.approx([46, 44])


def test_by_turns_the_fridge_copes_and_one_more_at_a_time_is_too_many() -> None:
    many = replace(FEW, moulds=30)
    (remedy,) = demould(BAR, here(many)).remedies
    assert remedy.checked
    turn = int(re.search(r"by turns, (\d+) at a time", remedy.sentence).group(1))  # type: ignore[union-attr]

    assert demould(BAR, here(replace(many, moulds=turn))).verdict is Verdict.GOOD
    assert demould(BAR, here(replace(many, moulds=turn + 1))).verdict is Verdict.WATCH


def test_a_stronger_machine_takes_more_moulds() -> None:
    assert demould(BAR, here(replace(FEW, moulds=30, power_w=20_000.0))).verdict is Verdict.GOOD
    weak = demould(BAR, here(replace(FEW, moulds=30, power_w=60.0)))
    assert weak.low == pytest.approx(weak.figure)
    assert "more than your fridge takes up" in weak.sentence


def test_what_widens_the_range_agrees_with_varying_one_at_a_time() -> None:
    case = cooled_case(BAR, here(replace(USUAL, thickness_mm=Span(4.0, 8.0, 16.0))))

    assert max(case.shares, key=lambda name: case.shares[name]) == "thickness_mm"
    assert "What widens the range most is the thickness" in said(
        demould(BAR, here(replace(USUAL, thickness_mm=Span(4.0, 8.0, 16.0))))
    )
    assert sum(case.shares.values()) == pytest.approx(1)


def test_more_draws_hardly_move_the_range() -> None:
    from nibsmith.science.numerics.quasi import quasi_drawn

    case = cooled_case(BAR, here(None))
    many = case._released(quasi_drawn(case.varies, 2048))

    few_ends, many_ends = case.range_of(case.draws.minutes), case.range_of(many.minutes)
    assert few_ends == pytest.approx(many_ends, rel=0.03)


def test_the_same_question_gets_the_same_answer() -> None:
    assert demould(BAR, here(USUAL)) == demould(BAR, here(USUAL))


def test_settings_side_by_side_get_longer_with_warmer_air() -> None:
    (table,) = (one for one in demould(BAR, here(USUAL)).details if one.title == "Which setting")
    minutes = [int(row[1].split(NO_BREAK)[0]) for row in table.rows if "min" in row[1]]

    assert minutes == sorted(minutes)
    assert [row[1] for row in table.rows][-1] == "stays in"


@pytest.mark.parametrize(
    ("cooling", "words"),
    [
        (replace(USUAL, wind="hurricane"), "still, fan, strong"),
        (replace(USUAL, air_celsius=Span.exactly(-18.0)), "got −18 °C (−0.4 °F), limit 0 to 24 °C"),
        (replace(USUAL, poured_celsius=Span.exactly(40.0)), "loses its seeds"),
        (replace(USUAL, moulds=0), "cannot be (got 0)"),
        (replace(USUAL, chocolate_g=-5.0), "So much chocolate in a mould cannot be (got −5)"),
        (
            replace(USUAL, room_celsius=20.0, room_humidity_percent=140.0),
            "Such a humidity cannot be (got 140)",
        ),
        (replace(USUAL, room_celsius=200.0, room_humidity_percent=40.0), "got 200 °C"),
        (replace(USUAL, thickness_mm=Span.exactly(80.0)), "got 80 mm, limit 1 to 30 mm"),
    ],
)
def test_outside_the_model_it_is_unknown_because(cooling: Cooling, words: str) -> None:
    answer = demould(BAR, here(cooling))

    assert answer.verdict is Verdict.UNKNOWN
    assert words in answer.sentence.replace(NO_BREAK, " ")
    assert answer.sentence.startswith("When it comes off the mould cannot be told.")


def test_too_little_cocoa_butter_is_unknown() -> None:
    oil = own_ingredient("Oil", Kind.OTHER_FOOD, {"water_g": 0.0, "fat_g": 100.0})
    spread = Recipe(
        "spread", Form.BAR, (part("cocoa_mass", 20.0), part(oil, 30.0), part("sugar_granulated", 50.0))
    )

    assert demould(spread, here(USUAL)).verdict is Verdict.UNKNOWN


def test_filled_bars_are_taken_as_shells() -> None:
    shell = replace(BAR, form=Form.FILLED)

    assert cooled_case(shell, here(None)).thickness_mm.value < cooled_case(BAR, here(None)).thickness_mm.value


def test_the_picture_is_the_course_of_the_middle() -> None:
    picture = bar_picture(BAR, here(USUAL))

    assert picture.released == cooled_case(BAR, here(USUAL)).minutes
    assert (picture.core >= picture.top - 1e-6).all()
    assert (picture.top[1:] > picture.air_celsius).all()
    assert (picture.alpha + picture.beta_prime + picture.beta <= 1).all()
    assert np.isfinite(picture.at_rest).all()


def test_snap_tells_of_the_mould_only_where_cooling_is_told() -> None:
    short, full = snap(BAR, Context()), snap(BAR, here(USUAL))

    assert "comes off" not in short.sentence
    assert full.sentence.startswith(short.sentence)
    assert "comes off after about" in full.sentence
    assert (full.figure, full.verdict) == (short.figure, short.verdict)


@pytest.mark.parametrize(
    ("cooling", "words"),
    [(USUAL, "Tempered, it comes off after about"), (WARM, "Tempered, 8 mm thick, at 17")],
)
def test_the_time_of_a_drinking_tablet_is_said_to_be_that_of_a_tempered_one(
    cooling: Cooling, words: str
) -> None:
    tablet = replace(BAR, form=Form.DRINKING)

    assert words in snap(tablet, here(cooling)).sentence.replace(NO_BREAK, " ")
    assert "Tempered," not in snap(tablet, here(replace(cooling, tempered=False))).sentence
    assert "Tempered," not in snap(BAR, here(cooling)).sentence


@pytest.mark.parametrize("tempered", [True, False])
def test_a_drinking_tablet_that_comes_off_dull_is_as_it_may_be(tempered: bool) -> None:
    cold = here(replace(COLD, tempered=tempered))
    bar, tablet = snap(BAR, cold), snap(replace(BAR, form=Form.DRINKING), cold)

    assert (bar.verdict, bar.word) == (
        Verdict.WATCH,
        "Comes off dull." if tempered else "As you choose.",
    )
    assert (tablet.verdict, tablet.word) == (Verdict.GOOD, "As you choose.")


def test_a_drinking_tablet_that_gets_damp_or_stays_in_is_told_so() -> None:
    tablet = replace(BAR, form=Form.DRINKING)
    damp = snap(tablet, here(replace(USUAL, room_celsius=24.0, room_humidity_percent=60.0)))
    stays = snap(tablet, here(WARM))

    assert (damp.verdict, damp.word) == (Verdict.WATCH, "Comes off damp.")
    assert (stays.verdict, stays.word) == (Verdict.WATCH, "Stays in.")


def test_a_tablet_of_which_the_mould_cannot_tell_is_called_neither() -> None:
    tablet = replace(BAR, form=Form.DRINKING)
    thick = replace(USUAL, thickness_mm=Span.exactly(80.0))

    assert "Tempered," not in snap(tablet, here(thick)).sentence


def test_a_bad_setting_makes_a_good_mass_a_watch_and_brings_its_remedy() -> None:
    full = snap(BAR, here(COLD))

    assert full.verdict is Verdict.WATCH
    assert re.search(r"Milder: at .* °C", full.remedies[0].sentence.replace(NO_BREAK, " "))


def test_a_mass_that_does_not_mould_is_not_cooled() -> None:
    lean = Recipe("lean", Form.BAR, (part("cocoa_mass", 40.0), part("sugar_granulated", 60.0)))

    assert snap(lean, here(USUAL)) == snap(lean, Context())


def test_the_makers_own_figure_of_the_air_is_used_and_said() -> None:
    usual = demould(BAR, here(replace(USUAL, place="Larder")))
    quick = demould(BAR, here(replace(USUAL, place="Larder", exchange=Span.exactly(16.0))))

    told = quick.sentence.replace(NO_BREAK, " ")
    assert "8 mm thick, at 12 °C (53.6 °F) in “Larder”, its air by your own figure." in told
    assert "still air" not in told + said(quick)
    assert "The air of “Larder” takes up 16 W/(m² K), your own figure." in said(quick)
    # [incropera-conduction] via the table of still air: 8, from 6 to 10.
    assert "The air of “Larder” takes up 8 (6–10) W/(m² K), as is usual for still air." in said(usual)
    assert quick.figure < usual.figure  # type: ignore[operator]
    assert "takes up" not in said(demould(BAR, here(USUAL)))


def test_the_usual_figure_said_as_ones_own_changes_nothing_but_the_words() -> None:
    usual = demould(BAR, here(USUAL))
    same = demould(BAR, here(replace(USUAL, exchange=Span(6.0, 8.0, 10.0))))

    assert (same.figure, same.low, same.high) == (usual.figure, usual.low, usual.high)
    assert len(same.sources) == len(usual.sources) - 1  # the table of the air is not cited


def test_air_that_takes_up_nothing_is_refused() -> None:
    answer = demould(BAR, here(replace(USUAL, exchange=Span.exactly(0.0))))

    assert answer.verdict is Verdict.UNKNOWN
    assert "the heat that the air takes up cannot be (got 0)" in answer.sentence


@pytest.mark.parametrize(
    ("butter", "words"),
    [(62.0, "only for masses of 28 to 45 % fat (got 62 %)"), (27.0, "28 to 45 % fat (got 27 %)")],
)
def test_a_mass_leaner_or_fatter_than_the_rates_are_meant_for_is_unknown(butter: float, words: str) -> None:
    mass = Recipe("m", Form.BAR, (part("cocoa_butter", butter), part("sugar_granulated", 100 - butter)))

    answer = demould(mass, here(USUAL))

    assert (answer.verdict, answer.figure) == (Verdict.UNKNOWN, None)
    assert words in answer.sentence


@pytest.mark.parametrize("butter", [28.0, 45.0])
def test_a_mass_on_its_bound_of_fat_is_told(butter: float) -> None:
    mass = Recipe("m", Form.BAR, (part("cocoa_butter", butter), part("sugar_granulated", 100 - butter)))

    assert demould(mass, here(USUAL)).figure is not None


def test_lots_beyond_the_bounds_of_fat_are_said_to_count_as_on_them() -> None:
    rich = Recipe("rich", Form.BAR, (part("cocoa_mass", 82.0), part("sugar_granulated", 18.0)))

    assert "Lots with fat beyond 28–45 % count as at its end" in said(demould(rich, here(USUAL)))
    assert "Lots with fat beyond" not in said(demould(BAR, here(USUAL)))


@pytest.mark.parametrize("coconut", ["coconut_oil", "coconut_milk_powder"])
def test_coconut_fat_is_unknown_and_no_bar_that_stays_in(coconut: str) -> None:
    soft = replace(BAR, parts=(*BAR.parts, part(coconut, 8.0)))

    answer = demould(soft, here(USUAL))

    assert answer.verdict is Verdict.UNKNOWN
    assert "Coconut fat sets in a way of its own" in answer.sentence


@pytest.mark.parametrize("thickness", [0.5, 31.0])
def test_a_thickness_outside_is_said_in_millimetres(thickness: float) -> None:
    answer = demould(BAR, here(replace(USUAL, thickness_mm=Span.exactly(thickness))))

    assert f"got {thickness:g} mm, limit 1 to 30 mm" in answer.sentence
