"""How much water to drive out of a part before it goes into the mass."""

from __future__ import annotations

from nibsmith.science.errors import InputError


def water_to_remove(water_g: float, mass_g: float, limit_percent: float) -> float:
    """Return the water to drive out of a part so that a mass keeps its limit.

    The water leaves the mass too: ``(W - x) / (M - x) = L``, so ``x = (W - L·M) / (1 - L)``.

    Parameters
    ----------
    water_g : float
        Extra water in the mass [g].
    mass_g : float
        The mass in the machine [g].
    limit_percent : float
        Most extra water [g per 100 g of mass].

    Returns
    -------
    float
        Water to drive out [g]; zero where the limit is kept.

    Raises
    ------
    InputError
        If the limit is not between 0 and 100.

    Examples
    --------
    >>> round(water_to_remove(12.0, 1000.0, 1.0), 3)
    2.02
    """
    if not 0 <= limit_percent < 100:
        raise InputError("A limit on water lies between 0 and 100", value=limit_percent)
    limit = limit_percent / 100
    return max(0.0, (water_g - limit * mass_g) / (1 - limit))
