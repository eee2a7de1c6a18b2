"""How much of each to weigh: the weights as the scale shows them, what comes out, and what the kit holds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from nibsmith.answers._kit_words import the_kit
from nibsmith.answers._out import Out, out_of
from nibsmith.answers._process import in_order_of_use
from nibsmith.answers.answer import Answer, Change, Citation, Detail, Remedy, Verdict
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.context import Context
from nibsmith.answers.wording import capital, exactly, grams, joined, thing
from nibsmith.science.formulate import Premix, SmallDose, round_to_scale, small_doses
from nibsmith.science.kit import Kit
from nibsmith.science.mixture import BASIS_WORDS, Basis, Part, Recipe
from nibsmith.science.quantities import format_percent
from nibsmith.science.tables import Status, load

QUESTION = "weigh_out"
TITLE = "How much of each do I weigh?"
AT_MOST, AT_LEAST = "at most", "at least"
CHARGE_SLACK = 1e-9  # a charge over the machine's most by less than this, relatively, is at it
SMALLEST_SCALE_G = Decimal("0.001")  # a finer scale is no kitchen scale, so none is proposed
_WORDS = {Verdict.GOOD: "Weigh it.", Verdict.WATCH: "Mind it."}


@dataclass(frozen=True)
class WeighRow:
    """One part as it is weighed: exactly and on the scale [g], and its share of everything [0 to 1]."""

    label: str
    name: str
    exact_g: float
    weigh_g: Decimal
    share: float


@dataclass(frozen=True)
class WeighTable:
    """Every part in the order of use, with weights that add to the total on the scale [g]."""

    rows: tuple[WeighRow, ...]
    total_g: Decimal


def weigh_table(recipe: Recipe, scale_g: Decimal) -> WeighTable:
    """Return the weights of a recipe as the scale shows them.

    Parameters
    ----------
    recipe : Recipe
        What is weighed [g].
    scale_g : Decimal
        Resolution of the scale [g].

    Returns
    -------
    WeighTable
        What is ground first, in order of use, then what is folded in, put on the back or filled.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("sugar_granulated", 300.4), part("cocoa_mass", 700.0)))
    >>> [(row.label, str(row.weigh_g)) for row in weigh_table(bar, Decimal(1)).rows]
    [('cocoa_mass', '700'), ('sugar_granulated', '300')]
    """
    rounded = round_to_scale({part.label: part.mass_g for part in recipe.parts}, scale_g)
    later = [part for part in recipe.parts if not part.in_machine and part.mass_g > 0]
    rows = tuple(
        WeighRow(part.label, part.name, part.mass_g, rounded.masses_g[part.label], recipe.share(part.label))
        for part in (*in_order_of_use(recipe), *later)
    )
    return WeighTable(rows, rounded.total_g)


def weigh_out(recipe: Recipe, context: Context) -> Answer:
    """Answer how much of each part to weigh, and whether the kit and the scale are up to it.

    Parameters
    ----------
    recipe : Recipe
        What is weighed, at its size; for a number of bars what the kit keeps back is in it already.
    context : Context
        Its scale, its kit with the least and most it takes, its mould.

    Returns
    -------
    Answer
        The figure is everything weighed, as the scale shows it [g].

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 700.0), part("sugar_granulated", 300.0)))
    >>> answer = weigh_out(bar, Context())
    >>> answer.figure, answer.verdict.value
    (1000.0, 'good')
    """
    table = weigh_table(recipe, context.scale_g)
    charge_g = sum(part.mass_g for part in recipe.parts if part.in_machine)
    doses = small_doses(recipe, context.scale_g)
    kit = _kit_words(charge_g, context.kit)
    verdict = Verdict.WATCH if doses or kit else Verdict.GOOD
    return Answer(
        question=QUESTION,
        title=TITLE,
        verdict=verdict,
        word=_WORDS[verdict],
        sentence=_sentence(recipe, table, context, (*kit, *_few_words(recipe, doses))),
        figure=float(table.total_g),
        unit="g",
        basis=BASIS_WORDS[Basis.AS_WEIGHED],
        reasons=tuple(_reasons(recipe, context, doses, charge_g)),
        remedies=tuple(_remedies(recipe, context, doses, charge_g)),
        sources=_sources(doses, kit, context),
        details=(_detail(table, context),),
    )


def weighing_faults(recipe: Recipe, context: Context) -> tuple[str, ...]:
    """Say what is wrong with weighing a recipe: a charge the kit does not take, doses the scale cannot weigh.

    Parameters
    ----------
    recipe : Recipe
        What is weighed, exactly [g].
    context : Context
        Its kit and its scale.

    Returns
    -------
    tuple of str
        Sentences; none where nothing is wrong.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 498.7), part("lecithin_soy", 1.3)))
    >>> weighing_faults(bar, Context())
    ('The scale is too coarse for the soya lecithin.',)
    """
    charge_g = sum(part.mass_g for part in recipe.parts if part.in_machine)
    return (*_kit_words(charge_g, context.kit), *_few_words(recipe, small_doses(recipe, context.scale_g)))


def coarse_words(recipe: Recipe, masses_g: Mapping[str, float], context: Context) -> tuple[str, ...]:
    """Say which of some amounts of a recipe's parts the scale cannot weigh closely enough [g]."""
    doses = {label: mass_g for label, mass_g in masses_g.items() if mass_g > 0}
    parts = tuple(part.weighing(doses[part.label]) for part in recipe.parts if part.label in doses)
    if not parts:
        return ()
    weighed = replace(recipe, parts=parts)
    return _few_words(weighed, small_doses(weighed, context.scale_g))


