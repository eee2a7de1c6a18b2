"""What becomes of a tempered bowl that is held warm: its crystals grow until it is too thick."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.numerics import Array, Values, bracketed_root
from nibsmith.science.tables import load
from nibsmith.science.temper.crystals import Fat, check_fat
from nibsmith.science.temper.solids import growth_rate, solid_fat


@dataclass(frozen=True, slots=True)
class HeldBowl:
    """A bowl held at one temperature: what it ends at, how fast it gets there, and when it is too thick.

    ``most`` is the solid fraction of the fat that it ends at [0 to 1]; ``growth`` is the rate [1/min];
    ``doubling_minutes`` says how fast few crystals double [min]; ``minutes`` is when they pass the limit, or
    ``None`` where they never do [min].
    """

    celsius: float
    seed: float
    most: float
    growth: float
    doubling_minutes: float
    minutes: float | None

    def solids(self, minutes: Array) -> Array:
        """Return the solid fraction of the fat after these times [0 to 1]."""
        if self.most <= self.seed:
            return np.full_like(minutes, self.most)
        start = 1 - self.seed / self.most
        rising = np.exp(2 * self.growth * minutes)
        left = 1 / np.sqrt(1 + (start**-2 - 1) * rising)
        return np.asarray(self.most * (1 - left))


def held_bowl(celsius: float, fat: Fat, seed: float | None = None, limit: float | None = None) -> HeldBowl:
    """Return what becomes of a tempered bowl that is held at one temperature.

    ``b = B·(1 - h)``, ``h = [1 + (1/h_0² - 1)·exp(2·K·t)]^(-1/2)``: form V growing on its seeds alone.

    Parameters
    ----------
    celsius : float
        Temperature of the bowl [°C].
    fat : Fat
        The fat of the mass, one mass alone.
    seed : float, optional
        Crystals to begin with as a fraction of the fat, usually 2 % [0 to 1].
    limit : float, optional
        Crystals at which it counts as too thick, usually 6 % of the fat [0 to 1].

    Returns
    -------
    HeldBowl
        With the time until it is too thick [min].

    Raises
    ------
    OutOfRange
        Where it is so cool that beta prime grows too, or for so much or so little fat.
    InputError
        If the seed is not more than nothing or not less than the limit.

    Notes
    -----
    Range: 29.7 °C, less the lowering by other fats, to the melting point; 28 to 45 % fat. An estimate,
    not calibrated to any kit; times are known to a factor of 1.4.

    Examples
    --------
    >>> bowl = held_bowl(31.5, Fat(0.35))
    >>> round(bowl.minutes), round(bowl.doubling_minutes)
    (48, 25)

    References
    ----------
    [foubert-2002]
    """
    seed, limit = _or_usual(seed, "seed"), _or_usual(limit, "held_limit")
    warmth = celsius + float(fat.lowering_k)
    check_fat(float(fat.share))
    _check(warmth, seed, limit)
    most = float(solid_fat(warmth)) * float(fat.butter_share)
    growth = float(growth_rate(warmth)) * float(fat.growth)
    doubling = float(np.log(2)) / (2 * growth) if growth else float("inf")
    minutes = float(_time_to(limit, seed, most, growth))
    return HeldBowl(celsius, seed, most, growth, doubling, minutes if np.isfinite(minutes) else None)


def thick_after(celsius: Values, fat: Fat, seed: Values, limit: float | None = None) -> Array:
    """Return when held bowls are too thick, for many draws of temperature, seed and growth.

    The time of ``held_bowl``; a bowl cooler than its range counts as at the end of it.

    Parameters
    ----------
    celsius : float or array
        Temperature of the bowl [°C].
    fat : Fat
        The fat of the mass; its growth may be one for each draw.
    seed : float or array
        Crystals to begin with as a fraction of the fat [0 to 1].
    limit : float, optional
        Crystals at which it counts as too thick, usually 6 % of the fat [0 to 1].

    Returns
    -------
    array
        Time; endless where it never is, nothing where it is from the start [min].

    Examples
    --------
    >>> thick_after(np.array([31.5, 34.5]), Fat(0.35), 0.02).round().tolist()
    [48.0, inf]

    References
    ----------
    [foubert-2002]
    """
    warmth = np.maximum(np.asarray(celsius) + fat.lowering_k, _alone_from())
    most = np.asarray(solid_fat(warmth)) * fat.butter_share
    growth = np.asarray(growth_rate(warmth)) * fat.growth
    return _time_to(_or_usual(limit, "held_limit"), seed, most, growth)


def melts_away(celsius: float, fat: Fat, seed: float | None = None) -> bool:
    """Return whether a bowl so warm loses seeds.

    Parameters
    ----------
    celsius : float
        Temperature of the bowl [°C].
    fat : Fat
        The fat of the mass.
    seed : float, optional
        Crystals to begin with as a fraction of the fat, usually 2 % [0 to 1].

    Returns
    -------
    bool
        Whether fewer crystals than the seed can last at this temperature.

    Examples
    --------
    >>> melts_away(33.0, Fat(0.35)), melts_away(35.0, Fat(0.35))
    (False, True)

    References
    ----------
    [shukla-1995]
    """
    lasting = float(solid_fat(celsius + float(fat.lowering_k))) * float(fat.butter_share)
    return lasting < _or_usual(seed, "seed")


def coolest_hold(fat: Fat, minutes: float, seed: float | None = None) -> float:
    """Return how cool a bowl may be held so that it stays thin enough for a time.

    Parameters
    ----------
    fat : Fat
        The fat of the mass.
    minutes : float
        For how long [min].
    seed : float, optional
        Crystals to begin with as a fraction of the fat, usually 2 % [0 to 1].

    Returns
    -------
    float
        Temperature [°C]; warmer is thinner for longer, until the seeds melt.

    Raises
    ------
    InputError
        If the time is not more than nothing.

    Examples
    --------
    >>> round(coolest_hold(Fat(0.35), 60.0), 1)
    31.7

    References
    ----------
    [foubert-2002]
    """
    if not minutes > 0:
        raise InputError("A hold takes more than no time", value=minutes, field="minutes")

    def late(celsius: float) -> float:
        found = held_bowl(celsius, fat, seed).minutes
        return float("inf") if found is None else found - minutes

    low = _alone_from() - float(fat.lowering_k)
    top = load("temper")["form_v_melting"].value - float(fat.lowering_k)
    return low if late(low) >= 0 else bracketed_root(late, low, top)


def _or_usual(value: float | None, key: str) -> float:
    return load("temper_states")[key].value if value is None else value


def _alone_from() -> float:
    """Temperature from which on no beta prime forms beside form V, for cocoa butter alone [°C]."""
    table = load("temper_states")
    return (
        table["beta_prime_melting"].value - load("temper")["form_v_melting"].value + table["solids_end"].value
    )


def _check(warmth: float, seed: float, limit: float) -> None:
    if not 0 < seed < limit <= 1:
        raise InputError("A bowl starts with some crystals and fewer than the limit", value=seed, limit=limit)
    if warmth < _alone_from():
        raise OutOfRange(
            "So cool a bowl grows other crystals too",
            value=f"{warmth:.1f} °C, with the lowering",
            limit=f"{_alone_from():.1f} °C and more",
            advice="Warm it to its working temperature first.",
        )


def _time_to(limit: float, seed: Values, most: Values, growth: Values) -> Array:
    """When the crystals pass the limit; endless where they never do [min]."""
    seed, most, growth = (np.asarray(value, dtype=float) for value in (seed, most, growth))
    never = (limit >= most) | (seed >= most) | (growth == 0)
    room = np.where(never, 1.0, most)
    start, end = 1 - np.where(never, 0.5, seed) / room, 1 - np.where(never, 0.5, limit) / room
    time = np.log((end**-2 - 1) / (start**-2 - 1)) / (2 * np.where(never, 1.0, growth))
    return np.where(never, np.inf, np.maximum(time, 0.0))
