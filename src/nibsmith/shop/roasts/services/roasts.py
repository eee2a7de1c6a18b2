"""Write down a roast, fill it in, strike it out."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import Max

from nibsmith.answers.roasted import SURVIVORS, survivor_line
from nibsmith.science.errors import InputError
from nibsmith.science.roast import Matter, Roaster
from nibsmith.science.roast.typed import oven_roast
from nibsmith.shop.common import amounts, texts
from nibsmith.shop.common.changelog.services import record
from nibsmith.shop.common.days import latest_today
from nibsmith.shop.common.history.filling import check_reason
from nibsmith.shop.common.history.meanwhile import check_seen
from nibsmith.shop.common.history.services import fields_of, save_changes
from nibsmith.shop.roasts.models import Course, Roast

LARGEST_G = 10_000_000
HOTTEST_CELSIUS = 500
WARMEST_START_CELSIUS = 100
MOST_MINUTES = 1000
LONGEST_WHY = 300
LARGEST_FIGURE = 100_000
_FREE_TO_CHANGE = frozenset({"senses", "note", "wanted_id", "machine"})


@dataclass(frozen=True, kw_only=True)
class RoastCard:
    """What a maker says of a roast; what is empty is not known."""

    beans: str
    roasted_on: date
    ingredient: str = ""
    matter: str = Matter.BEANS.value
    charge_g: Decimal | None = None
    end_g: Decimal | None = None
    water_before_percent: Decimal | None = None
    water_after_percent: Decimal | None = None
    roaster: str = ""
    machine: str = ""
    start_celsius: Decimal | None = None
    dial_celsius: Decimal | None = None
    dial_minutes: Decimal | None = None
    senses: str = ""
    note: str = ""
    wanted: Course | None = None
    survivors_min: Decimal | None = None
    survivors_at_celsius: Decimal | None = None
    survivors_shape: Decimal | None = None
    survivors_z_k: Decimal | None = None
    survivors_low_celsius: Decimal | None = None
    survivors_high_celsius: Decimal | None = None
    study: str = ""


@transaction.atomic
def write_down(card: RoastCard, *, why: str = "") -> Roast:
    """Store a new roast."""
    Roast.objects.select_for_update().order_by("-number")[:1].first()
    number = (Roast.objects.aggregate(last=Max("number"))["last"] or 0) + 1
    roast = Roast(number=number, **_columns(card))
    roast.save(force_insert=True)
    said = {name: value for name, value in fields_of(roast).items() if value not in (None, "", False)}
    record(
        "roasts.written", roast, after={"name": str(roast), **said}, why=texts.line(why, "why", LONGEST_WHY)
    )
    return roast


@transaction.atomic
def update(roast: Roast, card: RoastCard, *, why: str = "", seen: str = "") -> Roast:
    """Fill in what was empty; change a figure that stands only for a reason."""
    locked = lock(roast)
    check_seen(locked, seen)
    now = fields_of(locked)
    changes = {name: value for name, value in _columns(card).items() if now[name] != value}
    reason = texts.line(why, "why", LONGEST_WHY)
    check_reason(locked, changes, reason, _FREE_TO_CHANGE)
    save_changes("roasts.changed", locked, changes, why=reason)
    return locked


@transaction.atomic
def strike(roast: Roast, why: str) -> Roast:
    """Say that there was no such roast; it stays to be seen."""
    locked = lock(roast)
    reason = texts.line(why, "why", LONGEST_WHY)
    if not reason:
        raise InputError("A correction needs its reason", advice="Say what was wrong.", field="why")
    save_changes("roasts.struck_out", locked, {"struck": True}, why=reason)
    return locked


def lock(roast: Roast) -> Roast:
    """Let nobody else write to a roast until this is done."""
    return Roast.objects.select_for_update().get(pk=roast.pk)


def _columns(card: RoastCard) -> dict[str, Any]:
    """Return what is stored, checked."""
    columns = {field.name: getattr(card, field.name) for field in fields(card) if field.name != "wanted"}
    columns["wanted_id"] = None if card.wanted is None else card.wanted.pk
    columns["beans"] = texts.name(card.beans, "beans", 200)
    columns["machine"] = texts.line(card.machine, "machine")
    columns["study"] = texts.line(card.study, "study", LONGEST_WHY)
    columns["senses"], columns["note"] = texts.note(card.senses, "senses"), texts.note(card.note)
    _on_list(card.matter, {each.value for each in Matter}, "matter")
    _on_list(card.roaster, {"", *(each.value for each in Roaster)}, "roaster")
    if card.roasted_on > latest_today():
        raise InputError("A roast is not of the future", value=card.roasted_on, field="roasted_on")
    _check_weights(card)
    _check_heat(card)
    _check_survivors(card)
    return columns


def _check_weights(card: RoastCard) -> None:
    for name in ("charge_g", "end_g"):
        grams: Decimal | None = getattr(card, name)
        if grams is not None:
            amounts.more_than_nothing(grams, name, high=LARGEST_G)
    if card.charge_g is not None and card.end_g is not None and card.end_g > card.charge_g:
        raise InputError(
            "Nothing gets heavier in a roast",
            value=f"{card.end_g.normalize():f} g",
            limit=f"{card.charge_g.normalize():f} g",
            advice="Check which weight is which, and the bowl.",
            field="end_g",
        )
    for name in ("water_before_percent", "water_after_percent"):
        amounts.bounded(getattr(card, name), name, high=50)


def _check_heat(card: RoastCard) -> None:
    amounts.bounded(card.start_celsius, "start_celsius", low=-20, high=WARMEST_START_CELSIUS, decimals=1)
    amounts.bounded(card.dial_celsius, "dial_celsius", high=HOTTEST_CELSIUS, decimals=1)
    amounts.bounded(card.dial_minutes, "dial_minutes", high=MOST_MINUTES, decimals=1)
    if (card.dial_celsius is None) != (card.dial_minutes is None):
        lacks = "dial_minutes" if card.dial_minutes is None else "dial_celsius"
        raise InputError("A dial needs its minutes, and minutes their dial", field=lacks)
    if card.dial_celsius is not None and card.dial_minutes is not None:
        try:
            oven_roast(float(card.dial_celsius), float(card.dial_minutes))
        except InputError as error:
            error.field = "dial_minutes"
            raise


def _check_survivors(card: RoastCard) -> None:
    figures: dict[str, Decimal | None] = {name: getattr(card, name) for name in SURVIVORS}
    for name, figure in figures.items():
        amounts.bounded(figure, name, high=LARGEST_FIGURE)
    survivor_line({name: None if figure is None else float(figure) for name, figure in figures.items()})


def _on_list(value: str, known: set[str], field: str) -> None:
    if value not in known:
        raise InputError("This is not on the list", value=value, advice="Choose from the list.", field=field)
