"""Which probe of a roast is set beside that of another: the same kind, with nothing left to ask about it."""

from __future__ import annotations

from collections.abc import Sequence

from nibsmith.answers._roast_record import RoastRecord
from nibsmith.answers.roast_log import question_words
from nibsmith.answers.wording import joined
from nibsmith.science.roast import Probe, Role

_KINDS = (Role.BEAN, Role.AIR)
_WHERE = {Role.BEAN: "in the beans", Role.AIR: "in the air"}


def kind_of_all(records: Sequence[RoastRecord]) -> Role:
    """Return the kind of probe that most speaks for a comparison: beans where two roasts have them, else air.

    Parameters
    ----------
    records : sequence of RoastRecord
        The roasts that are to stand beside each other.

    Returns
    -------
    Role
        In the beans or in the air; a dial measures nothing, and a probe that may be anywhere is like none.

    Examples
    --------
    >>> from nibsmith.science.roast.typed import oven_roast
    >>> kind_of_all([RoastRecord(oven_roast(140.0, 30.0))]).value
    'bean'
    """
    for role in _KINDS:
        if sum(isinstance(probe_of_kind(record, role), Probe) for record in records) > 1:
            return role
    return Role.BEAN


def probe_of_kind(record: RoastRecord, role: Role = Role.BEAN) -> Probe | str:
    """Return the first probe of a kind that nothing is asked about, or why there is none.

    Parameters
    ----------
    record : RoastRecord
        The roast.
    role : Role
        In the beans, or in the air.

    Returns
    -------
    Probe or str
        The probe, or a half sentence.

    Examples
    --------
    >>> from nibsmith.science.roast.typed import oven_roast
    >>> probe_of_kind(RoastRecord(oven_roast(140.0, 30.0)))
    'it has no probe in the beans: “oven setting” is only set, on a dial, and measures nothing'
    """
    found = record.roast.of(role)
    if settled := [probe for probe in found if not record.roast.asked_about(probe.name)]:
        return settled[0]
    if found:
        question = question_words(record.roast.asked_about(found[0].name)[0]).rstrip(".")
        return f"this is to be settled first: {question}"
    others = joined([f"“{probe.name}” {_is(probe)}" for probe in record.roast.probes])
    return f"it has no probe {_WHERE[role]}: {others}"


def _is(probe: Probe) -> str:
    return {
        Role.SETTING: "is only set, on a dial, and measures nothing",
        Role.UNTOLD: "may be anywhere, for nobody has said where it was",
    }.get(probe.role, f"is {_WHERE.get(probe.role, '')}")
