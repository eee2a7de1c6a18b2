"""The sources of an answer as a person reads them: the place, the full reference, how far it was read."""

from __future__ import annotations

from collections.abc import Iterable

from nibsmith.answers.answer import Citation
from nibsmith.answers.references import Reference, references
from nibsmith.science.tables import STATUS_WORDS, Status

OF_THE_PROGRAM = "Program"


def cited(citations: Iterable[Citation]) -> tuple[tuple[str, str], ...]:
    """Return each source once, with all places that were cited of it, and its status in words."""
    places: dict[tuple[str, Status], dict[str, None]] = {}
    for citation in citations:
        places.setdefault((citation.key, citation.status), {})[citation.place] = None
    return tuple(
        (_told(key, "; ".join(filter(None, found))), STATUS_WORDS[status])
        for (key, status), found in places.items()
    )


def _told(key: str, places: str) -> str:
    """Put the place before the reference; what has no source is told by its place alone."""
    reference = references().get(key)
    if reference is None:
        return places or key
    return f"{places}, in: {reference.text}" if places else reference.text


def by_section() -> dict[str, list[tuple[Reference, str]]]:
    """Return all sources with their status in words by section, those of the program itself last."""
    found: dict[str, list[tuple[Reference, str]]] = {}
    for reference in sorted(references().values(), key=lambda each: each.section == OF_THE_PROGRAM):
        found.setdefault(reference.section, []).append((reference, STATUS_WORDS[reference.status]))
    return found
