"""What the buttons of the recipe page do to a draft."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

from nibsmith.science.errors import InputError
from nibsmith.science.formulate import InclusionShare
from nibsmith.science.mixture import MACHINE_STAGES, Stage
from nibsmith.shop.recipes.drafts import Draft, Row
from nibsmith.shop.recipes.models import Mode, Way
from nibsmith.shop.recipes.opening import Opened
from nibsmith.shop.recipes.shares import STORED, UNITS


def as_inclusion(opened: Opened, label: str) -> InclusionShare:
    """Return the share of a part so that it can be counted in all three ways."""
    in_mass = (label for label, part in opened.parts.items() if part.in_machine)
    ground = sum((opened.typed.shares[label] for label in in_mass), Fraction(0))
    if not ground:
        raise InputError("There is no chocolate in it", advice="Give one part an earlier stage.", field=label)
    bar_g = None if opened.bar_g is None else Fraction(opened.bar_g)
    return InclusionShare(opened.typed.shares[label], ground, bar_g, opened.leaving)


def counted(opened: Opened, label: str, mode: Mode) -> Decimal:
    """Return the amount of a part in another way of counting, so that its share stays."""
    return _as_decimal(as_inclusion(opened, label).typed_as(UNITS[mode]))


def settled(draft: Draft, stored: Opened) -> Draft:
    """Count by the whole again what is now ground into the mass: only inclusions are counted otherwise."""

    def settle(row: Row) -> Row:
        stage = Stage(row.stage) if row.stage else _usual_stage(stored, row.label)
        if row.mode in (Mode.PER_100, Mode.PER_BAR) and stage in MACHINE_STAGES:
            return _typed(row, stored.percent(row.label))
        return row

    return draft.with_rows(settle(row) for row in draft.rows)


def _usual_stage(stored: Opened, label: str) -> Stage:
    thing = stored.parts[label].of
    return getattr(thing, "stage", Stage.START)


def remove(opened: Opened, label: str) -> Draft:
    """Take a part out; the rest makes up for it, and where there was none, the largest part becomes it."""
    gone = opened.draft.row(label)
    rows = [row for row in opened.draft.rows if row.label != gone.label]
    if not rows:
        raise InputError("A recipe needs at least one part", advice="Add another part first.", field=label)
    return _with_a_rest(opened, opened.draft.with_rows(rows))


def rest(opened: Opened, label: str) -> Draft:
    """Let one part be what the others leave over; the part that was it keeps its present share."""
    decimals = _decimals(opened.draft)
    fixed = opened.draft.with_rows(
        _typed(row, opened.percent(row.label), decimals) if row.mode == Mode.REST else row
        for row in opened.draft.rows
    )
    return fixed.with_row(_as_rest(opened.draft.row(label)))


def fix(opened: Opened, label: str) -> Draft:
    """Let the rest be a typed share like the others, at what it is now."""
    return opened.draft.with_row(
        _typed(opened.draft.row(label), opened.percent(label), _decimals(opened.draft))
    )


def up(opened: Opened, label: str) -> Draft:
    """Move a part one place towards the beginning."""
    return _moved(opened.draft, label, -1)


def down(opened: Opened, label: str) -> Draft:
    """Move a part one place towards the end."""
    return _moved(opened.draft, label, 1)


def _moved(draft: Draft, label: str, step: int) -> Draft:
    rows = list(draft.rows)
    here = rows.index(draft.row(label))
    there = min(max(here + step, 0), len(rows) - 1)
    rows.insert(there, rows.pop(here))
    return draft.with_rows(rows)


def added(opened: Opened, new: Row) -> Draft:
    """Put a part at the end; where nothing was the rest, the largest part becomes it to make room."""
    draft = _with_a_rest(opened, opened.draft) if new.typed else opened.draft
    return draft.with_rows((*draft.rows, new))


def by_ratio(opened: Opened, amounts: Mapping[str, Decimal]) -> Draft:
    """Share what some parts have together anew between them; the other parts keep their shares."""
    room = sum((opened.percent(label) for label in amounts), Fraction(0))
    whole = sum((Fraction(amount) for amount in amounts.values()), Fraction(0))
    new = {label: room * Fraction(amount) / whole for label, amount in amounts.items()}
    decimals = _decimals(opened.draft)
    rows = [
        _typed(row, new[row.label], decimals) if row.label in new and row.mode != Mode.REST else row
        for row in opened.draft.rows
    ]
    return _closed(opened.draft.with_rows(rows))


def from_masses(opened: Opened, masses_g: Mapping[str, float], new: tuple[Row, ...] = ()) -> Draft:
    """Return the draft of new weights; a share that stays is left as it was typed.

    A part of which all was taken out goes; one that had no weight before is still waiting for it and stays.
    """
    exact = {label: Decimal(repr(grams)) for label, grams in masses_g.items()}
    total = sum(exact.values(), Decimal(0))
    percents = {label: Fraction(grams) * 100 / Fraction(total) for label, grams in exact.items()}
    decimals = _decimals(opened.draft)
    stays = {row.label for row in opened.draft.rows if row.mode == Mode.REST or _stays(opened, row, percents)}
    rows = [
        row if row.label in stays else _typed(row, percents[row.label], decimals)
        for row in (*opened.draft.rows, *new)
        if exact[row.label] or row in new or not opened.typed.shares[row.label]
    ]
    amount = replace(opened.draft.amount, total_g=total, way=Way.TOTAL)
    return replace(_closed(opened.draft.with_rows(rows)), amount=amount)


def _stays(opened: Opened, row: Row, percents: Mapping[str, Fraction]) -> bool:
    moved = abs(percents[row.label] - opened.percent(row.label))
    return row.mode == Mode.PERCENT and moved < Fraction(STORED) / 2


def _closed(draft: Draft) -> Draft:
    """Let the largest row take up what rounding the shares to what is stored left open."""
    if any(row.mode != Mode.PERCENT for row in draft.rows):
        return draft
    largest = max(draft.rows, key=lambda row: row.typed or Decimal(0))
    others = sum((row.typed or Decimal(0) for row in draft.rows if row is not largest), Decimal(0))
    return draft.with_row(replace(largest, typed=100 - others))


def _with_a_rest(opened: Opened, draft: Draft) -> Draft:
    if any(row.mode == Mode.REST for row in draft.rows):
        return draft
    return draft.with_row(_as_rest(max(draft.rows, key=lambda row: opened.typed.shares[row.label])))


def _as_rest(row: Row) -> Row:
    return replace(row, mode=Mode.REST, typed=None)


def _typed(row: Row, percent: Fraction, decimals: int = 0) -> Row:
    return replace(row, mode=Mode.PERCENT, typed=_as_decimal(percent, decimals))


def _decimals(draft: Draft) -> int:
    """Return how many decimals the finest typed share has: a share worked out beside it is as exact.

    With fewer of them, the rounding that typed shares may have would count for it too.
    """
    typed = [row.digits for row in draft.rows if row.mode == Mode.PERCENT]
    return max((len(digits.partition(".")[2]) for digits in typed), default=0)


def _as_decimal(number: Fraction, decimals: int = 0) -> Decimal:
    """Write an exact share as it is stored, without zeros behind but for those up to ``decimals``."""
    stored = (Decimal(number.numerator) / Decimal(number.denominator)).quantize(STORED)
    plain = Decimal(f"{stored.normalize():f}")
    step = Decimal(1).scaleb(-decimals)
    return plain.quantize(step) if plain == plain.quantize(step) else plain


BUTTONS: Mapping[str, Callable[[Opened, str], Draft]] = MappingProxyType(
    {"remove": remove, "rest": rest, "fix": fix, "up": up, "down": down}
)
