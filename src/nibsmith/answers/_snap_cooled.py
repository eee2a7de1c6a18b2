"""The full form of ``snap``: what the cold does, where a maker says how the moulds are cooled."""

from __future__ import annotations

from dataclasses import replace

from nibsmith.answers.answer import Answer, Verdict
from nibsmith.answers.context import Context
from nibsmith.science.mixture import Form, Recipe

_LESS_SURE = frozenset({Verdict.WATCH, Verdict.STOP})


def with_cooling(answer: Answer, recipe: Recipe, context: Context) -> Answer:
    """Return the answer with how the bar sets in its mould, if it is asked for.

    Parameters
    ----------
    answer : Answer
        What the fat of the recipe says.
    recipe : Recipe
        The recipe.
    context : Context
        Its process says how the moulds are cooled; without that nothing is added.

    Returns
    -------
    Answer
        A setting that spoils a good mass makes it a watch; a setting cannot mend a mass.
    """
    asked = context.process is not None and context.process.cooling is not None
    if not asked or answer.verdict is Verdict.STOP or recipe.form is Form.FLAKES:
        return answer
    from nibsmith.answers.demould import demould  # loads numpy, which the short form does not need

    mould = demould(recipe, context)
    spoilt = answer.verdict is Verdict.GOOD and mould.verdict in _LESS_SURE
    return replace(
        answer,
        verdict=Verdict.WATCH if spoilt else answer.verdict,
        word=mould.word if spoilt else answer.word,
        sentence=f"{answer.sentence} {mould.sentence}",
        reasons=(*answer.reasons, *mould.reasons),
        remedies=(*answer.remedies, *mould.remedies),
        sources=(*answer.sources, *mould.sources),
        details=(*answer.details, *mould.details),
    )
