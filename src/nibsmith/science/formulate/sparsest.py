"""Among equally small changes, the one that touches the fewest parts.

The optimum is a face: every variable whose slope is not nought stays where it is, the others move along the
one piece of their curve that costs the same. On that face the search puts changed parts back to where they
started, one after the other: a part that cannot go back must change in every optimum of that branch.
Nothing is rounded; the search is exact, but for its limit of tries.
"""

from __future__ import annotations

from collections.abc import Sequence

from nibsmith.science.formulate.simplex import Simplex

# a part moved by less than this share of the recipe's weight is where it was: a tenth of a µg in 1 kg
UNTOUCHED = 1e-10
_TRIES = 400  # parts put back before the search stops with the best it has; a few milliseconds

Values = list[float]


class Face:
    """The optima of a simplex, and a search of the one nearest to the start in the number of parts."""

    def __init__(self, simplex: Simplex, start: Sequence[float], tied: float) -> None:
        self.start = list(start)
        self.tries = _TRIES
        self.top = _face(simplex, tied)
        self.best = self.top.values()
        self.count = len(self._changed(self.best))

    def _changed(self, values: Values) -> list[int]:
        """Parts that are not where they started, those that moved least first."""
        moves = [
            (abs(value - start), index)
            for index, (value, start) in enumerate(zip(values, self.start, strict=True))
        ]
        return [index for move, index in sorted(moves) if move > UNTOUCHED]

    def search(self) -> Values:
        """Return the best shares found."""
        ends = zip(self.start, self.top.points, strict=False)
        bound = (index for index, (start, points) in enumerate(ends) if not points[0] <= start <= points[-1])
        self._from(self.top, frozenset(bound))
        return [
            start if abs(value - start) <= UNTOUCHED else value
            for value, start in zip(self.best, self.start, strict=True)
        ]

    def _from(self, here: Simplex, must: frozenset[int]) -> None:
        """Search below a point of the face, knowing parts that must change there."""
        changed = self._changed(here.values())
        if len(changed) < self.count:
            self.best, self.count = here.values(), len(changed)
        for part in changed:
            if part in must:
                continue
            if len(must) >= self.count or not self.tries:
                return
            if here.could_reach(part, self.start[part]):
                self.tries -= 1
                below = _put_back(here, part, self.start[part])
                if below.solve():
                    self._from(below, must)
            must |= {part}


def _face(simplex: Simplex, tied: float) -> Simplex:
    """The simplex with every variable held to what costs the same, and nothing costing anything."""
    face = simplex.copy()
    slopes = simplex.table[-1].tolist()
    face.table[-1] = 0.0
    for slot, variable in enumerate(simplex.resting):
        points, point = simplex.points[variable], simplex.place[variable]
        here = points[point]
        low = points[point - 1] if slopes[slot] + simplex.left[slot] >= -tied else here
        high = points[point + 1] if slopes[slot] + simplex.right[slot] <= tied else here
        face.hold(variable, low, high)
        face.rest_at(slot, 0 if here == low else 1)
    for line, variable in enumerate(simplex.basic):
        face.hold(variable, simplex.low[line], simplex.high[line])
        face.place[variable] = 0
    return face


def _put_back(simplex: Simplex, part: int, start: float) -> Simplex:
    below = simplex.copy()
    below.hold(part, start, start)
    if part in below.resting:
        below.rest_at(below.resting.index(part), 0)
    else:
        line = below.basic.index(part)
        below.place[part] = 0
        below.low[line] = below.high[line] = start
    return below
