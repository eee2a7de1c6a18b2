"""What came in from the recipe page: the texts as typed, and the draft they make."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields, replace
from decimal import Decimal
from typing import TypeVar

from django.http import QueryDict

from nibsmith.science.errors import InputError, NibsmithError
from nibsmith.science.mixture import Grind, Kind, Stage
from nibsmith.science.quantities import LONGEST_LIST, parse_mass, parse_number, parse_percent
from nibsmith.shop.common import texts
from nibsmith.shop.common.amounts import bounded
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.recipes.drafts import Amount, Draft, Row
from nibsmith.shop.recipes.models import Mode, Way
from nibsmith.shop.recipes.written import price_text, typed_text, weight_text

Value = TypeVar("Value")

HIGHEST_PRICE = Decimal(1_000_000)
PRICE_DECIMALS = 4  # as finely as a price is kept
MOST_BARS = Decimal(100_000)
MOST_GRAMS = Decimal(10_000)  # of an inclusion in a bar, or in 100 g of chocolate

Counted = Callable[[str, Mode], Decimal]

_COLUMNS = ("label", "amount", "mode", "kind", "stage", "grind", "price")


@dataclass(frozen=True, slots=True)
class TypedRow:
    """One part as the page sent it."""

    label: str
    amount: str
    mode: str
    kind: str
    stage: str
    grind: str
    price: str


@dataclass(frozen=True, slots=True)
class Typed:
    """The whole form as the page sent it."""

    rows: tuple[TypedRow, ...]
    way: str
    total: str
    have: str
    bars: str
    mould: str
    kit: str
    add: str = ""
    add_amount: str = ""
    pick: str = ""
    ratio: str = ""
    page: str = ""
    seen: str = ""
    do: str = ""


@dataclass(frozen=True, slots=True)
class Attempt:
    """The draft that the typed texts make, and what is wrong with them by field.

    ``touched`` are the labels whose amount is new.
    """

    draft: Draft
    touched: tuple[str, ...]
    errors: Mapping[str, str] = field(default_factory=dict)


def read(post: QueryDict) -> Typed:
    """Take the texts out of a request; refuse one that no page of ours sends."""
    columns = [post.getlist(name) for name in _COLUMNS]
    if len({len(column) for column in columns}) > 1:
        raise InputError("This form is not complete", advice="Load the page anew.")
    rows = tuple(TypedRow(*values) for values in zip(*columns, strict=True))
    names = (each.name for each in fields(Typed) if each.name != "rows")
    return Typed(rows, **{name: post.get(name, "") for name in names})


def attempt(typed: Typed, stored: Draft, settings: WorkshopSettings, counted: Counted) -> Attempt:
    """Return the draft that the texts make of the stored one; a text left as it was shown changes nothing.

    ``counted`` says what a stored amount is in another mode, for a part that is to be counted in another way.
    """
    if [row.label for row in typed.rows] != [row.label for row in stored.rows]:
        errors = {
            "sum": "The parts were changed in another window. Check what stands here and type it again."
        }
        return Attempt(stored, (), errors)
    reader = _Reader(settings, counted)
    rows = tuple(reader.row(new, old) for new, old in zip(typed.rows, stored.rows, strict=True))
    amount = reader.amount(typed, stored.amount)
    touched = tuple(new.label for new, old in zip(rows, stored.rows, strict=True) if new.digits != old.digits)
    return Attempt(replace(stored, rows=rows, amount=amount), touched, reader.errors)


class _Reader:
    """Reads field after field and keeps what is wrong with each."""

    def __init__(self, settings: WorkshopSettings, counted: Counted) -> None:
        self.settings = settings
        self.counted = counted
        self.errors: dict[str, str] = {}

    def row(self, typed: TypedRow, old: Row) -> Row:
        mode = old.mode if old.mode == Mode.REST else _one_of(Mode, typed.mode, old.mode)
        return replace(
            old,
            mode=mode,
            typed=None if mode == Mode.REST else self._amount_of(typed, old, mode),
            kind=_key(Kind, typed.kind, old.kind),
            stage=_key(Stage, typed.stage, old.stage),
            grind=_key(Grind, typed.grind, old.grind),
            price_per_kg=self._price_of(typed, old),
        )

    def amount(self, typed: Typed, old: Amount) -> Amount:
        way = self._way(typed, old)
        have = self._try("have", lambda: texts.note(typed.have, "have", LONGEST_LIST), old.have)
        changed = replace(old, way=way, have=have, mould=typed.mould, kit=typed.kit)
        if way == Way.TOTAL and typed.total.strip() != weight_text(old.total_g, self.settings):
            grams = self._try("total", lambda: self._mass(typed.total), old.total_g)
            changed = replace(changed, total_g=grams)
        if typed.bars.strip() or way == Way.BARS:
            bars = self._try("bars", lambda: self._bars(typed.bars), old.bars)
            changed = replace(changed, bars=bars)
        return changed

    def _amount_of(self, typed: TypedRow, old: Row, mode: Mode) -> Decimal | None:
        if old.typed is None or typed.amount.strip() != self._shown(old.typed):
            return self._try(typed.label, lambda: self._number(typed.amount, mode), old.typed)
        if mode == old.mode:
            return old.typed
        return self._try(typed.label, lambda: self.counted(old.label, mode), old.typed)

    def _way(self, typed: Typed, old: Amount) -> Way:
        """Return the way chosen; where none was, the one whose field alone was typed in."""
        way = _one_of(Way, typed.way, old.way)
        total = typed.total.strip() != weight_text(old.total_g, self.settings)
        bars = typed.bars.strip() != ("" if old.bars is None else str(old.bars))
        have = typed.have.split() != old.have.split()
        new = [found for found, is_new in ((Way.TOTAL, total), (Way.HAVE, have), (Way.BARS, bars)) if is_new]
        return new[0] if way == old.way and len(new) == 1 else way

    def _shown(self, number: Decimal) -> str:
        return typed_text(number, self.settings)

    def _number(self, text: str, mode: Mode) -> Decimal:
        if not text.strip():
            raise InputError("Its amount is empty", advice="Type a number, or make it the rest.")
        if mode == Mode.PERCENT:
            return parse_percent(text, decimal_sign=self.settings.decimal_sign, bare=True)
        grams = text.strip().removesuffix("g")
        return parse_number(grams, decimal_sign=self.settings.decimal_sign, most=MOST_GRAMS)

    def _mass(self, text: str) -> Decimal:
        grams = parse_mass(text, decimal_sign=self.settings.decimal_sign)
        if grams <= 0:
            raise InputError("This weighs nothing", advice="Type a weight, such as 2 kg.")
        return grams

    def _bars(self, text: str) -> int:
        number = parse_number(text, decimal_sign=self.settings.decimal_sign, most=MOST_BARS)
        if number != number.to_integral_value() or number < 1:
            raise InputError("Bars come whole", value=text.strip()[:20], advice="Type 1 or more.")
        return int(number)

    def _price_of(self, typed: TypedRow, old: Row) -> Decimal | None:
        text = typed.price.strip()
        if old.price_per_kg is not None and text == price_text(old.price_per_kg, self.settings):
            return old.price_per_kg
        return self._try(f"price-{typed.label}", lambda: self._price(text), old.price_per_kg)

    def _price(self, text: str) -> Decimal | None:
        if not text:
            return None
        price = parse_number(text, decimal_sign=self.settings.decimal_sign, most=HIGHEST_PRICE)
        return bounded(price, "price_per_kg", high=int(HIGHEST_PRICE), decimals=PRICE_DECIMALS)

    def _try(self, name: str, parse: Callable[[], Value], otherwise: Value) -> Value:
        try:
            return parse()
        except NibsmithError as error:
            self.errors[name] = str(error)
            return otherwise


Choice = TypeVar("Choice", Mode, Way)


def _one_of(kind: type[Choice], text: str, otherwise: Choice) -> Choice:
    return kind(text) if text in kind.values else otherwise


def _key(kind: type[Kind | Stage | Grind], text: str, otherwise: str) -> str:
    """Return the key of a closed list, empty for "as the ingredient is"."""
    return text if not text or text in list(kind) else otherwise


FIELDS = {
    "add": "add",
    "bar_g": "mould",
    "bars": "bars",
    "have": "have",
    "kit": "kit",
    "mould": "mould",
    "total": "total",
}


def errors_of(error: NibsmithError, tried: Attempt) -> Mapping[str, str]:
    """Put a refusal beside the field it is about: a named one, else the amount that was typed last."""
    if error.field in FIELDS:
        return {FIELDS[error.field]: str(error)}
    return {tried.touched[-1] if tried.touched else "sum": str(error)}
