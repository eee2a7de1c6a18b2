"""Will it keep: water in the mass, and wet or raw inclusions. Not a shelf life."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from nibsmith.answers._kit_words import the_kit
from nibsmith.answers.answer import Answer, Citation, Detail, Verdict, worst
from nibsmith.answers.context import Context
from nibsmith.answers.keep.remedies import remedies
from nibsmith.answers.wording import capital, joined, thing
from nibsmith.science.keep import Inclusion, MassWater, Risk, judge_inclusion, mass_water
from nibsmith.science.mixture import BASIS_WORDS, Basis, Recipe, Span
from nibsmith.science.tables import load

DECIDES = "This is no shelf life: a laboratory's water activity and your own kept samples decide how long."
_WORDS = {
    Verdict.GOOD: "Dry enough.",
    Verdict.WATCH: "Watch it.",
    Verdict.STOP: "Too wet.",
    Verdict.UNKNOWN: "Cannot tell.",
}
_VERDICTS = {
    Risk.FINE: Verdict.GOOD,
    Risk.WATCH: Verdict.WATCH,
    Risk.UNKNOWN: Verdict.UNKNOWN,
    Risk.STOP: Verdict.STOP,
}


@dataclass(frozen=True)
class _Finding:
    """One thing that bears on keeping."""

    verdict: Verdict
    words: str


def keep(recipe: Recipe, context: Context) -> Answer:
    """Answer whether a chocolate keeps, as far as its ingredients decide it.

    Parameters
    ----------
    recipe : Recipe
        The recipe, nested recipes opened up.
    context : Context
        Its scale rounds the weights in the remedies.

    Returns
    -------
    Answer
        The figure is the water that dry parts bring beyond cocoa's and milk powder's own [g/100 g].

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("honey", 30.0)))
    >>> answer = keep(bar, Context())
    >>> answer.verdict.value, answer.word
    ('stop', 'Too wet.')
    """
    answer = _judged(recipe, context)

    def ask(of: Recipe) -> Verdict:
        """The verdict alone: what a remedy is asked again with."""
        return _judged(of, context).verdict

    return replace(answer, remedies=tuple(remedies(recipe, context, answer.verdict, ask)))


def _judged(recipe: Recipe, context: Context) -> Answer:
    water = mass_water(recipe)
    inclusions = [
        judge_inclusion(leaf) for leaf in recipe.leaves() if not leaf.in_machine and leaf.mass_g > 0
    ]
    mass = (*_of_mass(water), *_of_cocoa(water, context))
    findings = [*mass, *(_Finding(_VERDICTS[one.risk], capital(one.why)) for one in inclusions)]
    verdict = worst(one.verdict for one in findings)
    told = not any(one.verdict is Verdict.UNKNOWN for one in mass)
    return Answer(
        question="keep",
        title="Will it keep?",
        verdict=verdict,
        word=_WORDS[verdict],
        sentence=_sentence(verdict, findings, water),
        figure=water.extra.value if told else None,
        unit="g/100 g" if told else "",
        low=water.extra.low if told else None,
        high=water.extra.high if told else None,
        basis=BASIS_WORDS[Basis.MACHINE],
        reasons=tuple(_reasons(findings, water, inclusions)),
        sources=tuple(_sources()),
        cautions=(DECIDES,),
        details=(_detail(water),),
    )


def _of_mass(water: MassWater) -> Iterator[_Finding]:
    for name in dict.fromkeys(thing(leaf.ingredient) for leaf in water.liquids):
        yield _Finding(
            Verdict.STOP, f"{capital(name)} in the mass: any amount of a liquid or wet food is too much."
        )
    low, high = _dry_verdict(water.extra.low), _dry_verdict(water.extra.high)
    if low is high or low is Verdict.STOP:
        yield _Finding(low, _dry_words(water, low))
    else:
        yield _Finding(Verdict.UNKNOWN, _untold(water.unknown))
    own_and_extra = water.milk + water.extra.value
    if low is not Verdict.STOP and own_and_extra > load("keep")["water_stop"].value:
        words = (
            f"With milk powder's own water it is {own_and_extra:.1f} g per 100 g of mass: it pours thicker."
        )
        yield _Finding(Verdict.WATCH, words)


def _untold(names: Iterable[str]) -> str:
    return f"The water of {joined(list(names))} is not given."


def _of_cocoa(water: MassWater, context: Context) -> Iterator[_Finding]:
    """Cocoa's own water: how much is not given, and how much a kit that does not dry leaves in the mass."""
    room = water.cocoa.high - water.cocoa.low
    if _dry_verdict(room) is not Verdict.GOOD:
        yield _Finding(Verdict.UNKNOWN, _untold(water.unknown_cocoa))
        return
    left, how = _left(water, context)
    verdict = _left_verdict(left.value)
    if verdict is not Verdict.GOOD:
        yield _Finding(verdict, f"{how}, {_LEFT[verdict]}")


