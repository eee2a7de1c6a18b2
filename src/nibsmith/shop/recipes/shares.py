"""From amounts as typed to shares of everything, and back to the three ways of counting an inclusion."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import MACHINE_STAGES, Stage
from nibsmith.shop.recipes.models import Mode

HUNDRED = Decimal(100)
STORED = Decimal("0.000001")  # a share is kept to a millionth of a percent: 0.1 mg in 10 kg
INCLUSION_MODES = frozenset({Mode.PER_100, Mode.PER_BAR})


@dataclass(frozen=True, slots=True)
class TypedPart:
    """One part as typed: the number in the unit of its mode, none for the rest."""

    label: str
    stage: Stage
    mode: Mode
    typed: Decimal | None

    @property
    def in_machine(self) -> bool:
        return self.stage in MACHINE_STAGES


class SharesDoNotFit(InputError):
    """Shares that leave something over, or take more than there is; ``over`` is how far [%]."""

    def __init__(self, over: Decimal, advice: str, field: str | None = None) -> None:
        what = f"The shares come to {_plain(HUNDRED + over)} %, {_plain(abs(over))} too {_word(over)}"
        super().__init__(what, advice=advice, field=field)
        self.over = over


def _word(over: Decimal) -> str:
    return "much" if over > 0 else "little"


def _plain(number: Decimal) -> str:
    """Write a share with four decimals at most and no zeros behind."""
    text = f"{number.quantize(Decimal('0.0001')):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def shares(
    parts: Sequence[TypedPart], bar_g: Decimal | None = None, slack: Decimal = STORED
) -> Mapping[str, Decimal]:
    """Return the share of each part in everything weighed [%].

    With F the fixed shares of inclusions and V their grams per 100 g of chocolate, the chocolate is
    ``c = (100 - F) / (1 + V/100)``; where an inclusion is the rest, c is what the parts of the mass come to.
    Without a rest the sum may miss 100 % by ``slack``, and is then taken as parts of that sum.
    """
    if not parts:
        raise InputError("A recipe needs at least one part", advice="Add what goes in first.")
    found = _inclusions(parts, bar_g)
    found |= {part.label: part.typed for part in parts if part.in_machine and part.typed is not None}
    rest = next((part for part in parts if part.mode == Mode.REST), None)
    over = sum(found.values(), Decimal(0)) - HUNDRED
    if rest is not None:
        return {part.label: found.get(part.label, _left(rest, over)) for part in parts}
    if abs(over) > slack:
        advice = "Correct one of them, or make one part the rest."
        raise SharesDoNotFit(over, advice)
    return {part.label: found[part.label] * HUNDRED / (HUNDRED + over) for part in parts}


def _left(rest: TypedPart, over: Decimal) -> Decimal:
    if over > 0:
        raise SharesDoNotFit(over, "Take some out: nothing is left for the rest.", field=rest.label)
    return -over


def _inclusions(parts: Sequence[TypedPart], bar_g: Decimal | None) -> dict[str, Decimal]:
    """Return the shares of what is not ground into the mass, the rest left out."""
    typed = {part.label: part for part in parts if not part.in_machine and part.typed is not None}
    fixed = {label: _fixed(part, bar_g) for label, part in typed.items() if part.mode != Mode.PER_100}
    per_100 = {label: part.typed or Decimal(0) for label, part in typed.items() if part.mode == Mode.PER_100}
    chocolate = _chocolate(parts, sum(fixed.values(), Decimal(0)), sum(per_100.values(), Decimal(0)))
    return fixed | {label: grams * chocolate / HUNDRED for label, grams in per_100.items()}


def _fixed(part: TypedPart, bar_g: Decimal | None) -> Decimal:
    grams = part.typed or Decimal(0)
    if part.mode == Mode.PERCENT:
        return grams
    if bar_g is None:
        advice = "Choose a mould, or count it in another way."
        raise InputError("The weight of a bar is not known", advice=advice, field=part.label)
    if grams > bar_g:
        raise InputError(
            "This is more than a bar weighs",
            value=f"{_plain(grams)} g",
            limit=f"{_plain(bar_g)} g",
            advice="Type less of it, or choose a larger mould.",
            field=part.label,
        )
    return grams * HUNDRED / bar_g


def _chocolate(parts: Sequence[TypedPart], fixed: Decimal, per_100: Decimal) -> Decimal:
    if any(part.mode == Mode.REST and not part.in_machine for part in parts):
        return sum((part.typed or Decimal(0) for part in parts if part.in_machine), Decimal(0))
    return max(Decimal(0), HUNDRED - fixed) / (1 + per_100 / HUNDRED)


def slack_of(texts: Sequence[str]) -> Decimal:
    """Return half a unit of the last typed digit of each share, together [%]: 33.3 may be 33.25 to 33.35."""
    return sum((Decimal(5).scaleb(-_decimals(text) - 1) for text in texts), Decimal(0))


def _decimals(text: str) -> int:
    tail = text.replace(",", ".").rpartition(".")[2] if any(sign in text for sign in ".,") else ""
    return sum(sign.isdigit() for sign in tail)


@dataclass(frozen=True, slots=True)
class Readings:
    """The three ways of counting an inclusion; none where the weight of a bar is needed and not known."""

    of_everything_percent: Decimal
    per_100_g_chocolate: Decimal | None
    per_bar_g: Decimal | None


def readings(share: Decimal, chocolate: Decimal, bar_g: Decimal | None) -> Readings:
    """Read one share of everything in all three ways; ``chocolate`` is the share of the mass itself [%]."""
    return Readings(
        of_everything_percent=share,
        per_100_g_chocolate=share * HUNDRED / chocolate if chocolate else None,
        per_bar_g=share * bar_g / HUNDRED if bar_g is not None else None,
    )


def in_mode(reading: Readings, mode: Mode) -> Decimal | None:
    """Return a share counted in a mode, none for the rest or where it cannot be counted so."""
    return {
        Mode.PERCENT: reading.of_everything_percent,
        Mode.PER_100: reading.per_100_g_chocolate,
        Mode.PER_BAR: reading.per_bar_g,
    }.get(mode)
