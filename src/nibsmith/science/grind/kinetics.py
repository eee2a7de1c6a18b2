"""How fast grains get smaller in a kit: one over the size grows evenly, down to what the kit reaches."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from nibsmith.science.errors import InputError, OutOfRange


@dataclass(frozen=True, slots=True)
class Grinding:
    """``1/d = 1/start + speed·t``, never finer than the floor.

    ``start_um`` is the size at the last coarse addition, from which time counts [µm]; ``speed`` is in
    1/(µm h); ``floor_um`` is the finest that the kit reaches [µm].
    """

    start_um: float
    speed: float
    floor_um: float = 0.0

    def __post_init__(self) -> None:
        if not (self.start_um > 0 and self.speed > 0 and self.floor_um >= 0):
            raise InputError("A size and a speed of grinding are above zero", value=self)

    def size_at(self, hours: float) -> float:
        """Return the size after some hours.

        Parameters
        ----------
        hours : float
            Time since the last coarse addition, zero or more [h].

        Returns
        -------
        float
            Size, never finer than the floor [µm].

        Raises
        ------
        InputError
            If the time is negative.
        """
        if hours < 0:
            raise InputError("Hours of grinding are zero or more", value=hours)
        return max(1 / (1 / self.start_um + self.speed * hours), min(self.floor_um, self.start_um))

    def hours_to(self, size_um: float) -> float:
        """Return how long it takes to a size.

        Parameters
        ----------
        size_um : float
            The size [µm].

        Returns
        -------
        float
            Time since the last coarse addition; zero where it began finer [h].

        Raises
        ------
        OutOfRange
            If the size is finer than the floor, or not above zero.
        """
        if size_um < self.floor_um or not size_um > 0:
            raise OutOfRange(
                "This kit does not get there", value=f"{size_um:g} µm", limit=f"{self.floor_um:g} µm"
            )
        return max(0.0, (1 / size_um - 1 / self.start_um) / self.speed)

    def for_charge(self, charge_g: float, known_g: float) -> Grinding:
        """Return the same on another charge: the same power on more mass grinds it slower.

        Parameters
        ----------
        charge_g : float
            The other charge, above zero [g].
        known_g : float
            The charge that this grinding is of, above zero [g].

        Returns
        -------
        Grinding
            Its speed in proportion to one over the charge.

        Raises
        ------
        InputError
            If a charge is not above zero.
        """
        if not (charge_g > 0 and known_g > 0):
            raise InputError("A charge is above zero", value=charge_g)
        return replace(self, speed=self.speed * known_g / charge_g)


def grinding_from_two_readings(
    first: tuple[float, float], second: tuple[float, float], floor_um: float = 0.0
) -> Grinding:
    """Return the law through two size readings, counted from the same moment as their hours.

    ``k = (1/d2 - 1/d1) / (t2 - t1)``.

    Parameters
    ----------
    first, second : tuple of float
        Hours since the last coarse addition and size then [h; µm].
    floor_um : float
        The finest that the kit reaches [µm].

    Returns
    -------
    Grinding
        Start [µm], speed [1/(µm h)] and floor [µm].

    Raises
    ------
    InputError
        If the readings are not in order of time, or the size did not fall between them.

    Notes
    -----
    Readings under about 30 µm approach the floor; a speed from them comes out too low. Published for a ball
    mill: the law holds to about 17 µm, then stalls.

    Examples
    --------
    >>> law = grinding_from_two_readings((9.0, 100.0), (24.0, 40.0))
    >>> round(law.speed, 6), round(law.hours_to(25.0), 1)
    (0.001, 39.0)

    References
    ----------
    [energy-laws], [alamprese-2007]
    """
    (earlier, coarser), (later, finer) = first, second
    if not (later > earlier >= 0):
        raise InputError("The second reading is later than the first", value=f"{earlier:g} h, {later:g} h")
    if not coarser > finer > 0:
        raise InputError(
            "The size did not fall between the readings",
            value=f"{coarser:g} µm, {finer:g} µm",
            advice="Take the median of several readings each time.",
        )
    speed = (1 / finer - 1 / coarser) / (later - earlier)
    beginning = 1 / coarser - speed * earlier
    if beginning <= 0:  # the grains would have been larger than any size: they were, at the addition
        beginning = 1 / (coarser * 1e6)
    return Grinding(1 / beginning, speed, floor_um)


def oversize(start: float, size_um: float, hours: float, speed: float, exponent: float = 1.0) -> float:
    """Return the share coarser than a size after grinding, in the case that has a closed form.

    ``R(x, t) = R(x, 0)·exp(-k·x^alpha·t)``: selection ``k·x^alpha`` and fragments ``(x/y)^alpha``.

    Parameters
    ----------
    start : float
        Share R(x, 0) coarser than the size at the start [0 to 1].
    size_um : float
        The size x [µm].
    hours : float
        Time t [h].
    speed : float
        k [1/(µm^alpha h)].
    exponent : float
        alpha [1].

    Returns
    -------
    float
        Share R(x, t) coarser than the size [0 to 1].

    Notes
    -----
    A Rosin-Rammler feed with the spread alpha stays one, and ``1/d'^alpha`` grows evenly.

    Examples
    --------
    >>> round(oversize(math.exp(-0.25), 25.0, 20.0, 0.001), 5)
    0.47237

    References
    ----------
    [austin-1971]
    """
    if not (0 <= start <= 1 and size_um > 0 and hours >= 0 and speed > 0):
        raise InputError("A share, a size, a time and a speed describe no grinding")
    return start * math.exp(-speed * size_um**exponent * hours)
