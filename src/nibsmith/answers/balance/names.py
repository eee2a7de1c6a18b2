"""What a balanced recipe may be called of the names that were asked for."""

from __future__ import annotations

from typing import NamedTuple

from nibsmith.answers.balance.wishes import Wishes
from nibsmith.answers.context import Context
from nibsmith.science.legal import Allowed, NameVerdict, judge_name, jurisdictions
from nibsmith.science.mixture import Recipe


class Asked(NamedTuple):
    """Names that are refused, and names of which it cannot be said: each with its reason."""

    refused: tuple[str, ...]
    doubtful: tuple[str, ...]


def asked_names(recipe: Recipe, wishes: Wishes, context: Context) -> Asked:
    """Judge the names that were asked for, as the recipe's own answer judges them.

    Parameters
    ----------
    recipe : Recipe
        The recipe as balanced [g].
    wishes : Wishes
        What is wished; ``called`` are the names.
    context : Context
        Its kit says how dry the mass ends; its memory rules turn those on.

    Returns
    -------
    Asked
        A sentence for each name that is not earned for certain.

    Examples
    --------
    >>> from nibsmith.answers.balance.wishes import wishes_from
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> asked_names(bar, wishes_from({"called": ["eu:filled"]}), Context()).refused
    ('EU, Filled chocolate: sold as a bar, it does not go by this name.',)
    """
    verdicts = [
        judge_name(
            recipe,
            market,
            key,
            memory_rules=context.memory_rules,
            end_water_percent=context.end_water,
        )
        for market, key in wishes.called
    ]
    return Asked(
        tuple(_words(verdict) for verdict in verdicts if verdict.allowed is Allowed.NO),
        tuple(_words(verdict) for verdict in verdicts if verdict.allowed in _OPEN),
    )


_OPEN = (Allowed.DEPENDS, Allowed.UNKNOWN)


def _words(verdict: NameVerdict) -> str:
    why = "; ".join(lack.sentence.rstrip(".") for lack in verdict.lacking)
    if verdict.depends_on:
        depends = "it depends: " if verdict.allowed is Allowed.DEPENDS else ""
        why = f"{f'{why}; ' if why else ''}{depends}{verdict.depends_on.rstrip('.')}"
    if not why:
        why = "it is not known whether it may be called that"
    return f"{jurisdictions()[verdict.jurisdiction]}, {verdict.name}: {why}."
