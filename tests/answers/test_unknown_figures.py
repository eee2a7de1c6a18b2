"""No answer here raises for what a sheet does not give, and none takes it for zero in silence."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.answers.answer import Verdict
from nibsmith.answers.context import Context
from nibsmith.answers.cost import cost
from nibsmith.answers.keep import keep
from nibsmith.answers.pour import pour
from nibsmith.answers.sheet import batch_sheet
from nibsmith.answers.snap import snap
from nibsmith.answers.who_must_not import who_must_not
from nibsmith.science.kit import Mould, kit, kits
from nibsmith.science.mixture import Form, Ingredient, Kind, Recipe, Stage, ingredients, own_ingredient, part

COLUMNS = {"water_g": 2.0, "protein_g": 10.0, "fat_g": 30.0, "carb_g": 53.0, "ash_g": 5.0, "fibre_g": 3.0}


@st.composite
def own_ingredients(draw: st.DrawFn) -> Ingredient:
    """An ingredient of which the sheet gives any part of an analysis."""
    given_columns = draw(st.sets(st.sampled_from(sorted(COLUMNS))))
    analysis = {column: COLUMNS[column] for column in given_columns}
    name = draw(st.text(min_size=1, max_size=8).filter(lambda text: text.strip()))
    return own_ingredient(name, draw(st.sampled_from(Kind)), analysis, stage=draw(st.sampled_from(Stage)))


CONTEXTS = st.builds(
    Context,
    kit=st.sampled_from([None, *kits().values()]),
    mould=st.sampled_from([None, Mould("Bar", 70.0, 3)]),
    bars=st.sampled_from([None, 12]),
    scale_g=st.sampled_from([Decimal("0.1"), Decimal(1)]),
    bean_yield=st.sampled_from([None, Decimal("0.78")]),
)


@pytest.mark.long
@given(
    st.lists(own_ingredients(), max_size=4),
    st.lists(st.sampled_from(sorted(ingredients())), max_size=4, unique=True),
    st.sampled_from(Form),
    CONTEXTS,
)
def test_nothing_raises_whatever_is_not_given(
    own: list[Ingredient], keys: list[str], form: Form, here: Context
) -> None:
    parts = [part("cocoa_mass", 400.0, label="base", price_per_kg=Decimal("12.5"))]
    parts += [part(one, 50.0, label=f"own {index}") for index, one in enumerate(own)]
    parts += [part(key, 50.0, label=f"table {key}") for key in keys]
    bar = Recipe("Any", form, tuple(parts))

    answers = [ask(bar, here) for ask in (keep, snap, cost, who_must_not)]

    assert all(answer.sentence and answer.word for answer in answers)
    assert batch_sheet(bar, here).weigh.rows


@pytest.mark.parametrize(
    ("ask", "missing"), [(keep, "water_g"), (snap, "fat_g")], ids=["keep needs water", "snap needs fat"]
)
def test_a_large_part_with_an_unknown_figure_makes_the_answer_unknown_and_is_named(
    ask: object, missing: str
) -> None:
    analysis = {column: value for column, value in COLUMNS.items() if column != missing}
    own = own_ingredient("Mystery paste", Kind.OTHER_FOOD, analysis)
    bar = Recipe(
        "bar", Form.BAR, (part("cocoa_butter", 270.0), part(own, 300.0), part("sugar_granulated", 430.0))
    )

    answer = ask(bar, Context(kit=kit("blender")))  # type: ignore[operator]

    assert answer.verdict is Verdict.UNKNOWN
    assert "Mystery paste" in answer.sentence


MYSTERY = Recipe(
    "mystery",
    Form.BAR,
    (part(own_ingredient("Mystery nibs", Kind.NIB, {}), 700.0), part("sugar_granulated", 300.0)),
)


@pytest.mark.parametrize("ask", [keep, snap, pour], ids=["keep", "snap", "pour"])
@pytest.mark.parametrize("key", [None, "stone", "blender"])
def test_cocoa_of_which_nothing_is_given_is_neither_dry_nor_lean_but_unknown(
    ask: object, key: str | None
) -> None:
    answer = ask(MYSTERY, Context(kit=None if key is None else kit(key)))  # type: ignore[operator]

    assert answer.verdict is Verdict.UNKNOWN
    assert (answer.figure, answer.low, answer.high) == (None, None, None)
    assert answer.sentence.count("Mystery nibs") == 1
    assert "not given" in answer.sentence
    said = " ".join((answer.sentence, *answer.reasons))
    assert "less than half" not in said
    assert "Too little" not in said


def test_the_table_of_water_shows_a_range_where_that_of_the_cocoa_is_not_given() -> None:
    rows = keep(MYSTERY, Context()).details[0].rows

    assert ("Cocoa's own, driven out or kept by the kit", "0.00 to 70.00") in rows


def test_a_pinch_of_unknown_cocoa_hides_nothing() -> None:
    pinch = part(own_ingredient("Cocoa dust", Kind.POWDER, {}), 2.0)
    bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 700.0), part("sugar_granulated", 298.0), pinch))

    assert keep(bar, Context(kit=kit("stone"))).verdict is Verdict.GOOD


def test_too_little_cocoa_butter_is_still_said_where_nothing_unknown_could_change_it() -> None:
    lean = Recipe("lean", Form.BAR, (part("coconut_oil", 400.0), part("sugar_granulated", 600.0)))
    herb = part(own_ingredient("Dried herb", Kind.OTHER_FOOD, {}), 1.0)
    answer = snap(Recipe("lean", Form.BAR, (*lean.parts, herb)), Context())

    assert "Too little of the fat is cocoa butter" in answer.sentence
