"""A balance as the page asks for it: typed limits, what they come to, and the draft that keeps them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any, NamedTuple

from django.http import QueryDict

from nibsmith.answers.balance import Balanced, Wishes, balance, wishes_from
from nibsmith.answers.figure_keys import BUTTER_OF_FAT, PROPERTY_OF
from nibsmith.science.errors import InputError, NibsmithError
from nibsmith.science.legal import classes, jurisdictions
from nibsmith.science.mixture import PROPERTIES
from nibsmith.science.quantities import parse_number, parse_percent
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.recipes.changes import from_masses
from nibsmith.shop.recipes.drafts import Draft, Row
from nibsmith.shop.recipes.editing import row_for
from nibsmith.shop.recipes.figure_table import OF_FAT_WORDS
from nibsmith.shop.recipes.naming import Names, WhichOne
from nibsmith.shop.recipes.opening import Opened, parts_of
from nibsmith.shop.recipes.picks import picked
from nibsmith.shop.recipes.typed import HIGHEST_PRICE

USUAL = (
    "total_fat_percent",
    "cocoa_as_weighed_percent",
    "dry_cocoa_solids_percent",
    "milk_solids_percent",
    "sugars_percent",
)
ENDS = ("min", "max")
ANOTHER = "another"  # the field that chooses a figure beside those that have fields
CHEAPEST, LEAST_CHANGE = "cheapest", "least_change"
HIGHEST_FIGURE = Decimal(100_000)  # of what is not a percentage, in 100 g: more mg than 100 g hold


class Bound(NamedTuple):
    """One field of a limit: what it is called on the form, and whose end it is."""

    name: str
    of: str
    end: str


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked for: every text as typed, the wishes they make, and what is wrong by field."""

    texts: Mapping[str, str]
    figures: tuple[str, ...]
    called: str
    locked: tuple[str, ...]
    offered: str
    objective: str
    free_total: bool = False
    pours: bool = False
    chosen: Mapping[str, str] = field(default_factory=dict)
    new: Row | None = None
    wishes: Wishes | None = None
    errors: Mapping[str, str] = field(default_factory=dict)
    questions: tuple[WhichOne, ...] = ()

    @property
    def is_empty(self) -> bool:
        return not (any(self.texts.values()) or self.called or self.pours or self.objective == CHEAPEST)


def read_asked(data: QueryDict, opened: Opened, settings: WorkshopSettings) -> Asked:
    """Read the form of a balance."""
    figures = _figures(data)
    bounds = [*(one for key in figures for one in figure_bounds(key)), *share_bounds(opened.parts)]
    texts = {name: data.get(name, "").strip() for name in (*(one.name for one in bounds), "cost_max")}
    if data.get(ANOTHER) in figures:
        typed = {f"{data[ANOTHER]}_{end}": data.get(f"{ANOTHER}_{end}", "").strip() for end in ENDS}
        texts |= {name: text for name, text in typed.items() if text}
    lone = data.get(ANOTHER, "") not in figures and any(
        data.get(f"{ANOTHER}_{end}", "").strip() for end in ENDS
    )
    asked = Asked(
        texts=texts,
        figures=figures,
        called=data.get("called", ""),
        locked=tuple(label for label in data.getlist("lock") if label in opened.parts),
        offered=data.get("offer", "").strip(),
        objective=CHEAPEST if data.get("objective") == CHEAPEST else LEAST_CHANGE,
        free_total=data.get("total") == "free",
        pours="pours" in data,
        chosen=picked(data),
    )
    if not asked.is_empty:
        asked = _with_wishes(asked, opened, settings)
    if lone:
        asked = replace(
            asked, wishes=None, errors={**asked.errors, ANOTHER: "Choose the figure that this is about."}
        )
    return asked


