"""When a bar comes off its mould: cool to its core, set through, and shrunk."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from nibsmith.science.cool.bar import Bar, each
from nibsmith.science.cool.course import Course
from nibsmith.science.numerics import Array, Values
from nibsmith.science.tables import load

_PERCENT = 100


class Waiting(StrEnum):
    """What a bar waits for last before it comes off."""

    CORE = "core"
    SOLIDS = "solids"
    CONTRACTION = "contraction"


# Widths over which a condition counts as just short, so that conditions in different units can be compared: a
# kelvin, a tenth of the solids, a tenth of a percent of the length.
_KELVIN_MARGIN, _SOLIDS_MARGIN, _CONTRACTION_MARGIN = 1.0, 0.1, 0.1


@dataclass(frozen=True, slots=True)
class Release:
    """When bars come off, one value for each bar; not a number where a bar does not within the time.

    ``minutes`` after pouring [min]; ``unstable`` low forms as a fraction of all crystals [0 to 1]; ``core``
    [°C]; ``contraction`` of the length [%]; ``surface`` is the colder face [°C]; ``waiting`` says what came
    last, or still lacks most at the end.
    """

    minutes: Array
    unstable: Array
    core: Array
    contraction: Array
    surface: Array
    waiting: tuple[Waiting, ...]


def contraction(fat_share: Values, solids: Values, low_forms: Values = 0.0, start: Values = 0.0) -> Values:
    """Return by how much a mass has shrunk along each edge since it was poured.

    ``v = w·[(1 - X)/rho_l + X/rho_s] + (1 - w)/rho_n`` and ``1 - (v/v_0)^(1/3)``; low forms count a little
    over half.

    Parameters
    ----------
    fat_share : float or array
        Fat in the mass [0 to 1].
    solids : float or array
        Crystals of all forms as a fraction of the fat [0 to 1].
    low_forms : float or array
        Alpha and beta prime among them, as a fraction of the fat [0 to 1].
    start : float or array
        Crystals when it was poured [0 to 1].

    Returns
    -------
    float or array
        Contraction of the length [%].

    Notes
    -----
    Shrinking by cooling alone is left out. An estimate.

    Examples
    --------
    >>> round(contraction(1.0, 0.76), 2), round(contraction(0.35, 0.76), 2)
    (2.26, 1.06)

    References
    ----------
    [lovegren-feuge-1965], [chocolate-constants], [temper-article]
    """
    counted = np.subtract(solids, (1 - load("cool")["contraction_low_forms"].value) * np.asarray(low_forms))
    found = _PERCENT * (1 - np.cbrt(_volume(fat_share, counted) / _volume(fat_share, start)))
    return float(found) if np.ndim(found) == 0 else np.asarray(found)


def released(course: Course, bars: Bar) -> Release:
    """Return when bars come off, and how they are then.

    A bar comes off when its core is at most 16 °C, its solids are nine tenths of what is solid at rest, and
    it has shrunk by 0.7 % of its length.

    Parameters
    ----------
    course : Course
        How they cooled.
    bars : Bar
        The same bars.

    Returns
    -------
    Release
        Times between two kept ones are interpolated [min].

    Notes
    -----
    The sign at the bench is a mould that is clear of the bar, seen from below, over nine tenths of its area.

    Examples
    --------
    >>> from nibsmith.science.cool.bar import Faces, usual_slab
    >>> from nibsmith.science.cool.many import cool_many
    >>> from nibsmith.science.temper import Fat
    >>> bar = Bar(usual_slab(0.01), Faces(12.0, 20.0, 16.7), Fat(0.35), 31.0, 0.02)
    >>> released(cool_many(bar, 60), bar).minutes.round().tolist()
    [37.0]

    References
    ----------
    [common-practice]
    """
    spread = each(bars)
    low = course.forms[:2].sum(axis=0)
    shrunk = np.asarray(contraction(spread.fat.share, course.solids, low, spread.seed))
    lacks = _lacks(course, shrunk)
    short = lacks.max(axis=0)
    after, share = _crossing(short)

    def then(values: Array) -> Array:
        lanes = np.arange(after.size)
        before = np.maximum(after - 1, 0)
        found = values[before, lanes] + share * (values[after, lanes] - values[before, lanes])
        return np.where(np.isnan(share), np.nan, found)

    minutes = np.broadcast_to(course.minutes[:, None], short.shape)
    last = np.where(np.isnan(share), short.shape[0] - 1, np.maximum(after - 1, 0))
    waiting = lacks[:, last.astype(int), np.arange(after.size)].argmax(axis=0)
    return Release(
        then(minutes),
        then(course.unstable),
        then(course.core),
        then(shrunk),
        then(np.minimum(course.top, course.bottom)),
        tuple(tuple(Waiting)[place] for place in waiting),
    )


def _lacks(course: Course, shrunk: Array) -> Array:
    """By how many widths each condition is missed, by condition, time and bar; nothing where it holds."""
    table = load("cool")
    rest = np.maximum(course.at_rest, np.finfo(float).tiny)
    return np.array(
        [
            (course.core - table["release_core"].value) / _KELVIN_MARGIN,
            (table["release_solids"].value - course.solids / rest) / _SOLIDS_MARGIN,
            (table["release_contraction"].value - shrunk) / _CONTRACTION_MARGIN,
        ]
    )


def _crossing(short: Array) -> tuple[Array, Array]:
    """First time at which nothing lacks, and how far on the way to it the last lack ended."""
    holds = short <= 0
    after = holds.argmax(axis=0)
    lanes = np.arange(short.shape[1])
    here, before = short[after, lanes], short[np.maximum(after - 1, 0), lanes]
    with np.errstate(invalid="ignore", divide="ignore"):
        share = np.where(after == 0, 0.0, before / (before - here))
    return after, np.where(holds.any(axis=0), share, np.nan)


def _volume(fat_share: Values, solids: Values) -> Array:
    table = load("cool")
    liquid, solid, rest = (table[key].value for key in ("liquid_fat", "solid_fat", "not_fat"))
    fat = (1 - np.asarray(solids)) / liquid + np.asarray(solids) / solid
    return np.asarray(np.asarray(fat_share) * fat + (1 - np.asarray(fat_share)) / rest)
