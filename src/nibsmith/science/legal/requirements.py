"""What a name asks of a recipe, as linear limits on the weights of its parts."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product

from nibsmith.science.errors import UnknownFigure
from nibsmith.science.legal.amounts import (
    DRIEST,
    LEAN,
    NOTHING,
    RICH,
    USUAL,
    WETTEST,
    Amount,
    Between,
    Counted,
    corner,
    plus,
    steady,
)
from nibsmith.science.legal.figures import BASES, FIGURES, Count, in_basis
from nibsmith.science.legal.gate import BY_FORM, Case, Gate, form_gate
from nibsmith.science.legal.items import Item
from nibsmith.science.legal.judge import Bench
from nibsmith.science.legal.laws import Bound, Law, NameClass, law, name_class
from nibsmith.science.legal.tally import Tallies, columns
from nibsmith.science.mixture import Limit, Recipe, Row, Span


def requirements(
    recipe: Recipe,
    jurisdiction: str,
    key: str,
    *,
    memory_rules: bool = False,
    end_water_percent: Span | float | None = None,
    sure: bool = False,
) -> tuple[Limit, ...]:
    """Return the limits that a name puts on the parts of a recipe.

    ``low <= sum(figure · m) / sum(basis · m) <= high``, each linear in the masses m.

    Parameters
    ----------
    recipe : Recipe
        The recipe; a part of no weight counts, so that one can ask what it would do.
    jurisdiction : str
        A key of ``jurisdictions()``.
    key : str
        A name of the jurisdiction, such as ``milk``.
    memory_rules : bool
        Whether rules known from memory only count.
    end_water_percent : Span or float, optional
        Water of the finished mass in the kit used [g/100 g], a number where it is known exactly; ``None``
        leaves the water as charged.
    sure : bool
        Whether the limits must hold at both ends of every fat that varies and of the end water, and not at
        the usual values only.

    Returns
    -------
    tuple[Limit, ...]
        The limits; bounds are shares [0 to 1].

    Raises
    ------
    InputError
        If there is no such jurisdiction or name.
    UnknownFigure
        If a part does not give a figure that a limit counts.

    Notes
    -----
    Two choices are fixed at the recipe given: whether grinding dries it, and which name the chocolate of a
    filled product is to meet. Water that is not given is taken on the strict side. What is no figure stands
    in ``gates``.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> [(limit.name, limit.low) for limit in requirements(bar, "eu", "chocolate")][:3]
    [('dry cocoa solids', 0.35), ('cocoa butter', 0.18), ('fat-free dry cocoa solids', 0.14)]

    References
    ----------
    [codex87] [eu-2000-36] [cfr21-163]
    """
    asked = Asked(recipe, memory_rules=memory_rules, end_water_percent=end_water_percent)
    return asked.limits(jurisdiction, key, sure=sure)


def gates(recipe: Recipe, jurisdiction: str, key: str, *, memory_rules: bool = False) -> tuple[Gate, ...]:
    """Return what a name asks that is no figure.

    Parameters
    ----------
    recipe : Recipe
        The recipe with its form.
    jurisdiction : str
        A key of ``jurisdictions()``.
    key : str
        A name of the jurisdiction, such as ``milk``.
    memory_rules : bool
        Whether rules known from memory only count.

    Returns
    -------
    tuple[Gate, ...]
        The gates, met or not.

    Raises
    ------
    InputError
        If there is no such jurisdiction or name.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> [gate.reason for gate in gates(bar, "eu", "milk") if not gate.met]
    ['it holds no milk']

    References
    ----------
    [eu-2000-36]
    """
    return Asked(recipe, memory_rules=memory_rules).gates(jurisdiction, key)


class Asked:
    """One recipe, asked what several names want of it."""

    def __init__(
        self,
        recipe: Recipe,
        *,
        memory_rules: bool = False,
        end_water_percent: Span | float | None = None,
    ) -> None:
        self.recipe = recipe
        self.memory_rules = memory_rules
        self.tallies = Tallies(recipe, end_water_percent)
        self._rows: dict[str, Rows] = {}

    def limits(self, jurisdiction: str, key: str, *, sure: bool = False) -> tuple[Limit, ...]:
        """Return the limits of one name."""
        bench, name = self._bench(jurisdiction), name_class(jurisdiction, key)
        of = bench.case.law
        rows, found = self._rows_under(of), dict[object, Limit]()
        for each in _with_inner(bench, name):
            for bound in bench.case.active(each, inside=each is not name):
                for end in rows.ends(bound) if sure else USUALLY:
                    top, bottom = rows.at(bound, end)
                    # What a limit says, without the name that asks it: rows are worked out once and kept.
                    said = (bound.words, bound.share, bound.least, bound.strict, id(top), id(bottom))
                    if said not in found:
                        found[said] = self._limit(of, each, bound, (top, bottom))
        return tuple(found.values())

    def gates(self, jurisdiction: str, key: str) -> tuple[Gate, ...]:
        """Return the gates of one name."""
        bench, name = self._bench(jurisdiction), name_class(jurisdiction, key)
        _, *inner = _with_inner(bench, name)
        case = bench.case
        within = [case.gate(gate) for each in inner for gate in each.gates if gate not in BY_FORM]
        return (form_gate(case, name), *dict.fromkeys([*(case.gate(gate) for gate in name.gates), *within]))

    def _bench(self, jurisdiction: str) -> Bench:
        of = law(jurisdiction)
        case = Case(self.tallies.under(of), of, self.recipe.form, memory_rules=self.memory_rules)
        return Bench(case, self.tallies)

    def _rows_under(self, of: Law) -> Rows:
        if of.rule not in self._rows:
            self._rows[of.rule] = Rows(columns(self.recipe, of, self.tallies.dries))
        return self._rows[of.rule]

    def _limit(self, of: Law, name: NameClass, bound: Bound, rows: tuple[Row, Row]) -> Limit:
        return Limit(
            name=bound.words,
            reason=f"{name.spoken} {of.place}, {bound.section}",
            numerator=rows[0],
            denominator=rows[1],
            low=bound.low,
            high=bound.high,
            strict=bound.strict,
            basis=self.tallies.basis_words(of, bound.basis),
        )


def _with_inner(bench: Bench, name: NameClass) -> tuple[NameClass, ...]:
    inner = bench.inner(name)
    return (name,) if inner is None else (name, bench.case.law.classes[inner.key])


Amounts = Mapping[str, Amount]
Key = tuple[str, str, bool]
End = tuple[int, int]
"""An end of the fats and an end of the water."""
USUALLY: tuple[End, ...] = ((USUAL, USUAL),)


class Rows:
    """Rows over the parts of a recipe under laws that take off the same things."""

    def __init__(self, items: Mapping[str, tuple[Item, ...]]) -> None:
        self.items = items
        self._known: dict[Key, Amounts] = {}
        self._rows: dict[tuple[Key, End], Row] = {}
        self._moved: dict[tuple[Key, int], tuple[bool, bool]] = {}

    def ends(self, bound: Bound) -> tuple[End, ...]:
        """Return the ends of fat and water at which a limit is to hold: those that no other implies."""
        self.figure(bound), self.basis(bound)
        figure, basis = _figure_key(bound), _basis_key(bound)
        fats = _strict_ends(self._ways(figure, LEAN, RICH), LEAN, RICH, least=bound.least)
        if not any(self._ways(figure, DRIEST, WETTEST)):
            ways = self._ways(basis, DRIEST, WETTEST) if bound.share else NO_WAY
            waters = _strict_ends(ways, DRIEST, WETTEST, least=not bound.least)
        else:
            waters = (DRIEST, WETTEST)
        return tuple(product(fats, waters))

    def at(self, bound: Bound, end: End) -> tuple[Row, Row]:
        """Return the rows of the figure and of the basis of a bound at one end."""
        self.figure(bound), self.basis(bound)
        return self._row(_figure_key(bound), end), self._row(_basis_key(bound), end)

    def _row(self, key: Key, end: End) -> Row:
        if (key, end) not in self._rows:
            self._rows[key, end] = {label: corner(each, *end) for label, each in self._known[key].items()}
        return self._rows[key, end]

    def _ways(self, key: Key, first: int, last: int) -> tuple[bool, bool]:
        """Whether any amount is larger at the last end than at the first, and whether any is smaller."""
        if (key, first) not in self._moved:
            each = self._known[key].values()
            up = any(amount[last] > amount[first] for amount in each)
            self._moved[key, first] = up, any(amount[last] < amount[first] for amount in each)
        return self._moved[key, first]

    def figure(self, bound: Bound) -> Amounts:
        """Return what a gram of each part counts towards the figure of a bound.

        A weight that is not known, for want of the water in it, is taken on the strict side.
        """
        key = _figure_key(bound)
        if key not in self._known:
            self._known[key] = self._sum(bound, FIGURES[bound.figure], heavy=not bound.least)
        return self._known[key]

    def basis(self, bound: Bound) -> Amounts:
        """Return the same for its basis, on the strict side too."""
        key = _basis_key(bound)
        if key not in self._known:
            self._known[key] = self._sum(bound, BASES[bound.basis], heavy=bound.least)
        return self._known[key]

    def _sum(self, bound: Bound, counted: Count, *, heavy: bool) -> Amounts:
        return {label: self._part(items, bound, counted, heavy=heavy) for label, items in self.items.items()}

    def _part(self, items: tuple[Item, ...], bound: Bound, counted: Count, *, heavy: bool) -> Amount:
        found = NOTHING
        for item in items:
            if in_basis(item, bound.basis):
                amount = _told(counted(item), bound, item, heavy=heavy)
                found = found if amount is NOTHING else plus(found, item.mass_g, amount)
        return found


NO_WAY = (False, False)


def _strict_ends(ways: tuple[bool, bool], first: int, last: int, *, least: bool) -> tuple[int, ...]:
    """Return the end at which a sum is least, or most: both where parts go both ways."""
    up, down = ways
    if up and down:
        return first, last
    if not up and not down:
        return (USUAL,)
    return (first,) if up is least else (last,)


def _figure_key(bound: Bound) -> Key:
    return bound.figure, "part" if bound.basis == "dry" else bound.basis, bound.least


def _basis_key(bound: Bound) -> Key:
    return "", bound.basis, bound.least


def _told(amount: Counted, bound: Bound, item: Item, *, heavy: bool) -> Amount:
    if amount is None:
        raise UnknownFigure(bound.words, [item.leaf.ingredient.name])
    if isinstance(amount, Between):
        return steady(amount.high if heavy else amount.low)
    return amount
