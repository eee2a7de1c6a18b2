"""Other ways to the first crystals, and the heat of crystals that form and chocolate that melts."""

from __future__ import annotations

from nibsmith.science.errors import InputError
from nibsmith.science.tables import Constant, load
from nibsmith.science.temper.programs import Chocolate

_PER_KG = 1000


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


def latent_heat(chocolate: Chocolate) -> Constant:
    """Return the heat that a kind of chocolate takes to melt and gives off as it sets.

    Parameters
    ----------
    chocolate : Chocolate
        Dark, milk or white; white counts as milk, for no heat of its own was read.

    Returns
    -------
    Constant
        The row of the table [J/g].

    Examples
    --------
    >>> [latent_heat(kind).value for kind in Chocolate]
    [46.0, 44.0, 44.0]

    References
    ----------
    [beckett-2009]
    """
    return load("temper_seed")["latent_dark" if chocolate is Chocolate.DARK else "latent_milk"]


def _of(key: str) -> float:
    return load("temper_seed")[key].value
