"""The answer of a tool as one leaf of paper."""

from __future__ import annotations

from nibsmith.paper import Leaf, Paper, leaf_pdf
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.tools.showing import Bench, Shown


def leaf_of(tool: Bench, shown: Shown, settings: WorkshopSettings) -> bytes:
    """Set an answer as PDF on the paper of the workshop."""
    outcome = shown.outcome
    leaf = Leaf(
        title=tool.name,
        asked=tuple((one.name, f"{one.text}, {one.whose}") for one in outcome.given),
        answer=outcome.answer,
        charts=shown.charts,
        tables=shown.tables,
        lists=tuple((one.title, one.lines) for one in shown.lists),
        formulas=outcome.formulas,
        sources=tuple(f"{figure}: {source}" for figure, source in shown.constants),
    )
    return leaf_pdf(leaf, Paper.A4 if settings.paper == "A4" else Paper.LETTER)
