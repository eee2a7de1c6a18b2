"""What a tool shows: its answer, its pictures, and how it was worked out."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from nibsmith.answers.answer import Citation, Detail
from nibsmith.answers.tools.outcome import Outcome, constant_words
from nibsmith.paper.chart import Chart
from nibsmith.science.tables import STATUS_WORDS, Constant
from nibsmith.shop.common.said import said, said_in, unbroken
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.recipes.shown_answers import ShownAnswer, show_answers
from nibsmith.shop.tools.forms import ToolForm

NOTHING: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Listed:
    """Some sentences under a heading, before the pictures where they come ``first``."""

    title: str
    lines: tuple[str, ...]
    first: bool = False


@dataclass(frozen=True, slots=True)
class Shown:
    """An outcome with its texts ready; ``constants`` are value, source and status of each figure."""

    outcome: Outcome
    answer: ShownAnswer
    charts: tuple[Chart, ...]
    tables: tuple[Detail, ...]
    constants: tuple[tuple[str, str, str], ...]
    sources: tuple[tuple[str, str], ...]
    lists: tuple[Listed, ...] = ()
    todo: tuple[str, ...] = ()

    @property
    def cautions(self) -> tuple[str, ...]:
        """What the answer says to mind."""
        return tuple(unbroken(caution) for caution in self.answer.answer.cautions)


def show(
    outcome: Outcome,
    charts: Sequence[Chart | None],
    settings: WorkshopSettings,
    lists: tuple[Listed, ...] = (),
) -> Shown:
    """Make an outcome ready for the page."""
    told = said_in(outcome, settings)
    return Shown(
        outcome=told,
        answer=show_answers((outcome.answer,), settings).all[0],
        charts=tuple(chart for chart in charts if chart is not None),
        tables=told.details,
        constants=tuple(_constant(row, settings) for row in outcome.constants),
        sources=cited_with_key(outcome.answer.sources),
        lists=said_in(lists, settings),
        todo=tuple(said(unbroken(remedy.sentence), settings) for remedy in outcome.answer.remedies),
    )


def _constant(row: Constant, settings: WorkshopSettings) -> tuple[str, str, str]:
    return said(constant_words(row), settings), f"{row.source} {row.place}".rstrip(), STATUS_WORDS[row.status]


def cited_with_key(sources: Sequence[Citation]) -> tuple[tuple[str, str], ...]:
    """Return each source once: its key and place, and how far it can be trusted."""
    rows = ((f"{one.key} {one.place}".rstrip(), STATUS_WORDS[one.status]) for one in sources)
    return tuple(dict.fromkeys(rows))


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
