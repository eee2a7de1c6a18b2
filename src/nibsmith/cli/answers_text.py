"""Answers and recipes as plain text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from nibsmith.answers.answer import Answer, Detail, Remedy
from nibsmith.cli.printing import (
    INDENT,
    SHAPES,
    columns,
    fits,
    painted,
    wrapped,
)
from nibsmith.science.tables import STATUS_WORDS

BESIDE = INDENT * 2
FEW_COLUMNS = 4  # a table of more is given row by row where it does not fit


def answer_lines(answer: Answer, *, why: bool = False) -> Iterator[str]:
    """Give an answer: shape and word, one sentence, what to do; with ``why`` the reasons and sources too."""
    shape = painted(SHAPES[answer.verdict], answer.verdict)
    yield f"{shape} {answer.title}  {painted(answer.word, answer.verdict)}"
    yield from wrapped(answer.sentence)
    for remedy in answer.remedies:
        yield from remedy_lines(remedy)
    if why:
        yield from _why(answer)


def caution_lines(answers: Sequence[Answer]) -> Iterator[str]:
    """Give the cautions of all answers, each once."""
    cautions = dict.fromkeys(caution for answer in answers for caution in answer.cautions)
    if cautions:
        yield ""
        yield "Take care"
    for caution in cautions:
        yield from wrapped(f"! {caution}", hang=BESIDE)


def remedy_lines(remedy: Remedy) -> Iterator[str]:
    """Give a remedy, and say where it was not asked again."""
    # What changes nothing in a recipe cannot be asked again.
    doubt = " (not asked again with this change)" if remedy.changes and not remedy.checked else ""
    yield from wrapped(f"→ {remedy.sentence}{doubt}", hang=BESIDE)


def _why(answer: Answer) -> Iterator[str]:
    for reason in answer.reasons:
        yield from wrapped(f"· {reason}", hang=BESIDE)
    for detail in answer.details:
        yield from detail_lines(detail) if detail.rows else ()
    for source in answer.sources:
        place = f", {source.place}" if source.place else ""
        yield from wrapped(f"[{source.key}]{place}: {STATUS_WORDS[source.status]}", hang=BESIDE)


def detail_lines(detail: Detail) -> Iterator[str]:
    """Give a small table with its title and note."""
    yield from wrapped(detail.title, indent=BESIDE)
    rows = [detail.head, *detail.rows]
    if len(detail.head) <= FEW_COLUMNS or fits(rows, BESIDE):
        yield from columns(rows, "<" * len(detail.head), indent=BESIDE)
    else:
        yield from _one_by_one(detail)
    if detail.note:
        yield from wrapped(detail.note, indent=BESIDE)


def _one_by_one(detail: Detail) -> Iterator[str]:
    """Give a table too wide for a terminal row by row, each cell with its heading."""
    for row in detail.rows:
        yield from wrapped(", ".join(row[:2]), indent=BESIDE)
        cells = [f"{head}: {cell}" for head, cell in zip(detail.head[2:], row[2:], strict=True) if cell]
        yield from wrapped("; ".join(cells), indent=BESIDE + INDENT)
