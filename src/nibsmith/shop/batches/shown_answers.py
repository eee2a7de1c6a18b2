"""What a batch says now: will it pour, will it be smooth, will it set; and the grinding as a picture."""

from __future__ import annotations

from dataclasses import dataclass, replace

from nibsmith.answers.answer import Answer
from nibsmith.answers.context import Context
from nibsmith.answers.pour import pour
from nibsmith.answers.smooth import grind_curve, smooth
from nibsmith.answers.snap import snap
from nibsmith.paper.chart import Chart
from nibsmith.paper.pictures.grinding import grinding_chart
from nibsmith.science.errors import NibsmithError
from nibsmith.science.tables import load
from nibsmith.shop.batches.as_made import context_of, recipe_of
from nibsmith.shop.batches.models import Batch
from nibsmith.shop.batches.observing import seen_of
from nibsmith.shop.batches.selectors import Diary
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.kit.calibrating.selectors import known
from nibsmith.shop.kit.calibrating.shown import ShownCalibration, show
from nibsmith.shop.recipes.opening import Opened
from nibsmith.shop.recipes.shown_answers import ShownAnswers, show_answers


@dataclass(frozen=True, slots=True)
class BatchAnswers:
    """Answers to a batch as it is made, the picture of its grinding, and what of the kit they used."""

    answers: ShownAnswers
    chart: Chart | None
    used: tuple[ShownCalibration, ...]


def answer_batch(diary: Diary, opened: Opened, settings: WorkshopSettings) -> BatchAnswers | None:
    """Ask about what was made, as it was at the last entry; nothing where nothing is in the machine."""
    if not diary.begun:
        return None
    try:
        recipe, here = recipe_of(diary, opened), _as_it_is(diary, opened)
    except NibsmithError:
        return None
    answers: tuple[Answer, ...] = (pour(recipe, here), smooth(recipe, here), snap(recipe, here))
    try:
        reach = load("grind")["reading_error"].value
        chart = grinding_chart(grind_curve(recipe, here), reach, settings.decimal_sign or ".")
    except NibsmithError:
        chart = None
    return BatchAnswers(show_answers(answers, settings), chart, used_by(diary.batch, settings))


def _as_it_is(diary: Diary, opened: Opened) -> Context:
    """How it was made up to the last entry, and how it was seen to flow."""
    here = context_of(diary, diary.ground_until)
    assert here.process is not None  # noqa: S101  context_of gives it, for the reader of types
    return replace(here, process=replace(here.process, seen=seen_of(diary, opened)))


def used_by(batch: Batch, settings: WorkshopSettings) -> tuple[ShownCalibration, ...]:
    """Say which calibrations of the kit the answers to a batch stand on."""
    found = known(batch.kit, but_for=batch.run)
    return tuple(show(row, settings) for row in (found.flow, found.grinding) if row is not None)
