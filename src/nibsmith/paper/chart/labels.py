"""Where words go so that they stand on nothing: beside marks, at the ends of curves, in the margin above."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

LETTER = 9  # a letter is about this wide [px]; the page's typeface is the reader's own
ROW = 20  # from one line of words to the next [px]
GAP = 8
NEAR = 4  # from a curve to letters that it would touch [px]
_BROAD = frozenset("mwMW@%—…")


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a text is set: its anchor, its baseline, and the box it fills [px]."""

    x: float
    y: float
    anchor: str
    left: float
    right: float

    @property
    def top(self) -> float:
        """Upper edge of the letters."""
        return self.y - ROW + 4

    def meets(self, other: Spot) -> bool:
        """Whether two texts would touch."""
        apart = self.right + GAP < other.left or other.right + GAP < self.left
        return not (apart or self.y < other.top or other.y < self.top)

    def covers(self, points: Iterable[tuple[float, float]]) -> int:
        """Count points under the text, or so near beside it that they touch its letters."""
        left, right = self.left - NEAR, self.right + NEAR
        return sum(left <= x <= right and self.top <= y <= self.y + 4 for x, y in points)


def width_of(words: str) -> int:
    """Return about how wide a text is [px]."""
    return len(words) * LETTER


def widest_of(words: str) -> int:
    """Return how wide a text can be at the most, by its letters, in any usual typeface [px].

    Examples
    --------
    >>> widest_of("form V"), widest_of("mmm")
    (69, 48)
    """
    return sum(16 if letter in _BROAD else 13 if letter.isupper() else 10 for letter in words)


def fitted(words: str, room: float) -> str:
    """Return a text that fits into a room, its end given up where it does not [px].

    Examples
    --------
    >>> fitted("beans", 60.0), fitted("the lower of the two probes", 60.0)
    ('beans', 'the l…')
    """
    most = max(2, int(room // LETTER))
    return words if len(words) <= most else f"{words[: most - 1].rstrip()}…"


def spot(x: float, y: float, words: str, anchor: str) -> Spot:
    """Return the spot of a text with its start, middle or end at a place."""
    wide = width_of(words)
    left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
    return Spot(x, y, anchor, left, left + wide)


@dataclass(frozen=True, slots=True)
class Room:
    """A strip as words see it: its edges, the words that stand already, points of its curves [px]."""

    inside: tuple[float, float, float, float]
    taken: Sequence[Spot]
    curves: Sequence[tuple[float, float]]

    def best(self, spots: Iterable[Spot]) -> Spot:
        """Return the first of the spots with the fewest faults, moved inside the strip."""
        return min((self._moved(one) for one in spots), key=self._faults)

    def _moved(self, one: Spot) -> Spot:
        left, _, right, _ = self.inside
        shift = max(0.0, left - one.left) or min(0.0, max(right - one.right, left - one.left))
        return Spot(one.x + shift, one.y, one.anchor, one.left + shift, one.right + shift)

    def _faults(self, one: Spot) -> tuple[int, int]:
        _, top, _, bottom = self.inside
        outside = one.top < top or one.y > bottom - 3
        return outside + sum(one.meets(other) for other in self.taken), one.covers(self.curves)


def around(x: float, y: float, words: str) -> list[Spot]:
    """Return the spots around a mark, best first."""
    return [
        spot(x + side * 10, y + down, words, anchor)
        for down in (-12, 24, 5, -34, 46)
        for side, anchor in ((1, "start"), (-1, "end"))
    ]


def spread(wanted: Sequence[float], low: float, high: float, apart: float = ROW) -> list[float]:
    """Move places on a line apart as little as it takes, in the same order, between two ends.

    Examples
    --------
    >>> spread([10.0, 12.0, 90.0], 0.0, 100.0)
    [10.0, 30.0, 90.0]
    >>> spread([95.0, 96.0], 0.0, 100.0)
    [80.0, 100.0]
    """
    order = sorted(range(len(wanted)), key=lambda index: wanted[index])
    placed: list[float] = []
    for index in order:
        placed.append(max(low, wanted[index], placed[-1] + apart if placed else low))
    ceiling = high
    for at in range(len(placed) - 1, -1, -1):
        placed[at] = min(placed[at], ceiling)
        ceiling = placed[at] - apart
    found = [0.0] * len(wanted)
    for index, place in zip(order, placed, strict=True):
        found[index] = place
    return found


def in_rows(texts: Sequence[tuple[float, str]], left: float, right: float) -> list[tuple[int, Spot]]:
    """Set texts over their places in as few rows as they need, the first row lowest, none over the edges.

    Examples
    --------
    >>> [row for row, _ in in_rows([(50.0, "charge"), (60.0, "turning"), (300.0, "out")], 0.0, 400.0)]
    [0, 1, 0]
    """
    rows: list[list[Spot]] = []
    found = []
    for x, words in texts:
        half = width_of(words) / 2
        middle = min(max(x, left + half), max(left + half, right - half))
        one = spot(middle, 0.0, words, "middle")
        row = next(
            (at for at, there in enumerate(rows) if not any(one.meets(two) for two in there)), len(rows)
        )
        if row == len(rows):
            rows.append([])
        rows[row].append(one)
        found.append((row, one))
    return found
