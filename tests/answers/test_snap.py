"""Will it set and snap: fat, cocoa butter, the program, and the smallest butter that helps."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.answers.answer import Verdict
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.context import Context
from nibsmith.answers.snap import snap
from nibsmith.science.mixture import Form, Kind, Part, Recipe, Stage, ingredients, own_ingredient, part
from nibsmith.science.temper import fat_phase

RANK = {Verdict.STOP: 0, Verdict.UNKNOWN: 1, Verdict.WATCH: 2, Verdict.GOOD: 3}
HERE = Context()
FINE = Context(scale_g=Decimal("0.0001"))  # so fine that rounding up to its steps does not show


def recipe(*parts: Part, form: Form = Form.BAR) -> Recipe:
    return Recipe("bar", form, parts)


def dark(fat_percent: float, form: Form = Form.BAR) -> Recipe:
    """A dark mass with exactly this much fat, all of it cocoa butter."""
    cocoa = own_ingredient("Powder without fat", Kind.POWDER, {"water_g": 0.0, "fat_g": 0.0})
    rest = (100 - fat_percent) / 2
    return recipe(
        part("cocoa_butter", fat_percent), part(cocoa, rest), part("sugar_granulated", rest), form=form
    )


@pytest.mark.parametrize(
    ("fat", "verdict"),
    [
        (24.9, Verdict.STOP),
        (25.1, Verdict.WATCH),
        (27.9, Verdict.WATCH),
        (28.1, Verdict.GOOD),
        (38.0, Verdict.GOOD),
    ],
)
def test_the_limits_for_moulding_are_25_and_28_percent(fat: float, verdict: Verdict) -> None:
    answer = snap(dark(fat), HERE)

    assert answer.verdict is verdict
    assert answer.figure == pytest.approx(fat)


def milk(butter: float, kind: Kind = Kind.MILK) -> Recipe:
    """A milk mass with this much cocoa butter and 10 % of milk fat."""
    solids = own_ingredient("Milk", kind, {"water_g": 0.0, "fat_g": 50.0})
    cocoa = own_ingredient("Powder without fat", Kind.POWDER, {"water_g": 0.0, "fat_g": 0.0})
    return recipe(
        part("cocoa_butter", butter),
        part(solids, 20.0),
        part(cocoa, 10.0),
        part("sugar_granulated", 70.0 - butter),
    )


@pytest.mark.parametrize(("butter", "verdict"), [(19.9, Verdict.WATCH), (20.1, Verdict.GOOD)])
def test_milk_chocolate_wants_a_fifth_of_cocoa_butter_beside_its_milk_fat(
    butter: float, verdict: Verdict
) -> None:
    assert snap(milk(butter), HERE).verdict is verdict


@pytest.mark.parametrize(("butter", "verdict"), [(24.9, Verdict.WATCH), (25.1, Verdict.GOOD)])
def test_dark_wants_a_quarter_of_cocoa_butter_however_much_other_fat_it_holds(
    butter: float, verdict: Verdict
) -> None:
    nuts = own_ingredient("Nut oil", Kind.OTHER_FOOD, {"water_g": 0.0, "fat_g": 100.0})
    bar = recipe(part("cocoa_butter", butter), part(nuts, 10.0), part("sugar_granulated", 90.0 - butter))

    assert snap(bar, HERE).verdict is verdict


def test_fat_that_depends_on_the_lot_of_nibs_is_a_watch() -> None:
    answer = snap(recipe(part("cocoa_nibs_roasted", 52.0), part("sugar_granulated", 48.0)), HERE)

    assert answer.low < 28 < answer.high  # type: ignore[operator]
    assert answer.verdict is Verdict.WATCH
    assert "depends on the lot" in answer.sentence


def test_nuts_folded_in_move_no_temperature_and_ground_in_they_do() -> None:
    base = (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0))
    folded = snap(recipe(*base, part("hazelnut", 12.0)), HERE)
    ground = snap(recipe(*base, part("hazelnut_paste", 12.0)), HERE)

    assert folded.details[0].rows == snap(recipe(*base), HERE).details[0].rows
    assert ground.details[0].rows != folded.details[0].rows
    assert "for its other fats" in ground.sentence


def test_milk_and_white_keep_their_published_program() -> None:
    white = recipe(
        part("cocoa_butter", 32.0), part("milk_powder_whole", 28.0), part("sugar_granulated", 40.0)
    )

    assert "29–30 °C" in snap(milk(25.0), HERE).sentence.replace("\u00a0", " ")
    assert "28–29 °C" in snap(white, HERE).sentence.replace("\u00a0", " ")


def test_gianduja_is_told_to_stay_soft() -> None:
    bar = recipe(
        part("cocoa_mass", 49.0),
        part("cocoa_butter", 5.0),
        part("hazelnut_paste", 35.0),
        part("sugar_granulated", 11.0),
    )

    answer = snap(bar, HERE)

    assert answer.verdict is Verdict.WATCH
    assert "gianduja" in answer.sentence


def test_a_fat_that_is_hardly_cocoa_butter_cannot_be_told() -> None:
    answer = snap(
        recipe(part("cocoa_mass", 20.0), part("coconut_oil", 40.0), part("sugar_granulated", 40.0)), HERE
    )

    assert answer.verdict is Verdict.UNKNOWN
    assert answer.details == ()


def test_a_drinking_tablet_may_stay_untempered_on_purpose() -> None:
    answer = snap(dark(27.0, Form.DRINKING), HERE)

    assert (answer.verdict, answer.word) == (Verdict.GOOD, "As you choose.")
    assert "on purpose" in answer.sentence
    assert answer.remedies == ()


def test_a_drinking_tablet_too_dry_to_pour_is_pressed() -> None:
    answer = snap(dark(20.0, Form.DRINKING), HERE)

    assert answer.verdict is Verdict.WATCH
    assert "Press it" in answer.sentence


def test_flakes_are_not_held_to_the_limits_of_moulds() -> None:
    assert snap(dark(20.0, Form.FLAKES), HERE).verdict is Verdict.UNKNOWN
    assert snap(dark(30.0, Form.FLAKES), HERE).verdict is Verdict.GOOD


def test_unknown_milk_is_unknown_and_never_raises() -> None:
    own = own_ingredient("Farm milk powder", Kind.MILK, {"fat_g": 26.0})

    answer = snap(recipe(part("cocoa_mass", 80.0), part(own, 20.0)), HERE)

    assert answer.verdict is Verdict.UNKNOWN
    assert "Farm milk powder" in answer.sentence


def test_an_empty_machine_is_unknown() -> None:
    assert snap(recipe(part("almond", 1.0)), HERE).verdict is Verdict.UNKNOWN


def test_a_handful_of_unknown_fat_is_unknown_where_it_decides() -> None:
    own = own_ingredient("Mix", Kind.OTHER_FOOD, {"water_g": 1.0})
    bar = recipe(part("cocoa_butter", 26.0), part(own, 10.0), part("sugar_granulated", 64.0))

    assert snap(bar, HERE).verdict is Verdict.UNKNOWN


def test_fat_that_is_not_given_leaves_a_range_and_no_figure_and_says_why() -> None:
    own = own_ingredient("Mix", Kind.OTHER_FOOD, {"water_g": 1.0})
    bar = recipe(part("cocoa_butter", 36.0), part(own, 4.0), part("sugar_granulated", 60.0))
    answer = snap(bar, HERE)

    assert answer.verdict is Verdict.GOOD
    assert (answer.figure, answer.low, answer.high) == (None, pytest.approx(36.0), pytest.approx(40.0))
    assert "between 36.0 and 40.0 % of the mass as charged" in answer.sentence
    assert "the fat of Mix is not given" in answer.sentence


def test_a_crumb_of_unknown_fat_does_not_hide_the_figure() -> None:
    own = own_ingredient("Mix", Kind.OTHER_FOOD, {"water_g": 1.0})
    bar = recipe(part("cocoa_butter", 360.0), part(own, 0.1), part("sugar_granulated", 640.0))

    assert snap(bar, HERE).figure == pytest.approx(36.0, abs=0.01)


def test_the_butter_is_the_least_that_is_sure_whatever_the_lot() -> None:
    bar = recipe(part("cocoa_nibs_roasted", 500.0), part("sugar_granulated", 500.0))
    (remedy,) = snap(bar, FINE).remedies

    after = fat_phase(apply_remedy(bar, remedy))

    assert after.total_percent.low == pytest.approx(28.0, rel=1e-6)
    assert "look at the name again" in remedy.sentence


def test_the_butter_is_what_the_sentence_says_and_enough() -> None:
    bar = recipe(part("cocoa_nibs_roasted", 500.0), part("sugar_granulated", 500.0))
    (exact,), (weighed,) = snap(bar, FINE).remedies, snap(bar, HERE).remedies

    said_g = int(weighed.sentence.replace("\u00a0", " ").split()[1])

    assert said_g == weighed.changes[0].add_g
    assert 0 <= said_g - exact.changes[0].add_g < 1
    assert snap(apply_remedy(bar, weighed), HERE).verdict is Verdict.GOOD


def test_butter_goes_to_the_butter_that_is_ground_already() -> None:
    bar = recipe(part("cocoa_butter", 24.0, label="my butter"), part("sugar_granulated", 76.0))

    assert snap(bar, HERE).remedies[0].changes[0].part == "my butter"


def test_butter_folded_in_is_not_the_butter_to_add_to() -> None:
    bar = recipe(
        part("cocoa_mass", 45.0),
        part("sugar_granulated", 55.0),
        part("cocoa_butter", 5.0, stage=Stage.FOLDED_IN),
    )
    (remedy,) = snap(bar, HERE).remedies

    assert remedy.changes[0].part == "cocoa_butter_added"
    assert apply_remedy(bar, remedy).part("cocoa_butter_added").in_machine


TABLE = sorted(key for key, one in ingredients().items() if one.kind is not Kind.EMULSIFIER)


@pytest.mark.long
@given(
    st.dictionaries(st.sampled_from(TABLE), st.floats(5, 800), min_size=1, max_size=6),
    st.floats(50, 900),
    st.floats(50, 900),
)
def test_every_remedy_makes_it_better_and_half_of_it_does_not_come_as_far(
    masses: dict[str, float], nibs: float, sugar: float
) -> None:
    bar = recipe(
        part("cocoa_nibs_roasted", nibs, label="nibs"),
        part("sugar_granulated", sugar, label="sugar"),
        *(part(key, mass_g) for key, mass_g in masses.items()),
    )
    answer = snap(bar, HERE)

    for remedy in answer.remedies:
        whole = snap(apply_remedy(bar, remedy), HERE)
        half = snap(apply_remedy(bar, remedy, 0.5), HERE)
        assert remedy.checked
        assert RANK[whole.verdict] > RANK[answer.verdict]
        assert RANK[half.verdict] < RANK[whole.verdict]


def test_only_what_was_used_is_cited() -> None:
    plain = {source.place for source in snap(dark(38.0), HERE).sources}
    mixed = {source.place for source in snap(milk(25.0), HERE).sources}

    assert not any("milk chocolate tempers" in place or "enthalpy" in place for place in plain)
    assert any("milk chocolate tempers" in place for place in mixed)
    assert any("enthalpy" in place for place in mixed)  # its milk fat softens it
