"""Size distributions of grains: Rosin-Rammler, log-normal and measured, and what is read off them.

Shares are of the volume, and *finer* is the share below a size; one published sheet has finer and coarser
changed about.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.numerics import normal_quantile, normal_share

SUM_TOLERANCE = 1e-6  # how far shares may be from summing to one before they are refused


class Sizes(Protocol):
    """What every size distribution gives."""

    def finer(self, size_um: float) -> float:
        """Return the share of the volume below a size.

        Parameters
        ----------
        size_um : float
            The size, zero or more [µm].

        Returns
        -------
        float
            The share [0 to 1].
        """

    def size(self, finer: float) -> float:
        """Return the size that a share of the volume is finer than.

        Parameters
        ----------
        finer : float
            The share, between 0 and 1 and neither [0 to 1].

        Returns
        -------
        float
            The size [µm].

        Raises
        ------
        InputError
            If the share is not between 0 and 1.
        """

    @property
    def sauter_um(self) -> float:
        """D[3,2], the size with the surface of the whole [µm]."""

    @property
    def volume_mean_um(self) -> float:
        """D[4,3], the mean by volume [µm]."""


@dataclass(frozen=True, slots=True)
class RosinRammler:
    """``finer = 1 - exp(-(d/scale_um)^spread)``."""

    scale_um: float
    spread: float

    def __post_init__(self) -> None:
        _above_zero(scale=self.scale_um, spread=self.spread)

    def finer(self, size_um: float) -> float:
        """Share of the volume below a size [µm]."""
        return -math.expm1(-((size_um / self.scale_um) ** self.spread))

    def size(self, finer: float) -> float:
        """Size [µm] that a share of the volume is finer than [0 to 1]."""
        return float(self.scale_um * (-math.log1p(-_share(finer))) ** (1 / self.spread))

    @property
    def sauter_um(self) -> float:
        """D[3,2] [µm]; there is none for a spread of one or less, whose fines have surface without end."""
        if self.spread <= 1:
            raise InputError("This spread has no D[3,2]", value=self.spread, limit="above 1")
        return self.scale_um / math.gamma(1 - 1 / self.spread)

    @property
    def volume_mean_um(self) -> float:
        """D[4,3] [µm]."""
        return self.scale_um * math.gamma(1 + 1 / self.spread)


@dataclass(frozen=True, slots=True)
class LogNormalSizes:
    """Normal in the logarithm of size: median [µm] and standard deviation of the logarithm [1]."""

    median_um: float
    deviation: float

    def __post_init__(self) -> None:
        _above_zero(median=self.median_um, deviation=self.deviation)

    def finer(self, size_um: float) -> float:
        """Share of the volume below a size [µm]."""
        return normal_share(math.log(size_um / self.median_um) / self.deviation) if size_um > 0 else 0.0

    def size(self, finer: float) -> float:
        """Size [µm] that a share of the volume is finer than [0 to 1]."""
        return self.median_um * math.exp(normal_quantile(_share(finer)) * self.deviation)

    @property
    def sauter_um(self) -> float:
        """D[3,2] [µm]."""
        return self.median_um * math.exp(-0.5 * self.deviation**2)

    @property
    def volume_mean_um(self) -> float:
        """D[4,3] [µm]."""
        return self.median_um * math.exp(0.5 * self.deviation**2)


@dataclass(frozen=True, slots=True)
class MeasuredSizes:
    """Volume in classes: rising edges [µm], one more than there are shares [0 to 1], which sum to one."""

    edges_um: tuple[float, ...]
    shares: tuple[float, ...]

    def __post_init__(self) -> None:
        rising = all(a < b for a, b in zip(self.edges_um, self.edges_um[1:], strict=False))
        if len(self.edges_um) != len(self.shares) + 1 or not rising or not self.edges_um[0] > 0:
            raise InputError("Edges of classes rise from above zero, one more than there are shares")
        if any(share < 0 for share in self.shares) or not abs(sum(self.shares) - 1) <= SUM_TOLERANCE:
            raise InputError("Shares of the classes are zero or more and sum to one", value=sum(self.shares))

    def finer(self, size_um: float) -> float:
        """Share of the volume below a size [µm]; within a class in proportion to the logarithm of size."""
        if size_um <= self.edges_um[0]:
            return 0.0
        return float(np.interp(math.log(size_um), np.log(self.edges_um), self._sums()))

    def size(self, finer: float) -> float:
        """Size [µm] that a share of the volume is finer than [0 to 1]."""
        return float(np.exp(np.interp(_share(finer), self._sums(), np.log(self.edges_um))))

    @property
    def sauter_um(self) -> float:
        """D[3,2] [µm], with the middle of each class on a logarithmic scale."""
        return sauter_mean(self._middles(), self.shares)

    @property
    def volume_mean_um(self) -> float:
        """D[4,3] [µm], with the middle of each class on a logarithmic scale."""
        return volume_mean(self._middles(), self.shares)

    def _sums(self) -> list[float]:
        return [0.0, *np.cumsum(self.shares).tolist()]

    def _middles(self) -> list[float]:
        return [math.sqrt(a * b) for a, b in zip(self.edges_um, self.edges_um[1:], strict=False)]


@dataclass(frozen=True, slots=True)
class SizeSummary:
    """What is quoted of a distribution: sizes [µm], span [1], surface over solid volume [1/µm]."""

    d10_um: float
    d50_um: float
    d90_um: float
    span: float
    sauter_um: float
    volume_mean_um: float
    surface: float


def summary(sizes: Sizes) -> SizeSummary:
    """Return what is quoted of a size distribution.

    ``span = (D90 - D10)/D50``, ``S = 6/D[3,2]``.

    Parameters
    ----------
    sizes : Sizes
        The distribution.

    Returns
    -------
    SizeSummary
        D10, D50, D90, D[3,2], D[4,3] [µm], span [1], surface over solid volume [1/µm].

    Examples
    --------
    >>> quoted = summary(LogNormalSizes(8.09, 0.88))
    >>> round(quoted.d90_um, 1), round(quoted.sauter_um, 2), round(quoted.span, 2)
    (25.0, 5.49, 2.76)

    References
    ----------
    [psd-formulas], [hatch-choate]
    """
    d10, d50, d90 = (sizes.size(share) for share in (10 / 100, 50 / 100, 90 / 100))
    sauter = sizes.sauter_um
    return SizeSummary(d10, d50, d90, (d90 - d10) / d50, sauter, sizes.volume_mean_um, 6 / sauter)


def rosin_rammler_from_two_points(
    size1_um: float, finer1: float, size2_um: float, finer2: float
) -> RosinRammler:
    """Return the Rosin-Rammler distribution through two points.

    ``n = (ln(-ln(1 - Q1)) - ln(-ln(1 - Q2))) / ln(d1/d2)``.

    Parameters
    ----------
    size1_um : float
        A size d1 [µm].
    finer1 : float
        Share of the volume Q1 that is finer than it [0 to 1].
    size2_um : float
        Another size d2 [µm].
    finer2 : float
        Share of the volume Q2 that is finer than it [0 to 1].

    Returns
    -------
    RosinRammler
        Scale [µm] and spread [1].

    Raises
    ------
    InputError
        If the points are the same, or the larger size has the smaller share.

    Examples
    --------
    >>> sizes = rosin_rammler_from_two_points(850.0, 0.90, 212.0, 0.30)
    >>> round(sizes.spread, 3), round(sizes.scale_um, 1)
    (1.343, 456.8)

    References
    ----------
    [rosin-rammler-example]
    """
    _above_zero(size1=size1_um, size2=size2_um)
    if not (size1_um - size2_um) * (finer1 - finer2) > 0:
        raise InputError("The larger size has the larger share that is finer")
    one, two = (math.log(-math.log1p(-_share(finer))) for finer in (finer1, finer2))
    spread = (one - two) / math.log(size1_um / size2_um)
    return RosinRammler(size1_um / math.exp(one / spread), spread)


def log_normal_from_d90(d90_um: float, sauter_share: float) -> LogNormalSizes:
    """Return the log-normal distribution with this D90 and this D[3,2] over D90.

    Parameters
    ----------
    d90_um : float
        Size that 90 % of the volume is finer than [µm].
    sauter_share : float
        D[3,2] over D90 [0 to 1].

    Returns
    -------
    LogNormalSizes
        Median [µm] and deviation [1].

    Examples
    --------
    >>> round(log_normal_from_d90(25.0, 0.22).deviation, 2)
    0.88

    References
    ----------
    [hatch-choate]
    """
    _above_zero(d90=d90_um)
    # ln(D32/D90) = -s²/2 - z s, solved for s.
    z = normal_quantile(90 / 100)
    deviation = -z + math.sqrt(z**2 - 2 * math.log(_share(sauter_share)))
    return LogNormalSizes(d90_um * math.exp(-z * deviation), deviation)


def sauter_mean(sizes_um: Sequence[float], shares: Sequence[float]) -> float:
    """Return D[3,2] of grains in classes, each at one size.

    ``D32 = sum(v) / sum(v_i/d_i)``.

    Parameters
    ----------
    sizes_um : sequence of float
        Size d of each class [µm].
    shares : sequence of float
        Volume v of each class [any unit, the same for all].

    Returns
    -------
    float
        D[3,2] [µm].

    Examples
    --------
    >>> round(sauter_mean([2.0, 5.0, 12.0, 25.0], [0.1, 0.2, 0.4, 0.3]), 3)
    7.389

    References
    ----------
    [psd-formulas]
    """
    return sum(shares) / sum(share / size for share, size in zip(shares, sizes_um, strict=True))


def volume_mean(sizes_um: Sequence[float], shares: Sequence[float]) -> float:
    """Return D[4,3] of grains in classes, each at one size.

    ``D43 = sum(v_i·d_i) / sum(v)``.

    Parameters
    ----------
    sizes_um : sequence of float
        Size d of each class [µm].
    shares : sequence of float
        Volume v of each class [any unit, the same for all].

    Returns
    -------
    float
        D[4,3] [µm].

    Examples
    --------
    >>> round(volume_mean([2.0, 5.0, 12.0, 25.0], [0.1, 0.2, 0.4, 0.3]), 1)
    13.5

    References
    ----------
    [psd-formulas]
    """
    return sum(share * size for share, size in zip(shares, sizes_um, strict=True)) / sum(shares)


def _share(value: float) -> float:
    if not 0 < value < 1:
        raise InputError("A share here lies between 0 and 1", value=value)
    return value


def _above_zero(**values: float) -> None:
    for name, value in values.items():
        if not 0 < value < math.inf:
            raise InputError(f"The {name} of a size distribution is above zero", value=value)
