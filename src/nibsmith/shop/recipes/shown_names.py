"""Every name of the chosen markets as the page shows it: allowed or not, what lacks, what would earn it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from nibsmith.answers.answer import Remedy
from nibsmith.answers.call_it import Earned, names_earned
from nibsmith.answers.call_it.remedies import THEN
from nibsmith.answers.wording import capital, ended, joined
from nibsmith.science.legal import Allowed, NameVerdict, jurisdictions, reservation
from nibsmith.science.legal.gate import FORM
from nibsmith.shop.common.said import said, unbroken
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.recipes.opening import Opened
from nibsmith.shop.recipes.shown_answers import ShownRemedy, button_of

ALLOWED = {
    Allowed.YES: ("good", "Allowed."),
    Allowed.DEPENDS: ("watch", "It depends."),
    Allowed.UNKNOWN: ("unknown", "Not known."),
    Allowed.NO: ("stop", "Not allowed."),
}

NOT_BY_AMOUNTS = "Amounts alone do not change that."


@dataclass(frozen=True, slots=True)
class ShownName:
    """One name: its verdict, why, and the nearest change as a button or why there is none."""

    name: str
    verdict: str
    word: str
    whys: tuple[str, ...]
    button: ShownRemedy | None
    why_not: str


@dataclass(frozen=True, slots=True)
class ShownMarket:
    """The names of one place, those that are allowed first; and those that belong to another form."""

    place: str
    names: tuple[ShownName, ...]
    of_other_forms: str


@dataclass(frozen=True, slots=True)
class ShownNames:
    """The names of the chosen markets, and who decides."""

    markets: tuple[ShownMarket, ...]
    reservation: str


def show_names(opened: Opened, settings: WorkshopSettings) -> ShownNames:
    """Show every name of the chosen markets."""
    found: dict[str, list[tuple[NameVerdict, Earned]]] = {market: [] for market in opened.context.markets}
    for verdict, earned in names_earned(opened.recipe, opened.context):
        if verdict.jurisdiction in found:
            found[verdict.jurisdiction].append((verdict, earned))
    markets = (_market(jurisdictions()[key], names, settings) for key, names in found.items())
    return ShownNames(tuple(markets), reservation())


def _market(
    place: str, names: Sequence[tuple[NameVerdict, Earned]], settings: WorkshopSettings
) -> ShownMarket:
    others = [verdict.name for verdict, _ in names if _is_form(verdict)]
    shown = sorted((each for each in names if not _is_form(each[0])), key=_rank)
    return ShownMarket(place, tuple(_name(*each, settings) for each in shown), joined(others))


def _rank(of: tuple[NameVerdict, Earned]) -> tuple[bool, int]:
    return not of[0].best, tuple(ALLOWED).index(of[0].allowed)


def _is_form(of: NameVerdict) -> bool:
    return any(lack.figure == FORM for lack in of.lacking)


def name_remedies(opened: Opened) -> Iterator[Remedy]:
    """Give the changes that the page of names offers."""
    for verdict, earned in names_earned(opened.recipe, opened.context):
        if verdict.jurisdiction in opened.context.markets and earned.remedy is not None:
            yield earned.remedy


def _button(of: Remedy, settings: WorkshopSettings) -> ShownRemedy:
    """Return a change as a button; under its name it need not say what it earns."""
    button = button_of(of, settings)
    return replace(button, does=button.does.split(THEN)[0])


def _name(verdict: NameVerdict, earned: Earned, settings: WorkshopSettings) -> ShownName:
    kind, word = ALLOWED[verdict.allowed]
    whys = [why for why in (*(lack.sentence for lack in verdict.lacking), verdict.depends_on) if why]
    said_already = any(capital(why) in earned.why_not for why in whys)
    return ShownName(
        name=verdict.name,
        verdict=kind,
        word=word,
        whys=tuple(said(unbroken(ended(capital(why))), settings) for why in whys),
        button=None if earned.remedy is None else _button(earned.remedy, settings),
        why_not=NOT_BY_AMOUNTS if said_already else said(unbroken(earned.why_not), settings),
    )
