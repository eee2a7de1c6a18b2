"""A balance as the page asks for it: typed limits, what they come to, and the draft that keeps them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from django.http import QueryDict

from nibsmith.answers.balance import Balanced, Wishes, balance, wishes_from
from nibsmith.science.errors import InputError, NibsmithError
from nibsmith.science.legal import classes, jurisdictions
from nibsmith.science.mixture import PROPERTIES
from nibsmith.science.quantities import parse_number, parse_percent
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.recipes.changes import from_masses
from nibsmith.shop.recipes.drafts import Draft, Row
from nibsmith.shop.recipes.editing import row_for
from nibsmith.shop.recipes.naming import Names, WhichOne
from nibsmith.shop.recipes.opening import Opened, parts_of
from nibsmith.shop.recipes.picks import picked
from nibsmith.shop.recipes.typed import HIGHEST_PRICE

LIMITED = ("total_fat", "cocoa_as_weighed", "dry_cocoa_solids", "milk_solids", "sugars")
ENDS = ("min", "max")
CHEAPEST, LEAST_CHANGE = "cheapest", "least_change"


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked for: every text as typed, the wishes they make, and what is wrong by field."""

    texts: Mapping[str, str]
    called: str
    locked: tuple[str, ...]
    offered: str
    objective: str
    chosen: Mapping[str, str] = field(default_factory=dict)
    new: Row | None = None
    wishes: Wishes | None = None
    errors: Mapping[str, str] = field(default_factory=dict)
    questions: tuple[WhichOne, ...] = ()

    @property
    def is_empty(self) -> bool:
        return not (any(self.texts.values()) or self.called or self.objective == CHEAPEST)


def read_asked(data: QueryDict, opened: Opened, settings: WorkshopSettings) -> Asked:
    """Read the form of a balance."""
    names = [f"{key}_{end}" for key in LIMITED for end in ENDS] + ["cost_max"]
    asked = Asked(
        texts={name: data.get(name, "").strip() for name in names},
        called=data.get("called", ""),
        locked=tuple(label for label in data.getlist("lock") if label in opened.parts),
        offered=data.get("offer", "").strip(),
        objective=CHEAPEST if data.get("objective") == CHEAPEST else LEAST_CHANGE,
        chosen=picked(data),
    )
    return asked if asked.is_empty else _with_wishes(asked, opened, settings)


def _with_wishes(asked: Asked, opened: Opened, settings: WorkshopSettings) -> Asked:
    errors: dict[str, str] = {}
    questions: list[WhichOne] = []
    table: dict[str, Any] = {"lock": list(asked.locked), "objective": asked.objective}
    for key in LIMITED:
        ends = _ends(asked, key, settings, errors)
        if ends:
            table[f"{key}_percent"] = ends
    cost = _number(asked, "cost_max", settings, errors)
    if cost is not None:
        table["cost_per_kg"] = {"max": cost}
    if asked.called:
        table["called"] = [asked.called]
    new = _offered(asked, opened, errors, questions) if asked.offered else None
    wishes = None if errors else _wishes(table, errors)
    if wishes is not None and new is not None:
        wishes = replace(wishes, offer=tuple(parts_of([new]).values()))
    return replace(asked, new=new, wishes=wishes, errors=errors, questions=tuple(questions))


def _ends(asked: Asked, key: str, settings: WorkshopSettings, errors: dict[str, str]) -> dict[str, Decimal]:
    found = {end: _percent(asked, f"{key}_{end}", settings, errors) for end in ENDS}
    return {end: number for end, number in found.items() if number is not None}


def _percent(asked: Asked, name: str, settings: WorkshopSettings, errors: dict[str, str]) -> Decimal | None:
    if not asked.texts[name]:
        return None
    try:
        return parse_percent(asked.texts[name], decimal_sign=settings.decimal_sign, bare=True)
    except NibsmithError as error:
        errors[name] = str(error)
        return None


def _number(asked: Asked, name: str, settings: WorkshopSettings, errors: dict[str, str]) -> Decimal | None:
    if not asked.texts[name]:
        return None
    try:
        return parse_number(asked.texts[name], decimal_sign=settings.decimal_sign, most=HIGHEST_PRICE)
    except NibsmithError as error:
        errors[name] = str(error)
        return None


def _offered(asked: Asked, opened: Opened, errors: dict[str, str], questions: list[WhichOne]) -> Row | None:
    """Return the row of what may come in, with what the maker knows of it."""
    words = asked.offered
    try:
        named = Names(with_recipes=False).find(words, asked.chosen.get(words, ""))
    except WhichOne as question:
        errors["offer"] = f"{question.what} Choose one below."
        questions.append(question)
        return None
    except NibsmithError as error:
        errors["offer"] = str(error)
        return None
    return row_for(named, opened.parts)


def _wishes(table: Mapping[str, Any], errors: dict[str, str]) -> Wishes | None:
    try:
        return wishes_from(table)
    except InputError as error:
        name = (error.field or "").removeprefix("limits.").partition(".")[0]
        key = name.removesuffix("_percent")
        errors[f"{key}_min" if key in LIMITED else "called"] = str(error)
        return None


def balanced(asked: Asked, opened: Opened) -> Balanced | None:
    """Balance a recipe to what is asked of it; none where nothing can be asked yet."""
    return None if asked.wishes is None else balance(opened.recipe, asked.wishes, opened.context)


def draft_by(found: Balanced, opened: Opened, asked: Asked) -> Draft:
    """Return the draft of a balance: in weights the scale can show, where these keep the limits."""
    if found.recipe is None:
        raise InputError("No recipe keeps these limits", advice="Let one of them give.")
    masses = found.weigh_g
    new = () if asked.new is None or asked.new.label not in masses else (asked.new,)
    return from_masses(opened, masses, new)


def name_choices(settings: WorkshopSettings) -> list[tuple[str, list[tuple[str, str]]]]:
    """List the reserved names of the chosen markets, for a balance to aim at."""
    return [
        (
            jurisdictions()[market],
            [(f"{market}:{key}", thing.name) for key, thing in classes(market).items()],
        )
        for market in settings.markets
    ]


def words_of(key: str) -> str:
    """Return the words of a property that can be limited."""
    return PROPERTIES[key].words
