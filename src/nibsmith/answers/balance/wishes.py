"""What a maker wishes of a balance, read from a ``[limits]`` table with every fault named."""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from nibsmith.answers.figure_keys import PROPERTY_OF
from nibsmith.science.errors import InputError
from nibsmith.science.formulate import Objective
from nibsmith.science.legal import classes, jurisdictions
from nibsmith.science.mixture import Basis, Part
from nibsmith.science.quantities import parse_mass

if TYPE_CHECKING:  # its module loads numpy, which reading wishes does not need
    from nibsmith.science.flow import Use

OTHER_KEYS = ("share", "mass", "lock", "cost_per_kg", "called", "pours", "objective", "total", "offer")
_ENDS = ("min", "max", "target")
_BASES = {basis.value: basis for basis in Basis}


@dataclass(frozen=True)
class Between:
    """A lower and an upper bound, either of which may be open; a target is both at one."""

    low: float | None = None
    high: float | None = None


@dataclass(frozen=True)
class PropertyWish:
    """A wish on a property: bounds per 100 g of a basis, in the property's own unit."""

    key: str
    between: Between
    basis: Basis = Basis.MACHINE


@dataclass(frozen=True)
class Wishes:
    """What a balance is asked for.

    Shares in percent of everything weighed and weights in grams by part label; ``lock`` holds shares where
    they are; ``cost_per_kg`` in the workshop's currency; ``called`` are jurisdiction and name; ``total_g``
    is ``None`` where the total is kept, and bounds where it is free or given; ``offer`` are keys of
    packaged ingredients that may come in, or parts of any other; ``pours`` asks that the mass pours, for
    ``pours_for`` where a use is named, else for what it usually is poured for.
    """

    properties: tuple[PropertyWish, ...] = ()
    shares: Mapping[str, Between] | None = None
    masses_g: Mapping[str, Between] | None = None
    lock: tuple[str, ...] = ()
    cost_per_kg: Between | None = None
    called: tuple[tuple[str, str], ...] = ()
    objective: Objective = Objective.LEAST_CHANGE
    total_g: Between | None = None
    offer: tuple[str | Part, ...] = ()
    pours: bool = False
    pours_for: Use | None = None


def wishes_from(table: Mapping[str, object]) -> Wishes:
    """Read a ``[limits]`` table.

    Parameters
    ----------
    table : Mapping
        As typed: a property key such as ``total_fat_percent`` with a number (hit exactly) or a table of
        ``min``, ``max`` or ``target`` and ``basis``; ``share`` and ``mass`` by part; ``lock``, ``called``
        and ``offer`` as lists; ``cost_per_kg``; ``pours`` as true or a use;
        ``objective``; ``total`` as ``keep``, ``free`` or a weight.

    Returns
    -------
    Wishes
        The wishes, percent and grams.

    Raises
    ------
    InputError
        With the key, what is wrong with it, and what it could be.

    Examples
    --------
    >>> wishes = wishes_from({"total_fat_percent": {"min": 32, "max": 36}, "lock": ["cocoa_nibs_roasted"]})
    >>> wishes.properties[0].between, wishes.lock
    (Between(low=32.0, high=36.0), ('cocoa_nibs_roasted',))
    """
    for key in table:
        if key not in PROPERTY_OF and key not in OTHER_KEYS:
            raise _unknown(key, (*PROPERTY_OF, *OTHER_KEYS), f"limits.{key}")
    pours, pours_for = _pours(table.get("pours", False))
    return Wishes(
        properties=tuple(_properties(table)),
        shares=_by_part(table, "share", percent=True),
        masses_g=_by_part(table, "mass", percent=False),
        lock=_words(table, "lock"),
        cost_per_kg=_between(table["cost_per_kg"], "limits.cost_per_kg") if "cost_per_kg" in table else None,
        called=tuple(_called(word) for word in _words(table, "called")),
        objective=_objective(table.get("objective", Objective.LEAST_CHANGE.value)),
        total_g=_total(table.get("total", "keep")),
        offer=_words(table, "offer"),
        pours=pours,
        pours_for=pours_for,
    )


