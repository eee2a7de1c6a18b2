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

    # What is said was asked; the tenth of a degree it is rounded down by comes back.
    assert seed(replace(asked, mass_celsius=cool)).verdict is Verdict.GOOD
    assert seed(replace(asked, mass_celsius=cool + 0.1 + 0.1 * fall)).verdict is not Verdict.GOOD


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
    assert "Stir it down" not in answer.sentence
    assert "stir in about 1 % of seed" in answer.sentence


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


@pytest.mark.parametrize(
    ("celsius", "seed_g", "ways"), [(40.0, 101.0, ["Take", "Or let the mass cool to"]), (34.0, 1.0, [])]
)
def test_a_mass_is_let_cool_only_where_the_seed_then_does(
    celsius: float, seed_g: float, ways: list[str]
) -> None:
    answer = seed(SeedAsked(1000.0, celsius, seed_g, unknown=Unknown.SEED_TEMPERATURE))

    assert answer.verdict is Verdict.STOP
    assert len(answer.remedies) == len(ways)
    assert all(one.sentence.startswith(way) for one, way in zip(answer.remedies, ways, strict=True))
    for remedy in answer.remedies[1:]:
        cool = float(re.search(r"cool to ([\d.]+)", remedy.sentence).group(1))  # type: ignore[union-attr]
        again = seed(SeedAsked(1000.0, cool, seed_g, unknown=Unknown.TARGET))
        assert again.verdict is Verdict.GOOD


@pytest.mark.parametrize(
    ("celsius", "seed_g", "word"), [(31.0, 200.0, "Too cool."), (37.0, 80.0, "Too warm."), (38.0, 160.0, "")]
)
def test_where_it_is_worked_is_said_once(celsius: float, seed_g: float, word: str) -> None:
    answer = seed(SeedAsked(1000.0, celsius, seed_g, unknown=Unknown.TARGET))

    assert answer.word == (word or "Seed it.")
    assert answer.sentence.count("It is worked at") == 1


def test_no_seed_is_colder_than_a_freezer_or_warmer_than_what_it_cools() -> None:
    answer = seed(SeedAsked(1000.0, 33.0, 10.0, unknown=Unknown.SEED_TEMPERATURE))

    assert answer.low is not None
    assert answer.low >= -30  # colder than a freezer gets, common practice
    assert answer.high is not None
    assert answer.high <= 31.5


@pytest.mark.parametrize(("chocolate", "place"), [("dark", "dark chocolate"), ("milk", "milk chocolate")])
def test_the_heat_of_the_kind_is_the_one_that_is_cited(chocolate: str, place: str) -> None:
    told = [source.place for source in seed(replace(BARE, chocolate=Chocolate(chocolate))).sources]

    kinds = [text for text in told if text.endswith(("dark chocolate", "milk chocolate"))]
    assert [text.split(": ")[1] for text in kinds] == [place]


def test_a_quarter_of_seed_is_still_usual() -> None:
    melts = Span.exactly(0.9)
    found = seed(replace(BARE, seed_g=300.0, melted_share=melts, unknown=Unknown.MASS_TEMPERATURE))

    assert found.verdict is Verdict.GOOD


# [foodtech-seeding], 1 % by volume, taken as 1 % of the mass: of 1 kg 100 g leave it if a tenth stays.
@pytest.mark.parametrize(
    ("celsius", "melts", "verdict", "word"),
    [
        (33.0, None, Verdict.WATCH, "Too few seeds."),
        (33.0, 0.3, Verdict.GOOD, "Seed it."),
        (33.0, 1.0, Verdict.STOP, "Nothing left to seed."),
        (38.0, None, Verdict.GOOD, "Seed it."),
        (38.0, 1.0, Verdict.STOP, "Nothing left to seed."),
    ],
)
def test_too_little_left_unmelted_is_not_good(
    celsius: float, melts: float | None, verdict: Verdict, word: str
) -> None:
    share = None if melts is None else Span.exactly(melts)
    answer = seed(SeedAsked(mass_g=1000.0, mass_celsius=celsius, melted_share=share))

    assert (answer.verdict, answer.word) == (verdict, word)
    assert ("is wanted to seed it" in answer.sentence) == (verdict is not Verdict.GOOD)
    assert bool(answer.remedies) == (verdict is not Verdict.GOOD)
    for remedy in answer.remedies:
        assert "stir in another" in remedy.sentence
        assert remedy.checked


def test_a_gram_under_the_hundredth_that_is_left_is_not_good() -> None:
    tenth = SeedAsked(seed_g=100.0, mass_g=1000.0, unknown=Unknown.MASS_TEMPERATURE)

    assert seed(tenth).verdict is Verdict.GOOD
    assert seed(replace(tenth, seed_g=99.0)).word == "Too few seeds."