def _figures(data: QueryDict) -> tuple[str, ...]:
    """Return the figures with fields of their own: the usual ones, those asked for before, and a new one."""
    more = (*data.getlist("with"), data.get(ANOTHER, ""))
    return tuple(dict.fromkeys([*USUAL, *(key for key in more if key in PROPERTY_OF)]))


def figure_bounds(key: str) -> tuple[Bound, ...]:
    """Return the fields of one figure."""
    return tuple(Bound(f"{key}_{end}", key, end) for end in ENDS)


def share_bounds(labels: Iterable[str]) -> tuple[Bound, ...]:
    """Return the fields of the shares of parts, in percent of everything weighed."""
    return tuple(Bound(f"share-{label}_{end}", label, end) for label in labels for end in ENDS)


def _with_wishes(asked: Asked, opened: Opened, settings: WorkshopSettings) -> Asked:
    errors: dict[str, str] = {}
    questions: list[WhichOne] = []
    table: dict[str, Any] = {"lock": list(asked.locked), "objective": asked.objective}
    if asked.free_total:
        table["total"] = "free"
    for key in asked.figures:
        ends = _ends(asked, figure_bounds(key), settings, errors)
        if ends:
            table[key] = ends
    by_part = {label: _ends(asked, share_bounds([label]), settings, errors) for label in opened.parts}
    if any(by_part.values()):
        table["share"] = {label: ends for label, ends in by_part.items() if ends}
    cost = _number(asked, "cost_max", settings, errors, most=HIGHEST_PRICE)
    if cost is not None:
        table["cost_per_kg"] = {"max": cost}
    if asked.called:
        table["called"] = [asked.called]
    if asked.pours:
        table["pours"] = True
    new = _offered(asked, opened, errors, questions) if asked.offered else None
    wishes = None if errors else _wishes(table, errors)
    if wishes is not None and new is not None:
        wishes = replace(wishes, offer=tuple(parts_of([new]).values()))
    return replace(asked, new=new, wishes=wishes, errors=errors, questions=tuple(questions))


def _ends(
    asked: Asked, bounds: Iterable[Bound], settings: WorkshopSettings, errors: dict[str, str]
) -> dict[str, Decimal]:
    found = {
        bound.end: _number(
            asked, bound.name, settings, errors, most=None if is_percent(bound.of) else HIGHEST_FIGURE
        )
        for bound in bounds
    }
    return {end: number for end, number in found.items() if number is not None}


def is_percent(key: str) -> bool:
    """Whether a figure, or the share of a part, is typed in percent."""
    return key not in PROPERTY_OF or key.endswith("_percent")


def _number(
    asked: Asked,
    name: str,
    settings: WorkshopSettings,
    errors: dict[str, str],
    *,
    most: Decimal | None = None,
) -> Decimal | None:
    """Read a figure up to a most; without one it is a percentage."""
    text, sign = asked.texts[name], settings.decimal_sign
    if not text:
        return None
    try:
        if most is None:
            return parse_percent(text, decimal_sign=sign, bare=True)
        return parse_number(text, decimal_sign=sign, most=most)
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
        key, _, part = (error.field or "").removeprefix("limits.").partition(".")
        name = f"share-{part}_min" if key == "share" else f"{key}_min" if key in PROPERTY_OF else "called"
        errors[name] = str(error)
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
    """Return the words of a figure that can be limited."""
    return OF_FAT_WORDS if PROPERTY_OF[key] == BUTTER_OF_FAT else PROPERTIES[PROPERTY_OF[key]].words


def unit_of(key: str) -> str:
    """Return the unit a figure is typed in."""
    return "%" if is_percent(key) else f"{PROPERTIES[PROPERTY_OF[key]].unit} in 100 g"


def figure_choices(asked: Asked) -> list[tuple[str, str]]:
    """List the figures that have no fields yet, each with its words."""
    left = (key for key in PROPERTY_OF if key not in asked.figures)
    return sorted(((key, f"{words_of(key)}, {unit_of(key)}") for key in left), key=lambda choice: choice[1])
