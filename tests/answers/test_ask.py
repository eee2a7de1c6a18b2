"""All questions together are those of the parts, in one order."""

from __future__ import annotations

from nibsmith.answers.ask import ESTIMATED, ORDER, ask_all, ask_at_once, ask_estimates
from nibsmith.answers.context import Context
from nibsmith.science.kit import Mould, kit
from nibsmith.science.mixture import Form, Recipe, part

BAR = Recipe("bar", Form.BAR, (part("cocoa_nibs_roasted", 600.0), part("sugar_granulated", 400.0)))
HERE = Context(kit=kit("stone"), mould=Mould("Bar", 70.0), bars=12)


def test_every_question_is_asked_once_and_in_order() -> None:
    assert tuple(answer.question for answer in ask_all(BAR, HERE)) == ORDER


def test_what_is_asked_at_once_and_later_is_everything() -> None:
    at_once, later = ask_at_once(BAR, HERE), ask_estimates(BAR, HERE)
    assert {answer.question for answer in later} == set(ESTIMATED)
    assert sorted((*at_once, *later), key=lambda answer: ORDER.index(answer.question)) == list(
        ask_all(BAR, HERE)
    )


def test_the_titles_of_what_is_awaited_are_those_that_come() -> None:
    assert {answer.question: answer.title for answer in ask_estimates(BAR, HERE)} == ESTIMATED
