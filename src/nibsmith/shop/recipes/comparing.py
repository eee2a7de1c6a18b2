"""Two versions of a recipe side by side."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from nibsmith.answers.answer import Answer
from nibsmith.science.formulate import round_to_scale
from nibsmith.science.mixture import BASIS_WORDS, PROPERTIES, Mixture, as_weighed
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.recipes.answering import answers_to
from nibsmith.shop.recipes.figure_table import MAIN, OF_FAT
from nibsmith.shop.recipes.models import RecipeVersion
from nibsmith.shop.recipes.opening import Opened, open_version
from nibsmith.shop.recipes.shown_answers import ShownAnswer, show_answers
from nibsmith.shop.recipes.written import HUNDREDTH, TENTH, Weight, share_text, weight

MINUS = "\u2212"


@dataclass(frozen=True, slots=True)
class PartPair:
    """One part in both versions; the texts are empty where it is in one only."""

    name: str
    old_share: str
    new_share: str
    change: str
    old_weight: Weight | None
    new_weight: Weight | None


@dataclass(frozen=True, slots=True)
class FigurePair:
    """One figure of both versions, on one basis."""

    words: str
    old: str
    new: str
    change: str


@dataclass(frozen=True, slots=True)
class AnswerPair:
    """One question answered for both versions."""

    title: str
    old: ShownAnswer | None
    new: ShownAnswer | None

    @property
    def differs(self) -> bool:
        if self.old is None or self.new is None:
            return True
        return (self.old.answer.word, self.old.answer.sentence) != (
            self.new.answer.word,
            self.new.answer.sentence,
        )


@dataclass(frozen=True, slots=True)
class Comparison:
    """What two versions weigh, come to and answer."""

    parts: tuple[PartPair, ...]
    totals: tuple[Weight, Weight]
    basis: str
    figures: tuple[FigurePair, ...]
    answers: tuple[AnswerPair, ...]


def compare_versions(old: RecipeVersion, new: RecipeVersion, settings: WorkshopSettings) -> Comparison:
    """Compare two stored versions."""
    before, after = open_version(old), open_version(new)
    mixtures = as_weighed(before.recipe), as_weighed(after.recipe)
    return Comparison(
        parts=tuple(_parts(before, after, settings)),
        totals=(weight(before.recipe.total_g, settings), weight(after.recipe.total_g, settings)),
        basis=BASIS_WORDS[mixtures[1].basis],
        figures=tuple(_figures(*mixtures, settings)),
        answers=tuple(_answers(answers_to(before), answers_to(after), settings)),
    )


def _parts(before: Opened, after: Opened, settings: WorkshopSettings) -> Iterable[PartPair]:
    old_g, new_g = _weighed(before, settings), _weighed(after, settings)
    for label in dict.fromkeys((*before.parts, *after.parts)):
        old, new = _percent(before, label), _percent(after, label)
        part = after.parts.get(label) or before.parts[label]
        yield PartPair(
            name=part.name,
            old_share="" if old is None else share_text(old, settings),
            new_share="" if new is None else share_text(new, settings),
            change=_change(old or Fraction(0), new or Fraction(0), settings),
            old_weight=old_g.get(label),
            new_weight=new_g.get(label),
        )


def _weighed(opened: Opened, settings: WorkshopSettings) -> Mapping[str, Weight]:
    rounded = round_to_scale({part.label: part.mass_g for part in opened.weighed.parts}, settings.scale_g)
    return {label: weight(grams, settings) for label, grams in rounded.masses_g.items()}


def _percent(opened: Opened, label: str) -> Fraction | None:
    return opened.percent(label) if label in opened.parts else None


def _change(old: Fraction, new: Fraction, settings: WorkshopSettings, step: Decimal = HUNDREDTH) -> str:
    """Write the difference of two figures as they are shown, so that it can be checked by eye."""
    change = _shown(new, step) - _shown(old, step)
    if not change:
        return ""
    return f"{'+' if change > 0 else MINUS}{share_text(abs(change), settings, step)}"


def _shown(percent: Fraction, step: Decimal) -> Fraction:
    number = Decimal(percent.numerator) / Decimal(percent.denominator)
    return Fraction(number.quantize(step, ROUND_HALF_UP))


def _figures(old: Mixture, new: Mixture, settings: WorkshopSettings) -> Iterable[FigurePair]:
    for key in MAIN:
        if key == OF_FAT or not (old.knows(key) and new.knows(key)):
            continue
        before, after = Fraction(old.percent(key)), Fraction(new.percent(key))
        if before or after:
            yield FigurePair(
                PROPERTIES[key].words,
                share_text(before, settings, TENTH),
                share_text(after, settings, TENTH),
                _change(before, after, settings, TENTH),
            )


def _answers(
    old: Sequence[Answer], new: Sequence[Answer], settings: WorkshopSettings
) -> Iterable[AnswerPair]:
    before = {shown.answer.question: shown for shown in show_answers(old, settings).all}
    after = {shown.answer.question: shown for shown in show_answers(new, settings).all}
    for question in dict.fromkeys((*after, *before)):
        title = (after.get(question) or before[question]).answer.title
        yield AnswerPair(title, before.get(question), after.get(question))
