"""A balance as rows and boxes on x = m / S, with S the weight of the recipe, and what it aims at."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from operator import mul, sub
from typing import NamedTuple

from nibsmith.science.formulate.goal import Goal, Objective, prices, strange_labels, whole_row
from nibsmith.science.mixture import Limit, Recipe
from nibsmith.science.mixture import Row as RowOf

INFINITY = float("inf")
# share of its weight a batch of free size keeps at least: a batch of nothing keeps every share
LEAST_BATCH = 0.001
# share of the recipe's weight that there must be of what a share is asked of
LEAST_BASIS = LEAST_BATCH / 10
# a part under this share of the recipe's weight is none: a nanogram in a kilogram, only arithmetic leaves it
NONE = 1e-12
_AWAY = (-1.0, 1.0)  # the slopes of a distance
_FREE = (0.0,)  # the slope of what costs nothing
# bounds that cross by less than this share of the recipe's weight are one bound; a milligram in a tonne
SAME = 1e-12


class Row(NamedTuple):
    """Where a limit went: one row whose bounds are the limit's times a factor."""

    row: int
    factor: float


class Box(NamedTuple):
    """Where a limit went: bounds of one column, the limit's times a factor."""

    column: int
    factor: float


class Ratio(NamedTuple):
    """Where a limit went: a row for each end, the bound inside the coefficients, and one for its basis.

    ``less`` is what is taken off the bottom, in shares of the recipe's weight.

    A share of nothing is no share, so where one is asked for there must be some of what it is a share of.
    """

    low: int | None
    high: int | None
    top: list[float]
    bottom: list[float]
    basis: int | None
    less: float = 0.0


Place = Row | Box | Ratio
Ends = tuple[float, float]


class Sheet:
    """The rows and boxes of a recipe's limits, in plain lists because they are short."""

    def __init__(self, recipe: Recipe, goal: Goal, *, roomy: bool) -> None:
        self.labels = [part.label for part in recipe.parts]
        self.start_g = [part.mass_g for part in recipe.parts]
        self.scale_g = sum(self.start_g)
        wanted_g = self.scale_g if goal.total_g is None else goal.total_g
        self.total = None if goal.free_total else wanted_g / self.scale_g
        self._roomy = roomy
        self.rows: list[list[float]] = []
        self.row_low: list[float] = []
        self.row_high: list[float] = []
        self.places: list[Place] = []
        self.ends: list[Ends] = []
        self._per_gram = 1 / self.scale_g
        self._whole: RowOf = whole_row(recipe)
        self._seen: RowOf = self._whole  # the last denominator found to be everything: limits often share one
        self._columns = {label: column for column, label in enumerate(self.labels)}
        self._floor = [goal.floor_g.get(label, 0.0) / self.scale_g for label in self.labels]
        self.low, self.high = self._floor.copy(), [INFINITY] * len(self.labels)
        ends = (LEAST_BATCH, INFINITY) if self.total is None else (self.total, self.total)
        self._add_row([1.0] * len(self.labels), *ends)

    def add(self, limit: Limit) -> None:
        """Give a limit its place."""
        low, high = limit.bounds if limit.strict else (limit.low, limit.high)
        place = self._place(limit)
        self.places.append(place)
        if isinstance(place, Ratio):
            self.ends.append((-INFINITY, INFINITY))
            self._write_ratio(place, low, high)
            return
        factor = place.factor
        ends = -INFINITY if low is None else low * factor, INFINITY if high is None else high * factor
        self.ends.append(ends)
        if isinstance(place, Box):
            self._tighten(place.column, ends)
        else:
            self.row_low[place.row], self.row_high[place.row] = ends

    def rewrite(self, index: int, low: float | None, high: float | None) -> Place:
        """Give a limit other bounds, and return its place."""
        place = self.places[index]
        if isinstance(place, Ratio):
            self._write_ratio(place, low, high)
            return place
        self.ends[index] = _scaled(low, high, place.factor)
        if isinstance(place, Row):
            self.row_low[place.row], self.row_high[place.row] = self.ends[index]
            return place
        self.low[place.column], self.high[place.column] = self._floor[place.column], INFINITY
        for other, ends in zip(self.places, self.ends, strict=True):
            if isinstance(other, Box) and other.column == place.column:
                self._tighten(place.column, ends)
        return place

    def _tighten(self, column: int, ends: Ends) -> None:
        low, high = ends
        if low > self.low[column]:
            self.low[column] = low
        if high < self.high[column]:
            self.high[column] = high
        if self.high[column] < self.low[column] <= self.high[column] + SAME:
            self.low[column] = self.high[column] = (self.low[column] + self.high[column]) / 2

    def _place(self, limit: Limit) -> Place:
        top, bottom = limit.numerator, limit.denominator
        factor: float | None = self._per_gram
        if limit.less_g:
            return self._ratio(limit)
        if bottom is not None:
            factor = self.total if bottom is self._seen or bottom == self._whole else None
            self._seen = bottom if factor is not None else self._seen
        if factor is None:
            return self._ratio(limit)
        if len(top) == 1:
            label = next(iter(top))
            if label in self._columns and top[label] > 0:
                return Box(self._columns[label], factor / top[label])
        return Row(self._add_row(self._gathered(limit, top), -INFINITY, INFINITY), factor)

    def _gathered(self, limit: Limit, row: RowOf) -> list[float]:
        """A row over the columns, in their order; it may leave out parts and name none that are not there."""
        if len(row) == len(self.labels):
            try:
                return [row[label] for label in self.labels]
            except KeyError:
                raise strange_labels(limit, self.labels) from None
        if not self._columns.keys() >= row.keys():
            raise strange_labels(limit, self.labels)
        return [row.get(label, 0.0) for label in self.labels]

    def _ratio(self, limit: Limit) -> Ratio:
        top = self._gathered(limit, limit.numerator)
        bottom = self._gathered(limit, limit.denominator or {})
        low = self._add_row(top, -INFINITY, INFINITY) if self._roomy or limit.low is not None else None
        asks = self._roomy or _asks(limit.low, limit.high)
        basis = self._add_row(bottom, -INFINITY, INFINITY) if asks else None
        if low is not None and limit.low == limit.high and not self._roomy:
            return Ratio(low, low, top, bottom, basis, limit.less_g * self._per_gram)
        high = self._add_row(top, -INFINITY, INFINITY) if self._roomy or limit.high is not None else None
        return Ratio(low, high, top, bottom, basis, limit.less_g * self._per_gram)

    def _write_ratio(self, place: Ratio, low: float | None, high: float | None) -> None:
        if place.low is not None:
            self.rows[place.low] = _less(place, low)
            self.row_low[place.low] = -INFINITY if low is None else -low * place.less
        if place.high is not None:
            self.rows[place.high] = _less(place, high)
            self.row_high[place.high] = INFINITY if high is None else -high * place.less
        if place.basis is not None:
            self.row_low[place.basis] = LEAST_BASIS if _asks(low, high) else -INFINITY

    def _add_row(self, row: list[float], low: float, high: float) -> int:
        self.rows.append(row)
        self.row_low.append(low)
        self.row_high.append(high)
        return len(self.rows) - 1


