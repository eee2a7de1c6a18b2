"""From what is seen on mass or bars to what it may come from: a table read backwards."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Any

from nibsmith.science.errors import InputError
from nibsmith.science.tables import Status, load_data


@dataclass(frozen=True, slots=True)
class Sight:
    """Something that can be seen or is known: ``when`` is bars, mass or known."""

    key: str
    when: str
    words: str


@dataclass(frozen=True, slots=True)
class Cause:
    """What may be behind a fault, the sights for and against it, and what to do now and next time."""

    key: str
    words: str
    speaks_for: frozenset[str]
    speaks_against: frozenset[str]
    now: str
    next_time: str
    source: str
    status: Status


@dataclass(frozen=True, slots=True)
class Suspicion:
    """A cause with the sights that were told for and against it, and those that would settle it."""

    cause: Cause
    told_for: tuple[Sight, ...]
    told_against: tuple[Sight, ...]
    look_for: tuple[Sight, ...]


def sights() -> Mapping[str, Sight]:
    """Return everything that can be told.

    Returns
    -------
    Mapping[str, Sight]
        By key, bars first.

    Examples
    --------
    >>> sights()["streaks"].words
    'Streaks or grey marks within a day'

    References
    ----------
    [common-practice]
    """
    return _read()[0]


def suspects(told: Collection[str]) -> tuple[Suspicion, ...]:
    """Return what a fault may come from, the likeliest first.

    A cause is suspected if more sights speak for it than against it. Order: that difference, then how
    common it is.

    Parameters
    ----------
    told : collection of str
        Keys of sights.

    Returns
    -------
    tuple of Suspicion
        Empty where nothing fits.

    Raises
    ------
    InputError
        For a key that is in no table.

    Examples
    --------
    >>> [suspicion.cause.key for suspicion in suspects({"streaks", "warm_worked"})][:1]
    ['no_seed']
    >>> suspects({"seized"})[0].cause.key
    'water'

    References
    ----------
    [afoakwa-temper-2008], [greweling], [common-practice]
    """
    known, causes = _read()
    strange = sorted(set(told) - known.keys())
    if strange:
        raise InputError("No such sight", value=strange[0], advice=f"There are: {', '.join(known)}.")
    found = [_suspicion(cause, frozenset(told)) for cause in causes.values()]
    fitting = [one for one in found if len(one.told_for) > len(one.told_against)]
    return tuple(sorted(fitting, key=lambda one: len(one.told_against) - len(one.told_for)))


def _suspicion(cause: Cause, told: frozenset[str]) -> Suspicion:
    known = _read()[0]

    def listed(keys: frozenset[str]) -> tuple[Sight, ...]:
        return tuple(sight for key, sight in known.items() if key in keys)

    return Suspicion(
        cause,
        listed(cause.speaks_for & told),
        listed(cause.speaks_against & told),
        listed(cause.speaks_for - told),
    )


@cache
def _read() -> tuple[Mapping[str, Sight], Mapping[str, Cause]]:
    data: Mapping[str, Any] = load_data("temper_faults")
    known = {key: Sight(key, row["when"], row["words"]) for key, row in data["sight"].items()}
    causes = {
        key: Cause(
            key,
            row["words"],
            frozenset(row["for"]),
            frozenset(row["against"]),
            row["now"],
            row["next"],
            row["source"],
            Status(row["status"]),
        )
        for key, row in data["cause"].items()
    }
    return MappingProxyType(known), MappingProxyType(causes)
