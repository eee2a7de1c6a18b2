"""Will it pour, for a mass of which only figures are known."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from nibsmith.answers.answer import Remedy
from nibsmith.answers.context import Context
from nibsmith.answers.pour import FlowCurve, flow_curve, pour
from nibsmith.answers.process import Process, process_of, span_of, use_of
from nibsmith.answers.process_sizes import sizes_of
from nibsmith.answers.tools.known_mass import KnownMass, known_mass
from nibsmith.answers.tools.outcome import USUAL, YOURS, Given, Outcome, constants, given
from nibsmith.answers.wording import NO_BREAK, RANGE
from nibsmith.science.errors import NibsmithError
from nibsmith.science.mixture import Recipe, Span
from nibsmith.science.tables import load

FORMULAS = (
    "Free fat F: all fat less what coarse cocoa and milk powder hold back.",
    "It counts as F_e = F + 10·lecithin (of 0.5 % at most) − (water − 1 %)/0.3.",
    "Solids by volume φ = ((1 − F_e)/ρ_s) / ((1 − F_e)/ρ_s + F_e/ρ_f).",
    "Crowding φ_e = φ·[1 + δ·(S − S_0)] with the surface of the grains S = 6/D32.",
    "Casson viscosity η = η_f/(1 − φ_e/φ_m)²; Casson yield τ = τ_0·(S/S_0)·(√(η/η_f) − 1).",
    "Stress at a rate of shear g: (√τ + √(η·g))². Viscosity: that stress divided by g.",
)
KEYS = (
    "crowding_limit",
    "surface_crowding",
    "yield_scale",
    "fat_viscosity",
    "lecithin_as_fat",
    "water_for_fat",
    "cell_size",
)
_RENAMED = " It raises the share of cocoa, and may change the name."


@dataclass(frozen=True, slots=True)
class PourAsked:
    """What is asked: the mass, the process as far as said, and the workshop."""

    mass: KnownMass
    process: Process = field(default_factory=Process)
    context: Context = field(default_factory=Context)

    @property
    def here(self) -> Context:
        """The workshop with the process in it, and what is known of its kit; of the water, what is usual."""
        known = process_of(self.context)
        process = replace(
            self.process,
            usual_water_percent=span_of(load("usual_mass")["water"]),
            calibration=self.process.calibration or known.calibration,
            speed=self.process.speed or known.speed,
        )
        return replace(self.context, process=process)


def pour_by_hand(asked: PourAsked) -> Outcome:
    """Answer whether a mass pours of which only figures are known.

    Parameters
    ----------
    asked : PourAsked
        Kind, fat, lecithin, weight; sizes, water, temperature and use as far as they are known.

    Returns
    -------
    Outcome
        The answer of ``pour`` for a mass with these figures.

    Raises
    ------
    InputError
        If the figures cannot be true together.

    Examples
    --------
    >>> from nibsmith.science.temper import Chocolate
    >>> pour_by_hand(PourAsked(KnownMass(Chocolate.DARK, 38.0))).answer.verdict.value
    'good'
    """
    recipe = known_mass(asked.mass)
    answer = pour(recipe, asked.here)
    return Outcome(
        answer=replace(answer, remedies=tuple(_unnamed(one) for one in answer.remedies)),
        given=tuple(_given(asked, recipe)),
        formulas=FORMULAS,
        constants=constants("flow", KEYS),
    )


def curve_by_hand(asked: PourAsked) -> FlowCurve | None:
    """Return the flow curve of such a mass; none where the answer cannot tell."""
    try:
        return flow_curve(known_mass(asked.mass), asked.here)
    except NibsmithError:
        return None


def _unnamed(remedy: Remedy) -> Remedy:
    """Leave out what a remedy does to the share of cocoa, which only a recipe can say."""
    first, more, _ = remedy.sentence.partition(" Cocoa goes from ")
    return replace(remedy, sentence=f"{first}{_RENAMED}") if more else remedy


def _given(asked: PourAsked, recipe: Recipe) -> Iterator[Given]:
    process, mass = process_of(asked.here), asked.mass
    yield given("Kind", mass.chocolate.value, "", said=True)
    yield given("Fat", mass.fat_percent, "%", said=True)
    if mass.lecithin_percent:
        yield given("Lecithin", mass.lecithin_percent, "%", said=True)
    if asked.context.kit is not None:  # chosen here, or the usual one of the workshop: its readings count
        yield given("Kit", asked.context.kit.name, "", said=True)
    sizes = sizes_of(recipe, asked.here)
    yield Given("Largest grains of cocoa", span_words(sizes.cocoa, "µm"), _whose(process.cocoa_d90_um))
    yield Given("Largest grains of sugar", span_words(sizes.sugar, "µm"), _whose(process.sugar_d90_um))
    by_kit = None if asked.context.kit is None else asked.context.kit.end_water_percent
    water = process.end_water_percent or by_kit or process.usual_water_percent
    if water is not None:
        yield Given("Water", span_words(water, "%"), _whose(process.end_water_percent))
    use = use_of(recipe, asked.here)
    yield given("Use", use.value.replace("_", " "), "", said=process.use is not None)
    if process.temperature_celsius is not None:
        yield Given("Poured at", span_words(process.temperature_celsius, "°C"))


def span_words(span: Span, unit: str) -> str:
    """Write a range with its unit.

    Examples
    --------
    >>> span_words(Span(15.0, 21.2, 30.0), "µm").replace(NO_BREAK, " ")
    '15–30 µm'
    """
    text = f"{span.low:g}" if span.low == span.high else f"{span.low:g}{RANGE}{span.high:g}"
    return f"{text}{NO_BREAK}{unit}"


def _whose(said: Span | None) -> str:
    return USUAL if said is None else YOURS
