"""Begin a session with some of the mass, and fill in what comes of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from nibsmith.science.errors import InputError
from nibsmith.shop.batches import mass
from nibsmith.shop.batches.models import Batch, FoldIn, Method, Session
from nibsmith.shop.batches.selectors import standing
from nibsmith.shop.batches.services.entries import LONGEST_WHY, check_masses, lock
from nibsmith.shop.common import amounts, texts
from nibsmith.shop.common.changelog.services import record
from nibsmith.shop.common.history.filling import check_reason
from nibsmith.shop.common.history.meanwhile import check_seen
from nibsmith.shop.common.history.services import fields_of
from nibsmith.shop.kit.selectors import fridge, own_mould

LARGEST_G = 10_000_000
MOST_BARS = 100_000
HOTTEST_CELSIUS = 90
_FREE_TO_CHANGE = frozenset({"tasting", "note"})


@dataclass(frozen=True, kw_only=True)
class SessionCard:
    """What a maker says of a session; what is empty is not known yet."""

    taken_g: Decimal
    method: str = ""
    melt_celsius: Decimal | None = None
    cool_celsius: Decimal | None = None
    work_celsius: Decimal | None = None
    mould: str = ""
    fridge: str = ""
    bars: int | None = None
    left_over_g: Decimal | None = None
    put_back: bool = False
    tasting: str = ""
    note: str = ""


@transaction.atomic
def begin(batch: Batch, card: SessionCard) -> Session:
    """Begin a session: it takes some of the mass that is there."""
    locked = lock(batch)
    last = Session.objects.filter(batch=locked).aggregate(last=Max("number"))["last"]
    session = Session(batch=locked, number=(last or 0) + 1, began_at=timezone.now(), **_columns(card))
    session.save(force_insert=True)
    _check(session)
    said = {name: value for name, value in asdict(card).items() if value not in (None, "", False)}
    named = {"entry": str(session.public_id), "session": session.number}
    record("batches.session_begun", locked, after={**named, **said})
    return session


@transaction.atomic
def update(session: Session, card: SessionCard, *, why: str = "", seen: str = "") -> Session:
    """Fill in what was empty; change a figure that stands only for a reason."""
    locked = _locked(session)
    check_seen(locked, seen)
    now = fields_of(locked)
    changes = {name: value for name, value in _columns(card).items() if now[name] != value}
    if not changes:
        return locked
    reason = texts.line(why, "why", LONGEST_WHY)
    check_reason(locked, changes, reason, _FREE_TO_CHANGE)
    _store(locked, changes)
    before = {"session": locked.number, **{name: now[name] for name in changes}}
    after = {"session": locked.number, **changes}
    record("batches.session_changed", locked.batch, before=before, after=after, why=reason)
    return locked


@transaction.atomic
def strike(session: Session, why: str) -> Session:
    """Say that there was no such session; its mass is there again."""
    locked = _locked(session)
    reason = texts.line(why, "why", LONGEST_WHY)
    if not reason:
        raise InputError("A correction needs its reason", advice="Say what was wrong.", field="why")
    if locked.struck:
        return locked
    _store(locked, {"struck": True})
    said = {"session": locked.number, "taken_g": locked.taken_g}
    record("batches.session_struck_out", locked.batch, before=said, after=None, why=reason)
    return locked


def _locked(session: Session) -> Session:
    batch = lock(session.batch)
    found = Session.objects.get(pk=session.pk)
    found.batch = batch
    return found


def _store(session: Session, changes: Mapping[str, Any]) -> None:
    for name, value in changes.items():
        setattr(session, name, value)
    session.save(update_fields=[*changes, "updated_at"])
    _check(session)


def _check(session: Session) -> None:
    check_masses(session.batch, None)
    mass.check_left_over(session, list(standing(FoldIn).filter(session=session)))


def _columns(card: SessionCard) -> dict[str, Any]:
    """Return what is stored, checked."""
    if card.method and card.method not in Method.values:
        raise InputError("This is not on the list", value=card.method, field="method")
    amounts.more_than_nothing(card.taken_g, "taken_g", high=LARGEST_G)
    for name in ("melt_celsius", "cool_celsius", "work_celsius"):
        amounts.bounded(getattr(card, name), name, high=HOTTEST_CELSIUS, decimals=1)
    amounts.bounded(card.left_over_g, "left_over_g", high=LARGEST_G)
    if card.bars is not None and not 0 <= card.bars <= MOST_BARS:
        raise InputError("So many bars cannot be", value=card.bars, limit=f"0 to {MOST_BARS}", field="bars")
    if card.put_back and card.left_over_g is None:
        raise InputError("How much is put back?", advice="Weigh what is left over.", field="left_over_g")
    if card.mould:
        own_mould(card.mould)
    if card.fridge:
        fridge(card.fridge)
    own = {"tasting": texts.note(card.tasting, "tasting"), "note": texts.note(card.note)}
    return {**asdict(card), **own}
