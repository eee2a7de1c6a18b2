"""Judging a recipe: every name of a jurisdiction, allowed or not, and why."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from nibsmith.science.legal.breakpoints import depends_words
from nibsmith.science.legal.gate import BY_FORM, FAULTS, FORM, Case, Gate, form_reason
from nibsmith.science.legal.laws import NameClass, law, name_class, words
from nibsmith.science.legal.tally import Outcome, Tallies
from nibsmith.science.legal.verdict import Allowed, Lack, NameVerdict, weakest
from nibsmith.science.mixture import Form, Recipe, Span
from nibsmith.science.tables import Status, load_data

PREFERRED = (Allowed.YES, Allowed.DEPENDS, Allowed.UNKNOWN, Allowed.NO)


def judge(
    recipe: Recipe,
    jurisdiction: str,
    *,
    memory_rules: bool = False,
    end_water_percent: Span | float | None = None,
) -> tuple[NameVerdict, ...]:
    """Return what a recipe may be called in one jurisdiction, the preferred name first.

    A name is allowed when every bound ``sum(figure) / sum(basis)`` holds, unrounded, whatever varies.

    Parameters
    ----------
    recipe : Recipe
        The recipe with its form.
    jurisdiction : str
        A key of ``jurisdictions()``.
    memory_rules : bool
        Whether rules known from memory only count; a name that hangs on one is unknown while they are off.
    end_water_percent : Span or float, optional
        Water of the finished mass in the kit used [g/100 g], a number where it is known exactly; ``None``
        leaves the water as charged.

    Returns
    -------
    tuple[NameVerdict, ...]
        One verdict for every name of the jurisdiction.

    Raises
    ------
    InputError
        If there is no such jurisdiction.

    Notes
    -----
    A name depends on a fat that varies, or on the end water of a kit, when its bounds hold for part of the
    range only. An ingredient that
    does not give a figure may hold any of it, and a name that then could go either way is unknown.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> parts = (part("cocoa_mass", 66.0), part("cocoa_butter", 4.5), part("sugar_granulated", 29.5))
    >>> bar = Recipe("bar", Form.BAR, parts)
    >>> [verdict.name for verdict in judge(bar, "eu") if verdict.best]
    ['Chocolate']

    References
    ----------
    [codex87] [eu-2000-36] [uk-2003-1659] [cfr21-163] [ca-fcs4]
    """
    return judge_all(recipe, (jurisdiction,), memory_rules=memory_rules, end_water_percent=end_water_percent)


def judge_all(
    recipe: Recipe,
    jurisdictions: Iterable[str],
    *,
    memory_rules: bool = False,
    end_water_percent: Span | float | None = None,
) -> tuple[NameVerdict, ...]:
    """Return what a recipe may be called in several jurisdictions, counting it once.

    Parameters
    ----------
    recipe : Recipe
        The recipe with its form.
    jurisdictions : Iterable[str]
        Keys of ``jurisdictions()``, in the order wanted.
    memory_rules : bool
        Whether rules known from memory only count.
    end_water_percent : Span or float, optional
        Water of the finished mass in the kit used [g/100 g], a number where it is known exactly; ``None``
        leaves the water as charged.

    Returns
    -------
    tuple[NameVerdict, ...]
        The verdicts of ``judge`` one jurisdiction after the other.

    Raises
    ------
    InputError
        If there is no such jurisdiction.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> [(verdict.jurisdiction, verdict.key) for verdict in judge_all(bar, ("eu", "tw")) if verdict.best]
    [('eu', 'chocolate'), ('tw', 'dark')]

    References
    ----------
    [codex87] [eu-2000-36] [cfr21-163]
    """
    tallies = Tallies(recipe, end_water_percent)
    found: list[NameVerdict] = []
    for key in jurisdictions:
        of = law(key)
        bench = Bench(Case(tallies.under(of), of, recipe.form, memory_rules=memory_rules), tallies)
        found += _with_best([bench.judge(name) for name in of.classes.values()])
    return tuple(found)


def judge_name(
    recipe: Recipe,
    jurisdiction: str,
    key: str,
    *,
    memory_rules: bool = False,
    end_water_percent: Span | float | None = None,
) -> NameVerdict:
    """Return the verdict on one name alone; whether it is the best of its jurisdiction is not asked.

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
    end_water_percent : Span or float, optional
        Water of the finished mass in the kit used [g/100 g], a number where it is known exactly; ``None``
        leaves the water as charged.

    Returns
    -------
    NameVerdict
        The verdict of ``judge`` on this name.

    Raises
    ------
    InputError
        If there is no such jurisdiction or name.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> judge_name(bar, "eu", "chocolate").allowed.value
    'yes'

    References
    ----------
    [eu-2000-36]
    """
    of = law(jurisdiction)
    tallies = Tallies(recipe, end_water_percent)
    case = Case(tallies.under(of), of, recipe.form, memory_rules=memory_rules)
    return Bench(case, tallies).judge(name_class(jurisdiction, key))


def _with_best(verdicts: list[NameVerdict]) -> list[NameVerdict]:
    """Mark the first name that is allowed, or else the first that depends.

    A name that depends is none to prefer while an everyday name before it is not known.
    """
    for allowed in (Allowed.YES, Allowed.DEPENDS):
        for index, verdict in enumerate(verdicts):
            if verdict.allowed is allowed:
                verdicts[index] = replace(verdict, best=True)
                return verdicts
            if allowed is Allowed.DEPENDS and verdict.allowed is Allowed.UNKNOWN and verdict.daily:
                return verdicts
    return verdicts


@dataclass(frozen=True, slots=True)
class Findings:
    """What was found on one name before it is judged."""

    outcomes: Sequence[Outcome]
    gates: Sequence[Gate]
    inner: NameVerdict | None

    @property
    def refused(self) -> list[Outcome]:
        """Bounds that never hold and certainly apply."""
        return [outcome for outcome in self.outcomes if not outcome.ever and not outcome.bound.doubt]

    @property
    def closed(self) -> list[Gate]:
        """Gates that are not met and certainly apply."""
        return [gate for gate in self.gates if not gate.met and gate.certain]

    @property
    def missing(self) -> list[Outcome]:
        """Bounds that could go either way because a figure is not given."""
        return [outcome for outcome in self.outcomes if outcome.sometimes and outcome.slack.missing]

    @property
    def swinging(self) -> list[Outcome]:
        """Bounds that hold for part of what varies."""
        return [
            outcome
            for outcome in self.outcomes
            if outcome.sometimes and not outcome.slack.missing and not outcome.bound.doubt
        ]

    @property
    def switched_off(self) -> list[str]:
        """What is not met and known from memory only, while such rules are off."""
        return [gate.reason for gate in self.gates if not gate.met and gate.switched_off]

    @property
    def doubts(self) -> list[str]:
        """Why it is not settled that something unmet applies."""
        bounds = [
            outcome.bound.doubt for outcome in self.outcomes if outcome.bound.doubt and not outcome.always
        ]
        open_ = [gate for gate in self.gates if not (gate.met or gate.certain or gate.switched_off)]
        return bounds + [gate.reason for gate in open_]


class Bench:
    """The names of one law over one recipe."""

    def __init__(self, case: Case, tallies: Tallies) -> None:
        self.case = case
        self.tallies = tallies
        self._inner: dict[str, NameVerdict] = {}

    def judge(self, of: NameClass) -> NameVerdict:
        """Return the verdict on one name; where the form is another, nothing else is looked at."""
        if self.case.form not in of.forms:
            return _other_form(of, self.case.form)
        outcomes = [self.case.outcome(bound) for bound in self.case.active(of)]
        gates = [self.case.gate(name) for name in of.gates]
        return self._judge(of, Findings(outcomes, gates, self.inner(of)))

    def _judge(self, of: NameClass, found: Findings) -> NameVerdict:
        outcomes, inner = found.outcomes, found.inner
        status = weakest(of.status, *(each.bound.status for each in outcomes if not each.bound.shared))
        verdict = _verdict(of, self._decide(of, found), status)
        if found.closed or inner is not None:
            other = any(gate.name not in FAULTS for gate in found.closed)
            fitting = not other and (inner is None or inner.fitting)
            return replace(verdict, fitting=fitting, inside="" if inner is None else inner.name)
        return verdict

    def as_inner(self, of: NameClass) -> NameVerdict:
        """Return the verdict on a name as the chocolate inside another: its form does not count."""
        if of.key not in self._inner:
            outcomes = [self.case.outcome(bound) for bound in self.case.active(of, inside=True)]
            gates = [self.case.gate(name) for name in of.gates if name not in BY_FORM]
            self._inner[of.key] = self._judge(of, Findings(outcomes, gates, None))
        return self._inner[of.key]

    def inner(self, of: NameClass) -> NameVerdict | None:
        """Return the verdict on the chocolate inside a name: the best of those it may be made of."""
        if not of.inside:
            return None
        verdicts = [self.as_inner(self.case.law.classes[key]) for key in of.inside]
        return min(verdicts, key=lambda verdict: (PREFERRED.index(verdict.allowed), distance(verdict)))

    def _decide(self, of: NameClass, found: Findings) -> tuple[Allowed, str, tuple[Lack, ...]]:
        inner = found.inner
        if found.refused or found.closed or (inner is not None and inner.allowed is Allowed.NO):
            return Allowed.NO, "", self._lacks(found)
        unknown = self._unknown(of, found)
        if unknown:
            return Allowed.UNKNOWN, unknown, ()
        swings = depends_words(found.swinging, self.case.tally) if found.swinging else ""
        if found.swinging and not swings:
            return Allowed.NO, "", tuple(self._lack(each) for each in found.swinging if not each.usually)
        depends = [swings, *found.doubts, inner.depends_on if inner is not None else ""]
        text = "; ".join(dict.fromkeys(each for each in depends if each))
        usual = tuple(self._lack(each) for each in found.swinging if not each.usually)
        return (Allowed.DEPENDS, text, usual) if text else (Allowed.YES, "", ())

    def _unknown(self, of: NameClass, found: Findings) -> str:
        if found.missing:
            return "; ".join(_not_given(found.missing))
        if found.inner is not None and found.inner.allowed is Allowed.UNKNOWN:
            return found.inner.depends_on
        if found.switched_off:
            return "; ".join((*found.switched_off, str(load_data("laws")["switched_off_rule"])))
        if of.status is Status.MEMORY and not self.case.memory_rules:
            return str(load_data("laws")["switched_off"])
        return of.incomplete

    def _lacks(self, found: Findings) -> tuple[Lack, ...]:
        gates = [Lack(gate.name, reason=gate.reason) for gate in found.closed]
        figures = [self._lack(outcome) for outcome in found.refused]
        inner = found.inner.lacking if found.inner is not None and found.inner.allowed is Allowed.NO else ()
        return (*gates, *figures, *inner)

    def _lack(self, outcome: Outcome) -> Lack:
        """Say by how much a bound is missed: usually, or at the least where a figure is not given."""
        bound, missing = outcome.bound, outcome.slack.missing
        basis = self.tallies.basis_words(self.case.law, bound.basis)
        # The least that is missed, on the basis it is the least of: the smaller one where some is asked.
        widest = outcome.bottom.low if bound.least else outcome.bottom.high
        basis_g = widest if missing and widest > 0 else outcome.bottom.usual
        if basis_g <= 0:
            return Lack(bound.words, reason="there is no chocolate in it", basis=basis, side=bound.side)
        slack_g = outcome.slack.high if missing else outcome.slack.usual
        needs, gap = 100 * bound.share, -100 * slack_g / basis_g
        has = needs - gap if bound.least else needs + gap
        # The difference of two equal numbers may come out a hair under nothing.
        return Lack(bound.words, max(0.0, has), needs, gap, basis, bound.side)


@lru_cache(maxsize=2048)
def _other_form(of: NameClass, form: Form) -> NameVerdict:
    """Return the verdict on a name that the form alone keeps away."""
    return _verdict(of, (Allowed.NO, "", (Lack(FORM, reason=form_reason(form)),)), of.status)


def _verdict(of: NameClass, decided: tuple[Allowed, str, tuple[Lack, ...]], status: Status) -> NameVerdict:
    allowed, depends_on, lacking = decided
    return NameVerdict(
        jurisdiction=of.jurisdiction,
        key=of.key,
        name=of.name,
        allowed=allowed,
        best=False,
        lacking=lacking,
        depends_on=depends_on,
        status=status,
        section=of.section,
        source=of.source,
        spoken=of.spoken,
        daily=of.daily,
        note=of.note,
        fitting=not (lacking and lacking[0].figure == FORM),
    )


def distance(verdict: NameVerdict) -> float:
    """Return how far off a name is: its gaps added up, any gate further than all of them.

    Parameters
    ----------
    verdict : NameVerdict
        The verdict, with what is lacking.

    Returns
    -------
    float
        Zero where nothing is lacking; a gate counts as 100 [g/100 g].
    """
    return sum(100.0 if lack.gap is None else lack.gap for lack in verdict.lacking)


def _not_given(outcomes: Iterable[Outcome]) -> Iterator[str]:
    """Say which figures are not known and for want of what, those together that lack the same."""
    lacking: dict[tuple[bool, tuple[str, ...]], dict[str, None]] = {}
    for outcome in outcomes:
        key = (bool(outcome.top.missing), outcome.slack.missing)
        lacking.setdefault(key, {})[words("figures")[outcome.bound.figure]] = None
    for (figure, missing), figures in lacking.items():
        names = joined_and(list(figures))
        if figure:
            yield f"{names} cannot be worked out: not given for {', '.join(missing)}"
        else:
            hang = "hangs" if len(figures) == 1 and not names.endswith("s") else "hang"
            yield f"{names} {hang} on the water of {', '.join(missing)}, which is not given"


def joined_and(things: Sequence[str]) -> str:
    """List things that go together."""
    return " and ".join([*([", ".join(things[:-1])] if things[:-1] else []), things[-1]])
