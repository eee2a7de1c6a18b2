"""At which fat of an ingredient, and which end water, a name is won or lost: exact, as all is linear."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from nibsmith.science.legal.amounts import LEAN, RICH, Between
from nibsmith.science.legal.figures import FIGURES
from nibsmith.science.legal.items import Item, fat_range
from nibsmith.science.legal.tally import Ends, Outcome, Tally
from nibsmith.science.mixture import Ingredient

FINEST_DIGITS = 6
MASS, WATER, FAT = "the finished mass", "water", "fat"


@dataclass(frozen=True, slots=True)
class Window:
    """For how much fat or water of a thing all bounds hold [g/100 g]; its range where nothing binds."""

    thing: str
    what: str
    from_percent: float
    to_percent: float
    low_percent: float
    high_percent: float

    @property
    def binds(self) -> bool:
        """Whether it is narrower than what varies."""
        return self.from_percent > self.low_percent or self.to_percent < self.high_percent

    @property
    def words(self) -> str:
        """The window in words: ``your roasted nibs have less than 55.1 % fat``."""
        verb = "have" if self.thing.endswith("s") and not self.thing.endswith("ss") else "has"
        verb = "has" if self.thing == MASS else verb
        above = self.from_percent > self.low_percent
        below = self.to_percent < self.high_percent
        if above and below:
            return f"{self.thing} {verb} between {self._up()} and {self._down()} % {self.what}"
        return f"{self.thing} {verb} " + (
            f"less than {self._down()} % {self.what}" if below else f"more than {self._up()} % {self.what}"
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


@dataclass(frozen=True, slots=True)
class Box:
    """Levels of fat and of water for which bounds hold, each from 0 at its lean or dry end to 1."""

    fat_from: float = 0.0
    fat_to: float = 1.0
    water_from: float = 0.0
    water_to: float = 1.0

    @property
    def empty(self) -> bool:
        """Whether no levels are left."""
        return self.fat_from > self.fat_to or self.water_from > self.water_to

    def by_fat(self, slack: Ends) -> Box:
        """Return the fats that keep a bound at any water of the box."""
        water = min(at_levels(slack, 0.0, level) - slack.lean for level in (self.water_from, self.water_to))
        first, last = _kept(slack.lean + water, slack.rich + water)
        return replace(self, fat_from=max(self.fat_from, first), fat_to=min(self.fat_to, last))

    def by_water(self, slack: Ends) -> Box:
        """Return the waters that keep a bound at any fat of the box."""
        fat = min(at_levels(slack, level, 0.0) - slack.driest for level in (self.fat_from, self.fat_to))
        first, last = _kept(slack.driest + fat, slack.wettest + fat)
        return replace(self, water_from=max(self.water_from, first), water_to=min(self.water_to, last))


def _kept(first: float, last: float) -> tuple[float, float]:
    """Return the levels at which what goes straight from first to last is not below zero."""
    if first == last:
        return (0.0, 1.0) if first >= 0 else (1.0, 0.0)
    at = first / (first - last)
    return (at, 1.0) if last > first else (0.0, at)


def at_levels(slack: Ends, fat: float, water: float) -> float:
    """Return the slack at a level of fat and one of water, ``lean + t (rich - lean) + v (wet - dry)``.

    Parameters
    ----------
    slack : Ends
        By how much a bound is kept at the ends of fat and of water [g].
    fat, water : float
        Levels between those ends [0 to 1].

    Returns
    -------
    float
        The slack there, below zero where the bound is missed [g].
    """
    dried = slack.driest - slack.usual + water * (slack.wettest - slack.driest)
    return slack.lean + fat * (slack.rich - slack.lean) + dried


def windows(swinging: Sequence[Outcome], tally: Tally) -> tuple[Window, ...] | None:
    """Return for which fats and end waters bounds that swing all hold, or ``None`` where there is no box.

    All fats are moved together from their lean end to their rich end. The box is one inside which every bound
    holds: what water alone moves is cut first, then the fats at the water that asks most of them.
    """
    box = _box([outcome.slack for outcome in swinging])
    if box is None:
        return None
    fats = [_fat_window(ingredient, box) for ingredient in varying(swinging, tally)]
    waters = [_water_window(tally, box)] if _moved_by_water(swinging) else []
    return tuple(window for window in (*fats, *waters) if window.binds)


def _box(slacks: Sequence[Ends]) -> Box | None:
    box = Box()
    for slack in sorted(slacks, key=lambda each: each.lean != each.rich):
        cuts = [box.by_fat(slack)] if slack.lean != slack.rich else []
        cuts += [box.by_water(slack)] if slack.driest != slack.wettest else []
        found = next((cut for cut in cuts if not cut.empty), None)
        if found is None:
            return None
        box = found
    return box


def _fat_window(ingredient: Ingredient, box: Box) -> Window:
    low, high = fat_range(ingredient) or (0.0, 0.0)
    width = high - low
    ends = low + box.fat_from * width, low + box.fat_to * width
    return Window(f"your {spoken_name(ingredient)}", FAT, *ends, low, high)


def _water_window(tally: Tally, box: Box) -> Window:
    ends = [0.0 if tally.dries is None else 100 * tally.dries.water_at(level) for level in (0.0, 1.0)]
    inner = [
        end if level in (0.0, 1.0) or tally.dries is None else 100 * tally.dries.water_at(level)
        for level, end in zip((box.water_from, box.water_to), ends, strict=True)
    ]
    return Window(MASS, WATER, inner[0], inner[1], ends[0], ends[1])


def _moved_by_water(swinging: Sequence[Outcome]) -> bool:
    return any(outcome.slack.driest != outcome.slack.wettest for outcome in swinging)


def varying(swinging: Sequence[Outcome], tally: Tally) -> tuple[Ingredient, ...]:
    """Return the ingredients whose fat moves any of these bounds.

    Parameters
    ----------
    swinging : sequence of Outcome
        Bounds that are kept at one end of the fat and missed at the other [g].
    tally : Tally
        What of the recipe counts, by basis.

    Returns
    -------
    tuple of Ingredient
        Each once, in the order of the recipe.
    """
    found = {
        id(item.leaf.ingredient): item.leaf.ingredient
        for outcome in swinging
        for item in tally.inside(outcome.bound.basis)
        if _moves(item, outcome)
    }
    return tuple(found.values())


def _moves(item: Item, outcome: Outcome) -> bool:
    amount = FIGURES[outcome.bound.figure](item)
    return amount is not None and not isinstance(amount, Between) and amount[LEAN] != amount[RICH]


def depends_words(swinging: Sequence[Outcome], tally: Tally) -> str:
    """Say on what a name depends; empty where nothing that varies would do."""
    found = windows(swinging, tally)
    if found:
        return "only if " + " and ".join(dict.fromkeys(window.words for window in found))
    fats = [spoken_name(ingredient) for ingredient in varying(swinging, tally)]
    watery = _moved_by_water(swinging)
    if len(fats) > 1 or (fats and watery and possible([outcome.slack for outcome in swinging])):
        names = f"the fat of your {' and your '.join(fats)}"
        return f"on {names} and the water of {MASS} together" if watery else f"on {names} together"
    return ""


def possible(slacks: Sequence[Ends]) -> bool:
    """Whether any one level of fat and of water keeps all of these: the square of both, cut by each bound."""
    corners = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
    for slack in slacks:
        corners = list(_cut(corners, lambda at, slack=slack: at_levels(slack, *at)))  # type: ignore[misc]
    return bool(corners)


Point = tuple[float, float]


def _cut(corners: Sequence[Point], value: Callable[[Point], float]) -> Iterator[Point]:
    """Give the corners of what is left of a shape where a straight value is not below zero."""
    for first, last in zip(corners, (*corners[1:], *corners[:1]), strict=True):
        at_first, at_last = value(first), value(last)
        if at_first >= 0:
            yield first
        if (at_first >= 0) != (at_last >= 0):
            share = at_first / (at_first - at_last)
            yield first[0] + share * (last[0] - first[0]), first[1] + share * (last[1] - first[1])


def _rounded(value: float, towards: Callable[[float], int], inside: Callable[[float], bool]) -> str:
    for digits in range(1, FINEST_DIGITS):
        scale = 10**digits
        rounded = towards(value * scale) / scale
        if inside(rounded):
            return f"{rounded:.{digits}f}"
    return f"{value:.{FINEST_DIGITS}f}"
