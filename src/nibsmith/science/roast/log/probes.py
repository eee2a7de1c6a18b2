"""The columns that are probes: where each is, on which scale, and its readings without what cannot be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.numerics import Array
from nibsmith.science.quantities.temperature import scales
from nibsmith.science.roast.curves import Curve, Doubt, Probe, Question, Role
from nibsmith.science.roast.log.columns import Column, Kind
from nibsmith.science.roast.log.heads import SCALES, Head, Heads, Says
from nibsmith.science.roast.log.order import gap_limit
from nibsmith.science.roast.log.spikes import impossible, scatter, spikes
from nibsmith.science.roast.log.times import rises
from nibsmith.science.roast.log.told import LogScale, Told
from nibsmith.science.roast.log.understood import ProbeFound, ScaleFrom, Unused
from nibsmith.science.tables import load

_FEWEST_CONSTANT = 3


@dataclass(frozen=True, eq=False)
class Source:
    """A column that is a probe, before its readings are cleaned."""

    column: Column
    name: str
    role: Role
    told: bool
    scale: LogScale
    scale_from: ScaleFrom


@dataclass(frozen=True, eq=False)
class Read:
    """A probe with its readings, what was found of it, and what is to be settled."""

    probe: Probe
    found: ProbeFound
    question: Question | None


def sort_out(
    columns: Sequence[Column], heads: Heads, used: frozenset[int], told: Told
) -> tuple[list[Source], list[tuple[str, Unused]]]:
    r"""Return the columns that are probes, and why each other one is none.

    Parameters
    ----------
    columns : sequence of Column
        All columns of the file.
    heads : Heads
        What stands above them.
    used : frozenset of int
        Numbers of the columns that are the times.
    told : Told
        What the maker says beside the log.

    Returns
    -------
    tuple of list and list
        The probes, and the name of each other column with the reason.

    Raises
    ------
    InputError
        If the maker names a column that is not there.

    Examples
    --------
    >>> from nibsmith.science.roast.log.cells import cut
    >>> from nibsmith.science.roast.log.columns import RawColumn
    >>> from nibsmith.science.roast.log.heads import read_heads
    >>> cells = cut(b"0;24.0\n60;31.5\n120;40.0\n")
    >>> both = [RawColumn(cells, number).settled(0) for number in range(2)]
    >>> found, _ = sort_out(both, read_heads([(1, "s;beans (C)")], ";", 2), frozenset({0}), Told())
    >>> [(source.name, source.scale) for source in found]
    [('beans', 'C')]
    """
    named = _told_roles(heads.heads, told)
    sources, unused = [], []
    for column in columns:
        head = heads.heads[column.number]
        name = head.name or f"column {column.number + 1}"
        if column.number in used:
            continue
        why = None if column.number in named else _no_probe(column, head)
        if why is not None:
            unused.append((name, why))
            continue
        role = named.get(column.number) or head.role or Role.UNTOLD
        scale, scale_from = _scale(column, heads, told, columns)
        sources.append(Source(column, name, role, column.number in named, scale, scale_from))
    return sources, unused


def _told_roles(heads: Sequence[Head], told: Told) -> dict[int, Role]:
    roles: dict[int, Role] = {}
    for role, names in ((Role.BEAN, told.beans), (Role.AIR, told.air)):
        for wanted in names:
            roles |= dict.fromkeys(_columns_named(heads, wanted), role)
    return roles


def _columns_named(heads: Sequence[Head], wanted: str) -> list[int]:
    found = [
        number
        for number, head in enumerate(heads)
        if wanted.lower() in (head.name.lower(), str(number + 1), f"column {number + 1}")
    ]
    if not found:
        names = ", ".join(head.name or f"column {number}" for number, head in enumerate(heads, 1))
        raise InputError("No column has this name", value=wanted, advice=f"They are: {names}.")
    return found


def _no_probe(column: Column, head: Head) -> Unused | None:
    if column.kind is Kind.EMPTY:
        return Unused.EMPTY
    if column.kind is Kind.TEXT:
        return Unused.NOTES
    if column.kind is not Kind.NUMBER:
        return Unused.OTHER_TIME
    if head.says is Says.INDEX or (not head.name and _counts_rows(column.values)):
        return Unused.ROW_NUMBER
    if head.says in (Says.TIME, Says.ELAPSED) and rises(column.values):
        return Unused.OTHER_TIME
    no_scale = (head.unit or column.unit) not in ("", *SCALES)
    if no_scale or head.role is None:
        return Unused.NO_TEMPERATURE
    return None


def _counts_rows(values: Array) -> bool:
    steps = np.diff(values[np.isfinite(values)])
    return bool(steps.size > 1 and (steps == 1).all())


def _scale(column: Column, heads: Heads, told: Told, columns: Sequence[Column]) -> tuple[LogScale, ScaleFrom]:
    """The scale of a probe: as told, by its head, by its cells, by what stands elsewhere, else °C."""
    if told.scale is not None:
        return told.scale, ScaleFrom.TOLD
    for scale, scale_from in (
        (heads.heads[column.number].scale, ScaleFrom.HEAD),
        (SCALES.get(column.unit), ScaleFrom.CELLS),
    ):
        if scale is not None and (scale != "K" or _may_be_kelvin(column)):
            return scale, scale_from
    written = [heads.scale_above] if heads.scale_above else [head.scale for head in heads.heads]
    written += [] if heads.scale_above else [SCALES.get(each.unit) for each in columns]
    others = {scale for scale in written if scale in ("C", "F")}
    return (others.pop(), ScaleFrom.ELSEWHERE) if len(others) == 1 else ("C", ScaleFrom.TAKEN)


def _may_be_kelvin(column: Column) -> bool:
    """Whether a letter K can be the scale: a kind of thermocouple goes by that letter too."""
    coldest = load("roast")["reading_lowest"].value + float(scales().celsius_zero_k)
    known = column.values[np.isfinite(column.values)]
    return bool(known.size and known.min() >= coldest)


def celsius_of(source: Source) -> Array:
    """Return the readings of a probe, whatever scale they were written in.

    Parameters
    ----------
    source : Source
        A column with its scale.

    Returns
    -------
    array
        One for each row, no number where there is no reading [°C].

    Examples
    --------
    >>> values = np.array([32.0, 212.0])
    >>> column = Column(1, Kind.NUMBER, values, values, values)
    >>> celsius_of(Source(column, "beans", Role.BEAN, True, "F", ScaleFrom.TOLD)).tolist()
    [0.0, 100.0]
    """
    values = source.column.values
    if source.scale == "K":
        return np.asarray(values - float(scales().celsius_zero_k))
    if source.scale == "C":
        return values
    return np.asarray((values - float(scales().fahrenheit_zero)) / float(scales().fahrenheit_per_kelvin))


def cleaned(source: Source, times: Array, celsius: Array) -> Read | None:
    """Return a probe with its readings, without those that cannot be.

    Parameters
    ----------
    source : Source
        The column it is from.
    times : array
        Rising [s].
    celsius : array
        A reading for each time, no number where there is none [°C].

    Returns
    -------
    Read or None
        ``None`` where not one reading is left.

    Examples
    --------
    >>> values = np.array([24.0, 31.0, 900.0, 45.0])
    >>> column = Column(1, Kind.NUMBER, values, values, values)
    >>> source = Source(column, "beans", Role.BEAN, True, "C", ScaleFrom.TOLD)
    >>> read = cleaned(source, np.array([0.0, 60.0, 120.0, 180.0]), values)
    >>> read.probe.readings.celsius.tolist(), read.found.impossible
    ([24.0, 31.0, 45.0], 1)
    """
    there = np.isfinite(celsius)
    wild = impossible(np.where(there, celsius, 0.0))
    kept = there & ~wild
    at, values = times[kept], celsius[kept]
    if not at.size:
        return None
    lone = spikes(values)
    probe_times, readings = at[~lone], values[~lone]
    curve = Curve(probe_times, readings, gap_limit(probe_times))
    found = ProbeFound(
        name=source.name,
        role=source.role,
        told=source.told,
        scale=source.scale,
        scale_from=source.scale_from,
        readings=int(readings.size),
        missing=int(times.size - there.sum()),
        impossible=int(wild.sum()),
        spikes=tuple(at[lone].tolist()),
        scatter_k=scatter(readings),
        still_s=_still(curve),
        low=float(readings.min()),
        high=float(readings.max()),
    )
    return Read(Probe(source.name, source.role, curve), found, _question(source, curve))


def _still(curve: Curve) -> float:
    """The longest time over which a warm probe showed the same [s]."""
    warm = curve.celsius >= load("roast")["question_cool"].value
    moves = np.flatnonzero((np.diff(curve.celsius) != 0) | ~warm[1:])
    edges = np.concatenate(([0], moves + 1, [curve.times_s.size]))
    first, last = edges[:-1], edges[1:] - 1
    return float((curve.times_s[last] - curve.times_s[first]).max())


def _question(source: Source, curve: Curve) -> Question | None:
    """What is strange about a probe: too hot for its scale, or the same all the time."""
    table, hottest = load("roast"), curve.hottest[1]
    written = source.scale_from is not ScaleFrom.TAKEN
    limit = "question_air" if source.role in (Role.AIR, Role.SETTING) else "question_bean"
    if source.scale != "F" and source.scale_from is not ScaleFrom.TOLD and hottest > table[limit].value:
        kelvin = source.scale == "C" and _roast_in_kelvin(curve, table[limit].value)
        return Question(Doubt.HOT, source.name, hottest, "C", written, kelvin=kelvin)
    if curve.constant and curve.times_s.size >= _FEWEST_CONSTANT and source.role is not Role.SETTING:
        return Question(Doubt.CONSTANT, source.name, hottest, "C", written)
    return None


def _roast_in_kelvin(curve: Curve, limit: float) -> bool:
    """Whether figures taken for °C would be a roast if they were in kelvin: no colder, cooler or hotter."""
    table, zero = load("roast"), float(scales().celsius_zero_k)
    coldest, hottest = float(curve.celsius.min()) - zero, curve.hottest[1] - zero
    return coldest >= table["question_cold"].value and table["question_cool"].value <= hottest <= limit


def all_cool(sources: Sequence[Source], reads: Sequence[Read]) -> list[Question]:
    """Ask about the scale where it is °F and no probe ever got warm by it.

    Parameters
    ----------
    sources : sequence of Source
        The columns of the probes.
    reads : sequence of Read
        The probes with their readings.

    Returns
    -------
    list of Question
        One for each probe that nothing else is asked of; none where the scale is told or any probe got warm.

    Examples
    --------
    >>> values = np.array([24.0, 31.0])
    >>> column = Column(1, Kind.NUMBER, values, values, values)
    >>> source = Source(column, "beans", Role.BEAN, True, "F", ScaleFrom.TAKEN)
    >>> read = cleaned(source, np.array([0.0, 60.0]), celsius_of(source))
    >>> [question.doubt.value for question in all_cool([source], [read])]
    ['cool']
    """
    limit = load("roast")["question_cool"].value
    doubtful = [
        source for source in sources if source.scale == "F" and source.scale_from is not ScaleFrom.TOLD
    ]
    if len(doubtful) < len(sources) or any(read.found.high > limit for read in reads):
        return []
    factor, zero = float(scales().fahrenheit_per_kelvin), float(scales().fahrenheit_zero)
    return [
        Question(Doubt.COOL, read.found.name, read.found.high * factor + zero, "F")
        for read in reads
        if read.question is None
    ]
