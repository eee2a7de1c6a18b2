"""What a tool shows: its answer, its pictures, and how it was worked out."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from nibsmith.answers.answer import Detail
from nibsmith.answers.tools.outcome import Outcome, constant_words, where_from
from nibsmith.paper.chart import Chart
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.recipes.shown_answers import ShownAnswer, show_answers
from nibsmith.shop.tools.forms import ToolForm

NOTHING: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Listed:
    """Some sentences under a heading."""

    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Shown:
    """An outcome with its texts ready; ``constants`` are value and source of every figure behind it."""

    outcome: Outcome
    answer: ShownAnswer
    charts: tuple[Chart, ...]
    tables: tuple[Detail, ...]
    constants: tuple[tuple[str, str], ...]
    lists: tuple[Listed, ...] = ()

    @property
    def cautions(self) -> tuple[str, ...]:
        """What the answer says to mind."""
        return self.answer.answer.cautions


def show(
    outcome: Outcome,
    charts: Sequence[Chart | None],
    settings: WorkshopSettings,
    lists: tuple[Listed, ...] = (),
) -> Shown:
    """Make an outcome ready for the page."""
    return Shown(
        outcome=outcome,
        answer=show_answers((outcome.answer,), settings).all[0],
        charts=tuple(chart for chart in charts if chart is not None),
        tables=outcome.details,
        constants=tuple((constant_words(row), where_from(row)) for row in outcome.constants),
        lists=lists,
    )


@dataclass(frozen=True)
class Bench:
    """One tool: its address, its name, what it is asked, its form, and how it answers.

    ``usual`` is what its fields hold at first; where there is any, it is answered at once. ``preset`` is what
    they hold without being answered. ``more`` names the fields that are folded away at first; ``names`` those
    that a table lists rather than the class. ``by_post`` says that more is typed than an address holds.
    ``empty`` stands where nothing is answered yet.
    """

    key: str
    name: str
    lead: str
    form: type[ToolForm]
    work: Callable[[ToolForm, WorkshopSettings], Shown]
    usual: Mapping[str, str] = field(default_factory=lambda: NOTHING)
    preset: Mapping[str, str] = field(default_factory=lambda: NOTHING)
    more: tuple[str, ...] = ()
    names: tuple[str, ...] = ()
    by_post: bool = False
    empty: str = ""
