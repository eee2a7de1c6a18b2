"""The heat balance of seeding: mass, bowl and room against seed that warms up and melts."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

import numpy as np

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.numerics import Values
from nibsmith.science.quantities.shown import format_celsius
from nibsmith.science.tables import load

_PER_KG = 1000
_SECONDS = 60
# The mass is looked for between these weights [g]: a thimble and a tonne.
_LEAST_G, _MOST_G = 1, 1_000_000
# So many halvings bring fourteen steps of e down to the last digit of a float.
_HALVINGS = 56


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
    return _could_be(_with(case, unknown, balanced(case, unknown)), unknown)


def balanced(case: Seeding, unknown: Unknown) -> Values:
    """Return the unknown of a seeding, for one case or for many draws of it, whether it can be had or not.

    ``m·c_l·(T_m - T) + m_b·c_b·(T_m - T) - Q_room = m_s·[c_s·(T - T_s) + phi·L]``, solved for the unknown.

    Parameters
    ----------
    case : Seeding
        The value of the unknown in it is not read.
    unknown : Unknown
        What to find.

    Returns
    -------
    float or array
        Weight [g] or temperature [°C]; a mass lies between a gram and a tonne, or is endless.

    Raises
    ------
    OutOfRange
        If no value balances it.

    Examples
    --------
    >>> alone = Around(0.0, 0.0, 20.0, 0.0)
    >>> case = Seeding(1000.0, 45.0, 0.0, 20.0, 32.0, np.array([1.0, 0.5]), 46.0, alone)
    >>> balanced(case, Unknown.SEED).round(1).tolist()
    [333.6, 515.9]

    References
    ----------
    [beckett-2009]
    """
    if unknown is Unknown.MASS:
        return _balanced_mass(case)
    # Every unknown but the mass enters the balance as a straight line: two points give its zero.
    at_zero, at_one = (_excess(_with(case, unknown, value)) for value in (0.0, 1.0))
    rise = at_one - at_zero
    if not np.all(rise):
        raise OutOfRange("No value balances this", advice="Check the weights.", field=unknown.value)
    found = -at_zero / rise
    return found if np.ndim(found) else float(found)


def _of(key: str) -> float:
    return load("temper_seed")[key].value


def _excess(case: Seeding) -> Values:
    """Heat given less heat taken up [J]."""
    return case.from_mass + case.from_bowl - case.to_room - case.to_seed


def _with(case: Seeding, unknown: Unknown, value: Values) -> Seeding:
    change: dict[str, Any] = {unknown.value: value}
    return replace(case, **change)


def _balanced_mass(case: Seeding) -> Values:
    """Halve the logarithm of the mass; the room takes up less than a larger mass gives, so it rises once."""
    shape = np.broadcast_shapes(*(np.shape(value) for value in (_excess(replace(case, mass_g=1.0)),)))
    low, high = (np.full(shape, np.log(end)) for end in (_LEAST_G, _MOST_G))
    ends = [_excess(replace(case, mass_g=np.exp(end))) for end in (low, high)]
    cannot = (np.asarray(ends[0]) > 0) == (np.asarray(ends[1]) > 0)
    if np.all(cannot):
        raise OutOfRange("No mass balances this", advice="Check seed and temperatures.", field="mass_g")
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        under = (np.asarray(_excess(replace(case, mass_g=np.exp(middle)))) > 0) == (np.asarray(ends[0]) > 0)
        low, high = np.where(under, middle, low), np.where(under, high, middle)
    found = np.where(cannot, np.inf, np.exp((low + high) / 2))
    return found if shape else float(found)


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
            value=f"{_said(case.mass_celsius)}, to come to {_said(case.target_celsius)}",
            advice=(
                f"It still wants crystals: warm it to where it is worked, if it is cooler, and stir in about "
                f"{load('temper_seed')['crystals'].value:g} % of seed, grated."
            ),
            field=unknown.value,
        )
    if not case.seed_celsius <= case.target_celsius <= case.mass_celsius:
        seed, target, mass = map(_said, (case.seed_celsius, case.target_celsius, case.mass_celsius))
        value = f"seed {seed}, target {target}, mass {mass}"
        raise OutOfRange(
            "A seed is cooler and a mass warmer than their mixture", value=value, field=unknown.value
        )
    return case


def _said(celsius: Values) -> str:
    return format_celsius(float(celsius))
