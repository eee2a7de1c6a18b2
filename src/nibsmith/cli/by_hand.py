"""What the commands of the bench tools share: reading options, printing an answer with its working out."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from enum import StrEnum
from pathlib import Path
from typing import TypeVar

from nibsmith.answers.report import answer_of, cleaned
from nibsmith.answers.tools.outcome import Outcome, around, constant_words, where_from
from nibsmith.cli.answers_text import BESIDE, answer_lines, caution_lines, detail_lines
from nibsmith.cli.printing import columns, say, say_json, wrapped
from nibsmith.cli.reading import STDIN, mass_option, shown_name, told_where
from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Span
from nibsmith.science.quantities import parse_number, parse_percent, parse_temperature

Member = TypeVar("Member", bound=StrEnum)
_MICROMETRES = re.compile(r"\s*(?:µm|μm|um|microns?)\s*$", re.IGNORECASE)
LONGEST = 10_000_000  # bytes of a file of readings


def add_outputs(parser: argparse.ArgumentParser) -> None:
    """Say how the answer is printed."""
    parser.add_argument("--why", action="store_true", help="open it: reasons, formula, figures, sources")
    parser.add_argument("--json", action="store_true", help="print JSON")


def choices(kind: type[StrEnum]) -> list[str]:
    """Return the words of a closed list as they are typed, with dashes."""
    return [one.value.replace("_", "-") for one in kind]


def chosen(kind: type[Member], word: str | None) -> Member | None:
    """Return the member of a closed list that a typed word means."""
    return None if word is None else kind(word.replace("-", "_"))


def number(option: str, text: str | None) -> float | None:
    """Return a number typed after an option."""
    if text is None:
        return None
    with told_where(option, field=False):
        return float(parse_number(text))


def micrometres(option: str, text: str | None) -> float | None:
    """Return a size typed after an option; a bare number is in µm."""
    return number(option, None if text is None else _MICROMETRES.sub("", text))


def percent(option: str, text: str | None) -> float | None:
    """Return a share in percent typed after an option."""
    if text is None:
        return None
    with told_where(option, field=False):
        return float(parse_percent(text, bare=True))


def celsius(option: str, text: str | None) -> float | None:
    """Return a temperature typed after an option; a bare number is in °C."""
    if text is None:
        return None
    with told_where(option, field=False):
        return float(parse_temperature(text, bare="C").celsius)


def mass(option: str, text: str | None) -> float | None:
    """Return a mass in grams typed after an option."""
    found = mass_option(option, text)
    return None if found is None else float(found)


def needed(option: str, value: float | None) -> float:
    """Refuse where an option that has no usual value is missing."""
    if value is None:
        raise InputError(f"{option} is needed")
    return value


def span(value: float | None, reach: float = 0.0) -> Span | None:
    """Return a typed figure with how far it may be off."""
    return None if value is None else around(value, reach)


def text_of(name: str) -> str:
    """Return the text of a file; ``-`` is standard input."""
    with told_where(shown_name(name)):
        held = sys.stdin.buffer.read(LONGEST + 1) if name == STDIN else _read(Path(name))
        if len(held) > LONGEST:
            raise InputError("The file is too large", value=f"more than {LONGEST:,} bytes", limit=LONGEST)
        return held.decode("utf-8-sig", "replace")


def _read(path: Path) -> bytes:
    with path.open("rb") as file:
        return file.read(LONGEST + 1)


def printed(outcome: Outcome, args: argparse.Namespace, more: Mapping[str, object] | None = None) -> int:
    """Print an outcome as text or JSON; ``more`` is what the document holds besides."""
    if args.json:
        say_json(document(outcome, more or {}))
    else:
        say(_text(outcome, why=args.why))
    return 0


def document(outcome: Outcome, more: Mapping[str, object]) -> dict[str, object]:
    """Return an outcome as plain values for JSON."""
    return cleaned(
        {
            "answer": answer_of(outcome.answer),
            "given": [{"name": one.name, "text": one.text, "whose": one.whose} for one in outcome.given],
            "tables": [
                {"title": one.title, "head": list(one.head), "rows": [list(row) for row in one.rows]}
                for one in outcome.details
            ],
            "formulas": list(outcome.formulas),
            "figures_behind": [
                {
                    "value": float(row.decimal),
                    "unit": row.unit,
                    "source": row.source,
                    "place": row.place,
                    "status": row.status.value,
                }
                for row in outcome.constants
            ],
            **more,
        }
    )


def _text(outcome: Outcome, *, why: bool) -> Iterator[str]:
    yield from answer_lines(outcome.answer, why=why)
    if outcome.given:
        yield ""
        yield from columns([(one.name, one.text, one.whose) for one in outcome.given], "<><")
    for detail in outcome.details:
        yield ""
        yield from detail_lines(detail)
    if why:
        yield from _worked_out(outcome)
    yield from caution_lines([outcome.answer])


def _worked_out(outcome: Outcome) -> Iterator[str]:
    yield ""
    yield "How it is worked out"
    yield from _lines(outcome.formulas, lambda formula: formula)
    for row in outcome.constants:
        yield from wrapped(f"{constant_words(row)}: {where_from(row)}", hang=BESIDE)


def _lines(rows: Iterable[str], words: Callable[[str], str]) -> Iterator[str]:
    for row in rows:
        yield from wrapped(words(row), hang=BESIDE)
