"""Size distributions: their means are integrals, their sizes invert, and tables are understood or refused."""

from __future__ import annotations

import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from nibsmith.science.errors import InputError
from nibsmith.science.grind import (
    LogNormalSizes,
    MeasuredSizes,
    RosinRammler,
    log_normal_from_d90,
    read_size_table,
    rosin_rammler_from_two_points,
    sauter_mean,
    summary,
    volume_mean,
)

SIZES = [RosinRammler(30.0, 2.2), LogNormalSizes(10.0, 0.7), RosinRammler(25.0, 1.5)]


@pytest.mark.parametrize("sizes", SIZES)
def test_the_means_are_the_integrals_over_the_distribution(sizes: RosinRammler | LogNormalSizes) -> None:
    mean = quad(sizes.size, 0, 1, limit=200)[0]
    surface = quad(lambda share: 1 / sizes.size(share), 0, 1, limit=200)[0]

    assert sizes.volume_mean_um == pytest.approx(mean, rel=1e-5)
    assert 1 / sizes.sauter_um == pytest.approx(surface, rel=1e-3)


@given(st.floats(1, 500), st.floats(0.3, 4), st.floats(0.01, 0.99))
def test_the_size_of_a_share_has_that_share(scale: float, spread: float, share: float) -> None:
    for sizes in (RosinRammler(scale, spread), LogNormalSizes(scale, spread)):
        assert sizes.finer(sizes.size(share)) == pytest.approx(share, rel=1e-9)


@given(st.floats(5, 300), st.floats(0.05, 0.9))
def test_a_log_normal_from_d90_has_that_d90_and_that_sauter_mean(d90: float, share: float) -> None:
    sizes = log_normal_from_d90(d90, share)

    assert sizes.size(0.9) == pytest.approx(d90, rel=1e-9)
    assert sizes.sauter_um == pytest.approx(share * d90, rel=1e-9)


@given(st.floats(10, 500), st.floats(0.5, 4))
def test_two_points_of_a_rosin_rammler_give_it_back(scale: float, spread: float) -> None:
    made = RosinRammler(scale, spread)

    back = rosin_rammler_from_two_points(made.size(0.2), 0.2, made.size(0.85), 0.85)

    assert (back.scale_um, back.spread) == pytest.approx((scale, spread), rel=1e-8)


def test_narrow_classes_come_to_the_distribution_they_were_cut_from() -> None:
    made = LogNormalSizes(10.0, 0.7)
    edges = np.geomspace(0.2, 500, 400)
    sums = np.array([made.finer(float(edge)) for edge in edges])
    cut = MeasuredSizes(tuple(edges), tuple(np.diff(sums) / (sums[-1] - sums[0])))

    assert summary(cut).d90_um == pytest.approx(summary(made).d90_um, rel=1e-3)
    assert summary(cut).sauter_um == pytest.approx(made.sauter_um, rel=1e-3)
    assert summary(cut).volume_mean_um == pytest.approx(made.volume_mean_um, rel=1e-3)
    assert cut.finer(10.0) == pytest.approx(0.5, abs=1e-3)
    assert (cut.finer(0.1), cut.finer(900.0)) == pytest.approx((0.0, 1.0))


def test_means_of_four_classes_by_hand() -> None:
    """Volumes .1 .2 .4 .3 at 2, 5, 12, 25 µm: 13.5, and 1/(.05 + .04 + .03333 + .012)."""
    assert volume_mean([2, 5, 12, 25], [0.1, 0.2, 0.4, 0.3]) == pytest.approx(13.5)
    assert sauter_mean([2, 5, 12, 25], [0.1, 0.2, 0.4, 0.3]) == pytest.approx(7.389, abs=5e-4)


@pytest.mark.parametrize(
    "make",
    [
        lambda: RosinRammler(0.0, 1.0),
        lambda: LogNormalSizes(10.0, -1.0),
        lambda: RosinRammler(10.0, 0.9).sauter_um,
        lambda: RosinRammler(10.0, 2.0).size(1.0),
        lambda: MeasuredSizes((1.0, 2.0), (0.5, 0.5)),
        lambda: MeasuredSizes((2.0, 1.0), (1.0,)),
        lambda: MeasuredSizes((1.0, 2.0, 3.0), (0.5, 0.4)),
        lambda: rosin_rammler_from_two_points(10.0, 0.5, 10.0, 0.6),
    ],
)
def test_what_is_no_distribution_is_refused(make) -> None:
    with pytest.raises(InputError):
        make()


