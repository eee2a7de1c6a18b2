"""The smallest change of a recipe that earns a name, found by its limits and gates and judged again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from nibsmith.answers.answer import Change, Remedy
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.call_it.moves import (
    FAT_GATES,
    ONLY_COCOA,
    OPENED,
    Choice,
    Fix,
    choices_of,
    in_the_way,
    milks_for,
    new_part,
    taken_out,
    wanted_by,
)
from nibsmith.answers.call_it.remedies import Promise, rounded
from nibsmith.answers.context import Context
from nibsmith.answers.wording import capital, ended
from nibsmith.science.errors import InputError, UnknownFigure
from nibsmith.science.legal import Allowed, Move, NameVerdict, gates, judge_name, smallest_change
from nibsmith.science.legal.laws import words
from nibsmith.science.legal.requirements import Asked
from nibsmith.science.mixture import Ingredient, Kind, Limit, Part, Recipe

ROUNDS = 2  # whether grinding dries the mass may switch with what is added
# How far inside each limit, as a share of it, a change is worked out again so that it holds when rounded.
INSIDE_MARGIN = 1e-4


@dataclass(frozen=True)
class Table:
    """A recipe with what may come in as parts of no weight, what may be done, and what names ask of it."""

    wider: Recipe
    choices: Sequence[Choice]
    masses_g: Mapping[str, float]
    asked: Asked
    inside: float = 0.0


@dataclass(frozen=True)
class Offer:
    """How much of each move a name needs [g]."""

    target: NameVerdict
    table: Table
    fix: Fix
    steps: tuple[tuple[float, Move], ...]

    @property
    def size_g(self) -> float:
        """Grams weighed or taken out."""
        return sum(amount_g * move.cost for amount_g, move in self.steps)


class Nearest:
    """A recipe, asked for the smallest change that earns a name.

    ``may_change_kind`` is for a name somebody asks for by itself: whoever looks up milk chocolate beside a
    white recipe wants to know of the cocoa mass. A remedy that nobody asked for leaves it what it is.
    """

    def __init__(self, recipe: Recipe, context: Context, *, may_change_kind: bool = False) -> None:
        self.recipe = recipe
        self.context = context
        self.may_change_kind = may_change_kind
        self._tables: dict[tuple[str, ...], Table] = {}

    def earns(self, targets: Sequence[NameVerdict]) -> Promise | None:
        """Return the smallest checked change that earns any of these names."""
        offers = [offer for target in targets if (offer := self._offered(target)) is not None]
        smallest_first = sorted(offers, key=lambda offer: offer.size_g)
        found = (self._checked(offer) for offer in smallest_first)
        return next((promise for promise in found if isinstance(promise, Promise)), None)

    def one(self, target: NameVerdict) -> Promise | str:
        """Return the smallest checked change that earns a name, or why amounts alone do not."""
        try:
            offer = self._offer(target)
        except UnknownFigure as error:
            return ended(str(error))
        return offer if isinstance(offer, str) else self._checked(offer)

    def _offered(self, target: NameVerdict) -> Offer | None:
        try:
            offer = self._offer(target)
        except UnknownFigure:
            return None
        return None if isinstance(offer, str) else offer

    def _offer(self, target: NameVerdict) -> Offer | str:
        keys, fix = self._fix(target)
        return fix if isinstance(fix, str) else self._solved(target, self._table(keys), fix)

    def _solved(self, target: NameVerdict, table: Table, fix: Fix) -> Offer | str:
        """Return what a name needs, or that no amounts do."""
        asked = table.asked.limits(target.jurisdiction, target.key, sure=True)
        limits = [_inset(limit, table.inside) for limit in asked] if table.inside else list(asked)
        limits += fix.limits(table.masses_g, float(self.context.scale_g))
        lacking = {lack.figure for lack in target.lacking}
        moves = [each.move for each in table.choices if not each.figures or lacking & _words(each.figures)]
        moves += fix.moves
        amounts_g = smallest_change(limits, table.masses_g, moves)
        if amounts_g is None:
            return NO_AMOUNTS
        steps = tuple(step for step in zip(amounts_g, moves, strict=True) if step[0] > 0)
        return Offer(target, table, fix, steps) if steps else _unsettled(target)

    def _table(self, keys: tuple[str, ...]) -> Table:
        """Return the recipe with some ingredients of the table beside what may always come in."""
        if keys not in self._tables:
            new = [new_part(self.recipe, key) for key in keys if _ground(self.recipe, key) is None]
            with_new = replace(self.recipe, parts=(*self.recipe.parts, *new))
            wider, choices = choices_of(with_new, may_change_kind=self.may_change_kind)
            masses_g = {each.label: each.mass_g for each in wider.parts}
            self._tables[keys] = Table(wider, choices, masses_g, self._asked(wider))
        return self._tables[keys]

    def _asked(self, recipe: Recipe) -> Asked:
        context = self.context
        return Asked(recipe, memory_rules=context.memory_rules, end_water_percent=context.end_water)

    def _fix(self, target: NameVerdict) -> tuple[tuple[str, ...], Fix | str]:
        """Return what opens the gates of a name, with what has to come in for it, or why amounts do not."""
        milks = milks_for(target.lacking)
        if all(lack.gap is not None for lack in target.lacking) and not target.depends_on:
            return milks, Fix()  # figures alone keep it away
        asked = self._table(()).asked.gates(target.jurisdiction, target.key)
        shut = [gate.name for gate in asked if not gate.met]
        closed = next((gate for gate in asked if not gate.met and gate.name not in OPENED), None)
        if closed is not None:
            return (), f"{capital(closed.reason)}: amounts alone do not change that."
        groups = wanted_by(shut, skim=any(gate.name == "skim_milk" for gate in asked))
        keys = tuple(dict.fromkeys([*(key for group in groups for key in group), *milks]))
        absent = [each for name in shut for each in self._shutting(target, name)]
        return keys, _fixed(self._table(keys).wider, groups, absent, swap=ONLY_COCOA not in shut)

    def _shutting(self, target: NameVerdict, gate: str) -> Iterator[Part]:
        """Give the parts that shut a gate; of vegetable fats those that do so without the others."""
        parts = in_the_way(self.recipe, gate)
        for each in parts:
            others = {other.label: 0.0 for other in parts if other is not each}
            if gate not in FAT_GATES or not _is_met(self.recipe.weighing(others), target, gate):
                yield each

    def _checked(self, offer: Offer, rounds: int = ROUNDS) -> Promise | str:
        """Return the offer rounded as the scale weighs, or finer, once it is judged to hold; or why not.

        Where no rounding holds it is worked out again, a little inside its limits and on the mass as it then
        is, for what is added may decide whether grinding dries it.
        """
        after, changes = offer.target, tuple[Change, ...]()
        for changes in rounded(offer.table.wider, self.context, offer.steps):
            after = self._after(offer.target, changes)
            if after.allowed is Allowed.YES:
                return Promise(offer.target, changes)
        again = self._again(offer, changes) if rounds and after.allowed is not Allowed.UNKNOWN else None
        return _unsettled(after) if again is None else self._checked(again, rounds - 1)

    def _again(self, offer: Offer, changes: Sequence[Change]) -> Offer | None:
        changed_g = dict(offer.table.masses_g)
        for change in changes:
            changed_g[change.part] = max(0.0, changed_g[change.part] + change.add_g)
        if not any(changed_g.values()):
            return None
        asked = self._asked(offer.table.wider.weighing(changed_g))
        table = replace(offer.table, asked=asked, inside=INSIDE_MARGIN)
        again = self._solved(offer.target, table, offer.fix)
        return None if isinstance(again, str) or again.steps == offer.steps else again

    def _after(self, target: NameVerdict, changes: tuple[Change, ...]) -> NameVerdict:
        try:
            after = apply_remedy(self.recipe, Remedy("", changes))
        except InputError:  # nothing would be left
            return target
        return judge_name(
            after,
            target.jurisdiction,
            target.key,
            memory_rules=self.context.memory_rules,
            end_water_percent=self.context.end_water,
        )


def _inset(limit: Limit, inside: float) -> Limit:
    low = None if limit.low is None else limit.low * (1 + inside)
    return replace(limit, low=low, high=None if limit.high is None else limit.high * (1 - inside))


def _ground(recipe: Recipe, key: str) -> Part | None:
    """Return the part that is an ingredient of the table and is ground in."""
    found = (each for each in recipe.parts if isinstance(each.of, Ingredient) and each.of.key == key)
    return next((each for each in found if each.in_machine), None)


def _fixed(wider: Recipe, groups: Sequence[Sequence[str]], absent: Sequence[Part], *, swap: bool) -> Fix:
    """Return what opens gates; ``swap`` says that butter takes the place of a fat, so that it still pours."""
    present = [
        tuple(each.label for key in group if (each := _ground(wider, key)) is not None) for group in groups
    ]
    moves = [Move({label: 1.0}) for group in present for label in group]
    butter = next((each.label for each in wider.parts if each.kind is Kind.BUTTER and each.in_machine), None)
    for each in absent:
        if butter is not None and swap and each.kind is Kind.VEGETABLE_FAT:
            moves.append(Move({each.label: -1.0, butter: 1.0}, each.mass_g))
        else:
            moves.append(taken_out(each))
    return Fix(tuple(present), tuple(each.label for each in absent), tuple(moves))


NO_AMOUNTS = "None of the additions and take-outs that were tried earns it; a balance may find another way."


def _unsettled(target: NameVerdict) -> str:
    return f"Amounts alone do not settle it: {target.depends_on}." if target.depends_on else NO_AMOUNTS


def _is_met(recipe: Recipe, target: NameVerdict, name: str) -> bool:
    asked = gates(recipe, target.jurisdiction, target.key)
    return all(gate.met for gate in asked if gate.name == name)


def _words(figures: frozenset[str]) -> set[str]:
    return {words("figures")[figure] for figure in figures}
