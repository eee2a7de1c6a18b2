"""The flow model: worked examples by hand, what it says of coarse cocoa, and where it refuses."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from nibsmith.science.errors import InputError, OutOfRange, UnknownFigure
from nibsmith.science.flow import (
    Conditions,
    FlowMatter,
    Use,
    check_range,
    crowding,
    equivalent_fat,
    fat_needed,
    flow,
    flow_limit,
    flow_matter,
    limits_of,
    liquid_fat_viscosity,
    locked_in_mass,
    locked_share,
    plastic_viscosity,
    solids_by_volume,
    specific_surface,
)
from nibsmith.science.flow.suspension import casson_yield
from nibsmith.science.mixture import Form, Kind, Recipe, Span, Stage, own_ingredient, part
from nibsmith.science.tables import load

WORKED = 1495.92  # density of the solids in the examples worked by hand


def by_hand(fat: float, size: float, lecithin: float, water: float, celsius: float, density: float):
    surface = specific_surface(size, 0.22)
    crowded = crowding(solids_by_volume(equivalent_fat(fat, lecithin, water), density), surface)
    liquid = liquid_fat_viscosity(celsius)
    viscosity = plastic_viscosity(crowded, liquid, 0.64)
    return float(crowded), float(viscosity), float(casson_yield(surface, viscosity, liquid))


@pytest.mark.parametrize(
    ("fat", "size", "lecithin", "water", "celsius", "viscosity", "stress"),
    [
        (0.35, 20, 0, 0.012, 40, 1.857, 13.56),
        (0.378, 20, 0, 0.012, 40, 1.082, 9.76),  # nibs with 54 % butter
        (0.37, 20, 0, 0.012, 40, 1.243, 10.64),
        (0.35, 20, 0, 0.016, 40, 2.575, 16.41),
        (0.35, 20, 0.003, 0.012, 40, 1.047, 9.56),
        (0.35, 10, 0, 0.012, 40, 4.601, 45.6),
        (0.35, 20, 0, 0.012, 32, 2.511, 13.56),
    ],
)
def test_the_two_ingredient_bar_worked_by_hand(
    fat: float, size: float, lecithin: float, water: float, celsius: float, viscosity: float, stress: float
) -> None:
    _, thick, stands = by_hand(fat, size, lecithin, water, celsius, WORKED)

    assert (thick, stands) == pytest.approx((viscosity, stress), rel=1e-3)


@pytest.mark.parametrize(
    ("fat", "lecithin", "by_size"),
    [
        (0.25, 0.003, {18: (0.618, 37.09, 76.97), 25: (0.605, 14.94, 34.44), 50: (0.588, 6.917, 11.40)}),
        (0.30, 0.003, {18: (0.559, 2.799, 19.13), 25: (0.547, 2.142, 11.80), 50: (0.532, 1.590, 4.944)}),
        (0.35, 0.005, {18: (0.482, 0.736, 8.456), 25: (0.472, 0.651, 5.607), 50: (0.459, 0.562, 2.533)}),
    ],
)
def test_the_table_of_fat_lecithin_and_size_worked_apart(
    fat: float, lecithin: float, by_size: dict[int, tuple[float, float, float]]
) -> None:
    for size, expected in by_size.items():
        assert by_hand(fat, size, lecithin, 0.01, 40, 1500) == pytest.approx(expected, rel=1.1e-3)


def test_crowding_by_hand() -> None:
    """Maron and Pierce at 0.64: (1 - phi/0.64)^-2."""
    assert [float(plastic_viscosity(phi, 1.0, 0.64)) for phi in (0.45, 0.5, 0.55, 0.6)] == pytest.approx(
        [11.346, 20.898, 50.568, 256.0], rel=1e-4
    )


def test_two_sizes_pack_as_furnas_and_farris_have_it() -> None:
    """Crowding stops at 0.64 for one size; two very different ones would pack to 0.8704 with 0.735 coarse.

    The range that the table gives for coarse sugar, up to 0.70, stays well under that.
    """
    coarse, fine = 0.64, 0.64
    both = coarse + (1 - coarse) * fine

    assert both == pytest.approx(0.8704)
    assert coarse / both == pytest.approx(0.735, abs=5e-4)
    assert load("flow")["crowding_limit_coarse"].high < both


@pytest.mark.parametrize(
    ("size", "free", "solids"),
    [(150, 0.159, 0.788), (100, 0.218, 0.708), (60, 0.303, 0.596), (40, 0.358, 0.522), (25, 0.378, 0.496)],
)
def test_fragments_of_one_size_hold_their_butter_back_as_worked_by_hand(
    size: float, free: float, solids: float
) -> None:
    """70 % from nibs, 37.8 % butter, 1191.8 kg/m³: crumbs at 150 µm, jammed at 100, a paste at 60."""
    flowing = 0.378 * (1 - float(locked_share(float(size), 25.0)))

    assert flowing == pytest.approx(free, abs=1e-3)
    assert 1 - flowing * 1191.8 / 893 == pytest.approx(solids, abs=2e-3)


@pytest.mark.parametrize("size", [15.0, 25.0, 60.0, 150.0, 500.0])
def test_a_mass_locks_the_mean_over_its_fragments(size: float) -> None:
    """Independent: a quarter million fragments of the log-normal with this D90 and the wide D[3,2]."""
    places = (np.arange(250_000) + 0.5) / 250_000
    fragments = stats.lognorm(s=0.879612, scale=size / np.exp(1.281552 * 0.879612)).ppf(places)

    assert float(locked_in_mass(size, 25.0)) == pytest.approx(
        float(np.mean(locked_share(fragments, 25.0))), abs=2e-4
    )


@given(st.floats(10, 500), st.floats(1.01, 3), st.floats(20, 30))
def test_coarser_cocoa_locks_more(size: float, coarser: float, cell: float) -> None:
    assert 0 <= locked_in_mass(size, cell) < locked_in_mass(size * coarser, cell) < 1


def test_only_the_size_of_the_cocoa_locks_butter() -> None:
    nibs = FlowMatter(1.0, nib_butter=Span.exactly(0.36), cocoa_solids=0.33, sugar_solids=0.31)

    coarse_sugar = flow(nibs, Conditions(cocoa_um=25, sugar_um=500, celsius=40))
    coarse_cocoa = flow(nibs, Conditions(cocoa_um=500, sugar_um=25, celsius=40))

    assert float(coarse_sugar.locked_fat) == pytest.approx(0.36 * float(locked_in_mass(25.0, 25.0)))
    assert float(coarse_cocoa.locked_fat) == pytest.approx(0.36 * float(locked_in_mass(500.0, 25.0)))


def test_butter_of_bought_mass_is_free_whatever_the_size() -> None:
    mass = FlowMatter(1.0, free_fat=Span.exactly(0.36), cocoa_solids=0.33, sugar_solids=0.31)

    assert float(flow(mass, Conditions(cocoa_um=55, sugar_um=55, celsius=40)).locked_fat) == 0


def test_grinding_from_nibs_first_makes_it_thinner_and_at_last_thicker() -> None:
    """Cooney and others, stone grinder: plastic viscosity falls with the hours, yield rises at the end."""
    nibs = FlowMatter(
        1.0, nib_butter=Span.exactly(0.37), water=Span.exactly(0.01), cocoa_solids=0.32, sugar_solids=0.30
    )
    laws = {
        size: flow(nibs, Conditions(cocoa_um=size, sugar_um=size, celsius=40))
        for size in (100, 60, 40, 20, 12)
    }

    assert laws[100].viscosity_pas > laws[60].viscosity_pas > laws[40].viscosity_pas
    assert laws[12].yield_pa > laws[20].yield_pa > laws[40].yield_pa


def bar(*parts: tuple[str, float], form: Form = Form.BAR) -> Recipe:
    return Recipe("bar", form, tuple(part(key, mass) for key, mass in parts))


def test_water_that_leaves_is_not_water_of_the_mass() -> None:
    matter = flow_matter(bar(("cocoa_nibs_roasted", 700.0), ("sugar_granulated", 300.0)))
    at = Conditions(cocoa_um=22, sugar_um=22, celsius=40)

    wet = flow(matter, at)
    dry = flow(matter, Conditions(cocoa_um=22, sugar_um=22, celsius=40, end_water=0.01))

    assert float(wet.water) == pytest.approx(0.7 * 0.025 + 0.3 * 0.0002, rel=0.02)
    assert float(dry.water) == 0.01
    assert dry.viscosity_pas < wet.viscosity_pas


def test_a_kit_wetter_than_the_charge_adds_no_water() -> None:
    matter = flow_matter(bar(("cocoa_mass", 700.0), ("sugar_granulated", 300.0)))

    law = flow(matter, Conditions(cocoa_um=22, sugar_um=22, celsius=40, end_water=0.05))

    assert float(law.water) == pytest.approx(matter.water.value / matter.charge)


def test_an_array_of_draws_gives_what_the_numbers_give_one_by_one() -> None:
    matter = flow_matter(bar(("cocoa_nibs_roasted", 700.0), ("sugar_granulated", 300.0)))
    sizes, levels, waters = (
        np.array([15.0, 22.0, 80.0]),
        np.array([-1.0, 0.3, 1.0]),
        np.array([0.007, 0.01, 0.018]),
    )

    together = flow(
        matter, Conditions(sizes, sizes, 31.5, end_water=waters, solid_fat=0.02, fat_level=levels)
    )

    for place in range(3):
        size, level, water = float(sizes[place]), float(levels[place]), float(waters[place])
        one = flow(matter, Conditions(size, size, 31.5, end_water=water, solid_fat=0.02, fat_level=level))
        assert np.asarray(together.viscosity_pas)[place] == pytest.approx(float(one.viscosity_pas), rel=1e-12)
        assert np.asarray(together.yield_pa)[place] == pytest.approx(float(one.yield_pa), rel=1e-12)


@given(st.floats(0.26, 0.41), st.floats(13, 59), st.floats(0.5, 2.0))
def test_the_inverse_gives_back_the_fat(fat: float, size: float, scale: float) -> None:
    surface = float(specific_surface(size, 0.22))
    liquid = float(liquid_fat_viscosity(40.0))
    crowded = crowding(solids_by_volume(fat, 1500.0 * scale), surface)
    viscosity = float(plastic_viscosity(crowded, liquid, 0.64))
    if np.isfinite(viscosity):
        assert fat_needed(viscosity, surface, 40.0, 1500.0 * scale) == pytest.approx(fat, rel=1e-9)


def test_nothing_with_grains_is_as_thin_as_butter() -> None:
    with pytest.raises(InputError):
        fat_needed(0.04, 1.09, 40.0, 1500.0)


AT = Conditions(cocoa_um=30, sugar_um=22, celsius=31.5, end_water=0.009, solid_fat=0.02)
RECIPES = {
    "dark from nibs": (("cocoa_nibs_roasted", 600.0), ("sugar_granulated", 400.0), ("cocoa_butter", 1.0)),
    "milk": (
        ("cocoa_mass", 250.0),
        ("cocoa_butter", 200.0),
        ("sugar_granulated", 400.0),
        ("milk_powder_whole", 250.0),
        ("lecithin_soy", 3.0),
    ),
    "much lecithin": (
        ("cocoa_mass", 500.0),
        ("sugar_granulated", 500.0),
        ("lecithin_soy", 12.0),
        ("cocoa_butter", 1.0),
    ),
}


@pytest.mark.parametrize("name", RECIPES)
@pytest.mark.parametrize("use", Use)
@pytest.mark.parametrize("end_water", [None, 0.006, 0.016])
def test_at_the_edge_of_the_limit_the_mass_is_exactly_as_thick_as_its_use_allows(
    name: str, use: Use, end_water: float | None
) -> None:
    """Apart from the limit's algebra: butter goes in until the limit just holds; then the model is asked."""
    recipe = bar(*RECIPES[name])
    at = Conditions(cocoa_um=30, sugar_um=22, celsius=31.5, end_water=end_water, solid_fat=0.02)
    limits = limits_of(use)

    limit = flow_limit(recipe, limits, at)
    row, bound = limit.rows()[0]
    now = sum(row[one.label] * one.mass_g for one in recipe.parts)
    butter = recipe.part("cocoa_butter").mass_g - (now - bound) / row["cocoa_butter"]
    if butter <= 0:  # thin enough with none of it
        butter, at_most = 0.0, True
    else:
        at_most = False
    thickness = limits.thickness(flow(flow_matter(recipe.weighing({"cocoa_butter": butter})), at).casson)

    # Over half a percent of lecithin the cap moves with the mass, so the row is right only nearby.
    near = pytest.approx(1.0, rel=0.1 if name == "much lecithin" else 1e-6)
    assert thickness < 1 if at_most else thickness == near


