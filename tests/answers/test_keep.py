"""Will it keep: water by whose it is, and remedies that are asked again."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.answers.answer import Verdict
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.context import Context
from nibsmith.answers.keep import keep
from nibsmith.answers.process import Process
from nibsmith.science.keep import mass_water
from nibsmith.science.kit import kit
from nibsmith.science.mixture import Form, Kind, Part, Recipe, Span, Stage, ingredients, own_ingredient, part

RANK = {Verdict.STOP: 0, Verdict.UNKNOWN: 1, Verdict.WATCH: 2, Verdict.GOOD: 3}
HERE = Context()
FINE = Context(scale_g=Decimal("0.0001"))  # so fine that rounding up to its steps does not show


def recipe(*parts: Part) -> Recipe:
    return Recipe("bar", Form.BAR, parts)


def damp(water_percent_of_mass: float) -> Recipe:
    """A mass to which a spice with 10 % of water brings this much per 100 g."""
    spice = own_ingredient("Spice", Kind.OTHER_FOOD, {"water_g": 10.0})
    spice_g = 10 * water_percent_of_mass
    return recipe(part("cocoa_mass", 100 - spice_g), part(spice, spice_g))


@pytest.mark.parametrize("key", ["honey", "maple_syrup", "molasses", "vanilla_extract", "raspberry_raw"])
@pytest.mark.parametrize("grams", [0.001, 1.0, 50.0])
def test_any_amount_of_a_liquid_or_fresh_fruit_in_the_mass_is_a_stop(key: str, grams: float) -> None:
    answer = keep(recipe(part("cocoa_mass", 1000.0), part(key, grams, stage=Stage.WITH_SUGAR)), HERE)

    assert answer.verdict is Verdict.STOP


@pytest.mark.parametrize(
    ("percent", "verdict"),
    [
        (0.29, Verdict.GOOD),
        (0.31, Verdict.WATCH),
        (0.99, Verdict.WATCH),
        (1.01, Verdict.STOP),
    ],
)
def test_dry_parts_are_counted_by_the_water_they_bring(percent: float, verdict: Verdict) -> None:
    answer = keep(damp(percent), HERE)

    assert answer.verdict is verdict
    assert answer.figure == pytest.approx(percent)


def test_the_cost_in_fat_is_told_by_common_practice() -> None:
    assert "about 2 % more fat" in keep(damp(0.6), HERE).sentence


def test_raw_nibs_and_milk_chocolate_are_not_held_against_their_own_water() -> None:
    nibs = recipe(part("cocoa_nibs_raw", 700.0), part("sugar_granulated", 300.0))
    milk = recipe(part("cocoa_mass", 400.0), part("sugar_granulated", 400.0), part("milk_powder_skim", 200.0))

    assert keep(nibs, HERE).verdict is keep(milk, HERE).verdict is Verdict.GOOD
    assert any("own water" in reason for reason in keep(nibs, HERE).reasons)


def test_milk_water_and_extra_over_one_gram_together_are_a_watch() -> None:
    milk = own_ingredient("Milk powder", Kind.MILK, {"water_g": 4.0})

    assert keep(recipe(part("cocoa_butter", 76.0), part(milk, 24.0)), HERE).verdict is Verdict.GOOD
    assert keep(recipe(part("cocoa_butter", 74.0), part(milk, 26.0)), HERE).verdict is Verdict.WATCH


def test_a_pinch_of_unknown_water_does_not_hide_the_answer_and_a_handful_does() -> None:
    herb = own_ingredient("Dried herb", Kind.OTHER_FOOD, {})
    assert keep(recipe(part("cocoa_mass", 999.0), part(herb, 1.0)), HERE).verdict is Verdict.GOOD

    handful = keep(recipe(part("cocoa_mass", 970.0), part(herb, 30.0)), HERE)
    assert handful.verdict is Verdict.UNKNOWN
    assert "Dried herb" in handful.sentence


@pytest.mark.parametrize(
    ("key", "verdict"),
    [
        ("raspberry_raw", Verdict.STOP),
        ("candied_fruit", Verdict.WATCH),
        ("raisin", Verdict.WATCH),
        ("almond", Verdict.WATCH),
        ("almond_dry_roasted", Verdict.GOOD),
        ("raspberry_freeze_dried", Verdict.GOOD),
    ],
)
def test_inclusions_decide_too(key: str, verdict: Verdict) -> None:
    assert keep(recipe(part("cocoa_mass", 900.0), part(key, 100.0)), HERE).verdict is verdict


def test_roasted_nuts_shorten_the_life() -> None:
    answer = keep(recipe(part("cocoa_mass", 900.0), part("hazelnut_dry_roasted", 100.0)), HERE)

    assert any("shorter" in reason for reason in answer.reasons)


def test_it_is_no_shelf_life_and_says_who_decides() -> None:
    answer = keep(recipe(part("cocoa_mass", 1.0)), HERE)

    assert "no shelf life" in answer.cautions[0]
    assert "laboratory" in answer.cautions[0]


def test_fresh_fruit_is_replaced_by_the_same_dry_matter_freeze_dried() -> None:
    bar = recipe(part("cocoa_mass", 900.0), part("raspberry_raw", 100.0))
    remedy = keep(bar, FINE).remedies[0]

    fruit = apply_remedy(bar, remedy).part("raspberry_freeze_dried")

    assert "freeze-dried raspberries" in remedy.sentence
    assert fruit.mass_g * 0.97 == pytest.approx(100 * (1 - 0.8575), abs=1e-4)


def test_too_much_spice_is_cut_to_the_limit_and_not_further() -> None:
    bar = damp(1.5)
    cut = next(remedy for remedy in keep(bar, FINE).remedies if remedy.changes)

    assert mass_water(apply_remedy(bar, cut)).extra.value == pytest.approx(1.0, rel=1e-5)


def test_what_is_taken_out_is_what_the_sentence_says_and_enough() -> None:
    """15 g of spice at 10 % on 100 g: 1.5 - x / 10 = 1 % of 100 - x, so 5.56 g have to go; 6 on the scale."""
    cut = next(remedy for remedy in keep(damp(1.5), HERE).remedies if remedy.changes)

    assert cut.sentence.replace("\u00a0", " ").startswith("Take out 6 g of Spice")
    assert [change.add_g for change in cut.changes] == [-6.0]
    assert cut.checked


def test_too_much_spice_may_be_dried_first_which_is_work_and_no_change_of_the_recipe() -> None:
    drying = [remedy for remedy in keep(damp(1.5), HERE).remedies if not remedy.changes]

    assert [remedy.checked for remedy in drying] == [False]
    assert drying[0].sentence.startswith("Dry Spice first")


def test_a_wet_part_inside_a_recipe_used_as_a_part_is_left_out_whole() -> None:
    rework = Recipe("Rework", Form.BAR, (part("cocoa_mass", 50.0), part("honey", 5.0)))
    bar = recipe(part("cocoa_mass", 900.0), part(rework, 100.0))

    answer = keep(bar, HERE)

    assert answer.verdict is Verdict.STOP
    assert [remedy.changes[0].part for remedy in answer.remedies] == ["Rework"]


def test_a_label_that_another_part_has_is_not_taken() -> None:
    bar = recipe(
        part("cocoa_mass", 900.0, label="sugar_granulated"), part("honey", 50.0), part("cocoa_butter", 100.0)
    )
    remedy = keep(bar, HERE).remedies[0]

    after = apply_remedy(bar, remedy)

    assert after.part("sugar_granulated").mass_g == 900.0
    assert after.part("sugar_granulated_instead").mass_g > 0


def test_leaving_out_never_leaves_nothing() -> None:
    assert keep(recipe(part("raspberry_raw", 1.0)), HERE).remedies == ()


def test_honey_alone_can_still_become_sugar() -> None:
    remedies = keep(recipe(part("honey", 100.0)), HERE).remedies

    assert [remedy.new_total_g for remedy in remedies] == [pytest.approx(82.9, abs=0.1)]


def nibs(key: str, **more: float) -> Recipe:
    masses_g = {key: 600.0, "cocoa_butter": 100.0, "sugar_granulated": 300.0, **more}
    return recipe(*(part(each, mass_g) for each, mass_g in masses_g.items()))


@pytest.mark.parametrize("key", ["blender", "stick_blender", "mortar", "hand_mill"])
def test_water_of_the_cocoa_stays_in_a_kit_that_does_not_dry(key: str) -> None:
    """60 % raw nibs at 6 % bring 3.6 g per 100 g of mass, roasted at 2.5 % 1.5 g; mass at 1.34 % 0.8 g."""
    here = Context(kit=kit(key))

    raw, roasted, mass = (
        keep(nibs(each), here) for each in ("cocoa_nibs_raw", "cocoa_nibs_roasted", "cocoa_mass")
    )

    assert [each.verdict for each in (raw, roasted, mass)] == [Verdict.STOP, Verdict.WATCH, Verdict.GOOD]
    assert "3.6 g per 100 g of mass" in raw.sentence
    assert "little" not in raw.sentence


def test_a_stone_grinder_drives_it_out() -> None:
    assert keep(nibs("cocoa_nibs_raw"), Context(kit=kit("stone"))).verdict is Verdict.GOOD


def test_a_measured_water_goes_before_the_kit() -> None:
    for percent, verdict in ((1.0, Verdict.GOOD), (1.5, Verdict.WATCH), (2.5, Verdict.STOP)):
        measured = Process(end_water_percent=Span.exactly(percent))
        for key in ("stone", "blender"):
            answer = keep(nibs("cocoa_nibs_raw"), Context(kit=kit(key), process=measured))
            assert answer.verdict is verdict


def test_nibs_for_a_blender_are_dried_to_what_a_stone_grinder_leaves() -> None:
    """36.1 g of water in 1000 g: x = (36.1 - 12) / 0.988 = 24.3 g have to go."""
    (drying,) = keep(nibs("cocoa_nibs_raw"), Context(kit=kit("blender"))).remedies

    assert drying.sentence.replace("\u00a0", " ") == "Dry raw nibs first, until 24.4 g of water are gone."
    assert not drying.checked


TABLE = sorted(ingredients())


@pytest.mark.long
@given(
    st.dictionaries(st.sampled_from(TABLE), st.floats(0.5, 800), min_size=1, max_size=7),
    st.sampled_from([None, Stage.WITH_SUGAR, Stage.FOLDED_IN]),
    st.sampled_from([None, "stone", "blender"]),
)
def test_every_checked_remedy_makes_it_better_and_half_of_it_does_not(
    masses: dict[str, float], stage: Stage | None, key: str | None
) -> None:
    here = Context(kit=None if key is None else kit(key))
    facts = {} if stage is None else {"stage": stage}
    bar = recipe(
        part("cocoa_mass", 300.0, label="base"), *(part(key, g, **facts) for key, g in masses.items())
    )
    answer = keep(bar, here)

    for remedy in answer.remedies:
        if remedy.changes:
            whole = keep(apply_remedy(bar, remedy), here)
            half = keep(apply_remedy(bar, remedy, 0.5), here)
            assert remedy.checked
            assert RANK[whole.verdict] > RANK[answer.verdict] >= RANK[half.verdict]
            assert remedy.new_total_g == pytest.approx(apply_remedy(bar, remedy).total_g)


def test_what_grows_at_which_water_activity_is_told() -> None:
    # Under 0.60 nothing, then yeasts and few moulds, from 0.65 on xerophilic moulds [nys-water-activity];
    # 0.70 the working limit of nuts and dried fruit [meter-food]; 0.85 the line of Salmonella [codex-cxc75].
    answer = keep(recipe(part("cocoa_mass", 80.0), part("raisin", 20.0)), HERE)
    (table,) = answer.details
    told = [word.strip(",.;") for word in table.note.split()]

    assert [word for word in told if word.startswith("0.")] == ["0.60", "0.60", "0.65", "0.70", "0.85"]
    assert "Salmonella" in told
    cited = {source.key for source in answer.sources}
    assert {"nys-water-activity", "meter-food", "codex-cxc75"} <= cited
    # 0.3 % of water for 1 % of fat: the same row as in the flow of the mass.
    assert "moisture-trade" in cited
