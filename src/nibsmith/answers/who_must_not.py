"""Who must not eat it: the allergens that the ingredients bring, by the lists of law."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from nibsmith.answers.answer import Answer, Citation, Detail, Verdict
from nibsmith.answers.context import Context
from nibsmith.answers.wording import capital, joined
from nibsmith.science.label import (
    Allergens,
    Found,
    Where,
    allergen_list,
    allergen_lists,
    allergen_notes,
    allergens,
    cautions,
)
from nibsmith.science.mixture import Recipe

HISTORY = "From the recipe; your machine's history is not known here."
_HOW = {
    "eu": "In the European Union and the United Kingdom each is set off by its type in the list of "
    "ingredients.",
    "us": "In the United States each is named in the list of ingredients, or in a line after it that begins "
    "with the word Contains.",
}


@dataclass(frozen=True)
class _Named:
    """One thing to name: what it is called, which lists hold it, which ingredients bring it."""

    name: str
    lists: tuple[str, ...]
    ingredients: tuple[str, ...]

    @property
    def words(self) -> str:
        if len(self.lists) == len(allergen_lists()):
            return self.name
        return f"{self.name} ({joined([allergen_list(key).short for key in self.lists])} only)"


@dataclass(frozen=True)
class _Reading:
    """Both lists read over a recipe."""

    held: tuple[_Named, ...]
    doubtful: tuple[_Named, ...]
    unknown: tuple[str, ...]
    unplaced: tuple[str, ...]


def who_must_not(recipe: Recipe, context: Context) -> Answer:
    """Answer who must not eat it, from the ingredients alone and never with a bare good.

    Parameters
    ----------
    recipe : Recipe
        The recipe, nested recipes opened up.
    context : Context
        Its markets choose which ways of declaring are told; both lists are always read.

    Returns
    -------
    Answer
        Verdict declare where an allergen is found, else unknown: the machine's history is not known.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 80.0), part("hazelnut", 20.0)))
    >>> print(who_must_not(bar, Context()).sentence)
    Declare hazelnut. From the recipe; your machine's history is not known here.
    """
    read = {key: allergens(recipe, key) for key in allergen_lists()}
    reading = _reading(recipe, read)
    return Answer(
        question="who_must_not",
        title="Who must not eat it?",
        verdict=Verdict.DECLARE if reading.held else Verdict.UNKNOWN,
        word=_word(reading),
        sentence=" ".join(_sentences(reading)),
        reasons=tuple(_reasons(recipe, context, reading)),
        sources=tuple(dict.fromkeys(_sources(recipe, read))),
        cautions=_cautions(recipe),
        details=tuple(_detail(one) for one in read.values()),
    )


def brought_words(planned: Recipe, there: Recipe) -> tuple[str, ...]:
    """Say which allergens a bowl brings that its recipe has not.

    Parameters
    ----------
    planned : Recipe
        What was to be made.
    there : Recipe
        What comes of the bowl as it is.

    Returns
    -------
    tuple of str
        One sentence, or none.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> milky = Recipe("bar", Form.BAR, (*bar.parts, part("milk_powder_whole", 5.0)))
    >>> brought_words(bar, milky)
    ('What is in the bowl brings milk, which the recipe has not: declare it, or keep the batch back.',)
    """
    known = _held(planned)
    new = [named.name for key, named in _held(there).items() if key not in known]
    it = "it" if len(new) == 1 else "them"
    words = f"brings {joined(new)}, which the recipe has not: declare {it}, or keep the batch back."
    return (f"What is in the bowl {words}",) if new else ()


def _held(recipe: Recipe) -> dict[str, _Named]:
    return _named((key, found) for key in allergen_lists() for found in allergens(recipe, key).holds)


def _reading(recipe: Recipe, read: Mapping[str, Allergens]) -> _Reading:
    held = _named((key, found) for key, one in read.items() for found in one.holds)
    doubtful = _named((key, found) for key, one in read.items() for found in one.may_hold)
    for note in allergen_notes(recipe):
        if note.may_hold:
            group = allergen_list(note.lists[0]).groups[note.may_hold]
            doubtful.setdefault(group.key, _Named(group.name, note.lists, ()))
    return _Reading(
        held=tuple(held.values()),
        doubtful=tuple(named for key, named in doubtful.items() if key not in held),
        unknown=tuple(dict.fromkeys(name for one in read.values() for name in one.unknown)),
        unplaced=tuple(dict.fromkeys(word for one in read.values() for word in one.unplaced)),
    )


def _named(pairs: Iterable[tuple[str, Found]]) -> dict[str, _Named]:
    """Put what both lists hold under the key they share."""
    things: dict[str, _Named] = {}
    for list_key, found in pairs:
        for key, name in found.names.items():
            old = things.get(key, _Named(name, (), ()))
            ingredients = tuple(dict.fromkeys((*old.ingredients, *found.ingredients)))
            things[key] = _Named(old.name, (*old.lists, list_key), ingredients)
    return things


def _word(reading: _Reading) -> str:
    if reading.held:
        return f"{capital(joined([named.name for named in reading.held]))}."
    if reading.unknown or reading.unplaced:
        return "Cannot tell."
    return "Ask your supplier." if reading.doubtful else "None in the recipe."


def _sentences(reading: _Reading) -> Iterator[str]:
    if reading.held:
        yield f"Declare {joined([named.words for named in reading.held])}."
    elif not reading.unknown and not reading.unplaced:
        lists = joined([f"the {law.short}" for law in allergen_lists().values()], "or")
        yield f"None of {lists} is an ingredient."
    if reading.doubtful:
        may = joined([named.words for named in reading.doubtful])
        yield f"It may hold {may}: ask the supplier."
    if reading.unknown:
        yield f"The allergens of {joined(reading.unknown)} are not given, so there may be more."
    if reading.unplaced:
        yield f"The words {joined(reading.unplaced)} stand on no list here: check them."
    yield HISTORY


def _reasons(recipe: Recipe, context: Context, reading: _Reading) -> Iterator[str]:
    for named in reading.held:
        yield f"{capital(named.name)}: in {joined(named.ingredients)}."
    for note in allergen_notes(recipe):
        yield note.sentence
    covered = {market: law.key for law in allergen_lists().values() for market in law.markets}
    here = dict.fromkeys(covered[market] for market in context.markets if market in covered)
    yield from (_HOW[key] for key in here if reading.held)
    missing = [market.upper() for market in context.markets if market not in covered]
    if missing:
        yield f"The allergen lists of these markets are not here: {joined(missing)}. Read them there."


def _sources(recipe: Recipe, read: Mapping[str, Allergens]) -> Iterator[Citation]:
    for one in read.values():
        yield Citation(one.list.source, one.list.place, one.list.status)
        for found in one.holds:
            yield Citation(found.group.source, found.group.place, found.group.status)
    for note in allergen_notes(recipe):
        yield Citation(note.source, "", note.status)


def _cautions(recipe: Recipe) -> tuple[str, ...]:
    found = (*cautions(recipe, Where.PEOPLE), *cautions(recipe, Where.PETS))
    return tuple(dict.fromkeys(caution.sentence for caution in found))


def _detail(one: Allergens) -> Detail:
    rows = [(capital(found.words), "yes", joined(found.ingredients)) for found in one.holds]
    rows += [(capital(found.words), "may hold", joined(found.ingredients)) for found in one.may_hold]
    rows += [("Not known", "", name) for name in one.unknown]
    note = f"{one.list.place}. {HISTORY}"
    return Detail(capital(one.list.name), ("Allergen", "Held", "Brought by"), tuple(rows), note)
