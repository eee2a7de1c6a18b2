"""How warm a fold-in has to be, with its working out."""

from __future__ import annotations

from dataclasses import replace

from nibsmith.answers.fold_in import FoldInAsked, fold_in
from nibsmith.answers.tools.outcome import Outcome, constants, given

FORMULAS = (
    "T = (Σ m·c·T) / (Σ m·c) over mass and fold-in, without losses and without freezing heat.",
    "c of a fold-in: those of its protein, fat, carbohydrate, fibre, ash and water, by their shares.",
)


def fold_in_by_hand(asked: FoldInAsked) -> Outcome:
    """Answer what a fold-in does to a tempered mass.

    Parameters
    ----------
    asked : FoldInAsked
        Mass, fold-in, temperatures.

    Returns
    -------
    Outcome
        The answer of ``fold_in``, other places to take it from in front.

    Raises
    ------
    InputError
        For weights that cannot be.

    Examples
    --------
    >>> from nibsmith.science.mixture import ingredient
    >>> asked = FoldInAsked(1760.0, 240.0, ingredient("hazelnut_dry_roasted"))
    >>> fold_in_by_hand(asked).answer.verdict.value
    'watch'
    """
    answer = fold_in(asked)
    rows = (
        given("Mass", asked.mass_g, "g", said=True),
        given("It is at", asked.at_celsius, "°C", said=asked.mass_celsius is not None),
        given(asked.ingredient.name, asked.amount_g, "g", said=True),
        given("They are at", asked.from_celsius, "°C", said=asked.celsius is not None),
    )
    shown = (
        *constants("heat_capacity", ("chocolate", "analysis_factor")),
        *constants("temper", ("fold_in_within", "thermometer", "room_swing")),
    )
    return Outcome(replace(answer, details=()), rows, FORMULAS, shown, answer.details)
