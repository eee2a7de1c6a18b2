"""What an entry may say: bounds, texts, and that its figures belong together. Checked before it is stored."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal
from itertools import pairwise
from types import MappingProxyType

from nibsmith.science.errors import InputError
from nibsmith.science.flow import Feel, Use, casson_from_two_points, cup_viscosity, ring_yield
from nibsmith.science.temper import Temper
from nibsmith.shop.batches.models import (
    Addition,
    Curve,
    EndWeight,
    Entry,
    FlowReading,
    FoldIn,
    How,
    SizeReading,
)
from nibsmith.shop.batches.observing import liquid_density
from nibsmith.shop.common import amounts, texts

MOST_HOURS = 200_000
LARGEST_G = 10_000_000
LONGEST_NOTE = 300
LONGEST_CURVE = 20_000
HOTTEST_CELSIUS, COLDEST_CELSIUS = 90, -30
MOST_SECONDS, MOST_MM, MOST_CM3, MOST_PA, MOST_PAS = 3600, 1000, 10_000, 10_000, 10_000
LONGEST_CURVE_SECONDS = 86_400


def check(row: Entry) -> None:
    """Put the texts of an entry in order; refuse what cannot be."""
    amounts.bounded(row.hours, "hours", high=MOST_HOURS, decimals=2)
    row.note = texts.line(row.note, "note", LONGEST_NOTE)
    _CHECKS[type(row)](row)


def _addition(row: Entry) -> None:
    assert isinstance(row, Addition)  # noqa: S101 - for the reader of types
    row.name = texts.name(row.name, longest=200)
    amounts.bounded(row.weighed_g, "weighed_g", high=LARGEST_G)


def _size(row: Entry) -> None:
    assert isinstance(row, SizeReading)  # noqa: S101
    amounts.more_than_nothing(row.median_um, "values", high=5000, decimals=2)


def _flow(row: Entry) -> None:
    assert isinstance(row, FlowReading)  # noqa: S101
    amounts.bounded(row.celsius, "celsius", low=COLDEST_CELSIUS, high=HOTTEST_CELSIUS, decimals=1)
    if not row.tempered and row.celsius is None:
        raise InputError(
            "How warm was it?", advice="A mass that is not tempered flows by its warmth.", field="celsius"
        )
    _FLOW_CHECKS[How(row.how)](row)


def _words(row: FlowReading) -> None:
    if row.feel not in set(Feel) or row.use not in set(Use):
        raise InputError("Say how it was, and for what", advice="Choose both.", field="feel")
    row.tempered = True  # words are about a mass at the moment of pouring


def _cup(row: FlowReading) -> None:
    seconds = _needed(row.seconds, "seconds", MOST_SECONDS, 2)
    _tried(lambda: cup_viscosity(seconds, row.cup, liquid_density()), "seconds")


def _ring(row: FlowReading) -> None:
    spread = _needed(row.diameter_mm, "diameter_mm", MOST_MM, 1)
    volume = _needed(row.volume_cm3, "volume_cm3", MOST_CM3, 2)
    _tried(lambda: ring_yield(spread, volume, liquid_density()), "diameter_mm")


def _viscometer(row: FlowReading) -> None:
    if row.stress_pa is None and row.viscosity_pas is None:
        raise InputError(
            "No figure is typed", advice="Type the stress, the viscosity, or both.", field="stress_pa"
        )
    for value, field, high in (
        (row.stress_pa, "stress_pa", MOST_PA),
        (row.viscosity_pas, "viscosity_pas", MOST_PAS),
    ):
        if value is not None:
            amounts.more_than_nothing(value, field, high=high)
    stress, viscosity = row.stress_pa, row.viscosity_pas
    if stress is not None and viscosity is not None:
        _tried(lambda: casson_from_two_points(float(stress), float(viscosity)).yield_pa, "viscosity_pas")


def _end(row: Entry) -> None:
    assert isinstance(row, EndWeight)  # noqa: S101
    amounts.more_than_nothing(row.grams, "grams", high=LARGEST_G)


def _fold_in(row: Entry) -> None:
    assert isinstance(row, FoldIn)  # noqa: S101
    row.name = texts.name(row.name, longest=200)
    amounts.more_than_nothing(row.weighed_g, "weighed_g", high=LARGEST_G)
    amounts.bounded(row.celsius, "celsius", low=COLDEST_CELSIUS, high=HOTTEST_CELSIUS, decimals=1)


def _curve(row: Entry) -> None:
    assert isinstance(row, Curve)  # noqa: S101
    row.typed = texts.note(row.typed, "typed", LONGEST_CURVE)
    amounts.bounded(row.coolant_celsius, "coolant_celsius", low=COLDEST_CELSIUS, high=30, decimals=1)
    if row.mark and row.mark not in set(Temper):
        raise InputError("This is not on the list", value=row.mark, field="mark")
    times = [seconds for seconds, _ in row.points]
    if any(later <= earlier for earlier, later in pairwise(times)):
        raise InputError("The times do not rise", advice="Put the points in their order.", field="typed")
    if times and times[-1] > LONGEST_CURVE_SECONDS:
        raise InputError("A cooling curve is shorter than a day", value=f"{times[-1]:g} s", field="typed")


def _needed(value: Decimal | None, field: str, high: int, decimals: int) -> float:
    if value is None:
        raise InputError("This is needed", field=field)
    return float(amounts.more_than_nothing(value, field, high=high, decimals=decimals))


def _tried(read: Callable[[], float], field: str) -> None:
    """Refuse beside the field what science refuses to read."""
    try:
        read()
    except InputError as error:
        error.field = field
        raise


_FLOW_CHECKS: Mapping[How, Callable[[FlowReading], None]] = MappingProxyType(
    {How.WORDS: _words, How.CUP: _cup, How.RING: _ring, How.VISCOMETER: _viscometer}
)
_CHECKS: Mapping[type[Entry], Callable[[Entry], None]] = MappingProxyType(
    {
        Addition: _addition,
        SizeReading: _size,
        FlowReading: _flow,
        EndWeight: _end,
        FoldIn: _fold_in,
        Curve: _curve,
    }
)
