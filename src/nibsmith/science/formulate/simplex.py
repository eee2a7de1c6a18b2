"""A dual simplex for small dense programs whose costs are convex and piecewise linear.

Every variable has a curve: points p_0 < p_1 < ... and the slope of its cost between neighbouring points.
Every row is a variable too, bounded and free of cost. A table writes the basic variables through the
others, which rest on points of their curves. Where the curves alone would put the variables, rows are
missed; each step takes the row missed most, lets the cheapest variables move towards it, and keeps the
slopes in order, so that the first table that misses nothing is optimal. Nothing of this is trusted:
``proves`` checks rows and slopes against the numbers given.

For twenty parts this takes less time than handing the program to a general solver.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Sequence
from itertools import chain

import numpy as np
from numpy.typing import NDArray

INFINITY = float("inf")
MISSED = 1e-14  # a basic variable further out than this is outside; shares are of order one
NOISE = 1e-12  # one out by less than this that nothing can move is held in place by rows that say the same
PIVOT = 1e-9  # a smaller coefficient moves nothing
SLOPE = 1e-10  # slopes in order to within this are in order; they are of order one
_FAR = 1e9  # stands for no end in sums where nothing times no end must be nothing
_STEPS = 20  # steps for each row and column before giving up; a dozen in all is usual

Points = tuple[float, ...]
Slopes = tuple[float, ...]
Curve = tuple[Points, Slopes]
"""Points in rising order and the slope of the cost between each two; one point is a fixed variable."""
Offer = tuple[float, float, int, float]
"""Cost of bringing a row nearer by one, minus the size of the coefficient, the slot, the coefficient."""


class Simplex:
    """A table that is kept: after curves move, ``solve`` goes on from where it stands.

    Columns come first among the variables, then rows. ``table`` holds a line for every basic variable and,
    last, what those cost together, all seen through the resting variables, each of which has a slot; ``body``
    is the table without that last line, ``x`` where the slots rest.
    ``left`` and ``right`` are the slopes on either side of where a slot rests, ``down`` and ``up`` the way
    to its neighbouring points; ``away`` holds the values of variables that have been left out.
    """

    def __init__(self, rows: Sequence[Sequence[float]], curves: Sequence[Curve]) -> None:
        """Take rows over the columns, and the curves of columns and then rows."""
        count, columns = len(rows), len(curves) - len(rows)
        self.columns = columns
        self.rows: NDArray[np.float64] = np.array(list(chain.from_iterable(rows))).reshape(count, columns)
        self.table = np.zeros((count + 1, columns))
        self.body: NDArray[np.float64] = self.table[:-1]
        self.body[:] = self.rows
        self.points = [points for points, _ in curves]
        self.slopes = [slopes for _, slopes in curves]
        self.place = [0] * len(curves)
        self.resting, self.basic = list(range(columns)), list(range(columns, len(curves)))
        self.x = np.zeros(columns)
        self.away = [0.0] * len(curves)
        self.left, self.right, self.down, self.up = ([0.0] * columns for _ in range(4))
        self.low = [points[0] for points in self.points[columns:]]
        self.high = [points[-1] for points in self.points[columns:]]
        self.y = [0.0] * count
        for column in range(columns):
            self._rest(column, column, _cheapest(self.slopes[column]))

    def _rest(self, slot: int, variable: int, point: int) -> None:
        """Put a variable on a point of its curve, in a slot."""
        points, slopes = self.points[variable], self.slopes[variable]
        here = points[point]
        self.resting[slot], self.place[variable], self.x[slot] = variable, point, here
        if point:
            self.left[slot], self.down[slot] = slopes[point - 1], here - points[point - 1]
        else:
            self.left[slot], self.down[slot] = -INFINITY, 0.0
        if point < len(slopes):
            self.right[slot], self.up[slot] = slopes[point], points[point + 1] - here
        else:
            self.right[slot], self.up[slot] = INFINITY, 0.0

    def copy(self) -> Simplex:
        """Return a simplex that stands where this one does and goes its own way."""
        other = Simplex.__new__(Simplex)
        other.columns, other.rows, other.table = self.columns, self.rows, self.table.copy()
        other.body = other.table[:-1]
        other.points, other.slopes, other.place = self.points.copy(), self.slopes.copy(), self.place.copy()
        other.resting, other.basic, other.away = self.resting.copy(), self.basic.copy(), self.away
        other.x, other.y = self.x.copy(), self.y
        other.left, other.right = self.left.copy(), self.right.copy()
        other.down, other.up = self.down.copy(), self.up.copy()
        other.low, other.high = self.low.copy(), self.high.copy()
        return other

    def without(self, slots: list[int]) -> Simplex:
        """Return a copy in which these slots rest for good, all of them together in one of their own."""
        out = set(slots)
        still = [slot for slot in range(len(self.resting)) if slot not in out]
        other = Simplex.__new__(Simplex)
        other.columns, other.rows, other.away = self.columns, self.rows, self._spread()
        other.table = np.zeros((len(self.table), len(still) + 1))
        other.table[:, :-1] = self.table[:, still]
        other.body = other.table[:-1]
        other.body[:, -1] = self.body[:, slots] @ self.x[slots]
        other.points, other.slopes = [*self.points, (1.0,)], [*self.slopes, ()]
        other.resting, other.basic = (
            [*(self.resting[slot] for slot in still), len(self.place)],
            self.basic.copy(),
        )
        other.place = [*self.place, 0]
        other.x, other.y = np.ones(len(still) + 1), self.y
        other.x[:-1] = self.x[still]
        other.left, other.right = [-INFINITY] * len(other.x), [INFINITY] * len(other.x)
        other.down, other.up = [0.0] * len(other.x), [0.0] * len(other.x)
        other.low, other.high = self.low.copy(), self.high.copy()
        return other

    def reaches(self) -> tuple[list[float], list[float]]:
        """How far basic variables could rise and fall if resting ones moved to their next points."""
        ways = np.minimum(np.array((self.up, self.down)), _FAR)
        with_ = np.maximum(self.body, 0.0)
        both = ways @ with_.T + ways[::-1] @ (with_ - self.body).T
        rise, fall = both.tolist()
        return rise, fall

    def hold(self, variable: int, low: float, high: float) -> None:
        """Keep a variable between two bounds, at no cost; where it is, is for the caller to say."""
        self.points[variable], self.slopes[variable] = ((low,), ()) if low == high else ((low, high), (0.0,))

    def rest_at(self, slot: int, point: int) -> None:
        """Put the variable of a slot on a point of its curve."""
        self._rest(slot, self.resting[slot], point)

    def move(self, variable: int, curve: Curve) -> bool:
        """Give a variable other points; say whether the table can go on from where it stands."""
        points, slopes = curve
        place = self.place[variable]
        if slopes != self.slopes[variable] or points[place] in {-INFINITY, INFINITY}:
            return False
        self.points[variable] = points
        if variable in self.resting:
            self._rest(self.resting.index(variable), variable, place)
        else:
            line = self.basic.index(variable)
            self.low[line], self.high[line] = points[place], points[place + 1] if slopes else points[place]
        return True

    def solve(self) -> bool | None:
        """Say whether an optimum was found; ``None`` where the steps ran out."""
        for _ in range(_STEPS * len(self.place)):
            self.y = self.body.dot(self.x).tolist()
            row = self._most_missed()
            if row < 0:
                return True
            if not self._step(row):
                return False
        return None

    def _most_missed(self) -> int:
        misses = [
            low - value if value < low else value - high
            for value, low, high in zip(self.y, self.low, self.high, strict=True)
        ]
        worst = max(misses, default=0.0)
        return misses.index(worst) if worst > MISSED else -1

    def _step(self, row: int) -> bool:
        """Bring one row to its end: move others along their curves, then let one take over.

        Where its own next piece is the cheapest way out, the basic variable goes on to that instead.
        """
        value, low, high = self.y[row], self.low[row], self.high[row]
        line = self.table[row]
        rising = value < low
        need = low - value if rising else value - high
        towards = (line if rising else -line).tolist()
        jump = self._jump(self.basic[row], rising)
        slot = self._entering(towards, need, jump)
        if slot is not None:
            self._exchange(row, slot, float(line[slot]), rising)
        elif jump < INFINITY:
            self._go_on(row, rising)
        elif need <= NOISE:
            self.low[row], self.high[row] = min(low, value), max(high, value)
        else:
            return False
        return True

    def _jump(self, variable: int, rising: bool) -> float:
        """By how much the slope of a basic variable rises beyond the end it is past."""
        slopes, piece = self.slopes[variable], self.place[variable]
        if rising:
            return slopes[piece] - slopes[piece - 1] if piece else INFINITY
        return slopes[piece + 1] - slopes[piece] if piece + 1 < len(slopes) else INFINITY

    def _go_on(self, row: int, rising: bool) -> None:
        """Let a basic variable be on the next piece of its curve."""
        variable = self.basic[row]
        slopes, points, old = self.slopes[variable], self.points[variable], self.place[variable]
        new = old - 1 if rising else old + 1
        self.table[-1] += self.table[row] * (slopes[new] - slopes[old])
        self.place[variable] = new
        self.low[row], self.high[row] = points[new], points[new + 1]

    def _entering(self, numbers: list[float], need: float, most: float) -> int | None:
        """The slot that takes over, in the order of cost; those before it go on to their next point."""
        slopes = self.table[-1].tolist()
        offers = self._offers(numbers, slopes)
        for offer in offers:  # the list grows behind this place, by what a moved variable asks next
            cost, size, slot, number = offer
            room = -size * (self.up[slot] if number > 0 else self.down[slot])
            if cost > most:
                return None
            if room >= need:
                return slot
            need -= room
            self._rest(slot, self.resting[slot], self.place[self.resting[slot]] + (1 if number > 0 else -1))
            further = self.right[slot] if number > 0 else self.left[slot]
            if further not in {-INFINITY, INFINITY}:
                insort(offers, ((slopes[slot] + further) / number, size, slot, number))
        return None

    def _offers(self, numbers: list[float], slopes: list[float]) -> list[Offer]:
        """What each resting variable asks for bringing the row nearer by one, the cheapest first."""
        offers = [
            ((slope + right) / number, -number, slot, number)
            if number > 0
            else ((slope + left) / number, number, slot, number)
            for slot, (number, slope, left, right) in enumerate(
                zip(numbers, slopes, self.left, self.right, strict=True)
            )
            if (number > PIVOT and right != INFINITY) or (number < -PIVOT and left != -INFINITY)
        ]
        offers.sort()
        return offers

    def _exchange(self, row: int, slot: int, pivot: float, rising: bool) -> None:
        """Rest a basic variable on its end; let a resting one be basic on the piece it moves along."""
        leaving, entering = self.basic[row], self.resting[slot]
        rightwards = (pivot > 0) == rising
        self._rewrite(row, slot, pivot, self.right[slot] if rightwards else self.left[slot])
        piece, slopes = self.place[leaving], self.slopes[leaving]
        if slopes:
            self.table[-1, slot] -= slopes[piece]
        place = self.place[entering] - (0 if rightwards else 1)
        self._rest(slot, leaving, piece if rising or not slopes else piece + 1)
        points = self.points[entering]
        self.basic[row], self.place[entering] = entering, place
        self.low[row], self.high[row] = points[place], points[place + 1]

    def _rewrite(self, row: int, slot: int, pivot: float, own: float) -> None:
        """Write every line, and the slopes, through the variable that leaves."""
        table = self.table
        factors = table[:, slot].copy()
        factors[-1] += own
        line = table[row] * (-1.0 / pivot)
        line[slot] = 1.0 / pivot
        table[:, slot] = 0.0
        table += factors[:, None] * line
        table[row] = line

    def values(self) -> list[float]:
        """Return the columns."""
        return self._spread()[: self.columns]

    def _spread(self) -> list[float]:
        found = self.away.copy()
        for variable, value in zip(self.resting, self.x.tolist(), strict=True):
            if variable < len(found):
                found[variable] = value
        for variable, value in zip(self.basic, self.y, strict=True):
            found[variable] = value
        return found

    def refined(self, values: list[float]) -> list[float]:
        """Return columns put right by the rows that are active, where many exchanges have blurred them."""
        rows = [variable - self.columns for variable in self.resting if variable >= self.columns]
        if not rows:
            return values
        active = self.rows[rows]
        ends = [
            x for x, variable in zip(self.x.tolist(), self.resting, strict=True) if variable >= self.columns
        ]
        off = np.array(ends) - active @ np.array(values)
        columns = [variable for variable in self.basic if variable < self.columns]
        exact = np.array(values)
        try:
            exact[columns] += np.linalg.solve(active[:, columns], off)
        except np.linalg.LinAlgError:
            return values
        refined: list[float] = exact.tolist()
        return refined

    def alone(self, tied: float) -> bool:
        """Whether every resting variable that could move would cost something."""
        slopes = self.table[-1].tolist()
        return all(
            slope + right > tied and slope + left < -tied
            for slope, left, right in zip(slopes, self.left, self.right, strict=True)
        )

    def missed_by(self, values: list[float]) -> float:
        """Return the most by which columns miss a row or a bound, by the numbers given."""
        reached: list[float] = values + (self.rows @ np.array(values)).tolist()
        misses = (
            max(points[0] - value, value - points[-1])
            for value, points in zip(reached, self.points, strict=True)
        )
        return max(misses)

    def proves(self, values: list[float], feasible: float) -> bool:
        """Whether these columns keep all rows and bounds, and no direction costs less, by the numbers given.

        With w the weight of each resting row, a column's cost less ``w · rows`` must not fall on either
        side of where the column is, nor a row's cost plus w where the row is: the conditions of optimality
        of a convex program, so that what meets them is optimal however it was found.
        """
        slopes = self.table[-1].tolist()
        weights = [0.0] * len(self.rows)
        for variable, slope in zip(self.resting, slopes, strict=True):
            if variable >= self.columns:
                weights[variable - self.columns] = slope
        pulls = (np.array(weights) @ self.rows).tolist() + [-weight for weight in weights]
        reached = values + (self.rows @ np.array(values)).tolist()
        return self._resting_in_order(pulls, reached, feasible) and self._basic_in_order(
            pulls, reached, feasible
        )

    def _resting_in_order(self, pulls: list[float], reached: list[float], feasible: float) -> bool:
        resting = zip(self.resting, self.left, self.right, self.x.tolist(), strict=True)
        for variable, left, right, here in resting:
            pull = pulls[variable]
            if not (
                left - pull <= SLOPE and right - pull >= -SLOPE and abs(reached[variable] - here) <= feasible
            ):
                return False
        return True

    def _basic_in_order(self, pulls: list[float], reached: list[float], feasible: float) -> bool:
        for variable, low, high in zip(self.basic, self.low, self.high, strict=True):
            slopes = self.slopes[variable]
            own = slopes[self.place[variable]] if slopes else pulls[variable]
            if not (
                abs(own - pulls[variable]) <= SLOPE and low - feasible <= reached[variable] <= high + feasible
            ):
                return False
        return True


def _cheapest(slopes: Slopes) -> int:
    """The first point from which the cost does not fall."""
    for point, slope in enumerate(slopes):
        if slope >= 0:
            return point
    return len(slopes)
