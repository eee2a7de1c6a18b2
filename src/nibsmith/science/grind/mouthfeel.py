"""What grains of a size feel like, and what a maker may aim for."""

from __future__ import annotations

from enum import StrEnum

from nibsmith.science.errors import InputError
from nibsmith.science.tables import load


class Aim(StrEnum):
    """What a maker wants in the mouth."""

    MELTING = "melting"
    STONE_GROUND = "stone_ground"
    RUSTIC = "rustic"


class Feels(StrEnum):
    """Five words for the largest grains, finest first."""

    VERY_SMOOTH = "very smooth"
    SMOOTH = "smooth"
    JUST_NOTICEABLE = "just noticeable"
    GRAINY = "grainy"
    RUSTIC = "rustic"


_UP_TO = (
    ("very_smooth", Feels.VERY_SMOOTH),
    ("smooth", Feels.SMOOTH),
    ("just_noticeable", Feels.JUST_NOTICEABLE),
    ("grainy", Feels.GRAINY),
)


def feels(size_um: float) -> Feels:
    """Return the word for grains of a size.

    Parameters
    ----------
    size_um : float
        The largest grains, D90 or a micrometer reading [µm].

    Returns
    -------
    Feels
        One of five words.

    Raises
    ------
    InputError
        If the size is not above zero.

    Notes
    -----
    The words are our own; where one ends and the next begins is a judgement from published panels.

    Examples
    --------
    >>> [feels(size).value for size in (15.0, 25.0, 35.0, 50.0, 90.0)]
    ['very smooth', 'smooth', 'just noticeable', 'grainy', 'rustic']

    References
    ----------
    [breen-2019], [de-pelsmaeker-2020]
    """
    if not size_um > 0:
        raise InputError("A size is above zero", value=size_um)
    table = load("grind")
    return next((word for key, word in _UP_TO if size_um <= table[key].value), Feels.RUSTIC)


def largest_for(aim: Aim) -> float:
    """Return the largest grains that an aim allows.

    Parameters
    ----------
    aim : Aim
        What the maker wants.

    Returns
    -------
    float
        D90 [µm].

    Examples
    --------
    >>> [largest_for(aim) for aim in Aim]
    [30.0, 60.0, 600.0]
    """
    return load("grind")[f"aim_{aim.value}"].value


def told_apart(size_um: float) -> float:
    """Return the difference in size that a tongue can tell.

    ``max(5 µm, 0.17·d)``.

    Parameters
    ----------
    size_um : float
        Size d of the largest grains [µm].

    Returns
    -------
    float
        Difference [µm].

    Examples
    --------
    >>> told_apart(20.0), round(told_apart(60.0), 1)
    (5.0, 10.2)

    References
    ----------
    [breen-2019]
    """
    table = load("grind")
    return max(table["least_difference"].value, table["difference_share"].value * size_um)
