"""A roast as one leaf of paper: its answer, its picture, its weights and its times."""

from __future__ import annotations

from dataclasses import replace

from nibsmith.answers.answer import Answer, Detail
from nibsmith.paper import Leaf, leaf_pdf
from nibsmith.shop.common.printing import paper_of
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.roasts.models import Roast
from nibsmith.shop.roasts.shown import ShownRoast


def leaf_of(roast: Roast, shown: ShownRoast, settings: WorkshopSettings) -> bytes | None:
    """Set a roast as PDF on the paper of the workshop; none where its readings cannot be read yet."""
    if shown.answers is None:
        return None
    one = shown.answers.all[0]
    leaf = Leaf(
        title=f"Roast {roast.number}, {roast.beans}",
        asked=(*shown.facts, *shown.loss),
        answer=_told(one.answer),
        charts=() if shown.chart is None else (shown.chart,),
        tables=(Detail("How long it was above", ("Probe", *shown.heads), shown.times),)
        if shown.times
        else (),
        lists=tuple(_lists(roast, shown)),
        sources=tuple(f"{place} ({status})" for place, status in one.sources),
    )
    return leaf_pdf(leaf, paper_of(settings))


def _told(answer: Answer) -> Answer:
    """Leave its sources to the list that spells them out."""
    return replace(answer, remedies=(), sources=())


def _lists(roast: Roast, shown: ShownRoast) -> list[tuple[str, tuple[str, ...]]]:
    lists = [("To be settled", (*shown.questions, *shown.doubts))]
    if roast.wanted:
        lists.append(
            (f"Against “{roast.wanted.name}”", tuple(f"{name}: {text}" for name, text in shown.kept))
        )
    lists.append(("In your words", tuple(text for text in (roast.senses, roast.note) if text)))
    return [(title, lines) for title, lines in lists if lines]
