"""Shares as typed, of everything, of the chocolate and of a bar."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Stage
from nibsmith.shop.recipes.models import Mode
from nibsmith.shop.recipes.shares import Ground, TypedPart, shares

START, FOLDED = Stage.START, Stage.FOLDED_IN
TINY = Fraction(1, 10**11)  # inclusions join the percentages at twelve decimals


def part(label: str, typed: str | None, mode: Mode = Mode.PERCENT, stage: Stage = START) -> TypedPart:
    if typed is None:
        return TypedPart(label, stage, Mode.REST, None)
    return TypedPart(label, stage, mode, Decimal(typed))


def test_the_rest_takes_what_the_others_leave() -> None:
    found = shares([part("nibs", "52.0"), part("butter", "2.0"), part("sugar", None)]).shares
    assert found["sugar"] == Fraction(46, 100)


def test_grams_per_100_g_of_chocolate_are_counted_on_the_chocolate_alone() -> None:
    # By hand: 25 g on 100 g of chocolate are 25 of 125 g, a fifth of everything; the mass is the other 80 %.
    found = shares([part("nibs", None), part("almond", "25", Mode.PER_100, FOLDED)]).shares
    assert abs(found["almond"] - Fraction(1, 5)) < TINY
    assert abs(found["nibs"] - Fraction(4, 5)) < TINY


def test_grams_per_bar_are_a_share_of_the_bar_with_everything_in_it() -> None:
    # By hand: 7 g in a bar of 70 g are a tenth.
    parts = [part("nibs", None), part("almond", "7", Mode.PER_BAR, FOLDED)]
    assert shares(parts, Decimal(70)).shares["almond"] == Fraction(1, 10)


def test_grams_per_bar_without_a_mould_are_refused() -> None:
    with pytest.raises(InputError) as refused:
        shares([part("nibs", None), part("almond", "7", Mode.PER_BAR, FOLDED)])
    assert refused.value.field == "bar_g"


def test_two_ways_of_counting_inclusions_hold_together() -> None:
    # By hand: 10 % of everything and 25 g on 100 g of chocolate: chocolate 90/1.25 = 72 %, nuts 18 %.
    parts = [
        part("nibs", None),
        part("cherry", "10", Mode.PERCENT, FOLDED),
        part("almond", "25", Mode.PER_100, FOLDED),
    ]
    found = shares(parts).shares
    assert abs(found["nibs"] - Fraction(72, 100)) < TINY
    assert abs(found["almond"] - Fraction(18, 100)) < TINY


def test_where_an_inclusion_is_the_rest_the_chocolate_is_what_the_mass_comes_to() -> None:
    # By hand: a mass of 80 %, 10 g on 100 g of it are 8 %, and 12 % are left.
    parts = [
        part("nibs", "80"),
        part("almond", "10", Mode.PER_100, FOLDED),
        part("cherry", None, stage=FOLDED),
    ]
    assert shares(parts).shares["cherry"] == Fraction(12, 100)


def drying(water: dict[str, Fraction], end: Fraction = Fraction(1, 100)) -> Callable[[Ground], Fraction]:
    """Return what a kit that leaves so much water drives out, from the water in each part."""

    def leaving(ground: Ground) -> Fraction:
        charge = sum(ground.values(), Fraction(0))
        held = sum((share * water[label] for label, share in ground.items()), Fraction(0))
        return max(Fraction(0), 1 - (charge - held) / (1 - end) / charge)

    return leaving


def test_grams_per_bar_are_of_the_bar_that_comes_out() -> None:
    # By hand: half of what is ground is nibs of 20 % water, so that a tenth of it leaves where none may stay;
    # of 1 g weighed, 0.8 g of it ground, 0.92 g come out, and 8.5 g in 70 g of that are nuts.
    parts = [
        part("nibs", "40"),
        part("sugar", "40"),
        part("almond", "8.5", Mode.PER_BAR, FOLDED),
        part("cherry", None, stage=FOLDED),
    ]
    water = {"nibs": Fraction(20, 100), "sugar": Fraction(0)}
    found = shares(parts, Decimal(70), drying(water, Fraction(0))).shares
    assert abs(found["almond"] - Fraction(85, 700) * Fraction(92, 100)) < TINY


waters = st.integers(min_value=0, max_value=900).map(lambda number: Fraction(number, 1000))


@given(
    nibs=st.integers(1, 300).map(lambda number: Decimal(number) / 10),
    nuts=st.integers(1, 100).map(lambda number: Decimal(number) / 10),
    cherry=st.integers(1, 300).map(lambda number: Decimal(number) / 10),
    water_of_nibs=waters,
    water_of_rest=waters,
    bar_g=st.integers(40, 200),
)
def test_where_the_rest_is_ground_its_water_is_counted_too(  # type: ignore[no-untyped-def]
    nibs, nuts, cherry, water_of_nibs, water_of_rest, bar_g
) -> None:
    parts = [
        part("nibs", str(nibs)),
        part("nuts", str(nuts), Mode.PER_BAR, FOLDED),
        part("cherry", str(cherry), Mode.PER_100, FOLDED),
        part("rest", None),
    ]
    leaving = drying({"nibs": water_of_nibs, "rest": water_of_rest})
    found = shares(parts, Decimal(bar_g), leaving).shares
    ground = {label: found[label] for label in ("nibs", "rest")}
    chocolate = sum(ground.values()) * (1 - leaving(ground))
    product = chocolate + found["nuts"] + found["cherry"]
    # typed to a tenth of a gram; shares join the percentages at twelve decimals
    assert abs(found["nuts"] / product * bar_g - Fraction(nuts)) < Fraction(1, 10**9)
    assert abs(found["cherry"] / chocolate * 100 - Fraction(cherry)) < Fraction(1, 10**9)
    assert sum(found.values()) == 1


def test_thirds_typed_to_a_tenth_are_taken_as_thirds() -> None:
    found = shares([part("a", "33.3"), part("b", "33.3"), part("c", "33.3")])
    assert found.shares["a"] == Fraction(1, 3)
    assert "99.9" in found.note


def test_shares_off_by_more_than_their_rounding_are_refused() -> None:
    with pytest.raises(InputError, match="do not come to 100"):
        shares([part("a", "52.0"), part("b", "52.0")])


tenths = st.integers(min_value=1, max_value=300).map(lambda number: Decimal(number) / 10)


@given(mass=st.lists(tenths, min_size=1, max_size=3), nuts=tenths, bar_g=st.integers(40, 200))
def test_whatever_is_typed_the_shares_come_to_one(mass: list[Decimal], nuts: Decimal, bar_g: int) -> None:
    parts = [TypedPart(f"m{number}", START, Mode.PERCENT, typed) for number, typed in enumerate(mass)]
    parts.append(TypedPart("nuts", FOLDED, Mode.PER_BAR, nuts))
    parts.append(TypedPart("rest", START, Mode.REST, None))
    if sum(mass) + nuts * 100 / bar_g > 100:
        with pytest.raises(InputError):
            shares(parts, Decimal(bar_g))
        return
    found = shares(parts, Decimal(bar_g))
    assert sum(found.shares.values()) == 1
    assert all(share >= 0 for share in found.shares.values())
