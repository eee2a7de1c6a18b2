"""Among equally small changes, the one that touches the fewest parts.

The optimum is a face: every variable whose slope is not nought stays where it is, the others move along
the one piece of their curve that costs the same. On that face the search puts changed parts back to where
they started, one after the other: a part that cannot go back must change in every optimum of that branch.
Nothing is rounded; the search is exact, but for its limit of tries.
"""

from __future__ import annotations

from collections.abc import Sequence

from nibsmith.science.formulate.simplex import Simplex

# a part moved by less than this share of the recipe's weight is where it was: a tenth of a µg in 1 kg
UNTOUCHED = 1e-10
_TRIES = 400  # parts put back before the search stops with the best it has; a few milliseconds

Values = list[float]
Moves = list[tuple[bool, bool]]
"""Whether a resting variable may move to the point on its left, and on its right, at no cost."""


def fewest_changed(simplex: Simplex, start: Sequence[float], tied: float) -> Values | None:
    """Return the columns of an optimum that changes fewer parts, or ``None`` where there is none."""
    ways = zip(simplex.table[-1].tolist(), simplex.left, simplex.right, strict=True)
    moves = [(slope + left >= -tied, slope + right <= tied) for slope, left, right in ways]
    values = simplex.values()
    changed = _changed(values, start)
    # a part that rests and may not move stays changed, and so does one that its bounds keep from its start
    held = {variable for variable, ends in zip(simplex.resting, moves, strict=True) if not any(ends)}
    must = frozenset(part for part in changed if part in held or not _spans(simplex, part, start[part]))
    if len(must) >= len(changed):
        return None
    search = Search(start, len(changed))
    search.below(_face(simplex, moves), must)
    if search.best is None:
        return None
    pairs = zip(search.best, start, strict=True)
    return [first if abs(value - first) <= UNTOUCHED else value for value, first in pairs]


def _spans(simplex: Simplex, part: int, value: float) -> bool:
    points = simplex.points[part]
    return points[0] <= value <= points[-1]


def _changed(values: Values, start: Sequence[float]) -> list[int]:
    """Parts that are not where they started, those that moved least first."""
    moves = [abs(value - first) for value, first in zip(values, start, strict=True)]
    return sorted([index for index, move in enumerate(moves) if move > UNTOUCHED], key=moves.__getitem__)


class Search:
    """A search of a face for fewer changed parts than a count."""

    def __init__(self, start: Sequence[float], count: int) -> None:
        self.start, self.count, self.tries = start, count, _TRIES
        self.best: Values | None = None

    def below(self, here: Simplex, must: frozenset[int]) -> None:
        """Search below a point of the face, knowing parts that must change there."""
        values = here.values()
        changed = _changed(values, self.start)
        if len(changed) < self.count:
            self.best, self.count = values, len(changed)
        must |= self._out_of_reach(here, changed)
        for part in changed:
            if len(must) >= self.count or not self.tries:
                return
            if part not in must:
                self.tries -= 1
                back = _put_back(here, part, self.start[part])
                if back.solve():
                    self.below(back, must)
                must |= {part}

    def _out_of_reach(self, here: Simplex, changed: list[int]) -> set[int]:
        """Parts that could not go back even if nothing but the resting variables stood in the way."""
        rise, fall = here.reaches()
        lines = {variable: line for line, variable in enumerate(here.basic)}
        out = set()
        for part in changed:
            line = lines.get(part)
            if line is not None:
                need = self.start[part] - here.y[line]
                if not -fall[line] - UNTOUCHED <= need <= rise[line] + UNTOUCHED:
                    out.add(part)
        return out


def _face(simplex: Simplex, moves: Moves) -> Simplex:
    """The simplex with every variable held to what costs the same, and nothing costing anything."""
    face = simplex.without([slot for slot, ends in enumerate(moves) if not any(ends)])
    for slot, (left, right) in enumerate(ends for ends in moves if any(ends)):
        variable = face.resting[slot]
        points, point = simplex.points[variable], simplex.place[variable]
        face.hold(variable, points[point - left], points[point + right])
        face.rest_at(slot, int(left))
    for line, variable in enumerate(simplex.basic):
        face.hold(variable, simplex.low[line], simplex.high[line])
        face.place[variable] = 0
    return face


def _put_back(simplex: Simplex, part: int, start: float) -> Simplex:
    back = simplex.copy()
    back.hold(part, start, start)
    if part in back.resting:
        back.rest_at(back.resting.index(part), 0)
    else:
        line = back.basic.index(part)
        back.place[part] = 0
        back.low[line] = back.high[line] = start
    return back