_LEFT = {
    Verdict.WATCH: "more than a stone grinder leaves: it pours thicker, and sugar blooms sooner.",
    Verdict.STOP: "too much: it seizes rather than thickens. Dry what goes in first.",
}


def _left(water: MassWater, context: Context) -> tuple[Span, str]:
    """Return the water that stays in the finished mass as far as it is known, and how to say it [g/100 g]."""
    said = None if context.process is None else context.process.end_water_percent
    if said is not None:
        return said, f"By your figure the finished mass holds {said.value:.1f} % of water"
    kit = context.kit
    if kit is None or kit.end_water_percent is not None:
        return Span.exactly(0.0), ""
    kept = water.charged
    return kept, (
        f"{capital(the_kit(kit))} drives nearly no water out: about {kept.value:.1f} g per 100 g of mass "
        "stay in it"
    )


def _left_verdict(percent: float) -> Verdict:
    table = load("keep")
    if percent > table["finished_water_stop"].value:
        return Verdict.STOP
    return Verdict.WATCH if percent > table["finished_water_watch"].value else Verdict.GOOD


def _dry_verdict(extra: float) -> Verdict:
    table = load("keep")
    if extra > table["water_stop"].value:
        return Verdict.STOP
    return Verdict.WATCH if extra > table["water_watch"].value else Verdict.GOOD


def _dry_words(water: MassWater, verdict: Verdict) -> str:
    amount = f"Dry parts bring {water.extra.value:.1f} g of water per 100 g of mass"
    if verdict is Verdict.GOOD:
        return f"{amount}: little."
    fat = water.extra.value / load("flow")["water_for_fat"].value
    if verdict is Verdict.WATCH:
        return f"{amount}, which costs about {fat:.0f} % more fat for the same flow."
    return f"{amount}, too much: dry them first."


def _sentence(verdict: Verdict, findings: Iterable[_Finding], water: MassWater) -> str:
    worst = [finding.words for finding in findings if finding.verdict is verdict]
    if verdict is Verdict.GOOD:
        worst = [f"Nothing in it brings water to speak of ({water.extra.value:.1f} g per 100 g of mass)."]
    return " ".join(worst)


def _reasons(
    findings: Iterable[_Finding], water: MassWater, inclusions: Iterable[Inclusion]
) -> Iterator[str]:
    yield from (finding.words for finding in findings)
    if water.milk:
        yield (
            f"Milk powder brings {water.milk:.1f} g of its own water per 100 g of mass; that is usual and "
            "stands apart."
        )
    if water.cocoa.value:
        yield (
            f"Cocoa brings {water.cocoa.value:.1f} g of its own water per 100 g of mass. A stone grinder "
            "with its lid off drives most of it out, a blender or a mortar nearly none."
        )
    if any(one.shorter_life for one in inclusions):
        yield "Nuts and seeds make the life shorter than that of the plain chocolate."


def _sources() -> Iterator[Citation]:
    table = {**load("keep"), "water_for_fat": load("flow")["water_for_fat"]}
    for key in (
        "water_watch",
        "water_stop",
        "finished_water_watch",
        "finished_water_stop",
        "water_for_fat",
        "milk_usual_water",
        "water_activity_growth",
        "water_activity_mould",
        "water_activity_stop",
        "water_activity_refuse",
    ):
        yield Citation(table[key].source, table[key].place, table[key].status)


def _amount(span: Span) -> str:
    return f"{span.low:.2f} to {span.high:.2f}" if span.varies else f"{span.value:.2f}"


def _detail(water: MassWater) -> Detail:
    rows = (
        ("Dry parts beyond their own", _amount(water.extra)),
        ("Milk powder's own", f"{water.milk:.2f}"),
        ("Cocoa's own, driven out or kept by the kit", _amount(water.cocoa)),
        ("Liquids and wet foods", f"{water.wet:.2f}"),
    )
    return Detail("Water in the mass", ("Whose", "g per 100 g of mass"), rows, _what_grows())


def _what_grows() -> str:
    """Say from which water activity on what grows, and where an inclusion is stopped."""
    growth, mould, stop, refuse = (
        load("keep")[f"water_activity_{key}"].decimal for key in ("growth", "mould", "stop", "refuse")
    )
    return (
        f"Water activity decides what grows: nothing below {growth}, yeasts and few moulds from {growth} on, "
        f"moulds that need little water from {mould} on. What is over {stop} does not go in; over {refuse} "
        "Salmonella can grow, and it is no dry food any more. Have inclusions and the finished bar measured."
    )
