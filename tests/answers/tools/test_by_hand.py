"""The tools that need no recipe say what the answers behind them say."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.answers.answer import Verdict
from nibsmith.answers.context import Context
from nibsmith.answers.cooling import Cooling
from nibsmith.answers.pour import pour
from nibsmith.answers.process import Process
from nibsmith.answers.seed import SeedAsked
from nibsmith.answers.tools.cooling_bar import CoolAsked, cool_by_hand
from nibsmith.answers.tools.damp import DampAsked, damp_by_hand, damp_of
from nibsmith.answers.tools.grinding import (
    GrindAsked,
    LastIn,
    grinding_by_hand,
    grinding_curve,
    readings_typed,
)
from nibsmith.answers.tools.known_mass import KnownMass, known_mass
from nibsmith.answers.tools.pouring import PourAsked, curve_by_hand, pour_by_hand
from nibsmith.answers.tools.roasting import LOSS, RoastTyped, roast_by_hand
from nibsmith.answers.tools.seeding import seed_by_hand
from nibsmith.answers.tools.tempering import TemperAsked, held, temper_by_hand
from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.flow import calibrate
from nibsmith.science.grind import KitSpeed
from nibsmith.science.kit import kit, kits
from nibsmith.science.mixture import Span
from nibsmith.science.temper import Chocolate, Fat, ProgramTable, held_bowl

DRY = Process(
    cocoa_d90_um=Span.exactly(20.0),
    sugar_d90_um=Span.exactly(20.0),
    end_water_percent=Span.exactly(1.0),
)


def dark(fat: float, process: Process = DRY) -> PourAsked:
    return PourAsked(KnownMass(Chocolate.DARK, fat), process)


def plain(text: str) -> str:
    return re.sub("[\u00a0\u202f]", " ", text)


def test_pouring_by_hand_is_the_answer_about_such_a_recipe() -> None:
    asked = dark(36.0)
    there = pour(known_mass(asked.mass), Context(process=DRY))
    here = pour_by_hand(asked).answer
    assert (here.verdict, here.figure, here.low, here.high) == (
        there.verdict,
        there.figure,
        there.low,
        there.high,
    )


def test_water_that_nobody_told_is_a_range_and_never_none() -> None:
    for context in (Context(kit=kit("blender")), Context()):
        asked = PourAsked(KnownMass(Chocolate.DARK, 36.0), context=context)
        outcome = pour_by_hand(asked)
        (water,) = [one for one in outcome.given if one.name == "Water"]
        said = plain(" ".join(outcome.answer.reasons))

        assert (plain(water.text), water.whose) == ("0.7–1.8 %", "usual")
        assert "Water of the finished mass 1.2 %, as is usual, for nobody told it (0.7–1.8 %)" in said
        assert "dry enough" not in said
    stone = PourAsked(KnownMass(Chocolate.DARK, 36.0), context=Context(kit=kit("stone")))
    assert "as is usual" not in " ".join(pour_by_hand(stone).answer.reasons)
    told = PourAsked(KnownMass(Chocolate.DARK, 36.0), Process(end_water_percent=Span.exactly(0.9)))
    assert "0.9 %: dry enough" in plain(" ".join(pour_by_hand(told).answer.reasons))


def test_what_is_known_of_the_kit_counts_in_the_tools_too() -> None:
    flow = replace(
        calibrate([]), eta_factor=Span(1.4, 1.5, 1.6), tau_factor=Span(1.4, 1.5, 1.6), observations=6
    )
    speed = KitSpeed(Span(0.0028, 0.0030, 0.0032), 2000.0, 4)
    mine = Context(kit=kit("stone"), process=Process(calibration=flow, speed=speed))

    poured = pour_by_hand(PourAsked(KnownMass(Chocolate.DARK, 36.0), context=mine)).answer
    assert "Calibrated with 6 observations of this kit" in " ".join(poured.reasons)
    plainly = pour_by_hand(
        PourAsked(KnownMass(Chocolate.DARK, 36.0), context=Context(kit=kit("stone")))
    ).answer
    assert poured.figure == pytest.approx(1.5 * plainly.figure)  # type: ignore[operator]
    ground = grinding_by_hand(GrindAsked(context=mine)).answer
    assert "by 4 batches of your kit" in " ".join(ground.reasons)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("24 h 0.04 mm", "hours and micrometres"),
        ("90 min 45 µm", "hours and micrometres"),
        ("2 days 45", "hours and micrometres"),
        ("24 h 0.04", "No micrometer reads"),
        ("24 h 45 µm 2.5", "whole ones"),
    ],
)
def test_readings_in_other_units_are_refused(typed: str, says: str) -> None:
    with pytest.raises(InputError, match=says):
        readings_typed(typed)


def test_hours_that_are_planned_are_said_and_count() -> None:
    early, late = (grinding_by_hand(GrindAsked(hours=hours)) for hours in (1.0, 60.0))

    assert early.answer.figure > 200 > 30 > late.answer.figure  # type: ignore[operator]
    assert ("Ground in all", "1 h") in [(one.name, plain(one.text)) for one in early.given]


@pytest.mark.parametrize("key", kits())
def test_the_usual_charge_of_a_grinding_is_one_that_the_kit_takes(key: str) -> None:
    machine = kit(key)
    asked = GrindAsked(last=LastIn.NIBS, context=Context(kit=machine))
    (charge,) = [one for one in grinding_by_hand(asked).given if one.name == "Charge"]

    assert (machine.charge_min_g or 0.0) <= asked.charge <= (machine.charge_max_g or 2000.0)
    assert asked.recipe.total_g == pytest.approx(asked.charge)
    whole = f"{asked.charge:,.0f} g".replace(",", " ")
    assert (plain(charge.text), charge.whose) == (whole, "usual")


def test_a_kit_that_takes_more_than_the_usual_charge_gets_its_least() -> None:
    large = replace(kit("stone"), charge_min_g=5000.0, charge_max_g=9000.0)
    assert GrindAsked(context=Context(kit=large)).charge == 5000.0


def test_a_charge_that_is_typed_and_does_not_fit_is_refused() -> None:
    blender = Context(kit=kit("blender"))
    usual, typed = (
        grinding_by_hand(GrindAsked(hours=1.0, charge_g=charge_g, context=blender)).answer
        for charge_g in (None, 2000.0)
    )
    assert "such a charge is not known" not in usual.sentence
    assert typed.verdict is Verdict.UNKNOWN
    assert "(got 2 000 g, limit 200 g to 1 000 g)" in plain(typed.sentence)


def test_more_fat_pours_better() -> None:
    figures = [pour_by_hand(dark(fat)).answer.figure or 0.0 for fat in (28.0, 32.0, 36.0, 40.0)]
    assert all(thick > thin for thick, thin in pairwise(figures))


def test_a_remedy_promises_nothing_about_a_cocoa_share_that_nobody_typed() -> None:
    answer = pour_by_hand(dark(30.0)).answer
    assert answer.remedies
    assert all("Cocoa goes" not in remedy.sentence for remedy in answer.remedies)


def test_a_mass_outside_the_estimate_has_neither_figure_nor_curve() -> None:
    asked = dark(60.0)
    assert pour_by_hand(asked).answer.verdict is Verdict.UNKNOWN
    assert pour_by_hand(asked).answer.figure is None
    assert curve_by_hand(asked) is None


def test_what_went_in_says_whose_it_is() -> None:
    outcome = pour_by_hand(PourAsked(KnownMass(Chocolate.DARK, 36.0), context=Context(kit=kit("stone"))))
    whose = {one.name: one.whose for one in outcome.given}
    assert whose["Fat"] == "yours"
    assert whose["Largest grains of cocoa"] == "usual"
    assert outcome.constants


def test_readings_are_typed_in_any_order_and_read_in_time() -> None:
    read = readings_typed("24 h 45 µm 3\n9 95")
    assert [(one.hours, one.size_um, one.count) for one in read] == [(9.0, 95.0, 1), (24.0, 45.0, 3)]


@pytest.mark.parametrize("text", ["9 95 0", "9 95 1.5", "9 -95"])
def test_readings_that_cannot_be_are_refused(text: str) -> None:
    with pytest.raises(InputError):
        readings_typed(text)


def test_grinding_is_ready_when_one_over_the_size_says_so() -> None:
    """From granules of 500 µm at 0.001 a µm and hour: 1/90.9 at 9 h, 1/38.5 at 24 h, 1/30 at 31.3 h."""
    many = 400
    asked = GrindAsked(
        last=LastIn.SUGAR,
        readings=readings_typed(f"9 90.91 {many}\n24 38.46 {many}"),
        context=Context(kit=kit("stone")),
    )
    curve = grinding_curve(asked)
    assert curve is not None
    assert curve.ready is not None
    assert curve.target_um == 30.0
    assert curve.ready.value == 32.0  # nobody reads tenths of so many hours, and 31 would be too early
    assert curve.ready.low == 31.0


def test_without_readings_a_kit_of_known_speed_still_has_a_forecast() -> None:
    asked = GrindAsked(context=Context(kit=kit("stone")))
    assert grinding_curve(asked) is not None
    assert grinding_by_hand(asked).answer.figure


def test_a_kit_of_unknown_speed_has_none() -> None:
    assert grinding_curve(GrindAsked(context=Context(kit=kit("mortar")))) is None


@given(st.floats(0.0, 25.0), st.floats(10.0, 30.0), st.floats(20.0, 90.0), st.booleans())
def test_a_bar_as_warm_as_is_said_is_just_dry_enough(
    bar: float, room: float, humidity: float, milk: bool
) -> None:
    found = damp_of(DampAsked(bar, room, humidity, milk))
    at_edge = damp_of(DampAsked(found.safe_celsius, room, humidity, milk))
    assert at_edge.at_face == pytest.approx(found.limit)
    assert found.dew_celsius <= found.safe_celsius


@given(st.floats(0.0, 25.0), st.floats(10.0, 30.0), st.floats(20.0, 90.0))
def test_every_way_out_of_the_damp_was_asked_again(bar: float, room: float, humidity: float) -> None:
    answer = damp_by_hand(DampAsked(bar, room, humidity)).answer
    assert all(remedy.checked for remedy in answer.remedies)
    assert bool(answer.remedies) == (answer.verdict is not Verdict.GOOD)


@pytest.mark.parametrize(
    ("bar", "verdict"), [(4.0, Verdict.STOP), (12.0, Verdict.WATCH), (14.0, Verdict.GOOD)]
)
def test_bars_in_a_room_of_20_degrees_and_50_percent(bar: float, verdict: Verdict) -> None:
    """Dew point 9.27 °C (pvlib 0.16.1, tdew_from_rh); 83 % at a bar of 12 °C, 73 % at 14 °C."""
    assert damp_by_hand(DampAsked(bar, 20.0, 50.0)).answer.verdict is verdict


def test_the_humidity_at_the_face_has_its_range_and_says_what_widens_it() -> None:
    """Bar and room to 1 K, the hygrometer to 5 %, as a plain sample of the Magnus formula has it."""
    random = np.random.default_rng(5)
    bar, room, humidity = (
        random.triangular(middle - reach, middle, middle + reach, 6000)
        for middle, reach in ((14.0, 1.0), (20.0, 1.0), (50.0, 5.0))
    )
    pressure = [np.exp(17.62 * celsius / (243.12 + celsius)) for celsius in (room, bar)]
    sample = humidity * pressure[0] / pressure[1]

    answer = damp_by_hand(DampAsked(14.0, 20.0, 50.0)).answer

    assert (answer.low, answer.high) == pytest.approx(tuple(np.quantile(sample, (0.1, 0.9))), abs=0.3)
    assert plain(answer.sentence).endswith("The air at its face is at 73.1 % (68–78.4 %).")
    assert any("widened about equally" in one or "widens the range most" in one for one in answer.reasons)


@given(st.floats(0.0, 25.0), st.floats(10.0, 30.0), st.floats(20.0, 90.0), st.booleans())
def test_no_humidity_that_is_shown_speaks_against_the_verdict(
    bar: float, room: float, humidity: float, milk: bool
) -> None:
    outcome = damp_by_hand(DampAsked(bar, room, humidity, milk))
    limit = damp_of(DampAsked(bar, room, humidity, milk)).limit
    shown = float(re.findall(r"face is at ([0-9.]+)", plain(outcome.answer.sentence))[0])
    assert shown == outcome.answer.figure
    assert (outcome.answer.verdict is Verdict.GOOD) == (shown < limit)
    assert (outcome.answer.verdict is Verdict.STOP) == (shown >= 100)


@pytest.mark.parametrize("bar", [12.27, 12.2, 9.25, 9.2])
def test_on_the_limit_page_and_remedy_name_one_temperature(bar: float) -> None:
    """12.24 °C keep the face of a bar at 82 % in a room of 20 °C and 50 % ([wmo-magnus])."""
    answer = damp_by_hand(DampAsked(bar, 20.0, 50.0)).answer
    assert any(plain(one).startswith("From 12.3 °C") for one in answer.reasons)
    assert all("12.3 °C" in plain(one.sentence) for one in answer.remedies[:1])
    assert damp_by_hand(DampAsked(12.3, 20.0, 50.0)).answer.verdict is Verdict.GOOD
    assert damp_by_hand(DampAsked(12.2, 20.0, 50.0)).answer.verdict is Verdict.WATCH


def test_what_gets_wet_is_said_with_a_bar_that_gets_wet() -> None:
    wet = plain(damp_by_hand(DampAsked(9.2, 20.0, 50.0)).answer.sentence)
    assert "everything of 9.2 °C (48.6 °F) and colder gets wet" in wet


def test_a_room_too_dry_for_the_formula_still_has_its_figures() -> None:
    answer = damp_by_hand(DampAsked(4.0, -10.0, 1.0)).answer
    assert answer.verdict is Verdict.GOOD


@pytest.mark.parametrize(("celsius", "typed"), [(25 / 3, "47 °F"), (70 / 9, "46 °F"), (65 / 9, "45 °F")])
def test_a_temperature_typed_in_fahrenheit_is_shown_as_typed(celsius: float, typed: str) -> None:
    shown = seed_by_hand(SeedAsked(mass_g=1000.0, mass_celsius=46.0, seed_celsius=celsius)).given
    assert any(one.text.replace("\u00a0", " ").endswith(f"({typed})") for one in shown)


def test_temperatures_of_a_cooled_bar_stand_on_both_scales() -> None:
    """46 °F is 7.777… °C."""
    cooling = Cooling(air_celsius=Span.exactly(70 / 9), room_celsius=20.0, room_humidity_percent=50.0)
    shown = {one.name: plain(one.text) for one in cool_by_hand(CoolAsked(cooling=cooling)).given}
    assert shown["Air around the moulds"] == "7.8 °C (46 °F)"
    assert shown["Room"] == "20 °C (68 °F)"


def test_an_own_figure_of_the_air_stands_in_place_of_how_it_moves() -> None:
    cooling = Cooling(chocolate_g=1000.0, exchange=Span.exactly(20.0))
    shown = {one.name: plain(one.text) for one in cool_by_hand(CoolAsked(cooling=cooling)).given}
    assert "Air" not in shown
    assert shown["Heat the air takes up"] == "20 W/(m² K)"
    assert shown["Empty mould"] == "counts as weightless"


def test_a_limit_within_the_range_is_told() -> None:
    near, far = (" ".join(damp_by_hand(DampAsked(bar, 20.0, 50.0)).answer.reasons) for bar in (12.5, 18.0))
    assert "lies within the range" in near
    assert "lies within the range" not in far


def test_the_dark_program_is_the_published_one_until_other_fat_shifts_it() -> None:
    """As published in chocolate-academy-tempering, dark: melt 45 to 50, cool to 27, work at 31 to 32 °C."""
    said = plain(temper_by_hand(TemperAsked(Chocolate.DARK)).answer.sentence)
    assert "45–50 °C" in said
    assert "27 °C" in said
    assert "31–32 °C" in said
    shifted = TemperAsked(Chocolate.DARK, other_percent=20.0)
    assert shifted.program.work_celsius.value == pytest.approx(31.5 - 1.48, abs=0.01)


def test_milk_is_not_shifted_for_its_own_milk_fat() -> None:
    assert TemperAsked(Chocolate.MILK).program.shift_k == 0


def test_other_fat_that_moves_no_program_is_told_to_move_none() -> None:
    milk = temper_by_hand(TemperAsked(Chocolate.MILK, other_percent=12.0)).answer
    assert any("so this one stands" in one for one in milk.reasons)
    dark = temper_by_hand(TemperAsked(Chocolate.DARK, other_percent=12.0)).answer
    assert not any("so this one stands" in one for one in dark.reasons)


def test_a_fat_that_is_mostly_foreign_is_refused() -> None:
    with pytest.raises(OutOfRange):
        temper_by_hand(TemperAsked(Chocolate.DARK, other_percent=60.0))


def test_a_held_bowl_is_told_of_with_its_range() -> None:
    warm = TemperAsked(Chocolate.DARK, held_celsius=31.5)
    bowl, answer = held(warm), temper_by_hand(warm).answer
    assert bowl is not None
    assert (answer.verdict, answer.word) == (Verdict.GOOD, "Dark.")
    assert (answer.figure, answer.unit) == (bowl.minutes, "min")
    assert answer.low < answer.figure < answer.high  # type: ignore[operator]
    assert f"after about {bowl.minutes:.0f} min ({answer.low:.0f}–{answer.high:.0f})" in plain(
        answer.sentence
    )
    assert any("What widens the range most" in one for one in answer.reasons)


def test_the_range_of_a_held_bowl_is_where_a_plain_sample_lies() -> None:
    """Bowl to half a kelvin, 1 to 5 % of seed, growth to a factor of 1.4, as their tables say."""
    random = np.random.default_rng(2)
    count = 4000
    celsius = random.triangular(31.0, 31.5, 32.0, count)
    seed = random.triangular(0.01, 0.02, 0.05, count)
    growth = np.exp(np.log(1.4) * random.normal(size=count))
    minutes = [
        held_bowl(*one).minutes or np.inf
        for one in zip(celsius, [Fat(0.35, growth=float(one)) for one in growth], seed, strict=True)
    ]

    answer = temper_by_hand(TemperAsked(Chocolate.DARK, held_celsius=31.5)).answer

    assert (answer.low, answer.high) == pytest.approx(tuple(np.quantile(minutes, (0.1, 0.9))), rel=0.06)


@pytest.mark.parametrize(
    ("asked", "verdict", "words"),
    [
        (TemperAsked(Chocolate.DARK, held_celsius=36.0), Verdict.STOP, "loses its seeds"),
        (
            TemperAsked(Chocolate.DARK, table=ProgramTable.SECOND, held_celsius=36.5),
            Verdict.STOP,
            "loses its seeds",
        ),
        (
            TemperAsked(Chocolate.DARK, table=ProgramTable.SECOND, held_celsius=35.1),
            Verdict.WATCH,
            "slowly loses its seeds",
        ),
        (TemperAsked(Chocolate.DARK, held_celsius=34.0), Verdict.WATCH, "does not come to be too thick"),
        (
            TemperAsked(Chocolate.DARK, held_celsius=33.0),
            Verdict.WATCH,
            "warmer than the 31–32 °C (87.8–89.6 °F) it is worked at",
        ),
        (TemperAsked(Chocolate.DARK, held_celsius=32.0), Verdict.GOOD, "is too thick after about"),
        (TemperAsked(Chocolate.DARK, held_celsius=31.0), Verdict.GOOD, "is too thick after about"),
        (TemperAsked(Chocolate.DARK, held_celsius=29.8), Verdict.WATCH, "is too thick after about"),
        (TemperAsked(Chocolate.DARK, held_celsius=30.5), Verdict.WATCH, "cooler than the 31–32 °C"),
        (TemperAsked(Chocolate.DARK, held_celsius=26.0), Verdict.WATCH, "cannot be told"),
        (
            TemperAsked(Chocolate.DARK, held_celsius=31.5, fat_percent=60.0),
            Verdict.UNKNOWN,
            "only for masses of 28 to 45 % fat (got 60 %)",
        ),
    ],
)
def test_what_becomes_of_the_bowl_is_the_verdict_and_stands_in_the_sentence(
    asked: TemperAsked, verdict: Verdict, words: str
) -> None:
    answer = temper_by_hand(asked).answer
    assert answer.verdict is verdict
    assert words in plain(answer.sentence)
    assert "Melt at" in answer.sentence
    assert (answer.figure is None) == ("after about" not in answer.sentence)


def test_without_a_bowl_the_program_has_no_figure() -> None:
    answer = temper_by_hand(TemperAsked(Chocolate.DARK)).answer
    assert (answer.verdict, answer.figure, answer.low) == (Verdict.GOOD, None, None)


def test_the_loss_of_a_roast_stands_in_front_and_only_once() -> None:
    typed = RoastTyped(points="0:00 24 °C\n10:00 105\n20:00 121", charge_g=1000.0, end_g=945.0)
    outcome = roast_by_hand(typed).outcome
    assert outcome.details[0].title == LOSS
    assert LOSS not in [detail.title for detail in outcome.answer.details]
    assert "5.5" in outcome.details[0].rows[0][1]  # (1000 - 945)/1000


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (RoastTyped(), "There is no roast yet"),
        (RoastTyped(points="0 24 °C; 5 90; 10 120", dial_celsius=140.0), "comes from one place"),
        (RoastTyped(dial_celsius=140.0), "needs its minutes"),
        (RoastTyped(points="0 24 °C; 5 90; 10 120", charge_g=1000.0), "the weight in and the weight out"),
    ],
)
def test_a_roast_that_is_not_told_is_refused(typed: RoastTyped, said: str) -> None:
    with pytest.raises(InputError, match=said):
        roast_by_hand(typed)


@pytest.mark.parametrize(("chocolate", "heat"), [(Chocolate.DARK, 46.0), (Chocolate.WHITE, 44.0)])
def test_of_the_heats_of_melting_a_seeding_cites_only_the_one_that_counts(
    chocolate: Chocolate, heat: float
) -> None:
    shown = seed_by_hand(SeedAsked(mass_g=1200.0, mass_celsius=46.0, chocolate=chocolate))
    assert [row.value for row in shown.constants if row.unit == "J/g"] == [heat]


def test_the_kit_whose_water_and_readings_count_stands_among_what_went_in() -> None:
    mass, stone = KnownMass(Chocolate.DARK, 36.0), kit("stone")
    told = {row.name: row.text for row in pour_by_hand(PourAsked(mass, Process(), Context(kit=stone))).given}

    assert told["Kit"] == stone.name
    assert "Kit" not in {row.name for row in pour_by_hand(PourAsked(mass, Process(), Context())).given}
