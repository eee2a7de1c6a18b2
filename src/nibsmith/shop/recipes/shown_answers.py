"""Answers as the page shows them: figures in words, sources with their status, remedies as buttons."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from nibsmith.answers.answer import Answer, Remedy, Verdict
from nibsmith.answers.ask import ESTIMATED, ORDER
from nibsmith.answers.wording import step_of_unit
from nibsmith.science.money import currencies
from nibsmith.science.quantities import Temperature
from nibsmith.shop.common.figures import rounded
from nibsmith.shop.common.said import said, said_in, unbroken, unbroken_in, with_ounces
from nibsmith.shop.common.sources.words import cited
from nibsmith.shop.common.workshop.selectors import WorkshopSettings

VERDICT_WORDS = {
    Verdict.GOOD: "good",
    Verdict.WATCH: "to watch",
    Verdict.STOP: "stop",
    Verdict.DECLARE: "to declare",
    Verdict.UNKNOWN: "cannot tell yet",
}
# Here the sentence is the answer, and a figure above it would only repeat it.
SENTENCE_SAYS_IT = frozenset({"weigh_out", "call_it", "smooth", "keep", "roasted"})
# What a figure is, where unit and basis alone do not say it.
FIGURES = {"snap": "fat, of the mass in the machine"}
PER = {"bar": "a bar", "kg": "a kilogram"}
OPEN_CAUTIONS = 3
HARMS = "who_must_not"  # what it says to mind can hurt the eater, so it stands before what others say
SIGNIFICANT = 3  # digits of an estimate; more would claim what nobody can know
FINEST = -2  # decimals of an estimate at most
CENT = Decimal("0.01")
_CURRENCY_LETTERS = 3


@dataclass(frozen=True, slots=True)
class ShownRemedy:
    """A remedy as a button: what it does on it, what comes of it beside it."""

    sentence: str
    does: str
    comes_of_it: str


@dataclass(frozen=True, slots=True)
class ShownAnswer:
    """One answer with its texts ready; ``figure`` is empty where the sentence says it all."""

    answer: Answer
    verdict: str
    verdict_words: str
    word: str
    figure: str
    unit: str
    of: str
    range: str
    buttons: tuple[ShownRemedy, ...]
    hints: tuple[str, ...]
    sources: tuple[tuple[str, str], ...]

    @property
    def opens(self) -> bool:
        """Whether there is more to read than the sentence."""
        return bool(self.answer.reasons or self.answer.details or self.sources)


@dataclass(frozen=True, slots=True)
class Place:
    """Where an answer stands; without one it is still being worked out."""

    question: str
    title: str
    answer: ShownAnswer | None


@dataclass(frozen=True, slots=True)
class ShownAnswers:
    """All answers in their order, and what all of them say to mind, each once.

    ``places`` are the answers and, where some are still being worked out, their question and title.
    """

    all: tuple[ShownAnswer, ...]
    cautions: tuple[str, ...]
    places: tuple[Place, ...] = ()

    @property
    def first_cautions(self) -> tuple[str, ...]:
        """Those that stand open; the others open with them."""
        return self.cautions[:OPEN_CAUTIONS]

    @property
    def more_cautions(self) -> tuple[str, ...]:
        return self.cautions[OPEN_CAUTIONS:]

    @property
    def waits(self) -> bool:
        """Whether some answers are still being worked out."""
        return any(place.answer is None for place in self.places)

    @property
    def in_short(self) -> str:
        """Say in one line how the answers came out, for those who do not see them change."""
        counts = Counter(shown.verdict_words for shown in self.all)
        return "Answered: " + ", ".join(f"{count} {words}" for words, count in counts.items()) + "."


def show_answers(answers: Sequence[Answer], settings: WorkshopSettings) -> ShownAnswers:
    """Show answers in their order; an estimate that is not among them is still being worked out."""
    shown = tuple(_shown(answer, settings) for answer in answers)
    by_harm = sorted(answers, key=lambda answer: answer.question != HARMS)
    cautions = dict.fromkeys(caution for answer in by_harm for caution in answer.cautions)
    found = {one.answer.question: one for one in shown}
    asked = [question for question in ORDER if question in found or question in ESTIMATED]
    places = (Place(key, ESTIMATED.get(key, ""), found.get(key)) for key in asked)
    minded = tuple(unbroken(caution) for caution in cautions)
    return ShownAnswers(shown, said_in(minded, settings), tuple(places))


def _shown(found: Answer, settings: WorkshopSettings) -> ShownAnswer:
    answer = _in_scale(found, settings)
    told = said_in(unbroken_in(answer), settings)
    shows = answer.question not in SENTENCE_SAYS_IT
    figure, likely = _figure(answer, settings) if shows else ("", "")
    return ShownAnswer(
        answer=told,
        verdict=answer.verdict.value,
        verdict_words=VERDICT_WORDS[answer.verdict],
        word="" if figure and is_money(answer.unit) else told.word,
        figure=figure,
        unit=_unit(answer.unit),
        of=_of(told),
        range=likely,
        buttons=tuple(button_of(remedy, settings) for remedy in answer.remedies if remedy.changes),
        hints=tuple(
            said(unbroken(remedy.sentence), settings) for remedy in answer.remedies if not remedy.changes
        ),
        sources=cited(answer.sources),
    )


def _in_scale(answer: Answer, settings: WorkshopSettings) -> Answer:
    """Return an answer whose figure is a temperature on the first scale of the workshop."""
    if answer.unit != "°C" or settings.temperature_unit == "C":
        return answer

    def warm(celsius: float | None) -> float | None:
        exact = None if celsius is None else Temperature(Decimal(repr(celsius)), "C")
        return None if exact is None else float(exact.fahrenheit)

    return replace(
        answer, figure=warm(answer.figure), low=warm(answer.low), high=warm(answer.high), unit="°F"
    )


def _unit(unit: str) -> str:
    """Write a price as a person says it: EUR a bar."""
    money, _, of = unit.partition("/")
    return f"{money} {PER.get(of, of)}" if is_money(unit) and of else unit


def _of(answer: Answer) -> str:
    if is_money(answer.unit):
        return ""
    return FIGURES.get(answer.question, unbroken(f"of {answer.basis}") if answer.basis else "")


def button_of(remedy: Remedy, settings: WorkshopSettings) -> ShownRemedy:
    """Return a remedy as a button."""
    does, _, comes_of_it = remedy.sentence.partition(". ")
    button = said(with_ounces(does.rstrip("."), settings), settings)
    return ShownRemedy(remedy.sentence, button, said(comes_of_it, settings))


def _figure(answer: Answer, settings: WorkshopSettings) -> tuple[str, str]:
    """Return the large figure and the range beside it; where only the ends are known, they are the figure."""
    if answer.figure is None:
        return _range(answer, settings), ""
    return figure_text(answer.figure, answer.unit, settings), _range(answer, settings)


def _range(answer: Answer, settings: WorkshopSettings) -> str:
    if answer.low is None or answer.high is None or answer.low == answer.high:
        return ""
    low, high = (figure_text(value, answer.unit, settings) for value in (answer.low, answer.high))
    return "" if low == high else f"{low} to {high}"


def figure_text(value: float, unit: str, settings: WorkshopSettings) -> str:
    """Write an estimate as its unit is always said, else to three digits; money to its smallest coin."""
    if is_money(unit):
        coin = currencies().get(unit[:_CURRENCY_LETTERS])
        return rounded(value, CENT if coin is None else coin.smallest, settings.decimal_sign)
    return rounded(value, step_of_unit(unit) or step_of(value), settings.decimal_sign)


def is_money(unit: str) -> bool:
    """Whether a unit is an amount of money, such as EUR or EUR a bar."""
    code = unit[:_CURRENCY_LETTERS]
    return len(code) == _CURRENCY_LETTERS and code.isalpha() and code.isupper()


def step_of(value: float) -> Decimal:
    """Return the step of the third digit of a number, between one and a hundredth.

    >>> [str(step_of(value)) for value in (5.13, 34.2, 940.0, 0.031)]
    ['0.01', '0.1', '1', '0.01']
    """
    if not value:
        return Decimal(1)
    digits = math.floor(math.log10(abs(value))) - SIGNIFICANT + 1
    return Decimal(1).scaleb(min(0, max(FINEST, digits)))
