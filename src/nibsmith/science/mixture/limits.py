"""Limits: one linear row, a bound and a reason. Law, flow and the maker all speak in these."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from nibsmith.science.errors import UnknownFigure
from nibsmith.science.mixture.figure import Basis
from nibsmith.science.mixture.parts import Leaf, Recipe
from nibsmith.science.mixture.properties import PROPERTIES, brought_by

Row = Mapping[str, float]
"""Coefficient per gram of the part with this label."""

STRICT_STEP = 1e-6  # how far inside a strict bound counts as inside it: 1 mg in 1 kg, under any scale


@dataclass(frozen=True)
class Limit:
    """A bound on a ratio of two sums over the parts, or on one sum.

    With a denominator, ``low <= sum(numerator·m) / (sum(denominator·m) - less_g) <= high`` and the bounds are
    shares [0 to 1]; without, ``low <= sum(numerator·m) <= high`` and the bounds are in ``unit``. A strict
    bound must be passed by ``STRICT_STEP``. Multiplied out, either is linear in the masses m [g].
    """

    name: str
    reason: str
    numerator: Row
    denominator: Row | None = None
    low: float | None = None
    high: float | None = None
    strict: bool = False
    unit: str = "g"
    basis: str = ""
    less_g: float = 0.0

    @property
    def bounds(self) -> tuple[float | None, float | None]:
        """Both bounds, strict ones moved inside by the strict step."""
        step = STRICT_STEP if self.strict else 0.0
        low = None if self.low is None else self.low + step
        high = None if self.high is None else self.high - step
        return low, high

    def value(self, masses_g: Row) -> float:
        """Return the bounded ratio or sum at these masses; endless where nothing is left to divide by."""
        top = _dot(self.numerator, masses_g)
        if self.denominator is None:
            return top
        bottom = _dot(self.denominator, masses_g) - self.less_g
        if self.less_g and bottom <= 0:
            return float("inf")
        return top / bottom if bottom else 0.0

    def gap(self, masses_g: Row) -> float:
        """Return by how much the value misses its bounds, zero where it keeps them."""
        value = self.value(masses_g)
        low, high = self.bounds
        below = 0.0 if low is None else low - value
        above = 0.0 if high is None else value - high
        return max(below, above, 0.0)

    def rows(self) -> tuple[tuple[Row, float], ...]:
        """Return linear rows ``(coefficients, bound)``, each meaning ``sum(coefficients·m) >= bound``."""
        low, high = self.bounds
        rows: list[tuple[Row, float]] = []
        if low is not None:
            rows.append(self._row(low, 1.0))
        if high is not None:
            rows.append(self._row(high, -1.0))
        return tuple(rows)

    def _row(self, bound: float, sign: float) -> tuple[Row, float]:
        if self.denominator is None:
            return {label: sign * value for label, value in self.numerator.items()}, sign * bound
        labels = self.numerator.keys() | self.denominator.keys()
        row = {
            label: sign * (self.numerator.get(label, 0.0) - bound * self.denominator.get(label, 0.0))
            for label in sorted(labels)
        }
        return row, -sign * bound * self.less_g if self.less_g else 0.0


def _dot(row: Row, masses_g: Row) -> float:
    return sum(value * masses_g.get(label, 0.0) for label, value in row.items())


Which = Callable[[Leaf], bool]
End = str  # "low", "value" or "high": which end of what varies


def row_of(recipe: Recipe, key: str, *, which: Which | None = None, end: End = "value") -> Row:
    """Return what one gram of each part brings of a property.

    Parameters
    ----------
    recipe : Recipe
        The recipe; only its shares inside nested recipes matter, not its masses.
    key : str
        A property of ``PROPERTIES``, or ``mass`` for the weight itself.
    which : callable, optional
        Takes a leaf and says whether it counts; all count by default.
    end : str
        ``"value"``, ``"low"`` or ``"high"`` end of what varies.

    Returns
    -------
    Mapping[str, float]
        Part label to amount per gram [g/g].

    Raises
    ------
    UnknownFigure
        If a part that counts does not give the property.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_butter", 1.0), part("sugar_granulated", 9.0)))
    >>> row_of(bar, "cocoa_butter")
    {'cocoa_butter': 1.0, 'sugar_granulated': 0.0}
    """
    unit = recipe.weighing({part.label: 1.0 for part in recipe.parts})
    row = {part.label: 0.0 for part in recipe.parts}
    missing = []
    for leaf in unit.leaves():
        if which is not None and not which(leaf):
            continue
        if key == "mass":
            row[leaf.part.label] += leaf.mass_g
            continue
        span = brought_by(leaf.ingredient, leaf.kind)[key]
        if span is None:
            missing.append(leaf.ingredient.name)
        else:
            row[leaf.part.label] += leaf.mass_g * float(getattr(span, end))
    if missing:
        raise UnknownFigure(PROPERTIES[key].words, missing)
    return row


def property_limit(
    recipe: Recipe,
    key: str,
    *,
    low: float | None = None,
    high: float | None = None,
    basis: Basis = Basis.MACHINE,
    reason: str = "your limit",
) -> Limit:
    """Return a limit on a property as a share of a basis.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    key : str
        A property of ``PROPERTIES``.
    low, high : float, optional
        Bounds as shares of the basis [0 to 1].
    basis : Basis
        ``MACHINE`` for the mass as charged, ``AS_WEIGHED`` or ``PRODUCT`` for everything.
    reason : str
        Why, in words.

    Returns
    -------
    Limit
        The limit, linear in the masses.

    Raises
    ------
    UnknownFigure
        If a part does not give the property.

    Notes
    -----
    Water that leaves while grinding is not in these rows; it is under 2 % of the mass.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_butter", 1.0), part("sugar_granulated", 9.0)))
    >>> limit = property_limit(bar, "total_fat", low=0.3)
    >>> round(limit.gap({"cocoa_butter": 1.0, "sugar_granulated": 9.0}), 2)
    0.2
    """
    which: Which | None = (lambda leaf: leaf.in_machine) if basis in (Basis.MACHINE, Basis.FINISHED) else None
    return Limit(
        name=PROPERTIES[key].words,
        reason=reason,
        numerator=row_of(recipe, key, which=which),
        denominator=row_of(recipe, "mass", which=which),
        low=low,
        high=high,
        basis=basis.value,
    )
