"""What went wrong, told by what is seen, with what to look at next."""

from __future__ import annotations

from collections.abc import Collection

from nibsmith.answers.faults import fault_questions, faults, next_questions
from nibsmith.answers.tools.outcome import Outcome, given
from nibsmith.science.temper import Sight, sights

FORMULAS = (
    "Every cause in the table lists what speaks for it and what against it.",
    "Suspected is what more is told for than against; the largest difference first, then the commonest.",
)


def faults_by_hand(told: Collection[str]) -> Outcome:
    """Answer what may be behind a fault.

    Parameters
    ----------
    told : collection of str
        Keys of what is seen or known.

    Returns
    -------
    Outcome
        The answer of ``faults``, the other causes in front.

    Raises
    ------
    InputError
        For a key that is in no table.

    Examples
    --------
    >>> faults_by_hand({"streaks", "soft"}).given[0].text
    'Streaks or grey marks within a day'
    """
    answer = faults(told)
    known = sights()
    rows = tuple(given("Seen", known[key].words, "", said=True) for key in known if key in told)
    return Outcome(answer, rows, FORMULAS)


def look_next(told: Collection[str]) -> tuple[Sight, ...]:
    """Return what to look at next, so that the likeliest causes can be told apart."""
    return next_questions(told)


def groups() -> tuple[tuple[str, tuple[Sight, ...]], ...]:
    """Return everything that can be told, in groups."""
    return fault_questions()
