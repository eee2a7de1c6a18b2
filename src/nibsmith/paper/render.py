"""Setting a document: data goes in as text, PDF or pictures come out, the same bytes every time."""

from __future__ import annotations

import json
from collections.abc import Mapping
from enum import StrEnum
from pathlib import Path
from typing import Any

from nibsmith.paper.fonts import font_folder

TEMPLATES = Path(__file__).parent / "templates"
ACCESSIBLE = "ua-1"  # PDF/UA-1: tagged, with a title and a language, for screen readers


class Paper(StrEnum):
    """Sheet sizes."""

    A4 = "a4"
    LETTER = "us-letter"


def to_pdf(template: str, data: Mapping[str, object]) -> bytes:
    """Return a document as PDF.

    Parameters
    ----------
    template : str
        Name of a template of this package.
    data : Mapping[str, object]
        What it prints; every text in it stays text, whatever signs it holds.

    Returns
    -------
    bytes
        The PDF, without a date: the same data gives the same bytes.
    """
    return _first(_compiled(template, data, format="pdf", pdf_standards=ACCESSIBLE))


def to_pictures(template: str, data: Mapping[str, object], dots_per_inch: int) -> tuple[bytes, ...]:
    """Return the pages of a document as PNG pictures.

    Parameters
    ----------
    template : str
        Name of a template of this package.
    data : Mapping[str, object]
        What it prints.
    dots_per_inch : int
        Resolution.

    Returns
    -------
    tuple of bytes
        One picture a page.
    """
    pages = _compiled(template, data, format="png", ppi=float(dots_per_inch))
    return tuple(pages) if isinstance(pages, list) else (pages,)


def _compiled(template: str, data: Mapping[str, object], **options: Any) -> Any:
    import typst  # 60 ms and 80 MB that only printing needs

    return typst.compile(
        str(TEMPLATES / template),
        root=str(TEMPLATES),
        font_paths=[str(font_folder())],
        ignore_system_fonts=True,
        sys_inputs={"data": json.dumps(data, ensure_ascii=False, default=str)},
        **options,
    )


def _first(pages: bytes | list[bytes]) -> bytes:
    return pages[0] if isinstance(pages, list) else pages
