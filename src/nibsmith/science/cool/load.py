"""What several moulds of warm chocolate ask of a fridge."""

from __future__ import annotations

from dataclasses import dataclass

from nibsmith.science.errors import InputError
from nibsmith.science.tables import load

_PER_KG = 1000
_SECONDS = 60


@dataclass(frozen=True, slots=True)
class FridgeLoad:
    """Heat that chocolate and moulds bring into a fridge.

    ``sensible`` and ``latent`` are the chocolate's, ``moulds`` that of the empty moulds [J]. ``mean_w`` is
    spread over the time the bars take [W]; ``at_once`` is how many of these moulds a cold machine takes up in
    that time without the air warming.
    """

    sensible: float
    latent: float
    moulds: float
    mean_w: float
    at_once: int

    @property
    def total(self) -> float:
        """All of it [J]."""
        return self.sensible + self.latent + self.moulds


@dataclass(frozen=True, slots=True)
class Moulds:
    """Moulds that go in together: how many, chocolate in each and its own mass [g], its start [°C].

    ``latent`` is the heat that the chocolate gives off as it sets, that of dark where it is not given [J/g].
    """

    count: int
    chocolate_g: float
    empty_g: float
    start_celsius: float
    latent: float | None = None


def fridge_load(
    moulds: Moulds, from_celsius: float, to_celsius: float, minutes: float, power_w: float | None = None
) -> FridgeLoad:
    """Return what moulds bring into a fridge, and how many it takes up at once.

    ``Q = m·(c·dT + L) + m_m·c_m·dT_m``.

    Parameters
    ----------
    moulds : Moulds
        How many, and how heavy.
    from_celsius, to_celsius : float
        Chocolate when poured and when it comes off [°C].
    minutes : float
        How long that takes [min].
    power_w : float, optional
        What the cold machine takes up while it runs, usually 60 [W].

    Returns
    -------
    FridgeLoad
        Heat [J] and power [W].

    Raises
    ------
    InputError
        If there are no moulds, no time, or it does not cool.

    Examples
    --------
    >>> load_of_ten = fridge_load(Moulds(10, 300.0, 0.0, 20.0), 31.0, 14.0, 30.0)
    >>> round(load_of_ten.total / 1000), round(load_of_ten.mean_w)
    (219, 122)

    References
    ----------
    [beckett-2009]
    """
    if not (moulds.count > 0 and moulds.chocolate_g > 0 and minutes > 0 and from_celsius > to_celsius):
        raise InputError("Some moulds cool for some time", value=f"{moulds.count}, {minutes:g} min")
    table = load("cool")
    kilograms = moulds.count * moulds.chocolate_g / _PER_KG
    sensible = kilograms * table["heat_capacity"].value * (from_celsius - to_celsius)
    setting = load("temper_seed")["latent_dark"].value if moulds.latent is None else moulds.latent
    latent = kilograms * setting * _PER_KG
    warm = max(0.0, moulds.start_celsius - to_celsius)
    empty = moulds.count * moulds.empty_g / _PER_KG * table["mould_heat"].value * warm
    mean_w = (sensible + latent + empty) / (minutes * _SECONDS)
    power = table["fridge_power"].value if power_w is None else power_w
    return FridgeLoad(sensible, latent, empty, mean_w, int(power * moulds.count / mean_w))
