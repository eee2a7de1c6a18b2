"""A logger that writes a roast in many ways, so that reading can be held against what was written."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

Times = Callable[[int], str]


def _elapsed(seconds: int) -> str:
    return f"{seconds // 3600}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"


def _minutes(seconds: int) -> str:
    return f"{seconds // 60}:{seconds % 60:02d}"


def _clock(seconds: int) -> str:
    day = (23 * 3600 + 3000 + seconds) % 86400
    return f"{day // 3600:02d}:{day // 60 % 60:02d}:{day % 60:02d}"


def _iso(seconds: int) -> str:
    day, rest = divmod(23 * 3600 + 3000 + seconds, 86400)
    return f"2026-02-{27 + day:02d}T{rest // 3600:02d}:{rest // 60 % 60:02d}:{rest % 60:02d}"


def _halves(seconds: int) -> str:
    day = 11 * 3600 + 3000 + seconds
    hour, half = day // 3600, "AM" if day < 43200 else "PM"
    return f"{(hour - 1) % 12 + 1}:{day // 60 % 60:02d}:{day % 60:02d} {half}"


WAYS: dict[str, tuple[str, Times]] = {
    "seconds": ("time (s)", str),
    "elapsed": ("elapsed", _elapsed),
    "minutes": ("elapsed (mm:ss)", _minutes),
    "clock": ("time", _clock),
    "iso": ("date time", _iso),
    "halves": ("time", _halves),
    "epoch": ("timestamp", lambda seconds: str(1_770_000_000 + seconds)),
}


@dataclass(frozen=True)
class Logger:
    """How a logger writes: way of times, separator, decimal sign, encoding, line end, quotes, words above."""

    way: str = "seconds"
    separator: str = ","
    decimal: str = "."
    encoding: str = "utf-8"
    end: str = "\n"
    quotes: bool = False
    fahrenheit: bool = False
    above: Sequence[str] = field(default=())

    def write(self, times: Sequence[int], columns: Sequence[Sequence[float]], digits: int) -> bytes:
        """Return the file; ``columns`` holds one list of readings for each probe, as they are shown."""
        head, time_of = WAYS[self.way]
        unit = "°F" if self.fahrenheit else "°C"
        names = [f"beans {number} ({unit})" for number in range(1, len(columns) + 1)]
        rows = [[head, *names]]
        for place, time in enumerate(times):
            readings = (f"{column[place]:.{digits}f}".replace(".", self.decimal) for column in columns)
            rows.append([time_of(time), *readings])
        lines = [*self.above, *(self.separator.join(map(self._cell, row)) for row in rows)]
        return (self.end.join(lines) + self.end).encode(self.encoding)

    def _cell(self, text: str) -> str:
        return f'"{text}"' if self.quotes else text
