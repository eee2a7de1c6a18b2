"""What abstracts and books say of crystals in words, held against the four-state model: which way, not how
much.

Marangoni and McGauley 2003 (Crystal Growth and Design 3:95), Van Langevelde 2001 (JAOCS 78), Wille and
Lutton 1966, Greweling on dairy fat, the manual of a temper meter.
"""

from __future__ import annotations

import numpy as np
import pytest

from nibsmith.science.cool import Bar, Faces, cool_many, usual_slab
from nibsmith.science.temper import (
    ALPHA,
    BETA_PRIME,
    GROWN,
    TURNED,
    Crystal,
    Fat,
    growth_rate,
    rates,
    solid_fat,
)

MELT = np.zeros(4)
SEEDED = np.array([0.0, 0.0, 0.02, 0.0])
FAT = Fat(0.35)


@pytest.mark.parametrize("celsius", [0.0, 5.0, 10.0, 15.0, 19.0])
def test_below_20_degrees_alpha_comes_first(celsius: float) -> None:
    change = rates(celsius, MELT, FAT)

    assert change[ALPHA] > change[BETA_PRIME] > 0


@pytest.mark.parametrize("celsius", [23.5, 25.0, 27.0])
def test_beta_prime_can_come_straight_from_the_melt_above_alphas_melting_point(celsius: float) -> None:
    change = rates(celsius, MELT, FAT)

    assert change[BETA_PRIME] > 0
    assert change[ALPHA] == 0


@pytest.mark.parametrize("celsius", [5.0, 15.0, 25.0, 32.0])
def test_form_v_never_comes_straight_from_the_melt_but_from_seed_or_beta_prime(celsius: float) -> None:
    from_melt, from_seed = rates(celsius, MELT, FAT), rates(celsius, SEEDED, FAT)
    from_prime = rates(celsius, np.array([0.0, 0.3, 0.0, 0.0]), FAT)

    assert from_melt[GROWN] == from_melt[TURNED] == 0
    assert from_seed[GROWN] > 0
    assert from_prime[TURNED] > 0 or solid_fat(celsius) == 0


def test_forms_melt_in_the_order_of_wille_and_lutton() -> None:
    def gone_at(crystal: Crystal) -> float:
        grid = np.arange(10, 40, 0.1)
        return float(grid[np.argmax(np.asarray(solid_fat(grid, crystal)) < 0.05)])

    assert gone_at(Crystal.ALPHA) < gone_at(Crystal.BETA_PRIME) < gone_at(Crystal.BETA)


def test_milk_fat_slows_crystallisation_and_lowers_its_temperatures() -> None:
    milk = Fat(0.35, lowering_k=1.48, butter_share=0.8)

    for celsius in (20.0, 26.0, 30.0):
        assert rates(celsius, SEEDED, milk)[GROWN] < rates(celsius, SEEDED, FAT)[GROWN]


def test_form_v_melts_above_its_melting_point_and_lasts_in_the_working_range() -> None:
    assert growth_rate(33.8) == growth_rate(35.0) == 0
    assert rates(36.0, SEEDED, FAT)[GROWN] < 0
    assert rates(32.0, SEEDED, FAT)[GROWN] > 0


def test_warmer_and_longer_beats_colder_and_faster() -> None:
    # A review of cooling tunnels, after Sundara 2014: fewer low forms.
    air = np.array([6.0, 10.0, 14.0])
    bars = Bar(usual_slab(0.004), Faces(air, 25.0, 20.0), FAT, 31.5, 0.02)

    unstable = cool_many(bars, 60).unstable[-1]

    assert unstable[0] > unstable[1] > unstable[2]


def test_a_bar_untempered_sets_in_low_forms() -> None:
    bar = Bar(usual_slab(0.008), Faces(12.0, 15.0, 13.0), FAT, 32.0, np.array([0.0, 0.02]))

    plain, tempered = cool_many(bar, 90).unstable[-1]

    assert plain > 0.9
    assert tempered < 0.05
