"""What the four-state model expects of a small cup of mass in a cold body: a temper reading's curve."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.numerics import Array
from nibsmith.science.tables import load
from nibsmith.science.temper.crystals import Fat, heats, rates, seeded

# A second: forty times shorter than anything that happens in the cup, so that four stages are exact to 1e-4
# K.
_STEP_S = 1
_SECONDS = 60


@dataclass(frozen=True, slots=True)
class Cup:
    """A cup in a cold body: coolant and start [°C], time constant [min], heat capacity [J/(kg K)]."""

    coolant_celsius: float
    start_celsius: float
    constant_minutes: float
    heat_capacity: float


@dataclass(frozen=True, slots=True)
class CupCurve:
    """Temperature of a cup over time, and its crystals: [min], [°C], forms as fractions of the fat."""

    minutes: Array
    celsius: Array
    forms: Array


def usual_cup() -> Cup:
    """Return the cup whose readings the documentation gives.

    Returns
    -------
    Cup
        Its coolant, start and time constant.

    Examples
    --------
    >>> usual_cup().constant_minutes
    5.0
    """
    table = load("temper_curve")
    heat = load("cool")["heat_capacity"].value
    return Cup(table["cup_coolant"].value, table["cup_start"].value, table["cup_constant"].value, heat)


def cup_curve(seed: float, fat: Fat, cup: Cup, minutes: float) -> CupCurve:
    """Return the cooling curve that the model expects of a cup.

    ``c·dT/dt = c·(T_c - T)/tau + w·sum(h_i·dx_i/dt)``, forms as in ``rates``; fourth-order Runge-Kutta.

    Parameters
    ----------
    seed : float
        Crystals of form V to begin with as a fraction of the fat [0 to 1].
    fat : Fat
        The fat of the mass.
    cup : Cup
        Cup, coolant and start.
    minutes : float
        For how long [min].

    Returns
    -------
    CupCurve
        A value each second [min], [°C].

    Raises
    ------
    InputError
        If seed, time or time constant are not more than nothing (a seed may be nothing).

    Notes
    -----
    An estimate: a real cup has a temperature that differs from place to place, and probes lag.

    Examples
    --------
    >>> curve = cup_curve(0.02, Fat(0.32), usual_cup(), 15.0)
    >>> round(float(curve.celsius[4 * 60]), 1)
    21.1

    References
    ----------
    [temper-meter-manual]
    """
    if not (0 <= seed < 1 and minutes > 0 and cup.constant_minutes > 0):
        raise InputError("A cup needs a seed from 0 to 1 and some time", value=f"{seed:g}, {minutes:g} min")
    steps = round(minutes * _SECONDS / _STEP_S)
    state = np.concatenate([[cup.start_celsius], seeded(seed)])
    states = [state]
    for _ in range(steps):
        state = _step(state, fat, cup)
        states.append(state)
    found = np.array(states)
    return CupCurve(np.arange(steps + 1) * _STEP_S / _SECONDS, found[:, 0], found[:, 1:].T)


def _step(state: Array, fat: Fat, cup: Cup) -> Array:
    step = _STEP_S / _SECONDS
    first = _change(state, fat, cup)
    second = _change(state + step / 2 * first, fat, cup)
    third = _change(state + step / 2 * second, fat, cup)
    fourth = _change(state + step * third, fat, cup)
    return np.asarray(state + step / 6 * (first + 2 * second + 2 * third + fourth))


def _change(state: Array, fat: Fat, cup: Cup) -> Array:
    """Rates of temperature and forms [1/min]."""
    forms = rates(state[0], state[1:], fat)
    freezing = fat.share * float(heats() @ forms) / cup.heat_capacity
    cooling = (cup.coolant_celsius - state[0]) / cup.constant_minutes
    return np.concatenate([[cooling + freezing], forms])