def _scaled(low: float | None, high: float | None, factor: float) -> Ends:
    return -INFINITY if low is None else low * factor, INFINITY if high is None else high * factor


def _asks(low: float | None, high: float | None) -> bool:
    """Whether bounds on a share ask for some of its basis: without any the share counts as nought."""
    return (low is not None and low > 0) or (high is not None and high < 0)


def _less(place: Ratio, bound: float | None) -> list[float]:
    """The row of ``top - bound · bottom``."""
    number = 0.0 if bound is None else bound
    return [top - number * bottom for top, bottom in zip(place.top, place.bottom, strict=True)]


def sheet_of(recipe: Recipe, limits: Sequence[Limit], goal: Goal, *, roomy: bool = False) -> Sheet:
    """Return the rows and boxes of a recipe's limits; a roomy sheet has place for ends still open."""
    for label in goal.floor_g:
        recipe.part(label)
    sheet = Sheet(recipe, goal, roomy=roomy)
    for limit in limits:
        sheet.add(limit)
    return sheet


Curve = tuple[tuple[float, ...], tuple[float, ...]]
"""Points in rising order and the slope of the cost between each two; one point is a fixed variable."""


class Aim:
    """What a balance makes smallest, over the columns of a sheet."""

    def __init__(self, recipe: Recipe, goal: Goal, sheet: Sheet) -> None:
        self.sheet = sheet
        self.least_change = goal.objective is Objective.LEAST_CHANGE
        self.start = [mass_g / sheet.scale_g for mass_g in sheet.start_g]
        self.price = [] if self.least_change else list(prices(recipe).values())
        self._dearest = max(self.price, default=0.0) or 1.0

    def crossed(self) -> bool:
        """Whether a lower bound stands above its upper bound, so that nothing can keep both."""
        sheet = self.sheet
        pairs = (zip(sheet.low, sheet.high, strict=True), zip(sheet.row_low, sheet.row_high, strict=True))
        return any(low > high for ends in pairs for low, high in ends)

    def curves(self) -> list[Curve]:
        """Return the curves of the columns and then of the rows."""
        sheet = self.sheet
        columns = map(self.curve, range(len(sheet.labels)))
        return [*columns, *map(_bounds, sheet.row_low, sheet.row_high)]

    def curve(self, column: int) -> Curve:
        """Return the curve of one column: its price, or one for every gram away from where it starts."""
        low, high = self.sheet.low[column], self.sheet.high[column]
        if low == high:
            return (low,), ()
        if self.price:
            return (low, high), (self.price[column] / self._dearest,)
        start = self.start[column]
        if low < start < high:
            return (low, start, high), _AWAY
        return (low, high), (1.0 if start <= low else -1.0,)

    def row_curve(self, row: int) -> Curve:
        """Return the curve of one row: its bounds."""
        return _bounds(self.sheet.row_low[row], self.sheet.row_high[row])

    def masses_g(self, values: Sequence[float]) -> Mapping[str, float]:
        """Return masses by part label; a part that is not changed keeps its mass to the last bit [g]."""
        sheet = self.sheet
        size = sheet.scale_g
        rows = zip(sheet.labels, values, self.start, sheet.start_g, strict=True)
        return {
            label: start_g + (value - start) * size if value > NONE else 0.0
            for label, value, start, start_g in rows
        }

    def value(self, values: Sequence[float]) -> float:
        """Return the objective: grams moved, or money."""
        if self.price:
            return float(sum(map(mul, self.price, values))) * self.sheet.scale_g / 1000
        return float(sum(map(abs, map(sub, values, self.start)))) * self.sheet.scale_g


def _bounds(low: float, high: float) -> Curve:
    return ((low,), ()) if low == high else ((low, high), _FREE)
