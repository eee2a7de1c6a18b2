"""What every answer is: a verdict, one plain sentence, a figure with its range, reasons and remedies."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from nibsmith.science.tables import Status


class Verdict(StrEnum):
    """How an answer comes out; shown as a word and a shape as well as a colour."""

    GOOD = "good"
    WATCH = "watch"
    STOP = "stop"
    DECLARE = "declare"
    UNKNOWN = "unknown"


WORST_FIRST = (Verdict.STOP, Verdict.UNKNOWN, Verdict.WATCH, Verdict.DECLARE, Verdict.GOOD)
"""Verdicts from the worst to the best: of several findings the worst is the answer."""
BETTER: Mapping[Verdict, int] = MappingProxyType(
    {verdict: rank for rank, verdict in enumerate(one for one in WORST_FIRST if one is not Verdict.DECLARE)}
)
"""How good a verdict is: a remedy must lead to a better one. To declare is neither."""


def worst(verdicts: Iterable[Verdict]) -> Verdict:
    """Return the worst of some verdicts.

    Parameters
    ----------
    verdicts : iterable of Verdict
        One at least.

    Returns
    -------
    Verdict
        The first of ``WORST_FIRST`` that is among them.

    Examples
    --------
    >>> worst([Verdict.GOOD, Verdict.UNKNOWN, Verdict.WATCH]).value
    'unknown'
    """
    return min(verdicts, key=WORST_FIRST.index)


@dataclass(frozen=True)
class Change:
    """An amount to add to a part, or of an ingredient that is not in the recipe yet [g]."""

    part: str
    add_g: float
    ingredient: str = ""


@dataclass(frozen=True)
class Remedy:
    """The smallest change that makes an answer better.

    ``checked`` says that the answer was asked again with the change in place and came out as promised.
    """

    sentence: str
    changes: tuple[Change, ...] = ()
    new_total_g: float | None = None
    checked: bool = False


@dataclass(frozen=True)
class Citation:
    """Where a figure or a rule is from: a key of docs/references.md, the place in it, and its status."""

    key: str
    place: str
    status: Status


@dataclass(frozen=True)
class Answer:
    """The answer to one question a maker asks.

    ``word`` is the verdict in the maker's words ("Thick."); ``sentence`` says the rest. ``figure``, ``low``
    and ``high`` are in ``unit`` and shares of ``basis``.
    """

    question: str
    title: str
    verdict: Verdict
    word: str
    sentence: str
    figure: float | None = None
    unit: str = ""
    low: float | None = None
    high: float | None = None
    basis: str = ""
    reasons: tuple[str, ...] = ()
    remedies: tuple[Remedy, ...] = ()
    sources: tuple[Citation, ...] = ()
    cautions: tuple[str, ...] = ()
    details: tuple[Detail, ...] = ()


@dataclass(frozen=True)
class Detail:
    """A small table that an answer opens to."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""
