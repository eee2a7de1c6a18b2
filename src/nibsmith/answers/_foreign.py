"""A bowl that holds what its recipe has not: nothing takes it out, so what can still be had of the rest."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from decimal import ROUND_CEILING, Decimal

from nibsmith.answers._kit_words import the_kit
from nibsmith.answers._limit_words import impossible_words
from nibsmith.answers.context import Context
from nibsmith.answers.wording import NO_BREAK, capital, grams, is_many, joined, thing
from nibsmith.science.formulate import Bench, Impossible, Rescue, Stays, rescue, what_stays
from nibsmith.science.mixture import Part, Recipe

_TENTH, _SMALL = Decimal("0.1"), 1  # from 1 % on a tenth is shown, under it two digits that say something


def foreign_words(
    recipe: Recipe,
    bowl_g: Mapping[str, float],
    context: Context,
    bench: Bench,
    foreign: tuple[Part, ...],
) -> tuple[str, tuple[str, ...]]:
    """Say what stays in a bowl for good, what brings the rest back, and how little of it can be left.

    Parameters
    ----------
    recipe : Recipe
        The recipe; only its shares matter.
    bowl_g : Mapping[str, float]
        Part label to what is in the bowl [g].
    context : Context
        Its scale and its kit.
    bench : Bench
        Where the work stands.
    foreign : tuple of Part
        What is in the bowl and not in the recipe [g].

    Returns
    -------
    tuple of str and tuple of str
        A sentence, and one for each thing that stays; for what stands in the rest's way where it cannot be
        brought back.
    """
    there = [part for part in foreign if part.mass_g > 0]
    names = joined([thing(part) for part in there])
    many = len(there) > 1 or any(is_many(part) for part in there)
    verb, it = ("are", "them") if many else ("is", "it")
    head = f"{capital(names)} {verb} not in the recipe, and nothing takes {it} out of the bowl."
    rest = rescue(recipe, bowl_g, replace(bench, left_in=frozenset(part.label for part in foreign)), foreign)
    if isinstance(rest, Impossible):
        sentence, gives = impossible_words(rest)
        return f"{head} The rest does not come back to the recipe either. {sentence}", gives
    stays = what_stays(recipe, bowl_g, bench, foreign)
    return f"{head} {_rest_words(rest, context)}", tuple(_least_words(stays, context))


def _rest_words(rest: Rescue, context: Context) -> str:
    if not rest.add_g:
        return "The rest is within tolerance of the recipe as it is."
    said = [
        f"{grams(add_g, context.scale_g)} of {thing(rest.bowl.part(label))}"
        for label, add_g in rest.add_g.items()
    ]
    return f"With {joined(said)} the rest is within tolerance of the recipe."


def _least_words(stays: tuple[Stays, ...], context: Context) -> Iterator[str]:
    for each in stays:
        name, now = capital(thing(each.part)), percent_words(each.now)
        if each.least is None:
            yield f"{name}: {now} of what is in the bowl; the more of the rest goes in, the less it is."
        elif each.least < each.now:
            room = "with all that can still go in" if context.kit is None else f"in {the_kit(context.kit)}"
            yield f"{name}: {now} of what is in the bowl, {percent_words(each.least)} at the least {room}."
        else:
            yield f"{name}: {now} of what is in the bowl, and no less of it can be had."


def percent_words(share: float) -> str:
    """Return a share in percent, rounded up, never as nothing where there is some [0 to 1].

    Examples
    --------
    >>> [percent_words(share).replace(NO_BREAK, " ") for share in (0.1234, 0.004975, 0.00000123)]
    ['12.4 %', '0.5 %', '0.00013 %']
    """
    number = Decimal(f"{share * 100:.12f}")
    step = _TENTH if number >= _SMALL else Decimal(1).scaleb(number.adjusted() - 1) if number else _TENTH
    return f"{number.quantize(step, ROUND_CEILING).normalize():f}{NO_BREAK}%"
