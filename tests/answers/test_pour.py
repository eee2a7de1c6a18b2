"""Will it pour: verdicts and words, remedies that do what they say and no more, where no figure is given."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nibsmith.answers.answer import Answer, Verdict
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.context import Context
from nibsmith.answers.pour import flow_curve, pour, pour_limit, predicted_flow
from nibsmith.answers.process import Process, SeenFlow
from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.flow import Calibration, Casson, Feel, Use, ViscometerReading, WordReading, calibrate
from nibsmith.science.kit import kit
from nibsmith.science.mixture import Form, Kind, Recipe, Span, Stage, own_ingredient, part

STONE = Context(kit=kit("stone"))
BLENDER = Context(kit=kit("blender"))


def bar(
    *parts: tuple[str, float], form: Form = Form.BAR, folded: tuple[tuple[str, float], ...] = ()
) -> Recipe:
    ground = tuple(part(key, mass) for key, mass in parts)
    pieces = tuple(part(key, mass, stage=Stage.FOLDED_IN) for key, mass in folded)
    return Recipe("bar", form, (*ground, *pieces))


GOOD = bar(("cocoa_nibs_roasted", 620.0), ("cocoa_butter", 80.0), ("sugar_granulated", 300.0))
THICK = bar(("cocoa_nibs_roasted", 550.0), ("sugar_granulated", 450.0))
JAMMED = bar(("cocoa_nibs_roasted", 400.0), ("sugar_granulated", 600.0))
MILK = bar(
    ("cocoa_mass", 150.0),
    ("cocoa_butter", 130.0),
    ("sugar_granulated", 400.0),
    ("milk_powder_whole", 250.0),
)


def with_process(context: Context, **changes: object) -> Context:
    return replace(context, process=replace(context.process or Process(), **changes))  # type: ignore[arg-type]


def words(answer: Answer) -> str:
    said = (answer.word, answer.sentence, *answer.reasons, *(one.sentence for one in answer.remedies))
    return " ".join(said).replace("\u00a0", " ")


def test_a_mass_with_butter_to_spare_pours() -> None:
    answer = pour(GOOD, STONE)

    assert answer.verdict is Verdict.GOOD
    assert answer.word == "Pours."
    assert answer.remedies == ()
    assert "31–32 °C" in words(answer)
    assert "ribbon" in answer.sentence


def test_a_lean_mass_is_too_thick_and_a_leaner_one_does_not_flow() -> None:
    assert pour(THICK, STONE).verdict is Verdict.WATCH
    stuck = pour(JAMMED, STONE)

    assert stuck.verdict is Verdict.STOP
    assert stuck.figure is None
    assert "does not flow" in stuck.word.lower()


@pytest.mark.parametrize(
    ("recipe", "celsius"),
    [
        (GOOD, "31–32 °C"),
        (
            bar(
                ("cocoa_mass", 200.0),
                ("cocoa_butter", 250.0),
                ("sugar_granulated", 350.0),
                ("milk_powder_whole", 230.0),
            ),
            "29–30 °C",
        ),
        (bar(("cocoa_butter", 340.0), ("sugar_granulated", 360.0), ("milk_powder_whole", 300.0)), "28–29 °C"),
    ],
)
def test_it_is_judged_tempered_at_the_working_temperature_of_its_kind(recipe: Recipe, celsius: str) -> None:
    answer = pour(recipe, STONE)

    assert celsius in answer.sentence.replace("\u00a0", " ")
    assert "tempered" in answer.basis


def test_both_quantities_are_told_with_their_limits() -> None:
    rows = pour(GOOD, STONE).details[0].rows

    assert [row[0] for row in rows][:2] == ["Stress at 5 1/s, Pa", "Viscosity at 40 1/s, Pa·s"]
    assert [row[3] for row in rows][:2] == ["98", "10"]


def test_without_calibration_the_range_is_no_better_than_a_factor_two() -> None:
    answer = pour(GOOD, STONE)

    assert answer.figure is not None
    assert answer.low is not None
    assert answer.high is not None
    assert answer.low < answer.figure / 2 * 1.1
    assert answer.high > answer.figure * 2
    assert "not calibrated to your kit" in words(answer)


def test_a_calibration_narrows_the_range_moves_the_figure_and_is_said() -> None:
    said = predicted_flow(GOOD, STONE)
    known = calibrate([ViscometerReading.of(said, said.times(1.5, 1.5))] * 8)

    plain, tuned = pour(GOOD, STONE), pour(GOOD, with_process(STONE, calibration=known))

    assert tuned.figure is not None
    assert plain.figure is not None
    assert tuned.figure / plain.figure == pytest.approx(1.5, rel=0.1)
    assert tuned.high / tuned.low < plain.high / plain.low  # type: ignore[operator]
    assert "Calibrated with 8 observations" in words(tuned)
    assert "not calibrated" not in words(tuned)


def test_a_kit_said_to_come_out_too_thick_is_judged_thicker() -> None:
    thick = calibrate([WordReading(predicted_flow(GOOD, STONE), Feel.TOO_THICK)] * 3)

    assert pour(GOOD, with_process(STONE, calibration=thick)).figure > pour(GOOD, STONE).figure  # type: ignore[operator]


def seen(recipe: Recipe, feel: Feel, use: Use = Use.BARS) -> SeenFlow:
    return SeenFlow("so after 40 h", WordReading(predicted_flow(recipe, STONE), feel, use), feel, use)


def test_what_the_maker_found_too_thick_is_never_called_good() -> None:
    answer = pour(GOOD, with_process(STONE, seen=(seen(GOOD, Feel.TOO_THICK),)))

    assert pour(GOOD, STONE).verdict is Verdict.GOOD
    assert (answer.verdict, answer.word) == (Verdict.WATCH, "Too thick, as you found.")
    assert "You found it so after 40 h" in answer.sentence
    assert "Brought to what you saw of this very mass: so after 40 h." in answer.reasons
    assert answer.figure > pour(GOOD, STONE).figure  # type: ignore[operator]
    assert flow_curve(GOOD, with_process(STONE, seen=(seen(GOOD, Feel.TOO_THICK),))).stress[0] > 0


@pytest.mark.parametrize("feel", [Feel.RIGHT, Feel.TOO_THIN])
def test_what_the_maker_found_to_pour_pours(feel: Feel) -> None:
    answer = pour(THICK, with_process(STONE, seen=(seen(THICK, feel),)))

    assert pour(THICK, STONE).verdict is Verdict.WATCH
    word = "Pours, as you found." if feel is Feel.RIGHT else "Pours, thinner than wanted."
    assert (answer.verdict, answer.word) == (Verdict.GOOD, word)
    assert not answer.remedies


@pytest.mark.parametrize(
    ("feel", "of", "use", "word", "rest"),
    [
        (Feel.TOO_THICK, Use.BARS, Use.BARS, "Too thick, as you found.", "."),
        (
            Feel.TOO_THICK,
            Use.BARS,
            Use.THIN_SHELLS,
            "Too thick, as you found.",
            ": so it is too thick for thin shells.",
        ),
        (Feel.RIGHT, Use.BARS, Use.BARS, "Pours, as you found.", "."),
        (
            Feel.RIGHT,
            Use.BARS,
            Use.HAND,
            "Pours, as you found.",
            ": so it is thin enough to spread by hand.",
        ),
        (
            Feel.TOO_THIN,
            Use.BARS,
            Use.BARS,
            "Pours, thinner than wanted.",
            ": it pours, and runs thinner than you want it.",
        ),
        (
            Feel.TOO_THIN,
            Use.BARS,
            Use.HAND,
            "Pours, as you found.",
            ": so it is thin enough to spread by hand.",
        ),
    ],
)
def test_the_words_for_what_was_found_speak_neither_against_it_nor_against_the_verdict(
    feel: Feel, of: Use, use: Use, word: str, rest: str
) -> None:
    answer = pour(GOOD, with_process(STONE, seen=(seen(GOOD, feel, of),), use=use))

    assert answer.word == word
    assert answer.sentence == f"You found it so after 40 h, and nothing went in since{rest}"
    assert (answer.verdict is Verdict.GOOD) == (feel is not Feel.TOO_THICK)


def test_what_the_maker_found_is_said_where_the_estimate_is_not_known() -> None:
    word = SeenFlow("too thick for bars after 40 h", None, Feel.TOO_THICK, Use.BARS)
    for context in (
        with_process(STONE, seen=(word,), hours=0.0),  # no size is known
        with_process(
            STONE, seen=(word,), temperature_celsius=Span.exactly(15.0)
        ),  # too cool for the estimate
    ):
        answer = pour(GOOD, context)
        assert answer.verdict is Verdict.UNKNOWN
        assert answer.sentence.endswith("You found it too thick for bars after 40 h.")


def test_the_last_word_holds_and_a_word_holds_for_uses_that_bear_no_more() -> None:
    thick, right = seen(GOOD, Feel.TOO_THICK), seen(GOOD, Feel.RIGHT)

    def found(use: Use, *words: SeenFlow) -> tuple[Verdict, bool]:
        answer = pour(GOOD, with_process(STONE, seen=words, use=use))
        return answer.verdict, "as you found" in answer.word

    assert found(Use.BARS, thick, right) == (Verdict.GOOD, True)
    assert found(Use.BARS, right, thick) == (Verdict.WATCH, True)
    assert found(Use.THIN_SHELLS, thick) == (Verdict.WATCH, True)
    assert not found(Use.HAND, thick)[1]
    assert found(Use.HAND, right) == (Verdict.GOOD, True)
    assert not found(Use.THIN_SHELLS, right)[1]


def test_a_mass_found_too_thick_gets_butter_that_the_estimate_then_calls_enough() -> None:
    """What was found is of the mass without the butter; it does not stand in the way of a remedy."""
    lean = bar(("cocoa_nibs_roasted", 600.0), ("cocoa_butter", 20.0), ("sugar_granulated", 380.0))
    answer = pour(lean, with_process(STONE, seen=(seen(lean, Feel.TOO_THICK),)))

    assert answer.verdict is Verdict.WATCH
    assert any("of cocoa butter, likely enough" in remedy.sentence for remedy in answer.remedies)
    assert all(remedy.checked for remedy in answer.remedies)


def test_an_instrument_on_this_very_mass_says_how_thick_it_is() -> None:
    law = predicted_flow(GOOD, STONE)
    read = SeenFlow("read after 40 h", ViscometerReading.of(law, law.times(1.8, 1.8)))
    plain, tuned = pour(GOOD, STONE), pour(GOOD, with_process(STONE, seen=(read,)))

    assert tuned.figure / plain.figure == pytest.approx(1.8, rel=0.1)  # type: ignore[operator]
    assert tuned.high / tuned.low < plain.high / plain.low / 1.5  # type: ignore[operator]
    assert "read after 40 h" in words(tuned)


@pytest.mark.parametrize(
    ("form", "said", "noun"),
    [
        (Form.BAR, None, "bar moulds"),
        (Form.PRALINE, None, "thin shells"),
        (Form.FILLED, None, "thin shells"),
        (Form.BAR, Use.DIPPING, "dipping"),
        (Form.PRALINE, Use.HAND, "spread by hand"),
    ],
)
def test_the_use_comes_from_the_maker_or_the_form(form: Form, said: Use | None, noun: str) -> None:
    recipe = Recipe("r", form, GOOD.parts)

    assert noun in pour(recipe, with_process(STONE, use=said)).sentence


def test_thinner_uses_ask_for_more() -> None:
    lean = bar(("cocoa_nibs_roasted", 640.0), ("sugar_granulated", 360.0))
    order = [Use.HAND, Use.DIPPING, Use.BARS, Use.THIN_SHELLS]

    amounts = []
    for use in order:
        answer = pour(lean, with_process(STONE, use=use))
        amounts.append(answer.remedies[0].changes[0].add_g if answer.remedies else 0.0)

    assert amounts == sorted(amounts)
    assert amounts[-1] > amounts[0]


# What a remedy promises.


def verdict(recipe: Recipe, context: Context) -> Verdict:
    return pour(recipe, context).verdict


@st.composite
def recipes(draw: st.DrawFn) -> Recipe:
    nibs, sugar = draw(st.floats(300, 700)), draw(st.floats(250, 650))
    parts = [
        ("cocoa_nibs_roasted" if draw(st.booleans()) else "cocoa_mass", nibs),
        ("sugar_granulated", sugar),
    ]
    if draw(st.booleans()):
        parts.append(("milk_powder_whole", draw(st.floats(20, 300))))
    if draw(st.booleans()):
        parts.append(("cocoa_butter", draw(st.floats(5, 120))))
    if draw(st.booleans()):
        parts.append(("lecithin_soy", draw(st.floats(0.5, 9))))
    return bar(*parts)


@settings(max_examples=60)
@given(recipes(), st.sampled_from(list(Use)), st.sampled_from(["stone", "ball_mill", "blender", "mortar"]))
def test_every_remedy_does_what_it_says(recipe: Recipe, use: Use, key: str) -> None:
    context = with_process(Context(kit=kit(key)), use=use)
    before = pour(recipe, context)
    rank = [Verdict.UNKNOWN, Verdict.STOP, Verdict.WATCH, Verdict.GOOD]

    for remedy in before.remedies:
        assert remedy.checked
        if remedy.changes:
            whole = apply_remedy(recipe, remedy)
            assert rank.index(verdict(whole, context)) > rank.index(before.verdict), remedy.sentence
            assert remedy.new_total_g == pytest.approx(whole.total_g)


KITS = ("stone", "ball_mill", "blender", "mortar", "hand_mill", "roll_refiner")


@settings(max_examples=150)
@given(recipes(), st.sampled_from(list(Use)), st.sampled_from(KITS))
def test_the_likely_butter_makes_it_good_and_a_tenth_less_does_not(
    recipe: Recipe, use: Use, key: str
) -> None:
    context = with_process(Context(kit=kit(key)), use=use)
    butter = [one for one in pour(recipe, context).remedies if "likely enough" in one.sentence]

    for remedy in butter:
        assert verdict(apply_remedy(recipe, remedy), context) is Verdict.GOOD
        assert verdict(apply_remedy(recipe, remedy, 0.9), context) is not Verdict.GOOD
        assert verdict(apply_remedy(recipe, remedy, 0.5), context) is not Verdict.GOOD


def test_the_smallest_butter_is_found_where_it_makes_a_milk_mass_dark() -> None:
    """Under 12 % milk solids it is worked as dark, 2 K warmer and so at once thinner."""
    edge = bar(
        ("cocoa_mass", 405.0),
        ("sugar_granulated", 296.0),
        ("milk_powder_whole", 101.5),
        ("lecithin_soy", 1.2),
    )
    context = with_process(Context(kit=kit("mortar")), use=Use.THIN_SHELLS)
    remedy = pour(edge, context).remedies[0]

    assert verdict(apply_remedy(edge, remedy), context) is Verdict.GOOD
    assert verdict(apply_remedy(edge, remedy, 0.9), context) is Verdict.WATCH


def test_from_not_flowing_to_not_known_is_no_remedy() -> None:
    """With lecithin a mass may flow under the fat that the estimate covers; butter goes on into its range."""
    lean = bar(("cocoa_nibs_roasted", 290.0), ("sugar_powdered", 324.0), ("lecithin_soy", 3.6))
    context = with_process(Context(kit=kit("hand_mill")), use=Use.HAND)

    answer = pour(lean, context)

    assert answer.verdict is Verdict.STOP
    assert answer.remedies
    for remedy in answer.remedies:
        assert verdict(apply_remedy(lean, remedy), context) in (Verdict.GOOD, Verdict.WATCH)


def test_butter_comes_in_two_amounts_and_tells_what_it_does_to_the_cocoa() -> None:
    likely, sure = pour(THICK, STONE).remedies

    assert "likely enough (7 chances in 10)" in likely.sentence
    assert "to be sure (19 chances in 20)" in sure.sentence
    assert sure.changes[0].add_g > likely.changes[0].add_g > 0
    assert "Cocoa goes from 55.0 to" in likely.sentence.replace("\u00a0", " ")
    assert "name" in likely.sentence


def test_sure_is_sure() -> None:
    _, sure = pour(THICK, STONE).remedies

    assert "19 chances in 20" in pour(apply_remedy(THICK, sure), STONE).sentence


@pytest.mark.parametrize("step", [Decimal(1), Decimal("0.1"), Decimal(5)])
def test_amounts_in_words_can_be_weighed_and_are_never_less_than_needed(step: Decimal) -> None:
    remedy = pour(THICK, replace(STONE, scale_g=step)).remedies[0]

    said = Decimal(re.search(r"Add ([\d.]+)", remedy.sentence).group(1))  # type: ignore[union-attr]
    assert said % step == 0
    assert float(said) >= remedy.changes[0].add_g


def test_butter_goes_to_the_butter_that_is_there() -> None:
    lean = THICK.weighing({})
    named = Recipe("r", Form.BAR, (*lean.parts, part("cocoa_butter", 5.0, label="deodorised")))

    assert pour(named, STONE).remedies[0].changes[0].part == "deodorised"
    assert pour(lean, STONE).remedies[0].changes[0].part == "cocoa_butter"


def test_butter_on_the_back_of_the_bar_is_not_the_butter_that_is_added_to() -> None:
    outside = part("cocoa_butter", 5.0, stage=Stage.ON_BACK)
    recipe = Recipe("r", Form.BAR, (*THICK.parts, outside))

    remedy = pour(recipe, STONE).remedies[0]

    assert remedy.changes[0].part == "cocoa_butter_added"
    assert apply_remedy(recipe, remedy).part("cocoa_butter_added").in_machine


def test_lecithin_is_offered_only_where_it_is_used() -> None:
    lean = bar(("cocoa_nibs_roasted", 610.0), ("sugar_granulated", 390.0))
    holding = bar(("cocoa_nibs_roasted", 580.0), ("sugar_granulated", 420.0), ("lecithin_soy", 1.0))

    assert "lecithin" not in words(pour(lean, STONE)).lower()
    used = pour(lean, replace(STONE, uses_lecithin=True)).remedies[-1]
    held = pour(holding, STONE).remedies[-1]

    assert used.changes[0].ingredient == "lecithin_sunflower"
    assert used.changes[0].add_g <= 0.005 * 1005
    assert held.changes[0].part == "lecithin_soy"


def test_steps_of_work_come_before_butter() -> None:
    coarse = bar(("cocoa_nibs_roasted", 700.0), ("sugar_powdered", 300.0))
    sentences = [one.sentence for one in pour(coarse, BLENDER).remedies]

    kinds = [
        re.search(r"Grind|water|butter", sentence.replace("cocoa butter", "butter")).group()
        for sentence in sentences
    ]  # type: ignore[union-attr]
    assert kinds[:2] == ["Grind", "water"]
    assert kinds[2:] == ["butter"] * len(kinds[2:])


def test_grinding_on_is_never_finer_than_the_kit_reaches_and_does_help() -> None:
    coarse = bar(("cocoa_nibs_roasted", 700.0), ("sugar_powdered", 300.0))
    remedy = pour(coarse, BLENDER).remedies[0]
    size = float(re.search(r"about (\d+)", remedy.sentence).group(1))  # type: ignore[union-attr]

    assert size >= 80
    sizes = {"cocoa_d90_um": Span.exactly(size), "sugar_d90_um": Span(60.0, 100.0, 150.0)}
    assert verdict(coarse, with_process(BLENDER, **sizes)) is Verdict.GOOD


def test_a_cool_mass_is_warmed_first() -> None:
    lean = bar(("cocoa_nibs_roasted", 638.0), ("sugar_granulated", 362.0))
    cold = with_process(
        STONE,
        temperature_celsius=Span(27.0, 27.5, 28.0),
        calibration=Calibration(Span(0.8, 1.0, 1.2), Span(0.8, 1.0, 1.2), 40),
    )
    warm = with_process(cold, temperature_celsius=None)

    assert verdict(lean, cold) is Verdict.WATCH
    assert verdict(lean, warm) is Verdict.GOOD
    assert pour(lean, cold).remedies[0].sentence.startswith("Warm it to 31")
    assert "thicken as you pour" in words(pour(lean, cold))


def test_what_thickens_while_it_is_worked_is_explained_with_its_limit() -> None:
    assert "over-crystallised" in words(pour(THICK, STONE))
    assert "34.5 °C" in words(pour(THICK, STONE))


# What widens the range.


def test_the_widest_input_is_named_with_what_narrows_it() -> None:
    lots = pour(THICK, STONE)
    typed = own_ingredient("My nibs", Kind.NIB, {"fat_g": 53.0, "water_g": 2.5})
    known = Recipe("r", Form.BAR, (part(typed, 550.0, label="nibs"), part("sugar_granulated", 450.0)))

    assert "the fat of your lot: type it from the supplier's sheet" in words(lots)
    assert "the fat of your lot" not in words(pour(known, STONE))


def test_in_a_ball_mill_size_is_not_what_the_flow_is_said_to_follow() -> None:
    """Published for a ball mill: viscosity does not follow D90 from 15 to 28 µm."""
    recipe = bar(
        ("cocoa_mass", 450.0), ("cocoa_butter", 60.0), ("sugar_granulated", 480.0), ("lecithin_soy", 4.0)
    )
    mill = with_process(
        Context(kit=kit("ball_mill")),
        cocoa_d90_um=Span(15.0, 20.0, 28.0),
        sugar_d90_um=Span(15.0, 20.0, 28.0),
    )

    answer = pour(recipe, mill)

    assert "What widens the range most is how your kit compares" in words(answer)
    shares = {row[0]: int(row[1].split()[0]) for row in answer.details[1].rows}
    assert shares["The size of the grains"] < 15


# Where no figure is given.


def test_more_fat_than_the_estimate_covers_gives_no_figure_but_the_bound() -> None:
    answer = pour(bar(("cocoa_nibs_roasted", 850.0), ("sugar_granulated", 150.0)), STONE)

    assert answer.verdict is Verdict.UNKNOWN
    assert (answer.figure, answer.low, answer.high) == (None, None, None)
    assert "Unknown, because the mass holds more fat" in answer.sentence
    assert "more fat only makes it thinner" in answer.sentence


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (
            {"cocoa_d90_um": Span(7.0, 8.0, 9.0), "sugar_d90_um": Span(7.0, 8.0, 9.0)},
            "finer than the estimate",
        ),
        ({"sugar_d90_um": Span(800.0, 900.0, 950.0)}, "coarser than the estimate"),
        ({"end_water_percent": Span(2.5, 3.0, 3.5)}, "more water"),
        ({"temperature_celsius": Span(39.0, 40.0, 41.0)}, "cooler or warmer"),
    ],
)
def test_outside_the_estimate_it_is_unknown_because(change: dict[str, Span], says: str) -> None:
    answer = pour(GOOD, with_process(STONE, **change))

    assert answer.verdict is Verdict.UNKNOWN
    assert answer.figure is None
    assert answer.sentence.startswith("Unknown, because")
    assert says in answer.sentence


def test_a_wet_mass_is_to_be_dried() -> None:
    wet = bar(("cocoa_nibs_raw", 700.0), ("sugar_granulated", 300.0))

    answer = pour(wet, Context())

    assert answer.verdict is Verdict.UNKNOWN
    assert [one.checked for one in answer.remedies] == [True]
    assert "dry" in answer.remedies[0].sentence


def test_a_part_that_gives_no_fat_makes_it_unknown_and_is_named() -> None:
    bark = own_ingredient("Ground bark", Kind.OTHER_FOOD, {"protein_g": 4.0})
    answer = pour(Recipe("r", Form.BAR, (*GOOD.parts, part(bark, 50.0, label="bark"))), STONE)

    assert answer.verdict is Verdict.UNKNOWN
    assert "Ground bark" in answer.sentence


@pytest.mark.parametrize("context", [Context(), STONE])
def test_fat_without_any_grains_is_unknown_and_raises_nothing(context: Context) -> None:
    answer = pour(bar(("cocoa_butter", 500.0), folded=(("hazelnut", 50.0),)), context)

    assert answer.verdict is Verdict.UNKNOWN
    assert "more fat than the estimate covers" in answer.sentence


def test_nothing_in_the_machine_is_unknown_and_raises_nothing() -> None:
    only_nuts = Recipe("r", Form.BAR, (part("hazelnut", 30.0, stage=Stage.FOLDED_IN),))

    assert pour(only_nuts, STONE).verdict is Verdict.UNKNOWN


def test_too_little_cocoa_butter_in_the_fat_is_unknown() -> None:
    coconut = bar(("cocoa_powder_natural", 200.0), ("coconut_oil", 350.0), ("sugar_granulated", 450.0))

    assert pour(coconut, STONE).verdict is Verdict.UNKNOWN


def test_what_is_assumed_for_want_of_a_kit_is_said() -> None:
    said = words(pour(GOOD, Context()))

    assert "No kit is chosen" in said
    assert "as it goes in" in said


def test_pgpr_is_judged_by_viscosity_alone() -> None:
    pgpr = own_ingredient("PGPR", Kind.EMULSIFIER, {"fat_g": 100.0, "water_g": 0.0})
    answer = pour(Recipe("r", Form.BAR, (*GOOD.parts, part(pgpr, 2.0, label="pgpr"))), STONE)

    assert "only the viscosity is judged" in words(answer)
    assert [row[0] for row in answer.details[0].rows] == ["Viscosity at 40 1/s, Pa·s"]


def with_emulsifier(name: str, mass_g: float, analysis: dict[str, float]) -> Recipe:
    own = own_ingredient(name, Kind.EMULSIFIER, analysis)
    return Recipe("r", Form.BAR, (*GOOD.parts, part(own, mass_g, label="own")))


def test_lecithin_of_which_the_water_is_not_given_widens_the_range_and_says_so() -> None:
    given = pour(with_emulsifier("My lecithin", 4.0, {"fat_g": 100.0, "water_g": 0.0}), Context())
    not_given = pour(with_emulsifier("My lecithin", 4.0, {"fat_g": 100.0}), Context())

    assert (given.figure, given.verdict) == (not_given.figure, Verdict.GOOD)
    assert not_given.high > given.high  # type: ignore[operator]
    said = "The fat or water of My lecithin is not given: from none to its whole weight."
    assert said in not_given.reasons
    assert said in not_given.sentence
    assert "is not given" not in words(given)


def test_water_that_is_not_given_holds_back_what_only_just_pours() -> None:
    def lean(analysis: dict[str, float]) -> Recipe:
        own = own_ingredient("My lecithin", Kind.EMULSIFIER, analysis)
        ground = (("cocoa_mass", 544.0), ("sugar_granulated", 456.0))
        return Recipe("r", Form.BAR, (*bar(*ground).parts, part(own, 9.9, label="own")))

    assert pour(lean({"fat_g": 100.0, "water_g": 0.0}), Context()).verdict is Verdict.GOOD
    assert pour(lean({"fat_g": 100.0}), Context()).verdict is Verdict.WATCH


def test_more_than_a_pinch_of_emulsifier_without_its_water_is_unknown() -> None:
    answer = pour(with_emulsifier("My lecithin", 20.0, {"fat_g": 100.0}), STONE)

    assert answer.verdict is Verdict.UNKNOWN
    assert "My lecithin" in answer.sentence


def test_an_emulsifier_that_is_neither_lecithin_nor_pgpr_thins_nothing_and_says_so() -> None:
    answer = pour(with_emulsifier("Ester blend", 5.0, {"fat_g": 100.0, "water_g": 0.0}), STONE)
    lecithin = pour(with_emulsifier("Sunflower lecithin", 5.0, {"fat_g": 100.0, "water_g": 0.0}), STONE)

    assert answer.figure > lecithin.figure  # type: ignore[operator]
    assert "How Ester blend bears on the flow is not known" in answer.sentence
    assert "not known" not in lecithin.sentence


def test_lecithin_goes_to_the_lecithin_and_not_to_another_emulsifier() -> None:
    pgpr = own_ingredient("PGPR", Kind.EMULSIFIER, {"fat_g": 100.0, "water_g": 0.0})
    thick = Recipe("r", Form.BAR, (*THICK.parts, part(pgpr, 1.0, label="pgpr")))
    stirred = [
        change
        for remedy in pour(thick, replace(STONE, uses_lecithin=True)).remedies
        for change in remedy.changes
        if "lecithin" in change.ingredient
    ]

    assert [change.part for change in stirred] == ["lecithin_sunflower"]


def test_much_lecithin_is_warned_of() -> None:
    much = bar(
        ("cocoa_mass", 600.0), ("cocoa_butter", 50.0), ("sugar_granulated", 350.0), ("lecithin_soy", 8.0)
    )

    assert "thins no further" in words(pour(much, STONE))


def test_grinding_finer_than_a_tongue_tells_is_said_to_cost_butter() -> None:
    fine = with_process(STONE, cocoa_d90_um=Span(12.0, 13.0, 14.0), sugar_d90_um=Span(12.0, 13.0, 14.0))

    assert "costs butter" in words(pour(GOOD, fine))
    assert pour(GOOD, fine).figure > pour(GOOD, STONE).figure  # type: ignore[operator]


# Pieces.


def test_too_many_pieces_fill_no_cavity_and_the_cut_is_the_smallest() -> None:
    full = bar(*((one.label, one.mass_g) for one in GOOD.parts), folded=(("hazelnut_dry_roasted", 650.0),))

    answer = pour(full, STONE)
    (cut,) = answer.remedies

    assert answer.verdict is Verdict.WATCH
    assert answer.word == "Too many pieces."
    assert cut.checked
    assert verdict(apply_remedy(full, cut), STONE) is Verdict.GOOD
    assert verdict(apply_remedy(full, cut, 0.9), STONE) is Verdict.WATCH


def test_pieces_in_a_thick_mass_are_cut_and_butter_added() -> None:
    full = bar(*((one.label, one.mass_g) for one in THICK.parts), folded=(("hazelnut_dry_roasted", 650.0),))

    remedy = pour(full, STONE).remedies[0]

    assert {change.part for change in remedy.changes} == {"hazelnut_dry_roasted", "cocoa_butter"}
    assert verdict(apply_remedy(full, remedy), STONE) is Verdict.GOOD


def test_some_pieces_change_nothing() -> None:
    some = bar(*((one.label, one.mass_g) for one in GOOD.parts), folded=(("hazelnut_dry_roasted", 200.0),))

    assert pour(some, STONE).verdict is Verdict.GOOD
    assert pour(some, STONE).figure == pytest.approx(pour(GOOD, STONE).figure)


def test_pieces_of_unknown_volume_are_named() -> None:
    bark = own_ingredient("Bark", Kind.OTHER_FOOD, {"protein_g": 4.0})
    recipe = Recipe("r", Form.BAR, (*GOOD.parts, part(bark, 90.0, label="bark", stage=Stage.FOLDED_IN)))

    assert "How much room Bark takes is not known" in words(pour(recipe, STONE))


# For charts, for balancing, for calibrating.


def test_the_flow_curve_goes_through_the_two_quantities_and_its_band_holds_it() -> None:
    curve = flow_curve(GOOD, STONE, rates=[5.0, 40.0])
    answer = pour(GOOD, STONE)

    assert answer.figure is not None
    assert curve.stress[1] / 40 == pytest.approx(answer.figure)
    assert curve.low[1] / 40 == pytest.approx(answer.low, rel=1e-6)
    assert curve.high[1] / 40 == pytest.approx(answer.high, rel=1e-6)
    assert (curve.low < curve.stress).all()
    assert curve.limit_stress.tolist() == [98.0, 400.0]


def test_a_curve_outside_the_estimate_is_refused() -> None:
    with pytest.raises(OutOfRange):
        flow_curve(bar(("cocoa_nibs_roasted", 850.0), ("sugar_granulated", 150.0)), STONE)


def test_keeping_the_limit_makes_it_pour() -> None:
    limit = pour_limit(THICK, STONE)
    row, _ = limit.rows()[0]
    masses = {one.label: one.mass_g for one in THICK.parts}
    nib, sugar = row["cocoa_nibs_roasted"], row["sugar_granulated"]
    assert limit.gap(masses) > 0

    # Swap sugar for nibs, gram for gram, until the limit holds.
    swap = -(nib * masses["cocoa_nibs_roasted"] + sugar * masses["sugar_granulated"]) / (nib - sugar)
    swapped = THICK.weighing(
        {"cocoa_nibs_roasted": 550.0 + swap * 1.02, "sugar_granulated": 450.0 - swap * 1.02}
    )

    assert 0 < swap < 200
    assert limit.gap({one.label: one.mass_g for one in swapped.parts}) == 0
    assert "7 chances in 10" in words(pour(swapped, STONE)) or verdict(swapped, STONE) is Verdict.GOOD


def test_a_jammed_mass_has_a_limit_too() -> None:
    limit = pour_limit(JAMMED, STONE)

    assert limit.gap({one.label: one.mass_g for one in JAMMED.parts}) > 0


def test_the_prediction_for_a_reading_leaves_the_calibration_out() -> None:
    known = Calibration(Span(2.0, 2.5, 3.0), Span(2.0, 2.5, 3.0), 5)

    plain, tuned = predicted_flow(GOOD, STONE), predicted_flow(GOOD, with_process(STONE, calibration=known))

    assert plain == tuned
    assert isinstance(plain, Casson)
    with pytest.raises(OutOfRange):
        predicted_flow(JAMMED, STONE)


def test_the_same_question_gives_the_same_answer() -> None:
    assert pour(THICK, STONE) == pour(THICK, STONE)


def test_no_sentence_holds_a_number_nobody_could_read() -> None:
    for recipe in (GOOD, THICK, JAMMED, MILK):
        for context in (STONE, BLENDER, Context()):
            said = words(pour(recipe, context))
            assert "inf" not in said.split()
            assert "nan" not in said.lower().split()
            assert not re.search(r"\d\.\d{4,}", said)
            assert "!" not in said


def test_arrays_of_the_curve_are_numbers_for_a_chart() -> None:
    curve = flow_curve(GOOD, STONE)

    assert np.isfinite(curve.stress).all()
    assert curve.rates.shape == curve.stress.shape == curve.low.shape == curve.high.shape


@pytest.mark.parametrize("field", ["cocoa", "sugar"])
def test_grains_of_no_size_are_refused(field: str) -> None:
    with pytest.raises(InputError, match="larger than nothing") as refused:
        Process(**{f"{field}_d90_um": Span.exactly(0.0)})
    assert refused.value.field == f"{field}_um"


def test_a_mass_of_nothing_but_water_is_refused() -> None:
    with pytest.raises(InputError, match="cannot be all water") as refused:
        Process(end_water_percent=Span.exactly(100.0))
    assert refused.value.field == "water_percent"
