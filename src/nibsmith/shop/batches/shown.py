"""The page of a batch as its templates show it: texts, nothing to work out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from nibsmith.science.errors import NibsmithError
from nibsmith.science.quantities import round_half_up
from nibsmith.shop.batches.mass import Account
from nibsmith.shop.batches.models import (
    Addition,
    Curve,
    EndWeight,
    Entry,
    FlowReading,
    FoldIn,
    PlannedPart,
    Session,
    SizeReading,
)
from nibsmith.shop.batches.observing import flow_words, foretold_flow
from nibsmith.shop.batches.selectors import KINDS, Diary
from nibsmith.shop.common.figures import as_given, rounded, with_unit
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.kit.reading import degrees, mass
from nibsmith.shop.recipes.opening import Opened

TENTH = Decimal("0.1")
_KEYS = {model: key for key, model in KINDS.items()}


@dataclass(frozen=True, slots=True)
class ShownEntry:
    """One entry in words: what, when, the note, and where it is corrected."""

    kind: str
    public_id: str
    text: str
    when: str
    note: str = ""
    remark: str = ""
    struck: bool = False
    why: str = ""


@dataclass(frozen=True, slots=True)
class ShownPart:
    """A planned part: how much was planned, what was weighed of it."""

    part: PlannedPart
    planned: str
    weighed: str
    entries: tuple[ShownEntry, ...]


@dataclass(frozen=True, slots=True)
class ShownMass:
    """Where the mass of a batch went, line by line."""

    lines: tuple[tuple[str, str], ...]
    there: str


@dataclass(frozen=True, slots=True)
class ShownSession:
    """A session in the list of its batch."""

    session: Session
    taken: str
    facts: str


@dataclass(frozen=True, slots=True)
class ShownBatch:
    """Everything that was written down about a batch, in words."""

    parts: tuple[ShownPart, ...]
    others: tuple[ShownEntry, ...]
    sizes: tuple[ShownEntry, ...]
    flows: tuple[ShownEntry, ...]
    ends: tuple[ShownEntry, ...]
    sessions: tuple[ShownSession, ...]
    mass: ShownMass

    @property
    def any_weighed(self) -> bool:
        """Whether anything was weighed in."""
        return bool(self.others) or any(part.entries for part in self.parts)

    @property
    def next_step(self) -> str:
        """What is to be done next, so that its form stands open."""
        if not all(part.entries for part in self.parts):
            return "weigh"
        return "begin" if self.ends else "size"


def show_batch(diary: Diary, opened: Opened | None, settings: WorkshopSettings) -> ShownBatch:
    """Show a batch; without its recipe, which cannot be opened any more, flows are not compared with it."""
    return ShownBatch(
        parts=tuple(_part(diary, part, settings) for part in diary.machine_parts),
        others=_entries((row for row in diary.additions if row.part_id is None), settings),
        sizes=_entries(diary.sizes, settings),
        flows=tuple(_flow(diary, opened, row, settings) for row in diary.flows),
        ends=_entries(diary.ends, settings),
        sessions=tuple(_session(one, settings) for one in diary.sessions),
        mass=show_mass(diary.account, settings),
    )


def _part(diary: Diary, part: PlannedPart, settings: WorkshopSettings) -> ShownPart:
    rows = [row for row in diary.additions if row.part_id == part.pk]
    weighed = diary.weighed_g(part)
    return ShownPart(
        part=part,
        planned=mass(part.planned_g, settings),
        weighed="" if weighed is None else mass(weighed, settings),
        entries=_entries(rows, settings),
    )


def _flow(diary: Diary, opened: Opened | None, row: FlowReading, settings: WorkshopSettings) -> ShownEntry:
    """Say with a reading why it does not count, where it does not."""
    remark = ""
    if opened is not None:
        try:
            foretold_flow(diary, opened, row)
        except NibsmithError as error:
            remark = f"It does not count for the kit: {error}"
    return show_entry(row, settings, remark)


def _entries(rows: Iterable[Entry], settings: WorkshopSettings) -> tuple[ShownEntry, ...]:
    return tuple(show_entry(row, settings) for row in rows)


def show_entry(row: Entry, settings: WorkshopSettings, remark: str = "") -> ShownEntry:
    """Put one entry into words."""
    return ShownEntry(
        kind=_KEYS[type(row)],
        public_id=str(row.public_id),
        text=entry_text(row, settings),
        when=when_text(row.hours, settings),
        note=row.note,
        remark=remark,
        struck=row.struck,
        why=row.why,
    )


def entry_text(row: Entry, settings: WorkshopSettings) -> str:
    """Say what an entry says."""
    if isinstance(row, Addition):
        return f"{row.name}, {mass(row.weighed_g, settings)}"
    if isinstance(row, SizeReading):
        return _size_text(row, settings)
    if isinstance(row, FlowReading):
        return _flow_text(row, settings)
    if isinstance(row, EndWeight):
        return mass(row.grams, settings)
    if isinstance(row, FoldIn):
        warm = "" if row.celsius is None else f", at {degrees(row.celsius, settings)}"
        return f"{row.name}, {mass(row.weighed_g, settings)}{warm}"
    assert isinstance(row, Curve)  # noqa: S101 - there are no others
    marked = f", {row.get_mark_display()}" if row.mark else ""
    cold = degrees(row.coolant_celsius, settings)
    return f"Cooling curve of {len(row.points)} points, cold body at {cold}{marked}"


def _size_text(row: SizeReading, settings: WorkshopSettings) -> str:
    middle = with_unit(as_given(row.median_um, settings.decimal_sign), "µm")
    if len(row.values) == 1:
        return f"{middle}, one reading"
    read = ", ".join(as_given(Decimal(value), settings.decimal_sign) for value in row.values)
    return f"{middle}, the middle of {read}"


def _flow_text(row: FlowReading, settings: WorkshopSettings) -> str:
    seen = flow_words(row)
    warm = "" if row.celsius is None else f", at {degrees(row.celsius, settings)}"
    state = "" if row.tempered else ", not tempered"
    return f"{seen[:1].upper()}{seen[1:]}{warm}{state}"


def when_text(hours: Decimal, settings: WorkshopSettings) -> str:
    """Say when something of a batch was."""
    read = round_half_up(hours, TENTH)
    return f"after {with_unit(as_given(read, settings.decimal_sign), 'h')}" if read else "at the start"


def show_mass(found: Account, settings: WorkshopSettings) -> ShownMass:
    """Show where the mass went."""
    lines = [("Planned into the machine", mass(found.planned_g, settings))]
    lines.append(("Weighed into it", mass(found.weighed_g, settings)))
    if found.end_g is not None:
        lines.append(("Came out", mass(found.end_g, settings)))
    if found.loss_g is not None:
        share = rounded(100 * found.loss_g / found.weighed_g, TENTH, settings.decimal_sign)
        lost = f"{mass(found.loss_g, settings)}, {with_unit(share, '%')}"
        lines.append(("Stayed behind, dried off or spilt", lost))
    if found.taken_g:
        lines.append(("Taken by sessions", mass(found.taken_g, settings)))
    if found.back_g:
        lines.append(("Put back by them", mass(found.back_g, settings)))
    there = "" if found.there_g is None else mass(found.there_g, settings)
    return ShownMass(tuple(lines), there)


def _session(session: Session, settings: WorkshopSettings) -> ShownSession:
    facts = [session.get_method_display()] if session.method else []
    if session.bars is not None:
        facts.append(f"{session.bars} bars")
    if session.left_over_g is not None:
        facts.append(f"{mass(session.left_over_g, settings)} left over")
    return ShownSession(session, mass(session.taken_g, settings), ", ".join(facts))


def show_past(rows: Sequence[Entry], settings: WorkshopSettings) -> tuple[ShownEntry, ...]:
    """Show entries that no longer stand, each with the reason why."""
    return tuple(_past(row, settings) for row in rows)


def _past(row: Entry, settings: WorkshopSettings) -> ShownEntry:
    after: Entry = row.replaced_by  # type: ignore[attr-defined]
    became = "struck out" if after.struck else f"now: {entry_text(after, settings)}"
    return show_entry(row, settings, f"{became}, because: {after.why}")
