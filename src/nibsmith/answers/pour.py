"""Will it pour: how a tempered mass flows at its working temperature, by an estimate with its range."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from nibsmith.answers._pour_estimate import Case, case_of, check
from nibsmith.answers._pour_inclusions import Inclusions, fewer, inclusion_words, inclusions_of
from nibsmith.answers._pour_remedies import dry_remedies, remedies
from nibsmith.answers._pour_seen import found_for
from nibsmith.answers._pour_words import (
    USE_WORDS,
    bears_on_it,
    chance_words,
    details,
    found_sentence,
    found_word,
    not_given_words,
    on_the_spoon,
    over_crystallised_words,
    reasons,
    sources,
    widest_words,
)
from nibsmith.answers.answer import Answer, Remedy, Verdict
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.context import Context
from nibsmith.answers.process import process_of, use_of
from nibsmith.answers.wording import NO_BREAK, capital, degrees_span
from nibsmith.science.errors import InputError, NibsmithError, OutOfRange, UnknownFigure
from nibsmith.science.flow import Casson, Feel, check_range, flow, flow_limit
from nibsmith.science.flow.parameters import span_of
from nibsmith.science.mixture import BASIS_WORDS, Basis, Limit, Recipe
from nibsmith.science.numerics import Array
from nibsmith.science.tables import load

QUESTION, TITLE = "pour", "Will it pour?"
_WORDS = {
    Verdict.GOOD: "Pours.",
    Verdict.WATCH: "Too thick.",
    Verdict.STOP: "Does not flow.",
    Verdict.UNKNOWN: "Cannot tell.",
}
CAUTION = "An estimate: your own spoon decides. Try a little of it, tempered, before you pour it all."
_RATES = (2, 5, 10, 15, 20, 25, 30, 35, 40, 45, 50)


def pour(recipe: Recipe, context: Context) -> Answer:
    """Answer whether a mass pours, tempered, at the working temperature of its kind.

    Parameters
    ----------
    recipe : Recipe
        The recipe, nested recipes opened up.
    context : Context
        Kit and process give grain sizes, water and use; what is not given is taken from the kit and said.

    Returns
    -------
    Answer
        The figure is the viscosity at 40 1/s [Pa·s] with the ends between which four draws in five lie. Good:
        the middle is under the limit of the use, and so are seven draws in ten. How the maker found this very
        mass for the use goes before both.

    Examples
    --------
    >>> from nibsmith.science.kit import kit
    >>> from nibsmith.science.mixture import Form, part
    >>> thick = (part("cocoa_nibs_roasted", 550.0), part("sugar_granulated", 450.0))
    >>> answer = pour(Recipe("bar", Form.BAR, thick), Context(kit=kit("stone")))
    >>> answer.verdict.value, answer.remedies[0].changes[0].part
    ('watch', 'cocoa_butter')
    """
    try:
        case = case_of(recipe, context)
    except (UnknownFigure, InputError, OutOfRange) as error:
        return _untold(_because(error) + _found_words(recipe, context))
    try:
        check(case)
    except OutOfRange as error:
        bound = _bound(case, error)
        why = _because(error) + bound + _found_words(recipe, context)
        answer = _untold(why, "No figure." if bound else _WORDS[Verdict.UNKNOWN])
        return replace(answer, remedies=tuple(dry_remedies(recipe, context, case, _verdict)))
    pieces = inclusions_of(recipe, case)
    answer = _told(case, context, pieces)
    return replace(answer, remedies=tuple(_remedies(recipe, context, case, pieces)))


def flow_verdict(case: Case) -> Verdict:
    """Return how a mass comes out that lies inside the estimate: as it was found, else as it is foretold."""
    if case.found is not None:
        return Verdict.WATCH if case.found.feel is Feel.TOO_THICK else Verdict.GOOD
    return _foretold(case)


def _foretold(case: Case) -> Verdict:
    if not case.central.flows:
        return Verdict.STOP
    enough = load("flow_uses")["chance_good"].value
    under = float(case.thickness_of(case.central)) <= 1
    return Verdict.GOOD if under and case.chance >= enough else Verdict.WATCH


def _verdict(recipe: Recipe, context: Context) -> Verdict:
    """The verdict alone: what a remedy is asked again with."""
    try:
        case = case_of(recipe, context)
        check(case)
    except (UnknownFigure, InputError, OutOfRange):
        return Verdict.UNKNOWN
    return _with_pieces(_foretold(case), inclusions_of(recipe, case))  # what was found was another mass


def _with_pieces(verdict: Verdict, pieces: Inclusions) -> Verdict:
    return Verdict.WATCH if pieces.too_many and verdict is Verdict.GOOD else verdict


def _told(case: Case, context: Context, pieces: Inclusions) -> Answer:
    verdict = _with_pieces(flow_verdict(case), pieces)
    low, high = case.range_of(case.draws.viscosity_at_40)
    middle = float(case.central.viscosity_at_40)
    return Answer(
        question=QUESTION,
        title=TITLE,
        verdict=verdict,
        word=_word(case, verdict, pieces),
        sentence=_sentence(case, verdict, pieces),
        figure=middle if np.isfinite(middle) else None,
        unit="Pa·s",
        low=low if np.isfinite(middle) else None,
        high=high if np.isfinite(high) else None,
        basis=f"{BASIS_WORDS[Basis.FINISHED]}, tempered, at 40 1/s",
        reasons=tuple(_reasons(case, context, pieces)),
        sources=sources(case),
        cautions=(CAUTION,),
        details=details(case),
    )


def _word(case: Case, verdict: Verdict, pieces: Inclusions) -> str:
    if verdict is Verdict.GOOD and case.found is not None:
        return found_word(case.found, case.limits.use)
    if verdict is not Verdict.WATCH:
        return _WORDS[verdict]
    if flow_verdict(case) is Verdict.GOOD and pieces.too_many:
        return "Too many pieces."
    if case.found is not None:
        return found_word(case.found, case.limits.use)
    return "Perhaps too thick." if float(case.thickness_of(case.central)) <= 1 else _WORDS[verdict]


def _sentence(case: Case, verdict: Verdict, pieces: Inclusions) -> str:
    if verdict is Verdict.STOP:
        free = 100 * float(case.central.liquid_fat)
        return f"With {free:.0f}{NO_BREAK}% of free fat the grains lock together: it stays crumbs or paste."
    if flow_verdict(case) is Verdict.GOOD and pieces.too_many:
        return " ".join(inclusion_words(pieces))
    if case.found is not None:
        return found_sentence(case.found, case.limits.use)
    at, use = degrees_span(case.temperature), USE_WORDS[case.limits.use]
    chance, spoon = chance_words(case.chance), on_the_spoon(case)
    if verdict is Verdict.GOOD:
        doubts = not_given_words(case) if bears_on_it(case) else ()
        return " ".join((f"Tempered at {at} it should be thin enough {use}, {chance}: {spoon}.", *doubts))
    if float(case.thickness_of(case.central)) > 1:
        chance = f"{capital(chance)} that it works all the same"
        return f"Tempered at {at} it is likely too thick {use}: {spoon}. {chance}."
    return f"Tempered at {at} it may be thin enough {use}, but with only {chance}: {spoon}."


def _reasons(case: Case, context: Context, pieces: Inclusions) -> Iterator[str]:
    yield from reasons(case, context)
    widest = widest_words(case.shares)
    if widest:
        yield widest
    yield from inclusion_words(pieces)
    if case.central.flows and flow_verdict(case) is not Verdict.GOOD:
        yield over_crystallised_words(case)


def _remedies(recipe: Recipe, context: Context, case: Case, pieces: Inclusions) -> Iterator[Remedy]:
    verdict = flow_verdict(case)
    if not pieces.too_many:
        yield from remedies(recipe, context, case, verdict, _verdict)
        return
    cut = fewer(recipe, context, pieces)
    less = apply_remedy(recipe, cut)
    if verdict is Verdict.GOOD:
        yield replace(cut, checked=_verdict(less, context) is Verdict.GOOD)
        return
    for remedy in remedies(less, context, case, verdict, _verdict):
        yield replace(
            remedy, sentence=f"{cut.sentence} {remedy.sentence}", changes=(*cut.changes, *remedy.changes)
        )


def _untold(why: str, word: str = _WORDS[Verdict.UNKNOWN]) -> Answer:
    return Answer(QUESTION, TITLE, Verdict.UNKNOWN, word, why, cautions=(CAUTION,))


def _found_words(recipe: Recipe, context: Context) -> str:
    """What the maker found of this very mass, where the estimate can say nothing of it."""
    found = found_for(process_of(context).seen, use_of(recipe, context))
    return "" if found is None else f" You found it {found.said}."


def _because(error: NibsmithError) -> str:
    if not isinstance(error, OutOfRange):
        return str(error)
    what = f"{error.what[:1].lower()}{error.what[1:]}"
    return f"Unknown, because {what}: {error.value}, against {error.limit}."


def _bound(case: Case, error: OutOfRange) -> str:
    """What the estimate says at the end of its range, where the mass lies on the thin side of it."""
    most = span_of("fat_range").high
    if error.field != "fat" or float(case.central.liquid_fat) <= most or not sum(case.matter.solids_volume):
        return ""  # fat without grains has no edge to go to
    finished_g = (case.matter.charge - case.matter.water.value) / (1 - float(case.central.water))
    less_g = finished_g * (float(case.central.liquid_fat) - most) / (1 - most)
    edge = case.of(case.matter.with_butter(-less_g))
    if _foretold(edge) is not Verdict.GOOD:
        return ""
    words = f" With {100 * most:.0f}{NO_BREAK}% it would be thin enough {USE_WORDS[case.limits.use]}"
    return f"{words}, and more fat only makes it thinner."


@dataclass(frozen=True, eq=False)
class FlowCurve:
    """A flow curve for a chart: stresses [Pa] at shear rates [1/s], with the ends of four draws in five.

    ``limit_rates`` and ``limit_stress`` are the two points of the use that the curve should stay under.
    """

    rates: Array
    stress: Array
    low: Array
    high: Array
    limit_rates: Array
    limit_stress: Array


def flow_curve(recipe: Recipe, context: Context, rates: Sequence[float] = _RATES) -> FlowCurve:
    """Return the flow curve of a tempered mass with its band.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    context : Context
        Kit and process.
    rates : sequence of float
        Shear rates [1/s].

    Returns
    -------
    FlowCurve
        Infinite where the mass does not flow in some draws.

    Raises
    ------
    NibsmithError
        Where ``pour`` would say that it cannot tell.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("b", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> curve = flow_curve(bar, Context())
    >>> bool((curve.low <= curve.stress).all() and (curve.stress <= curve.high).all())
    True
    """
    case = case_of(recipe, context)
    check(case)
    grid = np.asarray(rates, dtype=float)
    root_yield, root_viscosity = (
        np.sqrt(np.asarray(values))[:, None] for values in (case.draws.yield_pa, case.draws.viscosity_pas)
    )
    all_stress = (root_yield + root_viscosity * np.sqrt(grid)) ** 2
    low, high = np.quantile(all_stress, (10 / 100, 90 / 100), axis=0, method="inverted_cdf")
    law = case.central
    middle = (np.sqrt(law.yield_pa) + np.sqrt(float(law.viscosity_pas) * grid)) ** 2
    table = load("flow")
    ends = np.array([table["rate_low"].value, table["rate_high"].value])
    limit = np.array([case.limits.stress_pa, case.limits.viscosity_pas * ends[1]])
    return FlowCurve(grid, middle, low, high, ends, limit)


def pour_limit(recipe: Recipe, context: Context) -> Limit:
    """Return what balancing needs so that ``pour`` says good: liquid fat by volume, with its distance.

    Parameters
    ----------
    recipe : Recipe
        The recipe to be balanced.
    context : Context
        Kit and process.

    Returns
    -------
    Limit
        Linear in the masses [share of the volume].

    Raises
    ------
    NibsmithError
        Where the flow cannot be told.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("b", Form.BAR, (part("cocoa_mass", 50.0), part("sugar_granulated", 50.0)))
    >>> pour_limit(bar, Context()).gap({"cocoa_mass": 50.0, "sugar_granulated": 50.0}) > 0
    True
    """
    case = case_of(recipe, context)
    enough = load("flow_uses")["chance_good"].value
    middle = float(case.thickness_of(case.central))
    likely = case.thickness_likely(enough)
    if not np.isfinite(likely):  # jammed as it stands: the distance is that of the kit alone
        middle, likely = 1.0, max(case.calibration.eta_spread, case.calibration.tau_spread)
    return flow_limit(recipe, case.limits, case.at, safety=likely / middle)


def predicted_flow(recipe: Recipe, context: Context, liquid_celsius: float | None = None) -> Casson:
    """Return what the uncalibrated estimate says of a mass, for a reading to be compared with.

    Parameters
    ----------
    recipe : Recipe
        The recipe that was made.
    context : Context
        Kit and process of that batch; a calibration in it is left out.
    liquid_celsius : float, optional
        Temperature of an untempered, liquid sample [°C]; without it, tempered at its working temperature.

    Returns
    -------
    Casson
        Yield [Pa] and plastic viscosity [Pa·s].

    Raises
    ------
    NibsmithError
        Where the flow cannot be told, or the mass would not flow.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("b", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> cool, warm = predicted_flow(bar, Context()), predicted_flow(bar, Context(), 40.0)
    >>> cool.viscosity_pas > warm.viscosity_pas
    True
    """
    case = case_of(recipe, context)
    at = replace(case.at, viscosity_factor=1.0, yield_factor=1.0)
    if liquid_celsius is not None:
        at = replace(at, celsius=liquid_celsius, solid_fat=0.0)
    law = flow(case.matter, at)
    check_range(case.matter, at, law)
    if not law.flows:
        raise OutOfRange("The estimate says that this mass does not flow", advice="Nothing to compare with.")
    return law.casson
