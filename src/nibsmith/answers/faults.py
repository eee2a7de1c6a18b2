"""What went wrong: from what is seen on mass or bars to what it may come from and what to do."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from nibsmith.answers.answer import Answer, Citation, Detail, Remedy, Verdict
from nibsmith.answers.wording import joined
from nibsmith.science.temper import Sight, Suspicion, sights, suspects

QUESTION, TITLE = "faults", "What went wrong?"
_WHENS = {"bars": "On the bars", "mass": "In the bowl", "known": "What is known"}
_SHOWN = 3


def faults(told: Collection[str]) -> Answer:
    """Answer what may be behind a fault.

    Parameters
    ----------
    told : collection of str
        Keys of what is seen or known, as ``fault_questions`` offers them.

    Returns
    -------
    Answer
        The likeliest cause in the sentence, the others as reasons; the remedies are what to do now and next
        time. Unknown where nothing fits.

    Raises
    ------
    InputError
        For a key that is in no table.

    Examples
    --------
    >>> faults({"streaks", "soft"}).sentence
    'Under-tempered: too few crystals of form V, or none left.'
    """
    found = suspects(told)
    if not found:
        words = (
            "Nothing in the table fits these together." if told else "Tell what you see, one thing at least."
        )
        return Answer(QUESTION, TITLE, Verdict.UNKNOWN, "Cannot tell.", words)
    first = found[0]
    return Answer(
        question=QUESTION,
        title=TITLE,
        verdict=Verdict.WATCH,
        word="Likeliest.",
        sentence=f"{first.cause.words}.",
        reasons=tuple(_reasons(found)),
        remedies=(
            Remedy(f"Now: {first.cause.now}"),
            Remedy(f"Next time: {first.cause.next_time}"),
        ),
        sources=tuple(
            Citation(one.cause.source, one.cause.words, one.cause.status) for one in found[:_SHOWN]
        ),
        details=tuple(_detail(one) for one in found[1:_SHOWN]),
    )


def fault_questions() -> tuple[tuple[str, tuple[Sight, ...]], ...]:
    """Return what can be told, in groups with a heading.

    Returns
    -------
    tuple of (str, tuple of Sight)
        On the bars, in the bowl, what is known.

    Examples
    --------
    >>> [heading for heading, _ in fault_questions()]
    ['On the bars', 'In the bowl', 'What is known']
    """
    every = sights().values()
    return tuple(
        (heading, tuple(sight for sight in every if sight.when == when)) for when, heading in _WHENS.items()
    )


def next_questions(told: Collection[str]) -> tuple[Sight, ...]:
    """Return what to look at next: sights that would tell the likeliest causes apart.

    Parameters
    ----------
    told : collection of str
        Keys of what is told already.

    Returns
    -------
    tuple of Sight
        Those that speak for the first cause and not for the second, and the other way round.

    Examples
    --------
    >>> [sight.key for sight in next_questions({"dull"})][:2]
    ['streaks', 'soft']
    """
    found = suspects(told)
    if not found:
        return ()
    asked = [set(one.cause.speaks_for) for one in found[:2]]
    telling = asked[0] if len(asked) == 1 else asked[0] ^ asked[1]
    return tuple(sight for key, sight in sights().items() if key in telling and key not in told)


def _reasons(found: tuple[Suspicion, ...]) -> Iterator[str]:
    first = found[0]
    yield f"For it speaks: {_told(first.told_for)}."
    if first.told_against:
        yield f"Against it speaks: {_told(first.told_against)}."
    if first.look_for:
        yield f"It would be surer if this were so too: {_told(first.look_for)}."
    others = [one.cause.words[0].lower() + one.cause.words[1:] for one in found[1:_SHOWN]]
    if others:
        yield f"It may also be: {joined(others, 'or')}."


def _detail(one: Suspicion) -> Detail:
    rows = (
        ("Speaks for it", _told(one.told_for)),
        ("Now", one.cause.now),
        ("Next time", one.cause.next_time),
    )
    return Detail(one.cause.words, ("", ""), rows)


def _told(seen: tuple[Sight, ...]) -> str:
    return "; ".join(one.words[0].lower() + one.words[1:] for one in seen)
