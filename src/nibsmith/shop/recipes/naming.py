"""Which ingredient or recipe do typed words name? One, a question, or names near them."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from nibsmith.answers.aliases import Ask, Meaning, One, Unknown, what_is_it
from nibsmith.science.errors import InputError
from nibsmith.science.quantities import Thing
from nibsmith.shop.common.texts import folded, same_name
from nibsmith.shop.recipes.models import Recipe, RecipeVersion
from nibsmith.shop.recipes.selectors import namesakes
from nibsmith.shop.stock.selectors import Choice, choices, is_own

RECIPE = "recipe:"
_WORD = re.compile(r"[^\W_]+")
_NEAR = 3
_ALIKE = 0.6  # how alike a near name must be, 1 being the same


@dataclass(frozen=True, slots=True)
class Named:
    """What words can mean: a reference (an ingredient key, or ``recipe:`` and an id) and its name.

    ``which`` says which of the recipes that share the name it is.
    """

    ref: str
    name: str
    which: str = ""

    @property
    def is_recipe(self) -> bool:
        return self.ref.startswith(RECIPE)

    @property
    def whose(self) -> str:
        """In words what tells it from another thing of the same name."""
        if self.is_recipe:
            return f"your recipe, {self.which}" if self.which else "your recipe"
        return "yours" if is_own(self.ref) else "packaged"


class WhichOne(InputError):
    """Words that can mean several things; ``choices`` holds them all, none chosen."""

    def __init__(self, words: str, question: str, found: Sequence[Named]) -> None:
        super().__init__(question, value=f"“{words}”", advice="Choose one below.")
        self.words = words
        self.choices = tuple(found)


class NoSuchName(InputError):
    """Words that name nothing here; ``near`` holds names like them."""

    def __init__(self, words: str, near: Sequence[str]) -> None:
        offered = ", ".join(near)
        add = "dd it to the ingredients first, from its sheet."
        advice = f"Near it: {offered}. Or a{add}" if near else f"A{add}"
        super().__init__(f"Nothing here is called “{words}”", advice=advice)
        self.words = words
        self.near = tuple(near)


class Names:
    """The names of one workshop: its own ingredients and recipes first, then the packaged ones."""

    def __init__(self, *, with_recipes: bool = True) -> None:
        self.by_ref: Mapping[str, Choice] = {choice.key: choice for choice in choices()}
        self.recipes = list(Recipe.objects.filter(retired_at=None)) if with_recipes else []

    def all(self) -> list[Named]:
        """List every name for the picker, recipes last."""
        alike = namesakes(self.recipes)
        return [
            *(Named(choice.key, choice.name) for choice in self.by_ref.values()),
            *(
                Named(f"{RECIPE}{recipe.public_id}", recipe.name, alike.get(recipe.pk, ""))
                for recipe in self.recipes
            ),
        ]

    def find(self, words: str, chosen: str = "") -> Named:
        """Return what the words name; ``chosen`` is the reference picked where they can mean several."""
        wanted = " ".join(words.split())
        if not wanted:
            raise InputError("Nothing is named", advice="Type what goes in, such as cocoa butter.")
        found = self._found(wanted)
        if chosen in {thing.ref for thing in found}:
            return next(thing for thing in found if thing.ref == chosen)
        if not found:
            raise NoSuchName(wanted, self._near(wanted))
        if len(found) > 1 or self._asks(wanted, found):
            raise WhichOne(wanted, self._question(wanted, found), found)
        return found[0]

    def _asks(self, words: str, found: Sequence[Named]) -> bool:
        """Whether the list asks though it offers one thing alone, as dried berries for berries."""
        return isinstance(what_is_it(words), Ask) and not self._is_own(found[0])

    def _found(self, words: str) -> list[Named]:
        """What the words can mean: a reference itself, or what is called so."""
        meaning = what_is_it(words)
        itself = [thing for thing in self.all() if words == thing.ref and not isinstance(meaning, Ask)]
        return itself or self._namesakes(self._called(words, meaning))

    def _called(self, words: str, meaning: Meaning) -> list[Named]:
        """What is called by these words; a recipe by a part of its name only where no ingredient is meant.

        Where the closed list does not know words that stand in a name of the maker's, they may as well mean
        what they stand in of the packaged names.
        """
        exactly = self._own_by_name(words)
        if exactly:
            return exactly
        own, packaged = self._holding(words, self._is_own_ingredient), self._packaged(meaning)
        if own and not packaged:
            packaged = self._holding(words, lambda thing: not self._is_own(thing))
        return [*own, *packaged] or self._holding(words, lambda thing: thing.is_recipe)

    def _own_by_name(self, words: str) -> list[Named]:
        """The maker's own things of exactly this name."""
        return [thing for thing in self.all() if self._is_own(thing) and same_name(thing.name, words)]

    def _namesakes(self, found: list[Named]) -> list[Named]:
        """Add what has the same name as a thing found, for which is meant has to be asked; own first."""
        names = {folded(thing.name) for thing in found}
        alike = [thing for thing in self.all() if folded(thing.name) in names and thing not in found]
        return sorted([*found, *alike], key=lambda thing: not self._is_own(thing))

    def _holding(self, words: str, among: Callable[[Named], bool]) -> list[Named]:
        """Those of some things whose name holds all these words."""
        return [thing for thing in self.all() if among(thing) and holds(thing.name, words)]

    def _packaged(self, meaning: Meaning) -> list[Named]:
        keys = meaning.choices if isinstance(meaning, Ask) else ()
        keys = (meaning.key,) if isinstance(meaning, One) else keys
        return [Named(key, self.by_ref[key].name) for key in keys if key in self.by_ref]

    def _is_own_ingredient(self, thing: Named) -> bool:
        return self._is_own(thing) and not thing.is_recipe

    def _is_own(self, thing: Named) -> bool:
        return thing.ref not in self.by_ref or self.by_ref[thing.ref].own

    def _near(self, words: str) -> list[str]:
        own = [thing.name for thing in self.all() if self._is_own(thing)]
        close = difflib.get_close_matches(words.casefold(), [name.casefold() for name in own], _NEAR, _ALIKE)
        meaning = what_is_it(words)
        packaged = meaning.near if isinstance(meaning, Unknown) else ()
        return [*(name for name in own if name.casefold() in close), *packaged][:_NEAR]

    def _question(self, words: str, found: Sequence[Named]) -> str:
        meaning = what_is_it(words)
        packaged_only = not any(self._is_own(thing) for thing in found)
        return meaning.question if isinstance(meaning, Ask) and packaged_only else "Which of these is it?"


