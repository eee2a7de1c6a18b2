"""Heat that a log goes on to count after its course turned: asked about before it counts."""

from __future__ import annotations

from nibsmith.answers._roast_record import RoastRecord
from nibsmith.answers.roast_log import clock, question_words
from nibsmith.answers.wording import degrees
from nibsmith.science.errors import InputError
from nibsmith.science.roast import Turn, coldest, from_the_charge, turn_of
from nibsmith.science.tables import load


def open_questions(record: RoastRecord) -> tuple[str, ...]:
    """Return everything that is to be settled first, in plain words.

    Parameters
    ----------
    record : RoastRecord
        The roast.

    Returns
    -------
    tuple of str
        What is strange about a probe, and heat that goes on after the turn.

    Examples
    --------
    >>> from nibsmith.science.roast.typed import typed_roast
    >>> open_questions(RoastRecord(typed_roast("0:00 24 °C; 10:00 105; 20:00 121")))
    ()
    """
    strange = tuple(question_words(each) for each in record.roast.questions)
    asked = {question.probe for question in record.roast.questions}
    turn = None if asked & {probe.name for probe in record.in_beans} else turn_to_settle(record)
    return strange if turn is None else (*strange, turn_words(turn, record))


def turn_to_settle(record: RoastRecord) -> Turn | None:
    """Return the turn of a log after which more heat counts than may pass unasked; none where there is none.

    Nobody is asked where the time is told, or where a person stood by and wrote the readings down.
    """
    if record.out_s is not None or record.roast.by_hand or not record.in_beans:
        return None
    try:
        turn = turn_of(from_the_charge(coldest(record.counted), record.matter), record.matter)
    except InputError:
        return None
    return turn if turn.after > load("roast")["turn_heat"].value else None


def turn_words(turn: Turn, record: RoastRecord) -> str:
    """Say what goes on after the turn, and ask."""
    named = " and ".join(f"“{probe.name}”" for probe in record.in_beans)
    return (
        f"{named} came to {degrees(turn.celsius)} at {clock(round(turn.time_s))} and goes on for another "
        f"{clock(round(turn.end_s - turn.time_s))}, in which {turn.after:.1f} more tenfold reductions would "
        "be counted. A probe reads on when the beans are out: say when they came out."
    )
