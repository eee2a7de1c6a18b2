"""What is typed at the bench, read once: hours of work, several sizes at a time, the points of a curve."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal

from nibsmith.science.errors import InputError
from nibsmith.science.quantities import DecimalSign, parse_number, round_half_up

HUNDREDTH = Decimal("0.01")
MOST_HOURS = Decimal(2000)
MOST_SIZES = 30
SMALLEST_UM, LARGEST_UM = Decimal(1), Decimal(5000)
MOST_POINTS = 2000
MINUTE = 60
_HOURS_IN = {"h": Decimal(1), "hour": Decimal(1), "d": Decimal(24), "day": Decimal(24)}
_CLOCK = re.compile(r"(\d{1,4}):([0-5]\d)(?::([0-5]\d))?")
_WITH_UNIT = re.compile(r"(.*?)\s*(h|hours?|hrs?|min|minutes?|d|days?)\.?", re.IGNORECASE)
_MICROMETRES = re.compile(r"(µm|μm|um|micrometres?|microns?)\b", re.IGNORECASE)
_BETWEEN = re.compile(r"[;\s]+")

Point = tuple[Decimal, Decimal]


def parse_hours(text: str, sign: DecimalSign | None) -> Decimal:
    """Return hours typed as 14.5, 14.5 h, 14:30, 90 min or 2 d.

    >>> [str(parse_hours(text, ".")) for text in ("14.5", "14:30", "90 min", "2 d")]
    ['14.50', '14.50', '1.50', '48.00']
    """
    typed = text.strip()
    clock = _CLOCK.fullmatch(typed)
    if clock:
        hours = Decimal(int(clock[1])) + Decimal(int(clock[2])) / MINUTE
    else:
        hours = _hours_with_unit(typed, sign)
    if hours > MOST_HOURS:
        raise InputError("These are too many hours", value=text, limit=f"{MOST_HOURS} h")
    return round_half_up(hours, HUNDREDTH)


def _hours_with_unit(typed: str, sign: DecimalSign | None) -> Decimal:
    found = _WITH_UNIT.fullmatch(typed)
    if not found:
        return parse_number(typed, decimal_sign=sign, most=MOST_HOURS)
    number, unit = parse_number(found[1], decimal_sign=sign), found[2].lower()
    if unit.startswith("m"):
        return number / MINUTE
    return number * _HOURS_IN["d" if unit.startswith("d") else "h"]


def parse_sizes(text: str, sign: DecimalSign | None) -> tuple[Decimal, ...]:
    """Return micrometer readings typed one after another, with spaces between them [µm].

    >>> [str(size) for size in parse_sizes("38 41, 36.5 µm", ".")]
    ['38', '41', '36.5']
    """
    words = [word.rstrip(",") for word in _BETWEEN.split(_MICROMETRES.sub(" ", text)) if word.rstrip(",")]
    if not words:
        raise InputError("No size is read here", value=text, advice="Type such as 38 41 36.")
    if len(words) > MOST_SIZES:
        raise InputError("These are too many at once", value=len(words), limit=MOST_SIZES)
    return tuple(_size(word, sign) for word in words)


def _size(word: str, sign: DecimalSign | None) -> Decimal:
    size = parse_number(word, decimal_sign=sign)
    if not SMALLEST_UM <= size <= LARGEST_UM:
        limit = f"{SMALLEST_UM} to {LARGEST_UM} µm"
        raise InputError("No grain is of this size", value=f"{word} µm", limit=limit)
    return size if size == round_half_up(size, HUNDREDTH) else round_half_up(size, HUNDREDTH)


def parse_points(text: str) -> tuple[Point, ...]:
    r"""Return the points of a cooling curve, a line each: seconds or minutes:seconds, then °C.

    >>> parse_points("0 31.5\n0:30 29,8")
    ((Decimal('0'), Decimal('31.5')), (Decimal('30'), Decimal('29.8')))
    """
    points = tuple(_points(text))
    if not points:
        raise InputError("No point is typed", advice="Type a line for each, such as 0:30 29.8.")
    if len(points) > MOST_POINTS:
        raise InputError("These are too many points", value=len(points), limit=MOST_POINTS)
    return points


def _points(text: str) -> Iterator[Point]:
    for number, line in enumerate(text.splitlines(), 1):
        words = [word.rstrip(",") for word in re.split(r"[;\s]+", line.strip()) if word.rstrip(",")]
        if not words:
            continue
        if len(words) != 2:
            raise _no_point(number, line)
        try:
            yield _seconds(words[0]), _number(words[1])
        except InputError:
            raise _no_point(number, line) from None


def _no_point(number: int, line: str) -> InputError:
    advice = "Write a time and a temperature, such as 0:30 29.8."
    return InputError(f"Line {number} is no point", value=line.strip()[:60], advice=advice)


def _seconds(word: str) -> Decimal:
    clock = _CLOCK.fullmatch(word)
    if not clock:
        return _number(word)
    minutes = int(clock[1]) * MINUTE + int(clock[2])
    return Decimal(minutes) if clock[3] is None else Decimal(minutes * MINUTE + int(clock[3]))


def _number(word: str) -> Decimal:
    """A time or a temperature has no thousands: a comma is always the decimal sign."""
    return parse_number(word.replace(",", "."), decimal_sign=".")
