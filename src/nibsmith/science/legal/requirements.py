"""What a name asks of a recipe, as linear limits on the weights of its parts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

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
    of, name = law(jurisdiction), name_class(jurisdiction, key)
    tallies = Tallies(recipe, end_water_percent)
    case = Case(tallies.under(of), of, recipe.form, memory_rules=memory_rules)
    rows = Rows(columns(recipe, of, tallies.end_water), of, tallies)
    ends = (LEAN, RICH) if sure else (USUAL,)
    limits = (
        rows.limit(bound, each, end)
        for each in _with_inner(Bench(case, tallies), name)
        for bound in case.active(each, inside=each is not name)
        for end in ends
    )
    return tuple(_unlike(limits))


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
    of, name = law(jurisdiction), name_class(jurisdiction, key)
    tallies = Tallies(recipe)
    case = Case(tallies.under(of), of, recipe.form, memory_rules=memory_rules)
    _, *inner = _with_inner(Bench(case, tallies), name)
    within = [case.gate(gate) for each in inner for gate in each.gates if gate not in BY_FORM]
    return (form_gate(case, name), *dict.fromkeys([*(case.gate(gate) for gate in name.gates), *within]))


def _with_inner(bench: Bench, name: NameClass) -> tuple[NameClass, ...]:
    inner = bench.inner(name)
    if inner is None:
        return (name,)
    within = next(
        each for each in bench.case.law.classes.values() if each.name == inner.name and each.key == inner.key
    )
    return (name, within)


def _unlike(limits: Iterator[Limit]) -> Iterator[Limit]:
    """Leave out a limit that says the same as one before it."""
    seen: list[Limit] = []
    for limit in limits:
        if limit not in seen:
            seen.append(limit)
            yield limit


class Rows:
    """Rows over the parts of a recipe under one law."""

    def __init__(self, items: Mapping[str, tuple[Item, ...]], of: Law, tallies: Tallies) -> None:
        self.items = items
        self.law = of
        self.tallies = tallies

    def limit(self, bound: Bound, name: NameClass, end: int) -> Limit:
        """Return one bound of a name as a limit."""
        return Limit(
            name=bound.words,
            reason=f"{name.spoken} {self.law.place}, {bound.section}",
            numerator=self._row(FIGURES[bound.figure], bound, end),
            denominator=self._row(BASES[bound.basis], bound, end, dry=True),
            low=bound.low,
            high=bound.high,
            strict=bound.strict,
            basis=self.tallies.basis_words(self.law, bound.basis),
        )

    def _row(self, counted: Counted, bound: Bound, end: int, *, dry: bool = False) -> Row:
        return {
            label: sum(self._amount(counted, item, bound, end, dry=dry) * item.mass_g for item in items)
            for label, items in self.items.items()
        }

    def _amount(self, counted: Counted, item: Item, bound: Bound, end: int, *, dry: bool) -> float:
        if not in_basis(item, bound.basis):
            return 0.0
        amount = counted(item)
        if amount is not None:
            return amount[end]
        if dry:
            return item.weight if bound.least else 0.0
        raise UnknownFigure(bound.words, [item.leaf.ingredient.name])
