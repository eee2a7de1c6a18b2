"""Whatever is answered is said in sentences: each begins with a large letter and agrees with its subject."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.answers.answer import Answer
from nibsmith.answers.ask import ask_all
from nibsmith.answers.balance import balance, wishes_from
from nibsmith.answers.call_it import names_earned
from nibsmith.answers.context import Context
from nibsmith.answers.cooling import Cooling
from nibsmith.answers.demould import demould
from nibsmith.answers.process import Process
from nibsmith.answers.rescue import Moment, rescue
from nibsmith.answers.sheet import batch_sheet
from nibsmith.answers.ways_out import ways_out
from nibsmith.answers.wording import is_many
from nibsmith.paper.sheet import texts_of
from nibsmith.science.errors import NibsmithError
from nibsmith.science.formulate import in_the_bowl
from nibsmith.science.kit import Mould, kits
from nibsmith.science.mixture import (
    Form,
    Ingredient,
    Kind,
    Part,
    Recipe,
    Span,
    Stage,
    ingredients,
    own_ingredient,
    part,
)

COLUMNS = {"water_g": 2.0, "protein_g": 10.0, "fat_g": 30.0, "carb_g": 53.0, "ash_g": 5.0, "fibre_g": 3.0}
TABLE = sorted(ingredients())
MANY = sorted({one.name.partition(",")[0] for one in ingredients().values() if is_many(one)})
# A subject of many with a verb for one; "the shell left in roasted nibs is" has another subject.
DISAGREES = re.compile(rf"(?:^|[.:;] )(?:\w+ )?(?i:{'|'.join(MANY)}) (?:is|was|has|does|brings|holds)\b")
SMALL = re.compile(r"(?:^|[.?!] )[a-z]")


def faults_of(text: str) -> list[str]:
    """Say what is wrong with a text of sentences."""
    plain = text.replace("\u00a0", " ").replace("\u202f", " ")
    found = [f"small letter: {plain}"] if SMALL.search(plain) else []
    return found + ([f"one for many: {plain}"] if DISAGREES.search(plain) else [])


@st.composite
def own_ingredients(draw: st.DrawFn, name: str) -> Ingredient:
    given_columns = draw(st.sets(st.sampled_from(sorted(COLUMNS))))
    analysis = {column: COLUMNS[column] for column in given_columns}
    return own_ingredient(name, draw(st.sampled_from(Kind)), analysis, stage=draw(st.sampled_from(Stage)))


WEIGHTS = st.sampled_from([1.0, 5.0, 60.0, 300.0])


@st.composite
def recipes(draw: st.DrawFn) -> Recipe:
    """Packaged things and the maker's own, whose names begin small and whose sheets give little."""
    base = draw(st.sampled_from(["cocoa_mass", "cocoa_nibs_roasted", "cocoa_butter"]))
    parts: list[Part] = [part(base, 400.0, label="base")]
    keys = draw(st.lists(st.sampled_from(TABLE), max_size=4, unique=True))
    parts += [part(key, draw(WEIGHTS), label=f"table {key}") for key in keys]
    for index in range(draw(st.integers(0, 2))):
        own = draw(own_ingredients(f"moonshine {index}"))
        parts.append(part(own, draw(WEIGHTS), label=f"own {index}"))
    return Recipe("Any", draw(st.sampled_from(Form)), tuple(parts))


CONTEXTS = st.builds(
    Context,
    kit=st.sampled_from([None, *kits().values()]),
    mould=st.sampled_from([None, Mould("Bar", 70.0, 3)]),
    bars=st.sampled_from([None, 12]),
    markets=st.sampled_from([("eu",), ("us", "ca"), ("uk", "codex")]),
    uses_lecithin=st.booleans(),
    scale_g=st.sampled_from([Decimal("0.1"), Decimal(1)]),
    process=st.sampled_from([None, Process(cooling=Cooling(air_celsius=Span.exactly(12.0)))]),
)