def holds(name: str, words: str) -> bool:
    """Whether a name holds all of some words, in the singular or the plural.

    >>> holds("Roasted nibs from the mill", "nib"), holds("Cane sugar", "raw sugar")
    (True, False)
    """
    wanted = _words(words)
    return bool(wanted) and wanted <= _words(name)


def _words(text: str) -> frozenset[str]:
    return frozenset(word.removesuffix("s") for word in _WORD.findall(text.casefold()))


@dataclass(frozen=True, slots=True)
class Stocked:
    """An amount of something named [g], or so many parts of it."""

    named: Named
    mass_g: Decimal | None
    parts: Decimal | None


def named_things(
    things: Sequence[Thing], names: Names, chosen: Mapping[str, str]
) -> tuple[list[Stocked], list[WhichOne]]:
    """Name every thing of a list; return with it the questions that are still open, each words once."""
    found: list[Stocked] = []
    questions: dict[str, WhichOne] = {}
    for thing in things:
        try:
            named = names.find(thing.words, chosen.get(thing.words, ""))
            found.append(Stocked(named, thing.mass_g, thing.parts))
        except WhichOne as question:
            questions.setdefault(question.words, question)
    return found, list(questions.values())


def newest_version(ref: str) -> RecipeVersion:
    """Return the newest version of the recipe a reference names."""
    versions = RecipeVersion.objects.filter(recipe__public_id=ref.removeprefix(RECIPE))
    found = versions.select_related("recipe").order_by("-number").first()
    if found is None:
        raise InputError("There is no such recipe", value=ref[:60], advice="Choose one from the list.")
    return found
