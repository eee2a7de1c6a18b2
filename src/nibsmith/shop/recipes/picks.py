"""What was picked for words that can mean several things, and where to go with words that mean nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from django.http import HttpRequest, QueryDict
from django.urls import reverse

from nibsmith.science.errors import NibsmithError
from nibsmith.shop.common.texts import folded
from nibsmith.shop.recipes.naming import Names, NoSuchName

FIELD = "pick-"


@dataclass(frozen=True, slots=True)
class Pick:
    """Words and what they were said to mean; its field is sent again until it is unticked."""

    field: str
    words: str
    ref: str
    name: str
    whose: str


def picked(data: QueryDict) -> Mapping[str, str]:
    """Return the reference picked for each words."""
    picks = {key.removeprefix(FIELD): data.get(key, "") for key in data if key.startswith(FIELD)}
    return {words: ref for words, ref in picks.items() if words and ref}


def show_picks(chosen: Mapping[str, str], names: Names, text: str | None = None) -> tuple[Pick, ...]:
    """Show what was picked by its name; a pick that names nothing here, or stands in no text, is left out."""
    known = {thing.ref: thing for thing in names.all()} if chosen else {}
    plain = None if text is None else folded(text)
    return tuple(
        Pick(f"{FIELD}{words}", words, ref, known[ref].name, known[ref].whose)
        for words, ref in chosen.items()
        if ref in known and (plain is None or folded(words) in plain)
    )


@dataclass(frozen=True, slots=True)
class NoSuch:
    """Words that nothing here is called, and the address of a sheet that begins with them."""

    words: str
    address: str


def no_such(error: NibsmithError, request: HttpRequest) -> NoSuch | None:
    """Offer a sheet for what is not known here; saved, it leads back to the page that asked for it."""
    if not isinstance(error, NoSuchName):
        return None
    asked = {"name": error.words} | ({"back": request.get_full_path()} if request.method == "GET" else {})
    return NoSuch(error.words, f"{reverse('stock:add')}?{urlencode(asked)}")