def test_the_limit_can_keep_a_distance() -> None:
    recipe = bar(*RECIPES["milk"])

    plain, safe = (flow_limit(recipe, limits_of(Use.BARS), AT, safety) for safety in (1.0, 2.0))

    assert plain.low is not None
    assert safe.low is not None
    assert safe.low > plain.low


def test_what_is_folded_in_is_not_in_the_limit() -> None:
    recipe = Recipe(
        "bar",
        Form.BAR,
        (
            part("cocoa_mass", 70.0),
            part("sugar_granulated", 30.0),
            part("hazelnut", 25.0, stage=Stage.FOLDED_IN),
        ),
    )

    row, _ = flow_limit(recipe, limits_of(Use.BARS), AT).rows()[0]

    assert row["hazelnut"] == 0


def ranged(**changes: object) -> None:
    matter = flow_matter(bar(("cocoa_nibs_roasted", 700.0), ("sugar_granulated", 300.0)))
    values = {
        "cocoa_um": 22.0,
        "sugar_um": 22.0,
        "celsius": 31.5,
        "end_water": 0.01,
        "solid_fat": 0.02,
        **changes,
    }
    at = Conditions(**values)  # type: ignore[arg-type]
    check_range(matter, at, flow(matter, at))


def test_inside_the_range_nothing_is_refused() -> None:
    ranged()
    ranged(celsius=40.0, solid_fat=0.0)
    ranged(sugar_um=500.0)
    ranged(cocoa_um=35.0)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"cocoa_um": 9.0}, "cocoa_d90_um"),
        ({"sugar_um": 9.0}, "sugar_d90_um"),
        ({"sugar_um": 700.0}, "sugar_d90_um"),
        ({"cocoa_um": 600.0}, "cocoa_d90_um"),
        ({"celsius": 40.0}, "temperature_celsius"),
        ({"celsius": 60.0, "solid_fat": 0.0}, "temperature_celsius"),
        ({"celsius": 28.0, "solid_fat": 0.0}, "temperature_celsius"),
        ({"cocoa_um": 400.0}, "fat"),
    ],
)
def test_outside_the_range_it_is_refused_with_the_field(change: dict[str, float], field: str) -> None:
    with pytest.raises(OutOfRange) as refusal:
        ranged(**change)
    assert refusal.value.field == field


