"""The verdict on a name: allowed or not, on what it depends, and what it lacks."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from nibsmith.science.tables import Status


class Allowed(StrEnum):
    """Whether a name is allowed."""

    YES = "yes"
    NO = "no"
    DEPENDS = "depends"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Lack:
    """What keeps a name away.

    ``has``, ``needs`` and ``gap`` are g per 100 g of the basis; they are ``None`` where no figure is lacking
    but ``reason`` says what is. ``side`` is at least, more than, at most or less than.
    """

    figure: str
    has: float | None = None
    needs: float | None = None
    gap: float | None = None
    basis: str = ""
    side: str = ""
    reason: str = ""

    @property
    def sentence(self) -> str:
        """The lack in words."""
        if self.has is None or self.needs is None or self.gap is None:
            return self.reason
        if self.needs == 0 and self.side in LEAST:
            return f"{self.figure}: it holds none, and some is asked"
        if self.needs == 0:
            return f"{self.figure}: it holds {shown(self.has)} g per 100 g, and none is allowed"
        way = "short" if self.side in LEAST else "over"
        return (
            f"{self.figure}: {self.has_text} % where {self.side} {self.needs:g} % is asked, "
            f"{shown(self.gap)} g {way} per 100 g of {self.basis}"
        )

    @property
    def has_text(self) -> str:
        """The figure with enough digits that it is not rounded onto what it misses; empty without one."""
        if self.has is None or self.needs is None:
            return ""
        for digits in range(1, MOST_DIGITS):
            if round(self.has, digits) != round(self.needs, digits):
                text = f"{self.has:.{digits}f}"
                return text if digits == 1 else text.rstrip("0")
        return f"{self.has:.{MOST_DIGITS}f}"

    def document(self) -> dict[str, object]:
        """Return the lack as plain values for a document."""
        return {
            "figure": self.figure,
            "has_percent": self.has,
            "needs_percent": self.needs,
            "gap_percent": self.gap,
            "side": self.side,
            "basis": self.basis,
            "sentence": self.sentence,
        }


LEAST = ("at least", "more than")
MOST_DIGITS = 6  # a hair under a limit shows within this


def shown(percent: float) -> str:
    """Write a percentage with enough digits that a hair is not rounded away."""
    for digits in (1, 2, 3, 4):
        if round(abs(percent), digits) > 0 and abs(round(percent, digits) - percent) <= abs(percent) / 100:
            return f"{percent:.{digits}f}"
    return f"{percent:.3g}"


@dataclass(frozen=True, slots=True)
class NameVerdict:
    """The verdict on one name in one jurisdiction.

    ``spoken`` is the name in running text; ``daily`` marks names of everyday goods; ``inside`` is the name
    that the chocolate of a filled product meets; ``note`` goes with the name; ``status`` is the weakest of
    its figures; ``fitting`` says that nothing but figures keeps it away, or a fault such as shell in the
    nibs.
    """

    jurisdiction: str
    key: str
    name: str
    allowed: Allowed
    best: bool
    lacking: tuple[Lack, ...]
    depends_on: str
    status: Status
    section: str
    source: str
    spoken: str = ""
    daily: bool = False
    inside: str = ""
    note: str = ""
    fitting: bool = True

    def document(self) -> dict[str, object]:
        """Return the verdict as plain values for a document."""
        return {
            "jurisdiction": self.jurisdiction,
            "key": self.key,
            "name": self.name,
            "allowed": self.allowed.value,
            "best": self.best,
            "lacking": [lack.document() for lack in self.lacking],
            "depends_on": self.depends_on,
            "inside": self.inside,
            "section": self.section,
            "source": self.source,
            "status": self.status.value,
            "note": self.note,
        }


STATUS_ORDER = (Status.MEMORY, Status.JUDGEMENT, Status.READ_SECONDARY, Status.READ)


def weakest(*statuses: Status) -> Status:
    """Return the status that can be trusted least."""
    return min(statuses, key=STATUS_ORDER.index)
