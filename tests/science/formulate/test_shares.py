"""Shares as typed, and inclusions said three ways: exact both ways."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from balance_problems import recipe_of
from nibsmith.science.errors import InputError
from nibsmith.science.formulate import (
    REST,
    InclusionEntry,
    InclusionUnit,
    MachineLoss,
    batch_for_bars,
    fold_in_for,
    from_ratio,
    from_shares,
    inclusion_beside,
    inclusion_shares,
    inclusions_of,
    leaving_share,
    with_inclusions,
)
from nibsmith.science.mixture import product

digits = st.integers(0, 3)
PERCENT, PER_100_G, PER_BAR = InclusionUnit.PERCENT, InclusionUnit.PER_100_G, InclusionUnit.PER_BAR


def named(values) -> dict:  # type: ignore[no-untyped-def, type-arg]
    return {f"p{index}": value for index, value in enumerate(values)}


@given(st.lists(st.integers(1, 1000), min_size=1, max_size=12), st.lists(digits, min_size=12, max_size=12))
def test_shares_rounded_to_any_digits_are_accepted_and_add_to_one(weights, places) -> None:  # type: ignore[no-untyped-def]
    """True shares, each rounded to its own digits, are never refused: half a unit a row means that."""
    total = sum(weights)
    rows = named(
        Decimal(weight * 100 * 10**place // total + (weight * 100 * 10**place % total * 2 >= total)).scaleb(
            -place
        )
        for weight, place in zip(weights, places, strict=False)
    )
    assume(any(rows.values()))
    typed = from_shares(rows)

    assert sum(typed.shares.values()) == 1
    assert abs(typed.off_percent) <= typed.allowed_percent
    assert typed.off_percent == sum(rows.values()) - 100


def test_off_by_half_a_unit_a_row_is_shown_and_a_hair_more_is_refused() -> None:
    thirds = from_shares({"a": Decimal("33.3"), "b": Decimal("33.3"), "c": Decimal("33.3")})
    assert thirds.off_percent == Decimal("-0.1")
    assert thirds.allowed_percent == Decimal("0.15")
    assert thirds.shares == {"a": Fraction(1, 3), "b": Fraction(1, 3), "c": Fraction(1, 3)}
    assert "99.9 %" in thirds.note
    with pytest.raises(InputError, match=r"99\.8 %"):
        from_shares({"a": Decimal("33.3"), "b": Decimal("33.3"), "c": Decimal("33.2")})


def test_a_hundred_and_four_is_refused_with_what_to_do() -> None:
    with pytest.raises(InputError) as refused:
        from_shares({"a": 70, "b": 30, "c": 4})

    assert refused.value.value == "104 %"
    assert refused.value.limit == "100 ± 1.5 %"
    assert refused.value.advice is not None
    assert "the rest" in refused.value.advice


def test_shares_that_are_exact_need_no_note() -> None:
    typed = from_shares({"a": Decimal("66.5"), "b": Decimal("33.5")})

    assert (typed.note, typed.off_percent) == ("", 0)
    assert typed.masses_g(2000.0) == {"a": 1330.0, "b": 670.0}


def test_trailing_zeros_are_typed_digits() -> None:
    with pytest.raises(InputError):
        from_shares({"a": Decimal("70.00"), "b": Decimal("29.90")})
    assert from_shares({"a": Decimal("70.0"), "b": Decimal("29.9")}).off_percent == Decimal("-0.1")


@given(st.lists(st.decimals(0, 20, places=2), min_size=0, max_size=5))
def test_the_rest_is_exactly_what_is_left(values) -> None:  # type: ignore[no-untyped-def]
    typed = from_shares({**named(values), "rest": REST})

    assert typed.shares["rest"] == 1 - Fraction(sum(values, Decimal(0))) / 100
    assert sum(typed.shares.values()) == 1
    assert typed.rest == "rest"


def test_a_rest_of_nothing_is_a_share_and_less_is_refused() -> None:
    assert from_shares({"a": 100, "b": REST}).shares["b"] == 0
    with pytest.raises(InputError, match="leave nothing"):
        from_shares({"a": 101, "b": REST})
    with pytest.raises(InputError, match="Only one row"):
        from_shares({"a": REST, "b": REST})


@given(st.lists(st.integers(0, 100), min_size=1, max_size=8))
def test_a_ratio_is_exact(parts: list[int]) -> None:
    assume(any(parts))
    typed = from_ratio(named(parts))

    assert typed.shares == named(Fraction(number, sum(parts)) for number in parts)


def test_two_parts_to_one() -> None:
    assert from_ratio({"nibs": 2, "sugar": Decimal(1)}).shares["nibs"] == Fraction(2, 3)


@pytest.mark.parametrize(
    "bad", [Decimal("NaN"), Decimal("Infinity"), Decimal(-1), Decimal("1e400"), Decimal("1e-400")]
)
def test_numbers_that_are_none_are_refused_in_shares_and_ratios(bad: Decimal) -> None:
    with pytest.raises(InputError):
        from_shares({"a": bad, "b": REST})
    with pytest.raises(InputError):
        from_ratio({"a": bad, "b": 1})


def test_nothing_typed_is_refused() -> None:
    for work in (
        lambda: from_shares({}),
        lambda: from_ratio({}),
        lambda: from_ratio({"a": 0}),
        lambda: from_shares({"a": 0}),
    ):
        with pytest.raises(InputError):
            work()


entries = st.tuples(st.fractions(0, 30, max_denominator=1000), st.sampled_from(list(InclusionUnit)))


leavings = st.just(Fraction(0)) | st.fractions(0, Fraction(1, 2), max_denominator=1000)


@given(st.lists(entries, min_size=1, max_size=4), st.integers(10, 200), leavings)
def test_what_was_typed_comes_back_exactly_in_its_own_unit(typed, bar_g, leaving) -> None:  # type: ignore[no-untyped-def]
    rows = {label: InclusionEntry(value, unit) for label, (value, unit) in named(typed).items()}
    try:
        shares = inclusion_shares(rows, bar_g, leaving)
    except InputError:
        taken = sum(
            (value / 100 if unit is PERCENT else value / bar_g if unit is PER_BAR else 0)
            for value, unit in typed
        )
        assert taken >= 1
        return
    for label, entry in rows.items():
        assert shares[label].typed_as(entry.unit) == entry.value
    ground = next(iter(shares.values())).ground
    assert 0 < ground <= 1
    assert ground + sum(share.share for share in shares.values()) == 1
    for label, entry in rows.items():
        assert inclusion_beside(ground, entry, bar_g, leaving) == shares[label]


@given(
    st.fractions(0, 60, max_denominator=1000),
    st.sampled_from(list(InclusionUnit)),
    st.integers(61, 200),
    leavings,
)
def test_all_three_ways_say_the_same(value, unit, bar_g, leaving) -> None:  # type: ignore[no-untyped-def]
    share = inclusion_shares({"a": InclusionEntry(value, unit)}, bar_g, leaving)["a"]
    for other in InclusionUnit:
        again = inclusion_shares({"a": InclusionEntry(share.typed_as(other), other)}, bar_g, leaving)["a"]
        assert again == share


@given(
    st.fractions(1, 30, max_denominator=100),
    st.fractions(0, 40, max_denominator=100),
    st.integers(40, 200),
    st.floats(0.3, 3.0),
    st.integers(1, 400),
)
def test_grams_to_the_bar_and_the_chocolate_are_those_of_the_finished_mass(  # type: ignore[no-untyped-def]
    per_bar, per_100_g, bar_g, end_water, bars
) -> None:
    """Asked of what does not know the shares: the mixture, the batch for so many bars, the fold-in card."""
    base = recipe_of({"cocoa_nibs_roasted": 700.0, "sugar_granulated": 300.0, "almond": 1.0, "hazelnut": 1.0})
    typed = {"almond": InclusionEntry(per_bar, PER_BAR), "hazelnut": InclusionEntry(per_100_g, PER_100_G)}
    leaving = leaving_share(base, end_water)
    recipe = with_inclusions(base, typed, bar_g, Fraction(leaving))

    whole_g = product(recipe, end_water).mass_g
    assert recipe.part("almond").mass_g / whole_g * bar_g == pytest.approx(float(per_bar), rel=1e-12)
    loss = MachineLoss(150.0, 2.0, end_water)
    weigh = batch_for_bars(recipe, bars, bar_g, loss).weigh
    assert weigh.part("almond").mass_g == pytest.approx(bars * float(per_bar), rel=1e-11)
    folded = fold_in_for(recipe, 100.0, end_water)
    assert folded["hazelnut"] == pytest.approx(float(per_100_g), rel=1e-12, abs=1e-12)
    read = inclusions_of(recipe, bar_g, Fraction(leaving))
    assert float(read["almond"].typed_as(PER_BAR)) == pytest.approx(float(per_bar), rel=1e-12)
    assert float(read["hazelnut"].typed_as(PER_100_G)) == pytest.approx(
        float(per_100_g), rel=1e-12, abs=1e-12
    )


def test_water_that_leaves_is_in_no_bar() -> None:
    # By hand: 100 g ground, 10 g of water leave, 90 g of chocolate with 10 g of nuts are 100 g: ten bars of
    # 10 g with a gram in each. Of 110 g weighed the nuts are an eleventh, to 100 g of chocolate 11.1 g.
    share = inclusion_shares({"nut": InclusionEntry(1, PER_BAR)}, 10, Fraction(1, 10))["nut"]

    assert (share.share, share.ground) == (Fraction(1, 11), Fraction(10, 11))
    assert share.g_per_100_g_chocolate == Fraction(100, 9)


def test_a_quarter_to_the_chocolate_is_a_fifth_of_the_bar() -> None:
    share = inclusion_shares({"almond": InclusionEntry(25, PER_100_G)}, 50)["almond"]

    assert (share.percent_of_everything, share.g_per_bar) == (20, 10)


def test_the_inclusions_of_a_recipe_go_back_into_it() -> None:
    recipe = recipe_of({"cocoa_mass": 640.0, "sugar_granulated": 160.0, "almond": 200.0})
    shares = inclusions_of(recipe, 50)

    assert shares["almond"].g_per_100_g_chocolate == 25
    for unit in InclusionUnit:
        entry = InclusionEntry(shares["almond"].typed_as(unit), unit)
        assert with_inclusions(recipe, {"almond": entry}, 50) == recipe


def test_other_inclusions_keep_their_grams_to_the_chocolate() -> None:
    recipe = recipe_of({"cocoa_mass": 800.0, "almond": 100.0, "hazelnut": 100.0})
    more = with_inclusions(recipe, {"almond": InclusionEntry(20, PERCENT)})

    assert more.part("hazelnut").mass_g == 100.0
    assert more.share("almond") == pytest.approx(0.2)


def test_inclusions_that_cannot_be_are_refused() -> None:
    recipe = recipe_of({"cocoa_mass": 800.0, "almond": 200.0})
    with pytest.raises(InputError, match="no chocolate"):
        inclusion_shares({"a": InclusionEntry(100, PERCENT)})
    with pytest.raises(InputError, match="mass of a bar"):
        inclusion_shares({"a": InclusionEntry(5, PER_BAR)})
    with pytest.raises(InputError, match="negative"):
        inclusion_shares({"a": InclusionEntry(-1, PERCENT)})
    with pytest.raises(InputError, match="not a number"):
        inclusion_shares({"a": InclusionEntry(Decimal("NaN"), PERCENT)})
    with pytest.raises(InputError, match="ground into the mass"):
        with_inclusions(recipe, {"cocoa_mass": InclusionEntry(5, PERCENT)})
    with pytest.raises(InputError, match="ground"):
        inclusions_of(recipe_of({"almond": 1.0}))
    for leaving in (1, 2, -1, Decimal("NaN")):
        with pytest.raises(InputError):
            inclusion_shares({"a": InclusionEntry(5, PERCENT)}, leaving=leaving)


def test_a_sum_that_followed_from_something_else_is_said_in_few_digits() -> None:
    with pytest.raises(InputError, match=r"got 111\.043 %, limit 100 %"):
        from_shares({"nibs": Decimal(60), "nuts": Decimal("51.043478260870"), "sugar": REST})
    with pytest.raises(InputError, match=r"got 100\.0001 %, limit 100 %"):
        from_shares({"nibs": Decimal(60), "nuts": Decimal("40.0001"), "sugar": REST})
