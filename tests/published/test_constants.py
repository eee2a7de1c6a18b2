"""Constants of the physics typed a second time from their sources, which stand beside them.

Each is table, key, value and, where a range was read or is remembered, its ends. What is not here is in the
tables of programs, of times for a tenfold reduction, of densities and of heat capacities, which have checks
of their own.
"""

from __future__ import annotations

import re

import pytest

from nibsmith.science.cool import cool_air, plate_coefficient, radiation_coefficient
from nibsmith.science.tables import Status, load, load_rows

READ = {Status.READ, Status.READ_SECONDARY}
FIGURES = {
    # Beckett, 4th edition, useful physical constants, p. 667-668: J/(kg K), J/g.
    "beckett-2009": (
        ("heat_capacity", "chocolate", 1590),
        ("cool", "heat_capacity", 1590, 1590, 1670),
        ("temper_seed", "solid_heat", 1590),
        ("temper_seed", "liquid_heat", 1670),
        ("grind", "heat_capacity", 1670),
        ("temper_seed", "latent_dark", 46),
        ("temper_seed", "latent_milk", 44),
        ("temper_seed", "latent_butter", 157),
        ("temper_seed", "butter_solid_heat", 2010),
    ),
    # Trade table: cocoa butter solid at 15 °C 0.96 to 0.99 g/cm³, liquid 0.88 to 0.90; the middles.
    "chocolate-constants": (
        ("flow", "density_solid_butter", 975, 960, 990),
        ("cool", "solid_fat", 0.975),
        ("cool", "liquid_fat", 0.89),
    ),
    # Marangoni and McGauley 2003, abstract: alpha 7 days at 0 °C, 30 min at 15 °C; beta prime 28 days at
    # 15 °C, 10 h at 24 °C.
    "marangoni-mcgauley-2003": (
        ("temper_states", "alpha_life_cold", 7 * 24 * 60),
        ("temper_states", "alpha_cold", 0),
        ("temper_states", "alpha_life_warm", 30),
        ("temper_states", "alpha_warm", 15),
        ("temper_states", "beta_prime_life_cold", 28 * 24 * 60),
        ("temper_states", "beta_prime_cold", 15),
        ("temper_states", "beta_prime_life_warm", 10 * 60),
        ("temper_states", "beta_prime_warm", 24),
    ),
    # Wille and Lutton 1966, as quoted: forms II, IV and V melt at 23.3, 27.5 and 33.8 °C.
    "wille-lutton-1966": (
        ("temper_states", "alpha_melting", 23.3),
        ("temper_states", "beta_prime_melting", 27.5),
        ("temper", "form_v_melting", 33.8),
    ),
    # WMO, as restated: e = 6.112 exp(17.62 t / (243.12 + t)) hPa, -45 to 60 °C.
    "wmo-magnus": (
        ("cool", "magnus_es", 6.112),
        ("cool", "magnus_a", 17.62),
        ("cool", "magnus_b", 243.12),
        ("cool", "magnus_low", -45),
        ("cool", "magnus_high", 60),
    ),
    # Food-info.net: dark chocolate takes up water from 82 to 85 % on, milk chocolate from 78 %.
    "food-info": (("cool", "damp_dark", 82, 82, 85), ("cool", "damp_milk", 78)),
    "working-temperatures": (("cool", "mould_at", 20),),
    # A tempering guide: milk and white never over 50 °C, dark melted at 50 to 55 °C.
    "ckbk-tempering": (("temper", "scorch_dark", 55), ("temper", "scorch_milk", 50)),
    "chocolate-academy-tempering": (("temper_seed", "table_to", 27),),
    # Makers' pages: 10 to 20 % of the mass, 20 % of the whole, 25 % of what is melted.
    "seeding-trade": (("temper_seed", "usual_low", 10), ("temper_seed", "usual_high", 25)),
    # Food technology portal: 1 % by volume.
    "foodtech-seeding": (("temper_seed", "crystals", 1),),
    # Retail confectioners' tip: within 1 to 2 °F.
    "confectioners-tip": (("temper", "fold_in_within", 1),),
    "cooling-forum": (("temper", "cooling", 12.5, 12, 13),),
    # Codex 87, 2.1.4: milk chocolate holds at least 2.5 % fat-free cocoa and 12 to 14 % milk solids.
    "codex87": (("temper", "milk_from", 12), ("temper", "cocoa_in_milk", 2.5)),
    # Servais, Ranc, Roberts 2004: stress at 5 1/s, viscosity at 40 1/s.
    "servais-2004": (("flow", "rate_low", 5), ("flow", "rate_high", 40)),
    "sucrose-density": (("flow", "density_sugar", 1587),),
    "mcgee-2004": (("flow", "lecithin_as_fat", 10),),
    "lecithin-trade": (("flow", "lecithin_most", 0.005),),
    # Each 0.3 % of water left above 1 % costs 1 % of fat.
    "moisture-trade": (("flow", "water_free", 0.010), ("flow", "water_for_fat", 0.3)),
    # 23 laboratories: stress above 5 1/s within 8 %.
    "aeschlimann-beckett-2000": (("flow", "viscometer_factor", 1.08),),
    # Breen and others 2019: about 5 µm, Weber fraction about 0.17.
    "breen-2019": (("grind", "least_difference", 5), ("grind", "difference_share", 0.17)),
    # Single readings repeat to 5 µm.
    "micrometer-practice": (("grind", "reading_error", 5),),
    # A pin mill: 90 to 120 µm.
    "cocoa-grinding-text": (("grind", "nib_paste", 120, 90, 200),),
    # Bart-Plange and Baryeh 2003, abstract: mean of the driest lot, and where most lie; particle density.
    "bart-plange-2003": (
        ("roast_bean", "length", 22.41, 20, 26),
        ("roast_bean", "width", 12.20, 10, 14),
        ("roast_bean", "thickness", 7.36, 6, 10),
        ("roast_bean", "density", 970, 946, 991),
    ),
    # Nibs after the roast: 1.5 to 3 % water.
    "roast-general": (("roast_bean", "water_after", 0.02, 0.015, 0.03),),
    "belgian-qmra": (("roast", "least_reduction", 5),),
    "buyer-roast-training": (("roast", "buyer_reduction", 6),),
    # Water activity: nothing grows under 0.60, moulds of dry food from 0.65; 0.70 is the working limit; no
    # dry food from 0.85 on.
    "nys-water-activity": (("keep", "water_activity_growth", 0.60), ("keep", "water_activity_mould", 0.65)),
    "meter-food": (("keep", "water_activity_stop", 0.70),),
    "codex-cxc75": (("keep", "water_activity_refuse", 0.85),),
    "codex207": (("keep", "milk_usual_water", 5),),
}
CASES = [(source, *figure) for source, figures in FIGURES.items() for figure in figures]

