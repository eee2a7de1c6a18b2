"""Seed for a melted mass, with its working out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from nibsmith.answers.seed import SeedAsked, seed
from nibsmith.answers.tools.outcome import Given, Outcome, constants, given
from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Span
from nibsmith.science.temper import Unknown, latent_heat

FORMULAS = (
    "m·c_l·(T_m − T) + m_b·c_b·(T_m − T) − Q_room = m_s·[c_s·(T − T_s) + φ·L], solved for what is asked.",
    "m is the mass, m_b the bowl, m_s the seed; T_m is before, T after, T_s of the seed.",
    "φ is the share of the seed that melts; Q_room = h·A·(mean of T_m and T − T_room)·time.",
)
KEYS = ("melted_share", "liquid_heat", "solid_heat", "bowl", "stirring")
_PERCENT = 100
_SAID = (
    (Unknown.MASS, "mass_g", "Melted mass", "g"),
    (Unknown.MASS_TEMPERATURE, "mass_celsius", "Its temperature", "°C"),
    (Unknown.SEED, "seed_g", "Seed", "g"),
    (Unknown.SEED_TEMPERATURE, "seed_celsius", "Seed at", "°C"),
    (Unknown.TARGET, "target_celsius", "To come to", "°C"),
)


def seed_by_hand(asked: SeedAsked) -> Outcome:
    """Answer the unknown of a seeding, what was taken for the rest in front.

    Parameters
    ----------
    asked : SeedAsked
        What is known.

    Returns
    -------
    Outcome
        The answer of ``seed``.

    Raises
    ------
    InputError
        If something that has no usual value is missing.

    Examples
    --------
    >>> outcome = seed_by_hand(SeedAsked(mass_g=1200.0, mass_celsius=46.0))
    >>> [detail.title for detail in outcome.details]
    ['Taken for it', 'Where the heat goes', 'Without any seed']
    """
    answer = seed(asked)
    return Outcome(
        answer=replace(answer, details=()),
        given=tuple(_given(asked)),
        formulas=FORMULAS,
        constants=(*constants("temper_seed", KEYS), latent_heat(asked.chocolate)),
        details=answer.details,
    )


def share_of(percent: float | None) -> Span | None:
    """Return a share typed in percent as the answers take it.

    Examples
    --------
    >>> share_of(80.0), share_of(None)
    (Span(low=0.8, value=0.8, high=0.8), None)
    """
    if percent is None:
        return None
    if not 0 <= percent <= _PERCENT:
        what, value = "No such share of the seed", f"{percent:g} %"
        raise InputError(what, value=value, limit="0 to 100 %", field="melted_percent")
    return Span.exactly(percent / _PERCENT)


def _given(asked: SeedAsked) -> Iterator[Given]:
    yield given("Kind", asked.chocolate.value, "", said=True)
    for unknown, name, words, unit in _SAID:
        value = getattr(asked, name)
        if unknown is not asked.unknown and value is not None:
            yield given(words, value, unit, said=True)
