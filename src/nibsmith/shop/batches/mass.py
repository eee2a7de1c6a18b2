"""Where the mass of a batch went: in, out, taken by sessions, put back; and that none is taken twice."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from nibsmith.science.errors import InputError
from nibsmith.shop.batches.models import Addition, EndWeight, FoldIn, PlannedPart, Session

NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True)
class Account:
    """The mass of a batch [g].

    ``weighed_g`` is everything that was weighed in; ``complete`` whether every planned part was.
    ``end_g`` is what came out, none until it is weighed.
    """

    planned_g: Decimal
    weighed_g: Decimal
    complete: bool
    end_g: Decimal | None
    taken_g: Decimal
    back_g: Decimal

    @property
    def there_g(self) -> Decimal | None:
        """What no session has taken [g]."""
        return None if self.end_g is None else self.end_g - self.taken_g + self.back_g

    @property
    def loss_g(self) -> Decimal | None:
        """What went in and did not come out: evaporated, left on the machine, spilt [g]."""
        return None if self.end_g is None or not self.complete else self.weighed_g - self.end_g


def account(
    planned: Iterable[PlannedPart],
    additions: Sequence[Addition],
    ends: Sequence[EndWeight],
    sessions: Sequence[Session],
) -> Account:
    """Add up what stands of a batch."""
    parts = [part for part in planned if part.in_machine]
    weighed = {row.part_id for row in additions}
    held = [session for session in sessions if not session.struck]
    return Account(
        planned_g=sum((part.planned_g for part in parts), NOTHING),
        weighed_g=sum((row.weighed_g for row in additions), NOTHING),
        complete=bool(parts) and all(part.pk in weighed for part in parts),
        end_g=ends[-1].grams if ends else None,
        taken_g=sum((session.taken_g for session in held), NOTHING),
        back_g=sum((session.gave_back_g for session in held), NOTHING),
    )


def check_taken(end_g: Decimal | None, sessions: Iterable[Session], field: str) -> None:
    """Refuse sessions that together take more than was there when each of them began."""
    there = end_g
    for session in sorted(sessions, key=lambda one: one.number):
        if session.struck:
            continue
        if there is None:
            raise InputError(
                "What came out of the machine is not weighed yet",
                advice="Weigh it first: a session takes some of it.",
                field=field,
            )
        if session.taken_g > there:
            raise InputError(
                f"Session {session.number} takes more than there is",
                value=f"{session.taken_g.normalize():f} g",
                limit=f"{there.normalize():f} g",
                field=field,
            )
        there += session.gave_back_g - session.taken_g


def check_end(found: Account) -> None:
    """Refuse more coming out than went in, where everything that went in is weighed."""
    if found.end_g is not None and found.complete and found.end_g > found.weighed_g:
        raise InputError(
            "More came out than went in",
            value=f"{found.end_g.normalize():f} g",
            limit=f"{found.weighed_g.normalize():f} g",
            advice="Write down what else was added first, or weigh again.",
            field="grams",
        )


def check_left_over(session: Session, fold_ins: Sequence[FoldIn]) -> None:
    """Refuse more left over than was there, and what holds fold-ins going back to the plain mass."""
    if session.left_over_g is None:
        return
    most = session.taken_g + sum((row.weighed_g for row in fold_ins), NOTHING)
    if session.left_over_g > most:
        raise InputError(
            "More is left over than was taken",
            value=f"{session.left_over_g.normalize():f} g",
            limit=f"{most.normalize():f} g",
            field="left_over_g",
        )
    if session.put_back and fold_ins:
        raise InputError(
            "What something was folded into cannot go back to the mass",
            advice="Keep it apart, with what is in it written on it.",
            field="put_back",
        )
