"""How much lower cocoa butter melts when other fats are dissolved in it."""

from __future__ import annotations

import math

from nibsmith.science.errors import OutOfRange
from nibsmith.science.tables import load


def softening(cocoa_butter_share: float) -> float:
    """Return by how much foreign fat lowers the melting point of form V cocoa butter.

    Ideal dilution: ``1/T = 1/T0 - (R / dHm) · ln x`` and the result is ``T0 - T``.

    Parameters
    ----------
    cocoa_butter_share : float
        Share x of cocoa butter in the whole fat phase [0 to 1].

    Returns
    -------
    float
        Lowering [K].

    Raises
    ------
    OutOfRange
        Below a half: the mixture is no diluted cocoa butter any more.

    Notes
    -----
    Range: 0.5 to 1. An estimate: it takes the other fat for a plain solvent. Coconut and palm kernel fats
    soften cocoa butter more than this says.

    Examples
    --------
    >>> round(softening(0.80), 2)
    1.48

    References
    ----------
    [wille-lutton-1966], [si-brochure]
    """
    least = load("temper")["dilution_from"].value
    if not least <= cocoa_butter_share <= 1:
        raise OutOfRange(
            "Too little of the fat is cocoa butter",
            value=f"{cocoa_butter_share:.2f}",
            limit=f"{least:g} to 1",
            advice="Nothing can be said of how such a fat sets.",
        )
    pure_k = _melting_k()
    return pure_k - 1 / (1 / pure_k - math.log(cocoa_butter_share) / _heat_over_r())


def cocoa_butter_share_at(lowering_k: float) -> float:
    """Return the share of cocoa butter in the fat phase at which it melts lower by this much.

    The inverse of ``softening``: ``x = exp(-(dHm / R) · (1/T - 1/T0))``.

    Parameters
    ----------
    lowering_k : float
        Lowering of the melting point [K].

    Returns
    -------
    float
        Share of cocoa butter [0 to 1].

    Raises
    ------
    OutOfRange
        If the lowering is negative, or so large that the share falls below a half.

    Notes
    -----
    Range: 0 to about 4.5 K.

    Examples
    --------
    >>> round(cocoa_butter_share_at(softening(0.80)), 6)
    0.8

    References
    ----------
    [wille-lutton-1966], [si-brochure]
    """
    pure_k = _melting_k()
    if lowering_k < 0:
        raise OutOfRange("Other fats never raise the melting point", value=lowering_k, limit="0 K and more")
    share = math.exp(-_heat_over_r() * (1 / (pure_k - lowering_k) - 1 / pure_k))
    if share < load("temper")["dilution_from"].value:
        raise OutOfRange("Too little of the fat would be cocoa butter", value=f"{lowering_k:g} K")
    return share


def _melting_k() -> float:
    return load("temper")["form_v_melting"].value + load("units")["celsius_zero"].value


def _heat_over_r() -> float:
    """Molar melting heat over the gas constant [K]."""
    table = load("temper")
    molar = table["form_v_heat"].value * table["cocoa_butter_molar_mass"].value
    return molar / table["gas_constant"].value