def said_by(answer: Answer) -> Iterator[str]:
    yield from (answer.title, answer.word, answer.sentence, *answer.reasons, *answer.cautions)
    yield from (remedy.sentence for remedy in answer.remedies)
    for detail in answer.details:
        yield from (detail.title, detail.note)


def said_of(recipe: Recipe, here: Context) -> Iterator[str]:
    """Yield every sentence that the answers and the sheet say of a recipe."""
    for answer in (*ask_all(recipe, here), demould(recipe, here)):
        yield from said_by(answer)
    try:
        sheet = batch_sheet(recipe, here)
    except NibsmithError as error:
        yield str(error)
        return
    for card in (sheet.notes, sheet.cautions, sheet.weigh.small_doses, sheet.weigh.remarks, sheet.kit.notes):
        yield from card
    yield from (text for step in sheet.steps for text in (step.title, step.text))
    yield from texts_of(sheet.temper.notes)
    if sheet.fold_in is not None:
        yield from (sheet.fold_in.sentence, sheet.fold_in.note)


@pytest.mark.long
@given(recipes(), CONTEXTS)
def test_every_sentence_of_every_answer_is_one(recipe: Recipe, here: Context) -> None:
    assert [fault for text in said_of(recipe, here) for fault in faults_of(text)] == []


@pytest.mark.long
@given(
    recipes(),
    CONTEXTS,
    st.sampled_from(TABLE),
    st.sampled_from([Stage.START, Stage.LATE, Stage.FOLDED_IN]),
    st.floats(0.3, 1.5),
)
def test_every_sentence_about_a_bowl_is_one(
    recipe: Recipe, here: Context, strange: str, stage: Stage, fill: float
) -> None:
    bowl_g = {one.label: one.mass_g * (fill if index else 1.0) for index, one in enumerate(recipe.parts)}
    foreign = (part(strange, 20.0, label="strange"),)
    bowl = in_the_bowl(recipe, bowl_g, foreign)
    said = [text for way in ways_out(bowl, here, recipe) for text in (way.sentence, *way.remarks)]
    found = rescue(recipe, bowl_g, here, Moment(stage=stage, foreign=foreign))

    texts = (*said, found.sentence, *found.remarks, *found.gives)
    assert [fault for text in texts for fault in faults_of(text)] == []


WISHES: list[dict[str, object]] = [
    {"total_fat_percent": {"min": 40}},
    {"milk_solids_percent": {"min": 20}, "total_fat_percent": {"max": 12}},
    {"called": ["eu:milk"], "offer": ["milk_powder_whole"]},
    {"pours": True},
    {"objective": "cheapest", "lock": ["base"]},
]


@pytest.mark.long
@given(recipes(), CONTEXTS, st.sampled_from(WISHES))
def test_every_sentence_about_a_balance_is_one(
    recipe: Recipe, here: Context, wishes: dict[str, object]
) -> None:
    found = balance(recipe, wishes_from(wishes), here)
    remedy = "" if found.remedy is None else found.remedy.sentence

    texts = (found.word, found.sentence, remedy, found.advice, *found.remarks, *found.unmet, *found.doubts)
    assert [fault for text in texts for fault in faults_of(text)] == []


@pytest.mark.long
@given(recipes(), CONTEXTS)
def test_every_sentence_about_a_name_is_one(recipe: Recipe, here: Context) -> None:
    texts = [
        text
        for _, earned in names_earned(recipe, here)
        for text in (earned.why_not, "" if earned.remedy is None else earned.remedy.sentence)
    ]
    assert [fault for text in texts for fault in faults_of(text)] == []


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("dry milk solids cannot be told.", True),
        ("It pours. it is thin.", True),
        ("Peanuts is not in the recipe.", True),
        ("Dried figs is not in the recipe.", True),
        ("Peanuts are not in the recipe.", False),
        ("Cocoa mass is not in the recipe.", False),
        ("The shell left in roasted nibs is not given: at most 1.75 % is asked.", False),
    ],
)
def test_the_reader_of_sentences_sees_what_is_wrong(text: str, wrong: bool) -> None:
    assert bool(faults_of(text)) is wrong
