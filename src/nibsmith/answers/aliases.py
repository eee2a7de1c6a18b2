"""Which ingredient do these words name? A closed list answers with one, asks which, or offers near names."""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import cast

from nibsmith.science.errors import TableError
from nibsmith.science.mixture.ingredients import ingredients
from nibsmith.science.tables import load_data

_NO_APOSTROPHES = str.maketrans("", "", "'\u2018\u2019\u02bc")
_WORD = re.compile(r"[^\W_]+")
_DROPPED = frozenset({"the", "of", "a", "an", "some"})
_LONGEST = 80  # letters looked at when near names are sought; no name in the list is longer
_NEAR = 3

Form = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class One:
    """The words name one ingredient: its key in the table."""

    key: str


@dataclass(frozen=True, slots=True)
class Ask:
    """The words can mean several ingredients: a question, and the keys to choose from."""

    question: str
    choices: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Unknown:
    """The words name nothing in the list; ``near`` holds names like them, none put in their place."""

    near: tuple[str, ...]


Meaning = One | Ask | Unknown


def what_is_it(words: str) -> Meaning:
    """Return which ingredient the words of a maker name.

    Parameters
    ----------
    words : str
        Such as ``cane sugar``. Case, accents, the order of the words, singular or plural, and
        words like "the" and "of" make no difference.

    Returns
    -------
    One, Ask or Unknown
        A key; a question with the keys to choose from; or names near it.

    Notes
    -----
    Only what stands in the table of aliases, or is a name or key of the table of ingredients, is understood.
    A word of the list comes before a key: ``hazelnut`` asks, raw or roasted. Whoever takes keys looks there
    first.

    Examples
    --------
    >>> what_is_it("Roasted Nibs")
    One(key='cocoa_nibs_roasted')
    >>> what_is_it("lecithin").choices
    ('lecithin_soy', 'lecithin_sunflower')
    >>> what_is_it("cane suger").near[0]
    'cane sugar'
    """
    form = _form(words)
    return _meanings().get(form) or Unknown(_near(words))


@lru_cache(maxsize=1)
def aliases() -> Mapping[str, tuple[str, ...]]:
    """Return the plain words for each ingredient by key, as the table of aliases lists them.

    Examples
    --------
    >>> "caster sugar" in aliases()["sugar_granulated"]
    True
    """
    listed = cast("Mapping[str, list[str]]", load_data("aliases")["one"])
    return MappingProxyType({key: tuple(words) for key, words in listed.items()})


def _asks() -> Iterator[tuple[list[str], Ask]]:
    for row in cast("list[Mapping[str, object]]", load_data("aliases")["ask"]):
        choices = cast("list[str]", row["choices"])
        yield cast("list[str]", row["words"]), Ask(str(row["question"]), tuple(choices))


@lru_cache(maxsize=1)
def _meanings() -> Mapping[Form, Meaning]:
    """Return what every form of words means: the list first, then the names and keys of the table."""
    found: dict[Form, Meaning] = {}
    for words, meaning in _listed():
        if found.setdefault(_form(words), meaning) != meaning:
            raise TableError("Words in the table of aliases have two meanings", value=words)
    for key, thing in ingredients().items():
        for words in (thing.name, key):
            found.setdefault(_form(words), One(key))
    return MappingProxyType(found)


def _listed() -> Iterator[tuple[str, Meaning]]:
    for key, names in aliases().items():
        yield from ((name, One(key)) for name in names)
    for words, ask in _asks():
        yield from ((word, ask) for word in words)


@lru_cache(maxsize=1)
def _names() -> Mapping[str, str]:
    """Return every listed name by its plain spelling, to look for near ones."""
    listed = [words for words, _ in _listed()] + [thing.name for thing in ingredients().values()]
    return MappingProxyType({_plain(words): words for words in reversed(listed)})


def _near(words: str) -> tuple[str, ...]:
    close = difflib.get_close_matches(_plain(words)[:_LONGEST], _names(), n=_NEAR)
    return tuple(_names()[name] for name in close)


def _plain(words: str) -> str:
    """Return the words in small letters without accents, dropped words or signs."""
    letters = unicodedata.normalize("NFKD", words.casefold())
    bare = "".join(letter for letter in letters if not unicodedata.combining(letter)).translate(
        _NO_APOSTROPHES
    )
    return " ".join(word for word in _WORD.findall(bare.replace("_", " ")) if word not in _DROPPED)


def _form(words: str) -> Form:
    """Return the words as a sorted tuple of singulars, the same for every way of typing one name."""
    return tuple(sorted(_singular(word) for word in _plain(words).split()))


def _singular(word: str) -> str:
    """Return an English plural without its ending; other words may lose an s, which both sides do alike."""
    if len(word) > 4 and word.endswith("ies"):
        return f"{word[:-3]}y"
    if len(word) > 4 and word.endswith(("ches", "shes", "sses", "xes", "oes")):
        return word[:-2]
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith(("ss", "us")) else word
