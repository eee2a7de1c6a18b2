"""What a name asks of a recipe, as linear limits on the weights of its parts."""

from __future__ import annotations

from collections.abc import Mapping

from nibsmith.science.errors import UnknownFigure
from nibsmith.science.legal.figures import BASES, FIGURES, Counted, in_basis
from nibsmith.science.legal.gates import BY_FORM, Case, Gate, form_gate
from nibsmith.science.legal.items import Item
from nibsmith.science.legal.judge import Bench
from nibsmith.science.legal.laws import Bound, Law, NameClass, law, name_class
from nibsmith.science.legal.tally import Tallies, columns
from nibsmith.science.mixture import Limit, Recipe, Row

LEAN, USUAL, RICH = 0, 1, 2


def requirements(
    recipe: Recipe,
    jurisdiction: str,
    key: str,
    *,
    memory_rules: bool = False,
    end_water_percent: float | None = None,
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
    end_water_percent : float, optional
        Water of the finished mass in the kit used [g/100 g]; ``None`` leaves the water as charged.
    sure : bool
        Whether the limits must hold at both ends of every fat that varies, and not at the usual value only.

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
        self, recipe: Recipe, *, memory_rules: bool = False, end_water_percent: float | None = None
    ) -> None:
        self.recipe = recipe
        self.memory_rules = memory_rules
        self.tallies = Tallies(recipe, end_water_percent)
        self._rows: dict[str, Rows] = {}

    def limits(self, jurisdiction: str, key: str, *, sure: bool = False) -> tuple[Limit, ...]:
        """Return the limits of one name."""
        bench, name = self._bench(jurisdiction), name_class(jurisdiction, key)
        limits = (
            self._limit(bench.case.law, each, bound, end)
            for each in _with_inner(bench, name)
            for bound in bench.case.active(each, inside=each is not name)
            for end in ((LEAN, RICH) if sure else (USUAL,))
        )
        return tuple({_content(limit): limit for limit in limits}.values())

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
            self._rows[of.rule] = Rows(columns(self.recipe, of, self.tallies.end_water))
        return self._rows[of.rule]

    def _limit(self, of: Law, name: NameClass, bound: Bound, end: int) -> Limit:
        rows = self._rows_under(of)
        return Limit(
            name=bound.words,
            reason=f"{name.spoken} {of.place}, {bound.section}",
            numerator=_at(rows.figure(bound), end),
            denominator=_at(rows.basis(bound), end),
            low=bound.low,
            high=bound.high,
            strict=bound.strict,
            basis=self.tallies.basis_words(of, bound.basis),
        )


def _content(limit: Limit) -> tuple[object, ...]:
    """What a limit says, without the name that asks it."""
    return limit.name, limit.low, limit.high, limit.strict, limit.basis, tuple(limit.numerator.items())


def _with_inner(bench: Bench, name: NameClass) -> tuple[NameClass, ...]:
    inner = bench.inner(name)
    return (name,) if inner is None else (name, bench.case.law.classes[inner.key])


Triples = Mapping[str, tuple[float, float, float]]


def _at(amounts: Triples, end: int) -> Row:
    return {label: ends[end] for label, ends in amounts.items()}


class Rows:
    """Rows over the parts of a recipe under laws that take off the same things."""

    def __init__(self, items: Mapping[str, tuple[Item, ...]]) -> None:
        self.items = items
        self._known: dict[tuple[str, str, bool], Triples] = {}

    def figure(self, bound: Bound) -> Triples:
        """Return what a gram of each part counts towards the figure of a bound."""
        key = (bound.figure, "part" if bound.basis == "dry" else bound.basis, False)
        if key not in self._known:
            self._known[key] = self._sum(bound, FIGURES[bound.figure], None)
        return self._known[key]

    def basis(self, bound: Bound) -> Triples:
        """Return the same for its basis; where water is not given, dry matter is taken on the strict side."""
        key = ("", bound.basis, bound.least)
        if key not in self._known:
            self._known[key] = self._sum(bound, BASES[bound.basis], 1.0 if bound.least else 0.0)
        return self._known[key]

    def _sum(self, bound: Bound, counted: Counted, unknown: float | None) -> Triples:
        return {label: self._part(items, bound, counted, unknown) for label, items in self.items.items()}

    def _part(
        self, items: tuple[Item, ...], bound: Bound, counted: Counted, unknown: float | None
    ) -> tuple[float, float, float]:
        lean = usual = rich = 0.0
        for item in items:
            if not in_basis(item, bound.basis):
                continue
            amount = counted(item)
            if amount is None:
                if unknown is None:
                    raise UnknownFigure(bound.words, [item.leaf.ingredient.name])
                amount = (unknown * item.weight,) * 3
            lean += amount[0] * item.mass_g
            usual += amount[1] * item.mass_g
            rich += amount[2] * item.mass_g
        return lean, usual, rich
