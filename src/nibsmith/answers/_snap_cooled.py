"""The full form of ``snap``: what the cold does, where a maker says how the moulds are cooled."""

from __future__ import annotations

from dataclasses import replace

from nibsmith.answers.answer import Answer, Verdict
from nibsmith.answers.context import Context
from nibsmith.answers.wording import small
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
        A setting that spoils a good mass makes it a watch; a setting cannot mend a mass. Of a drinking
        tablet, which may be left untempered, it says that the time is that of a tempered one; that it comes
        off dull is no fault of it.
    """
    asked = context.process is not None and context.process.cooling is not None
    if not asked or answer.verdict is Verdict.STOP or recipe.form is Form.FLAKES:
        return answer
    from nibsmith.answers import demould as off  # loads numpy, which the short form does not need

    mould = off.demould(recipe, context)
    no_fault = recipe.form is Form.DRINKING and mould.word in (off.ON_PURPOSE, off.DULL, off.PERHAPS_DULL)
    spoilt = answer.verdict is Verdict.GOOD and mould.verdict in _LESS_SURE and not no_fault
    return replace(
        answer,
        verdict=Verdict.WATCH if spoilt else answer.verdict,
        word=mould.word if spoilt else answer.word,
        sentence=f"{answer.sentence} {_told(mould, recipe, context)}",
        reasons=(*answer.reasons, *mould.reasons),
        remedies=(*answer.remedies, *mould.remedies),
        sources=(*answer.sources, *mould.sources),
        details=(*answer.details, *mould.details),
    )


def _told(mould: Answer, recipe: Recipe, context: Context) -> str:
    """What the mould says, with the temper it is for where the tablet need not be tempered."""
    cooling = None if context.process is None else context.process.cooling
    for_tempered = cooling is not None and cooling.tempered and mould.verdict is not Verdict.UNKNOWN
    if recipe.form is not Form.DRINKING or not for_tempered:
        return mould.sentence
    return f"Tempered, {small(mould.sentence)}"
