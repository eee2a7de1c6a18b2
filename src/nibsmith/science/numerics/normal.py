"""The standard normal distribution, its library loaded only where it is used."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from statistics import NormalDist


@cache
def _standard() -> NormalDist:
    from statistics import NormalDist

    return NormalDist()


def normal_quantile(share: float) -> float:
    """Return how many deviations from the mean a share of the standard normal lies under.

    Parameters
    ----------
    share : float
        More than 0 and less than 1 [1].

    Returns
    -------
    float
        Deviations, below zero for less than half [1].

    Examples
    --------
    >>> round(normal_quantile(0.9), 4)
    1.2816
    """
    return _standard().inv_cdf(share)


def normal_share(deviations: float) -> float:
    """Return the share of the standard normal under a number of deviations.

    Parameters
    ----------
    deviations : float
        From the mean [1].

    Returns
    -------
    float
        Between 0 and 1 [1].

    Examples
    --------
    >>> round(normal_share(1.2816), 3)
    0.9
    """
    return _standard().cdf(deviations)
