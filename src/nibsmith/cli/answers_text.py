"""Answers and recipes as plain text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from nibsmith.answers.answer import Answer, Detail, Remedy
from nibsmith.cli.printing import (
    INDENT,
    SHAPES,
    columns,
    grams,
    painted,
    percent,
    wrapped,
)
from nibsmith.science.mixture import Recipe
from nibsmith.science.tables import STATUS_WORDS

BESIDE = INDENT * 2


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
    doubt = "" if remedy.checked else " (not asked again with this change)"
    yield from wrapped(f"→ {remedy.sentence}{doubt}", hang=BESIDE)


def _why(answer: Answer) -> Iterator[str]:
    for reason in answer.reasons:
        yield from wrapped(f"· {reason}", hang=BESIDE)
    for detail in answer.details:
        yield from _detail(detail) if detail.rows else ()
    for source in answer.sources:
        place = f", {source.place}" if source.place else ""
        yield from wrapped(f"[{source.key}]{place}: {STATUS_WORDS[source.status]}", hang=BESIDE)


def _detail(detail: Detail) -> Iterator[str]:
    yield from wrapped(detail.title, indent=BESIDE)
    rows = [detail.head, *detail.rows]
    yield from columns(rows, "<" * len(detail.head), indent=BESIDE)
    if detail.note:
        yield from wrapped(detail.note, indent=BESIDE)


def weigh_table(
    recipe: Recipe, weigh_g: Mapping[str, float | Decimal], step_g: Decimal, heads: Sequence[str] = ()
) -> list[str]:
    """Return the parts with their shares and what goes on the scale."""
    rows = [tuple(heads) or ("", "share", "weigh")]
    for part in recipe.parts:
        name = part.name if part.label in (part.name, getattr(part.of, "key", "")) else part.label
        rows.append((name, percent(recipe.share(part.label) * 100), grams(weigh_g[part.label], step_g)))
    total = sum(
        (Decimal(repr(mass)) if isinstance(mass, float) else mass for mass in weigh_g.values()), Decimal(0)
    )
    rows.append(("Together", percent(100), grams(total, step_g)))
    return columns(rows, "<>>")