FINER = "2 0\n5 10\n10 40\n20 75\n30 90\n60 100"
EXPECTED = ((2.0, 0.0), (5.0, 0.1), (10.0, 0.4), (20.0, 0.75), (30.0, 0.9), (60.0, 1.0))


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        (FINER, "finer than the size"),
        (FINER.replace(" ", "\t"), "finer than the size"),
        (FINER.replace(" ", ","), "finer than the size"),
        ("Size;Class;Under\n" + FINER.replace(" ", ";7;"), "finer than the size"),
        (FINER.replace(" ", ";").replace("10;40", "10,0;40,0"), "finer than the size"),
        ("2 100\n5 90\n10 60\n20 25\n30 10\n60 0", "coarser"),
        ("2 0\n5 10\n10 30\n20 35\n30 15\n60 10", "class that ends"),
        ("2 0\n5 0.1\n10 0.4\n20 0.75\n30 0.9\n60 1", "finer than the size"),
        ("60 100\n30 90\n20 75\n10 40\n5 10\n2 0", "finer than the size"),
    ],
)
def test_a_table_is_understood(text: str, meaning: str) -> None:
    table = read_size_table(text)

    assert meaning in table.understood[-1]
    for size, share in EXPECTED:
        assert table.sizes.finer(size) == pytest.approx(share, abs=1e-9)


def test_what_was_understood_is_said() -> None:
    table = read_size_table("sample 7\nsize;share\n60;100\n30;90\n10,5;40\n2;0")

    assert table.understood == (
        "4 rows were read, 2 lines without them left out.",
        "Commas were read as decimal signs.",
        "The sizes were read in µm, for their head names no unit.",
        "The rows were put in order of size.",
        "The last column is the share finer than the size.",
    )


@pytest.mark.parametrize(
    ("head", "times", "unit"),
    [
        ("size (mm);finer %", 0.001, "mm"),
        ("Size [µm];Volume %", 1.0, "µm"),
        ("size um;share", 1.0, "µm"),
        ("diameter in microns;share", 1.0, "µm"),
        ("laser 633 nm\n2026-03-14\nsize/nm;share", 1000.0, "nm"),
        ("laser 633 nm\nsize (mm);share", 0.001, "mm"),
    ],
)
def test_the_unit_of_the_sizes_is_read_in_their_head(head: str, times: float, unit: str) -> None:
    rows = [f"{size * times:g};{share}" for size, share in ((2, 0), (10, 40), (30, 90), (60, 100))]
    table = read_size_table("\n".join([head, *rows]))

    assert table.sizes.size(0.9) == pytest.approx(30.0)
    assert f"The sizes were read in {unit}." in table.understood


@pytest.mark.parametrize(
    ("head", "times", "says"),
    [
        ("size;share", 0.001, "Name the unit"),
        ("size (mm);share", 1.0, "Check the unit"),
        ("a;b", 1000.0, "30000|3e"),
    ],
)
def test_sizes_that_ground_cocoa_cannot_have_are_refused(head: str, times: float, says: str) -> None:
    rows = [f"{size * times:g};{share}" for size, share in ((2, 0), (10, 40), (30, 90), (60, 100))]

    with pytest.raises(InputError, match="no grains of this size") as refusal:
        read_size_table("\n".join([head, *rows]))
    assert re.search(says, str(refusal.value))


def test_a_table_that_begins_above_zero_gets_one_finer_class() -> None:
    table = read_size_table("5 10\n10 40\n20 75\n40 100")

    assert table.sizes.edges_um[0] == pytest.approx(2.5)
    assert table.sizes.finer(5.0) == pytest.approx(0.1)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "Too few rows"),
        ("2 0\n5 10", "Too few rows"),
        ("2 0\n5 10\n5 20\n60 100", "twice"),
        ("2 0\n5 -10\n10 20\n60 100", "zero or more"),
        ("2 0\n5 10\n10 20\n60 30", "neither"),
        ("2,5,10,5\n5,0,40,0\n10,0,80,0\n20,0,100,0", "decimal signs or part"),
        ("x" * 1_000_001, "too long"),
    ],
)
def test_what_is_no_table_is_refused(text: str, says: str) -> None:
    with pytest.raises(InputError, match=says):
        read_size_table(text)
