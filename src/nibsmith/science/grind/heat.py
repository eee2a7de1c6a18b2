"""How warm a mass gets while it is ground."""

from __future__ import annotations

import math
from dataclasses import dataclass

from nibsmith.science.errors import InputError
from nibsmith.science.tables import load


@dataclass(frozen=True, slots=True)
class WarmUp:
    """A charge that is ground: its mass [g], power into it [W], loss to the room [W/K], temperatures [°C].

    ``m·c·dT/dt = P - h·(T - T_room)``.
    """

    charge_g: float
    power_w: float
    start_celsius: float
    room_celsius: float
    loss_w_per_k: float = 0.0

    def __post_init__(self) -> None:
        if not (self.charge_g > 0 and self.power_w >= 0 and self.loss_w_per_k >= 0):
            raise InputError("A charge is above zero, power and loss are zero or more")

    @property
    def heat_j_per_k(self) -> float:
        """Heat that warms the charge by a kelvin [J/K]."""
        return self.charge_g / 1000 * load("grind")["heat_capacity"].value

    @property
    def kelvin_a_minute(self) -> float:
        """How fast it warms at the start [K/min]."""
        lost = self.loss_w_per_k * (self.start_celsius - self.room_celsius)
        return 60 * (self.power_w - lost) / self.heat_j_per_k

    @property
    def steady_celsius(self) -> float:
        """Where it ends if it runs on [°C]; without loss, without end."""
        if not self.loss_w_per_k:
            return math.inf if self.power_w else self.start_celsius
        return self.room_celsius + self.power_w / self.loss_w_per_k

    def celsius_at(self, minutes: float) -> float:
        """Return how warm it is after some minutes.

        Parameters
        ----------
        minutes : float
            Time since the start [min].

        Returns
        -------
        float
            Temperature [°C].
        """
        if not self.loss_w_per_k:
            return self.start_celsius + 60 * minutes * self.power_w / self.heat_j_per_k
        decay = math.exp(-60 * minutes * self.loss_w_per_k / self.heat_j_per_k)
        return self.steady_celsius + (self.start_celsius - self.steady_celsius) * decay

    def minutes_to(self, celsius: float) -> float:
        """Return how long it takes until it is this warm.

        Parameters
        ----------
        celsius : float
            Temperature [°C].

        Returns
        -------
        float
            Time since the start; zero where it is as warm already, infinite where it never is [min].
        """
        if celsius <= self.start_celsius:
            return 0.0
        if not celsius < self.steady_celsius:
            return math.inf
        if not self.loss_w_per_k:
            return (celsius - self.start_celsius) * self.heat_j_per_k / self.power_w / 60
        ratio = (self.steady_celsius - self.start_celsius) / (self.steady_celsius - celsius)
        return math.log(ratio) * self.heat_j_per_k / self.loss_w_per_k / 60


def friction_rise(energy_j_per_kg: float) -> float:
    """Return by how much grinding warms a mass that keeps all the heat.

    ``dT = E / c`` with c 1670 J/(kg K).

    Parameters
    ----------
    energy_j_per_kg : float
        Energy E put into a kilogram [J/kg].

    Returns
    -------
    float
        Rise [K].

    Notes
    -----
    A ball mill puts 115 kJ into a kilogram of chocolate, which is why it has to be cooled.

    Examples
    --------
    >>> round(friction_rise(115_000.0))
    69

    References
    ----------
    [alamprese-2007], [beckett-2009]
    """
    return energy_j_per_kg / load("grind")["heat_capacity"].value
