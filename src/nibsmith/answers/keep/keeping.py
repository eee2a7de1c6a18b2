"""Will it keep: water in the mass, and wet or raw inclusions. Not a shelf life."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from nibsmith.answers.answer import Answer, Citation, Detail, Verdict
from nibsmith.answers.context import Context
from nibsmith.answers.keep.remedies import remedies
from nibsmith.answers.wording import capital, joined, thing
from nibsmith.science.keep import Inclusion, MassWater, Risk, judge_inclusion, mass_water
from nibsmith.science.mixture import BASIS_WORDS, Basis, Recipe
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
_WORST_FIRST = (Verdict.STOP, Verdict.UNKNOWN, Verdict.WATCH, Verdict.GOOD)


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
    answer = _judged(recipe)
    return replace(answer, remedies=tuple(remedies(recipe, context, answer.verdict, _verdict)))


def _verdict(recipe: Recipe) -> Verdict:
    """The verdict alone: what a remedy is asked again with."""
    return _judged(recipe).verdict


def _judged(recipe: Recipe) -> Answer:
    water = mass_water(recipe)
    inclusions = [
        judge_inclusion(leaf) for leaf in recipe.leaves() if not leaf.in_machine and leaf.mass_g > 0
    ]
    findings = [*_of_mass(water), *(_Finding(_VERDICTS[one.risk], one.why) for one in inclusions)]
    verdict = next(verdict for verdict in _WORST_FIRST if verdict in {one.verdict for one in findings})
    return Answer(
        question="keep",
        title="Will it keep?",
        verdict=verdict,
        word=_WORDS[verdict],
        sentence=_sentence(verdict, findings, water),
        figure=water.extra.value,
        unit="g/100 g",
        low=water.extra.low,
        high=water.extra.high,
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
        yield _Finding(Verdict.UNKNOWN, f"The water of {joined(water.unknown)} is not given.")
    own_and_extra = water.milk + water.extra.value
    if low is not Verdict.STOP and own_and_extra > load("keep")["water_stop"].value:
        words = (
            f"With milk powder's own water it is {own_and_extra:.1f} g per 100 g of mass: it pours thicker."
        )
        yield _Finding(Verdict.WATCH, words)


def _dry_verdict(extra: float) -> Verdict:
    table = load("keep")
    if extra > table["water_stop"].value:
        return Verdict.STOP
    return Verdict.WATCH if extra > table["water_watch"].value else Verdict.GOOD


def _dry_words(water: MassWater, verdict: Verdict) -> str:
    amount = f"Dry parts bring {water.extra.value:.1f} g of water per 100 g of mass"
    if verdict is Verdict.GOOD:
        return f"{amount}: little."
    fat = water.extra.value / load("keep")["water_for_one_fat"].value
    if verdict is Verdict.WATCH:
        return f"{amount}, which costs about {fat:.0f} % more fat for the same flow."
    return f"{amount}, too much: dry them first."


def _sentence(verdict: Verdict, findings: Iterable[_Finding], water: MassWater) -> str:
    worst = [finding.words for finding in findings if finding.verdict is verdict]
    if verdict is Verdict.GOOD:
        worst = [f"Nothing in it brings water to speak of ({water.extra.value:.1f} g per 100 g of mass)."]
    return capital(" ".join(worst))


def _reasons(
    findings: Iterable[_Finding], water: MassWater, inclusions: Iterable[Inclusion]
) -> Iterator[str]:
    yield from (finding.words for finding in findings)
    if water.milk:
        yield (
            f"Milk powder brings {water.milk:.1f} g of its own water per 100 g of mass; that is usual and "
            "stands apart."
        )
    if water.cocoa:
        yield (
            f"Cocoa brings {water.cocoa:.1f} g of its own water per 100 g of mass. A stone grinder with its "
            "lid off drives most of it out, a blender or a mortar nearly none."
        )
    if any(one.shorter_life for one in inclusions):
        yield "Nuts and seeds make the life shorter than that of the plain chocolate."


def _sources() -> Iterator[Citation]:
    table = load("keep")
    for key in (
        "water_watch",
        "water_stop",
        "water_for_one_fat",
        "milk_usual_water",
        "water_activity_growth",
    ):
        yield Citation(table[key].source, table[key].place, table[key].status)


def _detail(water: MassWater) -> Detail:
    table = load("keep")
    rows = (
        ("Dry parts beyond their own", f"{water.extra.value:.2f}"),
        ("Milk powder's own", f"{water.milk:.2f}"),
        ("Cocoa's own, driven out or kept by the kit", f"{water.cocoa:.2f}"),
        ("Liquids and wet foods", f"{water.wet:.2f}"),
    )
    growth, mould = table["water_activity_growth"].decimal, table["water_activity_mould"].decimal
    note = (
        f"Water activity decides what grows: nothing up to {growth}, mould can from {mould} on. Have "
        "inclusions and the finished bar measured."
    )
    return Detail("Water in the mass", ("Whose", "g per 100 g of mass"), rows, note)