def test_what_is_stirred_in_at_the_end_leaves_a_hundredth_and_is_still_worked() -> None:
    answer = seed(SeedAsked(mass_g=1000.0, mass_celsius=33.0))
    (remedy,) = answer.remedies
    more = float(re.search(r"another (\d+)", remedy.sentence).group(1))  # type: ignore[union-attr]
    whole = 1000.0 + answer.figure  # type: ignore[operator]

    again = seed(
        SeedAsked(whole, 31.5, more, melted_share=Span.exactly(0.0), unknown=Unknown.TARGET),
    )
    assert again.verdict is Verdict.GOOD
    assert 0.01 * whole <= more < 0.01 * whole + 1


def test_a_target_over_what_keeps_seeds_says_so_and_its_remedy_is_good() -> None:
    answer = seed(SeedAsked(mass_g=1000.0, mass_celsius=45.0, target_celsius=36.0))

    assert (answer.verdict, answer.word) == (Verdict.STOP, "Too warm for seeds.")
    assert "Over 34.5" in answer.sentence
    (remedy,) = answer.remedies
    assert remedy.checked
    said = remedy.sentence.replace(NO_BREAK, " ")
    to, cool = re.search(r"Bring it to ([\d.]+) .* cool to ([\d.]+)", said).groups()  # type: ignore[union-attr]
    assert seed(SeedAsked(1000.0, float(cool), target_celsius=float(to))).verdict is Verdict.GOOD


@pytest.mark.parametrize("seed_g", [10.0, 60.0])
def test_a_seed_that_leaves_it_too_warm_is_told_how_much_does(seed_g: float) -> None:
    answer = seed(SeedAsked(1000.0, 38.0, seed_g, unknown=Unknown.TARGET))

    (remedy,) = answer.remedies
    enough = float(re.search(r": (\d+)", remedy.sentence).group(1))  # type: ignore[union-attr]
    assert seed(SeedAsked(1000.0, 38.0, enough, unknown=Unknown.TARGET)).verdict is Verdict.GOOD


def test_the_worse_of_two_faults_is_told() -> None:
    answer = seed(SeedAsked(1000.0, 45.0, target_celsius=27.0))

    assert (answer.verdict, answer.word) == (Verdict.STOP, "Too warm for seed alone.")


@given(st.floats(300, 5000), st.floats(32, 55), st.floats(28, 38), st.sampled_from(Chocolate))
@settings(max_examples=60)
def test_no_remedy_is_shown_that_was_not_asked_again(
    mass_g: float, celsius: float, target: float, chocolate: Chocolate
) -> None:
    answer = seed(SeedAsked(mass_g, celsius, target_celsius=target, chocolate=chocolate))

    assert all(remedy.checked for remedy in answer.remedies)


@pytest.mark.parametrize("unknown", Unknown)
def test_every_unknown_has_a_range_that_holds_it_and_says_what_widens_it(unknown: Unknown) -> None:
    known = {"mass_g": 1000.0, "mass_celsius": 38.0, "seed_g": 150.0, "seed_celsius": 18.0}
    answer = seed(SeedAsked(**{**known, unknown.value: None}, unknown=unknown))  # type: ignore[arg-type]

    assert (answer.title == "How much seed?") == (unknown is Unknown.SEED)
    assert answer.low < answer.figure < answer.high  # type: ignore[operator]
    assert any("widens the range most" in one or "is widened about" in one for one in answer.reasons)
    low = f"{answer.low:.0f}" if answer.unit == "g" else f"{answer.low:.1f}".removesuffix(".0")
    assert low in answer.sentence


def test_a_target_with_its_range_is_where_a_plain_sample_lies() -> None:
    import numpy as np

    from nibsmith.science.temper import Around, Seeding, seeded_for

    known = SeedAsked(1000.0, 38.0, 150.0, bowl="none", minutes=0.0, unknown=Unknown.TARGET)
    random = np.random.default_rng(7)
    found = [
        seeded_for(
            Seeding(1000.0, celsius, 150.0, 20.0, 0.0, melts, 46.0, Around(0.0, 0.0, 20.0, 0.0)),
            known.unknown,
        ).target_celsius
        for celsius, melts in zip(
            random.triangular(37, 38, 39, 4000), random.triangular(0.7, 0.9, 1.0, 4000), strict=True
        )
    ]

    answer = seed(known)

    assert (answer.low, answer.high) == pytest.approx(
        tuple(np.quantile(np.array(found), (0.1, 0.9))), abs=0.05
    )