def test_a_wet_mass_is_refused() -> None:
    matter = flow_matter(bar(("cocoa_nibs_raw", 700.0), ("sugar_granulated", 300.0)))
    at = Conditions(cocoa_um=22.0, sugar_um=22.0, celsius=31.5, solid_fat=0.02)

    with pytest.raises(OutOfRange) as refusal:
        check_range(matter, at, flow(matter, at))
    assert refusal.value.field == "end_water_percent"


def test_a_pinch_of_something_unknown_widens_and_more_than_a_pinch_is_unknown() -> None:
    bark = own_ingredient("Ground bark", Kind.OTHER_FOOD, {"protein_g": 4.0})

    def with_bark(mass_g: float) -> FlowMatter:
        parts = (part("cocoa_mass", 700.0), part("sugar_granulated", 300.0), part(bark, mass_g, label="bark"))
        return flow_matter(Recipe("bar", Form.BAR, parts))

    pinch = with_bark(3.0)
    assert pinch.unknown == ("Ground bark",)
    assert pinch.free_fat.high - with_bark(0.0).free_fat.high == pytest.approx(3.0)
    assert pinch.free_fat.value == with_bark(0.0).free_fat.value
    at = Conditions(cocoa_um=20.0, sugar_um=20.0, celsius=40.0)
    dry, wet = (float(flow(pinch, replace(at, doubt=doubt)).water) for doubt in (0.0, 1.0))
    assert wet - dry == pytest.approx(3.0 / 1003.0)
    with pytest.raises(UnknownFigure, match="Ground bark"):
        with_bark(30.0)


