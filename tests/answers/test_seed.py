"""How much seed: two fields, every unknown, what is taken, and the way out where it would be too much."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nibsmith.answers.answer import Verdict
from nibsmith.answers.seed import BOWLS, SeedAsked, seed, seed_for
from nibsmith.answers.wording import NO_BREAK
from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Span
from nibsmith.science.temper import Chocolate, Unknown, program, shifted

TWO_FIELDS = SeedAsked(mass_g=1200.0, mass_celsius=46.0)
BARE = replace(TWO_FIELDS, bowl="none", minutes=0.0, melted_share=Span.exactly(1.0), target_celsius=32.0)


def detail(answer: object, title: str) -> dict[str, str]:
    found = next(one for one in answer.details if one.title == title)  # type: ignore[attr-defined]
    return {row[0]: row[1].replace(NO_BREAK, " ") for row in found.rows}


def test_two_fields_are_enough_and_what_was_taken_is_shown() -> None:
    answer = seed_for(1200.0, 46.0)

    assert answer.figure is not None
    taken = detail(answer, "Taken for it")
    assert taken["Melts of the seed"] == "90 %"
    assert taken["Bowl"] == "500 g of steel"
    assert taken["To come to"].startswith("31.5 °C")


def test_without_bowl_and_room_it_is_the_balance_done_by_hand() -> None:
    # 1200 g · 1.670 · 14 K over 1.590 · 12 K + 46 J a gram
    assert seed(BARE).figure == pytest.approx(1200 * 1.670 * 14 / (1.590 * 12 + 46))


def test_bowl_adds_and_room_takes() -> None:
    plain = seed(BARE).figure
    assert seed(replace(BARE, bowl="steel", bowl_g=500.0)).figure > plain  # type: ignore[operator]
    assert seed(replace(BARE, minutes=5.0)).figure < plain  # type: ignore[operator]


@pytest.mark.parametrize("bowl", BOWLS)
def test_every_bowl_has_a_heat_capacity(bowl: str) -> None:
    assert seed(replace(TWO_FIELDS, bowl=bowl)).figure is not None


def test_the_range_holds_the_figure_and_is_widened_by_what_melts() -> None:
    answer = seed(replace(TWO_FIELDS, bowl_g=500.0, minutes=0.0))

    assert answer.low < answer.figure < answer.high  # type: ignore[operator]
    assert any(
        "What widens the range most is how much of the seed melts" in reason for reason in answer.reasons
    )


def test_equal_inputs_are_said_to_widen_it_equally() -> None:
    assert any("about equally" in reason for reason in seed_for(1200.0, 46.0).reasons)


CASES = st.builds(SeedAsked, st.floats(200, 8000), st.floats(36, 55), chocolate=st.sampled_from(Chocolate))


@given(CASES)
@settings(max_examples=40)
def test_after_the_remedy_it_is_good_and_with_a_tenth_less_it_is_not(asked: SeedAsked) -> None:
    answer = seed(asked)
    if answer.verdict is Verdict.GOOD:
        assert answer.remedies == ()
        return
    (remedy,) = answer.remedies
    assert remedy.checked
    cool = float(re.search(r"cool to ([\d.]+)", remedy.sentence).group(1))  # type: ignore[union-attr]
    fall = asked.mass_celsius - cool  # type: ignore[operator]

    # The sentence rounds to a tenth of a degree: a twentieth either way.
    assert seed(replace(asked, mass_celsius=cool - 0.05)).verdict is Verdict.GOOD
    assert seed(replace(asked, mass_celsius=cool + 0.05 + 0.1 * fall)).verdict is not Verdict.GOOD


@pytest.mark.parametrize(
    ("unknown", "given_"),
    [
        (Unknown.TARGET, {"mass_g": 1000.0, "mass_celsius": 38.0, "seed_g": 200.0}),
        (Unknown.MASS, {"mass_celsius": 38.0, "seed_g": 200.0}),
        (Unknown.MASS_TEMPERATURE, {"mass_g": 1000.0, "seed_g": 200.0}),
        (Unknown.SEED_TEMPERATURE, {"mass_g": 1000.0, "mass_celsius": 38.0, "seed_g": 200.0}),
        (Unknown.SEED, {"mass_g": 1000.0, "mass_celsius": 38.0}),
    ],
)
def test_every_unknown_is_answered_and_comes_back(unknown: Unknown, given_: dict[str, float]) -> None:
    answer = seed(SeedAsked(**given_, unknown=unknown))  # type: ignore[arg-type]
    assert answer.figure is not None
    assert answer.unit == ("g" if unknown in (Unknown.SEED, Unknown.MASS) else "°C")

    back = Unknown.SEED if unknown is not Unknown.SEED else Unknown.TARGET
    filled = {**given_, unknown.value: answer.figure}
    again = seed(SeedAsked(**{**filled, back.value: None}, unknown=back))  # type: ignore[arg-type]
    wanted = filled.get(back.value, 31.5)
    assert again.figure == pytest.approx(wanted, rel=1e-6)


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        (SeedAsked(mass_g=1000.0), "mass_celsius"),
        (SeedAsked(mass_celsius=45.0), "mass_g"),
        (SeedAsked(mass_g=1000.0, mass_celsius=45.0, unknown=Unknown.TARGET), "seed_g"),
        (replace(TWO_FIELDS, bowl="wood"), "bowl"),
        (replace(TWO_FIELDS, mass_celsius=115.0), "mass_celsius"),
    ],
)
def test_what_is_missing_or_mistaken_is_named(asked: SeedAsked, field: str) -> None:
    with pytest.raises(InputError) as caught:
        seed(asked)

    assert caught.value.field == field


def test_a_bowl_that_is_cool_enough_is_told_so() -> None:
    answer = seed_for(1200.0, 30.0)

    assert answer.verdict is Verdict.UNKNOWN
    assert "without any seed" in answer.sentence


def test_too_warm_a_target_melts_the_seed_and_stops() -> None:
    answer = seed(SeedAsked(mass_g=1000.0, mass_celsius=45.0, seed_g=150.0, unknown=Unknown.TARGET))

    assert answer.figure > 34.5  # type: ignore[operator]
    assert answer.verdict is Verdict.STOP


def test_mass_that_could_scorch_is_cautioned() -> None:
    hot, warm = (seed_for(1000.0, celsius, Chocolate.MILK).cautions for celsius in (52.0, 45.0))

    assert any("scorches" in caution for caution in hot)
    assert not any("scorches" in caution for caution in warm)


def test_without_seed_there_are_four_ways_each_with_its_figures() -> None:
    ways = detail(seed_for(1200.0, 46.0), "Without any seed")

    assert ways["Cocoa butter seed"].startswith("12 g grated")
    assert ways["On the table"].startswith("78 % of it to 27 °C")
    assert set(ways) == {"Cocoa butter seed", "On the table", "Bought", "On purpose not"}


def test_a_shifted_program_moves_the_target_and_the_butter_seed() -> None:
    soft = shifted(program(Chocolate.DARK), 2.0)
    answer = seed(replace(TWO_FIELDS, program=soft))

    assert detail(answer, "Taken for it")["To come to"].startswith("29.5 °C")
    assert "31.5 °C" in detail(answer, "Without any seed")["Cocoa butter seed"]


def test_seed_from_beyond_a_freezer_is_a_stop() -> None:
    asked = SeedAsked(mass_g=1000.0, mass_celsius=45.0, seed_g=50.0, unknown=Unknown.SEED_TEMPERATURE)

    answer = seed(asked)

    assert answer.verdict is Verdict.STOP
    assert answer.figure is None
    assert "colder than any freezer" in answer.sentence


def test_a_quarter_of_seed_is_still_usual() -> None:
    found = seed(replace(BARE, seed_g=300.0, unknown=Unknown.MASS_TEMPERATURE))

    assert found.verdict is Verdict.GOOD
