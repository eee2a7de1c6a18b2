"""The answer of a tool as one leaf of paper."""

from __future__ import annotations

from dataclasses import replace

from nibsmith.answers.answer import Answer, Remedy
from nibsmith.paper import Leaf, leaf_pdf
from nibsmith.shop.common.printing import paper_of
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.tools.showing import Bench, Shown


def leaf_of(tool: Bench, shown: Shown, settings: WorkshopSettings) -> bytes:
    """Set an answer as PDF on the paper of the workshop."""
    outcome = shown.outcome
    leaf = Leaf(
        title=tool.name,
        asked=tuple((one.name, f"{one.text}, {one.whose}") for one in outcome.given),
        answer=_not_twice(shown),
        charts=shown.charts,
        tables=shown.tables,
        lists=tuple((one.title, one.lines) for one in shown.lists),
        formulas=outcome.formulas,
        sources=tuple(f"{figure}: {place} ({status})" for figure, place, status in shown.constants),
    )
    return leaf_pdf(leaf, paper_of(settings))


def _not_twice(shown: Shown) -> Answer:
    """Return the answer without what stands on the same leaf already: in a list, or with its figure."""
    answer = shown.outcome.answer
    listed = {line for one in shown.lists for line in one.lines}
    figures = {(row.source, row.place) for row in shown.outcome.constants}
    return replace(
        answer,
        remedies=tuple(Remedy(sentence) for sentence in shown.todo),
        reasons=tuple(reason for reason in answer.reasons if reason not in listed),
        sources=tuple(one for one in answer.sources if (one.key, one.place) not in figures),
    )