def test_pgpr_is_noticed_and_is_no_lecithin() -> None:
    pgpr = own_ingredient("PGPR (E476)", Kind.EMULSIFIER, {"fat_g": 100.0, "water_g": 0.0})
    recipe = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part(pgpr, 0.2, label="p")))

    matter = flow_matter(recipe)

    assert matter.pgpr
    assert matter.lecithin == 0


def test_butter_oil_is_free_and_milk_powder_keeps_some_of_its_fat() -> None:
    oil = flow_matter(bar(("cocoa_mass", 50.0), ("butteroil", 10.0)))
    powder = flow_matter(bar(("cocoa_mass", 50.0), ("milk_powder_whole", 10.0)))

    assert oil.milk_fat.value == 0
    assert powder.milk_fat.value == pytest.approx(2.67, abs=0.05)


def test_a_recipe_used_as_a_part_counts_by_what_is_in_it() -> None:
    liquor = Recipe("liquor", Form.BAR, (part("cocoa_nibs_roasted", 900.0), part("cocoa_butter", 100.0)))
    nested = Recipe("bar", Form.BAR, (part(liquor, 700.0, label="liquor"), part("sugar_granulated", 300.0)))
    flat = bar(("cocoa_nibs_roasted", 630.0), ("cocoa_butter", 70.0), ("sugar_granulated", 300.0))

    one, two = flow_matter(nested), flow_matter(flat)

    assert one.fat.value == pytest.approx(two.fat.value)
    assert one.cocoa_solids == pytest.approx(two.cocoa_solids)


def test_nothing_in_the_machine_is_refused() -> None:
    with pytest.raises(InputError):
        flow_matter(Recipe("bar", Form.BAR, (part("hazelnut", 30.0, stage=Stage.FOLDED_IN),)))
