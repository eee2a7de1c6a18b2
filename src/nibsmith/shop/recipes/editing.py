"""An edit of the recipe page from its typed texts to a draft that holds, or to refusals by field."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from nibsmith.science.errors import NibsmithError
from nibsmith.science.quantities import parse_percent
from nibsmith.shop.common.history.meanwhile import ChangedMeanwhile
from nibsmith.shop.common.workshop.selectors import WorkshopSettings, context
from nibsmith.shop.kit.selectors import (
    KitChoice,
    MouldChoice,
    kit_choices,
    kit_name,
    moulds,
    science_mould,
)
from nibsmith.shop.recipes import changes, services
from nibsmith.shop.recipes.drafts import Amount, Draft, Row, draft_of, label_for
from nibsmith.shop.recipes.models import Mode, RecipeVersion, Way
from nibsmith.shop.recipes.naming import RECIPE, Named, Names, WhichOne, newest_version
from nibsmith.shop.recipes.nesting import take_newest
from nibsmith.shop.recipes.opening import Opened, open_draft, open_version
from nibsmith.shop.recipes.totals import ratio_named
from nibsmith.shop.recipes.typed import FIELDS, Typed, attempt, errors_of
from nibsmith.shop.recipes.windows import Window, named
from nibsmith.shop.stock.selectors import is_own

_BUTTONS = {**changes.BUTTONS, "newest": take_newest}
MEANT = frozenset(
    {"answer", "sheet", "add", "ratio"}
)  # buttons that take a part or a ratio that stands typed


class Refused(Exception):
    """Typed texts that make no recipe: what is wrong by field, and a question where a name is not clear.

    ``stale`` says that the page does not show the recipe as it stands.
    """

    def __init__(
        self, errors: Mapping[str, str], which: WhichOne | None = None, *, stale: bool = False
    ) -> None:
        super().__init__("; ".join(errors.values()))
        self.errors = errors
        self.which = which
        self.stale = stale


def edited(version: RecipeVersion, typed: Typed, settings: WorkshopSettings) -> Opened:
    """Return the opened draft that an edit and its button make; refuse what does not hold."""
    stored = draft_of(version)
    tried = attempt(typed, stored, settings, lambda label, mode: _counted(version, label, mode))
    if tried.errors:
        raise Refused(tried.errors)
    draft = tried.draft if tried.draft == stored else tried.draft.as_of_today
    try:
        opened = open_draft(_settled(draft, stored, version))
    except NibsmithError as error:
        raise Refused(errors_of(error, tried)) from error
    return _pressed(opened, typed, settings)


def save(version: RecipeVersion, typed: Typed, settings: WorkshopSettings) -> tuple[RecipeVersion, Opened]:
    """Store an edit; return the version it made with what was opened of it."""
    opened = edited(version, typed, settings)
    window = Window(named(typed.page), typed.seen)
    try:
        return services.edit(version, opened, window=window), opened
    except ChangedMeanwhile as error:
        raise Refused({"sum": str(error)}, stale=True) from error
    except NibsmithError as error:
        raise Refused({FIELDS.get(error.field or "", "sum"): str(error)}) from error


def sized(version: RecipeVersion, have: str) -> Opened:
    """Return a version opened at the size that what is on the shelf allows."""
    draft = draft_of(version).as_of_today
    return open_draft(replace(draft, amount=replace(draft.amount, way=Way.HAVE, have=have.strip())))


def _counted(version: RecipeVersion, label: str, mode: Mode) -> Decimal:
    return changes.counted(open_version(version), label, mode)


def _settled(draft: Draft, stored: Draft, version: RecipeVersion) -> Draft:
    """Only where a stage changed can a way of counting no longer fit."""
    if [row.stage for row in draft.rows] == [row.stage for row in stored.rows]:
        return draft
    return changes.settled(draft, open_version(version))


def _pressed(opened: Opened, typed: Typed, settings: WorkshopSettings) -> Opened:
    """Do what the pressed button says; most of them also mean a part or a ratio that stands typed."""
    button, _, label = typed.do.partition(":")
    if button in _BUTTONS:
        return _tried(error_at="sum", change=lambda: _BUTTONS[button](opened, label))
    if typed.ratio.strip() and button in MEANT:
        changed = opened
        opened = _tried("ratio", lambda: changes.by_ratio(changed, ratio_named(typed.ratio, changed.recipe)))
    if button == "add" or (typed.add.strip() and button in MEANT):
        now = opened
        opened = _tried("add", lambda: changes.added(now, _new_row(now, typed, settings)))
    return opened


def _tried(error_at: str, change: Callable[[], Draft]) -> Opened:
    """Open what a change makes of a draft, with what is known today; put a refusal beside its field."""
    try:
        return open_draft(change().as_of_today)
    except WhichOne as question:
        raise Refused({"add": f"{question.what} Choose one below."}, question) from question
    except NibsmithError as error:
        raise Refused({error_at if error_at != "sum" else error.field or "sum": str(error)}) from error


def _new_row(opened: Opened, typed: Typed, settings: WorkshopSettings) -> Row:
    named = Names().find(typed.add, typed.pick)
    share = typed.add_amount.strip()
    number = parse_percent(share, decimal_sign=settings.decimal_sign, bare=True) if share else Decimal(0)
    return replace(row_for(named, opened.parts), typed=number)


def row_for(named: Named, taken: Collection[str]) -> Row:
    """Return a new row for something named, with no amount yet; a packaged ingredient keeps its key."""
    if named.ref.startswith(RECIPE):
        return Row(label=label_for(named.name, taken), sub_version=newest_version(named.ref).pk)
    label = label_for(named.name if is_own(named.ref) else named.ref, taken)
    return Row(label=label, ingredient=named.ref)


def offers(amount: Amount) -> dict[str, Any]:
    """Return the kits and moulds to choose from, which are the usual ones, and those chosen but put away."""
    usual = context()
    return {
        "kits": _with_chosen(kit_choices(), amount.kit, kit_name),
        "moulds": _with_chosen(moulds(), amount.mould, lambda ref: science_mould(ref).name),
        "usual_kit": usual.kit.name if usual.kit else "",
        "usual_mould": usual.mould.name if usual.mould else "",
    }


def _with_chosen(
    offered: Iterable[KitChoice | MouldChoice], chosen: str, name: Callable[[str], str]
) -> list[tuple[str, str]]:
    """Return refs and names; without its own line, a choice that was put away would be lost with any edit."""
    found = [(choice.ref, choice.name) for choice in offered]
    if chosen and chosen not in dict(found):
        found.append((chosen, f"{name(chosen)}, put away"))
    return found
