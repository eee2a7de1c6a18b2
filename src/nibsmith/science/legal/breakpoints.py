"""At which fat of an ingredient a name is won or lost: exact, because every bound is linear in it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from nibsmith.science.legal.figures import FIGURES
from nibsmith.science.legal.items import Item, fat_range
from nibsmith.science.legal.tally import Outcome, Tally
from nibsmith.science.mixture import Ingredient

FINEST_DIGITS = 6


@dataclass(frozen=True, slots=True)
class Window:
    """For which fat of an ingredient all bounds hold [g/100 g]; the ends of its range where nothing binds."""

    ingredient: Ingredient
    from_percent: float
    to_percent: float
    low_percent: float
    high_percent: float

    @property
    def words(self) -> str:
        """The window in words: ``your roasted nibs have less than 55.1 % fat``."""
        name = spoken_name(self.ingredient)
        verb = "have" if name.endswith("s") and not name.endswith("ss") else "has"
        above = self.from_percent > self.low_percent
        below = self.to_percent < self.high_percent
        if above and below:
            return f"your {name} {verb} between {self._up()} and {self._down()} % fat"
        return f"your {name} {verb} " + (
            f"less than {self._down()} % fat" if below else f"more than {self._up()} % fat"
        )

    def _down(self) -> str:
        """Write the upper end rounded down, as coarsely as it stays inside the range."""
        return _rounded(self.to_percent, math.floor, lambda value: value > self.low_percent)

    def _up(self) -> str:
        """Write the lower end rounded up, as coarsely as it stays inside the range."""
        return _rounded(self.from_percent, math.ceil, lambda value: value < self.high_percent)


def spoken_name(ingredient: Ingredient) -> str:
    """Return a name for running text; a maker's own stays as it was typed."""
    return ingredient.name.lower() if ingredient.key else ingredient.name


def windows(swinging: Sequence[Outcome], tally: Tally) -> tuple[Window, ...] | None:
    """Return for which fats bounds that swing all hold, or ``None`` where no fat keeps them all.

    Every slack is ``s(t) = lean + t (rich - lean)`` with all fats moved together from their lean end (t = 0)
    to their rich end (t = 1), so each bound leaves an interval of t.
    """
    start, end = 0.0, 1.0
    for outcome in swinging:
        lean, rich = outcome.slack.lean, outcome.slack.rich
        if rich == lean:
            return None
        at = lean / (lean - rich)
        start, end = (max(start, at), end) if rich > lean else (start, min(end, at))
    if start > end:
        return None
    return tuple(_window(ingredient, start, end) for ingredient in varying(swinging, tally))


def _window(ingredient: Ingredient, start: float, end: float) -> Window:
    low, high = fat_range(ingredient) or (0.0, 0.0)
    width = high - low
    return Window(ingredient, low + start * width, low + end * width, low, high)


def varying(swinging: Sequence[Outcome], tally: Tally) -> tuple[Ingredient, ...]:
    """Return the ingredients whose fat moves any of these bounds."""
    found = {
        id(item.leaf.ingredient): item.leaf.ingredient
        for outcome in swinging
        for item in tally.inside(outcome.bound.basis)
        if _moves(item, outcome)
    }
    return tuple(found.values())


def _moves(item: Item, outcome: Outcome) -> bool:
    amount = FIGURES[outcome.bound.figure](item)
    return amount is not None and amount[0] != amount[2]


def depends_words(swinging: Sequence[Outcome], tally: Tally) -> str:
    """Say on what a name depends; empty where one ingredient varies and no fat of it would do."""
    found = windows(swinging, tally)
    moved = varying(swinging, tally)
    if found:
        return "only if " + " and ".join(dict.fromkeys(window.words for window in found))
    if len(moved) > 1:
        names = " and your ".join(spoken_name(ingredient) for ingredient in moved)
        return f"on the fat of your {names} together"
    return ""


def _rounded(value: float, towards: object, inside: object) -> str:
    for digits in range(1, FINEST_DIGITS):
        scale = 10**digits
        rounded = towards(value * scale) / scale  # type: ignore[operator]
        if inside(rounded):  # type: ignore[operator]
            return f"{rounded:.{digits}f}"
    return f"{value:.{FINEST_DIGITS}f}"
