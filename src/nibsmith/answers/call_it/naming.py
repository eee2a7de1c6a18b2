"""What a recipe may be called in the markets that matter, and what would earn it a better name."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from nibsmith.answers.answer import Answer, Citation, Detail, Remedy, Verdict
from nibsmith.answers.call_it.nearest import Nearest
from nibsmith.answers.call_it.remedies import Promise, remedy
from nibsmith.answers.context import Context
from nibsmith.answers.wording import capital, joined, thing
from nibsmith.science.legal import (
    Allowed,
    NameVerdict,
    declared_cocoa,
    judge_all,
    jurisdictions,
    reservation,
)
from nibsmith.science.legal.declaration import not_given_for_cocoa
from nibsmith.science.legal.laws import Law, law, words
from nibsmith.science.legal.raw import shell_limit
from nibsmith.science.legal.verdict import shown
from nibsmith.science.mixture import COCOA_KINDS, Kind, Leaf, Recipe, Span, Stage
from nibsmith.science.tables import STATUS_WORDS, Status

QUESTION = "call_it"
TITLE = "What am I allowed to call it?"
WORDS = {
    Verdict.GOOD: "Named.",
    Verdict.WATCH: "In part.",
    Verdict.STOP: "Describe it.",
    Verdict.UNKNOWN: "Not known.",
}
IN_THE = "in the "
MOST_FOLDED_IN = 3  # foods named after "with"; more make no name


@dataclass(frozen=True)
class Market:
    """What was found in one market: its verdicts, the best of them, and the cocoa to declare [%].

    ``usual_cocoa`` is what it would be with the water that the kit usually leaves [%]; ``cocoa_needs`` says
    what would have to be given to tell it.
    """

    law: Law
    verdicts: tuple[NameVerdict, ...]
    best: NameVerdict | None
    cocoa: int | None
    usual_cocoa: int | None
    cocoa_needs: str = ""

    @property
    def earned(self) -> NameVerdict | None:
        """The best name if it is allowed for certain."""
        return self.best if self.best is not None and self.best.allowed is Allowed.YES else None

    @property
    def open(self) -> NameVerdict | None:
        """An everyday name that is not known to be allowed or not, where there is no better."""
        return next((each for each in self.unknown if each.daily), None) if self.best is None else None

    @property
    def unknown(self) -> tuple[NameVerdict, ...]:
        """The names that are not known to be allowed or not."""
        return tuple(each for each in self.verdicts if each.allowed is Allowed.UNKNOWN)

    @property
    def others(self) -> tuple[NameVerdict, ...]:
        """The other names that are allowed."""
        return tuple(each for each in self.verdicts if each.allowed is Allowed.YES and not each.best)

    @property
    def above(self) -> tuple[NameVerdict, ...]:
        """Everyday names before the best that only figures keep away.

        None is wanted over an everyday name that is earned, nor where a name is open for want of knowledge.
        """
        if self.open is not None or (self.earned is not None and self.earned.daily):
            return ()
        refused = (Allowed.NO, Allowed.DEPENDS)
        ahead = self.verdicts if self.earned is None else self.verdicts[: self.verdicts.index(self.earned)]
        return tuple(each for each in ahead if each.daily and each.fitting and each.allowed in refused)


def names(recipe: Recipe, context: Context) -> tuple[NameVerdict, ...]:
    """Return the verdict on every name of every jurisdiction, the chosen markets first.

    Parameters
    ----------
    recipe : Recipe
        The recipe with its form.
    context : Context
        Its markets come first; its kit says how dry the mass ends; its memory rules turn those on.

    Returns
    -------
    tuple[NameVerdict, ...]
        The best name of a jurisdiction has ``best`` set.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> next(verdict.name for verdict in names(bar, Context(markets=("us",))) if verdict.best)
    'Semisweet or bittersweet chocolate'
    """
    keys = tuple(dict.fromkeys((*context.markets, *jurisdictions())))
    return _judged(recipe, context, keys)


def _judged(recipe: Recipe, context: Context, keys: Sequence[str]) -> tuple[NameVerdict, ...]:
    return judge_all(recipe, keys, memory_rules=context.memory_rules, end_water_percent=context.end_water)


def call_it(recipe: Recipe, context: Context) -> Answer:
    """Say what a recipe may be called in the markets that matter, and what would earn it a better name.

    Parameters
    ----------
    recipe : Recipe
        The recipe with its form.
    context : Context
        Its markets are answered; its kit says how dry the mass ends; its memory rules turn those on.

    Returns
    -------
    Answer
        Good where every market has a name for it, watch where some have or it depends, stop where none has.
        The figure is the cocoa to declare [%].

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> parts = (part("cocoa_mass", 55.0), part("sugar_granulated", 35.0), part("hazelnut", 10.0))
    >>> print(call_it(Recipe("bar", Form.BAR, parts), Context(markets=("eu", "uk"))).sentence)
    Dark chocolate with hazelnuts in the EU and UK. Cocoa: 60 % minimum.
    """
    markets = _markets(recipe, context)
    verdict = _verdict(markets)
    cocoa = next((market.cocoa for market in markets if market.cocoa is not None), None)
    declaring = next((market for market in markets if market.cocoa is not None), None)
    return Answer(
        question=QUESTION,
        title=TITLE,
        verdict=verdict,
        word=WORDS[verdict],
        sentence=_sentence(recipe, markets),
        figure=None if cocoa is None else float(cocoa),
        unit="" if cocoa is None else "%",
        basis="" if declaring is None else declaring.law.bases["part"],
        reasons=tuple(_reasons(recipe, markets)),
        remedies=tuple(_remedies(recipe, context, markets)),
        sources=tuple(dict.fromkeys(_sources(markets))),
        details=tuple(_details(recipe, markets)),
    )


def _markets(recipe: Recipe, context: Context) -> tuple[Market, ...]:
    keys = tuple(dict.fromkeys(context.markets))
    found: dict[str, list[NameVerdict]] = {key: [] for key in keys}
    for verdict in _judged(recipe, context, keys):
        found[verdict.jurisdiction].append(verdict)
    return tuple(_market(recipe, context, key, tuple(verdicts)) for key, verdicts in found.items())


def _market(recipe: Recipe, context: Context, key: str, verdicts: tuple[NameVerdict, ...]) -> Market:
    best = next((verdict for verdict in verdicts if verdict.best), None)
    water = context.end_water
    cocoa = None if best is None else _declared(recipe, context, best, water)
    varies = cocoa is not None and best is not None and water is not None and water.varies
    usual = _declared(recipe, context, best, water.value) if varies and best and water else cocoa
    return Market(law(key), verdicts, best, cocoa, usual, _cocoa_needs(recipe, context, best))


def _cocoa_needs(recipe: Recipe, context: Context, best: NameVerdict | None) -> str:
    """Say which figures of which cocoa keep the declaration from being told."""
    if best is None:
        return ""
    lacks = not_given_for_cocoa(recipe, best.jurisdiction, best.key, memory_rules=context.memory_rules)
    told = joined([f"the {joined(figures)} of {name}" for name, figures in lacks])
    many = len(lacks) > 1 or any(len(figures) > 1 for _, figures in lacks)
    return f"{told} {'are' if many else 'is'} not given" if told else ""


def _declared(
    recipe: Recipe, context: Context, of: NameVerdict, end_water: Span | float | None
) -> int | None:
    return declared_cocoa(
        recipe, of.jurisdiction, of.key, memory_rules=context.memory_rules, end_water_percent=end_water
    )


def _verdict(markets: Sequence[Market]) -> Verdict:
    if all(market.earned is not None for market in markets):
        return Verdict.GOOD
    if any(market.best is not None for market in markets):
        return Verdict.WATCH
    return Verdict.UNKNOWN if any(market.open is not None for market in markets) else Verdict.STOP


def _sentence(recipe: Recipe, markets: Sequence[Market]) -> str:
    named = Grouped()
    for market in markets:
        named.add(_name(recipe, market), market.law.place)
    text = "; ".join(f"{name} {places(where)}{tail}" for (name, tail), where in named.items())
    return " ".join((f"{capital(text)}.", *_cocoa_words(markets)))


class Grouped(dict[tuple[str, str], list[str]]):
    """Places that share the same words."""

    def add(self, words: tuple[str, str], place: str) -> None:
        """Put a place to its words."""
        self.setdefault(words, []).append(place)


def places(where: Sequence[str]) -> str:
    """List places as a person does.

    Examples
    --------
    >>> places(["in the EU", "in the UK"]), places(["in the EU", "in Japan"])
    ('in the EU and UK', 'in the EU and in Japan')
    """
    if all(place.startswith(IN_THE) for place in where):
        return IN_THE + joined([place.removeprefix(IN_THE) for place in where])
    return joined(where)


def _name(recipe: Recipe, market: Market) -> tuple[str, str]:
    """Return the name in a market, and what follows the place."""
    if market.best is not None:
        tail = "" if market.earned is not None else f", {_depends(market.best)}"
        return _called(recipe, market.best), tail
    if market.open is not None:
        return "not known", f", because {market.open.depends_on}"
    return "no reserved name", ": describe it"


def _depends(verdict: NameVerdict) -> str:
    text = verdict.depends_on
    return text if text.startswith(("only if", "on the")) else f"but {text}"


def _cocoa_words(markets: Sequence[Market]) -> Iterator[str]:
    declared = Grouped()
    for market in markets:
        if market.cocoa is not None:
            declared.add((f"{market.cocoa} % minimum", ""), market.law.place)
        elif market.cocoa_needs:
            declared.add((f"not known, for {market.cocoa_needs}", ""), market.law.place)
    if len(declared) == 1:
        yield f"Cocoa: {next(iter(declared))[0]}."
    elif declared:
        yield f"Cocoa: {'; '.join(f'{cocoa} {places(where)}' for (cocoa, _), where in declared.items())}."


def _called(recipe: Recipe, verdict: NameVerdict) -> str:
    spoken = verdict.spoken
    if spoken.startswith("dark") and not verdict.name.lower().startswith("dark") and _holds_milk(recipe):
        spoken = verdict.name.lower()  # a chocolate with milk in it is not described as dark
    if verdict.inside and verdict.key == "filled":
        spoken = f"{spoken} ({verdict.inside.lower()} outside)"
    foods = tuple(dict.fromkeys(thing(leaf.ingredient) for leaf in recipe.leaves() if _is_folded_in(leaf)))
    return f"{spoken} with {joined(foods[:MOST_FOLDED_IN])}" if foods else spoken


def _holds_milk(recipe: Recipe) -> bool:
    return any(leaf.kind is Kind.MILK and leaf.mass_g > 0 and leaf.in_machine for leaf in recipe.leaves())


def _is_folded_in(leaf: Leaf) -> bool:
    late = leaf.stage in (Stage.FOLDED_IN, Stage.ON_BACK)
    return late and leaf.mass_g > 0 and leaf.kind in (Kind.OTHER_FOOD, Kind.NIB)


def _reasons(recipe: Recipe, markets: Sequence[Market]) -> Iterator[str]:
    said = Grouped()
    for market in markets:
        for reason in _market_reasons(recipe, market):
            said.add((reason, ""), market.law.place)
    for (reason, _), where in said.items():
        yield f"{capital(places(where))}: {reason}"
    yield reservation()


def _market_reasons(recipe: Recipe, market: Market) -> Iterator[str]:
    best = market.best
    if market.others:
        yield f"it may also be called {joined([each.name.lower() for each in market.others])}."
    if best is not None:
        yield from _best_reasons(recipe, market, best)
    if market.cocoa != market.usual_cocoa:
        yield (
            f"the cocoa is told for the wettest your kit leaves the mass; at its usual water it is "
            f"{market.usual_cocoa} %. Measured water would settle it."
        )
    for verdict in market.above:
        if verdict.allowed is Allowed.DEPENDS and not verdict.best:
            yield f"{verdict.spoken} {_depends(verdict)}."
    if market.best is None and market.open is None:
        for verdict in market.unknown:
            yield f"{verdict.spoken} is not known: {verdict.depends_on}."
    closest = _closest(market)
    if closest is not None:
        lacks = "; ".join(lack.sentence for lack in closest.lacking)
        yield f"{closest.spoken} is kept away. {capital(lacks)}."


def _best_reasons(recipe: Recipe, market: Market, best: NameVerdict) -> Iterator[str]:
    if best.note:
        yield best.note
    if best.status in (Status.MEMORY, Status.JUDGEMENT):
        yield f"this name is {STATUS_WORDS[best.status]}."
    kinds = {leaf.kind for leaf in recipe.leaves() if leaf.mass_g > 0}
    if market.law.vegetable_fat_note and Kind.VEGETABLE_FAT in kinds:
        yield f"beside the name goes: {market.law.vegetable_fat_note}."
    if Kind.OTHER_FOOD in kinds and market.law.other_status in (Status.MEMORY, Status.JUDGEMENT):
        how = STATUS_WORDS[market.law.other_status]
        yield f"which foods are taken off before the figures are worked out is {how}."
    if Kind.POWDER in kinds and market.law.counts_liquor:
        yield str(words("liquor")["note"])
    nibs = (leaf.ingredient for leaf in recipe.leaves() if leaf.mass_g > 0 and leaf.kind is Kind.NIB)
    untold = dict.fromkeys(thing(nib) for nib in nibs if nib.shell_percent is None)
    limit = shell_limit(market.law.key)
    if untold and limit:
        yield f"the shell left in {joined(list(untold))} is not given: {limit}. Weigh it out of a sample."


def _closest(market: Market) -> NameVerdict | None:
    """The everyday name that is nearest, where no name is earned."""
    if market.best is not None:
        return None
    refused = [each for each in market.above if each.allowed is Allowed.NO]
    return min(refused, key=lambda each: sum(lack.gap or 0.0 for lack in each.lacking), default=None)


def _remedies(recipe: Recipe, context: Context, markets: Sequence[Market]) -> Iterator[Remedy]:
    """Give the nearest change for every market that wants a better name; the same change is told once."""
    wanting = [market for market in markets if market.above]
    if not wanting or not any(leaf.kind in COCOA_KINDS and leaf.mass_g > 0 for leaf in recipe.leaves()):
        return
    nearest = Nearest(recipe, context)
    promises: dict[object, tuple[Promise, Grouped]] = {}
    for market in wanting:
        promise = nearest.earns(market.above)
        if promise is not None:
            _, earned = promises.setdefault(promise.changes, (promise, Grouped()))
            earned.add((promise.verdict.spoken, ""), market.law.place)
    for promise, earned in promises.values():
        named = joined([f"{name} {places(where)}" for (name, _), where in earned.items()])
        yield remedy(recipe, promise, named)


def _sources(markets: Sequence[Market]) -> Iterator[Citation]:
    for market in markets:
        shown_first = market.best or market.open or next(iter(market.above), None)
        if shown_first is not None:
            yield Citation(shown_first.source, shown_first.section, shown_first.status)


def _details(recipe: Recipe, markets: Sequence[Market]) -> Iterator[Detail]:
    yield Detail(
        "Names side by side",
        ("Where", "Name", "Cocoa to declare", "May also be called"),
        tuple(_row(recipe, market) for market in markets),
        reservation(),
    )
    rows = tuple(row for market in markets for row in _lacking_rows(market))
    if rows:
        head = ("Where", "Name", "Figure", "Has, %", "Asked", "Gap, g per 100 g", "Of")
        yield Detail("What keeps other names away", head, rows)


def _row(recipe: Recipe, market: Market) -> tuple[str, ...]:
    name = capital("".join(_name(recipe, market)))
    cocoa = "not known" if market.cocoa_needs else ""
    cocoa = cocoa if market.cocoa is None else f"{market.cocoa} % minimum"
    return market.law.name, name, cocoa, joined([each.name for each in market.others])


def _lacking_rows(market: Market) -> Iterator[tuple[str, ...]]:
    for verdict in market.verdicts:
        if not (verdict.daily and verdict.fitting):
            continue
        for lack in verdict.lacking:
            if lack.has is not None and lack.needs is not None and lack.gap is not None:
                asked = f"{lack.side} {lack.needs:g} %"
                figures = (lack.has_text, asked, shown(lack.gap), lack.basis)
                yield (market.law.name, verdict.name, lack.figure, *figures)
