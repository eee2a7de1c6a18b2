"""The batch sheet is a process for this kit, with every weight in its place once."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.answers._seed_words import without_detail
from nibsmith.answers._setting import setting_of
from nibsmith.answers.answer import Verdict
from nibsmith.answers.context import Context
from nibsmith.answers.seed import SeedAsked
from nibsmith.answers.sheet import Sheet, batch_sheet
from nibsmith.science.errors import InputError
from nibsmith.science.kit import Mould, kit, kits
from nibsmith.science.mixture import Form, Kind, Part, Recipe, Span, Stage, ingredients, own_ingredient, part

BAR = Mould("Bar", 70.0, 3)
NUTS = part("hazelnut_dry_roasted", 240.0)
DARK = (
    part("lecithin_soy", 4.0),
    part("vanilla_bean", 2.0),
    part("sugar_granulated", 674.0),
    part("cocoa_butter", 40.0),
    part("cocoa_nibs_roasted", 1040.0),
)
MILK = (
    part("milk_powder_whole", 220.0),
    part("sugar_granulated", 400.0),
    part("cocoa_butter", 180.0),
    part("cocoa_mass", 200.0),
)


def recipe(*parts: Part, form: Form = Form.BAR) -> Recipe:
    return Recipe("Lantern", form, parts)


def plain(text: str) -> str:
    return text.replace("\u00a0", " ").replace("\u202f", " ")


def labels(sheet: Sheet) -> list[str]:
    return [row.label for row in sheet.weigh.rows]


def test_the_weigh_table_is_in_the_order_of_use_whatever_the_recipe_s() -> None:
    sheet = batch_sheet(recipe(*DARK, NUTS), Context(kit=kit("stone")))

    assert labels(sheet) == [
        "cocoa_nibs_roasted",
        "cocoa_butter",
        "sugar_granulated",
        "lecithin_soy",
        "vanilla_bean",
    ]
    assert labels(batch_sheet(recipe(*MILK), Context())) == [
        "cocoa_mass",
        "cocoa_butter",
        "sugar_granulated",
        "milk_powder_whole",
    ]


def test_the_stage_comes_before_the_kind() -> None:
    late = part("cocoa_butter", 30.0, stage=Stage.LATE)
    early = part("milk_powder_whole", 30.0, stage=Stage.START)

    sheet = batch_sheet(recipe(late, part("sugar_granulated", 30.0), early), Context())

    assert labels(sheet) == ["milk_powder_whole", "sugar_granulated", "cocoa_butter"]


@pytest.mark.long
@given(
    st.dictionaries(st.sampled_from(sorted(ingredients())), st.sampled_from(Stage), min_size=1, max_size=12),
    st.sampled_from([None, *kits()]),
)
def test_every_part_is_taken_up_once_by_the_steps_or_the_fold_in_card(
    stages: dict[str, Stage], kit_key: str | None
) -> None:
    bar = recipe(part("cocoa_mass", 90.0, label="base"), *(part(k, 10.0, stage=s) for k, s in stages.items()))
    sheet = batch_sheet(bar, Context(kit=None if kit_key is None else kit(kit_key)))

    taken = [name for step in sheet.steps for name, _ in step.weights]
    folded = [row.name for row in sheet.fold_in.rows] if sheet.fold_in else []
    assert Counter(taken + folded) == Counter(part.name for part in bar.parts)
    assert [row.name for row in sheet.weigh.rows] == taken


@pytest.mark.long
@given(
    st.lists(st.floats(0.3, 3000), min_size=2, max_size=8),
    st.sampled_from([Decimal("0.1"), Decimal(1), Decimal(5)]),
)
def test_every_weight_is_a_step_of_the_scale_and_within_one_of_exact(
    masses: list[float], step: Decimal
) -> None:
    bar = recipe(*(part("sugar_granulated", mass_g, label=str(i)) for i, mass_g in enumerate(masses)))
    sheet = batch_sheet(bar, Context(scale_g=step))

    assert all(row.mass_g % step == 0 for row in sheet.weigh.rows)
    assert all(abs(float(row.mass_g) - bar.part(row.label).mass_g) < float(step) for row in sheet.weigh.rows)
    assert sheet.weigh.total_g == sum(row.mass_g for row in sheet.weigh.rows)
    assert abs(float(sheet.weigh.total_g) - bar.total_g) <= float(step) / 2 + 1e-9  # half a step, in binary


def test_grams_and_pounds_stand_side_by_side() -> None:
    row = batch_sheet(recipe(*DARK), Context()).weigh.rows[0]

    assert (plain(row.metric), plain(row.imperial)) == ("1 040 g", "2 lb 4.68 oz")


def test_a_dose_too_small_for_the_scale_is_told_with_ways_out() -> None:
    bar = recipe(part("cocoa_mass", 300.0), part("cocoa_butter", 198.5), part("lecithin_soy", 1.5))

    (dose,) = batch_sheet(bar, Context()).weigh.small_doses

    assert "33 %" in dose
    assert "0.1" in dose
    assert "cocoa butter" in dose
    assert batch_sheet(bar, Context(scale_g=Decimal("0.1"))).weigh.small_doses == ()


@pytest.mark.parametrize(
    ("charge", "verdict"),
    [
        (499.0, Verdict.WATCH),
        (500.0, Verdict.GOOD),
        (3000.0, Verdict.GOOD),
        (3001.0, Verdict.STOP),
    ],
)
def test_the_charge_is_held_against_what_the_kit_takes(charge: float, verdict: Verdict) -> None:
    card = batch_sheet(recipe(part("cocoa_mass", charge)), Context(kit=kit("stone"))).kit

    assert card.verdict is verdict


def test_a_kit_without_limits_and_no_kit_are_unknown() -> None:
    for here in (Context(), Context(kit=kit("ball_mill"))):
        assert batch_sheet(recipe(*DARK), here).kit.verdict is Verdict.UNKNOWN


@pytest.mark.parametrize("machine", [None, "blender"])
def test_the_kit_card_has_the_loss_that_the_maker_says(machine: str | None) -> None:
    here = Context(kit=None if machine is None else kit(machine), kept_back_g=15.0, lost_percent=4.0)
    card = batch_sheet(recipe(part("cocoa_mass", 500.0)), here).kit
    facts = {name: plain(text) for name, text in card.facts}
    assert facts["Stays behind"] == "about 15 g"
    assert facts["Lost besides"] == "4 % of the finished mass"
    # By hand: 96 % of 500 g, less 15 g.
    assert facts["Comes out"] == "about 465 g"
    assert "stays behind" not in card.sentence


def test_milk_has_the_lower_ceiling() -> None:
    blender = Context(kit=kit("blender"))

    dark = dict(batch_sheet(recipe(*DARK), blender).kit.facts)["Not above"]
    milk = dict(batch_sheet(recipe(*MILK), blender).kit.facts)["Not above"]

    assert (plain(dark), plain(milk)) == ("50 °C (122 °F)", "45 °C (113 °F)")


def test_nothing_is_warmed_above_the_ceiling() -> None:
    milk = batch_sheet(recipe(*MILK), Context(kit=kit("blender")))

    assert plain(dict(milk.kit.facts)["Warm to"]) == "45 °C (113 °F)"
    assert "50 °C" not in plain(" ".join(step.text for step in milk.steps))


def test_the_charge_on_the_card_is_what_the_weights_come_to() -> None:
    sheet = batch_sheet(recipe(*(part("cocoa_mass", 200.4, label=str(i)) for i in range(3))), Context())

    assert dict(sheet.kit.facts)["Charge"] == sheet.weigh.metric == "601\u00a0g"


def test_nibs_are_not_spoken_of_where_there_are_none() -> None:
    for key in (None, *kits()):
        steps = batch_sheet(recipe(*MILK), Context(kit=None if key is None else kit(key))).steps

        assert not any(" nibs" in step.text for step in steps), key


def test_what_is_unknown_takes_the_lower_ceiling() -> None:
    own = own_ingredient("Farm milk", Kind.MILK, {"fat_g": 25.0})
    sheet = batch_sheet(recipe(*DARK, part(own, 100.0)), Context(kit=kit("blender")))

    assert plain(dict(sheet.kit.facts)["Not above"]).startswith("45 °C")
    assert sheet.temper.rows == ()


def titles(sheet: Sheet) -> list[str]:
    return [step.title for step in sheet.steps]


def test_a_blender_has_its_sugar_milled_first_and_a_stone_does_not() -> None:
    assert titles(batch_sheet(recipe(*DARK), Context(kit=kit("blender"))))[0] == "Mill the sugar"
    assert "Mill the sugar" not in titles(batch_sheet(recipe(*DARK), Context(kit=kit("stone"))))


def test_icing_sugar_is_warned_of_and_not_milled() -> None:
    bar = recipe(part("cocoa_nibs_roasted", 300.0), part("sugar_powdered", 100.0))

    found = titles(batch_sheet(bar, Context(kit=kit("stick_blender"))))

    assert "Bought icing sugar" in found
    assert "Mill the sugar" not in found


def test_vanilla_goes_in_as_powder_and_never_as_extract() -> None:
    steps = batch_sheet(recipe(*DARK), Context(kit=kit("stone"))).steps
    (flavour,) = [step for step in steps if step.title == "Flavourings"]

    assert "never as extract" in flavour.text
    assert "last hour" in flavour.text


def test_hours_and_size_of_the_kit_stand_in_its_steps() -> None:
    text = " ".join(step.text for step in batch_sheet(recipe(*DARK), Context(kit=kit("stone"))).steps)

    assert "24–72 hours" in text
    assert "15–30 µm" in plain(text)


@pytest.mark.parametrize("key", [None, *kits()])
@pytest.mark.parametrize("form", Form)
def test_no_step_is_left_with_an_open_brace(key: str | None, form: Form) -> None:
    everything = recipe(*DARK, *MILK[:1], NUTS, part("honey", 1.0, stage=Stage.FILLING), form=form)
    sheet = batch_sheet(everything, Context(kit=None if key is None else kit(key), mould=BAR))

    assert all("{" not in step.text and "  " not in step.text for step in sheet.steps)
    assert sheet.steps[0].text


def test_a_roll_refiner_holds_back_the_butter_that_makes_a_dough() -> None:
    bar = recipe(part("cocoa_mass", 450.0), part("sugar_granulated", 400.0), part("cocoa_butter", 150.0))
    (dough,) = [
        step for step in batch_sheet(bar, Context(kit=kit("roll_refiner"))).steps if "dough" in step.title
    ]

    # Fat 450 * 0.5231 + 150 = 385.4 g of 1000 g; (385.4 - 260) / 0.74 = 169 g, and there are 150 g of butter.
    assert "Hold back about 150 g" in plain(dough.text)
    assert "about 28 % fat" in plain(dough.text)


def test_the_fold_in_card_weighs_for_the_mass_that_is_there() -> None:
    sheet = batch_sheet(recipe(*DARK, NUTS), Context(kit=replace(kit("stone"), end_water_percent=None)))
    assert sheet.fold_in is not None
    (row,) = sheet.fold_in.rows

    # 240 g in 1760 g of mass are 136.4 g for each 1000 g; 150 g stay on the stones, so 1610 g take 219.5 g.
    assert plain(row.per_kg) == "136.4 g"
    assert plain(sheet.fold_in.planned_mass) == "1 610 g"
    assert row.planned_g == 220
    assert plain(row.in_recipe) == "240 g"


def test_cold_fold_ins_are_told_of_with_figures() -> None:
    sheet = batch_sheet(recipe(*DARK, NUTS), Context())
    assert sheet.fold_in is not None

    assert [plain(where)[:12] for where, _ in sheet.fold_in.cold] == [
        "From a room ",
        "From a fridg",
        "From a freez",
    ]
    assert "29.8 °C" in plain(sheet.fold_in.cold[0][1])
    assert plain(sheet.fold_in.sentence).startswith("Bring them to 30–33 °C")


def test_a_fold_in_without_an_analysis_is_named_instead_of_guessed() -> None:
    own = own_ingredient("Brittle", Kind.OTHER_FOOD, {"water_g": 2.0}, stage=Stage.FOLDED_IN)
    sheet = batch_sheet(recipe(*DARK, part(own, 100.0)), Context())
    assert sheet.fold_in is not None

    assert sheet.fold_in.cold == ()
    assert "Brittle" in sheet.fold_in.note


def test_what_is_the_maker_s_own_is_told_from_the_packaged_thing_of_its_name() -> None:
    butter = own_ingredient("Cocoa butter", Kind.BUTTER, {"fat_g": 99.8, "water_g": 0.1})
    nuts = own_ingredient("Hazelnuts", Kind.OTHER_FOOD, {"water_g": 2.0}, stage=Stage.FOLDED_IN)
    sheet = batch_sheet(recipe(*DARK, part(butter, 30.0, label="mine"), part(nuts, 50.0), NUTS), Context())

    assert {row.label: row.note for row in sheet.weigh.rows if row.name == "Cocoa butter"} == {
        "cocoa_butter": "",
        "mine": "yours",
    }
    assert sheet.fold_in is not None
    assert [row.stage for row in sheet.fold_in.rows] == ["folded in, yours", "folded in"]
    named = [name for step in sheet.steps for name, _ in step.weights if "utter" in name]
    assert sorted(named) == ["Cocoa butter", "Cocoa butter, yours"]


@pytest.mark.parametrize("key", [None, *kits()])
def test_a_sheet_of_butter_alone_can_be_made_with_any_kit(key: str | None) -> None:
    sheet = batch_sheet(recipe(part("cocoa_butter", 500.0)), Context(kit=None if key is None else kit(key)))

    assert [row.label for row in sheet.weigh.rows] == ["cocoa_butter"]


def test_what_lies_on_the_back_pulls_no_temperature_down() -> None:
    sheet = batch_sheet(recipe(*DARK, replace(NUTS, stage=Stage.ON_BACK)), Context())
    assert sheet.fold_in is not None

    assert sheet.fold_in.cold == ()
    assert sheet.fold_in.rows[0].stage == "on the back"
    assert "On the back" in titles(sheet)
    assert "Fold in" not in titles(sheet)


def test_no_fold_ins_no_card() -> None:
    assert batch_sheet(recipe(*DARK), Context()).fold_in is None


@pytest.mark.parametrize("bars", [1, 24, 100])
@pytest.mark.parametrize("key", [None, "stone", "blender"])
def test_a_number_of_bars_is_weighed_for_and_comes_out(bars: int, key: str | None) -> None:
    here = Context(kit=None if key is None else kit(key), mould=BAR, bars=bars, scale_g=Decimal("0.1"))
    sheet = batch_sheet(recipe(*DARK, NUTS), here)
    assert sheet.moulds is not None

    count = dict(sheet.moulds.facts)["Bars"]
    assert count.split()[0] == str(bars)
    assert dict(sheet.moulds.facts)["Moulds"] == f"{-(-bars // 3)} of 3 cavities"


def test_moulds_of_one_cavity_are_not_counted_beside_the_bars() -> None:
    sheet = batch_sheet(recipe(*DARK), Context(mould=Mould("Bar", 70.0)))
    assert sheet.moulds is not None

    assert "Moulds" not in dict(sheet.moulds.facts)


def test_shares_are_those_of_the_recipe_and_not_of_what_the_machine_keeps_back() -> None:
    bar = recipe(*DARK, NUTS)
    sheet = batch_sheet(bar, Context(kit=kit("stone"), mould=BAR, bars=24))

    assert plain(sheet.weigh.rows[0].share) == "52.0 %"
    assert dict(sheet.facts)["Bars"] == "24 of 70\u00a0g"
    assert any("those of the recipe" in remark for remark in sheet.weigh.remarks)
    assert batch_sheet(bar, Context(kit=kit("stone"))).weigh.remarks == ()
    assert sheet.weigh.rows[0].mass_g / sheet.weigh.total_g == pytest.approx(
        Decimal(1040) / 1760, rel=Decimal("0.001")
    )


def test_bars_have_a_range_from_what_stays_on_the_machine() -> None:
    sheet = batch_sheet(recipe(part("cocoa_mass", 1000.0)), Context(kit=kit("stone"), mould=BAR))
    assert sheet.moulds is not None

    # 1000 g less 0.34 g of water, less 300, 150, 100 g, in bars of 70 g
    assert plain(dict(sheet.moulds.facts)["Bars"]).startswith("12 (9 to 12,")


def test_the_temper_card_has_both_scales() -> None:
    rows = {name: plain(value) for name, value in batch_sheet(recipe(*DARK), Context()).temper.rows}

    assert rows["Work at"] == "31–32 °C (87.8–89.6 °F)"
    assert rows["Melt at"] == "45–50 °C (113–122 °F)"


@pytest.mark.parametrize("paste_g", [0.0, 80.0])
def test_first_crystals_go_in_as_warm_on_the_temper_card_as_on_the_bench(paste_g: float) -> None:
    """33 to 34 °C from memory, less what other fat in the mass lowers it by."""
    nuts = (part("hazelnut_paste", paste_g),) if paste_g else ()
    sheet = batch_sheet(recipe(*DARK, *nuts), Context())
    setting = setting_of(recipe(*DARK, *nuts))

    assert setting.program is not None
    asked = SeedAsked(mass_g=1000.0, chocolate=setting.program.chocolate, program=setting.program)
    note = next(plain(note) for note in sheet.temper.notes if "cocoa butter" in note)
    way = plain(dict(without_detail(asked).rows)["Cocoa butter seed"])
    low, high = (float(text) for text in re.findall(r"([\d.]+)–([\d.]+) °C", note)[0])
    bench = float(re.findall(r"stirred in at ([\d.]+) °C", way)[0])
    assert (low + high) / 2 == pytest.approx(bench, abs=0.051)
    assert (low, high) == pytest.approx(
        (33 - setting.program.shift_k, 34 - setting.program.shift_k), abs=0.051
    )


def test_a_drinking_tablet_may_stay_untempered() -> None:
    sheet = batch_sheet(recipe(*DARK, form=Form.DRINKING), Context())

    assert "on purpose" in sheet.temper.sentence
    assert "Tempered or not" in titles(sheet)
    assert "Temper" not in titles(sheet)


def test_what_the_answers_hold_against_it_stands_before_the_start() -> None:
    wet = batch_sheet(recipe(*DARK, part("vanilla_extract", 5.0)), Context())

    assert any("Vanilla extract in the mass" in note for note in wet.notes)
    assert [note.split(". ")[0] for note in batch_sheet(recipe(*DARK), Context()).notes] == [
        "Who must not eat it? Declare soybeans"
    ]
    assert batch_sheet(recipe(*DARK[2:]), Context()).notes == ()


def test_what_is_in_an_own_recipe_is_told_beside_its_weight() -> None:
    base = recipe(part("cocoa_mass", 66.0), part("sugar_granulated", 34.0))
    sheet = batch_sheet(recipe(part(base, 900.0, label="Base"), part("cocoa_butter", 100.0)), Context())

    assert plain(sheet.weigh.remarks[0]) == (
        "In the 900 g of Lantern: 594 g of cocoa mass and 306 g of granulated sugar."
    )


def test_shells_are_moulded_before_they_are_filled() -> None:
    cream = replace(part("almond_dry_roasted", 300.0), stage=Stage.FILLING)
    found = titles(batch_sheet(recipe(*MILK, cream, form=Form.FILLED), Context()))

    assert found.index("Mould the shells") < found.index("Fill and close") < found.index("Cool")
    assert "Mould" not in found


@pytest.mark.parametrize("key", [None, *kits()])
def test_no_step_speaks_of_milk_where_there_is_none(key: str | None) -> None:
    bar = recipe(*DARK, part("cinnamon", 8.0))
    sheet = batch_sheet(bar, Context(kit=None if key is None else kit(key)))

    assert not any("milk" in f"{step.title} {step.text}".lower() for step in sheet.steps)


def test_cautions_follow_the_recipe_and_the_kit() -> None:
    raw = batch_sheet(recipe(part("cocoa_nibs_raw", 700.0), *DARK[:3]), Context(kit=kit("stone")))

    words = " ".join(raw.cautions)
    assert "Salmonella" in words
    assert "Unplug" in words
    assert "estimated" in words


def test_the_version_and_the_blanks_are_there() -> None:
    sheet = batch_sheet(recipe(*DARK), Context(), "Version 3")

    assert sheet.version == "Version 3"
    assert sheet.blanks[0] == "Date"
    assert len(sheet.tasting) >= 4


def test_a_recipe_used_as_a_part_is_one_row() -> None:
    liquor = Recipe("Own liquor", Form.BAR, (part("cocoa_nibs_roasted", 90.0), part("cocoa_butter", 10.0)))
    sheet = batch_sheet(
        recipe(part(liquor, 500.0, kind=Kind.MASS), part("sugar_granulated", 300.0)), Context()
    )

    assert labels(sheet) == ["Own liquor", "sugar_granulated"]
    assert sheet.weigh.rows[0].note == "own recipe"


def test_an_empty_machine_is_refused() -> None:
    with pytest.raises(InputError, match="machine"):
        batch_sheet(recipe(part("almond", 1.0)), Context())


def test_a_machine_of_one_s_own_is_not_told_that_its_figures_are_those_of_another() -> None:
    stone = kit("stone")
    own = replace(stone, charge_max_g=9000.0, residue_g=Span.exactly(135.0), charge_note="")

    packaged, mine = (batch_sheet(recipe(*DARK), Context(kit=each)).kit for each in (stone, own))

    assert any("table-top" in note for note in packaged.notes)
    assert not any("table-top" in note for note in mine.notes)
    assert plain(dict(mine.facts)["Stays behind"]) == "about 135 g"
    assert plain(dict(packaged.facts)["Stays behind"]) == "about 150 g (100 g to 300 g)"
