"""What a balance comes to: masses, or the limits that stand in each other's way."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

from nibsmith.science.mixture import Limit, Recipe

End = Literal["low", "high"]
_MOVED_G = 1e-9  # a part whose mass differs by less than a nanogram was not changed


@dataclass(frozen=True)
class Solution:
    """A balanced recipe.

    ``start`` is the recipe it began with, ``masses_g`` every part after it [g], ``value`` what was made
    smallest: grams moved [g], or the cost of the batch [currency].
    """

    start: Recipe
    masses_g: Mapping[str, float]
    value: float

    @cached_property
    def recipe(self) -> Recipe:
        """The balanced recipe."""
        return self.start.weighing(self.masses_g)

    @cached_property
    def changes_g(self) -> Mapping[str, float]:
        """What to add to each part that changes, negative where less of it goes in [g]."""
        moves = {part.label: self.masses_g[part.label] - part.mass_g for part in self.start.parts}
        return {label: move for label, move in moves.items() if abs(move) > _MOVED_G}

    @property
    def total_g(self) -> float:
        """Everything weighed [g]."""
        return sum(self.masses_g.values())


@dataclass(frozen=True)
class Clash:
    """One end of a limit in a conflict.

    ``works_at`` is the nearest bound at which the rest can hold, in the limit's own unit (shares 0 to 1),
    or ``None`` where no bound would do. ``enough`` says that giving way here settles everything; else only
    this conflict. ``endless`` says that the bound is only come nearer to by a batch ever larger.
    """

    limit: Limit
    end: End
    works_at: float | None
    enough: bool
    endless: bool = False

    @property
    def bound(self) -> float:
        """The bound as it stands, in the limit's own unit."""
        return float(self.limit.low or 0.0) if self.end == "low" else float(self.limit.high or 0.0)

    @property
    def gives(self) -> float | None:
        """How far it must give, in the limit's own unit (shares 0 to 1)."""
        return None if self.works_at is None else abs(self.works_at - self.bound)

    def relaxed(self) -> Limit | None:
        """Return the limit with this end moved to where it works."""
        if self.works_at is None:
            return None
        low = self.works_at if self.end == "low" else self.limit.low
        high = self.works_at if self.end == "high" else self.limit.high
        return replace(self.limit, low=low, high=high)

    def dropped(self) -> Limit:
        """Return the limit without this end."""
        low = None if self.end == "low" else self.limit.low
        high = None if self.end == "high" else self.limit.high
        return replace(self.limit, low=low, high=high)


@dataclass(frozen=True)
class Conflict:
    """Limits that cannot hold together, while without any one of them the others can."""

    clashes: tuple[Clash, ...]


@dataclass(frozen=True)
class Impossible:
    """No recipe keeps all limits; each conflict has to be settled."""

    conflicts: tuple[Conflict, ...]

    @property
    def clashes(self) -> tuple[Clash, ...]:
        """Every limit in every conflict."""
        return tuple(clash for conflict in self.conflicts for clash in conflict.clashes)
