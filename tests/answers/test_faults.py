"""What went wrong: guided from sights to causes."""

from __future__ import annotations

import pytest

from nibsmith.answers.answer import Verdict
from nibsmith.answers.faults import fault_questions, faults, next_questions
from nibsmith.science.errors import InputError
from nibsmith.science.temper import sights


@pytest.mark.parametrize("key", list(sights()))
def test_every_sight_has_an_answer_with_what_to_do_now_and_next_time(key: str) -> None:
    answer = faults({key})

    assert answer.verdict is Verdict.WATCH
    assert [remedy.sentence.split(":")[0] for remedy in answer.remedies] == ["Now", "Next time"]
    assert answer.sources


def test_what_speaks_for_and_against_is_told() -> None:
    answer = faults({"streaks", "soft", "warm_worked", "quick"})

    words = " ".join(answer.reasons)
    assert "For it speaks: streaks or grey marks within a day; soft" in words
    assert answer.sentence.startswith("Under-tempered")
    assert "Against it speaks: a smear sets within a minute or two." in words


def test_nothing_told_is_unknown() -> None:
    answer = faults(())

    assert answer.verdict is Verdict.UNKNOWN
    assert "Tell what you see" in answer.sentence


def test_an_unknown_sight_is_refused() -> None:
    with pytest.raises(InputError):
        faults({"sparkles"})


def test_every_sight_is_offered_once() -> None:
    offered = [sight.key for _, group in fault_questions() for sight in group]

    assert sorted(offered) == sorted(sights())


def test_following_the_questions_settles_on_one_cause() -> None:
    told = {"dull"}
    for _ in range(3):
        told.add(next_questions(told)[0].key)

    first, second = faults(told), faults({"dull"})
    assert len(first.reasons) >= 1
    assert first.sentence == second.sentence
    assert not {sight.key for sight in next_questions(told)} & told


def test_nothing_to_ask_where_nothing_is_told() -> None:
    assert next_questions(()) == ()