# Chosen between or beside what was read or is remembered: no source prints the figure itself.
CHOSEN = (
    ("flow", "density_liquid_butter"),  # 893, in a read 880 to 900
    ("flow", "density_cocoa_solids"),  # 1420, between a derived 1398 and a remembered 1450
    ("flow", "sauter_share_wide"),  # 0.22, from an assumed width of 0.88
    ("flow", "over_ground"),  # 15 µm; that over-grinding thickens is told without a size
    ("cool", "contraction_low_forms"),  # 0.55, for "a little over half"
    ("cool", "still"),
    ("temper_seed", "surface_exchange"),
    ("roast_bean", "diffusion_energy"),  # 30 kJ/mol, between 22.5 and 43.6
)
# One fact in several tables.
SAME = (
    (("roast_bean", "stefan_boltzmann"), ("cool", "stefan_boltzmann")),
    (("roast_bean", "gas_constant"), ("temper", "gas_constant")),
    (("roast_bean", "emissivity"), ("cool", "emissivity")),
    (("temper_seed", "seed_from"), ("temper", "room")),
    (("temper_seed", "table_to"), ("temper", "dark_cool")),
)


@pytest.mark.parametrize("figure", CASES, ids=lambda figure: "-".join(figure[1:3]))
def test_a_figure_is_that_of_its_source(figure: tuple[str, str, str, float]) -> None:
    source, table, key, value, *ends = figure

    row = load(table)[key]

    assert row.source == source
    assert row.status in READ
    assert row.value == pytest.approx(value, rel=1e-12)
    assert [end for end in (row.low, row.high) if end is not None] == pytest.approx(ends)


@pytest.mark.parametrize(("table", "key"), CHOSEN)
def test_a_figure_that_no_source_prints_is_a_judgement(table: str, key: str) -> None:
    assert load(table)[key].status is Status.JUDGEMENT


def test_laws_of_constituents_were_read_in_restatements() -> None:
    """Choi and Okos by the ASHRAE handbook, not at hand: programs that carry it differ in places."""
    rows = [row for table in ("heat_capacity", "roast_bean") for row in load(table).values()]
    told = {row.status for row in rows if row.source == "ashrae-2006-9"}
    told |= {Status(row["status"]) for row in load_rows("densities.csv")}

    assert told == {Status.READ_SECONDARY}


@pytest.mark.parametrize(("one", "other"), SAME)
def test_what_stands_in_two_tables_is_the_same(one: tuple[str, str], other: tuple[str, str]) -> None:
    first, second = (load(table)[key] for table, key in (one, other))

    assert first.value == pytest.approx(second.value, rel=1e-9)


@pytest.mark.parametrize("wind", ["fan", "strong"])
def test_moving_air_takes_what_the_law_of_a_plate_gives_at_the_speeds_it_names(wind: str) -> None:
    """Laminar flow along a plate of 10 cm, Nu = 0.664 Re^1/2 Pr^1/3, and radiation at 20 against 12 °C."""
    row = load("cool")[wind]
    speeds = [float(text) for text in re.findall(r"(\d[\d.]*)(?= to|\s*m/s)", row.place)]
    low, high, middle = (
        plate_coefficient(speed, 0.1, cool_air()) + radiation_coefficient(20.0, 12.0) for speed in speeds
    )

    assert (row.low, row.value, row.high) == pytest.approx((low, middle, high), abs=0.6)
