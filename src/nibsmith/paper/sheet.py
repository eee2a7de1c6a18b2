"""The batch sheet on paper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, fields, is_dataclass

from nibsmith.answers.sheet.cards import Sheet
from nibsmith.paper.fonts import STAND_IN, unprintable
from nibsmith.paper.render import Paper, to_pdf, to_pictures

TEMPLATE = "sheet.typ"
READING_ROWS = 10
SCREEN_DPI = 110


def sheet_pdf(sheet: Sheet, paper: Paper = Paper.A4) -> bytes:
    """Return a batch sheet as an accessible PDF.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    paper : Paper
        A4 or US letter.

    Returns
    -------
    bytes
        The PDF; the same sheet gives the same bytes.
    """
    return to_pdf(TEMPLATE, _data(sheet, paper))


def sheet_pictures(
    sheet: Sheet, paper: Paper = Paper.A4, dots_per_inch: int = SCREEN_DPI
) -> tuple[bytes, ...]:
    """Return the pages of a batch sheet as PNG pictures.

    Parameters
    ----------
    sheet : Sheet
        The sheet.
    paper : Paper
        A4 or US letter.
    dots_per_inch : int
        Resolution.

    Returns
    -------
    tuple of bytes
        One picture a page.
    """
    return to_pictures(TEMPLATE, _data(sheet, paper), dots_per_inch)


def _data(sheet: Sheet, paper: Paper) -> dict[str, object]:
    missing = unprintable(texts_of(sheet))
    return {
        "sheet": _printable(asdict(sheet), str.maketrans(dict.fromkeys(missing, STAND_IN))),
        "paper": paper.value,
        "reading_rows": READING_ROWS,
        "stand_in": STAND_IN if missing else "",
    }


def _printable(thing: object, table: dict[int, str]) -> object:
    """Put the stand-in for every sign that the typeface lacks: an accessible print may hold none of these."""
    if isinstance(thing, str):
        return thing.translate(table)
    if isinstance(thing, dict):
        return {key: _printable(value, table) for key, value in thing.items()}
    return [_printable(one, table) for one in thing] if isinstance(thing, list | tuple) else thing


def texts_of(thing: object) -> Iterator[str]:
    """Yield every text of a sheet, its cards and their rows."""
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, tuple):
        for one in thing:
            yield from texts_of(one)
    elif is_dataclass(thing):
        for field in fields(thing):
            yield from texts_of(getattr(thing, field.name))
