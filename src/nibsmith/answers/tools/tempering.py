"""A temper program without a recipe: shifted for other fat, with tabling, seed and what a held bowl does."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from nibsmith.answers._seed_words import without_detail
from nibsmith.answers._temper_words import program_detail, shift_words
from nibsmith.answers.answer import Answer, Citation, Verdict
from nibsmith.answers.seed import SeedAsked
from nibsmith.answers.tools._held import held_words
from nibsmith.answers.tools.outcome import Given, Outcome, constants, given
from nibsmith.answers.wording import NO_BREAK, degrees, degrees_span
from nibsmith.science.errors import OutOfRange
from nibsmith.science.tables import load
from nibsmith.science.temper import (
    Chocolate,
    Fat,
    HeldBowl,
    Program,
    ProgramTable,
    held_bowl,
    program_for,
    softening,
)

QUESTION, TITLE = "temper", "How is it tempered?"
USUAL_FAT_PERCENT = 35
FORMULAS = (
    "Other fat ground in lowers the dark program by T_0 − 1/(1/T_0 − (R/ΔH)·ln x).",
    "x is the share of cocoa butter in all fat, T_0 and ΔH melting point and heat of form V.",
    "On the table: the share f = (T_melt − T_work)/(T_melt − T_table) of the mass.",
    "Crystals of a held bowl: b = B·(1 − h), h = [1 + (1/h_0² − 1)·exp(2·K·t)]^(−1/2).",
)
KEYS = ("form_v_melting", "form_v_heat")
SEED_KEYS = ("crystals", "crystals_at")
HELD_KEYS = ("seed", "held_limit", "growth", "growth_factor")
CAUTIONS = (
    "Temperatures of the mass, measured in it: stir, and let the probe come to rest.",
    "Melted mass and the metal around it burn. No water: no steam from the bath, dry spoons.",
)
_PERCENT = 100


@dataclass(frozen=True, slots=True)
class TemperAsked:
    """Kind, other fat ground in [% of all fat], which published table, where a bowl is held [°C], fat [%]."""

    chocolate: Chocolate
    other_percent: float = 0.0
    table: ProgramTable = ProgramTable.FIRST
    held_celsius: float | None = None
    fat_percent: float = USUAL_FAT_PERCENT

    @property
    def lowering_k(self) -> float:
        """Softening by the other fat [K]."""
        return softening(1 - self.other_percent / _PERCENT)

    @property
    def program(self) -> Program:
        """The program with its shift."""
        other = self.other_percent > 0
        return program_for(self.chocolate, self.lowering_k, other_fat=other, table=self.table)

    @property
    def fat(self) -> Fat:
        """The fat of the mass, with the milk fat that its kind usually has."""
        milk = load("usual_mass")[f"{self.chocolate.value}_milk_fat"].value
        share = max(load("temper")["dilution_from"].value, 1 - milk - self.other_percent / _PERCENT)
        return Fat(self.fat_percent / _PERCENT, softening(share), share)


def held(asked: TemperAsked) -> HeldBowl | None:
    """Return what becomes of the held bowl; none where none is asked for or nothing can be told."""
    if asked.held_celsius is None:
        return None
    try:
        return held_bowl(asked.held_celsius, asked.fat)
    except OutOfRange:
        return None


def temper_by_hand(asked: TemperAsked) -> Outcome:
    """Answer how a mass of a kind is tempered.

    Parameters
    ----------
    asked : TemperAsked
        Kind, other fat, table, and a bowl that is held.

    Returns
    -------
    Outcome
        The program as a sentence and a table. Where a bowl is held, the figure is when it is too thick [min],
        with the ends between which four draws in five lie, and the verdict is that of the bowl.

    Raises
    ------
    OutOfRange
        If less than half of the fat is cocoa butter.

    Examples
    --------
    >>> temper_by_hand(TemperAsked(Chocolate.DARK)).answer.sentence.replace(NO_BREAK, " ")[:51]
    'Melt at 45–50 °C (113–122 °F), cool to 27 °C (80.6 '
    """
    program = asked.program
    bowl = None if asked.held_celsius is None else held_words(asked.held_celsius, asked.fat, program)
    answer = Answer(
        question=QUESTION,
        title=TITLE,
        verdict=Verdict.GOOD if bowl is None else bowl.verdict,
        word=(bowl.word if bowl else "") or f"{asked.chocolate.value.capitalize()}.",
        sentence=f"{_sentence(program)} {bowl.sentence if bowl else ''}".rstrip(),
        figure=None if bowl is None else bowl.minutes,
        unit="" if bowl is None or bowl.minutes is None else "min",
        low=None if bowl is None else bowl.low,
        high=None if bowl is None else bowl.high,
        basis="" if bowl is None or bowl.minutes is None else "holding, until the bowl is too thick",
        reasons=(*_reasons(asked, program), *(bowl.reasons if bowl else ())),
        sources=(Citation(program.source, program.place, program.status),),
        cautions=CAUTIONS,
    )
    ways = without_detail(SeedAsked(chocolate=asked.chocolate, program=program))
    details = (*program_detail(program), replace(ways, title="Ways to the first crystals"))
    tables = (("temper", KEYS), ("temper_seed", SEED_KEYS), ("temper_states", HELD_KEYS))
    rows = tuple(row for table, keys in tables for row in constants(table, keys))
    return Outcome(answer, tuple(_given(asked)), FORMULAS, rows, details)


def _sentence(program: Program) -> str:
    melt, cool, work = (
        degrees_span(span) for span in (program.melt_celsius, program.cool_celsius, program.work_celsius)
    )
    most = program.most_celsius
    never = "" if most is None else f"; once tempered, never above {degrees(most)}"
    return f"Melt at {melt}, cool to {cool}, work at {work}{never}."


def _reasons(asked: TemperAsked, program: Program) -> Iterator[str]:
    if asked.other_percent and shift_words(program):
        other = f"{asked.other_percent:g}{NO_BREAK}% of the fat is no cocoa butter"
        yield f"{other}: everything but melting is {shift_words(program)} cooler."
    elif asked.other_percent and asked.chocolate is not Chocolate.DARK:
        dark = "the dark program lowered for that is not cooler"
        yield f"{asked.other_percent:g}{NO_BREAK}% of the fat is no cocoa butter: {dark}, so this one stands."
    if asked.chocolate is not Chocolate.DARK and not asked.other_percent:
        yield "Its milk fat is in the published program already; nothing is shifted for it."
    yield "Nuts that are folded in after tempering change nothing here; ground in they do."


def _given(asked: TemperAsked) -> Iterator[Given]:
    yield given("Kind", asked.chocolate.value, "", said=True)
    yield given("Other fat in all fat", asked.other_percent, "%", said=bool(asked.other_percent))
    yield given("Table", asked.table.value, "", said=asked.table is not ProgramTable.FIRST)
    if asked.held_celsius is not None:
        yield given("Bowl held at", asked.held_celsius, "°C", said=True)
        yield given("Fat of the mass", asked.fat_percent, "%", said=asked.fat_percent != USUAL_FAT_PERCENT)
