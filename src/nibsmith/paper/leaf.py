"""One leaf of paper: an answer with its pictures, and how it was worked out."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from nibsmith.answers.answer import Answer, Detail
from nibsmith.paper.chart import Chart, picture_for_print
from nibsmith.paper.fonts import STAND_IN, unprintable
from nibsmith.paper.render import Paper, to_pdf
from nibsmith.paper.sheet import texts_of
from nibsmith.science.tables import STATUS_WORDS

TEMPLATE = "leaf.typ"


@dataclass(frozen=True, slots=True)
class Leaf:
    """What is printed: a title, what was asked as pairs, the answer, and what stands behind it."""

    title: str
    asked: tuple[tuple[str, str], ...]
    answer: Answer
    charts: tuple[Chart, ...] = ()
    tables: tuple[Detail, ...] = ()
    lists: tuple[tuple[str, tuple[str, ...]], ...] = ()
    formulas: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()


def leaf_pdf(leaf: Leaf, paper: Paper = Paper.A4) -> bytes:
    """Return a leaf as an accessible PDF.

    Parameters
    ----------
    leaf : Leaf
        What it says.
    paper : Paper
        A4 or US letter.

    Returns
    -------
    bytes
        The PDF, its pictures drawn as on the page; the same leaf gives the same bytes.
    """
    missing = unprintable(texts_of(leaf))
    table = str.maketrans(dict.fromkeys(missing, STAND_IN))
    data = {"leaf": _data(leaf, table), "paper": paper.value, "stand_in": STAND_IN if missing else ""}
    return to_pdf(TEMPLATE, data)


def _data(leaf: Leaf, table: dict[int, str]) -> dict[str, object]:
    answer = leaf.answer

    def clean(texts: Sequence[str]) -> list[str]:
        return [text.translate(table) for text in texts]

    return {
        "title": leaf.title.translate(table),
        "asked": [clean(pair) for pair in leaf.asked],
        "verdict": answer.verdict.value,
        "word": answer.word.translate(table),
        "sentence": answer.sentence.translate(table),
        "todo": clean([remedy.sentence for remedy in answer.remedies]),
        "pictures": [_picture(chart, table) for chart in leaf.charts],
        "tables": [_table(detail, clean) for detail in (*leaf.tables, *answer.details) if detail.rows],
        "lists": [{"title": clean([title])[0], "lines": clean(lines)} for title, lines in leaf.lists],
        "reasons": clean(answer.reasons),
        "formulas": clean(leaf.formulas),
        "sources": clean([*leaf.sources, *_sources(answer)]),
        "cautions": clean(answer.cautions),
    }


def _picture(chart: Chart, table: dict[int, str]) -> dict[str, str]:
    svg = picture_for_print(chart).translate(table)
    return {"title": chart.title.translate(table), "says": chart.says.translate(table), "svg": svg}


def _table(detail: Detail, clean: Callable[[Sequence[str]], list[str]]) -> dict[str, object]:
    columns = max(len(row) for row in (detail.head, *detail.rows))
    return {
        "title": clean([detail.title])[0],
        "head": clean(detail.head),
        "rows": [clean(row) for row in detail.rows],
        "columns": columns,
        "note": clean([detail.note])[0],
    }


def _sources(answer: Answer) -> Iterator[str]:
    """Say each source once, with how far it can be trusted."""
    said = (
        f"{source.key}{', ' if source.place else ''}{source.place} ({STATUS_WORDS[source.status]})"
        for source in answer.sources
    )
    yield from dict.fromkeys(said)