def _sentence(recipe: Recipe, table: WeighTable, context: Context, faults: tuple[str, ...]) -> str:
    total = f"{grams(table.total_g, context.scale_g)} in all"
    bars = _bars_words(out_of(recipe, context))
    return " ".join((f"{total}{bars}.", *faults))


def _bars_words(out: Out) -> str:
    batch = out.batch
    if not batch.cavity_g:
        return ""
    bars = f"{batch.whole_bars} bar{'' if batch.whole_bars == 1 else 's'} of {exactly(batch.cavity_g)}"
    left = grams(batch.left_g)
    return f", for {bars}" if left == grams(0.0) else f", for {bars} with {left} left over"


def _kit_words(charge_g: float, kit: Kit | None) -> tuple[str, ...]:
    """What is wrong with the charge, empty where nothing is or nothing is ground."""
    if kit is None or not charge_g:
        return ()
    if kit.charge_max_g is not None and charge_g > kit.charge_max_g * (1 + CHARGE_SLACK):
        most = grams(kit.charge_max_g)
        return (f"{grams(charge_g)} of it is ground, and {the_kit(kit)} holds {most} at most.",)
    if kit.charge_min_g is not None and charge_g < kit.charge_min_g * (1 - CHARGE_SLACK):
        least = grams(kit.charge_min_g)
        return (f"{grams(charge_g)} of it is ground, and {the_kit(kit)} needs {least} at least.",)
    return ()


def _few_words(recipe: Recipe, doses: tuple[SmallDose, ...]) -> tuple[str, ...]:
    if not doses:
        return ()
    named = joined([thing(recipe.part(dose.label)) for dose in doses])
    return (f"The scale is too coarse for the {named}.",)


def _reasons(
    recipe: Recipe, context: Context, doses: tuple[SmallDose, ...], charge_g: float
) -> Iterator[str]:
    out = out_of(recipe, context)
    if charge_g and (context.kit is not None or out.batch.lost_g):
        yield _loss_words(out, context)
    if out.water_unknown:
        yield f"Water that leaves is not counted: it is not given for {joined(out.water_unknown)}."
    for dose in doses:
        step = grams(dose.step_g, dose.step_g)
        amount = grams(dose.mass_g, dose.finer_g)
        name = capital(recipe.part(dose.label).name)
        yield f"{name}: {amount} on a scale of {step} is out by up to {dose.error_percent:.0f} % of it."


