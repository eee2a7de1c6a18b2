"""The wish that a mass pours: a limit on its liquid fat, and the answer asked again on what comes of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from nibsmith.answers.answer import Answer, Verdict
from nibsmith.answers.balance.result import Held
from nibsmith.answers.balance.wishes import Wishes
from nibsmith.answers.context import Context
from nibsmith.science.mixture import Limit, Recipe

# The limit is worked out again on what came of it, from the second time on a little tighter each time.
ROUNDS = 8
STEPS = 500  # of the volume; by so small a share it becomes tighter


@dataclass(frozen=True)
class Pouring:
    """What was asked of the flow: whether at all, and the workshop with the use in it."""

    context: Context
    asked: bool

    def limits(self, recipe: Recipe, turn: int = 0) -> tuple[Limit, ...]:
        """Return the limit as worked out on a recipe, tighter with every turn after the second.

        Raises
        ------
        NibsmithError
            Where the flow cannot be told.
        """
        if not self.asked:
            return ()
        from nibsmith.answers.pour import pour_limit

        limit = pour_limit(recipe, self.context)
        return (replace(limit, low=min(1.0, (limit.low or 0.0) + max(0, turn - 1) / STEPS)),)

    def tightens(self, turn: int) -> bool:
        """Whether a turn asks for more than the limit as worked out."""
        return turn > 1

    def answer(self, recipe: Recipe) -> Answer | None:
        """Ask whether it pours; ``None`` where that was not asked."""
        if not self.asked:
            return None
        from nibsmith.answers.pour import pour

        return pour(recipe, self.context)

    def held(self, answer: Answer | None, recipe: Recipe) -> tuple[Held, ...]:
        """Return the wish among what holds, by the answer on the amounts that are weighed.

        What cannot be told is neither kept nor missed; the answer itself says why.
        """
        if answer is None or answer.verdict is Verdict.UNKNOWN:
            return ()
        from nibsmith.answers._pour_words import USE_WORDS
        from nibsmith.answers.process import use_of

        words = f"thin enough {USE_WORDS[use_of(recipe, self.context)]}"
        return (Held(words, "estimated again on these amounts", answer.verdict is Verdict.GOOD),)


def pouring_of(wishes: Wishes, context: Context) -> Pouring:
    """Return what was asked of the flow, with the use that was named."""
    if wishes.pours_for is None:
        return Pouring(context, wishes.pours)
    from nibsmith.answers.process import process_of

    return Pouring(replace(context, process=replace(process_of(context), use=wishes.pours_for)), asked=True)