def _properties(table: Mapping[str, object]) -> Iterator[PropertyWish]:
    for key, value in table.items():
        if key in PROPERTY_OF:
            field = f"limits.{key}"
            basis = (
                value.get("basis", Basis.MACHINE.value) if isinstance(value, Mapping) else Basis.MACHINE.value
            )
            if basis not in _BASES:
                raise _unknown(str(basis), tuple(_BASES), f"{field}.basis")
            yield PropertyWish(PROPERTY_OF[key], _between(value, field, more=("basis",)), _BASES[str(basis)])


def _by_part(table: Mapping[str, object], name: str, *, percent: bool) -> Mapping[str, Between] | None:
    if name not in table:
        return None
    value = table[name]
    if not isinstance(value, Mapping):
        raise InputError(
            f"{name} is a table by part",
            value=value,
            advice=f"Write {name}.sugar_granulated = {{max = 35}}.",
            field=f"limits.{name}",
        )
    return {
        str(label): _between(wish, f"limits.{name}.{label}", weights=not percent)
        for label, wish in value.items()
    }


def _between(value: object, field: str, *, weights: bool = False, more: Sequence[str] = ()) -> Between:
    """A number, or a table of min, max or target."""
    if not isinstance(value, Mapping):
        number = _number(value, field, weights=weights)
        return Between(number, number)
    for key in value:
        if key not in (*_ENDS, *more):
            raise _unknown(str(key), (*_ENDS, *more), f"{field}.{key}")
    ends = {key: _number(value[key], f"{field}.{key}", weights=weights) for key in _ENDS if key in value}
    if not ends or ("target" in ends and len(ends) > 1):
        raise InputError(
            "A limit is a min, a max, both, or a target alone",
            value=", ".join(ends) or "nothing",
            field=field,
        )
    if "target" in ends:
        return Between(ends["target"], ends["target"])
    low, high = ends.get("min"), ends.get("max")
    if low is not None and high is not None and low > high:
        raise InputError("The lower end is over the upper one", value=f"{low:g} and {high:g}", field=field)
    return Between(low, high)


def _number(value: object, field: str, *, weights: bool) -> float:
    if weights and isinstance(value, str):
        return float(parse_mass(value))
    if isinstance(value, bool) or not isinstance(value, (int, float, Decimal)):
        raise InputError("This is not a number", value=repr(value), advice="Type digits only.", field=field)
    number = float(value)
    if not math.isfinite(number) or number < 0:
        raise InputError("A limit is a number of zero or more", value=value, field=field)
    return number


def _words(table: Mapping[str, object], name: str) -> tuple[str, ...]:
    value = table.get(name, ())
    if (
        isinstance(value, str)
        or not isinstance(value, Sequence)
        or not all(isinstance(word, str) for word in value)
    ):
        raise InputError(f"{name} is a list of names", value=repr(value), field=f"limits.{name}")
    return tuple(dict.fromkeys(str(word) for word in value))


def _called(word: str) -> tuple[str, str]:
    field = "limits.called"
    market, colon, key = word.partition(":")
    if not colon:
        raise InputError(
            "A name is a market and a name of it", value=word, advice='Write it like "eu:milk".', field=field
        )
    if market not in jurisdictions():
        raise _unknown(market, tuple(jurisdictions()), field)
    keys = tuple(classes(market))
    if key not in keys:
        raise _unknown(key, keys, field)
    return market, key


def _objective(value: object) -> Objective:
    known = [objective.value for objective in Objective]
    if value not in known:
        raise _unknown(str(value), known, "limits.objective")
    return Objective(str(value))


def _total(value: object) -> Between | None:
    if value == "keep":
        return None
    return Between() if value == "free" else _between(value, "limits.total", weights=True)


def _pours(value: object) -> tuple[bool, Use | None]:
    if isinstance(value, bool):
        return value, None
    from nibsmith.science.flow import Use

    known = [use.value for use in Use]
    word = str(value).replace("-", "_")
    if word not in known:
        raise _unknown(str(value), known, "limits.pours")
    return True, Use(word)


def _unknown(word: str, known: Sequence[str], field: str) -> InputError:
    near = difflib.get_close_matches(word, known, n=3, cutoff=0.5) or list(known)[:8]
    return InputError(
        "This is not known here", value=word, advice=f"Near it: {', '.join(near)}.", field=field
    )
