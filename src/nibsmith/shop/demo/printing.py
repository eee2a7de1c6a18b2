"""Print the batch sheet of the first recipe, as plain text for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from typing import TextIO

from nibsmith.answers.sheet import Fact, FoldInCard, KitCard, Sheet, WeighCard, batch_sheet
from nibsmith.shop.recipes.models import Recipe
from nibsmith.shop.recipes.opening import open_version

WIDTH = 78
TICK = "[ ]"
_PLAIN_SPACES = str.maketrans({"\u202f": " ", "\xa0": " "})


def print_first_sheet(stream: TextIO) -> None:
    """Print the sheet of the recipe that was made first, if there is one."""
    recipe = Recipe.objects.filter(retired_at=None).order_by("pk").first()
    version = None if recipe is None else recipe.versions.first()
    if version is None:
        return
    opened = open_version(version)
    sheet = batch_sheet(opened.recipe, opened.context, f"version {version.number}")
    stream.write(_printable("\n".join(_sheet(sheet)), stream))


def _printable(text: str, stream: TextIO) -> str:
    """Return the text with what this terminal cannot show as question marks."""
    encoding = getattr(stream, "encoding", None) or "utf-8"
    return text.translate(_PLAIN_SPACES).encode(encoding, "replace").decode(encoding)


def _sheet(sheet: Sheet) -> Iterator[str]:
    yield "=" * WIDTH
    yield f"Batch sheet: {sheet.recipe}, {sheet.version}"
    yield "=" * WIDTH
    yield from _facts(sheet.facts)
    yield from _bullets(sheet.notes)
    yield from _weights(sheet.weigh)
    yield from _kit(sheet.kit)
    yield from _head("Steps")
    for number, step in enumerate(sheet.steps, 1):
        yield from _wrapped(f"{TICK} {number}. {step.title}: {step.text}", "    ")
        yield from _facts(step.weights, "      ")
    yield from _head(sheet.temper.title)
    yield from _facts(sheet.temper.rows)
    yield from _wrapped(sheet.temper.sentence)
    yield from _bullets(sheet.temper.notes)
    yield from _fold_in(sheet.fold_in)
    if sheet.moulds is not None:
        yield from _head(f"Moulds: {sheet.moulds.name}")
        yield from _facts(sheet.moulds.facts)
    yield from _head("Write down")
    yield from (f"  {blank}: {'_' * (WIDTH - len(blank) - 4)}" for blank in sheet.blanks)
    yield from _head("Mind")
    yield from _bullets(sheet.cautions)
    yield ""


def _weights(card: WeighCard) -> Iterator[str]:
    yield from _head("Weigh, in order of use")
    rows = [(row.name, row.metric, row.imperial, row.share) for row in card.rows]
    for row in rows:
        yield _columns(TICK, *row)
    yield _columns("   ", "Together", card.metric, card.imperial, "")
    yield from _bullets(tuple(f"{row.name}: {row.note}" for row in card.rows if row.note))
    yield from _bullets((*card.remarks, *card.small_doses))


def _columns(tick: str, name: str, metric: str, imperial: str, share: str) -> str:
    short = textwrap.shorten(name, 34, placeholder="…")
    return f"  {tick} {short:<34}{metric:>11}{imperial:>15}{share:>10}".rstrip()


def _kit(card: KitCard) -> Iterator[str]:
    yield from _head(f"Kit: {card.name}")
    yield from _wrapped(card.sentence)
    yield from _facts(card.facts)
    yield from _bullets(card.notes)


def _fold_in(card: FoldInCard | None) -> Iterator[str]:
    if card is None:
        return
    yield from _head(f"Fold in, for {card.planned_mass} of mass")
    for row in card.rows:
        yield _columns(TICK, row.name, row.planned, row.per_kg, "")
    yield from _wrapped(card.sentence)
    yield from _facts(card.cold)
    yield from _wrapped(card.note)


def _head(title: str) -> tuple[str, str, str]:
    return ("", title, "-" * min(len(title), WIDTH))


def _facts(facts: Iterable[Fact], indent: str = "  ") -> Iterator[str]:
    for name, text in facts:
        yield from textwrap.wrap(
            f"{name}: {text}", WIDTH, initial_indent=indent, subsequent_indent=f"{indent}  "
        )


def _bullets(sentences: Iterable[str]) -> Iterator[str]:
    for sentence in sentences:
        yield from textwrap.wrap(sentence, WIDTH, initial_indent="  - ", subsequent_indent="    ")


def _wrapped(text: str, hanging: str = "  ") -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent="  ", subsequent_indent=f"  {hanging}") if text else []
