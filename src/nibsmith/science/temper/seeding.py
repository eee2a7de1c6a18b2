"""The heat balance of seeding: mass, bowl and room against seed that warms up and melts."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

import numpy as np

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.numerics import Values, bracketed_root
from nibsmith.science.tables import load

_PER_KG = 1000
_SECONDS = 60
# The mass is looked for between these weights [g]: a thimble and a tonne.
_LEAST_G, _MOST_G = 1, 1_000_000


class Unknown(StrEnum):
    """What a seeding is solved for."""

    MASS = "mass_g"
    MASS_TEMPERATURE = "mass_celsius"
    SEED = "seed_g"
    SEED_TEMPERATURE = "seed_celsius"
    TARGET = "target_celsius"


@dataclass(frozen=True, slots=True)
class Around:
    """The bowl [g], its heat capacity [J/(kg K)], the room [°C], how long the seed is stirred in [min]."""

    bowl_g: Values
    bowl_heat_capacity: Values
    room_celsius: Values
    minutes: Values


@dataclass(frozen=True, slots=True)
class Seeding:
    """Mass and seed before, temperature after; all known but one. Numbers, or one for each draw.

    Weights in grams, temperatures in °C, ``melted_share`` is the part of the seed that melts [0 to 1],
    ``latent`` the heat that takes [J/g].
    """

    mass_g: Values
    mass_celsius: Values
    seed_g: Values
    seed_celsius: Values
    target_celsius: Values
    melted_share: Values
    latent: Values
    around: Around

    @property
    def from_mass(self) -> Values:
        """Heat that the mass gives off [J]."""
        return self.mass_g * _of("liquid_heat") / _PER_KG * self._fall

    @property
    def from_bowl(self) -> Values:
        """Heat that the bowl gives off [J]."""
        return self.around.bowl_g * self.around.bowl_heat_capacity / _PER_KG * self._fall

    @property
    def to_room(self) -> Values:
        """Heat that the room takes up meanwhile, at the mean of both temperatures [J]."""
        mean = (self.mass_celsius + self.target_celsius) / 2
        area = _of("surface") * np.cbrt((self.mass_g / _PER_KG) ** 2)
        flow = _of("surface_exchange") * area * (mean - self.around.room_celsius)
        return flow * self.around.minutes * _SECONDS

    @property
    def for_a_gram(self) -> Values:
        """Heat that a gram of seed takes up, warming and melting [J/g]."""
        warming = _of("solid_heat") / _PER_KG * (self.target_celsius - self.seed_celsius)
        return warming + self.melted_share * self.latent

    @property
    def to_seed(self) -> Values:
        """Heat that the seed takes up [J]."""
        return self.seed_g * self.for_a_gram

    @property
    def share_of_mass(self) -> Values:
        """Seed as a share of the mass it goes into [1]."""
        return self.seed_g / self.mass_g

    @property
    def _fall(self) -> Values:
        return self.mass_celsius - self.target_celsius


def seed_needed(case: Seeding) -> Values:
    """Return the seed that balances a mass, for one case or for many draws of it.

    ``m_s = [m·c_l·(T_m - T) + m_b·c_b·(T_m - T) - Q_room] / [c_s·(T - T_s) + phi·L]``.

    Parameters
    ----------
    case : Seeding
        Its seed is not read.

    Returns
    -------
    float or array
        Seed [g]; less than nothing where the room cools it enough.

    Examples
    --------
    >>> alone = Around(0.0, 0.0, 20.0, 0.0)
    >>> float(seed_needed(Seeding(1000.0, 45.0, 0.0, 20.0, 32.0, 1.0, 46.0, alone)).round(1))
    333.6

    References
    ----------
    [beckett-2009]
    """
    return (case.from_mass + case.from_bowl - case.to_room) / case.for_a_gram


def usual_around(room_celsius: float | None = None) -> Around:
    """Return a steel bowl in a room, with the seed stirred in for five minutes.

    Parameters
    ----------
    room_celsius : float, optional
        Temperature of the room, usually 20 °C [°C].

    Returns
    -------
    Around
        The defaults, to be overruled.

    Examples
    --------
    >>> usual_around().bowl_g
    500.0
    """
    room = load("temper")["room"].value if room_celsius is None else room_celsius
    return Around(_of("bowl"), _of("steel"), room, _of("stirring"))


def seeded_for(case: Seeding, unknown: Unknown) -> Seeding:
    """Return a seeding with its one unknown worked out.

    ``m·c_l·(T_m - T) + m_b·c_b·(T_m - T) - Q_room = m_s·[c_s·(T - T_s) + phi·L]``, solved for the unknown.

    Parameters
    ----------
    case : Seeding
        The value of the unknown in it is not read.
    unknown : Unknown
        What to find.

    Returns
    -------
    Seeding
        With heat given and heat taken up in balance.

    Raises
    ------
    InputError
        For weights below zero, shares outside 0 to 1.
    OutOfRange
        Where no weight or temperature that can be had balances it.

    Notes
    -----
    Range: targets below the melting of the seed. The melted share is assumed and decides most: with none
    melted a seed takes up less than a third of the heat.

    Examples
    --------
    >>> alone = Around(0.0, 0.0, 20.0, 0.0)
    >>> case = Seeding(1000.0, 45.0, 0.0, 20.0, 32.0, 1.0, 46.0, alone)
    >>> round(seeded_for(case, Unknown.SEED).seed_g, 1)
    333.6

    References
    ----------
    [beckett-2009]
    """
    _check(case, unknown)
    found = _balanced_mass(case) if unknown is Unknown.MASS else _balanced(case, unknown)
    return _could_be(found, unknown)


def mixed_with_butter(mass_g: float, celsius: float, butter_g: float, melted_share: float) -> float:
    """Return the temperature after a little cocoa butter is stirred into a mass as seed.

    ``m·c·(T_m - T) = m_b·[c_b·(T - T_b) + phi·L_b]``, without losses.

    Parameters
    ----------
    mass_g : float
        The mass [g].
    celsius : float
        Its temperature [°C].
    butter_g : float
        Grated butter from a room of 20 °C [g].
    melted_share : float
        Share of it that melts [0 to 1].

    Returns
    -------
    float
        Temperature [°C].

    Raises
    ------
    InputError
        If there is no mass.

    Examples
    --------
    >>> round(34 - mixed_with_butter(990.0, 34.0, 10.0, 0.0), 2)
    0.17

    References
    ----------
    [beckett-2009], [foodtech-seeding]
    """
    if not mass_g > 0 or butter_g < 0:
        raise InputError("A heat balance needs weights of zero and more", value=mass_g)
    own, butter = mass_g * _of("liquid_heat"), butter_g * _of("butter_solid_heat")
    taken = butter_g * _PER_KG * melted_share * _of("latent_butter")
    return (own * celsius + butter * _of("crystals_from") - taken) / (own + butter)


def tabling_share(mass_celsius: float, table_celsius: float, target_celsius: float) -> float:
    """Return how much of a mass is to be cooled on the table so that the whole comes out at a temperature.

    ``f = (T_m - T_w) / (T_m - T_t)``, without losses and without the heat of the crystals that form.

    Parameters
    ----------
    mass_celsius : float
        The melted mass [°C].
    table_celsius : float
        To what the part on the table is cooled [°C].
    target_celsius : float
        What is wanted of the whole [°C].

    Returns
    -------
    float
        Share of the mass [0 to 1].

    Raises
    ------
    InputError
        If the target does not lie between the two.

    Examples
    --------
    >>> tabling_share(45.0, 27.0, 31.5)
    0.75

    References
    ----------
    [chocolate-academy-tempering]
    """
    if not table_celsius < target_celsius < mass_celsius:
        limits = f"{table_celsius:g} to {mass_celsius:g} °C"
        raise InputError("The target lies between table and bowl", value=target_celsius, limit=limits)
    return (mass_celsius - target_celsius) / (mass_celsius - table_celsius)


def crystal_warmth(crystals: float, fat_share: float) -> float:
    """Return by how much crystals that form warm the mass they form in.

    ``dT = x·w·dH / c``.

    Parameters
    ----------
    crystals : float
        Crystals as a fraction of the fat [0 to 1].
    fat_share : float
        Fat in the mass [0 to 1].

    Returns
    -------
    float
        Rise of the temperature [K].

    Examples
    --------
    >>> round(crystal_warmth(0.03, 0.35), 2)
    0.86

    References
    ----------
    [wille-lutton-1966], [beckett-2009]
    """
    return crystals * fat_share * load("temper")["form_v_heat"].value * _PER_KG / _of("liquid_heat")


def melting_heat(mass_g: float, from_celsius: float, to_celsius: float, latent: float) -> float:
    """Return the heat that melting a tempered chocolate takes.

    ``Q = m·[c_s·(T_m - T_1) + L + c_l·(T_2 - T_m)]`` with T_m the melting point of form V.

    Parameters
    ----------
    mass_g : float
        Chocolate [g].
    from_celsius, to_celsius : float
        Before and after [°C].
    latent : float
        Heat of melting [J/g].

    Returns
    -------
    float
        Heat [J].

    Raises
    ------
    InputError
        If it does not pass the melting point.

    Examples
    --------
    >>> round(melting_heat(10_000.0, 20.0, 45.0, 46.0) / 1000)
    866

    References
    ----------
    [beckett-2009]
    """
    melting = load("temper")["form_v_melting"].value
    if not from_celsius < melting < to_celsius:
        raise InputError("Melting passes the melting point", value=f"{from_celsius:g} to {to_celsius:g} °C")
    warming = _of("solid_heat") * (melting - from_celsius) + _of("liquid_heat") * (to_celsius - melting)
    return mass_g * (warming / _PER_KG + latent)


def _of(key: str) -> float:
    return load("temper_seed")[key].value


def _excess(case: Seeding) -> float:
    """Heat given less heat taken up [J]."""
    return float(case.from_mass + case.from_bowl - case.to_room - case.to_seed)


def _balanced(case: Seeding, unknown: Unknown) -> Seeding:
    """Every unknown but the mass enters the balance as a straight line: two points give its zero."""
    at_zero, at_one = (_with(case, unknown, value) for value in (0.0, 1.0))
    rise = _excess(at_one) - _excess(at_zero)
    if not rise:
        raise OutOfRange("No value balances this", advice="Check the weights.", field=unknown.value)
    return _with(case, unknown, -_excess(at_zero) / rise)


def _with(case: Seeding, unknown: Unknown, value: float) -> Seeding:
    change: dict[str, Any] = {unknown.value: value}
    return replace(case, **change)


def _balanced_mass(case: Seeding) -> Seeding:
    def excess(mass_g: float) -> float:
        return _excess(replace(case, mass_g=mass_g))

    if excess(_LEAST_G) * excess(_MOST_G) > 0:
        raise OutOfRange("No mass balances this", advice="Check seed and temperatures.", field="mass_g")
    return replace(case, mass_g=bracketed_root(excess, _LEAST_G, _MOST_G))


def _check(case: Seeding, unknown: Unknown) -> None:
    weights = {Unknown.MASS: case.mass_g, Unknown.SEED: case.seed_g}
    given = [value for name, value in weights.items() if name is not unknown]
    if any(not value > 0 for value in given) or case.around.bowl_g < 0 or case.around.minutes < 0:
        raise InputError("Weights must be more than nothing, times and bowls not less", value=given[0])
    if not 0 <= case.melted_share <= 1:
        raise InputError("A share lies between 0 and 1", value=case.melted_share, field="melted_share")


def _could_be(case: Seeding, unknown: Unknown) -> Seeding:
    if case.seed_g < 0:
        raise OutOfRange(
            "It is cool enough without any seed",
            value=f"{case.mass_celsius:g} °C to {case.target_celsius:g} °C",
            advice="Stir it down, or warm it first.",
            field=unknown.value,
        )
    if not case.seed_celsius <= case.target_celsius <= case.mass_celsius:
        value = (
            f"seed {case.seed_celsius:.1f}, target {case.target_celsius:.1f}, mass {case.mass_celsius:.1f} °C"
        )
        raise OutOfRange(
            "A seed is cooler and a mass warmer than their mixture", value=value, field=unknown.value
        )
    return case