def _loss_words(out: Out, context: Context) -> str:
    """Say what of the charge does not come out: lost altogether where no kit says what stays in it."""
    kept, kit = grams(out.batch.lost_g), context.kit
    besides = " or is lost besides" if context.loss_percent else ""
    lost = f"About {kept} is lost" if kit is None else f"About {kept} stays in {the_kit(kit)}{besides}"
    water = f", and {grams(out.batch.evaporated_g)} of water leaves" if out.batch.evaporated_g else ""
    return f"{lost}{water}: {grams(out.batch.poured_g)} comes out."


def _remedies(
    recipe: Recipe, context: Context, doses: tuple[SmallDose, ...], charge_g: float
) -> Iterator[Remedy]:
    kit = context.kit
    if kit is not None and _kit_words(charge_g, kit):
        over = kit.charge_max_g is not None and charge_g > kit.charge_max_g
        target_g = kit.charge_max_g if over else kit.charge_min_g
        yield _resized(recipe, context, (target_g or charge_g) / charge_g, AT_MOST if over else AT_LEAST)
    for dose in doses:
        part = recipe.part(dose.label)
        if dose.finer_g >= SMALLEST_SCALE_G:
            yield _finer(recipe, dose, part)
        if dose.premix is not None:
            yield _premixed(recipe, dose, dose.premix)


def _resized(recipe: Recipe, context: Context, factor: float, side: str) -> Remedy:
    changes = tuple(
        Change(part.label, part.mass_g * (factor - 1)) for part in recipe.parts if part.mass_g > 0
    )
    total_g, step = recipe.total_g * factor, context.scale_g
    # Rounded to the side that the kit still takes; the noise of floats is no reason to go a step further.
    way = ROUND_FLOOR if side == AT_MOST else ROUND_CEILING
    said_g = (Decimal(f"{total_g:.9f}") / step).quantize(Decimal(1), rounding=way) * step
    remedy = Remedy(f"Make {grams(said_g, step)} {side}, all shares kept.", changes, total_g)
    after = apply_remedy(recipe, remedy)
    charge_g = sum(part.mass_g for part in after.parts if part.in_machine)
    return replace(remedy, checked=not _kit_words(charge_g, context.kit))


def _finer(recipe: Recipe, dose: SmallDose, part: Part) -> Remedy:
    still = small_doses(recipe, dose.finer_g)
    sentence = f"Weigh the {thing(part)} on a scale of {grams(dose.finer_g, dose.finer_g)}."
    return Remedy(sentence, checked=all(other.label != dose.label for other in still))


def _premixed(recipe: Recipe, dose: SmallDose, premix: Premix) -> Remedy:
    part, carrier = recipe.part(dose.label), recipe.part(premix.carrier)
    weighed = (premix.dose_g, premix.carrier_g, premix.take_g, premix.carried_g)
    mixed, into, take, less = (grams(mass_g, dose.step_g) for mass_g in weighed)
    sentence = (
        f"Or make a premix: {mixed} of {thing(part)} in {into} of {thing(carrier)}; take {take} of it and "
        f"{less} less {thing(carrier)}. The dose is then within {premix.error_percent:.0f} %."
    )
    return Remedy(sentence, checked=premix.error_percent <= load("formulate")["dose_error"].value)


def _sources(doses: tuple[SmallDose, ...], kit: tuple[str, ...], context: Context) -> tuple[Citation, ...]:
    found = []
    if doses:
        rule = load("formulate")["dose_error"]
        found.append(Citation(rule.source, rule.place, rule.status))
    if kit and context.kit is not None:
        status = context.kit.status_of("charge_max_g")
        told_by = "bench-judgement" if status is Status.JUDGEMENT else status.value
        found.append(Citation(context.kit.source or told_by, "least and most charge", status))
    return tuple(found)


def _detail(table: WeighTable, context: Context) -> Detail:
    rows = tuple(
        (row.name, grams(row.weigh_g, context.scale_g), format_percent(100 * row.share)) for row in table.rows
    )
    total = ("Total", grams(table.total_g, context.scale_g), format_percent(100))
    return Detail("Weigh", ("Part", "Weigh", "Share as weighed"), (*rows, total))
